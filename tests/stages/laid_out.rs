//! What a person needs to lay a part out with a tape, a square and a bevel gauge, by what the part itself says, not by
//! how the pattern is drawn.

use std::collections::BTreeMap;

use kurbo::{Point, Rect, Vec2};

use super::metric;
use super::styles::{USUAL, made, shop, text, usual_shop};
use crate::drawing::{Drawing, Item, Line, Path, PatternNotes, pattern};
use crate::holder::{Face, Feature, Holder, Part, SlotForm};
use crate::kernel::{Contour, Segment};

/// Holders of every style, in inches and in mm, by hand and by CNC router.
fn holders() -> Vec<Holder> {
    let usual = usual_shop();
    let by_hand = USUAL.iter().map(|(style, measures)| made(&text(style, measures, ""), &usual));
    let by_router = USUAL
        .iter()
        .filter(|(style, _)| *style != "wall-cleat")
        .map(|(style, measures)| made(&text(style, measures, "made_by = \"router\""), &usual));
    let metric_shop = shop(metric::SHOP);
    let in_mm = metric::holders().into_values().map(|text| made(&text, &metric_shop));
    by_hand.chain(by_router).chain(in_mm.collect::<Vec<_>>()).collect()
}

fn drawn(part: &Part, holder: &Holder) -> Drawing {
    let notes = PatternNotes {
        holder_title: &holder.title,
        tools: &holder.tools,
        letters: &["Q"],
        ..PatternNotes::default()
    };
    pattern(part, holder.units, notes)
}

fn each(mut check: impl FnMut(&str, &Part, &Holder, &Drawing)) {
    for holder in holders() {
        for part in &holder.parts {
            let name = format!("{} {}", holder.style, part.name);
            check(&name, part, &holder, &drawn(part, &holder));
        }
    }
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let said = drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text.text.as_str()),
        _ => None,
    });
    said.collect()
}

/// From the part's coordinates to the drawing's.
fn shift(part: &Part, drawing: &Drawing) -> Vec2 {
    let outlines = drawing.items.iter().filter_map(|item| match item {
        Item::Stroke { line: Line::Outline, path: Path::Closed(contour) } => Some(contour.bounds()),
        _ => None,
    });
    let whole: Rect = outlines.reduce(|a, b| a.union(b)).expect("an outline");
    whole.origin() - part.region.bounds().origin()
}

/// Straight sides that run askew, with the angle to the nearer of the ways along and up the part, in degrees.
fn slopes(contour: &Contour) -> Vec<(Segment, f64)> {
    let askew = contour.segments().filter(Segment::is_line).filter_map(|side| {
        let way = side.end - side.start;
        let angle = way.y.abs().atan2(way.x.abs()).to_degrees();
        let lean = angle.min(90.0 - angle);
        (way.hypot() > 2.0 && lean > 0.1).then_some((side, lean))
    });
    askew.collect()
}

#[test]
fn every_slope_has_its_angle() {
    let mut seen = BTreeMap::new();
    each(|name, part, holder, drawing| {
        for (_, lean) in part.region.contours().flat_map(slopes) {
            // Degrees are written with one place.
            let angle = format!("{}°", (lean * 10.0).round() / 10.0);
            let said = texts(drawing);
            let told = |text: &&str| text.rsplit(' ').next() == Some(angle.as_str());
            assert!(said.iter().any(told), "{name}: no {angle} in {said:?}");
            *seen.entry(holder.style.clone()).or_insert(0) += 1;
        }
    });
    for style in ["plane-ramp", "twin-arm", "dock", "shelf-lip"] {
        assert!(seen.contains_key(style), "{style}: {seen:?}");
    }
}

/// Whether an extension line stands at `at` along an edge of the drawing, below the part or at its left.
fn is_measured(drawing: &Drawing, part: &Rect, at: Point, along: bool) -> bool {
    drawing.items.iter().any(|item| {
        let Item::Stroke { line: Line::Dimension, path: Path::Open(vertices) } = item else {
            return false;
        };
        let [from, .., to] = vertices.as_slice() else { return false };
        let (from, to) = (from.at, to.at);
        match along {
            true => {
                (from.x - at.x).abs() < 0.05
                    && (to.x - at.x).abs() < 0.05
                    && from.y.max(to.y) < part.y0
            }
            false => {
                (from.y - at.y).abs() < 0.05
                    && (to.y - at.y).abs() < 0.05
                    && from.x.max(to.x) < part.x0
            }
        }
    })
}

