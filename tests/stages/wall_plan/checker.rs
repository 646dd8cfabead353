//! Random walls, each plan looked over by code that knows the holders' wood and tools and none of the planner.

use kurbo::{Point, Rect};
use proptest::prelude::*;

use super::{INCH, hangers, hung, obstacle, planned, shop, wall};
use crate::holder::{Holder, Part, Placement};
use crate::length::STANDARD_GRAVITY;
use crate::wall::{HungPlace, PlannedWall, WallHanger, WallPlan, WallsAsked};
use crate::work_out::WorkedHolder;

const BESIDE: f64 = 0.75 * INCH;
const NEAR: f64 = 1e-3;

/// A box: two opposite corners, z out from the wall.
type Block = ([f64; 3], [f64; 3]);

fn worked(name: &str) -> &'static WorkedHolder {
    let own = name.rsplit_once('#').map_or(name, |(own, _)| own);
    hung().find(|worked| worked.holder.name == own).unwrap()
}

/// The boxes of all pieces and all tools of a holder where it hangs.
fn blocks(place: &HungPlace) -> Vec<Block> {
    let holder = &worked(&place.holder).holder;
    let pieces = holder.parts.iter().flat_map(|part| &part.places).map(Placement::bounds);
    let tools = holder.tools.iter().flat_map(|tool| &tool.body).map(|solid| solid.prism.bounds());
    let moved = |[x, y, z]: [f64; 3]| [x + place.origin.x, y + place.origin.y, z];
    pieces.chain(tools).map(|(low, high)| (moved(low), moved(high))).collect()
}

/// Whether two boxes, seen from the front, are nearer than `beside` side by side where one is beside the other.
fn clash((a0, a1): &Block, (b0, b1): &Block, beside: f64, lift: f64) -> bool {
    let along = a0[0] < b1[0] + beside - NEAR && b0[0] < a1[0] + beside - NEAR;
    along && a0[1] < b1[1] + lift - NEAR && b0[1] < a1[1] + lift - NEAR
}

fn hook(holder: &Holder) -> Block {
    holder.hook_cleat().unwrap().places[0].bounds()
}

/// The holder cleat sits on the wall cleats of its row, and nothing else touches a wall cleat.
fn contacts(wall: &PlannedWall, place: &HungPlace) -> Result<(), TestCaseError> {
    let worked = worked(&place.holder);
    let row = &wall.rows[place.row.unwrap()];
    let fixed = &worked.hanging.as_ref().unwrap().view.fixed[0];
    let top = fixed.iter().map(|at| at.y).fold(f64::NEG_INFINITY, f64::max);
    prop_assert!(
        (place.origin.y + top - row.height).abs() < NEAR,
        "{} is not on its row",
        place.holder
    );
    let (low, high) = hook(&worked.holder);
    let [from, to] = [low[0] + place.origin.x, high[0] + place.origin.x];
    let mut at = from;
    for cleat in row.cleats.iter().filter(|cleat| cleat.to > from && cleat.from < to) {
        prop_assert!(cleat.from <= at + NEAR, "{} hangs over a gap at {at}", place.holder);
        at = at.max(cleat.to);
    }
    prop_assert!(at + NEAR >= to, "{} hangs past its wall cleat", place.holder);
    let (thick, wide) = (shop().cleat.thickness, shop().cleat.width);
    for (number, other) in
        wall.rows.iter().enumerate().filter(|(number, _)| Some(*number) != place.row)
    {
        let cleats = other
            .cleats
            .iter()
            .map(|cleat| ([cleat.from, other.height - wide, 0.0], [cleat.to, other.height, thick]));
        for cleat in cleats {
            let meets = |block: &Block| {
                (0..3).all(|k| block.0[k] + NEAR < cleat.1[k] && cleat.0[k] + NEAR < block.1[k])
            };
            prop_assert!(
                !blocks(place).iter().any(meets),
                "{} is in the way of row {number}",
                place.holder
            );
        }
    }
    Ok(())
}

/// Its screws go into studs, and no wall cleat is behind it.
fn on_studs(wall: &PlannedWall, place: &HungPlace) -> Result<(), TestCaseError> {
    let screws = worked(&place.holder).holder.screws.iter().flat_map(|joint| &joint.screws);
    for screw in screws.filter(|screw| screw.into.is_none()) {
        let at = screw.head[0] + place.origin.x;
        let near =
            wall.space.studs.iter().any(|stud| (stud - at).abs() < shop().wall.stud_width / 2.0);
        prop_assert!(near, "{}: a screw at {at} misses the studs", place.holder);
    }
    for row in &wall.rows {
        for cleat in &row.cleats {
            let block =
                ([cleat.from, row.height - shop().cleat.width, 0.0], [cleat.to, row.height, 1.0]);
            let clear = !blocks(place).iter().any(|own| clash(own, &block, 0.0, 0.0));
            prop_assert!(clear, "{} hangs over a wall cleat", place.holder);
        }
    }
    Ok(())
}

