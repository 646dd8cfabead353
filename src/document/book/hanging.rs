//! How what is built comes on the wall.

use super::super::tree::{Block, Document, Inline, Listing, PartNumber, Phrase, many, phrase};
use super::super::wall::{self, WallTold};
use super::{Pictures, told_of};
use crate::holder::{Holder, caution};
use crate::length::Amount;
use crate::motion::OnRow;
use crate::wall::HungPlace;
use crate::work_out::{About, Worked, WorkedHolder};

/// What is hung in which order, and how; the holders' parts of the book begin at number `first`.
pub(super) fn hanging(worked: &Worked, first: usize, pictures: &Pictures) -> Document {
    let mut hung: Vec<(usize, &WorkedHolder)> =
        worked.holders.iter().enumerate().map(|(at, worked)| (at, &**worked)).collect();
    // What makes the wall cleats goes up first, then what the plan has first, then what is heavy.
    let planned = planned(worked);
    let order = |name: &str| planned.iter().position(|place| place.holder == name);
    hung.sort_by_key(|(_, own)| order(&own.holder.name).unwrap_or(planned.len()));
    hung.sort_by(|(_, a), (_, b)| {
        let rails = |of: &WorkedHolder| !of.holder.wall_cleats.is_empty();
        let heavy = || mass(b).total_cmp(&mass(a));
        let by_mass = if planned.is_empty() { heavy() } else { std::cmp::Ordering::Equal };
        rails(b).cmp(&rails(a)).then(by_mass)
    });
    let place = |name: &str| planned.iter().copied().find(|place| place.holder == name);
    let rows =
        hung.iter().map(|(at, own)| row(PartNumber(first + at), own, place(&own.holder.name)));
    let rows = rows.collect();
    let head =
        vec!["", "holder", "with its tools", "width × height", "comes on", "wall cleat", "page"];
    let steps = steps(worked).into_iter();
    let steps = steps.map(|step| phrase![Inline::Tick, " "].then(step)).collect();
    let chapters = [
        Block::chapter("Findings", Block::List(told_of(worked, About::Wall))),
        Block::chapter("Steps", Block::Numbered(steps)),
    ];
    let list = Block::chapter("In this order", Block::Table(Listing { head, rows }));
    let cautions = Block::cautions(caution::for_loads());
    let blocks = std::iter::once(cautions).chain(chapters.into_iter().flatten());
    let blocks = blocks.chain(walls(worked, pictures)).chain(list);
    Document {
        title: "Hanging it on the wall".to_owned(),
        units: worked.shop.units,
        blocks: blocks.collect(),
    }
}

/// The walls with what hangs on them; nothing without a plan.
fn walls(worked: &Worked, pictures: &Pictures) -> Vec<Block> {
    let Some(plan) = &worked.wall_plan else { return Vec::new() };
    let holders: Vec<&Holder> = worked.holders.iter().map(|worked| &*worked.holder).collect();
    let told = WallTold { plan, holders: &holders, shop: &worked.shop };
    wall::in_book(&told, |file| pictures.contains_key(file))
}

/// All places in the order of hanging.
fn planned(worked: &Worked) -> Vec<&HungPlace> {
    let walls = worked.wall_plan.iter().flat_map(|plan| &plan.walls);
    walls.flat_map(|wall| &wall.places).collect()
}

/// What hangs there in the end, in kg.
fn mass(worked: &WorkedHolder) -> f64 {
    worked.carried.as_ref().map_or(worked.holder.mass, |carried| carried.whole)
}

fn row(part: PartNumber, worked: &WorkedHolder, place: Option<&HungPlace>) -> Vec<Phrase> {
    let holder = &worked.holder;
    let on = worked.hanging.as_ref().map(|hanging| {
        match (place.and_then(|place| place.row), hanging.on) {
            (Some(row), _) => format!("row {}", row + 1),
            (None, OnRow::Any) => "any row".to_owned(),
            (None, OnRow::Lowest) => "the lowest row".to_owned(),
            (None, OnRow::Highest) => "the highest row".to_owned(),
            (None, OnRow::Alone) => "a row by itself".to_owned(),
        }
    });
    let over = holder.middle.as_deref().map(|middle| format!(", its middle {middle}"));
    let to = match on {
        Some(on) => on + &over.unwrap_or_default(),
        None => "the wall itself".to_owned(),
    };
    let comes = match (&worked.hanging, holder.built) {
        (_, true) => "hangs already",
        (Some(hanging), false) => hanging.hooking.word(),
        (None, false) => "screwed on",
    };
    let [width, height, _] = holder.size;
    let title = Inline::Link { to: part, words: holder.title.clone() };
    vec![
        phrase![Inline::Tick],
        phrase![title],
        phrase![Amount::Mass(mass(worked))],
        phrase![Amount::Sides([width, height])],
        comes.into(),
        to.into(),
        phrase![Inline::PageOf(part)],
    ]
}

fn steps(worked: &Worked) -> Vec<Phrase> {
    let wall = &worked.shop.wall;
    let each = Amount::Length(wall.stud_spacing);
    let find = match wall.masonry {
        Some(_) => {
            phrase!["Mark where the plugs go, ", each, " apart, and bore for them as they ask."]
        }
        None => phrase![
            "Find each stud, ",
            each,
            " from the last one, and make sure of it with a thin nail where the wall cleat will cover it. Mark its middle."
        ],
    };
    let screws = match wall.masonry {
        Some(_) => "a screw in each plug".to_owned(),
        None => format!("{} in each {}", many(wall.screws, "screw"), wall.held_by()),
    };
    let cleats = format!(
        "Screw the wall cleats on level, the lowest first, {screws}: bevel up, its sharp edge away from the wall."
    );
    let heavy = "Hang what is heavy low, between knee and shoulder, and over studs where the table says so; what is light \
                 goes above. Hang the empty holder first, then its tools.";
    // A plan tells that of each wall with its figures.
    let mut steps = match worked.wall_plan {
        Some(_) => Vec::new(),
        None => vec![find, cleats.into(), heavy.into()],
    };
    steps.push("Lift a heavy holder with a helper, or take its tools off first.".into());
    if !wall.apart.is_empty() {
        let apart = wall.apart.iter().map(|name| {
            let holder = worked.holders.iter().find(|worked| worked.holder.name == *name);
            holder.map_or(name.as_str(), |worked| worked.holder.title.as_str())
        });
        let apart: Vec<&str> = apart.collect();
        steps.push(phrase![
            "Keep these a stud spacing, ",
            each,
            format!(", apart: {}.", apart.join(", "))
        ]);
    }
    steps
        .push("Pull each holder down and toward you from a safe place before you trust it.".into());
    steps
}
