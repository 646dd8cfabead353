//! Where parts are in space, worked out anew from what the directions mean.

use crate::holder::{Facing, Holder, Joint, MarkKind, Part, Placement, Purpose};
use crate::style::Face;
use kurbo::Point;

use super::volume;

/// Right, up and out of the wall.
pub type Space = [f64; 3];

/// Closer than this is touching, in mm.
const TOUCHING: f64 = 1e-3;

/// The point `(x, y)` of a piece, `depth` below its show face. Worked out case by case from what
/// each direction says of length and width, not from the program's frames.
pub fn in_space(place: &Placement, point: Point, depth: f64) -> Space {
    let [length, width, thickness] = place.size;
    let [x0, y0, z0] = place.at;
    let (x, y) =
        if place.half_turn { (length - point.x, width - point.y) } else { (point.x, point.y) };
    let level = match place.faces {
        // The wall is behind: length runs right, width up, depth toward the wall.
        Facing::Front => [x0 + x, y0 + y, z0 + thickness - depth],
        // Seen from the wall: length runs left.
        Facing::Back => [x0 + length - x, y0 + y, z0 + depth],
        // From above: width runs to the wall.
        Facing::Up => [x0 + x, y0 + thickness - depth, z0 + width - y],
        Facing::Down => [x0 + x, y0 + depth, z0 + y],
        // From the left: length runs away from the wall.
        Facing::Left => [x0 + depth, y0 + y, z0 + x],
        Facing::Right => [x0 + thickness - depth, y0 + y, z0 + length - x],
    };
    if place.tilt == 0.0 {
        return level;
    }
    // Turned about its near lower edge: what was out goes up, what was up goes back.
    let (sin, cos) = place.tilt.to_radians().sin_cos();
    let (up, out) = (level[1] - y0, level[2] - z0);
    [level[0], y0 + up * cos + out * sin, z0 + out * cos - up * sin]
}

/// The box a piece fills, for pieces that do not tilt.
pub fn filled(place: &Placement) -> (Space, Space) {
    let [length, width, thickness] = place.size;
    let a = in_space(place, Point::ORIGIN, 0.0);
    let b = in_space(place, Point::new(length, width), thickness);
    (std::array::from_fn(|i| a[i].min(b[i])), std::array::from_fn(|i| a[i].max(b[i])))
}

/// What is inconsistent in how the holder's parts sit and are drilled.
pub fn faults(holder: &Holder) -> Vec<String> {
    let mut faults = Vec::new();
    sizes(holder, &mut faults);
    overlaps(holder, &mut faults);
    screws(holder, &mut faults);
    apart(holder, &mut faults);
    faults
}

/// No screw touches another: points along the one are held against the whole of the other.
fn apart(holder: &Holder, faults: &mut Vec<String>) {
    let all: Vec<(Space, Space, f64, &str)> = holder
        .screws
        .iter()
        .flat_map(|joint| {
            joint.screws.iter().map(|s| {
                let tip = std::array::from_fn(|i| s.head[i] + s.ahead[i] * joint.length);
                (s.head, tip, joint.screw.shank(), joint.about.as_str())
            })
        })
        .collect();
    let minus = |a: Space, b: Space| -> Space { std::array::from_fn(|i| a[i] - b[i]) };
    let dot = |a: Space, b: Space| -> f64 { (0..3).map(|i| a[i] * b[i]).sum() };
    for (i, (head, tip, thick, about)) in all.iter().enumerate() {
        let points = (0..=20).map(|n| f64::from(n) / 20.0);
        let points: Vec<Space> =
            points.map(|t| std::array::from_fn(|k| head[k] + (tip[k] - head[k]) * t)).collect();
        for (from, to, other, of) in &all[i + 1..] {
            let way = minus(*to, *from);
            let nearest = points.iter().map(|point| {
                let off = minus(*point, *from);
                let along = (dot(off, way) / dot(way, way)).clamp(0.0, 1.0);
                let off: Space = std::array::from_fn(|k| off[k] - way[k] * along);
                dot(off, off).sqrt()
            });
            let nearest = nearest.fold(f64::INFINITY, f64::min);
            if nearest < (thick + other) / 2.0 {
                faults.push(format!("screws of {about} and {of} are {nearest} mm apart"));
            }
        }
    }
}

