//! DXF files read back by a reader of their own, the `dxf` crate, against figures by hand.
//!
//! The strict check of the files' form is in `tests/outside/test_dxf.py`.

use super::dxf_parts;

use std::f64::consts::PI;

use crate::export::dxf::{Dialect, Version, write_part};
use crate::holder::{Face, Part};
use crate::kernel::{Contour, Vertex};
use crate::length::Units;
use crate::milling::{JobBit, JobLayer, MillCut, MillPath, MillWork, part_jobs};
use crate::reading::Source;
use crate::shop::{RouterBits, RouterZero, Shop, read_shop};
use ::dxf::entities::{Entity, EntityType};
use ::dxf::enums::{AcadVersion, DrawingUnits, Units as FileUnits};
use geo::{Area, LineString, Polygon};
use kurbo::{Point, Rect};
use proptest::prelude::*;

const VERSIONS: [Version; 2] = [Version::R2000, Version::R12];

fn mm(version: Version) -> Dialect {
    Dialect { version, units: Units::Millimeters }
}

fn read(file: &str) -> dxf::Drawing {
    dxf::Drawing::load(&mut file.as_bytes()).unwrap()
}

/// A shop with a bit of 6 mm.
fn shop() -> Shop {
    read_shop(&Source::new("shop.toml", "units = \"mm\"\n[router]\nbit = 6\n".to_owned())).unwrap()
}

fn write(part: &Part, options: Dialect) -> String {
    let jobs = part_jobs(part, &shop());
    write_part(part, part.up(), &jobs.front, RouterZero::Corner, options)
}

fn written(part: &Part, options: Dialect) -> dxf::Drawing {
    read(&write(part, options))
}

/// The contours on a layer as x, y, bulge; every one must be closed.
fn contours(drawing: &dxf::Drawing, layer: &str) -> Vec<Vec<(f64, f64, f64)>> {
    let on_layer = drawing.entities().filter(|e| e.common.layer == layer);
    on_layer
        .map(|entity| match &entity.specific {
            EntityType::LwPolyline(line) => {
                assert!(line.is_closed());
                line.vertices.iter().map(|v| (v.x, v.y, v.bulge)).collect()
            }
            EntityType::Polyline(line) => {
                assert!(line.is_closed());
                line.vertices().map(|v| (v.location.x, v.location.y, v.bulge)).collect()
            }
            other => panic!("{other:?} on {layer}"),
        })
        .collect()
}

fn texts(drawing: &dxf::Drawing) -> Vec<String> {
    let text = |entity: &Entity| match &entity.specific {
        EntityType::Text(text) => Some(text.value.clone()),
        _ => None,
    };
    drawing.entities().filter_map(text).collect()
}

/// Area by the `geo` crate of a contour whose arcs are cut into short chords. The arc is found
/// from the definition in the DXF reference: "the bulge is the tangent of one fourth the included
/// angle for an arc segment", negative when clockwise from start to end.
fn area(contour: &[(f64, f64, f64)]) -> f64 {
    const CHORDS: usize = 4000;
    let next = contour.iter().cycle().skip(1);
    let points = contour.iter().zip(next).flat_map(|(&(x0, y0, bulge), &(x1, y1, _))| {
        let sweep = 4.0 * bulge.atan();
        let (dx, dy) = (x1 - x0, y1 - y0);
        let chords = if bulge == 0.0 { 1 } else { CHORDS };
        (0..chords).map(move |i| {
            // Inscribed angles: the chord from the start leans from the whole chord by half of
            // what is left of the sweep, and is as long as the sine of half of what is passed.
            let passed = sweep * i as f64 / CHORDS as f64;
            let (sin, cos) = (-(sweep - passed) / 2.0).sin_cos();
            let long = if bulge == 0.0 { 0.0 } else { (passed / 2.0).sin() / (sweep / 2.0).sin() };
            (x0 + long * (dx * cos - dy * sin), y0 + long * (dx * sin + dy * cos))
        })
    });
    Polygon::new(LineString::from(points.collect::<Vec<_>>()), vec![]).signed_area()
}

