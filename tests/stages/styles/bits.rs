//! Sizes that the router's bits and wood as it was measured ask for.

use crate::holder::{Holder, Level, Part, Purpose, build};
use crate::kernel::{BitSide, Contour, Region, Segment, rectangle};
use crate::reading::Source;
use crate::shop::{RouterBits, read_shop};
use crate::style::HolderFile;
use crate::tolerance::RELIEF_SLACK;
use crate::{Inputs, style::Library};
use kurbo::Point;

use super::{near, part, shop, stops};

const RAIL: &str = "style = \"hole-rail\"\nunits = \"mm\"\n[measures]\n";

/// A shop in mm with sheets of some `thickness`, a router and two drills.
fn shed(thickness: &str, router: &str, more: &str) -> String {
    format!(
        "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = {thickness}\nlength = 2440\nwidth = 1220\n\
         wood = \"birch plywood\"\n[bits]\ndrill = [3, 4, 5, 10]\nforstner = [15, 25]\n\
         [router]\n{router}\n[cleat]\nfrom = \"ply\"\nwidth = 60\n{more}"
    )
}

fn made(text: &str, shed: &str) -> Holder {
    super::made(text, &shop(shed))
}

fn rail(measures: &str, choices: &str, shed: &str) -> Holder {
    made(&format!("{RAIL}{measures}\n[choices]\n{choices}\n"), shed)
}

const CHISELS: &str = "shank_diameter = [12, 12]\nhead_width = 30\nwidest_below = 10\nneck_thickness = 8\n\
                       tool_mass = \"0.2 kg\"";

fn note<'a>(holder: &'a Holder, code: &str) -> &'a str {
    let found = holder.findings.iter().find(|f| f.code == code && f.level == Level::Note);
    found.map_or("", |finding| finding.message.as_str())
}

/// Radii of the arcs that bow into the wood, in mm.
fn bites<'a>(contours: impl IntoIterator<Item = &'a Contour>) -> Vec<f64> {
    let segments = contours.into_iter().flat_map(Contour::segments);
    let radius = |s: Segment| s.arc().filter(|_| s.bulge < 0.0).map(|arc| arc.radius);
    segments.filter_map(radius).collect()
}

/// Whether a bit finds its way along all edges.
fn goes_round(region: &Region, bit: f64) -> bool {
    let opened = |o: &Contour| o.path_of_bit(bit, BitSide::Inside).is_ok();
    region.outline().path_of_bit(bit, BitSide::Outside).is_ok()
        && region.openings().iter().all(opened)
}

/// Clearance and shank, 12 + 0.8 mm, and not the drawer's next drill of 15 mm; drilled by hand it is that drill's.
#[test]
fn a_milled_hole_is_as_wide_as_it_is_to_be() {
    let shed = shed("18", "bit = 6.35", "");
    let milled = rail(CHISELS, "made_by = \"router\"\nfit = 0.8", &shed);
    assert!(stops(&milled).is_empty(), "{:?}", milled.findings);
    let shelf = part(&milled, "shelf");
    assert!(shelf.drillings.iter().all(|drilling| drilling.purpose != Purpose::Tool));
    let widths: Vec<f64> = shelf.region.openings().iter().map(|o| o.bounds().width()).collect();
    assert_eq!(widths.len(), 2);
    widths.iter().for_each(|width| near(*width, 12.8));
    assert_eq!(note(&milled, "wider-than-asked"), "");
    let drilled = rail(CHISELS, "made_by = \"hand\"\nfit = 0.8", &shed);
    let bored = part(&drilled, "shelf").drillings.iter().filter(|d| d.purpose == Purpose::Tool);
    bored.for_each(|drilling| near(drilling.diameter, 15.0));
}

const AWLS: &str = "shank_diameter = [4, 5]\nhead_width = 25\nwidest_below = 4\nneck_thickness = 3\n\
                    tool_mass = \"0.1 kg\"";

