//! What a person means by a name: a shop's folder, a colourway, a job.

use std::path::{Path, PathBuf};

use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::model::{Base, Colorant, Colourway, Faults, System};
use crate::store::{Opened, ShopFile, Unsound, shown, told};
use crate::suggest;

use super::plan::bare;
use super::swatch::file_stem;

/// The shop's folder where none is named: the working folder if it is a shop, else the demo beside
/// the program's source (`recipes`), if it is there.
///
/// # Errors
/// Neither is a shop.
pub fn find_shop(working_folder: &Path) -> Result<PathBuf, Diagnostic> {
    let is_shop = |folder: &Path| folder.join("colourways").is_dir();
    let demo = working_folder.join("recipes");
    if is_shop(working_folder) {
        Ok(working_folder.to_owned())
    } else if is_shop(&demo) {
        Ok(demo)
    } else {
        Err(Diagnostic::error("there is no shop here: no folder colourways")
            .hint("name one with --shop FOLDER, or make one with: pourbook start FOLDER"))
    }
}

/// The name in the shop of what a person wrote: the name itself (capitals aside), or the name of its
/// file, with or without folder and ending.
///
/// # Errors
/// Nothing sound has that name. Where files of the shop are broken, what is wrong with them is told
/// too, since the one meant may be among them.
pub(super) fn named<'a, T>(
    opened: &'a Opened,
    kind: &str,
    word: &str,
    nouns: &'a std::collections::BTreeMap<String, T>,
    file_of: impl Fn(&str) -> Option<&'a ShopFile>,
) -> Result<(&'a str, &'a T), Diagnostics> {
    if let Some((name, noun)) = nouns.get_key_value(word) {
        return Ok((name, noun));
    }
    let same = |name: &str| name.to_lowercase() == word.trim().to_lowercase();
    if let Some((name, noun)) = nouns.iter().find(|(name, _)| same(name)) {
        return Ok((name, noun));
    }
    let stem = Path::new(word.trim()).file_stem().map(|stem| stem.to_string_lossy().to_lowercase());
    let by_file = nouns.iter().find(|(name, _)| {
        let file = file_of(name).and_then(|file| file.path.file_stem());
        file.map(|file| file.to_string_lossy().to_lowercase()) == stem
    });
    if let Some((name, noun)) = by_file {
        return Ok((name, noun));
    }
    if let Some(unsound) = unsound(&opened.files.unsound, kind, word, stem.as_deref()) {
        return Err(unusable(opened, kind, word, unsound));
    }
    let mut diagnostic = Diagnostic::error(format!("no {kind} is called \"{word}\""));
    let broken = opened.files.unsound.iter().filter(|each| is_of(each, kind));
    let names =
        nouns.keys().map(String::as_str).chain(broken.filter_map(|each| each.name.as_deref()));
    let near = suggest::did_you_mean(word, names.clone())
        .or_else(|| near_file(word, nouns.keys().filter_map(|name| Some((name, file_of(name)?)))));
    diagnostic = match near {
        Some(hint) => diagnostic.hint(hint),
        None if nouns.is_empty() && opened.found.0.is_empty() => {
            diagnostic.hint("the shop has none")
        }
        None if nouns.is_empty() => {
            diagnostic.hint("the shop has no sound one; what is wrong with its files stands above")
        }
        None => {
            let all: Vec<&str> = names.collect();
            diagnostic.hint(format!("there are: {}", suggest::listed(&all, "and")))
        }
    };
    Err(with_mistakes_of_files(opened, diagnostic.into()))
}

/// The colorant that a person has weighed: by its own name alone, capitals and blanks aside where that leaves one. Its
/// file's name may be short for several, and grams of another pigment are never guessed.
///
/// # Errors
/// No colorant has that name, with the nearest that one has.
pub(super) fn colorant_weighed<'a>(
    opened: &'a Opened,
    word: &str,
) -> Result<&'a Colorant, Diagnostics> {
    let colorants = &opened.shop.colorants;
    if let Some(colorant) = colorants.get(word) {
        return Ok(colorant);
    }
    let plain = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let alike: Vec<&Colorant> =
        colorants.values().filter(|own| plain(&own.name) == plain(word)).collect();
    if let [colorant] = alike[..] {
        return Ok(colorant);
    }
    let files = &opened.files.colorants;
    let (name, _) = named(opened, "colorant", word, colorants, |name| files.get(name))?;
    Err(Diagnostic::error(format!("no colorant is called \"{}\"", word.trim()))
        .hint(format!("did you mean \"{name}\"? What is weighed goes by its whole name"))
        .into())
}

