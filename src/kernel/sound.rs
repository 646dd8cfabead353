//! Whether a part can be made as it is drawn.

use kurbo::{Point, Vec2};

use super::contact::contacts;
use super::polyline::near;
use super::{BitSide, Contour, Gap, OffsetError, Region, Segment};
use crate::limits;
use crate::tolerance::{COORDINATE, RELIEF_SLACK, SMOOTH};

/// What the shop asks of a part. All in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// Least wood between two cuts, or a cut and an edge.
    pub least_web: f64,
    /// Diameter of the router's thinnest bit; `None` when the part is made by hand.
    pub router_bit: Option<f64>,
}

/// Something that makes a part unsound. All figures in mm. Contours are counted from 0, the
/// outline, on through the openings.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum Unsound {
    #[error("contour {contour} encloses next to nothing: {area:.3} mm²")]
    Flat { contour: usize, area: f64 },
    #[error("contour {contour} crosses or touches itself at ({:.1}, {:.1})", .at.x, .at.y)]
    SelfCrossing { contour: usize, at: Point },
    #[error("contours {one} and {other} cross or touch at ({:.1}, {:.1})", .at.x, .at.y)]
    Crossing { one: usize, other: usize, at: Point },
    #[error("opening {opening} at ({:.1}, {:.1}) lies outside the outline", .at.x, .at.y)]
    OpeningOutside { opening: usize, at: Point },
    #[error("opening {inner} lies inside opening {outer}")]
    OpeningInOpening { inner: usize, outer: usize },
    #[error(
        "only {width:.2} mm of wood is left at ({:.1}, {:.1}), the least is {least:.2} mm",
        .at.x, .at.y
    )]
    ThinWeb { at: Point, width: f64, least: f64 },
    #[error(
        "the inside radius of {radius:.2} mm at ({:.1}, {:.1}) is too tight for a bit of {bit:.2} mm",
        .at.x, .at.y
    )]
    TightRadius { at: Point, radius: f64, bit: f64 },
    #[error(
        "the hole of {diameter:.2} mm at ({:.1}, {:.1}) is not wholly in the wood: there is room \
         for a radius of {:.2} mm",
        .at.x, .at.y, .room.max(0.0)
    )]
    DrillingOutside { at: Point, diameter: f64, room: f64 },
}

/// Everything that is wrong with `region`.
///
/// `blank` is the outline before anything was cut from it: a part that is narrow by itself has
/// no thin web for that. `drillings` are centers and diameters of the holes that are drilled into
/// wood; a slot's drilled end is part of the region's edge and does not belong here.
///
/// A web is the wood along a line that leaves one edge and meets another nearly square on both
/// (within 30 degrees), or at an inside corner; at least one of the two edges was cut. Of webs
/// side by side along the same cuts the thinnest is told, and of very many the thinnest ones. Windings need no check: [`Region::new`]
/// puts them right.
pub fn check(
    region: &Region,
    blank: &Contour,
    drillings: &[(Point, f64)],
    rules: &Rules,
) -> Vec<Unsound> {
    let mut found = shape_faults(region);
    if !found.is_empty() {
        // Webs and radii of a contour that is no contour would only be noise.
        return found;
    }
    let edges = edges(region, blank);
    found.extend(thin_webs(&edges, rules.least_web));
    if let Some(bit) = rules.router_bit {
        found.extend(tight_radii(region, bit));
    }
    found.extend(drillings.iter().filter_map(|drilling| drilling_fault(region, *drilling)));
    found
}

fn shape_faults(region: &Region) -> Vec<Unsound> {
    let contours: Vec<&Contour> = region.contours().collect();
    let mut found: Vec<Unsound> = contours
        .iter()
        .enumerate()
        .filter(|(_, c)| c.is_sliver())
        .map(|(contour, c)| Unsound::Flat { contour, area: c.area() })
        .collect();
    let mut met = std::collections::BTreeSet::new();
    for contact in contacts(contours.iter().copied(), region.bounds()) {
        if met.insert(contact.contours) {
            let ((one, other), at) = (contact.contours, contact.at);
            found.push(if one == other {
                Unsound::SelfCrossing { contour: one, at }
            } else {
                Unsound::Crossing { one, other, at }
            });
        }
    }
    found.extend(misplaced(&contours, &met));
    found
}

