//! A holder on its wall as it looks from the front.

use kurbo::{Point, Vec2};

use super::{Canvas, Line, WallScale, WallScene};
use crate::drawing::picture::{PictureScale, strokes};
use crate::holder::Holder;
use crate::kernel::convex::hull;
use crate::kernel::{Contour, Vertex};
use crate::solid::{SeenLine, Shell, Sight, View, ViewFrom, wood_solids};
use crate::style::Space;
use crate::wall::HungPlace;

/// A holder at its place; its lines in mm on the wall.
pub(super) struct HolderFront<'w> {
    pub place: &'w HungPlace,
    pub title: &'w str,
    lines: Vec<SeenLine>,
    /// What its tools cover, each solid of them a convex polygon.
    tools: Vec<Vec<Point>>,
    sight: Sight,
}

/// All that hang, in the order of hanging.
pub(super) fn fronts<'w>(scene: &WallScene<'w>) -> Vec<HolderFront<'w>> {
    let places = scene.wall.places.iter();
    let known = places.filter_map(|place| {
        let holder = scene.holders.iter().find(|holder| holder.name == place.holder)?;
        Some(HolderFront::new(place, holder))
    });
    known.collect()
}

impl<'w> HolderFront<'w> {
    fn new(place: &'w HungPlace, holder: &'w Holder) -> Self {
        let wood = wood_solids(holder);
        let shells: Vec<&Shell> = wood.iter().map(|solid| &solid.shell).collect();
        let sight = Sight::new(View::new(ViewFrom::Front), shells.iter().copied());
        let at = place.origin.to_vec2();
        let lines = sight.lines(shells);
        Self {
            place,
            title: &holder.title,
            lines: lines.into_iter().map(|line| moved(line, at)).collect(),
            tools: tools(holder, at),
            sight,
        }
    }

    /// What it leaves to be seen of straight lines on the wall.
    pub(super) fn past(&self, lines: Vec<[Space; 2]>) -> Vec<[Space; 2]> {
        let at = self.place.origin.to_vec2();
        let seen = lines.into_iter().flat_map(|ends| {
            let own = ends.map(|[x, y, z]| [x - at.x, y - at.y, z]);
            let seen = self.sight.line(own);
            seen.into_iter().map(move |line| {
                let line = moved(line, at);
                [line.from, line.to].map(|end| [end.x, end.y, ends[0][2]])
            })
        });
        seen.collect()
    }

    /// Whether it leaves a place on the wall to be seen.
    pub(super) fn shows(&self, [x, y, z]: Space) -> bool {
        let at = self.place.origin;
        self.sight.sees([x - at.x, y - at.y, z])
    }

    pub(super) fn shade(&self, canvas: &mut Canvas, scale: WallScale) {
        let corner = |at: &Point| Vertex::line(at.x * scale.shrink(), at.y * scale.shrink());
        let shapes = self.tools.iter().map(|ring| Contour::new(ring.iter().map(corner)));
        shapes.flatten().for_each(|shape| canvas.shade(shape));
    }

    pub(super) fn draw(&self, canvas: &mut Canvas, scale: WallScale) {
        strokes(canvas, Line::Hung, PictureScale(scale.shrink()), &self.lines);
    }
}

fn moved(SeenLine { from, to }: SeenLine, by: Vec2) -> SeenLine {
    SeenLine { from: from + by, to: to + by }
}

fn tools(holder: &Holder, at: Vec2) -> Vec<Vec<Point>> {
    let solids = holder.tools.iter().flat_map(|tool| &tool.body);
    let from_front = solids.map(|solid| {
        let corners = solid.prism.corners().map(|[x, y, _]| Point::new(x, y) + at);
        hull(&corners.collect::<Vec<_>>())
    });
    from_front.collect()
}
