//! The folder that files are put into, and the few things that are done in it.

use std::fs::{self, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::thread;

use tempfile::TempPath;

use super::name::Name;
use super::seal::Seal;
use crate::reading::Problem;

/// The folder within the folder where the list of what was written lies and new files wait.
pub(super) const HIDDEN: &str = ".cleatwright";

/// What to do where a folder can't be written into.
const ELSEWHERE: &str = "name another folder with --out";

/// What a disk says that can't sync a folder.
const WITHOUT: [ErrorKind; 2] = [ErrorKind::InvalidInput, ErrorKind::Unsupported];

/// How many files are synced at once.
const SYNCS: usize = 8;

/// A folder to write into.
#[derive(Debug)]
pub(super) struct Folder {
    /// Where it is, every link on the way to it followed.
    real: PathBuf,
    /// As the person named it.
    shown: PathBuf,
    /// The folders that were made so that it is there, the innermost first.
    made: Vec<PathBuf>,
}

/// What lies at a place; links are not followed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Look {
    Nothing,
    /// A plain file and its size in bytes.
    File(u64),
    Link,
    Folder,
    /// A pipe, a socket, a device.
    Other,
    /// Nothing can lie there: this is in the place of a folder on the way.
    Blocked(Name),
}

impl Folder {
    /// The folder `out`, made if it is not there.
    ///
    /// # Errors
    /// When it is a file, a link that leads nowhere, or can't be made.
    pub(super) fn open(out: &Path) -> Result<Self, Problem> {
        let made = match fs::metadata(out) {
            Ok(there) if there.is_dir() => Vec::new(),
            Ok(_) => return Err(is_a_file(out)),
            Err(e) if e.kind() == ErrorKind::NotFound => make(out)?,
            Err(e) => return Err(refused("write in", out, &e)),
        };
        let real = fs::canonicalize(out).map_err(|e| refused("find", out, &e))?;
        Ok(Self { real, shown: out.to_path_buf(), made })
    }

    /// The folder `out` if it is there.
    pub(super) fn existing(out: &Path) -> Option<Self> {
        let real = fs::canonicalize(out).ok().filter(|real| real.is_dir())?;
        Some(Self { real, shown: out.to_path_buf(), made: Vec::new() })
    }

    /// Takes away what was made so that the folder is there, as far as nothing lies in it.
    pub(super) fn unmake(&self) {
        for folder in &self.made {
            // One that something lies in stays.
            let _ = fs::remove_dir(folder);
        }
    }

    /// The folder as the person named it.
    pub(super) fn shown(&self) -> &Path {
        &self.shown
    }

    pub(super) fn real_path(&self, name: &Name) -> PathBuf {
        self.real.join(name.path())
    }

    pub(super) fn shown_path(&self, name: &Name) -> PathBuf {
        self.shown.join(name.path())
    }

    /// Whether there is a folder at a path within it.
    pub(super) fn has_folder(&self, path: &Path) -> bool {
        self.real.join(path).is_dir()
    }

    pub(super) fn look(&self, name: &Name) -> Result<Look, Problem> {
        for folder in name.folders() {
            match self.look_at(&folder)? {
                Look::Folder => {}
                Look::Nothing => return Ok(Look::Nothing),
                _ => return Ok(Look::Blocked(folder)),
            }
        }
        self.look_at(name)
    }

