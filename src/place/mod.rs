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
mod list;
mod lock;
mod marker;
mod name;
mod plan;
mod run;
mod seal;
mod swap;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::reading::Problem;
use folder::{Folder, HIDDEN};
use lock::Lock;
use name::Name;
use run::New;
pub(crate) use run::{Halt, Kept, PlacedFiles, Run};

/// Puts `files` (bytes by path within the folder) into the folder `out`, which is made if it is
/// not there. They stand in for the files of earlier runs; where `run` is for one folder alone and an earlier one
/// was for more, only that folder's files do, and the others stay, and stay known.
///
/// # Errors
/// When something that no run wrote is in the way, when the folder can't be written into, when
/// another run keeps it, or when halted. The folder is then as it was.
pub(crate) fn place(
    out: &Path,
    files: &BTreeMap<PathBuf, Vec<u8>>,
    run: Run<'_>,
    halt: Halt<'_>,
) -> Result<PlacedFiles, Problem> {
    let new = named(files)?;
    let folder = Folder::open(out)?;
    let placed = locked(&folder, &new, run, halt);
    if placed.is_err() {
        folder.unmake();
    }
    placed
}

fn locked(
    folder: &Folder,
    new: &New<'_>,
    run: Run<'_>,
    halt: Halt<'_>,
) -> Result<PlacedFiles, Problem> {
    let lock = Lock::wait(folder, halt)?;
    let placed = replace(folder, new, run, halt);
    if placed.is_err() {
        lock.unmake()?;
    }
    placed
}

fn replace(
    folder: &Folder,
    new: &New<'_>,
    run: Run<'_>,
    halt: Halt<'_>,
) -> Result<PlacedFiles, Problem> {
    let mut kept = swap::mend(folder)?;
    let plan = plan::plan(folder, new, run)?;
    let part = plan.part;
    kept.extend(swap::carry_out(folder, plan, halt)?);
    Ok(PlacedFiles { kept, part })
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
