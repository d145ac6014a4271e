//! A shop's folder, read.
//!
//! ```text
//! house.ron      scales, vessels, thresholds (may be left out)
//! systems/       one resin system a file
//! colorants/     one colorant a file
//! colourways/    one recipe a file
//! jobs/          one job a file
//! ```
//!
//! A noun goes by the name inside its file; the file's own name is free. Files are read in the order
//! of their names. Hidden files and files without `.ron` are left alone, folders are not entered.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::refusal::{about, shown, whole, why};
use super::text::read_text;
use crate::diagnostic::{Diagnostic, Diagnostics, Source};
use crate::file;
use crate::file::decode::LARGEST_SHOP_FILE;
use crate::file::place::{Placed, Places, name_in};
use crate::model::{House, Shop, Step};
use crate::suggest;

const HOUSE: &str = "house.ron";
/// The folders of a shop's texts.
pub(super) const FOLDERS: [&str; 4] = ["systems", "colorants", "colourways", "jobs"];
/// What else stands in a shop's folder and is none of its texts.
const OTHERS: [&str; 2] = ["swatches", "records.db"];

/// The file of one sound noun.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopFile {
    /// Where it lies.
    pub path: PathBuf,
    /// Where in it everything stands.
    pub places: Places,
}

/// The files of a shop by the names of their nouns; those that could not be read apart.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Files {
    /// The house's, if there is one and it is sound.
    pub house: Option<ShopFile>,
    /// Resin systems.
    pub systems: BTreeMap<String, ShopFile>,
    /// Colorants.
    pub colorants: BTreeMap<String, ShopFile>,
    /// Recipes.
    pub colourways: BTreeMap<String, ShopFile>,
    /// Jobs.
    pub jobs: BTreeMap<String, ShopFile>,
    /// Files with mistakes: what they hold is not in the shop, yet not unknown either.
    pub unsound: Vec<Unsound>,
    /// How many shop files were found, sound or not.
    pub count: usize,
}

/// A file with mistakes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unsound {
    /// The folder of the shop in which it stands, `colourways` or another.
    pub folder: &'static str,
    /// Where it is.
    pub path: PathBuf,
    /// The name of its noun, where that much could be read.
    pub name: Option<String>,
}

/// A shop's folder as it was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// Its folder.
    pub folder: PathBuf,
    /// All sound nouns.
    pub shop: Shop,
    /// Their files.
    pub files: Files,
    /// Everything wrong in a file by itself, file by file; what the files say of one another is told
    /// by [`check_all`](super::check_all).
    pub found: Diagnostics,
    /// What is wrong in the house's file, also told in `found`: the usual house then stands in its
    /// place, which is good enough to check the other files by but not to weigh by.
    pub house_found: Diagnostics,
}

/// Reads the shop in `folder`. Files with mistakes are told in [`Opened::found`], and the rest is
/// there all the same.
///
/// # Errors
/// When there is no such folder, it may not be read, or it is no shop.
pub fn open(folder: &Path) -> Result<Opened, Diagnostics> {
    let mut opened = Opened {
        folder: folder.to_owned(),
        shop: Shop::default(),
        files: Files::default(),
        found: Diagnostics::default(),
        house_found: Diagnostics::default(),
    };
    opened.look_around()?;
    opened.read_house();
    let house = opened.shop.house.clone();
    opened.read_folder("systems", file::system::read, |opened, name, noun, file| {
        opened.shop.systems.insert(name.clone(), noun);
        opened.files.systems.insert(name, file);
    });
    opened.read_folder("colorants", file::colorant::read, |opened, name, noun, file| {
        opened.shop.colorants.insert(name.clone(), noun);
        opened.files.colorants.insert(name, file);
    });
    let read = |source: &Arc<Source>| file::colourway::read(source, &house);
    opened.read_folder("colourways", read, |opened, name, noun, file| {
        opened.shop.colourways.insert(name.clone(), noun);
        opened.files.colourways.insert(name, file);
    });
    let read = |source: &Arc<Source>| file::job::read(source, &house);
    opened.read_folder("jobs", read, |opened, name, noun, file| {
        opened.shop.jobs.insert(name.clone(), noun);
        opened.files.jobs.insert(name, file);
    });
    Ok(opened)
}

/// A noun that goes by a name.
trait Named {
    fn name(&self) -> &str;
}

/// Implements [`Named`] by the noun's own `name`.
macro_rules! named {
    ($($noun:ident),*) => {$(
        impl Named for crate::model::$noun {
            fn name(&self) -> &str {
                &self.name
            }
        }
    )*};
}

named!(System, Colorant, Colourway, Job);

impl Files {
    /// The files of one folder.
    fn of(&self, folder: &str) -> &BTreeMap<String, ShopFile> {
        match folder {
            "systems" => &self.systems,
            "colorants" => &self.colorants,
            "colourways" => &self.colourways,
            _ => &self.jobs,
        }
    }
}

