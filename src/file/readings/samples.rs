//! What the columns of a table of readings mean: bands side by side, bands as number pairs, or one band
//! a row.
//!
//! | form | columns |
//! |---|---|
//! | wide | one column a band: `380`, `R380`, `SPECTRAL_NM380`, `380 nm`, … |
//! | pairs | `SPECTRAL_NM` and `SPECTRAL_DEC` or `SPECTRAL_PCT` again and again (CGATS.17) |
//! | long | `wavelength` and `reflectance`, one band a row, and a name column if there are several samples |
//!
//! Lab stands in `LAB_L`, `LAB_A`, `LAB_B` or `L*`, `a*`, `b*`. The name stands in `SAMPLE_ID`,
//! `SAMPLE_NAME`, `id`, `name` or `sample`. A percent sign in a heading means percent.

use std::collections::{BTreeMap, HashMap};

use super::columns::{Roles, Spectrum};
use super::scale::decide;
use super::table::MOST_MISTAKES;
use super::wavelength::{FIRST_NM, LAST_NM, says_percent};
use super::{RawReadings, RawSample, Scale, Table};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::suggest::listed;

/// Below zero by no more than this is an instrument's noise about a black; more is a mistake.
const NOISE_BELOW_ZERO: f64 = 0.005;

/// Above one by no more than this is an instrument's calibration about a white.
const NOISE_ABOVE_ONE: f64 = 0.01;

/// No surface returns more than this in a band, not even a fluorescent one.
const HIGHEST: f64 = 2.0;

/// One number with the cell that it stands in.
struct Band {
    nm: f64,
    value: f64,
    row: usize,
    column: usize,
}

/// One sample before its scale is known.
struct Draft {
    row: usize,
    bands: Vec<Band>,
}

/// The readings of a table; `facts` are what its header says beside.
///
/// # Errors
/// As [`super::read`].
pub fn of_table(
    table: &Table,
    declared: Option<Scale>,
    facts: BTreeMap<String, String>,
) -> Result<RawReadings, Diagnostics> {
    let mut found = Diagnostics::default();
    let roles = Roles::of(table, &mut found);
    let mut drafts = match &roles.spectrum {
        Spectrum::Wide(bands) => wide(table, bands, &mut found),
        Spectrum::Pairs(pairs) => pairs_of(table, pairs, &mut found),
        Spectrum::Long { nm, value } => long(table, roles.name, *nm, *value, &mut found),
        Spectrum::Absent => {
            (0..table.height()).map(|row| Draft { row, bands: Vec::new() }).collect()
        }
    };
    if matches!(roles.spectrum, Spectrum::Absent) && roles.lab.is_none() && !found.stop() {
        let headings = table.headings();
        let seen: Vec<&str> = headings.iter().take(8).map(AsRef::as_ref).collect();
        found.push(
            Diagnostic::error("there are no readings in this table: no column names a band or Lab")
                .at(table.header_place(0))
                .hint(format!(
                    "a band is named as R380 or SPECTRAL_NM380; the columns are {}",
                    listed(&seen, "and")
                )),
        );
    }
    if table.height() == 0 {
        found.push(Diagnostic::error("the table has no rows").at(table.header_place(0)));
    }
    for draft in &mut drafts {
        order(table, draft, &mut found);
    }
    scale_all(table, &mut drafts, declared, written_scale(table, &roles, &facts), &mut found);
    shorten(&mut found);
    if found.stop() {
        return Err(found);
    }
    let used = roles.used(table.width());
    let samples =
        drafts.into_iter().map(|draft| sample(table, &roles, &used, draft, &mut found)).collect();
    if found.stop() {
        return Err(found);
    }
    Ok(RawReadings { samples, facts, warnings: found })
}

fn wide(table: &Table, bands: &[(f64, usize)], found: &mut Diagnostics) -> Vec<Draft> {
    let mut drafts = Vec::with_capacity(table.height());
    for row in 0..table.height() {
        let blank = bands.iter().all(|(_, column)| table.text(row, *column).is_empty());
        let mut draft = Draft { row, bands: Vec::with_capacity(bands.len()) };
        // A row without any reading is a sample that was not measured; one with some is a mistake.
        if !blank {
            for (nm, column) in bands {
                match table.number(row, *column) {
                    Ok(value) => draft.bands.push(Band { nm: *nm, value, row, column: *column }),
                    Err(told) => found.push(told),
                }
            }
        }
        drafts.push(draft);
    }
    drafts
}

