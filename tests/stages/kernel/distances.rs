use crate::kernel::{Contour, Gap, Segment};
use geo::{Distance, Euclidean, Line};
use kurbo::Point;
use proptest::prelude::*;

use super::board;

fn segment() -> impl Strategy<Value = Segment> {
    let number = -50.0..50.0;
    (number.clone(), number.clone(), number.clone(), number, -3.0..3.0, any::<bool>()).prop_map(
        |(a, b, c, d, bulge, line)| Segment {
            start: Point::new(a, b),
            end: Point::new(c, d),
            bulge: if line { 0.0 } else { bulge },
        },
    )
}

/// Least distance between the flattened segments, by `geo`.
fn by_chords(a: &Segment, b: &Segment) -> f64 {
    let lines = |s: &Segment| {
        let mut points = vec![s.start];
        points.extend(s.flatten(0.001));
        let pairs = points.windows(2).map(|w| Line::new((w[0].x, w[0].y), (w[1].x, w[1].y)));
        pairs.collect::<Vec<_>>()
    };
    let theirs = lines(b);
    lines(a)
        .iter()
        .flat_map(|l| theirs.iter().map(move |m| Euclidean.distance(l, m)))
        .fold(f64::INFINITY, f64::min)
}

fn shortest(a: &Segment, b: &Segment) -> Gap {
    a.gaps(b).into_iter().min_by(|one, other| one.width().total_cmp(&other.width())).unwrap()
}

proptest! {
    #[test]
    fn segments(a in segment(), b in segment()) {
        let [gap, back] = [shortest(&a, &b), shortest(&b, &a)];
        prop_assert!((gap.width() - by_chords(&a, &b)).abs() <= 0.0021, "{gap:?}");
        prop_assert!((gap.width() - back.width()).abs() < 1e-9);
        prop_assert!((a.nearest(gap.from) - gap.from).hypot() < 1e-6);
        prop_assert!((b.nearest(gap.to) - gap.to).hypot() < 1e-6);
    }

    /// Room round a point of a board with a hole, by plain geometry.
    #[test]
    fn room(x in -20.0..220.0_f64, y in -20.0..140.0_f64) {
        let drilled = board(200.0, 120.0).cut(&Contour::circle(Point::new(100.0, 60.0), 20.0)).unwrap();
        let from_hole = (x - 100.0).hypot(y - 60.0) - 20.0;
        let inward = x.min(200.0 - x).min(y).min(120.0 - y);
        let outward = (-x).max(x - 200.0).max(0.0).hypot((-y).max(y - 120.0).max(0.0));
        let expected = if outward > 0.0 { -outward } else { inward.min(from_hole) };
        prop_assert!((drilled.room_at(Point::new(x, y)) - expected).abs() < 1e-9);
    }
}
