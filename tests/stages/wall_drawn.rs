//! What is drawn and told of a planned wall, on plans made by hand from the sample's holders.

use std::sync::{Arc, LazyLock};

use kurbo::{Point, Rect, Size, Vec2};

use crate::drawing::{Drawing, Item, WallElevation, WallScene};
use crate::holder::{Finding, Holder, Model};
use crate::length::{MM_PER_INCH as INCH, Units};
use crate::shop::Shop;
use crate::wall::{
    Aims, CleatPiece, FreeStretch, HungPlace, Obstacle, PlannedRow, PlannedWall, StudLoad,
    WallPlan, WallSpace,
};
use crate::work_out::{Worked, WorkedHolder};

use super::folder;
use super::legible::met;

/// The room on a page of letter paper with a margin of a quarter inch.
const ROOM: Size = Size::new(8.0 * INCH, 10.5 * INCH);

/// A wall by hand: how large, where its rows are, how many of the sample's holders hang on it.
struct ByHand {
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
    fn obstacles(&self) -> Vec<Obstacle> {
        let area = |x0: f64, y0: f64, x1: f64, y1: f64| {
            Rect::new(x0 * INCH, y0 * INCH, x1 * INCH, y1 * INCH)
        };
        vec![
            Obstacle { name: "outlet".to_owned(), area: area(30.0, 12.0, 33.0, 16.0) },
            Obstacle {
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
            rows: None,
            obstacles: self.obstacles(),
        }
    }

    /// Each holder at the first place that is free, in the lowest row that takes it, the tallest first.
    fn planned(&self, shop: &Shop) -> (WallPlan, Vec<Arc<Holder>>) {
        let worked = folder::sample().holders.iter().filter(|w| w.holder.wall_cleats.is_empty());
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
        (WallPlan { walls, aims, left_over, proved: false, findings }, holders)
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

    fn shop(&self) -> Shop {
        Shop { units: self.units, ..Shop::clone(&folder::sample().shop) }
    }
}

/// A plan by hand with what it is drawn from.
struct Planned {
    shop: Shop,
    plan: WallPlan,
    holders: Vec<Arc<Holder>>,
}

impl Planned {
    fn new(by_hand: &ByHand) -> Self {
        let shop = by_hand.shop();
        let (plan, holders) = by_hand.planned(&shop);
        Self { shop, plan, holders }
    }

    fn drawn(&self, room: Size) -> Drawing {
        let holders: Vec<&Holder> = self.holders.iter().map(|holder| &**holder).collect();
        let wall = &self.plan.walls[0];
        let scene = WallScene { wall, holders: &holders, shop: &self.shop };
        WallElevation::new(scene).drawing(room)
    }
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let text = |item: &'_ Item| matches!(item, Item::Text(_));
    let texts = drawing.items.iter().filter(|item| text(item));
    texts
        .filter_map(|item| if let Item::Text(t) = item { Some(t.text.as_str()) } else { None })
        .collect()
}

/// Writes them to look at.
#[test]
#[ignore = "for the eye: writes to the folder for temporary files"]
fn walls_to_look_at() {
    for (name, by_hand) in [("few", &FEW), ("many", &MANY), ("five", &FIVE)] {
        let planned = Planned::new(by_hand);
        let drawing = planned.drawn(ROOM);
        let path = std::env::temp_dir().join(format!("wall-{name}.svg"));
        std::fs::write(path, crate::export::svg::write(&drawing)).unwrap();
        println!("{name}: {:?} left over", planned.plan.left_over);
        met(&drawing).iter().for_each(|met| println!("  {met}"));
    }
}