fn pairs_of(table: &Table, pairs: &[(usize, usize)], found: &mut Diagnostics) -> Vec<Draft> {
    (0..table.height())
        .map(|row| {
            let mut draft = Draft { row, bands: Vec::with_capacity(pairs.len()) };
            for (nm, value) in pairs {
                push_band(table, row, *nm, *value, &mut draft, found);
            }
            draft
        })
        .collect()
}

fn long(
    table: &Table,
    name: Option<usize>,
    nm: usize,
    value: usize,
    found: &mut Diagnostics,
) -> Vec<Draft> {
    let mut drafts: Vec<Draft> = Vec::new();
    let mut known: HashMap<String, usize> = HashMap::new();
    for row in 0..table.height() {
        let key = name.map_or_else(String::new, |column| table.text(row, column).into_owned());
        let at = *known.entry(key).or_insert_with(|| {
            drafts.push(Draft { row, bands: Vec::new() });
            drafts.len() - 1
        });
        if let Some(draft) = drafts.get_mut(at) {
            push_band(table, row, nm, value, draft, found);
        }
    }
    drafts
}

fn push_band(
    table: &Table,
    row: usize,
    nm: usize,
    value: usize,
    draft: &mut Draft,
    found: &mut Diagnostics,
) {
    match (table.number(row, nm), table.number(row, value)) {
        (Ok(nm), Ok(number)) => {
            if (FIRST_NM..=LAST_NM).contains(&nm) {
                draft.bands.push(Band { nm, value: number, row, column: value });
            }
        }
        (nm, number) => {
            for told in [nm.err(), number.err()].into_iter().flatten() {
                found.push(told);
            }
        }
    }
}

/// Bands in rising order; one that is there twice is a mistake.
fn order(table: &Table, draft: &mut Draft, found: &mut Diagnostics) {
    draft.bands.sort_by(|a, b| a.nm.total_cmp(&b.nm));
    for pair in draft.bands.windows(2) {
        if (pair[1].nm - pair[0].nm).abs() < 1e-9 {
            found.push(
                Diagnostic::error(format!("the band {} nm is there twice", pair[1].nm))
                    .at(table.place(pair[1].row, pair[1].column)),
            );
        }
    }
}

/// What the headings or the header's words say about the scale.
fn written_scale(table: &Table, roles: &Roles, facts: &BTreeMap<String, String>) -> Option<Scale> {
    let says = |percent: bool| if percent { Scale::Percent } else { Scale::Fraction };
    let values = roles.values();
    let by_heading =
        values.iter().find_map(|column| says_percent(&table.heading(*column))).map(says);
    by_heading.or_else(|| {
        // The number that stands for all the light, as some instruments state it.
        let norm = facts.get("SPECTRAL_NORM")?.trim().parse::<f64>().ok()?;
        [Scale::Fraction, Scale::Percent]
            .into_iter()
            .find(|scale| (scale.full() - norm).abs() < 1e-9)
    })
}

