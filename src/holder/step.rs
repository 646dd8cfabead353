//! One step of making, and what it adds to what stands so far.

use std::collections::HashSet;

use super::part::{Part, made_of};
use crate::reading::Spanned;

/// A step of making.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Step {
    pub text: String,
    /// What it puts to what stands so far, by places in the holder's parts, in the order named: those with pieces
    /// alone, each in one step alone. The first of all is what the rest is built on.
    pub adds: Vec<usize>,
}

impl From<String> for Step {
    /// A step that adds nothing.
    fn from(text: String) -> Self {
        Self { text, adds: Vec::new() }
    }
}

impl Step {
    /// With the `parts` that the names mean: all of a kind that have pieces.
    pub(super) fn adding(text: String, kinds: &[Spanned<String>], parts: &[Part]) -> Self {
        let adds = kinds.iter().flat_map(|kind| made_of(kind.get_ref(), parts));
        Self { text, adds: adds.collect() }
    }
}

/// Leaves each part to the first step that names it: a later one names it for what is put on it.
pub(super) fn added_once(steps: &mut [Step]) {
    let mut stands = HashSet::new();
    for step in steps {
        step.adds.retain(|part| stands.insert(*part));
    }
}