/// A bit of 6.35 mm mills nothing below 6.45 mm: widened and told, with both figures; where the head would fall
/// through, it stops and names the way out.
#[test]
fn awls_hang_in_holes_as_wide_as_the_bit_mills() {
    let shed = shed("18", "bit = 6.35", "");
    let awls = rail(AWLS, "made_by = \"router\"\nopen = \"yes\"\nfit = 0.8", &shed);
    assert!(stops(&awls).is_empty(), "{:?}", awls.findings);
    let told = note(&awls, "wider-than-asked");
    assert!(told.contains("Tool 1") && told.contains("thinnest router bit"), "{told}");
    assert!(told.contains("one of 4.8 mm would fit"), "{told}");
    let region = &part(&awls, "shelf").region;
    let narrowest = bites(region.contours()).into_iter().fold(f64::INFINITY, f64::min);
    near(2.0 * narrowest, 6.35 + 2.0 * RELIEF_SLACK);
    assert!(goes_round(region, 6.35));
    let thin =
        rail(&AWLS.replace("head_width = 25", "head_width = 6"), "made_by = \"router\"", &shed);
    let stop = stops(&thin).into_iter().find(|f| f.code == "head-falls-through").unwrap();
    assert!(stop.message.contains("joint_bit"), "{}", stop.message);
    let two = shed.replace("bit = 6.35", "bit = 6.35\njoint_bit = 3");
    let fits =
        rail(&AWLS.replace("head_width = 25", "head_width = 9"), "made_by = \"router\"", &two);
    assert!(!fits.findings.iter().any(|f| f.code == "wider-than-asked"), "{:?}", fits.findings);
}

/// A style with every kind of cut, each just as wide as the bit.
const AS_WIDE: &str = "title = \"Plate\"\nhangs = \"nothing\"\nmakes = \"a plate\"\ninclude = [\"making\"]\n\
    [measures]\n[choices]\nwide = { ask = \"How wide?\", length = [\"1 mm\", \"50 mm\"], default = \"6 mm\" }\n\
    sheet = {}\n[workings]\nhung_mass = \"1 kg\"\n\
    [parts.plate]\nabout = \"a plate\"\nsize = \"300 mm, 100 mm\"\nsits = { at = \"0, 0, 0\" }\n\
    [[parts.plate.cuts]]\nslot = { end = \"30 mm, 50 mm\", toward = \"bottom\", width = \"wide\" }\n\
    [[parts.plate.cuts]]\nslot = { end = \"70 mm, 30 mm\", to = \"70 mm, 70 mm\", width = \"wide\" }\n\
    [[parts.plate.cuts]]\nhole = { at = \"110 mm, 50 mm\", diameter = \"wide\" }\n\
    [[parts.plate.cuts]]\nwindow = { at = \"150 mm, 30 mm\", size = \"wide, 40 mm\", radius = \"wide / 2\" }\n\
    [[parts.plate.cuts]]\nnotch = { edge = \"top\", middle = \"200 mm\", width = \"wide\", depth = \"20 mm\", radius = \"wide / 2\" }\n";

fn built(style: &str, choices: &str, shed: &str) -> Holder {
    let library = Library::with(&Inputs::new().with("styles/plate.toml", style));
    let text = format!("style = \"plate\"\nunits = \"mm\"\n[choices]\n{choices}\n");
    let file = HolderFile::read(Source::new("plate.toml", text), "plate", &library);
    let file = file.unwrap_or_else(|e| panic!("{e}"));
    build(&file, &shop(shed)).unwrap_or_else(|e| panic!("{e}"))
}

fn plate(style: &str, made_by: &str, shed: &str) -> Holder {
    built(style, &format!("made_by = \"{made_by}\""), shed)
}

