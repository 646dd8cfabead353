//! How many of each tool hang in which holder.

use super::{Inventory, Share, StockedTool};
use crate::reading::{Entry, Spanned};
use crate::style::HolderFile;

/// As many of each tool as a file states, and of those that are left an even share for each file that states none,
/// one more for the first ones where that leaves some over.
pub(super) fn shares<'i>(inventory: &'i Inventory, files: &[&HolderFile]) -> Vec<Vec<Share<'i>>> {
    let named: Vec<Vec<&StockedTool>> =
        files.iter().map(|file| tools_of(file, inventory)).collect();
    let wanted: Vec<Wanted<'_, 'i>> =
        files.iter().zip(&named).map(|(f, t)| Wanted::of(f, t)).collect();
    wanted.iter().enumerate().map(|(i, _)| of_file(&wanted, i)).collect()
}

/// The tools that a file names, each once.
pub(super) fn tools_of<'i>(file: &HolderFile, inventory: &'i Inventory) -> Vec<&'i StockedTool> {
    let mut tools: Vec<&StockedTool> = Vec::new();
    for tool in file.tool.iter().flat_map(|name| inventory.named(name.get_ref())) {
        if !tools.iter().any(|known| std::ptr::eq(*known, tool)) {
            tools.push(tool);
        }
    }
    tools
}

/// What one file wants.
struct Wanted<'w, 'i> {
    tools: &'w [&'i StockedTool],
    /// How many of the one tool that it names.
    stated: Option<usize>,
}

impl<'w, 'i> Wanted<'w, 'i> {
    fn of(file: &HolderFile, tools: &'w [&'i StockedTool]) -> Self {
        Self { tools, stated: stated(file).filter(|_| tools.len() == 1) }
    }

    fn wants(&self, tool: &StockedTool) -> bool {
        self.tools.iter().any(|known| std::ptr::eq(*known, tool))
    }
}

/// The count of tools that a file states, at its top or as a choice.
fn stated(file: &HolderFile) -> Option<usize> {
    let counts = file.style.own().counts.as_ref();
    let tools = counts.and_then(|counts| counts.tools.as_ref()).map(Spanned::get_ref);
    let chosen = file.choices.iter().find(|(name, _)| Some(name.get_ref()) == tools);
    let chosen = chosen.and_then(|(_, entry)| match entry.get_ref() {
        Entry::Number(count) if *count >= 0.0 => Some(*count as usize),
        _ => None,
    });
    chosen.or(file.count.as_ref().map(|count| *count.get_ref()))
}

fn of_file<'i>(wanted: &[Wanted<'_, 'i>], at: usize) -> Vec<Share<'i>> {
    let own = &wanted[at];
    let share = |tool: &&'i StockedTool| {
        let count = own.stated.unwrap_or_else(|| even_share(wanted, at, tool));
        Share { tool, count }
    };
    own.tools.iter().map(share).collect()
}

/// What is left of a tool for file `at`, which does not state how many hang there.
fn even_share(wanted: &[Wanted<'_, '_>], at: usize, tool: &StockedTool) -> usize {
    let all = wanted.iter().enumerate().filter(|(_, wanted)| wanted.wants(tool));
    let (stated, open): (Vec<_>, Vec<_>) = all.partition(|(_, wanted)| wanted.stated.is_some());
    let taken: usize = stated.iter().filter_map(|(_, wanted)| wanted.stated).sum();
    let left = tool.count.get_ref().saturating_sub(taken);
    let place = open.iter().position(|(file, _)| *file == at).unwrap_or_default();
    left / open.len().max(1) + usize::from(place < left % open.len().max(1))
}
