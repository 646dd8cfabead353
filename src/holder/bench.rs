//! The bench: what is at hand wherever something of a holder is worked out.

use kurbo::Point;

use super::bit::HoleBit;
use super::explain::Explain;
use super::finding::{Finding, Refusal, no_router};
use super::part::MadeBy;
use super::values::Values;
use crate::formula::Value;
use crate::kernel::{Region, Relief, relieve};
use crate::length::Tape;
use crate::limits;
use crate::reading::Kind;
use crate::shop::{Bit, RouterBits, Shop};
use crate::style::{Expr, Layer, Pair, Say, Style};
use crate::tolerance::COORDINATE;

/// Two bits closer than this are one, in mm.
const SAME_BIT: f64 = 0.05;

/// One file of a style, with the values of its holder and the shop. Formulas are those of the file.
#[derive(Clone, Copy)]
pub(super) struct Bench<'a> {
    pub values: &'a Values<'a>,
    pub shop: &'a Shop,
    pub layer: &'a Layer,
    /// The part at hand, for messages; empty where it is no single one.
    pub name: &'a str,
    /// How the holder's shaped parts are made.
    pub made_by: MadeBy,
}

/// A bench for each file of `style`, the style's own first.
///
/// # Errors
/// When the style does not come to a way its parts are made.
pub(super) fn benches<'a>(
    values: &'a Values<'a>,
    shop: &'a Shop,
    style: &'a Style,
) -> Result<Vec<Bench<'a>>, Refusal> {
    let made_by = made_by(values, style)?;
    let bench = |layer| Bench { values, shop, layer, name: "", made_by };
    Ok(style.layers.iter().map(bench).collect())
}

/// What the style's `made_by` comes to; by hand where it does not say.
fn made_by(values: &Values<'_>, style: &Style) -> Result<MadeBy, Refusal> {
    let Some((expr, source)) = style.made_by() else { return Ok(MadeBy::Hand) };
    match values.work(expr, source)? {
        Value::Word(word) if word == "hand" => Ok(MadeBy::Hand),
        Value::Word(word) if word == "router" => Ok(MadeBy::Router),
        other => {
            let message = format!("made_by is {}, not 'hand' or 'router'", other.describe());
            Err(source.problem(expr.span.clone(), message).into())
        }
    }
}

impl<'a> Bench<'a> {
    /// The same bench for another part.
    pub(super) fn at(self, name: &'a str) -> Self {
        Self { name, ..self }
    }

    /// Whether something holds; what is left out does.
    pub(super) fn holds(&self, when: Option<&Expr>) -> Result<bool, Refusal> {
        self.values.holds(when, &self.layer.source)
    }

    /// A figure in mm, kg, degrees or plain numbers.
    pub(super) fn figure(&self, expr: &Expr, kind: Kind) -> Result<f64, Refusal> {
        self.values.figure(expr, kind, &self.layer.source)
    }

    /// A length in mm.
    pub(super) fn length(&self, expr: &Expr) -> Result<f64, Refusal> {
        self.figure(expr, Kind::Length)
    }

    /// A length in mm, if one is given.
    pub(super) fn optional(&self, expr: Option<&Expr>) -> Result<Option<f64>, Refusal> {
        expr.map(|expr| self.length(expr)).transpose()
    }

    /// A length greater than 0, in mm.
    pub(super) fn size(&self, expr: &Expr) -> Result<f64, Refusal> {
        let size = self.length(expr)?;
        if size > 0.0 {
            return Ok(size);
        }
        let message = format!(
            "{}: \"{}\" comes to {}, and must be more than 0: look at the measures and choices it is worked out from.",
            self.name,
            expr.formula,
            self.write(size)
        );
        Err(Finding::stop("shape", message).into())
    }

    /// An angle in degrees; 0 where it is left out.
    pub(super) fn angle(&self, expr: Option<&Expr>) -> Result<f64, Refusal> {
        expr.map_or(Ok(0.0), |expr| self.figure(expr, Kind::Angle))
    }

    /// How many times something is there.
    pub(super) fn count(&self, expr: &Expr) -> Result<usize, Refusal> {
        let count = self.figure(expr, Kind::Count)?.round();
        self.at_most(count, limits::REPEATS, &format!("are asked for by \"{}\"", expr.formula))
    }

