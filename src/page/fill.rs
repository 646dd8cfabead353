//! Patterns, strips and tables put on as few pages as they take.

use std::cell::LazyCell;
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use kurbo::Vec2;

use super::PageError;
use super::form::{Form, ShownOnPaper};
use super::frame::Frame;
use super::seam::Seam;
use super::sheet::{Page, Sheet, Wide};
use super::spread::Spread;
use crate::drawing::Drawing;
use crate::length::Units;

/// Pages, and the drawings that they show.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Paged {
    pub pages: Vec<Page>,
    pub drawings: Vec<Drawing>,
    /// What each of the drawings is.
    pub shown: Vec<ShownOnPaper>,
}

/// What is drawn when a way to fill pages first asks for it: most are never tried.
pub(super) type Later<'h, T> = LazyCell<T, Box<dyn FnOnce() -> T + 'h>>;

/// How a part lies on pages, and what is drawn of it.
pub(super) struct Shape<'h> {
    /// The part, by its place in the holder.
    pub part: usize,
    /// Area of its wood, in mm².
    pub wood: f64,
    pub spread: Spread,
    pub seams: Vec<Seam>,
    /// With dimensions as far as there is room, and with as little as can be.
    pub drawn: [Later<'h, ShapeOnPaper>; 2],
    /// Tables that explain it, each in different widths.
    pub keys: Vec<Vec<Later<'h, Form>>>,
}

/// A shaped part as pages show it.
pub(super) struct ShapeOnPaper {
    pub form: Form,
    /// Where the origin of the pages' mm lies in its drawing.
    pub origin: Vec2,
}

impl Shape<'_> {
    fn is_wide(&self) -> bool {
        self.spread.panes.len() > 1
    }

    fn drawn(&self, roomy: bool) -> &ShapeOnPaper {
        &self.drawn[usize::from(!roomy)]
    }

    /// No drawing of it is smaller, as far as that is known where none without dimensions is wanted.
    fn least_area(&self, roomy: bool) -> f64 {
        if roomy { self.wood } else { self.drawn(false).form.area() }
    }
}

/// The pieces of each strip.
pub(super) type StripForms = Vec<Vec<Form>>;

