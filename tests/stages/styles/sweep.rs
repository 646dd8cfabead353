//! Whatever a style may be asked within its ranges: read from the style itself, so that a new
//! style is swept without a new line here.

use crate::holder::{Holder, Level};
use crate::kernel::{Contour, Region};
use crate::length::Units;
use crate::reading::Kind;
use crate::shop::{Shop, StockKind};
use crate::style::{ChoiceKind, Expr, Library, Many, Style};
use crate::tolerance::FLATTENING;
use geo::{Area, Contains, LineString, Polygon, Validation};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, TestRunner};

use super::{IN, made, shop, space, usual_shop};

/// Where in its range each figure is: the ends often, as that is where things go wrong.
fn place() -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 1 => Just(1.0), 4 => 0.0..=1.0]
}

/// A figure at `place` between the ends of `range`, as it stands in a file.
fn figure(range: &[Expr; 2], kind: Kind, place: f64) -> String {
    let [least, most] = [&range[0], &range[1]].map(|end| {
        let end_is = end.constant(Units::Inches);
        end_is.unwrap_or_else(|| panic!("the range leans on other values: {end}")).value
    });
    let value = least + (most - least) * place;
    match kind {
        Kind::Length => format!("\"{value:.4} mm\""),
        Kind::Mass => format!("\"{value:.4} kg\""),
        Kind::Angle => format!("\"{value:.2} deg\""),
        Kind::Count => format!("{}", value.round()),
        Kind::Number => format!("{value}"),
    }
}

/// The choice that says how many tools are measured each for itself, where they may be.
fn per_tool(style: &Style) -> Option<&str> {
    style.measures().find_map(|(_, measure, _)| match measure.many() {
        Many::Tools(count) => Some(count),
        _ => None,
    })
}

/// A holder file: every measure at its place, each choice left out or at its place.
pub(super) fn file(
    style: &Style,
    shop: &Shop,
    measures: &[f64],
    choices: &[Option<f64>],
) -> String {
    let mut text = format!("style = \"{}\"\n[measures]\n", style.name);
    // Lists have up to four entries, each a little off the one before.
    let entries = 1 + measures.first().map_or(0, |place| (place * 40.0) as usize % 4);
    // Of tools that may be measured as one, every other file measures each.
    let listed = measures.first().is_some_and(|place| ((place * 80.0) as usize).is_multiple_of(2));
    let counted = per_tool(style).filter(|_| listed);
    for ((name, measure, _), place) in style.measures().zip(measures.iter().cycle()) {
        let one = |i: usize| {
            let place = (place + 0.03 * i as f64).min(1.0);
            figure(&measure.range, measure.kind, place)
        };
        let value = match measure.many() {
            Many::One => one(0),
            Many::Tools(count) if counted != Some(count) => one(0),
            _ => format!("[{}]", (0..entries).map(one).collect::<Vec<_>>().join(", ")),
        };
        text += &format!("{name} = {value}\n");
    }
    text += "[choices]\n";
    text += &counted.map(|count| format!("{count} = {entries}\n")).unwrap_or_default();
    for ((name, choice, _), place) in style.choices().zip(choices.iter().cycle()) {
        let Some(place) = place.as_ref().filter(|_| counted != Some(name)) else { continue };
        let pick = |names: Vec<&str>| {
            let index = (place * names.len() as f64) as usize;
            format!("\"{}\"", names[index.min(names.len() - 1)])
        };
        let stock = |kind| pick(shop.of_kind(kind).map(|row| row.name.as_str()).collect());
        let value = match choice.kind {
            ChoiceKind::Word => pick(choice.options.iter().map(String::as_str).collect()),
            ChoiceKind::Sheet => stock(StockKind::Sheet),
            ChoiceKind::Board => stock(StockKind::Board),
            ChoiceKind::Dowel => stock(StockKind::Dowel),
            ChoiceKind::Screw => pick(vec!["#8", "#10", "4 mm", "4x40", "5 mm"]),
            figured => figure(choice.range.as_ref().unwrap(), figured.figure().unwrap(), *place),
        };
        text += &format!("{name} = {value}\n");
    }
    text
}

