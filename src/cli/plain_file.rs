//! Reading a file that is one, and no larger than it may be.

use std::fs::{File, metadata};
use std::io::Read;
use std::path::Path;

use crate::limits;
use crate::reading::Problem;

/// The text of the plain file at `path`, of at most `most` bytes. Devices and pipes are never
/// opened: reading one may never end.
///
/// # Errors
/// When the file is absent, not readable, no plain file, too large or not UTF-8 text.
pub(super) fn plain_text(path: &Path, most: u64) -> Result<String, Problem> {
    let unread = |error: std::io::Error| Problem::io("read", path, &error);
    let known = metadata(path).map_err(unread)?;
    if !known.is_file() && !known.is_dir() {
        let message = format!("can't read {}: it is a device or a pipe", path.display());
        return Err(Problem::plain(message).with_help("save the text as a file and name that"));
    }
    let mut bytes = Vec::new();
    // What grows while it is read, or does not tell its size, has an end here too.
    let file = File::open(path).map_err(unread)?;
    if known.len() <= most {
        file.take(most + 1).read_to_end(&mut bytes).map_err(unread)?;
    }
    let size = known.len().max(bytes.len() as u64);
    if let Some(told) = limits::too_long("the file", size, most) {
        let help = "leave out what no holder needs, or name another file";
        return Err(Problem::plain(format!("{}: {told}", path.display())).with_help(help));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Problem::plain(format!("{}: byte {at} is not UTF-8 text", path.display()))
            .with_help("save the file as plain text in UTF-8")
    })
}
