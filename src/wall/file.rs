//! Reading `wall.toml`.

use std::cell::RefCell;
use std::fmt;

use kurbo::Rect;
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};

use super::asked::{Pin, PinnedRow, RowsAsked, Together, WallObstacle, WallSpace, WallsAsked};
use super::person::Person;
use crate::length::{MM_PER_INCH, Quantity, Units};
use crate::limits;
use crate::reading::{
    AsLength, Entry, Kind, Problem, Problems, Source, Spanned, figure, nearest, quoted,
};
use crate::tolerance::COORDINATE;

/// The least and the most, each in inches and in mm where a file is in mm: round figures. Common practice, no source.
type Range = [[f64; 2]; 2];

const WALL_WIDTH: Range = [[12.0, 300.0], [1200.0, 30_000.0]];
const WALL_HEIGHT: Range = [[36.0, 900.0], [240.0, 6000.0]];
const PLACE: Range = [[0.0, 0.0], [1200.0, 30_000.0]];
const SIZE: Range = [[0.25, 5.0], [1200.0, 30_000.0]];
const STUD_SPACING: Range = [[4.0, 100.0], [100.0, 2500.0]];
const ROW_SPACING: Range = [[3.0, 80.0], [48.0, 1200.0]];
const BODY: Range = [[40.0, 1000.0], [90.0, 2300.0]];
const REACH: Range = [[40.0, 1000.0], [110.0, 2800.0]];

/// A bare number up to this counts rows, a larger one is a height.
const MOST_ROWS: f64 = 24.0;

type Figure = Spanned<Entry>;

/// What the wall is like that everything hangs on. Lefts are from its left corner, heights from the floor.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct WallKeys {
    /// What a bare number is.
    units: Option<Units>,
    /// The wall cleats hang: they are not cut any more; rows has their heights.
    built: Option<Spanned<bool>>,
    /// How wide the wall is.
    #[schemars(with = "Option<AsLength>")]
    width: Option<Figure>,
    /// How high it is.
    #[schemars(with = "Option<AsLength>")]
    height: Option<Figure>,
    /// The middles of the studs, from the left corner.
    studs: Option<Spanned<StudKeys>>,
    /// The top edges of the wall cleats above the floor; left out, the fewest rows that serve are proposed.
    rows: Option<Spanned<RowKeys>>,
    /// What is in the way: a window, an outlet, the swing of a door, the bench with its top.
    #[serde(default)]
    obstacle: Vec<Spanned<ObstacleKeys>>,
    /// Each of several walls.
    #[serde(default)]
    wall: Vec<Spanned<OneWallKeys>>,
    /// Who takes the tools down; without it a standing person of middle height.
    person: Option<Spanned<PersonKeys>>,
    /// People who sit reach for the tools too.
    #[serde(default)]
    shared: bool,
    /// Holders that have to hang at one place.
    #[serde(default)]
    pin: Vec<Spanned<PinKeys>>,
    /// Holders that are to hang near each other.
    #[serde(default)]
    together: Vec<Spanned<TogetherKeys>>,
}

/// One of several walls.
#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct OneWallKeys {
    /// What it is called.
    #[schemars(length(min = 1))]
    name: Spanned<String>,
    /// How wide it is.
    #[schemars(with = "AsLength")]
    width: Figure,
    /// How high it is.
    #[schemars(with = "AsLength")]
    height: Figure,
    /// The middles of the studs, from the left corner.
    studs: Option<Spanned<StudKeys>>,
    /// The top edges of the wall cleats above the floor; left out, the fewest rows that serve are proposed.
    rows: Option<Spanned<RowKeys>>,
    /// What is in the way: a window, an outlet, the swing of a door, the bench with its top.
    #[serde(default)]
    obstacle: Vec<Spanned<ObstacleKeys>>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "studs")]
struct StudKeys {
    /// The middle of the first stud, from the left corner.
    #[schemars(with = "Option<AsLength>")]
    first: Option<Figure>,
    /// From one to the next, center to center; else as in the shop file.
    #[schemars(with = "Option<AsLength>")]
    spacing: Option<Figure>,
    /// Each of them, where they stand unevenly.
    #[schemars(with = "Option<Vec<AsLength>>")]
    at: Option<Vec<Figure>>,
}

