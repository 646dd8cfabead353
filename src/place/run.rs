//! What a run hands in, and what it is told.

use std::collections::BTreeMap;
use std::fmt;

use super::journal::Out;
use super::name::Name;

/// Says whether the run is to stop. Once the new files stand, nobody asks any more.
pub(crate) type Halt<'h> = &'h dyn Fn() -> bool;

/// The bytes of new files.
pub(super) type New<'n> = BTreeMap<Name, &'n [u8]>;

/// A file that a person changed since it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    pub(super) name: Name,
    /// Where it is now; `None` if it was left where it was.
    pub(super) now: Option<Name>,
}

impl Kept {
    pub(super) fn new(out: &Out, now: &Name) -> Self {
        Self { name: out.name.clone(), now: Some(now.clone()) }
    }
}

impl fmt::Display for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} was changed since it was made: ", self.name.as_str())?;
        match &self.now {
            Some(now) => write!(f, "your version is now {}", now.as_str()),
            None => write!(f, "it is not part of this run and stays as it is"),
        }
    }
}

/// What a run's files are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Run<'r> {
    Whole,
    /// For the folder of this name above all.
    Alone(&'r str),
}

impl<'r> Run<'r> {
    pub(super) fn alone(self) -> Option<&'r str> {
        match self {
            Self::Whole => None,
            Self::Alone(folder) => Some(folder),
        }
    }
}

/// How a run's files were put into place.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct PlacedFiles {
    /// Files of earlier runs that a person has changed since; none of them is lost.
    pub kept: Vec<Kept>,
    /// Whether only the files of the run's own folder were: the rest belongs to an earlier run for more.
    pub part: bool,
}