/// All that is to be put on pages.
pub(super) struct PaperStock<'h> {
    pub units: Units,
    pub frames: [Frame; 2],
    pub overlap: f64,
    pub shapes: Vec<Shape<'h>>,
    /// Cut for upright pages and for those on their long side.
    pub strips: [Later<'h, StripForms>; 2],
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

impl<'h> PaperStock<'h> {
    /// The first of the ways that take the fewest pages; what keeps the pieces of a strip together may take one more.
    pub(super) fn fewest(&self) -> Result<Paged, PageError> {
        let mut best: Option<(usize, Begun<'_>)> = None;
        // Whether the pieces of a strip are kept together makes no difference until the strips are put.
        let mut begun = BTreeMap::new();
        for (roomy, together, level) in WAYS {
            let filling = Filling { roomy, together, level };
            let scattered = usize::from(!together);
            // What a way has to stay below.
            let most = best.as_ref().map(|(fewest, _)| fewest.saturating_sub(scattered));
            if most.is_some_and(|most| self.is_least(most, roomy)) {
                continue;
            }
            let begun: &Begun<'_> = match begun.entry((roomy, level)) {
                Entry::Occupied(known) => known.into_mut(),
                Entry::Vacant(new) => new.insert(self.desk(filling, Begun::default()).begin()?),
            };
            let most = most.unwrap_or(usize::MAX);
            if let Some(filled) = self.desk(filling, begun.clone()).finish(most)? {
                best = Some((filled.sheets.len() + scattered, filled));
            }
        }
        Ok(best.map(|(_, filled)| filled.finish(self.units)).unwrap_or_default())
    }

    /// Whether no way takes fewer than `pages`.
    fn is_least(&self, pages: usize, roomy: bool) -> bool {
        // What is drawn for the second answer alone is not wanted where the first one will do.
        pages <= self.wide_pages().max(1) || pages <= self.least(roomy)
    }

    fn wide_pages(&self) -> usize {
        self.shapes.iter().filter(|s| s.is_wide()).map(|s| s.spread.panes.len()).sum()
    }

    /// Fewer pages than this can't take it all: by what is left of those of wide patterns, and how much paper all else takes.
    fn least(&self, roomy: bool) -> usize {
        let (wide, small): (Vec<&Shape<'_>>, Vec<&Shape<'_>>) =
            self.shapes.iter().partition(|shape| shape.is_wide());
        let pages = self.wide_pages();
        let keys = self.shapes.iter().flat_map(|shape| &shape.keys);
        let keys = keys.filter_map(|key| key.iter().map(|form| form.area()).min_by(f64::total_cmp));
        let strips = self.strips.iter().map(|strips| strips.iter().flatten().map(Form::area).sum());
        let strips = strips.fold(f64::INFINITY, f64::min);
        let rest = small.iter().map(|shape| shape.least_area(roomy)).sum::<f64>()
            + keys.sum::<f64>()
            + strips;
        let room = self.frames.iter().map(|frame| frame.room.area()).fold(0.0, f64::max);
        let wood = wide.iter().map(|shape| shape.wood).sum::<f64>();
        let over = rest + wood - pages as f64 * room;
        (pages + (over / room).ceil().max(0.0) as usize).max(1)
    }

    fn desk<'s>(&'s self, filling: Filling, begun: Begun<'s>) -> PaperDesk<'s, 'h> {
        PaperDesk { stock: self, filling, begun }
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
struct PaperDesk<'s, 'h> {
    stock: &'s PaperStock<'h>,
    filling: Filling,
    begun: Begun<'s>,
}

/// Sheets begun, and all that is drawn on them.
#[derive(Clone, Default)]
struct Begun<'s> {
    sheets: Vec<Sheet>,
    forms: Vec<&'s Form>,
}

impl Begun<'_> {
    fn finish(self, units: Units) -> Paged {
        let Self { mut sheets, forms } = self;
        sheets.sort_by_key(Sheet::order);
        let count = sheets.len();
        let numbered = sheets.into_iter().enumerate();
        let pages = numbered.map(|(i, sheet)| sheet.into_page(&forms, (i + 1, count), units));
        let pages = pages.collect();
        let drawings = forms.iter().map(|form| form.drawing.clone()).collect();
        Paged { pages, drawings, shown: forms.iter().map(|form| form.shown.clone()).collect() }
    }
}

