//! A load on its way through the holder, from the part it lies on to the one that hangs on the wall:
//! how each part is bent and each joint loaded follows from where the parts touch.

use super::{Carrier, Model, Turn, Weight};
use crate::holder::Joint;
use crate::holder::bench::Bench;
use crate::holder::finding::{Finding, Refusal};
use crate::holder::joint::Joined;
use crate::holder::part::{Part, made_of};
use crate::holder::placement::Placement;
use crate::style::{Purpose, Runs, Space};
use crate::tolerance::COORDINATE;

/// What bears `weight` along `path`, part by part. A part that this holder does not have is passed over.
///
/// # Errors
/// When two parts that follow one another do not touch.
pub(super) fn along(
    bench: &Bench<'_>,
    path: &[&str],
    weight: Weight,
    joined: &Joined,
) -> Result<Vec<Carrier>, Refusal> {
    let path = path.iter().map(|kind| made_of(kind, &joined.parts));
    let path: Vec<Vec<usize>> = path.filter(|parts| !parts.is_empty()).collect();
    let mut carriers = Vec::new();
    for (parts, by) in path.iter().zip(path.iter().skip(1)) {
        let pieces = parts.iter().map(|part| joined.parts[*part].quantity()).sum();
        for part in parts {
            let on = by.iter().map(|by| Stretch { part: *part, by: *by, pieces, weight, joined });
            let Some(stretch) = on.clone().find(|on| on.held().is_some()).or(on.clone().next())
            else {
                continue;
            };
            carriers.extend(stretch.carriers().ok_or_else(|| stretch.apart(bench))?);
        }
    }
    Ok(carriers)
}

/// One part that carries the load, and the part that holds it.
struct Stretch<'a> {
    part: usize,
    by: usize,
    /// How many pieces of its kind share the load.
    pieces: usize,
    weight: Weight,
    joined: &'a Joined,
}

/// How a part is held by another.
#[derive(Clone, Copy, PartialEq)]
enum Held {
    /// It stands out from the other's front.
    Before,
    /// It lies on top of the other.
    On,
}

