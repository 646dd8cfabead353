//! What a holder file gives the names of its style: figures, words, files and stock, as they stand.

use std::collections::BTreeMap;
use std::ops::Range;

use indexmap::IndexMap;

use super::finding::Finding;
use crate::formula::{Formula, Misread, Value};
use crate::length::{Quantity, Units, read};
use crate::reading::{Entry, FORMULA, Kind, Problem, Problems, Source, Spanned, figure, nearest};
use crate::shop::{AskedScrew, Shop, StockKind, StockRow};
use crate::style::{Choice, ChoiceKind, Expr, HolderFile, Layer, Many, Measure, SeriesSpec};
use crate::tolerance::COORDINATE;

/// Everything that is given for a holder, before anything is worked out.
#[derive(Default)]
pub(super) struct Given<'a> {
    /// Measures, choices, workings, in the order of the style.
    pub definitions: IndexMap<&'a str, Definition<'a>>,
    /// What stock each choice of stock picked.
    pub stocks: BTreeMap<&'a str, &'a StockRow>,
    pub files: BTreeMap<&'a str, NamedFile<'a>>,
    /// Series with the file they stand in.
    pub series: BTreeMap<&'a str, (&'a SeriesSpec, &'a Source)>,
    /// The first stock that the shop does not have.
    pub no_stock: Option<Finding>,
    /// What can't be read.
    pub wrong: Problems,
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
    /// Whether it is a length that is left open and worked out from others: it comes on a mark of the
    /// tape.
    pub free: bool,
}

/// What stands for a value.
pub(super) enum Origin {
    /// The value itself, and where each of its entries stands.
    Given(Value, Vec<Range<usize>>),
    Formula(Formula),
    /// None, for what the holder file gives is wrong; that is told already.
    Wrong,
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

/// What stock is picked from.
#[derive(Clone, Copy)]
pub(super) enum Stocks {
    /// What the holder file names, of what the shop has.
    AsNamed,
    /// The first of each kind, whatever is named: the shop only stands in.
    StandIn,
}

/// Takes in what the holder file gives; what can't be read is kept as wrong.
pub(super) fn given<'a>(holder: &'a HolderFile, shop: &'a Shop, stocks: Stocks) -> Given<'a> {
    let mut given = Given { wrong: holder.wrong.clone(), ..Given::default() };
    take_measures(&mut given, holder);
    for (name, choice, layer) in holder.style.choices() {
        let key = holder.key("choices", name);
        let holder = holder.who_says(name);
        let units = holder.units.unwrap_or(shop.units);
        match stock_kind(choice.kind) {
            Some(kind) => take_stock(&mut given, (name, choice, kind), holder, (shop, stocks)),
            None => {
                take_choice(&mut given, (name, choice, layer), (holder, units, shop.units), key);
            }
        }
    }
    let workings =
        holder.style.named(|l| l.file.workings.iter().map(|(k, v)| (k.get_ref().as_str(), v)));
    for (name, expr, layer) in workings {
        let working = Definition::of(expr, Many::One, layer, name.to_owned());
        given.definitions.entry(name).or_insert(working);
    }
    let series =
        holder.style.named(|l| l.file.series.iter().map(|(k, v)| (k.get_ref().as_str(), v)));
    given.series = series.map(|(name, spec, layer)| (name, (spec, &layer.source))).collect();
    given
}

impl<'a> Definition<'a> {
    /// A formula of the style's.
    fn of(expr: &Expr, many: Many<'a>, layer: &'a Layer, key: String) -> Self {
        let Expr { formula, span } = expr.clone();
        let (origin, source) = (Origin::Formula(formula), &layer.source);
        Self { origin, many, source, span, key, limits: None, free: false }
    }
}

fn take_measures<'a>(given: &mut Given<'a>, holder: &'a HolderFile) {
    for (name, measure, layer) in holder.style.measures() {
        let key = holder.key("measures", name);
        let holder = holder.who_says(name);
        let entry = holder.measures.iter().find(|(k, _)| k.get_ref() == name).map(|(_, v)| v);
        let (kind, many, source) = (measure.kind, measure.many(), &holder.source);
        let limits = Some(Limits { kind, range: &measure.range, source: &layer.source });
        let limits = limits.filter(|_| is_limited(holder));
        if let (None, Some(expr)) = (entry, &measure.default) {
            let free = is_free(kind, expr);
            let usual = Definition { free, ..Definition::of(expr, many, layer, key) };
            given.definitions.insert(name, usual);
            continue;
        }
        let origin = entry.ok_or_else(|| missing(name, measure, holder));
        let read = |entry| read_off(&key, entry, measure, holder).map_err(Problems::from);
        let origin = origin.and_then(read);
        let origin = given.wrong.keep(origin).unwrap_or(Origin::Wrong);
        let span = entry.map_or_else(|| holder.style_span.clone(), Spanned::span);
        let measure = Definition { origin, many, source, span, key, limits, free: false };
        given.definitions.insert(name, measure);
    }
}

