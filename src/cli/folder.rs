//! A project on the disk: which files are read, and where the run's files go.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::plain_file::plain_text;
use crate::inputs::{Inputs, SHOP, TOOLS, WALL};
use crate::limits;
use crate::reading::{Beside, Problem, Source, nearest};
use crate::record::RECORD;
use crate::style::says_built;

/// What a person named on the command line, read.
#[derive(Debug)]
pub(super) struct Opened {
    pub inputs: Inputs,
    /// Where files go unless told otherwise: `made` in the project's folder.
    pub out: PathBuf,
    /// Whether it is one holder of a project that may have more.
    pub alone: bool,
}

/// Reads the project at `path`, a folder with `holders/*.toml` and perhaps `shop.toml`, `tools.toml` and `styles/`, or a
/// single holder file. A file in a folder `holders` takes shop, tools and styles from the folder above, another one from its own.
/// `only` makes but the holder of that name, which shares with the others what is settled for all; `styles` are further folders of style files.
///
/// # Errors
/// When there is no holder, and at every file that can't be read.
pub(super) fn open(
    path: &Path,
    only: Option<&str>,
    styles: &[PathBuf],
) -> Result<Opened, Vec<Problem>> {
    let (root, files) = holder_files(path).map_err(|p| vec![p])?;
    let wanted = match only {
        Some(name) => Some(find(&files, name).map_err(|p| vec![p])?),
        None => path.is_file().then(|| path.to_path_buf()),
    };
    let mut texts = Texts::default();
    for file in [SHOP, TOOLS, WALL] {
        texts.add_if_there(file, &root.join(file));
    }
    match &wanted {
        None => files.iter().for_each(|file| texts.add_holder(file)),
        Some(file) => texts.add_only(file, &root.join("holders")),
    }
    let own = root.join("styles");
    let own = own.is_dir().then_some(&own);
    own.into_iter().chain(styles).for_each(|folder| texts.add_styles(folder));
    let inputs = texts.finish()?.with_beside(Arc::new(OnDisk));
    Ok(Opened { inputs, out: root.join("made"), alone: wanted.is_some() })
}

/// Reads the project in the folder `root`, which may have no holders yet.
///
/// # Errors
/// When it is no folder, and at every file that can't be read.
pub(super) fn open_for_more(root: &Path, styles: &[PathBuf]) -> Result<Inputs, Vec<Problem>> {
    if !root.is_dir() {
        let message = format!("{}: there is no such folder", root.display());
        let help = "name the project's folder, which has tools.toml in it";
        return Err(vec![Problem::plain(message).with_help(help)]);
    }
    let mut texts = Texts::default();
    for name in [SHOP, TOOLS, WALL] {
        texts.add_if_there(name, &root.join(name));
    }
    let [holders, own] = ["holders", "styles"].map(|name| root.join(name));
    if holders.is_dir() {
        texts.add_folder("holders", &holders);
    }
    let own = own.is_dir().then_some(&own);
    own.into_iter().chain(styles).for_each(|folder| texts.add_styles(folder));
    Ok(texts.finish()?.with_beside(Arc::new(OnDisk)))
}

/// A project's folder and its shop file, named by either; no shop file where the folder has none.
///
/// # Errors
/// When there is no such folder or file, or it can't be read.
pub(super) fn shop_file(path: &Path) -> Result<(PathBuf, Option<Source>), Vec<Problem>> {
    let (folder, file) = match path.is_dir() {
        true => (path.to_path_buf(), path.join(SHOP)),
        false => (path.parent().unwrap_or(Path::new("")).to_path_buf(), path.to_path_buf()),
    };
    if path.is_dir() && !file.exists() {
        return Ok((folder, None));
    }
    let text = plain_text(&file, limits::FILE_BYTES).map_err(|problem| vec![problem])?;
    Ok((folder, Some(Source::new(file.display().to_string(), text))))
}

impl Opened {
    /// Takes in how each holder that is built was made, as an earlier run wrote it into the folder `out`.
    ///
    /// # Errors
    /// At every record that is there and can't be read.
    pub(super) fn take_records(&mut self, out: &Path) -> Result<(), Vec<Problem>> {
        // Two files of one name are told when they are worked out.
        let files = self.inputs.holder_files().unwrap_or_default();
        let built = files.into_iter().filter(|(_, source)| says_built(source));
        let records = built.map(|(name, _)| (out.join(&name).join(RECORD), name));
        let records: Vec<_> = records.filter(|(file, _)| file.exists()).collect();
        let mut wrong = Vec::new();
        for (file, name) in records {
            match plain_text(&file, limits::FILE_BYTES) {
                Ok(text) => {
                    let record = Source::new(file.display().to_string(), text);
                    self.inputs = std::mem::take(&mut self.inputs).with_record(&name, record);
                }
                Err(problem) => wrong.push(problem),
            }
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong) }
    }
}

