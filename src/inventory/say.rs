//! Whether all tools have a place, and all places a tool.

use super::{Inventory, Share, StockedTool};
use crate::holder::Finding;
use crate::inputs::TOOLS;
use crate::length::listed;

/// At most so many names are told of tools that no holder names.
const TOLD: usize = 8;

/// What there is to say of the counts, holder by holder: `shares` are those of the holders of these names.
pub(crate) fn counted(inventory: &Inventory, shares: &[(&str, Vec<Share<'_>>)]) -> Vec<Finding> {
    let (mut findings, mut unnamed) = (Vec::new(), Vec::new());
    for tool in &inventory.tools {
        let places = places(tool, shares);
        let hung: usize = places.iter().map(|(_, count)| count).sum();
        let there = *tool.count.get_ref();
        match hung {
            0 => unnamed.push(tool.name.get_ref().as_str()),
            _ if hung > there => findings.push(too_many(tool, &places, hung)),
            _ if hung < there => findings.push(too_few(tool, &places, hung)),
            _ => {}
        }
    }
    findings.extend(without_holder(&unnamed));
    findings
}

/// The holders in which a tool hangs, with how many.
fn places<'h>(tool: &StockedTool, shares: &[(&'h str, Vec<Share<'_>>)]) -> Vec<(&'h str, usize)> {
    let of_tool = shares.iter().flat_map(|(name, shares)| {
        let here = shares.iter().filter(|share| std::ptr::eq(share.tool, tool) && share.count > 0);
        here.map(move |share| (*name, share.count))
    });
    of_tool.collect()
}

/// `sash-a (5) and sash-b (4)`
fn counted_in(places: &[(&str, usize)]) -> String {
    let each: Vec<String> = places.iter().map(|(name, n)| format!("{name} ({n})")).collect();
    listed(&each)
}

fn too_many(tool: &StockedTool, places: &[(&str, usize)], hung: usize) -> Finding {
    let (name, there) = (tool.name.get_ref(), tool.count.get_ref());
    let message = format!(
        "{hung} places of {}; {TOOLS} has {there} \"{name}\": lower count by {} in a holder file, or raise it to \
         {hung} in {TOOLS}.",
        counted_in(places),
        hung - there
    );
    Finding::warn("more-than-there-are", message)
}

fn too_few(tool: &StockedTool, places: &[(&str, usize)], hung: usize) -> Finding {
    let (name, there) = (tool.name.get_ref(), tool.count.get_ref());
    let message = format!(
        "{} of {there} \"{name}\" have no place, with {hung} in {}: raise count there, leave it out of a holder file, \
         or write one more.",
        there - hung,
        counted_in(places)
    );
    Finding::warn("without-place", message)
}

fn without_holder(names: &[&str]) -> Option<Finding> {
    let told: Vec<String> = names.iter().take(TOLD).map(|name| format!("\"{name}\"")).collect();
    let more = names.len().saturating_sub(TOLD);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let message = format!(
        "No holder file names {}{more} of {TOOLS}: \"cleatwright propose\" writes holder files for them.",
        told.join(", ")
    );
    (!names.is_empty()).then(|| Finding::note("without-holder", message))
}
