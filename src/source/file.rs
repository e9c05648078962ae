//! Reading files that strangers wrote: bounded, and without losing the reason when it fails.

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use super::{Fault, FaultKind};

/// The largest record that is read, bytes: a hundred times the largest believable one.
pub const LARGEST_RECORD: u64 = 1 << 20;

/// Reads at most `limit` bytes of a regular file.
///
/// # Errors
/// [`FaultKind::Unreadable`] or [`FaultKind::TooLarge`], as a fault of the whole file.
pub fn read_bounded(path: &Path, limit: u64) -> Result<Vec<u8>, Fault> {
    let unreadable =
        |error: std::io::Error| Fault::of_file(FaultKind::Unreadable(error.to_string()));
    let metadata = std::fs::symlink_metadata(path).map_err(unreadable)?;
    if !metadata.is_file() {
        return Err(Fault::of_file(FaultKind::Unreadable(
            "it is not a regular file".into(),
        )));
    }
    if metadata.len() > limit {
        return Err(Fault::of_file(FaultKind::TooLarge(metadata.len())));
    }
    let size = usize::try_from(metadata.len()).expect("invariant: below the limit");
    let mut bytes = Vec::with_capacity(size + 1);
    // The file may grow between the look and the read.
    File::open(path)
        .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
        .map_err(unreadable)?;
    if bytes.len() as u64 > limit {
        return Err(Fault::of_file(FaultKind::TooLarge(bytes.len() as u64)));
    }
    Ok(bytes)
}
