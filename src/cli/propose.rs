//! `propose`: new holder files for the tools that no holder names.

use std::fs::{create_dir, remove_dir, remove_file};
use std::path::{Path, PathBuf};

use clap::Args;

use super::single::write_whole;
use super::{Done, Outcome, folder, print};
use crate::propose::{Proposed, propose as proposals};
use crate::reading::Problem;

#[derive(Debug, Args)]
pub(super) struct ProposeArgs {
    /// The project's folder, with a tools.toml in it.
    project: PathBuf,
    /// Print the files, and write nothing.
    #[arg(long)]
    dry_run: bool,
    /// A folder of further style files.
    #[arg(long, value_name = "DIR")]
    styles: Vec<PathBuf>,
}

/// Writes a holder file, or several, for each tool or set that no holder names; all of them or none.
pub(super) fn propose(args: &ProposeArgs) -> Done {
    let inputs = folder::open_for_more(&args.project, &args.styles)?;
    let proposed = proposals(&inputs)?;
    if args.dry_run {
        return print(&printed(&proposed));
    }
    let files = proposed.iter().flat_map(|one| &one.files);
    let files: Vec<(PathBuf, &str)> =
        files.map(|file| (args.project.join(&file.path), file.text.as_str())).collect();
    put(&files).map_err(|problem| vec![problem])?;
    print(&told(&proposed))?;
    Ok(Outcome::Done)
}

/// What was proposed, a line for each file and for each tool that nothing suits.
fn told(proposed: &[Proposed]) -> String {
    let each = proposed.iter().map(|one| match &one.style {
        Some(style) => {
            let line = |path: &str| format!("{path}: {style} for \"{}\": {}.\n", one.of, one.why);
            one.files.iter().map(|file| line(&file.path)).collect()
        }
        None => format!("\"{}\": {}\n", one.of, ended(&one.why)),
    });
    let text: String = each.collect();
    if text.is_empty() { "Every tool has a holder that names it.\n".to_owned() } else { text }
}

fn ended(why: &str) -> String {
    if why.ends_with(['.', '!', '?']) { why.to_owned() } else { format!("{why}.") }
}

/// The files themselves, and after them what nothing suits.
fn printed(proposed: &[Proposed]) -> String {
    let files = proposed.iter().flat_map(|one| &one.files);
    let files: String = files.map(|file| format!("# {}\n{}\n", file.path, file.text)).collect();
    let without: Vec<Proposed> =
        proposed.iter().filter(|one| one.style.is_none()).cloned().collect();
    let rest = if without.is_empty() && !files.is_empty() { String::new() } else { told(&without) };
    let rest: String = rest.lines().map(|line| format!("# {line}\n")).collect();
    files + &rest
}

/// Writes new files, all or none; nothing that is there is touched.
fn put(files: &[(PathBuf, &str)]) -> Result<(), Problem> {
    let Some(folder) = files.first().and_then(|(path, _)| path.parent()) else { return Ok(()) };
    let is_new = !folder.is_dir();
    if is_new {
        create_dir(folder).map_err(|error| Problem::io("write", folder, &error))?;
    }
    for (at, (path, text)) in files.iter().enumerate() {
        let done = write_whole(path, text.as_bytes(), false);
        if let Err(problem) = done {
            take_back(files[..at].iter().map(|(path, _)| path.as_path()), folder, is_new);
            return Err(problem);
        }
    }
    Ok(())
}

/// Takes away what this run has written.
fn take_back<'p>(written: impl Iterator<Item = &'p Path>, folder: &Path, is_new: bool) {
    // What can't be taken away is told by the file that stays.
    written.for_each(|path| drop(remove_file(path)));
    if is_new {
        drop(remove_dir(folder));
    }
}
