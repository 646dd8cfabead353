//! Putting a run's files in place all at once, so that a failed run leaves the last good one.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde::Deserialize;

use crate::reading::Problem;
use crate::render::SUMMARY;

/// What an earlier run wrote.
#[derive(Deserialize)]
struct Earlier {
    files: Vec<PathBuf>,
}

/// Writes `files` (by path within the folder) to the folder `out`, which then holds them and
/// whatever else lay there, but none of the files of an earlier run.
///
/// They are written beside the folder first and moved into place together.
///
/// # Errors
/// When `out` is no folder, holds files that no earlier run wrote under the same names, or can't
/// be written. The folder is then as it was.
pub fn place(out: &Path, files: &BTreeMap<PathBuf, Vec<u8>>) -> Result<(), Problem> {
    let keep = keepers(out, files)?;
    let parent = match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    std::fs::create_dir_all(parent).map_err(|e| Problem::io("make", parent, &e))?;
    let fresh = tempfile::Builder::new()
        .prefix(".cleatwright-")
        .tempdir_in(parent)
        .map_err(|e| Problem::io("write in", parent, &e))?;
    let new = fresh.path().join("new");
    for (name, bytes) in files {
        write(&new.join(name), bytes)?;
    }
    let old = fresh.path().join("old");
    if out.exists() {
        std::fs::rename(out, &old).map_err(|e| Problem::io("replace", out, &e))?;
    }
    if let Err(problem) = settle(&old, &new, out, &keep) {
        // Back to the last good run; what failed is told either way.
        if old.exists() && !out.exists() {
            let _ = std::fs::rename(&old, out);
        }
        return Err(problem);
    }
    Ok(())
}

/// Moves the new files into place, after what is kept of the old ones has been added to them.
fn settle(old: &Path, new: &Path, out: &Path, keep: &[PathBuf]) -> Result<(), Problem> {
    for name in keep {
        let bytes =
            std::fs::read(old.join(name)).map_err(|e| Problem::io("read", &out.join(name), &e))?;
        write(&new.join(name), &bytes)?;
    }
    std::fs::rename(new, out).map_err(|e| Problem::io("write", out, &e))
}

/// The files in `out` that no earlier run wrote.
fn keepers(out: &Path, files: &BTreeMap<PathBuf, Vec<u8>>) -> Result<Vec<PathBuf>, Problem> {
    if !out.exists() {
        return Ok(Vec::new());
    }
    if !out.is_dir() {
        let message = format!("{} is a file, not a folder to write into", out.display());
        return Err(Problem::plain(message).with_help("name another folder with --out"));
    }
    let earlier = std::fs::read(out.join(SUMMARY)).ok();
    let earlier: Option<Earlier> = earlier.and_then(|bytes| serde_json::from_slice(&bytes).ok());
    let ours: BTreeSet<PathBuf> =
        earlier.map(|earlier| earlier.files.into_iter().collect()).unwrap_or_default();
    let mut keep = Vec::new();
    list(out, Path::new(""), &mut keep)?;
    keep.retain(|name| !ours.contains(name));
    if let Some(name) = keep.iter().find(|name| files.contains_key(*name)) {
        let message = format!("{} was not written by an earlier run", out.join(name).display());
        let help = "it would be overwritten: move it away, or name another folder with --out";
        return Err(Problem::plain(message).with_help(help));
    }
    Ok(keep)
}

fn list(root: &Path, within: &Path, found: &mut Vec<PathBuf>) -> Result<(), Problem> {
    let folder = root.join(within);
    let entries = std::fs::read_dir(&folder).map_err(|e| Problem::io("read", &folder, &e))?;
    for entry in entries {
        let entry = entry.map_err(|e| Problem::io("read", &folder, &e))?;
        let name = within.join(entry.file_name());
        if entry.path().is_dir() {
            list(root, &name, found)?;
        } else {
            found.push(name);
        }
    }
    Ok(())
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(|e| Problem::io("make", folder, &e))?;
    }
    std::fs::write(path, bytes).map_err(|e| Problem::io("write", path, &e))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn files(names: &[&str]) -> BTreeMap<PathBuf, Vec<u8>> {
        let mut files: BTreeMap<PathBuf, Vec<u8>> =
            names.iter().map(|name| (PathBuf::from(name), name.as_bytes().to_vec())).collect();
        let all: Vec<&str> = names.iter().copied().chain([SUMMARY]).collect();
        let summary = serde_json::json!({ "files": all }).to_string();
        files.insert(SUMMARY.into(), summary.into_bytes());
        files
    }

    #[test]
    fn a_new_run_replaces_the_old_one_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("made");
        place(&out, &files(&["a/x.svg", "b/y.svg"])).unwrap();
        std::fs::write(out.join("a/my notes.txt"), "keep me").unwrap();
        place(&out, &files(&["a/z.svg"])).unwrap();
        assert!(out.join("a/z.svg").exists() && !out.join("a/x.svg").exists());
        assert!(!out.join("b").exists());
        assert_eq!(std::fs::read_to_string(out.join("a/my notes.txt")).unwrap(), "keep me");
        // Nothing is left beside it.
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_file_of_the_users_own_is_never_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("docs");
        std::fs::create_dir(&out).unwrap();
        std::fs::write(out.join(SUMMARY), "mine").unwrap();
        assert!(place(&out, &files(&["a/x.svg"])).is_err());
        assert_eq!(std::fs::read_to_string(out.join(SUMMARY)).unwrap(), "mine");
        assert!(!out.join("a").exists());
    }
}