/// What one holder is asked: the places of its measures and choices, and the shop.
pub(super) type Asked = (Vec<f64>, Vec<Option<f64>>, Shop);

/// Half of them anything at all, half near what people have, so that much of it can be made.
pub(super) fn asked(style: &Style) -> impl Strategy<Value = Asked> + use<> {
    let (measures, choices) = (style.measures().count().max(1), style.choices().count().max(1));
    let wild = prop_oneof![2 => Just(None), 1 => place().prop_map(Some)];
    let calm = prop_oneof![9 => Just(None), 1 => (0.1..0.6).prop_map(Some)];
    prop_oneof![
        (vec(place(), measures), vec(wild, choices), shops()),
        (vec(0.02..0.22, measures), vec(calm, choices), Just(usual_shop())),
    ]
}

/// Shops with other wood, cleats and bits than the usual one.
fn shops() -> impl Strategy<Value = Shop> {
    let sixteenths = |range: std::ops::RangeInclusive<u32>| range.prop_map(|n| f64::from(n) / 16.0);
    let router = prop::option::of(sixteenths(2..=8));
    (sixteenths(4..=24), sixteenths(16..=64), 30.0..=45.0_f64, router, any::<bool>()).prop_map(
        |(sheet, cleat, bevel, router, many_bits)| {
            let router = router.map_or(String::new(), |bit| format!("[router]\nbit = {bit}\n"));
            let bits = if many_bits { "" } else { "[bits]\ndrill = [\"1/8\", \"1/4\"]\n" };
            shop(&format!(
                "units = \"in\"\n\
                 [[sheet]]\nname = \"ply\"\nthickness = {sheet}\nlength = 96\nwidth = 48\nquantity = 9\n\
                 [[board]]\nname = \"ash\"\nthickness = {sheet}\nlength = 120\nwidth = 8\nquantity = 9\n\
                 [[dowel]]\ndiameter = 1\nlength = 48\nquantity = 9\n\
                 [[dowel]]\ndiameter = \"1/2\"\nlength = 48\nquantity = 9\n\
                 {bits}{router}[cleat]\nfrom = \"ply\"\nwidth = {cleat}\nbevel = \"{bevel:.1} deg\"\n"
            ))
        },
    )
}

fn ring(contour: &Contour) -> LineString<f64> {
    let mut points: Vec<(f64, f64)> =
        contour.flatten(FLATTENING).iter().map(|p| (p.x, p.y)).collect();
    points.push(points[0]);
    points.into()
}

/// A second opinion on a region, by the `geo` crate: valid, openings inside, and of its area.
fn sound(region: &Region) -> Result<(), String> {
    let outline = Polygon::new(ring(region.outline()), vec![]);
    let whole = Polygon::new(ring(region.outline()), region.openings().iter().map(ring).collect());
    if !whole.is_valid() {
        return Err(format!("no valid polygon: {:?}", whole.check_validation()));
    }
    for opening in region.openings() {
        if !outline.contains(&Polygon::new(ring(opening), vec![])) {
            return Err("an opening is not inside".to_owned());
        }
    }
    let off = (whole.unsigned_area() - region.area()).abs();
    if off > FLATTENING * region.perimeter() + 1e-6 {
        return Err(format!("its area is {off} mm² off"));
    }
    Ok(())
}

/// Findings that tell of something the shop has none of, and so of no figure.
const WITHOUT_FIGURES: [&str; 2] = ["no-router", "no-stock"];

