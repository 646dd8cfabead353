//! What is drawn and told of a planned wall, on plans made by hand from the sample's holders.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

use kurbo::{Rect, Size, Vec2};
use serde_json::Value as Json;

use crate::document::{Pictures, WallTold, book, wall_file, wall_sheet};
use crate::drawing::{Drawing, Item, Line, Path, WallElevation, WallScene};
use crate::export::{html, md, summary};
use crate::holder::{Finding, Holder, Model};
use crate::length::{MM_PER_INCH as INCH, Units};
use crate::shop::{Paper, Shop};
use crate::wall::{
    Aims, CleatPiece, FreeStretch, HungPlace, PlannedRow, PlannedWall, RowsAsked, StudLoad,
    WallObstacle, WallPlan, WallSpace,
};
use crate::work_out::{Worked, WorkedHolder};
use crate::{Options, render, work_out};

use super::folder;
use super::legible::met;

/// The room on a page of letter paper with a margin of a quarter inch, and on one of A4 in the book.
const ROOM: Size = Size::new(8.0 * INCH, 10.5 * INCH);
const IN_BOOK: Size = Size::new(179.0, 233.0);

/// A wall by hand: how large, where its rows are, how many of the sample's holders hang on it.
struct ByHand {
    /// These in inches.
    width: f64,
    height: f64,
    rows: &'static [f64],
    holders: usize,
    units: Units,
}

/// Five holders on two rows, and as many as there is room for on two and on five rows.
const FEW: ByHand =
    ByHand { width: 96.0, height: 96.0, rows: &[44.0, 78.0], holders: 5, units: Units::Inches };
const MANY: ByHand =
    ByHand { width: 192.0, height: 96.0, rows: &[46.0, 80.0], holders: 18, units: Units::Inches };
const FIVE: ByHand = ByHand {
    width: 168.0,
    height: 102.0,
    rows: &[22.0, 38.0, 54.0, 70.0, 90.0],
    holders: 25,
    units: Units::Millimeters,
};

/// The box round its wood, and the one round wood and tools, in the holder.
fn boxes(worked: &WorkedHolder) -> (Rect, Rect) {
    let flat = |(low, high): ([f64; 3], [f64; 3])| Rect::new(low[0], low[1], high[0], high[1]);
    let wood = worked.holder.parts.iter().flat_map(|part| &part.places);
    let wood = wood.map(|place| flat(place.bounds())).reduce(|a, b| a.union(b)).unwrap();
    let taken = worked.room.as_ref().map_or(wood, |room| wood.union(flat(room.bounds)));
    (wood, taken)
}

/// How high the edge of its cleat is that lies in the valley of the wall cleat.
fn hook(holder: &Holder) -> Option<f64> {
    holder.carriers.iter().find_map(|carrier| match carrier.model {
        Model::Hook { cleat, .. } => Some(holder.parts[cleat].places[0].bounds().0[1]),
        _ => None,
    })
}

impl ByHand {
    fn obstacles(&self) -> Vec<WallObstacle> {
        let area = |x0: f64, y0: f64, x1: f64, y1: f64| {
            Rect::new(x0 * INCH, y0 * INCH, x1 * INCH, y1 * INCH)
        };
        vec![
            WallObstacle { name: "outlet".to_owned(), area: area(30.0, 12.0, 33.0, 16.0) },
            WallObstacle {
                name: "window".to_owned(),
                area: area(self.width - 30.0, 50.0, self.width - 6.0, self.height - 18.0),
            },
        ]
    }

    fn space(&self) -> WallSpace {
        let studs = (0..).map(|stud| (8.0 + 16.0 * f64::from(stud)) * INCH);
        WallSpace {
            name: String::new(),
            width: self.width * INCH,
            height: self.height * INCH,
            studs: studs.take_while(|stud| *stud < self.width * INCH).collect(),
            rows: RowsAsked::Open,
            obstacles: self.obstacles(),
        }
    }

