//! What of a shop the sizes of a holder rest on, written as a shop file says it.

use std::fmt::Write;

use super::stock::{Bit, BitKind, CleatStock, Service, Shop, StockKind, StockRow};
use super::wall::Wall;
use super::{AskedScrew, SizedScrew};
use crate::length::{Dimension, Quantity, Units};
use crate::reading::quoted;

/// The tables of a shop file within the table `shop`, with those rows of stock that are `used`. Read back with
/// [`read_shop_keys`](super::read_shop_keys), every figure is the very same; what sizes do not rest on (offcuts,
/// quantities, prices, the printer, how sheets are filled) is left out. Nothing in it is open.
pub(crate) fn written(shop: &Shop, used: impl Fn(&StockRow) -> bool) -> String {
    let mut tables = Tables { units: shop.units, text: String::new() };
    tables.table("shop");
    tables.line("units", &quoted(shop.units.symbol()));
    if shop.service == Service::Damp {
        tables.line("damp", "true");
    }
    shop.stock.iter().filter(|row| used(row)).for_each(|row| tables.stock(row));
    tables.table("shop.saw");
    tables.length("kerf", shop.kerf);
    tables.bits(&shop.bits);
    tables.drawer(&shop.screws);
    if let Some(bits) = shop.router {
        tables.table("shop.router");
        tables.length("bit", bits.outline);
        if bits.joint < bits.outline {
            tables.length("joint_bit", bits.joint);
        }
    }
    tables.cleat(&shop.cleat, shop);
    tables.wall(&shop.wall);
    if let Some(grid) = shop.tape_grid {
        tables.table("shop.tape");
        tables.length("grid", grid);
    }
    tables.text
}

/// Tables in the making.
struct Tables {
    units: Units,
    text: String,
}

impl Tables {
    fn table(&mut self, name: &str) {
        self.text.push_str(&format!("\n[{name}]\n"));
    }

    fn line(&mut self, key: &str, value: &str) {
        // A text takes whatever is written into it.
        let _ = writeln!(self.text, "{key} = {value}");
    }

    fn figure(&self, value: f64, dimension: Dimension) -> String {
        quoted(&self.units.exactly(Quantity { value, dimension }))
    }

    /// A length in mm.
    fn length(&mut self, key: &str, mm: f64) {
        let figure = self.figure(mm, Dimension::LENGTH);
        self.line(key, &figure);
    }

    fn word(&mut self, key: &str, word: &str) {
        if !word.is_empty() {
            self.line(key, &quoted(word));
        }
    }

    fn stock(&mut self, row: &StockRow) {
        let kind = row.kind.word();
        self.text.push_str(&format!("\n[[shop.{kind}]]\n"));
        self.word("name", &row.name);
        if row.kind == StockKind::Dowel {
            self.length("diameter", row.thickness);
        } else {
            self.thickness(row);
            self.length("width", row.width);
        }
        self.length("length", row.length);
        if row.kind == StockKind::Sheet {
            self.line("grain", &row.grain.to_string());
            if let Some(plies) = row.plies {
                self.line("plies", &plies.to_string());
            }
        }
        self.word("wood", &row.wood);
    }

    /// A sheet that is not as thick everywhere has its least and its most.
    fn thickness(&mut self, row: &StockRow) {
        if row.thickness_least == row.thickness {
            return self.length("thickness", row.thickness);
        }
        let readings = [row.thickness_least, row.thickness];
        let readings = readings.map(|mm| self.figure(mm, Dimension::LENGTH));
        self.line("thickness", &list(readings.into_iter()));
    }

    fn bits(&mut self, bits: &[Bit]) {
        self.table("shop.bits");
        for (key, kind) in [("drill", BitKind::Drill), ("forstner", BitKind::Forstner)] {
            let bits = bits.iter().filter(|bit| bit.kind == kind);
            let sizes = bits.map(|bit| self.figure(bit.diameter, Dimension::LENGTH));
            let sizes = list(sizes);
            self.line(key, &sizes);
        }
    }

    fn drawer(&mut self, screws: &[SizedScrew]) {
        if screws.is_empty() {
            return;
        }
        let sized = screws
            .iter()
            .map(|sized| AskedScrew { screw: sized.screw, length: Some(sized.length) });
        self.table("shop.drawer");
        self.line("screws", &list(sized.map(|screw| quoted(&screw.to_string()))));
    }

    fn cleat(&mut self, cleat: &CleatStock, shop: &Shop) {
        self.table("shop.cleat");
        if shop.stock.iter().any(|row| row.name == cleat.from) {
            self.word("from", &cleat.from);
        }
        self.length("thickness", cleat.thickness);
        self.length("width", cleat.width);
        let bevel = self.figure(cleat.bevel, Dimension::ANGLE);
        self.line("bevel", &bevel);
    }

    fn wall(&mut self, wall: &Wall) {
        self.table("shop.wall");
        match &wall.masonry {
            Some(masonry) => {
                self.word("masonry", masonry);
                self.length("plug_spacing", wall.stud_spacing);
            }
            None => {
                self.word("wood", &wall.wood);
                self.length("stud_spacing", wall.stud_spacing);
                self.length("stud_width", wall.stud_width);
            }
        }
        self.length("covering", wall.covering);
        self.word("screw", &wall.screw.to_string());
        self.length("screw_length", wall.screw_length);
        self.line("screws", &wall.screws.to_string());
    }
}

fn list(entries: impl Iterator<Item = String>) -> String {
    format!("[{}]", entries.collect::<Vec<_>>().join(", "))
}
