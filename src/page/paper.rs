//! The parts of a holder on paper: patterns of the shaped ones, marking strips of the plain ones, and what explains them,
//! on as few pages as they take.

use std::rc::Rc;

use kurbo::{Affine, Point, Size};

use super::error::MOST_PAGES;
use super::fill::{Later, Paged, PaperStock, Shape, ShapeOnPaper, StripForms};
use super::form::{Form, ShownAs, ShownOnPaper};
use super::frame::{Frame, frames};
use super::seam::{Seam, seams};
use super::spread::{bounds, spread, turning};
use super::{PageError, Printer};
use crate::drawing::{
    LetteredPart, MarkedStrips, PageView, PatternKey, PatternNotes, Printed, PrintedStrip, ink,
    keys, marked_strips, printed,
};
use crate::holder::{HungTool, Likeness, Part};
use crate::length::Units;

/// How far from a part its names may stand, in mm, and its dimensions as well, where those cost no page.
const NAMES: f64 = 9.0;
const DIMENSIONS: f64 = 40.0;

/// Widths that the table of a pattern is tried with, in mm.
const KEYS: [f64; 4] = [105.0, 80.0, 62.0, 150.0];

/// Of which parts full-size patterns are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Patterns {
    /// Plain parts have patterns too.
    All,
    /// Plain parts have marking strips.
    #[default]
    Shaped,
    /// Plain parts have marking strips, shaped ones nothing.
    None,
}

/// What is put on paper together.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Printable<'h> {
    /// What a person calls the holder.
    pub title: &'h str,
    pub units: Units,
    pub parts: &'h [Part],
    pub tools: &'h [HungTool],
    /// The letters of the pieces of each part.
    pub letters: &'h [Vec<&'h str>],
}

/// The pages of a holder; none where there is nothing to print.
///
/// # Errors
/// When the printer's figures leave no room, or a pattern takes more pages than anybody would join.
pub(crate) fn paged(
    holder: Printable<'_>,
    patterns: Patterns,
    printer: &Printer,
) -> Result<Paged, PageError> {
    let frames = frames(printer)?;
    let parts = to_print(holder, patterns);
    let plain: Later<'_, Vec<_>> = later(|| parts.iter().filter_map(PrintedPart::marked).collect());
    let shaped = parts.iter().filter(|part| part.pattern);
    let shapes =
        shaped.map(|part| part.shape(&frames, printer.overlap)).collect::<Result<Vec<_>, _>>()?;
    let plain = &plain;
    let strips = frames.map(|frame| {
        later(move || -> StripForms {
            let cut = |(part, marked): &(&PrintedPart<'_>, MarkedStrips)| {
                part.strips(marked, frame.room.width(), printer.overlap)
            };
            plain.iter().map(cut).collect()
        })
    });
    let stock =
        PaperStock { units: holder.units, frames, overlap: printer.overlap, shapes, strips };
    stock.fewest()
}

fn later<'h, T>(work: impl FnOnce() -> T + 'h) -> Later<'h, T> {
    Later::new(Box::new(work))
}

/// A part that has pages, and what is told on them.
struct PrintedPart<'h> {
    part: &'h Part,
    /// Its place in the holder.
    at: usize,
    letters: &'h [&'h str],
    holder: Printable<'h>,
    /// What else is made by its pattern or strip.
    serves: Vec<String>,
    /// Whether it has a pattern, not a strip.
    pattern: bool,
}

