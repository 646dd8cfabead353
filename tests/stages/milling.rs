//! What a CNC router does to parts and sheets: order, begin, direction, bridges, both faces.

use std::f64::consts::PI;

use super::dxf_parts::drilling;
use super::flat_parts;
use crate::holder::{
    Drilling, Face, Feature, Grain, MadeBy, Mark, MarkKind, OpenSides, Part, Pocket, Purpose, Row,
};
use crate::kernel::{Contour, Region, Segment, Vertex, open_slot, rectangle};
use crate::milling::{JobLayer, Jobs, MillCut, MillPath, MillWork, layers, part_jobs, sheet_jobs};
use crate::reading::Source;
use crate::router::{RoutedSheet, plan};
use crate::shop::{Shop, read_shop};
use kurbo::{Affine, Point, Rect};
use proptest::prelude::*;

const BIT: f64 = 6.0;

fn shop(more: &str) -> Shop {
    let text = format!(
        "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 1200\nwidth = 600\nquantity = 3\n\
         grain = false\n[router]\nbit = {BIT}\nmargin = 2\nhold_down = 12\nbridge_width = 6\nbridge_height = 4\n\
         pass_depth = 3\nfeed = 1200\nplunge = 300\n{more}"
    );
    read_shop(&Source::new("shop.toml", text)).unwrap()
}

/// The same with bridges as `more` says.
fn shop_of(more: &str) -> Shop {
    let text = format!(
        "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 1200\nwidth = 600\nquantity = 3\n\
         grain = false\n[router]\nbit = {BIT}\n{more}"
    );
    read_shop(&Source::new("shop.toml", text)).unwrap()
}

fn board(length: f64, width: f64) -> Contour {
    rectangle(Point::ORIGIN, length, width, [0.0; 4]).unwrap()
}

fn part(name: &str, region: Region) -> Part {
    flat_parts::part(name, region, 1, Grain::Any, MadeBy::Router)
}

fn plain(length: f64, width: f64) -> Part {
    part("plain", Region::new(board(length, width), vec![]))
}

/// The sheet that the parts lie on, and what is done to it.
fn laid(parts: Vec<Part>, shop: &Shop) -> (RoutedSheet, Jobs) {
    let plan = plan(&[flat_parts::holder("rack", parts)], shop);
    let [sheet] = plan.sheets.try_into().unwrap();
    let jobs = sheet_jobs(&sheet, shop);
    (sheet, jobs)
}

fn outlines(jobs: &Jobs) -> impl Iterator<Item = &MillCut> {
    jobs.front.cuts.iter().filter(|cut| matches!(cut.work, MillWork::Outline { .. }))
}

fn openings(jobs: &Jobs) -> impl Iterator<Item = &MillCut> {
    jobs.front.cuts.iter().filter(|cut| matches!(cut.work, MillWork::Opening { .. }))
}

fn contour(cut: &MillCut) -> &Contour {
    match &cut.path {
        MillPath::Closed(contour) => contour,
        other => panic!("{other:?}"),
    }
}

/// A board with two tabs on top: 400 × 100 and tabs of 60 × 18.
fn tabbed() -> Part {
    let tabs = [Rect::new(80.0, 100.0, 140.0, 118.0), Rect::new(260.0, 100.0, 320.0, 118.0)];
    let region = tabs.iter().fold(Region::new(board(400.0, 100.0), vec![]), |region, tab| {
        let tab = rectangle(tab.origin() - (0.0, 1.0), 60.0, 19.0, [0.0; 4]).unwrap();
        region.join(&tab).unwrap()
    });
    let centers = tabs.iter().map(Rect::center).collect();
    let feature = Feature::Tab { length: 60.0, width: 18.0 };
    Part { rows: vec![Row { feature, centers }], ..part("tabbed", region) }
}

