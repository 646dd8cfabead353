//! Reading `shop.toml`.

use serde::Deserialize;

use super::printer::{Paper, Printer};
use super::screw::Screw;
use super::stock::{
    Bit, BitKind, CleatStrip, Offcut, RouterSheets, SawRules, Shop, StockKind, StockRow,
};
use super::wall::Wall;
use crate::length::{Quantity, Units};
use crate::limits;
use crate::reading::{Entry, Kind, Problem, Source, Spanned, figure, nearest};

/// The shop that serves when there is no shop file; also what a new shop file begins as.
pub const DEFAULT_SHOP: &str = include_str!("default.toml");

/// The widest cut that a circular saw's blade makes, in mm: 1/4 in. Common practice, no source.
const WIDEST_KERF: f64 = 6.35;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ShopFile {
    units: Option<Units>,
    #[serde(default)]
    sheet: Vec<SheetRow>,
    #[serde(default)]
    board: Vec<BoardRow>,
    #[serde(default)]
    dowel: Vec<DowelRow>,
    #[serde(default)]
    offcut: Vec<OffcutRow>,
    saw: Option<Saw>,
    bits: Option<Bits>,
    router: Option<Router>,
    cleat: Option<Cleat>,
    wall: Option<WallTable>,
    printer: Option<PrinterTable>,
}

