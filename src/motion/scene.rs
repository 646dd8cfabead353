//! What moves and what stands fast, made ready for the search: convex pieces, and how far each keeps from each.

use kurbo::Point;

use crate::kernel::convex::{convex_pieces, distance, drawn_in, hull, strip_between, tidy};
use crate::limits;
use crate::tolerance::COORDINATE;

/// A holder in side view as it hangs: `x` mm out from the wall, `y` mm up. What lies at `x < 0` is wall.
///
/// Each polygon is the corners of a simple closed outline in order, the first not repeated, either way round.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct HungView {
    /// What comes off as one rigid body.
    pub moving: Vec<Vec<Point>>,
    /// What stays on the wall.
    pub fixed: Vec<Vec<Point>>,
    /// What it keeps on its way from all that it does not touch as it hangs, in mm.
    pub clearance: f64,
}

/// Something in the way of the holder as it hangs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct InTheWay {
    /// Which of the moving polygons.
    pub moving: usize,
    /// Which of the fixed ones; `None` is the wall.
    pub fixed: Option<usize>,
    /// How deep they share one space, in mm.
    pub depth: f64,
}

/// A convex piece of what moves.
#[derive(Debug)]
pub(super) struct MovingPiece {
    pub corners: Vec<Point>,
    /// How far it keeps from the wall, in mm.
    pub from_wall: f64,
}

/// Two pieces that must not meet.
#[derive(Debug, Clone, Copy)]
pub(super) struct PiecePair {
    pub moving: usize,
    pub fixed: usize,
    /// How far they stay apart at least, in mm.
    pub apart: f64,
}

/// What the search looks at.
#[derive(Debug)]
pub(super) struct Scene {
    pub moving: Vec<MovingPiece>,
    /// Convex pieces of what stands fast, drawn in by [`COORDINATE`], so that what touches is free.
    pub fixed: Vec<Vec<Point>>,
    pub pairs: Vec<PiecePair>,
    /// The least `x` and the greatest `y` of what moves, as it hangs.
    pub nearest: f64,
    pub top: f64,
    /// How far it has to come out from where it hangs to be in front of everything.
    pub free: f64,
}

impl Scene {
    /// # Errors
    /// Where something is in the way already as it hangs: the deepest.
    pub(super) fn new(view: &HungView) -> Result<Self, Option<InTheWay>> {
        let moving: Vec<Shape> = shapes(&view.moving);
        let fixed: Vec<Shape> = shapes(&view.fixed);
        let deepest = in_the_way(&moving, &fixed);
        if deepest.is_some() || moving.is_empty() {
            return Err(deepest);
        }
        let corners = || moving.iter().flat_map(|shape| &shape.ring);
        let nearest = corners().map(|at| at.x).fold(f64::INFINITY, f64::min);
        let farthest = fixed.iter().flat_map(|shape| &shape.ring).map(|at| at.x);
        let mut scene = Self {
            moving: Vec::new(),
            fixed: Vec::new(),
            pairs: Vec::new(),
            nearest,
            top: corners().map(|at| at.y).fold(f64::NEG_INFINITY, f64::max),
            free: farthest.fold(0.0, f64::max) + view.clearance + 10.0 * COORDINATE - nearest,
        };
        scene.take_in(&moving, &fixed, view.clearance);
        Ok(scene)
    }

    fn take_in(&mut self, moving: &[Shape], fixed: &[Shape], clearance: f64) {
        let pieces = fixed.iter().flat_map(|shape| &shape.pieces);
        self.fixed = pieces.map(|piece| drawn_in(piece, COORDINATE)).collect();
        for shape in moving {
            let from_wall = shape.off_wall(clearance);
            let apart: Vec<f64> = fixed
                .iter()
                .flat_map(|other| vec![shape.apart(other, clearance); other.pieces.len()])
                .collect();
            for piece in &shape.pieces {
                let moving = self.moving.len();
                self.moving.push(MovingPiece { corners: piece.clone(), from_wall });
                let each = apart.iter().enumerate();
                self.pairs.extend(each.map(|(fixed, apart)| PiecePair {
                    moving,
                    fixed,
                    apart: *apart,
                }));
            }
        }
    }
}

/// A polygon and the convex ones that it is made of.
struct Shape {
    /// Its place in the list that it comes from.
    at: usize,
    ring: Vec<Point>,
    pieces: Vec<Vec<Point>>,
}

impl Shape {
    fn of(at: usize, ring: Vec<Point>) -> Self {
        let pieces = convex_pieces(&ring);
        let pieces = if pieces.len() > limits::SIDE_PIECES { vec![hull(&ring)] } else { pieces };
        Self { at, ring, pieces }
    }

    /// How far it keeps from another: the clearance, or as much as it hangs from it where that is less.
    fn apart(&self, other: &Self, clearance: f64) -> f64 {
        let pairs = self.pieces.iter().flat_map(|a| other.pieces.iter().map(move |b| (a, b)));
        kept(pairs.map(|(a, b)| distance(a, b)).fold(f64::INFINITY, f64::min), clearance)
    }

    fn off_wall(&self, clearance: f64) -> f64 {
        kept(self.ring.iter().map(|at| at.x).fold(f64::INFINITY, f64::min), clearance)
    }

    /// How deep it shares a space with another.
    fn depth(&self, other: &Self) -> f64 {
        let pairs = self.pieces.iter().flat_map(|a| other.pieces.iter().map(move |b| (a, b)));
        pairs.map(|(a, b)| -strip_between(a, b)).fold(0.0, f64::max)
    }
}

fn kept(hung: f64, clearance: f64) -> f64 {
    if hung <= COORDINATE { 0.0 } else { hung.min(clearance) }
}

/// The polygons that have an area, each once.
fn shapes(rings: &[Vec<Point>]) -> Vec<Shape> {
    let mut shapes: Vec<Shape> = Vec::new();
    for (at, ring) in rings.iter().enumerate() {
        let Some(ring) = tidy(ring) else { continue };
        if !shapes.iter().any(|known| known.ring == ring) {
            shapes.push(Shape::of(at, ring));
        }
    }
    shapes
}

fn in_the_way(moving: &[Shape], fixed: &[Shape]) -> Option<InTheWay> {
    let walled = moving.iter().map(|shape| InTheWay {
        moving: shape.at,
        fixed: None,
        depth: shape.ring.iter().map(|at| -at.x).fold(0.0, f64::max),
    });
    let met = moving.iter().flat_map(|shape| {
        fixed.iter().map(|other| InTheWay {
            moving: shape.at,
            fixed: Some(other.at),
            depth: shape.depth(other),
        })
    });
    let deep = walled.chain(met).filter(|found| found.depth > COORDINATE);
    deep.max_by(|a, b| a.depth.total_cmp(&b.depth))
}
