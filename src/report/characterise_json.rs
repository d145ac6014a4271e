//! A characterisation as JSON: schema `pourbook.characterise`, version 1, described in the book's page
//! on readings.

use serde_json::{Value, json};

use crate::characterise::{Basis, CONFIDENCE, Finding, Identified, Interval, LotStrength};

/// The schema's version: raised when a key changes its meaning or goes away.
pub const VERSION: u32 = 1;

/// The whole finding.
#[must_use]
pub fn characterise_json(finding: &Finding) -> Value {
    let found = &finding.found;
    json!({
        "schema": "pourbook.characterise",
        "version": VERSION,
        "colorant": finding.colorant,
        "system": finding.system,
        "route": route_word(finding.route),
        "colour_alone": finding.colour_alone,
        "basis": match found.basis {
            Basis::Readings => "readings",
            Basis::Presumption => "presumption",
        },
        "standing": finding.standing.word(),
        "expected_delta_e_2000": finding.expected_delta_e_2000(),
        "known": finding.known,
        "first_nm": crate::spectrum::FIRST_NM,
        "step_nm": crate::spectrum::STEP_NM,
        "k": found.unit.k.0.to_vec(),
        "s": found.unit.s.0.to_vec(),
        "confidence": CONFIDENCE,
        "k_interval": found.k_interval.map(interval).to_vec(),
        "s_interval": found.s_interval.map(interval).to_vec(),
        "identified": found.identified.map(identified_word).to_vec(),
        "common_doubt": found.scale,
        "rms_root": found.rms_root,
        "worst": {
            "nm": crate::spectrum::wavelength_nm(found.worst.0),
            "root": found.worst.1,
        },
        "misfit": found.misfit,
        "films": finding.films.iter().map(|film| json!({
            "rows": film.rows,
            "stated_mm": film.stated.map(|film| film.mm()),
            "seen_mm": film.seen.map(|film| film.mm()),
            "deviations": film.deviations,
            "denied": film.denied,
        })).collect::<Vec<_>>(),
        "expected_error_lightness": finding.error_now,
        "next_readings": finding.next.iter().map(|next| json!({
            "read": next.words,
            "expected_error_lightness": next.error_after,
        })).collect::<Vec<_>>(),
    })
}

/// A lot's strength.
#[must_use]
pub fn lot_json(colorant: &str, lot: &str, strength: &LotStrength) -> Value {
    json!({
        "schema": "pourbook.lot",
        "version": VERSION,
        "colorant": colorant,
        "lot": lot,
        "strength": strength.strength,
        "nm": strength.nm,
        "lowest": strength.range.0,
        "highest": strength.range.1,
    })
}

const fn route_word(route: crate::characterise::Route) -> &'static str {
    use crate::characterise::Route;
    match route {
        Route::Readings => "readings",
        Route::OneFilm => "one_film",
        Route::Tint => "tint",
        Route::MasstoneAlone => "masstone_alone",
    }
}

const fn identified_word(identified: Identified) -> &'static str {
    match identified {
        Identified::Both => "both",
        Identified::RatioOnly => "ratio",
        Identified::Neither => "neither",
    }
}

/// An open end is `null`.
fn interval(interval: Interval) -> Value {
    json!([interval.low, interval.high.is_finite().then_some(interval.high)])
}
