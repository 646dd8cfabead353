//! From a holder file to a holder: every part shaped, drilled, marked and put in its place.

use std::cell::RefCell;

use indexmap::IndexMap;
use kurbo::{Point, Rect, Vec2};

use super::explain::Explain;
use super::finding::{Finding, Level, Refusal, no_router};
use super::joint::{self, Bodies};
use super::outline::{Shaped, shape};
use super::part::{Bevel, Drilling, EdgeName, MadeBy, Mark, MarkKind, Part, Stock};
use super::placement::{Placement, turned_about};
use super::screws::ScrewJoint;
use super::values::Values;
use super::{Hardware, Holder, clash, crossing, fasten, fit, landing, load, pocket};
use crate::formula::{Names, Value};
use crate::kernel::{Contour, Rules, Unsound, check};
use crate::length::{Dimension, Quantity, Units};
use crate::reading::{Kind, Problem};
use crate::shop::{Shop, StockKind, StockRow, density};
use crate::style::{
    CheckSpec, Expr, Face, HolderFile, Layer, MarkSpec, MarkWord, Pair, PartSpec, Purpose,
    SitsSpec, Space,
};
use crate::tolerance::{LEAST_WEB_HAND, LEAST_WEB_ROUTER};

/// Density in kg/m³ of a wood the program does not know.
const USUAL_DENSITY: f64 = 600.0;

/// Builds the holder that `file` asks for from what `shop` has.
///
/// A design that can't be made is no error: the holder then carries findings that say why, and
/// the parts that can be made.
///
/// # Errors
/// When the holder file or its style is wrong.
pub fn build(file: &HolderFile, shop: &Shop) -> Result<Holder, Problem> {
    let mut holder = Holder {
        name: file.name.clone(),
        style: file.style.name.clone(),
        title: file.title.clone(),
        units: file.units.unwrap_or(shop.units),
        values: IndexMap::new(),
        parts: Vec::new(),
        joints: Vec::new(),
        screws: Vec::new(),
        weights: Vec::new(),
        bearers: Vec::new(),
        hardware: Vec::new(),
        steps: Vec::new(),
        findings: Vec::new(),
        size: [0.0; 3],
        mass: 0.0,
    };
    match Values::new(file, shop) {
        Ok(values) => match fill(&mut holder, file, shop, &values) {
            Ok(()) => {}
            Err(Refusal::Design(finding)) => holder.findings.push(finding),
            Err(Refusal::Input(problem)) => return Err(problem),
        },
        Err(Refusal::Design(finding)) => holder.findings.push(finding),
        Err(Refusal::Input(problem)) => return Err(problem),
    }
    tidy(&mut holder.findings);
    Ok(holder)
}

/// Worst first, each thing said once.
fn tidy(findings: &mut Vec<Finding>) {
    let mut seen = std::collections::HashSet::new();
    findings.retain(|finding| seen.insert((finding.code.clone(), finding.message.clone())));
    findings.sort_by_key(|finding| finding.level);
}

