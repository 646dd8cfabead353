//! Every named value of a holder: measures, choices, workings and the shop's own figures.

mod checked;
mod property;
mod series;

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::finding::{Finding, Refusal, refuse};
use super::given::{Definition, Given, NamedFile, Origin, Stocks, given};
use crate::formula::{Formula, FormulaError, Names, Value};
use crate::kernel::Contour;
use crate::length::{Dimension, Quantity, Tape, Units};
use crate::limits;
use crate::reading::{Kind, Problem, Problems, Source, nearest};
use crate::shop::{RouterBits, Shop, StockRow};
use crate::style::{Expr, HolderFile, Many, Say, SeriesSpec};
use crate::tolerance::REACH;
use checked::Faults;

/// The named values of one holder. Formulas are worked out when first asked for.
pub(crate) struct Values<'a> {
    shop: &'a Shop,
    holder: &'a HolderFile,
    units: Units,
    given: Given<'a>,
    /// Names whose value differs from round to round.
    varying: BTreeSet<&'a str>,
    known: RefCell<BTreeMap<String, Value>>,
    /// Names whose value is wrong, which is told already.
    bad: RefCell<BTreeSet<String>>,
    /// The names being worked out just now, to catch one that depends on itself.
    busy: RefCell<Vec<String>>,
    /// The innermost formula that failed.
    fault: RefCell<Option<Refusal>>,
    /// The number of the round of the repeat being worked out just now, counted from 1.
    round: Cell<Option<usize>>,
    /// The values in that round of names that vary.
    known_in_round: RefCell<BTreeMap<String, Value>>,
    /// How many rounds there were so far.
    rounds: Cell<usize>,
    traced: RefCell<BTreeMap<Traced, Contour>>,
}

/// A traced outline: the file that names it, its own name, and which of its paths is meant.
type Traced = (String, String, Option<String>);

/// The name of the number of a round in formulas.
const ROUND: &str = "n";

/// What a series says, as `NAME.at`: of thing `n` its middle, its sides and its width, of all their count and
/// the length they take, ends included.
const OF_EACH: [&str; 4] = ["at", "left", "right", "width"];

impl<'a> Values<'a> {
    /// Takes in what the holder file gives and works out every name of its style.
    ///
    /// # Errors
    /// When a measure is missing, a value is unreadable, of the wrong kind or out of range, a
    /// formula fails, or the shop lacks a stock or bit.
    pub(crate) fn new(holder: &'a HolderFile, shop: &'a Shop) -> Result<Self, Refusal> {
        let mut values = Self::of(holder, shop, Stocks::AsNamed);
        let problems = std::mem::take(&mut values.given.wrong);
        let mut wrong = Faults { problems, design: values.given.no_stock.take() };
        values.check_given(&mut wrong);
        if wrong.design.is_none() {
            values.work_out(&mut wrong);
        }
        wrong.or(values)
    }

    /// What is wrong in the holder file as far as that can be told without its shop: `stand_in` is
    /// any.
    pub(crate) fn look_over(holder: &'a HolderFile, stand_in: &'a Shop) -> Problems {
        let mut values = Self::of(holder, stand_in, Stocks::StandIn);
        let problems = std::mem::take(&mut values.given.wrong);
        let mut wrong = Faults { problems, design: None };
        values.check_given(&mut wrong);
        wrong.problems
    }

    /// The same with nothing worked out yet, and what can't be read.
    pub(crate) fn unworked(holder: &'a HolderFile, shop: &'a Shop) -> (Self, Problems) {
        let mut values = Self::of(holder, shop, Stocks::AsNamed);
        let wrong = std::mem::take(&mut values.given.wrong);
        (values, wrong)
    }

    /// What a name comes to.
    ///
    /// # Errors
    /// When its formula fails, or a list is not as long as it must be.
    pub(crate) fn comes_to(&self, name: &str) -> Result<Value, Refusal> {
        Names::value(self, name).map_err(|error| self.failed(&error))
    }

    /// The stock that each choice of stock picked, by the choice's name.
    pub(super) fn picked(&self) -> impl Iterator<Item = (&str, &'a StockRow)> {
        self.given.stocks.iter().map(|(choice, row)| (*choice, *row))
    }

