//! What a style asks of the person: readings off the tool and choices, as they are said in a file
//! and completed from the vocabulary.

use std::fmt;
use std::ops::Range;

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{Deserializer, Error as _, MapAccess, SeqAccess, Visitor};

use super::expr::{Expr, PlainOr, exactly_one, split};
use crate::length::Units;
use crate::reading::{
    AsEither, AsFormula, AsPlain, Entry, Kind, Problem, Problems, Source, Spanned, formerly,
    nearest,
};

/// A reading taken off the tool.
#[derive(Debug, Clone)]
pub(crate) struct Measure {
    /// The question to the person with the tool in hand.
    pub ask: String,
    /// What to measure with.
    pub with: String,
    pub kind: Kind,
    /// Least and most; of each entry, for a list.
    pub range: [Expr; 2],
    /// Whether it is a list, one entry a tool.
    pub list: bool,
    /// The list that sets how many entries this one has; it may then be given as one figure for
    /// all of them.
    pub per: Option<Spanned<String>>,
    /// The count of tools that sets how many entries it has; given as one figure it holds for all of them.
    pub per_tool: Option<Spanned<String>>,
    /// What it serves beyond the formulas that use it.
    pub serves: Option<Serves>,
    /// What holds when the holder file leaves it out; without one it must be given.
    pub default: Option<Expr>,
}

/// What a measure may serve when no formula uses it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Serves {
    /// It says how large the tool's body is.
    Body,
}

/// A design decision.
#[derive(Debug, Clone)]
pub(crate) struct Choice {
    pub ask: String,
    pub kind: ChoiceKind,
    /// What holds when the holder file does not say. Stock choices have none: the shop's first
    /// stock of the kind serves.
    pub default: Option<Expr>,
    /// Least and most, for figures.
    pub range: Option<[Expr; 2]>,
    /// Of a stock that is left open: how thick it is to be, as near as the shop has it, and at the least.
    pub thickness: Option<Expr>,
    pub at_least: Option<Expr>,
    /// The words to choose from.
    pub options: Vec<String>,
    /// Whether it is a list.
    pub list: bool,
    /// The list that sets how many entries this one has.
    pub per: Option<Spanned<String>>,
    /// The count of tools that sets how many.
    pub per_tool: Option<Spanned<String>>,
    /// Whether a new holder file begins with it stated.
    pub stated: bool,
    /// What it may be changed to so that the holder carries more.
    pub gives: Gives,
    /// How far a length may go up or down so that sizes of several holders agree.
    pub agrees: Option<Expr>,
    /// It is only asked where this holds.
    pub when: Option<Expr>,
    /// The name it had before, under which holder files may still state it.
    pub formerly: Option<String>,
}

/// What a choice may be changed to, the least change first.
#[derive(Debug, Clone)]
pub(crate) enum Gives {
    Nothing,
    /// Any other stock of its kind; of a screw the next thicker ones.
    AnyOther,
    Values(Vec<Expr>),
}

/// How many values a measure or choice has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Many<'a> {
    One,
    /// A list of any length.
    Any,
    /// As many as the list of this name.
    Per(&'a str),
    /// As many as the count of this name says.
    Tools(&'a str),
}

impl<'a> Many<'a> {
    fn new(list: bool, [per, per_tool]: [&'a Option<Spanned<String>>; 2]) -> Self {
        match (per, per_tool) {
            (Some(name), _) => Self::Per(name.get_ref()),
            (None, Some(name)) => Self::Tools(name.get_ref()),
            (None, None) if list => Self::Any,
            (None, None) => Self::One,
        }
    }
}

impl Measure {
    /// How many values it has.
    pub(crate) fn many(&self) -> Many<'_> {
        Many::new(self.list, [&self.per, &self.per_tool])
    }
}

impl Choice {
    /// How many values it has.
    pub(crate) fn many(&self) -> Many<'_> {
        Many::new(self.list, [&self.per, &self.per_tool])
    }
}

/// What a choice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ChoiceKind {
    Length,
    Mass,
    Angle,
    Count,
    Number,
    /// One of the `options`.
    Word,
    /// A wood screw by number or by its thread, perhaps with its length.
    Screw,
    /// A sheet, board or dowel of the shop by name.
    Sheet,
    Board,
    Dowel,
    /// A file beside the one that names it. Without a default the holder file must name it.
    File,
}