#[test]
fn areas_are_those_worked_out_by_hand() {
    let corner = 50.8 * 50.8 * (1.0 - PI / 4.0);
    let slot = 12.7 * 63.5 + PI * 6.35 * 6.35 / 2.0;
    let expected = [
        ("back", 228.6 * 304.8),
        ("arm", 406.4 * 304.8 - 2.0 * corner),
        ("shelf", 660.4 * 88.9 - 12.0 * slot),
        ("base", 240.0 * 127.0),
    ];
    for version in VERSIONS {
        for (part, (name, expected)) in dxf_parts::all().iter().zip(expected) {
            let drawing = written(part, mm(version));
            let [outline] = contours(&drawing, "CUT_OUTLINE").try_into().unwrap();
            assert_eq!(part.name, name);
            let got = area(&outline);
            assert!((got - expected).abs() < 0.01, "{name}: {got}, not {expected}");
        }
    }
}

#[test]
fn openings_are_clockwise_and_of_their_area() {
    // A circle through a corner, its middle on the diagonal: half of it lies beyond the chord
    // between the two sides, and beyond the corner's own triangle.
    let (radius, bite) = (3.2_f64, 3.2 * 2.0_f64.sqrt());
    let dog_bone = PI * radius * radius / 2.0 - bite * bite / 2.0;
    let expected = [-PI * 12.7 * 12.7, -(60.0 * 50.8 + 4.0 * dog_bone)];
    for version in VERSIONS {
        let openings = contours(&written(&dxf_parts::base(), mm(version)), "CUT_OPENING");
        let got: Vec<f64> = openings.iter().map(|contour| area(contour)).collect();
        for (got, expected) in got.iter().zip(expected) {
            assert!((got - expected).abs() < 0.01, "{got}, not {expected}");
        }
        assert_eq!(got.len(), 2);
    }
}

/// DXF reference: bulge = tan(sweep / 4), counter-clockwise positive.
#[test]
fn bulges_are_tangents_of_a_quarter_of_the_sweep() {
    for version in VERSIONS {
        let arm = contours(&written(&dxf_parts::arm(), mm(version)), "CUT_OUTLINE").remove(0);
        let corners: Vec<f64> = arm.iter().map(|v| v.2).filter(|b| *b != 0.0).collect();
        assert_eq!(corners.len(), 2);
        assert!(corners.iter().all(|b| (b - (PI / 8.0).tan()).abs() < 1e-9), "{corners:?}");
        let shelf = contours(&written(&dxf_parts::shelf(), mm(version)), "CUT_OUTLINE").remove(0);
        let ends: Vec<f64> = shelf.iter().map(|v| v.2).filter(|b| *b != 0.0).collect();
        assert_eq!(ends, vec![-1.0; 12]);
    }
}

#[test]
fn drillings_are_circles_on_a_layer_for_each_bit_and_depth() {
    for version in VERSIONS {
        let drawing = written(&dxf_parts::back(), mm(version));
        let circles: Vec<(String, f64, f64, f64)> = drawing
            .entities()
            .filter_map(|e| match &e.specific {
                EntityType::Circle(c) => {
                    Some((e.common.layer.clone(), c.center.x, c.center.y, c.radius))
                }
                _ => None,
            })
            .collect();
        // Its work is on the back alone: so the back is up, and left is right.
        let (clear, sink) = ("DRILL_D437_THRU", "SINK_D900_Z450");
        let expected = [
            (clear.to_owned(), 228.6 - 85.725, 50.8, 2.1828),
            (clear.to_owned(), 228.6 - 142.875, 50.8, 2.1828),
            (sink.to_owned(), 228.6 - 85.725, 50.8, 4.5),
            (sink.to_owned(), 228.6 - 142.875, 50.8, 4.5),
        ];
        assert_eq!(circles, expected);
    }
}

