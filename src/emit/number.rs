//! The one way in which emitters write numbers: fixed decimals, trailing zeros cut, no `-0`, no exponent. Does not
//! decide what a number means.

/// Decimals of a coordinate on a sheet, mm. Pieces carry three; a turn on the sheet makes new digits, and the fourth
/// keeps what that costs (0.00005 mm) out of the error budget.
pub const COORDINATE: usize = 4;
/// Decimals of a radius, mm: a shallow arc's rise depends on it far less than on its ends.
pub const RADIUS: usize = 6;
/// Decimals of figures in the report.
pub const REPORT: usize = 6;

/// `x` with at most `decimals` decimals. A number that is not finite never reaches an emitter (`emit` refuses it);
/// it would come out as `nan`, which no reader takes for a length.
#[must_use]
pub fn fixed(x: f64, decimals: usize) -> String {
    if !x.is_finite() {
        return "nan".to_owned();
    }
    let mut text = format!("{x:.decimals$}");
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    if text == "-0" { "0".to_owned() } else { text }
}

/// A coordinate, mm.
#[must_use]
pub fn mm(x: f64) -> String {
    fixed(x, COORDINATE)
}

/// `x` as it will be read back after writing it as a coordinate.
#[must_use]
pub fn rounded(x: f64) -> f64 {
    let scaled = (x * 1e4).round() / 1e4;
    if scaled == 0.0 { 0.0 } else { scaled }
}

/// `x` rounded for the report, never `-0`.
#[must_use]
pub fn report(x: f64) -> f64 {
    let scaled = (x * 1e6).round() / 1e6;
    if scaled == 0.0 { 0.0 } else { scaled }
}

/// A length as a person measures it on a sketch: to half a millimetre.
#[must_use]
pub fn measured(x: f64) -> String {
    fixed((x * 2.0).round() / 2.0, 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn zero_has_no_sign_and_large_numbers_no_exponent() {
        assert_eq!(mm(-0.0), "0");
        assert_eq!(mm(-0.000_04), "0");
        assert_eq!(mm(1e21), "1000000000000000000000");
        assert_eq!(mm(100.0), "100");
        assert_eq!(mm(-2.5), "-2.5");
        assert_eq!(fixed(1.0 / 3.0, 3), "0.333");
        assert_eq!(fixed(1200.0, 0), "1200");
    }

    #[test]
    fn people_measure_to_half_a_millimetre() {
        assert_eq!(measured(88.74), "88.5");
        assert_eq!(measured(88.76), "89");
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back_as_the_rounded_number(x in -1e5f64..1e5) {
            let back: f64 = mm(x).parse().expect("a number");
            prop_assert!((back - rounded(x)).abs() < 1e-10 && (back - x).abs() <= 0.500_001e-4);
        }
    }
}
