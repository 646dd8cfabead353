//! Figures with a fixed number of decimals, as all drawn files have them.

/// Enough for what fits a [`u64`], its point and its sign.
const ROOM: usize = 24;

/// Hands `write` the text of `value` rounded to at most `places` decimals, as `{:.places$}` rounds, without trailing
/// zeros and with no "-0". Worked out in whole numbers, for drawings consist of little else.
pub(crate) fn fixed(value: f64, places: usize, mut write: impl FnMut(&str)) {
    match scaled(value.abs(), places) {
        Some(whole) => {
            let mut room = [0; ROOM];
            write(digits(&mut room, whole, places, value < 0.0));
        }
        None => write(short(&format!("{value:.places$}"))),
    }
}

/// `value` in units of its last decimal, halves to even; `None` for what does not fit.
fn scaled(value: f64, places: usize) -> Option<u64> {
    /// Bits of a number that tell its fraction, and what its exponent is counted from (IEEE 754).
    const FRACTION: u32 = 52;
    const BIAS: u32 = 1023 + FRACTION;
    let (bits, ten) = (value.to_bits(), 10_u64.checked_pow(u32::try_from(places).ok()?)?);
    let (exponent, fraction) = ((bits >> FRACTION) as u32, bits & ((1 << FRACTION) - 1));
    if exponent == 0 {
        // Nothing, or as good as nothing.
        return Some(0);
    }
    let exact = u128::from(fraction | 1 << FRACTION) * u128::from(ten);
    let less = BIAS.checked_sub(exponent)?;
    if less >= u128::BITS - 1 {
        return Some(0);
    }
    let (whole, rest, half) = (exact >> less, exact & ((1 << less) - 1), (1_u128 << less) >> 1);
    let up = less > 0 && (rest > half || rest == half && whole & 1 == 1);
    u64::try_from(whole + u128::from(up)).ok()
}

/// `whole` over ten to the `places`, written from the end of `room`.
fn digits(room: &mut [u8; ROOM], mut whole: u64, mut places: usize, below: bool) -> &str {
    while places > 0 && whole.is_multiple_of(10) {
        (whole, places) = (whole / 10, places - 1);
    }
    let signed = below && whole > 0;
    let (mut from, mut written) = (ROOM, 0);
    while whole > 0 || written <= places {
        if written == places && places > 0 {
            from -= 1;
            room[from] = b'.';
        }
        from -= 1;
        room[from] = b'0' + (whole % 10) as u8;
        (whole, written) = (whole / 10, written + 1);
    }
    if signed {
        from -= 1;
        room[from] = b'-';
    }
    std::str::from_utf8(&room[from..]).unwrap_or_default()
}

/// Without trailing zeros, and no "-0".
fn short(text: &str) -> &str {
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => text,
    };
    if text == "-0" { "0" } else { text }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn written(value: f64, places: usize) -> String {
        let mut out = String::new();
        fixed(value, places, |text| out.push_str(text));
        out
    }

    /// What the standard library writes.
    fn formatted(value: f64, places: usize) -> String {
        short(&format!("{value:.places$}")).to_owned()
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(written(-0.000_01, 4), "0");
        assert_eq!(written(12.5, 4), "12.5");
        assert_eq!(written(0.396_875, 4), "0.3969");
        assert_eq!(written(100.0, 4), "100");
        assert_eq!(written(-0.05, 1), "-0.1");
        assert_eq!(written(7.0, 0), "7");
    }

    #[test]
    fn halves_and_what_is_very_large_or_small_are_written_as_ever() {
        let halves = [0.5, 1.5, 2.5, 0.125, 0.375, 0.062_5, 1e15 + 0.5, 0.25, 5e-324, f64::MAX];
        let others = [0.0, -0.0, 1e-12, 9.995, 0.999_999_999_99, 1e17, 1e19, 1e22, f64::INFINITY];
        for value in halves.into_iter().chain(others) {
            for places in 0..=12 {
                assert_eq!(written(value, places), formatted(value, places), "{value} to {places}");
                assert_eq!(written(-value, places), formatted(-value, places));
            }
        }
    }

    proptest! {
        /// Compared with the formatting of the standard library.
        #[test]
        fn figures_are_written_as_ever(value in -1e6..1e6_f64, places in 0..=10_usize) {
            prop_assert_eq!(written(value, places), formatted(value, places));
        }

        #[test]
        fn any_number_is_written_as_ever(value in any::<f64>(), places in 0..=10_usize) {
            prop_assert_eq!(written(value, places), formatted(value, places));
        }

        #[test]
        fn sixteenths_of_an_inch_are_written_as_ever(parts in -99_999..99_999_i32, places in 0..=6_usize) {
            let value = f64::from(parts) * 25.4 / 16.0;
            prop_assert_eq!(written(value, places), formatted(value, places));
        }
    }
}
