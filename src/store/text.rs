//! One file to its text.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use super::refusal::{about, shown, why};
use crate::diagnostic::{Diagnostics, Source};
use crate::file::decode::{decode, too_large};

/// The text of the file at `path`, of at most `largest` bytes.
///
/// # Errors
/// When there is no such file, it is a folder, a pipe or a device, may not be read, is larger than
/// `largest` (which is known before it is read), or is not text: see [`decode`].
pub fn read_text(path: &Path, largest: usize) -> Result<Arc<Source>, Diagnostics> {
    let name = shown(path);
    let cannot = |error: &std::io::Error| {
        let mut refused = about(&name, format!("the file cannot be read: {}", why(error)));
        if fs::symlink_metadata(path).is_ok_and(|found| found.is_symlink()) {
            refused = about(&name, "this link leads to no file");
            if let Ok(target) = fs::read_link(path) {
                refused = refused.hint(format!("it points to {}", target.display()));
            }
        }
        Diagnostics::from(refused)
    };
    let found = fs::metadata(path).map_err(|error| cannot(&error))?;
    if found.is_dir() {
        return Err(about(&name, "this is a folder, not a file").into());
    }
    if !found.is_file() {
        return Err(about(&name, "this is a pipe or a device, not a file").into());
    }
    let size = usize::try_from(found.len()).unwrap_or(usize::MAX);
    if size > largest {
        return Err(too_large(&name, size, largest));
    }
    let mut bytes = Vec::with_capacity(size);
    // One byte more than is allowed: `decode` refuses a file that has grown meanwhile.
    let most = u64::try_from(largest).unwrap_or(u64::MAX).saturating_add(1);
    File::open(path)
        .and_then(|file| file.take(most).read_to_end(&mut bytes))
        .map_err(|error| cannot(&error))?;
    decode(&name, &bytes, largest)
}
