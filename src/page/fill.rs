//! Patterns, strips and tables put on as few pages as they take.

use kurbo::Affine;

use super::PageError;
use super::frame::Frame;
use super::seam::Seam;
use super::sheet::{Page, Sheet, Wide};
use super::spread::{Spread, turning};
use crate::drawing::{Drawing, Printed, StripSpan};
use crate::length::Units;

/// Pages, and the drawings that they show.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Paged {
    pub pages: Vec<Page>,
    pub drawings: Vec<Drawing>,
    /// What each of the drawings is.
    pub shown: Vec<ShownOnPaper>,
}

/// What is drawn on pages at full size.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ShownOnPaper {
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

/// How a part lies on pages, and what is drawn of it.
pub(super) struct Shape {
    /// The part, by its place in the holder.
    pub part: usize,
    /// Area of its wood, in mm².
    pub wood: f64,
    pub spread: Spread,
    pub seams: Vec<Seam>,
    /// With dimensions as far as there is room, and with as little as can be.
    pub printed: [Printed; 2],
    /// Tables that explain it, each in different widths.
    pub keys: Vec<Vec<Drawing>>,
}

/// All that is to be put on pages.
pub(super) struct PaperStock {
    pub units: Units,
    pub frames: [Frame; 2],
    pub overlap: f64,
    pub shapes: Vec<Shape>,
    /// The pieces of each strip, cut for upright pages and for those on their long side.
    pub strips: [Vec<Vec<Form>>; 2],
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
    /// The first of the ways that take the fewest pages; what keeps the pieces of a strip together may take one more.
    pub(super) fn fewest(&self) -> Result<Paged, PageError> {
        let least = self.least();
        let mut best: Option<(usize, Begun)> = None;
        for (roomy, together, level) in WAYS {
            let scattered = usize::from(!together);
            if best.as_ref().is_some_and(|(fewest, _)| *fewest <= least + scattered) {
                continue;
            }
            let filled = self.filled(Filling { roomy, together, level })?;
            let counts = filled.sheets.len() + scattered;
            if best.as_ref().is_none_or(|(fewest, _)| counts < *fewest) {
                best = Some((counts, filled));
            }
        }
        Ok(best.map(|(_, filled)| filled.finish(self.units)).unwrap_or_default())
    }

    /// Fewer pages than this can't take it all: by what is left of those of wide patterns, and how much paper all else takes.
    fn least(&self) -> usize {
        let area = |drawing: &Drawing| drawing.width * drawing.height;
        let (wide, small): (Vec<&Shape>, Vec<&Shape>) =
            self.shapes.iter().partition(|shape| shape.spread.panes.len() > 1);
        let pages: usize = wide.iter().map(|shape| shape.spread.panes.len()).sum();
        let keys = self.shapes.iter().flat_map(|shape| &shape.keys);
        let keys = keys.filter_map(|key| key.iter().map(area).min_by(f64::total_cmp));
        let strips =
            self.strips.iter().map(|strips| strips.iter().flatten().map(|(d, _)| area(d)).sum());
        let strips = strips.fold(f64::INFINITY, f64::min);
        let rest = small.iter().map(|shape| area(&shape.printed[1].drawing)).sum::<f64>()
            + keys.sum::<f64>()
            + strips;
        let room = self.frames.iter().map(|frame| frame.room.area()).fold(0.0, f64::max);
        let wood = wide.iter().map(|shape| shape.wood).sum::<f64>();
        let over = rest + wood - pages as f64 * room;
        (pages + (over / room).ceil().max(0.0) as usize).max(1)
    }

    fn filled(&self, filling: Filling) -> Result<Begun, PageError> {
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
    shown: Vec<ShownOnPaper>,
}

impl Begun {
    fn take(&mut self, (drawing, shown): Form) {
        self.drawings.push(drawing);
        self.shown.push(shown);
    }

    fn finish(self, units: Units) -> Paged {
        let Self { mut sheets, drawings, shown } = self;
        sheets.sort_by_key(Sheet::order);
        let count = sheets.len();
        let numbered = sheets.into_iter().enumerate();
        let pages = numbered.map(|(i, sheet)| sheet.into_page(&drawings, (i + 1, count), units));
        let pages = pages.collect();
        Paged { pages, drawings, shown }
    }
}

/// A drawing and what it is.
pub(super) type Form = (Drawing, ShownOnPaper);

impl PaperDesk<'_> {
    fn fill(mut self) -> Result<Begun, PageError> {
        let stock = self.stock;
        let (wide, small): (Vec<&Shape>, Vec<&Shape>) =
            stock.shapes.iter().partition(|shape| shape.spread.panes.len() > 1);
        wide.iter().for_each(|shape| self.put_wide(shape));
        // The largest first: small ones go in what it leaves.
        let mut small: Vec<Form> = small.into_iter().map(|shape| self.form(shape)).collect();
        let area = |(drawing, _): &Form| drawing.width * drawing.height;
        small.sort_by(|a, b| area(b).total_cmp(&area(a)));
        small.into_iter().try_for_each(|form| self.put(&[form]))?;
        for shape in &stock.shapes {
            self.put_keys(shape)?;
        }
        let mut strips = stock.strips[usize::from(self.filling.level)].iter();
        strips.try_for_each(|pieces| self.put_together(pieces))?;
        Ok(self.begun)
    }

    /// Puts what explains a pattern beside it, where there is room.
    fn put_keys(&mut self, shape: &Shape) -> Result<(), PageError> {
        let shown = ShownOnPaper { part: shape.part, what: ShownAs::Words, map: Affine::IDENTITY };
        let pattern = self.begun.shown.iter().position(|shown| shown.part == shape.part);
        for key in &shape.keys {
            let forms: Vec<Form> = key.iter().map(|key| (key.clone(), shown.clone())).collect();
            let number = self.begun.drawings.len();
            let own = self.begun.sheets.iter_mut().filter(|sheet| sheet.shows(pattern));
            let mut own: Vec<&mut Sheet> = own.collect();
            let beside = forms.iter().find(|(key, _)| own.iter_mut().any(|on| on.put(number, key)));
            match beside {
                Some(form) => self.begun.take(form.clone()),
                None => self.put(&forms)?,
            }
        }
        Ok(())
    }

    fn drawn<'p>(&self, shape: &'p Shape) -> &'p Printed {
        let [with_dimensions, bare] = &shape.printed;
        if self.filling.roomy { with_dimensions } else { bare }
    }

    fn form(&self, shape: &Shape) -> Form {
        let Printed { drawing, origin } = self.drawn(shape);
        let map = Affine::translate(*origin) * turning(shape.spread.turn);
        (drawing.clone(), ShownOnPaper { part: shape.part, what: ShownAs::Pattern, map })
    }

    fn put_wide(&mut self, shape: &Shape) {
        let Printed { drawing, origin } = self.drawn(shape);
        let overlap = self.stock.overlap;
        let wide = Wide {
            pattern: self.begun.drawings.len(),
            spread: shape.spread.clone(),
            origin: *origin,
            seams: shape.seams.clone(),
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
}

fn no_room(form: Option<&Form>) -> PageError {
    PageError::NoRoom { title: form.map(|(drawing, _)| drawing.title.clone()).unwrap_or_default() }
}

/// The drawing turned, to be read from the right.
fn quarter_turned((drawing, shown): &Form) -> Form {
    let map = drawing.quarter() * shown.map;
    (drawing.turned(), ShownOnPaper { map, ..shown.clone() })
}
