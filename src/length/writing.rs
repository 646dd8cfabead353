//! Writing figures back: inches as a tape reads, millimeters to 0.1.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::reading::read;
use super::{Dimension, KG_PER_POUND, MM_PER_INCH, MPA_PER_PSI, NEWTONS_PER_POUND, Quantity};

/// The unit lengths are read in when bare, and written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[schemars(inline)]
pub enum Units {
    /// Inches and fractions of an inch.
    #[default]
    #[serde(rename = "in")]
    Inches,
    /// Millimeters.
    #[serde(rename = "mm")]
    Millimeters,
}

impl Units {
    /// The short name, as it stands after a figure and in files.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Inches => "in",
            Self::Millimeters => "mm",
        }
    }

    /// The unit's name in a sentence.
    pub fn word(self) -> &'static str {
        match self {
            Self::Inches => "inches",
            Self::Millimeters => "mm",
        }
    }

    /// How many mm one unit is.
    pub fn in_mm(self) -> f64 {
        match self {
            Self::Inches => MM_PER_INCH,
            Self::Millimeters => 1.0,
        }
    }

    /// A length in mm that is round in either system: so many inches, or so many mm.
    pub(crate) fn either(self, inches: f64, mm: f64) -> f64 {
        match self {
            Self::Inches => inches * MM_PER_INCH,
            Self::Millimeters => mm,
        }
    }

    /// A length of `mm` with its unit: `1 3/8 in`, `≈ 1 3/64 in`, `19 mm`, `12.7 mm`.
    pub fn length(self, mm: f64) -> String {
        format!("{} {}", self.bare_length(mm), self.symbol())
    }

    /// A length of `mm` without its unit, for a drawing that states the unit once.
    ///
    /// Inches are the nearest 1/32; where that is more than a tenth of 1/64 off, the nearest 1/64; where
    /// that too is off, the 1/64 with `≈` before it; less than 1/64 is told in thousandths.
    /// Millimeters are to 0.1.
    pub fn bare_length(self, mm: f64) -> String {
        match self {
            Self::Inches => inches(mm / MM_PER_INCH),
            Self::Millimeters => decimal(tenths(mm), 1),
        }
    }

    /// A length of `mm` with its unit as a caliper or a machine shows it: `0.531 in`, `13.49 mm`.
    pub(crate) fn fine(self, mm: f64) -> String {
        let places = if self == Self::Inches { 3 } else { 2 };
        format!("{} {}", decimal(mm / self.in_mm(), places), self.symbol())
    }

    /// The next round length down from `mm`, in mm: sixteenths of an inch, whole mm.
    pub fn round_down(self, mm: f64) -> f64 {
        let step = self.either(1.0 / 16.0, 1.0);
        // What is on a mark stays there, whatever its last binary digit says.
        (mm / step + 1e-9).floor() * step
    }

    /// A force of `newtons`: `120 N`, `27 lb` (pounds-force).
    pub fn force(self, newtons: f64) -> String {
        match self {
            Self::Inches => format!("{} lb", figures(newtons / NEWTONS_PER_POUND)),
            Self::Millimeters => format!("{} N", figures(newtons)),
        }
    }

    /// A stress of `mpa` N/mm²: `3.2 N/mm²`, `460 psi`.
    pub fn stress(self, mpa: f64) -> String {
        match self {
            Self::Inches => format!("{} psi", figures(mpa / MPA_PER_PSI)),
            Self::Millimeters => format!("{} N/mm²", figures(mpa)),
        }
    }

    /// A mass of `kg`: `12 kg`, `27 lb`.
    pub fn mass(self, kg: f64) -> String {
        match self {
            Self::Inches => format!("{} lb", figures(kg / KG_PER_POUND)),
            Self::Millimeters => format!("{} kg", figures(kg)),
        }
    }

    /// A mass times a length, of `kg_mm` kg mm: `3.4 kg m`, `25 lb ft`.
    pub(crate) fn mass_length(self, kg_mm: f64) -> String {
        match self {
            Self::Inches => {
                format!("{} lb ft", figures(kg_mm / KG_PER_POUND / (12.0 * MM_PER_INCH)))
            }
            Self::Millimeters => format!("{} kg m", figures(kg_mm / 1000.0)),
        }
    }

    /// An area of `mm2` mm²: `1.25 in²`, `806 mm²`.
    pub fn area(self, mm2: f64) -> String {
        let places = if self == Self::Inches { 2 } else { 0 };
        format!("{} {}²", decimal(mm2 / (self.in_mm() * self.in_mm()), places), self.symbol())
    }

    /// Any quantity with its unit, in this system: `2 1/2 in`, `4.6 lb`, `15°`, `7`.
    pub fn quantity(self, quantity: Quantity) -> String {
        let value = quantity.value;
        match quantity.dimension {
            Dimension::LENGTH => self.length(value),
            Dimension::AREA => self.area(value),
            Dimension::MASS => self.mass(value),
            Dimension::FORCE => self.force(value),
            Dimension::ANGLE => format!("{}°", decimal(value, 1)),
            _ => decimal(value, 3),
        }
    }
}