fn apart(one: &HungPlace, other: &HungPlace) -> Result<(), TestCaseError> {
    let (a, b) = (blocks(one), blocks(other));
    let lift = |place: &HungPlace| {
        let worked = worked(&place.holder);
        let hooked =
            worked.hanging.as_ref().and_then(|h| h.hooking.way()).map_or(0.0, |way| way.lift);
        hooked.max(worked.room.as_ref().map_or(0.0, |room| room.lift))
    };
    for one_block in &a {
        for other_block in &b {
            prop_assert!(
                !clash(one_block, other_block, BESIDE, 0.0),
                "{} and {}",
                one.holder,
                other.holder
            );
        }
    }
    // What hangs above leaves room to be lifted, of whichever is below.
    let low = |blocks: &[Block]| blocks.iter().map(|b| b.0[1]).fold(f64::INFINITY, f64::min);
    let high = |blocks: &[Block]| blocks.iter().map(|b| b.1[1]).fold(f64::NEG_INFINITY, f64::max);
    let along = |one: &[Block], other: &[Block]| {
        let side = |blocks: &[Block]| {
            blocks.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], block| {
                [a.min(block.0[0]), b.max(block.1[0])]
            })
        };
        let ([a, b], [c, d]) = (side(one), side(other));
        a < d - NEAR && c < b - NEAR
    };
    if along(&a, &b) {
        let (below, above, lift) =
            if high(&a) <= low(&b) + NEAR { (&a, &b, lift(one)) } else { (&b, &a, lift(other)) };
        prop_assert!(
            high(below) + lift <= low(above) + NEAR,
            "{} and {}: no room to lift",
            one.holder,
            other.holder
        );
    }
    Ok(())
}

fn on_the_wall(wall: &PlannedWall, place: &HungPlace) -> Result<(), TestCaseError> {
    for (low, high) in blocks(place) {
        prop_assert!(
            low[0] >= -NEAR && high[0] <= wall.space.width + NEAR,
            "{} past an end",
            place.holder
        );
        prop_assert!(
            low[1] >= 2.0 * INCH - NEAR && high[1] <= wall.space.height + NEAR,
            "{} past floor or top",
            place.holder
        );
        for fast in &wall.space.obstacles {
            let area = fast.area;
            let fast_block = ([area.x0, area.y0, 0.0], [area.x1, area.y1, 1.0]);
            prop_assert!(
                !clash(&(low, high), &fast_block, BESIDE, 0.0),
                "{} over {}",
                place.holder,
                fast.name
            );
        }
    }
    Ok(())
}

/// A load as a beam from stud to stud bears it, straight from the two studs beside it.
fn stud_share(studs: &[f64], stud: f64, x: f64) -> f64 {
    let left = studs.iter().copied().filter(|s| *s <= x).fold(f64::NEG_INFINITY, f64::max);
    let right = studs.iter().copied().filter(|s| *s > x).fold(f64::INFINITY, f64::min);
    match (left.is_finite(), right.is_finite()) {
        (true, true) if stud == left => (right - x) / (right - left),
        (true, true) if stud == right => (x - left) / (right - left),
        _ => 0.0,
    }
}

/// Where the area of a part has its middle: sums over chords of all its contours (the shoelace formula; textbooks).
fn centroid(part: &Part) -> Point {
    let (mut area, mut sum) = (0.0, Point::ZERO.to_vec2());
    for contour in part.region.contours() {
        let ring = contour.flatten(0.05);
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let twice = a.x * b.y - b.x * a.y;
            area += twice / 2.0;
            sum += (a.to_vec2() + b.to_vec2()) * (twice / 6.0);
        }
    }
    (sum / area).to_point()
}

/// Whether the wall cleats a holder hangs on are screwed on before and after a place, nothing between cut out.
fn is_between_screws(wall: &PlannedWall, place: &HungPlace, x: f64) -> bool {
    let row = &wall.rows[place.row.unwrap()];
    let mut runs: Vec<[f64; 3]> = Vec::new();
    for cleat in &row.cleats {
        let (first, last) = (cleat.screws[0], cleat.screws[cleat.screws.len() - 1]);
        match runs.last_mut() {
            Some([_, end, screw]) if (cleat.from - *end).abs() < NEAR => {
                (*end, *screw) = (cleat.to, last);
            }
            _ => runs.push([first, cleat.to, last]),
        }
    }
    runs.iter().any(|[first, _, last]| first + INCH <= x && x <= last - INCH)
}

