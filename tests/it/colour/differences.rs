//! ΔE00 against the published pairs.

use pourbook::colour::{Lab, delta_e_2000, delta_e_2000_batch};
use proptest::prelude::*;

/// The 34 pairs of Sharma, Wu, Dalal (2005) with their ΔE00.
fn published_pairs() -> Vec<(Lab, Lab, f64)> {
    let table = include_str!("../../fixtures/colour/ciede2000_sharma34.csv");
    table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| {
            let v: Vec<f64> = line.split(',').skip(1).map(|word| word.parse().unwrap()).collect();
            (Lab::new(v[0], v[1], v[2]), Lab::new(v[3], v[4], v[5]), v[6])
        })
        .collect()
}

#[test]
fn all_34_published_pairs_to_the_printed_digits() {
    let pairs = published_pairs();
    assert_eq!(pairs.len(), 34, "the whole table");
    for (number, (one, two, published)) in (1..).zip(pairs) {
        for (a, b) in [(one, two), (two, one)] {
            let ours = delta_e_2000(a, b);
            assert!((ours - published).abs() < 1e-4, "pair {number}: {ours} for {published}");
        }
    }
}

#[test]
fn the_batch_on_the_published_pairs() {
    let pairs = published_pairs();
    let ones: Vec<Lab> = pairs.iter().map(|p| p.0).collect();
    let twos: Vec<Lab> = pairs.iter().map(|p| p.1).collect();
    let mut out = vec![-1.0; pairs.len() + 1];
    delta_e_2000_batch(&ones, &twos, &mut out);
    for (number, ((one, two, published), batch)) in (1..).zip(pairs.iter().zip(&out)) {
        assert!((batch - published).abs() < 1e-4, "pair {number}: {batch} for {published}");
        let scalar = delta_e_2000(*one, *two);
        assert!((batch - scalar).abs() < 1e-9, "pair {number}: {batch} for {scalar}");
    }
    assert_eq!(out[pairs.len()], -1.0, "nothing is written beyond the pairs");
}

/// Colours of which many lie on the formula's seams: greys, opposite hues, hue 0.
fn lab() -> impl Strategy<Value = Lab> {
    let coordinate = prop_oneof![
        4 => -128.0..128.0_f64,
        2 => (-40..=40_i32).prop_map(f64::from),
        1 => Just(0.0),
        1 => -1e-6..1e-6_f64,
    ];
    let lightness =
        prop_oneof![4 => 0.0..100.0_f64, 1 => (0..=10_i32).prop_map(|l| f64::from(l) * 10.0)];
    (lightness, coordinate.clone(), coordinate).prop_map(|(l, a, b)| Lab::new(l, a, b))
}

/// A second colour: anywhere, near, the same, of the opposite hue, or mirrored in the a* axis.
fn pair() -> impl Strategy<Value = (Lab, Lab)> {
    let near = (lab(), -3.0..3.0_f64, -3.0..3.0_f64, -3.0..3.0_f64)
        .prop_map(|(one, l, a, b)| (one, Lab::new(one.l + l, one.a + a, one.b + b)));
    prop_oneof![
        4 => (lab(), lab()),
        4 => near,
        1 => lab().prop_map(|one| (one, one)),
        1 => (lab(), 0.1..3.0_f64).prop_map(|(one, k)| (one, Lab::new(one.l, -k * one.a, -k * one.b))),
        1 => (lab(), 1..=4_i32).prop_map(|(one, k)| {
            let k = f64::from(k) * 0.5;
            (one, Lab::new(one.l, k * one.a, -k * one.b))
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn the_batch_is_the_scalar_to_a_billionth(pairs in prop::collection::vec(pair(), 1..80)) {
        let (ones, twos): (Vec<Lab>, Vec<Lab>) = pairs.into_iter().unzip();
        let mut out = vec![f64::NAN; ones.len()];
        delta_e_2000_batch(&ones, &twos, &mut out);
        for ((one, two), batch) in ones.iter().zip(&twos).zip(&out) {
            let scalar = delta_e_2000(*one, *two);
            prop_assert!((batch - scalar).abs() < 1e-9, "{one:?} {two:?}: {batch} for {scalar}");
        }
    }

    #[test]
    fn a_difference_is_symmetric_and_none_from_itself((one, two) in pair()) {
        let there = delta_e_2000(one, two);
        prop_assert!((there - delta_e_2000(two, one)).abs() < 1e-9, "{one:?} {two:?}");
        prop_assert!(there >= 0.0 && delta_e_2000(one, one) == 0.0, "{one:?}");
    }
}