    /// `count` as a whole number, if it is at most `most`.
    ///
    /// # Errors
    /// A stop that begins with the figure and `what` it counts, and says how many can be had.
    pub(super) fn at_most(&self, count: f64, most: usize, what: &str) -> Result<usize, Refusal> {
        if count <= most as f64 {
            return Ok(count as usize);
        }
        let whose = if self.name.is_empty() { String::new() } else { format!("{}: ", self.name) };
        let message = format!(
            "{whose}{count} {what}; at most {most}: make fewer, or share them between two \
             holders."
        );
        Err(Finding::stop("too-many", message).into())
    }

    /// A point in mm.
    pub(super) fn pair(&self, pair: &Pair) -> Result<Point, Refusal> {
        let [x, y] = &**pair;
        Ok(Point::new(self.length(x)?, self.length(y)?))
    }

    /// A text with its formulas worked out.
    pub(super) fn say(&self, say: &Say) -> Result<String, Refusal> {
        self.values.say(say, &self.layer.source)
    }

    /// The tape whose marks free sizes come on.
    pub(super) fn tape(&self) -> Tape {
        self.shop.tape(self.values.units())
    }

    /// A length as the holder tells it.
    pub(super) fn write(&self, mm: f64) -> String {
        self.values.units().length(mm)
    }

    /// A length as a caliper shows it, where a tape would not tell two apart.
    pub(super) fn fine(&self, mm: f64) -> String {
        self.values.units().fine(mm)
    }

    /// Something that is wrong in the style's file at `expr`.
    pub(super) fn wrong(&self, expr: &Expr, message: &str) -> Refusal {
        self.layer.source.problem(expr.span.clone(), message).into()
    }

    /// A shape that can't be made.
    pub(super) fn unmade(&self, error: &dyn Explain) -> Refusal {
        let message = format!("{}: {}", self.name, error.explain(self.values.units()));
        Finding::stop("shape", message).into()
    }

    /// The bits of the shop's router.
    fn router_bits(&self) -> Result<RouterBits, Refusal> {
        self.shop.router.ok_or_else(|| no_router().into())
    }

    /// The router's bit that cuts outlines, in mm.
    pub(super) fn outline_bit(&self) -> Result<f64, Refusal> {
        Ok(self.router_bits()?.outline)
    }

    /// The thinner of the router's bits, in mm.
    pub(super) fn joint_bit(&self) -> Result<f64, Refusal> {
        Ok(self.router_bits()?.joint)
    }

    /// The narrowest slot or opening that can be made, in mm.
    pub(super) fn narrowest(&self) -> Result<f64, Refusal> {
        match self.made_by {
            MadeBy::Hand => Ok(0.0),
            MadeBy::Router => Ok(self.router_bits()?.narrowest()),
        }
    }

    /// `region` with its seats relieved where the router cuts it: those in openings for the thinner bit, those in the
    /// outline for the one that cuts outlines, or for the thinner one where there is no room for it.
    pub(super) fn relieved(
        &self,
        region: Region,
        seats: &[Point],
        relief: Relief,
    ) -> Result<Region, Refusal> {
        if self.made_by == MadeBy::Hand || seats.is_empty() {
            return Ok(region);
        }
        self.at_most(seats.len() as f64, limits::SEATS, "inside corners are to seat square wood")?;
        let RouterBits { outline, joint } = self.router_bits()?;
        let at_outline = |seat: &Point| region.outline().distance_to(*seat) <= COORDINATE;
        let (outer, inner): (Vec<Point>, Vec<Point>) = seats.iter().partition(|s| at_outline(s));
        let region = relieve(&region, &inner, relief, joint).map_err(|e| self.unmade(&e))?;
        let outside = |bit| relieve(&region, &outer, relief, bit);
        outside(outline).or_else(|_| outside(joint)).map_err(|e| self.unmade(&e))
    }

    /// The shop's bit for a hole of `diameter` mm, if it has one.
    pub(super) fn bit_of(&self, diameter: f64) -> HoleBit {
        let near = |bit: &Bit| (bit.diameter - diameter).abs() <= SAME_BIT;
        let found = self.shop.bit_nearest(diameter).filter(near);
        found.map_or(HoleBit::Wanting(diameter), HoleBit::AtHand)
    }
}
