//! `wall.svg`: a wall from the front with all that hangs on it, true to scale, to hang by with a tape and a level.

mod frame;
mod front;
mod listing;
mod names;
mod rows;
mod scale;

use kurbo::{Point, Rect, Size, Vec2};

use super::canvas::{Canvas, Label};
use super::table::{NOTE, wrap};
use super::{Drawing, Line};
use crate::holder::Holder;
use crate::length::Units;
use crate::shop::Shop;
use crate::wall::PlannedWall;
use front::HolderFront;
use scale::WallScale;

/// Letter size of the title, of figures and of what explains them, in mm.
const TITLE: f64 = 5.0;
const FIGURE: f64 = 2.6;

/// White between the title, the wall and the lists, in mm.
const BETWEEN: f64 = 4.0;

/// White that [`Canvas::into_drawing`] leaves at both sides together, and a hair, in mm.
const AROUND: f64 = 10.1;

/// What a wall is drawn from.
#[derive(Clone, Copy)]
pub(crate) struct WallScene<'w> {
    pub wall: &'w PlannedWall,
    /// Those that hang on it and others, by their names.
    pub holders: &'w [&'w Holder],
    /// What wall cleats are and how they are held.
    pub shop: &'w Shop,
}

impl WallScene<'_> {
    fn units(&self) -> Units {
        self.shop.units
    }

    /// The wall on paper, its left corner at the floor in the origin.
    fn area(&self, scale: WallScale) -> Rect {
        let space = &self.wall.space;
        (Size::new(space.width, space.height) * scale.shrink()).to_rect()
    }
}

/// A wall with its holders looked at from the front, ready to be drawn at any scale.
pub(crate) struct WallElevation<'w> {
    scene: WallScene<'w>,
    fronts: Vec<HolderFront<'w>>,
}

impl<'w> WallElevation<'w> {
    pub(crate) fn new(scene: WallScene<'w>) -> Self {
        let fronts = front::fronts(&scene);
        Self { scene, fronts }
    }

    /// It at the largest usual scale at which all has room on paper of `room` mm, upright or on its long side.
    pub(crate) fn drawing(&self, room: Size) -> Drawing {
        let rooms = [room, Size::new(room.height, room.width)];
        let fits = |drawing: &Drawing, room: &Size| {
            drawing.width <= room.width && drawing.height <= room.height
        };
        for scale in scale::usual(self.scene.units()) {
            // What hangs keeps within the wall: whether there is room shows without it.
            let roomy = |room: &&Size| fits(&self.sheet(self.bare(scale), scale, room.width), room);
            for room in rooms.iter().filter(roomy) {
                let drawing = self.sheet(self.hung(scale), scale, room.width);
                if fits(&drawing, room) {
                    return drawing;
                }
            }
        }
        // A wall of no usual size.
        self.sheet(self.hung(scale::LEAST), scale::LEAST, room.width)
    }

    /// The wall with nothing on it.
    fn bare(&self, scale: WallScale) -> Canvas {
        let mut canvas = Canvas::default();
        frame::draw(&mut canvas, &self.scene, scale);
        canvas
    }

    /// The wall with all that hangs on it.
    fn hung(&self, scale: WallScale) -> Canvas {
        let (scene, mut canvas) = (&self.scene, Canvas::default());
        self.fronts.iter().for_each(|front| front.shade(&mut canvas, scale));
        canvas.take(self.bare(scale), Vec2::ZERO);
        rows::draw(&mut canvas, scene, scale, &self.fronts);
        self.fronts.iter().for_each(|front| front.draw(&mut canvas, scale));
        frame::name_obstacles(&mut canvas, scene, scale);
        names::write(&mut canvas, &self.fronts, scale, scene.area(scale));
        rows::mark_free(&mut canvas, scene, scale);
        canvas
    }

    /// The wall under its title and over its lists; these are no wider than `width` mm with the white round them.
    fn sheet(&self, mut canvas: Canvas, scale: WallScale, width: f64) -> Drawing {
        self.title(&mut canvas, scale);
        let (reached, wide) = (canvas.bounds(), width - AROUND);
        let top = reached.y0 - BETWEEN;
        let foot = listing::draw(&mut canvas, &self.scene, Point::new(reached.x0, top), wide);
        self.notes(&mut canvas, Point::new(reached.x0, foot - 2.0), wide);
        canvas.into_drawing(self.told())
    }

    fn told(&self) -> String {
        match self.scene.wall.space.name.as_str() {
            "" => "The wall from the front".to_owned(),
            name => format!("{name}, the wall from the front"),
        }
    }

    /// What it is and how large it is drawn, above all.
    fn title(&self, canvas: &mut Canvas, scale: WallScale) {
        let (space, units) = (&self.scene.wall.space, self.scene.units());
        let title = if space.name.is_empty() { "Wall" } else { &space.name };
        let [width, height] = [space.width, space.height].map(|size| units.length(size));
        let facts =
            format!("{width} wide, {height} high · drawn {scale} · figures in {}", units.word());
        let bounds = canvas.bounds();
        let at = Point::new(bounds.x0, bounds.y1 + BETWEEN);
        canvas.write_from(&Label::new(facts, FIGURE), at);
        canvas.write_from(&Label::new(title, TITLE).bold(), at + Vec2::new(0.0, 2.0 * FIGURE));
    }

    /// What lines and figures mean.
    fn notes(&self, canvas: &mut Canvas, at: Point, width: f64) {
        let wall = &self.scene.shop.wall;
        let screws = if wall.screws == 1 { "1 screw" } else { &format!("{} screws", wall.screws) };
        let note = format!(
            "Left and right are the ends of a holder's wood, from the wall's left corner; foot is its lower edge, from the \
             floor. Bold numbers are those of the list, in the order of hanging. Each wall cleat has {screws} in every {} that \
             it crosses; dots are those that stay in sight. Gray: tools.",
            wall.held_by()
        );
        let lines = wrap(&note, FIGURE, false, width);
        for (line, down) in lines.into_iter().zip(1..) {
            let down = 1.45 * FIGURE * f64::from(down);
            canvas.write_from(&Label::new(line, FIGURE), at - Vec2::new(0.0, down));
        }
    }
}
