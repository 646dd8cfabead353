//! Round figures: what a length in inches is called where people count in millimeters.

/// Round lengths up to 25 mm that the steps of 1 mm stop at, in mm.
const SMALL: [f64; 5] = [10.0, 12.0, 15.0, 20.0, 25.0];

/// From a length on, in mm, the steps of round lengths.
const STEPS: [(f64, f64); 6] =
    [(400.0, 50.0), (150.0, 10.0), (25.0, 5.0), (3.0, 1.0), (1.0, 0.5), (0.0, 0.1)];

/// The round length in mm nearest to `mm`, which is round in inches: 3 for 1/8 in, 12 for 1/2, 20 for
/// 3/4, 90 for 3 1/2, 300 for 12. The longer of two lengths never becomes the shorter one.
///
/// Tenths below 1 mm, halves to 3, whole mm to 10, then 12, 15, 20 and 25, fives to 150, tens to 400,
/// fifties beyond. Common practice, no source.
pub(crate) fn in_round_mm(mm: f64) -> f64 {
    let length = mm.abs();
    let small = SMALL[0]..=SMALL[SMALL.len() - 1];
    let round = if small.contains(&length) { nearest(length) } else { stepped(length) };
    round.copysign(mm)
}

fn nearest(length: f64) -> f64 {
    let nearer = |a: &f64, b: &f64| (a - length).abs().total_cmp(&(b - length).abs());
    SMALL.into_iter().min_by(nearer).unwrap_or(length)
}

fn stepped(length: f64) -> f64 {
    let step = STEPS.iter().find(|(from, _)| length >= *from).map_or(1.0, |(_, step)| *step);
    // By division where a step is no whole number of mm: 0.3, not 0.300 000 000 000 000 04.
    if step < 1.0 { (length / step).round() / (1.0 / step) } else { (length / step).round() * step }
}

#[cfg(test)]
mod tests {
    use super::in_round_mm;
    use crate::length::MM_PER_INCH;

    #[test]
    fn inches_have_round_figures_in_millimeters() {
        let table = [
            (0.0, 0.0),
            (1.0 / 64.0, 0.4),
            (1.0 / 32.0, 0.8),
            (1.0 / 16.0, 1.5),
            (1.0 / 8.0, 3.0),
            (3.0 / 16.0, 5.0),
            (1.0 / 4.0, 6.0),
            (3.0 / 8.0, 10.0),
            (1.0 / 2.0, 12.0),
            (5.0 / 8.0, 15.0),
            (3.0 / 4.0, 20.0),
            (1.0, 25.0),
            (1.25, 30.0),
            (1.5, 40.0),
            (2.0, 50.0),
            (3.5, 90.0),
            (4.0, 100.0),
            (5.5, 140.0),
            (6.0, 150.0),
            (8.0, 200.0),
            (12.0, 300.0),
            (16.0, 400.0),
            (24.0, 600.0),
            (48.0, 1200.0),
            (96.0, 2450.0),
        ];
        for (inches, mm) in table {
            assert_eq!(in_round_mm(inches * MM_PER_INCH), mm, "{inches} in");
            assert_eq!(in_round_mm(-inches * MM_PER_INCH), -mm, "-{inches} in");
        }
    }

    #[test]
    fn order_stands_and_nothing_moves_far() {
        let lengths = (0..40_000).map(|i| f64::from(i) * 0.05);
        let round: Vec<(f64, f64)> = lengths.map(|mm| (mm, in_round_mm(mm))).collect();
        assert!(round.windows(2).all(|pair| pair[0].1 <= pair[1].1));
        assert!(
            round.iter().filter(|(mm, _)| *mm >= 1.0).all(|(mm, r)| (r / mm - 1.0).abs() < 0.26)
        );
        assert!(round.iter().all(|(_, r)| in_round_mm(*r) == *r));
    }
}