fn pieces(holder: &Holder) -> impl Iterator<Item = (&Part, &Placement)> {
    holder.parts.iter().flat_map(|part| part.places.iter().map(move |place| (part, place)))
}

/// A piece fills a box of its own size, and the holder is as large as its boxes.
fn sizes(holder: &Holder, faults: &mut Vec<String>) {
    let (mut low, mut high) = ([f64::MAX; 3], [f64::MIN; 3]);
    let mut tilted = false;
    for (part, place) in pieces(holder) {
        let size = [part.length(), part.width(), part.stock.thickness];
        if (0..3).any(|i| (size[i] - place.size[i]).abs() > TOUCHING) {
            faults.push(format!("{} is {size:?} and fills {:?}", part.name, place.size));
        }
        tilted |= place.tilt != 0.0;
        let (near, far) = filled(place);
        low = std::array::from_fn(|i| low[i].min(near[i]));
        high = std::array::from_fn(|i| high[i].max(far[i]));
    }
    // How far it stands out is counted from the wall.
    let size = [high[0] - low[0], high[1] - low[1], high[2]];
    if !tilted && (0..3).any(|i| (size[i] - holder.size[i]).abs() > TOUCHING) {
        faults.push(format!("the holder is {:?}, its boxes {size:?}", holder.size));
    }
    if low[2] < -TOUCHING && !tilted {
        faults.push(format!("a part lies {} inside the wall", -low[2]));
    }
}

/// Pieces may share no wood; one may stand in an opening, a notch or a peg hole of another.
fn overlaps(holder: &Holder, faults: &mut Vec<String>) {
    let straight: Vec<_> = pieces(holder).filter(|(_, place)| place.tilt == 0.0).collect();
    for (i, (part, place)) in straight.iter().enumerate() {
        for (other, beside) in &straight[i + 1..] {
            // A peg passes through its base, and a press fit squeezes wood.
            let bored = |through: &Part, rod: &Part| {
                rod.is_round() && through.drillings.iter().any(|d| d.purpose == Purpose::Peg)
            };
            let pressed = holder.joints.iter().any(|joint| {
                joint.clearance < 0.0 && (joint.tabs == part.name || joint.tabs == other.name)
            });
            if bored(part, other) || bored(other, part) || pressed {
                continue;
            }
            let volume = volume::shared((part, place), (other, beside));
            if volume > volume::NOTHING + sanded_off(holder, part) + sanded_off(holder, other) {
                faults.push(format!("{} and {} share {volume:.6} mm³", part.name, other.name));
            }
        }
    }
}

/// How much of a part's tabs is sanded off before anything comes there, in mm³.
fn sanded_off(holder: &Holder, part: &Part) -> f64 {
    let tabs = holder.joints.iter().filter(|joint| joint.tabs == part.name);
    let volume = |joint: &Joint| joint.proud * joint.width * joint.count as f64;
    tabs.map(volume).sum::<f64>() * part.stock.thickness
}

/// A hole in space: where it opens on a face, and which way it runs.
struct Hole {
    at: Space,
    axis: usize,
}

impl Hole {
    /// Whether the other hole opens at the same place and runs the same way.
    fn meets(&self, other: &Self) -> bool {
        let apart: f64 = (0..3).map(|i| (self.at[i] - other.at[i]).powi(2)).sum();
        self.axis == other.axis && apart.sqrt() <= TOUCHING
    }
}

pub fn axis(faces: Facing) -> usize {
    match faces {
        Facing::Left | Facing::Right => 0,
        Facing::Up | Facing::Down => 1,
        Facing::Front | Facing::Back => 2,
    }
}

fn hole(place: &Placement, at: Point, depth: f64) -> Hole {
    Hole { at: in_space(place, at, depth), axis: axis(place.faces) }
}

