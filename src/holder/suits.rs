//! How well a style suits the tools that a holder file has.

use super::finding::Refusal;
use super::told::told;
use super::values::Values;
use crate::reading::{Kind, Problems};
use crate::shop::Shop;
use crate::style::{HolderFile, Layer, SuitsSpec};

/// How well a style suits, and why.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Suited {
    /// From 0 to 1.
    pub merit: f64,
    pub because: String,
}

/// What the style of `file` says of the tools there, the best of several; `None` where it says nothing of such, or
/// their figures come to no holder in `shop`.
///
/// # Errors
/// When the holder file or its style is wrong.
pub(crate) fn suited(file: &HolderFile, shop: &Shop) -> Result<Option<Suited>, Problems> {
    let Some(values) = told(Values::new(file, shop))?.value else { return Ok(None) };
    let mut best: Option<Suited> = None;
    for layer in &file.style.layers {
        for suits in &layer.file.suits {
            values.knows(&suits.because, &layer.source)?;
            let found = told(suited_by(&values, layer, suits))?.value.flatten();
            let better = |best: &Suited| found.as_ref().is_some_and(|f| f.merit > best.merit);
            if best.as_ref().is_none_or(better) {
                best = found.or(best);
            }
        }
    }
    Ok(best)
}

fn suited_by(
    values: &Values<'_>,
    layer: &Layer,
    suits: &SuitsSpec,
) -> Result<Option<Suited>, Refusal> {
    let source = &layer.source;
    if !values.holds(suits.when.as_ref(), source)? {
        return Ok(None);
    }
    let merit = values.figure(&suits.merit, Kind::Number, source)?;
    if !(0.0..=1.0).contains(&merit) {
        let message = format!("merit: \"{}\" comes to {merit}", suits.merit.formula);
        let wrong = source.problem(suits.merit.span.clone(), message);
        return Err(wrong.with_help("let it come to a figure from 0 to 1").into());
    }
    Ok(Some(Suited { merit, because: values.say(&suits.because, source)? }))
}
