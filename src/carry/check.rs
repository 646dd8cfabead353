//! One line of the table: the load at a place and what is allowable there.

use super::grounds::Grounds;
use crate::holder::Level;
use crate::length::{Amount, Units};

/// A sag that no tape shows, in mm.
const NOTHING: f64 = crate::length::MM_PER_INCH / 32.0;

/// Above this part of what a place can, a second look is due. Common practice, no source.
pub(crate) const NEAR: f64 = 0.8;

/// What is asked of a place in a holder, and what it can.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Check {
    pub id: CheckId,
    /// In the question's unit.
    pub asked: f64,
    /// In the same.
    pub can: f64,
    /// What went into both.
    pub grounds: Grounds,
}

/// What is asked of which place. Places of one name, as the arms of a pair, may have one each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct CheckId {
    pub place: CheckPlace,
    pub question: LoadQuestion,
}

/// Where something must bear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum CheckPlace {
    /// As the style points at it.
    Named(String),
    /// The screws between a holder's back and its holder cleat.
    HolderCleat,
    /// The wall's own cleat, under the hook.
    WallCleat,
}

/// What can give way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LoadQuestion {
    /// Stress at the outermost fiber, in N/mm².
    Bending,
    /// Along the grain, in N/mm².
    Shear,
    /// With time, under what hangs there, in mm.
    Sag,
    /// The most loaded screw, pulled and loaded across at once, in N.
    Screws,
    /// Screws that are pulled out of end grain, in N.
    EndGrain,
    /// The head of the most loaded screw, through the wood under it, in N.
    Heads,
    /// How far out the loads may act before the holder turns off its cleat, in mm.
    Staying,
    /// Square to the bevel, in N/mm².
    Bevel,
    /// Tension across the grain where a cleat is screwed, in N/mm².
    Splitting,
    /// Around a rod that stands in a hole, in N/mm².
    Rim,
    /// The screws in each stud, in N.
    Studs,
    /// The screws in plugs, which nothing here rates, in N.
    Plugs,
    /// The wall cleat bent between two studs, in N/mm².
    Strip,
}

impl CheckPlace {
    /// As a person would point at it.
    pub(crate) fn words(&self) -> &str {
        match self {
            Self::Named(words) => words,
            Self::HolderCleat => "the screws of the holder cleat",
            Self::WallCleat => "the wall cleat",
        }
    }
}