type Figure = Spanned<Entry>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetRow {
    name: Spanned<String>,
    thickness: Figure,
    length: Figure,
    width: Figure,
    quantity: Option<Figure>,
    #[serde(default)]
    grain: bool,
    #[serde(default)]
    wood: String,
    price: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BoardRow {
    name: Spanned<String>,
    thickness: Figure,
    width: Figure,
    length: Figure,
    quantity: Option<Figure>,
    #[serde(default)]
    wood: String,
    price: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DowelRow {
    name: Option<Spanned<String>>,
    diameter: Figure,
    length: Figure,
    quantity: Option<Figure>,
    #[serde(default)]
    wood: String,
    price: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OffcutRow {
    of: Spanned<String>,
    length: Figure,
    width: Figure,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Saw {
    kerf: Figure,
    edge_trim: Option<Figure>,
    trim: Option<Figure>,
    widest_rip: Option<Figure>,
    longest_crosscut: Option<Figure>,
    narrowest_rip: Option<Figure>,
    shortest_rip: Option<Figure>,
    keep_offcut: Option<Spanned<Vec<Figure>>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Bits {
    #[serde(default)]
    drill: Vec<Figure>,
    #[serde(default)]
    forstner: Vec<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Router {
    bit: Figure,
    margin: Option<Figure>,
    hold_down: Option<Figure>,
    fill_openings: Option<bool>,
    bridges: Option<Figure>,
    bridge_width: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cleat {
    from: Option<Spanned<String>>,
    thickness: Option<Figure>,
    width: Option<Figure>,
    bevel: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WallTable {
    stud_spacing: Option<Figure>,
    covering: Option<Figure>,
    wood: Option<String>,
    screw: Option<Figure>,
    screws: Option<Figure>,
    screw_length: Option<Figure>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PrinterTable {
    paper: Option<Spanned<String>>,
    margin: Option<Figure>,
    overlap: Option<Figure>,
    scale_x: Option<Figure>,
    scale_y: Option<Figure>,
}

/// Reads a shop file. What it leaves out of saw, bits, cleat, wall, printer and the router's sheets is
/// taken from the default shop; stock and the router itself are only what the file names.
///
/// # Errors
/// A [`Problem`] at the line of the first thing that is wrong.
pub fn read_shop(source: &Source) -> Result<Shop, Problem> {
    let default = Source::new("the default shop", DEFAULT_SHOP);
    let fallback = if source.text() == default.text() { None } else { Some(read_shop(&default)?) };
    let file: ShopFile = source.parse()?;
    let reader = Reader { source, units: file.units };
    reader.bounded(&file)?;
    let stock = reader.stock(&file)?;
    let offcuts = reader.offcuts(&file.offcut, &stock)?;
    let bits = match &file.bits {
        Some(bits) => reader.bits(bits)?,
        None => fallback.as_ref().map(|f| reader.told(&f.bits)).unwrap_or_default(),
    };
    let router = file.router.as_ref();
    Ok(Shop {
        units: file.units.unwrap_or_default(),
        kerf: match &file.saw {
            Some(saw) => reader.kerf(&saw.kerf)?,
            None => fallback.as_ref().map_or(0.0, |f| f.kerf),
        },
        saw: reader.saw(file.saw.as_ref(), fallback.as_ref().map(|f| f.saw))?,
        bits,
        router_bit: router.map(|r| reader.size(&r.bit, "router.bit")).transpose()?,
        router_sheets: reader.router_sheets(router, fallback.as_ref().map(|f| f.router_sheets))?,
        cleat: reader.cleat(file.cleat.as_ref(), &stock, fallback.as_ref().map(|f| &f.cleat))?,
        wall: reader.wall(file.wall.as_ref())?,
        printer: reader.printer(file.printer.as_ref(), fallback.as_ref().map(|f| &f.printer))?,
        stock,
        offcuts,
    })
}

struct Reader<'a> {
    source: &'a Source,
    units: Option<Units>,
}

impl Reader<'_> {
    /// A length greater than 0, in mm.
    fn size(&self, entry: &Figure, key: &str) -> Result<f64, Problem> {
        self.within(entry, Kind::Length, key, f64::MIN_POSITIVE, 100_000.0)
    }

    /// A figure from `least` to `most`, both included.
    fn within(
        &self,
        entry: &Figure,
        kind: Kind,
        key: &str,
        least: f64,
        most: f64,
    ) -> Result<f64, Problem> {
        let value = figure(entry, kind, self.units, key, self.source)?;
        if (least..=most).contains(&value) {
            return Ok(value);
        }
        let units = self.units.unwrap_or(Units::Millimetres);
        let write = |value| units.quantity(Quantity { value, dimension: kind.dimension() });
        let range = if least == f64::MIN_POSITIVE {
            format!("write a figure above 0, at most {}", write(most))
        } else {
            format!("write a figure from {} to {}", write(least), write(most))
        };
        let message = format!("{key}: {} is out of range", entry.get_ref());
        Err(self.source.problem(entry.span(), message).with_help(range))
    }

    /// How many are at hand; where it is left out, what is needed is bought.
    fn quantity(&self, entry: Option<&Figure>, key: &str) -> Result<Option<usize>, Problem> {
        let Some(entry) = entry else { return Ok(None) };
        let value = figure(entry, Kind::Count, self.units, key, self.source)?;
        if (0.0..=10_000.0).contains(&value) {
            return Ok(Some(value as usize));
        }
        let message = format!("{key}: {} is out of range", entry.get_ref());
        let help = "write how many are at hand, from 0 to 10000; leave quantity out where what is \
                    needed is bought";
        Err(self.source.problem(entry.span(), message).with_help(help))
    }

    /// That no more kinds of stock, offcuts and bits are listed than can be looked through.
    fn bounded(&self, file: &ShopFile) -> Result<(), Problem> {
        let stocks = file.sheet.len() + file.board.len() + file.dowel.len();
        let bits = file.bits.as_ref().map_or(0, |bits| bits.drill.len() + bits.forstner.len());
        let lists = [
            (stocks, limits::STOCKS, "kinds of sheet, board and dowel"),
            (file.offcut.len(), limits::OFFCUTS, "offcuts"),
            (bits, limits::BITS, "bits"),
        ];
        for (has, most, what) in lists.into_iter().filter(|(has, most, _)| has > most) {
            let message = format!("{has} {what}, and {most} are the most for one shop");
            let help = "list those that you would use first";
            return Err(self.source.problem(0..0, message).with_help(help));
        }
        let wall = file.wall.as_ref().and_then(|wall| wall.wood.as_ref());
        let woods =
            file.sheet.iter().map(|row| &row.wood).chain(file.board.iter().map(|row| &row.wood));
        let woods = woods.chain(file.dowel.iter().map(|row| &row.wood)).chain(wall);
        match woods.map(|wood| wood.chars().count()).find(|has| *has > limits::NAME) {
            Some(has) => {
                let message = format!(
                    "the name of a wood has {has} characters, and {} are the most",
                    limits::NAME
                );
                Err(self.source.problem(0..0, message))
            }
            None => Ok(()),
        }
    }

    fn kerf(&self, entry: &Figure) -> Result<f64, Problem> {
        let value = self.size(entry, "saw.kerf")?;
        if value <= WIDEST_KERF {
            return Ok(value);
        }
        let units = self.units.unwrap_or_default();
        let message = format!("saw.kerf: a cut {} wide is no saw's", units.length(value));
        let help = format!(
            "write how wide the blade cuts, at most {}: saw into a scrap and measure the groove",
            units.length(WIDEST_KERF)
        );
        Err(self.source.problem(entry.span(), message).with_help(help))
    }

    fn saw(&self, saw: Option<&Saw>, fallback: Option<SawRules>) -> Result<SawRules, Problem> {
        let none = SawRules {
            edge_trim: 0.0,
            trim: 0.0,
            widest_rip: None,
            longest_crosscut: None,
            narrowest_rip: 0.0,
            shortest_rip: 0.0,
            keep_offcut: [0.0; 2],
        };
        let mut rules = fallback.unwrap_or(none);
        let Some(saw) = saw else { return Ok(rules) };
        let lengths = [
            (&saw.edge_trim, &mut rules.edge_trim, "saw.edge_trim", 100.0),
            (&saw.trim, &mut rules.trim, "saw.trim", 100.0),
            (&saw.narrowest_rip, &mut rules.narrowest_rip, "saw.narrowest_rip", 500.0),
            (&saw.shortest_rip, &mut rules.shortest_rip, "saw.shortest_rip", 1000.0),
        ];
        for (entry, slot, key, most) in lengths {
            if let Some(entry) = entry {
                *slot = self.within(entry, Kind::Length, key, 0.0, most)?;
            }
        }
        let limits = [
            (&saw.widest_rip, &mut rules.widest_rip, "saw.widest_rip"),
            (&saw.longest_crosscut, &mut rules.longest_crosscut, "saw.longest_crosscut"),
        ];
        for (entry, slot, key) in limits {
            if let Some(entry) = entry {
                *slot = Some(self.within(entry, Kind::Length, key, 50.0, 100_000.0)?);
            }
        }
        if let (Some(entry), Some(widest)) = (&saw.widest_rip, rules.widest_rip)
            && widest < rules.narrowest_rip
        {
            let narrowest = self.units.unwrap_or_default().length(rules.narrowest_rip);
            let message = format!("saw.widest_rip is less than saw.narrowest_rip, {narrowest}");
            let help = "write how far the fence goes from the blade";
            return Err(self.source.problem(entry.span(), message).with_help(help));
        }
        if let Some(list) = &saw.keep_offcut {
            rules.keep_offcut = self.keep_offcut(list)?;
        }
        Ok(rules)
    }

    fn keep_offcut(&self, list: &Spanned<Vec<Figure>>) -> Result<[f64; 2], Problem> {
        let [a, b] = list.get_ref().as_slice() else {
            let message = "saw.keep_offcut: two lengths are wanted";
            let help =
                "write the least length and width worth keeping, such as [\"12 in\", \"4 in\"]";
            return Err(self.source.problem(list.span(), message).with_help(help));
        };
        let read = |e: &Figure| self.within(e, Kind::Length, "saw.keep_offcut", 0.0, 100_000.0);
        let (a, b) = (read(a)?, read(b)?);
        Ok([a.max(b), a.min(b)])
    }

    fn price(&self, entry: Option<&Figure>, key: &str) -> Result<Option<f64>, Problem> {
        entry.map(|e| self.within(e, Kind::Number, key, 0.0, 1e9)).transpose()
    }

    fn stock(&self, file: &ShopFile) -> Result<Vec<StockRow>, Problem> {
        let sheets = file.sheet.iter().map(|row| self.sheet(row));
        let boards = file.board.iter().map(|row| self.board(row));
        let dowels = file.dowel.iter().map(|row| self.dowel(row));
        let rows: Vec<StockRow> = sheets.chain(boards).chain(dowels).collect::<Result<_, _>>()?;
        let names = file.sheet.iter().map(|r| &r.name);
        let names = names.chain(file.board.iter().map(|r| &r.name));
        let names = names.chain(file.dowel.iter().filter_map(|r| r.name.as_ref()));
        let mut seen: Vec<&str> = Vec::new();
        for name in names {
            if name.get_ref().trim().is_empty() || name.get_ref().contains(char::is_control) {
                let message =
                    "the name of a stock is empty or holds a line break or control character";
                let help = "write the name in one line, such as \"plywood 3/4\"";
                return Err(self.source.problem(name.span(), message).with_help(help));
            }
            let letters = name.get_ref().chars().count();
            if letters > limits::FILE_NAME {
                let message = format!(
                    "the name of a stock has {letters} characters, and {} are the most",
                    limits::FILE_NAME
                );
                return Err(self.source.problem(name.span(), message));
            }
            if seen.contains(&name.get_ref().as_str()) {
                let message = format!("two kinds of stock are named \"{}\"", name.get_ref());
                let help = "give each stock a name of its own";
                return Err(self.source.problem(name.span(), message).with_help(help));
            }
            seen.push(name.get_ref());
        }
        Ok(rows)
    }

    fn sheet(&self, row: &SheetRow) -> Result<StockRow, Problem> {
        Ok(StockRow {
            name: row.name.get_ref().clone(),
            kind: StockKind::Sheet,
            thickness: self.size(&row.thickness, "sheet.thickness")?,
            length: self.size(&row.length, "sheet.length")?,
            width: self.size(&row.width, "sheet.width")?,
            quantity: self.quantity(row.quantity.as_ref(), "sheet.quantity")?,
            grain: row.grain,
            wood: row.wood.clone(),
            price: self.price(row.price.as_ref(), "sheet.price")?,
        })
    }

    fn board(&self, row: &BoardRow) -> Result<StockRow, Problem> {
        Ok(StockRow {
            name: row.name.get_ref().clone(),
            kind: StockKind::Board,
            thickness: self.size(&row.thickness, "board.thickness")?,
            length: self.size(&row.length, "board.length")?,
            width: self.size(&row.width, "board.width")?,
            quantity: self.quantity(row.quantity.as_ref(), "board.quantity")?,
            grain: true,
            wood: row.wood.clone(),
            price: self.price(row.price.as_ref(), "board.price")?,
        })
    }

    fn dowel(&self, row: &DowelRow) -> Result<StockRow, Problem> {
        let diameter = self.size(&row.diameter, "dowel.diameter")?;
        let units = self.units.unwrap_or_default();
        let name = row.name.as_ref().map(|name| name.get_ref().clone());
        Ok(StockRow {
            name: name.unwrap_or_else(|| format!("dowel {}", units.length(diameter))),
            kind: StockKind::Dowel,
            thickness: diameter,
            length: self.size(&row.length, "dowel.length")?,
            width: diameter,
            quantity: self.quantity(row.quantity.as_ref(), "dowel.quantity")?,
            grain: true,
            wood: row.wood.clone(),
            price: self.price(row.price.as_ref(), "dowel.price")?,
        })
    }

    fn offcuts(&self, rows: &[OffcutRow], stock: &[StockRow]) -> Result<Vec<Offcut>, Problem> {
        let read = |row: &OffcutRow| {
            self.named(&row.of, "offcut.of", stock)?;
            Ok(Offcut {
                of: row.of.get_ref().clone(),
                length: self.size(&row.length, "offcut.length")?,
                width: self.size(&row.width, "offcut.width")?,
            })
        };
        rows.iter().map(read).collect()
    }

    fn bits(&self, bits: &Bits) -> Result<Vec<Bit>, Problem> {
        let kinds = [
            (BitKind::Drill, &bits.drill, "bits.drill"),
            (BitKind::Forstner, &bits.forstner, "bits.forstner"),
        ];
        let mut read = Vec::new();
        for (kind, entries, key) in kinds {
            for entry in entries {
                let diameter = self.size(entry, key)?;
                read.push(Bit { kind, diameter, units: self.units.unwrap_or_default() });
            }
        }
        Ok(read)
    }

    /// The same bits, told as this shop tells lengths.
    fn told(&self, bits: &[Bit]) -> Vec<Bit> {
        let units = self.units.unwrap_or_default();
        bits.iter().map(|bit| Bit { units, ..*bit }).collect()
    }

    fn router_sheets(
        &self,
        router: Option<&Router>,
        fallback: Option<RouterSheets>,
    ) -> Result<RouterSheets, Problem> {
        let none = RouterSheets {
            margin: 0.0,
            hold_down: 0.0,
            fill_openings: true,
            bridges: 0,
            bridge_width: 0.0,
        };
        let mut sheets = fallback.unwrap_or(none);
        let Some(router) = router else { return Ok(sheets) };
        let lengths = [
            (&router.margin, &mut sheets.margin, "router.margin", 0.0, 100.0),
            (&router.hold_down, &mut sheets.hold_down, "router.hold_down", 0.0, 500.0),
            (&router.bridge_width, &mut sheets.bridge_width, "router.bridge_width", 0.5, 100.0),
        ];
        for (entry, slot, key, least, most) in lengths {
            if let Some(entry) = entry {
                *slot = self.within(entry, Kind::Length, key, least, most)?;
            }
        }
        if let Some(entry) = &router.bridges {
            let count = self.within(entry, Kind::Count, "router.bridges", 0.0, 20.0)?;
            sheets.bridges = count as usize;
        }
        sheets.fill_openings = router.fill_openings.unwrap_or(sheets.fill_openings);
        Ok(sheets)
    }

    fn cleat(
        &self,
        cleat: Option<&Cleat>,
        stock: &[StockRow],
        fallback: Option<&CleatStrip>,
    ) -> Result<CleatStrip, Problem> {
        let none = Cleat { from: None, thickness: None, width: None, bevel: None };
        let cleat = cleat.unwrap_or(&none);
        let from =
            cleat.from.as_ref().map(|name| self.named(name, "cleat.from", stock)).transpose()?;
        let thickness = match (&cleat.thickness, from) {
            (Some(entry), _) => self.size(entry, "cleat.thickness")?,
            (None, Some(row)) => row.thickness,
            (None, None) => fallback.map_or(0.0, |f| f.thickness),
        };
        if let (Some(row), Some(entry)) = (from, &cleat.thickness)
            && (row.thickness - thickness).abs() > crate::tolerance::COORDINATE
        {
            let units = self.units.unwrap_or_default();
            let (stock, own) = (units.length(row.thickness), units.length(thickness));
            let message =
                format!("cleat.thickness is {own}, but \"{}\" is {stock} thick", row.name);
            let help = "leave the thickness out, or name the stock it is really ripped from";
            return Err(self.source.problem(entry.span(), message).with_help(help));
        }
        let width = cleat.width.as_ref().map(|w| self.size(w, "cleat.width")).transpose()?;
        let bevel = cleat.bevel.as_ref();
        let bevel =
            bevel.map(|b| self.within(b, Kind::Angle, "cleat.bevel", 15.0, 60.0)).transpose()?;
        Ok(CleatStrip {
            from: from.map_or_else(|| "cleat strip".to_owned(), |row| row.name.clone()),
            thickness,
            width: width.or(fallback.map(|f| f.width)).unwrap_or_default(),
            bevel: bevel.or(fallback.map(|f| f.bevel)).unwrap_or_default(),
            wood: from.map_or_else(String::new, |row| row.wood.clone()),
        })
    }

    fn wall(&self, table: Option<&WallTable>) -> Result<Wall, Problem> {
        let mut wall = Wall::default();
        let Some(table) = table else { return Ok(wall) };
        let lengths = [
            (&table.stud_spacing, &mut wall.stud_spacing, "wall.stud_spacing", 100.0, 1500.0),
            (&table.covering, &mut wall.covering, "wall.covering", 0.0, 100.0),
            (&table.screw_length, &mut wall.screw_length, "wall.screw_length", 25.0, 200.0),
        ];
        for (entry, slot, key, least, most) in lengths {
            if let Some(entry) = entry {
                *slot = self.within(entry, Kind::Length, key, least, most)?;
            }
        }
        if let Some(entry) = &table.screw {
            let number = figure(entry, Kind::Count, None, "wall.screw", self.source)?;
            wall.screw = Screw::new(number).map_err(|e| {
                let message = format!("wall.screw: {e}");
                self.source.problem(entry.span(), message)
            })?;
        }
        if let Some(entry) = &table.screws {
            wall.screws = self.within(entry, Kind::Count, "wall.screws", 1.0, 2.0)? as usize;
        }
        wall.wood = table.wood.clone().unwrap_or(wall.wood);
        Ok(wall)
    }

    fn printer(
        &self,
        table: Option<&PrinterTable>,
        fallback: Option<&Printer>,
    ) -> Result<Printer, Problem> {
        let mut printer = fallback.copied().unwrap_or_default();
        let Some(table) = table else { return Ok(printer) };
        if let Some(paper) = &table.paper {
            printer.paper =
                paper.get_ref().parse().map_err(|e: super::printer::UnknownPaper| {
                    let help = format!("write one of: {}", Paper::ALL.map(Paper::name).join(", "));
                    let message = format!("printer.paper: there is no paper \"{}\"", e.name);
                    self.source.problem(paper.span(), message).with_help(help)
                })?;
        }
        let lengths = [
            (&table.margin, &mut printer.margin, "printer.margin"),
            (&table.overlap, &mut printer.overlap, "printer.overlap"),
        ];
        for (entry, slot, key) in lengths {
            if let Some(entry) = entry {
                *slot = self.within(entry, Kind::Length, key, 0.0, 50.0)?;
            }
        }
        let scales = [
            (&table.scale_x, &mut printer.scale_x, "printer.scale_x"),
            (&table.scale_y, &mut printer.scale_y, "printer.scale_y"),
        ];
        for (entry, slot, key) in scales {
            if let Some(entry) = entry {
                *slot = self.within(entry, Kind::Number, key, 0.9, 1.1)?;
            }
        }
        Ok(printer)
    }

    /// The stock called `name`.
    fn named<'s>(
        &self,
        name: &Spanned<String>,
        key: &str,
        stock: &'s [StockRow],
    ) -> Result<&'s StockRow, Problem> {
        let wanted = name.get_ref();
        stock.iter().find(|row| row.name == *wanted).ok_or_else(|| {
            let known: Vec<&str> = stock.iter().map(|row| row.name.as_str()).collect();
            let message = format!("{key}: no stock here is named \"{wanted}\"");
            self.source.problem(name.span(), message).with_help(nearest(wanted, &known))
        })
    }
}
