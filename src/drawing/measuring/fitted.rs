//! Lengths of very different size brought onto one small picture.

use crate::tolerance::COORDINATE;

/// Nothing that is told apart is drawn shorter, in mm.
const SHORTEST: f64 = 3.0;

/// Where places along one axis of a tool stand on paper: in their order, each stretch as long as the root of its length.
/// A long bar and a thin blade then show side by side.
pub(super) struct FittedAxis(Vec<(f64, f64)>);

impl FittedAxis {
    /// One that tells `stops` apart; `scale` times the root of a length in mm is its length on paper.
    pub(super) fn new(mut stops: Vec<f64>, scale: f64) -> Self {
        stops.retain(|stop| stop.is_finite());
        stops.sort_by(f64::total_cmp);
        stops.dedup_by(|a, b| *a - *b <= COORDINATE);
        let mut placed: Vec<(f64, f64)> = Vec::new();
        for stop in stops {
            let on_paper = placed
                .last()
                .map_or(0.0, |(before, at)| at + (scale * (stop - before).sqrt()).max(SHORTEST));
            placed.push((stop, on_paper));
        }
        Self(placed)
    }

    /// How long all of it is on paper, in mm.
    pub(super) fn length(&self) -> f64 {
        self.0.last().map_or(0.0, |(_, at)| *at)
    }

    /// Where `place` stands on paper, in mm; what lies beyond all stops, at the last one.
    pub(super) fn at(&self, place: f64) -> f64 {
        let after = self.0.partition_point(|(stop, _)| *stop < place);
        match (after.checked_sub(1).and_then(|i| self.0.get(i)), self.0.get(after)) {
            (Some((a, from)), Some((b, to))) => from + (to - from) * (place - a) / (b - a),
            (Some((_, at)), None) | (None, Some((_, at))) => *at,
            (None, None) => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_stretches_are_drawn_shorter_and_none_vanishes() {
        let stretch = FittedAxis::new(vec![100.0, 0.0, 0.01, 0.0], 2.0);
        assert_eq!(stretch.at(0.01), SHORTEST);
        assert!((stretch.at(100.0) - SHORTEST - 2.0 * 99.99_f64.sqrt()).abs() < 1e-9);
        assert_eq!(stretch.at(-5.0), 0.0);
        assert!((stretch.at(0.005) - SHORTEST / 2.0).abs() < 1e-9);
    }
}