impl ChoiceKind {
    /// The kind of figure that it is; `None` for words, stock and files.
    pub(crate) fn figure(self) -> Option<Kind> {
        match self {
            Self::Length => Some(Kind::Length),
            Self::Mass => Some(Kind::Mass),
            Self::Angle => Some(Kind::Angle),
            Self::Count => Some(Kind::Count),
            Self::Number => Some(Kind::Number),
            Self::Word | Self::Screw | Self::Sheet | Self::Board | Self::Dowel | Self::File => None,
        }
    }
}

/// A reading as a style says it: its question, or a table; what is left out is the vocabulary's.
#[derive(Debug, Clone, JsonSchema)]
#[schemars(with = "AsEither<String, MeasureKeys>")]
pub(crate) struct MeasureSaid(MeasureKeys);

#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct MeasureKeys {
    /// The question to the person with the tool in hand.
    ask: Option<String>,
    /// What to measure with.
    with: Option<String>,
    /// A length: the least and the most.
    length: Option<[Expr; 2]>,
    /// A mass: the least and the most.
    mass: Option<[Expr; 2]>,
    /// An angle: the least and the most.
    angle: Option<[Expr; 2]>,
    /// A whole number: the least and the most.
    count: Option<[Expr; 2]>,
    /// A number: the least and the most.
    number: Option<[Expr; 2]>,
    /// It is a list, one entry a tool.
    #[serde(default)]
    list: bool,
    /// The list that it has as many entries as.
    per: Option<Spanned<String>>,
    /// The count of tools that says how many entries it may have.
    per_tool: Option<Spanned<String>>,
    /// What it serves beyond the formulas that use it.
    #[serde(rename = "for")]
    serves: Option<Serves>,
    /// What holds where the holder file leaves it out.
    default: Option<Expr>,
}

impl MeasureKeys {
    /// The same, told at a place of another file, which goes by it.
    fn at(&self, span: &Range<usize>) -> Self {
        let mut keys = self.clone();
        let ranges =
            [&mut keys.length, &mut keys.mass, &mut keys.angle, &mut keys.count, &mut keys.number];
        for expr in ranges.into_iter().flatten().flatten().chain(&mut keys.default) {
            expr.span = span.clone();
        }
        keys
    }
}

impl<'de> Deserialize<'de> for MeasureSaid {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match PlainOr::deserialize(deserializer)? {
            PlainOr::Table(keys) => Ok(Self(keys)),
            PlainOr::Plain(Entry::Text(ask)) => {
                Ok(Self(MeasureKeys { ask: Some(ask), ..MeasureKeys::default() }))
            }
            PlainOr::Plain(_) => Err(D::Error::custom("write the question as a text")),
        }
    }
}

/// A choice as a style says it: its default, or a table; what is left out is the vocabulary's.
#[derive(Debug, Clone, JsonSchema)]
#[schemars(with = "AsEither<AsPlain, ChoiceKeys>")]
pub(crate) struct ChoiceSaid(ChoiceKeys);

#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = formerly("gives", "if_weak"))]
struct ChoiceKeys {
    /// What is decided.
    ask: Option<String>,
    /// A length: the least and the most.
    length: Option<[Expr; 2]>,
    /// A mass: the least and the most.
    mass: Option<[Expr; 2]>,
    /// An angle: the least and the most.
    angle: Option<[Expr; 2]>,
    /// A whole number: the least and the most.
    count: Option<[Expr; 2]>,
    /// A number: the least and the most.
    number: Option<[Expr; 2]>,
    /// One of these words, the first by default.
    word: Option<Vec<String>>,
    /// A stock of the shop.
    stock: Option<StockWord>,
    /// Of a stock that is left out: how thick it is to be, as near as the shop has it.
    thickness: Option<Expr>,
    /// Of a stock that is left out: none thinner.
    at_least: Option<Expr>,
    /// It names a file beside the holder file.
    #[serde(default)]
    file: bool,
    /// It names a wood screw.
    #[serde(default)]
    screw: bool,
    /// Its name in files of before.
    formerly: Option<String>,
    /// What holds where the holder file leaves it out.
    default: Option<Expr>,
    /// It is a list.
    #[serde(default)]
    list: bool,
    /// The list that it has as many entries as.
    per: Option<Spanned<String>>,
    /// The count of tools that says how many entries it may have.
    per_tool: Option<Spanned<String>>,
    /// One for each tool, where the tools are measured each for itself.
    #[serde(default)]
    each: bool,
    /// A new holder file begins with it.
    #[serde(default)]
    stated: bool,
    /// What it may be set to where it is left out and its default stops or warns, the least change first; true for
    /// any other stock, and for thicker screws.
    #[serde(alias = "if_weak")]
    #[schemars(with = "Option<AsEither<bool, AsEither<AsFormula, Vec<AsFormula>>>>")]
    gives: Option<Spanned<Entry>>,
    /// How far a length that is left out may go up or down so that sizes of several holders agree.
    agrees: Option<Expr>,
    /// Only asked where this holds.
    when: Option<Expr>,
}

