//! How far screws in bored holes stay from edges, from ends and from each other.

use super::screw::Screw;

/// Nearer than so many diameters to an edge no fastener is set, however it is loaded: NDS-2018 12.5.1 for those of
/// 1/4 in and over, taken for thinner ones too.
const LEAST_EDGE: f64 = 1.5;

/// What is advised to the edge of a panel, in diameters: what NDS-2024 commentary table C12.1.5.7 advises for wood
/// screws. EN 1995-1-1 table 8.2 is for timber, which splits.
const PANEL_EDGE: f64 = 2.5;

/// What part of its end distance a fastener has at least: NDS-2018 12.5.1.
const LEAST_END: f64 = 0.5;

/// How the force across a screw runs to the grain of the wood it stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ForceRun {
    Along,
    Across,
    /// Not known: what asks for more holds.
    Either,
}

/// Distances from the middle of a screw that a table advises: in diameters as the table has them, in mm for a screw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ScrewDistances {
    /// To the edge beside it.
    pub edge: f64,
    /// To an end toward which it is loaded, and to one away from which it is.
    pub end: [f64; 2],
    /// To the next one along the grain and across it.
    pub along: f64,
    pub across: f64,
}

impl ScrewDistances {
    /// NDS-2024 commentary table C12.1.5.7, advice for fasteners under 1/4 in, bored, in wood: with the force along the
    /// grain two side by side are two rows in line, 3 diameters apart; with the force across it they are of one row, 5.
    fn of_number(run: ForceRun) -> Self {
        let across = if run == ForceRun::Along { 3.0 } else { 5.0 };
        Self { edge: 2.5, end: [10.0, 5.0], along: 10.0, across }
    }

    /// EN 1995-1-1 table 8.2, bored, of screws up to 6 mm (8.7.1(5)): the force at an angle to the grain of 0 and 90°,
    /// toward the edge and the end.
    fn of_thread(mm: f64, run: ForceRun) -> Self {
        let loaded = if mm < 5.0 { 5.0 } else { 7.0 };
        let along = Self { edge: 3.0, end: [12.0, 7.0], along: 5.0, across: 3.0 };
        let across = Self { edge: loaded, end: [7.0, 7.0], along: 4.0, across: 4.0 };
        match run {
            ForceRun::Along => along,
            ForceRun::Across => across,
            ForceRun::Either => Self { edge: across.edge, across: across.across, ..along },
        }
    }

    fn times(self, mm: f64) -> Self {
        let Self { edge, end, along, across } = self;
        Self {
            edge: edge * mm,
            end: end.map(|end| end * mm),
            along: along * mm,
            across: across * mm,
        }
    }
}

impl Screw {
    /// What is advised for it in a bored hole in solid wood, in mm.
    pub(crate) fn distances(self, run: ForceRun) -> ScrewDistances {
        let mm = self.shank();
        let table = match self.by_number() {
            true => ScrewDistances::of_number(run),
            false => ScrewDistances::of_thread(mm, run),
        };
        table.times(mm)
    }

    /// The least distance to an edge or to another screw, in mm: nearer the wood breaks out.
    pub(crate) fn least_edge(self) -> f64 {
        LEAST_EDGE * self.shank()
    }

    /// What is advised to an edge or a face of a panel, in mm.
    pub(crate) fn panel_edge(self) -> f64 {
        PANEL_EDGE * self.shank()
    }

    /// The least distance to an end of solid wood, in mm: half of what is advised for one that it is loaded away from.
    pub(crate) fn least_end(self) -> f64 {
        LEAST_END * self.distances(ForceRun::Either).end[1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, expected: f64, within: f64) {
        assert!((found - expected).abs() <= within, "{found} is not {expected}");
    }

    /// NDS-2018 commentary table C12.1.5.7, wood side, bored (the same in NDS-2024), in mm to 0.1: edge 2.5 D, end
    /// 10 D loaded toward and 5 D away, spacing parallel 10 D and perpendicular 5 D; rows in line 3 D apart.
    #[test]
    fn screws_by_number_stand_as_the_table_advises() {
        let rows = [(8.0, [10.4, 41.7, 20.8, 41.7, 20.8]), (10.0, [12.1, 48.3, 24.1, 48.3, 24.1])];
        for (number, [edge, toward, away, along, across]) in rows {
            let screw = Screw::numbered(number).unwrap();
            let found = screw.distances(ForceRun::Across);
            near(found.edge, edge, 0.051);
            near(found.end[0], toward, 0.051);
            near(found.end[1], away, 0.051);
            near(found.along, along, 0.051);
            near(found.across, across, 0.051);
            assert_eq!(found, screw.distances(ForceRun::Either));
            near(screw.distances(ForceRun::Along).across, 3.0 * screw.shank(), 1e-9);
        }
    }

    /// EN 1995-1-1 table 8.2, bored column, at 0 and 90 degrees: a1 4 + |cos|, a2 3 + |sin|, a3t 7 + 5 cos, a3c 7, a4t
    /// 3 + 2 sin, from 5 mm on 3 + 4 sin, a4c 3; worked out by hand.
    #[test]
    fn screws_sold_in_mm_stand_as_their_code_says() {
        let rows = [
            (4.2, ForceRun::Along, [12.6, 50.4, 29.4, 21.0, 12.6]),
            (4.2, ForceRun::Across, [21.0, 29.4, 29.4, 16.8, 16.8]),
            (5.0, ForceRun::Across, [35.0, 35.0, 35.0, 20.0, 20.0]),
            (4.0, ForceRun::Either, [20.0, 48.0, 28.0, 20.0, 16.0]),
        ];
        for (mm, run, [edge, toward, away, along, across]) in rows {
            let found = ScrewDistances::of_thread(mm, run).times(mm);
            near(found.edge, edge, 1e-9);
            near(found.end[0], toward, 1e-9);
            near(found.end[1], away, 1e-9);
            near(found.along, along, 1e-9);
            near(found.across, across, 1e-9);
        }
        let four = Screw::threaded(4.0).unwrap();
        near(four.distances(ForceRun::Across).edge, 20.0, 1e-9);
    }

    /// The table at any angle in between asks for no more than what is taken where the angle is not known.
    #[test]
    fn an_angle_that_is_not_known_asks_for_the_most() {
        for (mm, sine) in [(4.0, 2.0), (6.0, 4.0)] {
            let most = ScrewDistances::of_thread(mm, ForceRun::Either);
            for degrees in 0..=90 {
                let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
                assert!(4.0 + cos <= most.along && 3.0 + sin <= most.across);
                assert!(7.0 + 5.0 * cos <= most.end[0] && 3.0 + sine * sin <= most.edge);
            }
        }
    }

    /// NDS-2018 12.5.1: an edge of 1.5 D at least, ends not under half of their distance.
    #[test]
    fn the_least_is_that_of_thicker_fasteners() {
        let eight = Screw::numbered(8.0).unwrap();
        near(eight.least_edge(), 6.248, 0.001);
        near(eight.least_end(), 10.414, 0.001);
        near(Screw::threaded(4.0).unwrap().panel_edge(), 10.0, 1e-9);
    }
}
