//! One run at a time puts files into a folder.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::thread::sleep;
use std::time::{Duration, Instant};

use same_file::Handle;

use super::folder::{Folder, Look};
use super::list::hidden;
use super::marker::Marker;
use super::run::Halt;
use crate::reading::Problem;

/// How long a run waits for another to be done; a run holds the folder for about a second.
const PATIENCE: Duration = Duration::from_secs(30);

const GLANCE: Duration = Duration::from_millis(10);

/// The folder is this run's until it is dropped. The system lifts the lock of a run that dies.
#[derive(Debug)]
pub(super) struct Lock<'f> {
    folder: &'f Folder,
    /// Whether nothing of an earlier run lay in the folder.
    first: bool,
    _file: File,
}

impl<'f> Lock<'f> {
    /// Waits for the folder to be this run's.
    ///
    /// # Errors
    /// When another run keeps it for too long, when it can't be written in, or when halted.
    pub(super) fn wait(folder: &'f Folder, halt: Halt<'_>) -> Result<Self, Problem> {
        let first = folder.look(&hidden(""))? == Look::Nothing;
        let start = Instant::now();
        while start.elapsed() < PATIENCE {
            let claimed = claim(folder).inspect_err(|_| {
                // What was made before the disk refused; whatever lies in it stays.
                drop(folder.remove_empty(&hidden("")));
            })?;
            if let Some(file) = claimed {
                return Ok(Self { folder, first, _file: file });
            }
            if halt() {
                return Err(folder.stopped());
            }
            sleep(GLANCE);
        }
        Err(busy(folder))
    }

    /// The folder as this run's; `None` when another has it.
    pub(super) fn at_once(folder: &'f Folder) -> Result<Option<Self>, Problem> {
        Ok(claim(folder)?.map(|file| Self { folder, first: false, _file: file }))
    }

    /// Takes away what was made for the lock, if nothing was ever written here.
    pub(super) fn unmake(self) -> Result<(), Problem> {
        if self.first && !Marker::is_there(self.folder)? {
            self.folder.remove(&hidden(LOCK))?;
            self.folder.remove_empty(&hidden(""))?;
        }
        Ok(())
    }
}

const LOCK: &str = "lock";

/// The lock's file, locked; `None` when another run has it or has just taken it away.
fn claim(folder: &Folder) -> Result<Option<File>, Problem> {
    let Some(file) = lock_file(folder)? else { return Ok(None) };
    match file.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Ok(None),
        Err(TryLockError::Error(e)) => return Err(folder.refused("lock", &hidden(LOCK), &e)),
    }
    Ok(is_in_place(folder, &file).then_some(file))
}

fn lock_file(folder: &Folder) -> Result<Option<File>, Problem> {
    let lock = hidden(LOCK);
    let made = std::fs::create_dir_all(folder.real_path(&hidden("")));
    if !matches!(folder.look(&lock)?, Look::Nothing | Look::File(_)) {
        return Err(folder.in_the_way(&lock));
    }
    let opened = made.and_then(|()| {
        let mut how = OpenOptions::new();
        how.write(true).create(true).truncate(false).open(folder.real_path(&lock))
    });
    match opened {
        Ok(file) => Ok(Some(file)),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
        Err(e) => Err(folder.refused("write in", &hidden(""), &e)),
    }
}

/// Whether the file that was locked is the one that others would find.
fn is_in_place(folder: &Folder, file: &File) -> bool {
    let found = Handle::from_path(folder.real_path(&hidden(LOCK)));
    let ours = file.try_clone().and_then(Handle::from_file);
    matches!((found, ours), (Ok(found), Ok(ours)) if found == ours)
}

fn busy(folder: &Folder) -> Problem {
    let (shown, wait) = (folder.shown().display(), PATIENCE.as_secs());
    Problem::plain(format!("another run has been writing into {shown} for {wait} s"))
        .with_help("let it end, then run this again")
}