/// The styles of some folders, and nothing else.
///
/// # Errors
/// At every file that can't be read.
pub(super) fn styles(folders: &[PathBuf]) -> Result<Inputs, Vec<Problem>> {
    let mut texts = Texts::default();
    folders.iter().for_each(|folder| texts.add_styles(folder));
    texts.finish()
}

/// A style file with the other styles and groups of its folder, and its name.
///
/// # Errors
/// At every file that can't be read, and when it is no `.toml` file.
pub(super) fn style(file: &Path, folders: &[PathBuf]) -> Result<(Inputs, String), Vec<Problem>> {
    let name = file.file_stem().and_then(|name| name.to_str());
    let toml = file.extension().is_some_and(|end| end.eq_ignore_ascii_case("toml"));
    let Some(name) = name.filter(|_| toml && file.is_file()) else {
        let message = format!("{}: there is no such style file", file.display());
        return Err(vec![Problem::plain(message).with_help("name a file that ends in .toml")]);
    };
    let mut texts = Texts::default();
    let beside = file.parent().filter(|folder| !folder.as_os_str().is_empty());
    texts.add_styles(beside.unwrap_or(Path::new(".")));
    folders.iter().for_each(|folder| texts.add_styles(folder));
    let inputs = texts.finish()?.with_beside(Arc::new(OnDisk));
    Ok((inputs, name.to_owned()))
}

/// Texts as they are read, and what was wrong with those that can't be.
#[derive(Default)]
struct Texts {
    inputs: Inputs,
    problems: Vec<Problem>,
}

impl Texts {
    fn add(&mut self, path: &str, file: &Path) {
        match plain_text(file, limits::FILE_BYTES) {
            Ok(text) => {
                let folder = file.parent().unwrap_or(Path::new(""));
                let source = Source::new(file.display().to_string(), text)
                    .in_folder(&folder.to_string_lossy());
                self.inputs = std::mem::take(&mut self.inputs).with_source(path, source);
            }
            Err(problem) => self.problems.push(problem),
        }
    }

    fn add_holder(&mut self, file: &Path) {
        self.add(&format!("holders/{}", file_name(file)), file);
    }

    /// Adds a holder file, which alone is wanted, and the others of the folder `holders` where it is one of them. Of
    /// those nothing is told that is wrong: they only settle with it what all share.
    fn add_only(&mut self, wanted: &Path, holders: &Path) {
        self.add_holder(wanted);
        let is = |file: &PathBuf| same_file(file, wanted);
        let all = toml_files(holders).unwrap_or_default();
        if let Some(at) = all.iter().position(is) {
            let told = std::mem::take(&mut self.problems);
            let others = all.iter().enumerate().filter(|(other, _)| *other != at);
            others.for_each(|(_, file)| self.add_holder(file));
            self.problems = told;
        }
        let name = wanted.file_stem().unwrap_or_default().to_string_lossy();
        self.inputs = std::mem::take(&mut self.inputs).with_only(&name);
    }

    fn add_if_there(&mut self, path: &str, file: &Path) {
        if file.exists() {
            self.add(path, file);
        }
    }

    fn add_folder(&mut self, path: &str, folder: &Path) {
        match toml_files(folder) {
            Ok(files) => {
                files
                    .iter()
                    .for_each(|file| self.add(&format!("{path}/{}", file_name(file)), file));
            }
            Err(problem) => self.problems.push(problem),
        }
    }

    fn add_styles(&mut self, folder: &Path) {
        self.add_folder("styles", folder);
        let groups = folder.join("groups");
        if groups.is_dir() {
            self.add_folder("styles/groups", &groups);
        }
    }

    fn finish(self) -> Result<Inputs, Vec<Problem>> {
        if self.problems.is_empty() { Ok(self.inputs) } else { Err(self.problems) }
    }
}

/// Files that others name, read from the disk. Sources know their folders as the disk does.
#[derive(Debug)]
struct OnDisk;

