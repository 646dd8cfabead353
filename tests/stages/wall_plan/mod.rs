//! The plan of the wall: what is read of `wall.toml`, and where holders hang.

mod asked;
mod checker;
mod ease;
mod kept;
mod shed;
mod small;

use std::sync::LazyLock;

use kurbo::Rect;

use super::folder;
use crate::shop::Shop;
use crate::wall::{
    AskedBefore, Person, Planner, RowsAsked, ToHang, WallHanger, WallJob, WallObstacle, WallPlan,
    WallSpace, WallsAsked, plan_walls,
};
use crate::work_out::WorkedHolder;

pub const INCH: f64 = 25.4;

/// The sample's holders that hang on the wall.
pub fn hung() -> impl Iterator<Item = &'static WorkedHolder> {
    let all = folder::sample().holders.iter();
    all.map(|worked| &**worked).filter(|worked| worked.holder.wall_cleats.is_empty())
}

pub fn hangers() -> &'static [WallHanger] {
    static HANGERS: LazyLock<Vec<WallHanger>> = LazyLock::new(|| {
        let to_hang = |worked: &'static WorkedHolder| ToHang {
            holder: &worked.holder,
            carried: worked.carried.as_ref(),
            hanging: worked.hanging.as_ref(),
            room: worked.room.as_ref(),
            two_handed: false,
        };
        hung().filter_map(|worked| WallHanger::of(to_hang(worked), shop())).collect()
    });
    &HANGERS
}

pub fn shop() -> &'static Shop {
    &folder::sample().shop
}

/// A wall with studs 16 in apart, in inches; rows open where none are named.
pub fn wall(width: f64, height: f64, rows: &[f64]) -> WallsAsked {
    let studs = (0..).map(|n| (15.25 + 16.0 * f64::from(n)) * INCH);
    let space = WallSpace {
        name: String::new(),
        width: width * INCH,
        height: height * INCH,
        studs: studs.take_while(|stud| *stud < width * INCH).collect(),
        rows: match rows {
            [] => RowsAsked::Open,
            rows => RowsAsked::Heights(rows.iter().map(|row| row * INCH).collect()),
        },
        obstacles: Vec::new(),
    };
    WallsAsked {
        walls: vec![space],
        person: Person::default(),
        shared: false,
        built: false,
        pins: Vec::new(),
        groups: Vec::new(),
    }
}

pub fn obstacle(name: &str, [left, bottom, width, height]: [f64; 4]) -> WallObstacle {
    let [left, bottom, right, top] =
        [left, bottom, left + width, bottom + height].map(|v| v * INCH);
    WallObstacle { name: name.to_owned(), area: Rect::new(left, bottom, right, top) }
}

pub fn planned(asked: &WallsAsked, hangers: &[WallHanger]) -> WallPlan {
    let narrower = |_: &str| None;
    plan_walls(WallJob { asked, shop: shop(), hangers, kept: &[], narrower: &narrower })
}

/// What a plan says, in one text.
pub fn told(plan: &WallPlan) -> String {
    plan.findings.iter().map(|finding| format!("{finding:?}\n")).collect()
}

/// Does something with a planner on a coarse grid, so many times the usual.
pub fn with_planner<T>(
    asked: &WallsAsked,
    hangers: &[WallHanger],
    coarse: f64,
    make: impl FnOnce(&Planner<'_>) -> T,
) -> T {
    let rows = asked.walls.iter().map(|wall| match &wall.rows {
        RowsAsked::Heights(heights) => heights.clone(),
        _ => Vec::new(),
    });
    let (rows, known) = (rows.collect(), AskedBefore::default());
    let narrower = |_: &str| None;
    let job = WallJob { asked, shop: shop(), hangers, kept: &[], narrower: &narrower };
    make(&Planner::new(job, &rows, coarse, &known))
}
