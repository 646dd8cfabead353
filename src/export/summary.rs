//! `summary.json`: every figure of a run.

use std::collections::BTreeMap;

use kurbo::Point;
use serde_json::{Map, Value as Json, json};

use super::wall_summary;
use crate::carry::{Assessment, Check, WallCase, WallLoad, hangs_over_a_stud, say};
use crate::cutting::{
    self, CutWay, KeptFrom, KeptOffcut, PartedFrom, PartedHalf, PartedInto, Parting, StockUse,
    millimeters,
};
use crate::document::words;
use crate::drawing;
use crate::formula::Value;
use crate::holder::{
    Bevel, Drilling, Finding, Hardware, Holder, Joint, Part, Placement, Pocket, SettledChoice,
    Solid, Space,
};
use crate::length::Units;
use crate::motion::{Hanging, HeldPose};
use crate::router::{FOLDER, LeftOut, RoutedPiece, RoutedSheet, TakenSheet};
use crate::tool::ToolRoom;
use crate::wall::WallPlan;
use crate::work_out::{Plans, ShopServed, Worked, WorkedHolder};

/// Version of the keys below; a change of meaning makes it 2.
const VERSION: u32 = 1;

/// The summary of a run that wrote `files`, and what it tells of the pages of holders, by their names. Lengths in mm, areas in
/// mm², masses in kg, angles in degrees; figures are rounded to a millionth.
pub(crate) fn write(
    worked: &Worked,
    remarks: &[Finding],
    files: &[String],
    pages: &BTreeMap<String, Json>,
) -> String {
    let Plans { router, milling, cutting, .. } = &*worked.plans;
    let (wall, plan) = (worked.wall.as_deref(), worked.wall_plan.as_deref());
    let found = worked
        .wall_findings()
        .iter()
        .chain(&worked.counted)
        .chain(&router.findings)
        .chain(&milling.findings)
        .chain(&cutting.findings)
        .chain(remarks);
    let summary = json!({
        "version": VERSION,
        "units": "mm",
        "shop": shop(worked.shop_served),
        "settled": worked.settled.iter().map(settled).collect::<Vec<_>>(),
        "holders": worked.holders.iter().map(|worked| holder(worked, pages.get(&worked.holder.name))).collect::<Vec<_>>(),
        "wall": self::wall(wall, plan),
        "stock": cutting.uses.iter().map(stock_use).collect::<Vec<_>>(),
        "router": {
            "sheets": router.sheets.iter().map(sheet).collect::<Vec<_>>(),
            "taken": router.taken.iter().map(|taken| self::taken(taken, &router.sheets)).collect::<Vec<_>>(),
            "left_out": router.left_out.iter().map(left_out).collect::<Vec<_>>(),
        },
        "cutting": self::cutting(cutting),
        "findings": found.map(finding).collect::<Vec<_>>(),
        "files": files,
    });
    format!("{summary:#}\n")
}

/// The file of the shop that served.
fn shop(served: ShopServed) -> &'static str {
    match served {
        ShopServed::File => "shop.toml",
        ShopServed::BuiltIn => "built-in",
    }
}

