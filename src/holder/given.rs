//! What a holder file gives the names of its style: figures, words, files and stock, as they stand.

use std::collections::BTreeMap;
use std::ops::Range;

use indexmap::IndexMap;

use super::finding::Finding;
use crate::formula::{Formula, Value};
use crate::length::{Quantity, read};
use crate::reading::{Entry, Kind, Problem, Source, Spanned, figure, nearest};
use crate::shop::{Shop, StockKind, StockRow};
use crate::style::{Choice, ChoiceKind, Expr, HolderFile, Layer, Many};

/// Everything that is given for a holder, before anything is worked out.
#[derive(Default)]
pub(super) struct Given<'a> {
    /// Measures, choices, workings, in the order of the style.
    pub definitions: IndexMap<&'a str, Definition<'a>>,
    /// What stock each choice of stock picked.
    pub stocks: BTreeMap<&'a str, &'a StockRow>,
    pub files: BTreeMap<&'a str, NamedFile<'a>>,
    /// The first stock that the shop does not have.
    pub no_stock: Option<Finding>,
}

/// How a name gets its value.
pub(super) struct Definition<'a> {
    pub origin: Origin,
    pub many: Many<'a>,
    /// Where it is said, and what it is called there: `choices.pitch`.
    pub source: &'a Source,
    pub span: Range<usize>,
    pub key: String,
    /// What holds for figures.
    pub limits: Option<Limits<'a>>,
}

/// What stands for a value.
pub(super) enum Origin {
    /// The value itself, and where each of its entries stands.
    Given(Value, Vec<Range<usize>>),
    Formula(Formula),
}

/// The kind of a figure, the least and the most it may be.
#[derive(Clone, Copy)]
pub(super) struct Limits<'a> {
    pub kind: Kind,
    pub range: &'a [Expr; 2],
    /// The file the range stands in.
    pub source: &'a Source,
}

/// A file that a choice names, and where it is named.
pub(super) struct NamedFile<'a> {
    pub name: String,
    pub source: &'a Source,
    pub span: Range<usize>,
}

/// Reads one value of the holder file that stands under a key.
type ReadEntry<'a> = dyn Fn(&str, &Spanned<Entry>) -> Result<Value, Problem> + 'a;

/// Takes in what the holder file gives.
///
/// # Errors
/// When a measure is missing, or a value is unreadable or of the wrong kind.
pub(super) fn given<'a>(holder: &'a HolderFile, shop: &'a Shop) -> Result<Given<'a>, Problem> {
    let mut given = Given::default();
    take_measures(&mut given, holder)?;
    for (name, choice, layer) in holder.style.choices() {
        take_choice(&mut given, (name, choice, layer), holder, shop)?;
    }
    let workings =
        holder.style.named(|f| f.workings.iter().map(|(k, v)| (k.get_ref().as_str(), v)));
    for (name, expr, layer) in workings {
        let working = Definition::of(expr, Many::One, layer, name.to_owned());
        given.definitions.entry(name).or_insert(working);
    }
    Ok(given)
}

impl<'a> Definition<'a> {
    /// A formula of the style's.
    fn of(expr: &Expr, many: Many<'a>, layer: &'a Layer, key: String) -> Self {
        let Expr { formula, span } = expr.clone();
        let (origin, source) = (Origin::Formula(formula), &layer.source);
        Self { origin, many, source, span, key, limits: None }
    }
}

fn take_measures<'a>(given: &mut Given<'a>, holder: &'a HolderFile) -> Result<(), Problem> {
    for (name, measure, layer) in holder.style.measures() {
        let key = format!("measures.{name}");
        let Some((_, entry)) = holder.measures.iter().find(|(k, _)| k.get_ref() == name) else {
            let span = holder.style_span.clone();
            let message = format!("{key} is missing: {}", measure.ask);
            let help = format!("under [measures] write {name} = …, {}", measure.kind.example());
            return Err(holder.source.problem(span, message).with_help(help));
        };
        let (kind, many, source) = (measure.kind, measure.many(), &holder.source);
        let limits = Some(Limits { kind, range: &measure.range, source: &layer.source });
        let origin = entries(&key, entry, many, &reader(kind, holder))?;
        let measure = Definition { origin, many, source, span: entry.span(), key, limits };
        given.definitions.insert(name, measure);
    }
    Ok(())
}