    /// Each holder at the first place that is free, in the lowest row that takes it, the tallest first.
    fn planned(&self, worked: &Worked, shop: &Shop) -> (WallPlan, Vec<Arc<Holder>>) {
        let worked = worked.holders.iter().filter(|w| w.holder.wall_cleats.is_empty());
        let mut worked: Vec<_> = worked.cycle().take(self.holders).collect();
        worked.sort_by(|a, b| boxes(b).1.height().total_cmp(&boxes(a).1.height()));
        let (space, mut places, mut holders) = (self.space(), Vec::<HungPlace>::new(), Vec::new());
        let mut left_over = Vec::new();
        for (at, worked) in worked.into_iter().enumerate() {
            let mut holder = Holder::clone(&worked.holder);
            if at > 0 && holders.iter().any(|other: &Arc<Holder>| other.name == holder.name) {
                holder.name += "-2";
                holder.title += ", more of them";
            }
            let (wood, taken) = boxes(worked);
            let place = self.place(&space, shop, (&holder, wood, taken), &places);
            match place {
                Some(place) => places.push(place),
                None => left_over.push(holder.name.clone()),
            }
            holders.push(Arc::new(holder));
        }
        places.sort_by(|a, b| {
            let row = |place: &HungPlace| place.row.unwrap_or(usize::MAX);
            row(a).cmp(&row(b)).then(a.wood.x0.total_cmp(&b.wood.x0))
        });
        let rows: Vec<PlannedRow> =
            self.rows.iter().map(|row| self.row(&space, row * INCH)).collect();
        let free = (0..rows.len()).flat_map(|row| self.free(row, &rows[row], &space, &places));
        let free = free.collect();
        let studs = (1..).zip(&space.studs).map(|(number, at)| StudLoad {
            at: *at,
            load: 100.0 + 10.0 * f64::from(number),
            share: 0.05 * f64::from(number),
        });
        let studs = studs.collect();
        let aims = Aims {
            left_over: left_over.len(),
            findings: 1,
            out_of_reach: 12_345.0,
            apart: 2345.0,
            free: 1234.0,
        };
        let findings = vec![Finding::note("one-by-hand", "This plan was made by hand.".to_owned())];
        let walls = vec![PlannedWall { space, rows, places, free, studs }];
        (WallPlan { walls, aims, left_over, findings }, holders)
    }

    fn place(
        &self,
        space: &WallSpace,
        shop: &Shop,
        (holder, wood, taken): (&Holder, Rect, Rect),
        others: &[HungPlace],
    ) -> Option<HungPlace> {
        let steps = (0..(space.width / 12.7) as i32).map(|step| f64::from(step) * 12.7);
        let valley = |row: f64| row * INCH - shop.cleat.rise();
        let rows = self.rows.iter().enumerate().map(|(at, row)| (Some(at), *row));
        let spots = rows.flat_map(|(at, row)| steps.clone().map(move |x| (at, row, x)));
        let places = spots.map(|(at, row, x)| {
            let (at, y) = match hook(holder) {
                Some(hook) => (at, valley(row) - hook),
                None => (None, row * INCH - wood.height()),
            };
            let by = Vec2::new(x - taken.x0, y);
            HungPlace {
                holder: holder.name.clone(),
                row: at,
                origin: by.to_point(),
                wood: wood + by,
                taken: taken + by,
                lift: 12.0,
                kept: false,
            }
        });
        let bars: Vec<Rect> = space.obstacles.iter().map(|obstacle| obstacle.area).collect();
        let within = Rect::new(0.0, 0.0, space.width, space.height);
        places.into_iter().find(|place| {
            let clear = |other: &Rect| {
                let common = other.intersect(place.taken);
                common.width() <= 0.0 || common.height() <= 0.0
            };
            within.contains_rect(place.taken)
                && bars.iter().all(clear)
                && others.iter().all(|other| clear(&other.taken))
        })
    }