/// The base of a colourway that a person means by a word: its name, capitals and outer spaces aside where that
/// leaves one alone.
///
/// # Errors
/// No base is called so, or several but for capitals.
pub(super) fn base_called<'a>(way: &'a Colourway, word: &str) -> Result<&'a Base, Diagnostic> {
    if let Some(base) = way.bases.get(word) {
        return Ok(base);
    }
    let same = |name: &str| name.trim().to_lowercase() == word.trim().to_lowercase();
    let alike: Vec<&Base> =
        way.bases.iter().filter(|(name, _)| same(name)).map(|(_, base)| base).collect();
    if let [base] = alike[..] {
        return Ok(base);
    }
    let names: Vec<&str> = way.bases.keys().map(String::as_str).collect();
    let unknown = Diagnostic::error(format!("\"{}\" has no base \"{word}\"", way.name));
    let near = suggest::did_you_mean(word, names.iter().copied()).filter(|_| alike.is_empty());
    let near = near.into_iter().fold(unknown, Diagnostic::hint);
    Err(near.hint(format!("its bases: {}", suggest::listed(&names, "and"))))
}

/// The same as a hint for a word that is near to a file's name: `hill-street` for `hil-street`.
fn near_file<'f>(
    word: &str,
    files: impl Iterator<Item = (&'f String, &'f ShopFile)>,
) -> Option<String> {
    let stems: Vec<(String, &str)> = files
        .filter_map(|(name, file)| {
            Some((file.path.file_stem()?.to_string_lossy().into_owned(), name.as_str()))
        })
        .collect();
    let stem = Path::new(word.trim()).file_stem()?.to_string_lossy();
    let found = suggest::nearest(&stem, stems.iter().map(|(stem, _)| stem.as_str()))?;
    let (_, name) = stems.iter().find(|(stem, _)| stem == found)?;
    Some(format!("did you mean \"{found}\" ({name})?"))
}

/// The file with mistakes that a person means by a word: the name in it, or the file's own.
fn unsound<'f>(
    files: &'f [Unsound],
    kind: &str,
    word: &str,
    stem: Option<&str>,
) -> Option<&'f Unsound> {
    let named = |each: &&Unsound| {
        let name = each.name.as_ref().map(|name| name.to_lowercase());
        let file = each.path.file_stem().map(|stem| stem.to_string_lossy().to_lowercase());
        name.is_some_and(|name| name == word.trim().to_lowercase())
            || file.is_some_and(|file| Some(file.as_str()) == stem || file == file_stem(word))
    };
    files.iter().filter(|each| is_of(each, kind)).find(named)
}

/// Whether a file stands in the folder of this kind of noun.
fn is_of(file: &Unsound, kind: &str) -> bool {
    file.folder.strip_suffix('s') == Some(kind)
}

/// What is wrong with a file, then with the other files; then that its noun waits for that.
fn unusable(opened: &Opened, kind: &str, word: &str, unsound: &Unsound) -> Diagnostics {
    let path = shown(&unsound.path);
    let of_file = |each: &Diagnostic| each.place.as_ref().is_some_and(|at| at.source.name == path);
    let (own, others): (Vec<_>, Vec<_>) = opened.found.0.iter().cloned().partition(of_file);
    let mut all = Diagnostics(own);
    all.extend(Diagnostics(others));
    all.push(Diagnostic::note(format!(
        "the {kind} \"{word}\" is not looked at before the mistakes in {path} are mended"
    )));
    all
}

/// Faults of a shop's file, or of something that has none, with what is wrong with the shop's files.
pub(super) fn faults_told(opened: &Opened, file: Option<&ShopFile>, faults: Faults) -> Diagnostics {
    let all = match file {
        Some(file) => told(&opened.files, file, faults),
        None => bare(faults),
    };
    with_mistakes_of_files(opened, all)
}

/// Refuses a resin system whose mix ratio cannot cure, in the words of a check and a plan.
///
/// # Errors
/// The equivalent weights of its file deny its ratio.
pub(super) fn curable(opened: &Opened, system: &System) -> Result<(), Diagnostics> {
    let refused = system.refused_ratio();
    if refused.0.is_empty() {
        return Ok(());
    }
    Err(faults_told(opened, opened.files.systems.get(&system.name), refused))
}

/// Errors with what is wrong with the shop's files before them: what could not be found may stand in one
/// of these. A refusal by a check stays by itself.
pub(super) fn with_mistakes_of_files(opened: &Opened, all: Diagnostics) -> Diagnostics {
    if all.worst() == Some(Severity::Refused) {
        return all;
    }
    let mut found = opened.found.clone();
    found.extend(all);
    found
}