fn fill(
    holder: &mut Holder,
    file: &HolderFile,
    shop: &Shop,
    values: &Values<'_>,
) -> Result<(), Refusal> {
    holder.values = values.all().map(|(name, value)| (name.to_owned(), value)).collect();
    let said: RefCell<Vec<Finding>> = RefCell::default();
    for layer in &file.style.layers {
        let bench = Bench { values, shop, layer, name: "", said: &said };
        holder.findings.extend(checks(&bench)?);
    }
    let mut parts = Vec::new();
    for layer in &file.style.layers {
        for spec in &layer.file.parts {
            let bench = Bench { values, shop, layer, name: spec.name.get_ref(), said: &said };
            if !bench.holds(spec.when.as_ref())? {
                continue;
            }
            match piece(&bench, spec) {
                Ok(piece) => parts.push(piece),
                Err(Refusal::Design(finding)) => said.borrow_mut().push(finding),
                Err(input) => return Err(input),
            }
        }
    }
    let mut blanks: Vec<Contour> = Vec::new();
    for (part, blank) in parts {
        holder.parts.push(part);
        blanks.push(blank);
    }
    for layer in &file.style.layers {
        let bench = Bench { values, shop, layer, name: "", said: &said };
        landing::mark(&bench, &mut holder.parts)?;
    }
    // What styles share keeps its place: their own screws give way to it.
    let (own, shared) = file.style.layers.split_at(1);
    for layer in shared.iter().chain(own) {
        let bench = Bench { values, shop, layer, name: "", said: &said };
        fasten::fasten(&bench, holder)?;
        other_hardware(&bench, &mut holder.hardware)?;
    }
    holder.steps = steps(file, values)?;
    for layer in &file.style.layers {
        let bench = Bench { values, shop, layer, name: "", said: &said };
        let mut bodies = Bodies { parts: &mut holder.parts, blanks: &mut blanks };
        if let Err(refusal) = joint::join(&bench, &mut bodies, &mut holder.joints) {
            match refusal {
                Refusal::Design(finding) => said.borrow_mut().push(finding),
                Refusal::Input(problem) => return Err(Refusal::Input(problem)),
            }
        }
    }
    for (part, blank) in holder.parts.iter().zip(&blanks) {
        said.borrow_mut().extend(soundness(part, blank, shop, values.units()));
        said.borrow_mut().extend(fit::fits(part, shop, values.units()));
    }
    said.borrow_mut().extend(clash::clashes(&holder.parts, values.units()));
    let bodies: Vec<_> = holder.screws.iter().flat_map(ScrewJoint::bodies).collect();
    said.borrow_mut().extend(crossing::crossings(&bodies, values.units()));
    for layer in &file.style.layers {
        let bench = Bench { values, shop, layer, name: "", said: &said };
        holder.weights.extend(load::weights(&bench)?);
        holder.bearers.extend(load::bearers(&bench, &holder.parts, &holder.screws)?);
    }
    holder.findings.append(&mut said.borrow_mut());
    holder.measure();
    Ok(())
}

/// The steps of making, the early ones first.
fn steps(file: &HolderFile, values: &Values<'_>) -> Result<Vec<String>, Refusal> {
    let (mut early, mut later) = (Vec::new(), Vec::new());
    for layer in &file.style.layers {
        for step in &layer.file.steps {
            values.knows(&step.text, &layer.source)?;
            if values.holds(step.when.as_ref(), &layer.source)? {
                let steps = if step.early { &mut early } else { &mut later };
                steps.push(values.say(&step.text, &layer.source)?);
            }
        }
    }
    early.append(&mut later);
    Ok(early)
}

/// What the style's checks find.
fn checks(bench: &Bench<'_>) -> Result<Vec<Finding>, Refusal> {
    let mut findings = Vec::new();
    for check in &bench.layer.file.checks {
        bench.values.knows(&check.say, &bench.layer.source)?;
        let found = bench.rounds(check.repeat.as_ref(), |_: [f64; 2]| checked(bench, check))?;
        findings.extend(found.into_iter().flatten());
    }
    Ok(findings)
}

fn checked(bench: &Bench<'_>, check: &CheckSpec) -> Result<Option<Finding>, Refusal> {
    let levels =
        [(Level::Stop, &check.stop), (Level::Warn, &check.warn), (Level::Note, &check.note)];
    for (level, when) in levels {
        if when.is_some() && bench.holds(when.as_ref())? {
            let message = bench.values.say(&check.say, &bench.layer.source)?;
            return Ok(Some(Finding { level, code: check.code.get_ref().clone(), message }));
        }
    }
    Ok(None)
}

fn other_hardware(bench: &Bench<'_>, hardware: &mut Vec<Hardware>) -> Result<(), Refusal> {
    for spec in &bench.layer.file.hardware {
        if bench.holds(spec.when.as_ref())? {
            hardware.push(Hardware {
                item: spec.item.clone(),
                size: spec.size.clone(),
                quantity: bench.count(&spec.quantity)?,
                used_for: spec.used_for.clone(),
                shared: spec.shared,
                bits: None,
            });
        }
    }
    Ok(())
}

