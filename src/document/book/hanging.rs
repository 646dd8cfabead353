//! How what is built comes on the wall.

use super::super::tree::{Block, Document, Inline, Listing, PartNumber, Phrase, many, phrase};
use super::told_of;
use crate::holder::caution;
use crate::length::Amount;
use crate::motion::OnRow;
use crate::work_out::{About, Worked, WorkedHolder};

/// What is hung in which order, and how; the holders' parts of the book begin at number `first`.
pub(super) fn hanging(worked: &Worked, first: usize) -> Document {
    let mut hung: Vec<(usize, &WorkedHolder)> =
        worked.holders.iter().enumerate().map(|(at, worked)| (at, &**worked)).collect();
    // What makes the wall cleats goes up first, then what is heavy.
    hung.sort_by(|(_, a), (_, b)| {
        let rails = |of: &WorkedHolder| !of.holder.wall_cleats.is_empty();
        rails(b).cmp(&rails(a)).then(mass(b).total_cmp(&mass(a)))
    });
    let rows = hung.iter().map(|(at, own)| row(PartNumber(first + at), own)).collect();
    let head =
        vec!["", "holder", "with its tools", "width × height", "comes on", "wall cleat", "page"];
    let steps = steps(worked).into_iter();
    let steps = steps.map(|step| phrase![Inline::Tick, " "].then(step)).collect();
    let chapters = [
        Block::chapter("Findings", Block::List(told_of(worked, About::Wall))),
        Block::chapter("Steps", Block::Numbered(steps)),
        Block::chapter("In this order", Block::Table(Listing { head, rows })),
    ];
    let cautions = Block::cautions(caution::for_loads());
    let blocks = std::iter::once(cautions).chain(chapters.into_iter().flatten());
    Document {
        title: "Hanging it on the wall".to_owned(),
        units: worked.shop.units,
        blocks: blocks.collect(),
    }
}

/// What hangs there in the end, in kg.
fn mass(worked: &WorkedHolder) -> f64 {
    worked.carried.as_ref().map_or(worked.holder.mass, |carried| carried.whole)
}

fn row(part: PartNumber, worked: &WorkedHolder) -> Vec<Phrase> {
    let holder = &worked.holder;
    let on = worked.hanging.as_ref().map(|hanging| match hanging.on {
        OnRow::Any => "any row",
        OnRow::Lowest => "the lowest row",
        OnRow::Highest => "the highest row",
        OnRow::Alone => "a row by itself",
    });
    let over = holder.middle.as_deref().map(|middle| format!(", its middle {middle}"));
    let to = match on {
        Some(on) => on.to_owned() + &over.unwrap_or_default(),
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
    let mut steps = vec![
        find,
        format!("Screw the wall cleats on level, the lowest first, {screws}: bevel up, its sharp edge away from the wall.").into(),
        "Hang what is heavy low, between knee and shoulder, and over studs where the table says so; what is light goes \
         above. Hang the empty holder first, then its tools."
            .into(),
        "Lift a heavy holder with a helper, or take its tools off first.".into(),
    ];
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