fn take_choice<'a>(
    given: &mut Given<'a>,
    (name, choice, layer): (&'a str, &'a Choice, &'a Layer),
    holder: &'a HolderFile,
    shop: &'a Shop,
) -> Result<(), Problem> {
    let entry = holder.choices.iter().find(|(k, _)| k.get_ref() == name).map(|(_, v)| v);
    let key = format!("choices.{name}");
    if let Some(kind) = stock_kind(choice.kind) {
        match stock(&key, kind, entry, &holder.source, shop)? {
            Ok(row) => drop(given.stocks.insert(name, row)),
            Err(finding) => drop(given.no_stock.get_or_insert(finding)),
        }
        return Ok(());
    }
    let definition = match (entry, &choice.default) {
        (entry, _) if choice.kind == ChoiceKind::File => {
            let file = named_file(&key, choice, name, entry, holder)?;
            let definition = Definition::file(&file, key);
            given.files.insert(name, file);
            definition
        }
        (Some(entry), _) => chosen(key, choice, layer, entry, holder)?,
        (None, Some(expr)) => Definition::of(expr, choice.many(), layer, key),
        (None, None) => return Ok(()),
    };
    given.definitions.insert(name, definition);
    Ok(())
}

impl<'a> Definition<'a> {
    fn file(file: &NamedFile<'a>, key: String) -> Self {
        let origin = Origin::Given(Value::Word(file.name.clone()), vec![file.span.clone()]);
        let (source, span) = (file.source, file.span.clone());
        Self { origin, many: Many::One, source, span, key, limits: None }
    }
}

/// A file beside the holder file.
fn named_file<'a>(
    key: &str,
    choice: &Choice,
    name: &str,
    entry: Option<&Spanned<Entry>>,
    holder: &'a HolderFile,
) -> Result<NamedFile<'a>, Problem> {
    let Some(entry) = entry else {
        let message = format!("{key} is missing: {}", choice.ask);
        let help = format!("under [choices] write {name} = \"NAME.svg\", a file beside this one");
        return Err(holder.source.problem(holder.style_span.clone(), message).with_help(help));
    };
    let Entry::Text(file) = entry.get_ref() else {
        let message = format!("{key}: {} is no name of a file", entry.get_ref());
        return Err(holder.source.problem(entry.span(), message));
    };
    Ok(NamedFile { name: file.clone(), source: &holder.source, span: entry.span() })
}

/// What the holder file says for a choice: a word, a figure or a formula.
fn chosen<'a>(
    key: String,
    choice: &'a Choice,
    layer: &'a Layer,
    entry: &Spanned<Entry>,
    holder: &'a HolderFile,
) -> Result<Definition<'a>, Problem> {
    let (many, source, span) = (choice.many(), &holder.source, entry.span());
    let Some(kind) = figure_kind(choice.kind) else {
        let read = |key: &str, entry: &_| word(choice, entry, key, source).map(Value::Word);
        let origin = entries(&key, entry, many, &read)?;
        return Ok(Definition { origin, many, source, span, key, limits: None });
    };
    let limits = choice.range.as_ref();
    let limits = limits.map(|range| Limits { kind, range, source: &layer.source });
    let origin = match formula(entry) {
        Some(formula) => Origin::Formula(formula),
        None => entries(&key, entry, many, &reader(kind, holder))?,
    };
    Ok(Definition { origin, many, source, span, key, limits })
}

/// A text that is no plain figure but a formula.
fn formula(entry: &Spanned<Entry>) -> Option<Formula> {
    match entry.get_ref() {
        Entry::Text(text) if read(text).is_err() => text.parse().ok(),
        _ => None,
    }
}

