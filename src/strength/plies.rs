//! Plywood bent across its face grain, by its number of plies.

use super::allowable::Across;

/// What the weakest published panel of three, four and five plies keeps of strength and of stiffness across its
/// face grain: the lowest ratios of the span ratings 24/0 to 48/24 (ASD/LRFD Manual for Engineered Wood
/// Construction, table M9.2-1), rounded down.
const PUBLISHED: [(usize, Across); 3] = [
    (3, Across { bending: 0.200, stiffness: 0.054 }),
    (4, Across { bending: 0.220, stiffness: 0.119 }),
    (5, Across { bending: 0.298, stiffness: 0.166 }),
];

/// Stiffness of a layer across its grain as part of that along it (Wood Handbook table 5-1, Douglas fir and
/// yellow birch, from memory).
const ACROSS_THE_GRAIN: f64 = 1.0 / 20.0;

/// What plywood of so many plies keeps when it is bent across its face grain. Beyond five plies the sum of its
/// layers, less as much as five published plies fall short of that sum: what is published lies below it, for the
/// layers of a panel are not all as thick and as good as its faces.
pub(super) fn across_plies(plies: usize) -> Across {
    let (most, last) = PUBLISHED[PUBLISHED.len() - 1];
    if plies > most {
        let (sum, known) = (layers(plies), layers(most));
        return Across {
            bending: sum.bending * last.bending / known.bending,
            stiffness: sum.stiffness * last.stiffness / known.stiffness,
        };
    }
    let known = PUBLISHED.iter().find(|(count, _)| *count >= plies);
    known.map_or(last, |(_, across)| *across)
}

/// The same as the sum of layers of one thickness, faces along, the grain turned from each to the next and, for an
/// even number, the two in the middle alike. The parallel axis theorem gives E I of either way about the middle;
/// strength ends where the outermost layer that runs the right way breaks (elementary mechanics).
fn layers(plies: usize) -> Across {
    let (mut along, mut across) = (0.0, 0.0);
    for layer in 0..plies {
        let from_face = layer.min(plies - 1 - layer);
        let right = inertia(plies, layer);
        let wrong = right * ACROSS_THE_GRAIN;
        let turned = from_face % 2 == 1;
        along += if turned { wrong } else { right };
        across += if turned { right } else { wrong };
    }
    let half = plies as f64 / 2.0;
    let stiffness = across / along;
    // The outermost layer across lies one below the face.
    Across { bending: stiffness * half / (half - 1.0), stiffness }
}

/// Second moment of one layer about the middle of the panel, for a layer one thick and one wide.
fn inertia(plies: usize, layer: usize) -> f64 {
    let middle = layer as f64 + 0.5 - plies as f64 / 2.0;
    1.0 / 12.0 + middle.powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seven layers by hand, in thicknesses from the middle: along 2 (3.5³ - 2.5³ + 1.5³ - 0.5³) / 3 = 20.333,
    /// across 2 (2.5³ - 1.5³ + 0.5³) / 3 = 8.25; with a twentieth of each other 20.746 and 9.267.
    #[test]
    fn seven_layers_add_up() {
        let seven = layers(7);
        assert!((seven.stiffness - 9.266_67 / 20.745_83).abs() < 1e-6, "{seven:?}");
        assert!((seven.bending - 9.266_67 / 20.745_83 * 3.5 / 2.5).abs() < 1e-6, "{seven:?}");
    }

    /// Four plies are as three with a middle twice as thick: 2 (2³ - 1³) / 3 and 2 / 3.
    #[test]
    fn an_even_number_has_two_alike_in_the_middle() {
        let (outer, inner) = (14.0 / 3.0, 2.0 / 3.0);
        let stiffness = (inner + outer / 20.0) / (outer + inner / 20.0);
        assert!((layers(4).stiffness - stiffness).abs() < 1e-12);
    }

    /// What is published never lies above the sum in stiffness, so that the sum alone would be too kind.
    #[test]
    fn published_panels_are_less_stiff_than_the_sum() {
        for (plies, across) in PUBLISHED {
            assert!(across.stiffness < layers(plies).stiffness, "{plies}");
            assert!(across.bending < layers(plies).bending, "{plies}");
        }
    }

    #[test]
    fn more_plies_keep_more_and_never_all() {
        for plies in 3..25 {
            let (fewer, more) = (across_plies(plies), across_plies(plies + 1));
            assert!(fewer.bending < more.bending && more.bending < 1.0, "{plies}");
            assert!(fewer.stiffness < more.stiffness && more.stiffness < 1.0, "{plies}");
        }
    }
}
