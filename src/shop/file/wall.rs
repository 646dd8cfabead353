//! Reading `[wall]`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::open::{OpenFigures, wall_screw};
use super::super::wall::Wall;
use super::{Figure, Limit, NOTHING, Reader, TRIM};
use crate::reading::{AsCount, AsLength, AsScrew, Kind, Spanned};
use crate::shop::{Shop, SizedScrew};

/// From stud to stud, from plug to plug.
const SPACING: [Limit; 2] = [[4.0, 100.0], [60.0, 1500.0]];
const STUD_WIDTH: [Limit; 2] = [[0.75, 20.0], [8.0, 200.0]];
const SCREW_LENGTH: [Limit; 2] = [[1.0, 25.0], [8.0, 200.0]];
/// How far a screw must go into masonry for a plug to hold. Common practice, no source.
const DEEP: Limit = [1.25, 30.0];

/// Screws of a wall cleat in each stud.
const SCREWS: [f64; 2] = [1.0, 2.0];

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(inline)]
pub(super) struct WallTable {
    /// From the center of one stud to the center of the next.
    #[schemars(with = "Option<AsLength>")]
    stud_spacing: Option<Figure>,
    /// In masonry, from one plug to the next.
    #[schemars(with = "Option<AsLength>")]
    plug_spacing: Option<Figure>,
    /// Of the edge that the screws go into.
    #[schemars(with = "Option<AsLength>")]
    stud_width: Option<Figure>,
    /// Drywall or the like over the studs; it holds nothing.
    #[schemars(with = "Option<AsLength>")]
    covering: Option<Figure>,
    /// The studs, by wood or by strength class.
    wood: Option<Spanned<String>>,
    /// In place of wood, stud_spacing and stud_width, a wall that takes plugs: brick, block, concrete or stone.
    masonry: Option<Spanned<String>>,
    /// Wood screws of the wall cleats, by number or as "6x80"; left out: settled.
    #[schemars(with = "Option<AsScrew>")]
    screw: Option<Figure>,
    /// How many in each stud; left out: settled.
    #[schemars(with = "Option<AsCount>", extend("minimum" = SCREWS[0], "maximum" = SCREWS[1]))]
    screws: Option<Figure>,
    /// Where screw does not name it.
    #[schemars(with = "Option<AsLength>")]
    screw_length: Option<Figure>,
    /// Holders that you hang a stud spacing apart: too much for one stud.
    apart: Option<Vec<String>>,
}

