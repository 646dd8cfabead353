//! All that is said of checks, remarks and mends, put together from their figures.

use super::check::{Check, LoadQuestion};
use super::close::{CloseScrew, CloseTo};
use super::grounds::{CleatScrews, Grounds, ScrewCan, ScrewShare};
use super::remark::{LoadRemark, NotWorkedOut};
use crate::holder::{Finding, Level};
use crate::length::Units;
use crate::shop::{Screw, SizedScrew};
use crate::strength::{CrossSection, LEAST_PENETRATION, Support};

/// What hangs on a holder whose style names nothing that bears it.
pub(super) fn no_load_model() -> Finding {
    let message = "The style says what hangs here, but not what carries it: no load was worked out. \
                   Add [[carries]] to the style, and pull-test the holder before you trust it.";
    Finding::warn("no-load-model", message)
}

/// A place without a figure must not pass for a safe one.
pub(crate) fn not_worked_out(failed: &NotWorkedOut) -> Finding {
    let message = format!("This load could not be worked out: {}.", failure(failed));
    Finding::stop("load-not-worked-out", message)
}

/// What could not be worked out, and why.
pub(crate) fn failure(NotWorkedOut { place, why }: &NotWorkedOut) -> String {
    format!("{}: {why}", place.words())
}

/// What a check finds, figures in `units`; `advice` is empty where it is not the one to bring that.
pub(super) fn finding(check: &Check, units: Units, advice: &str) -> Finding {
    let (code, message) = match (check.id.question, &check.grounds) {
        (LoadQuestion::Plugs, _) => ("wall-not-rated", in_plugs(check, units)),
        (LoadQuestion::EndGrain, _) => ("screws-in-end-grain", end_grain(check, units)),
        (LoadQuestion::Sag, _) => ("sags", sags(check, units, advice)),
        (LoadQuestion::Staying, Grounds::Reach { reach, alone, dry }) if reach <= dry => {
            ("held-by-friction", by_friction([*reach, *alone, check.can, *dry], units, advice))
        }
        (LoadQuestion::Strip, Grounds::Strip { held_by, .. }) if check.ratio() <= 1.0 => {
            ("hang-over-a-stud", over_a_stud(check, held_by, units))
        }
        _ if check.ratio() > 1.0 => ("overloaded", loaded(check, units, advice)),
        _ => ("near-its-limit", loaded(check, units, advice)),
    };
    let level = check.level().unwrap_or(Level::Note);
    Finding { level, code: code.to_owned(), message }
}

/// A screw that stands where wood may split or break out.
pub(super) fn close_screw(close: &CloseScrew, units: Units) -> Finding {
    let CloseScrew { part, also, joint, screw, to, is, wants, grave, splits, .. } = close;
    let near = match to {
        CloseTo::End => "the end",
        CloseTo::Edge | CloseTo::StudEdge => "the edge",
        CloseTo::Face => "the nearer face",
        CloseTo::Next => "the next one along the grain",
        CloseTo::Beside | CloseTo::InStud => "the one beside it",
    };
    let also = if also.is_empty() { String::new() } else { format!(" (also {})", also.join(", ")) };
    let (is, wanted) = (units.length(*is), units.length(*wants));
    let fix = farther(close, units);
    let message = format!(
        "{part}{also}: a screw ({screw}, {joint}) stands {is} from {near} and wants {wanted}: {fix}."
    );
    let code = if *splits { "screw-may-split" } else { "screw-may-break-out" };
    let level = if *grave { Level::Warn } else { Level::Note };
    Finding { level, code: code.to_owned(), message }
}

/// How a screw comes to stand well.
fn farther(close: &CloseScrew, units: Units) -> String {
    let CloseScrew { to, is, wants, grave, splits, instead, .. } = close;
    if !splits && !grave {
        return "drill its pilot hole to size, or take thicker wood".to_owned();
    }
    let by = units.length(wants - is);
    let thick = units.length(2.0 * wants);
    let fix = match to {
        CloseTo::End => format!("move it in by {by}, or make the part longer"),
        CloseTo::Edge => format!("move it in by {by}, or make the part wider"),
        CloseTo::Face => format!("set it in the middle of wood {thick} thick"),
        CloseTo::Next => format!("set them farther apart by {by}, or stagger them"),
        CloseTo::Beside => format!("set them farther apart by {by}"),
        CloseTo::StudEdge | CloseTo::InStud => "set one in each stud".to_owned(),
    };
    let thinner = instead.map(|screw| format!(", or take {screw} screws")).unwrap_or_default();
    fix + &thinner
}