/// A list of heights, or a table.
#[derive(JsonSchema)]
#[schemars(rename = "rows", untagged)]
enum RowKeys {
    Heights(#[schemars(with = "Vec<AsLength>", length(min = 1))] Vec<Figure>),
    Spaced(SpacedKeys),
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct SpacedKeys {
    /// The lowest row.
    #[schemars(with = "AsLength")]
    lowest: Figure,
    /// From one row to the next.
    #[schemars(with = "AsLength")]
    spacing: Figure,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "obstacle")]
struct ObstacleKeys {
    /// What it is.
    #[serde(default)]
    name: String,
    /// From the wall's left corner.
    #[schemars(with = "AsLength")]
    left: Figure,
    /// From the floor.
    #[schemars(with = "AsLength")]
    bottom: Figure,
    /// How wide it is.
    #[schemars(with = "AsLength")]
    width: Figure,
    /// How high it is.
    #[schemars(with = "AsLength")]
    height: Figure,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
#[schemars(extend("minProperties" = 1, "maxProperties" = 1))]
struct PersonKeys {
    /// How tall the person is.
    #[schemars(with = "Option<AsLength>")]
    height: Option<Figure>,
    /// How high a hand grips.
    #[schemars(with = "Option<AsLength>")]
    reach: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct PinKeys {
    /// The name of the holder's file.
    holder: Spanned<String>,
    /// Which of several walls.
    wall: Option<Spanned<String>>,
    /// The left end of all that hangs in it.
    #[schemars(with = "Option<AsLength>")]
    left: Option<Figure>,
    /// The row, counted from below or by its height.
    #[schemars(with = "Option<AsLength>", extend("minimum" = 1))]
    row: Option<Figure>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
struct TogetherKeys {
    /// What they have in common.
    #[serde(default)]
    name: String,
    /// The names of their files.
    #[schemars(length(min = 2))]
    holders: Spanned<Vec<Spanned<String>>>,
}

impl<'de> Deserialize<'de> for RowKeys {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RowsVisitor)
    }
}

struct RowsVisitor;

impl<'de> Visitor<'de> for RowsVisitor {
    type Value = RowKeys;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a list of heights, or a table with lowest and spacing")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<RowKeys, A::Error> {
        let mut heights = Vec::new();
        while let Some(height) = seq.next_element()? {
            heights.push(height);
        }
        Ok(RowKeys::Heights(heights))
    }
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<RowKeys, A::Error> {
        SpacedKeys::deserialize(MapAccessDeserializer::new(map)).map(RowKeys::Spaced)
    }
}

/// A commented wall file to begin from.
#[cfg(any(test, feature = "cli"))]
pub(crate) fn default_wall(units: Units) -> &'static str {
    match units {
        Units::Inches => include_str!("start.toml"),
        Units::Millimeters => include_str!("start-mm.toml"),
    }
}

/// What is said of one wall, be it the only one or one of several.
struct SpaceKeys<'k> {
    width: &'k Figure,
    height: &'k Figure,
    studs: Option<&'k Spanned<StudKeys>>,
    rows: Option<&'k Spanned<RowKeys>>,
    obstacles: &'k [Spanned<ObstacleKeys>],
}

/// What else a wall file is read with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WallReading<'a> {
    /// What bare numbers are where the file does not say, and what it is told in.
    pub usual: Units,
    /// Of the shop, in mm, which holds where the file names none.
    pub stud_spacing: f64,
    /// What of the shop file says the same as `[studs]`.
    pub shop_says_studs: bool,
    /// Whether screws go into plugs and there are no studs.
    pub masonry: bool,
    /// The names of all holders; of those that make wall cleats.
    pub holders: &'a [&'a str],
    pub cleat_makers: &'a [&'a str],
}

