//! Paths within the folder, as lists on the disk hold them.

use std::path::{Component, Path};

use serde::{Deserialize, Serialize};

use super::folder::HIDDEN;

/// A path within the folder, its parts joined by `/`. It can't lead out of the folder: no part is
/// empty, `.` or `..`, and it does not begin at the root.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub(super) struct Name(String);

impl Name {
    /// `None` for a path that is not UTF-8 or could lead out of the folder.
    pub(super) fn new(path: &Path) -> Option<Self> {
        let parts: Option<Vec<&str>> = path
            .components()
            .map(|part| match part {
                Component::Normal(part) => part.to_str(),
                _ => None,
            })
            .collect();
        parts.filter(|parts| !parts.is_empty()).map(|parts| Self(parts.join("/")))
    }

    pub(super) fn hidden_folder() -> Self {
        Self(HIDDEN.to_owned())
    }

    pub(super) fn as_str(&self) -> &str {
        &self.0
    }

    pub(super) fn path(&self) -> &Path {
        Path::new(&self.0)
    }

    /// What is called `name` in this folder.
    pub(super) fn join(&self, name: &str) -> Self {
        Self(format!("{}/{name}", self.0))
    }

    pub(super) fn parent(&self) -> Option<Self> {
        self.0.rsplit_once('/').map(|(folder, _)| Self(folder.to_owned()))
    }

    /// The folders it lies in, the outermost first.
    pub(super) fn folders(&self) -> impl Iterator<Item = Self> + '_ {
        self.0.match_indices('/').map(|(at, _)| Self(self.0[..at].to_owned()))
    }

    /// A name beside this one, for what a person made of the file. `count` is 1, 2, 3 …
    pub(super) fn changed(&self, count: usize) -> Self {
        let start = self.0.rfind('/').map_or(0, |at| at + 1);
        let (stem, end) = match self.0[start..].rfind('.') {
            Some(dot) if dot > 0 => self.0.split_at(start + dot),
            _ => (self.as_str(), ""),
        };
        let number = if count > 1 { format!(" {count}") } else { String::new() };
        Self(format!("{stem} (changed by you{number}){end}"))
    }
}

impl From<Name> for String {
    fn from(name: Name) -> Self {
        name.0
    }
}

impl TryFrom<String> for Name {
    type Error = String;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::new(Path::new(&text))
            .filter(|name| name.0 == text)
            .ok_or_else(|| format!("{text:?} is no path within the folder"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(text: &str) -> Name {
        text.to_owned().try_into().unwrap()
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        for text in ["", ".", "..", "../x", "a/../../x", "/etc/passwd", "a//b", "./a", "a/", "a/."]
        {
            assert!(Name::try_from(text.to_owned()).is_err(), "{text}");
        }
        assert_eq!(name("a/b c.svg").as_str(), "a/b c.svg");
    }

    #[test]
    fn folders_come_outermost_first() {
        let folders: Vec<Name> = name("a/b/c.svg").folders().collect();
        assert_eq!(folders, [name("a"), name("a/b")]);
        assert_eq!(name("c.svg").folders().count(), 0);
    }

    #[test]
    fn a_changed_file_keeps_its_ending() {
        assert_eq!(name("a.b/steps.md").changed(1).as_str(), "a.b/steps (changed by you).md");
        assert_eq!(name("a.b/steps.md").changed(3).as_str(), "a.b/steps (changed by you 3).md");
        assert_eq!(name("a.b/steps").changed(1).as_str(), "a.b/steps (changed by you)");
        assert_eq!(name(".hidden").changed(1).as_str(), ".hidden (changed by you)");
    }
}
