//! What an earlier plan left in a folder.

use std::fs;
use std::path::Path;

/// Files of every saved plan.
const ALWAYS: [&str; 4] = ["plan.txt", "plan.json", "sheets.pdf", "sheets.html"];

/// How pictures' names begin: alone, or before a `-` and what tells one from another.
const PICTURES: [&str; 8] =
    ["base", "accent", "overview", "spectra", "pour", "close-up", "lamps", "seeds"];

/// Files in `folder` with names that are given to plans and their pictures, but for those just `written`: they are of
/// an earlier plan. By name; none where the folder cannot be read.
#[must_use]
pub fn left_from_earlier(folder: &Path, written: &[&str]) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let files = entries.flatten().filter(|entry| entry.path().is_file());
    let names = files.filter_map(|entry| entry.file_name().into_string().ok());
    let mut left: Vec<String> =
        names.filter(|name| is_ours(name) && !written.contains(&name.as_str())).collect();
    left.sort();
    left
}

fn is_ours(name: &str) -> bool {
    let is_picture = |stem: &str| {
        let mut rest = PICTURES.iter().filter_map(|word| stem.strip_prefix(word));
        rest.any(|rest| rest.is_empty() || rest.starts_with('-'))
    };
    ALWAYS.contains(&name)
        || name
            .rsplit_once('.')
            .is_some_and(|(stem, ending)| matches!(ending, "png" | "svg") && is_picture(stem))
}
