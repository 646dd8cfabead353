//! A holder's wood in its places.

use kurbo::Point;

use super::shell::Shell;
use super::wood::part_shell;
use crate::holder::{Holder, StockKind};

/// A piece of wood in its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WoodSolid {
    /// Its part's place in the holder's list, and which of that part's pieces it is.
    pub part: usize,
    pub piece: usize,
    /// In the holder.
    pub shell: Shell,
}

/// Every piece of a holder, in the order of its parts.
pub(crate) fn wood_solids(holder: &Holder) -> Vec<WoodSolid> {
    let parts = holder.parts.iter().enumerate();
    parts
        .flat_map(|(part, wood)| {
            let lying = part_shell(wood);
            let places = wood.places.iter().enumerate();
            places
                .map(|(piece, place)| {
                    let shell = lying.moved(|[x, y, z]| place.to_space(Point::new(x, y), -z));
                    WoodSolid { part, piece, shell }
                })
                .collect::<Vec<_>>()
        })
        .collect()
}

/// The tone of a stock: red, green and blue, linear, 0 to 1. Denser wood is darker; panels are paler, dowels yellower.
/// It stands for no wood in particular.
pub(crate) fn wood_tone(kind: StockKind, density: f64) -> [f32; 3] {
    let [red, green, blue] = match kind {
        StockKind::Sheet => [0.78, 0.60, 0.38],
        StockKind::Board | StockKind::Cleat => [0.66, 0.44, 0.24],
        StockKind::Dowel => [0.75, 0.52, 0.25],
    };
    let light = (1.25 - density / 2400.0).clamp(0.6, 1.15) as f32;
    [red, green, blue].map(|part: f32| (part * light).min(1.0))
}