/// A check's figures: what is asked and what it can.
fn figures(check: &Check, units: Units) -> [String; 2] {
    [check.asked, check.can].map(|value| units.amount(check.id.question.amount(value)))
}

fn end_grain(check: &Check, units: Units) -> String {
    let ([asked, _], what) = (figures(check, units), check.id.place.words());
    format!(
        "{what}: each screw is pulled with {asked} in end grain, where no screw can be counted on. Use \
         tabs, a bracket or a cleat under it, or turn the grain."
    )
}

fn in_plugs(check: &Check, units: Units) -> String {
    let what = check.id.place.words();
    let told = grounds(&check.grounds, units);
    format!(
        "{what}: {told}, knocks counted. Plugs and masonry are not rated here; what load.md compares is the \
         holder's own wood and screws. Use plugs whose maker says more for your wall, and pull-test one."
    )
}

fn over_a_stud(check: &Check, held_by: &str, units: Units) -> String {
    let ([asked, can], what) = (figures(check, units), check.id.place.words());
    format!(
        "{what} has not a fifth to spare for this holder midway between two {held_by}s: hang it with its middle \
         over a {held_by}. There the load is {asked} with knocks counted, allowable {can}. An estimate, not a rating."
    )
}

/// How far out all acts, and how far out it may: without friction, with the least, with that of dry wood.
fn by_friction([reach, alone, least, dry]: [f64; 4], units: Units, advice: &str) -> String {
    let [reach_is, alone, least_is, dry] = [reach, alone, least, dry].map(|mm| units.length(mm));
    let acts = format!("The tools act {reach_is} out from the wall");
    if reach <= least {
        return format!(
            "{acts}; a smooth cleat would hold {alone}, the least friction measured on wood {least_is}. It stays on: \
             leave the bevels bare, without wax or varnish."
        );
    }
    format!(
        "{acts}: the friction of dry wood holds up to {dry}, the least that was measured on wood only {least_is}. A \
         knock from below may lift it off.{advice}"
    )
}

fn sags(check: &Check, units: Units, advice: &str) -> String {
    let ([asked, _], what) = (figures(check, units), check.id.place.words());
    let times = check.ratio();
    format!("{what}: it will sag {asked} over time, {times:.1} times its allowable.{advice}")
}

fn loaded(check: &Check, units: Units, advice: &str) -> String {
    let ([asked, can], what) = (figures(check, units), check.id.place.words());
    let word = check.id.question.word();
    let load = match check.id.question {
        LoadQuestion::Staying => format!("all that hangs acts {asked} out from the wall"),
        LoadQuestion::Strip => format!("over a stud still {asked} with knocks counted"),
        _ => format!("load {asked} with knocks counted"),
    };
    let used = match check.ratio() {
        r if !r.is_finite() => "too much".to_owned(),
        r if r > 1.1 => format!("{r:.1} times too much"),
        r if r > 1.0 => format!("{:.0} % too much", (100.0 * (r - 1.0)).ceil()),
        r => format!("{:.0} % of it", 100.0 * r),
    };
    format!("{what}, {word}: {load}, allowable {can}: {used}.{advice} An estimate, not a rating.")
}

/// What no figure says.
pub(crate) fn remark(remark: &LoadRemark, units: Units) -> String {
    match remark {
        LoadRemark::UnknownWood { name, taken } => format!(
            "The strength of \"{name}\" is not known: counted as {taken}, on the careful side."
        ),
        LoadRemark::NoScrewValue { name } => {
            format!("No standard rates screws in {name}: counted as in a light softwood.")
        }
        LoadRemark::Glued { count, tabs, into, area } => format!(
            "The {count} tabs of the {tabs} in the {into} also have {} of glued face, which is not counted.",
            units.area(*area)
        ),
    }
}

