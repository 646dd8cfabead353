//! What `summary.json` tells of the plan of the wall.

use kurbo::Rect;
use serde_json::{Map, Value as Json, json};

use super::summary::round;
use crate::wall::{
    Aims, CleatPiece, FreeStretch, HungPlace, PlannedRow, PlannedWall, StudLoad, WallPlan,
};

/// The keys of the plan, those of all walls in one list each.
pub(super) fn planned(plan: &WallPlan) -> Map<String, Json> {
    let each =
        |told: fn(&PlannedWall) -> Vec<Json>| plan.walls.iter().flat_map(told).collect::<Vec<_>>();
    let keys = [
        ("rows", json!(each(rows))),
        ("places", json!(each(places))),
        ("free", json!(each(free))),
        ("studs", json!(each(studs))),
        ("aims", aims(plan)),
    ];
    keys.into_iter().map(|(key, told)| (key.to_owned(), told)).collect()
}

fn rows(wall: &PlannedWall) -> Vec<Json> {
    let cleat = |CleatPiece { from, to, screws }: &CleatPiece| {
        json!({
            "from": round(*from),
            "to": round(*to),
            "screws": screws.iter().copied().map(round).collect::<Vec<_>>(),
        })
    };
    let row = |PlannedRow { height, cleats }: &PlannedRow| {
        json!({
            "wall": wall.space.name,
            "height": round(*height),
            "cleats": cleats.iter().map(cleat).collect::<Vec<_>>(),
        })
    };
    wall.rows.iter().map(row).collect()
}

fn places(wall: &PlannedWall) -> Vec<Json> {
    let place = |HungPlace { holder, row, wood, taken, lift, kept, origin: _ }: &HungPlace| {
        let Rect { x0, y0, x1, y1 } = *taken;
        let wood = [wood.x0, wood.y0, wood.x1, wood.y1].map(round);
        json!({
            "holder": holder,
            "wall": wall.space.name,
            "row": row,
            "left": round(x0),
            "right": round(x1),
            "bottom": round(y0),
            "top": round(y1),
            "wood": wood,
            "lift": round(*lift),
            "kept": kept,
        })
    };
    wall.places.iter().map(place).collect()
}

fn free(wall: &PlannedWall) -> Vec<Json> {
    let free = |FreeStretch { row, from, to }: &FreeStretch| json!({ "wall": wall.space.name, "row": row, "from": round(*from), "to": round(*to) });
    wall.free.iter().map(free).collect()
}

fn studs(wall: &PlannedWall) -> Vec<Json> {
    let stud = |StudLoad { at, load, share }: &StudLoad| {
        json!({
            "wall": wall.space.name,
            "at": round(*at),
            "load_n": round(*load),
            "share": if share.is_finite() { round(*share) } else { Json::Null },
        })
    };
    wall.studs.iter().map(stud).collect()
}

fn aims(WallPlan { aims, left_over, .. }: &WallPlan) -> Json {
    let Aims { left_over: _, findings, out_of_reach, apart, free } = aims;
    json!({
        "left_over": left_over,
        "findings": findings,
        "out_of_reach_kg_mm": round(*out_of_reach),
        "apart_mm": round(*apart),
        "free_mm": round(*free),
    })
}
