//! Putting the files of a run into a folder, all at once or not at all. Every write to the disk
//! goes through here.
//!
//! What the program did not write is never moved, copied, read or deleted: it knows its own files
//! by a list of names, sizes and hashes ([`marker`]) in a hidden folder. New files wait in that
//! folder, on the same disk as where they go; then the old ones are renamed out of the way and the
//! new ones into their places, the list last ([`swap`]). What is about to be done is written down
//! first ([`journal`]), so that the next run can undo it when this one dies, and only one run at a
//! time does it ([`lock`]).

mod folder;
mod journal;
mod lock;
mod marker;
mod name;
mod plan;
mod seal;
mod swap;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::reading::Problem;
use folder::{Folder, HIDDEN};
use journal::Out;
use lock::Lock;
use name::Name;

/// Says whether the run is to stop. Once the new files stand, nobody asks any more.
pub(crate) type Halt<'h> = &'h dyn Fn() -> bool;

/// The bytes of new files.
type New<'n> = BTreeMap<Name, &'n [u8]>;

/// Version of the list of files and of the journal.
const VERSION: u32 = 1;

/// A file that a person changed since it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    name: Name,
    /// Where it is now; `None` if it was left where it was.
    now: Option<Name>,
}

impl Kept {
    fn new(out: &Out, now: &Name) -> Self {
        Self { name: out.name.clone(), now: Some(now.clone()) }
    }
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} was changed since it was made: ", self.name.as_str())?;
        match &self.now {
            Some(now) => write!(f, "your version is now {}", now.as_str()),
            None => write!(f, "it is not part of this run and stays as it is"),
        }
    }
}

/// Puts `files` (bytes by path within the folder) into the folder `out`, which is made if it is
/// not there. They stand in for the files of earlier runs for which `replaces` holds, and for
/// those of the same names; other files of earlier runs stay, and stay known as such.
///
/// Gives the files of earlier runs that a person has changed since; none of them is lost.
///
/// # Errors
/// When something that no run wrote is in the way, when the folder can't be written into, when
/// another run keeps it, or when halted. The folder is then as it was.
pub(crate) fn place(
    out: &Path,
    files: &BTreeMap<PathBuf, Vec<u8>>,
    replaces: &dyn Fn(&Path) -> bool,
    halt: Halt<'_>,
) -> Result<Vec<Kept>, Problem> {
    let new = named(files)?;
    let folder = Folder::open(out)?;
    let placed = locked(&folder, &new, replaces, halt);
    if placed.is_err() {
        folder.unmake();
    }
    placed
}

fn locked(
    folder: &Folder,
    new: &New<'_>,
    replaces: &dyn Fn(&Path) -> bool,
    halt: Halt<'_>,
) -> Result<Vec<Kept>, Problem> {
    let lock = Lock::wait(folder, halt)?;
    let placed = replace(folder, new, replaces, halt);
    if placed.is_err() {
        lock.unmake()?;
    }
    placed
}

fn replace(
    folder: &Folder,
    new: &New<'_>,
    replaces: &dyn Fn(&Path) -> bool,
    halt: Halt<'_>,
) -> Result<Vec<Kept>, Problem> {
    let mut kept = swap::mend(folder)?;
    let plan = plan::plan(folder, new, replaces)?;
    kept.extend(swap::carry_out(folder, plan, halt)?);
    Ok(kept)
}

/// Ends what a run that died has begun in the folder `out`, if there is such a thing: either its
/// files stand or those of the run before it. A run that is still alive is left alone.
///
/// # Errors
/// When the disk refuses, or the notes of the dead run can't be understood.
pub(crate) fn mend(out: &Path) -> Result<Vec<Kept>, Problem> {
    let Some(folder) = Folder::existing(out) else { return Ok(Vec::new()) };
    if !swap::is_broken_off(&folder)? {
        return Ok(Vec::new());
    }
    match Lock::at_once(&folder)? {
        Some(_lock) => swap::mend(&folder),
        None => Ok(Vec::new()),
    }
}

fn named(files: &BTreeMap<PathBuf, Vec<u8>>) -> Result<New<'_>, Problem> {
    let named = files.iter().map(|(path, bytes)| match Name::new(path) {
        Some(name) if !name.path().starts_with(HIDDEN) => Ok((name, bytes.as_slice())),
        _ => Err(Problem::plain(format!("{} can't be the name of a file", path.display()))),
    });
    named.collect()
}

/// What is called `name` in the hidden folder; that folder itself when it is empty.
fn hidden(name: &str) -> Name {
    let folder = Name::hidden_folder();
    if name.is_empty() { folder } else { folder.join(name) }
}

fn stopped(folder: &Folder) -> Problem {
    Problem::plain(format!("stopped: {} is as it was", folder.shown().display()))
}

fn json(value: &impl Serialize) -> Vec<u8> {
    // Names and figures alone: this does not fail, and an empty file would not be believed.
    let mut bytes = serde_json::to_vec_pretty(value).unwrap_or_default();
    bytes.push(b'\n');
    bytes
}

/// What every list on the disk begins with.
#[derive(Deserialize)]
struct Versioned {
    version: u32,
}

impl Versioned {
    /// The list in `bytes`.
    fn understand<T: DeserializeOwned>(
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
    Problem::plain(format!("{} is damaged, so no file there is known: {error}", path.display()))
        .with_help("move the folder's files away, or name another folder with --out")
}
