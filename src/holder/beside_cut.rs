//! The wood between a screw, or the hole bored for it, and what is cut beside it: a mortise, an opening, a slot.

use std::array::from_fn;
use std::cmp::Ordering::Equal;

use kurbo::{Point, Rect};

use super::cut_room::{nearest_cut, spot};
use super::feature::Feature;
use super::finding::Finding;
use super::joint::Joined;
use super::part::{MarkKind, Part, Row};
use super::placement::Placement;
use super::screws::{ScrewJoint, Seated};
use crate::kernel::{Gap, Segment, cut_edges};
use crate::length::Units;
use crate::style::{Purpose, Space};
use crate::tolerance::{COORDINATE, LEAST_WEB_SCREW};

/// A screw too near to a cut.
pub(super) struct NearCut<'a> {
    part: &'a Part,
    /// Where its hole is, or where it goes into an edge.
    pub at: Point,
    /// "the pilot hole of ..."
    bored: String,
    cut: String,
    /// Wood between the two, in mm; below 0 where they meet.
    web: f64,
}

/// The screws of one part that are too near to its cuts, of those of one joint beside one kind of cut the nearest.
pub(super) fn near_cuts(joined: &Joined, index: usize) -> Vec<NearCut<'_>> {
    let part = &joined.parts[index];
    let cuts = cut_edges(&part.region, &joined.blanks[index]);
    if cuts.is_empty() {
        return Vec::new();
    }
    let looked = Looked { joined, index, part, cuts };
    let holes = part.drillings.iter().filter(|d| of_screw(d.purpose));
    let holes = holes.filter_map(|d| looked.hole(d.at, d.diameter, d.purpose));
    let mut found: Vec<_> = holes.chain(looked.hidden()).collect();
    found.sort_by(|a, b| a.web.total_cmp(&b.web));
    found
}

fn of_screw(purpose: Purpose) -> bool {
    matches!(purpose, Purpose::Pilot | Purpose::Clearance)
}

/// One stop for each joint and kind of cut.
pub(super) fn told(near: &[NearCut<'_>], units: Units) -> Vec<Finding> {
    let mut firsts: Vec<&NearCut<'_>> = Vec::new();
    for one in near {
        if !firsts.iter().any(|first| first.bored == one.bored && first.cut == one.cut) {
            firsts.push(one);
        }
    }
    firsts.into_iter().map(|one| one.finding(units)).collect()
}

impl NearCut<'_> {
    fn finding(&self, units: Units) -> Finding {
        let Self { part, at, bored, cut, web } = self;
        let between = match *web {
            web if web > 0.0 => format!("{} of wood is left between", units.length(web)),
            web => format!("{} is shared by", units.length(-web)),
        };
        let message = format!(
            "{}: {between} {bored} at {} from the left, {} from the bottom and {cut}, and {} of wood must stay: \
             change the spacing of the screws, or make the holder larger.",
            part.name,
            units.length(at.x),
            units.length(at.y),
            units.length(LEAST_WEB_SCREW)
        );
        Finding::stop("screw-beside-cut", message)
    }
}

/// A part that is looked over.
struct Looked<'a> {
    joined: &'a Joined,
    index: usize,
    part: &'a Part,
    cuts: Vec<Segment>,
}