impl ChoiceKeys {
    /// The same, told at a place of another file, which goes by it.
    fn at(&self, span: &Range<usize>) -> Self {
        let mut keys = self.clone();
        let ranges =
            [&mut keys.length, &mut keys.mass, &mut keys.angle, &mut keys.count, &mut keys.number];
        let ranges = ranges.into_iter().flatten().flatten();
        for expr in ranges.chain(&mut keys.default).chain(&mut keys.when) {
            expr.span = span.clone();
        }
        keys.gives = keys.gives.map(|gives| Spanned::new(span.clone(), gives.into_inner()));
        keys
    }
}

#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
enum StockWord {
    Sheet,
    Board,
    Dowel,
}

impl<'de> Deserialize<'de> for ChoiceSaid {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let said = Spanned::<PlainOr<ChoiceKeys>>::deserialize(deserializer)?;
        let span = said.span();
        match said.into_inner() {
            PlainOr::Table(keys) => Ok(Self(keys)),
            PlainOr::Plain(entry) => {
                let default = Expr::of(&Spanned::new(span, entry)).map_err(D::Error::custom)?;
                Ok(Self(ChoiceKeys { default: Some(default), ..ChoiceKeys::default() }))
            }
        }
    }
}

/// What a file or the vocabulary says of measures and choices, by name.
pub(super) type Said<T> = IndexMap<Spanned<String>, T>;

/// The measures of a file, whole. `each` is set where the tools are measured each for itself: then the
/// first sets how many there are, and all others have as many.
pub(super) fn measures(
    said: &Said<MeasureSaid>,
    usual: &Said<MeasureSaid>,
    each: bool,
    source: &Source,
    wrong: &mut Problems,
) -> Said<Measure> {
    let first = said.first().map(|(name, _)| name.clone());
    let whole = said.iter().filter_map(|(name, MeasureSaid(keys))| {
        let known = usual.get(name).map(|MeasureSaid(keys)| keys.at(&name.span()));
        let mut measure = wrong.keep(measure(keys, known.as_ref()).map_err(|what| {
            let known = usual.keys().map(|name| name.get_ref().as_str()).collect();
            lacks("measures", name, &what, (source, known))
        }))?;
        if each && measure.many() == Many::One {
            measure.list = first.as_ref() == Some(name);
            measure.per = first.clone().filter(|_| !measure.list);
        }
        Some((name.clone(), measure))
    });
    whole.collect()
}

/// The choices of a file, whole; those for each tool are as many as there are of `list`.
pub(super) fn choices(
    said: &Said<ChoiceSaid>,
    usual: &Said<ChoiceSaid>,
    list: Option<&Spanned<String>>,
    source: &Source,
    wrong: &mut Problems,
) -> Said<Choice> {
    let whole = said.iter().filter_map(|(name, ChoiceSaid(keys))| {
        let known = usual.get(name).map(|ChoiceSaid(keys)| keys.at(&name.span()));
        let choice = choice(name, keys, known.as_ref()).map_err(|what| {
            let known = usual.keys().map(|name| name.get_ref().as_str()).collect();
            lacks("choices", name, &what, (source, known))
        });
        let mut choice = wrong.keep(choice)?;
        if keys.each && choice.many() == Many::One {
            choice.per = list.cloned();
        }
        Some((name.clone(), choice))
    });
    whole.collect()
}

fn lacks(
    table: &str,
    name: &Spanned<String>,
    what: &str,
    (source, known): (&Source, Vec<&str>),
) -> Problem {
    let name_is = name.get_ref();
    let problem = source.problem(name.span(), format!("{table}.{name_is}: {what}"));
    match nearest(name_is, &known) {
        hint if hint.starts_with("did") => problem.with_help(hint),
        _ => problem,
    }
}