    /// A row in pieces that meet over studs, each with two screws in each stud.
    fn row(&self, space: &WallSpace, height: f64) -> PlannedRow {
        let mut joints = vec![0.0];
        joints.extend(space.studs.iter().skip(3).step_by(3));
        joints.push(space.width);
        let cleats = joints.windows(2).map(|ends| {
            let screws = space.studs.iter().filter(|stud| (ends[0]..=ends[1]).contains(*stud));
            let screws = screws.flat_map(|stud| {
                let aside = if *stud - ends[0] < 1.0 { 15.0 } else { -15.0 };
                [*stud + aside, *stud + aside / 3.0]
            });
            let screws = screws.filter(|screw| (ends[0]..ends[1]).contains(screw)).collect();
            CleatPiece { from: ends[0], to: ends[1], screws }
        });
        PlannedRow { height, cleats: cleats.collect() }
    }

    /// What nothing hangs before of a row, where that is 8 in or more.
    fn free(
        &self,
        at: usize,
        row: &PlannedRow,
        space: &WallSpace,
        places: &[HungPlace],
    ) -> Vec<FreeStretch> {
        let bars = places.iter().map(|place| place.taken);
        let bars = bars.chain(space.obstacles.iter().map(|obstacle| obstacle.area));
        let mut bars: Vec<Rect> =
            bars.filter(|bar| bar.y0 < row.height + 25.0 && bar.y1 > row.height - 100.0).collect();
        bars.sort_by(|a, b| a.x0.total_cmp(&b.x0));
        bars.push(Rect::new(space.width, 0.0, space.width, 0.0));
        let mut from = 0.0;
        let mut free = Vec::new();
        for bar in bars {
            if bar.x0 - from > 8.0 * INCH {
                free.push(FreeStretch { row: at, from, to: bar.x0 });
            }
            from = f64::max(from, bar.x1);
        }
        free
    }

    fn on(&self, worked: &Worked) -> Planned {
        let shop = Shop { units: self.units, ..Shop::clone(&worked.shop) };
        let (plan, holders) = self.planned(worked, &shop);
        Planned { shop, plan, holders }
    }
}

/// A plan by hand with what it is drawn from.
struct Planned {
    shop: Shop,
    plan: WallPlan,
    holders: Vec<Arc<Holder>>,
}

/// The three walls, once for all tests.
fn walls() -> &'static [Planned; 3] {
    static WALLS: LazyLock<[Planned; 3]> =
        LazyLock::new(|| [&FEW, &MANY, &FIVE].map(|by_hand| by_hand.on(folder::sample())));
    &WALLS
}

/// Each wall drawn on a page of its own and on one of the book.
fn drawn() -> &'static [[Drawing; 2]; 3] {
    static DRAWN: LazyLock<[[Drawing; 2]; 3]> = LazyLock::new(|| {
        walls().each_ref().map(|planned| {
            let holders = planned.holders();
            let wall = &planned.plan.walls[0];
            let scene = WallScene { wall, holders: &holders, shop: &planned.shop };
            let elevation = WallElevation::new(scene);
            [ROOM, IN_BOOK].map(|room| elevation.drawing(room))
        })
    });
    &DRAWN
}

impl Planned {
    fn holders(&self) -> Vec<&Holder> {
        self.holders.iter().map(|holder| &**holder).collect()
    }

    fn title(&self, name: &str) -> &str {
        &self.holders.iter().find(|holder| holder.name == name).unwrap().title
    }

    fn wall(&self) -> &PlannedWall {
        &self.plan.walls[0]
    }

    fn sheet(&self) -> String {
        let holders = self.holders();
        md::write(&wall_sheet(&WallTold { plan: &self.plan, holders: &holders, shop: &self.shop }))
    }
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let texts = drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text.text.as_str()),
        _ => None,
    });
    texts.collect()
}

