//! What tells whether a file is still as it was written.

use std::fs::File;
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Size in bytes and SHA-256 of a file's bytes, in lower hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Seal {
    size: u64,
    sha256: String,
}

impl Seal {
    pub(super) fn of(bytes: &[u8]) -> Self {
        Self { size: bytes.len() as u64, sha256: digits(&Sha256::digest(bytes)) }
    }

    /// The seal of the file at `path`.
    pub(super) fn of_file(path: &Path) -> io::Result<Self> {
        let mut hash = Sha256::new();
        let size = io::copy(&mut File::open(path)?, &mut Hashing(&mut hash))?;
        Ok(Self { size, sha256: digits(&hash.finalize()) })
    }

    pub(super) fn size(&self) -> u64 {
        self.size
    }
}

struct Hashing<'h>(&'h mut Sha256);

impl io::Write for Hashing<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.update(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

fn digits(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seals_are_sha_256() {
        // FIPS 180-2, appendix B.1: the message "abc".
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Seal::of(b"abc"), Seal { size: 3, sha256: abc.to_owned() });
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), "abc").unwrap();
        assert_eq!(Seal::of_file(file.path()).unwrap(), Seal::of(b"abc"));
    }
}