/// Reads figures of `kind`.
fn reader(
    kind: Kind,
    holder: &HolderFile,
) -> impl Fn(&str, &Spanned<Entry>) -> Result<Value, Problem> + '_ {
    move |key, entry| {
        let value = figure(entry, kind, holder.units, key, &holder.source)?;
        Ok(Quantity { value, dimension: kind.dimension() }.into())
    }
}

/// What the holder file says for a measure or choice, a list entry by entry with `read_one`.
fn entries(
    key: &str,
    entry: &Spanned<Entry>,
    many: Many<'_>,
    read_one: &ReadEntry<'_>,
) -> Result<Origin, Problem> {
    match entry.get_ref() {
        Entry::List(entries) if many != Many::One => {
            let numbered = entries.iter().enumerate();
            let read = numbered.map(|(i, one)| read_one(&entry_key(key, i), one));
            let values = read.collect::<Result<_, _>>()?;
            Ok(Origin::Given(Value::List(values), entries.iter().map(Spanned::span).collect()))
        }
        _ => Ok(Origin::Given(read_one(key, entry)?, vec![entry.span()])),
    }
}

/// What an entry of a list is called.
pub(super) fn entry_key(key: &str, index: usize) -> String {
    format!("{key}, entry {}", index + 1)
}

/// The stock that is named, or the shop's first of its kind; a finding where the shop has none.
fn stock<'a>(
    key: &str,
    kind: StockKind,
    entry: Option<&Spanned<Entry>>,
    source: &Source,
    shop: &'a Shop,
) -> Result<Result<&'a StockRow, Finding>, Problem> {
    let word = kind.word();
    let Some(entry) = entry else {
        return Ok(shop.of_kind(kind).next().ok_or_else(|| {
            let message = format!(
                "This holder needs a {word}, and the shop has none: add a [[{word}]] to shop.toml."
            );
            Finding::stop("no-stock", message)
        }));
    };
    let Entry::Text(wanted) = entry.get_ref() else {
        let message = format!("{key}: {} is no name of a {word}", entry.get_ref());
        return Err(source.problem(entry.span(), message));
    };
    let found = shop.of_kind(kind).find(|row| row.name == *wanted);
    found.map(Ok).ok_or_else(|| {
        let known: Vec<&str> = shop.of_kind(kind).map(|row| row.name.as_str()).collect();
        let message = format!("{key}: the shop has no {word} named \"{wanted}\"");
        source.problem(entry.span(), message).with_help(nearest(wanted, &known))
    })
}

fn stock_kind(kind: ChoiceKind) -> Option<StockKind> {
    match kind {
        ChoiceKind::Sheet => Some(StockKind::Sheet),
        ChoiceKind::Board => Some(StockKind::Board),
        ChoiceKind::Dowel => Some(StockKind::Dowel),
        _ => None,
    }
}

fn figure_kind(kind: ChoiceKind) -> Option<Kind> {
    match kind {
        ChoiceKind::Length => Some(Kind::Length),
        ChoiceKind::Mass => Some(Kind::Mass),
        ChoiceKind::Angle => Some(Kind::Angle),
        ChoiceKind::Count => Some(Kind::Count),
        ChoiceKind::Number => Some(Kind::Number),
        ChoiceKind::Word
        | ChoiceKind::Sheet
        | ChoiceKind::Board
        | ChoiceKind::Dowel
        | ChoiceKind::File => None,
    }
}

fn word(
    choice: &Choice,
    entry: &Spanned<Entry>,
    key: &str,
    source: &Source,
) -> Result<String, Problem> {
    let known: Vec<&str> = choice.options.iter().map(String::as_str).collect();
    match entry.get_ref() {
        Entry::Text(word) if known.contains(&word.as_str()) => Ok(word.clone()),
        other => {
            let message = format!("{key}: {other} is not one of its words");
            let help = format!("write one of: {}", known.join(", "));
            Err(source.problem(entry.span(), message).with_help(help))
        }
    }
}
