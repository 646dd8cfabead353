//! All that is said of checks, remarks and mends, put together from their figures.

use super::assess::Assessment;
use super::check::{Check, HeldBy, LoadQuestion};
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

/// What a holder takes and what hangs on it, in a line: the first thing that is told of its loads. Empty where nothing
/// hangs.
pub(crate) fn headline(carried: &Assessment, units: Units) -> String {
    if carried.tools <= 0.0 {
        return String::new();
    }
    let mass = |kg: f64| units.mass(kg);
    let [anywhere, over] = [carried.could, carried.could_over_stud].map(|kg| kg.map(mass));
    let held_by = if carried.in_masonry { "plug" } else { "stud" };
    let takes = match (anywhere, over) {
        _ if carried.could == Some(0.0) => "Takes nothing that can be counted on".to_owned(),
        (Some(anywhere), Some(over))
            if over != anywhere && carried.could_over_stud > carried.could =>
        {
            format!("Takes {anywhere} anywhere, {over} over a {held_by}")
        }
        (Some(anywhere), _) => format!("Takes {anywhere}"),
        (None, _) => "What it takes is not known".to_owned(),
    };
    let plugs = if carried.in_masonry {
        " as far as its own wood and screws go; the plugs decide"
    } else {
        ""
    };
    let more = if carried.tools - carried.now > 0.005 {
        format!("; {} with the spare places", mass(carried.tools))
    } else {
        String::new()
    };
    format!("{takes}{plugs}. You hang {}{more}.", mass(carried.now))
}

/// What a second line rests on, in a word or two.
pub(crate) fn held_by(by: HeldBy) -> &'static str {
    match by {
        HeldBy::Glue => "glue",
        HeldBy::DryFriction => "friction of dry wood",
    }
}

/// What a check finds, figures in `units`; `advice` is empty where it is not the one to bring that.
pub(super) fn finding(check: &Check, units: Units, advice: &str) -> Finding {
    let level = check.level().unwrap_or(Level::Note);
    let (code, message) = match (check.id.question, &check.grounds) {
        (LoadQuestion::Plugs, _) => ("wall-not-rated", in_plugs(check, units)),
        (LoadQuestion::EndGrain, _) => ("screws-in-end-grain", end_grain(check, units, advice)),
        (LoadQuestion::Turning, Grounds::OnePlace { count, load, .. }) => {
            ("turns-on-its-screw", turning(check, (*count, *load), units, advice))
        }
        (LoadQuestion::Sag, _) => ("sags", sags(check, units, advice)),
        (LoadQuestion::Staying, Grounds::Reach { reach, alone, dry, outermost })
            if level != Level::Stop =>
        {
            let figures = [*reach, *alone, check.can, *dry];
            ("held-by-friction", by_friction(figures, *outermost, units, advice))
        }
        (LoadQuestion::OverStud, Grounds::Strip { held_by, .. }) if check.ratio() <= 1.0 => {
            ("hang-over-a-stud", over_a_stud(check, held_by, units, advice))
        }
        _ if level == Level::Warn && check.still > 1.0 => {
            ("held-by-glue", by_glue(check, units, advice))
        }
        _ if check.ratio() > 1.0 => ("overloaded", loaded(check, units, advice)),
        _ => ("near-its-limit", loaded(check, units, advice)),
    };
    Finding { level, code: code.to_owned(), message }
}

/// Screws of a cleat that would be pulled too hard if the bevels met along an edge alone; `None` where they would not.
pub(super) fn on_edge(check: &Check, units: Units) -> Option<Finding> {
    let Grounds::OfCleat { worst_pull, on_edge, .. } = check.grounds else { return None };
    let message = format!(
        "{}, {}: {} on each if the bevels meet along an edge alone, {} of its allowable: see that they fit face to \
         face before you hang it.",
        check.id.place.words(),
        check.id.question.word(),
        units.force(worst_pull),
        percent(on_edge)
    );
    (on_edge > 1.0 && on_edge.is_finite()).then(|| Finding::note("bevels-must-fit", message))
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
        CloseTo::StudEdge | CloseTo::InStud => {
            "stagger them, one high and one low, in pilot holes".to_owned()
        }
    };
    let thinner = instead.map(|screw| format!(", or take {screw} screws")).unwrap_or_default();
    fix + &thinner
}

/// A check's figures: what is asked and what it can.
fn figures(check: &Check, units: Units) -> [String; 2] {
    [check.asked, check.can].map(|value| units.amount(check.id.question.amount(value)))
}

fn end_grain(check: &Check, units: Units, advice: &str) -> String {
    let ([asked, _], what) = (figures(check, units), check.id.place.words());
    format!(
        "{what}: each screw is pulled with {asked} in end grain, where none can be counted on. Turn the grain, take \
         plywood, or join with wedged tabs.{advice}"
    )
}

