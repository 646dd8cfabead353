//! The files of planned walls: `wall.svg` and `wall.glb` of each, and `wall.md`.

use kurbo::{Point, Size};

use super::{Desk, Files};
use crate::document::{self, Pictures, WallTold, wall_file};
use crate::drawing::{Drawing, WallElevation, WallScene};
use crate::export::glb::SolidPiece;
use crate::export::{glb, md, svg};
use crate::holder::{Holder, StockKind};
use crate::kernel::prism::Prism;
use crate::page::{self, PageError};
use crate::shop::Shop;
use crate::solid::{Shell, tool_shell, wood_solids, wood_tone};
use crate::style::Space;
use crate::wall::{PlannedWall, WallPlan};

/// Tones of what is no wood, linear, and the density that gives wall cleats theirs, in kg/m³.
const WALL: [f32; 3] = [0.8, 0.8, 0.77];
const TOOL: [f32; 3] = [0.3, 0.31, 0.33];
const CLEAT: f64 = 600.0;

/// How thick the wall is at least in the solid, in mm.
const PANEL: f64 = 10.0;

/// The files of all walls of a plan, and what the book shows of them.
pub(super) fn walls(
    desk: &Desk<'_>,
    plan: &WallPlan,
    holders: &[&Holder],
) -> Result<(Files, Pictures), PageError> {
    let printer = desk.printer();
    let (room, in_book) = (page::room(&printer)?, page::room_in_book(&printer)?);
    let (mut files, mut pictures) = (Files::new(), Pictures::new());
    for (at, wall) in plan.walls.iter().enumerate() {
        let name = wall_file(plan, at);
        let [drawing, shown] = elevations(desk.shop, wall, holders, [room, in_book]);
        pictures.insert(format!("{name}.svg"), shown);
        files.push((format!("{name}.svg"), svg::write(&drawing).into_bytes()));
        files.push((format!("{name}.glb"), solid(wall, holders, desk.shop)));
    }
    let told = document::wall_sheet(&WallTold { plan, holders, shop: desk.shop });
    files.push(("wall.md".to_owned(), md::write(&told).into_bytes()));
    Ok((files, pictures))
}

/// The wall drawn for a page of its own, and for one of the book.
fn elevations(
    shop: &Shop,
    wall: &PlannedWall,
    holders: &[&Holder],
    rooms: [Size; 2],
) -> [Drawing; 2] {
    let elevation = WallElevation::new(WallScene { wall, holders, shop });
    rooms.map(|room| elevation.drawing(room))
}

/// A body on the wall with its name and tone.
struct WallSolid {
    name: String,
    shell: Shell,
    tone: [f32; 3],
}

/// All that hangs with its tools, the wall cleats, and the wall as a thin panel behind; the wall's left corner at the
/// floor in the origin.
fn solid(wall: &PlannedWall, holders: &[&Holder], shop: &Shop) -> Vec<u8> {
    let hung = wall.places.iter().flat_map(|place| {
        let holder = holders.iter().find(|holder| holder.name == place.holder);
        holder.map(|holder| holder_solids(holder, place.origin)).unwrap_or_default()
    });
    let all: Vec<WallSolid> =
        panel(wall, shop).into_iter().chain(cleats(wall, shop)).chain(hung).collect();
    let pieces = all.iter().map(|WallSolid { name, shell, tone }| SolidPiece {
        name: name.clone(),
        shell,
        tone: *tone,
    });
    let title = if wall.space.name.is_empty() { "Wall" } else { &wall.space.name };
    glb::write(title, &pieces.collect::<Vec<_>>())
}

fn panel(wall: &PlannedWall, shop: &Shop) -> Option<WallSolid> {
    let thick = shop.wall.covering.max(PANEL);
    let high = [wall.space.width, wall.space.height, 0.0];
    let block = Prism::block([0.0, 0.0, -thick], high)?;
    Some(WallSolid { name: "wall".to_owned(), shell: tool_shell(&block), tone: WALL })
}

/// The wall cleats, bevel up, the sharp edge toward the room.
fn cleats(wall: &PlannedWall, shop: &Shop) -> Vec<WallSolid> {
    let cleat = &shop.cleat;
    let tone = wood_tone(StockKind::Cleat, CLEAT);
    let rows = (1..).zip(&wall.rows).flat_map(|(number, row): (usize, _)| {
        (1..).zip(&row.cleats).map(move |(piece, part): (usize, _)| {
            let foot = row.height - cleat.width;
            // Up the wall and out of it.
            let corners = [
                (foot, 0.0),
                (row.height - cleat.rise(), 0.0),
                (row.height, cleat.thickness),
                (foot, cleat.thickness),
            ];
            let prism = Prism::along_x(corners.map(Point::from).to_vec(), [part.from, part.to]);
            let name = format!("row {number} wall cleat {piece}");
            WallSolid { name, shell: tool_shell(&prism), tone }
        })
    });
    rows.collect()
}

/// A holder's wood and its tools, with its own origin there.
fn holder_solids(holder: &Holder, origin: Point) -> Vec<WallSolid> {
    let there = |[x, y, z]: Space| [x + origin.x, y + origin.y, z];
    let wood = wood_solids(holder).into_iter().map(|solid| {
        let part = &holder.parts[solid.part];
        WallSolid {
            name: format!("{} {}", holder.name, part.piece_name(solid.piece)),
            shell: solid.shell.moved(there),
            tone: wood_tone(part.stock.kind, part.stock.density),
        }
    });
    let tools = holder.tools.iter().flat_map(|tool| {
        tool.body.iter().map(move |solid| WallSolid {
            name: format!("{} tool {} {}", holder.name, tool.number, solid.name),
            shell: tool_shell(&solid.prism).moved(there),
            tone: TOOL,
        })
    });
    wood.chain(tools).collect()
}
