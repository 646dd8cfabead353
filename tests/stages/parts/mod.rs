//! Sample parts, built by hand.

use super::plain_part::plain_part;
use crate::holder::{
    Bevel, Drilling, Edge, EdgeName, Face, Feature, Grain, HoleBit, MadeBy, Mark, MarkKind, Part,
    Purpose, Row, SlotForm, Stock, StockKind,
};
use crate::kernel::{Contour, Region, Vertex};
use crate::length::Units;
use crate::shop::{Bit, BitKind, Screw};
use kurbo::{Point, Rect};

const IN: f64 = 25.4;

/// Tangent of a quarter of a quarter turn: the bulge of a rounded corner.
const CORNER: f64 = 0.414_213_562_373_095_03;

pub fn all() -> Vec<Part> {
    vec![
        arm(),
        shelf(),
        routed_shelf(),
        back(),
        nose_strip(),
        holder_cleat(),
        peg(),
        rail(),
        tongue_base(),
        peg_base(),
        spacer(),
        crowded(),
        long_rail(),
        studded(),
    ]
}

fn at(x: f64, y: f64) -> Point {
    Point::new(x * IN, y * IN)
}

fn rectangle(length: f64, width: f64) -> Contour {
    let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)];
    Contour::new(corners.map(|(x, y)| Vertex::line(x * IN, y * IN))).unwrap()
}

/// A plain rectangular part of 3/4 in sheet, sizes in inches.
fn plain(name: &str, about: &str, length: f64, width: f64) -> Part {
    let stock = Stock {
        name: "birch plywood 3/4".to_owned(),
        kind: StockKind::Sheet,
        thickness: 0.75 * IN,
        wood: "birch plywood".to_owned(),
        plies: None,
        density: 680.0,
    };
    let region = Region::new(rectangle(length, width), Vec::new());
    Part { about: about.to_owned(), ..plain_part(name, stock, region, 1) }
}

fn edge(edge: Edge, label: &str) -> EdgeName {
    EdgeName { edge, label: label.to_owned() }
}

fn mark(label: &str, kind: MarkKind) -> Mark {
    Mark { kind, label: label.to_owned() }
}

/// A hole of a diameter in inches.
fn hole(at: Point, purpose: Purpose, diameter: f64, kind: BitKind) -> Drilling {
    let diameter = diameter * IN;
    Drilling {
        at,
        diameter,
        depth: None,
        purpose,
        bit: HoleBit::AtHand(Bit { kind, diameter, units: Units::Inches }),
        face: Face::Show,
        lean: 0.0,
    }
}

/// A clearance hole with its countersink.
fn screw(at: Point) -> [Drilling; 2] {
    let sink = Drilling {
        depth: Some(0.1 * IN),
        bit: HoleBit::Countersink,
        ..hole(at, Purpose::Countersink, 0.375, BitKind::Drill)
    };
    [hole(at, Purpose::Clearance, 11.0 / 64.0, BitKind::Drill), sink]
}

/// A row of holes of a diameter in inches.
fn row(purpose: Purpose, diameter: f64, centers: Vec<Point>) -> Row {
    Row { feature: Feature::Hole { purpose, diameter: diameter * IN }, centers }
}

/// One of the two arms: both corners at the right rounded by 2 in.
pub fn arm() -> Part {
    let mut part = plain("arm", "stands out from the back; the clamp heads rest on it", 14.0, 12.0);
    let outline = [
        Vertex::line(0.0, 0.0),
        Vertex::arc(12.0 * IN, 0.0, CORNER),
        Vertex::line(14.0 * IN, 2.0 * IN),
        Vertex::arc(14.0 * IN, 10.0 * IN, CORNER),
        Vertex::line(12.0 * IN, 12.0 * IN),
        Vertex::line(0.0, 12.0 * IN),
    ];
    part.region = Region::new(Contour::new(outline).unwrap(), Vec::new());
    part.places.push(part.places[0]);
    part.edges = vec![
        edge(Edge::Left, "against the back"),
        edge(Edge::Right, "front edge"),
        edge(Edge::Top, "heads rest here"),
    ];
    let screw = Screw::numbered(8.0).unwrap();
    let screws = |y| MarkKind::EdgeScrew { from: at(0.0, y), to: at(1.25, y), screw };
    part.marks = [1.0, 4.333, 7.667, 11.0].map(|y| mark("", screws(y))).to_vec();
    let nose = Rect::from_points(at(13.0, 2.5), at(13.75, 4.5));
    part.marks.push(mark("nose strip", MarkKind::Footprint { area: nose, face: Face::Back }));
    part
}

