//! The tools that hang on a holder: the solids that stand for them, and how each comes to its place.

use super::bench::Bench;
use super::finding::Refusal;
use super::told::{Told, told};
use crate::kernel::prism::Prism;
use crate::kernel::vector::plus;
use crate::reading::Problems;
use crate::style::{LegSpec, SolidSpec, Space, ToolSpec, Triple};
use crate::tolerance::COORDINATE;

/// A tool as it hangs. Places are in the holder: x right, y up from its foot, z out from the wall, in mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HungTool {
    /// Its number, from 1.
    pub number: usize,
    /// Where its weight acts, on what it rests.
    pub at: Space,
    pub body: Vec<Solid>,
    /// How it comes to its place, leg by leg.
    pub comes: Vec<Leg>,
    /// Whether it holds on by itself.
    pub grips: bool,
    /// What would keep it from sliding off when it is bumped, in the style's words.
    pub steady: Option<String>,
}

/// A part of a tool that is stood for by one solid.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Solid {
    pub name: String,
    pub prism: Prism,
}

/// A straight leg of a tool's way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Leg {
    /// Along one axis, of length 1.
    pub way: Space,
    /// In mm; `None` from where nothing is in the way.
    pub by: Option<f64>,
}

/// The tools of all files of a style.
///
/// # Errors
/// When the style is wrong.
pub(super) fn hung(benches: &[Bench<'_>]) -> Result<Told<Vec<HungTool>>, Problems> {
    let (mut tools, mut findings, mut number) = (Vec::new(), Vec::new(), 0);
    for bench in benches {
        for spec in &bench.layer.file.tool {
            let each = bench.rounds(spec.repeat.as_ref(), |step| {
                number += 1;
                let wanted = bench.holds(spec.when.as_ref())?;
                wanted.then(|| tool(bench, spec, number, step)).transpose()
            });
            let each = told(each)?.tell(&mut findings).into_iter().flatten().flatten();
            tools.extend(each.filter(|tool| !tool.body.is_empty()));
        }
    }
    Ok(Told { value: tools, findings })
}

fn tool(
    bench: &Bench<'_>,
    spec: &ToolSpec,
    number: usize,
    step: Space,
) -> Result<HungTool, Refusal> {
    let at = plus(place(bench, &spec.at)?, step);
    let lean = bench.angle(spec.lean.as_ref())?;
    let mut body = Vec::new();
    for spec in &spec.body {
        body.extend(solid(bench, spec)?.map(|solid| {
            let prism = solid.prism.moved(at).turned([at[1], at[2]], lean);
            Solid { prism, ..solid }
        }));
    }
    let mut comes = Vec::new();
    for leg in &spec.comes {
        comes.extend(self::leg(bench, leg)?);
    }
    let steady = spec.steady.as_ref().map(|say| bench.say(say)).transpose()?;
    Ok(HungTool { number, at, body, comes, grips: spec.grips, steady })
}

/// A solid, told from where its tool hangs; `None` for one of no volume.
pub(super) fn solid(bench: &Bench<'_>, spec: &SolidSpec) -> Result<Option<Solid>, Refusal> {
    if !bench.holds(spec.when.as_ref())? {
        return Ok(None);
    }
    let (from, to) = (place(bench, &spec.from)?, place(bench, &spec.to)?);
    let prism = match bench.optional(spec.diameter.as_ref())? {
        Some(diameter) => {
            let axes = (0..3).filter(|axis| (to[*axis] - from[*axis]).abs() > COORDINATE);
            if let (2.., Some(said)) = (axes.count(), &spec.diameter) {
                return Err(bench.wrong(
                    said,
                    "a rod runs along one axis: from and to differ in one of x, y and z",
                ));
            }
            Prism::rod(from, level(from, to), diameter)
        }
        None => Prism::block(from, to),
    };
    let name = spec.name.get_ref().replace('_', " ");
    Ok(prism.map(|prism| Solid { name, prism }))
}

fn leg(bench: &Bench<'_>, spec: &LegSpec) -> Result<Option<Leg>, Refusal> {
    if !bench.holds(spec.when.as_ref())? {
        return Ok(None);
    }
    let by = bench.optional(spec.by.as_ref())?;
    if let (Some(by), Some(said)) = (by, &spec.by)
        && by < 0.0
    {
        let message = format!("a leg of {} goes backward: take the opposite way", bench.write(by));
        return Err(bench.wrong(said, &message));
    }
    Ok(Some(Leg { way: spec.way.unit(), by }))
}

pub(super) fn place(bench: &Bench<'_>, triple: &Triple) -> Result<Space, Refusal> {
    let [x, y, z] = &**triple;
    Ok([bench.length(x)?, bench.length(y)?, bench.length(z)?])
}

/// `to` on the very same line as `from` along the axis in which they differ.
fn level(from: Space, to: Space) -> Space {
    std::array::from_fn(|axis| {
        if (to[axis] - from[axis]).abs() > COORDINATE { to[axis] } else { from[axis] }
    })
}
