//! A small board that cannot hold the recipe's containers in their proportion says so wherever it is planned,
//! weighed or approved.

use serde_json::Value;

use crate::program::Bench;

/// Two containers of one small batch to one of another, which alone has a base and an accent.
const RIVER: &str = r##"(
    version: 1, name: "River Stone", system: "clear flood 2:1",
    film: "3 mm", primer: "#e8e6e0", container: "16 fl oz",
    bases: {
        "white": (colorants: { "titanium white paste": "2.8 %" }),
        "stone": (colorants: { "iron oxide black paste": "0.6 %", "titanium white paste": "1.2 %" }),
        "umber": (colorants: { "burnt umber paste": "1.5 %" }),
    },
    accents: { "glint": (colorant: "carbon black liquid") },
    pours: [
        (name: "stony", count: 2, layers: [Base("white", 40), Base("stone", 60)]),
        (name: "bronzy", count: 1, layers: [Accent("glint", "0.6 %"), Base("white", 30), Base("umber", 70)]),
    ],
    pattern: (seed: 7, ribbon: Sweep),
)"##;

fn river() -> Bench {
    let bench = Bench::demo();
    bench.put("colourways/river-stone.ron", RIVER);
    bench
}

fn said(bench: &Bench, board: &str, more: &[&str]) -> String {
    let ask = ["plan", "River Stone", "--shop", "shop", "--board", board];
    let ran = bench.run(&[&ask[..], more].concat());
    assert_eq!(ran.code, 0, "{ran:?}");
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_board_that_leaves_out_a_small_batch_says_so_everywhere() {
    let bench = river();
    let heed = "HEED: this leaves out \"bronzy\" of the recipe, with its base \"umber\" and its accent \"glint\": 1 × stony : 0 × bronzy here, 2 × stony : 1 × bronzy in the recipe.";
    for more in [&[][..], &["--sheet", "approval"]] {
        let text = said(&bench, "8x8in", more);
        assert!(text.contains(heed), "{text}");
    }
    let page = said(&bench, "8x8in", &["--sheet", "mixing"]);
    assert!(page.contains("this leaves out \"bronzy\" of the recipe"), "{page}");
    let text = said(&bench, "8x8in", &[]);
    // 2 × 40 % and 1 × 30 % of three containers; here the first kind alone.
    assert!(text.contains("white · 40.0 % of the pour (36.7 % of the recipe)"), "{text}");
    for unused in ["carbon black liquid", "burnt umber paste"] {
        assert!(!text.contains(unused), "{unused} is not opened for this board: {text}");
    }
    let approval = said(&bench, "8x8in", &["--sheet", "approval"]);
    assert!(approval.contains("umber (base) of the recipe, NOT in this pour"), "{approval}");
    assert!(approval.contains("glint (accent) of the recipe, NOT in this pour"), "{approval}");
    let plan: Value = serde_json::from_str(&said(&bench, "8x8in", &["--json"])).unwrap();
    assert!(plan["heeds"][0].as_str().unwrap().contains("\"bronzy\""), "{}", plan["heeds"]);
    assert!(
        (plan["bases"][0]["recipe_share_percent"].as_f64().unwrap() - 110.0 / 3.0).abs() < 1e-9
    );
}

#[test]
fn the_board_that_is_named_holds_the_proportion_and_a_smaller_one_strays() {
    let bench = river();
    let strays =
        "HEED: the containers are not in the recipe's proportion: 1 × stony : 1 × bronzy here";
    let text = said(&bench, "12x12in", &[]);
    assert!(text.contains(strays), "{text}");
    assert!(text.contains("smallest square board that comes near it is 1 ft 6 in x 1 ft 6 in"));
    assert!(said(&bench, "17x17in", &[]).contains("not in the recipe's proportion"));
    let held = said(&bench, "18x18in", &[]);
    assert!(!held.contains("recipe's proportion") && !held.contains("of the recipe)"), "{held}");
}
