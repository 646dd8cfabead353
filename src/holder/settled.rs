//! A choice that the holder file leaves open and that was moved from its default.

use crate::formula::Value;

/// What a choice was settled to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SettledChoice {
    /// Its name.
    pub choice: String,
    /// What it is where nothing speaks against it.
    pub default: Value,
    pub value: Value,
    /// What the default would come to, as half a sentence that goes on after it.
    pub because: String,
}
