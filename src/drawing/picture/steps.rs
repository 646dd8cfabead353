//! `step-N.svg`: what stands so far in gray, what a step adds in black, with its screws and the way it comes.

use kurbo::Point;

use super::Pictured;
use super::label::{self, NamedSpot};
use super::plot::{PictureScale, extent, strokes};
use super::whole::{apart_from, spot};
use crate::drawing::canvas::{Canvas, Label};
use crate::drawing::dimension::{ARROW, arrow};
use crate::drawing::table::NOTE;
use crate::drawing::{Drawing, Line};
use crate::holder::{ScrewJoint, Seated};
use crate::kernel::vector::{along, plus};
use crate::solid::{SeenLine, Shell, Sight, TakenOff, View, ViewFrom, taken_apart};
use crate::style::Space;

/// What a picture has room for, in mm; less for the holder alone, so that it is as large in most of them.
const ROOM: (f64, f64) = (96.0, 78.0);
const HOLDER_ROOM: (f64, f64) = (78.0, 60.0);

/// How much more of what is new must be seen from elsewhere than from the right in front.
const TURN: f64 = 1.3;

/// How far a screw's tip is drawn out of the wood, in mm.
const OUT: f64 = 18.0;

/// How many corners a screw's head has.
const HEAD: usize = 16;

/// The pictures of the steps of making, one entry a step; `None` for one that adds nothing.
pub(crate) fn steps(pictured: &Pictured<'_>) -> Vec<Option<Drawing>> {
    let mut standing: Vec<usize> = Vec::new();
    let steps = pictured.holder.steps.iter().enumerate();
    steps
        .map(|(number, step)| {
            let added: Vec<usize> =
                step.adds.iter().flat_map(|part| pictured.pieces(*part)).collect();
            let drawing = StepScene::new(pictured, &standing, &added)
                .and_then(|scene| scene.drawing(number + 1));
            standing.extend(added);
            drawing
        })
        .collect()
}

/// What one step shows.
struct StepScene<'s> {
    pictured: &'s Pictured<'s>,
    standing: &'s [usize],
    /// The pieces that are new, as they come.
    added: Vec<(usize, Shell)>,
    offs: Vec<TakenOff>,
    screws: Vec<DrawnScrew>,
}

/// A screw drawn out of its hole.
struct DrawnScrew {
    joint: usize,
    /// Where its head and its tip are drawn, and where its head goes.
    head: Space,
    tip: Space,
    seat: Space,
    /// A ring round its head.
    ring: Vec<Space>,
}

impl<'s> StepScene<'s> {
    fn new(pictured: &'s Pictured<'s>, standing: &'s [usize], added: &[usize]) -> Option<Self> {
        if added.is_empty() {
            return None;
        }
        let offs = taken_apart(pictured.holder, standing, added);
        let moved = |(piece, off): (&usize, &TakenOff)| {
            (*piece, apart_from(&pictured.solids[*piece].shell, off.by))
        };
        let added: Vec<(usize, Shell)> = added.iter().zip(&offs).map(moved).collect();
        let mut scene = Self { pictured, standing, added, offs, screws: Vec::new() };
        scene.screws = scene.drawn_screws();
        Some(scene)
    }

    /// The screws that go in now: those of joints both of whose parts stand with this step and not without it.
    fn drawn_screws(&self) -> Vec<DrawnScrew> {
        let stands = |part: usize| self.standing.iter().any(|at| self.part(*at) == part);
        let new = |part: usize| self.added.iter().any(|(at, _)| self.part(*at) == part);
        let joints = self.pictured.holder.screws.iter().enumerate();
        joints
            .flat_map(|(at, joint)| {
                let goes_in = |seated: &&Seated| match seated.into {
                    Some(far) => {
                        let both = [joint.through, far.part];
                        both.iter().all(|part| stands(*part) || new(*part))
                            && both.iter().any(|part| new(*part))
                    }
                    // What is screwed to the wall goes there with its last piece.
                    None => !self.pictured.holder.wall_cleats.is_empty() && new(joint.through),
                };
                let screws = joint.screws.iter().filter(goes_in);
                screws.map(move |seated| self.drawn_screw(at, joint, seated)).collect::<Vec<_>>()
            })
            .collect()
    }

    fn drawn_screw(&self, at: usize, joint: &ScrewJoint, seated: &Seated) -> DrawnScrew {
        let piece = self.pictured.pieces(joint.through).nth(seated.piece);
        let moved = self.added.iter().zip(&self.offs).find(|((at, _), _)| Some(*at) == piece);
        let by = moved.map_or([0.0; 3], |(_, off)| off.by);
        let seat = plus(seated.head, by);
        let [head, tip] = [-joint.length - OUT, -OUT].map(|far| along(seat, seated.ahead, far));
        let ring = ring(head, seated.ahead, joint.screw.shank());
        DrawnScrew { joint: at, head, tip, seat, ring }
    }

    fn part(&self, piece: usize) -> usize {
        self.pictured.solids[piece].part
    }

    fn shells(&self) -> impl Iterator<Item = &Shell> {
        self.standing_shells().chain(self.added.iter().map(|(_, shell)| shell))
    }

    fn standing_shells(&self) -> impl Iterator<Item = &Shell> {
        self.standing.iter().map(|at| &self.pictured.solids[*at].shell)
    }

