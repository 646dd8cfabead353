//! A holder of a style that can be made, to look at.

use super::draw::Draw;
use super::{TRIES, style_of};
use crate::carry::assess;
use crate::holder::{Holder, Level, build};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::reading::{Problem, Source};
use crate::shop::{default_shop, read_shop};
use crate::style::{HolderFile, Library};
use crate::tool::tool_room;

/// The first drawn holder of the style `name` that nothing stops, for tools of common size, with every choice left to the
/// style, in the built-in shop of `units`; where something stops each, the last that has wood.
///
/// # Errors
/// What is wrong in the style's files, and when no holder of it can be built.
pub(crate) fn example(inputs: &Inputs, name: &str, units: Units) -> Result<Holder, Vec<Problem>> {
    let library = Library::with(inputs);
    let style = style_of(&library, name)?;
    let shop = read_shop(&Source::new("the built-in shop", default_shop(units)))?;
    let mut last = None;
    for seed in 0..TRIES {
        let text = Draw::new(seed as u64).file(&style, &shop, (units, true));
        let source = Source::new(format!("a holder file of {name}"), text);
        let file = HolderFile::read(source, name, &library)?;
        let holder = build(&file, &shop)?;
        let room = tool_room(&holder, &shop, None);
        let more = room.iter().flat_map(|room| &room.findings);
        let stops = holder.findings.iter().chain(more).any(|found| found.level == Level::Stop);
        if !stops && assess(&holder, &shop).failed.is_empty() {
            return Ok(holder);
        }
        last = Some(holder).filter(|holder| !holder.parts.is_empty()).or(last);
    }
    last.ok_or_else(|| vec![Problem::plain(format!("no holder of \"{name}\" could be drawn"))])
}
