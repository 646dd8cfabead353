//! A style tried out: what its file says looked through, and holders of measures from all over their ranges built.

mod draw;
mod example;
mod words;

pub(crate) use example::{Example, example};

use std::collections::{BTreeMap, BTreeSet};

use crate::carry::{assess, say};
use crate::holder::{Finding, Holder, Level, build, sketched, suited};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::reading::{Problem, Source};
use crate::shop::{Shop, default_shop, read_shop};
use crate::style::{HolderFile, Library, Style};
use crate::tool::tool_room;
use draw::Draw;

/// How many holders are built.
const TRIES: usize = 300;

/// How many of the first problems are told.
const PROBLEMS: usize = 5;

/// Stops that no measure should bring about: the style itself puts its parts wrong.
const OF_STYLE: [&str; 13] = [
    "behind-the-wall",
    "in-the-air",
    "mirrored",
    "parts-collide",
    "does-not-touch",
    "sits-beside-nothing",
    "sits-in-a-circle",
    "no-reach",
    "support-outside",
    "load-path",
    "load-not-worked-out",
    "screw-misses",
    "tab-misses",
];

/// What trying a style came to.
#[derive(Debug)]
pub struct Trial {
    name: String,
    /// Where its file is, as a person named it.
    file: String,
    /// Whether it stands in for a built-in style of the same name.
    replaces: bool,
    /// Choices, series and workings that nothing uses.
    idle: Vec<String>,
    /// Kinds of parts with pieces that no step of a holder adds, where any says what it adds.
    unadded: BTreeSet<String>,
    /// How many holders were tried, and how many of them can be made.
    tried: usize,
    made: usize,
    /// What stops a holder in which every choice is left to the style, and no measure should.
    faults: BTreeMap<String, Stop>,
    /// Each kind of stop: how often it was met, the first message, and the file that met it.
    stops: BTreeMap<String, Stop>,
    /// The heaviest load beside what hangs, where the loads leave some of it out.
    missed: Option<String>,
}

/// One kind of stop.
#[derive(Debug)]
struct Stop {
    times: usize,
    message: String,
    /// The holder file that met it first.
    with: String,
}

impl Trial {
    /// Tries the style `name` of `inputs`: `first` it is read like any other.
    ///
    /// # Errors
    /// What is wrong in its files, and what a holder file within its ranges makes wrong of its formulas.
    pub fn of(inputs: &Inputs, name: &str) -> Result<Self, Vec<Problem>> {
        let library = Library::with(inputs);
        let style = style_of(&library, name)?;
        let shop = |units| read_shop(&Source::new("the built-in shop", default_shop(units)));
        let shops = [shop(Units::Inches)?, shop(Units::Millimeters)?];
        let mut trial = Self {
            name: name.to_owned(),
            file: style.layers[0].source.name().to_owned(),
            replaces: library.replaces(name),
            idle: style.idle(),
            unadded: BTreeSet::new(),
            tried: 0,
            made: 0,
            faults: BTreeMap::new(),
            stops: BTreeMap::new(),
            missed: None,
        };
        trial.sweep(&library, &style, &shops)?;
        try_sheet(inputs, name)?;
        Ok(trial)
    }

    /// Whether nothing is wrong with the style itself.
    pub fn is_sound(&self) -> bool {
        self.made > 0 && self.missed.is_none() && self.faults.is_empty()
    }

    /// With the built-in shop of either system.
    fn sweep(
        &mut self,
        library: &Library,
        style: &Style,
        shops: &[Shop; 2],
    ) -> Result<(), Vec<Problem>> {
        let mut problems: Vec<Problem> = Vec::new();
        for i in 0..TRIES {
            let shop = &shops[i % 2];
            let units = shop.units;
            let calm = i / 2 % 2 == 0;
            let text = Draw::new(i as u64).file(style, shop, (units, calm));
            let source = Source::new(format!("a holder file of {}", self.file), text.clone());
            let built = HolderFile::read(source, "trial", library).and_then(|file| {
                suited(&file, shop)?;
                build(&file, shop)
            });
            self.tried += 1;
            match built {
                Ok(holder) => self.keep(&holder, shop, (&text, calm && !stopped(style, &holder))),
                Err(wrong) if problems.len() < PROBLEMS => problems.extend(Vec::from(wrong)),
                Err(_) => {}
            }
        }
        problems.truncate(PROBLEMS);
        if problems.is_empty() { Ok(()) } else { Err(problems) }
    }