fn holder(worked: &WorkedHolder, pages: Option<&Json>) -> Json {
    let (holder, carried) = (&*worked.holder, worked.carried.as_ref());
    let [width, height, projection] = holder.size;
    let way = worked.hanging.as_ref().and_then(|hanging| hanging.hooking.way());
    json!({
        "name": holder.name,
        "style": holder.style,
        "title": holder.title,
        "built": holder.built,
        "values": values(holder),
        "words": words(holder),
        "settled": holder.settled.iter().map(settled).collect::<Vec<_>>(),
        "width": round(width),
        "height": round(height),
        "projection": round(projection),
        "mass_kg": round(holder.mass),
        "hook_lift": way.map(|way| round(way.lift)),
        "hook_tilt": way.map(|way| round(way.tilt)),
        "hooking": worked.hanging.as_ref().map(hooking),
        "tool_lift": worked.room.as_ref().map(|room| round(room.lift)),
        "tools": worked.room.as_ref().map(|room| tools(holder, room)),
        "hung": worked.hung.names,
        "two_handed": worked.hung.two_handed,
        "parts": holder.parts.iter().map(|p| part(p, holder.units)).collect::<Vec<_>>(),
        "wall_cleats": holder.wall_cleats.iter().copied().map(round).collect::<Vec<_>>(),
        "joints": holder.joints.iter().map(joint).collect::<Vec<_>>(),
        "carries": carried.map(|carried| carries(carried, holder.units)),
        "checks": carried.iter().flat_map(|c| &c.checks).map(|c| check(c, holder.units)).collect::<Vec<_>>(),
        "hardware": holder.hardware.iter().map(|h| hardware(h, holder.units)).collect::<Vec<_>>(),
        "findings": holder.findings.iter().map(finding).collect::<Vec<_>>(),
        "pages": pages,
    })
}

/// How it comes off its wall cleat: from the side, what moves, what stands fast, and the way.
fn hooking(hanging: &Hanging) -> Json {
    let outlines = |rings: &[Vec<Point>]| -> Vec<Vec<[Json; 2]>> {
        let corner = |at: &Point| [round(at.x), round(at.y)];
        rings.iter().map(|ring| ring.iter().map(corner).collect()).collect()
    };
    let way = hanging.hooking.way().map(|way| {
        let pose = |pose: &HeldPose| [round(pose.out), round(pose.up), round(pose.tilt)];
        way.poses.iter().map(pose).collect::<Vec<_>>()
    });
    json!({
        "comes_on": hanging.hooking.word(),
        "row": hanging.on.word(),
        "clearance": round(hanging.view.clearance),
        "moving": outlines(&hanging.view.moving),
        "fixed": outlines(&hanging.view.fixed),
        "way": way,
    })
}

/// The tools as they hang, each with its way off, and the block around all.
fn tools(holder: &Holder, room: &ToolRoom) -> Json {
    let space = |place: Space| place.map(round);
    let solid = |solid: &Solid| {
        json!({
            "name": solid.name,
            "corners": solid.prism.corners().map(space).collect::<Vec<_>>(),
        })
    };
    let each = holder.tools.iter().zip(&room.ways).map(|(tool, way)| {
        json!({
            "number": tool.number,
            "at": space(tool.at),
            "solids": tool.body.iter().map(solid).collect::<Vec<_>>(),
            "off": way.iter().copied().map(space).collect::<Vec<_>>(),
        })
    });
    let (low, high) = room.bounds;
    json!({
        "low": space(low),
        "high": space(high),
        "one_by_one": room.one_by_one,
        "each": each.collect::<Vec<_>>(),
    })
}

/// A choice that was left open and is not at its default.
fn settled(settled: &SettledChoice) -> Json {
    json!({
        "choice": settled.choice,
        "default": plain(&settled.default),
        "value": plain(&settled.value),
        "because": settled.because,
    })
}

/// Measures, choices and workings that are figures, and lists of figures.
fn values(holder: &Holder) -> Map<String, Json> {
    let figures = holder.values.iter().filter(|(_, value)| is_figures(value));
    figures.map(|(name, value)| (name.clone(), plain(value))).collect()
}

/// Choices that are words, workings that are a yes or no, and lists of words.
fn words(holder: &Holder) -> Map<String, Json> {
    let words = holder.values.iter().filter(|(_, value)| !is_figures(value));
    words.map(|(name, value)| (name.clone(), plain(value))).collect()
}

fn is_figures(value: &Value) -> bool {
    value.entries().iter().all(|entry| matches!(entry, Value::Figure(_)))
}

fn plain(value: &Value) -> Json {
    match value {
        Value::Figure(quantity) => round(quantity.value),
        Value::Word(word) => json!(word),
        Value::Truth(truth) => json!(truth),
        Value::List(entries) => entries.iter().map(plain).collect(),
    }
}

