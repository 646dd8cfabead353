//! What is said of the wall's side.

use super::super::check::NEAR;
use super::super::weight::Loading;
use super::{StudScrews, Wall, WallCase, fix, planned};
use crate::formula::Value;
use crate::holder::{Finding, Holder, Level};
use crate::length::{Dimension, Quantity, listed};
use crate::shop::Shop;

/// What one stud takes of all, or else what its wall cleats are worked out for; and what is kept apart.
pub(super) fn findings(
    wall: &Wall,
    (holders, shop): (&[&Holder], &Shop),
    cases: &[WallCase],
) -> Vec<Finding> {
    let mut found: Vec<Finding> = kept_apart(wall, shop).into_iter().collect();
    // One alone is told with its own checks.
    let together = cases.iter().filter(|case| case.holders.len() > 1);
    let loaded = together.filter_map(|case| loaded(wall, (holders, shop), case));
    found.extend(loaded.min_by_key(|finding| finding.level));
    let most = cases.iter().max_by(|a, b| a.still.total_cmp(&b.still));
    if let Some(most) = most.filter(|_| found.iter().all(|found| found.level == Level::Note)) {
        let makers = holders.iter().filter_map(|holder| Some((*holder, planned(holder, shop)?)));
        found.extend(makers.filter_map(|maker| beyond(maker, shop, most)));
    }
    found.sort_by_key(|finding| finding.level);
    found
}

/// Where holders are to hang for the figures to hold.
fn kept_apart(wall: &Wall, shop: &Shop) -> Option<Finding> {
    let names: Vec<String> =
        wall.apart.iter().map(|index| wall.hung[*index].name.clone()).collect();
    let spacing = shop.units.length(shop.wall.stud_spacing);
    let message = format!(
        "Hang {} a stud spacing ({spacing}) apart: together they are not counted on one stud.",
        listed(&names)
    );
    (names.len() > 1).then(|| Finding::note("hang-apart", message))
}

/// Names that the shop keeps apart and no holder has, `all` of them known.
pub(crate) fn unknown_apart<'n>(
    shop: &Shop,
    all: impl Iterator<Item = &'n str>,
) -> Option<Finding> {
    let all: Vec<&str> = all.collect();
    let unknown = shop.wall.apart.iter().filter(|name| !all.contains(&name.as_str()));
    let unknown: Vec<String> = unknown.map(|name| format!("{name:?}")).collect();
    let message = format!(
        "apart under [wall] in shop.toml names {}, and no holder is called so. Write the names of the holder files, \
         without .toml.",
        listed(&unknown)
    );
    (!unknown.is_empty()).then(|| Finding::warn("no-such-holder", message))
}

/// What comes on the screws of one stud: too much at rest, too much with knocks, or near it.
fn loaded(wall: &Wall, (holders, shop): (&[&Holder], &Shop), case: &WallCase) -> Option<Finding> {
    let units = shop.units;
    let [still, knocked, can] = [case.still, case.knocked, case.can()].map(|kg| units.mass(kg));
    let (where_from, screws) = (on_one_stud(case), its_screws(wall.screws));
    let fix = || fixes(wall, holders, shop);
    Some(match (case.share, case.knocked_share) {
        (share, _) if share > 1.0 => Finding::stop(
            "stud-overloaded",
            format!("{still} {where_from}; {screws} {can}.{} An estimate, not a rating.", fix()),
        ),
        (_, share) if share > 1.0 => Finding::warn(
            "stud-overloaded",
            format!(
                "{knocked} {where_from}, knocks counted ({still} at rest); {screws} {can}.{} An estimate, not a rating.",
                fix()
            ),
        ),
        (_, share) if share > NEAR => Finding::note(
            "stud-near-its-limit",
            format!(
                "{knocked} {where_from}, knocks counted ({still} at rest); {screws} {can}. An estimate, not a rating."
            ),
        ),
        _ => return None,
    })
}

fn on_one_stud(case: &WallCase) -> String {
    let how = if case.meet { "meet at it" } else { "hang side by side" };
    format!("on one stud if {} {how}", listed(&case.holders))
}

fn its_screws(screws: StudScrews) -> String {
    match screws.count {
        1 => format!("its {} screw holds", screws.screw),
        count => format!("its {count} screws {} hold", screws.screw),
    }
}

fn fixes(wall: &Wall, holders: &[&Holder], shop: &Shop) -> String {
    let screws = fix::screws(holders, shop);
    let apart = fix::apart(wall).map(|names| keep_apart(&names, shop));
    let tried: Vec<String> = screws.into_iter().chain(apart).collect();
    match tried.is_empty() {
        true => " No change that was tried is enough: hang fewer or lighter tools.".to_owned(),
        false => format!(" Fix: {}.", tried.join(", or ")),
    }
}

/// What keeps some holders off one stud, in words and in the shop file.
fn keep_apart(names: &[String], shop: &Shop) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("{name:?}")).collect();
    let spacing = shop.units.length(shop.wall.stud_spacing);
    format!(
        "hang {} a stud spacing ({spacing}) apart, and write apart = [{}] under [wall] in shop.toml",
        listed(names),
        quoted.join(", ")
    )
}

/// What comes on one stud beyond what the wall cleats of `maker` are worked out for.
fn beyond((maker, planned): (&Holder, f64), shop: &Shop, case: &WallCase) -> Option<Finding> {
    if case.still <= planned * (1.0 + 1e-9) {
        return None;
    }
    let units = maker.units;
    let [still, counted] = [case.still, planned].map(|kg| units.mass(kg));
    let came = match &case.holders[..] {
        [one] => format!("on one stud under {one}"),
        _ => on_one_stud(case),
    };
    let fix = fix::planned(maker, shop, (planned, case.still));
    let fix = fix.zip(choice(maker, planned)).map_or_else(String::new, |(mass, choice)| {
        let mass = units.in_file(Quantity { value: mass, dimension: Dimension::MASS });
        format!(" Fix: {choice} = \"{mass}\" in {}.toml; its screws hold that.", maker.name)
    });
    let message =
        format!("{still} at rest {came}; {} is worked out for {counted} at each.{fix}", maker.name);
    Some(Finding::warn("more-than-planned", message))
}

/// What the mass at one stud is called in the holder's file.
fn choice(maker: &Holder, mass: f64) -> Option<&str> {
    let is =
        |value: &Value| value.figure(Dimension::MASS).is_some_and(|kg| (kg - mass).abs() < 1e-6);
    maker.values.iter().find(|(_, value)| is(value)).map(|(name, _)| name.as_str())
}

/// What one stud takes of what hangs on the wall cleats that `holder` makes; `None` for one that makes none.
pub(crate) fn stud_note(holder: &Holder, shop: &Shop) -> Option<Finding> {
    let makes = !holder.wall_cleats.is_empty() && shop.wall.masonry.is_none();
    let screws = StudScrews::of(shop).ok().filter(|_| makes)?;
    let live = Loading::of(holder).live;
    let [most, knocked] = most(screws, live).map(|kg| holder.units.mass(kg));
    let message = format!(
        "One stud takes {most} at rest, {knocked} where knocks are to count too ({live} times): {} that. An estimate, \
         not a rating.",
        its_screws(screws)
    );
    Some(Finding::note("stud-takes", message))
}

/// What one stud takes in kg: at rest, and so that it takes `live` times as much.
fn most(screws: StudScrews, live: f64) -> [f64; 2] {
    [screws.most(), screws.most() / live]
}
