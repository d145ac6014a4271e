//! What a person types and writes in haste, and what a first look has to tell: each mistake once, each word
//! that a plan or a recipe needs where it is seen first.

use crate::program::Bench;

/// A refused correction says how much to keep, and what the weights look like.
#[test]
fn a_correction_that_is_refused_says_what_could_be_done() {
    let bench = Bench::demo();
    let words = |part_b| {
        [
            "correct",
            "tidewater-slate",
            "fog",
            "--part-a",
            "4kg",
            "--part-b",
            part_b,
            "--held",
            "titanium white paste=400 g",
            "--shop",
            "shop",
        ]
    };
    let ran = bench.run(&words("1.7kg"));
    assert_eq!(ran.code, 1, "{ran:?}");
    assert!(
        ran.err.contains("hint: keep ") && ran.err.contains(" g of part A (bench scale)"),
        "{}",
        ran.err
    );
    assert!(!ran.err.contains("suspected"), "{}", ran.err);
    let ran = bench.run(&words("9.5kg"));
    assert!(ran.err.contains("suspected: part A and part B look swapped"), "{}", ran.err);
}
