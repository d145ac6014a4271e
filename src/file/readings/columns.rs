//! Which column of a table means what, by its heading.

use super::Table;
use super::wavelength::{FIRST_NM, LAST_NM, wavelength_of};
use crate::diagnostic::{Diagnostic, Diagnostics};

const NAMES: [&str; 6] = ["sample_id", "sampleid", "sample_name", "id", "name", "sample"];
const LONG_BAND: [&str; 6] =
    ["wavelength", "wavelength_nm", "wavelength (nm)", "wavelength nm", "lambda", "nm"];
const LONG_VALUE: [&str; 9] = [
    "reflectance",
    "reflectance_percent",
    "reflectance_pct",
    "reflectance (%)",
    "reflectance %",
    "reflectance_fraction",
    "r",
    "r%",
    "%r",
];
const LAB: [[&str; 3]; 3] =
    [["lab_l", "lab_a", "lab_b"], ["l*", "a*", "b*"], ["cie_l*", "cie_a*", "cie_b*"]];

/// Where the reflectance stands.
pub(super) enum Spectrum {
    Wide(Vec<(f64, usize)>),
    Pairs(Vec<(usize, usize)>),
    Long { nm: usize, value: usize },
    Absent,
}

/// What each column means.
pub(super) struct Roles {
    /// The sample's name.
    pub(super) name: Option<usize>,
    /// L*, a*, b*.
    pub(super) lab: Option<[usize; 3]>,
    pub(super) spectrum: Spectrum,
}

impl Roles {
    pub(super) fn of(table: &Table, found: &mut Diagnostics) -> Self {
        let any = |names: &[&str]| names.iter().find_map(|name| table.column(name));
        let lab_columns = LAB
            .iter()
            .map(|names| names.map(|name| table.column(name)))
            .find(|columns| columns.iter().any(Option::is_some))
            .or_else(|| {
                let headings = table.headings();
                let exact =
                    ["L", "a", "b"].map(|name| headings.iter().position(|heading| heading == name));
                exact.iter().all(Option::is_some).then_some(exact)
            });
        let lab = lab_columns.and_then(|columns| match columns {
            [Some(l), Some(a), Some(b)] => Some([l, a, b]),
            partial => {
                if let Some(there) = partial.into_iter().flatten().next() {
                    found.push(
                        Diagnostic::caution(
                            "Lab is left out: of its three columns some are missing",
                        )
                        .at(table.header_place(there)),
                    );
                }
                None
            }
        });
        Self { name: any(&NAMES), lab, spectrum: spectrum(table, found) }
    }

    /// For each column of the table whether it has a meaning of its own here.
    pub(super) fn used(&self, width: usize) -> Vec<bool> {
        let mut used = vec![false; width];
        let mut mark = |column: usize| {
            if let Some(at) = used.get_mut(column) {
                *at = true;
            }
        };
        match &self.spectrum {
            Spectrum::Wide(bands) => bands.iter().for_each(|(_, column)| mark(*column)),
            Spectrum::Pairs(pairs) => pairs.iter().for_each(|(nm, value)| {
                mark(*nm);
                mark(*value);
            }),
            Spectrum::Long { nm, value } => {
                mark(*nm);
                mark(*value);
            }
            Spectrum::Absent => {}
        }
        self.name.into_iter().chain(self.lab.into_iter().flatten()).for_each(mark);
        used
    }

    /// The columns that hold reflectance.
    pub(super) fn values(&self) -> Vec<usize> {
        match &self.spectrum {
            Spectrum::Wide(bands) => bands.iter().map(|(_, column)| *column).collect(),
            Spectrum::Pairs(pairs) => pairs.iter().map(|(_, value)| *value).collect(),
            Spectrum::Long { value, .. } => vec![*value],
            Spectrum::Absent => Vec::new(),
        }
    }
}

fn spectrum(table: &Table, found: &mut Diagnostics) -> Spectrum {
    let headings = table.headings();
    let is = |column: usize, names: &[&str]| {
        headings
            .get(column)
            .is_some_and(|heading| names.iter().any(|name| heading.eq_ignore_ascii_case(name)))
    };
    let pairs: Vec<(usize, usize)> = (1..headings.len())
        .filter(|column| {
            is(column - 1, &["spectral_nm"])
                && is(*column, &["spectral_dec", "spectral_pct", "spectral_value"])
        })
        .map(|column| (column - 1, column))
        .collect();
    if !pairs.is_empty() {
        return Spectrum::Pairs(pairs);
    }
    let any = |names: &[&str]| names.iter().find_map(|name| table.column(name));
    let mut bands: Vec<(f64, usize)> = Vec::new();
    let mut outside: Vec<String> = Vec::new();
    for (column, heading) in headings.iter().enumerate() {
        let Some(nm) = wavelength_of(heading) else { continue };
        if !(FIRST_NM..=LAST_NM).contains(&nm) {
            outside.push(heading.to_string());
        } else if bands.iter().any(|(other, _)| (other - nm).abs() < 1e-9) {
            found.push(
                Diagnostic::error(format!("the band {nm} nm is there twice"))
                    .at(table.header_place(column)),
            );
        } else {
            bands.push((nm, column));
        }
    }
    // A lone band beside wavelength and reflectance columns is some other column.
    if bands.len() < 2
        && let (Some(nm), Some(value)) = (any(&LONG_BAND), any(&LONG_VALUE))
    {
        return Spectrum::Long { nm, value };
    }
    if bands.is_empty() {
        return Spectrum::Absent;
    }
    if !outside.is_empty() {
        let count = outside.len();
        found.push(
            Diagnostic::note(format!(
                "{count} {} outside {FIRST_NM} to {LAST_NM} nm left out",
                if count == 1 { "band is" } else { "bands are" }
            ))
            .at(table.header_place(0)),
        );
    }
    bands.sort_by(|a, b| a.0.total_cmp(&b.0));
    let nm: Vec<f64> = bands.iter().map(|(nm, _)| *nm).collect();
    found.extend(holes(&nm, table, 0));
    Spectrum::Wide(bands)
}

/// Cautions about a band that lies missing between its neighbours, and about ends that are cut off.
fn holes(nm: &[f64], table: &Table, column: usize) -> Diagnostics {
    let mut found = Diagnostics::default();
    let (Some(first), Some(last)) = (nm.first(), nm.last()) else { return found };
    let mut steps: Vec<f64> = nm.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    let usual = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
    for pair in nm.windows(2) {
        let wide = pair[1] - pair[0];
        if nm.len() >= 8 && wide > 1.5 * usual {
            found.push(
                Diagnostic::caution(format!(
                    "between {} and {} nm there is no band, where the others are {usual} nm apart",
                    pair[0], pair[1]
                ))
                .at(table.header_place(column)),
            );
        }
    }
    if *first > 400.0 || *last < 700.0 {
        found.push(
            Diagnostic::caution(format!("the bands reach from {first} to {last} nm only"))
                .at(table.header_place(column))
                .hint("colour needs 400 to 700 nm at least"),
        );
    }
    found
}
