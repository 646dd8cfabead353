//! Woods: what they weigh and what clear pieces of them bear on average.
//!
//! Two books give each wood a specific gravity, on different volumes and for different formulas.
//! They are two types here, so that neither can be put where the other belongs.

use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

/// Specific gravity after the Wood Handbook: ovendry weight on the volume at 12 % moisture
/// (FPL-GTR-190 table 5-3a, footnote b). For its own formulas, which give ultimate loads.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Deserialize)]
pub(crate) struct HandbookGravity(pub f64);

/// Specific gravity after the NDS: ovendry weight on the ovendry volume (NDS-2018 table 12.3.3A).
/// For its own formulas, which give design values.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Deserialize)]
pub(crate) struct NdsGravity(pub f64);

/// The gravity to take where the NDS gives no fastener values for a wood: that of its lightest
/// softwoods.
const CAREFUL_GRAVITY: NdsGravity = NdsGravity(0.35);

/// The least tension across the grain of the table, in MPa: 220 lb/in², Atlantic white cedar (FPL-GTR-282 table 5-3b).
const LEAST_TENSION_ACROSS: f64 = 1.516;

/// More words than any name in the file has.
const LONGEST_NAME: usize = 8;

/// What a wood is, as far as formulas tell woods apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum WoodKind {
    Hardwood,
    #[default]
    Softwood,
    Plywood,
    Strandboard,
    Fiberboard,
}

impl WoodKind {
    /// Whether it is a panel made of layers, strands or fibers, and no sawn wood.
    pub(crate) fn is_panel(self) -> bool {
        !matches!(self, Self::Hardwood | Self::Softwood)
    }
}

/// A row of `woods.toml`: averages at 12 % moisture, with their source. They are no design
/// values; [`crate::strength`] makes those of them.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Wood {
    /// Lower-case names, words parted by single spaces; the first is the one to show.
    pub names: Vec<String>,
    pub kind: WoodKind,
    /// Whether this is no one wood but the lowest figures of its kind.
    #[serde(default)]
    pub careful: bool,
    /// Whether it is a strength class: its strengths are what 19 of 20 pieces reach, knots and all, and no
    /// averages.
    #[serde(default)]
    pub graded: bool,
    density: Option<f64>,
    /// `None` for panels and strength classes.
    pub handbook_gravity: Option<HandbookGravity>,
    /// `None` where the NDS gives no fastener values.
    pub nds_gravity: Option<NdsGravity>,
    /// The NDS row the gravity is from.
    #[serde(default)]
    pub nds_source: String,
    /// Modulus of rupture along the grain, in MPa.
    pub bending_strength: f64,
    /// Modulus of elasticity along the grain, in MPa.
    pub stiffness: f64,
    /// Compression across the grain at the proportional limit, in MPa.
    pub crushing: f64,
    /// Shear along the grain, in MPa; for panels between the layers.
    pub shear: f64,
    /// Tension across the grain, in MPa; `None` where the table has none, and for panels.
    pub tension_across: Option<f64>,
    pub source: String,
}

impl Wood {
    /// Its name; empty only for [`Wood::default`].
    pub(crate) fn name(&self) -> &str {
        self.names.first().map_or("", String::as_str)
    }

    /// The gravity to count its screws with: the careful one where the NDS gives none.
    pub(crate) fn screw_gravity(&self) -> NdsGravity {
        self.nds_gravity.unwrap_or(CAREFUL_GRAVITY)
    }

    /// Its tension across the grain to count with: the least of the table where that has none.
    pub(crate) fn splitting_strength(&self) -> f64 {
        self.tension_across.unwrap_or(LEAST_TENSION_ACROSS)
    }

    /// In kg/m³ at 12 % moisture. Where the row gives none, gravity × 1.12 × 1000 (Wood Handbook
    /// ch. 4: the moisture adds its weight, not its volume, to that gravity's basis).
    pub(crate) fn density(&self) -> f64 {
        let dry = self.handbook_gravity.map_or(0.0, |gravity| gravity.0);
        self.density.unwrap_or((dry * 1.12 * 1000.0).round())
    }
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct Woods {
    wood: Vec<Wood>,
}

/// Empty if the built-in file were unsound, which a test rules out.
static WOODS: LazyLock<Woods> =
    LazyLock::new(|| toml::from_str(include_str!("woods.toml")).unwrap_or_default());

/// Every name with its wood's place in the file.
static NAMES: LazyLock<HashMap<&str, usize>> = LazyLock::new(|| {
    let named = woods().iter().enumerate();
    named.flat_map(|(at, wood)| wood.names.iter().map(move |name| (name.as_str(), at))).collect()
});

/// Bears nothing.
static NOTHING: LazyLock<Wood> = LazyLock::new(Wood::default);

/// Every row, in the order of the file.
pub(super) fn woods() -> &'static [Wood] {
    &WOODS.wood
}

