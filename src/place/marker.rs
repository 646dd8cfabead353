//! The list of what was written into a folder: by it a run knows which files are its own.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::folder::{Folder, Look};
use super::list::{VERSION, Versioned, hidden, json};
use super::name::Name;
use super::seal::Seal;
use crate::reading::Problem;

const ABOUT: &str = "Written by Cleatwright. By this list it knows which files here are its own; \
                     it leaves all others alone. Without it, it writes over none of them.";

/// What the run before wrote and nothing else.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Marker {
    version: u32,
    #[serde(skip_deserializing)]
    about: &'static str,
    /// The folders that were made for the files.
    pub(super) folders: BTreeSet<Name>,
    pub(super) files: BTreeMap<Name, Seal>,
    /// The folder that all was written for, if it was for one alone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) alone: Option<String>,
}

impl Marker {
    pub(super) fn new(
        folders: BTreeSet<Name>,
        files: BTreeMap<Name, Seal>,
        alone: Option<String>,
    ) -> Self {
        Self { version: VERSION, about: ABOUT, folders, files, alone }
    }

    pub(super) fn name() -> Name {
        hidden("files.json")
    }

    pub(super) fn is_there(folder: &Folder) -> Result<bool, Problem> {
        Ok(folder.look(&Self::name())? != Look::Nothing)
    }

    /// The marker of `folder`, and its seal; an empty one where nothing was ever written.
    ///
    /// # Errors
    /// When it can't be understood: then nothing is known about any file there.
    pub(super) fn read(folder: &Folder) -> Result<(Self, Option<Seal>), Problem> {
        let name = Self::name();
        match folder.read(&name)? {
            Some(bytes) => Ok((Self::understand(folder, &bytes)?, Some(Seal::of(&bytes)))),
            None if Self::is_there(folder)? => Err(folder.in_the_way(&name)),
            None => Ok((Self::new(BTreeSet::new(), BTreeMap::new(), None), None)),
        }
    }

    fn understand(folder: &Folder, bytes: &[u8]) -> Result<Self, Problem> {
        let mut marker: Self = Versioned::understand(folder, &Self::name(), bytes)?;
        marker.about = ABOUT;
        // What lies in the hidden folder is never a file of the run.
        marker.files.retain(|name, _| !name.path().starts_with(hidden("").path()));
        Ok(marker)
    }

    /// As it lies on the disk.
    pub(super) fn bytes(&self) -> Vec<u8> {
        json(self)
    }
}
