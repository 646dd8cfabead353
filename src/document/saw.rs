//! Settings of the saw and cuts in words.

use super::tree::{Phrase, many, phrase, strong};
use crate::cutting::{
    BlankUse, Content, Cut, CutPiece, CutSide, CutWay, CuttingPlan, FARTHEST_STOP, Fence, KeptFrom,
    KeptOffcut, Precaution, SawnSheet, Setup, WorkName, Workpiece, millimeters,
};
use crate::holder::StockKind;
use crate::length::Amount;
use crate::tolerance::COORDINATE;

/// What is thinner is dust, in micrometers.
const SLIVER: i64 = 500;

/// A cut in words: what is sawn, what comes off it, what is left.
pub(super) struct CutRow {
    pub number: usize,
    pub sawn: Phrase,
    pub gives: Phrase,
    pub rest: Phrase,
}

/// What words for cuts need to look up.
pub(super) struct Saw<'p> {
    pub plan: &'p CuttingPlan,
}

/// A length in micrometers.
fn length(micrometers: i64) -> Amount {
    Amount::Length(millimeters(micrometers))
}

fn sides(body: &Workpiece) -> Amount {
    Amount::Sides(body.area.size.map(millimeters))
}

impl Saw<'_> {
    /// How the saw is set, and what comes of it.
    pub(super) fn heading(&self, setting: &Setup) -> Phrase {
        let cuts = self.summary(setting);
        match setting.fence {
            Fence::Straightedge => {
                phrase![format!("Hand-held saw along a straightedge: {cuts}")]
            }
            Fence::Rip(width) => phrase!["Fence at ", length(width), ": ", cuts],
            Fence::Narrow(width) => phrase!["Narrow strips, ", length(width), ": ", cuts],
            Fence::Stop(to) if to > FARTHEST_STOP => {
                phrase!["Mark at ", length(to), " and crosscut: ", cuts]
            }
            Fence::Stop(to) => phrase!["Stop at ", length(to), ": ", cuts],
            Fence::Bevel { wide, narrow, angle } => phrase![
                "Blade tilted ",
                Amount::Angle(millimeters(angle)),
                " away from the fence, which stands at ",
                length(narrow),
                " at the table; wide face of ",
                length(wide),
                " up: ",
                cuts
            ],
        }
    }

    /// "birch ply 3/4 no. 1 → 4 strips; strip 3 → A".
    fn summary(&self, setting: &Setup) -> String {
        let runs = self.runs(setting);
        if runs.len() > 3 {
            let letters: Vec<String> = runs.into_iter().flat_map(|run| run.letters).collect();
            let cuts = many(setting.cuts.len(), "cut");
            return match letters.as_slice() {
                [] => cuts,
                _ => format!("{cuts} → {}", letters.join(", ")),
            };
        }
        let across = setting.cuts.first().is_some_and(|cut| cut.way == CutWay::Across);
        let word = if across { "panel" } else { "strip" };
        let told = runs.into_iter().map(|FromOne { from, unnamed, letters }| {
            let others = (unnamed > 0).then(|| many(unnamed, word));
            let gives: Vec<String> = letters.into_iter().chain(others).collect();
            format!("{} → {}", self.name(from), gives.join(", "))
        });
        told.collect::<Vec<_>>().join("; ")
    }

    /// The cuts of a setting, those from one panel in a row taken together.
    fn runs(&self, setting: &Setup) -> Vec<FromOne> {
        let mut runs: Vec<FromOne> = Vec::new();
        for cut in &setting.cuts {
            let letters: Vec<String> = cut.both().flat_map(|body| self.letters(body)).collect();
            let unnamed = usize::from(letters.is_empty());
            match runs.last_mut() {
                Some(run) if run.from == cut.from => {
                    run.unnamed += unnamed;
                    run.letters.extend(letters);
                }
                _ => runs.push(FromOne { from: cut.from, unnamed, letters }),
            }
        }
        runs
    }

    /// What to mind at a setting.
    pub(super) fn how(&self, setting: &Setup) -> Option<&'static str> {
        let rest_held = setting.cuts.iter().any(|cut| cut.held == CutSide::Rest);
        let push = setting.cuts.iter().any(|cut| cut.push_stick);
        match setting.fence {
            Fence::Narrow(_) => Some(
                "The strip falls off on the offcut side of the blade. The remainder runs along the fence, \
                 which moves in for each cut to the width in the last column. Measure the strip, not \
                 the fence.",
            ),
            Fence::Rip(_) if push => Some(
                "Narrow between fence and blade: use a push block that rides over the fence, or saw by hand.",
            ),
            Fence::Rip(_) if rest_held => Some(
                "The remainder runs along the fence; the cut piece falls off on the offcut side. \
                 Measure the cut piece, not the fence.",
            ),
            Fence::Stop(length) if length > FARTHEST_STOP => {
                Some("Too long for a stop: mark each piece and saw on the waste side of the line.")
            }
            Fence::Bevel { .. } => Some(
                "Tilt the blade away from the fence: on a saw that tilts left, put the fence on the right; \
                 on a saw that tilts right, on the left. Never tilt the blade toward the fence: it \
                 traps the strip. Wide face up, narrow face on the table, one edge along the fence. \
                 Set the fence at the table and try it on scrap. Push the strip at the fence all the \
                 way through with a push stick or push block. One cut makes two strips where a \
                 second is named, and bevels one edge where none is. The second strip falls wide \
                 face down on the offcut side. Set the blade square again afterward.",
            ),
            _ => None,
        }
    }

    /// A row of a step's table.
    pub(super) fn row(&self, cut: &Cut) -> CutRow {
        let rest = cut.rest.as_ref().filter(|rest| rest.area.size.iter().all(|s| *s >= SLIVER));
        let rest = rest.map_or("none".into(), |rest| self.body(cut, rest));
        CutRow { number: cut.number, sawn: self.sawn(cut), gives: self.body(cut, &cut.gives), rest }
    }

    fn sawn(&self, cut: &Cut) -> Phrase {
        let size = Amount::Sides(cut.area.size.map(millimeters));
        phrase![self.name(cut.from), ", ", size, cut.care.map_or("", care)]
    }

    fn body(&self, cut: &Cut, body: &Workpiece) -> Phrase {
        let size = sides(body);
        match body.content {
            Content::Blank { .. } if self.is_strip(body) => {
                phrase![self.name(body.name), ", ", size, ", to be beveled"]
            }
            Content::Blank { .. } => {
                let names = format!(" {}, ", self.pieces(body));
                phrase![strong(self.letters(body).join(", ")), names, size]
            }
            Content::Panel => {
                let fence = cut.held == CutSide::Rest && body.name == cut.from;
                let held = if fence { " (along the fence)" } else { "" };
                phrase![self.name(body.name), ", ", size, held]
            }
            Content::Remainder => self.left(cut, body),
        }
    }

    fn left(&self, cut: &Cut, body: &Workpiece) -> Phrase {
        let size = sides(body);
        match self.kept(cut, body) {
            Some(left) if left.beveled => phrase!["cleat strip ", size, ", keep"],
            Some(_) => phrase!["offcut ", size, ", keep"],
            None => phrase!["waste ", size],
        }
    }

    fn letters(&self, body: &Workpiece) -> Vec<String> {
        match body.content {
            Content::Blank { blank, .. } if !self.is_strip(body) => {
                self.plan.letters(blank).into_iter().map(str::to_owned).collect()
            }
            _ => Vec::new(),
        }
    }

    fn pieces(&self, body: &Workpiece) -> String {
        let Content::Blank { blank, .. } = body.content else { return String::new() };
        let letters = self.plan.letters(blank);
        let pieces = self.plan.pieces.iter().filter(|p| letters.contains(&p.letter.as_str()));
        pieces.map(CutPiece::name).collect::<Vec<_>>().join(", ")
    }

    /// What is left of a cut and worth keeping.
    fn kept(&self, cut: &Cut, body: &Workpiece) -> Option<&KeptOffcut> {
        let beveled = self.plan.is_beveled(cut.number);
        let size = body.area.size.map(millimeters);
        let near = |a: f64, b: f64| (a - b).abs() <= COORDINATE;
        self.plan.left.iter().find(|left| {
            left.from == KeptFrom::Sheet(cut.sheet)
                && left.beveled == beveled
                && near(left.length, size[0])
                && near(left.width, size[1])
        })
    }

    /// What a panel in hand is called.
    fn name(&self, name: WorkName) -> String {
        match name {
            WorkName::Sheet(index) => {
                index.of(&self.plan.sheets).map(sheet_name).unwrap_or_default()
            }
            WorkName::Cut(number) => format!("{} {number}", self.word(number)),
            WorkName::Second(number) => format!("second strip {number}"),
        }
    }

    /// What a cut takes off is called by its way.
    fn word(&self, number: usize) -> &'static str {
        let cut = self.plan.cuts().find(|(_, cut)| cut.number == number);
        if cut.is_some_and(|(_, cut)| cut.way == CutWay::Across) { "panel" } else { "strip" }
    }

    fn is_strip(&self, body: &Workpiece) -> bool {
        let Content::Blank { blank, .. } = body.content else { return false };
        matches!(blank.of(&self.plan.blanks), Some(BlankUse::Strip(_)))
    }
}

/// Cuts in a row from one panel.
struct FromOne {
    from: WorkName,
    /// How many of them free no piece.
    unnamed: usize,
    /// Of the pieces that the others free.
    letters: Vec<String>,
}

/// A sheet's name at the saw: "birch ply 3/4 no. 1".
pub(super) fn sheet_name(sheet: &SawnSheet) -> String {
    if let Some(left) = &sheet.left {
        return left.clone();
    }
    let offcut = if sheet.offcut { " offcut" } else { "" };
    let number = if sheet.kind == StockKind::Dowel && sheet.of == 1 {
        String::new()
    } else {
        format!(" no. {}", sheet.number)
    };
    format!("{}{offcut}{number}", sheet.stock)
}

/// What a cut asks beyond the usual, in a word.
fn care(care: Precaution) -> &'static str {
    match care {
        Precaution::Handsaw => " (by handsaw)",
        Precaution::Backing => " (clamp to a backing board)",
        Precaution::Tilted => " (not along the fence: plane it)",
    }
}