/// Twelve slots open at the front, at 2 in pitch, their ends drilled and the rest sawn.
pub fn shelf() -> Part {
    let mut part = routed_shelf();
    part.name = "shelf".to_owned();
    part.made_by = MadeBy::Hand;
    let centers = part.rows[0].centers.clone();
    part.drillings =
        centers.iter().map(|c| hole(*c, Purpose::SlotEnd, 0.5, BitKind::Forstner)).collect();
    for center in centers {
        for side in [-0.25, 0.25] {
            let x = center.x + side * IN;
            let kind = MarkKind::Saw { from: Point::new(x, 0.0), to: Point::new(x, center.y) };
            part.marks.push(mark("", kind));
        }
    }
    part
}

/// The same by router: one contour.
pub fn routed_shelf() -> Part {
    let mut part = plain("routed-shelf", "bars slide in from the front", 26.0, 3.5);
    let slots = (0..12).map(|i| 2.0 + 2.0 * f64::from(i));
    let centers: Vec<Point> = slots.map(|x| at(x, 2.5)).collect();
    let mut outline = vec![Vertex::line(0.0, 0.0)];
    for center in &centers {
        let (left, right) = (center.x - 0.25 * IN, center.x + 0.25 * IN);
        outline.push(Vertex::line(left, 0.0));
        // Around the slot's end clockwise: the wood lies outside it.
        outline.push(Vertex::arc(left, center.y, -1.0));
        outline.push(Vertex::line(right, center.y));
        outline.push(Vertex::line(right, 0.0));
    }
    let corners = [(26.0, 0.0), (26.0, 3.5), (0.0, 3.5)];
    outline.extend(corners.map(|(x, y)| Vertex::line(x * IN, y * IN)));
    part.region = Region::new(Contour::new(outline).unwrap(), Vec::new());
    let feature = Feature::Slot { width: 0.5 * IN, form: SlotForm::Straight };
    part.rows = vec![Row { feature, centers }];
    part.edges = vec![edge(Edge::Bottom, "front edge"), edge(Edge::Top, "against the upright")];
    part.made_by = MadeBy::Router;
    part
}

/// 9 × 12 in, where two arms and the spacer between them land.
pub fn back() -> Part {
    let mut part = plain("back", "carries the arms, hangs on the cleat", 9.0, 12.0);
    part.grain = Grain::Width;
    let land = |x0, x1| MarkKind::Footprint {
        area: Rect::from_points(at(x0, 0.0), at(x1, 12.0)),
        face: Face::Show,
    };
    let center = MarkKind::Center { from: at(4.5, 0.0), to: at(4.5, 12.0) };
    let cleat = Rect::from_points(at(0.0, 9.5), at(9.0, 12.0));
    part.marks = vec![
        mark("arm", land(3.0, 3.75)),
        mark("gap-filler", land(3.75, 5.25)),
        mark("arm", land(5.25, 6.0)),
        mark("center line", center),
        mark("holder cleat", MarkKind::Footprint { area: cleat, face: Face::Back }),
    ];
    for x in [3.375, 5.625] {
        let centers: Vec<Point> = [1.0, 4.333, 7.667, 11.0].into_iter().map(|y| at(x, y)).collect();
        let from_back = |c: &Point| screw(*c).map(|d| Drilling { face: Face::Back, ..d });
        part.drillings.extend(centers.iter().map(|c| from_back(c)[0].clone()));
        part.rows.push(row(Purpose::Clearance, 11.0 / 64.0, centers));
    }
    part.edges = vec![edge(Edge::Top, "top"), edge(Edge::Bottom, "bottom")];
    part
}

