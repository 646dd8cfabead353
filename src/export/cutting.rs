//! `plan.md`: the order of work at the saw.

use std::fmt::Write;

use super::steps::{plain, section};
use crate::cutting::{
    BlankUse, Content, Cut, CutPiece, CutSide, CutWay, CuttingPlan, FARTHEST_STOP, Fence,
    KeptOffcut, Precaution, SawnSheet, Setup, SetupCount, Verdict, WorkName, Workpiece,
    millimeters,
};
use crate::holder::{Level, StockKind, caution};
use crate::length::Units;
use crate::router::{FOLDER as ROUTER, RouterPlan};

/// The order of work as Markdown, figures in `units`; `router` for what is not sawn here.
pub fn write(plan: &CuttingPlan, router: &RouterPlan, units: Units) -> String {
    let writer = Writer { plan, units };
    let mut text = "# Cutting plan\n\n".to_owned();
    if plan.setups.is_empty() && plan.sheets.is_empty() {
        text.push_str("There is nothing to saw.\n");
    } else {
        writer.head(&mut text);
    }
    section(&mut text, "What to know first", writer.notes(router));
    writer.work(&mut text);
    section(&mut text, "Left over, worth keeping", writer.left());
    section(&mut text, "Cautions", caution::for_sawing().map(|line| format!("- {line}")));
    text
}

/// `1 sheet`, `3 sheets`.
fn many(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

/// What the proof comes to, in words: "least possible: 2 sheets, proved".
pub fn verdict(verdict: &Verdict) -> String {
    let Verdict { used, least, .. } = *verdict;
    let word = verdict.kind.word();
    if verdict.missing > 0 {
        return format!(
            "{} at hand, too little for {}",
            many(used, word),
            many(verdict.missing, "piece")
        );
    }
    match (used, verdict.proved) {
        (0, _) => "no new one is needed".to_owned(),
        (_, true) => format!("least possible: {}, proved", many(used, word)),
        (_, false) if least == used => format!("least possible: {}, proved", many(used, word)),
        (_, false) => format!("{}; {} may be possible", many(used, word), least.max(1)),
    }
}

fn settings(count: SetupCount) -> String {
    let SetupCount { rips, stops } = count;
    format!("{} ({} to rip, {} to crosscut)", many(count.all(), "setting"), rips, stops)
}

struct Writer<'p> {
    plan: &'p CuttingPlan,
    units: Units,
}

