//! What wants a holder: a tool, or a set.

use crate::inventory::{Inventory, StockedTool};

/// A tool, or the tools of a set, that no holder file names.
#[derive(Debug, Clone)]
pub(super) struct Subject<'i> {
    /// Of the tool or the set.
    pub name: String,
    pub tools: Vec<&'i StockedTool>,
    /// Whether its name means just these tools.
    pub whole: bool,
}

impl<'i> Subject<'i> {
    pub(super) fn alone(tool: &'i StockedTool) -> Self {
        Self { name: tool.name.get_ref().clone(), tools: vec![tool], whole: true }
    }

    /// How many tools there are.
    pub(super) fn count(&self) -> usize {
        self.tools.iter().map(|tool| *tool.count.get_ref()).sum()
    }

    /// What was read off any of its tools.
    pub(super) fn readings(&self) -> Vec<&'i str> {
        let mut names: Vec<&str> = Vec::new();
        for name in self.tools.iter().flat_map(|tool| tool.readings.keys()) {
            if !names.contains(&name.get_ref().as_str()) {
                names.push(name.get_ref());
            }
        }
        names
    }

    /// Whether all its tools have a reading.
    pub(super) fn has(&self, reading: &str) -> bool {
        self.tools.iter().all(|tool| tool.readings.keys().any(|name| name.get_ref() == reading))
    }
}

/// Tools and sets in the order of the inventory, without those that `named` means.
pub(super) fn subjects<'i>(inventory: &'i Inventory, named: &[String]) -> Vec<Subject<'i>> {
    let held: Vec<&StockedTool> = named.iter().flat_map(|name| inventory.named(name)).collect();
    let is_held = |tool: &StockedTool| held.iter().any(|held| std::ptr::eq(*held, tool));
    let mut subjects: Vec<Subject<'_>> = Vec::new();
    for tool in inventory.tools.iter().filter(|tool| !is_held(tool)) {
        let Some(set) = &tool.set else {
            subjects.push(Subject::alone(tool));
            continue;
        };
        if subjects.iter().any(|known| known.name == *set) {
            continue;
        }
        let all = inventory.named(set);
        let tools: Vec<&StockedTool> = all.iter().copied().filter(|tool| !is_held(tool)).collect();
        let whole = tools.len() == all.len();
        subjects.push(Subject { name: set.clone(), tools, whole });
    }
    subjects
}