    fn of(holder: &'a HolderFile, shop: &'a Shop, stocks: Stocks) -> Self {
        let given = given(holder, shop, stocks);
        Self {
            shop,
            holder,
            units: holder.units.unwrap_or(shop.units),
            varying: varying(&given),
            given,
            known: RefCell::default(),
            bad: RefCell::default(),
            busy: RefCell::default(),
            fault: RefCell::default(),
            round: Cell::default(),
            known_in_round: RefCell::default(),
            rounds: Cell::default(),
            traced: RefCell::default(),
        }
    }

    /// What lengths are written in.
    pub(crate) fn units(&self) -> Units {
        self.units
    }

    /// Measures, choices and workings with their values, in the order of the style; what all tools have alike is
    /// one value.
    pub(crate) fn all(&self) -> impl Iterator<Item = (&str, Value)> {
        let known = self.known.borrow().clone();
        self.given.definitions.iter().filter_map(move |(name, definition)| {
            let value = known.get(*name)?.clone();
            let per_tool = matches!(definition.many, Many::Tools(_));
            Some((*name, if per_tool { value.alike() } else { value }))
        })
    }

    /// The value of a name, where it is worked out for the whole holder.
    pub(crate) fn known(&self, name: &str) -> Option<Value> {
        self.known.borrow().get(name).cloned()
    }

    /// The names that a formula rests on: those in it, those that their formulas name, and so on.
    pub(crate) fn rests_on<'f>(&'f self, formula: &'f Formula) -> BTreeSet<&'f str> {
        let (mut seen, mut open) = (BTreeSet::new(), Vec::from_iter(formula.names()));
        while let Some(name) = open.pop() {
            // `NAME.thickness` rests on the stock NAME, `NAME.at` on the series.
            let name = name.split_once('.').map_or(name, |(whole, _)| whole);
            if !seen.insert(name) {
                continue;
            }
            if let Some(Definition { origin: Origin::Formula(formula), .. }) =
                self.given.definitions.get(name)
            {
                open.extend(formula.names());
            }
            if let Some((series, _)) = self.given.series.get(name) {
                open.extend(series.formulas().flat_map(|expr| expr.formula.names()));
            }
        }
        seen
    }

