//! Findings as lines of a list.

use super::tree::{Phrase, phrase, strong};
use crate::holder::{Finding, Level};

/// A finding, with a word before it that says how much it matters.
pub(super) fn finding(finding: &Finding) -> Phrase {
    let message = finding.message.as_str();
    match finding.level {
        Level::Stop => phrase![strong("Stop:"), " ", message],
        Level::Warn => phrase![strong("Check:"), " ", message],
        Level::Note => phrase![message],
    }
}