#[test]
fn bridges_stand_on_the_longest_sides_and_on_no_tab() {
    let (_, jobs) = laid(vec![tabbed()], &shop("bridges = 4"));
    let [cut] = outlines(&jobs).collect::<Vec<_>>().try_into().unwrap();
    assert_eq!(cut.bridges.len(), 4);
    // 400 below, then twice 100 at the ends; shoulders and tips are for the joint.
    let sides: Vec<f64> = cut
        .bridges
        .iter()
        .map(|bridge| {
            let on = |side: &Segment| (side.nearest(bridge.at) - bridge.at).hypot() < 1e-6;
            let whole = contour(cut).segments().filter(on).map(|s| s.length()).sum::<f64>();
            whole.round()
        })
        .collect();
    // The long side is begun in its middle: each of its halves is 200. A fourth there would share it with three.
    assert_eq!(sides.iter().filter(|side| **side == 200.0).count(), 3, "{sides:?}");
    assert_eq!(sides.iter().filter(|side| **side == 100.0).count(), 1, "{sides:?}");
}

#[test]
fn small_parts_have_fewer_bridges() {
    let count = |length, width| {
        let (_, jobs) = laid(vec![plain(length, width)], &shop("bridges = 6"));
        outlines(&jobs).map(|cut| cut.bridges.len()).sum::<usize>()
    };
    assert_eq!([count(80.0, 60.0), count(300.0, 200.0), count(500.0, 300.0)], [2, 5, 6]);
}

/// A mortise is milled away whole; what comes out of a window of 200 × 120 would come loose.
#[test]
fn a_slug_has_bridges_and_a_mortise_none() {
    let window = rectangle(Point::new(40.0, 40.0), 200.0, 120.0, [4.0; 4]).unwrap();
    let mortise = rectangle(Point::new(300.0, 40.0), 60.0, 18.2, [4.0; 4]).unwrap();
    let frame = part("frame", Region::new(board(400.0, 200.0), vec![window, mortise]));
    let (_, jobs) = laid(vec![frame], &shop("bridges = 4"));
    let held: Vec<usize> = openings(&jobs).map(|cut| cut.bridges.len()).collect();
    assert_eq!(held, [3, 0]);
}

#[test]
fn contours_are_closed_unless_they_are_broken_runs() {
    let (sheet, jobs) = laid(vec![plain(300.0, 200.0), tabbed()], &shop("bridges = 4"));
    assert_eq!(sheet.parts.len(), 2);
    assert!(jobs.front.cuts.iter().all(|cut| matches!(cut.path, MillPath::Closed(_))));
    let along = jobs.along_bit().unwrap();
    for cut in outlines(&along) {
        let MillPath::Broken { runs, gaps } = &cut.path else { panic!("{:?}", cut.path) };
        assert_eq!((runs.len(), gaps.len()), (4, 4));
        for gap in gaps {
            // The bit is round: it cuts half its width into either end.
            assert!((length(gap) - 6.0 - BIT).abs() < 1e-9, "{}", length(gap));
        }
    }
    let layer = JobLayer::of_bridge(jobs.front.hold.and_then(|h| h.down_to_bridge(18.0)));
    assert_eq!(layer.name(), "BRIDGE_Z1400");
}

fn length(line: &[Vertex]) -> f64 {
    let pairs = line.iter().zip(line.iter().skip(1));
    pairs.map(|(a, b)| Segment { start: a.at, end: b.at, bulge: a.bulge }.length()).sum()
}

#[test]
fn a_skin_in_place_of_bridges() {
    let (_, jobs) = laid(vec![plain(300.0, 200.0)], &shop("bridges = 0\nskin = 0.5"));
    let names: Vec<String> = layers(&jobs.front).map(|(layer, _)| layer.name()).collect();
    assert_eq!(names, ["CUT_OUTLINE_Z1750"]);
    assert!(outlines(&jobs).all(|cut| cut.bridges.is_empty() && cut.depth == Some(17.5)));
}

/// A lid that has room in the window of a frame alone.
#[test]
fn what_lies_inside_is_cut_first() {
    let window = rectangle(Point::new(30.0, 30.0), 240.0, 140.0, [5.0; 4]).unwrap();
    let frame = part("frame", Region::new(board(300.0, 200.0), vec![window]));
    let hole = Contour::circle(Point::new(40.0, 25.0), 10.0);
    let mut lid = part("lid", Region::new(board(200.0, 50.0), vec![hole]));
    lid.drillings = vec![drilling(100.0, 25.0, 5.0, None, Purpose::Tool)];
    let mut tight = shop("bridges = 2");
    tight.stock[0].length = 340.0;
    tight.stock[0].width = 240.0;
    let (_, jobs) = laid(vec![frame, lid], &tight);
    let names: Vec<String> = layers(&jobs.front).map(|(layer, _)| layer.name()).collect();
    let wanted =
        ["DRILL_D500_THRU", "CUT_INNER_OPENING", "CUT_INNER_OUTLINE", "CUT_OPENING", "CUT_OUTLINE"];
    assert_eq!(names, wanted);
}