/// How many bold texts say so: on the wall and in the list.
fn bold(drawing: &Drawing, told: &str) -> usize {
    let is = |item: &&Item| matches!(item, Item::Text(text) if text.bold && text.text == told);
    drawing.items.iter().filter(is).count()
}

/// What the drawing says of its own scale: how many times smaller it is.
fn times(drawing: &Drawing) -> f64 {
    let facts = texts(drawing).into_iter().find(|text| text.contains("drawn ")).unwrap();
    let (_, told) = facts.split_once("drawn ").unwrap();
    let told = told.split(" ·").next().unwrap();
    match told.split_once(" in = 1 ft") {
        Some((inches, _)) => 12.0 / crate::length::read(inches).unwrap().value,
        None => told.strip_prefix("1 : ").unwrap().parse().unwrap(),
    }
}

/// Writes them to look at.
#[test]
#[ignore = "for the eye: writes to the folder for temporary files"]
fn walls_to_look_at() {
    for (name, [page, book]) in ["few", "many", "five"].iter().zip(drawn()) {
        let path = |what: &str| std::env::temp_dir().join(format!("wall-{name}{what}.svg"));
        std::fs::write(path(""), crate::export::svg::write(page)).unwrap();
        std::fs::write(path("-book"), crate::export::svg::write(book)).unwrap();
    }
    for (name, planned) in ["few", "many", "five"].iter().zip(walls()) {
        let path = std::env::temp_dir().join(format!("wall-{name}.md"));
        std::fs::write(path, planned.sheet()).unwrap();
    }
    for (name, bytes) in &made().1 {
        let path = std::env::temp_dir().join("wall-made/small").join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
}

#[test]
fn a_wall_is_legible_and_has_room_on_its_page() {
    for (planned, drawings) in walls().iter().zip(drawn()) {
        for (drawing, room) in drawings.iter().zip([ROOM, IN_BOOK]) {
            let met = met(drawing);
            assert!(met.is_empty(), "{}", met.join("\n"));
            let (long, short) =
                (drawing.width.max(drawing.height), drawing.width.min(drawing.height));
            assert!(short <= room.width && long <= room.height, "{long} × {short}");
        }
        assert!(planned.plan.left_over.is_empty());
    }
}

/// The wall's frame times the scale that is told is the wall.
#[test]
fn the_scale_that_is_told_is_true() {
    for (planned, drawings) in walls().iter().zip(drawn()) {
        let space = &planned.wall().space;
        for drawing in drawings {
            let frames = drawing.items.iter().filter_map(|item| match item {
                Item::Stroke { line: Line::Furniture, path: Path::Closed(frame) } => {
                    Some(frame.bounds().size() * times(drawing))
                }
                _ => None,
            });
            let near = |size: &Size| {
                (size.width - space.width).abs() < 1e-6 && (size.height - space.height).abs() < 1e-6
            };
            assert_eq!(frames.filter(near).count(), 1);
        }
    }
}

/// Each holder has its number on the wall and in the list, there with its title and the places of its wood.
#[test]
fn every_holder_is_numbered_and_told() {
    for (planned, drawings) in walls().iter().zip(drawn()) {
        let units = planned.shop.units;
        for drawing in drawings {
            let texts = texts(drawing);
            let count = |text: &str| texts.iter().filter(|told| **told == text).count();
            for (number, place) in (1..).zip(&planned.wall().places) {
                assert_eq!(bold(drawing, &format!("{number}")), 2, "{number}: {texts:?}");
                for at in [place.wood.x0, place.wood.x1, place.wood.y0] {
                    assert!(count(&units.bare_length(at)) > 0, "{at}");
                }
            }
            for (number, row) in (1..).zip(&planned.wall().rows) {
                let told = format!("row {number}: {}", units.bare_length(row.height));
                assert_eq!(count(&told), 1, "{told}");
            }
            for obstacle in &planned.wall().space.obstacles {
                assert_eq!(count(&obstacle.name), 1, "{}", obstacle.name);
            }
        }
    }
}

/// The rows of the table under a head.
fn table<'t>(text: &'t str, head: &str) -> Vec<Vec<&'t str>> {
    let (_, under) = text.split_once(head).unwrap_or_else(|| panic!("no {head} in {text}"));
    let lines = under.lines().skip(2).take_while(|line| line.starts_with('|'));
    let cells = |line: &'t str| line.trim_matches(['|', ' ']).split(" | ").collect();
    lines.map(cells).collect()
}

