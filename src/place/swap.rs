//! Carrying out a plan, and mending what a run that died has left.

use std::path::PathBuf;

use super::folder::{Folder, Look};
use super::journal::{
    Journal, Out, done_journal, half_journal, new_folder, old_folder, open_journal, waiting,
};
use super::plan::{Plan, aside};
use super::run::{Halt, Kept};
use crate::reading::Problem;

/// Puts the new files in place. What a person changed is told.
///
/// # Errors
/// When halted, or when the disk refuses. All is then as it was.
pub(super) fn carry_out(
    folder: &Folder,
    plan: Plan<'_>,
    halt: Halt<'_>,
) -> Result<Vec<Kept>, Problem> {
    let Plan { journal, bytes, left, .. } = plan;
    if journal.is_empty() {
        return Ok(left);
    }
    journal.begin(folder)?;
    let done = wait_there(folder, &bytes, halt).and_then(|()| swap(folder, &journal, halt));
    if let Err(problem) = done {
        return Err(match undo(folder, &journal) {
            Ok(_) => problem,
            Err(worse) => half_done(&problem, &worse),
        });
    }
    Ok(left.into_iter().chain(clear(folder, &journal)?).collect())
}

fn half_done(problem: &Problem, worse: &Problem) -> Problem {
    Problem::plain(format!("{problem}; and it could not be undone: {worse}"))
        .with_help("mend what is wrong there, then run this again: it brings the old files back")
}

/// Writes the new files where they wait.
fn wait_there(folder: &Folder, bytes: &[impl AsRef<[u8]>], halt: Halt<'_>) -> Result<(), Problem> {
    folder.make(&new_folder())?;
    folder.make(&old_folder())?;
    for (index, bytes) in bytes.iter().enumerate() {
        unless(halt, folder)?;
        folder.write(&waiting(index), bytes.as_ref())?;
    }
    let written = (0..bytes.len()).map(|index| waiting(index).path().to_path_buf());
    folder.sync(&written.collect::<Vec<_>>())
}

fn swap(folder: &Folder, journal: &Journal, halt: Halt<'_>) -> Result<(), Problem> {
    for name in &journal.folders {
        folder.make(name)?;
    }
    for out in &journal.outs {
        unless(halt, folder)?;
        folder.rename(&out.name, &out.to)?;
    }
    folder.sync(&[old_folder().path().to_path_buf()])?;
    for (index, new) in journal.ins.iter().enumerate() {
        unless(halt, folder)?;
        folder.rename(&waiting(index), &new.name)?;
    }
    sync(folder, journal)?;
    journal.commit(folder)
}

fn unless(halt: Halt<'_>, folder: &Folder) -> Result<(), Problem> {
    if halt() { Err(folder.stopped()) } else { Ok(()) }
}

/// The names that the moves change, on the disk itself.
fn sync(folder: &Folder, journal: &Journal) -> Result<(), Problem> {
    let mut touched: Vec<PathBuf> = journal.touched().into_iter().collect();
    // Of what is undone some are gone.
    touched.retain(|path| folder.has_folder(path));
    folder.sync(&touched)
}

/// Ends what a run that died has begun: its files stand if all of them were in place, else those
/// of the run before it. What a person changed is told.
///
/// # Errors
/// When the disk refuses, or its notes can't be understood.
pub(super) fn mend(folder: &Folder) -> Result<Vec<Kept>, Problem> {
    folder.remove(&half_journal())?;
    if let Some(journal) = Journal::read(folder, &done_journal())? {
        return clear(folder, &journal);
    }
    if let Some(journal) = Journal::read(folder, &open_journal())? {
        return undo(folder, &journal);
    }
    Ok(Vec::new())
}

/// Whether a run that died has left something to mend.
pub(super) fn is_broken_off(folder: &Folder) -> Result<bool, Problem> {
    let notes = [half_journal(), open_journal(), done_journal()];
    notes.iter().try_fold(false, |any, note| Ok(any || folder.look(note)? != Look::Nothing))
}

/// The new files stand: clears away what they stand in for.
fn clear(folder: &Folder, journal: &Journal) -> Result<Vec<Kept>, Problem> {
    let mut kept = Vec::new();
    for out in &journal.outs {
        kept.extend(discard(folder, out)?);
    }
    for name in &journal.stale {
        folder.remove_empty(name)?;
    }
    tidy(folder)?;
    folder.remove(&done_journal())?;
    Ok(kept)
}

/// Brings back what was there before. Doing it twice is doing it once, and wherever a person has
/// put something in the meantime, that stays.
fn undo(folder: &Folder, journal: &Journal) -> Result<Vec<Kept>, Problem> {
    for (index, new) in journal.ins.iter().enumerate().rev() {
        if folder.is_sealed(&new.name, &new.seal)? {
            take_back(folder, index, journal)?;
        }
    }
    for out in journal.outs.iter().rev() {
        bring_back(folder, out)?;
    }
    let kept = forget(folder, journal)?;
    folder.remove(&open_journal())?;
    Ok(kept)
}

/// Takes a new file that has come in back to where it waited.
fn take_back(folder: &Folder, index: usize, journal: &Journal) -> Result<(), Problem> {
    let (name, waits) = (&journal.ins[index].name, waiting(index));
    if folder.look(&waits)? == Look::Nothing {
        return folder.rename(name, &waits);
    }
    // Where renaming is done by a second name for the same file, both may be there.
    let paths = (folder.real_path(name), folder.real_path(&waits));
    match same_file::is_same_file(paths.0, paths.1) {
        Ok(true) => folder.remove(name),
        _ => Ok(()),
    }
}

/// Brings a file that has gone out back to its place, if that is free.
fn bring_back(folder: &Folder, out: &Out) -> Result<(), Problem> {
    if folder.look(&out.name)? != Look::Nothing || folder.look(&out.to)? == Look::Nothing {
        return Ok(());
    }
    if let Some(parent) = out.name.parent() {
        folder.make(&parent)?;
    }
    folder.rename(&out.to, &out.name)
}

/// Removes all that a run has made on its way.
fn forget(folder: &Folder, journal: &Journal) -> Result<Vec<Kept>, Problem> {
    for index in 0..journal.ins.len() {
        folder.remove(&waiting(index))?;
    }
    let mut kept = Vec::new();
    for out in journal.outs.iter().filter(|out| out.seal.is_some()) {
        kept.extend(discard(folder, out)?);
    }
    for name in journal.folders.iter().rev() {
        folder.remove_empty(name)?;
    }
    tidy(folder)?;
    sync(folder, journal)?;
    Ok(kept)
}

fn tidy(folder: &Folder) -> Result<(), Problem> {
    folder.remove_empty(&new_folder())?;
    folder.remove_empty(&old_folder())
}

/// Deletes a file that has gone out, if it still is what was written. Whatever a person made of
/// it is told, and kept beside its old place.
fn discard(folder: &Folder, out: &Out) -> Result<Option<Kept>, Problem> {
    let Some(seal) = &out.seal else { return Ok(Some(Kept::new(out, &out.to))) };
    if folder.is_sealed(&out.to, seal)? {
        return folder.remove(&out.to).map(|()| None);
    }
    if folder.look(&out.to)? == Look::Nothing {
        return Ok(None);
    }
    let to = aside(folder, &out.name, &|_| false)?;
    if let Some(parent) = to.parent() {
        folder.make(&parent)?;
    }
    folder.rename(&out.to, &to)?;
    Ok(Some(Kept::new(out, &to)))
}
