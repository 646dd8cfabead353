//! A holder that hangs: its record, with what it takes from its file as it is now.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::ANEW;
use super::follow::{Heard, heard};
use super::place::KeptPlace;
use super::read::read;
use crate::holder::{Finding, build};
use crate::reading::{Problems, Source};
use crate::shop::Shop;
use crate::style::{HolderFile, Library};

/// What a holder that is built is worked out from.
#[derive(Debug, Clone)]
pub(crate) struct Rebuilt {
    /// Measures and choices as the holder was made, but for what it follows of its file.
    pub file: HolderFile,
    /// The shop that it was made in.
    pub shop: Arc<Shop>,
    /// What its file says and the holder does not do.
    pub told: Vec<Finding>,
    /// The record itself.
    pub record: Source,
    /// Where it hangs, if that was planned.
    pub place: Option<KeptPlace>,
}

/// The holder whose file is `now` and that was made as `record` says.
///
/// # Errors
/// What is wrong in the record, and what can't be read in the file.
pub(crate) fn rebuilt(
    now: HolderFile,
    record: &Source,
    library: &Library,
) -> Result<Rebuilt, Problems> {
    let made = read(record, &now.name, library)?;
    let Heard { follows, room, told } = heard(&now, &made)?;
    let file = match room {
        Some((choice, count)) => made.file.with_choice(&choice, count),
        None => made.file.clone(),
    };
    let as_made = made.followed(made.file.clone(), now.clone(), []);
    let file = made.followed(file, now, follows.iter().cloned());
    let (file, told) = match follows.is_empty() || has_same_parts(&file, &as_made, &made.shop)? {
        true => (file, told),
        false => (as_made, told.into_iter().chain([sized_by(&follows)]).collect()),
    };
    Ok(Rebuilt { file, shop: Arc::new(made.shop), told, record: record.clone(), place: made.place })
}

/// Whether two files come to the same parts.
fn has_same_parts(one: &HolderFile, other: &HolderFile, shop: &Shop) -> Result<bool, Problems> {
    Ok(build(one, shop)?.parts == build(other, shop)?.parts)
}

/// That what loads a holder is not followed, for its style sizes parts by it.
fn sized_by(names: &BTreeSet<String>) -> Finding {
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let message = format!(
        "{}: another figure would change the sizes of this style, so it stays as made, loads too. {ANEW}",
        names.join(", ")
    );
    Finding::warn("as-made", message)
}
