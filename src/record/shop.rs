//! What of the shop is settled by what hangs in it.

use crate::holder::Finding;
use crate::shop::{OpenFigures, Shop};

/// `shop` with what it leaves open as it was when the first of some holders that hang was made: its name and its
/// shop. What that fixes is told.
pub(crate) fn fixed(shop: &Shop, first: Option<(&str, &Shop)>) -> (Shop, Vec<Finding>) {
    let (mut fixed, mut told) = (shop.clone(), Vec::new());
    let Some((name, made)) = first else { return (fixed, told) };
    let mut say = |what: &str, figure: String| {
        let message = format!("{what} is {figure}, for {name} is built so.");
        told.push(Finding::note("as-built", message));
    };
    let OpenFigures { cleat_width, wall_screw, wall_screws } = shop.open;
    if cleat_width {
        fixed.cleat.width = made.cleat.width;
        say("cleat.width", shop.units.length(made.cleat.width));
    }
    if wall_screw {
        fixed.wall.screw = made.wall.screw;
        say("wall.screw", made.wall.screw.to_string());
    }
    if wall_screws {
        fixed.wall.screws = made.wall.screws;
        say("wall.screws", made.wall.screws.to_string());
    }
    fixed.open = OpenFigures::default();
    (fixed, told)
}