/// The load of each stud again, from the masses of wood and tools where they are, where all hang between two studs.
fn loads(wall: &PlannedWall) -> Result<(), TestCaseError> {
    let studs = &wall.space.studs;
    let mut known = vec![0.0; studs.len()];
    let mut lever = false;
    for place in wall.places.iter().filter(|place| place.row.is_some()) {
        let worked = worked(&place.holder);
        let holder = &worked.holder;
        let mut at: Vec<[f64; 2]> = Vec::new();
        for part in &holder.parts {
            for piece in &part.places {
                let middle = piece.to_space(centroid(part), part.stock.thickness / 2.0);
                let share = part.places.len() as f64;
                at.push([middle[0], part.mass() / share]);
            }
        }
        let tools: f64 = holder.weights.iter().map(|weight| weight.mass).sum();
        match holder.tools.len() {
            0 => {
                let (low, high) = hook(holder);
                at.push([(low[0] + high[0]) / 2.0, tools]);
            }
            count => at.extend(holder.tools.iter().map(|tool| [tool.at[0], tools / count as f64])),
        }
        for [x, kg] in at {
            let x = x + place.origin.x;
            lever |= !is_between_screws(wall, place, x);
            for (sum, stud) in known.iter_mut().zip(studs) {
                *sum += stud_share(studs, *stud, x) * kg * STANDARD_GRAVITY;
            }
        }
    }
    for (load, known) in wall.studs.iter().zip(known) {
        // A run that begins at a later stud bears what is before that as a lever.
        prop_assert!(
            lever || (load.load - known).abs() < 0.02 * known + 1.0,
            "stud at {}: {} N, {known} N again",
            load.at,
            load.load
        );
    }
    Ok(())
}

fn cleats(wall: &PlannedWall) -> Result<(), TestCaseError> {
    let stock = shop().stock.iter().find(|row| row.name == shop().cleat.from).unwrap();
    for cleat in wall.rows.iter().flat_map(|row| &row.cleats) {
        prop_assert!(cleat.to - cleat.from <= stock.length + NEAR);
        prop_assert!(!cleat.screws.is_empty());
        for screw in &cleat.screws {
            prop_assert!(
                cleat.from + 0.5 * INCH <= screw + NEAR && screw - NEAR <= cleat.to - 0.5 * INCH
            );
            let off = wall
                .space
                .studs
                .iter()
                .map(|stud| (stud - screw).abs())
                .fold(f64::INFINITY, f64::min);
            prop_assert!(off <= shop().wall.stud_width / 2.0, "a screw {off} off its stud");
        }
    }
    for row in &wall.rows {
        for pair in row.cleats.windows(2).filter(|pair| (pair[0].to - pair[1].from).abs() < NEAR) {
            let joint = pair[0].to;
            prop_assert!(
                wall.space.studs.iter().any(|stud| (stud - joint).abs() < NEAR),
                "a joint between studs"
            );
        }
    }
    Ok(())
}

fn free(wall: &PlannedWall) -> Result<(), TestCaseError> {
    for free in &wall.free {
        prop_assert!(free.to - free.from >= 8.0 * INCH - NEAR);
        let height = wall.rows[free.row].height;
        let band = ([free.from, height - 6.0 * INCH, 0.0], [free.to, height + 4.0 * INCH, 1.0]);
        for place in &wall.places {
            let clear = !blocks(place).iter().any(|block| clash(block, &band, BESIDE, 0.0));
            prop_assert!(clear, "{} hangs in a free stretch", place.holder);
        }
    }
    Ok(())
}

fn is_sound(plan: &WallPlan, hangers: &[WallHanger]) -> Result<(), TestCaseError> {
    let placed: usize = plan.walls.iter().map(|wall| wall.places.len()).sum();
    prop_assert_eq!(placed + plan.left_over.len(), hangers.len());
    for wall in &plan.walls {
        for (at, place) in wall.places.iter().enumerate() {
            match place.row {
                Some(_) => contacts(wall, place)?,
                None => on_studs(wall, place)?,
            }
            on_the_wall(wall, place)?;
            wall.places[..at].iter().try_for_each(|other| apart(place, other))?;
        }
        loads(wall)?;
        cleats(wall)?;
        free(wall)?;
    }
    Ok(())
}

fn walls() -> impl Strategy<Value = (WallsAsked, Vec<usize>)> {
    let rows = prop::collection::btree_set(3_u32..8, 1..5);
    let fast = prop::collection::vec((0.0..150.0, 0.0..80.0, 4.0..40.0, 4.0..40.0), 0..3);
    let picked = prop::collection::vec(0..hangers().len(), 1..14);
    (40.0..220.0_f64, 84.0..100.0_f64, rows, fast, picked).prop_map(
        |(width, height, rows, fast, picked)| {
            let rows: Vec<f64> = rows.into_iter().map(|row| f64::from(row) * 10.0).collect();
            let mut asked = wall(width, height, &rows);
            let fast = fast.into_iter().filter(|(left, ..)| *left < width);
            asked.walls[0].obstacles =
                fast.map(|(l, b, w, h)| obstacle("in the way", [l, b, w, h])).collect();
            for fast in &mut asked.walls[0].obstacles {
                fast.area = fast.area.intersect(Rect::new(0.0, 0.0, width * INCH, height * INCH));
            }
            (asked, picked)
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn every_plan_can_be_hung((asked, picked) in walls()) {
        let named = picked.iter().enumerate().map(|(n, at)| {
            let hanger = hangers()[*at].clone();
            WallHanger { name: format!("{}#{n}", hanger.name), ..hanger }
        });
        let picked: Vec<WallHanger> = named.collect();
        let plan = planned(&asked, &picked);
        is_sound(&plan, &picked)?;
    }
}
