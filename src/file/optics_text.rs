//! Optical data, and a lot, put into a colorant's own file: its comments and layout stay.

use std::fmt::Write as _;
use std::sync::Arc;

use super::colorant;
use super::splice::{insert, part_of, quoted, replace};
use super::tree::Tree;
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::model::{Colorant, ColorantParts, Lot, Optics, Standing};
use crate::spectrum::Spectrum;

/// Figures a line of a spectrum.
const A_LINE: usize = 9;
/// Figures are written to this many digits.
const DIGITS: i32 = 4;
/// Written and read, a figure may change by this share of itself at most.
const ROUNDED: f64 = 1e-3;

/// A figure to four digits, without needless noughts.
#[must_use]
pub fn figure_text(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    #[expect(clippy::cast_possible_truncation, reason = "an exponent of ten")]
    let exponent = libm::floor(libm::log10(value.abs())) as i32;
    let decimals = usize::try_from(DIGITS - 1 - exponent).unwrap_or(0).min(12);
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// The text of a colorant's file with these optical data in it.
///
/// # Errors
/// What is wrong with the file, or with the data in it once it is read again.
pub fn with_optics(source: &Arc<Source>, optics: &Optics) -> Result<String, Diagnostics> {
    let standing = match optics.standing {
        Standing::Measured => "Measured",
        Standing::Datasheet => "Datasheet",
        Standing::Estimated => "Estimated",
        Standing::Demo => "Demo",
    };
    let (k, s) = (list(&optics.unit.k), list(&optics.unit.s));
    let text = if has(source, &["optics"]) {
        let mut text = Arc::clone(source);
        for (name, value) in [("standing", standing), ("k", &k), ("s", &s)] {
            let path = ["optics", name];
            let changed = if has(&text, &path) {
                replace(&text, &path, value)?
            } else {
                insert(&text, &["optics"], name, value)?
            };
            text = again(source, changed);
        }
        text.text.clone()
    } else {
        let group = format!(
            "(\n        standing: {standing},\n        // mm⁻¹ per (g of colorant per mL of film), 380 to 730 nm by 10\n        k: {k},\n        s: {s},\n    )"
        );
        insert(source, &[], "optics", &group)?
    };
    compared(source, text, |before| before.optics = Some(*optics))
}

/// The text of a colorant's file with this lot in it.
///
/// # Errors
/// As [`with_optics`].
pub fn with_lot(source: &Arc<Source>, lot: &Lot) -> Result<String, Diagnostics> {
    let strength = quoted(&format!("{} %", figure_text(lot.strength.percent())));
    let text = if has(source, &["lot"]) {
        let named = replace(source, &["lot", "name"], &quoted(&lot.name))?;
        replace(&again(source, named), &["lot", "strength"], &strength)?
    } else {
        insert(source, &[], "lot", &format!("(name: {}, strength: {strength})", quoted(&lot.name)))?
    };
    compared(source, text, |before| before.lot = Some(lot.clone()))
}

fn again(source: &Arc<Source>, text: String) -> Arc<Source> {
    Arc::new(Source { name: source.name.clone(), text })
}

/// Whether something stands at a path.
fn has(source: &Arc<Source>, path: &[&str]) -> bool {
    let tree = Tree::parse(source);
    let mut node = &tree.root;
    path.iter().all(|step| part_of(node.inside(), step).map(|inner| node = inner).is_some())
}

/// A spectrum as a list in the layout of a colorant's file.
fn list(values: &Spectrum) -> String {
    let mut text = String::from("[");
    for line in values.0.chunks(A_LINE) {
        let figures: Vec<String> = line.iter().map(|value| figure_text(*value)).collect();
        // Writing to a String never fails.
        let _ = write!(text, "\n            {},", figures.join(", "));
    }
    text.push_str("\n        ]");
    text
}

/// The text, once it is read again and says what it said before but for what was asked.
fn compared(
    source: &Arc<Source>,
    text: String,
    change: impl FnOnce(&mut ColorantParts),
) -> Result<String, Diagnostics> {
    let before = colorant::read(source)?.noun;
    let after = colorant::read(&again(source, text.clone()))?.noun;
    let mut wanted = ColorantParts::clone(&before);
    change(&mut wanted);
    if alike(&wanted, &after) {
        Ok(text)
    } else {
        Err(Diagnostic::error(format!(
            "{} would not read back as it was meant; nothing was written",
            source.name
        ))
        .into())
    }
}

/// Whether a colorant is as wanted, figures as they were rounded.
fn alike(wanted: &ColorantParts, after: &Colorant) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= ROUNDED * a.abs() + 1e-12;
    let spectra = |a: &Spectrum, b: &Spectrum| a.iter().zip(b.iter()).all(|(a, b)| near(*a, *b));
    let optics = match (&wanted.optics, &after.optics) {
        (Some(a), Some(b)) => {
            a.standing == b.standing
                && spectra(&a.unit.k, &b.unit.k)
                && spectra(&a.unit.s, &b.unit.s)
        }
        (a, b) => a == b,
    };
    let lot = match (&wanted.lot, &after.lot) {
        (Some(a), Some(b)) => a.name == b.name && near(a.strength.value(), b.strength.value()),
        (a, b) => a == b,
    };
    let rest = ColorantParts { optics: after.optics, lot: after.lot.clone(), ..wanted.clone() };
    optics && lot && rest == **after
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::Ks;
    use crate::quantity::Fraction;

    const FILE: &str = "// the red that Ada ordered\n(\n    version: 1,\n    name: \"red\", /* warm */\n    kind: Paste,\n    density: \"2 g/mL\",\n    solids: \"60 %\",\n    carrier: Epoxy(eew: 190),\n    ceiling: \"6 %\", // datasheet\n    standing: Datasheet,\n)\n";

    fn source(text: &str) -> Arc<Source> {
        Arc::new(Source { name: "red.ron".into(), text: text.into() })
    }

    fn optics() -> Optics {
        let k = Spectrum::of_wavelength(|nm| (750.0 - nm) * 0.123_456);
        Optics { unit: Ks { k, s: Spectrum::flat(0.000_123_456) }, standing: Standing::Measured }
    }

    #[test]
    fn optics_come_into_a_file_and_are_changed_there_with_every_comment_kept() {
        let first = with_optics(&source(FILE), &optics()).unwrap();
        assert!(first.contains("/* warm */") && first.contains("// datasheet"), "{first}");
        let read = colorant::read(&source(&first)).unwrap().noun;
        let unit = read.optics.unwrap().unit;
        assert!((unit.k[0] - 45.68).abs() < 1e-9, "{}", unit.k[0]);
        let remarked = first.replacen("standing: Measured,", "standing: Measured, // by Ada", 1);
        let other = Optics { standing: Standing::Estimated, ..optics() };
        let second = with_optics(&source(&remarked), &other).unwrap();
        let wanted = remarked.replacen("standing: Measured", "standing: Estimated", 1);
        assert_eq!(second, wanted, "nothing else changes");
    }

    #[test]
    fn a_lot_comes_into_a_file_and_is_changed_there() {
        let lot =
            |name: &str, strength| Lot { name: name.into(), strength: Fraction::new(strength) };
        let first = with_lot(&source(FILE), &lot("L-1", 1.0791)).unwrap();
        assert!(first.contains("lot: (name: \"L-1\", strength: \"107.9 %\"),"), "{first}");
        let second = with_lot(&source(&first), &lot("L-2", 0.95)).unwrap();
        assert_eq!(second, first.replace("L-1", "L-2").replace("107.9 %", "95 %"));
    }

    #[test]
    fn figures_have_four_digits() {
        for (value, text) in [
            (0.0, "0"),
            (123.456, "123.5"),
            (0.001_234_56, "0.001235"),
            (81.38, "81.38"),
            (100.0, "100"),
            (12_345.6, "12346"),
            (7.0, "7"),
        ] {
            assert_eq!(figure_text(value), text);
        }
    }

    #[test]
    fn a_broken_file_is_told() {
        assert!(with_optics(&source("(version: 1, name: "), &optics()).is_err());
    }
}
