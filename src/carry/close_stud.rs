//! Screws in the studs of the wall: how near they stand to a stud's edges and to each other.

use super::close::{CloseScrew, CloseTo, LookedAt};
use crate::holder::ScrewJoint;
use crate::shop::{ForceRun, Shop};
use crate::tolerance::COORDINATE;

/// What a stud is called.
const STUD: &str = "stud";

/// The screws of a joint that go into studs and stand too near. Those that one stud has room for are taken to stand
/// evenly about its middle.
pub(super) fn in_studs(joint: &ScrewJoint, shop: &Shop, mark: f64) -> Vec<CloseScrew> {
    let in_wall = joint.screws.iter().filter(|screw| screw.into.is_none());
    if shop.wall.masonry.is_some() {
        return Vec::new();
    }
    let mut heads: Vec<[f64; 2]> = in_wall.map(|s| [s.head[1], s.head[0]]).collect();
    heads.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    // The fibers of a stud run up the wall, as the load runs down.
    let stud = LookedAt { part: STUD, joint, splits: true, run: ForceRun::Along };
    let width = shop.wall.stud_width;
    let of_one = heads.chunk_by(|a, b| {
        let level = (a[0] - b[0]).abs() < COORDINATE;
        level && b[1] - a[1] < width
    });
    of_one.flat_map(|screws| in_stud(stud, screws, width, mark)).collect()
}

/// The screws of one stud, from left to right.
fn in_stud(stud: LookedAt<'_>, screws: &[[f64; 2]], width: f64, mark: f64) -> Vec<CloseScrew> {
    let Some((first, last)) = screws.first().zip(screws.last()) else { return Vec::new() };
    let edge = (width - (last[1] - first[1])) / 2.0;
    let apart = screws.windows(2).map(|pair| pair[1][1] - pair[0][1]);
    let beside = apart.filter_map(|apart| stud.near(CloseTo::InStud, apart, mark));
    stud.near(CloseTo::StudEdge, edge, mark).into_iter().chain(beside).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::holder::Seated;
    use crate::length::MM_PER_INCH as INCH;
    use crate::reading::Source;
    use crate::shop::{DEFAULT_SHOP, Screw, read_shop};

    /// The screws of a joint in the wall, so many inches from its left end.
    fn joint(number: f64, across: &[f64]) -> ScrewJoint {
        let seated = |at: &f64| Seated {
            head: [at * INCH, 50.0, 20.0],
            ahead: [0.0, 0.0, -1.0],
            piece: 0,
            passed: 20.0,
            into: None,
        };
        ScrewJoint {
            about: "ledge to the wall".to_owned(),
            screw: Screw::numbered(number).unwrap(),
            length: 3.0 * INCH,
            through: 0,
            screws: across.iter().map(seated).collect(),
        }
    }

    /// A #12 is 0.216 in thick: of two 3/4 in apart in a stud 1 1/2 in wide each is 3/8 in from an edge, which is
    /// over 1.5 D, 0.324 in, and under 2.5 D, 0.54 in; 3/4 in is over 3 D, 0.648 in, for two rows in line (NDS-2018
    /// 12.5.1, commentary table C12.1.5.7).
    #[test]
    fn two_in_a_stud_are_near_its_edges() {
        let shop = read_shop(&Source::new("shop.toml", DEFAULT_SHOP)).unwrap();
        let found = in_studs(&joint(12.0, &[2.0, 2.75, 18.0, 18.75]), &shop, INCH / 16.0);
        assert_eq!(found.len(), 2);
        for close in found {
            assert_eq!((close.to, close.grave), (CloseTo::StudEdge, false));
            assert!(
                (close.is / INCH - 0.375).abs() < 1e-9 && (close.wants / INCH - 0.54).abs() < 1e-9
            );
        }
        let wide = in_studs(&joint(12.0, &[2.0, 3.0]), &shop, INCH / 16.0);
        assert_eq!(
            wide.iter().map(|c| (c.to, c.grave)).collect::<Vec<_>>(),
            [(CloseTo::StudEdge, true)]
        );
        assert!(in_studs(&joint(12.0, &[2.0, 18.0]), &shop, INCH / 16.0).is_empty());
    }
}