impl<'s, 'h> PaperDesk<'s, 'h> {
    /// Puts all but the strips.
    fn begin(mut self) -> Result<Begun<'s>, PageError> {
        let stock = self.stock;
        let (wide, small): (Vec<&Shape<'_>>, Vec<&Shape<'_>>) =
            stock.shapes.iter().partition(|shape| shape.is_wide());
        wide.iter().for_each(|shape| self.put_wide(shape));
        // The largest first: small ones go in what it leaves.
        let mut small: Vec<&Form> =
            small.into_iter().map(|shape| &shape.drawn(self.filling.roomy).form).collect();
        small.sort_by(|a, b| b.area().total_cmp(&a.area()));
        small.into_iter().try_for_each(|form| self.put(std::iter::once(form)))?;
        for shape in &stock.shapes {
            self.put_keys(shape)?;
        }
        Ok(self.begun)
    }

    /// Puts the strips; `None` as soon as that does not take fewer sheets than `most`.
    fn finish(mut self, most: usize) -> Result<Option<Begun<'s>>, PageError> {
        let stock = self.stock;
        for pieces in stock.strips[usize::from(self.filling.level)].iter() {
            if self.begun.sheets.len() >= most {
                return Ok(None);
            }
            self.put_together(pieces)?;
        }
        Ok(Some(self.begun).filter(|begun| begun.sheets.len() < most))
    }

    /// Puts what explains a pattern beside it, where there is room.
    fn put_keys(&mut self, shape: &'s Shape<'h>) -> Result<(), PageError> {
        let pattern = self.begun.forms.iter().position(|form| form.shown.part == shape.part);
        for key in &shape.keys {
            let forms = key.iter().map(|form| -> &Form { form });
            let number = self.begun.forms.len();
            let own = self.begun.sheets.iter_mut().filter(|sheet| sheet.shows(pattern));
            let mut own: Vec<&mut Sheet> = own.collect();
            let beside = forms.clone().find(|key| own.iter_mut().any(|on| on.put(number, key)));
            match beside {
                Some(form) => self.begun.forms.push(form),
                None => self.put(forms)?,
            }
        }
        Ok(())
    }

    fn put_wide(&mut self, shape: &'s Shape<'h>) {
        let ShapeOnPaper { form, origin } = shape.drawn(self.filling.roomy);
        let overlap = self.stock.overlap;
        let wide = Wide {
            pattern: self.begun.forms.len(),
            spread: shape.spread.clone(),
            origin: *origin,
            seams: shape.seams.clone(),
        };
        let frame = self.stock.frames[usize::from(shape.spread.level)];
        self.begun.sheets.extend(Sheet::of_wide(&wide, &form.drawing, frame, overlap));
        self.begun.forms.push(form);
    }

    /// Puts the first of `forms` that has room, upright or turned, on a page that is begun, else on a new one.
    fn put(&mut self, forms: impl Iterator<Item = &'s Form> + Clone) -> Result<(), PageError> {
        let first = forms.clone().next();
        let both = forms.clone().chain(forms.map(Form::turned));
        if let Some(form) = both.clone().find(|form| self.joins(form)) {
            self.begun.forms.push(form);
            return Ok(());
        }
        let mut alone = both.filter_map(|form| Some((form, self.alone(form)?)));
        let (form, sheet) = alone.next().ok_or_else(|| no_room(first))?;
        self.begun.sheets.push(sheet);
        self.begun.forms.push(form);
        Ok(())
    }

    /// Whether a page that is begun has taken a drawing.
    fn joins(&mut self, form: &Form) -> bool {
        let pattern = self.begun.forms.len();
        self.begun.sheets.iter_mut().any(|sheet| sheet.put(pattern, form))
    }

    /// Puts the pieces of a strip on one page where one has room for all of them, so that they are at hand together.
    fn put_together(&mut self, pieces: &'s [Form]) -> Result<(), PageError> {
        let first = self.begun.forms.len();
        let filled = |sheet: &mut Sheet| {
            // Most pages are full: no copy is made to find that.
            if !pieces.first().is_none_or(|piece| sheet.has_room(piece)) {
                return None;
            }
            let mut sheet = sheet.clone();
            let put = pieces.iter().enumerate().all(|(i, piece)| sheet.put(first + i, piece));
            put.then_some(sheet)
        };
        let mut blank = Sheet::new(self.stock.frames[usize::from(self.filling.level)]);
        let sheets = self.begun.sheets.iter_mut().chain([&mut blank]).enumerate();
        let found =
            sheets.filter(|_| self.filling.together).find_map(|(at, on)| Some((at, filled(on)?)));
        match found {
            Some((at, sheet)) if at < self.begun.sheets.len() => self.begun.sheets[at] = sheet,
            Some((_, sheet)) => self.begun.sheets.push(sheet),
            None => {
                return pieces.iter().try_for_each(|piece| self.put(std::iter::once(piece)));
            }
        }
        self.begun.forms.extend(pieces);
        Ok(())
    }

    /// A new page with a drawing, if it has room there.
    fn alone(&self, form: &Form) -> Option<Sheet> {
        let (level, pattern) = (self.filling.level, self.begun.forms.len());
        [level, !level].into_iter().find_map(|level| {
            let mut sheet = Sheet::new(self.stock.frames[usize::from(level)]);
            sheet.put(pattern, form).then_some(sheet)
        })
    }
}

fn no_room(form: Option<&Form>) -> PageError {
    PageError::NoRoom { title: form.map(|form| form.drawing.title.clone()).unwrap_or_default() }
}