fn measure(keys: &MeasureKeys, usual: Option<&MeasureKeys>) -> Result<Measure, String> {
    let or = |of: fn(&MeasureKeys) -> Option<String>| of(keys).or_else(|| usual.and_then(of));
    one_way(keys.list, [&keys.per, &keys.per_tool])?;
    let (kind, range) = match kind_of_measure(keys)? {
        Some(found) => found,
        None => usual.map(kind_of_measure).transpose()?.flatten().ok_or(RANGE)?,
    };
    Ok(Measure {
        ask: or(|keys| keys.ask.clone()).ok_or("it asks nothing: write ask = \"…?\"")?,
        with: or(|keys| keys.with.clone()).unwrap_or_else(|| "tape".to_owned()),
        kind,
        range,
        list: keys.list,
        per: keys.per.clone(),
        per_tool: keys.per_tool.clone(),
        serves: keys.serves.or(usual.and_then(|usual| usual.serves)),
        default: keys.default.clone().or_else(|| usual.and_then(|usual| usual.default.clone())),
    })
}

/// That what is a list says in one way how long it is.
fn one_way(list: bool, pers: [&Option<Spanned<String>>; 2]) -> Result<(), &'static str> {
    let ways = usize::from(list) + pers.into_iter().flatten().count();
    if ways <= 1 { Ok(()) } else { Err("say only one of list, per and per_tool") }
}

/// What to say where it is not said what a figure is.
const RANGE: &str =
    "it has no range: write length = [\"1/4 in\", \"4 in\"], or mass, angle, count or number";

type Ranged = Option<(Kind, [Expr; 2])>;

fn kind_of_measure(keys: &MeasureKeys) -> Result<Ranged, &'static str> {
    let MeasureKeys { length, mass, angle, count, number, .. } = keys.clone();
    ranged([length, mass, angle, count, number])
}

fn ranged(
    [length, mass, angle, count, number]: [Option<[Expr; 2]>; 5],
) -> Result<Ranged, &'static str> {
    let kinds = [
        length.map(|range| (Kind::Length, range)),
        mass.map(|range| (Kind::Mass, range)),
        angle.map(|range| (Kind::Angle, range)),
        count.map(|range| (Kind::Count, range)),
        number.map(|range| (Kind::Number, range)),
    ];
    if kinds.iter().all(Option::is_none) {
        return Ok(None);
    }
    exactly_one(kinds, "a figure is exactly one of length, mass, angle, count and number").map(Some)
}

fn choice(
    name: &Spanned<String>,
    keys: &ChoiceKeys,
    usual: Option<&ChoiceKeys>,
) -> Result<Choice, String> {
    one_way(keys.list, [&keys.per, &keys.per_tool])?;
    let own = kind_of_choice(keys)?;
    let found = match own {
        Some(found) => Some(found),
        None => usual.map(kind_of_choice).transpose()?.flatten(),
    };
    let (kind, range, options) =
        found.ok_or(format!("{RANGE}, word = [\"…\", \"…\"], or stock = \"sheet\""))?;
    let default = keys.default.clone().or_else(|| usual.and_then(|usual| usual.default.clone()));
    let first = options.first().filter(|_| kind == ChoiceKind::Word);
    let ask = keys.ask.clone().or_else(|| usual.and_then(|usual| usual.ask.clone()));
    Ok(Choice {
        ask: ask.ok_or("it asks nothing: write ask = \"…\"")?,
        kind,
        default: match (default, first) {
            (None, Some(word)) => Some(Expr::word(word)),
            (default, _) => default,
        },
        range,
        thickness: keys.thickness.clone(),
        at_least: keys.at_least.clone(),
        list: keys.list,
        per: keys.per.clone(),
        per_tool: keys.per_tool.clone(),
        stated: keys.stated || usual.is_some_and(|usual| usual.stated),
        gives: match keys.gives.as_ref().or_else(|| usual.and_then(|usual| usual.gives.as_ref())) {
            Some(gives) => given(name.get_ref(), gives)?,
            None => Gives::Nothing,
        },
        agrees: agrees(
            kind,
            keys.agrees.as_ref().or(usual.and_then(|usual| usual.agrees.as_ref())),
        )?,
        when: keys.when.clone().or_else(|| usual.and_then(|usual| usual.when.clone())),
        formerly: keys.formerly.clone(),
        options,
    })
}