impl Opened {
    /// Whether this is a shop at all, and what stands in it that will not be read.
    fn look_around(&mut self) -> Result<(), Diagnostics> {
        let name = shown(&self.folder);
        let entries = names_in(&self.folder).map_err(|error| match error {
            Unlisted::NoFolder => {
                Diagnostics::from(Diagnostic::error(format!("there is no folder {name}")))
            }
            Unlisted::Because(why) => {
                Diagnostic::error(format!("the folder {name} cannot be read: {why}")).into()
            }
        })?;
        let known = |entry: &str| entry == HOUSE || FOLDERS.contains(&entry);
        if !entries.iter().any(|entry| known(entry)) {
            return Err(Diagnostic::error(format!("{name} is no shop"))
                .hint(format!(
                    "a shop's folder holds {}, and {HOUSE}",
                    suggest::listed(
                        &FOLDERS.map(|each| format!("{each}/")).each_ref().map(String::as_str),
                        "and"
                    )
                ))
                .into());
        }
        for entry in entries {
            if known(&entry) || OTHERS.contains(&entry.as_str()) {
                continue;
            }
            let path = self.folder.join(&entry);
            let nearest = suggest::nearest(&entry, FOLDERS.into_iter().chain([HOUSE]));
            let is_file = has_ending(&entry, "ron");
            if nearest.is_none() && !is_file {
                continue;
            }
            let caution = Diagnostic::caution(format!("{entry} is not read"));
            let mut caution = caution.at(whole(&shown(&path)));
            if is_file {
                caution = caution.hint(format!("put it into {}", suggest::listed(&FOLDERS, "or")));
            }
            if let Some(right) = nearest {
                caution = caution.hint(format!("did you mean \"{right}\"?"));
            }
            self.found.push(caution);
        }
        Ok(())
    }

    fn read_house(&mut self) {
        let path = self.folder.join(HOUSE);
        if fs::symlink_metadata(&path).is_err() {
            return;
        }
        self.files.count += 1;
        match read_text(&path, LARGEST_SHOP_FILE).and_then(|source| file::house::read(&source)) {
            Ok(Placed { noun, places }) => {
                self.shop.house = noun;
                self.files.house = Some(ShopFile { path, places });
            }
            Err(found) => {
                self.house_found = found.clone();
                self.found.extend(found);
                self.shop.house = House::default();
            }
        }
    }

    /// Reads every shop file of one folder and keeps each sound noun.
    fn read_folder<T: Named>(
        &mut self,
        folder: &'static str,
        read: impl Fn(&Arc<Source>) -> Result<Placed<T>, Diagnostics>,
        keep: impl Fn(&mut Self, String, T, ShopFile),
    ) {
        for path in self.shop_files(folder) {
            self.files.count += 1;
            let source = match read_text(&path, LARGEST_SHOP_FILE) {
                Ok(source) => source,
                Err(found) => {
                    self.found.extend(found);
                    self.files.unsound.push(Unsound { folder, path, name: None });
                    continue;
                }
            };
            match read(&source) {
                Ok(Placed { noun, places }) => {
                    let name = noun.name().to_owned();
                    if let Some(first) = self.files.of(folder).get(&name) {
                        self.found.push(in_two_files(&name, &first.places, &places));
                        continue;
                    }
                    keep(self, name, noun, ShopFile { path, places });
                }
                Err(found) => {
                    self.found.extend(found);
                    let name = name_in(&source);
                    self.files.unsound.push(Unsound { folder, path, name });
                }
            }
        }
    }

    /// The shop files of one folder in the order of their names; what only looks like one is told.
    fn shop_files(&mut self, folder: &str) -> Vec<PathBuf> {
        let path = self.folder.join(folder);
        let entries = match names_in(&path) {
            Ok(entries) => entries,
            Err(Unlisted::NoFolder) => return Vec::new(),
            Err(Unlisted::Because(why)) => {
                let message = format!("the folder cannot be read: {why}");
                self.found.push(about(&shown(&path), message));
                return Vec::new();
            }
        };
        let mut files = Vec::new();
        for entry in entries {
            let path = path.join(&entry);
            if Path::new(&entry).extension() == Some(OsStr::new("ron")) {
                files.push(path);
            } else if looks_like_a_shop_file(&entry) {
                let note =
                    Diagnostic::note("this file is not read: only names that end in .ron are");
                self.found.push(note.at(whole(&shown(&path))));
            } else if path.is_dir() {
                let note = Diagnostic::note("folders inside a shop's folders are not read");
                self.found.push(note.at(whole(&shown(&path))));
            }
        }
        files
    }
}

fn in_two_files(name: &str, first: &Places, second: &Places) -> Diagnostic {
    let at = [Step::from("name")];
    Diagnostic::error(format!("the name \"{name}\" is taken by another file"))
        .at(second.place(&at))
        .hint(format!("the other is {}", first.place(&at)))
}

/// Why the names in a folder are not known.
enum Unlisted {
    NoFolder,
    Because(String),
}

/// The names in a folder, sorted, without hidden ones.
fn names_in(folder: &Path) -> Result<Vec<String>, Unlisted> {
    let list = || {
        let mut names = Vec::new();
        for entry in fs::read_dir(folder)? {
            let name = entry?.file_name().to_string_lossy().into_owned();
            if !name.starts_with('.') {
                names.push(name);
            }
        }
        names.sort();
        Ok(names)
    };
    list().map_err(|error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => Unlisted::NoFolder,
        std::io::ErrorKind::NotADirectory => Unlisted::Because("it is a file".to_owned()),
        _ => Unlisted::Because(why(&error)),
    })
}

/// Whether a name that does not end in `.ron` was most likely meant for a shop file: a text, another
/// case, a copy that an editor left.
fn looks_like_a_shop_file(name: &str) -> bool {
    name.to_ascii_lowercase().contains(".ron")
        || ["txt", "text", "json", "toml", "yaml", "yml"].iter().any(|end| has_ending(name, end))
}

fn has_ending(name: &str, ending: &str) -> bool {
    Path::new(name).extension().is_some_and(|found| found.eq_ignore_ascii_case(ending))
}