/// Cuts exactly as wide as the bit, or narrower: each comes as wide as the bit and its slack, so that the bit has a
/// way in all of them; by hand they are as asked for.
#[test]
fn no_cut_is_as_narrow_as_the_bit() {
    let shed = shed("18", "bit = 6", "");
    for wide in [3.0, 5.98, 6.0, 6.05] {
        let style = AS_WIDE.replace("default = \"6 mm\"", &format!("default = \"{wide} mm\""));
        let plate = plate(&style, "router", &shed);
        assert!(stops(&plate).is_empty(), "{wide}: {:?}", plate.findings);
        let region = &part(&plate, "plate").region;
        assert!(goes_round(region, 6.0), "{wide}");
        let radii = bites(region.contours());
        assert!(radii.len() >= 7, "{radii:?}");
        radii.iter().for_each(|radius| near(*radius, 3.05));
        assert!(
            note(&plate, "as-wide-as-the-bit").contains("comes 6.1 mm wide"),
            "{:?}",
            plate.findings
        );
    }
    let wider = AS_WIDE.replace("default = \"6 mm\"", "default = \"6.2 mm\"");
    assert_eq!(note(&plate(&wider, "router", &shed), "as-wide-as-the-bit"), "");
    let sawn = plate(AS_WIDE, "hand", &shed);
    bites(part(&sawn, "plate").region.contours()).iter().for_each(|r| near(*r, 3.0));
}

const TABS: &str = "style = \"twin-arm\"\nunits = \"in\"\n[measures]\nbar_thickness = \"3/8\"\nhead_width = 4\n\
    stack_count = 2\nstack_depth = 4\ntool_length = 40\ntool_mass = \"3 kg\"\n[choices]\njoint = \"tab\"\n\
    made_by = \"router\"\nrelief = \"corner\"\nnose_margin = \"3 in\"\nflank = \"3 in\"\n";

/// Roots of tabs are relieved for the bit that cuts the outline, mortises for the one that cuts joints.
#[test]
fn each_bit_relieves_what_it_cuts() {
    let two = shed("18", "bit = 8\njoint_bit = 4", "");
    let rack = made(TABS, &two);
    assert!(stops(&rack).is_empty(), "{:?}", rack.findings);
    let arm = part(&rack, "arm");
    let roots: Vec<f64> =
        bites([arm.region.outline()]).into_iter().filter(|radius| *radius < 5.0).collect();
    assert!(!roots.is_empty());
    roots.iter().for_each(|radius| near(*radius, 4.0 + RELIEF_SLACK));
    let mortises = bites(part(&rack, "back").region.openings());
    assert!(!mortises.is_empty());
    mortises.iter().for_each(|radius| near(*radius, 2.0 + RELIEF_SLACK));
}

/// The wider bit cuts what it comes into; a slot that only the thinner one passes is that one's, whatever the room at
/// its end.
#[test]
fn the_widest_bit_that_fits_cuts_a_contour() {
    let bits = RouterBits { outline: 8.0, joint: 4.0 };
    let window = |radius| rectangle(Point::ORIGIN, 40.0, 20.0, [radius; 4]).unwrap().clockwise();
    near(bits.for_contour(&window(4.0)), 8.0);
    near(bits.for_contour(&window(3.9)), 4.0);
    near(window(3.9).least_inside_radius(), 3.9);
    near(bits.for_contour(&rectangle(Point::ORIGIN, 40.0, 20.0, [0.0; 4]).unwrap()), 8.0);
    let keyhole = |width| {
        let (from, to) = (Point::new(0.0, 0.0), Point::new(40.0, 0.0));
        crate::kernel::closed_slot(from, to, width, 12.0).unwrap().clockwise()
    };
    near(bits.for_contour(&keyhole(8.1)), 8.0);
    near(bits.for_contour(&keyhole(6.0)), 4.0);
}

/// The same style with a pocket in place of its cuts.
fn milled(pocket: &str, router: &str) -> Holder {
    let plain = AS_WIDE.split("[[parts.plate.cuts]]").next().unwrap().replace(
        "wide = { ask = \"How wide?\", length = [\"1 mm\", \"50 mm\"], default = \"6 mm\" }\n",
        "",
    );
    plate(&format!("{plain}[[parts.plate.pockets]]\n{pocket}\n"), "router", &shed("18", router, ""))
}

fn only_pocket(holder: &Holder) -> (&Part, &crate::holder::Pocket) {
    let plate = part(holder, "plate");
    (plate, &plate.pockets[0])
}

