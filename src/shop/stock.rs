//! What the shop has, as plain data in mm, kg and degrees.

use super::open::OpenFigures;
use super::printer::Printer;
use super::router::{RouterBits, RouterRun, RouterSheets};
use super::screw::{Screw, SizedScrew};
use super::wall::Wall;
use crate::length::{Tape, Units};
use crate::tolerance::COORDINATE;

/// One workshop.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shop {
    /// What its figures are written back in.
    pub units: Units,
    /// Sheets, boards and dowels, in the order of the file.
    pub stock: Vec<StockRow>,
    pub offcuts: Vec<Offcut>,
    /// Width of the saw cut in mm.
    pub kerf: f64,
    pub saw: SawRules,
    /// Drills first, each kind by size.
    pub bits: Vec<Bit>,
    /// The wood screws in the drawer; empty where those that fit are bought.
    pub screws: Vec<SizedScrew>,
    /// How many of them a box holds that is bought.
    pub screws_in_box: usize,
    /// The router's bits; `None` where there is no router.
    pub router: Option<RouterBits>,
    /// How parts are laid out on sheets for the router.
    pub router_sheets: RouterSheets,
    pub router_run: RouterRun,
    /// Diameter of the bearing bit for the hand-held router or the router table, in mm; `None` where there is none.
    pub flush_trim_bit: Option<f64>,
    pub cleat: CleatStock,
    pub wall: Wall,
    pub printer: Printer,
    /// How far apart the marks of the tape are that free sizes come on, in mm; `None` for the usual ones.
    pub tape_grid: Option<f64>,
    /// Whether sizes of several holders are drawn together.
    pub agree: bool,
    /// How its wood is kept.
    pub service: Service,
    /// What of cleat and wall is still to be settled.
    pub open: OpenFigures,
}

/// How wood is kept while it serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Service {
    /// As in a heated house.
    #[default]
    Dry,
    /// Where sawn wood stays above 19 % moisture and panels above 16 % for long: an open shed, a wet cellar.
    Damp,
}

/// The forms wood comes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum StockKind {
    Sheet,
    Board,
    Dowel,
    Cleat,
}

impl StockKind {
    /// The word used in style and shop files.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Board => "board",
            Self::Dowel => "dowel",
            Self::Cleat => "cleat",
        }
    }
}

/// A sheet, board or dowel at hand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StockRow {
    pub name: String,
    pub kind: StockKind,
    /// Actual thickness in mm, the most that was read where it was read at several places; a dowel's diameter.
    pub thickness: f64,
    /// The least that was read.
    pub thickness_least: f64,
    /// In mm, along the grain.
    pub length: f64,
    /// In mm; a dowel's diameter.
    pub width: f64,
    /// How many are at hand; `None` where as many as are needed are bought.
    pub quantity: Option<usize>,
    /// Whether parts must follow the stock's grain.
    pub grain: bool,
    /// How many plies a sheet has, where the shop file says.
    pub plies: Option<usize>,
    /// The wood's name; may be empty.
    pub wood: String,
    /// Price of one piece, in whatever money the shop counts in.
    pub price: Option<f64>,
}

impl StockRow {
    /// What its wood is called: where the shop file names none, the stock's name may tell.
    pub(crate) fn wood_name(&self) -> &str {
        wood_name(&self.name, &self.wood)
    }
}

fn wood_name<'a>(stock: &'a str, wood: &'a str) -> &'a str {
    if wood.is_empty() { stock } else { wood }
}

/// A piece left over from a stock.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Offcut {
    /// Name of the stock it was cut from.
    pub of: String,
    /// In mm, along the grain.
    pub length: f64,
    /// In mm.
    pub width: f64,
    /// Its least and largest thickness in mm where the shop file says; else it is as thick as its stock.
    pub thickness: Option<[f64; 2]>,
}

/// A bit that bores round holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bit {
    pub kind: BitKind,
    /// In mm.
    pub diameter: f64,
    /// What its size is told in: as the shop file tells it.
    pub units: Units,
}

/// The kinds of bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BitKind {
    Drill,
    Forstner,
}

impl BitKind {
    /// The word used in shop files.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Drill => "drill",
            Self::Forstner => "forstner",
        }
    }
}

