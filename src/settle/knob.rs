//! What may be set otherwise: choices with the values that their style gives, and what the shop gives.

use super::change::{Change, NewValue};
use crate::formula::Value;
use crate::holder::{Values, stock_kind};
use crate::length::{Dimension, Quantity, Tape};
use crate::limits;
use crate::shop::{AskedScrew, OpenFigures, Screw, Shop, SizedScrew, StockKind, StockRow};
use crate::style::{Choice, ChoiceKind, Gives, HolderFile, Layer};
use crate::tolerance::COORDINATE;

/// More screws than this side by side split a stud. Common practice, no source.
const MOST_IN_STUD: usize = 2;

/// One thing that may be set otherwise, and to what, the least change first.
#[derive(Debug, Clone)]
pub(super) struct Knob {
    pub changes: Vec<Change>,
}

/// The choices that `file` leaves open and its style lets give, in the order of the style.
pub(super) fn open_knobs(file: &HolderFile, values: &Values<'_>, shop: &Shop) -> Vec<Knob> {
    knobs(file, values, shop, |name| !file.states(name))
}

/// The choices that `file` states and its style would let give, then what the shop could give.
pub(super) fn other_knobs(file: &HolderFile, values: &Values<'_>, shop: &Shop) -> Vec<Knob> {
    let mut all = knobs(file, values, shop, |name| file.states(name));
    let stated = OpenFigures { cleat_width: true, wall_screw: true, wall_screws: true };
    all.extend(shop_knobs(shop, stated));
    all
}

fn knobs(
    file: &HolderFile,
    values: &Values<'_>,
    shop: &Shop,
    wanted: impl Fn(&str) -> bool,
) -> Vec<Knob> {
    let choices = file.style.choices().filter(|(name, ..)| wanted(name));
    let knobs = choices.filter_map(|(name, choice, layer)| {
        let from = own(values, name)?;
        let given = given(shop, values, (name, choice, layer)).into_iter();
        let set = |value| Change::Choice { name: name.to_owned(), from: from.clone(), value };
        Some(Knob { changes: given.map(set).collect() })
    });
    knobs.filter(|knob| !knob.changes.is_empty()).collect()
}

/// What a choice is set to as it stands.
fn own(values: &Values<'_>, name: &str) -> Option<NewValue> {
    let stock = || values.stock(name).map(|row| NewValue::Word(row.name.clone()));
    values.known(name).and_then(NewValue::of).or_else(stock)
}

/// What a choice gives for this holder: values within its range, other than its own.
fn given(
    shop: &Shop,
    values: &Values<'_>,
    (name, choice, layer): (&str, &Choice, &Layer),
) -> Vec<NewValue> {
    if !matches!(values.holds(choice.when.as_ref(), &layer.source), Ok(true)) {
        return Vec::new();
    }
    let gives = match (&choice.gives, stock_kind(choice.kind)) {
        (Gives::AnyOther, _) if choice.kind == ChoiceKind::Screw => {
            return other_screws(values.known(name));
        }
        (Gives::Nothing, _) | (Gives::AnyOther, None) => return Vec::new(),
        (Gives::AnyOther, Some(kind)) => return other_stock(shop, values, (name, choice), kind),
        (Gives::Values(gives), _) => gives,
    };
    let worked = gives.iter().filter_map(|expr| values.work(expr, &layer.source).ok());
    let own = values.known(name);
    let other =
        |value: &Value| own.as_ref() != Some(value) && values.allowed(choice, value, &layer.source);
    let tape = shop.tape(values.units());
    let whole = |value| to_mark(value, tape);
    let mut given: Vec<NewValue> = Vec::new();
    for value in worked.map(whole).filter(other).filter_map(NewValue::of) {
        if !given.contains(&value) {
            given.push(value);
        }
    }
    given
}

/// A length at the nearest mark of the tape, but for fits.
fn to_mark(value: Value, tape: Tape) -> Value {
    match value.figure(Dimension::LENGTH) {
        Some(mm) if mm > 10.0 * tape.grid => Quantity::mm(tape.nearest(mm)).into(),
        _ => value,
    }
}

/// The next two thicker screws, then the next two thinner ones, of lengths that suit.
fn other_screws(own: Option<Value>) -> Vec<NewValue> {
    let Some(Value::Word(own)) = own else { return Vec::new() };
    let own = own.parse().ok().map(|asked: AskedScrew| asked.screw);
    let next = |step: fn(Screw) -> Option<Screw>| {
        std::iter::successors(own, move |screw| step(*screw)).skip(1).take(2)
    };
    let others = next(Screw::thicker).chain(next(Screw::thinner));
    others.map(|screw| NewValue::Word(screw.to_string())).collect()
}

/// More or thicker screws in the studs, wider cleats, of what `open` says.
pub(super) fn shop_knobs(shop: &Shop, open: OpenFigures) -> Vec<Knob> {
    let wall = &shop.wall;
    let more = (wall.screws < MOST_IN_STUD && wall.masonry.is_none() && open.wall_screws)
        .then_some(Change::WallScrews(wall.screws + 1));
    let sized = |screw| Change::WallScrew(SizedScrew { screw, length: wall.screw_length });
    let thicker = wall.screw.thicker().filter(|_| open.wall_screw).map(sized);
    let step = shop.units.either(0.5, 10.0);
    let wider = [1.0, 2.0, 3.0, 4.0, 6.0, 8.0]
        .map(|steps| Change::CleatWidth(shop.cleat.width + steps * step));
    let wider = if open.cleat_width { wider.to_vec() } else { Vec::new() };
    let knobs = [wider, more.into_iter().collect(), thicker.into_iter().collect()];
    knobs.into_iter().filter(|c: &Vec<_>| !c.is_empty()).map(|changes| Knob { changes }).collect()
}

/// The shop's other stock of a kind, nearest in thickness where there is very much of it.
fn other_stock(
    shop: &Shop,
    values: &Values<'_>,
    (name, choice): (&str, &Choice),
    kind: StockKind,
) -> Vec<NewValue> {
    let chosen = values.stock(name);
    let least = choice.at_least.as_ref().and_then(|least| least.plain_length(shop.units));
    let thick = |row: &&StockRow| row.thickness >= least.unwrap_or(0.0) - COORDINATE;
    let others = shop.of_kind(kind).filter(|row| chosen.is_none_or(|c| c.name != row.name));
    let others = others.filter(thick);
    let mut others: Vec<&StockRow> = others.collect();
    let off = |row: &StockRow| chosen.map_or(0.0, |c| (row.thickness - c.thickness).abs());
    others.sort_by(|a, b| off(a).total_cmp(&off(b)));
    others.truncate(limits::STOCKS_TRIED);
    others.into_iter().map(|row| NewValue::Word(row.name.clone())).collect()
}
