//! `wall.md`: where every holder hangs, and in which order all of it is put up.

use super::finding::finding;
use super::tree::{
    Block, Document, Inline, Listing, Phrase, PictureFile, PictureSize, Shown, many, phrase, strong,
};
use crate::carry::say::percent;
use crate::holder::{Holder, caution};
use crate::length::{Amount, STANDARD_GRAVITY};
use crate::reading::file_name;
use crate::shop::{Shop, SizedScrew};
use crate::wall::{CleatPiece, HungPlace, PlannedRow, PlannedWall, StudLoad, WallPlan};

/// A plan with what it is told from.
#[derive(Clone, Copy)]
pub(crate) struct WallTold<'w> {
    pub plan: &'w WallPlan,
    /// Those that hang and others, by their names.
    pub holders: &'w [&'w Holder],
    pub shop: &'w Shop,
}

/// The name of a wall's files without their ending: of one wall "wall", of several with its name; of two names that make
/// one the later one has its number.
pub(crate) fn wall_file(plan: &WallPlan, number: usize) -> String {
    let named = |wall: &PlannedWall| file_name(&wall.space.name);
    match &plan.walls[..] {
        [] | [_] => "wall".to_owned(),
        walls => {
            let own = walls.get(number).map(named).unwrap_or_default();
            let earlier = walls.iter().take(number).map(named).any(|name| name == own);
            let alone = !earlier && !own.is_empty();
            if alone { format!("wall-{own}") } else { format!("wall-{own}-{}", number + 1) }
        }
    }
}

/// The sheet that hangs beside the wall while all of it is put up.
pub(crate) fn wall_sheet(told: &WallTold<'_>) -> Document {
    let cautions = Block::cautions(caution::for_loads());
    let findings = told.plan.findings.iter().map(finding).collect();
    let first = [
        Block::chapter("Findings", Block::List(findings)),
        Block::chapter("What the plan comes to", Block::List(aims(told))),
    ];
    let walls = told.plan.walls.iter().enumerate().filter_map(|(at, wall)| {
        let file = format!("{}.svg", wall_file(told.plan, at));
        let picture = PictureFile { file, alt: alt(wall) };
        let blocks = std::iter::once(Block::Paragraph(phrase![picture]));
        Block::chapter_of(&heading(wall), blocks.chain(told.wall(wall)).collect())
    });
    let all = first.into_iter().flatten().chain(walls);
    Document {
        title: "Where everything hangs".to_owned(),
        units: told.shop.units,
        blocks: std::iter::once(cautions).chain(all).collect(),
    }
}

/// The walls as the shop book shows them, each with its picture, of those that `shown` knows.
pub(super) fn in_book(told: &WallTold<'_>, shown: impl Fn(&str) -> bool) -> Vec<Block> {
    let aims = Block::chapter("What the plan comes to", Block::List(aims(told)));
    let walls = told.plan.walls.iter().enumerate().filter_map(|(at, wall)| {
        let file = format!("{}.svg", wall_file(told.plan, at));
        let caption = format!("Larger: {file}").into();
        let picture = shown(&file).then(|| PictureFile { file, alt: alt(wall) });
        let picture = picture.map(|picture| Shown { picture, size: PictureSize::Page, caption });
        let picture = Block::Pictures(picture.into_iter().collect());
        let blocks = std::iter::once(picture).chain(told.wall(wall)).collect();
        Block::chapter_of(&heading(wall), blocks)
    });
    aims.into_iter().chain(walls).collect()
}

fn heading(wall: &PlannedWall) -> String {
    match wall.space.name.as_str() {
        "" => "The wall".to_owned(),
        name => format!("The wall: {name}"),
    }
}

fn alt(wall: &PlannedWall) -> String {
    let count = many(wall.places.len(), "holder");
    format!("{}, from the front: {count} at their places", heading(wall))
}

/// One figure for each thing that a plan is judged by.
fn aims(told: &WallTold<'_>) -> Vec<Phrase> {
    let WallPlan { aims, walls, left_over, .. } = told.plan;
    let hung: usize = walls.iter().map(|wall| wall.places.len()).sum();
    let all = hung + left_over.len();
    let hang = match left_over.as_slice() {
        [] => format!("{hung} of {} hang: all of them.", many(all, "holder")),
        names => {
            let titles: Vec<&str> = names.iter().map(|name| told.title(name)).collect();
            let count = many(all, "holder");
            format!("{hung} of {count} hang; no place is left for {}.", titles.join(", "))
        }
    };
    let found = match aims.findings {
        0 => "0 places with a warning.".to_owned(),
        count => format!("{} with a warning.", many(count, "place")),
    };
    // No one measures these with a tape.
    let whole = |mm: f64| Amount::Length(told.shop.units.round_down(mm));
    vec![
        hang.into(),
        found.into(),
        phrase![
            "Height: ",
            Amount::MassLength(aims.out_of_reach),
            " off the best heights, each tool's mass times how far it is above or below them."
        ],
        phrase!["Together: ", whole(aims.apart), " across and up round each group, added up."],
        phrase!["Free: ", whole(aims.free), " of wall cleat for more holders."],
        "In this order: more of what comes first is never given up for what comes after.".into(),
    ]
}

