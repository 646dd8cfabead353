//! Reading `tools.toml`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::reading_names::ReadingNames;
use super::{Inventory, StockedTool};
use crate::length::Units;
use crate::limits;
use crate::reading::{
    AsNumber, Entry, Kind, Problem, Problems, Source, Spanned, alike, figure, nearest, nearest_name,
};
use crate::style::{Entries, Library};

/// The most room for more, as a share of the tools: three places a tool. Common practice, no source.
const MOST_ROOM: f64 = 2.0;

/// The keys of a tool that are no readings.
const KEYS: [&str; 4] = ["name", "count", "set", "two_handed"];

/// The tools that you have, each measured once.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ToolsFile {
    /// What a bare number is.
    units: Option<Units>,
    /// Room for more in each holder, as a share of the tools in it.
    #[schemars(with = "Option<AsNumber>", extend("maximum" = MOST_ROOM))]
    room: Option<Spanned<Entry>>,
    /// One kind of tool, with its readings.
    #[serde(default)]
    #[schemars(with = "Vec<ToolKeys>", length(max = limits::TOOLS))]
    tool: Vec<Spanned<Entries>>,
}

/// The keys of a tool that are no readings, as a schema has them; the readings are those of all styles.
#[derive(JsonSchema)]
#[schemars(inline, deny_unknown_fields)]
#[expect(dead_code, reason = "it stands for a tool in schemas alone")]
struct ToolKeys {
    /// What you call it.
    #[schemars(length(min = 1, max = limits::FILE_NAME))]
    name: String,
    /// How many there are; 1 where it is left out.
    #[schemars(range(min = 1, max = limits::TOOLS))]
    count: Option<usize>,
    /// Tools of one set hang side by side, each in a place of its own size.
    #[schemars(length(min = 1, max = limits::FILE_NAME))]
    set: Option<String>,
    /// It takes both hands to lift off.
    two_handed: Option<bool>,
}

/// What the file says, and what is wrong in it; `None` where it is no TOML.
pub(super) fn read(source: &Source, library: &Library) -> (Option<Inventory>, Problems) {
    let (file, mut wrong) = source.parse_all::<ToolsFile>();
    let Some(file) = file else { return (None, wrong) };
    wrong.keep(few(source, file.tool.len()));
    let room = file.room.as_ref().map(|entry| room(source, entry));
    let room = room.and_then(|room| wrong.keep(room));
    let lines = Lines { source, units: file.units, names: ReadingNames::of(library) };
    let tools = file.tool.into_iter().take(limits::TOOLS);
    let mut tools: Vec<StockedTool> = tools.filter_map(|row| lines.tool(row, &mut wrong)).collect();
    let twice = named_twice(&tools);
    twice.iter().for_each(|(at, what)| wrong.add(is_taken(source, &tools[*at], *what)));
    let mut at = 0..;
    tools.retain(|_| at.next().is_some_and(|at| twice.iter().all(|(twice, _)| *twice != at)));
    (Some(Inventory { source: source.clone(), units: file.units, room, tools }), wrong)
}

fn few(source: &Source, tools: usize) -> Result<(), Problem> {
    if tools <= limits::TOOLS {
        return Ok(());
    }
    let message = format!("tool: {tools} are listed; at most {}", limits::TOOLS);
    Err(source.problem(0..0, message).with_help("share them between two projects"))
}

fn room(source: &Source, entry: &Spanned<Entry>) -> Result<Spanned<f64>, Problem> {
    let share = figure(entry, Kind::Number, None, "room", source)?;
    if (0.0..=MOST_ROOM).contains(&share) {
        return Ok(Spanned::new(entry.span(), share));
    }
    let message = format!("room: {share} is not a share from 0 to {MOST_ROOM}");
    let help = "write what part of the tools there is to be room for more, such as 0.25";
    Err(source.problem(entry.span(), message).with_help(help))
}

/// What is needed to read a tool.
struct Lines<'f> {
    source: &'f Source,
    units: Option<Units>,
    names: ReadingNames,
}

