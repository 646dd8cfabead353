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
    /// Whether it is a length in inches or feet.
    pub in_inches: bool,
}

/// Why a text is no reading.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum ReadingError {
    #[error("there is no number here")]
    NoNumber,
    #[error("the fraction {0} has 0 below the line")]
    ZeroDenominator(String),
    #[error("a whole number with a fraction needs inches, not {0}")]
    MixedUnit(String),
    #[error("use a point for decimals, not a comma: write {0}")]
    Comma(String),
    #[error("\"{0}\" after the figure can't be read")]
    LeftOver(String),
    #[error(
        "\"{0}\" is not a unit known here; known are in, \", ft, ', mm, cm, m, kg, g, lb, oz, N, deg and °"
    )]
    UnknownUnit(String),
}

/// The size of one `unit` in mm, kg, N or degrees, with its dimension; `None` when unknown.
/// Words of a unit are known in either case: `MM`, `Inches`.
pub fn read_unit(unit: &str) -> Option<Quantity> {
    let lower = unit.to_lowercase();
    let word = if unit.chars().count() > 1 { lower.as_str() } else { unit };
    let (value, dimension) = match word {
        "\"" | "″" | "”" | "“" => (MM_PER_INCH, Dimension::LENGTH),
        "'" | "′" | "’" | "‘" => (MM_PER_FOOT, Dimension::LENGTH),
        "°" => (1.0, Dimension::ANGLE),
        _ => {
            let (value, dimension, _) =
                UNIT_WORDS.into_iter().find(|(.., words)| words.contains(&word))?;
            (value, dimension)
        }
    };
    Some(Quantity { value, dimension })
}

/// What units are called in words, with their size in mm, kg, N or degrees. What a British hand writes is read too; only
/// what is written back is American.
pub(crate) const UNIT_WORDS: [(f64, Dimension, &[&str]); 11] = [
    (MM_PER_INCH, Dimension::LENGTH, &["in", "inch", "inches"]),
    (MM_PER_FOOT, Dimension::LENGTH, &["ft", "feet", "foot"]),
    (1.0, Dimension::LENGTH, &["mm", "millimeter", "millimeters", "millimetre", "millimetres"]),
    (10.0, Dimension::LENGTH, &["cm", "centimeter", "centimeters", "centimetre", "centimetres"]),
    (1000.0, Dimension::LENGTH, &["m", "meter", "meters", "metre", "metres"]),
    (1.0, Dimension::MASS, &["kg", "kgs", "kilogram", "kilograms"]),
    (0.001, Dimension::MASS, &["g", "gram", "grams"]),
    (KG_PER_POUND, Dimension::MASS, &["lb", "lbs", "pound", "pounds"]),
    (KG_PER_OUNCE, Dimension::MASS, &["oz", "ounce", "ounces"]),
    (1.0, Dimension::FORCE, &["N"]),
    (1.0, Dimension::ANGLE, &["deg", "degree", "degrees"]),
];

pub(crate) const MM_PER_FOOT: f64 = 12.0 * MM_PER_INCH;
const KG_PER_OUNCE: f64 = KG_PER_POUND / 16.0;

/// Signs that are units: straight, prime and typographic, for a word processor curls them.
const UNIT_SIGNS: &str = "\"'°″′”“’‘";

/// Reads the whole of `text` as one figure: `1 3/8 in`, `3/4"`, `4' 6 1/2"`, `40½ in`, `19 mm`,
/// `2.1 kg`, `4 lb 6 oz`, `15 deg`, `7`. A leading minus is allowed. A figure without a unit is a
/// plain number. Spaces, quotes, dashes and fraction strokes may be typographic.
///
/// # Errors
/// When there is no number, the unit is unknown, or something is left over.
///
/// ```
/// use cleatwright::Units;
/// use cleatwright::length::read;
///
/// let width = read("4' 6 1/2\"").unwrap();
/// assert!((width.value - 1384.3).abs() < 1e-9);
/// assert_eq!(Units::Inches.length(width.value), "54 1/2 in");
/// assert!(read("3 furlongs").is_err());
/// ```
pub fn read(text: &str) -> Result<Quantity, ReadingError> {
    let trimmed = text.trim();
    let (sign, body) = match trimmed.strip_prefix(['-', '−', '–']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, trimmed),
    };
    let reading = Reading::at_start_of(body)?;
    let rest = body[reading.used..].trim();
    if !rest.is_empty() {
        return Err(left_over(body, reading, rest));
    }
    let quantity = reading.quantity;
    Ok(Quantity { value: sign * quantity.value, ..quantity })
}