    fn keep(&mut self, holder: &Holder, shop: &Shop, (text, calm): (&str, bool)) {
        self.unadded.extend(unadded(holder));
        let stops = holder.findings.iter().filter(|finding| finding.level == Level::Stop);
        let mut stops: Vec<Finding> = stops.cloned().collect();
        if stops.is_empty() {
            let carried = assess(holder, shop);
            let hangs = carried.tools > 0.0;
            let bears = !carried.checks.is_empty();
            stops.extend(carried.failed.iter().map(say::not_worked_out));
            if hangs && !bears {
                stops.push(Finding::stop(
                    "load-not-worked-out",
                    "nothing is said to bear what hangs",
                ));
            }
            let room = tool_room(holder, shop, None).into_iter().flat_map(|room| room.findings);
            stops.extend(room.filter(|finding| finding.level == Level::Stop));
            self.made += usize::from(stops.is_empty());
            self.missed = self.missed.take().or_else(|| left_out(holder));
        }
        for Finding { code, message, .. } in stops {
            let stop = Stop { times: 0, message, with: text.to_owned() };
            let of_style = calm && OF_STYLE.contains(&code.as_str());
            let kept = if of_style { &mut self.faults } else { &mut self.stops };
            kept.entry(code).or_insert(stop).times += 1;
        }
    }
}

/// That what its measuring sheet draws can be worked out, for an example in either system.
fn try_sheet(inputs: &Inputs, name: &str) -> Result<(), Vec<Problem>> {
    for units in [Units::Inches, Units::Millimeters] {
        if let Ok(example) = example(inputs, name, units) {
            sketched(&example.file, &example.shop)?;
        }
    }
    Ok(())
}

/// The style of that name.
fn style_of(library: &Library, name: &str) -> Result<Style, Vec<Problem>> {
    library.style(name)?.ok_or_else(|| {
        let message = format!("there is no style \"{name}\"");
        vec![Problem::plain(message).with_help(library.advice(name))]
    })
}

/// The kinds of its parts that no step adds, where any does.
fn unadded(holder: &Holder) -> impl Iterator<Item = String> + '_ {
    let added: BTreeSet<usize> =
        holder.steps.iter().flat_map(|step| step.adds.iter().copied()).collect();
    let parts = holder.parts.iter().enumerate().filter(|(_, part)| part.quantity() > 0);
    let left = parts.filter(move |(at, _)| !added.is_empty() && !added.contains(at));
    left.map(|(_, part)| part.kind.clone())
}

/// Whether a check of the style's own stops a holder: what else is wrong may come of that.
fn stopped(style: &Style, holder: &Holder) -> bool {
    let checks = || style.layers.iter().flat_map(|layer| &layer.file.checks);
    let own = |finding: &Finding| checks().any(|check| *check.name.get_ref() == finding.code);
    holder.findings.iter().any(|finding| finding.level == Level::Stop && own(finding))
}

/// What the holder file gives as masses and the loads leave out, for a person.
fn left_out(holder: &Holder) -> Option<String> {
    let hangs: f64 = holder.weights.iter().map(|weight| weight.mass).sum();
    let given = holder.values.get("tool_mass").or(holder.values.get("load_mass"))?;
    let masses = given.entries().iter().filter_map(|v| v.figure(crate::length::Dimension::MASS));
    let least: f64 = masses.sum();
    (hangs < least * 0.999).then(|| {
        let write = |kg| holder.units.quantity(crate::length::Quantity::kg(kg));
        format!("{} is given, and {} hangs on the holder", write(least), write(hangs))
    })
}