impl WallTold<'_> {
    fn holder(&self, name: &str) -> Option<&Holder> {
        self.holders.iter().copied().find(|holder| holder.name == name)
    }

    fn title<'s>(&'s self, name: &'s str) -> &'s str {
        self.holder(name).map_or(name, |holder| &holder.title)
    }

    /// What is to be known of one wall, in the order in which it is wanted.
    fn wall(&self, wall: &PlannedWall) -> Vec<Block> {
        let chapters = [
            Block::chapter_of("Rows, from the floor", self.rows(wall)),
            Block::chapter_of("Holders, from the left corner", self.places(wall)),
            Block::chapter("In this order", Block::Numbered(self.order(wall))),
            Block::chapter_of(
                if self.shop.wall.masonry.is_some() {
                    "Plugs, from the left corner"
                } else {
                    "Studs, from the left corner"
                },
                self.studs(wall),
            ),
            Block::chapter("Free for more", Block::Table(free(wall))),
        ];
        chapters.into_iter().flatten().collect()
    }

    fn rows(&self, wall: &PlannedWall) -> Vec<Block> {
        let head = vec!["row", "top edge", "wall cleats", "screws"];
        let rows = wall.rows.iter().enumerate().map(|(at, row)| {
            let screws: usize = row.cleats.iter().map(|cleat| cleat.screws.len()).sum();
            vec![
                (at + 1).to_string().into(),
                phrase![Amount::Length(row.height)],
                listed(row.cleats.iter().map(ends)),
                screws.to_string().into(),
            ]
        });
        let rows: Vec<Vec<Phrase>> = rows.collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let told = "The top edge is that of the wall cleats, above the floor; each wall cleat from where to where, from the \
                    wall's left corner.";
        vec![Block::Paragraph(told.into()), Block::Table(Listing { head, rows })]
    }

    fn places(&self, wall: &PlannedWall) -> Vec<Block> {
        let over = if self.shop.wall.masonry.is_some() { "over plug" } else { "over stud" };
        let head = vec!["no.", "holder", "row", "left edge", "right edge", "foot", over];
        let rows = (1..).zip(&wall.places).map(|(number, place): (usize, _)| {
            let title = self.title(&place.holder);
            let HungPlace { row, wood, .. } = place;
            let row = row.map_or("on the studs".to_owned(), |row| (row + 1).to_string());
            let figures = [wood.x0, wood.x1, wood.y0].map(|place| phrase![Amount::Length(place)]);
            let mut cells = vec![number.to_string().into(), phrase![title], row.into()];
            cells.extend(figures);
            cells.push(behind(wall, place).into());
            cells
        });
        let rows: Vec<Vec<Phrase>> = rows.collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let told = "Left and right edges are those of the holder's wood, from the wall's left corner; the foot is the lower \
                    edge of its wood, above the floor. Numbers are those in the drawing.";
        vec![Block::Paragraph(told.into()), Block::Table(Listing { head, rows })]
    }

    /// What comes on each stud. In masonry nothing rates what holds.
    fn studs(&self, wall: &PlannedWall) -> Vec<Block> {
        let masonry = self.shop.wall.masonry.is_some();
        let head =
            vec![self.shop.wall.held_by(), "its middle", "at rest", "of what its screws hold"];
        let rows = (1..).zip(&wall.studs).map(|(number, stud): (usize, _)| {
            let StudLoad { at, load, share } = stud;
            let share = if masonry { "not rated".to_owned() } else { percent(*share) };
            let mass = Amount::Mass(load / STANDARD_GRAVITY);
            vec![
                number.to_string().into(),
                phrase![Amount::Length(*at)],
                phrase![mass],
                share.into(),
            ]
        });
        let rows: Vec<Vec<Phrase>> = rows.collect();
        if rows.is_empty() {
            return Vec::new();
        }
        let told = "What hangs on all rows together, at rest, and what part of its screws' strength the row with most takes, \
                    knocks counted: an estimate, not a rating.";
        vec![Block::Paragraph(told.into()), Block::Table(Listing { head, rows })]
    }

    /// What is done one after the other, each with a box to tick.
    fn order(&self, wall: &PlannedWall) -> Vec<Phrase> {
        let marks = (!wall.space.studs.is_empty()).then(|| {
            let at = listed(wall.space.studs.iter().map(|stud| phrase![Amount::Length(*stud)]));
            let (mark, sure) = match self.shop.wall.masonry {
                Some(_) => ("Mark where the plugs go", ". Bore for them as they ask."),
                None => (
                    "Mark the middle of each stud",
                    ". Make sure of each with a thin nail where a wall cleat will cover it.",
                ),
            };
            phrase![format!("{mark}, from the left corner: ")].then(at).then(phrase![sure])
        });
        let heights = wall.rows.iter().map(|row| phrase![Amount::Length(row.height)]);
        let lines = (!wall.rows.is_empty()).then(|| {
            phrase!["Strike a level line for the top edge of each row, from the floor: "]
                .then(listed(heights))
                .then(phrase!["."])
        });
        let cleats = (1..).zip(&wall.rows).map(|(number, row)| self.screwed(number, (wall, row)));
        let hung = (1..).zip(&wall.places).map(|(number, place)| self.hung(number, place));
        let tools = (!wall.places.is_empty()).then(|| {
            phrase!["Pull each holder down and toward you from a safe place. Then hang the tools, the heavy ones first."]
        });
        let steps = marks.into_iter().chain(lines).chain(cleats).chain(hung).chain(tools);
        steps.map(|step| phrase![Inline::Tick, " "].then(step)).collect()
    }

    /// How the wall cleats of a row come on.
    fn screwed(&self, number: usize, (wall, row): (&PlannedWall, &PlannedRow)) -> Phrase {
        let shop = &self.shop.wall;
        let each = row
            .cleats
            .iter()
            .map(|cleat| ends(cleat).then(phrase![" (", Amount::Length(cleat.length()), " long)"]));
        let screw = SizedScrew { screw: shop.screw, length: shop.screw_length };
        let on_stud = |joint: f64| {
            wall.space.studs.iter().any(|stud| (stud - joint).abs() < shop.stud_width / 2.0)
        };
        let joints = row.cleats.iter().skip(1).map(|cleat| cleat.from);
        let joints: Vec<f64> = joints.filter(|joint| on_stud(*joint)).collect();
        let meet = match joints.as_slice() {
            [] => Phrase::default(),
            joints => {
                let each = joints.iter().map(|joint| phrase![Amount::Length(*joint)]);
                phrase![" Joints are over studs, at "].then(listed(each)).then(phrase!["."])
            }
        };
        let held = format!(
            ". In each {} that they cross: {} {screw}.",
            shop.held_by(),
            many(shop.screws, "screw")
        );
        phrase![format!(
            "Screw the wall cleats of row {number} on level, bevel up, the sharp edge away from the wall: "
        )]
        .then(listed(each))
        .then(phrase![held])
        .then(meet)
    }

    fn hung(&self, number: usize, place: &HungPlace) -> Phrase {
        let title = strong(format!("{number} {}", self.title(&place.holder)));
        let built = self.holder(&place.holder).is_some_and(|holder| holder.built);
        let at = phrase![
            ", left edge ",
            Amount::Length(place.wood.x0),
            " from the left corner, foot ",
            Amount::Length(place.wood.y0),
            " above the floor."
        ];
        // On a mark of the tape, no less.
        let lift = -self.shop.units.round_down(-place.lift);
        let lift = match lift > 0.0 && !built {
            true => phrase![" Keep ", Amount::Length(lift), " free above it."],
            false => Phrase::default(),
        };
        let how = match (place.row, built) {
            (Some(row), true) => format!(" hangs already, on row {}", row + 1),
            (None, true) => " hangs already, on the studs".to_owned(),
            (Some(row), false) => format!(": hook it on row {}", row + 1),
            (None, false) => ": screw it to the studs".to_owned(),
        };
        phrase![title, how].then(at).then(lift)
    }
}