/// What the holder file says for a measure. One that has a default may be given as it is: as a formula.
fn read_off(
    key: &str,
    entry: &Spanned<Entry>,
    measure: &Measure,
    holder: &HolderFile,
) -> Result<Origin, Problem> {
    if measure.default.is_some()
        && let Some(formula) = formula(key, entry, measure.kind, &holder.source)?
    {
        return Ok(Origin::Formula(formula));
    }
    entries(key, entry, measure.many(), &reader(measure.kind, Some(&measure.range), holder))
}

/// Whether a default is a length that is worked out from others. What is but a figure of another name, such as of
/// the stock, stays as that is.
fn is_free(kind: Kind, default: &Expr) -> bool {
    let formula = &default.formula;
    let works = |name: &str| !name.contains('.') && name != formula.text();
    kind == Kind::Length && formula.names().any(works)
}

/// Whether what `holder` says must be within its range: what was made is, as it was the day it was made.
fn is_limited(holder: &HolderFile) -> bool {
    holder.as_made.is_none()
}

/// That a measure is missing. What a tool of the inventory lacks is told there, and that there is no such tool.
fn missing(name: &str, measure: &Measure, holder: &HolderFile) -> Problems {
    if holder.wants_tool {
        return Problems::default();
    }
    let message = format!("measures.{name} is missing: {}", measure.ask);
    let help = format!("under [measures] write {name} = …, {}", measure.kind.example());
    holder.source.problem(holder.style_span.clone(), message).with_help(help).into()
}

/// What the holder file says for a choice.
fn entry_of<'a>(name: &str, holder: &'a HolderFile) -> Option<&'a Spanned<Entry>> {
    holder.choices.iter().find(|(k, _)| k.get_ref() == name).map(|(_, v)| v)
}