#[test]
fn the_sheet_tells_the_plan() {
    for planned in walls() {
        let (sheet, units, wall) = (planned.sheet(), planned.shop.units, planned.wall());
        let told =
            table(&sheet, "| no. | holder | row | left edge | right edge | foot | over stud |");
        assert_eq!(told.len(), wall.places.len());
        for (number, (cells, place)) in (1..).zip(told.iter().zip(&wall.places)) {
            let row = place.row.map_or("on the studs".to_owned(), |row| (row + 1).to_string());
            let [left, right, foot] =
                [place.wood.x0, place.wood.x1, place.wood.y0].map(|at| units.length(at));
            let studs = (1..).zip(&wall.space.studs);
            let over = studs.filter(|(_, at)| place.wood.x0 <= **at && **at <= place.wood.x1);
            let over: Vec<String> = over.map(|(stud, _)| format!("{stud}")).collect();
            let over = if over.is_empty() { "none".to_owned() } else { over.join(", ") };
            let title = planned.title(&place.holder).to_owned();
            let number = format!("{number}");
            assert_eq!(*cells, [number, title, row, left, right, foot, over]);
        }
        let rows = table(&sheet, "| row | top edge | wall cleats | screws |");
        let heights: Vec<&str> = rows.iter().map(|cells| cells[1]).collect();
        let wanted: Vec<String> = wall.rows.iter().map(|row| units.length(row.height)).collect();
        assert_eq!(heights, wanted);
        let free = table(&sheet, "| row | from | to | length |");
        assert_eq!(free.len(), wall.free.len());
        // Every holder, every row is a step with a box to tick.
        for place in &wall.places {
            let step = format!("{}**", planned.title(&place.holder));
            let steps =
                sheet.lines().filter(|line| line.contains(". ☐ **") && line.contains(&step));
            assert_eq!(steps.count(), 1, "{step}");
        }
        let no_unit = if units == Units::Inches { " mm" } else { " in " };
        assert!(!sheet.lines().any(|line| line.starts_with('|') && line.contains(no_unit)));
    }
}

/// Walls as nobody has them: bare, in masonry, of a hundred studs, with rows too near to each other, long names, all in the
/// way.
#[test]
fn odd_walls_are_legible() {
    let shop = &walls()[0].shop;
    let obstacle = |name: &str, area: Rect| WallObstacle { name: name.to_owned(), area };
    let space = |width: f64, height: f64, studs: usize| {
        WallSpace {
        name: "A wall of which somebody had very much to say, more than one line has room for; and then a little more".to_owned(),
        width,
        height,
        studs: (0..studs).map(|at| (at as f64 + 0.5) * width / studs as f64).collect(),
        rows: RowsAsked::Open,
        obstacles: Vec::new(),
    }
    };
    let crowded = WallSpace {
        obstacles: vec![
            obstacle("everything", Rect::new(0.0, 0.0, 3000.0, 2400.0)),
            obstacle(
                "a name that is far too long to stand on any wall of this size, whatever the scale",
                Rect::new(10.0, 10.0, 12.0, 12.0),
            ),
        ],
        ..space(3000.0, 2400.0, 7)
    };
    let low = WallSpace { name: String::new(), ..space(12_000.0, 400.0, 100) };
    let spaces = [
        space(2400.0, 2400.0, 0),
        space(300.0, 3000.0, 1),
        low,
        crowded,
        space(90_000.0, 2400.0, 0),
    ];
    for (at, space) in spaces.into_iter().enumerate() {
        let cleat =
            |from: f64, to: f64| CleatPiece { from, to, screws: vec![f64::midpoint(from, to)] };
        let heights = (0..12).map(|row| 100.0 + 20.0 * f64::from(row));
        let rows = heights.map(|height| {
            let half = space.width / 2.0;
            PlannedRow { height, cleats: vec![cleat(0.0, half), cleat(half, space.width)] }
        });
        let free = vec![FreeStretch { row: 3, from: 0.0, to: space.width }];
        let (places, studs) = (Vec::new(), Vec::new());
        let rows = if at == 0 { Vec::new() } else { rows.collect() };
        let wall = PlannedWall { space, rows, places, free, studs };
        for units in [Units::Inches, Units::Millimeters] {
            let shop = Shop { units, ..shop.clone() };
            let drawing = WallElevation::new(WallScene { wall: &wall, holders: &[], shop: &shop })
                .drawing(ROOM);
            let met = met(&drawing);
            assert!(met.is_empty(), "wall {at}: {}", met.join("\n"));
            let long = drawing.width.max(drawing.height);
            assert!(long <= ROOM.height, "wall {at}: {long}");
            for obstacle in &wall.space.obstacles {
                let told = texts(&drawing).join(" ");
                assert_eq!(told.matches(&obstacle.name).count(), 1, "{told}");
            }
        }
    }
}

