//! Values with what there is to say about how they came about.

use super::finding::{Finding, Refusal};
use crate::reading::Problems;

/// A value, and findings on the way to it.
pub(super) struct Told<T> {
    pub value: T,
    pub findings: Vec<Finding>,
}

impl<T> Told<T> {
    /// The value; its findings go to those of the whole.
    pub(super) fn tell(self, all: &mut Vec<Finding>) -> T {
        all.extend(self.findings);
        self.value
    }
}

/// Turns a design that can't be made into a finding, so that what else can be made goes on.
///
/// # Errors
/// When the input is wrong.
pub(super) fn told<T>(worked: Result<T, Refusal>) -> Result<Told<Option<T>>, Problems> {
    match worked {
        Ok(value) => Ok(Told { value: Some(value), findings: Vec::new() }),
        Err(Refusal::Design(finding)) => Ok(Told { value: None, findings: vec![finding] }),
        Err(Refusal::Input(problems)) => Err(problems),
    }
}