/// The parts that are printed, each kind once.
fn to_print(holder: Printable<'_>, patterns: Patterns) -> Vec<PrintedPart<'_>> {
    let mut all: Vec<PrintedPart<'_>> = Vec::new();
    for (at, part) in holder.parts.iter().enumerate() {
        let pattern = patterns == Patterns::All || !part.is_plain();
        if pattern && patterns == Patterns::None {
            continue;
        }
        let of = |known: &PrintedPart<'_>| part.likeness(known.part);
        let known = all.iter_mut().find_map(|known| Some((of(known)?, known)));
        let letters = holder.letters.get(at).map_or(&[][..], Vec::as_slice);
        match known {
            Some((likeness, known)) => known.serves.push(served(part, letters, likeness)),
            None => {
                all.push(PrintedPart { part, at, letters, holder, serves: Vec::new(), pattern });
            }
        }
    }
    all
}

/// How a part is made by the pattern of another.
fn served(part: &Part, letters: &[&str], likeness: Likeness) -> String {
    let pieces = match letters {
        [] => String::new(),
        letters => format!(" ({})", letters.join(", ")),
    };
    let how = match likeness {
        Likeness::Same => "the same once more",
        Likeness::Mirrored => {
            "mirrored: prick it through and work from the other side of the paper"
        }
    };
    format!("Also {}{pieces}: {how}.", part.name.replace('-', " "))
}

impl PrintedPart<'_> {
    fn notes(&self) -> PatternNotes<'_> {
        PatternNotes {
            holder_title: self.holder.title,
            letters: self.letters,
            tools: self.holder.tools,
            serves: &self.serves,
        }
    }

    /// What its strips say, if it has any.
    fn marked(&self) -> Option<(&Self, MarkedStrips)> {
        let has_strips = !self.pattern;
        let marked = || marked_strips(self.part, self.holder.units, self.notes());
        has_strips.then(marked).flatten().map(|marked| (self, marked))
    }

    /// The pieces of its strips for pages of some width.
    fn strips(&self, marked: &MarkedStrips, width: f64, overlap: f64) -> Vec<Form> {
        let pieces = marked.cut(width, overlap);
        pieces.into_iter().map(|piece| self.strip(piece)).collect()
    }

    fn strip(&self, PrintedStrip { drawing, shows }: PrintedStrip) -> Form {
        let what = shows.map_or(ShownAs::Words, ShownAs::Strip);
        let map = Affine::translate(shows.map(|span| span.origin).unwrap_or_default());
        Form::new(drawing, ShownOnPaper { part: self.at, what, map })
    }

    fn shape<'s>(&'s self, frames: &[Frame; 2], overlap: f64) -> Result<Shape<'s>, PageError> {
        let (part, units) = (self.part, self.holder.units);
        let ink = ink(part);
        let spread = spread(&ink, frames, overlap, MOST_PAGES).ok_or_else(|| {
            let Size { width, height } = part.region.bounds().size();
            PageError::TooLarge { title: self.part.name.clone(), width, height }
        })?;
        let turn = turning(spread.turn);
        let seams = seams(&spread, overlap, &ink);
        let view = |dimensions: bool| match spread.panes.as_slice() {
            [_] => alone(&ink, turn, &frames[usize::from(spread.level)], dimensions),
            panes => PageView {
                turn,
                panes: panes.iter().map(|pane| pane.area).collect(),
                seams: seams.iter().map(|seam| (seam.from, seam.to)).collect(),
                marks: seams.iter().flat_map(Seam::marks).collect(),
                dimensions,
            },
        };
        let lettered = Rc::new(LetteredPart::of(part, units));
        let drawn = [true, false].map(|dimensions| {
            let view = view(dimensions);
            let lettered = Rc::clone(&lettered);
            later(move || self.drawn(&lettered, &view))
        });
        let keys = keys((part, &lettered), units, self.notes(), &KEYS);
        let keys = keys.into_iter().map(|key| self.key(key)).collect();
        Ok(Shape { part: self.at, wood: part.region.area(), spread, seams, drawn, keys })
    }

    fn drawn(&self, lettered: &LetteredPart, view: &PageView) -> ShapeOnPaper {
        let Printed { drawing, origin } =
            printed((self.part, lettered), self.holder.units, self.notes(), view);
        let map = Affine::translate(origin) * view.turn;
        let shown = ShownOnPaper { part: self.at, what: ShownAs::Pattern, map };
        ShapeOnPaper { form: Form::new(drawing, shown), origin }
    }

    /// A table in all widths that it is tried with.
    fn key<'s>(&self, key: PatternKey) -> Vec<Later<'s, Form>> {
        let (part, key) = (self.at, Rc::new(key));
        let drawn = |width| {
            let key = Rc::clone(&key);
            later(move || {
                let (what, map) = (ShownAs::Words, Affine::IDENTITY);
                Form::new(key.drawn(width), ShownOnPaper { part, what, map })
            })
        };
        KEYS.map(drawn).into_iter().collect()
    }
}

/// What is shown of a part on one page: it and its names round it, as far as the page has room.
fn alone(ink: &[Point], turn: Affine, frame: &Frame, dimensions: bool) -> PageView {
    let beside = if dimensions { DIMENSIONS } else { NAMES };
    let area = bounds(ink.iter().map(|at| turn * *at));
    let spare = |room: f64, length: f64| ((room - length) / 2.0).clamp(0.0, beside);
    let room = frame.room.size();
    let round = area.inflate(spare(room.width, area.width()), spare(room.height, area.height()));
    PageView { turn, panes: vec![round], seams: Vec::new(), marks: Vec::new(), dimensions }
}