/// From where to where a cleat is.
fn ends(cleat: &CleatPiece) -> Phrase {
    phrase![Amount::Length(cleat.from), " to ", Amount::Length(cleat.to)]
}

/// Phrases parted by commas.
fn listed(phrases: impl Iterator<Item = Phrase>) -> Phrase {
    let all = phrases.reduce(|all, next| all.then(phrase![", "]).then(next));
    all.unwrap_or_default()
}

/// The studs behind a holder's wood, by their numbers.
fn behind(wall: &PlannedWall, place: &HungPlace) -> String {
    let within = place.wood.x0..=place.wood.x1;
    let studs = (1..).zip(&wall.space.studs).filter(|(_, at)| within.contains(*at));
    let numbers: Vec<String> = studs.map(|(number, _): (usize, _)| number.to_string()).collect();
    match numbers.as_slice() {
        [] => "none".to_owned(),
        numbers => numbers.join(", "),
    }
}

fn free(wall: &PlannedWall) -> Listing {
    let head = vec!["row", "from", "to", "length"];
    let rows = wall.free.iter().map(|free| {
        let figures = [free.from, free.to, free.to - free.from];
        let row = Phrase::from((free.row + 1).to_string());
        std::iter::once(row).chain(figures.map(|figure| phrase![Amount::Length(figure)])).collect()
    });
    Listing { head, rows: rows.collect() }
}
