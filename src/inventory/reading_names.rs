//! What readings are called: all that some style at hand asks for.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::reading::Kind;
use crate::style::{Library, Style};

/// The kinds of figure that each reading is, by its name: one, unless a style of one's own asks otherwise.
pub(super) struct ReadingNames(BTreeMap<String, Vec<Kind>>);

impl ReadingNames {
    /// Of all styles that can be read.
    pub(super) fn of(library: &Library) -> Self {
        let names: Vec<&str> = library.names().collect();
        let asked = names.par_iter().flat_map_iter(|name| {
            let style = library.style(name).ok().flatten();
            let measures = style.iter().flat_map(Style::measures);
            measures.map(|(name, m, _)| (name.to_owned(), m.kind)).collect::<Vec<_>>()
        });
        let mut known: BTreeMap<String, Vec<Kind>> = BTreeMap::new();
        for (name, kind) in asked.collect::<Vec<_>>() {
            let kinds = known.entry(name).or_default();
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
        Self(known)
    }

    /// What a reading may be; `None` for a name that no style asks for.
    pub(super) fn kinds(&self, name: &str) -> Option<&[Kind]> {
        self.0.get(name).map(Vec::as_slice)
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }
}
