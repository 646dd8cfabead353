//! Reading `shop.toml`.

mod router;
mod stock;
mod wall;

use std::cell::RefCell;

use schemars::JsonSchema;
use serde::Deserialize;

use super::asked_screw::AskedScrew;
use super::open::{OpenFigures, cleat_width};
use super::printer::{Paper, Printer};
use super::screw::SizedScrew;
use super::stock::{Bit, BitKind, CleatStock, SawRules, Service, Shop, StockRow};
use super::wood::wood_advice;
use crate::length::{MM_PER_INCH, Quantity, Units};
use crate::limits;
use crate::reading::{
    AsAngle, AsCount, AsLength, AsNumber, AsScrew, Entry, Kind, Problem, Problems, Source, Spanned,
    figure, in_any_case, nearest,
};

/// The shop that serves a project in `units` when there is no shop file; also what a new shop file
/// begins as.
pub(crate) fn default_shop(units: Units) -> &'static str {
    match units {
        Units::Inches => DEFAULT_SHOP,
        Units::Millimeters => include_str!("default-mm.toml"),
    }
}

/// The one in inches.
pub(crate) const DEFAULT_SHOP: &str = include_str!("default.toml");

/// The most of a thing that a small shop has, in inches and, where a file is in mm, in mm: in each
/// a round figure. Common practice, no source.
type Limit = [f64; 2];

/// Marks of a tape.
const TAPE_GRID: [Limit; 2] = [[1.0 / 64.0, 0.5], [0.5, 10.0]];
/// What a circular saw's blade cuts wide.
const KERF: Limit = [0.25, 6.5];
/// Lengths and widths of stock.
const STOCK: Limit = [480.0, 12_000.0];
const THICKNESS: Limit = [12.0, 300.0];
/// Bits and dowels.
const ROUND: Limit = [6.0, 150.0];
const CLEAT_WIDTH: Limit = [24.0, 600.0];
/// What is trimmed, left as a margin or covers a wall.
const TRIM: Limit = [4.0, 100.0];
const NARROW: Limit = [20.0, 500.0];
const SHORT: Limit = [40.0, 1000.0];
/// How many screws are in a box. Common practice, no source.
const IN_BOX: [f64; 2] = [1.0, 10_000.0];
const USUAL_IN_BOX: usize = 100;
/// What a printer draws of a length. Common practice, no source.
const SCALE: [f64; 2] = [0.9, 1.1];
/// Plies of plywood.
const PLIES: [f64; 2] = [3.0, 25.0];
const NOTHING: Limit = [0.0, 0.0];
/// More than 0, however little.
const ABOVE_NOTHING: Limit = [f64::MIN_POSITIVE, f64::MIN_POSITIVE];

/// What this workshop has. A length is written as the tape reads: "1 3/8 in", "3/4 in", "19 mm".
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ShopFile {
    /// What a bare number is, and what figures are written back in.
    units: Option<Units>,
    /// false leaves each holder's free sizes as they would be by themselves.
    agree: Option<bool>,
    /// An open shed or a wet cellar: wood and screws are counted as weaker.
    damp: Option<bool>,
    /// Sheets, with their actual thickness.
    #[serde(default)]
    sheet: Vec<stock::SheetRow>,
    /// Boards, with their actual sizes.
    #[serde(default)]
    board: Vec<stock::BoardRow>,
    /// Dowels.
    #[serde(default)]
    dowel: Vec<stock::DowelRow>,
    /// Pieces left over from a sheet or board.
    #[serde(default)]
    #[schemars(length(max = limits::OFFCUTS))]
    offcut: Vec<stock::OffcutRow>,
    /// The saw, and what is sawn how.
    saw: Option<SawTable>,
    /// What you can drill with.
    bits: Option<Bits>,
    /// The wood screws at hand; without it those that fit are bought.
    drawer: Option<DrawerTable>,
    /// The CNC router. Leave it out if you have none.
    router: Option<router::RouterTable>,
    /// The hand-held router, or the one under a table.
    hand_router: Option<router::HandRouterTable>,
    /// The beveled strips, on the wall and on the holders.
    cleat: Option<Cleat>,
    /// What the wall cleats are screwed to.
    wall: Option<wall::WallTable>,
    /// The printer and its paper.
    printer: Option<PrinterTable>,
    /// The marks that free sizes come on.
    tape: Option<TapeTable>,
}

