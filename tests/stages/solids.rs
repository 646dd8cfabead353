//! Solids of parts: closed, as large as their wood, seen as drawing has it.

use std::collections::HashMap;

use crate::holder::{Part, StockKind};
use crate::kernel::prism::Prism;
use crate::solid::{
    SeenLine, Shell, Sight, View, ViewFrom, broken_off, part_shell, seams, taken_apart, tool_shell,
    wood_solids,
};
use crate::work_out;

use super::folder;

/// Every side of a triangle is that of one other, run through the other way.
fn assert_watertight(shell: &Shell, name: &str) {
    let mut sides: HashMap<(u32, u32), i32> = HashMap::new();
    for facet in &shell.facets {
        let [a, b, c] = facet.corners;
        for side in [(a, b), (b, c), (c, a)] {
            *sides.entry(side).or_default() += 1;
        }
    }
    for ((from, to), count) in &sides {
        let back = sides.get(&(*to, *from));
        assert!(*count == 1 && back == Some(&1), "{name}: a side of its surface is open");
    }
}

/// Wood by what the part says of itself: area by thickness less pockets, bevel and holes for tools; of a dowel the
/// circle by its length.
fn wood(part: &Part) -> f64 {
    let thickness = part.stock.thickness;
    if part.stock.kind == StockKind::Dowel {
        return std::f64::consts::FRAC_PI_4 * thickness * thickness * part.length();
    }
    let bores: f64 = part
        .drillings
        .iter()
        .filter(|d| d.purpose.word() == "tool" && d.depth.is_none())
        .map(|d| std::f64::consts::FRAC_PI_4 * d.diameter * d.diameter)
        .sum();
    let bevel = part.bevel.map_or(0.0, |bevel| {
        thickness * thickness * bevel.angle.to_radians().tan() / 2.0 * part.length()
    });
    let pockets: f64 = part.pockets.iter().map(|pocket| pocket.wood() * pocket.depth).sum();
    (part.region.area() - bores) * thickness - bevel - pockets
}

#[test]
fn every_part_is_a_closed_body_of_its_wood() {
    for root in [folder::SHED, "tests/outside/milled"] {
        let worked = work_out(&folder::inputs(root).with_cutting_steps(1)).unwrap();
        let parts = worked.holders.iter().flat_map(|worked| &worked.holder.parts);
        let mut count = 0;
        for part in parts {
            let (shell, wood) = (part_shell(part), wood(part));
            assert_watertight(&shell, &part.name);
            let off = (shell.volume() - wood).abs() / wood;
            assert!(off < 1e-4, "{}: {} mm³, by its figures {wood}", part.name, shell.volume());
            count += 1;
        }
        assert!(count > 5);
    }
}

#[test]
fn a_block_shows_nine_edges_and_what_stands_before_it_hides_them() {
    let block = |low, high| tool_shell(&Prism::block(low, high).unwrap());
    let near = block([0.0, 0.0, 50.0], [100.0, 100.0, 60.0]);
    assert_watertight(&near, "block");
    let view = View::new(ViewFrom::RightFront);
    assert_eq!(Sight::new(view, [&near]).edges(&near).len(), 9);
    // Straight from the front nothing of a lesser one behind is seen.
    let behind = block([10.0, 10.0, 0.0], [90.0, 90.0, 20.0]);
    let front = Sight::new(View::new(ViewFrom::Front), [&near, &behind]);
    assert_eq!(front.edges(&behind), []);
    assert_eq!(front.edges(&near).len(), 4);
}

