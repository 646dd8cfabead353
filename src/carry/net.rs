//! What is left of a part across the way it is bent.

use kurbo::Point;

use crate::holder::{Part, Purpose};
use crate::kernel::Contour;
use crate::kernel::convex::sides;
use crate::strength::{CrossSection, Stretch};

/// How many stretches a beam is looked at in.
const STRETCHES: usize = 64;

/// How far a curve may stand off its stand-in polygon, in mm: what a saw is true to.
const COARSE: f64 = 0.05;

/// A part's wood, ready to be cut across anywhere.
pub(super) struct Net<'a> {
    part: &'a Part,
    /// Whether the beam runs along the part's x.
    along_x: bool,
    /// Whether the load is square to the part's face.
    flat: bool,
    /// The one that begins first first.
    sides: Vec<NetSide>,
}

/// A side of what is left, and where along the beam it begins and ends.
struct NetSide {
    from: Point,
    to: Point,
    begins: f64,
    ends: f64,
}

impl NetSide {
    fn of([from, to]: [Point; 2]) -> Self {
        Self { from, to, begins: from.x.min(to.x), ends: from.x.max(to.x) }
    }

    /// How far across the beam it is at one place.
    fn across(&self, at: f64) -> f64 {
        let Self { from: a, to: b, .. } = self;
        a.y + (b.y - a.y) * (at - a.x) / (b.x - a.x)
    }
}

impl<'a> Net<'a> {
    pub(super) fn new(part: &'a Part, along_x: bool, flat: bool) -> Self {
        let turn = |p: Point| if along_x { p } else { Point::new(p.y, p.x) };
        // Holes right through and pockets are lost to bending too; slots' ends are cut already.
        let bored =
            part.drillings.iter().filter(|d| d.depth.is_none() && d.purpose != Purpose::SlotEnd);
        let lost = bored
            .map(|drilling| Contour::circle(drilling.at, drilling.diameter / 2.0))
            .chain(part.pockets.iter().map(|pocket| pocket.contour.clone()));
        let cut: Vec<Contour> = part.region.contours().cloned().chain(lost).collect();
        let sides = cut.iter().flat_map(|contour| {
            let points: Vec<Point> = contour.flatten(COARSE).into_iter().map(turn).collect();
            sides(&points).map(NetSide::of).collect::<Vec<_>>()
        });
        let mut sides: Vec<NetSide> = sides.collect();
        sides.sort_by(|a, b| a.begins.total_cmp(&b.begins));
        Self { part, along_x, flat, sides }
    }

    /// The net sections of a beam `length` mm long that runs from `from` to `to` (either way) on the
    /// part, measured from its beginning.
    pub(super) fn stretches(&self, from: f64, to: f64, length: f64) -> Vec<Stretch> {
        let run = to - from;
        let step = length / STRETCHES as f64;
        let stretch = |i: usize| {
            let places =
                [0.01, 0.5, 0.99].map(|share| from + run * (i as f64 + share) / STRETCHES as f64);
            let weaker = |a: &CrossSection, b: &CrossSection| a.modulus().total_cmp(&b.modulus());
            let section = places.into_iter().map(|at| self.section(at)).min_by(weaker);
            let section = section.unwrap_or(CrossSection::Round { diameter: f64::MIN_POSITIVE });
            Stretch { from: step * i as f64, to: step * (i + 1) as f64, section }
        };
        (0..STRETCHES).map(stretch).collect()
    }

    /// The wood across the beam at one place. Between openings each strip of wood bends by itself
    /// when the load is in the part's plane: the widest counts. Square to it they share.
    fn section(&self, at: f64) -> CrossSection {
        let thickness = self.part.stock.thickness;
        if self.part.is_round() {
            return CrossSection::Round { diameter: thickness };
        }
        let chords = self.chords(at);
        // Nothing is left at the very tip of a rounded nose, where nothing is asked either.
        let some = |size: f64| size.max(crate::tolerance::COORDINATE);
        if self.flat {
            CrossSection::Rectangle { width: some(chords.iter().sum()), height: thickness }
        } else {
            let widest = chords.into_iter().fold(0.0, f64::max);
            CrossSection::Rectangle { width: thickness, height: some(widest) }
        }
    }

    /// How much wood a line across the beam passes in all, in mm.
    pub(super) fn width(&self, at: f64) -> f64 {
        self.chords(at).iter().sum()
    }

    /// How much wood a line across the beam passes, strip by strip.
    fn chords(&self, at: f64) -> Vec<f64> {
        let begun = self.sides.partition_point(|side| side.begins <= at);
        let crossed = self.sides[..begun].iter().filter(|side| at < side.ends);
        let mut met: Vec<f64> = crossed.map(|side| side.across(at)).collect();
        met.sort_by(f64::total_cmp);
        met.chunks_exact(2).map(|pair| pair[1] - pair[0]).collect()
    }

    /// Whether the beam runs along the part's x.
    pub(super) fn along_x(&self) -> bool {
        self.along_x
    }

    /// Whether the load is square to the part's face.
    pub(super) fn flat(&self) -> bool {
        self.flat
    }
}