#[test]
fn a_cut_begins_in_the_middle_of_a_long_side() {
    let jobs = part_jobs(&tabbed(), &shop(""));
    let first = contour(outlines(&jobs).next().unwrap()).vertices()[0].at;
    assert!((first - Point::new(200.0, 0.0)).hypot() < 1e-9, "{first:?}");
    // Nor in a slot, however long its sides are.
    let slot = open_slot(Point::new(50.0, 380.0), Point::new(50.0, -1.0), 20.0, 20.0).unwrap();
    let comb = Region::new(board(100.0, 400.0), vec![]).cut(&slot).unwrap();
    let jobs = part_jobs(&part("comb", comb), &shop(""));
    let first = contour(outlines(&jobs).next().unwrap()).vertices()[0].at;
    assert!(first.x == 0.0 || first.x == 100.0, "{first:?}");
    assert!((first.y - 200.0).abs() < 1e-9, "{first:?}");
}

/// With a bit that turns clockwise: conventional is counter-clockwise round a part, clockwise in an
/// opening; climbing is the other way. Common practice, no source.
#[test]
fn the_direction_is_as_chosen() {
    let window = rectangle(Point::new(40.0, 40.0), 100.0, 60.0, [4.0; 4]).unwrap();
    let frame = part("frame", Region::new(board(200.0, 150.0), vec![window]));
    for (direction, sign) in [("conventional", 1.0), ("climb", -1.0)] {
        let jobs = part_jobs(&frame, &shop(&format!("direction = \"{direction}\"")));
        assert!(outlines(&jobs).all(|cut| contour(cut).area() * sign > 0.0));
        assert!(openings(&jobs).all(|cut| contour(cut).area() * sign < 0.0));
    }
}

fn hole(x: f64, y: f64, depth: Option<f64>, face: Face) -> Drilling {
    Drilling { face, ..drilling(x, y, 5.0, depth, Purpose::Pilot) }
}

fn footprint(face: Face) -> Mark {
    let kind = MarkKind::Footprint { area: Rect::new(10.0, 10.0, 40.0, 30.0), face };
    Mark { kind, label: String::new() }
}

#[test]
fn the_face_with_work_lies_up() {
    let mut one = plain(200.0, 100.0);
    one.marks = vec![footprint(Face::Back)];
    one.drillings = vec![hole(20.0, 30.0, None, Face::Back)];
    assert_eq!(
        (one.up(), one.is_turned_over()),
        (Face::Show, false),
        "marks and through holes ask for nothing"
    );
    one.drillings.push(hole(50.0, 30.0, Some(8.0), Face::Back));
    assert_eq!((one.up(), one.is_turned_over()), (Face::Back, false));
    let jobs = part_jobs(&one, &shop(""));
    let centers: Vec<Point> = jobs.front.cuts.iter().filter_map(center).collect();
    assert_eq!(centers, [Point::new(180.0, 30.0), Point::new(150.0, 30.0)]);
    assert!(jobs.back.is_none() && jobs.front.dowels.is_none());
}

fn center(cut: &MillCut) -> Option<Point> {
    match cut.path {
        MillPath::Circle { center, .. } => Some(center),
        _ => None,
    }
}

