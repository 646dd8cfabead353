//! How a holder was made: the record that lies beside what is made of it, and what a holder that is built takes from
//! it.

mod follow;
mod place;
mod read;
mod rebuilt;
mod shop;
mod write;

pub(crate) use place::{KeptPlace, with_place};
pub(crate) use rebuilt::{Rebuilt, rebuilt};
pub(crate) use shop::fixed;
pub(crate) use write::write;

use crate::holder::Finding;

/// Name of the record in the folder of its holder.
pub(crate) const RECORD: &str = "made.toml";

/// The way out wherever a holder stays as it was made.
const ANEW: &str = "To make it anew, delete built.";

/// What is said of a holder that is built and has no record.
pub(crate) fn no_record() -> Finding {
    let message = format!(
        "It is built, and there is no {RECORD} of how: it is sized like any other. State every size in its file, \
         or make it once without built."
    );
    Finding::note("no-record", message)
}
