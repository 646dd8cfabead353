//! The parameter file of one holder.

use std::collections::BTreeSet;
use std::sync::Arc;

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Deserialize;

use super::library::{Library, Style};
use crate::length::Units;
use crate::limits;
use crate::reading::{
    AsEither, AsValue, Entry, Problem, Problems, Source, Spanned, nearest, nearest_name,
};

/// What one holder file says.
#[derive(Debug, Clone)]
pub(crate) struct HolderFile {
    pub source: Source,
    /// Name of the holder: the file's name, made safe as a folder name.
    pub name: String,
    /// What a person calls it.
    pub title: String,
    /// What bare lengths are in; `None` when the file does not say.
    pub units: Option<Units>,
    /// Whether the holder hangs already: nothing more is cut or bought for it.
    pub built: bool,
    /// What it takes from another file, where it is read from the record of how the holder was made.
    pub as_made: Option<Arc<AsMade>>,
    /// The tools of the inventory, or their sets, that it names.
    pub tool: Vec<Spanned<String>>,
    /// Whether it says tool or count, even if that can't be read.
    pub wants_tool: bool,
    /// How many of the one tool that it names hang here.
    pub count: Option<Spanned<usize>>,
    /// What it takes from the inventory; `None` until that is looked up, and where it names no tool.
    pub taken: Option<Arc<Taken>>,
    pub style: Arc<Style>,
    pub measures: Entries,
    pub choices: Entries,
    /// Where a missing measure is asked for: the line of the style.
    pub style_span: std::ops::Range<usize>,
    /// What is wrong with its keys; told together with what is wrong with its values.
    pub wrong: Problems,
}

/// Values by name, as they stand in the file.
pub(crate) type Entries = IndexMap<Spanned<String>, Spanned<Entry>>;

/// What a holder that was made takes from elsewhere than its record.
#[derive(Debug, Clone)]
pub(crate) struct AsMade {
    /// The person's file as it is now.
    pub now: HolderFile,
    /// The measures and choices that are read from it.
    pub follows: BTreeSet<String>,
    /// The choices that were left open when it was made.
    pub left_open: Vec<String>,
    /// What its middle was marked for, such as "over a stud".
    pub middle: Option<String>,
}

/// What a holder file takes from the inventory.
#[derive(Debug, Clone)]
pub(crate) struct Taken {
    /// What the inventory says for it, as a holder file that stood there would.
    pub says: HolderFile,
    pub hung: HungTools,
}

/// The tools of the inventory that hang in a holder.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct HungTools {
    /// Their names, one for each place that is not spare, in the order of the places.
    pub names: Vec<String>,
    /// Whether one of them takes two hands.
    pub two_handed: bool,
}

/// One holder: its style, what was measured for it, and what is decided.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct HolderKeys {
    /// The kind of holder.
    pub style: Spanned<String>,
    /// What you call it.
    #[schemars(length(max = limits::NAME))]
    pub title: Option<Spanned<String>>,
    /// What a bare number is.
    pub units: Option<Units>,
    /// It hangs: it keeps its sizes and is left out of cutting and shopping.
    #[serde(default)]
    pub built: bool,
    /// A tool or set of tools.toml that hangs in it, or a list of such.
    #[schemars(with = "Option<AsEither<String, Vec<String>>>", extend("minItems" = 1))]
    pub tool: Option<Spanned<Entry>>,
    /// How many of that tool hang in it; left out, what other holders leave.
    #[schemars(with = "Option<usize>", range(min = 1))]
    pub count: Option<Spanned<Entry>>,
    /// What is read off the tool.
    #[serde(default)]
    #[schemars(with = "IndexMap<String, AsValue>")]
    pub measures: Entries,
    /// What is decided; what is left out is settled.
    #[serde(default)]
    #[schemars(with = "IndexMap<String, AsValue>")]
    pub choices: Entries,
}

