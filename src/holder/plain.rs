//! Which parts are plain rectangles, and which are alike or mirrored: what needs no pattern of its own.

use kurbo::{Affine, Point, Rect};

use super::part::{Drilling, Mark, MarkKind, Part};
use crate::kernel::{Contour, Region};
use crate::tolerance::COORDINATE;

/// How a part is like another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Likeness {
    Same,
    /// As seen from its back, left and right changed.
    Mirrored,
}

impl Part {
    /// Whether it is sawn square and holes are all that is made in it, so that places along its edges say it all: a
    /// rectangle, perhaps with a bevel, or a rod.
    pub(crate) fn is_plain(&self) -> bool {
        let level = |mark: &Mark| mark.line().is_none_or(|(a, b)| is_level(a, b));
        self.region.openings().is_empty()
            && self.pockets.is_empty()
            && is_box(self.region.outline())
            && self.marks.iter().all(level)
    }

    /// How the pattern of `other` serves for it too; `None` where it does not.
    pub(crate) fn likeness(&self, other: &Self) -> Option<Likeness> {
        if self.stock != other.stock || self.bevel.is_some() || other.bevel.is_some() {
            return None;
        }
        let over = Affine::new([-1.0, 0.0, 0.0, 1.0, self.region.bounds().width(), 0.0]);
        let ways = [(Likeness::Same, Affine::IDENTITY), (Likeness::Mirrored, over)];
        ways.into_iter().find(|(_, map)| self.is_made_as(other, *map)).map(|(likeness, _)| likeness)
    }

    /// Whether `map` lays all that is cut, bored and scribed on what is in `other`.
    fn is_made_as(&self, other: &Self, map: Affine) -> bool {
        let drilling = |a: &Drilling, b: &Drilling| {
            is_at(map * a.at, b.at)
                && (a.depth, a.face, a.purpose) == (b.depth, b.face, b.purpose)
                && (a.diameter, a.lean) == (b.diameter, b.lean)
        };
        let mark = |a: &Mark, b: &Mark| a.label == b.label && is_same_mark(&a.kind, &b.kind, map);
        is_same_region(&self.region.transformed(map), &other.region)
            && self.pockets.is_empty()
            && other.pockets.is_empty()
            && pair(&self.drillings, &other.drillings, drilling)
            && pair(&self.marks, &other.marks, mark)
    }
}

impl Mark {
    /// The ends of a line; `None` for an area.
    pub(crate) fn line(&self) -> Option<(Point, Point)> {
        match self.kind {
            MarkKind::Footprint { .. } => None,
            MarkKind::Center { from, to }
            | MarkKind::Saw { from, to }
            | MarkKind::Scribe { from, to }
            | MarkKind::EdgeScrew { from, to, .. } => Some((from, to)),
        }
    }
}

fn is_level(a: Point, b: Point) -> bool {
    (a.x - b.x).abs() < COORDINATE || (a.y - b.y).abs() < COORDINATE
}

/// Whether a contour is the rectangle round it.
fn is_box(contour: &Contour) -> bool {
    let bounds = contour.bounds();
    contour.segments().all(|segment| segment.is_line())
        && (contour.area().abs() - bounds.area()).abs()
            < COORDINATE * (bounds.width() + bounds.height())
}

/// Whether each of `some` has a like of its own in `others`, and none is left.
fn pair<T>(some: &[T], others: &[T], alike: impl Fn(&T, &T) -> bool) -> bool {
    some.len() == others.len()
        && some.iter().all(|one| others.iter().any(|other| alike(one, other)))
        && others.iter().all(|other| some.iter().any(|one| alike(one, other)))
}

fn is_same_region(one: &Region, other: &Region) -> bool {
    let count = |region: &Region| region.contours().count();
    let near = |a: &Contour, b: &Contour| is_same_contour(a, b);
    count(one) == count(other)
        && near(one.outline(), other.outline())
        && pair(one.openings(), other.openings(), near)
}

/// Whether two contours run through the same corners and middles of sides, wherever they begin and whichever way they go.
fn is_same_contour(one: &Contour, other: &Contour) -> bool {
    let places = |contour: &Contour| -> Vec<Point> {
        contour.segments().flat_map(|segment| [segment.start, segment.middle()]).collect()
    };
    pair(&places(one), &places(other), |a, b| is_at(*a, *b))
}

fn is_same_mark(one: &MarkKind, other: &MarkKind, map: Affine) -> bool {
    let lines = |a: (Point, Point), b: (Point, Point)| {
        let moved = (map * a.0, map * a.1);
        is_at(moved.0, b.0) && is_at(moved.1, b.1) || is_at(moved.0, b.1) && is_at(moved.1, b.0)
    };
    match (one, other) {
        (
            MarkKind::Footprint { area, face },
            MarkKind::Footprint { area: other, face: other_face },
        ) => face == other_face && is_same_box(map.transform_rect_bbox(*area), *other),
        (MarkKind::Center { from, to }, MarkKind::Center { from: a, to: b })
        | (MarkKind::Saw { from, to }, MarkKind::Saw { from: a, to: b })
        | (MarkKind::Scribe { from, to }, MarkKind::Scribe { from: a, to: b }) => {
            lines((*from, *to), (*a, *b))
        }
        (
            MarkKind::EdgeScrew { from, to, screw },
            MarkKind::EdgeScrew { from: a, to: b, screw: other },
        ) => screw == other && is_at(map * *from, *a) && is_at(map * *to, *b),
        _ => false,
    }
}

fn is_same_box(a: Rect, b: Rect) -> bool {
    is_at(a.origin(), b.origin()) && is_at(Point::new(a.x1, a.y1), Point::new(b.x1, b.y1))
}

fn is_at(a: Point, b: Point) -> bool {
    (a - b).hypot() < COORDINATE
}
