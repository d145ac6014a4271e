//! What a person with a calculator finds: every weight of a plan follows from figures that stand beside it, in words
//! and in JSON.

use serde_json::Value;

use crate::program::Bench;

const JOBS: [&str; 4] = ["sample-board", "galley-kitchen", "curved-bar", "round-table"];

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("no {key}: {of}"))
}

fn list<'a>(of: &'a Value, key: &str) -> &'a Vec<Value> {
    of[key].as_array().unwrap_or_else(|| panic!("no {key}: {of}"))
}

fn plan(bench: &Bench, job: &str) -> (Value, String) {
    let words = ["plan", "--shop", "shop", "--job", job, "--units", "metric"];
    let text = bench.run(&words).out;
    let json = bench.run(&[&words[..], &["--json"]].concat()).out;
    (serde_json::from_str(&json).unwrap(), text)
}

/// A colorant's grams are its loading of the resin that it meets: of all of a mix where it is let down in part A, of
/// what comes over where it is weighed into the second vessel; an accent's of the resin in its container.
#[test]
fn grams_are_the_loading_of_the_resin_beside_them() {
    let bench = Bench::demo();
    for job in JOBS {
        let (plan, text) = plan(&bench, job);
        for mix in list(&plan, "bases").iter().flat_map(|base| list(base, "mixes")) {
            let [all, over] = ["resin_g", "resin_over_g"].map(|key| number(mix, key));
            assert!(over < all, "{job}: {mix}");
            for dose in list(mix, "colorants") {
                let of = if dose["means"] == "let-down" { all } else { over };
                let reckoned = of * number(dose, "loading_percent") / 100.0;
                let exact = number(dose, "exact_g");
                // Parts A and B are weighed to the gram.
                assert!((reckoned / exact - 1.0).abs() < 0.003, "{job}: {reckoned} g of {dose}");
            }
            let shown = format!("{} g of A and B comes over", shown_g(over));
            assert!(text.contains(&shown), "{job}: {shown}: {text}");
        }
        let batches = list(&plan, "small_batches");
        for (batch, layer) in batches.iter().flat_map(|batch| {
            list(batch, "layers_from_bottom").iter().map(move |layer| (batch, layer))
        }) {
            if layer["kind"] != "accent" {
                continue;
            }
            let resin = number(batch, "resin_g");
            let reckoned = resin * number(layer, "loading_percent") / 100.0;
            let shown = number(layer, "mass_each_g");
            let half_a_step = number(&layer["weighed"], "readability_g") / 2.0 + 1e-9;
            assert!((reckoned - shown).abs() <= half_a_step, "{job}: {reckoned} g of {layer}");
            assert!(text.contains(&format!("{} g of it A and B", shown_g(resin))), "{job}: {text}");
        }
    }
}

/// Grams as a plan shows a mass: four digits.
fn shown_g(g: f64) -> String {
    if g >= 1000.0 { format!("{g:.0}") } else { format!("{g:.1}") }
}

/// All that is weighed out is A and B with the colorants, and A and B weigh what is bought of them or less.
#[test]
fn all_that_is_weighed_out_is_resin_and_colorants() {
    let bench = Bench::demo();
    for job in JOBS {
        let (plan, text) = plan(&bench, job);
        let issued = plan["ledger"]["issued_g"].as_object().unwrap();
        let resin: f64 =
            ["part A", "part B"].map(|part| issued[part].as_f64().unwrap()).iter().sum();
        let all: f64 = issued.values().map(|g| g.as_f64().unwrap()).sum();
        let words: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let from = words.find("Weighed out in all:").unwrap();
        let line = &words[from..from + 200];
        let shown = |key: &str| -> f64 {
            let after = &line[line.find(key).unwrap() + key.len()..];
            after.split_whitespace().next().unwrap().parse().unwrap()
        };
        for (key, g) in [("in all: ", all), ("(A and B ", resin), ("; colorants ", all - resin)] {
            assert!((shown(key) * 1000.0 / g - 1.0).abs() < 0.006, "{job}: {key}{g} g: {line}");
        }
        let bought = number(&list(&plan["buy"], "lines")[0], "demand_g");
        assert!(resin <= bought * (1.0 + 1e-9), "{job}: {resin} of {bought} g");
    }
}
