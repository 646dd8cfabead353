//! What a run is about to do, on the disk before it does it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::folder::{Folder, HIDDEN};
use super::list::{VERSION, Versioned, hidden, json};
use super::name::Name;
use super::seal::Seal;
use crate::reading::Problem;

/// The moves of a run. As long as it lies in `journal.json` all of them are to be undone; from the
/// moment that file is called `done.json` the new files stand and only what they stand in for is
/// to be cleared away.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Journal {
    version: u32,
    /// Folders to make, outer ones first.
    pub(super) folders: Vec<Name>,
    /// Files that go out of the way first.
    pub(super) outs: Vec<Out>,
    /// Files that come in after that; the n-th waits at `waiting(n)`.
    pub(super) ins: Vec<In>,
    /// Folders that nothing of the run is in any more, inner ones first.
    pub(super) stale: Vec<Name>,
}

/// A file that goes out of the way of a new one, or goes because there is no new one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Out {
    pub(super) name: Name,
    pub(super) to: Name,
    /// Of a file that is as it was written, which is deleted in the end. One that a person changed
    /// has none; it stays at `to`.
    pub(super) seal: Option<Seal>,
}

/// A new file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct In {
    pub(super) name: Name,
    pub(super) seal: Seal,
}

/// Where new files wait.
pub(super) fn new_folder() -> Name {
    hidden("new")
}

/// Where old files go.
pub(super) fn old_folder() -> Name {
    hidden("old")
}

/// Where the new file number `index` waits.
pub(super) fn waiting(index: usize) -> Name {
    new_folder().join(&index.to_string())
}

/// While the run is under way.
pub(super) fn open_journal() -> Name {
    hidden("journal.json")
}

/// When all new files stand.
pub(super) fn done_journal() -> Name {
    hidden("done.json")
}

/// While it is written.
pub(super) fn half_journal() -> Name {
    hidden("journal.half")
}

impl Journal {
    pub(super) fn new(folders: Vec<Name>, outs: Vec<Out>, ins: Vec<In>, stale: Vec<Name>) -> Self {
        Self { version: VERSION, folders, outs, ins, stale }
    }

    /// Whether there is nothing to do.
    pub(super) fn is_empty(&self) -> bool {
        self.folders.is_empty()
            && self.outs.is_empty()
            && self.ins.is_empty()
            && self.stale.is_empty()
    }

    pub(super) fn read(folder: &Folder, name: &Name) -> Result<Option<Self>, Problem> {
        let bytes = folder.read(name)?;
        bytes.map(|bytes| Versioned::understand(folder, name, &bytes)).transpose()
    }

    /// Puts it on the disk whole, before anything is done.
    pub(super) fn begin(&self, folder: &Folder) -> Result<(), Problem> {
        let half = half_journal();
        let begun = folder
            .write(&half, &json(self))
            .and_then(|()| folder.sync(&[half.path().to_path_buf()]))
            .and_then(|()| folder.rename(&half, &open_journal()))
            .and_then(|()| folder.sync(&[HIDDEN.into()]));
        if begun.is_err() {
            folder.remove(&half)?;
            folder.remove(&open_journal())?;
        }
        begun
    }

    /// From here on the new files stand.
    pub(super) fn commit(&self, folder: &Folder) -> Result<(), Problem> {
        folder.rename(&open_journal(), &done_journal())?;
        folder.sync(&[HIDDEN.into()])
    }

    /// The folders, by their paths within the folder, in which the moves change names.
    pub(super) fn touched(&self) -> BTreeSet<PathBuf> {
        let outs = self.outs.iter().map(|out| &out.name);
        let ins = self.ins.iter().map(|new| &new.name);
        let names = outs.chain(ins).chain(&self.folders);
        names.filter_map(|name| name.path().parent().map(Path::to_path_buf)).collect()
    }
}
