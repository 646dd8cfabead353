//! From parts and sheets of parts to what a CNC router does: cuts in their order, each with its bit, its depth,
//! where it begins, which way it runs, and the bridges that hold what it would free.

mod assemble;
mod begin;
mod bridge;
mod cuts;
mod dowel;
mod effort;
mod finding;
mod follow;
mod inner;
mod job;
mod layer;

pub(crate) use assemble::{part_jobs, sheet_jobs};
pub(crate) use bridge::Bridge;
pub(crate) use dowel::dowels;
pub(crate) use effort::{DOWEL_INTO_BOARD, Effort};
pub(crate) use finding::loose;
#[cfg(test)]
pub(crate) use job::JobBit;
pub(crate) use job::{Jobs, MillCut, MillJob, MillPath, MillWork};
pub(crate) use layer::{ContourKind, JobLayer, layers};

use crate::holder::Finding;
use crate::router::RoutedSheet;
use crate::shop::Shop;

/// What the machine does to each sheet of a plan, in the order of the sheets, and what is to be said of it.
#[derive(Debug, Default)]
pub(crate) struct Milling {
    pub sheets: Vec<Jobs>,
    pub findings: Vec<Finding>,
}

/// Works out the jobs of all `sheets`.
pub(crate) fn milling(sheets: &[RoutedSheet], shop: &Shop) -> Milling {
    let jobs: Vec<Jobs> = sheets.iter().map(|sheet| sheet_jobs(sheet, shop)).collect();
    let told = sheets.iter().zip(&jobs);
    let findings = told.flat_map(|(sheet, jobs)| finding::findings(sheet, jobs, shop)).collect();
    Milling { sheets: jobs, findings }
}