/// Brings all numbers to fractions, and tells those that no surface can have.
fn scale_all(
    table: &Table,
    drafts: &mut [Draft],
    declared: Option<Scale>,
    written: Option<Scale>,
    found: &mut Diagnostics,
) {
    let largest =
        |draft: &Draft| draft.bands.iter().map(|band| band.value).fold(f64::NEG_INFINITY, f64::max);
    let Some(top) = drafts
        .iter()
        .flat_map(|draft| &draft.bands)
        .max_by(|a, b| a.value.total_cmp(&b.value))
        .map(|band| (band.value, table.place(band.row, band.column)))
    else {
        return;
    };
    let dim = |draft: &Draft| !draft.bands.is_empty() && (0.0..=1.0).contains(&largest(draft));
    // One misplaced decimal point must not turn a file of fractions into percent.
    if declared.or(written).is_none()
        && top.0 > HIGHEST
        && let Some(draft) = drafts.iter().find(|draft| dim(draft))
    {
        return found.push(
            Diagnostic::error(format!(
                "nothing tells whether these are percent or fractions: no number of this sample is above 1, but elsewhere \
                 there is {}",
                top.0
            ))
            .at(table.row_place(draft.row))
            .hint("state which, and look for a misplaced decimal point"),
        );
    }
    let scale = match decide(declared, written, top.0, top.1) {
        Ok((scale, said)) => {
            found.0.extend(said);
            scale
        }
        Err(told) => return found.push(told),
    };
    let mut negative = 0_usize;
    let mut bright = 0_usize;
    for draft in drafts {
        if scale == Scale::Percent
            && !draft.bands.is_empty()
            && (0.0..=1.0).contains(&largest(draft))
        {
            found.push(
                Diagnostic::caution(
                    "no number of this sample is above 1 %: is it written as fractions?",
                )
                .at(table.row_place(draft.row)),
            );
        }
        for band in &mut draft.bands {
            let written = band.value;
            band.value /= scale.full();
            let place = || table.place(band.row, band.column);
            if band.value < -NOISE_BELOW_ZERO {
                found.push(
                    Diagnostic::error(format!(
                        "reflectance at {} nm is below zero: {written}",
                        band.nm
                    ))
                    .at(place()),
                );
            } else if band.value < 0.0 {
                negative += 1;
                if negative == 1 {
                    found.push(
                        Diagnostic::caution(format!(
                            "reflectance at {} nm is below zero: {written}; taken as 0",
                            band.nm
                        ))
                        .at(place()),
                    );
                }
                band.value = 0.0;
            } else if band.value > HIGHEST {
                found.push(
                    Diagnostic::error(format!(
                        "reflectance at {} nm is more than any surface has: {written}",
                        band.nm
                    ))
                    .at(place()),
                );
            } else if band.value > 1.0 + NOISE_ABOVE_ONE {
                bright += 1;
                if bright == 1 {
                    found.push(
                        Diagnostic::caution(format!(
                            "at {} nm more light comes back than fell on it: {written}",
                            band.nm
                        ))
                        .at(place())
                        .hint("a fluorescent sample, or a white calibration that has drifted"),
                    );
                }
            }
        }
    }
    for (count, what) in [(negative, "below zero, taken as 0"), (bright, "above one")] {
        if count > 1 {
            found.push(Diagnostic::caution(format!("{} more readings are {what}", count - 1)));
        }
    }
}

fn sample(
    table: &Table,
    roles: &Roles,
    used: &[bool],
    draft: Draft,
    found: &mut Diagnostics,
) -> RawSample {
    let row = draft.row;
    let id = roles.name.map(|column| table.text(row, column)).filter(|id| !id.is_empty());
    let lab = roles.lab.and_then(|columns| {
        if columns.iter().all(|column| table.text(row, *column).is_empty()) {
            return None;
        }
        let numbers = columns.map(|column| match table.number(row, column) {
            Ok(number) => Some(number),
            Err(told) => {
                found.push(told);
                None
            }
        });
        let [Some(l), Some(a), Some(b)] = numbers else { return None };
        if !(-0.5..=110.0).contains(&l) {
            found.push(
                Diagnostic::error(format!("L* lies between 0 and 100, not at {l}"))
                    .at(table.place(row, columns[0])),
            );
        }
        Some([l, a, b])
    });
    let columns = used
        .iter()
        .enumerate()
        .filter(|(column, used)| !**used && !table.text(row, *column).is_empty())
        .map(|(column, _)| column)
        .map(|column| (table.heading(column).into_owned(), table.text(row, column).into_owned()))
        .collect();
    RawSample {
        id: id.map_or_else(|| format!("row {}", row + 1), |id| id.into_owned()),
        place: table.row_place(row),
        wavelengths_nm: draft.bands.iter().map(|band| band.nm).collect(),
        reflectance: draft.bands.iter().map(|band| band.value).collect(),
        lab,
        columns,
    }
}

/// At most so many mistakes: a wrong file would give thousands.
pub(super) fn shorten(found: &mut Diagnostics) {
    if found.0.len() > 2 * MOST_MISTAKES {
        let more = found.0.len() - MOST_MISTAKES;
        found.0.sort_by_key(|each| std::cmp::Reverse(each.severity));
        let severity = found.0[MOST_MISTAKES].severity;
        found.0.truncate(MOST_MISTAKES);
        found.push(Diagnostic::of(severity, format!("and {more} more")));
    }
}