pub fn nose_strip() -> Part {
    let mut part = plain("nose-strip", "keeps the arms parallel at the front", 1.5, 2.0);
    part.grain = Grain::Width;
    part
}

pub fn spacer() -> Part {
    let mut part = plain("gap-filler", "between the arms at the back", 1.5, 12.0);
    part.grain = Grain::Width;
    part.edges = vec![edge(Edge::Left, "arm"), edge(Edge::Bottom, "bottom edge, flush")];
    part
}

/// 9 × 2 1/2 in, beveled 45° along the bottom, three countersunk screws.
pub fn holder_cleat() -> Part {
    let mut part = plain("holder-cleat", "hooks over the wall cleat", 9.0, 2.5);
    part.bevel = Some(Bevel { edge: Edge::Bottom, angle: 45.0, full_face: Face::Show });
    let centers: Vec<Point> = [1.0, 4.5, 8.0].into_iter().map(|x| at(x, 1.5)).collect();
    part.drillings = centers.iter().flat_map(|c| screw(*c)).collect();
    part.rows = vec![row(Purpose::Clearance, 11.0 / 64.0, centers)];
    part.edges = vec![edge(Edge::Bottom, "hook"), edge(Edge::Top, "top edge")];
    part
}

pub fn peg() -> Part {
    let mut part = plain("peg", "the clamps loop over it", 13.0, 1.0);
    part.stock = Stock {
        name: "oak rod".into(),
        kind: StockKind::Dowel,
        thickness: IN,
        wood: "oak".into(),
        plies: None,
        density: 700.0,
    };
    let end = MarkKind::Scribe { from: at(0.75, 0.0), to: at(0.75, 1.0) };
    part.marks = vec![mark("up to here in the base", end)];
    part.edges = vec![edge(Edge::Left, "wall end"), edge(Edge::Right, "tip")];
    part
}

/// 48 in of wall cleat, a screw at each stud, the bevel leaning the other way.
pub fn rail() -> Part {
    let mut part = plain("rail", "screwed to the studs", 48.0, 3.5);
    part.bevel = Some(Bevel { edge: Edge::Top, angle: 30.0, full_face: Face::Show });
    let centers: Vec<Point> = [8.0, 24.0, 40.0].into_iter().map(|x| at(x, 1.25)).collect();
    part.drillings = centers.iter().flat_map(|c| screw(*c)).collect();
    part.rows = vec![row(Purpose::Clearance, 11.0 / 64.0, centers)];
    part
}

/// 94 1/2 in (2.4 m), full width on the back.
pub fn long_rail() -> Part {
    let mut part = rail();
    part.name = "long-rail".to_owned();
    part.region = Region::new(rectangle(94.5, 3.5), Vec::new());
    part.bevel = Some(Bevel { edge: Edge::Top, angle: 15.0, full_face: Face::Back });
    let centers: Vec<Point> = (0..24).map(|i| at(1.0 + 4.0 * f64::from(i), 1.25)).collect();
    part.drillings = [0, 8, 15, 23].into_iter().flat_map(|i: usize| screw(centers[i])).collect();
    part.rows = Vec::new();
    part
}

pub fn tongue_base() -> Part {
    let mut part = plain("tongue-base", "the tongue stands square on it", 5.5, 5.0);
    let foot = Rect::from_points(at(2.0, 1.5), at(3.5, 5.0));
    part.marks = vec![
        mark("tongue", MarkKind::Footprint { area: foot, face: Face::Show }),
        mark("center line", MarkKind::Center { from: at(2.75, 0.0), to: at(2.75, 5.0) }),
    ];
    let centers = vec![at(2.75, 2.0), at(2.75, 4.5)];
    part.drillings = centers
        .iter()
        .flat_map(|c| screw(*c).map(|d| Drilling { face: Face::Back, ..d }))
        .collect();
    part.drillings.retain(|d| d.purpose == Purpose::Clearance);
    part.rows = vec![row(Purpose::Clearance, 11.0 / 64.0, centers)];
    part.edges = vec![edge(Edge::Bottom, "bottom edge")];
    part
}

