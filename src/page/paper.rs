//! The parts of a holder on paper: patterns of the shaped ones, marking strips of the plain ones, and what explains them,
//! on as few pages as they take.

use kurbo::{Affine, Point, Rect, Size};

use super::frame::{Frame, frames};
use super::seam::seams;
use super::sheet::{Page, Sheet, Wide};
use super::spread::{Spread, spread, turning};
use super::{PageError, Printer};
use crate::drawing::{
    Drawing, PageView, PatternNotes, Printed, PrintedStrip, StripSpan, ink, keys, printed, strips,
};
use crate::holder::{HungTool, Likeness, Part};
use crate::length::Units;

/// The most pages one pattern may take.
pub(super) const MOST_PAGES: usize = 500;

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

/// Pages, and the drawings that they show.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Paged {
    pub pages: Vec<Page>,
    pub drawings: Vec<Drawing>,
    /// What each of the drawings is.
    pub shown: Vec<Shown>,
}

/// What is drawn on pages at full size.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shown {
    /// The part, by its place in the holder.
    pub part: usize,
    pub what: ShownAs,
    /// To the mm of the drawing: from those of the part, or of a strip from the place on it and the height above the
    /// wood's edge.
    pub map: Affine,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum ShownAs {
    Pattern,
    Strip(StripSpan),
    /// What only tells.
    Words,
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
    let shaped = parts.iter().filter(|part| part.pattern);
    let shapes =
        shaped.map(|part| part.shape(&frames, printer.overlap)).collect::<Result<Vec<_>, _>>()?;
    let plain = parts.iter().filter(|part| !part.pattern);
    let strips = frames.map(|frame| {
        plain.clone().map(|part| part.strips(frame.room.width(), printer.overlap)).collect()
    });
    let stock =
        PaperStock { units: holder.units, frames, overlap: printer.overlap, shapes, strips };
    stock.fewest()
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
        let of = |known: &PrintedPart<'_>| Some(part.likeness(known.part)?);
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
        Likeness::Mirrored => "the same, mirrored: lay this face down",
    };
    format!("Also {}{pieces}: {how}.", part.name.replace('-', " "))
}

/// How a part lies on pages, and what is drawn of it.
struct Shape {
    /// The part, by its place in the holder.
    part: usize,
    spread: Spread,
    /// With dimensions as far as there is room, and with as little as can be.
    printed: [Printed; 2],
    /// Tables that explain it, each in different widths.
    keys: Vec<Vec<Drawing>>,
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

    /// The pieces of its strips for pages of some width.
    fn strips(&self, width: f64, overlap: f64) -> Vec<Form> {
        let pieces = strips(self.part, self.holder.units, self.notes(), (width, overlap));
        pieces.into_iter().map(|piece| self.strip(piece)).collect()
    }

    fn strip(&self, PrintedStrip { drawing, shows }: PrintedStrip) -> Form {
        let what = shows.map_or(ShownAs::Words, ShownAs::Strip);
        let map = Affine::translate(shows.map(|span| span.origin).unwrap_or_default());
        (drawing, Shown { part: self.at, what, map })
    }

    fn shape(&self, frames: &[Frame; 2], overlap: f64) -> Result<Shape, PageError> {
        let (part, units) = (self.part, self.holder.units);
        let ink = ink(part);
        let spread = spread(&ink, frames, overlap, MOST_PAGES).ok_or_else(|| {
            let Size { width, height } = part.region.bounds().size();
            PageError::TooLarge { title: self.part.name.clone(), width, height }
        })?;
        let turn = turning(spread.turn);
        let view = |dimensions| match spread.panes.as_slice() {
            [_] => alone(&ink, turn, &frames[usize::from(spread.level)], dimensions),
            panes => PageView {
                turn,
                panes: panes.iter().map(|pane| pane.area).collect(),
                seams: seams(&spread, overlap).iter().map(|seam| (seam.from, seam.to)).collect(),
                dimensions,
            },
        };
        let printed =
            [true, false].map(|dimensions| printed(part, units, self.notes(), &view(dimensions)));
        let keys = keys(part, units, self.notes(), &KEYS);
        Ok(Shape { part: self.at, spread, printed, keys })
    }
}