/// What the table saw can do, and what is taken off and kept. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SawRules {
    /// Taken off each edge of a new sheet before anything is measured from it.
    pub edge_trim: f64,
    /// How much larger than its part a blank is, each way that the outline is shaped.
    pub trim: f64,
    /// The most that fits between fence and blade; `None` for no limit.
    pub widest_rip: Option<f64>,
    /// The longest crosscut; `None` for no limit.
    pub longest_crosscut: Option<f64>,
    /// The narrowest strip that may run between fence and blade.
    pub narrowest_rip: f64,
    /// The shortest panel that may run along the fence; the miter gauge holds shorter ones.
    pub shortest_rip: f64,
    /// The least length and width of an offcut that is worth keeping, the longer first.
    pub keep_offcut: [f64; 2],
}

/// The beveled strips that cleats are cut from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CleatStock {
    /// Name of the stock it is ripped from; the words "cleat strip" where the shop names none.
    pub from: String,
    /// Actual thickness in mm.
    pub thickness: f64,
    /// Full width in mm.
    pub width: f64,
    /// Degrees from square.
    pub bevel: f64,
    /// The wood's name; may be empty.
    pub wood: String,
    /// As of the sheet it is ripped from.
    pub plies: Option<usize>,
}

impl CleatStock {
    /// What its wood is called, as [`StockRow::wood_name`].
    pub(crate) fn wood_name(&self) -> &str {
        wood_name(&self.from, &self.wood)
    }

    /// How high above its foot a strip on the wall is screwed, in mm: 1.5 diameters below the bevel
    /// (the least to an edge that is not loaded, NDS-2018 table 12.5.1C), where screws are pried on
    /// least, but never below the middle of what the bevel leaves; at the next lower mark of the tape.
    pub(crate) fn screw_line(&self, screw: Screw, tape: Tape) -> f64 {
        let solid = self.width - self.rise();
        tape.down((solid - 1.5 * screw.shank()).max(solid / 2.0))
    }

    /// How far the bevel runs up the narrower face, in mm: thickness × tan(bevel).
    pub(crate) fn rise(&self) -> f64 {
        self.thickness * self.bevel.to_radians().tan()
    }
}

impl Shop {
    /// The tape whose marks free sizes of a holder in `units` come on.
    pub(crate) fn tape(&self, units: Units) -> Tape {
        self.tape_grid.map_or_else(|| Tape::usual(units), |grid| Tape { grid })
    }

    /// How high the foot of a wall cleat and its screws are, in mm, where a holder cleat's lower edge is at `low`.
    pub(crate) fn wall_cleat_under(&self, low: f64) -> [f64; 2] {
        let foot = low + self.cleat.rise() - self.cleat.width;
        [foot, foot + self.cleat.screw_line(self.wall.screw, self.tape(self.units))]
    }

    /// Stock of one kind, in the order of the file.
    pub(crate) fn of_kind(&self, kind: StockKind) -> impl Iterator<Item = &StockRow> {
        self.stock.iter().filter(move |row| row.kind == kind)
    }

    /// The smallest bit at least `mm` wide; a forstner before a drill of the same size.
    pub(crate) fn bit_at_least(&self, mm: f64) -> Option<Bit> {
        let fits = |bit: &&Bit| bit.diameter >= mm - COORDINATE;
        let order = |a: &&Bit, b: &&Bit| {
            a.diameter
                .total_cmp(&b.diameter)
                .then((a.kind == BitKind::Drill).cmp(&(b.kind == BitKind::Drill)))
        };
        self.bits.iter().filter(fits).min_by(order).copied()
    }

    /// The bit nearest to `mm`.
    pub(crate) fn bit_nearest(&self, mm: f64) -> Option<Bit> {
        let off = |bit: &Bit| (bit.diameter - mm).abs();
        self.bits.iter().min_by(|a, b| off(a).total_cmp(&off(b))).copied()
    }

    /// The smallest twist drill at least `mm` wide.
    pub(crate) fn drill_at_least(&self, mm: f64) -> Option<Bit> {
        let fits = |bit: &&Bit| bit.diameter >= mm - COORDINATE;
        self.drills().filter(fits).min_by(|a, b| a.diameter.total_cmp(&b.diameter)).copied()
    }

    /// The twist drill nearest to `mm`; of two as near the thicker one, which splits less.
    pub(crate) fn drill_nearest(&self, mm: f64) -> Option<Bit> {
        let off = |bit: &Bit| (bit.diameter - mm).abs();
        let near = |a: &&Bit, b: &&Bit| {
            let apart = off(a) - off(b);
            if apart.abs() < 1e-9 {
                b.diameter.total_cmp(&a.diameter)
            } else {
                apart.total_cmp(&0.0)
            }
        };
        self.drills().min_by(near).copied()
    }

    fn drills(&self) -> impl Iterator<Item = &Bit> {
        self.bits.iter().filter(|bit| bit.kind == BitKind::Drill)
    }
}