/// What a check's figures came from.
pub(crate) fn grounds(grounds: &Grounds, units: Units) -> String {
    match *grounds {
        Grounds::Bent { force, length, wood, support, worst_at, section } => {
            bent([force, length, worst_at], (wood, support, section), units)
        }
        Grounds::SharedByScrews { load, count, screw, most, can } => {
            shared((load, count, screw), most, can, units)
        }
        Grounds::OfCleat { screw, count, each, worst_pull, can } => {
            of_cleat((screw, count), (each, worst_pull), can, units)
        }
        Grounds::Kept { screw, count, each, can } => format!(
            "{screw}, {count} altogether; each one holds the holder down with {} (allowable across {}), so that it \
             stays on a smooth cleat",
            units.force(each),
            units.force(can)
        ),
        Grounds::InPlugs { screw, each } => format!(
            "each {screw} screw and its plug: pull {}, side load {}",
            units.force(each.pull),
            units.force(each.across)
        ),
        Grounds::Thrust { force, bevel, length } => format!(
            "thrust {} at {bevel:.0}° on {} of cleat",
            units.force(force),
            units.length(length)
        ),
        Grounds::Reach { reach, alone, dry } => format!(
            "all that hangs, wood included, acts {} out from the wall; held without friction up to {}, with that of \
             dry wood up to {}",
            units.length(reach),
            units.length(alone),
            units.length(dry),
        ),
        Grounds::Strip { held_by, over_a_stud, down, hook, width, wood, spacing } => format!(
            "{} downward and outward at the ends of a holder cleat {} long, {} on a strip {} wide of {wood} between \
             {held_by}s {} apart",
            units.force(down),
            units.length(hook),
            if over_a_stud { format!("its middle over a {held_by}") } else { "midway".to_owned() },
            units.length(width),
            units.length(spacing),
        ),
    }
}

fn bent(
    [force, length, worst_at]: [f64; 3],
    (wood, support, section): (&str, Support, Option<CrossSection>),
    units: Units,
) -> String {
    let holds = match support {
        Support::Cantilever => "held at one end",
        Support::Simple => "held at both ends",
    };
    let place = if worst_at < 1.0 {
        "at the support".to_owned()
    } else {
        format!("{} from the support", units.length(worst_at))
    };
    let net = section.map_or_else(String::new, |section| net(section, units));
    let (force, length) = (units.force(force), units.length(length));
    format!("{force} in all on {length} of {wood}, {holds}; highest stress {place}{net}")
}

/// What is left of a part where it is bent most.
fn net(section: CrossSection, units: Units) -> String {
    match section {
        CrossSection::Rectangle { width, height } => {
            format!(", net {} wide and {} high", units.length(width), units.length(height))
        }
        CrossSection::Round { diameter } => format!(", {} thick", units.length(diameter)),
        CrossSection::Beveled { solid, .. } => format!(", {} high", units.length(solid)),
    }
}

fn shared(
    (load, count, screw): (f64, usize, Option<SizedScrew>),
    most: ScrewShare,
    can: ScrewCan,
    units: Units,
) -> String {
    let size = screw.map_or_else(String::new, |sized| sized.to_string());
    let pull = can.pull.map_or("nothing".to_owned(), |newtons| units.force(newtons));
    format!(
        "{} on {count} screws {size}; the worst one: pull {} (allowable {pull}), side load {} (allowable {}){}",
        units.force(load),
        units.force(most.pull),
        units.force(most.across),
        units.force(can.across),
        shallow(can.diameters)
    )
}

fn shallow(diameters: f64) -> String {
    if diameters >= LEAST_PENETRATION {
        return String::new();
    }
    format!(
        "; only {diameters:.1} diameters deep, less than the {LEAST_PENETRATION} the NDS calls for, so its allowable side load is cut to match"
    )
}

fn of_cleat(
    (screw, count): (Screw, CleatScrews),
    (each, worst_pull): (ScrewShare, f64),
    can: ScrewCan,
    units: Units,
) -> String {
    let short = if can.diameters > 0.0 { "" } else { "too short to reach the wood behind; " };
    let count = match count {
        CleatScrews::InAll(count) => format!("{count} altogether"),
        CleatScrews::InEachStud(count) => format!("{count} to each stud"),
    };
    format!(
        "{short}{screw}, {count}, {:.1} diameters deep; each one: pull {} where the bevels meet face to face (allowable {}, its head {}), side load {} (allowable {}); if the bevels touch only along an edge, the pull is {}: check the fit",
        can.diameters,
        units.force(each.pull),
        units.force(can.pull.unwrap_or(0.0)),
        units.force(can.head),
        units.force(each.across),
        units.force(can.across),
        units.force(worst_pull)
    )
}
