//! Reading a figure as a tape, a scale or a protractor shows it.

use thiserror::Error;

use super::{Dimension, KG_PER_POUND, MM_PER_INCH, Quantity};

/// What a figure read to, and whether it named its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The figure in mm, kg, N or degrees; a plain number where no unit was named.
    pub quantity: Quantity,
    /// How many bytes of the text were read.
    pub used: usize,
}

/// Why a text is no reading.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ReadingError {
    #[error("there is no number here")]
    NoNumber,
    #[error("the fraction {0} has nothing below the line")]
    ZeroDenominator(String),
    #[error("a whole number with a fraction needs inches, not {0}")]
    MixedUnit(String),
    #[error("\"{0}\" is left over after the figure")]
    LeftOver(String),
    #[error(
        "\"{0}\" is not a unit known here; known are in, \", ft, ', mm, cm, m, kg, g, lb, oz, N, deg and °"
    )]
    UnknownUnit(String),
}

/// The size of one `unit` in mm, kg, N or degrees, with its dimension; `None` when unknown.
pub fn read_unit(unit: &str) -> Option<Quantity> {
    let (value, dimension) = match unit {
        "in" | "\"" | "″" | "inch" | "inches" => (MM_PER_INCH, Dimension::LENGTH),
        "ft" | "'" | "′" | "feet" | "foot" => (12.0 * MM_PER_INCH, Dimension::LENGTH),
        "mm" => (1.0, Dimension::LENGTH),
        "cm" => (10.0, Dimension::LENGTH),
        "m" => (1000.0, Dimension::LENGTH),
        "kg" => (1.0, Dimension::MASS),
        "g" => (0.001, Dimension::MASS),
        "lb" => (KG_PER_POUND, Dimension::MASS),
        "oz" => (KG_PER_POUND / 16.0, Dimension::MASS),
        "N" => (1.0, Dimension::FORCE),
        "deg" | "°" => (1.0, Dimension::ANGLE),
        _ => return None,
    };
    Some(Quantity { value, dimension })
}

/// Reads the whole of `text` as one figure: `1 3/8 in`, `3/4"`, `4' 6 1/2"`, `19 mm`, `2.1 kg`,
/// `15 deg`, `7`. A leading minus is allowed. A figure without a unit is a plain number.
///
/// # Errors
/// When there is no number, the unit is unknown, or something is left over.
pub fn read(text: &str) -> Result<Quantity, ReadingError> {
    let trimmed = text.trim();
    let (sign, body) = match trimmed.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, trimmed),
    };
    let reading = Reading::at_start_of(body)?;
    let rest = body[reading.used..].trim();
    if !rest.is_empty() {
        let unit_like = rest.chars().all(|c| c.is_alphabetic() || "\"'°″′".contains(c));
        let rest = rest.to_owned();
        let unitless = reading.quantity.dimension == Dimension::NUMBER;
        return Err(if unit_like && unitless {
            ReadingError::UnknownUnit(rest)
        } else {
            ReadingError::LeftOver(rest)
        });
    }
    let quantity = reading.quantity;
    Ok(Quantity { value: sign * quantity.value, ..quantity })
}

impl Reading {
    /// Reads the longest figure `text` starts with; what follows it is not looked at.
    ///
    /// A mixed number (`1 3/8`) and feet with inches (`4' 6 1/2"`) are each one figure. Without a
    /// unit a mixed number or fraction is still read as one.
    ///
    /// # Errors
    /// When `text` does not start with a number, or a fraction has a zero below the line.
    pub fn at_start_of(text: &str) -> Result<Self, ReadingError> {
        let number = Number::at_start_of(text)?;
        let Some((unit, used)) = unit_after(text, number.used) else {
            return Ok(Self { quantity: Quantity::number(number.value), used: number.used });
        };
        if number.mixed && unit.value != MM_PER_INCH && unit.value != 12.0 * MM_PER_INCH {
            let name = text[number.used..used].trim().to_owned();
            if unit.dimension == Dimension::LENGTH {
                return Err(ReadingError::MixedUnit(name));
            }
        }
        let feet = unit.dimension == Dimension::LENGTH && unit.value == 12.0 * MM_PER_INCH;
        let whole = Quantity { value: number.value * unit.value, dimension: unit.dimension };
        if feet && let Some((inches, end)) = inches_after(text, used) {
            return Ok(Self { quantity: Quantity::mm(whole.value + inches), used: end });
        }
        Ok(Self { quantity: whole, used })
    }
}

