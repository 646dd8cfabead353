//! Which names the formulas of a style file use.

use std::collections::BTreeSet;

use indexmap::IndexMap;

use super::asked::{Choice, Gives, Measure, Said};
use super::expr::{Expr, Figures, Named, RepeatSpec, Say};
use super::load_spec::{
    CantileverSpec, CarrierKeys, CarrierModel, HookSpec, ScrewedSpec, SpanLoadSpec, SpanSpec,
    TabbedSpec, TurnSpec, WeightSpec,
};
use super::spec::{
    BevelSpec, CheckKeys, CutShape, CutSpec, DrillingSpec, FootprintRow, HardwareSpec, HoleSpec,
    JointSpec, MarkSpec, NotchSpec, OutlineSpec, PartKeys, PocketSpec, PolygonSpec, RectangleSpec,
    ScrewCourse, ScrewKeys, ScrewRow, SeriesSpec, SeriesWay, SitsSpec, SlotCourse, SlotMouth,
    SlotSpec, StepSpec, StyleFile, SuitsSpec, TraceSpec, TracedSpec, WindowSpec,
};
use super::tool_spec::{LegSpec, SolidKeys, ToolSpec};

/// The names that a file's formulas use, and those that lists are as long as.
pub(super) fn names_used<'a>(
    file: &'a StyleFile,
    measures: &'a Said<Measure>,
    choices: &'a Said<Choice>,
) -> BTreeSet<&'a str> {
    let mut names = BTreeSet::new();
    file.gather(&mut names);
    measures.gather(&mut names);
    choices.gather(&mut names);
    names
}

/// What has formulas in it.
trait Formulas {
    /// Puts the names they use into `names`.
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>);
}

impl Formulas for Expr {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        names.extend(self.formula.names());
    }
}

impl Formulas for Say {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        names.extend(self.template.formulas().flat_map(crate::formula::Formula::names));
    }
}

impl<T: Formulas> Formulas for Option<T> {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.iter().for_each(|inner| inner.gather(names));
    }
}

impl<T: Formulas> Formulas for Vec<T> {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.iter().for_each(|inner| inner.gather(names));
    }
}

impl<T: Formulas, const SIZE: usize> Formulas for [T; SIZE] {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.iter().for_each(|inner| inner.gather(names));
    }
}

impl<K, T: Formulas> Formulas for IndexMap<K, T> {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.values().for_each(|inner| inner.gather(names));
    }
}

/// Structs by those of their fields that have formulas.
macro_rules! formulas {
    ($($of:ty: $($field:ident),+;)+) => { $(
        impl Formulas for $of {
            fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
                $(self.$field.gather(names);)+
            }
        }
    )+ };
}

formulas! {
    StyleFile: made_by, live_load, series, workings, parts, screws, hardware, checks, steps,
        tool, weights, carries, suits;
    SuitsSpec: when, merit, because;
    SeriesSpec: way, ends;
    PartKeys: diameter, when, repeat, size, outline, bevel, tabs, cuts, drillings, pockets, marks, sits;
    RectangleSpec: size, lower_left, lower_right, upper_right, upper_left;
    PolygonSpec: corners, radii;
    TraceSpec: turn;
    BevelSpec: angle;
    CutSpec: shape, repeat, when;
    SlotSpec: end, width, course;
    HoleSpec: at, diameter;
    WindowSpec: at, size, radius;
    NotchSpec: middle, width, depth, radius;
    TracedSpec: svg, at, clearance;
    RepeatSpec: count, step;
    DrillingSpec: at, diameter, depth, lean, repeat, when;
    PocketSpec: at, size, depth, repeat, when;
    MarkSpec: from, to, say, repeat, when;
    SitsSpec: at, tilt, hinge, repeat, when;
    JointSpec: when, from, to, count, beyond, proud, fit, end_fit, relief, wedged;
    ScrewKeys: screw, length, course, when;
    FootprintRow: ends, from, to, line, lines, at_most, every;
    ScrewRow: from, to, at_most, every, repeat;
    HardwareSpec: quantity, when;
    CheckKeys: when, say, repeat;
    StepSpec: text, when;
    ToolSpec: at, repeat, when, lean, body, comes, steady;
    SolidKeys: from, to, diameter, when;
    LegSpec: by, when;
    WeightSpec: mass, out, when;
    CarrierKeys: when, repeat, model;
    CantileverSpec: root, mass, at;
    SpanSpec: from, to, loads;
    SpanLoadSpec: mass, at;
    ScrewedSpec: mass, middle, turn;
    TabbedSpec: mass;
    TurnSpec: out, pivot;
    HookSpec: bearing;
}

impl Formulas for Measure {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.default.gather(names);
        self.range.gather(names);
        names.extend(self.per.iter().chain(&self.per_tool).map(|list| list.get_ref().as_str()));
    }
}

impl Formulas for Choice {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.default.gather(names);
        self.range.gather(names);
        self.when.gather(names);
        if let Gives::Values(values) = &self.gives {
            values.gather(names);
        }
        names.extend(self.per.iter().chain(&self.per_tool).map(|list| list.get_ref().as_str()));
    }
}

impl<const COUNT: usize> Formulas for Figures<COUNT> {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.iter().for_each(|inner| inner.gather(names));
    }
}

impl<T: Formulas> Formulas for Named<T> {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        (**self).gather(names);
    }
}

impl Formulas for SeriesWay {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Wide { of, count, gap } => {
                of.gather(names);
                count.gather(names);
                gap.gather(names);
            }
            Self::Pitched { count, pitch } => {
                count.gather(names);
                pitch.gather(names);
            }
        }
    }
}

impl Formulas for ScrewCourse {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Rows(rows) => rows.gather(names),
            Self::Footprint(row) => row.gather(names),
        }
    }
}

impl Formulas for OutlineSpec {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Rectangle(rectangle) => rectangle.gather(names),
            Self::Polygon(polygon) => polygon.gather(names),
            Self::Svg(trace) => trace.gather(names),
        }
    }
}

impl Formulas for CutShape {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Slot(slot) => slot.gather(names),
            Self::Hole(hole) => hole.gather(names),
            Self::Window(window) => window.gather(names),
            Self::Notch(notch) => notch.gather(names),
            Self::Traced(traced) => traced.gather(names),
        }
    }
}

impl Formulas for SlotCourse {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Open { mouth, .. } => mouth.gather(names),
            Self::Closed { to, end_diameter } => {
                to.gather(names);
                end_diameter.gather(names);
            }
        }
    }
}

impl Formulas for SlotMouth {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Straight { end_diameter } => end_diameter.gather(names),
            Self::Tapered { width: figure } | Self::Eased { radius: figure } => {
                figure.gather(names);
            }
        }
    }
}

impl Formulas for CarrierModel {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        match self {
            Self::Cantilever(model) => model.gather(names),
            Self::Span(model) => model.gather(names),
            Self::Screws(model) => model.gather(names),
            Self::Tabs(model) => model.gather(names),
            Self::Hook(model) => model.gather(names),
        }
    }
}