    /// The file a choice names.
    pub(super) fn file(&self, choice: &str) -> Option<&NamedFile<'a>> {
        self.given.files.get(choice)
    }

    /// The stock a choice picked.
    pub(crate) fn stock(&self, choice: &str) -> Option<&'a StockRow> {
        self.given.stocks.get(choice).copied()
    }

    /// Whether a formula is but the name of a choice that the holder file leaves open.
    pub(super) fn is_open(&self, expr: &Expr) -> bool {
        let name = expr.formula.text();
        let definition = self.given.definitions.get(name);
        definition.is_some_and(|definition| !self.holder.is_own(definition.source))
            || self.holder.was_left_open(name)
    }

    /// Works out a formula of the style's file `source`.
    ///
    /// # Errors
    /// When the formula fails.
    pub(crate) fn work(&self, expr: &Expr, source: &Source) -> Result<Value, Refusal> {
        expr.formula.evaluate(self).map_err(|error| {
            let inner = self.fault.borrow_mut().take();
            inner.unwrap_or_else(|| {
                self.refused(
                    &error,
                    &expr.formula,
                    source,
                    (expr.span.clone(), expr.formula.text()),
                )
            })
        })
    }

    /// Works out a formula that must be of `kind`.
    ///
    /// # Errors
    /// When the formula fails or comes to something else.
    pub(crate) fn figure(&self, expr: &Expr, kind: Kind, source: &Source) -> Result<f64, Refusal> {
        let value = self.work(expr, source)?;
        let fits = value.figure(kind.dimension());
        let whole = |v: &f64| {
            kind != Kind::Count
                || kind.fits(Quantity::number(v.round())) && (v - v.round()).abs() < 1e-9
        };
        let found = fits.filter(whole).ok_or_else(|| {
            let text = expr.formula.text();
            let same = value.figure(kind.dimension()).is_some();
            let given = if same { value.write(self.units) } else { value.describe() };
            let why = format!("comes to {given}, where {} is needed", needed(kind));
            let blamed = self.blamed(&expr.formula, source, |_| true).filter(|_| same);
            blamed.map_or_else(
                || source.problem(expr.span.clone(), format!("\"{text}\" {why}")).into(),
                |blamed| self.spoiled(blamed, text, source, &why),
            )
        })?;
        if found.abs() <= most(kind) { Ok(found) } else { Err(self.too_large(found, expr, kind)) }
    }

    fn too_large(&self, found: f64, expr: &Expr, kind: Kind) -> Refusal {
        let write = |value| self.units.quantity(Quantity { value, dimension: kind.dimension() });
        let message = format!(
            "{} is what \"{}\" comes to, and {} is the most that is worked with: look at the figures \
             it is worked out from.",
            write(found),
            expr.formula,
            write(most(kind))
        );
        Finding::stop("too-large", message).into()
    }

    /// Works out whether something holds; what is left out holds.
    ///
    /// # Errors
    /// When the formula fails or is not a yes or no.
    pub(crate) fn holds(&self, expr: Option<&Expr>, source: &Source) -> Result<bool, Refusal> {
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
    pub(crate) fn say(&self, say: &Say, source: &Source) -> Result<String, Refusal> {
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
    pub(crate) fn knows(&self, say: &Say, source: &Source) -> Result<(), Problem> {
        let mut names = say.template.formulas().flat_map(Formula::names);
        let unknown = |name: &&str| {
            *name != ROUND && !name.contains('.') && !self.given.definitions.contains_key(name)
        };
        match names.find(unknown) {
            Some(name) => Err(source.problem(say.span.clone(), self.unknown(name).to_string())),
            None => Ok(()),
        }
    }

    /// Why the formula `what` of the file `source` could not be worked out. A value that the holder
    /// file gives and that does not go with the style's formulas is the holder file's to mend.
    fn refused(
        &self,
        error: &FormulaError,
        formula: &Formula,
        source: &Source,
        (span, what): (Range<usize>, &str),
    ) -> Refusal {
        let of_values = matches!(
            error,
            FormulaError::DivisionByZero
                | FormulaError::NotFinite
                | FormulaError::NoEntry { .. }
                | FormulaError::Unequal(..)
        );
        let likely = |definition: &Definition<'_>| {
            *error != FormulaError::DivisionByZero || definition.origin.has_nought()
        };
        match self.blamed(formula, source, likely).filter(|_| of_values) {
            Some(blamed) => {
                self.spoiled(blamed, what, source, &format!("can't be worked out: {error}"))
            }
            None => refuse(error, source, span, what, self.units),
        }
    }

    /// The value that the holder file gives and that `formula` of a style's file uses, by itself or
    /// through others: the first that is `likely`, or just the first.
    fn blamed(
        &self,
        formula: &Formula,
        source: &Source,
        likely: impl Fn(&Definition<'_>) -> bool,
    ) -> Option<&Definition<'a>> {
        let is_own = |source: &Source| self.holder.is_own(source);
        let mut open: Vec<&str> = formula.names().collect();
        let (mut seen, mut found) = (BTreeSet::new(), Vec::new());
        while let Some(name) = open.pop() {
            let Some(definition) = self.given.definitions.get(name) else { continue };
            if !seen.insert(name) {
                continue;
            }
            if is_own(definition.source) {
                found.push(definition);
            }
            if let Origin::Formula(formula) = &definition.origin {
                open.extend(formula.names());
            }
        }
        found.sort_by_key(|definition| definition.span.start);
        let first = found.iter().find(|definition| likely(definition)).or(found.first());
        first.copied().filter(|_| !is_own(source))
    }

    /// A value of the holder file does not go with the formula `what` of the style's file `source`.
    fn spoiled(
        &self,
        Definition { key, span, source: said, .. }: &Definition<'_>,
        what: &str,
        source: &Source,
        why: &str,
    ) -> Refusal {
        let written = said.text().get(span.clone()).unwrap_or_default();
        let message = format!("{key}: with {written} the style's \"{what}\" {why}");
        let help = format!("change this value; the style is {}", source.name());
        said.problem(span.clone(), message).with_help(help).into()
    }

    /// `value` with as many entries as it must have: a single one stands for all.
    fn as_many(
        &self,
        many: Many<'_>,
        value: Value,
        (key, span, source): (&str, Range<usize>, &Source),
    ) -> Result<Value, Refusal> {
        let wanted = match many {
            Many::One => return Ok(value),
            Many::Any => value.entries().len(),
            Many::Per(list) => match Names::value(self, list) {
                Ok(list) => list.entries().len(),
                Err(error) => return Err(self.failed(&error)),
            },
            Many::Tools(count) => self.counted(count)?,
        };
        match value {
            Value::List(entries) if entries.len() == wanted => Ok(Value::List(entries)),
            Value::List(entries) => {
                let (list, has) = match many {
                    Many::Per(list) => (list, "has"),
                    Many::Tools(count) => (count, "is"),
                    Many::One | Many::Any => (key, "has"),
                };
                let message = format!("{key} has {} entries, {list} {has} {wanted}", entries.len());
                let help = match many {
                    Many::Tools(_) => format!("give {wanted}, one a tool, or a single one for all"),
                    _ => format!("give one for each of {list}, or a single one for all"),
                };
                Err(source.problem(span, message).with_help(help).into())
            }
            single => Ok(Value::List(vec![single; wanted])),
        }
    }

    /// How many tools the count `name` says.
    fn counted(&self, name: &str) -> Result<usize, Refusal> {
        let value = Names::value(self, name).map_err(|error| self.failed(&error))?;
        let count = value.figure(Dimension::NUMBER).map(f64::round).unwrap_or_default();
        if (0.0..=limits::LIST as f64).contains(&count) {
            return Ok(count as usize);
        }
        Err(Problem::plain(FormulaError::TooManyEntries.to_string()).into())
    }

    /// The fault behind `error`, which came out of working out a name.
    fn failed(&self, error: &FormulaError) -> Refusal {
        let inner = self.fault.borrow_mut().take();
        inner.unwrap_or_else(|| match error {
            FormulaError::Told => Problems::default().into(),
            _ => Problem::plain(error.to_string()).into(),
        })
    }

    /// Does `work` with the number of the round known to formulas as `n`.
    pub(super) fn in_round<T>(&self, round: usize, work: impl FnOnce() -> T) -> T {
        let outer = self.round.replace(Some(round));
        let outer_known = self.known_in_round.take();
        let done = work();
        self.round.set(outer);
        self.known_in_round.replace(outer_known);
        done
    }

    /// A traced outline, which is read once however often it is cut.
    pub(super) fn traced(
        &self,
        named: Traced,
        read: impl FnOnce() -> Result<Contour, Problem>,
    ) -> Result<Contour, Problem> {
        if let Some(known) = self.traced.borrow().get(&named) {
            return Ok(known.clone());
        }
        let contour = read()?;
        self.traced.borrow_mut().insert(named, contour.clone());
        Ok(contour)
    }

    /// Counts `more` rounds in and tells how many that makes in all.
    pub(super) fn count_rounds(&self, more: usize) -> usize {
        self.rounds.set(self.rounds.get().saturating_add(more));
        self.rounds.get()
    }

    fn defined(&self, name: &str) -> Option<Result<Value, FormulaError>> {
        let definition = self.given.definitions.get(name)?;
        let Definition { key, span, source, .. } = definition;
        let worked = match &definition.origin {
            Origin::Given(value, _) => Ok(value.clone()),
            Origin::Formula(formula) if definition.free => {
                formula.evaluate(self).map(|value| value.on_tape(self.tape()))
            }
            Origin::Formula(formula) => formula.evaluate(self),
            Origin::Wrong => Err(FormulaError::Told),
        };
        if let (Err(error), Origin::Formula(formula)) = (&worked, &definition.origin) {
            let fault = || self.faulty(error, name, definition, formula);
            self.fault.borrow_mut().get_or_insert_with(fault);
        }
        Some(worked.and_then(|value| {
            let place = (key.as_str(), span.clone(), *source);
            self.as_many(definition.many, value, place).map_err(|refusal| {
                self.fault.borrow_mut().get_or_insert(refusal);
                FormulaError::Entries(name.to_owned())
            })
        }))
    }

    /// Why the formula of `name` could not be worked out.
    fn faulty(
        &self,
        error: &FormulaError,
        name: &str,
        definition: &Definition<'_>,
        formula: &Formula,
    ) -> Refusal {
        let Definition { key, span, source, limits, .. } = definition;
        let Some(limits) = limits.filter(|_| self.holder.is_own(source)) else {
            return self.refused(error, formula, source, (span.clone(), name));
        };
        if !matches!(error, FormulaError::UnknownName { .. }) {
            return refuse(error, source, span.clone(), key, self.units);
        }
        let help = format!("write {}, or a formula of the style's names", limits.kind.example());
        source.problem(span.clone(), format!("{key}: {error}")).with_help(help).into()
    }

    fn unknown(&self, name: &str) -> FormulaError {
        if name == ROUND {
            let hint = ": it counts the rounds of a repeat, and this is in none".to_owned();
            return FormulaError::UnknownName { name: name.to_owned(), hint };
        }
        let known: Vec<&str> =
            self.given.definitions.keys().chain(self.given.stocks.keys()).copied().collect();
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
        if self.bad.borrow().contains(name) {
            return Err(FormulaError::Told);
        }
        let known = if self.varying.contains(name) { &self.known_in_round } else { &self.known };
        if let Some(value) = known.borrow().get(name) {
            return Ok(value.clone());
        }
        if let Some(value) = self.property(name) {
            return Ok(value);
        }
        if let Some(value) = self.of_series(name) {
            return value;
        }
        if matches!(name, "router.bit" | "router.narrowest") {
            return Err(FormulaError::NoRouter);
        }
        if self.busy.borrow().iter().any(|busy| busy == name) {
            return Err(FormulaError::Circle(name.to_owned()));
        }
        if self.busy.borrow().len() >= limits::CHAIN {
            return Err(FormulaError::TooDeep);
        }
        self.busy.borrow_mut().push(name.to_owned());
        let worked = self.defined(name);
        self.busy.borrow_mut().pop();
        let value = worked.ok_or_else(|| self.unknown(name))??;
        known.borrow_mut().insert(name.to_owned(), value.clone());
        Ok(value)
    }

    fn bit_at_least(&self, mm: f64) -> Option<f64> {
        self.shop.bit_at_least(mm).map(|bit| bit.diameter)
    }

    fn narrowest_milled(&self) -> Option<f64> {
        self.shop.router.map(RouterBits::narrowest)
    }

    fn units(&self) -> Units {
        self.units
    }

    fn tape(&self) -> Tape {
        self.shop.tape(self.units)
    }
}