#[test]
fn a_pocket_narrower_than_the_bit_stops() {
    let narrow = milled(
        "at = \"20 mm, 20 mm\"\nsize = \"5 mm, 40 mm\"\ndepth = \"6 mm\"",
        "bit = 8\njoint_bit = 6",
    );
    let stop = stops(&narrow).into_iter().find(|f| f.code == "pocket-too-narrow").unwrap();
    assert!(
        stop.message.contains("5 mm wide") && stop.message.contains("1.1 mm"),
        "{}",
        stop.message
    );
    // A rabbet has one wall alone.
    let rabbet = milled(
        "at = \"0 mm, 0 mm\"\nsize = \"300 mm, 5 mm\"\ndepth = \"6 mm\"",
        "bit = 8\njoint_bit = 6",
    );
    assert!(stops(&rabbet).is_empty(), "{:?}", rabbet.findings);
}

/// A groove from edge to edge: the bit runs out past both by more than half of it, the area stays what is wanted, and
/// so does the wood that it takes.
#[test]
fn a_groove_runs_out_past_the_edge() {
    let groove = milled(
        "at = \"50 mm, 0 mm\"\nsize = \"18 mm, 100 mm\"\ndepth = \"6 mm\"\nseat = true",
        "bit = 8",
    );
    assert!(stops(&groove).is_empty(), "{:?}", groove.findings);
    let (plate, pocket) = only_pocket(&groove);
    let run = pocket.contour.bounds();
    assert!(run.y0 <= -4.0 && run.y1 >= 104.0, "{run:?}");
    near(run.width(), 18.0);
    near(pocket.area.height(), 100.0);
    near(pocket.wood(), 18.0 * 100.0);
    let full = 300.0 * 100.0 * 18.0 - 18.0 * 100.0 * 6.0;
    near(plate.mass() / plate.stock.density * 1e9, full);
    // Of a rabbet that ends within the part both corners are relieved, and none out over the edge.
    let ended = milled(
        "at = \"50 mm, 0 mm\"\nsize = \"18 mm, 60 mm\"\ndepth = \"6 mm\"\nseat = true",
        "bit = 8",
    );
    let (_, pocket) = only_pocket(&ended);
    let bites = pocket.contour.segments().filter(|s| !s.is_line()).count();
    assert_eq!(bites, 2);
}

/// A tab beyond a pocket's edge keeps its root: the bit runs out past the other edges alone.
#[test]
fn a_pocket_does_not_run_out_into_tabs() {
    let post = "[parts.post]\nabout = \"takes the tabs\"\nsize = \"100 mm, 200 mm\"\n\
        sits = { faces = \"right\", at = \"-18 mm, -50 mm, 0 mm\" }\n";
    let groove = "at = \"0 mm, 20 mm\"\nsize = \"300 mm, 60 mm\"\ndepth = \"6 mm\"";
    let with_tabs = format!(
        "{groove}\n[[parts.plate.tabs]]\nedge = \"left\"\ninto = \"post\"\ncount = \"1\"\n{post}"
    );
    let tabs = "include = [\"making\", \"tabs\"]";
    let style = AS_WIDE
        .replace("include = [\"making\"]", tabs)
        .replace("at = \"0, 0, 0\"", "at = \"0, 0, 41 mm\"");
    let plain = style.split("[[parts.plate.cuts]]").next().unwrap().replace(
        "wide = { ask = \"How wide?\", length = [\"1 mm\", \"50 mm\"], default = \"6 mm\" }\n",
        "joint = { default = \"'tab'\" }\n",
    );
    let holder = plate(
        &format!("{plain}[[parts.plate.pockets]]\n{with_tabs}"),
        "router",
        &shed("18", "bit = 8", ""),
    );
    let (plate, pocket) = only_pocket(&holder);
    assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
    near(plate.length(), 318.0);
    let run = pocket.contour.bounds();
    near(run.x0, 18.0);
    near(pocket.area.x0, 18.0);
    assert!(run.x1 > 318.0 + 4.0, "{run:?}");
    near(pocket.wood(), 300.0 * 60.0);
}