/// What hangs, what could, and what comes down on the most loaded stud.
fn carries(carried: &Assessment, units: Units) -> Json {
    json!({
        "tools_kg": round(carried.tools),
        "whole_kg": round(carried.whole),
        "now_kg": round(carried.now),
        "could_kg": carried.could.map(round),
        "could_over_stud_kg": carried.could_over_stud.map(round),
        "over_stud_only": hangs_over_a_stud(&carried.checks),
        "pulled_off_n": carried.pulled_off.map(round),
        "live_load": carried.live,
        "studs": carried.studs,
        "per_stud_n": round(carried.per_stud),
        "limit": carried.highest().map(|check| {
            format!("{}: {}", check.id.place.words(), check.id.question.word())
        }),
        "not_worked_out": carried.failed.iter().map(say::failure).collect::<Vec<_>>(),
        "remarks": carried.remarks.iter().map(|r| say::remark(r, units)).collect::<Vec<_>>(),
    })
}

fn check(check: &Check, units: Units) -> Json {
    let question = check.id.question;
    let share =
        |share: f64| if share.is_finite() && check.is_rated() { round(share) } else { Json::Null };
    let besides = check.besides.map(|besides| {
        json!({
            "by": say::held_by(besides.by),
            "ratio": share(besides.knocked),
            "ratio_still": share(besides.still),
        })
    });
    json!({
        "what": check.id.place.words(),
        "question": question.word(),
        "asked": round(check.asked),
        "can": round(check.can),
        "unit": question.unit(),
        "ratio": share(check.ratio()),
        "ratio_still": share(check.still),
        "besides": besides,
        "formula": question.formula(units),
        "source": question.source(),
        "with": say::grounds(&check.grounds, units),
    })
}

/// What all holders bring to one stud of one row of wall cleats, and where all of them hang; null where neither is known.
fn wall(load: Option<&WallLoad>, plan: Option<&WallPlan>) -> Json {
    if load.is_none() && plan.is_none() {
        return Json::Null;
    }
    let cases = load.map_or(&[][..], |load| &load.cases);
    let mut told = json!({
        "screws": load.map(|load| load.screws.count),
        "screw": load.map(|load| load.screws.screw.to_string()),
        "can_kg": load.map(|load| round(load.screws.most())),
        "planned_kg": load.and_then(|load| load.planned).map(round),
        "cases": cases.iter().map(wall_case).collect::<Vec<_>>(),
    });
    if let (Some(plan), Some(keys)) = (plan, told.as_object_mut()) {
        keys.extend(wall_summary::planned(plan));
    }
    told
}

fn wall_case(case: &WallCase) -> Json {
    let share = |share: f64| if share.is_finite() { round(share) } else { Json::Null };
    json!({
        "holders": case.holders,
        "meet": case.meet,
        "per_stud_kg": round(case.still),
        "knocked_kg": round(case.knocked),
        "can_kg": round(case.can()),
        "share": share(case.share),
        "knocked_share": share(case.knocked_share),
    })
}

fn part(part: &Part, units: Units) -> Json {
    json!({
        "name": part.name,
        "quantity": part.quantity(),
        "stock": part.stock.name,
        "thickness": round(part.stock.thickness),
        "length": round(part.length()),
        "width": round(part.width()),
        "area": round(part.region.area()),
        "perimeter": round(part.region.perimeter()),
        "openings": part.region.openings().len(),
        "grain": part.grain.word(),
        "places": part.places.iter().map(place).collect::<Vec<_>>(),
        "bevel": part.bevel.map(bevel),
        "pockets": part.pockets.iter().map(pocket).collect::<Vec<_>>(),
        "drillings": part.drillings.iter().map(|d| drilling(d, units)).collect::<Vec<_>>(),
    })
}