impl<'a> Looked<'a> {
    /// A hole, or the thicker shank that comes into it.
    fn hole(&self, at: Point, diameter: f64, purpose: Purpose) -> Option<NearCut<'a>> {
        let gap = nearest_cut(&self.cuts, spot(at))?;
        // No shank is twice as thick as its pilot hole.
        if !too_near(gap.width() - diameter) {
            return None;
        }
        let of = |joint: &&ScrewJoint| joint.screws.iter().any(|screw| self.goes(joint, screw, at));
        let joint = self.joined.screws.iter().find(of)?;
        let hole = format!("the {} hole of \"{}\"", purpose.word(), joint.about);
        let shank = format!("the screw of \"{}\"", joint.about);
        let bored = [(hole, diameter), (shank, joint.screw.shank())];
        bored.into_iter().find_map(|(bored, thick)| self.near(at, bored, gap, thick))
    }

    /// The screws that lie hidden in the part, gone in at its edges.
    fn hidden(&self) -> impl Iterator<Item = NearCut<'a>> + '_ {
        self.part.marks.iter().filter_map(|mark| {
            let MarkKind::EdgeScrew { from, to, screw } = mark.kind else { return None };
            let gap = nearest_cut(&self.cuts, Segment { start: from, end: to, bulge: 0.0 })?;
            if !too_near(gap.width() - screw.shank() / 2.0) {
                return None;
            }
            let of = |joint: &&ScrewJoint| joint.screws.iter().any(|s| self.enters(s, from));
            let about = self.joined.screws.iter().find(of).map_or("", |joint| &joint.about);
            self.near(from, format!("the screw of \"{about}\""), gap, screw.shank())
        })
    }

    fn near(&self, at: Point, bored: String, gap: Gap, thick: f64) -> Option<NearCut<'a>> {
        let web = gap.width() - thick / 2.0;
        too_near(web).then(|| NearCut { part: self.part, at, bored, cut: self.cut(gap.to), web })
    }

    /// Whether a screw goes square through a face of this part at `at`.
    fn goes(&self, joint: &ScrewJoint, screw: &Seated, at: Point) -> bool {
        let tip = along(screw, joint.length);
        self.part.places.iter().any(|place| {
            let ((from, start), (to, end)) = (place.to_piece(screw.head), place.to_piece(tip));
            let square = (from - to).hypot() <= COORDINATE && (from - at).hypot() <= COORDINATE;
            let within = start.min(end) < place.size[2] - COORDINATE && start.max(end) > COORDINATE;
            square && within
        })
    }

    /// Whether a screw goes into an edge of this part at `at`.
    fn enters(&self, screw: &Seated, at: Point) -> bool {
        let here = screw.into.is_some_and(|into| into.part == self.index && into.edge.is_some());
        let to = along(screw, screw.passed);
        let near = |place: &Placement| (place.to_piece(to).0 - at).hypot() <= COORDINATE;
        here && self.part.places.iter().any(near)
    }

    /// What a place on a cut edge belongs to: that of which an edge is nearest.
    fn cut(&self, at: Point) -> String {
        let nearest = self.edges(at).min_by(|(a, _), (b, _)| a.partial_cmp(b).unwrap_or(Equal));
        nearest.map_or_else(|| "the cut".to_owned(), |(_, name)| name)
    }

    /// How far a place is from the edges of all that is cut here, and what that is called: from as far as reliefs bite,
    /// then, of those that it is within reach of, from the edge itself.
    fn edges(&self, at: Point) -> impl Iterator<Item = ([f64; 2], String)> + '_ {
        let joints = self.joined.joints.iter().filter(|joint| joint.tabs != self.part.name);
        let mortises = joints.flat_map(move |joint| {
            let on = |place| joint.tabs_at.iter().filter_map(move |tab| opened(place, *tab));
            let own = self.part.places.iter().flat_map(on).map(move |rect| to_edge(rect, at));
            own.map(move |away| {
                let name = format!("the mortise for the tabs of {}", joint.tabs);
                ([(away - joint.opened_by).max(0.0), away], name)
            })
        });
        let other = |row: &&Row| {
            !matches!(
                row.feature,
                Feature::Hole { .. } | Feature::Pocket { .. } | Feature::Mortise { .. }
            )
        };
        let rows = self.part.rows.iter().filter(other);
        let others = rows.flat_map(move |row| {
            let aways = row.centers.iter().map(move |center| row.feature.to_edge(at - *center));
            aways.map(|away| ([away; 2], format!("the {}", row.feature.word())))
        });
        mortises.chain(others)
    }
}

fn too_near(web: f64) -> bool {
    web < LEAST_WEB_SCREW - COORDINATE
}

fn along(screw: &Seated, by: f64) -> Space {
    from_fn(|i| screw.head[i] + screw.ahead[i] * by)
}

/// Where a tab passes through a piece, in the piece's x and y.
fn opened(place: &Placement, (low, high): (Space, Space)) -> Option<Rect> {
    let ((a, one), (b, other)) = (place.to_piece(low), place.to_piece(high));
    let meets = one.min(other) < place.size[2] - COORDINATE && one.max(other) > COORDINATE;
    meets.then(|| Rect::from_points(a, b))
}

/// How far a place lies from the edge of a box, in mm.
fn to_edge(rect: Rect, at: Point) -> f64 {
    let half = rect.size().to_vec2() / 2.0;
    Feature::Window { length: 2.0 * half.x, width: 2.0 * half.y }.to_edge(at - rect.center())
}