/// A base of three leaning pegs.
pub fn peg_base() -> Part {
    let mut part = plain("peg-base", "holds the pegs", 12.0, 5.0);
    let centers: Vec<Point> = [2.5, 6.0, 9.5].into_iter().map(|x| at(x, 2.5)).collect();
    part.drillings = centers
        .iter()
        .map(|c| Drilling { lean: 5.0, ..hole(*c, Purpose::Peg, 1.0, BitKind::Forstner) })
        .collect();
    part.rows = vec![row(Purpose::Peg, 1.0, centers)];
    part
}

/// Two long rows of countersunk screws.
pub fn studded() -> Part {
    let mut part = plain("studded", "joined to the backer all along", 30.0, 5.0);
    for y in [1.0, 4.0] {
        let centers: Vec<Point> = (0..15).map(|i| at(1.0 + 2.0 * f64::from(i), y)).collect();
        part.drillings.extend(centers.iter().flat_map(|c| screw(*c)));
        part.rows.push(row(Purpose::Clearance, 11.0 / 64.0, centers));
    }
    part
}

/// More than a small board should bear: small figures, long words, an opening, both faces.
pub fn crowded() -> Part {
    let mut part = plain("crowded", "a trial of the drawing rather than of the wood", 4.0, 3.0);
    let r = 0.25;
    let corners = [
        Vertex::line(r * IN, 0.0),
        Vertex::arc((4.0 - r) * IN, 0.0, CORNER),
        Vertex::line(4.0 * IN, r * IN),
        Vertex::arc(4.0 * IN, (3.0 - r) * IN, CORNER),
        Vertex::line((4.0 - r) * IN, 3.0 * IN),
        Vertex::arc(r * IN, 3.0 * IN, CORNER),
        Vertex::line(0.0, (3.0 - r) * IN),
        Vertex::arc(0.0, r * IN, CORNER),
    ];
    let window = [(1.5, 1.2), (2.5, 1.2), (2.5, 1.9), (1.5, 1.9)];
    let window = Contour::new(window.map(|(x, y)| Vertex::line(x * IN, y * IN))).unwrap();
    part.region = Region::new(Contour::new(corners).unwrap(), vec![window]);
    let xs = [0.3, 0.5, 0.7, 1.1, 1.2, 3.6];
    let centers: Vec<Point> = xs.into_iter().map(|x| at(x, 0.6)).collect();
    part.drillings = centers
        .iter()
        .map(|c| Drilling {
            depth: Some(0.5 * IN),
            ..hole(*c, Purpose::Pilot, 3.0 / 32.0, BitKind::Drill)
        })
        .collect();
    part.drillings.extend(screw(at(3.0, 2.4)));
    part.drillings.extend(screw(at(0.8, 2.4)));
    part.edges = vec![
        edge(Edge::Bottom, "the edge that lies on the bench while gluing up, not the other"),
        edge(Edge::Left, "against the wall"),
        edge(Edge::Right, "out"),
        edge(Edge::Top, "up"),
    ];
    part
}

/// A board of `length` by `width` mm with holes within it at shares of these, of a diameter in mm and a sort.
pub fn random(length: f64, width: f64, holes: &[(f64, f64, f64, usize)]) -> Part {
    let mut part = plain("random", "a trial of the drawing", length / IN, width / IN);
    let sorts = [Purpose::Pilot, Purpose::Clearance, Purpose::Peg, Purpose::Countersink];
    part.drillings = holes
        .iter()
        .map(|(x, y, diameter, sort)| {
            let diameter = (diameter / 4.0).round() * 4.0 + 2.0;
            let inset = diameter / 2.0 + 1.0;
            let place = |share: &f64, size: f64| inset + share * (size - 2.0 * inset);
            hole(
                Point::new(place(x, length), place(y, width)),
                sorts[*sort],
                diameter / IN,
                BitKind::Drill,
            )
        })
        .collect();
    part.edges = vec![edge(Edge::Bottom, "bottom edge"), edge(Edge::Left, "against the wall")];
    part.bevel = Some(Bevel { edge: Edge::Top, angle: 20.0, full_face: Face::Back });
    part
}