/// Where the origin of a piece lies in the holder, and which way its length, its width and its show face look.
fn place(place: &Placement) -> Json {
    let [length, width, face] = place.frame().map(|way| way.map(round));
    json!({
        "origin": place.to_space(Point::ZERO, 0.0).map(round),
        "length": length,
        "width": width,
        "face": face,
    })
}

fn bevel(bevel: Bevel) -> Json {
    json!({
        "edge": bevel.edge.word(),
        "angle": round(bevel.angle),
        "full_face": bevel.full_face.word(),
    })
}

fn pocket(pocket: &Pocket) -> Json {
    json!({
        "depth": round(pocket.depth),
        "area": round(pocket.wood()),
        "face": pocket.face.word(),
    })
}

fn drilling(drilling: &Drilling, units: Units) -> Json {
    json!({
        "x": round(drilling.at.x),
        "y": round(drilling.at.y),
        "diameter": round(drilling.diameter),
        "depth": drilling.depth.map(round),
        "purpose": drilling.purpose.word(),
        "bit": drawing::words::bit(drilling.bit, units),
        "face": drilling.face.word(),
        "lean": round(drilling.lean),
    })
}

fn joint(joint: &Joint) -> Json {
    json!({
        "tabs": joint.tabs,
        "into": joint.into,
        "count": joint.count,
        "width": round(joint.width),
        "clearance": round(joint.clearance),
        "end_clearance": round(joint.end_clearance),
        "proud": round(joint.proud),
        "wedged": joint.wedged,
    })
}

fn hardware(hardware: &Hardware, units: Units) -> Json {
    let [item, size] = words::item(hardware);
    json!({
        "item": item,
        "size": size,
        "quantity": hardware.quantity,
        "used_for": hardware.used_for,
        "bits": words::bits(hardware, units).map(|[clearance, pilot, countersink]| json!({
            "clearance": clearance,
            "pilot": pilot,
            "countersink": countersink,
        })),
    })
}

fn sheet(sheet: &RoutedSheet) -> Json {
    json!({
        "stock": sheet.stock,
        "number": sheet.number,
        "file": format!("{FOLDER}/{}.dxf", sheet.file),
        "offcut": sheet.offcut,
        "length": round(sheet.size.width),
        "width": round(sheet.size.height),
        "filling": round(sheet.filling()),
        "parts": sheet.parts.iter().map(placed).collect::<Vec<_>>(),
    })
}

fn placed(placed: &RoutedPiece) -> Json {
    json!({
        "holder": placed.part.holder().name,
        "part": placed.part.name,
        "piece": placed.piece,
        "x": round(placed.at.x),
        "y": round(placed.at.y),
        "turn": placed.turn.degrees(),
    })
}

fn left_out(left_out: &LeftOut) -> Json {
    json!({
        "holder": left_out.part.holder().name,
        "part": left_out.part.name,
        "pieces": left_out.pieces,
    })
}

fn cutting(plan: &cutting::CuttingPlan) -> Json {
    let missing = plan.missing.iter().filter_map(|piece| piece.of(&plan.pieces));
    json!({
        "settings": count(plan.count),
        "settings_least_waste": count(plan.plain),
        "cuts": plan.partings.len() + plan.cuts().count(),
        "partings": plan.partings.iter().map(parting).collect::<Vec<_>>(),
        "stocks": plan.verdicts.iter().map(verdict).collect::<Vec<_>>(),
        "sheets": plan.sheets.iter().map(|sheet| sawn(plan, sheet)).collect::<Vec<_>>(),
        "left": plan.left.iter().map(|left| kept(plan, left)).collect::<Vec<_>>(),
        "missing": missing.map(|piece| &piece.letter).collect::<Vec<_>>(),
    })
}

/// What is used of one stock.
fn stock_use(uses: &StockUse) -> Json {
    json!({
        "stock": uses.stock,
        "kind": uses.kind.word(),
        "routed": uses.routed,
        "sawn": uses.sawn,
        "short": uses.short,
        "to_buy": uses.bought() + uses.short,
    })
}

