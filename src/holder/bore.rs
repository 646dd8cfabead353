//! Holes for screws: clearance and countersink where they pass, pilots and marks where they end.

use kurbo::Point;

use super::bench::Bench;
use super::bit::HoleBit;
use super::feature::Feature;
use super::part::{Drilling, Mark, MarkKind, Part, Row};
use super::screw_path::{ScrewPath, Stand, Way};
use crate::shop::{Bit, Screw, find_wood};
use crate::style::{Face, Purpose};
use crate::tolerance::COORDINATE;

/// Drills the parts for one row of screws.
pub(super) struct Drill<'a, 'b> {
    pub bench: &'a Bench<'b>,
    pub screw: Screw,
    /// In mm.
    pub length: f64,
    pub parts: &'a mut [Part],
}

impl Drill<'_, '_> {
    pub(super) fn row(&mut self, (through, enters): (usize, Face), row: &[Stand]) {
        let clearance = self.bench.clearance(self.screw);
        for stand in row {
            self.parts[through].drill(clearance.at(stand.at, enters));
            self.parts[through].drill(sink(self.screw).at(stand.at, enters));
        }
        let points = row.iter().map(|stand| stand.at).collect();
        self.parts[through].rows.push(clearance.row(points));
        let mut ends: Vec<(usize, Face, Vec<Point>)> = Vec::new();
        for path in row.iter().flat_map(|stand| &stand.paths) {
            for (part, point) in path.passed.iter().skip(1) {
                self.parts[*part].drill(clearance.at(*point, Face::Show));
            }
            let Some((part, face, at)) = self.far(path) else { continue };
            match ends.iter_mut().find(|(p, f, _)| (*p, *f) == (part, face)) {
                Some((_, _, points)) => points.push(at),
                None => ends.push((part, face, vec![at])),
            }
        }
        for (part, _, mut points) in ends {
            points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
            let hole = self.bench.lead(self.screw, &self.parts[part].stock.wood, 0.0);
            self.parts[part].rows.push(hole.row(points));
        }
    }

    /// Bores or marks the part a screw ends in; tells the part, face and place of a new hole.
    fn far(&mut self, path: &ScrewPath) -> Option<(usize, Face, Point)> {
        let (screw, end) = (self.screw, path.end.as_ref()?);
        let bite = self.length - path.wood;
        let part = &mut self.parts[end.part];
        match end.way {
            Way::Through(face) => {
                let hole = self.bench.lead(screw, &part.stock.wood, bite);
                part.drill(hole.at(end.at, face)).then_some((end.part, face, end.at))
            }
            Way::Edge(way) => {
                let kind = MarkKind::EdgeScrew { from: end.at, to: end.at + way * bite, screw };
                part.mark_screw(Mark { kind, label: String::new() });
                None
            }
        }
    }
}

/// The countersink for a screw's head.
fn sink(screw: Screw) -> ScrewHole {
    ScrewHole {
        diameter: screw.head(),
        depth: Some(screw.head_depth()),
        purpose: Purpose::Countersink,
        bit: HoleBit::Countersink,
    }
}

/// A kind of hole, before it has a place.
pub(super) struct ScrewHole {
    pub diameter: f64,
    depth: Option<f64>,
    purpose: Purpose,
    pub bit: HoleBit,
}

impl ScrewHole {
    fn at(&self, at: Point, face: Face) -> Drilling {
        Drilling {
            at,
            diameter: self.diameter,
            depth: self.depth,
            purpose: self.purpose,
            bit: self.bit,
            face,
            lean: 0.0,
        }
    }

    fn row(&self, centers: Vec<Point>) -> Row {
        let feature = Feature::Hole { purpose: self.purpose, diameter: self.diameter };
        Row { feature, centers }
    }
}

impl Bench<'_> {
    /// The hole a screw's shank slips through: the shop's next bit.
    pub(super) fn clearance(&self, screw: Screw) -> ScrewHole {
        let bit = self.shop.drill_at_least(screw.shank());
        let close = bit.filter(|bit| bit.diameter <= screw.shank() * 1.25);
        self.hole(self.sold(screw.shank(), f64::ceil), close, None, Purpose::Clearance)
    }

    /// The hole its thread bites in, for the part's wood: the shop's nearest bit.
    pub(super) fn lead(&self, screw: Screw, wood: &str, depth: f64) -> ScrewHole {
        let wanted = screw.pilot(find_wood(wood).wood.screw_gravity());
        let bit = self.shop.drill_nearest(wanted);
        let close = bit.filter(|bit| (bit.diameter / wanted - 1.0).abs() <= 0.2);
        self.hole(self.sold(wanted, f64::round), close, Some(depth), Purpose::Pilot)
    }

    /// The size of bit that is sold for a hole of `diameter` mm: in steps of 1/64 in or 0.5 mm.
    fn sold(&self, diameter: f64, to_step: fn(f64) -> f64) -> f64 {
        let step = self.values.units().either(1.0 / 64.0, 0.5);
        to_step(diameter / step - 1e-9) * step
    }

    fn hole(
        &self,
        wanted: f64,
        bit: Option<Bit>,
        depth: Option<f64>,
        purpose: Purpose,
    ) -> ScrewHole {
        let (diameter, bit) = match bit {
            Some(bit) => (bit.diameter, HoleBit::AtHand(bit)),
            None => (wanted, self.bit_of(wanted)),
        };
        ScrewHole { diameter, depth, purpose, bit }
    }
}

impl Part {
    /// Adds a screw's way into an edge unless the same one is there already.
    fn mark_screw(&mut self, mark: Mark) {
        let way = |mark: &Mark| match mark.kind {
            MarkKind::EdgeScrew { from, to, .. } => Some((from, to)),
            _ => None,
        };
        let Some((from, to)) = way(&mark) else { return };
        let near = |a: Point, b: Point| (a - b).hypot() <= COORDINATE;
        let known = self.marks.iter().filter_map(way);
        if !known.into_iter().any(|(f, t)| near(f, from) && near(t, to)) {
            self.marks.push(mark);
        }
    }

    /// Adds a drilling unless the same one is there already; tells whether it was added.
    fn drill(&mut self, drilling: Drilling) -> bool {
        let same = |other: &Drilling| {
            (other.at - drilling.at).hypot() <= COORDINATE
                && other.face == drilling.face
                && other.purpose == drilling.purpose
        };
        let new = !self.drillings.iter().any(same);
        if new {
            self.drillings.push(drilling);
        }
        new
    }
}