impl HolderFile {
    /// Reads a holder file called `name`. A measure or choice that is not one of the style's is kept
    /// in `wrong`; what is under a misspelled name is read as the one it is nearest to.
    ///
    /// # Errors
    /// When it is no TOML, or there is no such style.
    pub(crate) fn read(source: Source, name: &str, library: &Library) -> Result<Self, Problems> {
        let (keys, wrong) = source.parse_all::<HolderKeys>();
        let Some(keys) = keys else { return Err(wrong) };
        Self::of(keys, (source, name), library, wrong)
    }

    /// The holder file called `name` that says `raw`; `wrong` is what could not be read of it.
    ///
    /// # Errors
    /// When there is no such style.
    pub(crate) fn of(
        mut raw: HolderKeys,
        (source, name): (Source, &str),
        library: &Library,
        mut wrong: Problems,
    ) -> Result<Self, Problems> {
        wrong.keep(short_title(&source, raw.title.as_ref()));
        let style_name = raw.style.get_ref();
        let style = wrong.keep(library.style(style_name)).map(|style| {
            let message = format!("style: there is no style \"{style_name}\"");
            let none = source.problem(raw.style.span(), message);
            style.ok_or_else(|| none.with_help(library.advice(style_name)))
        });
        let Some(style) = style.and_then(|style| wrong.keep(style)) else { return Err(wrong) };
        renamed(&mut raw.choices, &style);
        let measures: Vec<&str> = style.measures().map(|(name, _, _)| name).collect();
        let choices: Vec<&str> = style.choices().map(|(name, _, _)| name).collect();
        let mut strays = Entries::new();
        for (table, entries, own, other) in [
            ("measures", &mut raw.measures, &measures, &choices),
            ("choices", &mut raw.choices, &choices, &measures),
        ] {
            let (kept, more) =
                sort(&source, table, std::mem::take(entries), [own, other], &mut wrong);
            *entries = kept;
            strays.extend(more);
        }
        for (name, entry) in strays {
            let measure = measures.contains(&name.get_ref().as_str());
            let table = if measure { &mut raw.measures } else { &mut raw.choices };
            table.entry(name).or_insert(entry);
        }
        let tool = raw.tool.as_ref().map(|entry| tools_named(&source, entry));
        let tool = tool.and_then(|tool| wrong.keep(tool)).unwrap_or_default();
        let named = (raw.tool.is_some(), tool.as_slice());
        let count = raw.count.as_ref().map(|entry| counted(&source, entry, named));
        let count = count.and_then(|count| wrong.keep(count));
        Ok(Self {
            name: name.to_owned(),
            title: one_line(raw.title.as_ref().map_or(&style.own().title, |title| title.get_ref())),
            units: raw.units,
            built: raw.built,
            as_made: None,
            wants_tool: raw.tool.is_some() || raw.count.is_some(),
            tool,
            count,
            taken: None,
            style: Arc::new(style),
            measures: raw.measures,
            choices: raw.choices,
            style_span: raw.style.span(),
            wrong,
            source,
        })
    }
}

impl HolderFile {
    /// Whether it says what a choice is, by itself or by the tool that it names.
    pub(crate) fn states(&self, choice: &str) -> bool {
        has(&self.who_says(choice).choices, choice)
    }

    /// The names of the measures that it says, by itself or by the tool that it names.
    pub(crate) fn said_measures(&self) -> impl Iterator<Item = &str> {
        let said = |name: &&str| has(&self.who_says(name).measures, name);
        self.style.measures().map(|(name, ..)| name).filter(said)
    }

    /// The file that says what the measure or choice `name` is: of a holder that was made the one of now, where it
    /// follows that; the inventory, where the file itself does not say it and names a tool.
    pub(crate) fn who_says(&self, name: &str) -> &Self {
        if let Some(made) = self.as_made.as_ref().filter(|made| made.follows.contains(name)) {
            return made.now.who_says(name);
        }
        let own = has(&self.measures, name) || has(&self.choices, name);
        let taken = self.taken.as_ref().map(|taken| &taken.says).filter(|_| !own);
        let taken = taken.filter(|says| has(&says.measures, name) || has(&says.choices, name));
        taken.unwrap_or(self)
    }

