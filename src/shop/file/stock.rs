//! Reading `[[sheet]]`, `[[board]]`, `[[dowel]]` and `[[offcut]]`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Figure, Limit, PLIES, ROUND, Reader, STOCK, ShopFile, THICKNESS};
use crate::limits;
use crate::reading::{AsCount, AsEither, AsLength, AsNumber, Entry, Kind, Spanned, figure};
use crate::shop::{Offcut, StockKind, StockRow, WoodKind, find_wood};
use crate::tolerance::COORDINATE;

/// How far readings of one sheet may be apart before one of them is a slip.
const SPREAD: Limit = [1.0 / 16.0, 1.5];

/// How many of a stock are at hand, and what one costs.
const QUANTITY: [f64; 2] = [0.0, 10_000.0];
const PRICE: [f64; 2] = [0.0, 1e9];

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct SheetRow {
    /// What it is called.
    #[schemars(length(min = 1, max = limits::FILE_NAME))]
    name: Spanned<String>,
    /// As measured; or what the caliper says at several places.
    #[schemars(with = "AsEither<AsLength, Vec<AsLength>>")]
    thickness: Figure,
    /// Along the grain of the face.
    #[schemars(with = "AsLength")]
    length: Figure,
    /// Across it.
    #[schemars(with = "AsLength")]
    width: Figure,
    /// At hand; leave it out if you buy as needed.
    #[schemars(with = "Option<AsCount>", extend("maximum" = QUANTITY[1]))]
    quantity: Option<Figure>,
    /// Whether parts must follow the grain.
    #[serde(default)]
    grain: bool,
    /// Layers of plywood; bent across the grain it is counted by them.
    #[schemars(with = "Option<AsCount>", extend("minimum" = PLIES[0], "maximum" = PLIES[1]))]
    plies: Option<Figure>,
    /// What wood it is.
    wood: Option<Spanned<String>>,
    /// Of one, in your money.
    #[schemars(with = "Option<AsNumber>", extend("maximum" = PRICE[1]))]
    price: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct BoardRow {
    /// What it is called.
    #[schemars(length(min = 1, max = limits::FILE_NAME))]
    name: Spanned<String>,
    /// As measured.
    #[schemars(with = "AsLength")]
    thickness: Figure,
    /// Across the grain.
    #[schemars(with = "AsLength")]
    width: Figure,
    /// Along the grain.
    #[schemars(with = "AsLength")]
    length: Figure,
    /// At hand; leave it out if you buy as needed.
    #[schemars(with = "Option<AsCount>", extend("maximum" = QUANTITY[1]))]
    quantity: Option<Figure>,
    /// What wood it is.
    wood: Option<Spanned<String>>,
    /// Of one, in your money.
    #[schemars(with = "Option<AsNumber>", extend("maximum" = PRICE[1]))]
    price: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct DowelRow {
    /// What it is called.
    #[schemars(length(min = 1, max = limits::FILE_NAME))]
    name: Option<Spanned<String>>,
    /// As measured.
    #[schemars(with = "AsLength")]
    diameter: Figure,
    /// From end to end.
    #[schemars(with = "AsLength")]
    length: Figure,
    /// At hand; leave it out if you buy as needed.
    #[schemars(with = "Option<AsCount>", extend("maximum" = QUANTITY[1]))]
    quantity: Option<Figure>,
    /// What wood it is.
    wood: Option<Spanned<String>>,
    /// Of one, in your money.
    #[schemars(with = "Option<AsNumber>", extend("maximum" = PRICE[1]))]
    price: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct OffcutRow {
    /// The sheet or board that it is left over from.
    of: Spanned<String>,
    /// Where it is not as its sheet.
    #[schemars(with = "Option<AsEither<AsLength, Vec<AsLength>>>")]
    thickness: Option<Figure>,
    /// Along the grain.
    #[schemars(with = "AsLength")]
    length: Figure,
    /// Across it.
    #[schemars(with = "AsLength")]
    width: Figure,
}

impl Reader<'_> {
    /// Sheets, boards and dowels, in the order of the file.
    pub(super) fn stock(&self, file: &ShopFile) -> Vec<StockRow> {
        let sheets = file.sheet.iter().map(|row| self.sheet(row));
        let boards = file.board.iter().map(|row| self.board(row));
        let dowels = file.dowel.iter().map(|row| self.dowel(row));
        let rows = sheets.chain(boards).chain(dowels).collect();
        let names = file.sheet.iter().map(|r| &r.name);
        let names = names.chain(file.board.iter().map(|r| &r.name));
        self.stock_names(names.chain(file.dowel.iter().filter_map(|r| r.name.as_ref())));
        rows
    }

    fn stock_names<'n>(&self, names: impl Iterator<Item = &'n Spanned<String>>) {
        let mut seen: Vec<&str> = Vec::new();
        for name in names {
            let letters = name.get_ref().chars().count();
            if letters > limits::FILE_NAME {
                let most = limits::FILE_NAME;
                let message = format!("the name of a stock has {letters} characters");
                self.told(name, message, format!("write one of at most {most}"));
            } else if name.get_ref().trim().is_empty() || name.get_ref().contains(char::is_control)
            {
                let message =
                    "the name of a stock is empty or holds a line break or control character";
                self.told(name, message, "write the name in one line, such as \"plywood 3/4\"");
            } else if seen.contains(&name.get_ref().as_str()) {
                let message = format!("two kinds of stock are named \"{}\"", name.get_ref());
                self.told(name, message, "give each stock a name of its own");
            }
            seen.push(name.get_ref());
        }
    }

    fn sheet(&self, row: &SheetRow) -> StockRow {
        let [thickness_least, thickness] = self.readings(&row.thickness, "sheet.thickness");
        StockRow {
            name: row.name.get_ref().clone(),
            kind: StockKind::Sheet,
            thickness,
            thickness_least,
            length: self.size(&row.length, "sheet.length", STOCK),
            width: self.size(&row.width, "sheet.width", STOCK),
            quantity: self.quantity(row.quantity.as_ref(), "sheet.quantity"),
            grain: row.grain,
            plies: self.plies(row),
            wood: self.wood(row.wood.as_ref(), "sheet.wood"),
            price: self.price(row.price.as_ref(), "sheet.price"),
        }
    }

    /// The least and the most of what was read at several places, or of a single reading.
    fn readings(&self, entry: &Figure, key: &str) -> [f64; 2] {
        let Entry::List(readings) = entry.get_ref() else {
            return [self.size(entry, key, THICKNESS); 2];
        };
        let read = readings.iter().map(|reading| self.size(reading, key, THICKNESS));
        let bounds = |[least, most]: [f64; 2], mm: f64| [least.min(mm), most.max(mm)];
        let [least, most] = read.fold([f64::INFINITY, 0.0], bounds);
        if least > most {
            let help = "write what the caliper says at several places, such as [\"0.715 in\", \"0.722 in\"]";
            self.told(entry, format!("{key}: no reading"), help);
            return [1.0; 2];
        }
        if self.is_thickness([least, most]) && most - least > self.limit(SPREAD) {
            let [apart, within] =
                [most - least, self.limit(SPREAD)].map(|mm| self.write(mm, Kind::Length));
            let message = format!("{key}: its readings are {apart} apart");
            self.told(
                entry,
                message,
                format!("write readings of one sheet, within {within} of each other"),
            );
        }
        [least, most]
    }

    /// Whether a least and a most are such as wood has: what is not is told already.
    fn is_thickness(&self, [least, most]: [f64; 2]) -> bool {
        least > COORDINATE && most <= self.limit(THICKNESS) + COORDINATE
    }

    fn board(&self, row: &BoardRow) -> StockRow {
        let thickness = self.size(&row.thickness, "board.thickness", THICKNESS);
        StockRow {
            name: row.name.get_ref().clone(),
            kind: StockKind::Board,
            thickness,
            thickness_least: thickness,
            length: self.size(&row.length, "board.length", STOCK),
            width: self.size(&row.width, "board.width", STOCK),
            quantity: self.quantity(row.quantity.as_ref(), "board.quantity"),
            grain: true,
            plies: None,
            wood: self.wood(row.wood.as_ref(), "board.wood"),
            price: self.price(row.price.as_ref(), "board.price"),
        }
    }

    fn dowel(&self, row: &DowelRow) -> StockRow {
        let diameter = self.size(&row.diameter, "dowel.diameter", ROUND);
        let units = self.usual;
        let name = row.name.as_ref().map(|name| name.get_ref().clone());
        StockRow {
            name: name.unwrap_or_else(|| format!("dowel {}", units.length(diameter))),
            kind: StockKind::Dowel,
            thickness: diameter,
            thickness_least: diameter,
            length: self.size(&row.length, "dowel.length", STOCK),
            width: diameter,
            quantity: self.quantity(row.quantity.as_ref(), "dowel.quantity"),
            grain: true,
            plies: None,
            wood: self.wood(row.wood.as_ref(), "dowel.wood"),
            price: self.price(row.price.as_ref(), "dowel.price"),
        }
    }

    /// The offcuts; what is read of their thickness counts for the stock they were cut from.
    pub(super) fn offcuts(&self, rows: &[OffcutRow], stock: &mut [StockRow]) -> Vec<Offcut> {
        let read = |row: &OffcutRow| {
            let known = self.named(&row.of, "offcut.of", stock).is_some();
            let thickness = if known { self.offcut_thickness(row, stock) } else { None };
            Offcut {
                of: row.of.get_ref().clone(),
                length: self.size(&row.length, "offcut.length", STOCK),
                width: self.size(&row.width, "offcut.width", STOCK),
                thickness,
            }
        };
        rows.iter().map(read).collect()
    }

    /// Its own readings, if there are any, which count for its stock too.
    fn offcut_thickness(&self, row: &OffcutRow, stock: &mut [StockRow]) -> Option<[f64; 2]> {
        let entry = row.thickness.as_ref()?;
        let [least, most] = self.readings(entry, "offcut.thickness");
        if !self.is_thickness([least, most]) {
            return None;
        }
        for of in stock.iter_mut().filter(|of| of.name == *row.of.get_ref()) {
            let apart = (of.thickness_least - least).abs().max((of.thickness - most).abs());
            if apart > self.limit(SPREAD) {
                let [own, whole] = [most, of.thickness].map(|mm| self.write(mm, Kind::Length));
                let message = format!(
                    "offcut.thickness: {own} is given, and \"{}\" is {whole} thick",
                    of.name
                );
                self.told(
                    entry,
                    message,
                    "name the stock it was really cut from, or measure again",
                );
                continue;
            }
            of.thickness_least = of.thickness_least.min(least);
            of.thickness = of.thickness.max(most);
        }
        Some([least, most])
    }

    /// How many plies a sheet of plywood has; other sheets have none.
    fn plies(&self, row: &SheetRow) -> Option<usize> {
        let entry = row.plies.as_ref()?;
        let count = self.within(entry, Kind::Count, "sheet.plies", PLIES);
        let wood = row.wood.as_ref().unwrap_or(&row.name).get_ref();
        let found = find_wood(wood);
        if found.known && found.wood.kind != WoodKind::Plywood {
            let message = format!("sheet.plies: {wood} is not plywood");
            self.told(entry, message, "leave plies out, or name a plywood as its wood");
        }
        Some(count as usize)
    }

    /// How many are at hand; where it is left out, what is needed is bought.
    fn quantity(&self, entry: Option<&Figure>, key: &str) -> Option<usize> {
        let entry = entry?;
        let value = self.keep(0.0, figure(entry, Kind::Count, self.units, key, self.source));
        if !(QUANTITY[0]..=QUANTITY[1]).contains(&value) {
            let help = "write how many are at hand, from 0 to 10000; leave quantity out where what \
                        is needed is bought";
            self.told(entry, format!("{key}: {} is out of range", entry.get_ref()), help);
        }
        Some(value as usize)
    }

    fn price(&self, entry: Option<&Figure>, key: &str) -> Option<f64> {
        entry.map(|entry| self.within(entry, Kind::Number, key, PRICE))
    }
}
