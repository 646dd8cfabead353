//! Reading a project folder or a single holder file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::carry::{Assessment, judge};
use crate::cutting::FOLDER as CUTTING_FOLDER;
use crate::holder::{Holder, build};
use crate::reading::{Problem, Source, file_name};
use crate::router::FOLDER as ROUTER_FOLDER;
use crate::shop::{DEFAULT_SHOP, Shop, read_shop};
use crate::style::{HolderFile, Library};

/// Everything that was asked for, worked out.
#[derive(Debug)]
pub struct Project {
    pub shop: Shop,
    /// In the order of their names.
    pub holders: Vec<Holder>,
    /// What each of them carries; `None` for one that can't be made or where nothing hangs.
    pub carried: Vec<Option<Assessment>>,
    /// Where files go unless told otherwise: `made` in the project's folder.
    pub out: PathBuf,
}

/// Reads and works out the project at `path`: a folder with `holders/*.toml` and perhaps
/// `shop.toml` and `styles/`, or a single holder file (with the `shop.toml` beside it, if any).
/// `styles` are further folders of style files.
///
/// # Errors
/// Every problem found; of each file the first.
pub fn open(path: &Path, styles: &[PathBuf]) -> Result<Project, Vec<Problem>> {
    let (root, files) = holder_files(path).map_err(|p| vec![p])?;
    let shop = shop(&root).map_err(|p| vec![p])?;
    let library = library(&root, styles).map_err(|p| vec![p])?;
    let (mut holders, mut carried) = (Vec::new(), Vec::new());
    let mut problems = Vec::new();
    for (name, file) in files {
        match holder(&name, &file, &library, &shop) {
            Ok((holder, assessment)) => {
                holders.push(holder);
                carried.push(assessment);
            }
            Err(problem) => problems.push(problem),
        }
    }
    if problems.is_empty() {
        Ok(Project { shop, holders, carried, out: root.join("made") })
    } else {
        Err(problems)
    }
}

fn holder(
    name: &str,
    file: &Path,
    library: &Library,
    shop: &Shop,
) -> Result<(Holder, Option<Assessment>), Problem> {
    let file = HolderFile::read(Source::open(file)?, name, library)?;
    let mut holder = build(&file, shop)?;
    let assessment = judge(&mut holder, &file, shop);
    Ok((holder, assessment))
}

fn shop(root: &Path) -> Result<Shop, Problem> {
    let file = root.join("shop.toml");
    let source = if file.exists() {
        Source::open(&file)?
    } else {
        Source::new("the default shop", DEFAULT_SHOP)
    };
    read_shop(&source)
}

/// The built-in styles, the project's own `styles` folder, and further folders.
fn library(root: &Path, styles: &[PathBuf]) -> Result<Library, Problem> {
    let mut library = Library::built_in();
    let own = root.join("styles");
    if own.is_dir() {
        library.add_folder(&own)?;
    }
    for folder in styles {
        library.add_folder(folder)?;
    }
    Ok(library)
}

/// The project's folder and its holder files by name.
fn holder_files(path: &Path) -> Result<(PathBuf, BTreeMap<String, PathBuf>), Problem> {
    if path.is_file() {
        let root = path.parent().unwrap_or(Path::new("")).to_path_buf();
        return Ok((root, named([path.to_path_buf()])));
    }
    let folder = path.join("holders");
    if path.is_dir() && !folder.is_dir() {
        let message = format!("{}: there is no folder \"holders\" in it", path.display());
        let help = "a project is a folder with holders/NAME.toml in it; \"cleatwright start STYLE\" writes such a file";
        return Err(Problem::plain(message).with_help(help));
    }
    let entries = std::fs::read_dir(&folder)
        .map_err(|e| Problem::io("read", if path.exists() { &folder } else { path }, &e))?;
    let mut files = Vec::new();
    for entry in entries {
        let file = entry.map_err(|e| Problem::io("read", &folder, &e))?.path();
        let hidden = file.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
        let toml = file.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml"));
        if toml && !hidden {
            files.push(file);
        }
    }
    if files.is_empty() {
        let message = format!("{}: there is no holder file in it", folder.display());
        let help = "\"cleatwright start STYLE > holders/NAME.toml\" writes one to begin from";
        return Err(Problem::plain(message).with_help(help));
    }
    files.sort();
    Ok((path.to_path_buf(), named(files)))
}

/// Each file under a name that is safe as a folder name on any system; where two files would
/// have the same, or one that of the router's sheets or of the cutting plan, it gets a number.
fn named(files: impl IntoIterator<Item = PathBuf>) -> BTreeMap<String, PathBuf> {
    let mut named = BTreeMap::new();
    for file in files {
        let stem =
            file.file_stem().map(|stem| file_name(&stem.to_string_lossy())).unwrap_or_default();
        let stem = if stem.is_empty() { "holder".to_owned() } else { stem };
        let mut name = stem.clone();
        let mut count = 1;
        while named.contains_key(&name) || [ROUTER_FOLDER, CUTTING_FOLDER].contains(&name.as_str())
        {
            count += 1;
            name = format!("{stem}-{count}");
        }
        named.insert(name, file);
    }
    named
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_and_never_shared() {
        let files = [
            "a/Sash <clamps> & \"more\".toml",
            "a/..toml",
            "a/x.y.toml",
            "a/X y.toml",
            "a/router.toml",
        ];
        let names: Vec<String> = named(files.map(PathBuf::from)).into_keys().collect();
        assert_eq!(names, ["holder", "router-2", "sash--clamps-----more", "x-y", "x-y-2"]);
    }
}
