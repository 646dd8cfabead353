//! Settings of the saw and cuts in words.

use super::tree::{Phrase, many, phrase, strong};
use crate::cutting::{
    BlankUse, Content, Cut, CutPiece, CutSide, CutWay, CuttingPlan, FARTHEST_STOP, Fence,
    KeptOffcut, Precaution, SawnSheet, Setup, WorkName, Workpiece, millimeters,
};
use crate::holder::StockKind;
use crate::length::Amount;
use crate::tolerance::COORDINATE;

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
            Fence::Rip(width) => phrase!["Rip fence ", length(width), ": ", cuts],
            Fence::Narrow(width) => phrase!["Rip narrow strips, ", length(width), ": ", cuts],
            Fence::Stop(to) if to > FARTHEST_STOP => {
                phrase!["Mark ", length(to), " and crosscut: ", cuts]
            }
            Fence::Stop(to) => phrase!["Stop ", length(to), ": ", cuts],
            Fence::Bevel { wide, narrow, angle } => phrase![
                "Blade tilted ",
                Amount::Angle(millimeters(angle)),
                " away from the fence, rip fence ",
                length(narrow),
                " at the table, wide face ",
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
        let told = runs.into_iter().map(|FromOne { from, cuts, letters }| {
            let gives = if letters.is_empty() { many(cuts, word) } else { letters.join(", ") };
            format!("{} → {gives}", self.name(from))
        });
        told.collect::<Vec<_>>().join("; ")
    }

    /// The cuts of a setting, those from one panel in a row taken together.
    fn runs(&self, setting: &Setup) -> Vec<FromOne> {
        let mut runs: Vec<FromOne> = Vec::new();
        for cut in &setting.cuts {
            let letters = cut.both().flat_map(|body| self.letters(body));
            match runs.last_mut() {
                Some(run) if run.from == cut.from => {
                    run.cuts += 1;
                    run.letters.extend(letters);
                }
                _ => runs.push(FromOne { from: cut.from, cuts: 1, letters: letters.collect() }),
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
                "The strip falls off on the free side of the blade. The fence holds what stays and \
                 moves up for each cut, to the width in the last column. Measure the strip itself, \
                 not the fence.",
            ),
            Fence::Rip(_) if push => {
                Some("Narrow between fence and blade: push block over the fence, or saw by hand.")
            }
            Fence::Rip(_) if rest_held => Some(
                "What stays runs along the fence; what comes off is on the free side. Measure what \
                 comes off, not the fence.",
            ),
            Fence::Stop(length) if length > FARTHEST_STOP => Some(
                "No stop reaches so far: mark each piece and saw on the waste side of the line.",
            ),
            Fence::Bevel { .. } => Some(
                "The blade leans away from the fence: with the fence on the right on a saw that \
                 tilts left; on a saw that tilts right the fence goes to the left of the blade. \
                 Never with the blade leaning over the fence: it traps the strip. The wide face is \
                 up, the narrow one on the table, one edge along the fence; set the fence at the \
                 table, and try it on scrap. Push stick or push block to the very end, over the \
                 strip at the fence. One cut makes two strips where a second is named; where none \
                 is, it bevels one edge. The second strip lies wide face down on the free side. \
                 After this the blade is set square again.",
            ),
            _ => None,
        }
    }

    /// A row of a step's table.
    pub(super) fn row(&self, cut: &Cut) -> Vec<Phrase> {
        let rest = cut.rest.as_ref().map_or("nothing".into(), |rest| self.body(cut, rest));
        vec![cut.number.to_string().into(), self.sawn(cut), self.body(cut, &cut.gives), rest]
    }

    fn sawn(&self, cut: &Cut) -> Phrase {
        let size = Amount::Sides(cut.area.size.map(millimeters));
        phrase![self.name(cut.from), ", ", size, cut.care.map_or("", care)]
    }

    fn body(&self, cut: &Cut, body: &Workpiece) -> Phrase {
        let size = sides(body);
        match body.content {
            Content::Blank { .. } if self.is_strip(body) => {
                phrase![self.name(body.name), ", ", size, ", to be bevelled"]
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
            Some(left) if left.bevelled => phrase!["cleat strip ", size, ", keep"],
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
        let bevelled = self.plan.is_bevelled(cut.number);
        let size = body.area.size.map(millimeters);
        let near = |a: f64, b: f64| (a - b).abs() <= COORDINATE;
        self.plan.left.iter().find(|left| {
            left.from == Some(cut.sheet)
                && left.bevelled == bevelled
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
    cuts: usize,
    /// Of the pieces they free.
    letters: Vec<String>,
}

/// A sheet's name at the saw: "birch ply 3/4 no. 1".
pub(super) fn sheet_name(sheet: &SawnSheet) -> String {
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
        Precaution::Tilted => " (not along the fence: plane)",
    }
}
