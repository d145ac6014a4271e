//! Names of columns that hold a band: `SPECTRAL_NM380`, `NM_380`, `R380`, `380 nm`.

/// Bands that are taken: the range of the CIE 1931 and 1964 observers (ISO/CIE 11664-1).
pub(super) const FIRST_NM: f64 = 360.0;
/// See [`FIRST_NM`].
pub(super) const LAST_NM: f64 = 830.0;

/// Numbers that a heading can mean as a wavelength: ultraviolet to near infrared.
const SHORTEST_NM: f64 = 250.0;
const LONGEST_NM: f64 = 2600.0;

/// What stands before the number, longest first, in lower case. `SPECTRAL_NM`, `SPECTRAL_PCT` and
/// `SPECTRAL_DEC` are words of CGATS.17; the rest are what instruments and spreadsheets write
/// (common practice, no source).
const BEFORE: [&str; 13] = [
    "spectral_nm_",
    "spectral_nm",
    "spectral_pct_",
    "spectral_pct",
    "spectral_dec_",
    "spectral_dec",
    "spectral_",
    "spec_",
    "nm_",
    "nm",
    "r_",
    "r",
    "",
];

/// What stands after it.
const AFTER: [&str; 4] = [" nm", "_nm", "nm", ""];

/// What says percent beside it.
const PERCENT: [&str; 5] = ["(%)", "[%]", "%", "percent", "pct"];

/// The band that a heading names, in nanometres.
pub(super) fn wavelength_of(heading: &str) -> Option<f64> {
    let heading = without_unit(heading);
    let after = BEFORE.iter().find_map(|before| {
        let rest = heading.strip_prefix(before)?;
        rest.starts_with(|c: char| c.is_ascii_digit()).then_some(rest)
    })?;
    let digits = AFTER.iter().find_map(|end| after.strip_suffix(end))?.trim();
    let plain = digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    let nm = digits.parse::<f64>().ok().filter(|_| plain)?;
    (SHORTEST_NM..=LONGEST_NM).contains(&nm).then_some(nm)
}

/// Whether a heading says that its numbers are percent (`Some(true)`) or fractions (`Some(false)`).
pub(super) fn says_percent(heading: &str) -> Option<bool> {
    let heading = heading.to_ascii_lowercase();
    if PERCENT.iter().any(|word| heading.contains(word)) {
        Some(true)
    } else if heading.contains("spectral_dec") || heading.contains("fraction") {
        Some(false)
    } else {
        None
    }
}

fn without_unit(heading: &str) -> String {
    let mut heading = heading.trim().to_ascii_lowercase();
    for word in ["(%)", "[%]", "%", "percent"] {
        if let Some(rest) = heading.strip_suffix(word) {
            heading = rest.trim_end_matches([' ', '_']).to_owned();
        }
        if let Some(rest) = heading.strip_prefix(word) {
            heading = rest.trim_start_matches([' ', '_']).to_owned();
        }
    }
    heading
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_seen_in_the_wild_name_their_band() {
        for heading in [
            "SPECTRAL_NM380",
            "SPECTRAL_NM_380",
            "SPECTRAL_380",
            "SPEC_380",
            "NM_380",
            "nm380",
            "R380",
            "r_380.0",
            "380",
            "380nm",
            "380 nm",
            "380.00",
            "R380 %",
            "%R380",
            "SPECTRAL_PCT_380",
            "R380 (%)",
            "SPECTRAL_DEC380",
        ] {
            assert_eq!(wavelength_of(heading), Some(380.0), "{heading}");
        }
    }

    #[test]
    fn other_headings_do_not() {
        for heading in [
            "",
            "R",
            "R5",
            "380x",
            "LAB_L",
            "quantity_380",
            "1.4",
            "NM",
            "SPECTRAL_NM",
            "3800",
            "R380.0.1",
        ] {
            assert_eq!(wavelength_of(heading), None, "{heading}");
        }
    }

    #[test]
    fn percent_is_taken_only_where_it_is_said() {
        assert_eq!(says_percent("R380 %"), Some(true));
        assert_eq!(says_percent("SPECTRAL_PCT_380"), Some(true));
        assert_eq!(says_percent("SPECTRAL_DEC_380"), Some(false));
        assert_eq!(says_percent("R380"), None);
    }
}
