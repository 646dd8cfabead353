//! Rows of screws stand alike to both ends of the part they go through, and mirrored parts are mirrored, unless there
//! is a reason.

use super::super::metric::{self, SHOP};
use super::{USUAL, made, shop, text, usual_shop};
use crate::holder::{Holder, Part, Seated};
use kurbo::Point;

/// Rows that are not, and why.
const ASKEW: [(&str, &str, &str); 3] = [
    ("hook-ledge", "ledge to the wall", "they stand where the studs are"),
    ("wall-cleat", "wall cleats to the wall", "they stand where the studs are"),
    ("plane-ramp", "ramp to the dividers", "dividers stand between bays of several widths"),
];

/// Where a screw stands on the part that it goes through.
fn on_part(part: &Part, screw: &Seated) -> Point {
    part.places[screw.piece].to_piece(screw.head).0
}

/// Rows of one joint on one piece: places along the part, with how long that is there.
fn rows(holder: &Holder, about: &str) -> Vec<(Vec<f64>, f64)> {
    let mut rows = Vec::new();
    for joint in holder.screws.iter().filter(|joint| joint.about == about) {
        let part = &holder.parts[joint.through];
        let first = joint.screws.iter().filter(|screw| screw.piece == 0);
        let places: Vec<Point> = first.map(|screw| on_part(part, screw)).collect();
        let mut lines: Vec<f64> = places.iter().map(|at| at.y).collect();
        lines.sort_by(f64::total_cmp);
        lines.dedup_by(|a, b| (*a - *b).abs() < 0.01);
        for line in lines {
            let level = places.iter().filter(|at| (at.y - line).abs() < 0.01);
            rows.push((level.map(|at| at.x).collect::<Vec<_>>(), part.length()));
        }
    }
    rows
}

/// How far a row is from its own mirror image; the screw in the middle may give way by itself.
fn off_middle((places, length): &(Vec<f64>, f64)) -> f64 {
    let mut places = places.clone();
    places.sort_by(f64::total_cmp);
    if places.len() % 2 == 1 {
        places.remove(places.len() / 2);
    }
    let mirrored: Vec<f64> = places.iter().map(|x| length - x).collect();
    let nearest = |x: &f64| places.iter().map(|other| (other - x).abs()).fold(f64::MAX, f64::min);
    mirrored.iter().map(nearest).fold(0.0, f64::max)
}

/// Holders of every style, in a shop that measures in inches and in one that measures in mm.
fn holders() -> Vec<Holder> {
    let usual = usual_shop();
    let inches = USUAL.iter().map(|(style, measures)| made(&text(style, measures, ""), &usual));
    let metric = shop(SHOP);
    inches.chain(metric::holders().values().map(|text| made(text, &metric))).collect()
}

#[test]
fn rows_of_screws_stand_alike_to_both_ends() {
    let (mut askew, mut seen) = (Vec::new(), 0);
    for holder in holders() {
        for joint in &holder.screws {
            for row in rows(&holder, &joint.about).into_iter().filter(|row| row.0.len() > 1) {
                let excused = ASKEW.iter().any(|(style, about, _)| {
                    (holder.style.as_str(), joint.about.as_str()) == (*style, *about)
                });
                if !excused && off_middle(&row) > 0.05 {
                    let (places, length) = row;
                    askew.push(format!(
                        "{} {}, {}: {places:.2?} of {length:.2}",
                        holder.style,
                        joint.about,
                        holder.units.word()
                    ));
                }
                seen += 1;
            }
        }
    }
    assert!(askew.is_empty(), "{}", askew.join("\n"));
    assert!(seen > 150, "{seen}");
}

/// What is left and right of the middle has the same screws, mirrored: sides of a ramp, blocks at both ends.
#[test]
fn left_and_right_parts_are_mirrored() {
    let mut seen = 0;
    for holder in holders() {
        let named = |name: &str| holder.parts.iter().find(|part| part.name == name);
        for left in holder.parts.iter().filter(|part| part.name.starts_with("left-")) {
            let Some(right) = named(&left.name.replace("left-", "right-")) else { continue };
            let ramp = named("ramp").map_or(f64::MAX, Part::length);
            // In a narrow ramp screws from both sides would meet.
            if ramp < 4.0 * 25.4 {
                continue;
            }
            let mut mirrored: Vec<Point> =
                left.drillings.iter().map(|d| Point::new(left.length() - d.at.x, d.at.y)).collect();
            for drilling in &right.drillings {
                let at = mirrored.iter().position(|at| (*at - drilling.at).hypot() < 0.01);
                let at = at.unwrap_or_else(|| {
                    panic!("{} {}: {:?}", holder.style, right.name, drilling.at)
                });
                mirrored.swap_remove(at);
            }
            assert!(mirrored.is_empty(), "{} {}", holder.style, left.name);
            seen += 1;
        }
    }
    assert!(seen >= 2, "{seen}");
}
