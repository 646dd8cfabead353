//! The plain part that all sample parts begin with.

use crate::holder::{Facing, Grain, MadeBy, Part, Placement, Stock};
use crate::kernel::Region;

/// Pieces of `region` by hand from `stock`, grain along the length, side by side at one place, with
/// nothing bored, milled or marked.
pub fn plain_part(name: &str, stock: Stock, region: Region, pieces: usize) -> Part {
    let place = Placement {
        at: [0.0; 3],
        faces: Facing::Front,
        half_turn: false,
        size: [region.bounds().width(), region.bounds().height(), stock.thickness],
        tilt: 0.0,
    };
    Part {
        name: name.to_owned(),
        kind: name.to_owned(),
        about: String::new(),
        stock,
        region,
        grain: Grain::Length,
        drillings: vec![],
        pockets: vec![],
        marks: vec![],
        rows: vec![],
        edges: vec![],
        bevel: None,
        places: vec![place; pieces],
        made_by: MadeBy::Hand,
    }
}
