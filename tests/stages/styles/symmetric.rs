//! Rows of screws stand alike to both ends of the part they go through, and mirrored parts are mirrored, unless there
//! is a reason.

use super::super::metric::{self, SHOP};
use super::{USUAL, made, shop, text, usual_shop};
use crate::holder::{Holder, Part, Seated};
use kurbo::Point;

/// Rows that are not symmetric, and why; every other one is.
const ASKEW: [(&str, &str, &str); 0] = [];

/// What a row may be off by: half a mark of the tape, 1/32 in, where the part's length is on no mark.
const HALF_MARK: f64 = 25.4 / 32.0;

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

fn off_middle((places, length): &(Vec<f64>, f64)) -> f64 {
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
    let mut askew = Vec::new();
    for holder in holders() {
        for joint in &holder.screws {
            for row in rows(&holder, &joint.about) {
                let off = off_middle(&row);
                if off > 0.05 {
                    askew.push(format!(
                        "{} {} {}: off {off:.3} {:.2?} of {:.2}",
                        holder.units.word(),
                        holder.style,
                        joint.about,
                        row.0,
                        row.1
                    ));
                }
            }
        }
    }
    let _ = (ASKEW, HALF_MARK);
    panic!("{}", askew.join("\n"));
}
