//! The first stage: every part shaped and in its place, with the footprints of its neighbors.

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::part::Part;
use super::piece::{NewPart, WholePart, piece};
use super::sit::{Unplaced, seated};
use super::told::{Told, told};
use super::{bit, footprint, stock};
use crate::kernel::Contour;
use crate::length::Units;
use crate::limits;
use crate::reading::Problems;
use crate::style::PartSpec;

/// Parts that are shaped and placed, not yet joined to one another.
#[derive(Default)]
pub(super) struct Shaped {
    pub parts: Vec<Part>,
    /// The outline of each part before anything was cut away.
    pub blanks: Vec<Contour>,
}

/// Shapes all parts that the style makes. One that can't be made is told and left out.
///
/// # Errors
/// When the style is wrong.
pub(super) fn shaped(benches: &[Bench<'_>]) -> Result<Told<Shaped>, Problems> {
    let mut findings = Vec::new();
    let (unplaced, blanks) = cut_out(benches)?.tell(&mut findings).into_iter().unzip();
    let parts = seated(unplaced)?.tell(&mut findings);
    let mut shaped = Shaped { parts, blanks };
    let pieces: usize = shaped.parts.iter().map(|part| part.places.len()).sum();
    if let Some(whole) = benches.first() {
        let few = whole.at_most(pieces as f64, limits::PIECES, "pieces are in it");
        if told(few)?.tell(&mut findings).is_none() {
            return Ok(Told { value: Shaped::default(), findings });
        }
    }
    for bench in benches {
        findings.extend(footprint::mark(bench, &mut shaped.parts));
    }
    Ok(Told { value: shaped, findings })
}

/// Every part that is made, with its outline before anything was cut away.
fn cut_out<'a>(benches: &[Bench<'a>]) -> Result<Told<Vec<(Unplaced<'a>, Contour)>>, Problems> {
    let (mut cut, mut findings) = (Vec::new(), Vec::new());
    for bench in benches {
        for spec in bench.layer.parts().filter(|spec| !spec.adds()) {
            let bench = bench.at(spec.name.get_ref());
            let said = WholePart { bench, spec, added: added(benches, spec) };
            let made = bench
                .holds(spec.when.as_ref())
                .and_then(|made| if made { pieces(&said) } else { Ok(Vec::new()) });
            let made = told(made)?.tell(&mut findings).unwrap_or_default();
            for (n, NewPart { part, blank, findings: more }) in made {
                findings.extend(more);
                findings.extend(lacking(&part, bench.values.units()));
                cut.push((Unplaced { bench, spec, part, n }, blank));
            }
            let few = bench.at_most(cut.len() as f64, limits::PARTS, "kinds of part are made");
            if told(few)?.tell(&mut findings).is_none() {
                return Ok(Told { value: Vec::new(), findings });
            }
        }
    }
    Ok(Told { value: cut, findings })
}

/// A part; or several that differ by `n`, each with its number.
fn pieces(said: &WholePart<'_>) -> Result<Vec<(Option<usize>, NewPart)>, Refusal> {
    let Some(repeat) = &said.spec.repeat else { return Ok(vec![(None, piece(said)?)]) };
    let count = said.bench.count(repeat)?;
    said.bench.at_most(count as f64, limits::PARTS, "kinds of part are made")?;
    let numbered = |n: usize| {
        let mut new = said.bench.values.in_round(n, || piece(said))?;
        new.part.name = format!("{}-{n}", new.part.kind);
        Ok((Some(n), new))
    };
    (1..=count).map(numbered).collect()
}

/// What files of the style add to a part.
fn added<'a>(benches: &[Bench<'a>], spec: &'a PartSpec) -> Vec<(Bench<'a>, &'a PartSpec)> {
    let name = spec.name.get_ref();
    let all =
        benches.iter().flat_map(|bench| bench.layer.parts().map(|part| (bench.at(name), part)));
    all.filter(|(_, part)| part.adds() && part.name.get_ref() == name).collect()
}

/// What the shop does not have, or the program not know, of what a part takes.
fn lacking(part: &Part, units: Units) -> impl Iterator<Item = Finding> {
    let bits = part.drillings.iter().map(|drilling| drilling.bit);
    let bits = bits.filter_map(move |bit| bit::wanting(bit, &part.name, units));
    stock::unknown(&part.stock).into_iter().chain(bits)
}
