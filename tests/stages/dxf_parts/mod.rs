//! A few parts as the styles make them, built by hand.

use super::plain_part::plain_part;
use crate::holder::{
    Bevel, Drilling, Edge, Face, HoleBit, MadeBy, Mark, MarkKind, Part, Purpose, Stock, StockKind,
};
use crate::kernel::{Contour, Region, Vertex};
use kurbo::{Point, Rect};

/// Bulge of a quarter turn: tan(90°/4).
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

pub fn all() -> Vec<Part> {
    vec![back(), arm(), shelf(), base()]
}

/// A plain rectangle with a center line, footprints side by side and screw holes from the back.
pub fn back() -> Part {
    let (length, width) = (228.6, 304.8);
    let landing = |x0, x1, label: &str| Mark {
        kind: MarkKind::Footprint { area: Rect::new(x0, 0.0, x1, width), face: Face::Show },
        label: label.to_owned(),
    };
    let hole = |x, y, diameter, depth, purpose| Drilling {
        face: Face::Back,
        ..drilling(x, y, diameter, depth, purpose)
    };
    Part {
        drillings: vec![
            hole(85.725, 50.8, 4.3656, None, Purpose::Clearance),
            hole(85.725, 50.8, 9.0, Some(4.5), Purpose::Countersink),
            hole(142.875, 50.8, 4.3656, None, Purpose::Clearance),
            hole(142.875, 50.8, 9.0, Some(4.5), Purpose::Countersink),
        ],
        marks: vec![
            landing(76.2, 95.25, "arm"),
            landing(95.25, 133.35, "gap-filler"),
            landing(133.35, 152.4, "arm"),
            Mark {
                kind: MarkKind::Center {
                    from: Point::new(length / 2.0, 0.0),
                    to: Point::new(length / 2.0, width),
                },
                label: "center".to_owned(),
            },
        ],
        ..part("back", rectangle(length, width), vec![], 1)
    }
}

/// Both front corners rounded.
pub fn arm() -> Part {
    let (length, width, radius) = (406.4, 304.8, 50.8);
    let outline = Contour::new([
        Vertex::line(0.0, 0.0),
        Vertex::arc(length - radius, 0.0, QUARTER),
        Vertex::line(length, radius),
        Vertex::arc(length, width - radius, QUARTER),
        Vertex::line(length - radius, width),
        Vertex::line(0.0, width),
    ]);
    Part {
        bevel: Some(Bevel { edge: Edge::Top, angle: 45.0, full_face: Face::Show }),
        ..part("arm", outline.unwrap(), vec![], 2)
    }
}

/// Twelve slots of 1/2 in open at the front, with their drilled ends.
pub fn shelf() -> Part {
    let (length, width, pitch, half, depth) = (660.4, 88.9, 50.8, 6.35, 63.5);
    let centers = (0..12).map(|i| 50.8 + pitch * f64::from(i));
    let slots = centers.clone().flat_map(|x| {
        [
            Vertex::line(x - half, 0.0),
            Vertex::arc(x - half, depth, -1.0),
            Vertex::line(x + half, depth),
            Vertex::line(x + half, 0.0),
        ]
    });
    let ends = [Vertex::line(length, 0.0), Vertex::line(length, width), Vertex::line(0.0, width)];
    let outline =
        Contour::new(std::iter::once(Vertex::line(0.0, 0.0)).chain(slots).chain(ends)).unwrap();
    let drillings =
        centers.map(|x| drilling(x, depth, 2.0 * half, None, Purpose::SlotEnd)).collect();
    Part { drillings, ..part("shelf", outline, vec![], 1) }
}

/// A round opening and a square one with dog-bones, and a leaning hole for a peg.
pub fn base() -> Part {
    let circle = Contour::circle(Point::new(50.0, 63.5), 12.7);
    let opening = dog_boned(Rect::new(100.0, 38.1, 160.0, 88.9), 3.2);
    let peg = Drilling { lean: 5.0, ..drilling(200.0, 63.5, 25.4, Some(12.0), Purpose::Peg) };
    Part {
        stock: Stock { name: "Birch ply <\"½\" & thin>\n2nd %%d".to_owned(), ..stock() },
        drillings: vec![peg],
        ..part("base", rectangle(240.0, 127.0), vec![circle, opening], 1)
    }
}

/// A rectangle whose corners are opened by circles of `radius` through them.
fn dog_boned(rect: Rect, radius: f64) -> Contour {
    let bite = radius * std::f64::consts::SQRT_2;
    let Rect { x0, y0, x1, y1 } = rect;
    Contour::new([
        Vertex::line(x0 + bite, y0),
        Vertex::arc(x1 - bite, y0, 1.0),
        Vertex::line(x1, y0 + bite),
        Vertex::arc(x1, y1 - bite, 1.0),
        Vertex::line(x1 - bite, y1),
        Vertex::arc(x0 + bite, y1, 1.0),
        Vertex::line(x0, y1 - bite),
        Vertex::arc(x0, y0 + bite, 1.0),
    ])
    .unwrap()
}

pub fn rectangle(length: f64, width: f64) -> Contour {
    let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)];
    Contour::new(corners.map(|(x, y)| Vertex::line(x, y))).unwrap()
}

pub fn drilling(x: f64, y: f64, diameter: f64, depth: Option<f64>, purpose: Purpose) -> Drilling {
    Drilling {
        at: Point::new(x, y),
        diameter,
        depth,
        purpose,
        bit: HoleBit::Wanting(diameter),
        face: Face::Show,
        lean: 0.0,
    }
}

pub fn part(name: &str, outline: Contour, openings: Vec<Contour>, quantity: usize) -> Part {
    let part = plain_part(name, stock(), Region::new(outline, openings), quantity);
    Part { made_by: MadeBy::Router, ..part }
}

fn stock() -> Stock {
    Stock {
        name: "3/4 plywood".to_owned(),
        kind: StockKind::Sheet,
        thickness: 18.3,
        wood: "birch plywood".to_owned(),
        plies: None,
        density: 680.0,
    }
}