/// The names whose formulas use the number of the round, by themselves or through others.
fn varying<'a>(given: &Given<'a>) -> BTreeSet<&'a str> {
    let formulas = given.definitions.iter().filter_map(|(name, definition)| {
        let Origin::Formula(formula) = &definition.origin else { return None };
        Some((*name, formula.names()))
    });
    let mut steady: Vec<_> = formulas.collect();
    let mut varying: BTreeSet<&'a str> = BTreeSet::new();
    loop {
        let varies = |name: &str| {
            name == ROUND || varying.contains(name) || is_in_series(name, &given.series)
        };
        let (more, rest): (Vec<_>, Vec<_>) =
            steady.into_iter().partition(|(_, names)| names.clone().any(varies));
        if more.is_empty() {
            return varying;
        }
        varying.extend(more.into_iter().map(|(name, _)| name));
        steady = rest;
    }
}

/// Whether a name is that of a place in a series, which differs from round to round.
fn is_in_series(name: &str, series: &BTreeMap<&str, (&SeriesSpec, &Source)>) -> bool {
    name.split_once('.')
        .is_some_and(|(of, what)| series.contains_key(of) && OF_EACH.contains(&what))
}

/// The largest figure that is worked with: in mm, kg, degrees, or a plain number.
fn most(kind: Kind) -> f64 {
    match kind {
        Kind::Length => REACH,
        Kind::Mass => limits::MASS,
        Kind::Angle | Kind::Count | Kind::Number => f64::MAX,
    }
}

impl Origin {
    /// Whether a figure of it is 0.
    fn has_nought(&self) -> bool {
        let Self::Given(value, _) = self else { return false };
        value.entries().iter().any(|entry| matches!(entry, Value::Figure(q) if q.value == 0.0))
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
