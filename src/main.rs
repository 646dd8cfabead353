//! The `cleatwright` program: see the library for how it works.

use std::process::ExitCode;

fn main() -> ExitCode {
    cleatwright::cli::run().into()
}
