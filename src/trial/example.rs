//! A holder of a style that can be made, to look at.

use super::draw::Draw;
use super::{TRIES, style_of};
use crate::carry::assess;
use crate::holder::{Holder, Level, build};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::reading::{Problem, Source};
use crate::shop::{Shop, default_shop, read_shop};
use crate::style::{HolderFile, Library};
use crate::tool::tool_room;

/// A holder with the file that asks for it and the shop that it is made in.
#[derive(Debug)]
pub(crate) struct Example {
    pub file: HolderFile,
    pub shop: Shop,
    pub holder: Holder,
}

/// The first drawn holder of the style `name` that nothing stops, for tools of common size, with every choice left to the
/// style, in the built-in shop of `units`; where something stops each, the last that has wood.
///
/// # Errors
/// What is wrong in the style's files, and when no holder of it can be built.
pub(crate) fn example(inputs: &Inputs, name: &str, units: Units) -> Result<Example, Vec<Problem>> {
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
            return Ok(Example { file, shop, holder });
        }
        last = Some((file, holder)).filter(|(_, holder)| !holder.parts.is_empty()).or(last);
    }
    let none = || vec![Problem::plain(format!("no holder of \"{name}\" could be drawn"))];
    last.map(|(file, holder)| Example { file, shop, holder }).ok_or_else(none)
}
