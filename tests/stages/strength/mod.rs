//! What wood and fasteners bear, held against published tables and worked examples; the source is
//! named beside each. NDS: ANSI/AWC National Design Specification for Wood Construction, 2018
//! unless a year is given. Wood Handbook: FPL-GTR-190 (2010) and FPL-GTR-282 (2021).

mod beams;
mod combined;
mod free_body;
mod lateral;
mod pull_through;
mod screws;
mod withdrawal;
mod woods;

use proptest::test_runner::{Config, RngSeed};

const INCH: f64 = 25.4;
/// Newtons in a pound-force (NIST SP 811, appendix B.8).
const POUND: f64 = 4.448_221_615_260_5;
/// N/mm² in a psi (NIST SP 811, appendix B.8).
const PSI: f64 = 0.006_894_757_293_168;

fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} is not {expected} within {within}");
}

/// The same cases in every run.
fn seeded(seed: u64) -> Config {
    Config { rng_seed: RngSeed::Fixed(seed), failure_persistence: None, ..Config::default() }
}

/// Pounds and psi are the kilogram's and the inch's.
#[test]
fn units_agree_with_the_published_ones() {
    near(crate::length::NEWTONS_PER_POUND, POUND, 1e-12);
    near(crate::length::MPA_PER_PSI, PSI, 1e-15);
}