/// In masonry there are plugs, and nothing is rated.
#[test]
fn a_wall_of_masonry_has_plugs() {
    let planned = &walls()[0];
    let mut shop = planned.shop.clone();
    shop.wall.masonry = Some("brick".to_owned());
    let holders = planned.holders();
    let sheet =
        md::write(&wall_sheet(&WallTold { plan: &planned.plan, holders: &holders, shop: &shop }));
    assert!(sheet.contains("| plug | its middle |") && sheet.contains("not rated"), "{sheet}");
    assert!(sheet.contains("Mark where the plugs go") && !sheet.contains("each stud"), "{sheet}");
}

/// Those that no place is left for are told by their titles; findings of the plan, whatever it comes to, once.
#[test]
fn what_is_left_over_is_told() {
    let planned = &walls()[0];
    let mut plan = planned.plan.clone();
    let gone = plan.walls[0].places.pop().unwrap();
    plan.left_over.push(gone.holder.clone());
    let holders = planned.holders();
    let told = WallTold { plan: &plan, holders: &holders, shop: &planned.shop };
    let sheet = md::write(&wall_sheet(&told));
    let line =
        format!("4 of 5 holders hang; no place is left for {}.", planned.title(&gone.holder));
    assert!(sheet.contains(&line), "{sheet}");
    assert_eq!(sheet.matches("This plan was made by hand.").count(), 1);
}

/// A project of three holders with a plan by hand, all files of it.
fn small() -> (Worked, BTreeMap<String, Vec<u8>>) {
    let names = ["saws", "glues", "sash-clamps"];
    let text = |path: &str| std::fs::read_to_string(format!("{}/{path}", folder::SHED)).unwrap();
    let inputs = names.iter().fold(crate::Inputs::new(), |inputs, name| {
        let path = format!("holders/{name}.toml");
        inputs.with(&path, &text(&path))
    });
    let inputs = inputs.with("shop.toml", &text("shop.toml").replace("apart = ", "# "));
    let mut worked = work_out(&inputs.with_cutting_steps(1)).unwrap();
    let planned = ByHand { holders: 3, ..FEW }.on(&worked);
    assert!(planned.plan.left_over.is_empty());
    worked.wall_plan = Some(Arc::new(planned.plan));
    let mut made = BTreeMap::new();
    render(&worked, &Options::default(), &mut made).unwrap();
    (worked, made)
}

fn made() -> &'static (Worked, BTreeMap<String, Vec<u8>>) {
    static MADE: LazyLock<(Worked, BTreeMap<String, Vec<u8>>)> = LazyLock::new(small);
    &MADE
}