impl Beside for OnDisk {
    fn text(&self, path: &str) -> Result<String, String> {
        plain_text(Path::new(path), limits::SVG_BYTES).map_err(|problem| problem.to_string())
    }
}

fn same_file(one: &Path, other: &Path) -> bool {
    let full = |file: &Path| std::fs::canonicalize(file).ok();
    full(one).is_some_and(|one| full(other).is_some_and(|other| one == other))
}

/// The name of a file that was listed in a folder.
fn file_name(file: &Path) -> String {
    let stem = file.file_stem().map(|name| name.to_string_lossy()).unwrap_or_default();
    format!("{stem}.toml")
}

/// The project's folder and its holder files, in order.
fn holder_files(path: &Path) -> Result<(PathBuf, Vec<PathBuf>), Problem> {
    if path.is_file() {
        return Ok((root_of(path), vec![path.to_path_buf()]));
    }
    if path.exists() && !path.is_dir() {
        let message = format!("can't read {}: it is a device or a pipe", path.display());
        let help = "name a project's folder or a holder file";
        return Err(Problem::plain(message).with_help(help));
    }
    let folder = path.join("holders");
    if path.is_dir() && !folder.is_dir() {
        let message = format!("{}: there is no folder \"holders\" in it", path.display());
        let help = "a project is a folder with holders/NAME.toml in it; \"cleatwright start STYLE\" writes such a file";
        return Err(Problem::plain(message).with_help(help));
    }
    let files = toml_files(if path.exists() { &folder } else { path })?;
    if files.is_empty() {
        let message = format!("{}: there is no holder file in it", folder.display());
        let help = "\"cleatwright start STYLE > holders/NAME.toml\" writes one to begin from";
        return Err(Problem::plain(message).with_help(help));
    }
    Ok((path.to_path_buf(), files))
}

/// The folder of the project that a single holder file is of.
fn root_of(file: &Path) -> PathBuf {
    let folder = file.parent().unwrap_or(Path::new(""));
    // A file named from within its folder tells its folder's name only in full.
    let full = std::path::absolute(file).unwrap_or_else(|_| file.to_path_buf());
    let in_holders = full.parent().and_then(Path::file_name).is_some_and(|name| name == "holders");
    match (in_holders, folder.parent()) {
        (false, _) => folder.to_path_buf(),
        (true, Some(above)) => above.to_path_buf(),
        (true, None) => PathBuf::from(".."),
    }
}

/// The files in `folder` that end in `.toml` and are not hidden, in order.
fn toml_files(folder: &Path) -> Result<Vec<PathBuf>, Problem> {
    let unread = |e: std::io::Error| Problem::io("read", folder, &e);
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unread)? {
        let file = entry.map_err(unread)?.path();
        let hidden = file.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
        let toml = file.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
        if toml && !hidden && !file.is_dir() {
            files.push(file);
        }
    }
    if files.len() > limits::FILES {
        let (has, most) = (files.len(), limits::FILES);
        let message = format!("{}: {has} files; at most {most}", folder.display());
        return Err(Problem::plain(message).with_help("share them between two projects"));
    }
    files.sort();
    twins(&files).map_or(Ok(()), Err)?;
    Ok(files)
}

/// Two files that come in under one name, such as `rack.toml` and `rack.TOML`.
fn twins(files: &[PathBuf]) -> Option<Problem> {
    let mut seen = BTreeMap::new();
    let mut pairs =
        files.iter().filter_map(|file| Some((seen.insert(file_name(file), file)?, file)));
    let (twin, file) = pairs.next()?;
    let message = format!("{} and {} have one name", twin.display(), file.display());
    Some(Problem::plain(message).with_help("rename one of them, or take it out of the folder"))
}

/// The one of `files` that is called `name`, with or without its ending.
fn find(files: &[PathBuf], name: &str) -> Result<PathBuf, Problem> {
    let wanted = name.strip_suffix(".toml").unwrap_or(name);
    let stems: Vec<String> = files
        .iter()
        .map(|file| file.file_stem().unwrap_or_default().to_string_lossy().into_owned())
        .collect();
    let found = stems.iter().position(|stem| stem == wanted).and_then(|i| files.get(i));
    found.cloned().ok_or_else(|| {
        let known: Vec<&str> = stems.iter().map(String::as_str).collect();
        let message = format!("--only: there is no holder \"{name}\"");
        Problem::plain(message).with_help(nearest(wanted, &known))
    })
}