impl Reader<'_> {
    /// What the table leaves out is as in `fallback`, the default shop's.
    pub(super) fn wall(&self, table: Option<&WallTable>, fallback: Option<&Wall>) -> Wall {
        let SizedScrew { screw, length } = wall_screw(self.usual);
        let usual = || Wall { screw, screw_length: length, ..Wall::default() };
        let mut wall = fallback.cloned().unwrap_or_else(usual);
        let Some(table) = table else { return wall };
        self.lengths([
            (&table.stud_spacing, &mut wall.stud_spacing, "wall.stud_spacing", SPACING),
            (&table.stud_width, &mut wall.stud_width, "wall.stud_width", STUD_WIDTH),
            (&table.covering, &mut wall.covering, "wall.covering", [NOTHING, TRIM]),
        ]);
        self.wall_screws(table, &mut wall);
        if let Some(entry) = &table.screws {
            wall.screws = self.within(entry, Kind::Count, "wall.screws", SCREWS) as usize;
        }
        wall.apart = table.apart.clone().unwrap_or_default();
        let wood = self.stud_wood(table.wood.as_ref());
        if !wood.is_empty() {
            wall.wood = wood;
        }
        self.masonry(table, &mut wall);
        wall
    }

    /// What of the screws the table does not say.
    pub(super) fn open_screws(table: Option<&WallTable>) -> OpenFigures {
        let screw = table.is_some_and(|table| table.screw.is_some());
        let screws = table.is_some_and(|table| table.screws.is_some());
        OpenFigures { wall_screw: !screw, wall_screws: !screws, ..OpenFigures::default() }
    }

    fn wall_screws(&self, table: &WallTable, wall: &mut Wall) {
        let asked = table.screw.as_ref().and_then(|e| self.screw(e, "wall.screw"));
        if let Some(asked) = asked {
            wall.screw = asked.screw;
            wall.screw_length = asked.screw.sold_near(wall.screw_length);
            if let (Some(length), Some(entry)) = (asked.length, &table.screw) {
                let [least, most] = SCREW_LENGTH.map(|limit| self.limit(limit));
                if !(least..=most).contains(&length) {
                    let [is, least, most] =
                        [length, least, most].map(|v| self.write(v, Kind::Length));
                    let message = format!("wall.screw: {is} long is out of range");
                    self.told(entry, message, format!("write one from {least} to {most} long"));
                }
                wall.screw_length = length;
            }
        }
        if let Some(entry) = &table.screw_length {
            let said = self.length(entry, "wall.screw_length", SCREW_LENGTH);
            if asked.is_some_and(|asked| asked.length.is_some()) {
                let message = "wall.screw_length: wall.screw says a length too";
                self.told(entry, message, "leave one of them out");
            }
            wall.screw_length = said;
        }
    }

    /// The studs' wood; empty where the file does not say.
    fn stud_wood(&self, wood: Option<&Spanned<String>>) -> String {
        match wood {
            Some(name) if is_masonry(name.get_ref()) => {
                let name_is = name.get_ref();
                let message = format!("wall.wood: {name_is} is no wood");
                self.told(name, message, format!("write masonry = {name_is:?} in its place"));
                String::new()
            }
            wood => self.wood(wood, "wall.wood"),
        }
    }

    /// A wall without studs: screws in plugs where others have a stud.
    fn masonry(&self, table: &WallTable, wall: &mut Wall) {
        let of_studs = [
            (table.wood.as_ref().map(Spanned::span), "wood"),
            (table.stud_spacing.as_ref().map(Spanned::span), "stud_spacing"),
            (table.stud_width.as_ref().map(Spanned::span), "stud_width"),
        ];
        match &table.masonry {
            Some(masonry) => {
                let name = masonry.get_ref();
                if !is_masonry(name) {
                    let message = format!("wall.masonry: \"{name}\" is no masonry known here");
                    let help = "write brick, block, concrete or stone; for a wall of studs leave this line out";
                    self.told(masonry, message, help);
                }
                for (span, key) in of_studs.into_iter().filter_map(|(span, key)| Some((span?, key)))
                {
                    let message = format!("wall.{key}: a wall of masonry has no studs");
                    self.told(&Spanned::new(span, ()), message, "leave this line or masonry out");
                }
                wall.masonry = Some(masonry.get_ref().trim().to_owned());
                wall.stud_spacing = Wall::plug_spacing(self.usual);
                if let Some(entry) = &table.plug_spacing {
                    wall.stud_spacing = self.length(entry, "wall.plug_spacing", SPACING);
                }
            }
            None => {
                if let Some(entry) = &table.plug_spacing {
                    let help = "write masonry = \"brick\" too, or stud_spacing in its place";
                    self.told(entry, "wall.plug_spacing: only masonry takes plugs", help);
                }
            }
        }
    }

    /// That the screws of a wall of masonry go far enough into it for a plug to hold. Common practice, no
    /// source.
    pub(super) fn reaches_masonry(&self, table: Option<&WallTable>, shop: &Shop) {
        let Some(masonry) = table.and_then(|table| table.masonry.as_ref()) else { return };
        let (wall, least) = (&shop.wall, self.limit(DEEP));
        let deep = wall.screw_length - shop.cleat.thickness - wall.covering;
        if deep < least - crate::tolerance::COORDINATE {
            let [deep, least, longer] = [deep.max(0.0), least, wall.screw_length + least - deep]
                .map(|v| self.write(v, Kind::Length));
            let message =
                format!("wall.masonry: screws go {deep} into it, and a plug needs {least}");
            self.told(masonry, message, format!("use screws at least {longer} long"));
        }
    }
}

/// Whether a wall is meant that has no studs.
fn is_masonry(name: &str) -> bool {
    const KINDS: [&str; 11] = [
        "brick",
        "bricks",
        "brickwork",
        "block",
        "blocks",
        "blockwork",
        "concrete",
        "masonry",
        "stone",
        "stonework",
        "cinderblock",
    ];
    let name = name.to_lowercase();
    let mut words = name.split(|c: char| !c.is_alphabetic());
    words.any(|word| KINDS.contains(&word)) && crate::shop::find_wood(&name).wood.careful
}