#[test]
fn a_project_with_a_plan_has_its_files_the_same_each_time() {
    let (worked, made) = made();
    let mut again = BTreeMap::new();
    render(worked, &Options::default(), &mut again).unwrap();
    for name in ["wall.svg", "wall.md", "wall.glb", "book.html", "summary.json"] {
        assert!(made.contains_key(name), "{name}");
        assert!(made[name] == again[name], "{name} differs");
    }
    let mut without = worked.clone();
    without.wall_plan = None;
    let mut bare = BTreeMap::new();
    render(&without, &Options::default(), &mut bare).unwrap();
    let added: BTreeSet<&String> = made.keys().filter(|name| !bare.contains_key(*name)).collect();
    assert_eq!(added.into_iter().collect::<Vec<_>>(), ["wall.glb", "wall.md", "wall.svg"]);
}

#[test]
fn the_summary_has_the_plan() {
    let (worked, made) = made();
    let plan = worked.wall_plan.as_deref().unwrap();
    let told: Json = serde_json::from_slice(&made["summary.json"]).unwrap();
    let wall = &told["wall"];
    let figure = |of: &Json| of.as_f64().unwrap();
    let same = |a: &Json, b: f64| assert!((figure(a) - b).abs() < 1e-6, "{a} {b}");
    let places = wall["places"].as_array().unwrap();
    assert_eq!(places.len(), 3);
    for (told, place) in places.iter().zip(&plan.walls[0].places) {
        assert_eq!(told["holder"], place.holder.as_str());
        assert_eq!(told["wall"], "");
        assert_eq!(told["row"].as_u64(), place.row.map(|row| row as u64));
        same(&told["left"], place.taken.x0);
        same(&told["top"], place.taken.y1);
        for (at, side) in
            [place.wood.x0, place.wood.y0, place.wood.x1, place.wood.y1].iter().enumerate()
        {
            same(&told["wood"][at], *side);
        }
    }
    for (told, row) in wall["rows"].as_array().unwrap().iter().zip(&plan.walls[0].rows) {
        same(&told["height"], row.height);
        let cleats = told["cleats"].as_array().unwrap();
        assert_eq!(cleats.len(), row.cleats.len());
        same(&cleats[0]["to"], row.cleats[0].to);
        assert_eq!(cleats[0]["screws"].as_array().unwrap().len(), row.cleats[0].screws.len());
    }
    same(&wall["aims"]["out_of_reach_kg_mm"], plan.aims.out_of_reach);
    assert_eq!(wall["studs"].as_array().unwrap().len(), plan.walls[0].studs.len());
    let findings = told["findings"].as_array().unwrap();
    assert_eq!(findings.iter().filter(|found| found["code"] == "one-by-hand").count(), 1);
    // What stands there without a plan stands there still, and there is a wall without holders on cleats too.
    assert!(wall["can_kg"].is_number() && wall["cases"].is_array());
    let mut bare = worked.clone();
    bare.wall = None;
    let told: Json =
        serde_json::from_str(&summary::write(&bare, &[], &[], &BTreeMap::new())).unwrap();
    assert!(told["wall"]["can_kg"].is_null() && told["wall"]["places"].is_array());
    bare.wall_plan = None;
    let told: Json =
        serde_json::from_str(&summary::write(&bare, &[], &[], &BTreeMap::new())).unwrap();
    assert!(told["wall"].is_null());
}