/// The path of the bit's middle stays half a bit from the wall.
#[test]
fn a_pocket_s_wall_is_half_a_bit_from_the_bit_s_middle() {
    let holder =
        milled("at = \"20 mm, 20 mm\"\nsize = \"30 mm, 40 mm\"\ndepth = \"6 mm\"", "bit = 8");
    let (_, pocket) = only_pocket(&holder);
    let way = pocket.contour.path_of_bit(8.0, BitSide::Inside).unwrap();
    let bounds = way.bounds();
    near(bounds.width(), 22.0);
    near(bounds.height(), 32.0);
    assert!(way.area() > 0.0);
    assert!(pocket.contour.path_of_bit(31.0, BitSide::Inside).is_err());
}

/// A block that stands in a pocket just as large: its corners meet the round ones, unless they are relieved.
#[test]
fn square_wood_in_a_round_pocket_is_told() {
    let block = "[parts.block]\nabout = \"stands in it\"\nsize = \"30 mm, 40 mm\"\nsits = { at = \"20 mm, 20 mm, 12 mm\" }\n";
    let pocket = "at = \"20 mm, 20 mm\"\nsize = \"30 mm, 40 mm\"\ndepth = \"6 mm\"";
    let round = milled(&format!("{pocket}\n{block}"), "bit = 8");
    let told = note(&round, "round-pocket");
    assert!(told.contains("4 mm") && told.contains("block"), "{:?}", round.findings);
    let seated = milled(&format!("{pocket}\nseat = true\n{block}"), "bit = 8");
    assert_eq!(note(&seated, "round-pocket"), "");
    let roomy = pocket.replace(
        "at = \"20 mm, 20 mm\"\nsize = \"30 mm, 40 mm\"",
        "at = \"18 mm, 18 mm\"\nsize = \"34 mm, 44 mm\"",
    );
    assert_eq!(note(&milled(&format!("{roomy}\n{block}"), "bit = 8"), "round-pocket"), "");
}

/// Size of each mortise of the back, across and up.
fn mortises(rack: &Holder) -> Vec<(f64, f64)> {
    let openings = part(rack, "back").region.openings();
    let size = |o: &Contour| (o.bounds().width(), o.bounds().height());
    openings.iter().map(size).collect()
}

/// The arms stand upright before the back: the faces of their tabs look left and right, the ends up and down.
#[test]
fn faces_and_ends_of_a_tab_have_clearances_of_their_own() {
    let shed = shed("18", "bit = 6", "");
    let text = TABS.replace("relief = \"corner\"", "relief = \"none\"").replace("router", "hand");
    for (faces, ends) in [(0.1, 0.1), (0.2, 0.5), (0.0, 0.3), (-0.1, 0.2)] {
        let choices = format!("tab_fit = \"{faces} mm\"\ntab_end_fit = \"{ends} mm\"\n");
        let rack = made(&format!("{text}{choices}"), &shed);
        assert!(stops(&rack).is_empty(), "{:?}", rack.findings);
        let joint = &rack.joints[0];
        let wanted = (18.0 + 2.0 * faces, joint.width + 2.0 * ends);
        for (across, up) in mortises(&rack) {
            near(across, wanted.0);
            near(up, wanted.1);
        }
    }
    // The ends are as the faces where nothing is said of them.
    let rack = made(&format!("{text}tab_fit = \"0.3 mm\"\n"), &shed);
    for (across, up) in mortises(&rack) {
        near(across, 18.6);
        near(up, rack.joints[0].width + 0.6);
    }
}