    fn drawing(&self, number: usize) -> Option<Drawing> {
        let views = [ViewFrom::RightFront, ViewFrom::LeftFront, ViewFrom::Behind];
        let told = views.map(|from| {
            let sight = Sight::new(View::new(from), self.shells());
            let new = self.new_lines(&sight);
            let seen: f64 = new.iter().map(|line| (line.to - line.from).hypot()).sum();
            (sight, new, seen)
        });
        let [front, others @ ..] = told;
        let best = others
            .into_iter()
            .fold(front, |best, other| if other.2 > best.2 * TURN { other } else { best });
        self.seen_from(&best.0, &best.1, number)
    }

    /// What is seen of what is new.
    fn new_lines(&self, sight: &Sight) -> Vec<SeenLine> {
        let edges = sight.lines(self.added.iter().map(|(_, shell)| shell));
        edges.into_iter().chain(self.screws.iter().flat_map(|screw| screw.lines(sight))).collect()
    }

    fn seen_from(&self, sight: &Sight, new: &[SeenLine], number: usize) -> Option<Drawing> {
        let (view, all) = (sight.view(), self.pictured.solids.iter().map(|solid| &solid.shell));
        let usual = PictureScale::fitting(extent(&view, all)?, HOLDER_ROOM.0, HOLDER_ROOM.1);
        let most = PictureScale::fitting(extent(&view, self.shells())?, ROOM.0, ROOM.1);
        let scale = PictureScale(usual.0.min(most.0));
        let mut canvas = Canvas::default();
        strokes(&mut canvas, Line::Standing, scale, &sight.lines(self.standing_shells()));
        strokes(&mut canvas, Line::Added, scale, new);
        let screws = self.screws.iter().flat_map(|screw| sight.line([screw.tip, screw.seat]));
        strokes(&mut canvas, Line::Way, scale, &screws.collect::<Vec<_>>());
        for way in self.offs.iter().flat_map(TakenOff::ways) {
            come(&mut canvas, scale, &sight.line(way));
        }
        label::write(&mut canvas, self.spots(sight, scale));
        let under = canvas.bounds().origin() - (0.0, 2.0 * NOTE);
        canvas.write_from(&Label::new(format!("Step {number}"), NOTE).bold(), under);
        let title = format!("{}, step {number}", self.pictured.holder.title);
        Some(canvas.into_drawing(title))
    }

    /// The names of the parts that are new, and of their screws.
    fn spots(&self, sight: &Sight, scale: PictureScale) -> Vec<NamedSpot> {
        let mut parts: Vec<usize> = self.added.iter().map(|(piece, _)| self.part(*piece)).collect();
        parts.dedup();
        let parts = parts.into_iter().filter_map(|part| {
            let own = self.added.iter().filter(|(piece, _)| self.part(*piece) == part);
            let at = spot(sight, scale, own.map(|(_, shell)| shell))?;
            Some(NamedSpot { at, name: self.pictured.name(part) })
        });
        let joints = self.pictured.holder.screws.iter().enumerate();
        let screws = joints.filter_map(|(at, joint)| {
            let own = || self.screws.iter().filter(|screw| screw.joint == at);
            let seen = own().find(|screw| sight.sees(screw.head))?;
            let name = self.pictured.screws_name(joint, own().count());
            Some(NamedSpot { at: scale.at(sight.view().on_paper(seen.head)), name })
        });
        parts.chain(screws).collect()
    }
}

impl DrawnScrew {
    fn lines(&self, sight: &Sight) -> Vec<SeenLine> {
        let next = self.ring.iter().cycle().skip(1);
        let head = self.ring.iter().zip(next).flat_map(|(from, to)| sight.line([*from, *to]));
        head.chain(sight.line([self.head, self.tip])).collect()
    }
}

/// A circle about an axis.
fn ring(middle: Space, axis: Space, radius: f64) -> Vec<Space> {
    let least = (0..3).min_by(|a, b| axis[*a].abs().total_cmp(&axis[*b].abs())).unwrap_or(0);
    let across: Space =
        std::array::from_fn(|i| f64::from(u8::from(i == least)) - axis[i] * axis[least]);
    let length = across.iter().map(|part| part * part).sum::<f64>().sqrt();
    let u = across.map(|part| part / length);
    let v: Space = std::array::from_fn(|i| {
        let (a, b) = ((i + 1) % 3, (i + 2) % 3);
        axis[a] * u[b] - axis[b] * u[a]
    });
    let corner = |at: usize| {
        let (sin, cos) = (std::f64::consts::TAU * at as f64 / HEAD as f64).sin_cos();
        along(along(middle, u, radius * cos), v, radius * sin)
    };
    (0..HEAD).map(corner).collect()
}

/// A dashed line along which something comes, an arrow head where it is last seen.
fn come(canvas: &mut Canvas, scale: PictureScale, seen: &[SeenLine]) {
    strokes(canvas, Line::Way, scale, seen);
    let Some(last) = seen.last() else { return };
    let (from, to): (Point, Point) = (scale.at(last.from), scale.at(last.to));
    if (to - from).hypot() > 1.5 * ARROW.0 {
        arrow(canvas, to, (from - to).normalize());
    }
}
