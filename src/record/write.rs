//! A holder to the record of how it was made.

use std::collections::BTreeMap;

use super::{ANEW, RECORD};
use crate::formula::Value;
use crate::holder::Holder;
use crate::length::{Dimension, Units};
use crate::reading::quoted;
use crate::shop::{Shop, StockRow, written};
use crate::style::{ChoiceKind, HolderFile};

/// Characters of a named file that a record holds, in lines of so many: what is larger is read from beside the
/// holder file.
const FILE: usize = 100_000;
const LINE: usize = 1_000;

/// The record of `holder`, which `file` and `shop` came to. It reads as a holder file does, every measure and choice
/// stated, with the files it names and the figures of the shop behind it; read back, it comes to the same parts.
pub(crate) fn write(file: &HolderFile, shop: &Shop, holder: &Holder) -> String {
    let tables = [
        top(file, holder),
        table("measures", file.style.measures().map(|(name, ..)| name), holder),
        table("choices", file.style.choices().map(|(name, ..)| name), holder),
        files(file),
        written(shop, |row| is_used(row, holder, shop)),
    ];
    tables.concat()
}

fn top(file: &HolderFile, holder: &Holder) -> String {
    let open = file.style.choices().filter(|(name, choice, _)| {
        let settled = holder.settled.iter().any(|settled| settled.choice == *name);
        choice.kind == ChoiceKind::Screw && !file.states(name) && !settled
    });
    let open: Vec<String> = open.map(|(name, ..)| quoted(name)).collect();
    let left_open = if open.is_empty() {
        String::new()
    } else {
        format!("left_open = [{}]\n", open.join(", "))
    };
    let middle = holder.middle.as_deref().map(|place| format!("middle = {}\n", quoted(place)));
    format!(
        "# How this holder was made. With built = true in its file it keeps these sizes, whatever the file or the \
         shop\n# file says. {ANEW} Keep {RECORD} as it is.\n\nstyle = {}\nunits = {}\n{left_open}{}",
        quoted(&file.style.name),
        quoted(holder.units.symbol()),
        middle.unwrap_or_default(),
    )
}

/// A table of those `names` that have a value.
fn table<'n>(name: &str, names: impl Iterator<Item = &'n str>, holder: &Holder) -> String {
    let lines = names.filter_map(|name| Some(format!("{name} = {}\n", said(name, holder)?)));
    format!("\n[{name}]\n{}", lines.collect::<String>())
}

/// What a measure or choice came to, as a holder file says it; `None` where it does not apply.
fn said(name: &str, holder: &Holder) -> Option<String> {
    let stock = || holder.picked.get(name).map(|stock| quoted(stock));
    holder.values.get(name).map(|value| entry(value, holder.units)).or_else(stock)
}

fn entry(value: &Value, units: Units) -> String {
    match value {
        Value::Figure(figure) if figure.dimension == Dimension::NUMBER => units.exactly(*figure),
        Value::Figure(figure) => quoted(&units.exactly(*figure)),
        Value::Word(word) => quoted(word),
        Value::Truth(truth) => truth.to_string(),
        Value::List(entries) => {
            let entries: Vec<String> = entries.iter().map(|one| entry(one, units)).collect();
            format!("[{}]", entries.join(", "))
        }
    }
}

/// The texts of the files that choices name, in pieces that a file may hold; a file named twice is kept once.
fn files(file: &HolderFile) -> String {
    let choices = file.style.choices().filter(|(_, choice, _)| choice.kind == ChoiceKind::File);
    let named: BTreeMap<String, String> =
        choices.filter_map(|(name, ..)| file.file_named(name)).collect();
    let short = named.iter().filter(|(_, text)| text.chars().count() <= FILE);
    let tables = short.map(|(name, text)| {
        let letters: Vec<char> = text.chars().collect();
        let pieces = letters.chunks(LINE).map(|piece| quoted(&piece.iter().collect::<String>()));
        let pieces: Vec<String> = pieces.collect();
        format!("\n[[file]]\nname = {}\ntext = [{}]\n", quoted(name), pieces.join(", "))
    });
    tables.collect()
}

/// Whether the holder rests on a row of stock.
fn is_used(row: &StockRow, holder: &Holder, shop: &Shop) -> bool {
    shop.cleat.from == row.name
        || holder.picked.values().any(|picked| *picked == row.name)
        || holder.parts.iter().any(|part| part.stock.name == row.name)
}
