//! Where on the wall a holder hangs, as its record keeps it.

use serde::Deserialize;

use crate::length::{Quantity, Units};
use crate::reading::{Entry, Kind, Problem, Source, Spanned, figure, quoted};

/// Where a holder hangs already. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KeptPlace {
    pub holder: String,
    /// The name of the wall.
    pub wall: String,
    /// The left end of its wood, and the top edge of its wall cleat; the height of its foot where it is screwed on.
    pub left: f64,
    pub height: f64,
    /// The rows of that wall.
    pub rows: Vec<f64>,
}

/// The table as it stands in a record.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlaceKeys {
    #[serde(default)]
    wall: String,
    left: Spanned<Entry>,
    height: Spanned<Entry>,
    rows: Vec<Spanned<Entry>>,
}

impl PlaceKeys {
    pub(super) fn place(
        &self,
        holder: &str,
        units: Units,
        source: &Source,
    ) -> Result<KeptPlace, Problem> {
        let length = |entry: &Spanned<Entry>, key: &str| {
            figure(entry, Kind::Length, Some(units), key, source)
        };
        let rows = self.rows.iter().map(|row| length(row, "place.rows"));
        Ok(KeptPlace {
            holder: holder.to_owned(),
            wall: self.wall.clone(),
            left: length(&self.left, "place.left")?,
            height: length(&self.height, "place.height")?,
            rows: rows.collect::<Result<_, _>>()?,
        })
    }
}

/// Where the table begins in a record: it is the last one.
const PLACE: &str = "\n[place]\n";

/// A record with the place of the holder, in the stead of one that it has.
pub(crate) fn with_place(record: &str, place: &KeptPlace, units: Units) -> String {
    let length = |mm: &f64| quoted(&units.exactly(Quantity::mm(*mm)));
    let rows: Vec<String> = place.rows.iter().map(length).collect();
    let before = record.split(PLACE).next().unwrap_or_default();
    format!(
        "{before}{PLACE}wall = {}\nleft = {}\nheight = {}\nrows = [{}]\n",
        quoted(&place.wall),
        length(&place.left),
        length(&place.height),
        rows.join(", ")
    )
}
