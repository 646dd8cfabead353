//! Every named value of a holder: measures, choices, workings and the shop's own figures.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

use indexmap::IndexMap;

use super::finding::{Finding, Refusal, refuse};
use crate::formula::{FormulaError, Names, Value};
use crate::length::{Dimension, Quantity, Units, read};
use crate::reading::{Entry, Kind, Problem, Source, Spanned, figure, nearest};
use crate::shop::{Shop, StockKind, StockRow};
use crate::style::{Choice, ChoiceKind, Expr, HolderFile, Many, Say};

/// The named values of one holder. Formulas are worked out when first asked for.
pub struct Values<'a> {
    shop: &'a Shop,
    units: Units,
    /// Formulas by name, in the order measures, choices, workings.
    formulas: IndexMap<&'a str, Definition<'a>>,
    stocks: BTreeMap<&'a str, &'a StockRow>,
    files: BTreeMap<&'a str, NamedFile<'a>>,
    known: RefCell<BTreeMap<String, Value>>,
    /// The names being worked out just now, to catch one that depends on itself.
    busy: RefCell<Vec<String>>,
    /// The innermost formula that failed.
    fault: RefCell<Option<Refusal>>,
    /// The number of the round of the repeat being worked out just now, counted from 1.
    round: Cell<Option<usize>>,
    /// Names whose value differs from round to round.
    varying: BTreeSet<&'a str>,
}

/// Reads one value of the holder file that stands under a key.
type ReadEntry<'a> = dyn Fn(&str, &Spanned<Entry>) -> Result<Value, Refusal> + 'a;

/// The name of the number of a round in formulas.
const ROUND: &str = "n";

/// How many names may lean on one another in a row: more than any style needs, few enough for any
/// stack.
const LONGEST_CHAIN: usize = 64;

/// A file that a choice names, and where it is named.
pub(super) struct NamedFile<'a> {
    pub name: String,
    pub source: &'a Source,
    pub span: std::ops::Range<usize>,
}

/// How a name gets its value.
enum Definition<'a> {
    Given(Value),
    Formula {
        expr: Expr,
        source: &'a Source,
        ranged: Option<(&'a [Expr; 2], Kind, &'a Source)>,
        many: Many<'a>,
    },
}

impl<'a> Values<'a> {
    /// Takes in what the holder file gives and works out every name of its style.
    ///
    /// # Errors
    /// When a measure is missing, a value is unreadable, of the wrong kind or out of range, a
    /// formula fails, or the shop lacks a stock or bit.
    pub fn new(holder: &'a HolderFile, shop: &'a Shop) -> Result<Self, Refusal> {
        let mut values = Self {
            shop,
            units: holder.units.unwrap_or(shop.units),
            formulas: IndexMap::new(),
            stocks: BTreeMap::new(),
            files: BTreeMap::new(),
            known: RefCell::default(),
            busy: RefCell::default(),
            fault: RefCell::default(),
            round: Cell::default(),
            varying: BTreeSet::new(),
        };
        values.take_measures(holder)?;
        values.take_choices(holder)?;
        let workings =
            holder.style.named(|f| f.workings.iter().map(|(k, v)| (k.get_ref().as_str(), v)));
        for (name, expr, layer) in workings {
            let source = &layer.source;
            let many = Many::One;
            let definition = Definition::Formula { expr: expr.clone(), source, ranged: None, many };
            values.formulas.entry(name).or_insert(definition);
        }
        values.varying = values.find_varying();
        values.work_out()?;
        Ok(values)
    }

    /// What lengths are written in.
    pub fn units(&self) -> Units {
        self.units
    }

    /// Measures, choices and workings with their values, in the order of the style.
    pub fn all(&self) -> impl Iterator<Item = (&str, Value)> {
        let known = self.known.borrow().clone();
        self.formulas.keys().filter_map(move |name| Some((*name, known.get(*name)?.clone())))
    }

