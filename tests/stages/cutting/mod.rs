//! Cutting plans against published instances, sheets cut up at random, and a checker that saws
//! each plan again.

mod instance;
mod known;
mod lengths;
mod perfect;
mod random;
mod replay;
mod shop;
