//! What readings are called: all that some style at hand asks for.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::reading::Kind;
use crate::style::{Library, Measure, Style};

/// What each reading is, by its name: one, unless a style of one's own asks otherwise.
pub(crate) struct ReadingNames(BTreeMap<String, Vec<Measure>>);

impl ReadingNames {
    /// Of all styles that can be read.
    pub(crate) fn of(library: &Library) -> Self {
        let names: Vec<&str> = library.names().collect();
        let asked = names.par_iter().flat_map_iter(|name| {
            let style = library.style(name).ok().flatten();
            let measures = style.iter().flat_map(Style::measures);
            measures.map(|(name, m, _)| (name.to_owned(), m.clone())).collect::<Vec<_>>()
        });
        let mut known: BTreeMap<String, Vec<Measure>> = BTreeMap::new();
        for (name, measure) in asked.collect::<Vec<_>>() {
            let measures = known.entry(name).or_default();
            if measures.iter().all(|known| known.kind != measure.kind) {
                measures.push(measure);
            }
        }
        Self(known)
    }

    /// What a reading may be; `None` for a name that no style asks for.
    pub(super) fn kinds(&self, name: &str) -> Option<impl Iterator<Item = Kind>> {
        self.0.get(name).map(|measures| measures.iter().map(|measure| measure.kind))
    }

    pub(super) fn all(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// Each name with what is asked by it.
    pub(crate) fn asked(&self) -> impl Iterator<Item = (&str, &[Measure])> {
        self.0.iter().map(|(name, measures)| (name.as_str(), measures.as_slice()))
    }
}