/// The wood a name stands for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FoundWood {
    pub wood: &'static Wood,
    /// False when the name says no more than a kind of wood, or nothing at all: then the careful
    /// row of that kind stands in, softwood's if not even the kind is known.
    pub known: bool,
}

/// Finds a wood by what a person calls it: the row with the longest name that occurs in `name` as
/// whole words, a panel's name before a solid wood's (so that maple plywood is plywood).
pub(crate) fn find_wood(name: &str) -> FoundWood {
    let wood = named_wood(name);
    let known = wood.is_some_and(|wood| !wood.careful);
    FoundWood { wood: wood.unwrap_or_else(|| careful(WoodKind::Softwood)), known }
}

/// More names than any shop has.
const MANY_NAMES: usize = 500;

thread_local! {
    /// Names that were asked after: a load asks for the same few again and again.
    static ASKED: RefCell<HashMap<String, Option<&'static Wood>>> = RefCell::default();
}

/// The wood or kind of wood that `name` names; `None` when it names none.
fn named_wood(name: &str) -> Option<&'static Wood> {
    ASKED.with_borrow_mut(|asked| {
        if let Some(found) = asked.get(name) {
            return *found;
        }
        if asked.len() >= MANY_NAMES {
            asked.clear();
        }
        *asked.entry(name.to_owned()).or_insert_with(|| wood_in(name))
    })
}

/// What [`named_wood`] finds.
fn wood_in(name: &str) -> Option<&'static Wood> {
    let lower = name.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let mut all = String::with_capacity(lower.len());
    // Where each word begins and ends in `all`.
    let words = words.map(|word| {
        all.extend((!all.is_empty()).then_some(' '));
        all.push_str(word);
        [all.len() - word.len(), all.len()]
    });
    let words: Vec<[usize; 2]> = words.collect();
    let runs = (0..words.len())
        .flat_map(|from| (from + 1..=words.len()).map(move |to| (from, to)).take(LONGEST_NAME));
    let named = runs.filter_map(|(from, to)| {
        let run = &all[words[from][0]..words[to - 1][1]];
        let at = *NAMES.get(run)?;
        let wood = &woods()[at];
        Some(((wood.kind.is_panel(), wood.graded, run.len(), at), wood))
    });
    named.max_by_key(|(rank, _)| *rank).map(|(_, wood)| wood)
}

/// What to write where `name` is misspelled or no wood known here; `None` where it is one.
pub(crate) fn wood_advice(name: &str) -> Option<String> {
    const OTHER: &str = "For a wood not listed write \"hardwood\" or \"softwood\"";
    let all: Vec<&str> = woods().iter().flat_map(|w| &w.names).map(String::as_str).collect();
    match mended(name, &all).or_else(|| like(name, &all)) {
        Some(meant) if named_wood(name).is_none() || mended(name, &all).is_some() => {
            Some(format!("did you mean \"{meant}\"? {OTHER}"))
        }
        None if named_wood(name).is_none() => {
            Some(format!("write a wood such as \"hard maple\". {OTHER}"))
        }
        _ => None,
    }
}

/// The name of `all` that most of the letters of `name` stand for.
fn like(name: &str, all: &[&str]) -> Option<String> {
    let name = name.to_lowercase();
    let likeness = |known: &str| strsim::normalized_damerau_levenshtein(&name, known);
    let best = all.iter().map(|known| (likeness(known), *known)).max_by(|a, b| a.0.total_cmp(&b.0));
    best.filter(|(score, _)| *score >= 0.7).map(|(_, known)| known.to_owned())
}

/// `name` with the word put right that is a slip for a word of the names `all`.
fn mended(name: &str, all: &[&str]) -> Option<String> {
    let known: Vec<&str> = all.iter().flat_map(|name| name.split(' ')).collect();
    let lower = name.to_lowercase();
    let mut words =
        lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !known.contains(word));
    words.find_map(|word| {
        let meant = known.iter().find(|known| is_slip(word, known))?;
        Some(lower.replacen(word, meant, 1))
    })
}

/// Whether `word` is `known` with one letter wrong, lacking, too many, or two changed about. Short
/// words are told apart by one letter, and what goes on after a known word is an ending.
fn is_slip(word: &str, known: &str) -> bool {
    let letters = |word: &str| {
        let mut letters: Vec<char> = word.chars().collect();
        letters.sort_unstable();
        letters
    };
    let long = word.chars().count() > 4 || letters(word) == letters(known);
    let ending = word.starts_with(known) || known.starts_with(word);
    long && !ending && strsim::osa_distance(word, known) == 1
}

