//! Patterns of parts as the styles make them, invented for a boat-repair shed: drawn, written as
//! SVG, rendered, and measured.

use super::parts;

use crate::drawing::{
    Anchor, Drawing, Item, Line, Path, PatternNotes, Text, cap_height, pattern, text_width,
};
use crate::export::svg;
use crate::holder::Part;
use crate::kernel::Segment;
use crate::length::Units;
use kurbo::{Point, Rect};
use proptest::prelude::*;
use resvg::{tiny_skia, usvg};

const TITLE: &str = "Sash clamps, long";

/// The pattern of a part by itself: its pieces without letters, its holder without tools.
fn drawn(part: &Part, units: Units, holder_title: &str) -> Drawing {
    pattern(part, units, PatternNotes { holder_title, ..PatternNotes::default() })
}

fn each(mut check: impl FnMut(&str, &Part, &Drawing)) {
    for part in parts::all() {
        for units in [Units::Inches, Units::Millimeters] {
            let name = format!("{}-{}", part.name, units.symbol());
            check(&name, &part, &drawn(&part, units, TITLE));
        }
    }
}

/// A text's box from baseline to the top of a capital, from the face's own figures.
fn text_box(text: &Text) -> Rect {
    let width = text_width(&text.text, text.size, text.bold);
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let turn =
        kurbo::Affine::translate(text.at.to_vec2()) * kurbo::Affine::rotate(text.turn.to_radians());
    let area = Rect::new(start, 0.0, start + width, cap_height(text.size));
    turn.transform_rect_bbox(area)
}

fn texts(drawing: &Drawing) -> Vec<(&Text, Rect)> {
    let texts = drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some((text, text_box(text))),
        _ => None,
    });
    texts.collect()
}

/// Points along every stroke, at most 0.25 mm apart.
fn points(drawing: &Drawing) -> Vec<(Line, Point)> {
    let along = |s: Segment| {
        let points = std::iter::once(s.start).chain(s.flatten(0.01)).collect::<Vec<_>>();
        let steps = points.windows(2).flat_map(|w| {
            let count = ((w[1] - w[0]).hypot() / 0.25).ceil() as i32;
            (0..=count)
                .map(|i| w[0].lerp(w[1], f64::from(i) / f64::from(count.max(1))))
                .collect::<Vec<_>>()
        });
        steps.collect::<Vec<_>>()
    };
    let strokes = drawing.items.iter().flat_map(|item| match item {
        Item::Stroke { line, path } => {
            let segments: Vec<Segment> = match path {
                Path::Closed(contour) => contour.segments().collect(),
                Path::Circle { center, radius } => {
                    crate::kernel::Contour::circle(*center, *radius).segments().collect()
                }
                Path::Open(vertices) => vertices
                    .windows(2)
                    .map(|w| Segment { start: w[0].at, end: w[1].at, bulge: w[0].bulge })
                    .collect(),
            };
            segments.into_iter().flat_map(along).map(|p| (*line, p)).collect()
        }
        Item::Fill(contour) => {
            contour.segments().flat_map(along).map(|p| (Line::Dimension, p)).collect::<Vec<_>>()
        }
        Item::Shade(_) | Item::Text(_) => Vec::new(),
    });
    strokes.collect()
}

#[test]
fn text_is_never_clipped_overlapped_or_crossed() {
    each(|name, _, drawing| check_texts(name, drawing, |_| true));
}

/// Holes anywhere on boards of any size, some on top of one another: where no room is left a
/// letter may lie over a thin line, but never on another text nor over an edge to cut.
#[test]
fn text_keeps_clear_on_random_boards() {
    let size = (40.0..600.0, 30.0..300.0);
    let holes = proptest::collection::vec((0.0..1.0, 0.0..1.0, 1.0..25.0, 0..4_usize), 0..40);
    let config = ProptestConfig { cases: 32, failure_persistence: None, ..Default::default() };
    proptest!(config, |((length, width) in size, holes in holes, mm in any::<bool>())| {
        let part = parts::random(length, width, &holes);
        let units = if mm { Units::Millimeters } else { Units::Inches };
        check_texts("random", &drawn(&part, units, TITLE), is_cut);
    });
}

fn is_cut(line: Line) -> bool {
    matches!(line, Line::Outline | Line::Opening | Line::Drilling)
}

fn check_texts(name: &str, drawing: &Drawing, counts: impl Fn(Line) -> bool) {
    let texts = texts(drawing);
    let sheet = Rect::new(0.0, 0.0, drawing.width, drawing.height);
    for (i, (text, area)) in texts.iter().enumerate() {
        assert!(sheet.contains_rect(*area), "{name}: {:?} is clipped", text.text);
        for (other, taken) in &texts[i + 1..] {
            let apart = area.intersect(*taken).area() == 0.0;
            assert!(apart, "{name}: {:?} lies on {:?}", text.text, other.text);
        }
    }
    for (line, point) in points(drawing) {
        assert!(sheet.contains(point), "{name}: {line:?} leaves the sheet at {point:?}");
        for (text, area) in texts.iter().filter(|_| counts(line)) {
            assert!(!area.contains(point), "{name}: {line:?} crosses {:?}", text.text);
        }
    }
}

