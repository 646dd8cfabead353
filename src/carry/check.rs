//! One line of the table: the load at a place and what is allowable there.

use super::grounds::Grounds;
use crate::holder::Level;
use crate::length::{Amount, Units};

/// A sag that no tape shows, in mm.
pub(super) const NOTHING: f64 = crate::length::MM_PER_INCH / 32.0;

/// Above this part of what a place can, a second look is due. Common practice, no source.
pub(crate) const NEAR: f64 = 0.8;

/// What is asked of a place in a holder, and what it can.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Check {
    pub id: CheckId,
    /// In the question's unit: knocks counted, but for a sag, which comes with time.
    pub asked: f64,
    /// In the same.
    pub can: f64,
    /// The share of what it can that is asked by what hangs still; infinite where nothing can be counted on.
    pub still: f64,
    /// What else holds that is not counted on.
    pub besides: Option<Besides>,
    /// What went into both.
    pub grounds: Grounds,
}

/// What holds where that which is counted on may not: the second line of a check.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Besides {
    pub by: HeldBy,
    /// The share of what it can with that, knocks counted and still.
    pub knocked: f64,
    pub still: f64,
}

/// What a second line rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum HeldBy {
    /// Glue in a joint of long grain on long grain.
    Glue,
    /// The friction of dry wood, beyond the least that was measured.
    DryFriction,
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
    /// What hangs off the middle of a part that is held in one place alone, in N.
    Turning,
    /// Tabs that are pulled out of their mortises, in N.
    Tabs,
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
    /// The wall cleat bent by a holder anywhere on it, in N/mm².
    Strip,
    /// The same by one whose middle hangs over a stud.
    OverStud,
    /// The back between the cleat it hangs on and its foot, in N/mm².
    Back,
}

/// What the figures of a question count.
#[derive(Clone, Copy)]
enum LoadFigure {
    /// In N/mm².
    Stress,
    /// In mm.
    Length,
    /// In N.
    Force,
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
            Self::Turning => "turning on one screw",
            Self::Tabs => "tabs pulled out",
            Self::Back => "bending below the cleat",
            Self::Heads => "screw heads pulling through",
            Self::Staying => "tipping off the cleat",
            Self::Bevel => "crushing the bevel",
            Self::Splitting => "splitting along its screws",
            Self::Rim => "crushing the rim",
            Self::Studs => "screws in the studs",
            Self::Plugs => "screws in plugs",
            Self::Strip => "bending between screws",
            Self::OverStud => "bending beside a stud",
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
            Self::Strip | Self::OverStud => {
                "load: M / S downward on the beveled strip (twice that in a sheet, which has half its strength on edge), and M / S outward by what draws its screws, half the load at each end of the holder cleat, where between two places at which the cleat is screwed it asks most, or with its middle over one; allowable: as for bending".to_owned()
            }
            Self::Back => {
                "load: M / S of the worst section across, net of holes: the foot's push times its height above the wall's push, and what turns in below the cleat; as wide as the part and 45° to either side of it; allowable: as for bending, with the grain as it lies".to_owned()
            }
            Self::Turning => "load: what hangs; one screw, or a row of one above the other, keeps nothing from turning on it".to_owned(),
            Self::Tabs => {
                "load: the pull on the tab that stands farthest from where the joint turns; allowable: of a wedge 2 c A (sin a + 0.12 cos a), c the crushing strength across the grain on an end A = tab thickness × depth, a the flare of 1/16 in over the depth; of glue the allowable shear on half of both cheeks".to_owned()
            }
            Self::Bending => {
                "load: M / S of the worst net section; allowable: average bending strength × 0.737 (weakest of 20) × grain ÷ 2.1 or 2.3 (safety) × 0.9 (lasting load)".to_owned()
            }
            Self::Shear => {
                "load: 3 V / 2 A; allowable: average shear strength × 0.770 (weakest of 20) ÷ 2.1 or 2.3 (safety) × 0.9 (lasting load)".to_owned()
            }
            Self::Sag => {
                "load: sum of M m / E I and V v / G A' along the part, × 1.5 or 2.0 for creep; allowable: a hundredth of its length, or what no tape shows".to_owned()
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
            Self::Bending | Self::Strip | Self::OverStud | Self::Back => {
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
            Self::Tabs => {
                "elementary mechanics; the flare and half of the cheeks are common practice, no source"
            }
            Self::Turning | Self::Plugs => "statics of a rigid body",
            Self::Heads => "NDS-2018 eq. 12.2-6, table 2.3.2; EN 1995-1-1 eq. 8.40b",
            Self::Staying => {
                "statics of a rigid body; least friction: Aira, Arriaga, Iniguez-Gonzalez, Crespo, Materiales de Construccion 64 (2014); 0.4 for smooth dry wood is common practice, no source"
            }
            Self::Bevel => {
                "Wood Handbook FPL-GTR-190 ch. 5; ASTM D245; half the face is common practice, no source"
            }
        }
    }