    /// What the measure or choice `name` of `table` is called in messages: in the inventory it stands in no table.
    pub(crate) fn key(&self, table: &str, name: &str) -> String {
        let inventory = self.taken.as_ref().map(|taken| &taken.says);
        match inventory.is_some_and(|says| std::ptr::eq(says, self.who_says(name))) {
            true => name.to_owned(),
            false => format!("{table}.{name}"),
        }
    }

    /// Whether a person wrote the file `source` for this holder: its own, or the inventory.
    pub(crate) fn is_own(&self, source: &Source) -> bool {
        let inventory = self.taken.as_ref().map(|taken| taken.says.source.name());
        source.name() == self.source.name() || inventory == Some(source.name())
    }

    /// The tools of the inventory that hang here.
    pub(crate) fn hung(&self) -> HungTools {
        self.taken.as_ref().map(|taken| taken.hung.clone()).unwrap_or_default()
    }

    /// Whether a choice that the file states was left open when the holder was made.
    pub(crate) fn was_left_open(&self, choice: &str) -> bool {
        self.as_made.as_ref().is_some_and(|made| made.left_open.iter().any(|open| open == choice))
    }

    /// Name and text of the file beside it that a choice names; `None` where it names none that can be read.
    pub(crate) fn file_named(&self, choice: &str) -> Option<(String, String)> {
        let (_, entry) = self.choices.iter().find(|(name, _)| name.get_ref() == choice)?;
        let Entry::Text(name) = entry.get_ref() else { return None };
        let text = self.source.beside(name, choice, entry.span()).ok()?;
        Some((name.clone(), text))
    }

    /// The same file with one choice set to `value`, as if it stood where the style is named.
    #[must_use]
    pub(crate) fn with_choice(&self, name: &str, value: Entry) -> Self {
        let mut file = self.clone();
        file.choices.retain(|known, _| known.get_ref() != name);
        let at = self.style_span.clone();
        file.choices.insert(Spanned::new(at.clone(), name.to_owned()), Spanned::new(at, value));
        file
    }
}

fn has(entries: &Entries, name: &str) -> bool {
    entries.keys().any(|known| known.get_ref() == name)
}

/// The tools that `tool = …` names: one name, or a list of them.
fn tools_named(source: &Source, entry: &Spanned<Entry>) -> Result<Vec<Spanned<String>>, Problem> {
    let one = |entry: &Spanned<Entry>| match entry.get_ref() {
        Entry::Text(name) => Ok(Spanned::new(entry.span(), name.clone())),
        other => {
            let message = format!("tool: {other} is no name of a tool");
            let help = "write the name of a tool or set of tools.toml in quotes, or a list of such";
            Err(source.problem(entry.span(), message).with_help(help))
        }
    };
    match entry.get_ref() {
        Entry::List(names) if !names.is_empty() => names.iter().map(one).collect(),
        _ => one(entry).map(|name| vec![name]),
    }
}

/// How many of the tool hang here, which has to be a single one.
fn counted(
    source: &Source,
    entry: &Spanned<Entry>,
    (says_tool, tools): (bool, &[Spanned<String>]),
) -> Result<Spanned<usize>, Problem> {
    let wrong =
        |message: String, help: &str| Err(source.problem(entry.span(), message).with_help(help));
    match entry.get_ref() {
        _ if !says_tool => wrong(
            "count: it stands at the top, and no tool does".to_owned(),
            "write tool = \"NAME\" of tools.toml beside it, or move it under [choices]",
        ),
        _ if tools.len() > 1 => wrong(
            format!("count: {} tools are named, and it counts one", tools.len()),
            "leave it out, or write a holder file for each tool",
        ),
        Entry::Number(count) if *count >= 1.0 && count.fract() == 0.0 => {
            Ok(Spanned::new(entry.span(), *count as usize))
        }
        other => wrong(
            format!("count: {other} is not a whole number of tools"),
            "write how many hang here, such as 4",
        ),
    }
}