type Figure = Spanned<Entry>;

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct SawTable {
    /// How wide the blade cuts.
    #[schemars(with = "AsLength")]
    kerf: Figure,
    /// Taken off each edge of a new sheet before it is used.
    #[schemars(with = "Option<AsLength>")]
    edge_trim: Option<Figure>,
    /// How much larger a blank is where its outline has no straight edge.
    #[schemars(with = "Option<AsLength>")]
    trim: Option<Figure>,
    /// The most that fits between fence and blade.
    #[schemars(with = "Option<AsLength>")]
    widest_rip: Option<Figure>,
    /// How wide a panel may be that is crosscut on the saw.
    #[schemars(with = "Option<AsLength>")]
    longest_crosscut: Option<Figure>,
    /// Narrower strips fall off on the offcut side of the blade.
    #[schemars(with = "Option<AsLength>")]
    narrowest_rip: Option<Figure>,
    /// Shorter wood is held by the miter gauge, not run along the fence.
    #[schemars(with = "Option<AsLength>")]
    shortest_rip: Option<Figure>,
    /// The least length and width of an offcut that is worth keeping.
    #[schemars(with = "Option<[AsLength; 2]>")]
    keep_offcut: Option<Spanned<Vec<Figure>>>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct Bits {
    /// Diameters of the drill bits.
    #[serde(default)]
    #[schemars(with = "Vec<AsLength>")]
    drill: Vec<Figure>,
    /// Diameters of the forstner bits.
    #[serde(default)]
    #[schemars(with = "Vec<AsLength>")]
    forstner: Vec<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct DrawerTable {
    /// The wood screws at hand, each with its length.
    #[serde(default)]
    #[schemars(with = "Vec<AsScrew>")]
    screws: Vec<Figure>,
    /// How many a box holds that you buy.
    #[schemars(with = "Option<AsCount>")]
    #[schemars(extend("minimum" = IN_BOX[0], "maximum" = IN_BOX[1]))]
    screws_in_box: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct Cleat {
    /// The sheet or board they are ripped from; gives their thickness.
    from: Option<Spanned<String>>,
    /// How thick they are, where from does not say it.
    #[schemars(with = "Option<AsLength>")]
    thickness: Option<Figure>,
    /// Measured on the wide face; left out: settled for all holders together.
    #[schemars(with = "Option<AsLength>")]
    width: Option<Figure>,
    /// How far the saw blade is tilted.
    #[schemars(with = "Option<AsAngle>")]
    bevel: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct TapeTable {
    /// Free sizes come on marks so far apart.
    #[schemars(with = "AsLength")]
    grid: Figure,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct PrinterTable {
    /// The paper's size.
    #[schemars(extend("anyOf" = in_any_case(&Paper::ALL.map(Paper::name))))]
    paper: Option<Spanned<String>>,
    /// What the printer leaves white at each edge.
    #[schemars(with = "Option<AsLength>")]
    margin: Option<Figure>,
    /// How far neighboring pages overlap.
    #[schemars(with = "Option<AsLength>")]
    overlap: Option<Figure>,
    /// Across the paper's short side: if a 100 mm bar prints as 99.4 mm, write 0.994.
    #[schemars(with = "Option<AsNumber>", extend("minimum" = SCALE[0], "maximum" = SCALE[1]))]
    scale_x: Option<Figure>,
    /// The same along its long side.
    #[schemars(with = "Option<AsNumber>", extend("minimum" = SCALE[0], "maximum" = SCALE[1]))]
    scale_y: Option<Figure>,
}

/// Reads a shop file. What it leaves out of saw, bits, cleat, wall, printer and the router's sheets is
/// taken from the default shop; stock and the routers themselves are only what the file names.
///
/// # Errors
/// A [`Problem`] at the line of each thing that is wrong.
pub(crate) fn read_shop(source: &Source) -> Result<Shop, Problems> {
    read_shop_of(source, Units::default())
}

/// The same for a project that measures in `usual`, where the file does not say what it measures in.
///
/// # Errors
/// As [`read_shop`].
pub(crate) fn read_shop_of(source: &Source, usual: Units) -> Result<Shop, Problems> {
    let (file, problems) = source.parse_all::<ShopFile>();
    let Some(file) = file else { return Err(problems) };
    read_shop_keys(source, &file, usual, problems)
}

/// The shop that `file`, read from `source`, says; `problems` is what could not be read of it.
///
/// # Errors
/// As [`read_shop`].
pub(crate) fn read_shop_keys(
    source: &Source,
    file: &ShopFile,
    usual: Units,
    problems: Problems,
) -> Result<Shop, Problems> {
    let usual = file.units.unwrap_or(usual);
    let default = default_shop(usual);
    let fallback = match source.text() == default {
        true => None,
        false => Some(read_shop(&Source::new("the default shop", default))?),
    };
    few(source, file)?;
    let whole = problems.is_empty();
    let reader = Reader { source, units: file.units, usual, wrong: RefCell::new(problems), whole };
    let shop = reader.shop(file, fallback.as_ref());
    reader.wrong.into_inner().or(shop)
}

/// Whether a shop file says how far apart studs are, whatever else is wrong in it.
pub(crate) fn says_stud_spacing(source: &Source) -> bool {
    let file = toml::from_str::<toml::Table>(source.text()).unwrap_or_default();
    let wall = file.get("wall").and_then(toml::Value::as_table);
    wall.is_some_and(|wall| wall.contains_key("stud_spacing"))
}

/// That no more kinds of stock, offcuts and bits are listed than can be looked through.
fn few(source: &Source, file: &ShopFile) -> Result<(), Problem> {
    let stocks = file.sheet.len() + file.board.len() + file.dowel.len();
    let bits = file.bits.as_ref().map_or(0, |bits| bits.drill.len() + bits.forstner.len());
    let screws = file.drawer.as_ref().map_or(0, |drawer| drawer.screws.len());
    let lists = [
        (stocks, limits::STOCKS, "kinds of sheet, board and dowel"),
        (file.offcut.len(), limits::OFFCUTS, "offcuts"),
        (bits, limits::BITS, "bits"),
        (screws, limits::BITS, "kinds of screw in the drawer"),
    ];
    match lists.into_iter().find(|(has, most, _)| has > most) {
        None => Ok(()),
        Some((has, most, what)) => {
            let message = format!("{has} {what}; at most {most} for one shop");
            Err(source.problem(0..0, message).with_help("list those that you would use first"))
        }
    }
}

/// Reads on past what is wrong and keeps it: what is returned then stands in for the rest.
struct Reader<'a> {
    source: &'a Source,
    units: Option<Units>,
    /// What holds for what the file leaves out.
    usual: Units,
    wrong: RefCell<Problems>,
    /// Whether every row could be read: else a stock may only seem to lack.
    whole: bool,
}

impl Reader<'_> {
    fn shop(&self, file: &ShopFile, fallback: Option<&Shop>) -> Shop {
        let mut stock = self.stock(file);
        let offcuts = self.offcuts(&file.offcut, &mut stock);
        let router = file.router.as_ref();
        let bits = match &file.bits {
            Some(bits) => self.bits(bits),
            None => fallback.map(|f| self.told_bits(&f.bits)).unwrap_or_default(),
        };
        let shop = Shop {
            units: self.usual,
            kerf: match &file.saw {
                Some(saw) => self.kerf(&saw.kerf),
                None => fallback.map_or(0.0, |f| f.kerf),
            },
            saw: self.saw(file.saw.as_ref(), fallback.map(|f| f.saw)),
            bits,
            screws: file.drawer.as_ref().map_or_else(Vec::new, |drawer| self.screws(drawer)),
            screws_in_box: self.screws_in_box(file.drawer.as_ref()),
            router: router.map(|table| self.router_bits(table)),
            router_sheets: self.router_sheets(router, fallback.map(|f| f.router_sheets)),
            router_run: self.router_run(router, fallback.map(|f| f.router_run)),
            flush_trim_bit: self.flush_trim_bit(file.hand_router.as_ref()),
            cleat: self.cleat(file.cleat.as_ref(), &stock, fallback.map(|f| &f.cleat)),
            wall: self.wall(file.wall.as_ref(), fallback.map(|f| &f.wall)),
            printer: self.printer(file.printer.as_ref(), fallback.map(|f| &f.printer)),
            tape_grid: file
                .tape
                .as_ref()
                .map(|tape| self.length(&tape.grid, "tape.grid", TAPE_GRID)),
            agree: file.agree.unwrap_or(true),
            service: match file.damp {
                Some(true) => Service::Damp,
                _ => Service::Dry,
            },
            open: OpenFigures {
                cleat_width: file.cleat.as_ref().is_none_or(|cleat| cleat.width.is_none()),
                ..Self::open_screws(file.wall.as_ref())
            },
            offcuts,
            stock,
        };
        self.reaches_masonry(file.wall.as_ref(), &shop);
        shop
    }

    /// What was read, or `otherwise` with the problem kept.
    fn keep<T>(&self, otherwise: T, read: Result<T, Problem>) -> T {
        self.wrong.borrow_mut().keep(read).unwrap_or(otherwise)
    }

    /// Keeps a problem of `entry`.
    fn told<T>(&self, entry: &Spanned<T>, message: impl Into<String>, help: impl Into<String>) {
        let problem = self.source.problem(entry.span(), message).with_help(help);
        self.wrong.borrow_mut().add(problem);
    }

    /// In mm.
    fn limit(&self, [inches, mm]: Limit) -> f64 {
        match self.units {
            Some(Units::Inches) => inches * MM_PER_INCH,
            _ => mm,
        }
    }

    /// A figure of `kind` as the file writes it.
    fn write(&self, value: f64, kind: Kind) -> String {
        let units = self.units.unwrap_or(Units::Millimeters);
        units.quantity(Quantity { value, dimension: kind.dimension() })
    }

    /// A length greater than 0, in mm.
    fn size(&self, entry: &Figure, key: &str, most: Limit) -> f64 {
        self.length(entry, key, [ABOVE_NOTHING, most])
    }

    /// Lengths in mm, between limits, each into its place where the file names one.
    fn lengths<const N: usize>(&self, lengths: [(&Option<Figure>, &mut f64, &str, [Limit; 2]); N]) {
        for (entry, slot, key, range) in lengths {
            if let Some(entry) = entry {
                *slot = self.length(entry, key, range);
            }
        }
    }

    /// A length in mm, between limits.
    fn length(&self, entry: &Figure, key: &str, range: [Limit; 2]) -> f64 {
        self.within(entry, Kind::Length, key, range.map(|limit| self.limit(limit)))
    }

    /// A figure from `least` to `most`, both included.
    fn within(&self, entry: &Figure, kind: Kind, key: &str, [least, most]: [f64; 2]) -> f64 {
        let read = figure(entry, kind, self.units, key, self.source);
        let value = self.keep(least, read);
        // A figure on the limit passes whichever unit it was written in.
        let near = crate::tolerance::COORDINATE;
        if value >= least && value <= most + near {
            return value;
        }
        let range = if least > 0.0 && least < f64::EPSILON {
            format!("write a value above 0, at most {}", self.write(most, kind))
        } else {
            format!("write a value from {} to {}", self.write(least, kind), self.write(most, kind))
        };
        self.told(entry, format!("{key}: {} is out of range", self.write(value, kind)), range);
        value
    }

    fn kerf(&self, entry: &Figure) -> f64 {
        let read = figure(entry, Kind::Length, self.units, "saw.kerf", self.source);
        let Some(value) = self.wrong.borrow_mut().keep(read) else { return 0.0 };
        let most = self.limit(KERF);
        if value <= 0.0 || value > most + crate::tolerance::COORDINATE {
            let message = format!("saw.kerf: {} is out of range", self.write(value, Kind::Length));
            let help = format!(
                "write how wide the blade cuts, above 0 and at most {}: saw into a scrap and measure \
                 the groove",
                self.write(most, Kind::Length)
            );
            self.told(entry, message, help);
        }
        value
    }

    fn saw(&self, saw: Option<&SawTable>, fallback: Option<SawRules>) -> SawRules {
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
        let Some(saw) = saw else { return rules };
        let lengths = [
            (&saw.edge_trim, &mut rules.edge_trim, "saw.edge_trim", TRIM),
            (&saw.trim, &mut rules.trim, "saw.trim", TRIM),
            (&saw.narrowest_rip, &mut rules.narrowest_rip, "saw.narrowest_rip", NARROW),
            (&saw.shortest_rip, &mut rules.shortest_rip, "saw.shortest_rip", SHORT),
        ];
        for (entry, slot, key, most) in lengths {
            if let Some(entry) = entry {
                *slot = self.length(entry, key, [NOTHING, most]);
            }
        }
        let limits = [
            (&saw.widest_rip, &mut rules.widest_rip, "saw.widest_rip"),
            (&saw.longest_crosscut, &mut rules.longest_crosscut, "saw.longest_crosscut"),
        ];
        for (entry, slot, key) in limits {
            if let Some(entry) = entry {
                *slot = Some(self.length(entry, key, [[2.0, 50.0], STOCK]));
            }
        }
        if let (Some(entry), Some(widest)) = (&saw.widest_rip, rules.widest_rip)
            && widest < rules.narrowest_rip
        {
            let [widest, narrowest] =
                [widest, rules.narrowest_rip].map(|v| self.write(v, Kind::Length));
            let message =
                format!("saw.widest_rip: {widest} is less than saw.narrowest_rip, {narrowest}");
            self.told(entry, message, "write how far the fence goes from the blade");
        }
        if let Some(list) = &saw.keep_offcut {
            rules.keep_offcut = self.keep_offcut(list);
        }
        rules
    }

    fn keep_offcut(&self, list: &Spanned<Vec<Figure>>) -> [f64; 2] {
        let [a, b] = list.get_ref().as_slice() else {
            let message =
                format!("saw.keep_offcut: {} where two lengths are needed", list.get_ref().len());
            let help =
                "write the least length and width worth keeping, such as [\"12 in\", \"4 in\"]";
            self.told(list, message, help);
            return [0.0; 2];
        };
        let [a, b] = [a, b].map(|e| self.length(e, "saw.keep_offcut", [NOTHING, STOCK]));
        [a.max(b), a.min(b)]
    }

    /// The wood a stock or the studs are of; empty where the file does not say.
    fn wood(&self, name: Option<&Spanned<String>>, key: &str) -> String {
        let Some(name) = name.filter(|name| !name.get_ref().trim().is_empty()) else {
            return String::new();
        };
        if let Some(advice) = wood_advice(name.get_ref()) {
            self.told(name, format!("{key}: no wood here is named \"{}\"", name.get_ref()), advice);
        }
        name.get_ref().clone()
    }

    fn bits(&self, bits: &Bits) -> Vec<Bit> {
        let kinds = [
            (BitKind::Drill, &bits.drill, "bits.drill"),
            (BitKind::Forstner, &bits.forstner, "bits.forstner"),
        ];
        let mut read = Vec::new();
        for (kind, entries, key) in kinds {
            for entry in entries {
                let diameter = self.size(entry, key, ROUND);
                read.push(Bit { kind, diameter, units: self.usual });
            }
        }
        read
    }

    /// The same bits, told as this shop tells lengths.
    fn told_bits(&self, bits: &[Bit]) -> Vec<Bit> {
        let units = self.usual;
        bits.iter().map(|bit| Bit { units, ..*bit }).collect()
    }

    fn screws(&self, drawer: &DrawerTable) -> Vec<SizedScrew> {
        let read = |entry: &Figure| {
            let AskedScrew { screw, length } = self.screw(entry, "drawer.screws")?;
            if length.is_none() {
                let message = format!("drawer.screws: {} has no length", entry.get_ref());
                let help = match screw.by_number() {
                    true => format!("write \"{screw} x 1 1/4\", as the box says"),
                    false => "write \"4x40\", as the box says".to_owned(),
                };
                self.told(entry, message, help);
            }
            Some(SizedScrew { screw, length: length? })
        };
        drawer.screws.iter().filter_map(read).collect()
    }

    fn screws_in_box(&self, drawer: Option<&DrawerTable>) -> usize {
        let said = drawer.and_then(|drawer| drawer.screws_in_box.as_ref());
        let read = |entry| self.within(entry, Kind::Count, "drawer.screws_in_box", IN_BOX);
        said.map_or(USUAL_IN_BOX, |entry| read(entry) as usize)
    }

    /// A screw; `None` with the problem kept.
    fn screw(&self, entry: &Figure, key: &str) -> Option<AskedScrew> {
        let read = AskedScrew::read(entry, self.usual, key, self.source);
        self.wrong.borrow_mut().keep(read)
    }

    fn cleat(
        &self,
        cleat: Option<&Cleat>,
        stock: &[StockRow],
        fallback: Option<&CleatStock>,
    ) -> CleatStock {
        let none = Cleat { from: None, thickness: None, width: None, bevel: None };
        let cleat = cleat.unwrap_or(&none);
        let from = cleat.from.as_ref().and_then(|name| self.named(name, "cleat.from", stock));
        let thickness = match (&cleat.thickness, from) {
            (Some(entry), _) => self.size(entry, "cleat.thickness", THICKNESS),
            (None, Some(row)) => row.thickness,
            (None, None) => fallback.map_or(0.0, |f| f.thickness),
        };
        if let (Some(row), Some(entry)) = (from, &cleat.thickness)
            && (row.thickness - thickness).abs() > crate::tolerance::COORDINATE
        {
            let [stock, own] = [row.thickness, thickness].map(|v| self.write(v, Kind::Length));
            let message =
                format!("cleat.thickness: {own} is given, and \"{}\" is {stock} thick", row.name);
            let help = "leave the thickness out, or name the stock it is really ripped from";
            self.told(entry, message, help);
        }
        let width = cleat.width.as_ref().map(|w| self.size(w, "cleat.width", CLEAT_WIDTH));
        let bevel = cleat.bevel.as_ref();
        let bevel = bevel.map(|b| self.within(b, Kind::Angle, "cleat.bevel", [15.0, 60.0]));
        CleatStock {
            from: from.map_or_else(|| "cleat strip".to_owned(), |row| row.name.clone()),
            thickness,
            width: width.unwrap_or_else(|| cleat_width(self.usual)),
            bevel: bevel.or(fallback.map(|f| f.bevel)).unwrap_or_default(),
            wood: from.map_or_else(String::new, |row| row.wood.clone()),
            plies: from.and_then(|row| row.plies),
        }
    }

    fn printer(&self, table: Option<&PrinterTable>, fallback: Option<&Printer>) -> Printer {
        let mut printer = fallback.copied().unwrap_or_default();
        let Some(table) = table else { return printer };
        if let Some(paper) = &table.paper {
            printer.paper = self.keep(printer.paper, self.paper(paper));
        }
        let scales = [
            (&table.scale_x, &mut printer.scale_x, "printer.scale_x"),
            (&table.scale_y, &mut printer.scale_y, "printer.scale_y"),
        ];
        for (entry, slot, key) in scales {
            if let Some(entry) = entry {
                *slot = self.within(entry, Kind::Number, key, SCALE).clamp(SCALE[0], SCALE[1]);
            }
        }
        let paper = printer.paper.name();
        if let Some(entry) = &table.margin {
            let margin =
                self.on_paper(entry, "printer.margin", [0.0, printer.most_margin()], paper);
            printer.margin = margin.unwrap_or(printer.margin);
        }
        if let Some(entry) = &table.overlap {
            let (least, most) = printer.overlaps().into_inner();
            let overlap = self.on_paper(entry, "printer.overlap", [least, most], paper);
            printer.overlap = overlap.unwrap_or(printer.overlap);
        }
        printer
    }

    fn paper(&self, paper: &Spanned<String>) -> Result<Paper, Problem> {
        paper.get_ref().parse().map_err(|e: super::printer::UnknownPaper| {
            let help = format!("write one of: {}", Paper::ALL.map(Paper::name).join(", "));
            let message = format!("printer.paper: there is no paper \"{}\"", e.name);
            self.source.problem(paper.span(), message).with_help(help)
        })
    }

    /// A length that pages of `paper` have room for; `None` when they have not.
    fn on_paper(&self, entry: &Figure, key: &str, range: [f64; 2], paper: &str) -> Option<f64> {
        let read = figure(entry, Kind::Length, self.units, key, self.source);
        let value = self.wrong.borrow_mut().keep(read)?;
        let [least, most] = range;
        if (least..=most).contains(&value) {
            return Some(value);
        }
        let message = format!("{key}: {} is out of range", self.write(value, Kind::Length));
        let units = self.units.unwrap_or(Units::Millimeters);
        let round = [-units.round_down(-least), units.round_down(most)];
        let [least, most] = round.map(|v| self.write(v, Kind::Length));
        let help = format!("write a value from {least} to {most}, for {paper} paper");
        self.told(entry, message, help);
        None
    }

    /// The stock called `name`.
    fn named<'s>(
        &self,
        name: &Spanned<String>,
        key: &str,
        stock: &'s [StockRow],
    ) -> Option<&'s StockRow> {
        let wanted = name.get_ref();
        let found = stock.iter().find(|row| row.name == *wanted);
        if found.is_none() && self.whole {
            let known: Vec<&str> = stock.iter().map(|row| row.name.as_str()).collect();
            let message = format!("{key}: no stock here is named \"{wanted}\"");
            self.told(name, message, nearest(wanted, &known));
        }
        found
    }
}