/// A tab that stands proud makes its part longer by so much, opens nothing more, and a step says to sand it.
#[test]
fn tabs_stand_proud_to_be_sanded_flush() {
    let shed = shed("18", "bit = 6", "");
    let (flush, proud) = (made(TABS, &shed), made(&format!("{TABS}tab_proud = \"1/16\"\n"), &shed));
    assert!(stops(&proud).is_empty(), "{:?}", proud.findings);
    let length = |holder: &Holder| part(holder, "arm").length();
    near(length(&proud) - length(&flush), 25.4 / 16.0);
    assert_eq!(part(&proud, "back").region, part(&flush, "back").region);
    assert_eq!(proud.joints[0].tabs_at, flush.joints[0].tabs_at);
    let sands =
        |holder: &Holder| holder.steps.iter().any(|step| step.text.contains("sand the tabs flush"));
    assert!(sands(&proud) && !sands(&flush), "{:?}", proud.steps);
}

/// Nothing that comes where a tab is sanded off is in its way: cleats behind a back, tools on a shelf.
#[test]
fn what_is_sanded_off_is_in_nobody_s_way() {
    let shed = shed("18", "bit = 6", "[[dowel]]\ndiameter = 25\nlength = 900\n");
    let shelf = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"3/8\"\n\
                 head_width = \"1 1/4\"\ntool_length = 30\ntool_mass = \"2 kg\"\n[choices]\n";
    let tongue = "style = \"tongue\"\nunits = \"in\"\n[measures]\ninside_gap = 3\ntool_thickness = 2\n\
                  tool_mass = \"1 kg\"\n[choices]\n";
    let tray = "style = \"tray\"\nunits = \"in\"\n[measures]\ninside_length = 12\ninside_width = 6\n\
                inside_height = 3\nload_mass = \"3 kg\"\n[choices]\n";
    for text in [shelf, tongue, tray] {
        let made = |proud: &str| {
            let choices =
                format!("joint = \"tab\"\nmade_by = \"router\"\nrelief = \"side\"\n{proud}");
            made(&format!("{text}{choices}"), &shed)
        };
        let (flush, proud) = (made(""), made("tab_proud = \"1/16\"\n"));
        assert!(!proud.joints.is_empty());
        let told = |holder: &Holder| -> Vec<String> {
            let bad = holder.findings.iter().filter(|finding| finding.level != Level::Note);
            bad.map(|finding| finding.code.clone()).collect()
        };
        assert_eq!(told(&proud), told(&flush), "{:?}", proud.findings);
    }
}

/// The thickest reading is what joints are cut for; how loose that leaves the thinnest is told.
#[test]
fn joints_are_cut_for_the_thickest_reading() {
    let single = made(TABS, &shed("18.3", "bit = 6", ""));
    let read = made(TABS, &shed("[18.1, 18.3, 17.9]", "bit = 6", ""));
    assert_eq!(part(&read, "back").region, part(&single, "back").region);
    let told = note(&read, "loose-tabs");
    assert!(told.starts_with("arm: 1/64 in more clearance") && told.contains("\"ply\""), "{told}");
    assert_eq!(note(&single, "loose-tabs"), "");
    let close = made(TABS, &shed("[18.3, 18.22]", "bit = 6", ""));
    assert_eq!(note(&close, "loose-tabs"), "");
}

/// What an offcut reads counts for the sheet it was cut from.
#[test]
fn an_offcut_has_a_thickness_of_its_own() {
    let offcut = "[[offcut]]\nof = \"ply\"\nthickness = [18.4, 17.8]\nlength = 600\nwidth = 300\n";
    let shop = shop(&shed("18", "bit = 6", offcut));
    let ply = &shop.stock[0];
    near(ply.thickness, 18.4);
    near(ply.thickness_least, 17.8);
    let wrong = |sheet: &str, offcut: &str| {
        let text = shed(sheet, "bit = 6", offcut);
        read_shop(&Source::new("shop.toml", text)).unwrap_err().to_string()
    };
    for (message, told) in [
        ("is 18 mm thick", wrong("18", &offcut.replace("[18.4, 17.8]", "12"))),
        ("its readings are 3 mm apart", wrong("[18, 21]", "")),
        ("no reading", wrong("[]", "")),
        ("there is no number here", wrong("[18, \"thick\"]", "")),
    ] {
        assert!(told.contains(message), "{message}: {told}");
        assert_eq!(told.matches("shop.toml, line").count(), 1, "{told}");
    }
}