/// A sheet or offcut that the router takes, and where its panels lie on it.
fn taken(taken: &TakenSheet, sheets: &[RoutedSheet]) -> Json {
    let panels = sheets.get(taken.sheets.clone()).unwrap_or_default().iter().map(|sheet| {
        json!({
            "file": format!("{FOLDER}/{}.dxf", sheet.file),
            "x": round(sheet.corner.x),
            "y": round(sheet.corner.y),
        })
    });
    json!({
        "stock": taken.stock,
        "offcut": taken.offcut,
        "length": round(taken.size.width),
        "width": round(taken.size.height),
        "panels": panels.collect::<Vec<_>>(),
    })
}

/// A cut that parts a sheet of the router.
fn parting(cut: &Parting) -> Json {
    let from = match &cut.from {
        PartedFrom::Sheet(name) => json!(name),
        PartedFrom::Cut(number) => json!(number),
    };
    let half = |half: &PartedHalf| {
        let (becomes, name) = match &half.becomes {
            PartedInto::Panel => ("panel", None),
            PartedInto::Bed(file) => ("bed", Some(file)),
            PartedInto::Left(name) => ("remainder", Some(name)),
            PartedInto::Waste => ("waste", None),
        };
        let [length, width] = half.size.map(round);
        json!({ "becomes": becomes, "name": name, "length": length, "width": width })
    };
    json!({
        "cut": cut.number,
        "before": cut.before,
        "from": from,
        "way": if cut.way == CutWay::Across { "crosscut" } else { "rip" },
        "at": round(cut.at),
        "halves": cut.halves.iter().map(half).collect::<Vec<_>>(),
    })
}

/// A piece of wood to keep; `from` is the file of the sheet or the name of the remainder.
fn kept(plan: &cutting::CuttingPlan, left: &KeptOffcut) -> Json {
    let from = match &left.from {
        KeptFrom::Sheet(index) => index.of(&plan.sheets).map(sawn_file),
        KeptFrom::Router(name) => Some(name.clone()),
        KeptFrom::Uncut => None,
    };
    json!({
        "of": left.of,
        "length": round(left.length),
        "width": round(left.width),
        "beveled": left.beveled,
        "from": from,
    })
}

fn sawn_file(sheet: &cutting::SawnSheet) -> String {
    format!("{}/{}.svg", cutting::FOLDER, sheet.file)
}

fn count(count: cutting::SetupCount) -> Json {
    json!({ "rip": count.rips, "crosscut": count.stops })
}

fn verdict(verdict: &cutting::Verdict) -> Json {
    json!({
        "stock": verdict.stock,
        "used": verdict.used,
        "offcuts": verdict.offcuts,
        "remainders": verdict.left,
        "least": verdict.least,
        "proved": verdict.proved,
    })
}

fn sawn(plan: &cutting::CuttingPlan, sheet: &cutting::SawnSheet) -> Json {
    let [length, width] = sheet.size.map(millimeters);
    let blanks = sheet.blanks.iter().map(|blank| {
        let [x, y] = blank.area.at.map(millimeters);
        let [length, width] = blank.area.size.map(millimeters);
        json!({
            "letters": plan.letters(blank.blank),
            "x": round(x),
            "y": round(y),
            "length": round(length),
            "width": round(width),
            "cut": blank.cut,
        })
    });
    json!({
        "stock": sheet.stock,
        "number": sheet.number,
        "file": sawn_file(sheet),
        "offcut": sheet.offcut,
        "remainder": sheet.left,
        "length": round(length),
        "width": round(width),
        "filling": round(sheet.filling),
        "blanks": blanks.collect::<Vec<_>>(),
    })
}

fn finding(finding: &Finding) -> Json {
    json!({ "level": finding.level.word(), "code": finding.code, "message": finding.message })
}

/// To a millionth, and never `-0`.
pub(super) fn round(value: f64) -> Json {
    json!((value * 1e6).round() / 1e6 + 0.0)
}