#[test]
fn layers_tell_what_the_machine_does() {
    let names = |part: &Part| {
        let drawing = written(part, mm(Version::R2000));
        drawing.layers().map(|l| l.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(names(&dxf_parts::shelf()), ["0", "DRILL_D1270_THRU", "CUT_OUTLINE", "NOTE"]);
    // Its leaning hole is for a drill press: the machine marks its middle.
    assert_eq!(names(&dxf_parts::base()), ["0", "MARK", "CUT_OPENING", "CUT_OUTLINE", "NOTE"]);
    assert_eq!(JobLayer::MarkBelow.name(), "MARK_BACK");
}

/// Three footprints side by side have twelve edges, of which two are shared.
#[test]
fn shared_edges_of_marks_are_drawn_once() {
    for version in VERSIONS {
        let drawing = written(&dxf_parts::back(), mm(version));
        let lines: Vec<_> = drawing
            .entities()
            .filter(|e| e.common.layer == "MARK_BACK")
            .filter_map(|e| match &e.specific {
                EntityType::Line(line) => Some((line.p1.clone(), line.p2.clone())),
                _ => None,
            })
            .collect();
        assert_eq!(lines.len(), 12 - 2 + 1);
        assert!(lines.iter().all(|(a, b)| (a.x, a.y) != (b.x, b.y)));
    }
}

#[test]
fn the_header_states_version_and_unit() {
    for (version, expected) in
        [(Version::R2000, AcadVersion::R2000), (Version::R12, AcadVersion::R12)]
    {
        let metric = written(&dxf_parts::arm(), mm(version)).header;
        assert_eq!(metric.version, expected);
        assert_eq!(metric.default_drawing_units, FileUnits::Millimeters);
        assert_eq!(metric.drawing_units, DrawingUnits::Metric);
        let inches = written(&dxf_parts::arm(), Dialect { version, units: Units::Inches }).header;
        assert_eq!(inches.default_drawing_units, FileUnits::Inches);
        assert_eq!(inches.drawing_units, DrawingUnits::English);
    }
}

/// 1 in = 25.4 mm exactly (international inch).
#[test]
fn inches_are_millimeters_over_25_4() {
    for version in VERSIONS {
        let metric = contours(&written(&dxf_parts::shelf(), mm(version)), "CUT_OUTLINE").remove(0);
        let options = Dialect { version, units: Units::Inches };
        let inches = contours(&written(&dxf_parts::shelf(), options), "CUT_OUTLINE").remove(0);
        assert_eq!(metric.len(), inches.len());
        for (m, i) in metric.iter().zip(&inches) {
            assert!((m.0 / 25.4 - i.0).abs() < 1e-9 && (m.1 / 25.4 - i.1).abs() < 1e-9);
            assert_eq!(m.2, i.2);
        }
    }
}

#[test]
fn notes_name_part_quantity_stock_and_thickness_and_stay_above_the_part() {
    for version in VERSIONS {
        let part = dxf_parts::arm();
        let drawing = written(&part, mm(version));
        let words = texts(&drawing).join("\n");
        for expected in ["arm, 2 pieces", "3/4 plywood, 18.3 mm thick", "true edges", "in mm"] {
            assert!(words.contains(expected), "{expected:?} is missing in {words}");
        }
        let above = drawing.entities().all(|e| match &e.specific {
            EntityType::Text(text) => text.location.x >= 0.0 && text.location.y > part.width(),
            _ => true,
        });
        assert!(above);
    }
}

#[test]
fn the_path_of_the_bit_is_drawn_as_given_and_named() {
    let part = dxf_parts::part("plain", dxf_parts::rectangle(240.0, 127.0), vec![], 1);
    let job = part_jobs(&part, &shop()).front.along_bit().unwrap();
    let file = write_part(&part, Face::Show, &job, RouterZero::Corner, mm(Version::R2000));
    let drawing = read(&file);
    let contour = contours(&drawing, "CUT_OUTLINE").remove(0);
    // Steiner: A + P d + pi d².
    let expected = 240.0 * 127.0 + 2.0 * (240.0 + 127.0) * 3.0 + PI * 9.0;
    assert!((area(&contour) - expected).abs() < 1e-3);
    assert!(texts(&drawing).iter().any(|words| words.contains("bit 6.00 mm across")));
}

/// The middle of the part at the zero.
#[test]
fn zero_may_be_the_middle() {
    let part = dxf_parts::arm();
    let jobs = part_jobs(&part, &shop());
    let file = write_part(&part, Face::Show, &jobs.front, RouterZero::Center, mm(Version::R2000));
    let contour = contours(&read(&file), "CUT_OUTLINE").remove(0);
    let (least, most) =
        contour.iter().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v.0), b.max(v.0)));
    assert!((least + 203.2).abs() < 1e-9 && (most - 203.2).abs() < 1e-9, "{least} {most}");
}