impl Units {
    /// A length, mass, angle or number as a file takes it, that reads back as the very same figure: as a tape or
    /// scale shows it where that is exact, else with all its digits.
    pub(crate) fn exactly(self, quantity: Quantity) -> String {
        let Quantity { value, dimension } = quantity;
        let (unit, own, size) = match (dimension, self) {
            (Dimension::LENGTH, _) => ("mm", self.symbol(), self.in_mm()),
            (Dimension::MASS, Self::Inches) => ("kg", "lb", KG_PER_POUND),
            (Dimension::MASS, Self::Millimeters) => ("kg", "kg", 1.0),
            (Dimension::ANGLE, _) => ("deg", "deg", 1.0),
            _ => return value.to_string(),
        };
        let exact = |text: &String| read(text).is_ok_and(|read| read == quantity);
        let shown = Some(self.in_file(quantity)).filter(exact);
        let digits = [format!("{value} {unit}"), format!("{} {own}", value / size)];
        let digits = digits.into_iter().filter(exact).min_by_key(String::len);
        shown.or(digits).unwrap_or_else(|| format!("{value} {unit}"))
    }

    /// Any quantity as a person would write it into a file: `2 1/2 in`, `4.6 lb`, `15 deg`, `7`. A
    /// length is what the nearest mark of the tape says.
    pub(crate) fn in_file(self, quantity: Quantity) -> String {
        let value = quantity.value;
        match (quantity.dimension, self) {
            (Dimension::LENGTH, Self::Inches) => {
                format!("{} {}", fraction(value / MM_PER_INCH).1, self.symbol())
            }
            (Dimension::ANGLE, _) => format!("{} deg", decimal(value, 1)),
            _ => self.quantity(quantity),
        }
    }
}

/// `mm` rounded to 0.1, halves up whichever way the sum that gave it was rounded: 3/4 in is
/// 19.05 mm and reads 19.1, be it 19.049 999 999 999 997 inside.
fn tenths(mm: f64) -> f64 {
    ((mm * 1e6).round() / 1e5).round() / 10.0
}

/// Two or three figures that count: an estimate has no more.
fn figures(value: f64) -> String {
    let places = match value.abs() {
        v if !(1e-9..9.95).contains(&v) => 0,
        v if v >= 0.995 => 1,
        _ => 2,
    };
    let step =
        if value.abs() >= 99.5 { 10_f64.powf(value.abs().log10().floor() - 2.0) } else { 0.0 };
    let rounded = if step > 1.0 { (value / step).round() * step } else { value };
    format!("{rounded:.places$}")
}

/// `inches` as a tape reads, without the unit.
fn inches(inches: f64) -> String {
    let between = crate::tolerance::COORDINATE / MM_PER_INCH..1.0 / 64.0 - UNFELT;
    match fraction(inches) {
        // Between no mark and the first one: a fit, and fits are told in thousandths.
        _ if between.contains(&inches.abs()) => decimal(inches, 3),
        (true, text) => text,
        (false, text) => format!("≈ {text}"),
    }
}

/// What is less off a mark than a tenth of 1/64 in no tape shows. Common practice, no source.
const UNFELT: f64 = 0.1 / 64.0;

/// The nearest mark of a tape, and whether it is on it.
fn fraction(inches: f64) -> (bool, String) {
    let exact = |parts: f64| {
        let off = (inches * parts).round() / parts - inches;
        off.abs() <= UNFELT
    };
    let parts = if exact(32.0) { 32 } else { 64 };
    let total = (inches.abs() * f64::from(parts)).round();
    let minus = if inches < 0.0 && total > 0.0 { "-" } else { "" };
    let whole = (total / f64::from(parts)).floor();
    // A whole number of any size: more than an integer holds.
    let (above, below) = lowest((total - whole * f64::from(parts)) as u64, parts as u64);
    let text = match (whole, above) {
        (whole, 0) => format!("{minus}{whole}"),
        (0.0, above) => format!("{minus}{above}/{below}"),
        (whole, above) => format!("{minus}{whole} {above}/{below}"),
    };
    (exact(f64::from(parts)), text)
}

fn lowest(mut above: u64, mut below: u64) -> (u64, u64) {
    while above > 0 && above.is_multiple_of(2) && below > 1 {
        above /= 2;
        below /= 2;
    }
    (above, below)
}

/// `value` with at most `places` decimals and no trailing zeros.
fn decimal(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