    fn look_at(&self, name: &Name) -> Result<Look, Problem> {
        let there = match fs::symlink_metadata(self.real_path(name)) {
            Ok(there) => there,
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Look::Nothing),
            Err(e) => return Err(self.refused("look at", name, &e)),
        };
        Ok(match there.file_type() {
            kind if kind.is_dir() => Look::Folder,
            kind if kind.is_symlink() => Look::Link,
            kind if kind.is_file() => Look::File(there.len()),
            _ => Look::Other,
        })
    }

    /// The bytes of a plain file; `None` where there is none.
    pub(super) fn read(&self, name: &Name) -> Result<Option<Vec<u8>>, Problem> {
        match self.look(name)? {
            Look::File(_) => {
                fs::read(self.real_path(name)).map(Some).map_err(|e| self.refused("read", name, &e))
            }
            _ => Ok(None),
        }
    }

    /// Whether a plain file lies there that has the seal. One of another size is not read.
    pub(super) fn is_sealed(&self, name: &Name, seal: &Seal) -> Result<bool, Problem> {
        if self.look(name)? != Look::File(seal.size()) {
            return Ok(false);
        }
        let found =
            Seal::of_file(&self.real_path(name)).map_err(|e| self.refused("read", name, &e))?;
        Ok(found == *seal)
    }

    /// Writes a new file. It is on the disk itself only when it is synced.
    pub(super) fn write(&self, name: &Name, bytes: &[u8]) -> Result<(), Problem> {
        let mut how = OpenOptions::new();
        let opened = how.write(true).create_new(true).open(self.real_path(name));
        let written = opened.and_then(|mut file| file.write_all(bytes));
        written.map_err(|e| self.refused("write", name, &e))
    }

    /// Gives what lies at `from` the name `to`; never over something that lies there.
    pub(super) fn rename(&self, from: &Name, to: &Name) -> Result<(), Problem> {
        let renamed = rename(&self.real_path(from), &self.real_path(to));
        renamed.map_err(|e| match e.kind() {
            ErrorKind::AlreadyExists => self.in_the_way(to),
            _ => self.refused("write", if is_hidden(to) { from } else { to }, &e),
        })
    }

    /// Removes a file, if it is there.
    pub(super) fn remove(&self, name: &Name) -> Result<(), Problem> {
        match fs::remove_file(self.real_path(name)) {
            Err(e) if e.kind() != ErrorKind::NotFound => Err(self.refused("remove", name, &e)),
            _ => Ok(()),
        }
    }

    /// Makes a folder, and those it lies in, where there is none.
    pub(super) fn make(&self, name: &Name) -> Result<(), Problem> {
        for folder in name.folders().chain([name.clone()]) {
            match self.look(&folder)? {
                Look::Folder => continue,
                Look::Nothing => {}
                _ => return Err(self.in_the_way(&folder)),
            }
            fs::create_dir(self.real_path(&folder)).map_err(|e| self.refused("make", name, &e))?;
        }
        Ok(())
    }

    /// Removes a folder that nothing lies in. Any other stays.
    pub(super) fn remove_empty(&self, name: &Name) -> Result<(), Problem> {
        if self.look(name)? == Look::Folder {
            // It fails for a folder that something lies in, and that is wanted.
            let _ = fs::remove_dir(self.real_path(name));
        }
        Ok(())
    }

    /// Sees to it that files, and the names in folders, are on the disk itself. `paths` are within
    /// the folder; the empty one is the folder. A disk takes several in about the time of one.
    pub(super) fn sync(&self, paths: &[PathBuf]) -> Result<(), Problem> {
        let each = |paths: &[PathBuf]| paths.iter().try_for_each(|path| self.sync_one(path));
        thread::scope(|scope| {
            let shares = paths.chunks(paths.len().div_ceil(SYNCS).max(1));
            let start = |share| thread::Builder::new().spawn_scoped(scope, move || each(share));
            let running: Vec<_> = shares.map(|share| (share, start(share))).collect();
            running.into_iter().try_for_each(|(share, thread)| match thread {
                Ok(thread) => thread.join().unwrap_or_else(|panic| resume_unwind(panic)),
                Err(_) => each(share),
            })
        })
    }

    fn sync_one(&self, path: &Path) -> Result<(), Problem> {
        let real = self.real.join(path);
        let is_folder = real.is_dir();
        let for_reading = is_folder || cfg!(unix);
        let opened = OpenOptions::new().read(for_reading).write(!for_reading).open(&real);
        match opened.and_then(|file| file.sync_all()) {
            // Elsewhere a folder can't be opened, and here some disks can't do it for folders.
            Err(e) if !is_folder || (cfg!(unix) && !WITHOUT.contains(&e.kind())) => {
                Err(refused("write", &self.shown.join(path), &e))
            }
            _ => Ok(()),
        }
    }

    /// The system refused to `verb` something there.
    pub(super) fn refused(&self, verb: &str, name: &Name, error: &io::Error) -> Problem {
        refused(verb, &self.shown_path(name), error)
    }

    /// The run was told to stop in good time.
    pub(super) fn stopped(&self) -> Problem {
        Problem::plain(format!("stopped: {} is as it was", self.shown().display()))
    }

    /// Something lies there that no run wrote.
    pub(super) fn in_the_way(&self, name: &Name) -> Problem {
        let path = self.shown_path(name);
        Problem::plain(format!("{} was not written by an earlier run", path.display()))
            .with_help(format!("it would be overwritten: move it away, or {ELSEWHERE}"))
    }
}

fn rename(from: &Path, to: &Path) -> io::Result<()> {
    let mut file = TempPath::try_from_path(from)?;
    // Only its way of renaming is wanted: nothing may be deleted when that fails.
    file.disable_cleanup(true);
    file.persist_noclobber(to).map_err(|e| e.error)
}

fn is_hidden(name: &Name) -> bool {
    name.path().starts_with(HIDDEN)
}

/// Makes the folder and tells what was made for it, the innermost first.
fn make(out: &Path) -> Result<Vec<PathBuf>, Problem> {
    if let Ok(to) = fs::read_link(out) {
        return Err(leads_nowhere(out, &to));
    }
    let missing: Vec<PathBuf> = out
        .ancestors()
        .filter(|folder| !folder.as_os_str().is_empty())
        .take_while(|folder| !folder.exists())
        .map(Path::to_path_buf)
        .collect();
    fs::create_dir_all(out).map_err(|e| {
        missing.iter().for_each(|folder| drop(fs::remove_dir(folder)));
        refused("make", out, &e)
    })?;
    Ok(missing)
}

fn is_a_file(out: &Path) -> Problem {
    Problem::plain(format!("{} is a file, not a folder to write into", out.display()))
        .with_help(ELSEWHERE)
}

fn leads_nowhere(out: &Path, to: &Path) -> Problem {
    let message = format!("{} is a link to {}, which is not there", out.display(), to.display());
    Problem::plain(message).with_help(format!("make that folder, remove the link, or {ELSEWHERE}"))
}

/// The system refused to `verb` something at `path`; with what a person can do about it.
pub(super) fn refused(verb: &str, path: &Path, error: &io::Error) -> Problem {
    let problem = Problem::io(verb, path, error);
    problem.with_help(match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            format!("free some space, or {ELSEWHERE}")
        }
        ErrorKind::CrossesDevices => format!("unmount that disk, or {ELSEWHERE}"),
        _ => ELSEWHERE.to_owned(),
    })
}