/// Why `rest` stands after the `reading` that `body` starts with.
fn left_over(body: &str, reading: Reading, rest: &str) -> ReadingError {
    let whole = &body[..reading.used];
    let after_comma = rest.strip_prefix(',').filter(|rest| digits(rest, false) > 0);
    if let Some(after) = after_comma.filter(|_| digits(whole, false) == whole.len()) {
        let decimal = format!("{whole}.{after}");
        // Three digits may be meant as thousands.
        let thousands = digits(after, false) == 3 && whole != "0";
        return ReadingError::Comma(if thousands {
            format!("{decimal} or {whole}{after}")
        } else {
            decimal
        });
    }
    let unit_like = rest.chars().all(|c| c.is_alphabetic() || UNIT_SIGNS.contains(c));
    if unit_like && reading.quantity.dimension == Dimension::NUMBER {
        ReadingError::UnknownUnit(rest.to_owned())
    } else {
        ReadingError::LeftOver(rest.to_owned())
    }
}

impl Reading {
    /// Reads the longest figure `text` starts with; what follows it is not looked at.
    ///
    /// A mixed number (`1 3/8`), feet with inches (`4' 6 1/2"`) and pounds with ounces
    /// (`4 lb 6 oz`) are each one figure. Without a unit a mixed number or fraction is still read as
    /// one.
    ///
    /// # Errors
    /// When `text` does not start with a number, or a fraction has a zero below the line.
    pub fn at_start_of(text: &str) -> Result<Self, ReadingError> {
        let number = Number::at_start_of(text)?;
        let Some((unit, used)) = unit_after(text, number.used) else {
            let quantity = Quantity::number(number.value);
            return Ok(Self { quantity, used: number.used, in_inches: false });
        };
        let of_length = unit.dimension == Dimension::LENGTH;
        let in_inches = of_length && [MM_PER_INCH, MM_PER_FOOT].contains(&unit.value);
        if number.mixed && of_length && !in_inches {
            return Err(ReadingError::MixedUnit(text[number.used..used].trim().to_owned()));
        }
        let quantity = Quantity { value: number.value * unit.value, ..unit };
        let smaller = match unit {
            Quantity { value: MM_PER_FOOT, dimension: Dimension::LENGTH } => MM_PER_INCH,
            Quantity { value: KG_PER_POUND, dimension: Dimension::MASS } => KG_PER_OUNCE,
            _ => return Ok(Self { quantity, used, in_inches }),
        };
        match smaller_after(text, used, Quantity { value: smaller, ..unit }) {
            Some((more, used)) => {
                let value = quantity.value + more;
                Ok(Self { quantity: Quantity { value, ..quantity }, used, in_inches })
            }
            None => Ok(Self { quantity, used, in_inches }),
        }
    }
}

/// The inches that follow feet or the ounces that follow pounds, in mm or kg, and where they end.
fn smaller_after(text: &str, from: usize, wanted: Quantity) -> Option<(f64, usize)> {
    let start = from + joint(&text[from..]);
    let number = Number::at_start_of(&text[start..]).ok()?;
    let (unit, used) = unit_after(text, start + number.used)?;
    (unit == wanted).then_some((number.value * unit.value, used))
}

/// A bare number at the start of a text: decimal, fraction, or whole number with a fraction.
struct Number {
    value: f64,
    used: usize,
    mixed: bool,
}

impl Number {
    fn at_start_of(text: &str) -> Result<Self, ReadingError> {
        if let Some((value, used)) = vulgar(text) {
            return Ok(Self { value, used, mixed: false });
        }
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
        match fraction(text, second, first)? {
            Some((part, used)) => Ok(Self { value: value + part, used, mixed: true }),
            None => Ok(Self { value, used: first, mixed: false }),
        }
    }
}