/// One part and the outline it had before anything was cut away.
fn piece(bench: &Bench<'_>, spec: &PartSpec) -> Result<(Part, Contour), Refusal> {
    let stock = stock(bench, spec)?;
    let Shaped { blank, region, mut drillings, mut marks, mut rows } = shape(bench, spec)?;
    let (pockets, more) = pocket::pockets(bench, spec, &region, stock.thickness)?;
    rows.extend(more);
    let bounds = region.bounds();
    if bounds.origin().to_vec2().hypot() > crate::tolerance::COORDINATE {
        let message = format!(
            "{}: its lower left corner comes to {}, {} instead of 0, 0: its cuts take the left or \
             lower edge away. Widen its margins.",
            bench.name,
            bench.write(bounds.x0),
            bench.write(bounds.y0)
        );
        return Err(Finding::stop("shape", message).into());
    }
    drillings.extend(drilled(bench, spec)?);
    for mark in &spec.marks {
        marks.extend(scribed(bench, mark)?);
    }
    let bevel = spec.bevel.as_ref().map(|bevel| {
        let angle = bench.figure(&bevel.angle, Kind::Angle)?;
        Ok::<_, Refusal>(Bevel { edge: bevel.edge, angle, full_face: bevel.full_face })
    });
    let size = [bounds.width(), bounds.height(), stock.thickness];
    let mut places = Vec::new();
    for sits in &spec.sits {
        places.extend(placements(bench, sits, size)?);
    }
    let edges =
        spec.edges.iter().map(|(edge, label)| EdgeName { edge: *edge, label: label.clone() });
    let part = Part {
        name: bench.name.to_owned(),
        about: spec.about.clone(),
        stock,
        region,
        grain: spec.grain,
        drillings,
        pockets,
        marks,
        rows,
        edges: edges.collect(),
        bevel: bevel.transpose()?,
        places,
        made_by: bench.made_by(),
    };
    Ok((part, blank))
}

fn scribed(bench: &Bench<'_>, mark: &MarkSpec) -> Result<Vec<Mark>, Refusal> {
    let found = bench.rounds(mark.repeat.as_ref(), |step: [f64; 2]| {
        if !bench.holds(mark.when.as_ref())? {
            return Ok(None);
        }
        let step = Vec2::from((step[0], step[1]));
        let (from, to) = (bench.pair(&mark.from)? + step, bench.pair(&mark.to)? + step);
        let kind = match mark.kind {
            MarkWord::Centre => MarkKind::Centre { from, to },
            MarkWord::Scribe => MarkKind::Scribe { from, to },
        };
        Ok(Some(Mark { kind, label: mark.say.clone() }))
    })?;
    Ok(found.into_iter().flatten().collect())
}

fn drilled(bench: &Bench<'_>, spec: &PartSpec) -> Result<Vec<Drilling>, Refusal> {
    let mut drillings = Vec::new();
    for drilling in &spec.drillings {
        let found = bench.rounds(drilling.repeat.as_ref(), |step: [f64; 2]| {
            if !bench.holds(drilling.when.as_ref())? {
                return Ok(None);
            }
            let diameter = bench.size(&drilling.diameter)?;
            let lean = drilling.lean.as_ref().map_or(Ok(0.0), |l| bench.figure(l, Kind::Angle))?;
            Ok(Some(Drilling {
                at: bench.pair(&drilling.at)? + Vec2::from((step[0], step[1])),
                diameter,
                depth: drilling.depth.as_ref().map(|d| bench.size(d)).transpose()?,
                purpose: drilling.purpose,
                bit: bench.bit_of(diameter),
                face: Face::Show,
                lean,
            }))
        })?;
        drillings.extend(found.into_iter().flatten());
    }
    Ok(drillings)
}

/// Where the pieces of one `sits` entry are.
fn placements(bench: &Bench<'_>, sits: &SitsSpec, size: Space) -> Result<Vec<Placement>, Refusal> {
    let found = bench.rounds(sits.repeat.as_ref(), |step: Space| {
        if !bench.holds(sits.when.as_ref())? {
            return Ok(None);
        }
        let mut at = step;
        for (place, expr) in at.iter_mut().zip(&sits.at) {
            *place += bench.length(expr)?;
        }
        let tilt = sits.tilt.as_ref().map_or(Ok(0.0), |t| bench.figure(t, Kind::Angle))?;
        if let Some(hinge) = &sits.hinge {
            at = turned_about(bench.length(&hinge[0])?, bench.length(&hinge[1])?, tilt, at);
        }
        let (looks, half_turn) = (sits.looks, sits.half_turn);
        Ok(Some(Placement { at, looks, half_turn, size, tilt }))
    })?;
    Ok(found.into_iter().flatten().collect())
}

