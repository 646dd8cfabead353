//! Holders: parts in their place, with the screws that join them and what the checks say.

mod alike;
mod bench;
mod beside_cut;
mod bit;
mod bore;
mod build;
pub(crate) mod caution;
mod clash;
mod crossing;
mod cut_room;
mod explain;
mod faces;
mod fasten;
mod feature;
mod finding;
mod fit;
mod footprint;
mod given;
mod hardware;
mod joint;
mod laid;
mod load;
mod loose;
mod mirror;
mod open_sides;
mod outline;
mod part;
mod part_of;
mod piece;
mod placement;
mod plain;
mod pocket;
mod repeat;
mod sayings;
mod screw_course;
mod screw_path;
mod screw_pick;
mod screws;
mod settled;
mod shaped;
mod sit;
mod sketch;
mod sound;
mod step;
mod stock;
mod suits;
mod told;
mod tools;
mod trace;
mod values;

use std::collections::BTreeMap;

use indexmap::IndexMap;
use kurbo::Point;

use crate::formula::Value;
use crate::length::Units;
pub(crate) use crate::shop::StockKind;
#[cfg(test)]
pub(crate) use crate::style::Facing;
pub(crate) use crate::style::{Edge, Face, Grain, Level, Purpose, Space};
pub(crate) use bit::HoleBit;
pub(crate) use build::{build, cut_parts, look_over};
pub(crate) use explain::Explain;
pub(crate) use feature::{Feature, SlotForm};
pub(crate) use finding::{Finding, Refusal, SETTLED};
pub(crate) use given::stock_kind;
pub(crate) use hardware::{Hardware, HardwareKind, ScrewSize};
pub(crate) use load::{Carrier, Model, SpanLoad, Turn, Weight};
#[cfg(test)]
pub(crate) use open_sides::OpenSides;
pub(crate) use part::{Bevel, Drilling, MadeBy, Mark, MarkKind, Part, Pocket, Row};
#[cfg(test)]
pub(crate) use part::{EdgeName, Stock};
pub(crate) use part_of::PartOf;
pub(crate) use placement::Placement;
pub(crate) use plain::Likeness;
pub(crate) use screws::{ScrewJoint, Seated};
pub(crate) use settled::SettledChoice;
pub(crate) use sketch::{SketchLine, ToolSketch, sketched};
pub(crate) use step::Step;
pub(crate) use suits::suited;
pub(crate) use tools::{HungTool, Leg, Solid};
pub(crate) use values::Values;

/// One thing made of wood that hangs on the wall and keeps tools.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Holder {
    /// Its name, safe as a folder name.
    pub name: String,
    /// Name of its style.
    pub style: String,
    /// What a person calls it.
    pub title: String,
    /// Whether it hangs already: nothing more is cut or bought for it.
    pub built: bool,
    /// What its figures are written in.
    pub units: Units,
    /// Measures, choices and workings, in the order of the style.
    pub values: IndexMap<String, Value>,
    /// The names of the stock that choices of stock picked, by the choice's name.
    pub picked: BTreeMap<String, String>,
    /// What its middle is marked for, such as "over a stud".
    pub middle: Option<String>,
    pub parts: Vec<Part>,
    /// Of a style that makes wall cleats: how high the lower edge of each is above the holder's foot, in mm.
    pub wall_cleats: Vec<f64>,
    /// Tab joints between its parts.
    pub joints: Vec<Joint>,
    /// Screws, joint by joint.
    pub screws: Vec<ScrewJoint>,
    /// The tools that hang on it, as far as its style says what they look like.
    pub tools: Vec<HungTool>,
    /// What they weigh.
    pub weights: Vec<Weight>,
    /// What must bear that.
    pub carriers: Vec<Carrier>,
    /// The part of its places that is left empty for now.
    pub spare: f64,
    /// By what the weights are multiplied for knocks and pulls; `None` where its style does not say.
    pub live_load: Option<f64>,
    pub hardware: Vec<Hardware>,
    /// How it is made, step by step.
    pub steps: Vec<Step>,
    /// Whether parts are flush trimmed to a master with a bearing bit.
    pub flush_trimmed: bool,
    /// Worst first.
    pub findings: Vec<Finding>,
    /// The choices that were left open and are not at their style's default.
    pub settled: Vec<SettledChoice>,
    /// Width, height, and how far it stands out from the wall, in mm.
    pub size: Space,
    /// Mass of its wood in kg.
    pub mass: f64,
}

/// A tab joint between two parts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Joint {
    /// Name of the part with the tabs.
    pub tabs: String,
    /// Name of the part they go into.
    pub into: String,
    /// How many tabs there are, over all pieces.
    pub count: usize,
    /// Width of one tab in mm.
    pub width: f64,
    /// Clearance at each face of a tab in mm; negative for a press fit.
    pub clearance: f64,
    /// The same at each end of its width.
    pub end_clearance: f64,
    /// How far the tabs stand out until they are sanded flush, in mm.
    pub proud: f64,
    /// Whether a wedge keeps each tab from pulling out; else glue alone does.
    pub wedged: bool,
    /// Whether the tabs are a whole part, a loose key.
    pub loose: bool,
    /// Each tab in the holder, sanded flush: its low and its high corner.
    pub tabs_at: Vec<(Space, Space)>,
    /// The same as they are cut, as far as they stand out.
    pub cut_at: Vec<(Space, Space)>,
    /// How far past a tab wood is cut away at most, reliefs and all, in mm.
    pub opened_by: f64,
}

impl Holder {
    /// Adds to what is found, the worst first.
    pub(crate) fn tell(&mut self, more: Vec<Finding>) {
        self.findings.extend(more);
        self.findings.sort_by_key(|finding| finding.level);
    }

    /// The holder cleat of what hangs on a wall cleat.
    pub(crate) fn hook_cleat(&self) -> Option<&Part> {
        self.carriers.iter().find_map(|carrier| match carrier.model {
            Model::Hook { cleat, .. } => Some(&self.parts[cleat]),
            _ => None,
        })
    }

    /// Says where it has to hang: a line across the middle of its holder cleat, and a step. `place` is what
    /// comes there, as "over a stud".
    pub(crate) fn mark_middle(&mut self, place: &str) {
        let hooks = self.carriers.iter().filter_map(|carrier| match carrier.model {
            Model::Hook { cleat, .. } => Some(cleat),
            _ => None,
        });
        for cleat in hooks.collect::<Vec<_>>() {
            let part = &mut self.parts[cleat];
            let middle = part.length() / 2.0;
            let [from, to] = [0.0, part.width()].map(|y| Point::new(middle, y));
            part.marks.push(Mark { kind: MarkKind::Center { from, to }, label: place.to_owned() });
        }
        let carry = format!(
            "Carry the middle of the holder cleat over to the front of the holder, and hang it with that line {place}."
        );
        self.steps.push(carry.into());
        self.middle = Some(place.to_owned());
    }
}