fn tree(svg: &str) -> usvg::Tree {
    usvg::Tree::from_str(svg, &usvg::Options::default()).expect("resvg reads it")
}

/// SVG 1.1, section 7.10: 1 in = 25.4 mm. usvg counts 96 pixels to the inch (CSS 2.1, 4.3.2).
#[test]
fn physical_size_is_that_of_the_drawing() {
    each(|name, part, drawing| {
        let tree = tree(&svg::write(drawing));
        let width = f64::from(tree.size().width()) / 96.0 * 25.4;
        assert!((width - drawing.width).abs() < 0.001, "{name}: {width}");
        let outline = tree.node_by_id("outline").expect("an outline").abs_bounding_box();
        let length = f64::from(outline.width()) / 96.0 * 25.4;
        assert!((length - part.length()).abs() < 0.001, "{name}: {length} long");
        let across = f64::from(outline.height()) / 96.0 * 25.4;
        assert!((across - part.width()).abs() < 0.001, "{name}: {across} wide");
    });
}

/// Rendered by resvg at 4 pixels to the mm: of that many pixels, and black where the outline is.
#[test]
fn patterns_render() {
    let folder = std::path::Path::new("target").join("patterns");
    std::fs::create_dir_all(&folder).unwrap();
    each(|name, _, drawing| {
        // One in inches and one in millimeters differ in figures only; rendering is slow.
        if !name.ends_with("-in") {
            return;
        }
        let text = svg::write(drawing);
        let scale = 4.0 * 25.4 / 96.0;
        let tree = tree(&text);
        let size = tree.size();
        let (width, height) = (drawing.width * 4.0, drawing.height * 4.0);
        assert!((f64::from(size.width() * scale) - width).abs() < 0.01, "{name}");
        let mut pixels = tiny_skia::Pixmap::new(width.ceil() as u32, height.ceil() as u32).unwrap();
        pixels.fill(tiny_skia::Color::WHITE);
        resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
        for (line, point) in points(drawing).into_iter().step_by(97) {
            let (x, y) = (point.x * 4.0, height - point.y * 4.0);
            let pixel = pixels.pixel(x as u32, y as u32).unwrap();
            let wide = is_cut(line);
            assert!(!wide || pixel.red() < 128, "{name}: white on {line:?} at {point:?}");
        }
        std::fs::write(folder.join(format!("{name}.svg")), &text).unwrap();
        pixels.save_png(folder.join(format!("{name}.png"))).unwrap();
    });
}

/// The paths of outline and openings, read back from the file and measured: arcs come from their
/// end points as SVG 1.1, appendix F.6 has it, by way of kurbo; the region's own area comes from
/// the bulges.
#[test]
fn outline_read_back_has_the_regions_area() {
    each(|name, part, drawing| {
        let text = svg::write(drawing);
        let mut area = 0.0;
        for layer in ["outline", "opening"] {
            for data in paths_of(&text, layer) {
                let area_of = area_of_path(&data);
                area += if layer == "outline" { area_of.abs() } else { -area_of.abs() };
            }
        }
        let off = (area - part.region.area()).abs();
        assert!(off < 0.01, "{name}: {area} against {}, {off} off", part.region.area());
    });
}

/// The path data in the group named `layer`.
fn paths_of(text: &str, layer: &str) -> Vec<String> {
    let Some(start) = text.find(&format!("id=\"{layer}\"")) else { return Vec::new() };
    let group = &text[start..start + text[start..].find("</g>").unwrap()];
    group.split("<path d=\"").skip(1).map(|d| d[..d.find('"').unwrap()].to_owned()).collect()
}

/// Signed area of path data by Green's theorem.
fn area_of_path(data: &str) -> f64 {
    let mut numbers: Vec<(char, Vec<f64>)> = Vec::new();
    for c in data.chars() {
        if c.is_ascii_alphabetic() {
            numbers.push((c, Vec::new()));
        }
    }
    for (command, values) in data.split(|c: char| c.is_ascii_alphabetic()).skip(1).enumerate() {
        numbers[command].1 = values.split_whitespace().map(|n| n.parse().unwrap()).collect();
    }
    let mut at = Point::ZERO;
    let mut double = 0.0;
    for (command, v) in numbers {
        let next = match command {
            'M' | 'L' => Point::new(v[0], v[1]),
            'A' => Point::new(v[5], v[6]),
            _ => continue,
        };
        if command == 'M' {
            at = next;
            continue;
        }
        double += at.to_vec2().cross(next.to_vec2());
        if command == 'A' {
            let arc = kurbo::Arc::from_svg_arc(&kurbo::SvgArc {
                from: at,
                to: next,
                radii: kurbo::Vec2::new(v[0], v[1]),
                x_rotation: v[2],
                large_arc: v[3] == 1.0,
                sweep: v[4] == 1.0,
            })
            .unwrap();
            double += arc.radii.x * arc.radii.y * (arc.sweep_angle - arc.sweep_angle.sin());
        }
        at = next;
    }
    double / 2.0
}

