//! Flat parts of 18 mm ply, and holders of nothing but parts, for tests that lay or saw them.

use std::sync::Arc;

use super::plain_part::plain_part;
use crate::holder::{Grain, Holder, MadeBy, Part, Stock, StockKind};
use crate::kernel::Region;
use crate::length::Units;

/// A part of "ply", in as many pieces as asked.
pub fn part(name: &str, region: Region, pieces: usize, grain: Grain, made_by: MadeBy) -> Part {
    let stock = Stock {
        name: "ply".to_owned(),
        kind: StockKind::Sheet,
        thickness: 18.0,
        wood: "birch plywood".to_owned(),
        plies: None,
        density: 650.0,
    };
    Part { grain, made_by, ..plain_part(name, stock, region, pieces) }
}

/// A holder of nothing but parts.
pub fn holder(name: &str, parts: Vec<Part>) -> Arc<Holder> {
    Arc::new(Holder {
        built: false,
        picked: Default::default(),
        middle: None,
        name: name.to_owned(),
        style: "invented".to_owned(),
        title: name.to_owned(),
        units: Units::Millimeters,
        values: [].into_iter().collect(),
        parts,
        wall_cleats: vec![],
        joints: vec![],
        screws: vec![],
        tools: Vec::new(),
        weights: vec![],
        carriers: vec![],
        spare: 0.0,
        live_load: None,
        hardware: vec![],
        steps: vec![],
        flush_trimmed: false,
        findings: vec![],
        settled: vec![],
        size: [0.0; 3],
        mass: 0.0,
    })
}