    /// The file a choice names.
    pub(super) fn file(&self, choice: &str) -> Option<&NamedFile<'a>> {
        self.files.get(choice)
    }

    /// The stock a choice picked.
    pub fn stock(&self, choice: &str) -> Option<&'a StockRow> {
        self.stocks.get(choice).copied()
    }

    /// Works out a formula of the style's file `source`.
    ///
    /// # Errors
    /// When the formula fails.
    pub fn work(&self, expr: &Expr, source: &Source) -> Result<Value, Refusal> {
        expr.formula.evaluate(self).map_err(|error| {
            let inner = self.fault.borrow_mut().take();
            inner.unwrap_or_else(|| {
                refuse(&error, source, expr.span.clone(), expr.formula.text(), self.units)
            })
        })
    }

    /// Works out a formula that must be of `kind`.
    ///
    /// # Errors
    /// When the formula fails or comes to something else.
    pub fn figure(&self, expr: &Expr, kind: Kind, source: &Source) -> Result<f64, Refusal> {
        let value = self.work(expr, source)?;
        let fits = value.figure(kind.dimension());
        let whole = |v: &f64| {
            kind != Kind::Count
                || kind.fits(Quantity::number(v.round())) && (v - v.round()).abs() < 1e-9
        };
        fits.filter(whole).ok_or_else(|| {
            let (text, given) = (expr.formula.text(), value.describe());
            let message = format!("\"{text}\" comes to {given}, where {} is needed", needed(kind));
            source.problem(expr.span.clone(), message).into()
        })
    }

    /// Works out whether something holds; what is left out holds.
    ///
    /// # Errors
    /// When the formula fails or is not a yes or no.
    pub fn holds(&self, expr: Option<&Expr>, source: &Source) -> Result<bool, Refusal> {
        let Some(expr) = expr else { return Ok(true) };
        match self.work(expr, source)? {
            Value::Truth(truth) => Ok(truth),
            other => {
                let message =
                    format!("\"{}\" is {}, not a yes or no", expr.formula, other.describe());
                Err(source.problem(expr.span.clone(), message).into())
            }
        }
    }

    /// A text with its formulas worked out.
    ///
    /// # Errors
    /// When a formula in it fails.
    pub fn say(&self, say: &Say, source: &Source) -> Result<String, Refusal> {
        say.template.fill(self, self.units).map_err(|error| {
            let inner = self.fault.borrow_mut().take();
            inner.unwrap_or_else(|| refuse(&error, source, say.span.clone(), "", self.units))
        })
    }

    /// Whether every name in a text is one of the style's, so that a slip is told before the day
    /// the text is needed.
    ///
    /// # Errors
    /// At a name that nothing has. Figures of the shop and of stock pass: they may be lacking.
    pub fn knows(&self, say: &Say, source: &Source) -> Result<(), Problem> {
        let mut names = say.template.formulas().flat_map(crate::formula::Formula::names);
        let unknown = |name: &&str| {
            *name != ROUND && !name.contains('.') && !self.formulas.contains_key(name)
        };
        match names.find(unknown) {
            Some(name) => Err(source.problem(say.span.clone(), self.unknown(name).to_string())),
            None => Ok(()),
        }
    }

    fn take_measures(&mut self, holder: &'a HolderFile) -> Result<(), Refusal> {
        for (name, measure, layer) in holder.style.measures() {
            let key = format!("measures.{name}");
            let Some(entry) = holder.measures.iter().find(|(k, _)| k.get_ref() == name) else {
                let span = holder.style_span.clone();
                let message = format!("{key} is missing: {}", measure.ask);
                let help = format!("under [measures] write {name} = …, {}", measure.kind.example());
                return Err(holder.source.problem(span, message).with_help(help).into());
            };
            let value = self.entries(&key, entry.1, measure.many(), holder, &|key, entry| {
                let range = (&measure.range, measure.kind, &layer.source);
                self.one_figure(key, entry, measure.kind, Some(range), holder)
            })?;
            self.formulas.insert(name, Definition::Given(value));
        }
        Ok(())
    }

    fn take_choices(&mut self, holder: &'a HolderFile) -> Result<(), Refusal> {
        for (name, choice, layer) in holder.style.choices() {
            let entry = holder.choices.iter().find(|(k, _)| k.get_ref() == name).map(|(_, v)| v);
            let stock = match choice.kind {
                ChoiceKind::Sheet => Some(StockKind::Sheet),
                ChoiceKind::Board => Some(StockKind::Board),
                ChoiceKind::Dowel => Some(StockKind::Dowel),
                _ => None,
            };
            if let Some(kind) = stock {
                self.take_stock(name, kind, entry, &holder.source)?;
                continue;
            }
            if choice.kind == ChoiceKind::File {
                self.take_file(name, choice, entry, holder)?;
                continue;
            }
            let definition = match (entry, &choice.default) {
                (Some(entry), _) => self.given(name, choice, &layer.source, entry, holder)?,
                (None, Some(expr)) => {
                    let (source, many) = (&layer.source, choice.many());
                    Definition::Formula { expr: expr.clone(), source, ranged: None, many }
                }
                (None, None) => continue,
            };
            self.formulas.insert(name, definition);
        }
        Ok(())
    }

    /// A file beside the holder file.
    fn take_file(
        &mut self,
        name: &'a str,
        choice: &Choice,
        entry: Option<&Spanned<Entry>>,
        holder: &'a HolderFile,
    ) -> Result<(), Refusal> {
        let key = format!("choices.{name}");
        let Some(entry) = entry else {
            let message = format!("{key} is missing: {}", choice.ask);
            let help =
                format!("under [choices] write {name} = \"NAME.svg\", a file beside this one");
            let problem = holder.source.problem(holder.style_span.clone(), message);
            return Err(problem.with_help(help).into());
        };
        let Entry::Text(file) = entry.get_ref() else {
            let message = format!("{key}: {} is no name of a file", entry.get_ref());
            return Err(holder.source.problem(entry.span(), message).into());
        };
        let named = NamedFile { name: file.clone(), source: &holder.source, span: entry.span() };
        self.files.insert(name, named);
        self.formulas.insert(name, Definition::Given(Value::Word(file.clone())));
        Ok(())
    }

    /// What the holder file says for a choice: a word, a figure or a formula.
    fn given(
        &self,
        name: &str,
        choice: &'a Choice,
        style: &'a Source,
        entry: &Spanned<Entry>,
        holder: &'a HolderFile,
    ) -> Result<Definition<'a>, Refusal> {
        let key = format!("choices.{name}");
        let many = choice.many();
        let Some(kind) = figure_kind(choice.kind) else {
            let words = self.entries(&key, entry, many, holder, &|key, entry| {
                Ok(Value::Word(word(choice, entry, key, &holder.source)?))
            })?;
            return Ok(Definition::Given(words));
        };
        let range = choice.range.as_ref().map(|range| (range, kind, style));
        if let Entry::Text(text) = entry.get_ref()
            && read(text).is_err()
            && let Ok(formula) = text.parse()
        {
            let expr = Expr { formula, span: entry.span() };
            return Ok(Definition::Formula { expr, source: &holder.source, ranged: range, many });
        }
        let figures = self.entries(&key, entry, many, holder, &|key, entry| {
            self.one_figure(key, entry, kind, range, holder)
        })?;
        Ok(Definition::Given(figures))
    }

    /// One figure of the holder file, within its range.
    fn one_figure(
        &self,
        key: &str,
        entry: &Spanned<Entry>,
        kind: Kind,
        range: Option<(&[Expr; 2], Kind, &Source)>,
        holder: &HolderFile,
    ) -> Result<Value, Refusal> {
        let value = figure(entry, kind, holder.units, key, &holder.source)?;
        let value = Quantity { value, dimension: kind.dimension() };
        if let Some(range) = range {
            self.in_range(value, range, (key, entry.span(), &holder.source))?;
        }
        Ok(value.into())
    }

    /// What the holder file says for a measure or choice, a list entry by entry with `read_one`.
    fn entries(
        &self,
        key: &str,
        entry: &Spanned<Entry>,
        many: Many<'_>,
        holder: &HolderFile,
        read_one: &ReadEntry<'_>,
    ) -> Result<Value, Refusal> {
        let value = match entry.get_ref() {
            Entry::List(entries) if many != Many::One => {
                let numbered = entries.iter().enumerate();
                let read =
                    numbered.map(|(i, one)| read_one(&format!("{key}, entry {}", i + 1), one));
                Value::List(read.collect::<Result<_, _>>()?)
            }
            _ => read_one(key, entry)?,
        };
        self.as_many(many, value, (key, entry.span(), &holder.source))
    }

    /// `value` with as many entries as it must have: a single one stands for all.
    fn as_many(
        &self,
        many: Many<'_>,
        value: Value,
        (key, span, source): (&str, std::ops::Range<usize>, &Source),
    ) -> Result<Value, Refusal> {
        let wanted = match many {
            Many::One => return Ok(value),
            Many::Any => value.entries().len(),
            Many::Per(list) => match Names::value(self, list) {
                Ok(list) => list.entries().len(),
                Err(error) => return Err(self.failed(&error)),
            },
        };
        match value {
            Value::List(entries) if entries.len() == wanted => Ok(Value::List(entries)),
            Value::List(entries) => {
                let list = if let Many::Per(list) = many { list } else { key };
                let message = format!("{key} has {} entries, {list} has {wanted}", entries.len());
                let help = format!("give one for each of {list}, or a single one for all");
                Err(source.problem(span, message).with_help(help).into())
            }
            single => Ok(Value::List(vec![single; wanted])),
        }
    }

    /// The fault behind `error`, which came out of working out a name.
    fn failed(&self, error: &FormulaError) -> Refusal {
        let inner = self.fault.borrow_mut().take();
        inner.unwrap_or_else(|| Problem::plain(error.to_string()).into())
    }

    /// The names whose formulas use the number of the round, by themselves or through others.
    fn find_varying(&self) -> BTreeSet<&'a str> {
        let mut varying: BTreeSet<&'a str> = BTreeSet::new();
        loop {
            let uses = |definition: &Definition<'_>| match definition {
                Definition::Given(_) => false,
                Definition::Formula { expr, .. } => {
                    expr.formula.names().iter().any(|name| *name == ROUND || varying.contains(name))
                }
            };
            let more = self.formulas.iter().filter(|(_, definition)| uses(definition));
            let more: BTreeSet<&'a str> = more.map(|(name, _)| *name).collect();
            if more.len() == varying.len() {
                return varying;
            }
            varying = more;
        }
    }

    /// Does `work` with the number of the round known to formulas as `n`.
    pub(super) fn in_round<T>(&self, round: usize, work: impl FnOnce() -> T) -> T {
        let outer = self.round.replace(Some(round));
        let done = work();
        self.round.set(outer);
        done
    }

    fn take_stock(
        &mut self,
        name: &'a str,
        kind: StockKind,
        entry: Option<&Spanned<Entry>>,
        source: &Source,
    ) -> Result<(), Refusal> {
        let shop = self.shop;
        let row = match entry {
            None => shop.of_kind(kind).next(),
            Some(entry) => {
                let Entry::Text(wanted) = entry.get_ref() else {
                    let message = format!(
                        "choices.{name}: {} is no name of a {}",
                        entry.get_ref(),
                        kind.word()
                    );
                    return Err(source.problem(entry.span(), message).into());
                };
                let found = shop.of_kind(kind).find(|row| row.name == *wanted);
                if found.is_none() {
                    let known: Vec<&str> =
                        shop.of_kind(kind).map(|row| row.name.as_str()).collect();
                    let message = format!(
                        "choices.{name}: the shop has no {} named \"{wanted}\"",
                        kind.word()
                    );
                    return Err(source
                        .problem(entry.span(), message)
                        .with_help(nearest(wanted, &known))
                        .into());
                }
                found
            }
        };
        let row = row.ok_or_else(|| {
            let word = kind.word();
            let message = format!(
                "This holder needs a {word}, and the shop has none: add a [[{word}]] to shop.toml."
            );
            Finding::stop("no-stock", message)
        })?;
        self.stocks.insert(name, row);
        Ok(())
    }

    /// Works out every name, so that a faulty formula is found whether or not a part uses it.
    fn work_out(&self) -> Result<(), Refusal> {
        for (name, definition) in &self.formulas {
            if self.varying.contains(name) {
                continue;
            }
            let value = Names::value(self, name).map_err(|error| self.failed(&error))?;
            let Definition::Formula { expr, source, ranged: Some(range), .. } = definition else {
                continue;
            };
            let key = format!("choices.{name}");
            for entry in value.entries() {
                let Value::Figure(quantity) = entry else { continue };
                if quantity.dimension != range.1.dimension() {
                    let message =
                        format!("{key}: \"{}\" comes to {}", expr.formula, quantity.dimension);
                    let help = format!("write {}", range.1.example());
                    return Err(source.problem(expr.span.clone(), message).with_help(help).into());
                }
                self.in_range(*quantity, *range, (&key, expr.span.clone(), source))?;
            }
        }
        Ok(())
    }

    fn in_range(
        &self,
        value: Quantity,
        (range, kind, style): (&[Expr; 2], Kind, &Source),
        (key, span, source): (&str, std::ops::Range<usize>, &Source),
    ) -> Result<(), Refusal> {
        let [least, most] = range;
        let least = self.figure(least, kind, style)?;
        let most = self.figure(most, kind, style)?;
        // A figure on the limit passes whichever unit it was written in.
        let near = if kind == Kind::Length { crate::tolerance::COORDINATE } else { 1e-9 };
        if (least - near..=most + near).contains(&value.value) {
            return Ok(());
        }
        let write = |v: f64| self.units.quantity(Quantity { value: v, dimension: value.dimension });
        let message = format!("{key}: {} is out of range", write(value.value));
        let help = format!("it goes from {} to {}", write(least), write(most));
        Err(source.problem(span, message).with_help(help).into())
    }

    /// Figures of the shop and of chosen stock: `sheet.thickness`, `cleat.width`, `saw.kerf`.
    fn property(&self, name: &str) -> Option<Value> {
        let (of, property) = name.split_once('.')?;
        let cleat = &self.shop.cleat;
        let millimetres = match (of, property) {
            ("cleat", "thickness") => cleat.thickness,
            ("cleat", "width") => cleat.width,
            ("cleat", "rise") => cleat.rise(),
            ("cleat", "screw_line") => cleat.screw_line(self.shop.wall.screw),
            ("cleat", "bevel") => return Some(Quantity::degrees(cleat.bevel).into()),
            ("wall", "stud_spacing") => self.shop.wall.stud_spacing,
            ("wall", "covering") => self.shop.wall.covering,
            ("wall", "screw_length") => self.shop.wall.screw_length,
            ("wall", "screw") => {
                return Some(Quantity::number(f64::from(self.shop.wall.screw.number())).into());
            }
            ("wall", "screws") => {
                return Some(Quantity::number(self.shop.wall.screws as f64).into());
            }
            ("saw", "kerf") => self.shop.kerf,
            ("router", "bit") => self.shop.router_bit?,
            (stock, "thickness") => self.stocks.get(stock)?.thickness,
            (stock, "width") => self.stocks.get(stock)?.width,
            (stock, "length") => self.stocks.get(stock)?.length,
            _ => return None,
        };
        Some(Quantity::mm(millimetres).into())
    }

    fn defined(&self, name: &str) -> Option<Result<Value, FormulaError>> {
        match self.formulas.get(name)? {
            Definition::Given(value) => Some(Ok(value.clone())),
            Definition::Formula { expr, source, many, .. } => {
                let worked = expr.formula.evaluate(self);
                if let Err(error) = &worked {
                    let mut fault = self.fault.borrow_mut();
                    fault.get_or_insert_with(|| {
                        refuse(error, source, expr.span.clone(), name, self.units)
                    });
                }
                Some(worked.and_then(|value| {
                    let place = (name, expr.span.clone(), *source);
                    self.as_many(*many, value, place).map_err(|refusal| {
                        self.fault.borrow_mut().get_or_insert(refusal);
                        FormulaError::Entries(name.to_owned())
                    })
                }))
            }
        }
    }

    fn unknown(&self, name: &str) -> FormulaError {
        if name == ROUND {
            let hint = ": it counts the rounds of a repeat, and this is in none".to_owned();
            return FormulaError::UnknownName { name: name.to_owned(), hint };
        }
        let known: Vec<&str> = self.formulas.keys().chain(self.stocks.keys()).copied().collect();
        let hint = match nearest(name, &known) {
            hint if hint.starts_with("did") => format!(": {hint}"),
            _ => String::new(),
        };
        FormulaError::UnknownName { name: name.to_owned(), hint }
    }
}

