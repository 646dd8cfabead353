//! The plan of a sheet for the saw: its cuts in their order, the pieces with their letters, what
//! is left. Drawn to a scale, for the eye.

use kurbo::{Point, Rect, Size, Vec2};

use super::canvas::{Canvas, Care, Label};
use super::hatch::hatch;
use super::near::Lead;
use super::sheet::{scale, write_notes};
use super::table::NOTE;
use super::{Drawing, Line, Path, near};
use crate::cutting::{
    Area, BlankIndex, BlankUse, Content, Cut, CutWay, CuttingPlan, Fence, PieceIndex, SawnSheet,
    SheetIndex, Workpiece, millimeters,
};
use crate::length::Units;

/// Letter sizes that a piece's letter and its size are tried in, in mm.
const LETTERS: [(f64, f64); 4] = [(7.0, 3.2), (5.0, 2.8), (4.0, 2.4), (3.0, 2.0)];

/// Letter sizes of a label in one line, in mm.
const LINES: [f64; 5] = [4.5, 3.5, 2.8, 2.3, 1.9];

/// Letter size of a cut's number, in mm, and white round it inside its circle.
const NUMBER: f64 = 2.6;
const WHITE: f64 = 0.7;

/// Shares of the way along something, the middle first, from which a leader may begin.
const FEET: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];

/// Letter size of the title, in mm.
const TITLE: f64 = 6.0;

/// The plan of sheet `index` of `plan`, no longer than `longest` mm; figures in `units`.
pub(crate) fn sawn(plan: &CuttingPlan, index: usize, units: Units, longest: f64) -> Drawing {
    let mut canvas = Canvas::default();
    let Some(sheet) = plan.sheets.get(index) else { return canvas.into_drawing(String::new()) };
    let trim = millimeters(sheet.edge_trim);
    let [length, width] = sheet.size.map(|size| millimeters(size) + 2.0 * trim);
    let scale = scale(length.max(width), longest);
    let drawer = Drawer { plan, sheet, units, scale };
    let whole = Rect::new(-trim, -trim, length - trim, width - trim).scale_from_origin(1.0 / scale);
    canvas.rectangle(Line::Scribe, whole);
    let cuts: Vec<&Cut> = square(plan).filter(|cut| cut.sheet == SheetIndex(index)).collect();
    for cut in &cuts {
        let (from, to) = drawer.line(cut);
        canvas.line(Line::Outline, from, to);
    }
    let mut blanks = sheet.blanks.clone();
    // Those with least room choose first.
    blanks.sort_by_key(|placed| placed.area.size[0].min(placed.area.size[1]));
    blanks
        .retain(|placed| !drawer.write_piece(&mut canvas, placed.blank, drawer.rect(placed.area)));
    // What has no room on its wood is led to where there is some, once all else stands.
    for placed in &blanks {
        drawer.lead_piece(&mut canvas, placed.blank, drawer.rect(placed.area));
    }
    let left: Vec<Rect> = cuts
        .iter()
        .flat_map(|cut| cut.both())
        .filter(|body| body.content == Content::Remainder)
        .map(|body: &Workpiece| drawer.rect(body.area))
        .collect();
    for area in &left {
        drawer.write_left(&mut canvas, *area);
    }
    for cut in &cuts {
        drawer.write_number(&mut canvas, cut, whole);
    }
    for Rect { x0, y0, x1, y1 } in left {
        hatch(&mut canvas, &[(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from));
    }
    drawer.write_title(&mut canvas, whole);
    canvas.into_drawing(format!("{}, number {} of {}, to saw", sheet.stock, sheet.number, sheet.of))
}

/// The cuts before the blade is tilted: those that are made on a sheet.
fn square(plan: &CuttingPlan) -> impl Iterator<Item = &Cut> {
    plan.cuts().take_while(|(fence, _)| !matches!(fence, Fence::Bevel { .. })).map(|(_, cut)| cut)
}

struct Drawer<'p> {
    plan: &'p CuttingPlan,
    sheet: &'p SawnSheet,
    units: Units,
    scale: f64,
}

