//! Which chips cannot be drawn, and why, as a caution.

use std::collections::BTreeSet;

use super::restoration_text::colour_unknown_words;
use crate::diagnostic::Diagnostic;
use crate::picture::Chip;
use crate::suggest;

/// Which chips are left out, for want of whose optical data, and whence these come; nothing where each is drawn.
#[must_use]
pub fn left_out_chips(chips: &[Chip]) -> Option<Diagnostic> {
    let unseen: BTreeSet<String> =
        chips.iter().flat_map(|chip| chip.without_optics.iter().cloned()).collect();
    let unseen: Vec<String> = unseen.into_iter().collect();
    let left_out: Vec<String> = chips
        .iter()
        .filter(|chip| chip.look.is_err())
        .map(|chip| format!("{} {}", if chip.accent { "accent" } else { "base" }, chip.name))
        .collect();
    let names: Vec<&str> = left_out.iter().map(String::as_str).collect();
    let what = match (&names[..], names.len() == chips.len()) {
        ([], _) => return None,
        (_, true) => "every chip, their overview and their spectra".to_owned(),
        ([name], _) => format!("the chip of {name}"),
        _ => format!("the chips of {}", suggest::listed(&names, "and")),
    };
    Some(Diagnostic::caution(colour_unknown_words(&unseen)).hint(format!("left out: {what}")))
}
