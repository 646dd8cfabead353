//! What a measuring sheet draws of a style: the tool by itself, and the lines that its readings are taken along.

use kurbo::Point;

use super::bench::{Bench, benches};
use super::finding::Refusal;
use super::tools::{Solid, place, solid};
use super::values::Values;
use crate::reading::{Problem, Problems};
use crate::shop::Shop;
use crate::style::{
    HolderFile, LineSide, ReadingLineSpec, SeenShapeSpec, SketchView, SolidSpec, Space,
};
use crate::tolerance::COORDINATE;

/// A tool by itself. Places are told from where it hangs: x right, y up, z out from the wall, in mm.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct ToolSketch {
    pub body: Vec<Solid>,
    /// Outlines that stand for the body in their view.
    pub shapes: Vec<SketchShape>,
    pub lines: Vec<SketchLine>,
    /// What the views are called, in the style's words.
    pub front: Option<String>,
    pub side: Option<String>,
    /// What else there is to say, in the style's words.
    pub remarks: Vec<String>,
}

/// An outline in one view: from the front x and y, from the side z and y.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SketchShape {
    pub view: SketchView,
    pub corners: Vec<Point>,
    pub round: bool,
}

/// Where a reading is taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SketchLine {
    /// What it is called in a holder file.
    pub name: String,
    pub view: SketchView,
    pub from: Space,
    pub to: Space,
    /// On which side of the tool it stands; across the tool where that is left out.
    pub beside: Option<LineSide>,
}

/// The first tool of the holder that `file` asks for, with what its style has measured on it.
///
/// # Errors
/// When the holder file or its style is wrong, and when its figures do not serve.
pub(crate) fn sketched(file: &HolderFile, shop: &Shop) -> Result<ToolSketch, Problems> {
    let values = Values::new(file, shop).map_err(problems)?;
    let benches = benches(&values, shop, &file.style).map_err(problems)?;
    let mut sketch = ToolSketch::default();
    let own = benches.iter().any(|bench| !bench.layer.file.measuring.body.is_empty());
    for bench in &benches {
        let drawn = values.in_round(1, || add(bench, own, &mut sketch));
        drawn.map_err(problems)?;
    }
    Ok(sketch)
}

/// What is wrong; of a design that can't be made what stands against it.
fn problems(refusal: Refusal) -> Problems {
    match refusal {
        Refusal::Input(problems) => problems,
        Refusal::Design(finding) => Problem::plain(finding.message).into(),
    }
}

/// Adds what one file of the style says; with `own` no tool's body.
fn add(bench: &Bench<'_>, own: bool, sketch: &mut ToolSketch) -> Result<(), Refusal> {
    let spec = &bench.layer.file.measuring;
    let body = if own { Some(&spec.body) } else { hung_body(bench)? };
    sketch.body.extend(solids(bench, body.map_or(&[], Vec::as_slice))?);
    for spec in &spec.shapes {
        if bench.holds(spec.when.as_ref())? {
            sketch.shapes.push(shape(bench, spec)?);
        }
    }
    for spec in &spec.lines {
        if bench.holds(spec.when.as_ref())? {
            sketch.lines.push(line(bench, spec)?);
        }
    }
    sketch.front = sketch.front.take().or(spec.front.clone());
    sketch.side = sketch.side.take().or(spec.side.clone());
    sketch.remarks.extend(spec.say.as_ref().map(|say| bench.say(say)).transpose()?);
    Ok(())
}

/// The body of the first sort of tools that hangs.
fn hung_body<'b>(bench: &Bench<'b>) -> Result<Option<&'b Vec<SolidSpec>>, Refusal> {
    for tool in &bench.layer.file.tool {
        if bench.holds(tool.when.as_ref())? {
            return Ok(Some(&tool.body));
        }
    }
    Ok(None)
}

fn solids(bench: &Bench<'_>, body: &[SolidSpec]) -> Result<Vec<Solid>, Refusal> {
    let solids: Result<Vec<_>, Refusal> = body.iter().map(|spec| solid(bench, spec)).collect();
    Ok(solids?.into_iter().flatten().collect())
}

fn shape(bench: &Bench<'_>, spec: &SeenShapeSpec) -> Result<SketchShape, Refusal> {
    if let [] | [_] | [_, _] = spec.corners.as_slice() {
        let at = spec.corners.first().map_or(0..0, |corner| corner[0].span.clone());
        let message =
            format!("an outline has three corners or more, this one {}", spec.corners.len());
        return Err(bench.layer.source.problem(at, message).into());
    }
    let corners: Result<Vec<Point>, Refusal> = spec.corners.iter().map(|p| bench.pair(p)).collect();
    Ok(SketchShape { view: spec.view, corners: corners?, round: spec.round })
}

fn line(bench: &Bench<'_>, spec: &ReadingLineSpec) -> Result<SketchLine, Refusal> {
    let (from, to) = (place(bench, &spec.from)?, place(bench, &spec.to)?);
    let differs = std::array::from_fn(|axis| (to[axis] - from[axis]).abs() > COORDINATE);
    let view = seen_from(spec.beside, spec.view, differs)
        .map_err(|message| bench.wrong(&spec.to[0], message))?;
    Ok(SketchLine { name: spec.name.get_ref().clone(), view, from, to, beside: spec.beside })
}

/// The view that shows a line whose ends differ along those axes, or what is wrong with it.
fn seen_from(
    beside: Option<LineSide>,
    view: Option<SketchView>,
    [x, y, z]: [bool; 3],
) -> Result<SketchView, &'static str> {
    use SketchView::{Front, Side};
    match (beside, view) {
        (None, _) if u8::from(x) + u8::from(y) + u8::from(z) != 1 => Err(
            "a line across the tool runs along one axis: from and to differ in one of x, y and z",
        ),
        (Some(LineSide::Left | LineSide::Right), _) if !y => {
            Err("a line at the left or right runs up: from and to differ in y")
        }
        (Some(LineSide::Above | LineSide::Below), _) if !x && !z => {
            Err("a line above or below runs across: from and to differ in x or z")
        }
        (Some(LineSide::Above | LineSide::Below), None) if x && z => {
            Err("from and to differ in x and z: say view = \"front\" or \"side\"")
        }
        (None | Some(LineSide::Above | LineSide::Below), Some(Front)) if z && !x => {
            Err("a line along z is seen from the side: leave view out")
        }
        (None | Some(LineSide::Above | LineSide::Below), Some(Side)) if x && !z => {
            Err("a line along x is seen from the front: leave view out")
        }
        (None | Some(LineSide::Above | LineSide::Below), None) if z => Ok(Side),
        (_, view) => Ok(view.unwrap_or(Front)),
    }
}
