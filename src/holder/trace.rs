//! Outlines traced in SVG files: found, read in true size, and turned into lines and arcs.

use kurbo::{Affine, Shape, Vec2};

use super::bench::Bench;
use super::finding::Refusal;
use crate::kernel::{Contour, FitError, ShapeError, fit_arcs};
use crate::length::Units;
use crate::reading::svg_path;
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
    let named = (source.name().to_owned(), name.to_owned(), spec.id.clone());
    let contour = bench.values.traced(named, || {
        let text = source.beside(name, &key, span.clone())?;
        fitted(&text, spec.id.as_deref(), bench.values.units()).map_err(|(what, help)| {
            source.problem(span.clone(), format!("{key}: {name}: {what}")).with_help(help)
        })
    })?;
    let turn = bench.angle(spec.turn.as_ref())?;
    let contour = contour.transformed(Affine::rotate(turn.to_radians()));
    let corner = contour.bounds().origin().to_vec2();
    Ok(contour.transformed(Affine::translate(-corner)).counter_clockwise())
}

/// The path of an SVG file in lines and arcs; else what is wrong and what would be right.
fn fitted(text: &str, id: Option<&str>, units: Units) -> Result<Contour, (String, String)> {
    let path = svg_path(text, id).map_err(|e| (e.to_string(), e.advice()))?;
    let told = |error: &FitError| match error {
        FitError::Shape(ShapeError::SelfCrossing { at }) => {
            crossing(*at - path.bounding_box().origin(), units)
        }
        other => other.to_string(),
    };
    let advice = "smooth the path in your drawing program, so that it has fewer nodes and does not cross itself";
    fit_arcs(&path).map_err(|e| (told(&e), advice.to_owned()))
}

/// Measured from the path's own corner: where it lies on the page of the SVG file says little.
fn crossing(at: Vec2, units: Units) -> String {
    let (right, up) = (units.length(at.x), units.length(at.y));
    format!("the path crosses or touches itself {right} from its left and {up} from its bottom")
}
