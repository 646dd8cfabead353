//! A part that keeps its holder, for plans that outlive the loop they were made in.

use std::ops::Deref;
use std::sync::Arc;

use super::{Holder, Part};

/// One part of one holder: reads as the [`Part`], knows its [`Holder`], and is cheap to clone.
#[derive(Debug, Clone)]
pub(crate) struct PartOf {
    holder: Arc<Holder>,
    /// Below the number of the holder's parts.
    index: usize,
}

impl PartOf {
    /// The parts of `holder`, in its order.
    pub(crate) fn all(holder: &Arc<Holder>) -> impl Iterator<Item = Self> {
        (0..holder.parts.len()).map(|index| Self { holder: Arc::clone(holder), index })
    }

    /// Whose part it is.
    pub(crate) fn holder(&self) -> &Holder {
        &self.holder
    }

    /// What a piece of it is called: holder, part, and the piece (counted from 1) where there are several.
    pub(crate) fn piece_name(&self, piece: usize) -> String {
        let name = format!("{} {}", self.holder.name, self.name);
        if self.quantity() > 1 { format!("{name} {piece}") } else { name }
    }
}

impl Deref for PartOf {
    type Target = Part;

    fn deref(&self) -> &Part {
        &self.holder.parts[self.index]
    }
}