/// Openings outside the outline or inside one another, of those that do not cross.
fn misplaced(
    contours: &[&Contour],
    met: &std::collections::BTreeSet<(usize, usize)>,
) -> Vec<Unsound> {
    let mut found = Vec::new();
    for (inner, contour) in contours.iter().enumerate().skip(1) {
        let Some(at) = contour.vertices().first().map(|v| v.at) else { continue };
        for (outer, other) in contours.iter().enumerate() {
            let apart = inner != outer && !met.contains(&(inner.min(outer), inner.max(outer)));
            match (apart, outer, other.contains(at)) {
                (true, 0, false) => found.push(Unsound::OpeningOutside { opening: inner, at }),
                (true, 1.., true) => found.push(Unsound::OpeningInOpening { inner, outer }),
                _ => {}
            }
        }
    }
    found
}

/// A segment of the region with what its neighbors do; the wood is on its left.
struct RegionEdge {
    contour: usize,
    index: usize,
    /// How many segments the contour has.
    of: usize,
    segment: Segment,
    /// Direction in which the edge before arrives, and the one after leaves.
    neighbors: (Vec2, Vec2),
    /// Whether it is left over from the blank.
    of_blank: bool,
}

/// The edges of `region` that were cut: all that is not left over from the outline `blank`.
pub(crate) fn cut_edges(region: &Region, blank: &Contour) -> Vec<Segment> {
    let cut = edges(region, blank).into_iter().filter(|edge| !edge.of_blank);
    cut.map(|edge| edge.segment).collect()
}

fn edges(region: &Region, blank: &Contour) -> Vec<RegionEdge> {
    let on_blank = |p: Point| blank.distance_to(p) <= COORDINATE;
    let mut edges = Vec::new();
    for (contour, line) in region.contours().enumerate() {
        let segments: Vec<Segment> = line.segments().collect();
        let of = segments.len();
        for (index, segment) in segments.iter().enumerate() {
            let (before, after) = (segments[(index + of - 1) % of], segments[(index + 1) % of]);
            edges.push(RegionEdge {
                contour,
                index,
                of,
                segment: *segment,
                neighbors: (before.direction_at(before.end), after.direction_at(after.start)),
                of_blank: [segment.start, segment.middle(), segment.end].into_iter().all(on_blank),
            });
        }
    }
    edges
}

impl RegionEdge {
    /// Whether the unit direction `way` leaves the edge at `at` as a web would: into the wood
    /// within 30 degrees of square, or, at a corner that points into the wood, between the two
    /// squares of its sides.
    fn leaves(&self, at: Point, way: Vec2) -> bool {
        const COS_30: f64 = 0.866_025_403_784_438_6;
        let along = self.segment.direction_at(at);
        if along.turn_90().dot(way) >= COS_30 {
            return true;
        }
        let near = |p: Point| (p - at).hypot() <= COORDINATE;
        let between = |arriving: Vec2, leaving: Vec2| {
            arriving.cross(leaving) < 0.0 && way.dot(arriving) >= 0.0 && way.dot(leaving) <= 0.0
        };
        (near(self.segment.start) && between(self.neighbors.0, along))
            || (near(self.segment.end) && between(along, self.neighbors.1))
    }

    /// Whether two edges are the same or at most `steps` apart along one contour.
    fn beside(&self, other: &Self, steps: usize) -> bool {
        let apart = self.index.abs_diff(other.index);
        self.contour == other.contour && apart.min(self.of - apart) <= steps
    }
}

