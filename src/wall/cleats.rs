//! The wall cleats of a planned wall as a style of their own: from there on they are made like any holder.

use std::fmt::Write as _;

use kurbo::Point;

use super::plan::{CleatPiece, PlannedWall};
use super::site::CleatRules;
use crate::length::letters;
use crate::reading::quoted;
use crate::tolerance::COORDINATE;

/// What all of them say alike.
const HEAD: &str = include_str!("wall-cleats.toml");

/// What the holder of a wall's cleats and its style are called.
pub(crate) const WALL_CLEATS: &str = "wall-cleats";

/// Pieces of one length with their screws at the same places, and where each has its lower left corner.
struct AlikePieces<'w> {
    piece: &'w CleatPiece,
    at: Vec<Point>,
}

/// The style file of the wall cleats of a wall; `None` for a wall without any.
pub(crate) fn cleat_style(wall: &PlannedWall, rules: CleatRules) -> Option<String> {
    let alike = alike(wall, rules);
    let corner = alike.iter().flat_map(|alike| &alike.at).copied();
    let corner = corner.reduce(|a, b| Point::new(a.x.min(b.x), a.y.min(b.y)))?;
    let names: Vec<String> = match alike.len() {
        1 => vec!["wall-cleat".to_owned()],
        count => (0..count).map(|n| format!("wall-cleat-{}", letters(n).to_lowercase())).collect(),
    };
    let mut text = HEAD.to_owned();
    let all: Vec<String> = names.iter().map(|name| quoted(name)).collect();
    let step = "Strike a level line at each height in wall.md, and screw the wall cleats to every {wall.held_by}: top edge on \
                the line, bevel up, sharp edge toward the room.";
    let _ = writeln!(text, "  {{ adds = [{}], do = {} }},\n]", all.join(", "), quoted(step));
    for (name, alike) in names.iter().zip(&alike) {
        part(&mut text, name, alike, corner);
    }
    Some(text)
}

fn alike(wall: &PlannedWall, rules: CleatRules) -> Vec<AlikePieces<'_>> {
    let mut alike: Vec<AlikePieces<'_>> = Vec::new();
    for row in &wall.rows {
        for piece in &row.cleats {
            let at = Point::new(piece.from, row.height - rules.width);
            match alike.iter_mut().find(|known| is_alike(known.piece, piece)) {
                Some(known) => known.at.push(at),
                None => alike.push(AlikePieces { piece, at: vec![at] }),
            }
        }
    }
    alike
}

fn is_alike(one: &CleatPiece, other: &CleatPiece) -> bool {
    let same = |a: f64, b: f64| (a - b).abs() < COORDINATE;
    let mut screws = one.screws.iter().zip(&other.screws);
    same(one.length(), other.length())
        && one.screws.len() == other.screws.len()
        && screws.all(|(a, b)| same(a - one.from, b - other.from))
}

/// One kind of piece with its screws, in mm.
fn part(text: &mut String, name: &str, AlikePieces { piece, at }: &AlikePieces<'_>, corner: Point) {
    let sits = at.iter().map(|at| {
        let at = *at - corner;
        format!("{{ x = \"{:.4} mm\", y = \"{:.4} mm\" }}", at.x, at.y)
    });
    let rows = piece.screws.iter().map(|screw| {
        let at = format!("{:.4} mm, cleat.screw_line", screw - piece.from);
        format!("{{ from = {at:?}, to = {at:?}, at_most = \"1 m\" }}")
    });
    let [sits, rows] = [sits.collect::<Vec<_>>(), rows.collect()].map(|each| each.join(",\n  "));
    let length = piece.length();
    let _ = write!(
        text,
        "\n[parts.{name}]\nabout = \"the holders hook onto it; wide face to the room, bevel up\"\ncut_from = \"cleat\"\n\
         size = \"{length:.4} mm, cleat.width\"\nbevel = {{ edge = \"top\", angle = \"cleat.bevel\", full_face = \"show\" }}\n\
         edges = {{ bottom = \"bottom edge, level on the wall\" }}\nsits = [\n  {sits}\n]\n\n\
         [screws.\"{name} to the wall\"]\nthrough = \"{name}\"\ninto = \"wall\"\nenters = \"show\"\nscrew = \"wall.screw\"\n\
         length = \"wall.screw_length\"\nrows = [\n  {rows}\n]\n"
    );
}
