//! Screws as a person writes them: `#8`, `8`, `#8 x 1 1/4`, `4x40`, `4.5 × 60 mm`, `5 mm`.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

use super::screw::{Screw, UnknownScrew};
use crate::length::{Dimension, MM_PER_INCH, Quantity, Units, read};
use crate::reading::{Entry, Problem, Source, Spanned};

/// A metric screw is no shorter than this, in mm; a smaller number is a length in inches.
const SHORTEST: f64 = 10.0;

/// A screw that is asked for: its thickness, and its length in mm where that is said too. It is written
/// as it is read: `#8 x 1 1/4 in`, `4x40`, `4 mm`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct AskedScrew {
    pub screw: Screw,
    pub length: Option<f64>,
}

/// Why a text is no screw.
#[derive(Debug, Clone, PartialEq, Error)]
pub(crate) enum ScrewMisread {
    #[error(transparent)]
    Unknown(#[from] UnknownScrew),
    #[error("{0} could be {0} mm thick or number {0}")]
    Either(f64),
    #[error("\"{0}\" is no size of a screw")]
    NoScrew(String),
}

impl ScrewMisread {
    /// What would be right.
    fn help(&self, units: Units) -> String {
        match self {
            Self::Either(size) => {
                format!("write \"{size} mm\", \"{size}x60\" with its length, or \"#{size}\"")
            }
            _ if units == Units::Inches => {
                "write a number such as 8, \"#8 x 1 1/4\", or a size in mm such as \"4x40\""
                    .to_owned()
            }
            _ => "write a size such as \"4x40\" or \"4 mm\", or a number such as \"#8\"".to_owned(),
        }
    }
}

impl AskedScrew {
    /// The screw that stands in `entry`, the value of `key` in `source`, in a file of `units`. A bare
    /// number is a screw's number where the units are inches; where they are mm it is a thickness, if
    /// no number is called so too.
    ///
    /// # Errors
    /// When it is no screw, or could be one of two.
    pub(crate) fn read(
        entry: &Spanned<Entry>,
        units: Units,
        key: &str,
        source: &Source,
    ) -> Result<Self, Problem> {
        let read = match entry.get_ref() {
            Entry::Number(number) => bare(*number, units),
            Entry::Text(text) => written(text, Some(units)),
            other => Err(ScrewMisread::NoScrew(other.to_string())),
        };
        read.map_err(|error| {
            source.problem(entry.span(), format!("{key}: {error}")).with_help(error.help(units))
        })
    }
}

impl FromStr for AskedScrew {
    type Err = ScrewMisread;

    /// As [`AskedScrew::read`]; a bare number is a screw's number.
    fn from_str(text: &str) -> Result<Self, ScrewMisread> {
        written(text, None)
    }
}

impl fmt::Display for AskedScrew {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { screw, length } = self;
        match length {
            None => screw.fmt(f),
            Some(length) if screw.by_number() => {
                let inches = Units::Inches.length(*length);
                // What is on no mark of the tape is written as it is.
                if inches.starts_with(|c: char| c.is_ascii_digit()) && !inches.contains('.') {
                    return write!(f, "{screw} x {inches}");
                }
                write!(f, "{screw} x {length} mm")
            }
            Some(length) => write!(f, "{}x{length}", screw.shank()),
        }
    }
}

/// A number that stands alone.
fn bare(number: f64, units: Units) -> Result<AskedScrew, ScrewMisread> {
    let screw = match (units, Screw::numbered(number), Screw::threaded(number)) {
        (Units::Inches, numbered, _) => numbered?,
        (Units::Millimeters, Ok(_), Ok(_)) => return Err(ScrewMisread::Either(number)),
        (Units::Millimeters, Ok(numbered), Err(_)) => numbered,
        (Units::Millimeters, Err(_), threaded) => threaded?,
    };
    Ok(AskedScrew { screw, length: None })
}

