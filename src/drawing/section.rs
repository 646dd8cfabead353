//! A beveled part's section, drawn at full size beside it: thickness, widths and angle.

use kurbo::{Point, Rect, Vec2};

use super::angle;
use super::canvas::{Canvas, Care, Label};
use super::dimension::{self, Base, Chain, Side};
use super::hatch::hatch;
use super::near;
use super::table::NOTE;
use super::{Line, Path};
use crate::holder::{Bevel, Edge, Face, Part};
use crate::kernel::{Contour, Vertex};
use crate::length::{Quantity, Units};

/// Between the part and its section, in mm; more where a dimension stands between.
const APART: f64 = 14.0;
const DIMENSION: f64 = 12.0;

/// The y at which the bevel meets the narrower face; `None` when it would take the whole width.
pub(super) fn bevel_line(part: &Part, bevel: Bevel) -> Option<f64> {
    let drop = part.stock.thickness * bevel.angle.to_radians().tan();
    let area = part.region.bounds();
    let y = if bevel.edge == Edge::Bottom { area.y0 + drop } else { area.y1 - drop };
    (drop > 0.0 && y > area.y0 && y < area.y1).then_some(y)
}

/// The four corners of a section and which way it is beveled.
struct Section {
    /// Its box: thickness across, width up.
    area: Rect,
    /// The corner of the full face at the bevel.
    sharp: Point,
    /// The corner of the narrower face at the bevel.
    blunt: Point,
    /// The other end of the narrower face.
    foot: Point,
    /// The other end of the full face.
    far: Point,
}

/// Draws the section to the right of all that is drawn so far, level with the part: seen from
/// the part's right end, so that the show face is at the left (third angle, ISO 5456-2).
pub(super) fn draw(canvas: &mut Canvas, part: &Part, bevel: Bevel, units: Units) {
    let Some(y) = bevel_line(part, bevel) else { return };
    let part_area = part.region.bounds();
    let between = if bevel.full_face == Face::Back { DIMENSION } else { 0.0 };
    let left = canvas.bounds().x1 + APART + between;
    let area = Rect::new(left, part_area.y0, left + part.stock.thickness, part_area.y1);
    let section = Section::new(area, bevel, y);
    section.outline(canvas);
    hatch(canvas, &section.corners());
    section.faces(canvas, part.on_wall(), units);
    section.angle(canvas, bevel, units);
    let head = Label::new("section", NOTE);
    let above = |i: i32| Point::new(area.center().x, area.y1 + 3.5 + f64::from(i));
    let place = (0..60).map(above).find(|place| canvas.has_room(&head, *place, Care::All));
    canvas.write(&head, place.unwrap_or_else(|| above(60)));
}

impl Section {
    fn new(area: Rect, bevel: Bevel, y: f64) -> Self {
        let (full, narrow) = match bevel.full_face {
            Face::Show => (area.x0, area.x1),
            Face::Back => (area.x1, area.x0),
        };
        let (at_bevel, other) =
            if bevel.edge == Edge::Bottom { (area.y0, area.y1) } else { (area.y1, area.y0) };
        Self {
            area,
            sharp: Point::new(full, at_bevel),
            blunt: Point::new(narrow, y),
            foot: Point::new(narrow, other),
            far: Point::new(full, other),
        }
    }

    fn corners(&self) -> [Point; 4] {
        [self.sharp, self.blunt, self.foot, self.far]
    }

    fn outline(&self, canvas: &mut Canvas) {
        let corners = self.corners().map(|p| Vertex::line(p.x, p.y));
        if let Some(contour) = Contour::new(corners) {
            canvas.stroke(Line::Furniture, Path::Closed(contour));
        }
    }

    /// Names of the faces, thickness below, the narrower width beside its face.
    fn faces(&self, canvas: &mut Canvas, on_wall: Option<Face>, units: Units) {
        let name = |canvas: &mut Canvas, (plain, face): (&str, Face), x: f64| {
            let whole = Label::new(format!("{plain}, against the wall"), NOTE).upright(true);
            let told = on_wall == Some(face) && whole.run() <= self.area.height();
            let label = if told { whole } else { Label::new(plain, NOTE).upright(true) };
            let center = Point::new(x, self.area.center().y);
            canvas.write(&label, center);
            label.room(center)
        };
        let out = 1.8 + super::cap_height(NOTE) / 2.0;
        let show = name(canvas, ("show face", Face::Show), self.area.x0 - out - 0.6);
        let back = name(canvas, ("back", Face::Back), self.area.x1 + out);
        let at_right = self.blunt.x > self.sharp.x;
        let (side, edge, beside) = if at_right {
            (Side::Right, self.area.x1, back)
        } else {
            (Side::Left, self.area.x0, show)
        };
        let (low, high) = (self.blunt.y.min(self.foot.y), self.blunt.y.max(self.foot.y));
        let narrow = Chain::single(low, high, units.bare_length(high - low));
        dimension::stack(canvas, Base { side, edge }, 5.0, &[narrow], Some(beside));
        let (x0, x1) = (self.area.x0, self.area.x1);
        let thick = Chain::single(x0, x1, units.bare_length(x1 - x0));
        let below = Base { side: Side::Below, edge: self.area.y0 };
        dimension::stack(canvas, below, 3.0, &[thick], None);
    }

    /// The angle from square to the face, at the sharp corner.
    fn angle(&self, canvas: &mut Canvas, bevel: Bevel, units: Units) {
        let square = Vec2::new((self.blunt.x - self.sharp.x).signum(), 0.0);
        let slope = (self.blunt - self.sharp).normalize();
        let thickness = self.area.width();
        let radius = thickness.max(8.0) + 2.0;
        canvas.line(Line::Dimension, self.sharp, self.sharp + square * (radius + 1.5));
        let bevel_length = (self.blunt - self.sharp).hypot();
        if radius > bevel_length {
            canvas.line(Line::Dimension, self.blunt, self.sharp + slope * (radius + 1.5));
        }
        let middle = angle::arc(canvas, self.sharp, square, slope, radius);
        let figure = Label::new(units.quantity(Quantity::degrees(bevel.angle)), dimension::FIGURE);
        near::write_around(canvas, &figure, middle, 0.4, None);
    }
}
