//! Files that other files name: who hands them in, and which were asked for.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

/// Hands in the texts of files that other files name, such as traced outlines.
pub trait Beside: fmt::Debug + Send + Sync {
    /// The text of the file at `path`: the folder of the file that names it, `/`, and the name.
    ///
    /// # Errors
    /// Why there is none, as the rest of a sentence: "there is no such file".
    fn text(&self, path: &str) -> Result<String, String>;
}

/// Hands on what another hands in, and notes what was asked for and what came.
#[derive(Debug)]
pub(crate) struct Noted {
    from: Arc<dyn Beside>,
    notes: Mutex<Notes>,
}

/// What came for each path that was asked for.
type Notes = BTreeMap<String, Result<String, String>>;

impl Noted {
    pub(crate) fn new(from: Arc<dyn Beside>) -> Self {
        Self { from, notes: Mutex::default() }
    }

    /// Whether all that was asked for so far would come the same from `now`.
    pub(crate) fn holds_with(&self, now: &dyn Beside) -> bool {
        self.notes().iter().all(|(path, came)| now.text(path) == *came)
    }

    fn notes(&self) -> std::sync::MutexGuard<'_, Notes> {
        // A note is whole or not there at all, even if its writer failed.
        self.notes.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Beside for Noted {
    fn text(&self, path: &str) -> Result<String, String> {
        let text = self.from.text(path);
        self.notes().insert(path.to_owned(), text.clone());
        text
    }
}