    /// Whether a change of the holder may bring it down; what nothing here rates no change does.
    pub(crate) fn has_mend(self) -> bool {
        self != Self::Plugs
    }

    /// What its figures count.
    fn measure(self) -> LoadFigure {
        match self {
            Self::Bending
            | Self::Shear
            | Self::Bevel
            | Self::Splitting
            | Self::Rim
            | Self::Strip
            | Self::OverStud
            | Self::Back => LoadFigure::Stress,
            Self::Sag | Self::Staying => LoadFigure::Length,
            Self::Screws
            | Self::EndGrain
            | Self::Turning
            | Self::Tabs
            | Self::Heads
            | Self::Studs
            | Self::Plugs => LoadFigure::Force,
        }
    }

    /// A figure of it with what it counts.
    pub(crate) fn amount(self, value: f64) -> Amount {
        match self.measure() {
            LoadFigure::Stress => Amount::Stress(value),
            LoadFigure::Length if self == Self::Sag && value < NOTHING => Amount::Under(NOTHING),
            LoadFigure::Length => Amount::Length(value),
            LoadFigure::Force => Amount::Force(value),
        }
    }

    /// The unit of its figures in summary.json.
    pub(crate) fn unit(self) -> &'static str {
        match self.measure() {
            LoadFigure::Stress => "N/mm²",
            LoadFigure::Length => "mm",
            LoadFigure::Force => "N",
        }
    }
}

impl Check {
    /// A check of `question` at `place`: asked and can, in the question's unit, by loads that are taken to hang still.
    pub(super) fn new(
        place: CheckPlace,
        question: LoadQuestion,
        [asked, can]: [f64; 2],
        grounds: Grounds,
    ) -> Self {
        let still = share(asked, can);
        Self { id: CheckId { place, question }, asked, can, still, besides: None, grounds }
    }

    /// The same with a second line, by which the loads are at most at a share.
    pub(super) fn besides(self, by: HeldBy, share: f64) -> Self {
        let besides = Besides { by, knocked: share, still: share };
        Self { besides: Some(besides), ..self }
    }

    /// The same check of loads that are knocked, which are `still` where they hang as they are; what hangs still may ask
    /// more, where it balances less well.
    pub(super) fn with_still(self, still: &Self) -> Self {
        if still.ratio() > self.ratio() {
            return still.clone();
        }
        let besides = self.besides.zip(still.besides);
        let besides = besides.map(|(knocked, still)| Besides { still: still.still, ..knocked });
        Self { still: still.still, besides: besides.or(self.besides), ..self }
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

    /// What it comes to; `None` where all is well. It stops where what hangs still is more than can be counted on,
    /// with what else holds; it warns where that is so with knocks, or where only what else holds it. A share above
    /// [`NEAR`] is worth a second look. Sags trouble the eye alone.
    pub(crate) fn level(&self) -> Option<Level> {
        let still = self.besides.map_or(self.still, |besides| besides.still.min(self.still));
        match (self.id.question, &self.grounds) {
            (LoadQuestion::Plugs, _) => Some(Level::Note),
            (LoadQuestion::Sag, _) => (self.ratio() > 1.0).then_some(Level::Warn),
            _ if still > 1.0 => Some(Level::Stop),
            _ if self.ratio() > 1.0 => Some(Level::Warn),
            // It is asked only of a holder that the wall cleat does not bear between two studs.
            (LoadQuestion::OverStud, _) => Some(Level::Warn),
            (LoadQuestion::Staying, Grounds::Reach { reach, alone, .. }) if reach > alone => {
                Some(Level::Note)
            }
            _ => (self.ratio() > NEAR).then_some(Level::Note),
        }
    }

    /// Asked over can: above 1 is too much. Infinite where nothing can be counted on.
    pub(crate) fn ratio(&self) -> f64 {
        share(self.asked, self.can)
    }
}

/// Asked over can, infinite where something is asked of what can nothing.
pub(super) fn share(asked: f64, can: f64) -> f64 {
    match (asked, can) {
        (0.0, _) => 0.0,
        (asked, can) if asked.is_finite() && can > 0.0 => asked / can,
        _ => f64::INFINITY,
    }
}