impl Writer<'_> {
    fn size(&self, size: [i64; 2]) -> String {
        let [length, width] = size.map(|s| self.units.bare_length(millimeters(s)));
        format!("{length} × {width}")
    }

    fn length(&self, length: i64) -> String {
        self.units.length(millimeters(length))
    }

    /// What is sawn, how good that is, how often the saw is set.
    fn head(&self, text: &mut String) {
        for stock in &self.plan.verdicts {
            let offcuts = match stock.offcuts {
                0 => String::new(),
                count => format!(", and {}", many(count, "offcut")),
            };
            let (name, word) = (plain(&stock.stock), stock.kind.word());
            let used = many(stock.used, word);
            let _ = writeln!(text, "- **{name}**: {used}{offcuts}. {}.", sentence(&verdict(stock)));
        }
        let (ours, waste) = (self.plan.count, self.plan.plain);
        let _ = write!(
            text,
            "\nThe saw is set for {}. A plan that minimises waste alone takes {}",
            settings(ours),
            settings(waste)
        );
        if waste.all() > ours.all() {
            let less = 100.0 * (1.0 - ours.all() as f64 / waste.all() as f64);
            let _ = write!(text, ": this is {less:.0} % less");
        }
        let steps = self.plan.setups.len();
        if steps != ours.all() {
            let _ = write!(
                text,
                ". They are in {} below: narrow strips move the fence within a step, and a \
                 straightedge is laid on for each cut",
                many(steps, "step")
            );
        }
        let unit = self.units.word();
        let _ = writeln!(
            text,
            ".\n\nSizes are in {unit}, along the grain first. Each piece has a letter, the same in the \
             drawings, in cut-list.csv and here; **bold** is a piece that the cut frees. What a cut \
             takes off is called by the cut's number: cut 7 gives strip 7. What stays keeps its name. \
             A blank larger than the size in the cut list is left oversize where the outline is \
             shaped, or to share a setting, and is sawn to its pattern."
        );
    }

    fn notes(&self, router: &RouterPlan) -> std::vec::IntoIter<String> {
        let mut lines = Vec::new();
        for finding in &self.plan.findings {
            let word = match finding.level {
                Level::Stop => "**Stop:** ",
                Level::Warn => "**Look at this:** ",
                Level::Note => "",
            };
            lines.push(format!("- {word}{}", plain(&finding.message)));
        }
        let routed: Vec<&str> = self
            .plan
            .pieces
            .iter()
            .filter(|piece| piece.blank.is_none())
            .map(|piece| piece.letter.as_str())
            .collect();
        if !routed.is_empty() {
            let sheets: Vec<String> =
                router.sheets.iter().map(|s| format!("{ROUTER}/{}.svg", s.file)).collect();
            let on = match sheets.as_slice() {
                [] => "the shop has no stock for them".to_owned(),
                _ => format!("they lie on {}", sheets.join(", ")),
            };
            let letters = routed.join(", ");
            lines.push(format!("- Made by router and not sawn here: {letters}; {on}."));
        }
        lines.into_iter()
    }

    fn work(&self, text: &mut String) {
        if !self.plan.setups.is_empty() {
            text.push_str("\n## Order of work\n");
        }
        self.trim(text);
        for (i, setting) in self.plan.setups.iter().enumerate() {
            let _ = write!(text, "\n### {}. {}\n\n", i + 1, self.heading(setting));
            if let Some(how) = self.how(setting) {
                let _ = write!(text, "{how}\n\n");
            }
            text.push_str("| cut | saw | comes off | stays |\n| --- | --- | --- | --- |\n");
            for cut in &setting.cuts {
                let _ = writeln!(
                    text,
                    "| {} | {}, {}{} | {} | {} |",
                    cut.number,
                    self.name(cut.from),
                    self.size(cut.area.size),
                    cut.care.map_or("", care),
                    self.body(cut, &cut.gives),
                    cut.rest.as_ref().map_or("nothing".to_owned(), |rest| self.body(cut, rest))
                );
            }
        }
    }

    /// Factory edges are taken off before anything is measured from them.
    fn trim(&self, text: &mut String) {
        let trimmed: Vec<&SawnSheet> =
            self.plan.sheets.iter().filter(|s| s.edge_trim > 0).collect();
        let Some(first) = trimmed.first() else { return };
        let names: Vec<String> = trimmed.iter().map(|sheet| sheet_name(sheet)).collect();
        let _ = writeln!(
            text,
            "\nBefore all else take {} off each of the four edges of {}, so that {} stay of a sheet.",
            self.length(first.edge_trim),
            names.join(", "),
            self.size(first.size)
        );
    }

    fn heading(&self, setting: &Setup) -> String {
        let cuts = self.summary(setting);
        match setting.fence {
            Fence::Straightedge => format!("Hand-held saw along a straightedge: {cuts}"),
            Fence::Rip(width) => format!("Rip fence {}: {cuts}", self.length(width)),
            Fence::Narrow(width) => format!("Rip narrow strips, {}: {cuts}", self.length(width)),
            Fence::Stop(length) if length > FARTHEST_STOP => {
                format!("Mark {} and crosscut: {cuts}", self.length(length))
            }
            Fence::Stop(length) => format!("Stop {}: {cuts}", self.length(length)),
            Fence::Bevel { wide, narrow, angle } => {
                let angle =
                    self.units.quantity(crate::length::Quantity::degrees(millimeters(angle)));
                format!(
                    "Blade tilted {angle} away from the fence, rip fence {} at the table, wide face \
                     {} up: {cuts}",
                    self.length(narrow),
                    self.length(wide)
                )
            }
        }
    }

    /// "birch ply 3/4 no. 1 → 4 strips; strip 3 → A".
    fn summary(&self, setting: &Setup) -> String {
        let mut parts: Vec<(WorkName, usize, Vec<String>)> = Vec::new();
        for cut in &setting.cuts {
            let letters = cut.both().flat_map(|body| self.letters(body));
            match parts.last_mut() {
                Some((from, count, all)) if *from == cut.from => {
                    *count += 1;
                    all.extend(letters);
                }
                _ => parts.push((cut.from, 1, letters.collect())),
            }
        }
        if parts.len() > 3 {
            let letters: Vec<String> = parts.into_iter().flat_map(|(_, _, all)| all).collect();
            let cuts = many(setting.cuts.len(), "cut");
            return match letters.as_slice() {
                [] => cuts,
                _ => format!("{cuts} → {}", letters.join(", ")),
            };
        }
        let way = setting.cuts.first().map_or(CutWay::Along, |cut| cut.way);
        let parts = parts.into_iter().map(|(from, count, letters)| {
            let word = if way == CutWay::Across { "panel" } else { "strip" };
            let gives = if letters.is_empty() { many(count, word) } else { letters.join(", ") };
            format!("{} → {gives}", self.name(from))
        });
        parts.collect::<Vec<_>>().join("; ")
    }

    fn how(&self, setting: &Setup) -> Option<&'static str> {
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

    fn body(&self, cut: &Cut, body: &Workpiece) -> String {
        let size = self.size(body.area.size);
        let letters = self.letters(body);
        match body.content {
            Content::Blank { .. } if is_strip(self.plan, body) => {
                format!("{}, {size}, to be bevelled", self.name(body.name))
            }
            Content::Blank { .. } => {
                format!("**{}** {}, {size}", letters.join(", "), self.pieces(body))
            }
            Content::Panel => {
                let fence = cut.held == CutSide::Rest && body.name == cut.from;
                let held = if fence { " (along the fence)" } else { "" };
                format!("{}, {size}{held}", self.name(body.name))
            }
            Content::Remainder => match self.kept(cut, body) {
                Some(left) if left.bevelled => format!("cleat strip {size}, keep"),
                Some(_) => format!("offcut {size}, keep"),
                None => format!("waste {size}"),
            },
        }
    }

    fn letters(&self, body: &Workpiece) -> Vec<String> {
        match body.content {
            Content::Blank { blank, .. } if !is_strip(self.plan, body) => {
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
        let near = |a: f64, b: f64| (a - b).abs() <= crate::tolerance::COORDINATE;
        self.plan.left.iter().find(|left| {
            left.from == Some(cut.sheet)
                && left.bevelled == bevelled
                && near(left.length, size[0])
                && near(left.width, size[1])
        })
    }

    /// What a panel in hand is called.
    fn name(&self, name: WorkName) -> String {
        let way = |number: usize| {
            let way = self.plan.cuts().find(|(_, cut)| cut.number == number).map(|(_, c)| c.way);
            if way == Some(CutWay::Across) { "panel" } else { "strip" }
        };
        match name {
            WorkName::Sheet(index) => {
                index.of(&self.plan.sheets).map(sheet_name).unwrap_or_default()
            }
            WorkName::Cut(number) => format!("{} {number}", way(number)),
            WorkName::Second(number) => format!("second strip {number}"),
        }
    }

    fn left(&self) -> std::vec::IntoIter<String> {
        let lines = self.plan.left.iter().map(|left| {
            let [length, width] = [left.length, left.width].map(|mm| self.units.bare_length(mm));
            let from = left.from.and_then(|index| index.of(&self.plan.sheets));
            let from = from.map_or("not touched".to_owned(), |s| format!("of {}", sheet_name(s)));
            let what = if left.bevelled { "cleat strip, bevelled, " } else { "" };
            format!("- {what}{}, {length} × {width}, {from}", plain(&left.of))
        });
        lines.collect::<Vec<_>>().into_iter()
    }
}

/// What a cut asks beyond the usual, in a word.
fn care(care: Precaution) -> &'static str {
    match care {
        Precaution::Handsaw => " (by handsaw)",
        Precaution::Backing => " (clamp to a backing board)",
        Precaution::Tilted => " (not along the fence: plane)",
    }
}

fn is_strip(plan: &CuttingPlan, body: &Workpiece) -> bool {
    let Content::Blank { blank, .. } = body.content else { return false };
    matches!(blank.of(&plan.blanks), Some(BlankUse::Strip(_)))
}

fn sheet_name(sheet: &SawnSheet) -> String {
    let offcut = if sheet.offcut { " offcut" } else { "" };
    let number = if sheet.kind == StockKind::Dowel && sheet.of == 1 {
        String::new()
    } else {
        format!(" no. {}", sheet.number)
    };
    format!("{}{offcut}{number}", plain(&sheet.stock))
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
