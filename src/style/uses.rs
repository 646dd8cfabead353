//! Which names the formulas of a style file use.

use std::collections::BTreeSet;

use indexmap::IndexMap;

use super::expr::{Expr, RepeatSpec, Say};
use super::load_spec::{
    CantileverSpec, CarrierModel, CarrierSpec, HookSpec, MendSpec, ScrewedSpec, SpanSpec, TurnSpec,
    WeightSpec,
};
use super::spec::{
    BevelSpec, CheckSpec, Choice, CutShape, CutSpec, DrillingSpec, HardwareSpec, HoleSpec,
    JointSpec, MarkSpec, Measure, NotchSpec, OutlineSpec, PartSpec, PocketSpec, PolygonSpec,
    RectangleSpec, ScrewRow, ScrewSpec, SitsSpec, SlotCourse, SlotMouth, SlotSpec, StepSpec,
    StyleFile, TraceSpec, TracedSpec, WindowSpec,
};

/// The names that `file`'s formulas use, and those that lists are as long as.
pub(super) fn names_used(file: &StyleFile) -> BTreeSet<&str> {
    let mut names = BTreeSet::new();
    file.gather(&mut names);
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
    StyleFile: made_by, live_load, measures, choices, workings, parts, joints, screws, hardware,
        checks, steps, weights, carries, may_change;
    PartSpec: diameter, when, outline, bevel, cuts, drillings, pockets, marks, sits;
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
    MarkSpec: from, to, repeat, when;
    SitsSpec: at, tilt, hinge, repeat, when;
    JointSpec: when, from, to, count, beyond, fit, relief;
    ScrewSpec: number, length, rows, when;
    ScrewRow: from, to, at_most, every, repeat;
    HardwareSpec: quantity, when;
    CheckSpec: when, say, repeat;
    StepSpec: text, when;
    WeightSpec: mass, out, when;
    CarrierSpec: when, repeat, model;
    CantileverSpec: root, mass, at;
    SpanSpec: from, to, mass;
    ScrewedSpec: mass, middle, turn;
    TurnSpec: out, pivot;
    HookSpec: bearing;
    MendSpec: tries, when;
}

impl Formulas for Measure {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.range.gather(names);
        names.extend(self.per.iter().map(|list| list.get_ref().as_str()));
    }
}

impl Formulas for Choice {
    fn gather<'a>(&'a self, names: &mut BTreeSet<&'a str>) {
        self.default.gather(names);
        self.range.gather(names);
        names.extend(self.per.iter().map(|list| list.get_ref().as_str()));
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
            Self::Hook(model) => model.gather(names),
        }
    }
}
