//! Cutting plans against published instances, sheets cut up at random, and a checker that saws
//! each plan again.

// A test that can't go on is to stop there.
#![allow(clippy::unwrap_used, missing_docs)]

mod instance;
mod known;
mod lengths;
mod perfect;
mod random;
mod replay;
mod shop;
