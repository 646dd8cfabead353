//! A style that does not come with the program: every shape there is, with a group of its own,
//! from a folder given by hand and from a project's `styles` folder. No Rust is needed for it.

use crate::Inputs;
use crate::holder::{HardwareKind, Holder, MarkKind, Purpose, build};
use crate::reading::Source;
use crate::style::{HolderFile, Library};
use kurbo::Point;

use super::{IN, near, part, shop, stops};

/// A rack for mallets: a shelf with keyholes, and a bracket that sits in its window.
pub const STYLE: &str = include_str!("mallet-rack.toml");

/// The group it includes.
pub const GROUP: &str = include_str!("rubber.toml");

const HOLDER: &str = include_str!("rack.toml");

const SHOP: &str = "units = \"in\"\n\
    [[sheet]]\nname = \"ply\"\nthickness = \"3/4\"\nlength = 96\nwidth = 48\nwood = \"birch plywood\"\n\
    [bits]\ndrill = [\"7/64\", \"3/16\", \"1/4\", \"3/8\", \"1/2\"]\n\
    forstner = [\"1/2\", \"3/4\", \"1 1/4\"]\n\
    [router]\nbit = \"1/4\"\n[cleat]\nfrom = \"ply\"\n";

/// The built-in styles and the mallet rack, whose files are given.
pub fn library(style: &str, group: &str) -> Library {
    let inputs = Inputs::new().with("styles/mallet-rack.toml", style);
    Library::with(&inputs.with("styles/groups/rubber.toml", group))
}

fn rack(made_by: &str) -> Holder {
    let library = library(STYLE, GROUP);
    let text = format!("{HOLDER}[choices]\nmade_by = \"{made_by}\"\n");
    let file = HolderFile::read(Source::new("rack.toml", text), "rack", &library).unwrap();
    build(&file, &shop(SHOP)).unwrap()
}

/// Area of a circle's part beyond a chord that sees the middle under `half` radians either way.
fn segment(radius: f64, half: f64) -> f64 {
    radius * radius * (half - half.sin() * half.cos())
}

/// The shelf's area in square inches, worked out by hand, with square inside corners.
fn area_by_hand() -> f64 {
    let pi = std::f64::consts::PI;
    let blank = 13.0 * 6.0 - 0.5 - 2.0 * 0.25 * (1.0 - pi / 4.0);
    // Three keyholes: a 1 1/4 in eye 3 in up, and a 3/4 in slot from it to the edge.
    let reach = (0.625_f64.powi(2) - 0.375_f64.powi(2)).sqrt();
    let eye = pi * 0.625_f64.powi(2) - segment(0.625, (0.375_f64 / 0.625).asin());
    let keyhole = eye + 0.75 * (3.0 - reach);
    let closed = 2.0 * 0.375 + pi * 0.1875_f64.powi(2);
    blank - 3.0 * keyhole - closed - 0.75 * 1.5 - 2.0 * 0.5 - pi * 0.0625
}

#[test]
fn by_hand_its_shapes_are_those_it_says() {
    let rack = rack("hand");
    assert!(stops(&rack).is_empty(), "{:?}", rack.findings);
    let shelf = part(&rack, "shelf");
    near(shelf.length() / IN, 13.0);
    near(shelf.region.area() / IN / IN, area_by_hand());
    assert_eq!(shelf.region.openings().len(), 3);
    let count = |purpose| shelf.drillings.iter().filter(|d| d.purpose == purpose).count();
    // Each slot is drilled at its end and sawn along both sides.
    assert_eq!(count(Purpose::SlotEnd), 4);
    assert_eq!(count(Purpose::Clearance), 4);
    assert_eq!(count(Purpose::Peg), 2);
    let saws = shelf.marks.iter().filter(|m| matches!(m.kind, MarkKind::Saw { .. })).count();
    assert_eq!(saws, 8);
    assert_eq!(part(&rack, "bracket").quantity(), 2);
    let pads = rack
        .hardware
        .iter()
        .find(|h| matches!(&h.what, HardwareKind::Named { item, .. } if item == "rubber pad"))
        .unwrap();
    assert_eq!(pads.quantity, 6);
    assert!(rack.steps.iter().any(|step| step.text == "Glue 6 pads on."));
    assert!(super::space::faults(&rack).is_empty(), "{:?}", super::space::faults(&rack));
}

/// By router the corners of the seats are opened so that square wood fits in fully.
#[test]
fn by_router_its_seats_are_relieved() {
    let rack = rack("router");
    assert!(stops(&rack).is_empty(), "{:?}", rack.findings);
    let shelf = part(&rack, "shelf");
    assert!(!shelf.drillings.iter().any(|d| d.purpose == Purpose::SlotEnd));
    assert!(shelf.region.area() / IN / IN < area_by_hand() - 1e-3);
    // Beside each corner, half a millimeter beyond the wall that rises from it, there is wood by
    // hand and air by router: the bit's circle through the corner reaches r (1 - sqrt(1/2)) =
    // 0.93 mm past the wall, r sqrt(1/2) = 2.2 mm from the corner.
    let corners = [
        (10.75, 3.5, -0.5, 2.2),
        (11.5, 3.5, 0.5, 2.2),
        (11.5, 5.0, 0.5, -2.2),
        (10.75, 5.0, -0.5, -2.2),
        (5.5, 5.5, -0.5, 2.2),
        (7.5, 5.5, 0.5, 2.2),
    ];
    let hand = self::rack("hand");
    for (x, y, beyond, along) in corners {
        let at = Point::new(x * IN + beyond, y * IN + along);
        assert!(part(&hand, "shelf").region.contains(at), "{x}, {y} by hand");
        assert!(!shelf.region.contains(at), "{x}, {y} by router");
    }
}

#[test]
fn without_a_router_there_is_no_relief() {
    let library = library(STYLE, GROUP);
    let text = format!("{HOLDER}[choices]\nmade_by = \"router\"\n");
    let file = HolderFile::read(Source::new("rack.toml", text), "rack", &library).unwrap();
    let shed = shop(&SHOP.replace("[router]\nbit = \"1/4\"\n", ""));
    let rack = build(&file, &shed).unwrap();
    assert!(stops(&rack).iter().any(|f| f.code == "no-router"), "{:?}", rack.findings);
}
