//! The closed surface of a body, in triangles.

use std::collections::HashMap;

use crate::kernel::vector::{cross, dot, minus, unit};
use crate::style::Space;

/// How far the cosine of the angle between two triangles may fall short of 1 while they lie in one plane.
const FLAT: f64 = 1e-9;

/// A triangle of a surface: places in [`Shell::points`], counter-clockwise seen from outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Facet {
    pub corners: [u32; 3],
    /// Which smooth surface it is of: no line is drawn between triangles of one.
    pub surface: u32,
}

/// Where two triangles meet that do not lie in one plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct ShellEdge {
    pub ends: [u32; 2],
    /// Places of the triangles in [`Shell::facets`].
    pub facets: [u32; 2],
    /// Whether both are of one smooth surface, so that it shows as an outline alone.
    pub smooth: bool,
}

/// The closed surface of a body.
///
/// Every side of a triangle is that of one other, run through the other way: it is watertight.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Shell {
    pub points: Vec<Space>,
    pub facets: Vec<Facet>,
    pub edges: Vec<ShellEdge>,
}

impl Shell {
    /// The surface of `facets`, its edges found.
    pub(super) fn new(points: Vec<Space>, facets: Vec<Facet>) -> Self {
        let mut shell = Self { points, facets, edges: Vec::new() };
        shell.edges = shell.found_edges();
        shell
    }

    /// What it encloses, in mm³: the sum of the tetrahedra from the origin (divergence theorem).
    #[cfg(test)]
    pub(crate) fn volume(&self) -> f64 {
        let six = |facet: &Facet| {
            let [a, b, c] = self.corners(facet);
            dot(a, cross(b, c))
        };
        self.facets.iter().map(six).sum::<f64>() / 6.0
    }

    /// The same body with every point moved by `map`, which must keep shapes and not mirror.
    #[must_use]
    pub(crate) fn moved(&self, map: impl Fn(Space) -> Space) -> Self {
        let points = self.points.iter().map(|point| map(*point)).collect();
        Self { points, facets: self.facets.clone(), edges: self.edges.clone() }
    }

    pub(super) fn corners(&self, facet: &Facet) -> [Space; 3] {
        facet.corners.map(|corner| self.points[corner as usize])
    }

    /// The direction out of a triangle, of length 1.
    pub(super) fn out(&self, facet: &Facet) -> Space {
        let [a, b, c] = self.corners(facet);
        unit(cross(minus(b, a), minus(c, a)))
    }

    fn found_edges(&self) -> Vec<ShellEdge> {
        let outs: Vec<Space> = self.facets.iter().map(|facet| self.out(facet)).collect();
        let mut met: HashMap<(u32, u32), u32> = HashMap::with_capacity(self.facets.len() * 2);
        let mut edges = Vec::new();
        for (at, facet) in self.facets.iter().enumerate() {
            let [a, b, c] = facet.corners;
            for (from, to) in [(a, b), (b, c), (c, a)] {
                let Some(other) = met.remove(&(to, from)) else {
                    met.insert((from, to), at as u32);
                    continue;
                };
                let smooth = self.facets[other as usize].surface == facet.surface;
                if dot(outs[at], outs[other as usize]) < 1.0 - FLAT {
                    let facets = [at as u32, other];
                    edges.push(ShellEdge { ends: [from, to], facets, smooth });
                }
            }
        }
        edges
    }
}

/// A surface in the making: points are numbered as they come, the same place once.
#[derive(Debug, Default)]
pub(super) struct ShellBuilder {
    points: Vec<Space>,
    numbers: HashMap<[u64; 3], u32>,
    facets: Vec<Facet>,
    surfaces: u32,
}

impl ShellBuilder {
    /// The number of the very place, given out if it is new.
    pub(super) fn point(&mut self, place: Space) -> u32 {
        // Adding 0 makes one of 0 and -0.
        let key = place.map(|part| (part + 0.0).to_bits());
        let new = self.points.len() as u32;
        let number = *self.numbers.entry(key).or_insert(new);
        if number == new {
            self.points.push(place);
        }
        number
    }

    pub(super) fn at(&self, number: u32) -> Space {
        self.points[number as usize]
    }

    /// The number of one more smooth surface.
    pub(super) fn surface(&mut self) -> u32 {
        self.surfaces += 1;
        self.surfaces
    }

    /// Adds a triangle; one that has two corners in one place is none.
    pub(super) fn facet(&mut self, corners: [u32; 3], surface: u32) {
        let [a, b, c] = corners;
        if a != b && b != c && c != a {
            self.facets.push(Facet { corners, surface });
        }
    }

    pub(super) fn finish(self) -> Shell {
        Shell::new(self.points, self.facets)
    }
}