fn thin_webs(edges: &[RegionEdge], least: f64) -> Vec<Unsound> {
    let mut webs: Vec<(Gap, &RegionEdge, &RegionEdge)> = Vec::new();
    let bounded: Vec<_> = edges.iter().map(|edge| (edge, edge.segment.bounds())).collect();
    for (i, (a, around)) in bounded.iter().enumerate() {
        for (b, around_b) in &bounded[i + 1..] {
            if !(a.of_blank && b.of_blank) && near(*around, *around_b, least) {
                webs.extend(thinnest_web(a, b, least).map(|gap| (gap, *a, *b)));
            }
        }
    }
    webs.sort_by(|a, b| a.0.width().total_cmp(&b.0.width()));
    let mut told: Vec<(Gap, &RegionEdge, &RegionEdge)> = Vec::new();
    for web in webs {
        let known = |(_, a, b): &(Gap, &RegionEdge, &RegionEdge)| {
            (web.1.beside(a, 2) && web.2.beside(b, 2)) || (web.1.beside(b, 2) && web.2.beside(a, 2))
        };
        if told.len() < limits::FAULTS && !told.iter().any(known) {
            told.push(web);
        }
    }
    told.into_iter()
        .map(|(gap, ..)| Unsound::ThinWeb {
            at: gap.from.midpoint(gap.to),
            width: gap.width(),
            least,
        })
        .collect()
}

fn thinnest_web(a: &RegionEdge, b: &RegionEdge, least: f64) -> Option<Gap> {
    let is_web = |gap: &Gap| {
        let way = (gap.to - gap.from) / gap.width();
        gap.width() > COORDINATE
            && gap.width() < least - COORDINATE
            && a.leaves(gap.from, way)
            && b.leaves(gap.to, -way)
    };
    let webs = a.segment.gaps(&b.segment).into_iter().filter(is_web);
    webs.min_by(|x, y| x.width().total_cmp(&y.width()))
}

impl Contour {
    /// Where it bows into the wood on its left, and how tightly, in mm; a sharp corner has radius 0.
    fn inside_radii(&self) -> impl Iterator<Item = (Point, f64)> {
        let segments: Vec<Segment> = self.segments().collect();
        let next = segments.clone().into_iter().cycle().skip(1);
        segments.into_iter().zip(next).flat_map(|(segment, next)| {
            let arc = segment.arc().filter(|_| segment.bulge < 0.0);
            let turn = segment.direction_at(segment.end).cross(next.direction_at(next.start));
            let corner = (turn < -SMOOTH).then_some((segment.end, 0.0));
            arc.map(|arc| (arc.center, arc.radius)).into_iter().chain(corner)
        })
    }

    /// The tightest of its inside radii, the wood on its left, in mm: 0 at a sharp corner, no limit where there is
    /// none.
    pub fn least_inside_radius(&self) -> f64 {
        self.inside_radii().map(|(_, radius)| radius).fold(f64::INFINITY, f64::min)
    }

    /// Whether a bit that leaves the wood on its left standing comes to all of it, and has a way there and back in what
    /// is narrow.
    pub fn takes_bit(&self, bit: f64) -> bool {
        let side = if self.area() > 0.0 { BitSide::Outside } else { BitSide::Inside };
        let has_room = match self.path_of_bit(bit + RELIEF_SLACK, side) {
            // In corners as round as the bit a wider one stays a little off.
            Err(OffsetError::OutOfReach { bit, distance, .. }) => {
                distance - bit / 2.0 < RELIEF_SLACK
            }
            path => path.is_ok(),
        };
        has_room
            && self.least_inside_radius() >= bit / 2.0 - COORDINATE
            && self.path_of_bit(bit, side).is_ok()
    }
}

/// Arcs and corners that bow into the wood more tightly than the bit.
fn tight_radii(region: &Region, bit: f64) -> Vec<Unsound> {
    let mut found: Vec<(Point, f64)> = Vec::new();
    let tight = region
        .contours()
        .flat_map(Contour::inside_radii)
        .filter(|(_, radius)| *radius < bit / 2.0 - COORDINATE);
    for (at, radius) in tight {
        let known = |(p, r): &(Point, f64)| {
            (*p - at).hypot() <= COORDINATE && (r - radius).abs() <= COORDINATE
        };
        if !found.iter().any(known) {
            found.push((at, radius));
        }
    }
    found.into_iter().map(|(at, radius)| Unsound::TightRadius { at, radius, bit }).collect()
}

fn drilling_fault(region: &Region, (at, diameter): (Point, f64)) -> Option<Unsound> {
    let room = region.room_at(at);
    (room < diameter / 2.0 - COORDINATE).then_some(Unsound::DrillingOutside { at, diameter, room })
}
