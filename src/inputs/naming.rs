//! What holders are called: after their files, made safe as names of folders.

use std::collections::BTreeMap;

use crate::reading::{Problem, Source, alike, folder_name};

/// Name of the folder that the CNC router's sheets go into.
pub(crate) const ROUTER_FOLDER: &str = "router";

/// Name of the folder that the cutting plan goes into.
pub(crate) const CUTTING_FOLDER: &str = "cutting";

/// Each file under the name of its folder. It hangs on the file's own name only, so that no folder is
/// called otherwise when a file is added.
///
/// # Errors
/// At two files whose names some systems take for one.
pub(super) fn named<'a>(
    files: impl Iterator<Item = (&'a str, &'a Source)>,
) -> Result<BTreeMap<String, &'a Source>, Problem> {
    let mut named: BTreeMap<String, &'a Source> = BTreeMap::new();
    for (stem, source) in files {
        let name = folder_name(stem, &[ROUTER_FOLDER, CUTTING_FOLDER]);
        if let Some((_, other)) = named.iter().find(|(other, _)| alike(other, &name)) {
            let (one, two) = (other.name(), source.name());
            let message = format!("{one} and {two}: some systems take these two names for one");
            return Err(Problem::plain(message).with_help("give one of the files another name"));
        }
        named.insert(name, source);
    }
    Ok(named)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(stems: &[&str]) -> Result<Vec<String>, Problem> {
        let files: Vec<(&str, Source)> =
            stems.iter().map(|stem| (*stem, Source::new(*stem, ""))).collect();
        Ok(named(files.iter().map(|(stem, source)| (*stem, source)))?.into_keys().collect())
    }

    #[test]
    fn names_are_safe_and_never_shared() {
        let stems = ["Sash <clamps>", ".", "x.y", "X y", "router"];
        let all = names(&stems).unwrap();
        assert_eq!(all.len(), stems.len());
        // Each alone is called the same.
        assert!(stems.iter().all(|stem| all.contains(&names(&[*stem]).unwrap()[0])), "{all:?}");
        assert!(all.contains(&"x.y".to_owned()) && all.contains(&"X y".to_owned()));
    }

    #[test]
    fn two_names_that_are_one_elsewhere_are_refused() {
        for pair in [["Küche", "küche"], ["Küche", "Ku\u{308}che"]] {
            let problem = names(&pair).unwrap_err();
            assert!(problem.to_string().contains("two names for one"), "{problem}");
        }
    }
}
