//! The holes of a holder by the bit that makes them, so that each bit is chucked once.

use super::super::tree::{Inline, Listing, Phrase, phrase};
use crate::drawing::words;
use crate::holder::{Drilling, Face, Holder, MarkKind, Part};
use crate::length::Amount;
use crate::tolerance::COORDINATE;

/// Alike holes of one part.
struct AlikeHoles<'h> {
    /// In words.
    bit: String,
    part: &'h Part,
    hole: &'h Drilling,
    count: usize,
}

impl AlikeHoles<'_> {
    fn takes(&self, hole: &Drilling) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < COORDINATE;
        let depth = match (self.hole.depth, hole.depth) {
            (Some(a), Some(b)) => near(a, b),
            (None, None) => true,
            _ => false,
        };
        let Drilling { purpose, face, bit, .. } = *self.hole;
        depth
            && (purpose, face, bit) == (hole.purpose, hole.face, hole.bit)
            && near(self.hole.lean, hole.lean)
    }

    fn depth(&self) -> Phrase {
        let deep = match self.hole.depth {
            Some(depth) => phrase![Amount::Length(depth), " deep"],
            None => "through".into(),
        };
        let deep = match self.hole.face {
            Face::Show => deep,
            Face::Back => deep.then(", from the back".into()),
        };
        match self.hole.lean.abs() > COORDINATE {
            true => deep.then(phrase![", leaning ", Amount::Angle(self.hole.lean)]),
            false => deep,
        }
    }

    fn row(&self) -> Vec<Phrase> {
        let count = match self.part.quantity() {
            1 => self.count.to_string(),
            pieces => format!("{} per piece, {pieces} pieces", self.count),
        };
        vec![
            phrase![Inline::Tick],
            self.bit.as_str().into(),
            self.hole.purpose.word().into(),
            self.part.name.as_str().into(),
            count.into(),
            self.depth(),
        ]
    }
}

/// A row for alike holes of a part, the bits in the order of their words.
pub(super) fn holes(holder: &Holder) -> Listing {
    let mut rows: Vec<AlikeHoles<'_>> = Vec::new();
    for part in holder.parts.iter().filter(|part| part.quantity() > 0) {
        let first = rows.len();
        for hole in &part.drillings {
            match rows[first..].iter_mut().find(|row| row.takes(hole)) {
                Some(row) => row.count += 1,
                None => {
                    let bit = words::bit(hole.bit, holder.units);
                    rows.push(AlikeHoles { bit, part, hole, count: 1 });
                }
            }
        }
    }
    // By size, the words of one size together.
    rows.sort_by(|a, b| {
        let size = |row: &AlikeHoles<'_>| row.hole.diameter;
        size(a).total_cmp(&size(b)).then_with(|| a.bit.cmp(&b.bit))
    });
    let head = vec!["", "bit", "for", "part", "how many", "how deep"];
    Listing { head, rows: rows.iter().map(AlikeHoles::row).collect() }
}

/// What is said of holes that stand in no table, for they are bored through other parts.
pub(super) fn into_edges(holder: &Holder) -> Option<Phrase> {
    let screws =
        |part: &Part| part.marks.iter().any(|mark| matches!(mark.kind, MarkKind::EdgeScrew { .. }));
    holder.parts.iter().any(screws).then(|| {
        "Pilot holes into edges are drilled through the holes of the part that lies on them, once both are in place."
            .into()
    })
}
