//! Outlines traced in SVG files: found, read in true size, and turned into lines and arcs.

use kurbo::{Affine, BezPath, Shape, Vec2};

use super::bench::Bench;
use super::finding::Refusal;
use crate::kernel::{Contour, FitError, ShapeError, fit_arcs};
use crate::length::Units;
use crate::reading::{Problem, svg_path};
use crate::style::TraceSpec;

/// The path `spec` names, counter-clockwise, with the lower left corner of its bounds at the
/// origin.
///
/// # Errors
/// When the file is absent, lies elsewhere, or does not hold one closed path.
pub(super) fn trace(bench: &Bench<'_>, spec: &TraceSpec) -> Result<Contour, Refusal> {
    let (source, key, name, span) = match spec.choice() {
        None => {
            (&bench.layer.source, "file".to_owned(), spec.file.get_ref().as_str(), spec.file.span())
        }
        Some(choice) => {
            let file = bench.values.file(choice).ok_or_else(|| {
                let message = format!("file: no choice of the kind \"file\" is named \"{choice}\"");
                bench.layer.source.problem(spec.file.span(), message)
            })?;
            (file.source, format!("choices.{choice}"), file.name.as_str(), file.span.clone())
        }
    };
    let text = source.beside(name, &key, span.clone())?;
    let wrong = |what: String, help: String| -> Problem {
        source.problem(span.clone(), format!("{key}: {name}: {what}")).with_help(help)
    };
    let path = svg_path(&text, spec.id.as_deref()).map_err(|e| wrong(e.to_string(), e.advice()))?;
    let turn = bench.angle(spec.turn.as_ref())?;
    let path: BezPath = Affine::rotate(turn.to_radians()) * path;
    let advice = "smooth the path in your drawing program, so that it has fewer nodes and does not cross itself";
    let told = |error: &FitError| match error {
        FitError::Shape(ShapeError::SelfCrossing { at }) => {
            crossing(*at - path.bounding_box().origin(), bench.values.units())
        }
        other => other.to_string(),
    };
    let contour = fit_arcs(&path).map_err(|e| wrong(told(&e), advice.to_owned()))?;
    let corner = contour.bounds().origin().to_vec2();
    Ok(contour.transformed(Affine::translate(-corner)).counter_clockwise())
}

/// Measured from the path's own corner: where it lies on the page of the SVG file says little.
fn crossing(at: Vec2, units: Units) -> String {
    let (right, up) = (units.length(at.x), units.length(at.y));
    format!("the path crosses or touches itself {right} from its left and {up} from its foot")
}
