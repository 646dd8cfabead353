//! Holder files drawn from all over a style's ranges. The same number draws the same file.

use std::fmt::Write;

use crate::holder::stock_kind;
use crate::length::Units;
use crate::reading::Kind;
use crate::shop::Shop;
use crate::style::{Choice, ChoiceKind, Expr, Many, Style};

/// Most tools that are measured each for itself.
const ENTRIES: u64 = 4;

/// A row of numbers that look random, by the SplitMix64 of Steele, Lea and Flood (2014).
pub(super) struct Draw(u64);

impl Draw {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0xA24B_AED4_963E_E407))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// From 0 to 1; either end now and then, as that is where things go wrong.
    fn share(&mut self) -> f64 {
        match self.next() % 16 {
            0 => 0.0,
            1 => 1.0,
            _ => (self.next() >> 11) as f64 / (1_u64 << 53) as f64,
        }
    }

    /// A holder file: all measures but some of those that may be left out, in a `calm` one in the lower part of their ranges, where most tools are,
    /// and no choice stated; in others a choice here and there.
    pub(super) fn file(
        &mut self,
        style: &Style,
        shop: &Shop,
        (units, calm): (Units, bool),
    ) -> String {
        let word = if units == Units::Inches { "in" } else { "mm" };
        let mut text = format!("style = \"{}\"\nunits = \"{word}\"\n\n[measures]\n", style.name);
        let entries = 1 + self.next() % ENTRIES;
        // Of tools that may be measured each for itself, or all as one.
        let per_tool = style.measures().find_map(|(_, measure, _)| match measure.many() {
            Many::Tools(count) => Some(count),
            _ => None,
        });
        let counted = per_tool.filter(|_| self.next().is_multiple_of(2));
        for (name, measure, _) in style.measures() {
            if measure.default.is_some() && self.next().is_multiple_of(2) {
                continue;
            }
            let mut one = || {
                let share = if calm { 0.02 + self.share() * 0.2 } else { self.share() };
                figure(&measure.range, measure.kind, share, units)
            };
            let value = match measure.many() {
                Many::One => one(),
                Many::Tools(count) if counted != Some(count) => one(),
                _ => format!("[{}]", (0..entries).map(|_| one()).collect::<Vec<_>>().join(", ")),
            };
            let _ = writeln!(text, "{name} = {value}");
        }
        text.push_str("\n[choices]\n");
        for (name, choice, _) in style.choices() {
            if counted == Some(name) {
                let _ = writeln!(text, "{name} = {entries}");
                continue;
            }
            let stated = !calm && self.next().is_multiple_of(6);
            if let Some(value) = stated.then(|| self.choice(choice, shop, units)).flatten() {
                let _ = writeln!(text, "{name} = {value}");
            }
        }
        text
    }

    fn choice(&mut self, choice: &Choice, shop: &Shop, units: Units) -> Option<String> {
        let share = self.share();
        let pick = |names: Vec<&str>| {
            let index = (share * names.len() as f64) as usize;
            Some(format!("\"{}\"", names.get(index.min(names.len().checked_sub(1)?))?))
        };
        if let Some(kind) = stock_kind(choice.kind) {
            return pick(shop.of_kind(kind).map(|row| row.name.as_str()).collect());
        }
        if choice.kind == ChoiceKind::Word {
            return pick(choice.options.iter().map(String::as_str).collect());
        }
        let kind = choice.kind.figure()?;
        Some(figure(choice.range.as_ref()?, kind, share, units))
    }
}

/// A figure between the ends of a range, as it stands in a file. An end that leans on other values is taken
/// for the other one.
fn figure(range: &[Expr; 2], kind: Kind, share: f64, units: Units) -> String {
    let [least, most] = [&range[0], &range[1]].map(|end| end.constant(units).map(|q| q.value));
    let (least, most) = (least.or(most).unwrap_or(0.0), most.or(least).unwrap_or(0.0));
    let value = least + (most - least) * share;
    match kind {
        Kind::Length => format!("\"{value:.4} mm\""),
        Kind::Mass => format!("\"{value:.4} kg\""),
        Kind::Angle => format!("\"{value:.2} deg\""),
        Kind::Count => format!("{}", value.round()),
        Kind::Number => format!("{value:.3}"),
    }
}