/// What is wrong with a holder that was made of figures within their ranges.
fn faults(holder: &Holder, shop: &Shop) -> Vec<String> {
    let mut faults = Vec::new();
    let stops = super::stops(holder);
    for finding in &holder.findings {
        let figures = finding.message.contains(|c: char| c.is_ascii_digit());
        if finding.level == Level::Stop
            && !figures
            && !WITHOUT_FIGURES.contains(&finding.code.as_str())
        {
            faults.push(format!("a stop without a figure: {}", finding.message));
        }
        if finding.message.contains(['{', '}']) || finding.message.contains("NaN") {
            faults.push(format!("an unfinished message: {}", finding.message));
        }
    }
    let unsound = stops.iter().any(|finding| finding.code == "unsound");
    for part in &holder.parts {
        if let Err(why) = sound(&part.region)
            && !unsound
        {
            faults.push(format!("{}: {why}", part.name));
        }
    }
    if stops.is_empty() {
        faults.extend(space::faults(holder));
        let failed = crate::carry::assess(holder, shop).failed;
        faults.extend(failed.into_iter().map(|failed| format!("not worked out: {failed:?}")));
        if holder.parts.is_empty() {
            faults.push("nothing was made, and nothing said why".to_owned());
        }
    }
    faults
}

/// Cases for each style and way of making, unless PROPTEST_CASES asks for more.
const CASES: u32 = 96;

/// The same for the long run: 10,000 for each style, half by hand and half by router.
const LONG: u32 = 5_000;

fn cases(usual: u32) -> u32 {
    let asked = std::env::var("PROPTEST_CASES").ok();
    asked.and_then(|cases| cases.parse().ok()).unwrap_or(usual)
}

/// Holders of a style that can be made, of whatever it may be asked, with their shops: the same at each run.
pub(in crate::stages) fn by_lot(style: &Style, count: usize) -> Vec<(Holder, Shop)> {
    let (mut runner, asked) = (TestRunner::deterministic(), asked(style));
    let any = std::iter::repeat_with(|| asked.new_tree(&mut runner).unwrap().current());
    let holders = any.take(20 * count).map(|(measures, choices, shop)| {
        (made(&file(style, &shop, &measures, &choices), &shop), shop)
    });
    holders.filter(|(holder, _)| super::stops(holder).is_empty()).take(count).collect()
}

/// Sweeps one style and tells how much of what it was asked could be made.
fn swept(name: &str, made_by: &str, cases: u32) -> usize {
    let style = Library::built_in().style(name).unwrap().unwrap();
    let good = std::cell::Cell::new(0_usize);
    let mut runner =
        TestRunner::new(Config { cases, failure_persistence: None, ..Config::default() });
    let swept = runner.run(&asked(&style), |(measures, choices, shop)| {
        let mut text = file(&style, &shop, &measures, &choices);
        let made_by = format!("made_by = \"{made_by}\"");
        text = match ["hand", "router"]
            .iter()
            .find(|w| text.contains(&format!("made_by = \"{w}\"")))
        {
            Some(word) => text.replace(&format!("made_by = \"{word}\""), &made_by),
            None => text + &made_by,
        };
        let holder = made(&text, &shop);
        good.set(good.get() + usize::from(super::stops(&holder).is_empty()));
        let faults = faults(&holder, &shop);
        prop_assert!(
            faults.is_empty(),
            "{}\n{text}\nsheet {} in, cleat {} in, bit {:?}\n{:?}",
            faults.join("\n"),
            shop.cleat.thickness / IN,
            shop.cleat.width / IN,
            shop.router,
            holder.findings
        );
        Ok(())
    });
    if let Err(failure) = swept {
        panic!("{name}, {made_by}: {failure}");
    }
    good.get()
}

#[test]
fn every_style_by_hand_and_by_router() {
    sweep(cases(CASES));
}

/// `cargo test --lib ten_thousand -- --ignored` takes an hour or so.
#[test]
#[ignore = "it takes an hour or so"]
fn ten_thousand_of_every_style() {
    sweep(cases(LONG));
}

#[expect(clippy::print_stdout, reason = "how much of a sweep is made is worth a look")]
fn sweep(cases: u32) {
    let library = Library::built_in();
    std::thread::scope(|scope| {
        for made_by in ["hand", "router"] {
            let names: Vec<&str> = library.names().collect();
            scope.spawn(move || {
                for name in names {
                    let good = swept(name, made_by, cases);
                    println!("{name} by {made_by}: {good} of {cases} made");
                    // A sweep of what can't be made shows little. Of ledges a sixth are made, in a short run fewer by chance.
                    assert!(good * 12 >= cases as usize, "{name} by {made_by}: {good} made");
                }
            });
        }
    });
}