impl Drawer<'_> {
    fn rect(&self, area: Area) -> Rect {
        let [x, y] = area.at.map(|at| millimeters(at) / self.scale);
        let [width, height] = area.size.map(|size| millimeters(size) / self.scale);
        Rect::new(x, y, x + width, y + height)
    }

    /// Where the saw goes: along the middle of the kerf.
    fn line(&self, cut: &Cut) -> (Point, Point) {
        let (panel, gives) = (self.rect(cut.area), self.rect(cut.gives.area));
        let rest = cut.rest.map(|rest| self.rect(rest.area));
        match cut.way {
            CutWay::Along => {
                let y = gives.y1.midpoint(rest.map_or(panel.y1, |rest| rest.y0));
                (Point::new(panel.x0, y), Point::new(panel.x1, y))
            }
            CutWay::Across => {
                let x = gives.x1.midpoint(rest.map_or(panel.x1, |rest| rest.x0));
                (Point::new(x, panel.y0), Point::new(x, panel.y1))
            }
        }
    }

    /// The letter of a piece with its size, on it; of a strip to be beveled all letters. Whether
    /// there was room.
    fn write_piece(&self, canvas: &mut Canvas, blank: BlankIndex, area: Rect) -> bool {
        let letters = self.letters(blank);
        let size = self.size(area);
        let upright = area.height() > area.width();
        for (large, small) in LETTERS {
            let letter = Label::new(letters.clone(), large).bold();
            let figures = Label::new(size.clone(), small);
            let pair = [letter, figures].map(|label| label.upright(upright));
            if self.write_pair(canvas, &pair, area) {
                return true;
            }
        }
        let text = format!("{letters}   {size}");
        write_line(canvas, &text, true, area) || write_line(canvas, &letters, true, area)
    }

    fn lead_piece(&self, canvas: &mut Canvas, blank: BlankIndex, area: Rect) {
        let text = format!("{}   {}", self.letters(blank), self.size(area));
        let label = Label::new(text, LINES[3]).bold();
        let feet = if area.width() > area.height() {
            FEET.map(|share| Point::new(area.x0 + area.width() * share, area.center().y))
        } else {
            FEET.map(|share| Point::new(area.center().x, area.y0 + area.height() * share))
        };
        let place = lead_off(canvas, &feet, near::half_of(&label));
        canvas.write(&label, place);
    }

    /// Letter and size, one below the other. Whether there was room.
    fn write_pair(&self, canvas: &mut Canvas, pair: &[Label; 2], area: Rect) -> bool {
        const GAP: f64 = 1.2;
        let [a, b] = pair.each_ref().map(|label| label.room(Point::ORIGIN).size());
        let upright = pair[0].upright;
        let both = if upright {
            Size::new(a.width + GAP + b.width, a.height.max(b.height))
        } else {
            Size::new(a.width.max(b.width), a.height + GAP + b.height)
        };
        let room = both + Size::new(2.0, 2.0);
        if room.width > area.width() || room.height > area.height() {
            return false;
        }
        let (back, on) = if upright {
            (Vec2::new((b.width + GAP) / -2.0, 0.0), Vec2::new((a.width + GAP) / 2.0, 0.0))
        } else {
            (Vec2::new(0.0, (b.height + GAP) / 2.0), Vec2::new(0.0, (a.height + GAP) / -2.0))
        };
        let center = area.center();
        canvas.write(&pair[0], center + back);
        canvas.write(&pair[1], center + on);
        true
    }

    /// The size of what is left, where there is room for it.
    fn write_left(&self, canvas: &mut Canvas, area: Rect) {
        let _ = write_line(canvas, &self.size(area), false, area);
    }

    fn letters(&self, blank: BlankIndex) -> String {
        let letter = |piece: &PieceIndex| {
            piece.of(&self.plan.pieces).map(|piece| piece.letter.clone()).unwrap_or_default()
        };
        match blank.of(&self.plan.blanks) {
            Some(BlankUse::Piece(piece)) => letter(piece),
            Some(BlankUse::Strip(strip)) => {
                let bars = strip.of(&self.plan.strips).into_iter().flatten();
                let bars: Vec<String> =
                    bars.map(|bar| bar.iter().map(letter).collect::<Vec<_>>().join(" ")).collect();
                bars.join(" | ")
            }
            None => String::new(),
        }
    }

    fn size(&self, area: Rect) -> String {
        let [length, width] =
            [area.width(), area.height()].map(|mm| self.units.bare_length(mm * self.scale));
        format!("{length} × {width}")
    }

    /// The cut's number in a circle: outside, where the cut begins at the sheet's edge, else
    /// beside its line.
    fn write_number(&self, canvas: &mut Canvas, cut: &Cut, whole: Rect) {
        let label = Label::new(cut.number.to_string(), NUMBER);
        let radius = label.extent().width.max(label.extent().height) / 2.0 + WHITE;
        let (from, to) = self.line(cut);
        let along = (to - from).normalize();
        let aside = Vec2::new(-along.y, along.x);
        let starts = match cut.way {
            CutWay::Along => from.x <= whole.x0 + 1e-6,
            CutWay::Across => from.y <= whole.y0 + 1e-6,
        };
        let far = [1.0, 3.5, 6.0, 8.5, 11.0, 13.5];
        let outside = far.iter().map(|far| from - along * (radius + far));
        let outside = outside.filter(|place| starts && canvas.can_lead(from, *place));
        let length = (to - from).hypot();
        let steps = (length / 2.0).min(400.0) as u32;
        let beside = (0..=steps).flat_map(|i| {
            let on = from + along * (radius + 0.8 + f64::from(i) * 2.0);
            [1.0, -1.0].map(|side| on + aside * side * (radius + 0.5))
        });
        let inside = beside.filter(|place| {
            let run = (*place - from).dot(along);
            run + radius <= length
        });
        let free = |place: &Point| {
            let square = Rect::from_center_size(*place, Size::new(2.0, 2.0) * radius);
            canvas.is_free(square.inset(0.3), Care::All)
        };
        let Some(place) = outside.chain(inside).find(free) else {
            let half = Size::new(radius, radius);
            let place = lead_off(canvas, &FEET.map(|share| from.lerp(to, share)), half);
            canvas.stroke(Line::Dimension, Path::Circle { center: place, radius });
            canvas.write(&label, place);
            return;
        };
        if starts && (place - from).dot(along) < -(radius + 1.5) {
            canvas.line(Line::Leader, from, place + along * radius);
        }
        canvas.stroke(Line::Dimension, Path::Circle { center: place, radius });
        canvas.write(&label, place);
    }

    /// What it is, above; what the signs mean, below.
    fn write_title(&self, canvas: &mut Canvas, whole: Rect) {
        let Self { sheet, units, scale, .. } = self;
        let kind = match &sheet.left {
            Some(left) => left,
            None if sheet.offcut => "offcut",
            None => sheet.kind.word(),
        };
        let title = format!("{}, {kind}, number {} of {}", sheet.stock, sheet.number, sheet.of);
        let [length, width] = sheet.size.map(|s| units.length(millimeters(s)));
        let thick = units.length(sheet.thickness);
        let facts = format!(
            "{length} × {width}, {thick} thick · yield {:.0} % · drawn 1 : {scale}",
            100.0 * sheet.filling
        );
        let top = whole.y1.max(canvas.bounds().y1);
        canvas.write_from(&Label::new(facts, NOTE), Point::new(whole.x0, top + 4.0));
        canvas.write_from(&Label::new(title, TITLE).bold(), Point::new(whole.x0, top + 11.0));
        let mut notes = vec![format!(
            "Figures in {}, along the grain first. In circles: the cuts, by their numbers in plan.md. \
             Hatched: offcuts and waste.",
            units.word()
        )];
        if sheet.edge_trim > 0 {
            let trim = units.length(millimeters(sheet.edge_trim));
            notes.push(format!("Trim the edges first: {trim} off each."));
        }
        if sheet
            .blanks
            .iter()
            .any(|b| matches!(b.blank.of(&self.plan.blanks), Some(BlankUse::Strip(_))))
        {
            notes.push(
                "Letters with | between them: two beveled strips from one rip, their pieces in this \
                 order."
                    .to_owned(),
            );
        }
        let below = whole.y0.min(canvas.bounds().y0) - 7.0;
        write_notes(canvas, &notes, whole, below, sheet.grain);
    }
}

