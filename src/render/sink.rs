//! Where files go.

use std::collections::BTreeMap;
use std::io;

use crate::reading::Problem;

/// Takes the files of a run one by one, as they are made.
pub trait Sink {
    /// Takes the file at `path` within the output folder, parted by `/`.
    ///
    /// # Errors
    /// When it takes no more; the run ends there.
    fn take(&mut self, path: &str, bytes: Vec<u8>) -> io::Result<()>;
}

/// All files in memory.
impl Sink for BTreeMap<String, Vec<u8>> {
    fn take(&mut self, path: &str, bytes: Vec<u8>) -> io::Result<()> {
        self.insert(path.to_owned(), bytes);
        Ok(())
    }
}

/// Why a run's files were not all made.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The input asks for what can't be.
    #[error(transparent)]
    Input(#[from] Problem),
    /// The sink took no more.
    #[error(transparent)]
    Sink(#[from] io::Error),
}