/// How far a choice may go: a length that leans on no other value, for lengths alone.
fn agrees(kind: ChoiceKind, said: Option<&Expr>) -> Result<Option<Expr>, String> {
    let Some(expr) = said else { return Ok(None) };
    let plain = expr.plain_length(Units::Inches).is_some_and(|far| far > 0.0);
    if kind == ChoiceKind::Length && plain {
        return Ok(Some(expr.clone()));
    }
    Err("agrees is for a length: write how far it may go, such as \"1/4 in\"".to_owned())
}

type KindOfChoice = Option<(ChoiceKind, Option<[Expr; 2]>, Vec<String>)>;

fn kind_of_choice(keys: &ChoiceKeys) -> Result<KindOfChoice, &'static str> {
    let ChoiceKeys { length, mass, angle, count, number, word, stock, file, screw, .. } =
        keys.clone();
    let figure = ranged([length, mass, angle, count, number])?;
    let kinds = [
        figure.map(|(kind, range)| (figured(kind), Some(range), Vec::new())),
        word.map(|options| (ChoiceKind::Word, None, options)),
        stock.map(|stock| (stocked(stock), None, Vec::new())),
        file.then_some((ChoiceKind::File, None, Vec::new())),
        screw.then_some((ChoiceKind::Screw, None, Vec::new())),
    ];
    if kinds.iter().all(Option::is_none) {
        return Ok(None);
    }
    exactly_one(kinds, "a choice is exactly one of a figure, a word, a stock, a screw and a file")
        .map(Some)
}

fn figured(kind: Kind) -> ChoiceKind {
    match kind {
        Kind::Length => ChoiceKind::Length,
        Kind::Mass => ChoiceKind::Mass,
        Kind::Angle => ChoiceKind::Angle,
        Kind::Count => ChoiceKind::Count,
        Kind::Number => ChoiceKind::Number,
    }
}

fn stocked(stock: StockWord) -> ChoiceKind {
    match stock {
        StockWord::Sheet => ChoiceKind::Sheet,
        StockWord::Board => ChoiceKind::Board,
        StockWord::Dowel => ChoiceKind::Dowel,
    }
}

/// What a choice gives: `true`, or values such as `+ 1 in`, counted from its own.
fn given(name: &str, gives: &Spanned<Entry>) -> Result<Gives, String> {
    let spanned = |text: &str| Spanned::new(gives.span(), Entry::Text(text.to_owned()));
    let entries: Vec<Spanned<Entry>> = match gives.get_ref() {
        Entry::Truth(true) => return Ok(Gives::AnyOther),
        Entry::Truth(false) => return Ok(Gives::Nothing),
        Entry::Text(text) => split(text).into_iter().map(spanned).collect(),
        Entry::List(entries) => entries.clone(),
        _ => vec![gives.clone()],
    };
    let values = entries.iter().map(|entry| Expr::of(&relative(name, entry)));
    Ok(Gives::Values(values.collect::<Result<_, _>>()?))
}

/// `+ 1 in` as `pitch + 1 in`.
fn relative(name: &str, entry: &Spanned<Entry>) -> Spanned<Entry> {
    let from = |text: &str| {
        let relative = text.trim_start().starts_with(['+', '-', '*', '/']);
        if relative { format!("{name} {text}") } else { text.to_owned() }
    };
    let said = match entry.get_ref() {
        Entry::Text(text) => Entry::Text(from(text)),
        Entry::Either { inches, metric } => {
            Entry::Either { inches: from(inches), metric: from(metric) }
        }
        other => other.clone(),
    };
    Spanned::new(entry.span(), said)
}

/// Measures by name: a table, or a list of those that are just as in the vocabulary.
pub(super) fn listed<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Said<MeasureSaid>, D::Error> {
    struct Listed;
    impl<'de> Visitor<'de> for Listed {
        type Value = Said<MeasureSaid>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a table of measures, or a list of their names")
        }
        fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
            Said::deserialize(MapAccessDeserializer::new(map))
        }
        fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<Self::Value, A::Error> {
            let names = Vec::<Spanned<String>>::deserialize(SeqAccessDeserializer::new(seq))?;
            let usual = || MeasureSaid(MeasureKeys::default());
            Ok(names.into_iter().map(|name| (name, usual())).collect())
        }
    }
    deserializer.deserialize_any(Listed)
}
