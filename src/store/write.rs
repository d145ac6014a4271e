//! Files put in their place whole or not at all.
//!
//! A text is written beside its place under a hidden name, brought to the disk, and only then moved
//! there: whoever looks, and whatever fails meanwhile, sees the old file or the new one. A link is
//! followed, and what it points to replaced. A file that was there keeps its permissions. What a process that was
//! ended by force left under a hidden name goes when the same file is next written.

use std::fs::{self, File, Permissions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use tempfile::{Builder, NamedTempFile};

use super::refusal::{about, shown, why};
use crate::diagnostic::Diagnostic;

/// A file to be written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NewFile<'a> {
    /// Its path inside the folder.
    pub path: &'a Path,
    /// All of it.
    pub bytes: &'a [u8],
}

/// Most links that are followed from one to the next, as the system itself does.
const MOST_LINKS: usize = 40;

/// Writes one file, replacing what is there.
///
/// # Errors
/// When it cannot be written: no such folder, no permission, a full disk, a folder, pipe or device of
/// that name, a file that is write-protected. What was there is then untouched.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), Diagnostic> {
    Prepared::new(path, bytes)?.put()
}

/// Writes a set of files into `folder`, which is made if it is not there, as are folders inside it:
/// all of them or, as far as the file system allows, none. Every file is written and brought to the
/// disk before the first is moved to its place; should moving one then fail, those before it are
/// taken back.
///
/// # Errors
/// As [`write_file`], for the first file that cannot be written; also for a path that leads out of
/// the folder.
pub fn write_files(folder: &Path, files: &[NewFile<'_>]) -> Result<(), Diagnostic> {
    let mut made = MadeFolders::default();
    made.make(folder)?;
    let mut prepared = Vec::with_capacity(files.len());
    for file in files {
        let path = folder.join(file.path);
        if !file.path.components().all(|part| matches!(part, std::path::Component::Normal(_))) {
            return Err(about(&shown(&path), "the file would lie outside its folder"));
        }
        if let Some(parent) = path.parent() {
            made.make(parent)?;
        }
        prepared.push(Prepared::new(&path, file.bytes)?);
    }
    put_all(prepared)?;
    made.keep();
    Ok(())
}

/// Writes files that lie anywhere: all of them or, as far as the file system allows, none.
///
/// # Errors
/// As [`write_file`], for the first file that cannot be written.
pub fn write_each(files: &[NewFile<'_>]) -> Result<(), Diagnostic> {
    let prepared = files.iter().map(|file| Prepared::new(file.path, file.bytes));
    put_all(prepared.collect::<Result<_, _>>()?)
}

/// Moves files to their places; should one fail, those before it are taken back.
fn put_all(prepared: Vec<Prepared>) -> Result<(), Diagnostic> {
    let undos = prepared.iter().map(Prepared::undo).collect::<Result<Vec<_>, _>>()?;
    let mut done = Vec::with_capacity(prepared.len());
    for (file, undo) in prepared.into_iter().zip(undos) {
        if let Err(refused) = file.put() {
            done.into_iter().rev().for_each(Undo::undo);
            return Err(refused);
        }
        done.push(undo);
    }
    Ok(())
}

/// Where a file of that path lies, however the path is written: links followed, its folder as the system knows it.
#[must_use]
pub(super) fn place_of(path: &Path) -> PathBuf {
    let place = followed(path).unwrap_or_else(|| path.to_owned());
    let folder = folder_of(&place);
    let folder = fs::canonicalize(folder).unwrap_or_else(|_| folder.components().collect());
    place.file_name().map_or(folder.clone(), |name| folder.join(name))
}

/// What a file is by its first bytes, where those tell.
fn kind(bytes: &[u8]) -> Option<&'static str> {
    let begins =
        |with: &[u8]| bytes.get(..with.len()).is_some_and(|first| first.eq_ignore_ascii_case(with));
    match () {
        () if begins(b"%PDF-") => Some("PDF"),
        () if begins(b"\x89PNG") => Some("PNG picture"),
        () if begins(b"<!doctype html") => Some("HTML page"),
        () => None,
    }
}

/// The first bytes of a file, as many as tell its kind, or as there are.
fn first_bytes(place: &Path) -> io::Result<Vec<u8>> {
    let mut first = Vec::new();
    File::open(place)?.take(32).read_to_end(&mut first)?;
    Ok(first)
}

/// A file written beside its place.
struct Prepared {
    /// The name that the person knows.
    name: String,
    /// Where it goes, links followed.
    place: PathBuf,
    written: NamedTempFile,
    /// The permissions of what was there before.
    old: Option<Permissions>,
}

/// How to take back a file that has been put in its place.
struct Undo {
    place: PathBuf,
    before: Option<NamedTempFile>,
}

impl Prepared {
    fn new(path: &Path, bytes: &[u8]) -> Result<Self, Diagnostic> {
        let name = shown(path);
        let Some(place) = followed(path) else {
            return Err(about(
                &name,
                "the file cannot be written: its link leads round in a circle",
            ));
        };
        let folder = folder_of(&place);
        let cannot = |error: io::Error| cannot_write(&name, folder, &error);
        let old = match fs::metadata(&place) {
            Ok(old) if old.is_dir() => {
                return Err(about(&name, "the file cannot be written: a folder has that name"));
            }
            // A device moved aside by its name would be lost to all who use it.
            Ok(old) if !old.is_file() => {
                return Err(about(
                    &name,
                    "the file cannot be written: a pipe or a device has that name",
                ));
            }
            Ok(old) if old.permissions().readonly() => {
                return Err(about(&name, "the file cannot be written: it is write-protected"));
            }
            Ok(old) => {
                // A sheet or picture in the place of a recipe, a note or whatever else was written by hand would be its end.
                let there = first_bytes(&place).map_err(cannot)?;
                if let Some(new) = kind(bytes)
                    && !there.is_empty()
                    && kind(&there) != Some(new)
                {
                    let lost =
                        format!("a file of that name is there that is no {new}: it would be lost");
                    let hint = "give another name, or move that file away first";
                    return Err(about(&name, lost).hint(hint));
                }
                Some(old.permissions())
            }
            Err(_) => None,
        };
        clear_abandoned(&place);
        let mut written = beside(&place, usual_permissions()).map_err(cannot)?;
        written.write_all(bytes).map_err(cannot)?;
        if let Some(old) = &old {
            written.as_file().set_permissions(old.clone()).map_err(cannot)?;
        }
        written.as_file().sync_all().map_err(cannot)?;
        Ok(Self { name, place, written, old })
    }

    /// How to take the file back: with a copy of what is there now.
    fn undo(&self) -> Result<Undo, Diagnostic> {
        let folder = folder_of(&self.place);
        let copied = self.old.as_ref().map(|old| {
            let copy = beside(&self.place, Some(old.clone()))?;
            fs::copy(&self.place, copy.path()).map(|_| copy)
        });
        let before =
            copied.transpose().map_err(|error| cannot_write(&self.name, folder, &error))?;
        Ok(Undo { place: self.place.clone(), before })
    }

    /// Moves the file to its place.
    fn put(self) -> Result<(), Diagnostic> {
        let folder = folder_of(&self.place);
        if let Err(error) = self.written.persist(&self.place) {
            return Err(cannot_write(&self.name, folder, &error.error));
        }
        bring_to_disk(folder);
        Ok(())
    }
}

impl Undo {
    /// Puts back what was there. Nothing more can be done where that fails too.
    fn undo(self) {
        match self.before {
            Some(before) => drop(before.persist(self.place)),
            None => drop(fs::remove_file(self.place)),
        }
    }
}

/// The folder that a path lies in.
fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// An empty hidden file beside `place`, gone again unless it is moved to a place of its own.
fn beside(place: &Path, permissions: Option<Permissions>) -> io::Result<NamedTempFile> {
    let prefix = part_prefix(place);
    let mut builder = Builder::new();
    builder.prefix(&prefix).suffix(PART).rand_bytes(PART_LETTERS);
    if let Some(permissions) = permissions {
        builder.permissions(permissions);
    }
    builder.tempfile_in(folder_of(place))
}

/// How hidden files end.
const PART: &str = ".part";
/// Letters and figures by chance between a hidden file's beginning and its end.
const PART_LETTERS: usize = 6;
/// No more of a file's name than this goes into that of its hidden one, bytes: file systems bear 255, some 143.
const MOST_OF_NAME: usize = 96;
/// A hidden file as old as this is no process's any more: one is written in seconds.
const ABANDONED: Duration = Duration::from_secs(60 * 60);

/// How the names of the hidden files of `place` begin.
fn part_prefix(place: &Path) -> String {
    let name = place.file_name().map(std::ffi::OsStr::to_string_lossy).unwrap_or_default();
    let mut most = name.len().min(MOST_OF_NAME);
    while !name.is_char_boundary(most) {
        most -= 1;
    }
    format!(".{}.", &name[..most])
}

/// Takes away what a process that was ended by force left of `place`. What cannot be taken away stays: it does no
/// harm.
fn clear_abandoned(place: &Path) {
    let prefix = part_prefix(place);
    let Ok(entries) = fs::read_dir(folder_of(place)) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let by_chance =
            name.to_str().and_then(|name| name.strip_prefix(prefix.as_str())?.strip_suffix(PART));
        let is_ours = by_chance.is_some_and(|letters| {
            letters.len() == PART_LETTERS
                && letters.bytes().all(|each| each.is_ascii_alphanumeric())
        });
        let is_abandoned = || {
            // Of the entry itself, were it a link.
            let about = entry.metadata().ok().filter(fs::Metadata::is_file)?;
            about.modified().ok()?.elapsed().ok().filter(|age| *age >= ABANDONED)
        };
        if is_ours && is_abandoned().is_some() {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Readable by all, writable by its owner, less what the person's umask takes away.
#[cfg(unix)]
#[expect(clippy::unnecessary_wraps, reason = "other systems have no such permissions")]
fn usual_permissions() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn usual_permissions() -> Option<Permissions> {
    None
}

/// The file that a link points to, also when that is not there yet; any other path as it is. `None`
/// for links without end.
fn followed(path: &Path) -> Option<PathBuf> {
    let mut place = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(target) = fs::read_link(&place) else { return Some(place) };
        place = match place.parent() {
            Some(parent) => parent.join(target),
            None => target,
        };
    }
    None
}

/// Makes a move last through a loss of power. A file system that cannot do this is no reason to
/// refuse: the file is in its place.
fn bring_to_disk(folder: &Path) {
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
}

fn cannot_write(name: &str, folder: &Path, error: &io::Error) -> Diagnostic {
    if folder.is_dir() {
        about(name, format!("the file cannot be written: {}", why(error)))
    } else {
        about(name, format!("the file cannot be written: there is no folder {}", shown(folder)))
    }
}

/// Why a folder cannot be made in the one above it, which is there.
fn not_made(folder: &Path, error: &io::Error) -> String {
    let above = shown(folder_of(folder));
    match error.kind() {
        io::ErrorKind::NotFound => format!("{above}, which it would lie in, takes no new ones"),
        io::ErrorKind::PermissionDenied => format!("you may not write in {above}"),
        _ => why(error),
    }
}

/// Folders made on the way, taken away again unless all went well.
#[derive(Default)]
struct MadeFolders(Vec<PathBuf>);

impl MadeFolders {
    fn make(&mut self, folder: &Path) -> Result<(), Diagnostic> {
        let missing: Vec<&Path> = folder
            .ancestors()
            .take_while(|part| !part.as_os_str().is_empty() && !part.exists())
            .collect();
        for part in missing.into_iter().rev() {
            fs::create_dir(part).map_err(|error| {
                about(
                    &shown(part),
                    format!("the folder cannot be made: {}", not_made(part, &error)),
                )
            })?;
            self.0.push(part.to_owned());
        }
        if folder.as_os_str().is_empty() || folder.is_dir() {
            Ok(())
        } else {
            Err(about(&shown(folder), "this is a file, not a folder"))
        }
    }

    fn keep(mut self) {
        self.0.clear();
    }
}

impl Drop for MadeFolders {
    fn drop(&mut self) {
        // Only empty ones go: anything that came into them meanwhile is not ours.
        for folder in self.0.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
    }
}