#[test]
fn a_rod_shows_two_outlines_and_its_near_end() {
    let rod = tool_shell(&Prism::rod([0.0; 3], [80.0, 0.0, 0.0], 20.0).unwrap());
    assert_watertight(&rod, "rod");
    let seen = Sight::new(View::new(ViewFrom::RightFront), [&rod]).edges(&rod);
    // Its two sides, the whole of the near rim, half of the far one.
    let length: f64 = seen.iter().map(|line| (line.to - line.from).hypot()).sum();
    // A circle across an axis is an ellipse of half axes r √(3/2) and r / √2 (ISO 5456-3): Ramanujan's circumference.
    let (a, b): (f64, f64) = (10.0 * 1.5_f64.sqrt(), 10.0 / 2.0_f64.sqrt());
    let round = std::f64::consts::PI * (3.0 * (a + b) - ((3.0 * a + b) * (a + 3.0 * b)).sqrt());
    assert!((length - (2.0 * 80.0 + 1.5 * round)).abs() < 1.0, "{length}");
}

/// A post of 20 mm through a board of 20 mm: of its seam with the upper face the eye sees the two sides toward it, drawn
/// in full (ISO 5456-3), and of that with the lower face nothing.
#[test]
fn where_bodies_pass_through_one_another_there_is_a_line() {
    let block = |low, high| tool_shell(&Prism::block(low, high).unwrap());
    let board = block([0.0, 0.0, 0.0], [100.0, 20.0, 60.0]);
    let added = |post: &Shell| {
        let sight = Sight::new(View::new(ViewFrom::RightFront), [&board, post]);
        let length = |lines: Vec<SeenLine>| {
            lines.iter().map(|line| (line.to - line.from).hypot()).sum::<f64>()
        };
        let edges = [&board, post].map(|shell| length(sight.edges(shell)));
        length(sight.lines([&board, post])) - edges[0] - edges[1]
    };
    assert!((added(&block([40.0, -10.0, 20.0], [60.0, 50.0, 40.0])) - 40.0).abs() < 0.02);
    // One that stands on it touches it.
    assert_eq!(added(&block([40.0, 20.0, 20.0], [60.0, 50.0, 40.0])), 0.0);
}

#[test]
fn what_is_broken_off_is_closed_and_has_no_edges_where_it_goes_on() {
    let block = Prism::block([0.0; 3], [40.0, 300.0, 60.0]).unwrap();
    for degrees in [0.0_f64, 15.0, -20.0] {
        let shell = tool_shell(&block.turned([0.0, 0.0], degrees));
        let room = ([-50.0, 40.0, -500.0], [50.0, 140.0, 500.0]);
        let left = broken_off(shell, room).unwrap();
        assert_watertight(&left, "block");
        // A level slice of a prism that leans is as large as its base by the cosine.
        let wanted = 40.0 * 60.0 * 100.0 / degrees.to_radians().cos();
        assert!((left.volume() - wanted).abs() < 1e-6 * wanted, "{} {wanted}", left.volume());
        assert_eq!(left.edges.len(), 4);
    }
}

#[test]
fn what_is_taken_apart_is_clear_of_one_another() {
    for worked in &folder::sample().holders {
        let holder = &worked.holder;
        let solids = wood_solids(holder);
        // As the steps put it together.
        let parts = holder.steps.iter().flat_map(|step| step.adds.iter().copied());
        let of = |part: usize| (0..solids.len()).filter(|at| solids[*at].part == part).collect();
        let order: Vec<usize> = parts.flat_map::<Vec<usize>, _>(of).collect();
        assert_eq!(order.len(), solids.len(), "{}", holder.name);
        let offs = taken_apart(holder, &[], &order);
        let mut moved: Vec<Shell> = solids.iter().map(|solid| solid.shell.clone()).collect();
        for (at, off) in order.iter().zip(&offs) {
            let by = |place: [f64; 3]| std::array::from_fn(|axis| place[axis] + off.by[axis]);
            moved[*at] = solids[*at].shell.moved(by);
        }
        for (i, one) in moved.iter().enumerate() {
            for (j, other) in moved.iter().enumerate().skip(i + 1) {
                let [a, b] = [i, j].map(|at| &holder.parts[solids[at].part].name);
                assert!(seams(one, other).is_empty(), "{}: {a} and {b}", holder.name);
            }
        }
    }
}