/// The fraction at `at`, and where it ends; one of digits must stand apart from the whole number
/// that ends at `whole`.
fn fraction(text: &str, at: usize, whole: usize) -> Result<Option<(f64, usize)>, ReadingError> {
    if let Some((part, used)) = vulgar(&text[at..]) {
        return Ok(Some((part, at + used)));
    }
    let above = at + digits(&text[at..], false);
    let (Some((below, used)), true) = (below_the_line(text, above), at > whole && above > at)
    else {
        return Ok(None);
    };
    let numerator: f64 = text[at..above].parse().map_err(|_| ReadingError::NoNumber)?;
    Ok(Some((divide(numerator, below, &text[at..used])?, used)))
}

/// A fraction that is one character, and how many bytes it takes.
fn vulgar(text: &str) -> Option<(f64, usize)> {
    let first = text.chars().next()?;
    let (above, below) = match first {
        '½' => (1.0, 2.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        '⅐' => (1.0, 7.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        '⅑' => (1.0, 9.0),
        '⅒' => (1.0, 10.0),
        _ => return None,
    };
    Some((above / below, first.len_utf8()))
}

/// Whether a fraction of one character stands in `text`.
pub(crate) fn has_vulgar(text: &str) -> bool {
    text.char_indices().any(|(at, _)| vulgar(&text[at..]).is_some())
}

/// Whether a figure may start with `c`.
pub(crate) fn starts_figure(c: char) -> bool {
    c.is_ascii_digit() || c == '.' || vulgar(c.encode_utf8(&mut [0; 4])).is_some()
}

fn divide(above: f64, below: f64, text: &str) -> Result<f64, ReadingError> {
    if below == 0.0 {
        Err(ReadingError::ZeroDenominator(text.to_owned()))
    } else {
        Ok(above / below)
    }
}

/// The whole number after a slash (or a fraction stroke) at `at`, and where it ends.
fn below_the_line(text: &str, at: usize) -> Option<(f64, usize)> {
    let rest = text[at..].strip_prefix(['/', '⁄', '∕'])?;
    let start = text.len() - rest.len();
    let count = digits(rest, false);
    let value = rest[..count].parse().ok()?;
    Some((value, start + count))
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
/// one hyphen or dash close between two figures. A hyphen with room around it is a minus.
fn joint(text: &str) -> usize {
    let close = text.strip_prefix(['-', '‐', '‑', '‒', '–', '—']);
    if let Some(rest) = close.filter(|rest| rest.starts_with(starts_figure)) {
        return text.len() - rest.len();
    }
    spaces(text)
}

/// How many bytes of spaces, broken or not, `text` starts with.
fn spaces(text: &str) -> usize {
    text.len() - text.trim_start().len()
}

/// The unit after position `from`, spaces skipped, and where it ends.
fn unit_after(text: &str, from: usize) -> Option<(Quantity, usize)> {
    let start = from + spaces(&text[from..]);
    let rest = &text[start..];
    if let Some(sign) = rest.chars().next().filter(|c| UNIT_SIGNS.contains(*c)) {
        return unit_sign(rest, sign).map(|(unit, used)| (unit, start + used));
    }
    let length = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let unit = read_unit(&rest[..length])?;
    let after = &rest[length..];
    // The full stop of an abbreviation: `3/4 in.`
    let stop = after.strip_prefix('.').filter(|rest| !rest.starts_with(char::is_alphanumeric));
    if stop.is_some() {
        return Some((unit, start + length + 1));
    }
    // A unit is a word of its own: the `in` of `inset` or of `in_2` is none.
    let clear =
        !after.starts_with(['_', '.', '(']) && !after.starts_with(|c: char| c.is_ascii_digit());
    clear.then_some((unit, start + length))
}

/// A unit that is a sign, and its bytes. Two foot marks are an inch mark: `6''`.
fn unit_sign(rest: &str, sign: char) -> Option<(Quantity, usize)> {
    let (unit, used) = (read_unit(sign.encode_utf8(&mut [0; 4]))?, sign.len_utf8());
    if unit == Quantity::mm(MM_PER_FOOT) && rest[used..].starts_with(sign) {
        return Some((Quantity::mm(MM_PER_INCH), 2 * used));
    }
    Some((unit, used))
}