fn turning(check: &Check, (count, load): (usize, f64), units: Units, advice: &str) -> String {
    let screws = if count == 1 { "one screw" } else { "screws at one place" };
    format!(
        "{}: {} hangs on {screws}, and all that hangs to one side turns it there. Give it screws in two studs, or hang \
         it on a cleat.{advice}",
        check.id.place.words(),
        units.force(load)
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

fn over_a_stud(check: &Check, held_by: &str, units: Units, advice: &str) -> String {
    let ([asked, can], what) = (figures(check, units), check.id.place.words());
    format!(
        "{what} does not bear this holder between two {held_by}s: hang it with its middle over a {held_by}, as its \
         cleat is marked. There the load is {asked} with knocks counted, allowable {can}.{advice} An estimate, not a \
         rating."
    )
}

/// How far out all acts, and how far out it may: without friction, with the least, with that of dry wood.
fn by_friction(
    [reach, alone, least, dry]: [f64; 4],
    outermost: Option<usize>,
    units: Units,
    advice: &str,
) -> String {
    let [reach_is, alone, least_is, dry] = [reach, alone, least, dry].map(|mm| units.length(mm));
    let acts = format!("{} {reach_is} out from the wall", hung(outermost));
    if reach <= least {
        return format!(
            "{acts}; a smooth cleat would hold {alone}, the least friction measured on wood {least_is}. It stays on: \
             leave the bevels bare, without wax or varnish.{advice}"
        );
    }
    let fill = if outermost.is_some() { " Fill the places at the wall first." } else { "" };
    format!(
        "{acts}: the friction of dry wood holds up to {dry}, the least that was measured on wood only {least_is}. A \
         knock from below may lift it off.{fill}{advice}"
    )
}

/// What acts, when.
fn hung(outermost: Option<usize>) -> String {
    match outermost {
        None => "The tools act".to_owned(),
        Some(0) => "With no tool on it, the holder itself acts".to_owned(),
        Some(1) => "With the outermost tool alone on it, all acts".to_owned(),
        Some(count) => format!("With the {count} outermost tools alone on it, all acts"),
    }
}

fn sags(check: &Check, units: Units, advice: &str) -> String {
    let ([asked, _], what) = (figures(check, units), check.id.place.words());
    let times = check.ratio();
    format!("{what}: it will sag {asked} over time, {times:.1} times its allowable.{advice}")
}

/// What holds by glue alone.
fn by_glue(check: &Check, units: Units, advice: &str) -> String {
    let ([asked, can], what) = (figures(check, units), check.id.place.words());
    let word = check.id.question.word();
    let with = check.besides.map_or(0.0, |besides| besides.knocked);
    let alone = if check.can > 0.0 {
        format!("allowable {can} without glue")
    } else {
        "and glue alone holds it".to_owned()
    };
    format!(
        "{what}, {word}: load {asked} with knocks counted, {alone}; sound glue is at {} of what it may bear. Glue is \
         not counted on.{advice} An estimate, not a rating.",
        percent(with)
    )
}

fn loaded(check: &Check, units: Units, advice: &str) -> String {
    let ([asked, can], what) = (figures(check, units), check.id.place.words());
    let word = check.id.question.word();
    let load = match (check.id.question, &check.grounds) {
        (LoadQuestion::Staying, Grounds::Reach { outermost, .. }) => {
            format!("{} {asked} out from the wall", lowered(&hung(*outermost)))
        }
        (LoadQuestion::OverStud, _) => format!("over a stud still {asked} with knocks counted"),
        _ => format!("load {asked} with knocks counted"),
    };
    let used = match check.ratio() {
        r if !r.is_finite() => "nothing to count on".to_owned(),
        r => format!("{} of it", percent(r)),
    };
    let still = match check.still {
        still if check.ratio() > 1.0 && still <= 1.0 => {
            format!(", {} while nobody knocks", percent(still))
        }
        _ => String::new(),
    };
    format!(
        "{what}, {word}: {load}, allowable {can}: {used}{still}.{advice} An estimate, not a rating."
    )
}

/// A share as a person reads it: whatever is above all of it reads so.
pub(crate) fn percent(share: f64) -> String {
    let hundredths = 100.0 * share;
    format!("{:.0} %", if share > 1.0 { hundredths.ceil() } else { hundredths })
}

/// With a small letter first, as it goes on in a sentence.
pub(crate) fn lowered(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
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
        Grounds::OfCleat { screw, count, each, worst_pull, can, .. } => {
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
        Grounds::Socket { force, lever, depth, diameter, wood } => format!(
            "{} acts {} out of a hole {} wide and {} deep in {wood}",
            units.force(force),
            units.length(lever),
            units.length(diameter),
            units.length(depth)
        ),
        Grounds::Split { force, lever, length, thickness, wood, is_listed } => format!(
            "{} on its bevel at a lever of {} bends {} of {wood}, {} thick, across its grain, where the bevels fit worst{}",
            units.force(force),
            units.length(lever),
            units.length(length),
            units.length(thickness),
            if is_listed {
                ""
            } else {
                "; its tension across the grain is in no table here, so the least that is counts"
            }
        ),
        Grounds::Reach { reach, alone, dry, outermost } => format!(
            "{} {} out from the wall, wood included; held without friction up to {}, with that of \
             dry wood up to {}",
            lowered(&hung(outermost)),
            units.length(reach),
            units.length(alone),
            units.length(dry),
        ),
        Grounds::OnePlace { screw, count, load } => {
            format!("{} on {count} of {screw} at one place", units.force(load))
        }
        Grounds::Back { at, width, thickness, wood, across } => format!(
            "{wood} {} thick and {} wide, net, bent {} its grain {} above the foot",
            units.length(thickness),
            units.length(width),
            if across { "across" } else { "along" },
            units.length(at)
        ),
        Grounds::Tabs { load, count, wedged } => format!(
            "{} on {count} tabs, each {}",
            units.force(load),
            if wedged { "held by a wedge" } else { "held by glue alone" }
        ),
        Grounds::Strip { held_by, over_a_stud, down, outward, hook, width, wood, spacing } => {
            format!(
                "{} downward and {} outward at the ends of a holder cleat {} long, {} on a strip {} wide of {wood} between \
             {held_by}s {} apart",
                units.force(down),
                units.force(outward),
                units.length(hook),
                if over_a_stud {
                    format!("its middle over a {held_by}")
                } else {
                    "where it bends most".to_owned()
                },
                units.length(width),
                units.length(spacing),
            )
        }
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
