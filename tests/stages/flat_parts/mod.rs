//! Flat parts of 18 mm ply, and holders of nothing but parts, for tests that lay or saw them.

use std::sync::Arc;

use crate::holder::{Grain, Holder, Looks, MadeBy, Part, Placement, Stock, StockKind};
use crate::kernel::Region;
use crate::length::Units;

/// A part of "ply", in as many pieces as asked.
pub fn part(name: &str, region: Region, pieces: usize, grain: Grain, made_by: MadeBy) -> Part {
    let place = Placement {
        at: [0.0; 3],
        looks: Looks::Front,
        half_turn: false,
        size: [region.bounds().width(), region.bounds().height(), 18.0],
        tilt: 0.0,
    };
    Part {
        name: name.to_owned(),
        about: String::new(),
        stock: Stock {
            name: "ply".to_owned(),
            kind: StockKind::Sheet,
            thickness: 18.0,
            wood: "birch plywood".to_owned(),
            density: 650.0,
        },
        region,
        grain,
        drillings: vec![],
        pockets: vec![],
        marks: vec![],
        rows: vec![],
        edges: vec![],
        bevel: None,
        places: vec![place; pieces],
        made_by,
    }
}

/// A holder of nothing but parts.
pub fn holder(name: &str, parts: Vec<Part>) -> Arc<Holder> {
    Arc::new(Holder {
        name: name.to_owned(),
        style: "invented".to_owned(),
        title: name.to_owned(),
        units: Units::Millimetres,
        values: [].into_iter().collect(),
        parts,
        joints: vec![],
        screws: vec![],
        weights: vec![],
        bearers: vec![],
        hardware: vec![],
        steps: vec![],
        findings: vec![],
        size: [0.0; 3],
        mass: 0.0,
    })
}