fn written(text: &str, units: Option<Units>) -> Result<AskedScrew, ScrewMisread> {
    let no_screw = || ScrewMisread::NoScrew(text.trim().to_owned());
    let lower = text.trim().to_lowercase();
    let (thick, long) = match lower.split_once(['x', '×', '*']) {
        Some((thick, long)) => (thick.trim(), Some(long.trim())),
        None => (lower.as_str(), None),
    };
    let number = ["#", "no.", "no", "nr.", "nr"].iter().find_map(|sign| thick.strip_prefix(sign));
    if let Some(number) = number {
        let number = figure(number).ok_or_else(no_screw)?;
        let length =
            long.map(|long| length(long, Units::Inches).ok_or_else(no_screw)).transpose()?;
        return Ok(AskedScrew { screw: Screw::numbered(number)?, length });
    }
    let in_mm = thick.strip_suffix("mm");
    let size = figure(in_mm.unwrap_or(thick)).ok_or_else(no_screw)?;
    let Some(long) = long else {
        return match in_mm {
            None => bare(size, units.unwrap_or_default()),
            Some(_) => Ok(AskedScrew { screw: Screw::threaded(size)?, length: None }),
        };
    };
    // `8 x 1 1/4` is number 8, `8x40` is 8 mm thick: no metric screw is 1 1/4 mm long.
    let metric = length(long, Units::Millimeters).ok_or_else(no_screw)?;
    let says_unit = read(long).is_ok_and(|read| read.dimension == Dimension::LENGTH);
    let says_mm = in_mm.is_some() || says_unit && long.ends_with('m');
    if says_mm || !says_unit && metric >= SHORTEST {
        let length = Some(metric).filter(|mm| *mm >= SHORTEST).ok_or_else(no_screw)?;
        return Ok(AskedScrew { screw: Screw::threaded(size)?, length: Some(length) });
    }
    Ok(AskedScrew { screw: Screw::numbered(size)?, length: length(long, Units::Inches) })
}

/// A plain decimal, with a point or a comma.
fn figure(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let plain = text.chars().all(|c| c.is_ascii_digit() || c == '.');
    text.parse().ok().filter(|_| plain)
}

/// A length above 0 in mm; a bare one is in `units`.
fn length(text: &str, units: Units) -> Option<f64> {
    let mm = match read(&text.replace(',', ".")).ok()? {
        Quantity { value, dimension: Dimension::LENGTH } => value,
        Quantity { value, dimension: Dimension::NUMBER } if units == Units::Inches => {
            value * MM_PER_INCH
        }
        Quantity { value, dimension: Dimension::NUMBER } => value,
        _ => return None,
    };
    (mm > 0.0 && mm <= 20.0 * MM_PER_INCH).then_some(mm)
}

#[cfg(test)]
mod tests {
    use super::{AskedScrew, ScrewMisread, bare, written};
    use crate::length::Units;

    fn told(text: &str, units: Units) -> String {
        written(text, Some(units)).map_or_else(|e| e.to_string(), |screw| screw.to_string())
    }

    #[test]
    fn screws_are_read_as_they_are_written() {
        let table = [
            ("4x40", "4x40"),
            ("4 x 40 mm", "4x40"),
            ("4,5×60", "4.5x60"),
            ("4.5 mm", "4.5 mm"),
            ("5 mm x 80", "5x80"),
            ("6X80mm", "6x80"),
            ("3.5", "3.5 mm"),
            ("#8", "#8"),
            ("No. 8", "#8"),
            ("#8 x 1 1/4", "#8 x 1 1/4 in"),
            ("8 x 1 1/4", "#8 x 1 1/4 in"),
            ("10 × 3 in", "#10 x 3 in"),
            ("8 x 2\"", "#8 x 2 in"),
            ("8x40", "8x40"),
            ("#8 x 40 mm", "#8 x 40 mm"),
            ("8 x 1.2", "#8 x 30.479999999999997 mm"),
        ];
        for (text, screw) in table {
            assert_eq!(told(text, Units::Millimeters), screw, "{text}");
            let again: Result<AskedScrew, _> = screw.parse();
            assert_eq!(again.map(|screw| screw.to_string()), Ok(screw.to_owned()));
        }
    }

    #[test]
    fn a_bare_number_is_asked_about_where_it_could_be_either() {
        for size in [4.0, 5.0, 6.0, 8.0] {
            assert_eq!(bare(size, Units::Millimeters), Err(ScrewMisread::Either(size)));
            assert_eq!(bare(size, Units::Inches).map(|s| s.to_string()), Ok(format!("#{size}")));
        }
        assert_eq!(bare(12.0, Units::Millimeters).map(|s| s.to_string()), Ok("#12".to_owned()));
        assert!(bare(3.5, Units::Millimeters).is_ok() && bare(3.5, Units::Inches).is_err());
    }

    #[test]
    fn what_is_no_screw_is_refused() {
        for text in [
            "",
            "x",
            "4x",
            "x40",
            "7x60",
            "#3",
            "#8 x",
            "4x40x5",
            "eight",
            "-4x40",
            "4x-40",
            "6 mm x 3",
            "6 x 8 mm",
            "#8 x 99 m",
            "M6",
        ] {
            assert!(written(text, Some(Units::Millimeters)).is_err(), "{text}");
        }
    }
}
