//! From a holder file to a holder, stage by stage: shaped, its tabs laid out, fastened, joined, loaded.

use std::collections::{BTreeMap, HashSet};

use indexmap::IndexMap;

use super::alike::Alike;
use super::bench::benches;
use super::fasten::{Fastened, fastened};
use super::finding::Finding;
use super::joint::{Joined, joined};
use super::laid::laid_out;
use super::load::{Loads, loaded};
use super::part::Part;
use super::sayings::{checks, steps};
use super::screws::ScrewJoint;
use super::shaped::{Shaped, shaped};
use super::sound::soundness;
use super::step::Step;
use super::told::told;
use super::tools::{HungTool, hung};
use super::values::Values;
use super::{Holder, Placement, clash, crossing, fit, loose, mirror, pocket, sound};
use crate::formula::Value;
use crate::length::Units;
use crate::limits;
use crate::reading::{Problems, Source, Spanned};
use crate::shop::{Shop, default_shop, read_shop};
use crate::style::{HolderFile, Level, Space};

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
        Some(values) => made(values, shop, file, &mut findings)?,
        None => Makings::default(),
    };
    let picked = values.iter().flat_map(Values::picked);
    let picked = picked.map(|(choice, row)| (choice.to_owned(), row.name.clone())).collect();
    let values = values.iter().flat_map(Values::all).map(|(name, value)| (name.to_owned(), value));
    Ok(Holder { picked, ..holder(file, shop, values.collect(), made, findings) })
}

/// The parts that `file` asks for as they are cut, neither screwed nor looked over; none where they can't be worked out.
///
/// # Errors
/// As for [`build`].
pub(crate) fn cut_parts(file: &HolderFile, shop: &Shop) -> Result<Vec<Part>, Problems> {
    let Some(values) = told(Values::new(file, shop))?.value else { return Ok(Vec::new()) };
    let Some(benches) = told(benches(&values, shop, &file.style))?.value else {
        return Ok(Vec::new());
    };
    let Shaped { parts, blanks } = shaped(&benches)?.value;
    let laid = laid_out(&benches, &parts)?.value;
    let unscrewed = Fastened { parts, blanks, ..Fastened::default() };
    Ok(joined(&laid, unscrewed)?.value.parts)
}

/// What is wrong in `file` as far as that can be told where the shop itself is wrong.
pub(crate) fn look_over(file: &HolderFile) -> Problems {
    let default = default_shop(file.units.unwrap_or_default());
    let default = Source::new("the built-in shop", default);
    read_shop(&default).map_or_else(|wrong| wrong, |shop| Values::look_over(file, &shop))
}

/// All that a holder has besides names and values; nothing where it can't be worked out.
#[derive(Default)]
struct Makings {
    joined: Joined,
    loaded: Loads,
    tools: Vec<HungTool>,
    steps: Vec<Step>,
    flush_trimmed: bool,
}

/// Takes a holder through its stages; what there is to say goes to `findings`.
fn made(
    values: &Values<'_>,
    shop: &Shop,
    file: &HolderFile,
    findings: &mut Vec<Finding>,
) -> Result<Makings, Problems> {
    let benches = told(benches(values, shop, &file.style))?.tell(findings);
    let Some(benches) = benches else { return Ok(Makings::default()) };
    findings.extend(checks(&benches)?);
    findings.extend(unasked(values, file)?);
    let shaped = shaped(&benches)?.tell(findings);
    let laid = laid_out(&benches, &shaped.parts)?.tell(findings);
    let fastened = fastened(&benches, &laid, shaped)?.tell(findings);
    let mut steps = steps(&benches, &fastened.parts)?.tell(findings);
    let joined = joined(&laid, fastened)?.tell(findings);
    findings.extend(inspected(&joined, shop, values.units()));
    // Where a part is missing or collides, those that were to meet it say nothing new.
    if findings.iter().all(|finding| finding.level != Level::Stop) {
        findings.extend(loose::loose(&joined.parts, values.units()));
        findings.extend(mirror::mirrored(&joined.parts));
    }
    let alike = Alike::of(&joined.parts, shop.flush_trim_bit);
    let flush_trimmed = alike.trims();
    steps.splice(..0, alike.step(values.units()));
    let loaded = loaded(&benches, &joined)?.tell(findings);
    let tools = hung(&benches)?.tell(findings);
    Ok(Makings { joined, loaded, tools, steps, flush_trimmed })
}