#[test]
fn layers_hold_only_what_they_are_named_for() {
    each(|name, part, drawing| {
        let text = svg::write(drawing);
        let document = roxmltree::Document::parse(&text).unwrap();
        let layer = |id: &str| {
            let group = document.descendants().find(|n| n.attribute("id") == Some(id));
            let children = group.into_iter().flat_map(|g| g.children());
            children
                .filter(roxmltree::Node::is_element)
                .map(|n| n.tag_name().name().to_owned())
                .collect::<Vec<_>>()
        };
        assert_eq!(layer("outline"), ["path"], "{name}");
        assert_eq!(layer("opening").len(), part.region.openings().len(), "{name}");
        assert!(layer("drilling").iter().all(|tag| tag == "circle"), "{name}");
        assert_eq!(layer("drilling").len(), part.drillings.len(), "{name}");
        let long = text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'));
        for number in long.filter(|n| n.contains('.') && n.parse::<f64>().is_ok()) {
            assert!(number.len() - number.find('.').unwrap() <= 6, "{name}: {number}");
        }
        assert!(!text.contains("\"-0\"") && !text.contains(" -0 "), "{name}");
    });
}

#[test]
fn every_hole_and_slot_carries_its_letter() {
    each(|name, part, drawing| {
        let letter = |text: &str| {
            text.split(' ').all(|l| l.len() == 1 && l.as_bytes()[0].is_ascii_lowercase())
        };
        let texts = texts(drawing);
        let letters = texts.iter().filter(|(t, _)| t.bold && t.size == 3.5 && letter(&t.text));
        let mut centers: Vec<Point> = part.drillings.iter().map(|d| d.at).collect();
        centers.extend(part.rows.iter().flat_map(|r| &r.centers));
        centers.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
        centers.dedup_by(|a, b| (*a - *b).hypot() < 0.001);
        let legend = letters.clone().filter(|(t, _)| t.anchor == Anchor::Start).count();
        let shown = if name.starts_with("studded") { 4 } else { centers.len() };
        assert_eq!(letters.count() - legend, shown, "{name}");
        assert_eq!(legend > 0, !centers.is_empty(), "{name}");
    });
}

#[test]
fn awkward_titles_are_written_safely() {
    let part = parts::nose_strip();
    let title = "<b> & \"two\"\n'lines' \u{1}\u{7f} ]]>";
    let text = svg::write(&drawn(&part, Units::Inches, title));
    let document = roxmltree::Document::parse(&text).unwrap();
    let said = document.descendants().filter_map(|n| n.attribute("aria-label"));
    assert!(said.clone().any(|label| label.contains("<b> & \"two\" 'lines'")));
    tree(&text);
}

#[test]
fn the_same_part_gives_the_same_bytes() {
    let part = parts::back();
    let write = || svg::write(&drawn(&part, Units::Inches, TITLE));
    assert_eq!(write(), write());
}

/// Common practice, no source: twelve slots at 2 in pitch with 2 in ends take a 26 in board.
#[test]
fn evenly_spaced_slots_have_one_dimension() {
    let drawing = drawn(&parts::shelf(), Units::Inches, TITLE);
    let said: Vec<&str> = texts(&drawing).iter().map(|(t, _)| t.text.as_str()).collect();
    assert!(said.contains(&"11 × 2 = 22") && said.contains(&"26"), "{said:?}");
}

/// A line for each item, rounded to 0.1 mm.
fn structure(drawing: &Drawing) -> String {
    let at = |p: Point| format!("{:.1} {:.1}", p.x, p.y);
    let area = |r: Rect| format!("{} to {}", at(r.origin()), at(Point::new(r.x1, r.y1)));
    let lines = drawing.items.iter().map(|item| match item {
        Item::Stroke { line, path: Path::Circle { center, radius } } => {
            format!("{line:?} circle {} r {radius:.2}", at(*center))
        }
        Item::Stroke { line, path: Path::Closed(contour) } => {
            format!("{line:?} closed {}", area(contour.bounds()))
        }
        Item::Stroke { line, path: Path::Open(v) } => {
            format!("{line:?} {} to {}", at(v[0].at), at(v[v.len() - 1].at))
        }
        Item::Fill(contour) => format!("fill {}", area(contour.bounds())),
        Item::Shade(contour) => format!("shade {}", area(contour.bounds())),
        Item::Text(text) => format!("text {} {:?}", at(text.at), text.text),
    });
    let head = format!("{} {:.1} × {:.1}", drawing.title, drawing.width, drawing.height);
    std::iter::once(head).chain(lines).collect::<Vec<_>>().join("\n")
}

#[test]
fn small_patterns_keep_their_structure() {
    insta::assert_snapshot!(
        "nose-strip",
        structure(&drawn(&parts::nose_strip(), Units::Inches, TITLE))
    );
    insta::assert_snapshot!("peg", structure(&drawn(&parts::peg(), Units::Millimeters, TITLE)));
}