/// The units that a file says at its top, whatever else is wrong in its tables.
pub(crate) fn units_of(source: &Source) -> Option<Units> {
    #[derive(Deserialize)]
    struct Said {
        units: Option<Units>,
    }
    toml::from_str::<Said>(source.text()).ok()?.units
}

/// Whether a holder file says at its top that the holder is built, whatever else is wrong in it.
#[cfg(feature = "cli")]
pub(crate) fn says_built(source: &Source) -> bool {
    #[derive(Deserialize)]
    struct Said {
        #[serde(default)]
        built: bool,
    }
    toml::from_str::<Said>(source.text()).is_ok_and(|said| said.built)
}

/// Calls choices by their names of today.
fn renamed(choices: &mut Entries, style: &Style) {
    for (name, choice, _) in style.choices() {
        let Some(formerly) = &choice.formerly else { continue };
        let known = |wanted: &str, choices: &Entries| {
            choices.keys().position(|key| key.get_ref() == wanted)
        };
        let (Some(at), None) = (known(formerly, choices), known(name, choices)) else { continue };
        if let Some((key, entry)) = choices.shift_remove_index(at) {
            // What was a number then is one still, whatever the file measures in.
            let number = match entry.get_ref() {
                Entry::Number(number) => Some(Entry::Text(format!("#{number}"))),
                _ => None,
            };
            let entry = number.map_or(entry.clone(), |said| Spanned::new(entry.span(), said));
            choices.insert(Spanned::new(key.span(), name.to_owned()), entry);
        }
    }
}

/// A title has to fit into the title block.
fn short_title(source: &Source, title: Option<&Spanned<String>>) -> Result<(), Problem> {
    let letters = title.map_or(0, |title| title.get_ref().chars().count());
    let Some(title) = title.filter(|_| letters > limits::NAME) else { return Ok(()) };
    let message = format!("title: it has {letters} characters");
    let help = format!("write one of at most {}", limits::NAME);
    Err(source.problem(title.span(), message).with_help(help))
}

/// Drawings have one line for a title: breaks and runs of spaces become one space.
fn one_line(title: &str) -> String {
    let words: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .collect();
    words.join(" ")
}

/// The entries of `table` under the names that are meant, and those that belong in the other table.
fn sort(
    source: &Source,
    table: &str,
    entries: Entries,
    [names, elsewhere]: [&[&str]; 2],
    wrong: &mut Problems,
) -> (Entries, Entries) {
    let given: Vec<String> = entries.keys().map(|name| name.get_ref().clone()).collect();
    let (mut kept, mut strays) = (Entries::new(), Entries::new());
    for (name, entry) in entries {
        let text = name.get_ref().as_str();
        if names.contains(&text) {
            kept.insert(name, entry);
            continue;
        }
        wrong.add(unknown(source, table, &name, [names, elsewhere]));
        if elsewhere.contains(&text) {
            strays.insert(name, entry);
        } else if let Some(meant) = nearest_name(text, names)
            && !given.iter().any(|given| given == meant)
        {
            kept.insert(Spanned::new(name.span(), meant.to_owned()), entry);
        }
    }
    (kept, strays)
}

fn unknown(
    source: &Source,
    table: &str,
    name: &Spanned<String>,
    [names, elsewhere]: [&[&str]; 2],
) -> Problem {
    let text = name.get_ref().as_str();
    let message = format!("{table}.{text}: this style has no such name among its {table}");
    let other = if table == "measures" { "choices" } else { "measures" };
    let help = if elsewhere.contains(&text) {
        format!("it is one of the {other}: move it under [{other}]")
    } else {
        nearest(text, names)
    };
    source.problem(name.span(), message).with_help(help)
}