impl LoadQuestion {
    /// What is asked, in a few words.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Bending => "bending",
            Self::Shear => "shear",
            Self::Sag => "sag",
            Self::Screws => "screws",
            Self::EndGrain => "screws in end grain",
            Self::Heads => "screw heads pulling through",
            Self::Staying => "tipping off the cleat",
            Self::Bevel => "crushing the bevel",
            Self::Splitting => "splitting along its screws",
            Self::Rim => "crushing the rim",
            Self::Studs => "screws in the studs",
            Self::Plugs => "screws in plugs",
            Self::Strip => "bending between screws",
        }
    }

    /// The formula, and what is compared with what.
    pub(crate) fn formula(self, units: Units) -> String {
        let [withdrawal, thread, through] = match units {
            Units::Inches => ["2850", "inch", "690"],
            // The same, in N and mm.
            Units::Millimeters => ["19.7", "mm", "4.76"],
        };
        match self {
            Self::Strip => {
                "load: M / S downward on the beveled strip (twice that in a sheet, which has half its strength on edge), and M tan b / S outward, half the load at each end of the holder cleat, midway between two places where the cleat is screwed or, where that is too much, over one; allowable: as for bending".to_owned()
            }
            Self::Bending => {
                "load: M / S of the worst net section; allowable: average bending strength × 0.737 (weakest of 20) × grain ÷ 2.1 or 2.3 (safety) × 0.9 (lasting load)".to_owned()
            }
            Self::Shear => {
                "load: 3 V / 2 A; allowable: average shear strength × 0.770 (weakest of 20) ÷ 2.1 or 2.3 (safety) × 0.9 (lasting load)".to_owned()
            }
            Self::Sag => {
                "load: sum of M m / E I and V v / G A' along the part, × 1.5 or 2.0 for creep; allowable: a hundredth of its length".to_owned()
            }
            Self::Screws => {
                format!(
                    "load: pull and side load on the most loaded screw; allowable: W' Z' / (W' cos² α + Z' sin² α), W' = {withdrawal} G² D per {thread} of thread, Z' the least of six yield modes, both × 0.9 (lasting load)"
                )
            }
            Self::EndGrain => "load: the pull; there is no allowable in end grain".to_owned(),
            Self::Heads => {
                let of_metric = match units {
                    Units::Inches => "",
                    Units::Millimeters => "; of screws sold in mm at most 10.5 D² (G / 0.42)^0.8 × 0.342",
                };
                format!(
                    "load: the pull on one screw; allowable: {through} π D G² t × 0.9, t the wood under the cone of the head{of_metric}"
                )
            }
            Self::Staying => {
                "load: how far out all loads act, about the bottom edge of the holder cleat; allowable: t (1 + tan a tan b) + (height of that edge above the bearing) × tan a, with a = b + atan 0.12, the least friction measured between woods".to_owned()
            }
            Self::Bevel => {
                "load: thrust square to the bevel on half its face; allowable: average crushing strength across the grain ÷ 1.67".to_owned()
            }
            Self::Splitting => {
                "load: M / S of the cleat's length by its thickness at the height of its screws, S = L t² / 6, M the most that the pushes in balance come to there, on the bevel N cos b along the cleat's face and N sin b square to it; allowable: average tension across the grain × 0.589 (weakest of 20) ÷ 2.1 or 2.3 (safety) × 0.9 (lasting load)".to_owned()
            }
            Self::Rim => {
                "load: P (4 t + 6 a) / (D t²), t the depth of the hole, D its diameter, a how far out of it the load P acts; allowable: average crushing strength across the grain ÷ 1.67 × the factor for a short bearing, of length D".to_owned()
            }
            Self::Studs => {
                "as for screws, with the wall covering counted as a gap; a stud gets at most what hangs within one stud spacing, shared by its screws".to_owned()
            }
            Self::Plugs => {
                "load: pull and side load on one screw, what hangs within one spacing shared by the screws there; allowable: what the plug's maker says for this wall".to_owned()
            }
        }
    }

    /// Where the formula is from.
    pub(crate) fn source(self) -> &'static str {
        match self {
            Self::Bending | Self::Strip => {
                "Wood Handbook FPL-GTR-190 eq. 9-13, ch. 5; ASTM D245; NDS-2018 table 2.3.2"
            }
            Self::Shear => {
                "Wood Handbook FPL-GTR-190 eq. 9-14, ch. 5; ASTM D245; NDS-2018 table 2.3.2"
            }
            Self::Sag => {
                "Wood Handbook FPL-GTR-190 eq. 9-2; NDS-2018 3.5.2; the limit is common practice, no source"
            }
            Self::Screws | Self::Studs => {
                "NDS-2018 eq. 12.2-2, tables 12.3.1A and B, eq. 12.4-1, table 2.3.2; the elastic sharing of the pull is elementary mechanics"
            }
            Self::Splitting => {
                "elementary mechanics; Wood Handbook FPL-GTR-282 table 5-3b, FPL-GTR-190 table 5-6; ASTM D245; NDS-2018 table 2.3.2"
            }
            Self::Rim => {
                "a rigid rod, its pressure running straight over the depth: elementary mechanics; Wood Handbook FPL-GTR-190 ch. 5; ASTM D245; NDS-2018 3.10.4"
            }
            Self::EndGrain => "NDS-2018 12.2.2.2",
            Self::Plugs => "statics of a rigid body",
            Self::Heads => "NDS-2018 eq. 12.2-6, table 2.3.2; EN 1995-1-1 eq. 8.40b",
            Self::Staying => {
                "statics of a rigid body; least friction: Aira, Arriaga, Iniguez-Gonzalez, Crespo, Materiales de Construccion 64 (2014); 0.4 for smooth dry wood is common practice, no source"
            }
            Self::Bevel => {
                "Wood Handbook FPL-GTR-190 ch. 5; ASTM D245; half the face is common practice, no source"
            }
        }
    }

    /// Whether a change of the holder may bring it down; a strip between studs and end grain have
    /// advice of their own.
    pub(crate) fn has_mend(self) -> bool {
        !matches!(self, Self::EndGrain | Self::Strip | Self::Plugs)
    }

    /// Whether going over it can hurt someone, rather than look bad or want a second thought.
    pub(crate) fn is_grave(self) -> bool {
        !matches!(self, Self::Sag | Self::EndGrain | Self::Strip | Self::Plugs)
    }

    /// A figure of it with what it counts.
    pub(crate) fn amount(self, value: f64) -> Amount {
        match self {
            Self::Bending
            | Self::Shear
            | Self::Bevel
            | Self::Splitting
            | Self::Rim
            | Self::Strip => Amount::Stress(value),
            Self::Sag if value < NOTHING => Amount::Under(NOTHING),
            Self::Sag | Self::Staying => Amount::Length(value),
            Self::Screws | Self::EndGrain | Self::Heads | Self::Studs | Self::Plugs => {
                Amount::Force(value)
            }
        }
    }

    /// The unit of its figures in summary.json.
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Self::Bending
            | Self::Shear
            | Self::Bevel
            | Self::Splitting
            | Self::Rim
            | Self::Strip => "N/mm²",
            Self::Sag | Self::Staying => "mm",
            Self::Screws | Self::EndGrain | Self::Heads | Self::Studs | Self::Plugs => "N",
        }
    }
}