/// A part with work on both faces, in each turn: turned about the flip line and back on its dowels, what is
/// bored from the back lies where the part has it.
#[test]
fn both_faces_come_to_one_place() {
    let mut both = plain(200.0, 100.0);
    both.drillings = vec![
        hole(50.0, 30.0, Some(8.0), Face::Back),
        hole(120.0, 70.0, Some(8.0), Face::Show),
        hole(180.0, 20.0, None, Face::Show),
    ];
    let contour = rectangle(Point::new(60.0, 50.0), 40.0, 20.0, [0.0; 4]).unwrap();
    both.pockets = vec![Pocket {
        area: contour.bounds(),
        contour,
        depth: 6.0,
        face: Face::Back,
        run_out: 0.0,
        open: OpenSides::default(),
        seat: false,
    }];
    for pieces in [1, 5] {
        let mut part = both.clone();
        part.places = vec![part.places[0]; pieces];
        let (sheet, jobs) = laid(vec![part], &shop(""));
        let (back, pair) = (jobs.back.as_ref().unwrap(), jobs.front.dowels.unwrap());
        let over = Affine::new([-1.0, 0.0, 0.0, 1.0, sheet.size.width, 0.0]);
        let [left, right] = pair.at;
        assert!((over * left - right).hypot() < 1e-9 && (over * right - left).hypot() < 1e-9);
        // Turned the other way the holes do not meet.
        assert!((left.y - (sheet.size.height - left.y)).abs() > 2.0 * pair.diameter);
        let bored: Vec<Point> = back
            .cuts
            .iter()
            .filter(|cut| matches!(cut.work, MillWork::Drill { .. }))
            .filter_map(center)
            .collect();
        assert_eq!(bored.len(), pieces);
        for (piece, at) in sheet.parts.iter().zip(bored) {
            assert!((over * at - piece.map() * Point::new(50.0, 30.0)).hypot() < 1e-9);
            let wood = piece.part.region.transformed(piece.map());
            for dowel in pair.at {
                assert!(wood.room_at(dowel) <= -1.5 * BIT, "{dowel:?}");
            }
        }
        let pockets = back.cuts.iter().filter(|cut| cut.work == MillWork::Pocket);
        assert_eq!(pockets.count(), pieces);
        // Cut free with the show face up, once.
        assert_eq!(outlines(&jobs).count(), pieces);
        assert!(!back.cuts.iter().any(|cut| matches!(cut.work, MillWork::Outline { .. })));
    }
}

/// By hand: 18 mm and half a mm into the board take seven passes of 3 mm, round 300 × 200 at 1200 mm a minute, and down
/// and up at 300.
#[test]
fn passes_and_minutes() {
    let shop = shop("");
    let jobs = part_jobs(&plain(300.0, 200.0), &shop);
    let effort = jobs.front.effort(&jobs.front.cuts, &shop.router_run);
    assert_eq!(effort.passes, 7);
    let minutes = 7.0 * 1000.0 / 1200.0 + 2.0 * 18.5 / 300.0;
    assert!((effort.minutes - minutes).abs() < 1e-9, "{} {minutes}", effort.minutes);
}

/// Steiner's formula for the way of the bit round a convex part, A + P d + pi d²; that in a pocket is the pocket
/// half a bit smaller all round.
#[test]
fn pockets_are_followed_too() {
    let mut part = plain(300.0, 200.0);
    let contour = rectangle(Point::new(50.0, 50.0), 100.0, 60.0, [0.0; 4]).unwrap();
    part.pockets = vec![Pocket {
        area: contour.bounds(),
        contour,
        depth: 6.0,
        face: Face::Show,
        run_out: 0.0,
        open: OpenSides::default(),
        seat: false,
    }];
    let jobs = part_jobs(&part, &shop("")).along_bit().unwrap();
    let [pocket, outline] = &jobs.front.cuts[..] else { panic!("{:?}", jobs.front.cuts) };
    assert!((self::contour(pocket).area().abs() - 94.0 * 54.0).abs() < 1e-6);
    let steiner = 300.0 * 200.0 + 1000.0 * 3.0 + PI * 9.0;
    assert!((self::contour(outline).area() - steiner).abs() < 1e-3);
}