impl Stretch<'_> {
    fn carriers(&self) -> Option<Vec<Carrier>> {
        let held = self.held()?;
        let bent = Some(self.bent(held));
        let all = [bent, self.socket(held), self.screws(held), self.tabs(held), self.pulled(held)];
        Some(all.into_iter().flatten().collect())
    }

    fn held(&self) -> Option<Held> {
        let (low, _) = self.box_of(self.part);
        let (_, high) = self.box_of(self.by);
        let touches = |axis: usize| (low[axis] - high[axis]).abs() <= COORDINATE;
        // A peg goes into what holds it; an arm with tabs too.
        let joined = low[2] <= high[2] + COORDINATE && self.box_of(self.part).1[2] > high[2];
        match (touches(1) || self.has_tabs(self.by, self.part), touches(2) || joined) {
            (true, _) => Some(Held::On),
            (false, true) => Some(Held::Before),
            (false, false) => None,
        }
    }

    /// The part itself, held where the other's front is.
    fn bent(&self, held: Held) -> Carrier {
        let root = self.box_of(self.by).1[2];
        let (mass, at) = (self.each(), self.acts_at(held, root));
        let model = Model::Cantilever { part: self.part, runs: Runs::Out, root, mass, at };
        Carrier { what: self.named(self.part), model }
    }

    /// Where the load acts: at its own place on what lies on another, and where that is farther out than the
    /// middle; else it is spread from `root` to the tip.
    fn acts_at(&self, held: Held, root: f64) -> Option<f64> {
        let (_, tip) = self.box_of(self.part);
        let beyond = self.weight.out > f64::midpoint(root, tip[2]) + COORDINATE;
        (held == Held::On || beyond).then_some(self.weight.out)
    }

    /// The bore of the other that a round part stands in.
    fn socket(&self, held: Held) -> Option<Carrier> {
        let bores = &self.parts(self.by).drillings;
        let is_bored = bores.iter().any(|bore| bore.purpose == Purpose::Peg);
        if held != Held::Before || !self.parts(self.part).is_round() || !is_bored {
            return None;
        }
        let ((low, tip), (back, front)) = (self.box_of(self.part), self.box_of(self.by));
        let (depth, middle) = (front[2] - low[2].max(back[2]), f64::midpoint(front[2], tip[2]));
        let lever = self.acts_at(held, front[2]).unwrap_or(middle) - front[2];
        let (rod, into, mass) = (self.part, self.by, self.each());
        let what = format!("the hole of {}, in {}", self.named(rod), self.named(into));
        let model = Model::Socket { rod, into, depth, lever, mass };
        (depth > COORDINATE).then_some(Carrier { what, model })
    }

    /// The screws that join the two.
    fn screws(&self, held: Held) -> Option<Carrier> {
        let ends = [self.part, self.by];
        let between = |i: &usize| {
            let joint = &self.joined.screws[*i];
            let far = joint.screws.iter().filter_map(|screw| screw.into).map(|far| far.part);
            ends.contains(&joint.through)
                && far.clone().any(|far| ends.contains(&far) && far != joint.through)
        };
        let joints: Vec<usize> = (0..self.joined.screws.len()).filter(between).collect();
        let through = self.box_of(self.joined.screws[*joints.first()?].through).0;
        // It turns open about the lowest place where they touch, or about the front of what it lies on.
        let pivot = match held {
            Held::Before => self.box_of(self.part).0[1].max(self.box_of(self.by).0[1]) - through[1],
            Held::On => self.box_of(self.by).1[2] - through[2],
        };
        let turn = Some(Turn { out: self.weight.out, pivot });
        // Screws through the part itself carry what lies on it; those through the other, all.
        let own = self.joined.screws[*joints.first()?].through == self.part;
        let mass = if own {
            self.each() * self.parts(self.part).quantity() as f64
        } else {
            self.weight.mass
        };
        let mut abouts: Vec<&str> =
            joints.iter().map(|i| self.joined.screws[*i].about.as_str()).collect();
        abouts.dedup();
        let what = format!("screws, {}", abouts.join(" and "));
        Some(Carrier { what, model: Model::Screws { joints, mass, turn, middle: None } })
    }

    /// The tabs of the one in the other.
    fn tabs(&self, held: Held) -> Option<Carrier> {
        let (low, high) = self.box_of(self.by);
        let middle = f64::midpoint(low[2], high[2]);
        if held == Held::Before && self.has_tabs(self.part, self.by) {
            let model = Model::Cantilever {
                part: self.part,
                runs: Runs::Out,
                root: middle,
                mass: self.each(),
                at: self.acts_at(held, self.box_of(self.by).1[2]),
            };
            return Some(Carrier { what: self.tabs_of(self.part, self.by), model });
        }
        if held == Held::On && self.has_tabs(self.by, self.part) {
            // Tabs that stand up through a part are bent by what tips it forward: as much as if it all
            // pushed on their tips.
            let (low, high) = self.box_of(self.part);
            let mass = self.weight.mass * (self.weight.out - middle) / (high[1] - low[1]);
            let model = Model::Cantilever {
                part: self.by,
                runs: Runs::Up,
                root: low[1],
                mass,
                at: Some(high[1]),
            };
            return Some(Carrier { what: self.tabs_of(self.by, self.part), model });
        }
        None
    }

    /// The same tabs pulled out by what turns the joint open: about the lower edge of what stands before the other, or
    /// about the front of what it lies on.
    fn pulled(&self, held: Held) -> Option<Carrier> {
        let (tabs, into, pivot) = match held {
            Held::Before => (self.part, self.by, self.box_of(self.part).0[1]),
            Held::On => (self.by, self.part, self.box_of(self.by).1[2]),
        };
        let names = [tabs, into].map(|index| self.parts(index).name.as_str());
        let same = |joint: &Joint| [joint.tabs.as_str(), joint.into.as_str()] == names;
        let joint = self.joined.joints.iter().position(|joint| same(joint) && !joint.loose)?;
        let mass = match held {
            Held::Before => self.each() * self.parts(self.part).quantity() as f64,
            Held::On => self.weight.mass,
        };
        let turn = Turn { out: self.weight.out, pivot };
        let what = self.tabs_of(tabs, into);
        Some(Carrier { what, model: Model::Tabs { joint, mass, turn, up: held == Held::On } })
    }

    /// Whether a part has tabs that go into another.
    fn has_tabs(&self, part: usize, into: usize) -> bool {
        let [tabs, into] = [part, into].map(|index| self.parts(index).name.as_str());
        self.joined.joints.iter().any(|joint| joint.tabs == tabs && joint.into == into)
    }

    fn tabs_of(&self, part: usize, into: usize) -> String {
        format!("the tabs of {}, in {}", self.named(part), self.named(into))
    }

    /// The mass that one piece of the part carries.
    fn each(&self) -> f64 {
        self.weight.mass / self.pieces as f64
    }

    fn parts(&self, index: usize) -> &Part {
        &self.joined.parts[index]
    }

    /// The level box around all pieces of a part.
    fn box_of(&self, index: usize) -> (Space, Space) {
        Placement::around(&self.parts(index).places).unwrap_or_default()
    }

    /// `an arm`, or `the shelf` where there is but one.
    fn named(&self, index: usize) -> String {
        let part = self.parts(index);
        let article = match part.name.chars().next() {
            _ if part.quantity() == 1 => "the",
            Some('a' | 'e' | 'i' | 'o' | 'u') => "an",
            _ => "a",
        };
        format!("{article} {}", part.name.replace('-', " "))
    }

    fn apart(&self, bench: &Bench<'_>) -> Refusal {
        let [part, by] = [self.part, self.by].map(|index| &self.parts(index).name);
        let ((low, _), (_, high)) = (self.box_of(self.part), self.box_of(self.by));
        let gap = (low[2] - high[2]).max(low[1] - high[1]);
        let message = format!(
            "The load goes from {part} to {by}, and they are {} apart: bring them together (sits), or \
             say the path that it takes (path in [[weights]]).",
            bench.write(gap.abs())
        );
        Finding::stop("load-path", message).into()
    }
}
