//! A part's cross sections parallel to its faces: alike through each layer, different where something milled ends.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::Point;

use super::ring::{Ring, RingPoint, ring};
use crate::holder::{Face, Part, Pocket, Purpose};
use crate::kernel::Contour;
use crate::tolerance::COORDINATE;

/// One polygon with its holes: counter-clockwise, the holes clockwise.
pub(super) type Shape2 = Vec<Ring>;

/// What is between two depths below the show face, in mm.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SliceLayer {
    pub from: f64,
    pub to: f64,
    pub shapes: Vec<Shape2>,
}

/// A face that lies at a depth, level with the part's faces.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LevelFace {
    pub depth: f64,
    /// Which way it looks.
    pub looks: Face,
    pub shapes: Vec<Shape2>,
}

/// The layers of a flat part from its show face to its back, and the faces between them. Points that lie on a side of
/// some ring are points of that ring, so that all fit together.
pub(super) fn layers(part: &Part) -> (Vec<SliceLayer>, Vec<LevelFace>) {
    let thickness = part.stock.thickness;
    let outline = part.region.contours().map(ring).collect::<Vec<Ring>>();
    let bores = part.drillings.iter().filter(|drilling| {
        drilling.purpose == Purpose::Tool && drilling.depth.is_none() && drilling.lean == 0.0
    });
    let bores: Vec<Ring> =
        bores.map(|bore| ring(&Contour::circle(bore.at, bore.diameter / 2.0))).collect();
    if bores.is_empty() && part.pockets.is_empty() {
        let shapes = vec![outline];
        let face = |depth, looks| LevelFace { depth, looks, shapes: shapes.clone() };
        let faces = vec![face(0.0, Face::Show), face(thickness, Face::Back)];
        return (vec![SliceLayer { from: 0.0, to: thickness, shapes }], faces);
    }
    let mut layers = sliced(part, &outline, &bores);
    let mut faces = faces(&layers, thickness);
    let all = layers.iter().flat_map(|layer| &layer.shapes);
    let all = all.chain(faces.iter().flat_map(|face| &face.shapes)).flatten().flatten();
    let mut points: Vec<RingPoint> = Vec::new();
    for point in all {
        match points.iter_mut().find(|known| near(known.at, point.at)) {
            Some(known) => known.sharp &= point.sharp,
            None => points.push(*point),
        }
    }
    let rings = layers.iter_mut().flat_map(|layer| &mut layer.shapes);
    let rings = rings.chain(faces.iter_mut().flat_map(|face| &mut face.shapes)).flatten();
    rings.for_each(|ring| *ring = conformed(ring, &points));
    (layers, faces)
}

/// The layers between the depths at which anything milled ends.
fn sliced(part: &Part, outline: &[Ring], bores: &[Ring]) -> Vec<SliceLayer> {
    let thickness = part.stock.thickness;
    let pockets: Vec<(&Pocket, Ring)> =
        part.pockets.iter().map(|pocket| (pocket, ring(&pocket.contour))).collect();
    let ends = |pocket: &Pocket| match pocket.face {
        Face::Show => [0.0, pocket.depth],
        Face::Back => [thickness - pocket.depth, thickness],
    };
    let mut depths: Vec<f64> = part.pockets.iter().flat_map(ends).collect();
    depths.extend([0.0, thickness]);
    depths.retain(|depth| (0.0..=thickness).contains(depth));
    depths.sort_by(f64::total_cmp);
    depths.dedup_by(|a, b| (*a - *b).abs() < COORDINATE);
    let layer = |pair: &[f64]| {
        let (from, to) = (pair[0], pair[1]);
        let milled = pockets.iter().filter(|(pocket, _)| {
            let [start, end] = ends(pocket);
            start < f64::midpoint(from, to) && f64::midpoint(from, to) < end
        });
        let gone: Vec<&Ring> = milled.map(|(_, ring)| ring).chain(bores).collect();
        SliceLayer { from, to, shapes: without(outline, &gone) }
    };
    depths.windows(2).map(layer).collect()
}

/// What of each layer is bare: toward the show face where nothing lies on it, toward the back where nothing lies under.
fn faces(layers: &[SliceLayer], thickness: f64) -> Vec<LevelFace> {
    let nothing = SliceLayer { from: 0.0, to: 0.0, shapes: Vec::new() };
    let above = std::iter::once(&nothing).chain(layers);
    let below = layers.iter().chain(std::iter::once(&nothing));
    above
        .zip(below)
        .flat_map(|(above, below)| {
            let depth = if below.shapes.is_empty() { thickness } else { below.from };
            let bare = |of: &SliceLayer, by: &SliceLayer| {
                let rings: Vec<Ring> = of.shapes.iter().flatten().cloned().collect();
                without(&rings, &by.shapes.iter().flatten().collect::<Vec<_>>())
            };
            [(Face::Show, bare(below, above)), (Face::Back, bare(above, below))]
                .map(|(looks, shapes)| LevelFace { depth, looks, shapes })
        })
        .filter(|face| !face.shapes.is_empty())
        .collect()
}

/// The polygons `of` without what lies in `gone`, by the nonzero rule: holes wind the other way.
fn without(of: &[Ring], gone: &[&Ring]) -> Vec<Shape2> {
    let plain = |ring: &Ring| ring.iter().map(|p| [p.at.x, p.at.y]).collect::<Vec<_>>();
    let known: Vec<RingPoint> = of.iter().chain(gone.iter().copied()).flatten().copied().collect();
    let point = |[x, y]: [f64; 2]| {
        let at = Point::new(x, y);
        let same = known.iter().find(|known| near(known.at, at));
        same.copied().unwrap_or(RingPoint { at, sharp: true })
    };
    let subject: Vec<Vec<[f64; 2]>> = of.iter().map(plain).collect();
    let clip: Vec<Vec<[f64; 2]>> = gone.iter().copied().map(plain).collect();
    let shapes = subject.overlay(&clip, OverlayRule::Difference, FillRule::NonZero);
    let ring = |contour: Vec<[f64; 2]>| contour.into_iter().map(point).collect::<Ring>();
    shapes.into_iter().map(|shape| shape.into_iter().map(ring).collect()).collect()
}

/// The ring by those of `points` that it runs through.
fn conformed(ring: &Ring, points: &[RingPoint]) -> Ring {
    let known =
        |point: &RingPoint| *points.iter().find(|known| near(known.at, point.at)).unwrap_or(point);
    let next = ring.iter().cycle().skip(1);
    ring.iter()
        .zip(next)
        .flat_map(|(from, to)| {
            let (from, to) = (known(from), known(to));
            let way = to.at - from.at;
            let share = |at: Point| (at - from.at).dot(way) / way.hypot2();
            let passed = points.iter().filter(|point| {
                let share = share(point.at);
                let inside = share > 0.0 && share < 1.0;
                let apart = !near(point.at, from.at) && !near(point.at, to.at);
                inside && apart && near(from.at.lerp(to.at, share), point.at)
            });
            let mut passed: Vec<RingPoint> = passed.copied().collect();
            passed.sort_by(|a, b| share(a.at).total_cmp(&share(b.at)));
            std::iter::once(from).chain(passed)
        })
        .collect()
}

fn near(a: Point, b: Point) -> bool {
    (a - b).hypot2() < COORDINATE * COORDINATE
}