/// What is shown of a part on one page: it and its names round it, as far as the page has room.
fn alone(ink: &[Point], turn: Affine, frame: &Frame, dimensions: bool) -> PageView {
    let beside = if dimensions { DIMENSIONS } else { NAMES };
    let places = ink.iter().map(|at| turn * *at);
    let area = places.map(|at| Rect::from_points(at, at)).reduce(|a, b| a.union(b));
    let area = area.unwrap_or(Rect::ZERO);
    let spare = |room: f64, length: f64| ((room - length) / 2.0).clamp(0.0, beside);
    let room = frame.room.size();
    let round = area.inflate(spare(room.width, area.width()), spare(room.height, area.height()));
    PageView { turn, panes: vec![round], seams: Vec::new(), dimensions }
}

/// All that is to be put on pages.
struct PaperStock {
    units: Units,
    frames: [Frame; 2],
    overlap: f64,
    shapes: Vec<Shape>,
    /// The pieces of each strip, cut for upright pages and for those on their long side.
    strips: [Vec<Vec<Form>>; 2],
}

/// One way to fill pages.
#[derive(Debug, Clone, Copy)]
struct Filling {
    /// Whether small patterns have their dimensions.
    roomy: bool,
    /// Whether the pieces of a strip are kept on one page.
    together: bool,
    /// Whether a page is begun on its long side for what needs no other.
    level: bool,
}

impl PaperStock {
    /// The first of the ways that take the fewest pages.
    fn fewest(&self) -> Result<Paged, PageError> {
        let wide = self.shapes.iter().map(|shape| shape.spread.panes.len()).filter(|n| *n > 1);
        let least = wide.sum::<usize>().max(1);
        let mut best: Option<Paged> = None;
        for (roomy, together, level) in WAYS {
            let paged = self.filled(Filling { roomy, together, level })?;
            if best.as_ref().is_none_or(|best| paged.pages.len() < best.pages.len()) {
                best = Some(paged);
            }
            if best.as_ref().is_some_and(|best| best.pages.len() <= least) {
                break;
            }
        }
        Ok(best.unwrap_or_default())
    }

    fn filled(&self, filling: Filling) -> Result<Paged, PageError> {
        PaperDesk { stock: self, filling, begun: Begun::default() }.fill()
    }
}

/// Ways to fill pages, what reads best first: roomy, together, on the long side.
const WAYS: [(bool, bool, bool); 8] = [
    (true, true, false),
    (true, true, true),
    (true, false, false),
    (true, false, true),
    (false, true, false),
    (false, true, true),
    (false, false, false),
    (false, false, true),
];

/// Pages being filled in one way.
struct PaperDesk<'s> {
    stock: &'s PaperStock,
    filling: Filling,
    begun: Begun,
}

/// Sheets begun, and all that is drawn on them.
#[derive(Default)]
struct Begun {
    sheets: Vec<Sheet>,
    drawings: Vec<Drawing>,
    shown: Vec<Shown>,
}

impl Begun {
    fn take(&mut self, (drawing, shown): Form) {
        self.drawings.push(drawing);
        self.shown.push(shown);
    }
}

/// A drawing and what it is.
type Form = (Drawing, Shown);