/// The inches that follow feet, in mm, and where they end.
fn inches_after(text: &str, from: usize) -> Option<(f64, usize)> {
    let start = from + joint(&text[from..]);
    let number = Number::at_start_of(&text[start..]).ok()?;
    let (unit, used) = unit_after(text, start + number.used)?;
    let inches = unit.dimension == Dimension::LENGTH && unit.value == MM_PER_INCH;
    inches.then_some((number.value * MM_PER_INCH, used))
}

/// A bare number at the start of a text: decimal, fraction, or whole number with a fraction.
struct Number {
    value: f64,
    used: usize,
    mixed: bool,
}

impl Number {
    fn at_start_of(text: &str) -> Result<Self, ReadingError> {
        let first = digits(text, true);
        let value: f64 = text[..first].parse().map_err(|_| ReadingError::NoNumber)?;
        let whole = digits(text, false) == first;
        if !whole {
            return Ok(Self { value, used: first, mixed: false });
        }
        if let Some((below, used)) = below_the_line(text, first) {
            let value = divide(value, below, &text[..used])?;
            return Ok(Self { value, used, mixed: false });
        }
        let second = first + joint(&text[first..]);
        let above = digits(&text[second..], false);
        if second > first
            && above > 0
            && let Some((below, used)) = below_the_line(text, second + above)
        {
            let numerator: f64 =
                text[second..second + above].parse().map_err(|_| ReadingError::NoNumber)?;
            let part = divide(numerator, below, &text[second..used])?;
            return Ok(Self { value: value + part, used, mixed: true });
        }
        Ok(Self { value, used: first, mixed: false })
    }
}

fn divide(above: f64, below: f64, text: &str) -> Result<f64, ReadingError> {
    if below == 0.0 {
        Err(ReadingError::ZeroDenominator(text.to_owned()))
    } else {
        Ok(above / below)
    }
}

/// The whole number after a slash at `at`, and where it ends.
fn below_the_line(text: &str, at: usize) -> Option<(f64, usize)> {
    let rest = text[at..].strip_prefix('/')?;
    let count = digits(rest, false);
    let value = rest[..count].parse().ok()?;
    Some((value, at + 1 + count))
}

/// How many bytes of digits (and, if `decimal`, one point) `text` starts with.
fn digits(text: &str, decimal: bool) -> usize {
    let mut seen_point = !decimal;
    text.find(|c: char| {
        let point = c == '.' && !seen_point;
        seen_point |= point;
        !(c.is_ascii_digit() || point)
    })
    .unwrap_or(text.len())
}

/// What may stand between a whole number and its fraction or between feet and inches: spaces, or
/// one hyphen close between two digits. A hyphen with room around it is a minus.
fn joint(text: &str) -> usize {
    if text.strip_prefix('-').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) {
        return 1;
    }
    text.len() - text.trim_start_matches([' ', '\t']).len()
}

/// The unit after position `from`, spaces skipped, and where it ends.
fn unit_after(text: &str, from: usize) -> Option<(Quantity, usize)> {
    let start = from + (text[from..].len() - text[from..].trim_start_matches([' ', '\t']).len());
    let rest = &text[start..];
    let symbol = rest.chars().next().filter(|c| "\"'°″′".contains(*c));
    let length = match symbol {
        Some(symbol) => symbol.len_utf8(),
        None => rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len()),
    };
    // A unit is a word of its own: the `in` of `inset` or of `in_2` is none.
    let clear = symbol.is_some()
        || !rest[length..].starts_with(['_', '.', '('])
            && !rest[length..].starts_with(|c: char| c.is_ascii_digit());
    let unit = read_unit(&rest[..length])?;
    clear.then_some((unit, start + length))
}