/// What a part is cut from.
fn stock(bench: &Bench<'_>, spec: &PartSpec) -> Result<Stock, Refusal> {
    let shop = bench.shop;
    let from = spec.from.get_ref().as_str();
    if from == "cleat" {
        let cleat = &shop.cleat;
        return Ok(Stock {
            name: cleat.from.clone(),
            kind: StockKind::Cleat,
            thickness: cleat.thickness,
            wood: cleat.wood_name().to_owned(),
            density: bench.density(&cleat.from, cleat.wood_name()),
        });
    }
    let row = match (&spec.diameter, bench.values.stock(from)) {
        (Some(diameter), _) => dowel(bench, bench.length(diameter)?)?,
        (None, Some(row)) => row,
        (None, None) => {
            let message = format!("The shop has no {from} for the part {}.", bench.name);
            return Err(Finding::stop("no-stock", message).into());
        }
    };
    Ok(Stock {
        name: row.name.clone(),
        kind: row.kind,
        thickness: row.thickness,
        wood: row.wood_name().to_owned(),
        density: bench.density(&row.name, row.wood_name()),
    })
}

/// The shop's dowel of a diameter. Dowels are sold by nominal size: half a millimetre off is it.
fn dowel<'a>(bench: &Bench<'a>, diameter: f64) -> Result<&'a StockRow, Refusal> {
    let fits = |row: &&StockRow| (row.thickness - diameter).abs() <= 0.5;
    bench.shop.of_kind(StockKind::Dowel).find(fits).ok_or_else(|| {
        let sizes: Vec<String> =
            bench.shop.of_kind(StockKind::Dowel).map(|row| bench.write(row.thickness)).collect();
        let has = if sizes.is_empty() { "none".to_owned() } else { sizes.join(", ") };
        let message = format!(
            "{} needs a dowel {} thick; the shop has {has}: add a [[dowel]] to shop.toml or choose a diameter it has.",
            bench.name,
            bench.write(diameter)
        );
        Finding::stop("no-stock", message).into()
    })
}

fn soundness(part: &Part, blank: &Contour, shop: &Shop, units: Units) -> Vec<Finding> {
    let router = part.made_by == MadeBy::Router && !part.is_round();
    let rules = Rules {
        least_web: if router { LEAST_WEB_ROUTER } else { LEAST_WEB_HAND },
        router_bit: shop.router_bit.filter(|_| router),
    };
    // A slot's drilled end is part of the edge; a countersink may reach over it.
    let in_wood = |d: &&Drilling| !matches!(d.purpose, Purpose::SlotEnd | Purpose::Countersink);
    let holes: Vec<(Point, f64)> =
        part.drillings.iter().filter(in_wood).map(|d| (d.at, d.diameter)).collect();
    let faults = check(&part.region, blank, &holes, &rules);
    let say = |fault: Unsound| {
        Finding::stop("unsound", format!("{}: {}", part.name, fault.explain(units)))
    };
    faults.into_iter().map(say).chain(collisions(part, units)).collect()
}

/// Holes that run into one another. What is bored round the same middle (a clearance hole and its
/// countersink) belongs together.
fn collisions(part: &Part, units: Units) -> Vec<Finding> {
    let holes: Vec<&Drilling> =
        part.drillings.iter().filter(|d| d.purpose != Purpose::Countersink).collect();
    let mut found = Vec::new();
    for (i, one) in holes.iter().enumerate() {
        for other in &holes[i + 1..] {
            let apart = (one.at - other.at).hypot();
            let least = (one.diameter + other.diameter) / 2.0;
            if apart > crate::tolerance::COORDINATE && apart < least {
                let message = format!(
                    "{}: a {} hole and a {} hole run into one another, {} apart where they need {}: \
                     move the screws or make the part larger.",
                    part.name,
                    one.purpose.word(),
                    other.purpose.word(),
                    units.length(apart),
                    units.length(least)
                );
                found.push(Finding::stop("holes-collide", message));
            }
        }
    }
    found
}

/// What shaping one part needs at hand.
pub(super) struct Bench<'a> {
    pub values: &'a Values<'a>,
    pub shop: &'a Shop,
    pub layer: &'a Layer,
    /// Name of the part being made.
    pub name: &'a str,
    /// Findings on the way.
    pub said: &'a RefCell<Vec<Finding>>,
}

impl<'a> Bench<'a> {
    /// The same bench for another part.
    pub fn at(&self, name: &'a str) -> Self {
        Self { name, ..*self }
    }

    pub fn holds(&self, when: Option<&Expr>) -> Result<bool, Refusal> {
        self.values.holds(when, &self.layer.source)
    }

