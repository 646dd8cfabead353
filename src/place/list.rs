//! Lists as they lie on the disk, in the hidden folder.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::folder::Folder;
use super::name::Name;
use crate::reading::Problem;

/// Version of the list of files and of the journal.
pub(super) const VERSION: u32 = 1;

/// What is called `name` in the hidden folder; that folder itself when it is empty.
pub(super) fn hidden(name: &str) -> Name {
    let folder = Name::hidden_folder();
    if name.is_empty() { folder } else { folder.join(name) }
}

pub(super) fn json(value: &impl Serialize) -> Vec<u8> {
    // Names and figures alone: this does not fail, and an empty file would not be believed.
    let mut bytes = serde_json::to_vec_pretty(value).unwrap_or_default();
    bytes.push(b'\n');
    bytes
}

/// What every list on the disk begins with.
#[derive(Deserialize)]
pub(super) struct Versioned {
    version: u32,
}

impl Versioned {
    /// The list in `bytes`.
    pub(super) fn understand<T: DeserializeOwned>(
        folder: &Folder,
        name: &Name,
        bytes: &[u8],
    ) -> Result<T, Problem> {
        match serde_json::from_slice(bytes) {
            Ok(Self { version }) if version > VERSION => Err(newer(folder, name)),
            _ => serde_json::from_slice(bytes).map_err(|e| damaged(folder, name, &e)),
        }
    }
}

fn newer(folder: &Folder, name: &Name) -> Problem {
    let path = folder.shown_path(name);
    Problem::plain(format!("{} is of a newer version of this program", path.display()))
        .with_help("use that version, or name another folder with --out")
}

fn damaged(folder: &Folder, name: &Name, error: &serde_json::Error) -> Problem {
    let path = folder.shown_path(name);
    Problem::plain(format!(
        "{} is damaged, so it is unknown which files there are the program's own: {error}",
        path.display()
    ))
    .with_help("move the folder's files away, or name another folder with --out")
}