/// The row of lowest figures for a kind of wood; for panels the weakest panel of that kind.
pub(super) fn careful(kind: WoodKind) -> &'static Wood {
    let of_kind = woods().iter().filter(|wood| wood.kind == kind && !wood.graded);
    let lowest = of_kind.min_by(|a, b| {
        (!a.careful, a.bending_strength)
            .partial_cmp(&(!b.careful, b.bending_strength))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    lowest.unwrap_or(&NOTHING)
}

/// Density in kg/m³ of the wood called `name`, at 12 % moisture. `None` for an unknown wood.
pub(crate) fn density(name: &str) -> Option<f64> {
    let found = find_wood(name);
    found.known.then(|| found.wood.density())
}

#[cfg(test)]
mod tests {
    use super::{WoodKind, careful, density, find_wood, wood_advice, woods};

    #[test]
    fn woods_are_known_by_name() {
        assert_eq!(density("Red oak"), density("red oak"));
        assert!(density("birch plywood") != density("yellow birch"));
        assert_eq!(density("driftwood"), None);
        assert_eq!(density("hardwood 3/4"), None);
    }

    #[test]
    fn a_panel_is_no_solid_wood() {
        assert_eq!(find_wood("red alder plywood 3/4").wood.name(), "plywood");
        assert_eq!(find_wood("Douglas-fir, clear").wood.name(), "coast douglas fir");
        assert_eq!(find_wood("a cloak of mashed peas").wood.name(), "softwood");
    }

    #[test]
    fn every_kind_has_a_careful_row_no_stronger_than_the_rest() {
        assert!(woods().len() > 20);
        use WoodKind::{Fiberboard, Hardwood, Plywood, Softwood, Strandboard};
        for kind in [Hardwood, Softwood, Plywood, Strandboard, Fiberboard] {
            let low = careful(kind);
            assert_eq!(low.kind, kind);
            let clear = woods().iter().filter(|wood| !wood.graded);
            for wood in clear.filter(|wood| wood.kind == kind) {
                assert!(low.bending_strength <= wood.bending_strength, "{}", wood.name());
                assert!(low.stiffness <= wood.stiffness, "{}", wood.name());
                assert!(low.crushing <= wood.crushing, "{}", wood.name());
                assert!(low.shear <= wood.shear, "{}", wood.name());
                assert!(low.nds_gravity <= wood.nds_gravity, "{}", wood.name());
                assert!(!low.careful || low.density() >= wood.density(), "{}", wood.name());
            }
        }
    }

    /// One name, one row; a shop that writes a name gets that row.
    #[test]
    fn names_lead_to_their_own_row() {
        for wood in woods() {
            for name in &wood.names {
                assert_eq!(find_wood(name).wood.name(), wood.name(), "{name}");
            }
        }
    }

    #[test]
    fn a_misspelled_wood_is_told_with_the_one_meant() {
        let slips = [
            ("birhc plywood", "birch plywood"),
            ("hard mapel", "hard maple"),
            ("Red Oka", "red oak"),
            ("spruce-pien-fir", "spruce-pine-fir"),
            ("Duoglas fir", "douglas fir"),
            ("plywod", "plywood"),
            ("walnutt", "walnut"),
        ];
        for (slip, meant) in slips {
            let advice = wood_advice(slip).unwrap_or_default();
            assert!(advice.contains(&format!("did you mean \"{meant}\"?")), "{slip}: {advice}");
        }
        for strange in ["driftwood", "Birke", "???", "ipe"] {
            assert!(wood_advice(strange).is_some_and(|advice| advice.contains("hardwood")));
        }
        let right =
            ["Douglas-fir, clear", "baltic birch ply, B/BB", "boards of oak", "stud grade fir"];
        for name in woods().iter().flat_map(|w| &w.names).map(String::as_str).chain(right) {
            assert_eq!(wood_advice(name), None, "{name}");
        }
    }

    /// Where the NDS has no row, the gravity taken is not above the Wood Handbook's.
    #[test]
    fn gravities_taken_for_want_of_a_row_are_careful() {
        for wood in woods().iter().filter(|wood| wood.nds_source == "below") {
            let taken = wood.nds_gravity.map(|gravity| gravity.0);
            assert!(taken <= wood.handbook_gravity.map(|gravity| gravity.0), "{}", wood.name());
        }
    }
}