/// A window of 76.2 mm with corners of 19: its straight sides of 38 mm have no room for a bridge, which takes 6 mm of wood
/// and twice the bit, in a stretch of its own. So its slug has bridges in the round corners, or it is told.
#[test]
fn a_slug_without_a_long_side_is_held_or_told() {
    let window = rectangle(Point::new(40.0, 40.0), 76.2, 76.2, [19.0; 4]).unwrap();
    let frame = part("frame", Region::new(board(200.0, 160.0), vec![window]));
    let wide = shop("bridges = 4").router_sheets.bridge_width;
    assert!((wide - 6.0).abs() < 1e-9);
    let (sheet, jobs) = laid(vec![frame], &shop("bridges = 4"));
    let cut = openings(&jobs).next().unwrap();
    assert!(!cut.clears);
    let told = crate::milling::milling(std::slice::from_ref(&sheet), &shop("bridges = 4")).findings;
    assert_eq!(cut.bridges.is_empty(), told.iter().any(|f| f.code == "no-bridge"), "{told:?}");
    // With bridges of 40 mm none has room on a side of 90 less two corners of 10: that is told.
    let tight = "bridges = 4\nbridge_width = 40";
    let window = rectangle(Point::new(40.0, 40.0), 90.0, 90.0, [10.0; 4]).unwrap();
    let frame = part("frame", Region::new(board(300.0, 260.0), vec![window]));
    let (sheet, _) = laid(vec![frame], &shop_of(tight));
    let told = crate::milling::milling(&[sheet], &shop_of(tight)).findings;
    assert!(told.len() == 1 && told[0].message.contains("side of an opening is 70 mm"), "{told:?}");
}

/// A slot at a slant, as wide as a bit and a bit: its box is large, what comes out of it is not.
#[test]
fn a_slanting_slot_leaves_no_slug() {
    let slot =
        crate::kernel::closed_slot(Point::new(60.0, 60.0), Point::new(140.0, 140.0), 8.0, 8.0);
    let plate = part("plate", Region::new(board(200.0, 200.0), vec![slot.unwrap()]));
    let (_, jobs) = laid(vec![plate], &shop("bridges = 4"));
    assert!(openings(&jobs).all(|cut| cut.clears && cut.bridges.is_empty()));
}

/// What a skin needs: it turns the default's bridges off by itself; with stated ones it is refused.
#[test]
fn a_skin_by_itself_is_enough() {
    let text = "units = \"mm\"\n[router]\nbit = 6\nskin = 0.5\n";
    let read = |text: &str| read_shop(&Source::new("shop.toml", text.to_owned()));
    assert_eq!(read(text).unwrap().router_sheets.bridges, 0);
    assert!(read(&format!("{text}bridges = 4\n")).is_err());
}

#[test]
fn parts_that_nothing_holds_are_told() {
    let (sheet, _) = laid(vec![plain(300.0, 200.0)], &shop("bridges = 0"));
    let told = crate::milling::milling(&[sheet], &shop("bridges = 0")).findings;
    assert!(told.len() == 1 && told[0].code == "nothing-holds", "{told:?}");
}

/// An offcut of its own thickness is milled through by that, and down to a skin from that.
#[test]
fn an_offcut_is_as_thick_as_it_was_read() {
    let text = "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 1200\nwidth = 600\nquantity = 1\n\
                [[offcut]]\nof = \"ply\"\nlength = 500\nwidth = 400\nthickness = [17.2, 17.5]\n\
                [router]\nbit = 6\nhold_down = 12\nskin = 0.5\n";
    let shop = read_shop(&Source::new("shop.toml", text.to_owned())).unwrap();
    let (sheet, jobs) = laid(vec![plain(300.0, 200.0)], &shop);
    assert!(sheet.offcut && (sheet.thickness, sheet.thickness_least) == (17.5, 17.2));
    assert!(outlines(&jobs).all(|cut| cut.depth == Some(17.0)));
}

/// A pocket that is wide enough is milled by the wide bit, its corners left round; one that is not by the thin one.
#[test]
fn a_pocket_takes_the_widest_bit_that_has_room() {
    for (width, bit) in [(60.0, "POCKET_Z600"), (5.0, "POCKET_Z600_B300")] {
        let mut part = plain(300.0, 200.0);
        let contour = rectangle(Point::new(50.0, 50.0), 100.0, width, [0.0; 4]).unwrap();
        part.pockets = vec![Pocket {
            area: contour.bounds(),
            contour,
            depth: 6.0,
            face: Face::Show,
            run_out: 0.0,
            open: OpenSides::default(),
            seat: false,
        }];
        let jobs = part_jobs(&part, &shop("joint_bit = 3"));
        let names: Vec<String> = layers(&jobs.front).map(|(layer, _)| layer.name()).collect();
        assert_eq!(names, [bit, "CUT_OUTLINE"]);
    }
}