#[test]
fn the_same_part_gives_the_same_bytes_and_no_time_is_in_them() {
    for version in VERSIONS {
        for part in dxf_parts::all() {
            let file = write(&part, mm(version));
            assert_eq!(file, write(&part, mm(version)));
            assert!(!file.contains("$TD") && !file.contains("GUID"));
        }
    }
}

proptest! {
    /// DXF reference, R12: names of at most 31 letters, digits, `$`, `-` and `_`.
    #[test]
    fn layer_names_are_legal_in_r12(
        diameter in -1e9..1e9_f64,
        depth in proptest::option::of(-1e9..1e9_f64),
        bit in 0.1..80.0_f64,
        inner in 0..40_usize,
        work in 0..6_usize,
    ) {
        let work = [
            MillWork::Dowel { diameter },
            MillWork::Drill { diameter },
            MillWork::Sink { diameter },
            MillWork::Pocket,
            MillWork::Opening { inner },
            MillWork::Outline { inner },
        ][work];
        let path = MillPath::Circle { center: Point::ORIGIN, radius: 1.0 };
        let cut = MillCut { work, bit: JobBit::Joint, depth, path, piece: 0, bridges: vec![], clears: false };
        let bits = RouterBits { outline: bit, joint: bit };
        let legal = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit() || "$-_".contains(c);
        for name in [JobLayer::of(&cut, Some(bits)), JobLayer::of_bridge(depth)].map(JobLayer::name) {
            prop_assert!(name.len() <= 31 && name.chars().all(legal), "{}", name);
        }
    }

    /// Whatever the stock is called, the file stays whole: the words are one string of it.
    #[test]
    fn no_name_breaks_the_file(name in any::<String>(), label in any::<String>()) {
        let mut part = dxf_parts::back();
        part.stock.name = name;
        part.marks[0].label.push_str(&label);
        for version in VERSIONS {
            let file = write(&part, mm(version));
            prop_assert!(file.is_ascii());
            prop_assert!(file.split("\r\n").all(|line| line.len() <= 255
                && line.chars().all(|c| (' '..='~').contains(&c))));
            let plain = written(&dxf_parts::back(), mm(version)).entities().count();
            prop_assert_eq!(read(&file).entities().count(), plain);
        }
    }

    /// Corners of any radius keep their arcs: area of a rounded rectangle is
    /// length × width − (4 − π) r².
    #[test]
    fn rounded_rectangles_keep_their_area(
        length in 20.0..2000.0_f64, width in 20.0..2000.0_f64, share in 0.01..0.49_f64,
    ) {
        let radius = share * length.min(width);
        let quarter = (PI / 8.0).tan();
        let Rect { x1, y1, .. } = Rect::new(0.0, 0.0, length, width);
        let outline = Contour::new([
            Vertex::line(radius, 0.0),
            Vertex::arc(x1 - radius, 0.0, quarter),
            Vertex::line(x1, radius),
            Vertex::arc(x1, y1 - radius, quarter),
            Vertex::line(x1 - radius, y1),
            Vertex::arc(radius, y1, quarter),
            Vertex::line(0.0, y1 - radius),
            Vertex::arc(0.0, radius, quarter),
        ]);
        let part = dxf_parts::part("rounded", outline.unwrap(), vec![], 1);
        for version in VERSIONS {
            let contour = contours(&written(&part, mm(version)), "CUT_OUTLINE").remove(0);
            let expected = length * width - (4.0 - PI) * radius * radius;
            prop_assert!((area(&contour) - expected).abs() < 1.0);
            prop_assert!((area(&contour) / expected - 1.0).abs() < 1e-6);
        }
    }
}

#[test]
fn words_beyond_ascii_come_back_as_they_were() {
    let mut part = dxf_parts::arm();
    part.stock.name = "Érable ½ — Ø 20".to_owned();
    for version in VERSIONS {
        let words = texts(&written(&part, mm(version)));
        assert!(words.iter().any(|w| w.starts_with("Érable ½ — Ø 20, ")), "{words:?}");
    }
}