impl PaperDesk<'_> {
    fn fill(mut self) -> Result<Paged, PageError> {
        let stock = self.stock;
        let (wide, small): (Vec<&Shape>, Vec<&Shape>) =
            stock.shapes.iter().partition(|shape| shape.spread.panes.len() > 1);
        wide.iter().for_each(|shape| self.put_wide(shape));
        // The largest first: small ones go in what it leaves.
        let mut small: Vec<Form> = small.into_iter().map(|shape| self.form(shape)).collect();
        let area = |(drawing, _): &Form| drawing.width * drawing.height;
        small.sort_by(|a, b| area(b).total_cmp(&area(a)));
        small.into_iter().try_for_each(|form| self.put(&[form]))?;
        let mut strips = stock.strips[usize::from(self.filling.level)].iter();
        strips.try_for_each(|pieces| self.put_together(pieces))?;
        for shape in &stock.shapes {
            let shown = Shown { part: shape.part, what: ShownAs::Words, map: Affine::IDENTITY };
            for key in &shape.keys {
                let forms: Vec<Form> = key.iter().map(|key| (key.clone(), shown.clone())).collect();
                self.put(&forms)?;
            }
        }
        Ok(self.finish())
    }

    fn drawn<'p>(&self, shape: &'p Shape) -> &'p Printed {
        let [with_dimensions, bare] = &shape.printed;
        if self.filling.roomy { with_dimensions } else { bare }
    }

    fn form(&self, shape: &Shape) -> Form {
        let Printed { drawing, origin } = self.drawn(shape);
        let map = Affine::translate(*origin) * turning(shape.spread.turn);
        (drawing.clone(), Shown { part: shape.part, what: ShownAs::Pattern, map })
    }

    fn put_wide(&mut self, shape: &Shape) {
        let Printed { drawing, origin } = self.drawn(shape);
        let overlap = self.stock.overlap;
        let wide = Wide {
            pattern: self.begun.drawings.len(),
            spread: shape.spread.clone(),
            origin: *origin,
            seams: seams(&shape.spread, overlap),
        };
        let frame = self.stock.frames[usize::from(shape.spread.level)];
        self.begun.sheets.extend(Sheet::of_wide(&wide, drawing, frame, overlap));
        let form = self.form(shape);
        self.begun.take(form);
    }

    /// Puts the first of `forms` that has room, upright or turned, on a page that is begun, else on a new one.
    fn put(&mut self, forms: &[Form]) -> Result<(), PageError> {
        if let Some(form) = forms.iter().find(|form| self.joins(form)) {
            self.begun.take(form.clone());
            return Ok(());
        }
        let turned: Vec<Form> = forms.iter().map(quarter_turned).collect();
        if let Some(form) = turned.iter().find(|form| self.joins(form)) {
            self.begun.take(form.clone());
            return Ok(());
        }
        let pattern = self.begun.drawings.len();
        let alone = forms.iter().chain(&turned);
        let mut alone = alone.filter_map(|form| Some((form, self.alone(pattern, &form.0)?)));
        let (form, sheet) = alone.next().ok_or_else(|| no_room(forms.first()))?;
        self.begun.sheets.push(sheet);
        self.begun.take(form.clone());
        Ok(())
    }

    /// Whether a page that is begun has taken a drawing.
    fn joins(&mut self, (drawing, _): &Form) -> bool {
        let pattern = self.begun.drawings.len();
        self.begun.sheets.iter_mut().any(|sheet| sheet.put(pattern, drawing))
    }

    /// Puts the pieces of a strip on one page where one has room for all of them, so that they are at hand together.
    fn put_together(&mut self, pieces: &[Form]) -> Result<(), PageError> {
        let first = self.begun.drawings.len();
        let filled = |mut sheet: Sheet| {
            let put = pieces.iter().enumerate().all(|(i, piece)| sheet.put(first + i, &piece.0));
            put.then_some(sheet)
        };
        let blank = Sheet::new(self.stock.frames[usize::from(self.filling.level)]);
        let sheets = self.begun.sheets.iter().chain([&blank]).enumerate();
        let found = sheets
            .filter(|_| self.filling.together)
            .find_map(|(at, on)| Some((at, filled(on.clone())?)));
        match found {
            Some((at, sheet)) if at < self.begun.sheets.len() => self.begun.sheets[at] = sheet,
            Some((_, sheet)) => self.begun.sheets.push(sheet),
            None => {
                return pieces.iter().try_for_each(|piece| self.put(std::slice::from_ref(piece)));
            }
        }
        pieces.iter().for_each(|piece| self.begun.take(piece.clone()));
        Ok(())
    }

    /// A new page with a drawing, if it has room there.
    fn alone(&self, pattern: usize, form: &Drawing) -> Option<Sheet> {
        let level = self.filling.level;
        [level, !level].into_iter().find_map(|level| {
            let mut sheet = Sheet::new(self.stock.frames[usize::from(level)]);
            sheet.put(pattern, form).then_some(sheet)
        })
    }

    fn finish(self) -> Paged {
        let Begun { mut sheets, drawings, shown } = self.begun;
        sheets.sort_by_key(Sheet::order);
        let count = sheets.len();
        let units = self.stock.units;
        let numbered = sheets.into_iter().enumerate();
        let pages = numbered.map(|(i, sheet)| sheet.into_page(&drawings, (i + 1, count), units));
        let pages = pages.collect();
        Paged { pages, drawings, shown }
    }
}

fn no_room(form: Option<&Form>) -> PageError {
    PageError::NoRoom { title: form.map(|(drawing, _)| drawing.title.clone()).unwrap_or_default() }
}

/// The drawing turned counter-clockwise, to be read from the right.
fn quarter_turned((drawing, shown): &Form) -> Form {
    let Drawing { title, width, height, items } = drawing;
    let map = Affine::translate((*height, 0.0)) * turning(90.0);
    let drawing = Drawing {
        title: title.clone(),
        width: *height,
        height: *width,
        items: items.iter().map(|item| item.transformed(map)).collect(),
    };
    (drawing, Shown { map: map * shown.map, ..shown.clone() })
}