/// Joints and small radii by the thin bit, what the wide one fits by that.
#[test]
fn each_contour_has_its_bit() {
    let window = rectangle(Point::new(40.0, 40.0), 100.0, 60.0, [4.0; 4]).unwrap();
    let mortise = rectangle(Point::new(200.0, 40.0), 60.0, 18.2, [1.6; 4]).unwrap();
    let frame = part("frame", Region::new(board(400.0, 200.0), vec![window, mortise]));
    let jobs = part_jobs(&frame, &shop("joint_bit = 3"));
    let names: Vec<String> = layers(&jobs.front).map(|(layer, _)| layer.name()).collect();
    assert_eq!(names, ["CUT_OPENING", "CUT_OPENING_B300", "CUT_OUTLINE"]);
    assert!(jobs.along_bit().is_ok());
}

/// Six mortises, each on either side wider than the tab by what stands over it; in either unit.
#[test]
fn the_try_piece_has_the_clearances_that_it_says() {
    let inch = "units = \"in\"\n[[sheet]]\nname = \"ply\"\nthickness = \"23/32\"\nlength = 96\nwidth = 48\n[router]\nbit = \"1/4\"\n";
    let metric =
        inch.replace("\"in\"", "\"mm\"").replace("\"23/32\"", "18.2").replace("\"1/4\"", "6");
    let metric =
        metric.replace("length = 96", "length = 2440").replace("width = 48", "width = 1220");
    for (shop, step) in [(inch.to_owned(), 0.004 * 25.4), (metric, 0.1)] {
        let shop = Source::new("shop.toml", shop);
        let worked = crate::work_out(&crate::Inputs::of_try_piece(Some(shop), None)).unwrap();
        assert!(!worked.is_stopped());
        let holder = &worked.holders[0].holder;
        let [board, tab] = &holder.parts[..] else { panic!("{:?}", holder.parts.len()) };
        let tab = tab.tabs().next().unwrap();
        let mut mortises: Vec<Rect> = board
            .rows
            .iter()
            .flat_map(|row| {
                let (Feature::Mortise { length, width } | Feature::Window { length, width }) =
                    row.feature
                else {
                    panic!("{:?}", row.feature)
                };
                row.centers.iter().map(move |at| Rect::from_center_size(*at, (length, width)))
            })
            .collect();
        mortises.sort_by(|a, b| a.x0.total_cmp(&b.x0));
        assert_eq!(mortises.len(), 6);
        for (n, mortise) in mortises.iter().enumerate() {
            let clear = step * (n as f64 - 1.0);
            assert!((mortise.width() - tab.width() - 2.0 * clear).abs() < 1e-6, "{n}: {mortise:?}");
            assert!((mortise.height() - board.stock.thickness - 2.0 * clear).abs() < 1e-6, "{n}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Runs and gaps together are the whole way of the bit, whatever the shape; gaps do not overlap.
    #[test]
    fn runs_and_gaps_make_up_the_way(
        length in 60.0..500.0_f64, width in 60.0..400.0_f64, corner in 0.0..25.0_f64, count in 1..7_usize,
    ) {
        let outline = rectangle(Point::ORIGIN, length, width, [corner, 0.0, corner, 0.0]).unwrap();
        let (_, jobs) = laid(vec![part("one", Region::new(outline, vec![]))], &shop(&format!("bridges = {count}")));
        let cut = outlines(&jobs).next().unwrap();
        let whole = contour(cut).path_of_bit(BIT, crate::kernel::BitSide::Outside).unwrap().perimeter();
        let along = jobs.along_bit().unwrap();
        let MillPath::Broken { runs, gaps } = &outlines(&along).next().unwrap().path else {
            return Err(TestCaseError::fail("a side of 60 mm has room for a bridge"));
        };
        prop_assert_eq!(gaps.len(), cut.bridges.len());
        prop_assert_eq!(gaps.len(), runs.len());
        let sum: f64 = runs.iter().chain(gaps).map(|line| self::length(line)).sum();
        prop_assert!((sum - whole).abs() < 1e-6, "{} {}", sum, whole);
        prop_assert!(gaps.iter().all(|gap| (self::length(gap) - 12.0).abs() < 1e-6));
    }
}
