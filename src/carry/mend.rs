//! Changes that bring a holder under its limits, found by trying them.

use super::assess::checks;
use super::check::{Check, LoadQuestion, NEAR};
use crate::formula::Value;
use crate::holder::{Holder, Level, Part, Values, build, stock_kind};
use crate::length::{Dimension, Quantity, Units};
use crate::limits;
use crate::reading::Entry;
use crate::shop::{AskedScrew, Shop, SizedScrew, StockKind, StockRow};
use crate::style::{Choice, ChoiceKind, Gives, HolderFile, Layer};

/// What a screw counts beside wood when changes are compared, in kg: a screw saved is time saved.
/// Common practice, no source.
const SCREW: f64 = 0.02;

/// More screws than this side by side split a stud. Common practice, no source.
const MOST_IN_STUD: usize = 2;

/// How much more two changes at once count than one.
const SECOND_CHANGE: f64 = 0.5;

/// One thing set otherwise.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Change {
    /// A choice.
    Choice {
        name: String,
        value: NewValue,
    },
    /// The screws of the wall cleat in each stud.
    WallScrews(usize),
    WallScrew(SizedScrew),
    /// The width of all cleats, in mm.
    CleatWidth(f64),
}

/// What a choice is set to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum NewValue {
    Figure(Quantity),
    /// A word, or the name of a stock.
    Word(String),
}

impl NewValue {
    /// What a choice can be set to; `None` for a yes or no or a list.
    fn of(value: Value) -> Option<Self> {
        match value {
            Value::Figure(quantity) => Some(Self::Figure(quantity)),
            Value::Word(word) => Some(Self::Word(word)),
            Value::Truth(_) | Value::List(_) => None,
        }
    }

    /// As it stands in a holder file: as a tape reads, so that what is tried is what is advised.
    pub(super) fn entry(&self, units: Units) -> Entry {
        match self {
            Self::Figure(number) if number.dimension == Dimension::NUMBER => {
                Entry::Number(number.value)
            }
            Self::Figure(quantity) => Entry::Text(units.in_file(*quantity)),
            Self::Word(word) => Entry::Text(word.clone()),
        }
    }
}

impl Change {
    /// What it sets: two changes of one thing are one too many.
    fn key(&self) -> &str {
        match self {
            Self::Choice { name, .. } => name,
            Self::WallScrews(_) => "wall.screws",
            Self::WallScrew(_) => "wall.screw",
            Self::CleatWidth(_) => "cleat.width",
        }
    }

    /// The files with it, figures of the holder file in `units`.
    fn make(&self, file: HolderFile, mut shop: Shop, units: Units) -> (HolderFile, Shop) {
        match self {
            Self::Choice { name, value } => {
                return (file.with_choice(name, value.entry(units)), shop);
            }
            Self::WallScrews(count) => shop.wall.screws = *count,
            Self::WallScrew(thicker) => shop.wall.screw = thicker.screw,
            Self::CleatWidth(mm) => shop.cleat.width = *mm,
        }
        (file, shop)
    }

    /// Screws it adds beside those of the holder.
    fn more_screws(&self, shop: &Shop) -> f64 {
        match self {
            Self::WallScrews(count) => *count as f64 - shop.wall.screws as f64,
            Self::WallScrew(_) | Self::CleatWidth(_) | Self::Choice { .. } => 0.0,
        }
    }
}

/// The cheapest change that serves.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mend {
    pub changes: Vec<Change>,
    /// The highest ratio of a grave check that is left.
    pub ratio: f64,
    cost: f64,
}

/// The cheapest change, in wood and screws, that brings every grave check under [`NEAR`]: one
/// choice changed, or two where no single one serves. Where none does, one that brings them to
/// their limits at least.
pub(super) fn mend(file: &HolderFile, shop: &Shop, holder: &Holder) -> Option<Mend> {
    let tries = tries(file, shop);
    let tried = |changes: Vec<Change>| tried(file, shop, holder, changes);
    let most = most_tries(holder);
    let singles = tries.iter().take(most);
    let singles: Vec<Mend> = singles.filter_map(|one| tried(vec![one.clone()])).collect();
    if let Some(mend) = cheapest(&singles, NEAR) {
        return Some(mend);
    }
    let pairs = tries.iter().enumerate().flat_map(|(i, one)| {
        let others = tries[i + 1..].iter().filter(|other| other.key() != one.key());
        others.map(move |other| vec![one.clone(), other.clone()])
    });
    let pairs: Vec<Mend> = pairs.take(most).filter_map(tried).collect();
    cheapest(&pairs, NEAR).or_else(|| cheapest(&singles, 1.0)).or_else(|| cheapest(&pairs, 1.0))
}

/// How many changes are tried: fewer of a holder that takes long to build, which goes with the square
/// of what its parts have to be drawn. Counted and not timed, so that a file always says the same.
fn most_tries(holder: &Holder) -> usize {
    let drawn = |part: &Part| {
        let corners: usize = part.region.contours().map(|c| c.vertices().len()).sum();
        corners + part.drillings.len() + part.marks.len() + part.places.len()
    };
    let drawn: usize = holder.parts.iter().map(drawn).sum();
    (limits::MENDS_DRAWN / (drawn * drawn).max(1)).clamp(1, limits::MENDS_TRIED)
}

fn cheapest(mends: &[Mend], most: f64) -> Option<Mend> {
    let serving = mends.iter().filter(|mend| mend.ratio <= most);
    serving.min_by(|a, b| a.cost.total_cmp(&b.cost)).cloned()
}