impl Lines<'_> {
    /// A tool; `None` for one without a name that can be read.
    fn tool(&self, row: Spanned<Entries>, wrong: &mut Problems) -> Option<StockedTool> {
        let (at, row) = (row.span(), row.into_inner());
        let said = |key: &str| row.iter().find(|(k, _)| k.get_ref() == key).map(|(_, entry)| entry);
        let nameless = || {
            let problem = self.source.problem(at.clone(), "tool: its name is missing");
            problem.with_help("write name = \"what you call it\"")
        };
        let name = wrong.keep(said("name").ok_or_else(nameless).and_then(|e| self.name("name", e)));
        let usual = Spanned::new(name.as_ref().map_or(0..0, Spanned::span), 1);
        let count = said("count").map(|entry| self.count(entry));
        let set = said("set").map(|entry| self.name("set", entry));
        let two_handed = said("two_handed").map(|entry| self.truth(entry));
        let count = count.and_then(|count| wrong.keep(count)).unwrap_or(usual);
        let set = set.and_then(|set| wrong.keep(set)).map(Spanned::into_inner);
        let two_handed = two_handed.and_then(|said| wrong.keep(said)).unwrap_or_default();
        let (mut readings, mut unread) = (Entries::new(), Vec::new());
        for (key, entry) in
            row.into_iter().filter(|(key, _)| !KEYS.contains(&key.get_ref().as_str()))
        {
            if wrong.keep(self.reading(&key, &entry)).is_some() {
                readings.insert(key, entry);
            } else {
                unread.extend(self.meant(key.get_ref()));
            }
        }
        Some(StockedTool { name: name?, count, set, two_handed, readings, unread })
    }

    fn name(&self, key: &str, entry: &Spanned<Entry>) -> Result<Spanned<String>, Problem> {
        let wrong = |what: String, help: &str| {
            Err(self.source.problem(entry.span(), format!("{key}: {what}")).with_help(help))
        };
        match entry.get_ref() {
            Entry::Text(name) if name.trim().is_empty() => {
                wrong("it is empty".to_owned(), "write what you call it")
            }
            Entry::Text(name) if name.chars().count() > limits::FILE_NAME => {
                let help = format!("write one of at most {}", limits::FILE_NAME);
                wrong(format!("it has {} characters", name.chars().count()), &help)
            }
            Entry::Text(name) => Ok(Spanned::new(entry.span(), name.clone())),
            other => wrong(format!("{other} is no name"), "write it in quotes"),
        }
    }

    fn count(&self, entry: &Spanned<Entry>) -> Result<Spanned<usize>, Problem> {
        let range = 1.0..=limits::TOOLS as f64;
        match entry.get_ref() {
            Entry::Number(count) if range.contains(count) && count.fract() == 0.0 => {
                Ok(Spanned::new(entry.span(), *count as usize))
            }
            other => {
                let message =
                    format!("count: {other} is no whole number from 1 to {}", limits::TOOLS);
                let help =
                    "write how many there are; leave out the [[tool]] that there are none of";
                Err(self.source.problem(entry.span(), message).with_help(help))
            }
        }
    }

    fn truth(&self, entry: &Spanned<Entry>) -> Result<bool, Problem> {
        match entry.get_ref() {
            Entry::Truth(truth) => Ok(*truth),
            other => {
                let message = format!("two_handed: {other} is given where yes or no is needed");
                let help = "write true or false, without quotes";
                Err(self.source.problem(entry.span(), message).with_help(help))
            }
        }
    }

    /// Whether a reading has a name that some style asks for, and a figure of its kind.
    fn reading(&self, key: &Spanned<String>, entry: &Spanned<Entry>) -> Result<(), Problem> {
        let name = key.get_ref().as_str();
        let Some(kinds) = self.names.kinds(name) else {
            let message = format!("{name}: no style has a reading of that name");
            return Err(self.source.problem(key.span(), message).with_help(self.advice(name)));
        };
        let read = |kind| figure(entry, kind, self.units, name, self.source).map(drop);
        let read: Vec<_> = kinds.map(read).collect();
        read.into_iter().reduce(Result::or).unwrap_or(Ok(()))
    }

    /// The reading that is meant by a name that nothing has, or else that name.
    fn meant(&self, name: &str) -> Option<String> {
        let known: Vec<&str> = self.names.all().collect();
        nearest_name(name, &known).map(str::to_owned)
    }

    /// What may have been meant; the list of all readings is too long to tell.
    fn advice(&self, name: &str) -> String {
        let known: Vec<&str> = self.names.all().chain(KEYS).collect();
        match nearest_name(name, &known) {
            Some(_) => nearest(name, &known),
            None => "\"cleatwright styles vocabulary\" lists what readings are called".to_owned(),
        }
    }
}

/// Who has a name already.
#[derive(Debug, Clone, Copy)]
enum Taker {
    Tool,
    Set,
}

/// The tools that have the name of one before them, or of a set.
fn named_twice(tools: &[StockedTool]) -> Vec<(usize, Taker)> {
    let sets = || tools.iter().filter_map(|tool| tool.set.as_deref());
    let twice = tools.iter().enumerate().filter_map(|(i, tool)| {
        let name = tool.name.get_ref();
        let earlier = tools[..i].iter().any(|other| alike(other.name.get_ref(), name));
        let of_set = sets().any(|set| alike(set, name)).then_some(Taker::Set);
        Some((i, if earlier { Taker::Tool } else { of_set? }))
    });
    twice.collect()
}

fn is_taken(source: &Source, tool: &StockedTool, taker: Taker) -> Problem {
    let (what, help) = match taker {
        Taker::Tool => (
            "a tool before it has that name",
            "give it another name, or raise the count of the one",
        ),
        Taker::Set => ("a set has that name", "give the tool or the set another name"),
    };
    let message = format!("name: \"{}\": {what}", tool.name.get_ref());
    source.problem(tool.name.span(), message).with_help(help)
}