/// Writes `text` in one line on `area`, as large as there is room for. Whether there was any.
fn write_line(canvas: &mut Canvas, text: &str, bold: bool, area: Rect) -> bool {
    let upright = area.height() > area.width();
    for size in LINES {
        let label = Label { bold, ..Label::new(text, size).upright(upright) };
        let room = label.room(Point::ORIGIN).size() + Size::new(0.8, 0.6);
        if room.width > area.width() || room.height > area.height() {
            continue;
        }
        let place = near::within(area, room, |place| {
            canvas.is_free(label.room(place).inset(0.25), Care::Firm)
        });
        if let Some(place) = place {
            canvas.write(&label, place);
            return true;
        }
    }
    false
}

/// Draws the leader from a dot at one of `feet` to something of which `half` is half the size, and
/// gives its middle. There is room beside all that is drawn, at the latest.
fn lead_off(canvas: &mut Canvas, feet: &[Point], half: Size) -> Point {
    let free =
        |middle| canvas.is_free(Rect::from_center_size(middle, half * 2.0).inset(0.3), Care::All);
    let lead = near::lead(canvas, feet, half, free).unwrap_or_else(|| {
        let foot = feet.first().copied().unwrap_or_default();
        Lead::new(foot, Point::new(canvas.bounds().x1 + 5.0 + half.width, foot.y), half)
    });
    lead.draw(canvas);
    lead.middle
}
