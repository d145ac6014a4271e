//! A characterisation for eyes.

use super::page::{Column, Page, Paint};
use crate::characterise::{Finding, Identified, Interval, LotStrength};
use crate::spectrum::{BANDS, wavelength_nm};

/// The finding as a page: what it rests on, how well it fits, every band, what to read next.
#[must_use]
pub fn characterise_text(finding: &Finding, paint: Paint) -> String {
    let found = &finding.found;
    let mut page = Page::new(paint);
    page.title(&format!("{}, from readings in {}", finding.colorant, finding.system));
    page.hang(2, "route     ", finding.route.words());
    page.hang(
        2,
        "standing  ",
        &format!(
            "{}; mixtures may be off by about {} ΔE00 on the mean (a simulated shop's figure)",
            finding.standing,
            finding.expected_delta_e_2000()
        ),
    );
    if !finding.known.is_empty() {
        page.hang(2, "known     ", &finding.known.join(", "));
    }
    page.hang(
        2,
        "fit       ",
        &format!(
            "{:.4} rms in the cube root of reflectance; worst {:+.4} at {:.0} nm{}",
            found.rms_root,
            found.worst.1,
            wavelength_nm(found.worst.0),
            found.misfit.map_or_else(String::new, |misfit| format!(
                "; {:.2} times the stated noise",
                libm::sqrt(misfit)
            )),
        ),
    );
    films(&mut page, finding);
    bands(&mut page, finding);
    next(&mut page, finding);
    page.into_text()
}

fn films(page: &mut Page, finding: &Finding) {
    page.heading("FILMS");
    let mut rows = Vec::new();
    for film in &finding.films {
        let mm = |film: Option<crate::quantity::Length>| {
            film.map_or_else(|| "hides".to_owned(), |film| format!("{:.3} mm", film.mm()))
        };
        rows.push(vec![
            film.rows.join(", "),
            mm(film.stated),
            film.seen.map_or_else(String::new, |_| format!("fits {}", mm(film.seen))),
            if film.denied {
                format!("WRONG? {:+.1} deviations", film.deviations)
            } else {
                String::new()
            },
        ]);
    }
    page.rows(2, &[Column::Left, Column::Right, Column::Right, Column::Left], &rows);
}

fn bands(page: &mut Page, finding: &Finding) {
    let found = &finding.found;
    page.heading("BANDS: mm⁻¹ per (g of colorant per mL of film), with their 95 % intervals");
    let both = found.identified.iter().filter(|each| **each == Identified::Both).count();
    page.line(2, &format!("{both} of {BANDS} bands are determined by the readings"));
    let mut rows =
        vec![["nm", "k", "from", "to", "s", "from", "to", ""].map(str::to_owned).to_vec()];
    for band in 0..BANDS {
        let end = |interval: Interval| {
            let high = interval.high;
            [figure(interval.low), if high.is_finite() { figure(high) } else { "open".to_owned() }]
        };
        let ([k_low, k_high], [s_low, s_high]) =
            (end(found.k_interval[band]), end(found.s_interval[band]));
        rows.push(vec![
            format!("{:.0}", wavelength_nm(band)),
            figure(found.unit.k[band]),
            k_low,
            k_high,
            figure(found.unit.s[band]),
            s_low,
            s_high,
            match found.identified[band] {
                Identified::Both => String::new(),
                Identified::RatioOnly => "only k/s".to_owned(),
                Identified::Neither => "undetermined".to_owned(),
            },
        ]);
    }
    let columns = [[Column::Right; 7].as_slice(), &[Column::Left]].concat();
    page.rows(2, &columns, &rows);
}

fn next(page: &mut Page, finding: &Finding) {
    page.heading("WHAT TO READ NEXT");
    let now = finding.error_now;
    let Some(best) = finding.next.first() else {
        page.line(
            2,
            &format!("nothing is worth it: usual tints and films of it are expected right to {now:.2} of L*"),
        );
        return;
    };
    page.line(
        2,
        &format!(
            "{}: usual tints and films of it, now off by about {now:.2} of L*, would be off by {:.2}",
            best.words, best.error_after
        ),
    );
    for other in finding.next.iter().skip(1).take(2) {
        page.line(2, &format!("or {}: {:.2}", other.words, other.error_after));
    }
}

/// Four digits.
fn figure(value: f64) -> String {
    crate::file::figure_text(value)
}

/// A lot's strength as a page.
#[must_use]
pub fn lot_text(colorant: &str, lot: &str, strength: &LotStrength) -> String {
    let mut page = Page::new(Paint::None);
    page.line(
        0,
        &format!(
            "{colorant}, lot {lot}: {:.1} % of the standing lot's strength, at {:.0} nm where it absorbs most ({:.1} to {:.1} % over all bands that absorb)",
            100.0 * strength.strength,
            strength.nm,
            100.0 * strength.range.0,
            100.0 * strength.range.1
        ),
    );
    page.line(
        0,
        &format!(
            "a dose of 1 % of the standing lot is {:.3} % of this one",
            100.0 * strength.loading(0.01)
        ),
    );
    page.into_text()
}