/// A corner between two straight sides, one of them askew, is measured from the ends and from the edges of the part;
/// sides of slots go with their slot.
#[test]
fn every_sharp_corner_of_a_slope_is_measured_both_ways() {
    let mut count = 0;
    each(|name, part, _, drawing| {
        let (by, area) = (shift(part, drawing), part.region.bounds());
        let outline: Vec<Segment> = part.region.outline().segments().collect();
        let tapered = part
            .rows
            .iter()
            .any(|row| matches!(row.feature, Feature::Slot { form: SlotForm::Tapered { .. }, .. }));
        for (i, side) in outline.iter().enumerate().filter(|_| !tapered) {
            let next = &outline[(i + 1) % outline.len()];
            let is_askew = |side: &Segment| {
                let way = side.end - side.start;
                way.hypot() > 2.0 && way.x.abs().min(way.y.abs()) > 0.01 * way.hypot()
            };
            if !(side.is_line() && next.is_line() && (is_askew(side) || is_askew(next))) {
                continue;
            }
            let at = side.end;
            let on_edge =
                |x: f64, low: f64, high: f64| (x - low).abs() < 0.05 || (x - high).abs() < 0.05;
            let in_drawing = area + by;
            for (along, is_on_edge) in
                [(true, on_edge(at.x, area.x0, area.x1)), (false, on_edge(at.y, area.y0, area.y1))]
            {
                let told = is_on_edge || is_measured(drawing, &in_drawing, at + by, along);
                assert!(
                    told,
                    "{name}: {at:?} is not measured {}",
                    if along { "along" } else { "up" }
                );
                count += 1;
            }
        }
    });
    assert!(count > 40, "{count}");
}

/// Width and depth of an open slot, in the words of the legend and at the slot.
#[test]
fn every_open_slot_tells_its_width_and_depth() {
    let mut count = 0;
    each(|name, part, holder, drawing| {
        for row in &part.rows {
            let Feature::Slot { width, form } = row.feature else { continue };
            let write = |mm: f64| holder.units.bare_length(mm);
            let said = texts(drawing).join(" ");
            for at in &row.centers {
                // All slots of the built-in styles open to the bottom.
                let deep = format!("{} to center of end", write(at.y));
                assert!(said.contains(&deep), "{name}: no {deep:?} in {said}");
            }
            let wide = match form {
                SlotForm::Tapered { mouth_width } => format!("mouth {}", write(mouth_width)),
                _ => format!("{} wide", write(width)),
            };
            assert!(said.contains(&wide), "{name}: no {wide:?} in {said}");
            count += 1;
        }
    });
    assert!(count > 6, "{count}");
}

#[test]
fn tools_that_differ_are_numbered_where_they_go() {
    let mut styles = Vec::new();
    each(|name, part, holder, drawing| {
        let said = texts(drawing);
        let numbers = said.iter().filter(|text| text.starts_with("tool ")).count();
        let shelf = ["hole-rail", "till"].contains(&holder.style.as_str()) && part.name == "shelf";
        if shelf && holder.tools.len() > 1 {
            assert_eq!(numbers, holder.tools.len(), "{name}: {said:?}");
            styles.push(holder.style.clone());
        }
        if ["twin-arm", "peg"].contains(&holder.style.as_str()) {
            assert_eq!(numbers, 0, "{name}: {said:?}");
        }
    });
    assert!(styles.len() >= 4, "{styles:?}");
}

/// Pieces have capital letters, holes small ones.
#[test]
fn letters_of_pieces_and_holes_are_not_confused() {
    each(|name, _, _, drawing| {
        let said = texts(drawing);
        assert!(said.iter().any(|text| text.contains("Q in the cutting plan")), "{name}: {said:?}");
        let is_capital =
            |text: &str| text.len() == 1 && text.chars().all(|c| c.is_ascii_uppercase());
        assert!(said.iter().all(|text| !is_capital(text) || *text == "Q"), "{name}: {said:?}");
    });
}

#[test]
fn the_face_against_the_wall_is_called_that() {
    let mut count = 0;
    each(|name, part, _, drawing| {
        let said = texts(drawing).join(" ");
        let cleat = part.bevel.is_some();
        let on_wall = part.on_wall();
        assert!(!cleat || name.starts_with("wall-cleat") || on_wall == Some(Face::Show), "{name}");
        let words = match on_wall {
            Some(Face::Show) => "show face (drawn) against the wall",
            Some(Face::Back) => "back against the wall",
            None => return assert!(!said.contains("face (drawn) against the wall"), "{name}"),
        };
        assert!(said.contains(words), "{name}: {said}");
        count += 1;
    });
    assert!(count > 20, "{count}");
}