impl Names for Values<'_> {
    fn value(&self, name: &str) -> Result<Value, FormulaError> {
        if let (ROUND, Some(round)) = (name, self.round.get()) {
            return Ok(Quantity::number(round as f64).into());
        }
        if let Some(value) = self.known.borrow().get(name) {
            return Ok(value.clone());
        }
        if let Some(value) = self.property(name) {
            return Ok(value);
        }
        if name == "router.bit" {
            return Err(FormulaError::NoRouter);
        }
        if self.busy.borrow().iter().any(|busy| busy == name) {
            return Err(FormulaError::Circle(name.to_owned()));
        }
        if self.busy.borrow().len() >= LONGEST_CHAIN {
            return Err(FormulaError::TooDeep);
        }
        self.busy.borrow_mut().push(name.to_owned());
        let worked = self.defined(name);
        self.busy.borrow_mut().pop();
        let value = worked.ok_or_else(|| self.unknown(name))??;
        if !self.varying.contains(name) {
            self.known.borrow_mut().insert(name.to_owned(), value.clone());
        }
        Ok(value)
    }

    fn bit_at_least(&self, mm: f64) -> Option<f64> {
        self.shop.bit_at_least(mm).map(|bit| bit.diameter)
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

fn needed(kind: Kind) -> String {
    match kind {
        Kind::Count => "a whole number, 0 or more,".to_owned(),
        other => {
            let dimension: Dimension = other.dimension();
            dimension.to_string()
        }
    }
}
