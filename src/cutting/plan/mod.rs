//! The whole cutting plan of a project.

mod advice;
mod finding;
mod join;
mod kept;
mod make;
mod parting;
mod sheet;
mod shopping;
mod verdict;

pub(crate) use kept::{KeptFrom, KeptOffcut};
pub(crate) use make::plan;
pub(crate) use parting::{PartedFrom, PartedHalf, PartedInto, Parting};
pub(crate) use sheet::SawnSheet;
pub(crate) use shopping::StockUse;
pub(crate) use verdict::Verdict;

use super::index::{BlankIndex, PieceIndex};
use super::stock::{BlankUse, CutPiece};
use super::work::{Cut, Fence, Setup, SetupCount};
use crate::holder::{Finding, Holder, Part};

/// From parts to cuts: what is sawn, from what, in which order, and what is left.
#[derive(Debug, Clone, Default)]
pub(crate) struct CuttingPlan {
    /// Every piece of the project with its letter.
    pub pieces: Vec<CutPiece>,
    /// What is sawn, by the tilted blade's blanks too.
    pub blanks: Vec<BlankUse>,
    /// What the tilted blade makes of [`BlankUse::Strip`]: the pieces of each strip, one or two.
    pub strips: Vec<Vec<Vec<PieceIndex>>>,
    /// What is sawn, by stock in the order of the shop file, offcuts first.
    pub sheets: Vec<SawnSheet>,
    /// The cuts that part the router's sheets, before all others.
    pub partings: Vec<Parting>,
    /// What is taken off each edge of the router's new sheets before they are sawn, in mm; `None`
    /// for nothing.
    pub routed_trim: Option<f64>,
    /// The order of work.
    pub setups: Vec<Setup>,
    /// How often the saw is set.
    pub count: SetupCount,
    /// How often the saw is set for a plan that looks at waste alone.
    pub plain: SetupCount,
    /// How good the plan of each stock is.
    pub verdicts: Vec<Verdict>,
    /// Pieces that no stock is left for.
    pub missing: Vec<PieceIndex>,
    /// What is used of each stock, by the router and the saw together, where anything is.
    pub uses: Vec<StockUse>,
    /// Offcuts worth keeping.
    pub left: Vec<KeptOffcut>,
    /// What there is to say.
    pub findings: Vec<Finding>,
}

impl CuttingPlan {
    /// Whether a cut comes after the blade was tilted, so that its wood is a finished cleat strip.
    pub(crate) fn is_beveled(&self, cut: usize) -> bool {
        kept::is_beveled(&self.setups, cut)
    }

    /// Letters of the pieces that come of a blank.
    pub(crate) fn letters(&self, blank: BlankIndex) -> Vec<&str> {
        let letter = |piece: &PieceIndex| piece.of(&self.pieces).map(|p| p.letter.as_str());
        match blank.of(&self.blanks) {
            Some(BlankUse::Piece(piece)) => letter(piece).into_iter().collect(),
            Some(BlankUse::Strip(strip)) => {
                let strips = strip.of(&self.strips);
                strips.into_iter().flatten().flatten().filter_map(letter).collect()
            }
            None => Vec::new(),
        }
    }

    /// Letters of the pieces of each of a holder's parts; none of what hangs already.
    pub(crate) fn letters_of(&self, holder: &Holder) -> Vec<Vec<&str>> {
        let own = self.pieces.iter().filter(|piece| piece.part.holder().name == holder.name);
        let own: Vec<&CutPiece> = own.collect();
        let letters = |part: &Part| {
            let pieces = own.iter().filter(|piece| piece.part.name == part.name);
            pieces.map(|piece| piece.letter.as_str()).collect()
        };
        holder.parts.iter().map(letters).collect()
    }

    /// Whether the piece of a letter is sawn, not routed.
    pub(crate) fn is_sawn(&self, letter: &str) -> bool {
        let piece = self.pieces.iter().position(|piece| piece.letter == letter);
        piece.is_some_and(|at| self.freed(PieceIndex(at)).is_some())
    }

    /// The sheet's file and the cut that frees a piece; the cut is `None` where the sheet is the
    /// piece. `None` for what is not sawn.
    pub(crate) fn freed(&self, piece: PieceIndex) -> Option<(String, Option<usize>)> {
        let blank = self.blanks.iter().position(|of| *of == BlankUse::Piece(piece))?;
        let blank = BlankIndex(blank);
        let by_cut = self.cuts().find(|(_, cut)| cut.both().any(|w| w.blank() == Some(&blank)));
        if let Some((_, cut)) = by_cut {
            return Some((cut.sheet.of(&self.sheets)?.file.clone(), Some(cut.number)));
        }
        let sheet = self.sheets.iter().find(|s| s.blanks.iter().any(|b| b.blank == blank))?;
        Some((sheet.file.clone(), None))
    }

    /// All cuts in the order of work, each with its fence.
    pub(crate) fn cuts(&self) -> impl Iterator<Item = (Fence, &Cut)> {
        self.setups.iter().flat_map(|setup| setup.cuts.iter().map(move |cut| (setup.fence, cut)))
    }
}
