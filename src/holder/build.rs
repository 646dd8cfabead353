//! From a holder file to a holder, stage by stage: shaped, fastened, joined, loaded.

use std::collections::HashSet;

use indexmap::IndexMap;

use super::bench::benches;
use super::fasten::fastened;
use super::finding::Finding;
use super::joint::{Joined, joined};
use super::load::{Loads, loaded};
use super::part::Part;
use super::sayings::{checks, steps};
use super::screws::ScrewJoint;
use super::shaped::shaped;
use super::sound::soundness;
use super::told::told;
use super::values::Values;
use super::{Holder, Placement, clash, crossing, fit, loose};
use crate::formula::Value;
use crate::length::Units;
use crate::limits;
use crate::reading::{Problems, Source};
use crate::shop::{DEFAULT_SHOP, Shop, read_shop};
use crate::style::{HolderFile, Level, Space, Style};

/// Builds the holder that `file` asks for from what `shop` has.
///
/// A design that can't be made is no error: the holder then carries findings that say why, and
/// the parts that can be made.
///
/// # Errors
/// When the holder file or its style is wrong.
pub(crate) fn build(file: &HolderFile, shop: &Shop) -> Result<Holder, Problems> {
    let mut findings = Vec::new();
    let values = told(Values::new(file, shop))?.tell(&mut findings);
    let made = match &values {
        Some(values) => made(values, shop, &file.style, &mut findings)?,
        None => Makings::default(),
    };
    let values = values.iter().flat_map(Values::all).map(|(name, value)| (name.to_owned(), value));
    Ok(holder(file, shop, values.collect(), made, findings))
}

/// What is wrong in `file` as far as that can be told where the shop itself is wrong.
pub(crate) fn look_over(file: &HolderFile) -> Problems {
    let default = Source::new("the built-in shop", DEFAULT_SHOP);
    read_shop(&default).map_or_else(|wrong| wrong, |shop| Values::look_over(file, &shop))
}

/// All that a holder has besides names and values; nothing where it can't be worked out.
#[derive(Default)]
struct Makings {
    joined: Joined,
    loaded: Loads,
    steps: Vec<String>,
}

/// Takes a holder through its stages; what there is to say goes to `findings`.
fn made(
    values: &Values<'_>,
    shop: &Shop,
    style: &Style,
    findings: &mut Vec<Finding>,
) -> Result<Makings, Problems> {
    let benches = told(benches(values, shop, style))?.tell(findings);
    let Some(benches) = benches else { return Ok(Makings::default()) };
    findings.extend(checks(&benches)?);
    let shaped = shaped(&benches)?.tell(findings);
    let fastened = fastened(&benches, shaped)?.tell(findings);
    let steps = steps(&benches)?.tell(findings);
    let joined = joined(&benches, fastened)?.tell(findings);
    findings.extend(inspected(&joined, shop, values.units()));
    // Where a part is missing or collides, those that were to meet it say nothing new.
    if findings.iter().all(|finding| finding.level != Level::Stop) {
        findings.extend(loose::loose(&joined.parts, values.units()));
    }
    let loaded = loaded(&benches, &joined)?.tell(findings);
    Ok(Makings { joined, loaded, steps })
}

/// What is wrong with the finished parts, by themselves and with one another.
fn inspected(joined: &Joined, shop: &Shop, units: Units) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (part, blank) in joined.parts.iter().zip(&joined.blanks) {
        findings.extend(soundness(part, blank, shop, units));
        findings.extend(fit::fits(part, shop, units));
    }
    findings.extend(clash::clashes(&joined.parts, units));
    let bodies: Vec<_> = joined.screws.iter().flat_map(ScrewJoint::bodies).collect();
    findings.extend(crossing::crossings(&bodies, units));
    findings
}

fn holder(
    file: &HolderFile,
    shop: &Shop,
    values: IndexMap<String, Value>,
    Makings { joined, loaded, steps }: Makings,
    findings: Vec<Finding>,
) -> Holder {
    let Joined { parts, screws, hardware, joints, .. } = joined;
    Holder {
        name: file.name.clone(),
        style: file.style.name.clone(),
        title: file.title.clone(),
        units: file.units.unwrap_or(shop.units),
        values,
        joints,
        screws,
        weights: loaded.weights,
        carriers: loaded.carriers,
        live_load: loaded.live_load,
        hardware,
        steps,
        findings: tidy(findings),
        size: size(&parts),
        // Not a sum, which is -0 for no parts.
        mass: parts.iter().fold(0.0, |mass, part| mass + part.mass()),
        parts,
    }
}

/// Worst first, each thing said once, and of very many alike only the first.
fn tidy(mut findings: Vec<Finding>) -> Vec<Finding> {
    let mut seen = HashSet::new();
    findings.retain(|finding| seen.insert((finding.code.clone(), finding.message.clone())));
    let mut alike: IndexMap<(Level, String), usize> = IndexMap::new();
    findings.retain(|finding| {
        let count = alike.entry((finding.level, finding.code.clone())).or_default();
        *count += 1;
        *count <= limits::TOLD
    });
    let untold = alike.into_iter().filter(|(_, count)| *count > limits::TOLD);
    findings.extend(untold.map(|((level, code), count)| {
        let message = format!("At least {} more like these ({code}).", count - limits::TOLD);
        Finding { level, code, message }
    }));
    findings.sort_by_key(|finding| finding.level);
    findings
}

/// Width and height of the whole, and how far it stands out from the wall, in mm; 0 without parts.
fn size(parts: &[Part]) -> Space {
    let bounds = parts.iter().flat_map(|part| &part.places).map(Placement::bounds);
    let whole = bounds.reduce(|(low, high), (near, far)| {
        let least = std::array::from_fn(|i| f64::min(low[i], near[i]));
        (least, std::array::from_fn(|i| f64::max(high[i], far[i])))
    });
    whole.map_or([0.0; 3], |(low, high)| [high[0] - low[0], high[1] - low[1], high[2]])
}
