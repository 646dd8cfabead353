//! `wall.svg`: a wall from the front with all that hangs on it, true to scale, to hang by with a tape and a level.

mod frame;
mod front;
mod listing;
mod names;
mod rows;
mod scale;

use kurbo::{Point, Rect, Size, Vec2};

use super::canvas::{Canvas, Label};
use super::table::wrap;
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

/// From one baseline to the next, in letter sizes.
const LEADING: f64 = 1.45;

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
            let bare = |room: &Size| self.sheet(self.bare(scale), &[], scale, room.width);
            for room in rooms.iter().filter(|room| fits(&bare(room), room)) {
                let drawing = self.whole(scale, room.width);
                if fits(&drawing, room) {
                    return drawing;
                }
            }
        }
        // A wall of no usual size.
        self.whole(scale::LEAST, room.width)
    }

    fn whole(&self, scale: WallScale, width: f64) -> Drawing {
        let (canvas, nameless) = self.hung(scale);
        self.sheet(canvas, &nameless, scale, width)
    }

    /// The wall with nothing on it.
    fn bare(&self, scale: WallScale) -> Canvas {
        let mut canvas = Canvas::default();
        frame::draw(&mut canvas, &self.scene, scale);
        canvas
    }

    /// The wall with all that hangs on it, and what of that there is no room for a name.
    fn hung(&self, scale: WallScale) -> (Canvas, Vec<String>) {
        let (scene, mut canvas) = (&self.scene, Canvas::default());
        self.fronts.iter().for_each(|front| front.shade(&mut canvas, scale));
        canvas.take(self.bare(scale), Vec2::ZERO);
        rows::draw(&mut canvas, scene, scale, &self.fronts);
        self.fronts.iter().for_each(|front| front.draw(&mut canvas, scale));
        let mut nameless = frame::name_obstacles(&mut canvas, scene, scale);
        nameless.extend(names::write(&mut canvas, &self.fronts, scale, scene.area(scale)));
        rows::mark_free(&mut canvas, scene, scale);
        (canvas, nameless)
    }

    /// The wall under its title and over its lists; these are no wider than `width` mm with the white round them.
    fn sheet(
        &self,
        mut canvas: Canvas,
        nameless: &[String],
        scale: WallScale,
        width: f64,
    ) -> Drawing {
        let wide = width - AROUND;
        self.title(&mut canvas, scale, wide);
        let reached = canvas.bounds();
        let top = Point::new(reached.x0, reached.y0 - BETWEEN);
        let foot = listing::draw(&mut canvas, &self.scene, top, wide);
        let notes = self.notes(nameless);
        let below = Point::new(reached.x0, foot - BETWEEN / 2.0);
        for (line, down) in wrap(&notes, FIGURE, false, wide).into_iter().zip(1..) {
            let down = LEADING * FIGURE * f64::from(down);
            canvas.write_from(&Label::new(line, FIGURE), below - Vec2::new(0.0, down));
        }
        canvas.into_drawing(self.told())
    }

    fn told(&self) -> String {
        match self.scene.wall.space.name.as_str() {
            "" => "The wall from the front".to_owned(),
            name => format!("{name}, the wall from the front"),
        }
    }

    /// What it is and how large it is drawn, above all.
    fn title(&self, canvas: &mut Canvas, scale: WallScale, width: f64) {
        let (space, units) = (&self.scene.wall.space, self.scene.units());
        let title = if space.name.is_empty() { "Wall" } else { &space.name };
        let [wide, high] = [space.width, space.height].map(|size| units.length(size));
        let facts =
            format!("{wide} wide, {high} high · drawn {scale} · figures in {}", units.word());
        let bounds = canvas.bounds();
        let mut at = Point::new(bounds.x0, bounds.y1 + BETWEEN);
        canvas.write_from(&Label::new(facts, FIGURE), at);
        at.y += 2.0 * FIGURE;
        for line in wrap(title, TITLE, true, width).into_iter().rev() {
            canvas.write_from(&Label::new(line, TITLE).bold(), at);
            at.y += LEADING * TITLE;
        }
    }

    /// What lines and figures mean.
    fn notes(&self, nameless: &[String]) -> String {
        let (wall, shop) = (self.scene.wall, &self.scene.shop.wall);
        let places = "Left and right are the ends of a holder's wood, from the wall's left corner; foot is its lower edge, \
                      from the floor. Bold numbers are those of the list, in the order of hanging. Gray: tools.";
        let screws = if shop.screws == 1 { "1 screw" } else { &format!("{} screws", shop.screws) };
        let cleats = format!(
            "Each wall cleat has {screws} in every {} that it crosses; dots are the screws that stay in sight.",
            shop.held_by()
        );
        let wanting = format!("No room on the wall for: {}.", nameless.join(", "));
        let told = [
            (!wall.places.is_empty(), places),
            (!wall.rows.is_empty(), &cleats),
            (!nameless.is_empty(), &wanting),
        ];
        let told: Vec<&str> =
            told.iter().filter(|(holds, _)| *holds).map(|(_, told)| *told).collect();
        told.join(" ")
    }
}