/// What a change comes to, if it makes a sound holder in which all can be worked out.
fn tried(file: &HolderFile, shop: &Shop, holder: &Holder, changes: Vec<Change>) -> Option<Mend> {
    let units = holder.units;
    let (changed, with) = changes
        .iter()
        .fold((file.clone(), shop.clone()), |(file, shop), change| change.make(file, shop, units));
    let new = build(&changed, &with).ok()?;
    let worse = |level| {
        let count = |h: &Holder| h.findings.iter().filter(|f| f.level == level).count();
        count(&new) > count(holder)
    };
    if worse(Level::Stop) || worse(Level::Warn) {
        return None;
    }
    let ratio = worst(&new, &with)?;
    let screws = |h: &Holder| h.screws.iter().map(|joint| joint.screws.len() as f64).sum::<f64>();
    let wood = new.mass - holder.mass;
    let second = SECOND_CHANGE * (changes.len() as f64 - 1.0);
    let in_studs: f64 = changes.iter().map(|change| change.more_screws(shop)).sum();
    let cost = wood + SCREW * (screws(&new) - screws(holder) + in_studs) + second;
    Some(Mend { changes, ratio, cost })
}

/// The highest ratio of a grave check; `None` where nothing is checked, a check fails, or something
/// sags too much.
fn worst(holder: &Holder, shop: &Shop) -> Option<f64> {
    let (checks, worked_out) = checks(holder, shop);
    let sags =
        checks.iter().any(|check| check.id.question == LoadQuestion::Sag && check.ratio() > 1.0);
    let grave = checks.iter().filter(|check| check.id.question.is_grave()).map(Check::ratio);
    let worst = grave.max_by(f64::total_cmp)?;
    (worked_out && !sags).then_some(worst)
}

/// Every change the style offers, the least of each choice first.
fn tries(file: &HolderFile, shop: &Shop) -> Vec<Change> {
    let Ok(values) = Values::new(file, shop) else { return Vec::new() };
    let offered = file.style.choices().flat_map(|(name, choice, layer)| {
        let found = to_try(shop, &values, (name, choice, layer));
        found.into_iter().map(|value| Change::Choice { name: name.to_owned(), value })
    });
    offered.chain(wall(shop)).collect()
}

/// What a choice gives for this holder: values within its range, other than its own.
fn to_try(
    shop: &Shop,
    values: &Values<'_>,
    (name, choice, layer): (&str, &Choice, &Layer),
) -> Vec<NewValue> {
    let tries = match (&choice.gives, stock_kind(choice.kind)) {
        (Gives::AnyOther, _) if choice.kind == ChoiceKind::Screw => {
            return thicker(values.known(name));
        }
        (Gives::Nothing, _) | (Gives::AnyOther, None) => return Vec::new(),
        (Gives::AnyOther, Some(kind)) => return other_stock(shop, values, name, kind),
        (Gives::Values(tries), _) => tries,
    };
    let worked = tries.iter().filter_map(|expr| values.work(expr, &layer.source).ok());
    let own = values.known(name);
    let other =
        |value: &Value| own.as_ref() != Some(value) && values.allowed(choice, value, &layer.source);
    let whole = |value| to_whole_mm(value, values.units());
    worked.map(whole).filter(other).filter_map(NewValue::of).collect()
}

/// A length in millimeters is tried as the nearest whole one, but for fits.
fn to_whole_mm(value: Value, units: Units) -> Value {
    match (value.figure(Dimension::LENGTH), units) {
        (Some(mm), Units::Millimeters) if mm > 10.0 => Quantity::mm(mm.round()).into(),
        _ => value,
    }
}

/// The next two thicker screws, of lengths that suit.
fn thicker(own: Option<Value>) -> Vec<NewValue> {
    let Some(Value::Word(own)) = own else { return Vec::new() };
    let own = own.parse().ok().map(|asked: AskedScrew| asked.screw);
    let thicker = std::iter::successors(own, |screw| screw.thicker()).skip(1).take(2);
    thicker.map(|screw| NewValue::Word(screw.to_string())).collect()
}

/// More or thicker screws in the studs, wider cleats.
fn wall(shop: &Shop) -> impl Iterator<Item = Change> {
    let wall = &shop.wall;
    let more = (wall.screws < MOST_IN_STUD && wall.masonry.is_none())
        .then_some(Change::WallScrews(wall.screws + 1));
    let sized = |screw| Change::WallScrew(SizedScrew { screw, length: wall.screw_length });
    let thicker = wall.screw.thicker().map(sized);
    let step = shop.units.either(0.5, 10.0);
    let wider = [1.0, 2.0].map(|steps| Change::CleatWidth(shop.cleat.width + steps * step));
    more.into_iter().chain(thicker).chain(wider)
}

/// The shop's other stock of a kind, nearest in thickness where there is very much of it.
fn other_stock(shop: &Shop, values: &Values<'_>, choice: &str, kind: StockKind) -> Vec<NewValue> {
    let chosen = values.stock(choice);
    let others = shop.of_kind(kind).filter(|row| chosen.is_none_or(|c| c.name != row.name));
    let mut others: Vec<&StockRow> = others.collect();
    if others.len() > limits::STOCKS_TRIED {
        let off = |row: &StockRow| chosen.map_or(0.0, |c| (row.thickness - c.thickness).abs());
        others.sort_by(|a, b| off(a).total_cmp(&off(b)));
        others.truncate(limits::STOCKS_TRIED);
    }
    others.into_iter().map(|row| NewValue::Word(row.name.clone())).collect()
}