/// The first stock of the kind stands in for one that is wrong or not looked at.
fn take_stock<'a>(
    given: &mut Given<'a>,
    (name, choice, kind): (&'a str, &Choice, StockKind),
    holder: &HolderFile,
    (shop, stocks): (&'a Shop, Stocks),
) {
    let key = format!("choices.{name}");
    let found = match stocks {
        Stocks::AsNamed => {
            stock(&key, (choice, kind), entry_of(name, holder), &holder.source, shop)
        }
        Stocks::StandIn => stock(&key, (choice, kind), None, &holder.source, shop),
    };
    let row = match given.wrong.keep(found) {
        Some(Ok(row)) => Some(row),
        Some(Err(finding)) => {
            given.no_stock.get_or_insert(finding);
            None
        }
        None => shop.of_kind(kind).next(),
    };
    row.map(|row| given.stocks.insert(name, row));
}

/// A choice that is no stock.
fn take_choice<'a>(
    given: &mut Given<'a>,
    (name, choice, layer): (&'a str, &'a Choice, &'a Layer),
    (holder, units, shop_units): (&'a HolderFile, Units, Units),
    key: String,
) {
    let read = match (entry_of(name, holder), &choice.default) {
        (entry, _) if choice.kind == ChoiceKind::File => {
            named_file(&key, choice, name, entry, holder).map(|file| {
                let definition = Definition::file(&file, key.clone());
                given.files.insert(name, file);
                definition
            })
        }
        (Some(entry), _) => chosen(key.clone(), (choice, layer), entry, (holder, units)),
        // Screws are bought as they are sold where the shop is.
        (None, Some(expr)) if choice.kind == ChoiceKind::Screw => {
            let usual = Definition::of(expr, choice.many(), layer, key.clone());
            let named = expr
                .named_word(shop_units)
                .map(|word| Origin::Given(Value::Word(word), vec![expr.span.clone()]));
            Ok(match named {
                Some(origin) => Definition { origin, ..usual },
                None => usual,
            })
        }
        (None, Some(expr)) => {
            let free = choice.kind.figure().is_some_and(|kind| is_free(kind, expr));
            Ok(Definition { free, ..Definition::of(expr, choice.many(), layer, key.clone()) })
        }
        (None, None) => return,
    };
    let wrong = Definition {
        origin: Origin::Wrong,
        many: choice.many(),
        source: &holder.source,
        span: holder.style_span.clone(),
        key,
        limits: None,
        free: false,
    };
    let definition = given.wrong.keep(read).unwrap_or(wrong);
    given.definitions.insert(name, definition);
}

impl<'a> Definition<'a> {
    fn file(file: &NamedFile<'a>, key: String) -> Self {
        let origin = Origin::Given(Value::Word(file.name.clone()), vec![file.span.clone()]);
        let (source, span) = (file.source, file.span.clone());
        Self { origin, many: Many::One, source, span, key, limits: None, free: false }
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

/// What the holder file says for a choice: a word, a screw, a figure or a formula.
fn chosen<'a>(
    key: String,
    (choice, layer): (&'a Choice, &'a Layer),
    entry: &Spanned<Entry>,
    (holder, units): (&'a HolderFile, Units),
) -> Result<Definition<'a>, Problem> {
    let (many, source, span) = (choice.many(), &holder.source, entry.span());
    let Some(kind) = choice.kind.figure() else {
        let read = |key: &str, entry: &_| match choice.kind {
            ChoiceKind::Screw => AskedScrew::read(entry, units, key, source)
                .map(|screw| Value::Word(screw.to_string())),
            _ => word(choice, entry, key, source).map(Value::Word),
        };
        let origin = entries(&key, entry, many, &read)?;
        return Ok(Definition { origin, many, source, span, key, limits: None, free: false });
    };
    let limits = choice.range.as_ref().filter(|_| is_limited(holder));
    let limits = limits.map(|range| Limits { kind, range, source: &layer.source });
    let origin = match formula(&key, entry, kind, source)? {
        Some(formula) => Origin::Formula(formula),
        None => entries(&key, entry, many, &reader(kind, choice.range.as_ref(), holder))?,
    };
    Ok(Definition { origin, many, source, span, key, limits, free: false })
}

/// A text that is no plain figure but a formula.
///
/// # Errors
/// When it is meant as a formula and can't be read as one.
fn formula(
    key: &str,
    entry: &Spanned<Entry>,
    kind: Kind,
    source: &Source,
) -> Result<Option<Formula>, Problem> {
    let Entry::Text(text) = entry.get_ref() else { return Ok(None) };
    if read(text).is_ok() {
        return Ok(None);
    }
    match Formula::read(text) {
        Ok(formula) => Ok(Some(formula)),
        Err(Misread { error, at }) if is_meant_as_formula(text) => {
            let message = format!("{key}: {FORMULA}{error}");
            let help = format!("write {}, or a formula of the style's names", kind.example());
            let part = source.part_of(entry.span(), text, at);
            Err(source.problem(part, message).with_help(help))
        }
        Err(_) => Ok(None),
    }
}

/// Whether a text that is neither a figure nor a formula is the latter gone wrong.
fn is_meant_as_formula(text: &str) -> bool {
    text.trim_start().starts_with(|c: char| c.is_alphabetic() || c == '(')
        || text.contains(['+', '*', '(', ')', '<', '>', '='])
        || [" - ", " / "].iter().any(|sign| text.contains(sign))
}

/// Reads figures of `kind`; a wrong count is told what it may be.
fn reader<'a>(
    kind: Kind,
    range: Option<&'a [Expr; 2]>,
    holder: &'a HolderFile,
) -> impl Fn(&str, &Spanned<Entry>) -> Result<Value, Problem> + 'a {
    let counts = range.filter(|_| kind == Kind::Count);
    let help = counts.map(|[least, most]| format!("write a whole number from {least} to {most}"));
    move |key, entry| {
        let value = figure(entry, kind, holder.units, key, &holder.source);
        let value = value.map_err(|wrong| match &help {
            Some(help) => wrong.with_help(help),
            None => wrong,
        })?;
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
    (choice, kind): (&Choice, StockKind),
    entry: Option<&Spanned<Entry>>,
    source: &Source,
    shop: &'a Shop,
) -> Result<Result<&'a StockRow, Finding>, Problem> {
    let word = kind.word();
    let Some(entry) = entry else {
        return Ok(usual_stock(choice, kind, shop).ok_or_else(|| {
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

/// The stock of a choice that is left open: of what is thick enough, or else of the thickest, the one that is
/// nearest to the thickness asked for; the shop's first where none is.
fn usual_stock<'a>(choice: &Choice, kind: StockKind, shop: &'a Shop) -> Option<&'a StockRow> {
    let length = |expr: &Expr| expr.plain_length(shop.units);
    let thickest = shop.of_kind(kind).map(|row| row.thickness).fold(0.0, f64::max);
    let least = choice.at_least.as_ref().and_then(length).unwrap_or(0.0).min(thickest);
    let thick = shop.of_kind(kind).filter(|row| row.thickness >= least - COORDINATE);
    match choice.thickness.as_ref().and_then(length) {
        Some(wanted) => {
            let off = |row: &&StockRow| (row.thickness - wanted).abs();
            thick.min_by(|a, b| off(a).total_cmp(&off(b)))
        }
        None => { thick }.next(),
    }
}

/// The stock that a choice of `kind` picks.
pub(crate) fn stock_kind(kind: ChoiceKind) -> Option<StockKind> {
    match kind {
        ChoiceKind::Sheet => Some(StockKind::Sheet),
        ChoiceKind::Board => Some(StockKind::Board),
        ChoiceKind::Dowel => Some(StockKind::Dowel),
        _ => None,
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
            let message = format!("{key}: {other} is not one of its options");
            let help = format!("write one of: {}", known.join(", "));
            Err(source.problem(entry.span(), message).with_help(help))
        }
    }
}
