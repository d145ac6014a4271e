//! A new shop.

use std::path::Path;

use include_dir::{Dir, include_dir};

use crate::diagnostic::Diagnostic;
use crate::store::{NewFile, write_files};

/// The demo: the boathouse café's shop.
static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/recipes");

/// A house file that states nothing but what is usual.
const EMPTY_HOUSE: &str = "\
// Your own scales, vessels and limits. What is left out is as pourbook's defaults.
(
    version: 1,
    units: Us,
    scales: [
        (name: \"bench scale\", readability: \"1 g\", capacity: \"15 kg\"),
        (name: \"small scale\", readability: \"0.1 g\", capacity: \"2 kg\"),
        // One to 0.01 g weighs accents and small doses without a let-down:
        // (name: \"pocket scale\", readability: \"0.01 g\", capacity: \"200 g\"),
    ],
    vessels: [\"1 qt\", \"2 1/2 qt\", \"1 gal\", \"2 gal\"],
    fill: \"80 %\", // of the brim, so that it can be stirred
    largest_mix: \"3 kg\", // the most mixed at once, for its heat; ask the resin's datasheet
)
";

/// A skeleton of each kind of file, in a folder that no shop is read from.
const SKELETONS: [(&str, &str); 4] = [
    ("skeletons/system.ron", include_str!("skeletons/system.ron")),
    ("skeletons/colorant.ron", include_str!("skeletons/colorant.ron")),
    ("skeletons/colourway.ron", include_str!("skeletons/colourway.ron")),
    ("skeletons/job.ron", include_str!("skeletons/job.ron")),
];

/// What was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Started {
    /// Files written, by their path inside the folder.
    pub files: Vec<String>,
}

/// Makes a shop in `folder`: a copy of the demo, or an empty one with its folders and a skeleton of each kind of file.
///
/// # Errors
/// The folder holds something already, or cannot be written.
pub fn start(folder: &Path, empty: bool) -> Result<Started, Diagnostic> {
    let holds_something = std::fs::read_dir(folder).is_ok_and(|mut inside| inside.next().is_some());
    if holds_something {
        return Err(Diagnostic::error(format!("{} is not empty", folder.display()))
            .hint("name a new folder; nothing was written"));
    }
    let mut files: Vec<(&Path, &[u8])> = Vec::new();
    if empty {
        files.push((Path::new("house.ron"), EMPTY_HOUSE.as_bytes()));
        // Hidden, empty files that keep the folders of an empty shop.
        for keep in ["systems/.keep", "colorants/.keep", "colourways/.keep", "jobs/.keep"] {
            files.push((Path::new(keep), b""));
        }
        files.extend(SKELETONS.map(|(path, text)| (Path::new(path), text.as_bytes())));
    } else {
        gather(&DEMO, &mut files);
    }
    let new: Vec<NewFile<'_>> = files.iter().map(|(path, bytes)| NewFile { path, bytes }).collect();
    write_files(folder, &new)?;
    Ok(Started { files: files.iter().map(|(path, _)| path.display().to_string()).collect() })
}

fn gather<'a>(folder: &'a Dir<'a>, files: &mut Vec<(&'a Path, &'a [u8])>) {
    files.extend(folder.files().map(|file| (file.path(), file.contents())));
    for inner in folder.dirs() {
        gather(inner, files);
    }
}