/// Every lead hole and every edge a screw enters lies where a clearance hole comes out, in at
/// least one piece of the part; every clearance hole comes out at wood that takes the screw, or
/// at the wall.
fn screws(holder: &Holder, faults: &mut Vec<String>) {
    let mut clear = Vec::new();
    let mut takes = Vec::new();
    for (part, place) in pieces(holder) {
        let thickness = place.size[2];
        for drilling in &part.drillings {
            let entry = match drilling.face {
                Face::Show => 0.0,
                Face::Back => thickness,
            };
            match drilling.purpose {
                Purpose::Clearance => {
                    let ends = [0.0, thickness].map(|depth| hole(place, drilling.at, depth));
                    clear.push((part, entry, thickness, ends));
                }
                Purpose::Pilot => takes.push((part, hole(place, drilling.at, entry))),
                _ => {}
            }
        }
        for mark in &part.marks {
            if let MarkKind::EdgeScrew { from, to, .. } = mark.kind {
                let way = (in_space(place, from, 0.0), in_space(place, to, 0.0));
                let along = (0..3).max_by(|i, j| {
                    let run = |k: usize| (way.0[k] - way.1[k]).abs();
                    run(*i).total_cmp(&run(*j))
                });
                takes.push((
                    part,
                    Hole { at: in_space(place, from, thickness / 2.0), axis: along.unwrap() },
                ));
            }
        }
    }
    for part in &holder.parts {
        let wanted: Vec<&Hole> =
            takes.iter().filter(|(p, _)| p.name == part.name).map(|(_, h)| h).collect();
        let met = wanted
            .iter()
            .filter(|h| clear.iter().any(|(_, _, _, ends)| ends.iter().any(|e| e.meets(h))))
            .count();
        if met * part.quantity() < wanted.len() {
            faults.push(format!(
                "{}: {} of {} screws have no clearance hole",
                part.name,
                wanted.len() - met,
                wanted.len()
            ));
        }
    }
    for (part, entry, thickness, ends) in &clear {
        let exit = if *entry > 0.0 { &ends[0] } else { &ends[1] };
        let beyond = clear.iter().any(|(other, .., others)| {
            other.name != part.name && others.iter().any(|e| e.meets(exit))
        });
        let at_wall = exit.axis == 2 && exit.at[2].abs() <= TOUCHING;
        if !at_wall && !beyond && !takes.iter().any(|(_, h)| h.meets(exit)) {
            faults.push(format!(
                "{}: a clearance hole at {:?} comes out at nothing ({thickness} thick)",
                part.name, exit.at
            ));
        }
    }
}

/// The looking itself: a part moved, drilled elsewhere or made larger is found.
#[test]
fn what_does_not_fit_is_found() {
    let measures = "bar_thickness = \"3/8\"\nhead_width = 4\nstack_count = 2\nstack_depth = 4\n\
                    tool_length = 40\ntool_mass = \"3 kg\"";
    let good = super::made(&super::text("twin-arm", measures, ""), &super::usual_shop());
    assert_eq!(faults(&good), Vec::<String>::new());
    let spoilt = |spoil: &dyn Fn(&mut Holder)| {
        let mut holder = good.clone();
        spoil(&mut holder);
        faults(&holder)
    };
    let index = |name: &str| good.parts.iter().position(|part| part.name == name).unwrap();
    let (arm, back, cleat) = (index("arm"), index("back"), index("holder-cleat"));
    assert!(!spoilt(&|h| h.parts[arm].places[0].at[0] += 1.0).is_empty());
    assert!(!spoilt(&|h| h.parts[arm].places[0].at[2] -= 1.0).is_empty());
    assert!(!spoilt(&|h| h.parts[cleat].drillings[0].at.x += 1.0).is_empty());
    assert!(!spoilt(&|h| h.size[2] += 1.0).is_empty());
    let pilot =
        good.parts[back].drillings.iter().position(|d| d.purpose == Purpose::Pilot).unwrap();
    assert!(!spoilt(&|h| h.parts[back].drillings[pilot].at.y += 1.0).is_empty());
    assert!(!spoilt(&|h| h.parts[arm].marks.clear()).is_empty());
}
