//! The one way in which emitters write numbers: fixed decimals, trailing zeros cut, no `-0`, no exponent. Does not
//! decide what a number means.

use crate::solid::Show;

/// An inch, mm (exact by definition: International Yard and Pound Agreement 1959).
pub const INCH: f64 = 25.4;

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
    let mut text = String::new();
    put(&mut text, x, decimals);
    text
}

/// The same at the end of a text.
pub fn put(text: &mut String, x: f64, decimals: usize) {
    if !x.is_finite() {
        text.push_str("nan");
        return;
    }
    if plainly(text, x, decimals) {
        return;
    }
    let mut long = format!("{x:.decimals$}");
    if long.contains('.') {
        let kept = long.trim_end_matches('0').trim_end_matches('.').len();
        long.truncate(kept);
    }
    text.push_str(if long == "-0" { "0" } else { &long });
}

/// The same for nearly every number, as a whole number of its last decimal. Nothing is written near half a decimal, where the
/// product's own rounding (2⁻⁵³ of it, here less than 2e-6) might choose the wrong side, and for large numbers.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss,
    reason = "far below 2⁵³ and not negative"
)]
fn plainly(text: &mut String, x: f64, decimals: usize) -> bool {
    const SCALES: [f64; 7] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];
    let Some(scale) = SCALES.get(decimals) else { return false };
    let scaled = x.abs() * scale;
    if scaled >= 1e10 {
        return false;
    }
    let below = scaled as u64;
    let share = scaled - below as f64;
    if (share - 0.5).abs() < 1e-5 {
        return false;
    }
    let mut rest = if share > 0.5 { below + 1 } else { below };
    if rest == 0 {
        text.push('0');
        return true;
    }
    let mut point = decimals;
    while point > 0 && rest.is_multiple_of(10) {
        (rest, point) = (rest / 10, point - 1);
    }
    // At most eleven digits, a point, a nought before it and a sign.
    let mut digits = [0u8; 24];
    let mut at = digits.len();
    let mut written = 0;
    let mut put = |byte: u8| {
        at -= 1;
        digits[at] = byte;
    };
    while rest > 0 || written <= point {
        if written == point && point > 0 {
            put(b'.');
        }
        put(b'0' + (rest % 10) as u8);
        (rest, written) = (rest / 10, written + 1);
    }
    if x < 0.0 {
        put(b'-');
    }
    text.push_str(str::from_utf8(&digits[at..]).unwrap_or_default());
    true
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

/// A length as a person measures it, with its unit: to half a millimetre, or to a sixteenth of an inch.
#[must_use]
pub fn length(x: f64, show: Show) -> String {
    match show {
        Show::Millimetres => format!("{} mm", measured(x)),
        Show::Inches => format!("{} in", sixteenths(x)),
    }
}

/// The same without its unit, for tables; a fraction is not broken from its inches at the end of a line.
#[must_use]
pub fn figure(x: f64, show: Show) -> String {
    match show {
        Show::Millimetres => measured(x),
        Show::Inches => sixteenths(x).replace(' ', "\u{a0}"),
    }
}

/// What the figures of a table are.
#[must_use]
pub fn unit(show: Show) -> &'static str {
    match show {
        Show::Millimetres => "mm",
        Show::Inches => "inches",
    }
}

/// A length of goods with its unit: a thickness is not to be rounded to half a millimetre.
#[must_use]
pub fn thickness(x: f64, show: Show) -> String {
    match show {
        Show::Millimetres => format!("{} mm", fixed(x, 2)),
        // A sheet of 2 mm is no 1/16 in: two decimals of an inch tell sheets apart.
        Show::Inches => format!("{} in", fixed(x / INCH, 2)),
    }
}

/// `12 3/16`, `7/8`, `-1/2`, `0`.
#[expect(clippy::cast_possible_truncation, reason = "lengths are far below 2^60 sixteenths")]
fn sixteenths(x: f64) -> String {
    let n = (x / INCH * 16.0).round() as i64;
    let sign = if n < 0 { "-" } else { "" };
    let (whole, mut part, mut of) = (n.abs() / 16, n.abs() % 16, 16);
    while part > 0 && part % 2 == 0 {
        (part, of) = (part / 2, of / 2);
    }
    match (whole, part) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{part}/{of}"),
        _ => format!("{sign}{whole} {part}/{of}"),
    }
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

    #[test]
    fn inches_are_read_off_a_rule_in_sixteenths() {
        let inches = |x: f64| length(x * INCH, Show::Inches);
        assert_eq!(inches(4.0), "4 in");
        assert_eq!(inches(3.5), "3 1/2 in");
        assert_eq!(inches(0.8125), "13/16 in");
        assert_eq!(inches(2.0 + 0.49 / 16.0), "2 in");
        assert_eq!(inches(2.0 + 0.51 / 16.0), "2 1/16 in");
        assert_eq!(inches(-0.25), "-1/4 in");
        assert_eq!(length(88.76, Show::Millimetres), "89 mm");
        assert_eq!(thickness(5.0, Show::Millimetres), "5 mm");
        assert_eq!(thickness(5.0, Show::Inches), "0.2 in");
    }

    proptest! {
        #[test]
        fn sixteenths_are_never_further_off_than_half_of_one(x in -5e3f64..5e3) {
            let text = figure(x, Show::Inches);
            let (sign, text) = text.strip_prefix('-').map_or((1.0, text.as_str()), |t| (-1.0, t));
            let share = |t: &str| t.split_once('/').map_or_else(
                || t.parse::<f64>().expect("a number"),
                |(a, b)| a.parse::<f64>().expect("a number") / b.parse::<f64>().expect("a number"),
            );
            let read: f64 = text.split('\u{a0}').map(share).sum();
            prop_assert!((sign * read * INCH - x).abs() <= 0.5 / 16.0 * INCH + 1e-9);
        }

        #[test]
        fn numbers_are_rounded_as_the_standard_library_does(n in -3_000_000i64..3_000_000, x in -1e6f64..1e6, d in 0usize..7) {
            // Any number, and such as lie at or beside half of a decimal.
            let half = n as f64 / 2000.0;
            for x in [x, half, half.next_up(), half.next_down(), x * 1e-6, x * 1e6] {
                let long = format!("{x:.d$}");
                let cut = if d > 0 { long.trim_end_matches('0').trim_end_matches('.') } else { &long };
                prop_assert_eq!(fixed(x, d), if cut == "-0" { "0" } else { cut });
            }
        }

        #[test]
        fn what_is_written_reads_back_as_the_rounded_number(x in -1e5f64..1e5) {
            let back: f64 = mm(x).parse().expect("a number");
            prop_assert!((back - rounded(x)).abs() < 1e-10 && (back - x).abs() <= 0.500_001e-4);
        }
    }
}
