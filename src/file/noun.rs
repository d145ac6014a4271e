//! How every file of a noun is read: its version, its parts by the noun's own wire, the noun of its
//! parts, and all mistakes of one run in the order of the file.

use std::cell::{Cell, RefCell};
use std::sync::Arc;

use super::place::{Placed, Places};
use super::tree::{Fields, Kind, Tree, Value, in_order};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Source};
use crate::model::Faults;

/// The newest version that is read.
///
/// A file of an older version is read for ever: whoever raises this keeps the old wire beside the
/// new one, with a file of that version among the tests.
const NEWEST: u32 = 1;

/// Notes that a value could not be read while the rest of the noun goes on to be checked.
///
/// One slip in a film must not hide that the shares do not sum. So a wire fills the gap with a value
/// that no check minds, and the noun made of it is thrown away after its checks.
#[derive(Debug, Default)]
pub(super) struct Gaps(Cell<bool>);

impl Gaps {
    /// What was read, or `harmless` in its stead.
    pub(super) fn fill<T>(&self, read: Option<T>, harmless: T) -> T {
        read.unwrap_or_else(|| {
            self.0.set(true);
            harmless
        })
    }
}

/// Reads one noun: its parts by `wire`, the noun by `make`.
pub(super) fn read<P, T>(
    source: &Arc<Source>,
    wire: impl FnOnce(Value<'_>, &Gaps) -> Option<P>,
    make: impl FnOnce(P) -> Result<T, Faults>,
) -> Result<Placed<T>, Diagnostics> {
    let mut tree = Tree::parse(source);
    if let Some(newer) = of_newer_version(&tree) {
        return Err(newer);
    }
    if tree.lost {
        return Err(tree.found);
    }
    let found = RefCell::new(std::mem::take(&mut tree.found));
    let gaps = Gaps::default();
    let parts = wire(Value::top(&tree.root, source, &found), &gaps);
    let mut found = found.into_inner();
    let places = Places { tree };
    let made = if misnames_a_part(&places, &found) { None } else { parts.map(make) };
    let noun = match made {
        Some(Ok(noun)) => Some(noun),
        Some(Err(faults)) => {
            add_faults(&places, faults, &mut found);
            None
        }
        None => None,
    };
    in_order(&mut found, source);
    match noun {
        Some(noun) if !found.stop() && !gaps.0.get() => Ok(Placed { noun, places }),
        _ if found.stop() => Err(found),
        _ => {
            Err(Diagnostic::error("the file could not be read").at(Place::new(source, 0..0)).into())
        }
    }
}

/// Whether a mistake lies on the name of one of the file's own fields or entries: then something
/// that is missed elsewhere may well be that one, and the noun is not worth checking.
fn misnames_a_part(places: &Places, found: &Diagnostics) -> bool {
    let Kind::Fields { fields, .. } = &places.tree.root.inside().kind else { return false };
    let entries = fields.iter().flat_map(|field| match &field.value.inside().kind {
        Kind::Map(entries) => entries.as_slice(),
        _ => &[],
    });
    let words: Vec<_> = fields
        .iter()
        .map(|field| &field.name.span)
        .chain(entries.map(|entry| &entry.key.span))
        .collect();
    let mut places = found.0.iter().filter_map(|each| each.place.as_ref());
    places.any(|place| words.contains(&&place.span))
}

/// Adds what the model found, but for what merely follows from a mistake already told inside the
/// same value.
fn add_faults(places: &Places, faults: Faults, found: &mut Diagnostics) {
    let told: Vec<usize> =
        found.0.iter().filter_map(|each| Some(each.place.as_ref()?.span.start)).collect();
    for fault in faults.0 {
        let extent = places.extent(&fault.path);
        if !told.iter().any(|at| extent.contains(at)) {
            found.push(places.diagnostic(fault));
        }
    }
}

/// What to say of a file that a newer pourbook wrote; its other fields are none of our business.
fn of_newer_version(tree: &Tree) -> Option<Diagnostics> {
    let Kind::Fields { fields, .. } = &tree.root.inside().kind else { return None };
    let version = &fields.iter().find(|field| field.name.text == "version")?.value;
    let Kind::Number(digits) = &version.inside().kind else { return None };
    if !digits.parse::<u32>().is_ok_and(|version| version > NEWEST) {
        return None;
    }
    let found = RefCell::new(Diagnostics::default());
    let read = Value::top(version, &tree.source, &found).version(NEWEST);
    read.is_none().then(|| found.into_inner())
}

/// The version of a file, which it must state.
pub(super) fn version(fields: Fields<'_>, gaps: &Gaps) {
    let stated = fields.get("version").map(|at| at.version(NEWEST));
    let read = stated.unwrap_or_else(|| {
        let whole = fields.whole();
        if matches!(whole.node().kind, Kind::Fields { broken: true, .. }) {
            return None;
        }
        let place = whole.place();
        let start = place.span.start;
        whole.report(
            Diagnostic::error("the file does not state its version")
                .at(Place::new(&place.source, start..start + 1))
                .hint(format!("write version: {NEWEST}, first")),
        )
    });
    gaps.fill(read, NEWEST);
}

/// A note, which any group may hold for people.
pub(super) fn note(fields: Fields<'_>, gaps: &Gaps) -> Option<String> {
    gaps.fill(fields.may("note", Value::text), None)
}