/// A note for every choice that is stated where it changes nothing.
fn unasked(values: &Values<'_>, file: &HolderFile) -> Result<Vec<Finding>, Problems> {
    let mut findings = Vec::new();
    // The record of how a holder was made states all.
    if file.as_made.is_some() {
        return Ok(findings);
    }
    let stated = |name: &str| file.choices.keys().any(|stated| stated.get_ref() == name);
    for (name, choice, layer) in file.style.choices().filter(|(name, ..)| stated(name)) {
        let asked = told(values.holds(choice.when.as_ref(), &layer.source))?.tell(&mut findings);
        let usual = choice.default.as_ref().and_then(|expr| values.work(expr, &layer.source).ok());
        if asked == Some(false) && values.known(name) != usual {
            let message = format!(
                "{name} changes nothing here: leave it out, or look at what it belongs to."
            );
            findings.push(Finding::note("not-used", message));
        }
    }
    Ok(findings)
}

/// What is wrong with the finished parts, by themselves and with one another.
fn inspected(joined: &Joined, shop: &Shop, units: Units) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, part) in joined.parts.iter().enumerate() {
        findings.extend(soundness(joined, index, shop, units));
        findings.extend(sound::leaning(part, units));
        findings.extend(fit::fits(part, shop, units));
    }
    findings.extend(sound::left_round(joined, shop, units));
    if let Some(bits) = shop.router {
        findings.extend(pocket::kept_round(&joined.parts, bits.joint, units));
    }
    findings.extend(clash::clashes(joined, units));
    let bodies: Vec<_> = joined.screws.iter().flat_map(ScrewJoint::bodies).collect();
    findings.extend(crossing::crossings(&bodies, units));
    findings
}

fn holder(
    file: &HolderFile,
    shop: &Shop,
    values: IndexMap<String, Value>,
    Makings { joined, loaded, tools, steps, flush_trimmed }: Makings,
    findings: Vec<Finding>,
) -> Holder {
    let Joined { parts, screws, hardware, joints, .. } = joined;
    Holder {
        name: file.name.clone(),
        style: file.style.name.clone(),
        title: file.title.clone(),
        built: file.built,
        units: file.units.unwrap_or(shop.units),
        values,
        picked: BTreeMap::new(),
        middle: None,
        joints,
        screws,
        tools,
        weights: loaded.weights,
        carriers: loaded.carriers,
        spare: loaded.spare,
        live_load: loaded.live_load,
        hardware,
        steps,
        flush_trimmed,
        findings: tidy(findings),
        settled: Vec::new(),
        size: size(&parts),
        wall_cleats: wall_cleats(file, &parts),
        // Not a sum, which is -0 for no parts.
        mass: parts.iter().fold(0.0, |mass, part| mass + part.mass()),
        parts,
    }
}

/// The heights of the wall cleats that a style says it makes.
fn wall_cleats(file: &HolderFile, parts: &[Part]) -> Vec<f64> {
    let named = file.style.own().wall_cleats.as_ref().map(Spanned::get_ref);
    let cleats = parts.iter().filter(|part| Some(&part.kind) == named);
    cleats.flat_map(|part| &part.places).map(|place| place.bounds().0[1]).collect()
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
    let whole = Placement::around(parts.iter().flat_map(|part| &part.places));
    whole.map_or([0.0; 3], |(low, high)| [high[0] - low[0], high[1] - low[1], high[2]])
}