    pub fn figure(&self, expr: &Expr, kind: Kind) -> Result<f64, Refusal> {
        self.values.figure(expr, kind, &self.layer.source)
    }

    pub fn length(&self, expr: &Expr) -> Result<f64, Refusal> {
        self.figure(expr, Kind::Length)
    }

    /// A length greater than 0.
    pub fn size(&self, expr: &Expr) -> Result<f64, Refusal> {
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

    pub fn count(&self, expr: &Expr) -> Result<usize, Refusal> {
        Ok(self.figure(expr, Kind::Count)?.round().min(MOST_REPEATS) as usize)
    }

    pub fn pair(&self, pair: &Pair) -> Result<Point, Refusal> {
        Ok(Point::new(self.length(&pair[0])?, self.length(&pair[1])?))
    }

    pub fn write(&self, mm: f64) -> String {
        self.values.units().length(mm)
    }

    /// Something that is wrong in the style's file at `expr`.
    pub fn wrong(&self, expr: &Expr, message: &str) -> Refusal {
        self.layer.source.problem(expr.span.clone(), message).into()
    }

    /// A shape that can't be made.
    pub fn unmade(&self, error: &dyn Explain) -> Refusal {
        let message = format!("{}: {}", self.name, error.explain(self.values.units()));
        Finding::stop("shape", message).into()
    }

    pub fn made_by(&self) -> MadeBy {
        match self.values.value("made_by") {
            Ok(Value::Word(word)) if word == "router" => MadeBy::Router,
            _ => MadeBy::Hand,
        }
    }

    /// Diameter of the shop's router bit.
    pub fn router_bit(&self) -> Result<f64, Refusal> {
        self.shop.router_bit.ok_or_else(|| no_router().into())
    }

    /// Name of the shop's bit for a hole of `diameter`; says so when there is none.
    pub fn bit_of(&self, diameter: f64) -> String {
        let near = |bit: &crate::shop::Bit| (bit.diameter - diameter).abs() <= SAME_BIT;
        if let Some(bit) = self.shop.bit_nearest(diameter).filter(near) {
            return self.shop.bit_name(bit);
        }
        let wanted = self.write(diameter);
        let whose = if self.name.is_empty() {
            "The shop".to_owned()
        } else {
            format!("{}: the shop", self.name)
        };
        let message =
            format!("{whose} has no {wanted} bit: get one, and add it to [bits] in shop.toml.");
        self.say(Finding::warn("no-bit", message));
        format!("{wanted} (not in the shop)")
    }

    pub fn say(&self, finding: Finding) {
        self.said.borrow_mut().push(finding);
    }

    fn density(&self, stock: &str, name: &str) -> f64 {
        density(name).unwrap_or_else(|| {
            let message = format!(
                "The weight of \"{name}\" is not known here; {USUAL_DENSITY} kg/m³ is taken for {stock}."
            );
            self.say(Finding::note("unknown-wood", message));
            USUAL_DENSITY
        })
    }
}

/// Two bits closer than this are one, in mm.
const SAME_BIT: f64 = 0.05;

/// More of one thing than any wall holds.
const MOST_REPEATS: f64 = 1000.0;

impl Holder {
    /// Works out the size of the whole and its mass from its parts.
    fn measure(&mut self) {
        let mut low = [f64::INFINITY; 3];
        let mut high = [f64::NEG_INFINITY; 3];
        for place in self.parts.iter().flat_map(|part| &part.places) {
            let (near, far) = place.bounds();
            low = std::array::from_fn(|i| low[i].min(near[i]));
            high = std::array::from_fn(|i| high[i].max(far[i]));
        }
        if !self.parts.is_empty() {
            self.size = [high[0] - low[0], high[1] - low[1], high[2]];
        }
        self.mass = self.parts.iter().map(Part::mass).sum();
    }

    /// A figure among the holder's values, in mm, kg, degrees or plain numbers.
    pub fn figure(&self, name: &str, dimension: Dimension) -> Option<f64> {
        match self.values.get(name)? {
            Value::Figure(Quantity { value, dimension: d }) if *d == dimension => Some(*value),
            _ => None,
        }
    }
}

/// The box `rect` cut down to what lies within `bounds`; `None` when nothing does.
pub(super) fn within(rect: Rect, bounds: Rect) -> Option<Rect> {
    let inner = rect.intersect(bounds);
    (inner.width() > 0.0 && inner.height() > 0.0).then_some(inner)
}
