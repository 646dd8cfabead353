//! The tools that there are: `tools.toml` to what each tool is, to what each holder takes from there, and to how the
//! counts of both agree.

mod file;
mod reading_names;
mod say;
mod share;
mod take;

use crate::length::Units;
use crate::reading::{Problems, Source, Spanned};
use crate::style::{Entries, HolderFile, Library};

pub(crate) use file::ToolsFile;
pub(crate) use reading_names::ReadingNames;
pub(crate) use say::counted;

/// What a new inventory begins as.
#[cfg(any(test, feature = "cli"))]
pub(crate) fn default_tools(units: Units) -> &'static str {
    match units {
        Units::Inches => include_str!("default.toml"),
        Units::Millimeters => include_str!("default-mm.toml"),
    }
}

/// What the inventory says.
#[derive(Debug, Clone)]
pub(crate) struct Inventory {
    pub source: Source,
    /// What bare lengths are in; `None` where the file does not say.
    pub units: Option<Units>,
    /// How much room for more there is to be, as a share of the tools that there are.
    pub room: Option<Spanned<f64>>,
    pub tools: Vec<StockedTool>,
}

/// One kind of tool that there is.
#[derive(Debug, Clone)]
pub(crate) struct StockedTool {
    pub name: Spanned<String>,
    /// How many there are, and where that is said.
    pub count: Spanned<usize>,
    /// The set that it belongs to.
    pub set: Option<String>,
    /// Whether it takes two hands.
    pub two_handed: bool,
    /// What was read off it.
    pub readings: Entries,
    /// Readings that are given and can't be read, which is told.
    pub unread: Vec<String>,
}

/// How many of a tool hang in a holder.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Share<'i> {
    pub tool: &'i StockedTool,
    pub count: usize,
}

impl Inventory {
    /// What is said in `source`, with what is wrong there; `library` knows what readings are called.
    pub(crate) fn read(source: &Source, library: &Library) -> (Option<Self>, Problems) {
        file::read(source, library)
    }

    /// The tools that `name` means: one, or those of a set.
    pub(crate) fn named(&self, name: &str) -> Vec<&StockedTool> {
        let is =
            |tool: &&StockedTool| tool.name.get_ref() == name || tool.set.as_deref() == Some(name);
        self.tools.iter().filter(is).collect()
    }

    /// What a holder file may name: tools, then sets.
    fn names(&self) -> Vec<&str> {
        let mut names: Vec<&str> = self.tools.iter().map(|t| t.name.get_ref().as_str()).collect();
        for set in self.tools.iter().filter_map(|tool| tool.set.as_deref()) {
            if !names.contains(&set) {
                names.push(set);
            }
        }
        names
    }

    /// How many of which tools hang in each of `files`, in their order; none of what it does not know.
    pub(crate) fn shares<'i>(&'i self, files: &[&HolderFile]) -> Vec<Vec<Share<'i>>> {
        share::shares(self, files)
    }
}

/// A holder file with what it takes from the inventory; what is wrong in that is kept in it. `inventory` is `None`
/// where the project has none, or none that can be read.
pub(crate) fn supplied(
    file: HolderFile,
    inventory: Option<&Inventory>,
    shares: &[Share<'_>],
) -> HolderFile {
    take::supplied(file, inventory, shares)
}