/// The box round all bodies whose names begin so, in mm; by the least and greatest places that the file tells (glTF 2.0,
/// 3.6.2.5).
fn bodies(file: &[u8], begin: &str) -> Option<Rect> {
    let long = u32::from_le_bytes(file[12..16].try_into().unwrap()) as usize;
    let said: Json = serde_json::from_slice(&file[20..20 + long]).unwrap();
    let nodes = said["nodes"].as_array().unwrap().iter();
    let nodes = nodes.filter(|node| node["name"].as_str().unwrap().starts_with(begin));
    let boxes = nodes.map(|node| {
        let mesh = &said["meshes"][node["mesh"].as_u64().unwrap() as usize];
        let at = mesh["primitives"][0]["attributes"]["POSITION"].as_u64().unwrap() as usize;
        let mm =
            |end: &str, axis: usize| said["accessors"][at][end][axis].as_f64().unwrap() * 1000.0;
        Rect::new(mm("min", 0), mm("min", 1), mm("max", 0), mm("max", 1))
    });
    boxes.reduce(|a, b| a.union(b))
}

#[test]
fn the_solid_has_everything_at_its_place() {
    let (worked, made) = made();
    let wall = &worked.wall_plan.as_deref().unwrap().walls[0];
    let near = |found: Option<Rect>, wanted: Rect| {
        let found = found.unwrap();
        let off = [
            found.x0 - wanted.x0,
            found.y0 - wanted.y0,
            found.x1 - wanted.x1,
            found.y1 - wanted.y1,
        ];
        // Places are of 24 bits in meters, and what stands in for a circle reaches past it by a tenth of a percent.
        assert!(off.iter().all(|off| off.abs() < 0.1), "{found:?} for {wanted:?}");
    };
    for place in &wall.places {
        near(bodies(&made["wall.glb"], &format!("{} ", place.holder)), place.taken);
    }
    let space = &wall.space;
    near(bodies(&made["wall.glb"], "wall"), Rect::new(0.0, 0.0, space.width, space.height));
    let row = &wall.rows[1];
    let cleat = Rect::new(
        row.cleats[0].from,
        row.height - worked.shop.cleat.width,
        row.cleats[0].to,
        row.height,
    );
    near(bodies(&made["wall.glb"], "row 2 wall cleat 1"), cleat);
}

/// The picture stands before the list of holders, which is in the order of the plan.
#[test]
fn the_book_shows_the_wall_before_the_holders() {
    let (worked, made) = made();
    let page = String::from_utf8(made["book.html"].clone()).unwrap();
    let (_, hanging) = page.rsplit_once("Hanging it on the wall</h2>").unwrap();
    let picture = hanging.find("The wall, from the front: 3 holders at their places").unwrap();
    let (before, list) = hanging.rsplit_once("In this order").unwrap();
    assert!(picture < before.len());
    let places = &worked.wall_plan.as_deref().unwrap().walls[0].places;
    let titles = places.iter().map(|place| {
        let holder = worked.holders.iter().find(|w| w.holder.name == place.holder).unwrap();
        list.find(&format!(">{}</a>", holder.holder.title)).unwrap()
    });
    assert!(titles.collect::<Vec<_>>().is_sorted());
    // Without its picture the book still tells where everything hangs.
    let told = html::write(
        &book(worked, Paper::Letter, &Pictures::new()),
        &Pictures::new(),
        Paper::Letter,
    );
    assert!(told.contains("Holders, from the left corner"));
}

/// Several walls have files of their own names, whatever these are.
#[test]
fn several_walls_have_a_name_each() {
    let named = |names: &[&str]| {
        let (plan, wall) = (&walls()[0].plan, walls()[0].wall());
        let walls = names.iter().map(|name| {
            let space = WallSpace { name: (*name).to_owned(), ..wall.space.clone() };
            PlannedWall { space, ..wall.clone() }
        });
        let plan = WallPlan { walls: walls.collect(), ..plan.clone() };
        (0..names.len()).map(|at| wall_file(&plan, at)).collect::<Vec<_>>()
    };
    assert_eq!(named(&[""]), ["wall"]);
    assert_eq!(named(&["north"]), ["wall"]);
    assert_eq!(named(&["North wall", "by the door"]), ["wall-north-wall", "wall-by-the-door"]);
    let names = named(&["a b", "a/b", "A-B", ""]);
    assert_eq!(names.iter().collect::<BTreeSet<_>>().len(), 4, "{names:?}");
}
