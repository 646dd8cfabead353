//! Changes that bring a holder under its limits, found by trying them.

use super::assess::checks;
use super::check::{Check, Question};
use super::judge::NEAR;
use crate::formula::Value;
use crate::holder::{Holder, Level, Part, Values, build, stock_kind};
use crate::length::{Quantity, Units};
use crate::limits;
use crate::reading::Entry;
use crate::shop::{Screw, Shop, StockKind, StockRow};
use crate::style::HolderFile;

/// What a screw counts beside wood when changes are compared, in kg: a screw saved is time saved.
/// Common practice, no source.
const SCREW: f64 = 0.02;

/// More screws than this side by side split a stud. Common practice, no source.
const MOST_IN_STUD: usize = 2;

/// A step of cleat width, in mm.
const WIDER: f64 = crate::length::MM_PER_INCH / 2.0;

/// How much more two changes at once count than one.
const SECOND_CHANGE: f64 = 0.5;

/// One thing set otherwise.
#[derive(Debug, Clone, PartialEq)]
enum Change {
    /// A choice, as a holder file would say it.
    Choice(String, Entry),
    /// The screws of the wall's cleat in each stud.
    WallScrews(usize),
    WallScrew(Screw),
    /// The width of all cleats, in mm.
    CleatWidth(f64),
}

impl Change {
    /// What it sets: two changes of one thing are one too many.
    fn key(&self) -> &str {
        match self {
            Self::Choice(name, _) => name,
            Self::WallScrews(_) => "wall.screws",
            Self::WallScrew(_) => "wall.screw",
            Self::CleatWidth(_) => "cleat.width",
        }
    }

    fn say(&self, units: Units) -> String {
        match self {
            Self::CleatWidth(mm) => {
                format!("width = \"{}\" under [cleat] in shop.toml", units.length(*mm))
            }
            Self::Choice(name, value) => format!("{name} = {value}"),
            Self::WallScrews(count) => format!("screws = {count} under [wall] in shop.toml"),
            Self::WallScrew(screw) => {
                format!("screw = {} under [wall] in shop.toml", screw.number())
            }
        }
    }

    fn make(&self, file: HolderFile, mut shop: Shop) -> (HolderFile, Shop) {
        match self {
            Self::Choice(name, value) => return (file.with_choice(name, value.clone()), shop),
            Self::WallScrews(count) => shop.wall.screws = *count,
            Self::WallScrew(screw) => shop.wall.screw = *screw,
            Self::CleatWidth(mm) => shop.cleat.width = *mm,
        }
        (file, shop)
    }

    /// Screws it adds beside those of the holder.
    fn more_screws(&self, shop: &Shop) -> f64 {
        match self {
            Self::WallScrews(count) => *count as f64 - shop.wall.screws as f64,
            Self::WallScrew(_) | Self::CleatWidth(_) | Self::Choice(..) => 0.0,
        }
    }
}

/// The cheapest change that serves.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Mend {
    changes: Vec<Change>,
    units: Units,
    /// The highest ratio of a grave check that is left.
    ratio: f64,
    cost: f64,
}

impl Mend {
    /// The change as advice.
    pub fn say(&self) -> String {
        let changes: Vec<String> =
            self.changes.iter().map(|change| change.say(self.units)).collect();
        format!(
            "Tried: with {} every place is asked at most {:.2} of what it can.",
            changes.join(" and "),
            self.ratio
        )
    }
}

/// The cheapest change, in wood and screws, that brings every grave check under [`NEAR`]: one
/// choice changed, or two where no single one serves. Where none does, one that brings them to
/// their limits at least.
pub(super) fn mend(file: &HolderFile, shop: &Shop, holder: &Holder) -> Option<Mend> {
    let tries = tries(file, shop, holder);
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
    let (changed, with) = changes
        .iter()
        .fold((file.clone(), shop.clone()), |(file, shop), change| change.make(file, shop));
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
    Some(Mend { changes, units: holder.units, ratio, cost })
}

/// The highest ratio of a grave check; `None` where nothing is checked, a check fails, or something
/// sags too much.
fn worst(holder: &Holder, shop: &Shop) -> Option<f64> {
    let (checks, worked_out) = checks(holder, shop);
    let sags = checks.iter().any(|check| check.question == Question::Sag && check.ratio() > 1.0);
    let grave = checks.iter().filter(|check| check.question.is_grave()).map(Check::ratio);
    let worst = grave.max_by(f64::total_cmp)?;
    (worked_out && !sags).then_some(worst)
}

/// Every change the style offers, the least of each choice first.
fn tries(file: &HolderFile, shop: &Shop, holder: &Holder) -> Vec<Change> {
    let Ok(values) = Values::new(file, shop) else { return Vec::new() };
    let mut tries = Vec::new();
    for layer in &file.style.layers {
        for mend in &layer.file.mends {
            let name = mend.choice.get_ref();
            let holds = values.holds(mend.when.as_ref(), &layer.source).unwrap_or(false);
            let Some(kind) = file.style.choices().find(|(n, ..)| n == name).map(|c| c.1.kind)
            else {
                continue;
            };
            if !holds {
                continue;
            }
            let found: Vec<Entry> = match stock_kind(kind) {
                Some(kind) => other_stock(shop, &values, name, kind),
                None => {
                    let worked = mend.tries.iter().map(|expr| values.work(expr, &layer.source));
                    worked.filter_map(|value| entry(&value.ok()?, holder.units)).collect()
                }
            };
            tries.extend(found.into_iter().map(|value| Change::Choice(name.clone(), value)));
        }
    }
    tries.extend(wall(shop));
    tries
}

/// More or thicker screws in the studs, wider cleats.
fn wall(shop: &Shop) -> impl Iterator<Item = Change> {
    let wall = &shop.wall;
    let more = (wall.screws < MOST_IN_STUD).then_some(Change::WallScrews(wall.screws + 1));
    let thicker = Screw::new(f64::from(wall.screw.number()) + 2.0).ok().map(Change::WallScrew);
    let wider = [1.0, 2.0].map(|steps| Change::CleatWidth(shop.cleat.width + steps * WIDER));
    more.into_iter().chain(thicker).chain(wider)
}

/// The shop's other stock of a kind, nearest in thickness where there is very much of it.
fn other_stock(shop: &Shop, values: &Values<'_>, choice: &str, kind: StockKind) -> Vec<Entry> {
    let chosen = values.stock(choice);
    let others = shop.of_kind(kind).filter(|row| chosen.is_none_or(|c| c.name != row.name));
    let mut others: Vec<&StockRow> = others.collect();
    if others.len() > limits::STOCKS_TRIED {
        let off = |row: &StockRow| chosen.map_or(0.0, |c| (row.thickness - c.thickness).abs());
        others.sort_by(|a, b| off(a).total_cmp(&off(b)));
        others.truncate(limits::STOCKS_TRIED);
    }
    others.into_iter().map(|row| Entry::Text(row.name.clone())).collect()
}

/// A value as a holder file would say it.
fn entry(value: &Value, units: Units) -> Option<Entry> {
    match value {
        Value::Figure(quantity) if quantity.dimension == Quantity::number(0.0).dimension => {
            Some(Entry::Number(quantity.value))
        }
        Value::Figure(quantity) => {
            let text = units.quantity(*quantity);
            Some(Entry::Text(text.trim_start_matches("≈ ").replace('°', " deg")))
        }
        Value::Word(word) => Some(Entry::Text(word.clone())),
        _ => None,
    }
}