/// Reads a wall file.
///
/// # Errors
/// A [`Problem`] at the line of each thing that is wrong.
pub(crate) fn read_walls(source: &Source, with: WallReading<'_>) -> Result<WallsAsked, Problems> {
    let (keys, wrong) = source.parse_all::<WallKeys>();
    let Some(keys) = keys else { return Err(wrong) };
    let reader = Reader { source, units: keys.units, with, wrong: RefCell::new(wrong) };
    let asked = reader.asked(&keys);
    reader.wrong.into_inner().or(asked)
}

/// Reads on past what is wrong and keeps it.
struct Reader<'a> {
    source: &'a Source,
    units: Option<Units>,
    with: WallReading<'a>,
    wrong: RefCell<Problems>,
}

impl Reader<'_> {
    fn asked(&self, keys: &WallKeys) -> WallsAsked {
        let walls = self.walls(keys);
        let pins: Vec<Pin> = keys.pin.iter().map(|pin| self.pin(pin, &walls)).collect();
        self.pinned_once(keys);
        self.built_rows(keys, &walls);
        WallsAsked {
            person: keys.person.as_ref().map(|person| self.person(person)).unwrap_or_default(),
            shared: keys.shared,
            built: keys.built.as_ref().is_some_and(|built| *built.get_ref()),
            pins,
            groups: keys.together.iter().map(|group| self.group(group)).collect(),
            walls,
        }
    }

    fn walls(&self, keys: &WallKeys) -> Vec<WallSpace> {
        if keys.wall.is_empty() {
            return vec![self.one_wall(keys)];
        }
        self.nothing_beside(keys);
        let mut walls: Vec<WallSpace> = Vec::new();
        for wall in &keys.wall {
            let OneWallKeys { name, width, height, studs, rows, obstacle } = wall.get_ref();
            let (studs, rows) = (studs.as_ref(), rows.as_ref());
            let keys = SpaceKeys { width, height, studs, rows, obstacles: obstacle };
            walls.push(self.space(self.name(name, &walls), &keys, wall.span()));
        }
        walls
    }

    /// That nothing is said of one wall where there are several.
    fn nothing_beside(&self, keys: &WallKeys) {
        let alone = [
            (keys.width.as_ref().map(Spanned::span), "width"),
            (keys.height.as_ref().map(Spanned::span), "height"),
            (keys.studs.as_ref().map(Spanned::span), "studs"),
            (keys.rows.as_ref().map(Spanned::span), "rows"),
            (keys.obstacle.first().map(Spanned::span), "obstacle"),
        ];
        for (span, key) in alone.into_iter().filter_map(|(span, key)| Some((span?, key))) {
            let message = format!("{key}: the file has [[wall]] too");
            let help = format!("write {key} into the [[wall]] that it is of");
            self.told(&Spanned::new(span, ()), message, help);
        }
    }

    /// The name of a wall, which no wall before it has.
    fn name(&self, said: &Spanned<String>, before: &[WallSpace]) -> String {
        let name = said.get_ref().trim().to_owned();
        let help = "give each wall a name of its own";
        if name.is_empty() {
            self.told(said, "wall.name: it is empty", help);
        } else if before.iter().any(|wall| wall.name == name) {
            self.told(said, format!("wall.name: two walls are called {name:?}"), help);
        }
        name
    }

    fn one_wall(&self, keys: &WallKeys) -> WallSpace {
        let WallKeys { width, height, studs, rows, obstacle, .. } = keys;
        if let (Some(width), Some(height)) = (width, height) {
            let (studs, rows) = (studs.as_ref(), rows.as_ref());
            let keys = SpaceKeys { width, height, studs, rows, obstacles: obstacle };
            return self.space(String::new(), &keys, 0..0);
        }
        let wanted = [
            (
                width,
                "width",
                "write how wide the wall is, such as width = \"12 ft\" or \"3600 mm\"",
            ),
            (height, "height", "write how high it is, such as height = \"8 ft\" or \"2400 mm\""),
        ];
        for (_, key, help) in wanted.into_iter().filter(|(said, ..)| said.is_none()) {
            let problem = self.source.problem(0..0, format!("{key} is missing"));
            self.wrong.borrow_mut().add(problem.with_help(help));
        }
        WallSpace::default()
    }

    fn space(&self, name: String, keys: &SpaceKeys<'_>, at: std::ops::Range<usize>) -> WallSpace {
        let SpaceKeys { width, height, studs, rows, obstacles } = *keys;
        let width = self.length(width, "width", WALL_WIDTH);
        let height = self.length(height, "height", WALL_HEIGHT);
        let size = [width, height];
        WallSpace {
            name,
            width,
            height,
            studs: self.studs(studs, width, at),
            rows: rows.map_or(RowsAsked::Open, |rows| self.rows(rows, height)),
            obstacles: obstacles.iter().map(|keys| self.obstacle(keys, size)).collect(),
        }
    }

    /// The middles of the studs; none in masonry.
    fn studs(
        &self,
        studs: Option<&Spanned<StudKeys>>,
        width: f64,
        at: std::ops::Range<usize>,
    ) -> Vec<f64> {
        let Some(table) = studs else {
            if !self.with.masonry {
                let help = "measure from the left corner to the center of the first stud, and write \
                            [studs] with first and spacing, or at with a list";
                self.wrong
                    .borrow_mut()
                    .add(self.source.problem(at, "studs are missing").with_help(help));
            }
            return Vec::new();
        };
        let keys = table.get_ref();
        if self.with.masonry {
            let message = "studs: [wall] in shop.toml says masonry, which has none";
            self.told(table, message, "leave [studs] here or masonry in shop.toml out");
        }
        match (&keys.at, &keys.first, &keys.spacing) {
            (Some(at), None, None) => self.stud_list(table, at, width),
            (None, Some(first), spacing) => {
                let first = self.length(first, "studs.first", PLACE);
                self.stud_row(first, self.spacing(spacing.as_ref()), width)
            }
            (Some(_), _, _) => {
                let message = "studs: at lists them all, first and spacing tell the same";
                self.told(table, message, "leave at or the others out");
                Vec::new()
            }
            (None, None, _) => {
                let help = "write how far the middle of the first stud is from the left corner";
                self.told(table, "studs.first is missing", help);
                Vec::new()
            }
        }
    }

    fn spacing(&self, spacing: Option<&Figure>) -> f64 {
        let Some(entry) = spacing else { return self.with.stud_spacing };
        self.only_here(entry, "studs.spacing");
        self.length(entry, "studs.spacing", STUD_SPACING)
    }

    /// That the shop file does not say it too.
    fn only_here<T>(&self, entry: &Spanned<T>, key: &str) {
        if self.with.shop_says_studs {
            let file = self.source.name();
            let message =
                format!("{key}: {file} and stud_spacing under [wall] in shop.toml say the same");
            self.told(entry, message, "leave one of them out");
        }
    }

    fn stud_list(&self, table: &Spanned<StudKeys>, at: &[Figure], width: f64) -> Vec<f64> {
        self.only_here(table, "studs.at");
        let mut studs: Vec<f64> =
            at.iter().map(|stud| self.length(stud, "studs.at", PLACE)).collect();
        studs.sort_by(f64::total_cmp);
        studs.dedup_by(|a, b| (*a - *b).abs() < COORDINATE);
        if studs.is_empty() {
            self.told(
                table,
                "studs.at: it is empty",
                "write the middle of each stud, from the left corner",
            );
        }
        studs.retain(|stud| *stud <= width);
        studs
    }

    fn stud_row(&self, first: f64, spacing: f64, width: f64) -> Vec<f64> {
        let count = ((width - first) / spacing.max(1.0)).floor().max(-1.0) as usize;
        (0..=count.min(limits::ENTRIES))
            .map(|n| first + n as f64 * spacing)
            .filter(|at| *at <= width)
            .collect()
    }

    fn rows(&self, rows: &Spanned<RowKeys>, height: f64) -> RowsAsked {
        let makers = self.with.cleat_makers;
        if let [maker, ..] = makers {
            let file = self.source.name();
            let message = format!(
                "rows: {file} says where wall cleats are, and holders/{maker}.toml makes them too"
            );
            self.told(rows, message, "leave rows out here, or that holder file");
        }
        match rows.get_ref() {
            RowKeys::Heights(heights) => {
                let mut read: Vec<f64> =
                    heights.iter().map(|row| self.length(row, "rows", PLACE)).collect();
                read.sort_by(f64::total_cmp);
                read.dedup_by(|a, b| (*a - *b).abs() < COORDINATE);
                if read.is_empty() || read.len() > MOST_ROWS as usize {
                    let message = format!("rows: {} heights", read.len());
                    self.told(
                        rows,
                        message,
                        format!("write 1 to {MOST_ROWS} heights above the floor"),
                    );
                }
                if let Some(over) = heights.iter().find(|row| self.quiet(row) > height + COORDINATE)
                {
                    let [row, height] = [self.quiet(over), height].map(|v| self.write(v));
                    let message = format!("rows: {row} is above the wall, which is {height} high");
                    self.told(over, message, "write heights of the top edges above the floor");
                }
                RowsAsked::Heights(read)
            }
            RowKeys::Spaced(keys) => RowsAsked::Spaced {
                lowest: self.length(&keys.lowest, "rows.lowest", [[0.0, 0.0], WALL_HEIGHT[1]]),
                spacing: self.length(&keys.spacing, "rows.spacing", ROW_SPACING),
            },
        }
    }

    fn obstacle(&self, keys: &Spanned<ObstacleKeys>, [wide, high]: [f64; 2]) -> WallObstacle {
        let ObstacleKeys { name, left, bottom, width, height } = keys.get_ref();
        let [left, bottom] = [(left, "obstacle.left"), (bottom, "obstacle.bottom")]
            .map(|(entry, key)| self.length(entry, key, PLACE));
        let [width, height] = [(width, "obstacle.width"), (height, "obstacle.height")]
            .map(|(entry, key)| self.length(entry, key, SIZE));
        if left >= wide || bottom >= high {
            let [wide, high] = [wide, high].map(|v| self.write(v));
            let message = format!("obstacle {name:?}: it lies off the wall, {wide} × {high}");
            self.told(keys, message, "measure left from the left corner and bottom from the floor");
        }
        let name =
            if name.trim().is_empty() { "in the way".to_owned() } else { name.trim().to_owned() };
        let area = Rect::new(left, bottom, (left + width).min(wide), (bottom + height).min(high));
        WallObstacle { name, area }
    }

    fn person(&self, keys: &Spanned<PersonKeys>) -> Person {
        match (&keys.get_ref().height, &keys.get_ref().reach) {
            (Some(height), None) => Person::of_height(self.length(height, "person.height", BODY)),
            (None, Some(reach)) => Person::of_reach(self.length(reach, "person.reach", REACH)),
            (height, _) => {
                let message = match height {
                    Some(_) => "person: height and reach tell the same",
                    None => "person: it says nothing",
                };
                self.told(
                    keys,
                    message,
                    "write height, how tall the person is, or reach, how high a hand grips",
                );
                Person::default()
            }
        }
    }

    fn pin(&self, keys: &Spanned<PinKeys>, walls: &[WallSpace]) -> Pin {
        let PinKeys { holder, wall, left, row } = keys.get_ref();
        self.known(holder, "pin.holder");
        if left.is_none() && row.is_none() && wall.is_none() {
            self.told(keys, "pin: it says no place", "write left, row or both");
        }
        Pin {
            holder: holder.get_ref().clone(),
            wall: wall.as_ref().map(|wall| self.wall_called(wall, walls)),
            left: left.as_ref().map(|left| self.length(left, "pin.left", PLACE)),
            row: row.as_ref().and_then(|row| self.pinned_row(row)),
        }
    }

    /// A count of rows from below, or a height.
    fn pinned_row(&self, row: &Figure) -> Option<PinnedRow> {
        match row.get_ref() {
            Entry::Number(number) if *number <= MOST_ROWS => {
                let count = self.within(row, Kind::Count, "pin.row", [1.0, MOST_ROWS]);
                Some(PinnedRow::Number((count as usize).saturating_sub(1)))
            }
            _ => Some(PinnedRow::Height(self.length(row, "pin.row", PLACE))),
        }
    }

    fn wall_called(&self, wall: &Spanned<String>, walls: &[WallSpace]) -> usize {
        let names: Vec<&str> = walls.iter().map(|wall| wall.name.as_str()).collect();
        names.iter().position(|name| name == wall.get_ref()).unwrap_or_else(|| {
            let message = format!("pin.wall: no wall is called {:?}", wall.get_ref());
            self.told(wall, message, nearest(wall.get_ref(), &names));
            0
        })
    }

    /// That what hangs is said where it hangs.
    fn built_rows(&self, keys: &WallKeys, walls: &[WallSpace]) {
        let open = |wall: &WallSpace| !matches!(wall.rows, RowsAsked::Heights(_));
        if let Some(built) = keys.built.as_ref().filter(|built| *built.get_ref())
            && walls.iter().any(open)
        {
            let message = "built: the wall cleats hang, and rows does not say where";
            self.told(built, message, "write rows with the heights that wall.md told");
        }
    }

    fn pinned_once(&self, keys: &WallKeys) {
        for (at, pin) in keys.pin.iter().enumerate() {
            let holder = &pin.get_ref().holder;
            if keys.pin[..at].iter().any(|other| other.get_ref().holder == *holder) {
                let message = format!("pin.holder: {} is pinned twice", quoted(holder.get_ref()));
                self.told(holder, message, "leave one of them out");
            }
        }
    }

    fn group(&self, keys: &Spanned<TogetherKeys>) -> Together {
        let TogetherKeys { name, holders } = keys.get_ref();
        if holders.get_ref().len() < 2 {
            let message = format!("together.holders: {} named", holders.get_ref().len());
            self.told(holders, message, "name two or more that are to hang near each other");
        }
        holders.get_ref().iter().for_each(|holder| self.known(holder, "together.holders"));
        let holders = holders.get_ref().iter().map(|holder| holder.get_ref().clone()).collect();
        Together { name: name.clone(), holders }
    }

    /// That there is a holder of that name.
    fn known(&self, holder: &Spanned<String>, key: &str) {
        let all = self.with.holders;
        if !all.contains(&holder.get_ref().as_str()) {
            let message = format!("{key}: no holder is called {}", quoted(holder.get_ref()));
            let help = match all {
                [] => "the project has no holder files yet: run propose, or write one".to_owned(),
                all => nearest(holder.get_ref(), all),
            };
            self.told(holder, message, help);
        }
    }

    fn told<T>(&self, entry: &Spanned<T>, message: impl Into<String>, help: impl Into<String>) {
        let problem = self.source.problem(entry.span(), message).with_help(help);
        self.wrong.borrow_mut().add(problem);
    }

    /// A length in mm, between limits.
    fn length(&self, entry: &Figure, key: &str, range: Range) -> f64 {
        let limit = |[inches, mm]: [f64; 2]| match self.units.unwrap_or(self.with.usual) {
            Units::Inches => inches * MM_PER_INCH,
            Units::Millimeters => mm,
        };
        self.within(entry, Kind::Length, key, range.map(limit))
    }

    fn within(&self, entry: &Figure, kind: Kind, key: &str, [least, most]: [f64; 2]) -> f64 {
        let read = self.read(entry, kind, key);
        let Some(value) = self.wrong.borrow_mut().keep(read) else { return least };
        if !(least - COORDINATE..=most + COORDINATE).contains(&value) {
            let [value, least, most] = [value, least, most].map(|value| match kind {
                Kind::Length => self.write(value),
                _ => value.to_string(),
            });
            let help = format!("write a value from {least} to {most}");
            self.told(entry, format!("{key}: {value} is out of range"), help);
        }
        value
    }

    fn read(&self, entry: &Figure, kind: Kind, key: &str) -> Result<f64, Problem> {
        figure(entry, kind, self.units.or(Some(self.with.usual)), key, self.source)
    }

    /// A length whose problem is told elsewhere.
    fn quiet(&self, entry: &Figure) -> f64 {
        self.read(entry, Kind::Length, "").unwrap_or_default()
    }

    fn write(&self, mm: f64) -> String {
        self.units.unwrap_or(self.with.usual).quantity(Quantity::mm(mm))
    }
}