impl Check {
    /// A check of `question` at `place`: asked and can, in the question's unit.
    pub(super) fn new(
        place: CheckPlace,
        question: LoadQuestion,
        [asked, can]: [f64; 2],
        grounds: Grounds,
    ) -> Self {
        Self { id: CheckId { place, question }, asked, can, grounds }
    }

    /// What is asked of a place that nothing here rates.
    pub(super) fn unrated(
        place: CheckPlace,
        question: LoadQuestion,
        asked: f64,
        grounds: Grounds,
    ) -> Self {
        Self::new(place, question, [asked, f64::INFINITY], grounds)
    }

    /// Whether there is an allowable to compare with.
    pub(crate) fn is_rated(&self) -> bool {
        self.can.is_finite()
    }

    /// What it comes to; `None` where all is well. A share above [`NEAR`] is worth a warning, but for what sags
    /// and for what a rigid body in balance does not near bit by bit.
    pub(crate) fn level(&self) -> Option<Level> {
        let over = self.ratio() > 1.0;
        match (self.id.question, &self.grounds) {
            (LoadQuestion::Plugs, _) => Some(Level::Note),
            (LoadQuestion::EndGrain | LoadQuestion::Sag, _) => over.then_some(Level::Warn),
            (LoadQuestion::Staying, Grounds::Reach { reach, dry, .. }) if over => {
                Some(if reach > dry { Level::Stop } else { Level::Warn })
            }
            (LoadQuestion::Staying, Grounds::Reach { reach, alone, .. }) => {
                (reach > alone).then_some(Level::Note)
            }
            (LoadQuestion::Strip, Grounds::Strip { over_a_stud, .. }) => {
                let over = over.then_some(Level::Stop);
                over.or(over_a_stud.then_some(Level::Note))
            }
            _ if over => Some(Level::Stop),
            _ => (self.ratio() > NEAR).then_some(Level::Warn),
        }
    }

    /// Its share over the most that passes without a warning: above 1 is too much.
    pub(crate) fn excess(&self) -> f64 {
        let near = self.id.question.is_grave() && self.id.question != LoadQuestion::Staying;
        self.ratio() / if near { NEAR } else { 1.0 }
    }

    /// Asked over can: above 1 is too much. Infinite where nothing can be counted on.
    pub(crate) fn ratio(&self) -> f64 {
        match (self.asked, self.can) {
            (0.0, _) => 0.0,
            (asked, can) if asked.is_finite() && can > 0.0 => asked / can,
            _ => f64::INFINITY,
        }
    }
}
