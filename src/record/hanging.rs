//! A holder that hangs: its record, with what it takes from its file as it is now.

use std::sync::Arc;

use super::follow::{Heard, heard};
use super::read::read;
use crate::holder::Finding;
use crate::reading::{Problems, Source};
use crate::shop::Shop;
use crate::style::{HolderFile, Library};

/// What a holder that is built is worked out from.
#[derive(Debug, Clone)]
pub(crate) struct Hanging {
    /// Measures and choices as the holder was made, but for what it follows of its file.
    pub file: HolderFile,
    /// The shop that it was made in.
    pub shop: Arc<Shop>,
    /// What its file says and the holder does not do.
    pub told: Vec<Finding>,
    /// The record itself.
    pub record: Source,
}

/// The holder whose file is `now` and that was made as `record` says.
///
/// # Errors
/// What is wrong in the record, and what can't be read in the file.
pub(crate) fn hanging(
    now: HolderFile,
    record: &Source,
    library: &Library,
) -> Result<Hanging, Problems> {
    let made = read(record, &now.name, library)?;
    let Heard { follows, room, told } = heard(&now, &made)?;
    let file = match room {
        Some((choice, count)) => made.file.with_choice(&choice, count),
        None => made.file.clone(),
    };
    let shop = Arc::new(made.shop.clone());
    let file = made.followed(file, now, follows);
    Ok(Hanging { file, shop, told, record: record.clone() })
}
