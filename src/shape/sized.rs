//! The size of a circle or an oval: by its widths, by its girth, or by both. Two measures of one body seldom agree to the
//! last millimetre; where they differ by more than a tape is read to, `trust` says which of them rules. The girth rules by
//! growing or shrinking both widths alike.

use super::errors::{self, Differ};
use super::section::widths;
use crate::design::{Made, Value};
use crate::eval::Stop;
use crate::geom::section::Section;
use crate::num::{self, PI};
use crate::schema;
use crate::span::Span;

/// A tape is read to a millimetre. Common practice, no source.
const TAPE: f64 = 1.0;
/// Of what is smaller round than ten centimetres, to a hundredth.
const SMALL: f64 = 0.01;
/// Widths beside a `ratio` agree with it to a thousandth.
const RATIO: f64 = 1e-3;

/// Side to side, the other way, and the girth where it rules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Sized {
    pub across: f64,
    pub by: f64,
    pub girth: Option<f64>,
}

/// A circle's diameter.
///
/// # Errors
/// When it has none, or girth and width differ and nothing says which rules.
pub(super) fn circle(made: &Made, example: &str, span: Span) -> Result<Sized, Stop> {
    let of_width = |d: f64| Sized { across: d, by: d, girth: None };
    let of_girth = |g: f64| Sized { girth: Some(g), ..of_width(g / PI) };
    Ok(match (made.number("across"), made.number("around")) {
        (Some(d), Some(girth)) => {
            let differ = Differ { widths: (d, d), of_widths: PI * d, girth, fullness: None };
            if around_rules(made, &differ, span)? { of_girth(girth) } else { of_width(d) }
        }
        (Some(d), None) => nothing_to_settle(made, span).map(|()| of_width(d))?,
        (None, Some(g)) => nothing_to_settle(made, span).map(|()| of_girth(g))?,
        (None, None) => return Err(errors::no_size(made.name, example, span).into()),
    })
}

/// An oval's widths.
///
/// # Errors
/// When it has no size, or what gives it contradicts itself.
pub(super) fn oval(made: &Made, power: f64, example: &str, span: Span) -> Result<Sized, Stop> {
    // A girth grows in proportion with the oval, so one oval gives the scale exactly.
    let round = |across: f64, by: f64, power: f64| Section::oval(0.5 * by, 0.5 * across, power).girth();
    let (across, around, ratio) = (widths(made, "across"), made.number("around"), made.number("ratio"));
    if let (Some((across, by)), Some(ratio)) = (across, ratio)
        && (across / (by * ratio) - 1.0).abs() > RATIO
    {
        return Err(errors::widths_and_ratio((across, by), ratio, span).into());
    }
    Ok(match (across, around, ratio) {
        (Some((across, by)), Some(girth), _) => {
            let of_widths = round(across, by, power);
            let differ =
                Differ { widths: (across, by), of_widths, girth, fullness: fuller((across, by), girth, &round) };
            if around_rules(made, &differ, span)? {
                let scale = girth / of_widths;
                Sized { across: across * scale, by: by * scale, girth: Some(girth) }
            } else {
                Sized { across, by, girth: None }
            }
        }
        (Some((across, by)), None, _) => {
            nothing_to_settle(made, span)?;
            Sized { across, by, girth: None }
        }
        (None, Some(girth), Some(ratio)) => {
            nothing_to_settle(made, span)?;
            let by = girth / round(ratio, 1.0, power);
            Sized { across: ratio * by, by, girth: Some(girth) }
        }
        (None, Some(_), None) => return Err(errors::no_size(made.name, "`ratio: 3:2` beside `around`", span).into()),
        (None, None, _) => return Err(errors::no_size(made.name, example, span).into()),
    })
}

/// Whether the girth rules where the widths are given too.
fn around_rules(made: &Made, differ: &Differ, span: Span) -> Result<bool, Stop> {
    match made.part("trust").and_then(Value::word) {
        Some(word) => Ok(word == "around"),
        None if (differ.girth - differ.of_widths).abs() <= TAPE.min(SMALL * differ.girth) => Ok(true),
        None => Err(errors::girth_and_width(made.name, differ, span).into()),
    }
}

/// `trust` is there to settle which of two measures rules.
fn nothing_to_settle(made: &Made, span: Span) -> Result<(), Stop> {
    if made.part("trust").is_none() {
        return Ok(());
    }
    Err(errors::nothing_to_settle(made.name, made.part("around").is_some(), span).into())
}

/// The fullness of the oval that has such widths and such a girth, when there is one.
fn fuller((across, by): (f64, f64), girth: f64, round: &dyn Fn(f64, f64, f64) -> f64) -> Option<f64> {
    let (least, most) = schema::FULLNESS;
    if girth < round(across, by, least) || girth > round(across, by, most) {
        return None;
    }
    num::root(least, most, 1e-6, |power| round(across, by, power) - girth)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::FileId;
    use crate::units::{Dim, Quantity};
    use std::collections::BTreeMap;

    fn made(parts: &[(&'static str, f64)], size: Option<(f64, f64)>, trust: Option<&'static str>) -> Made {
        let length = |x: f64| Quantity::new(x, Dim::LENGTH).unwrap();
        let mut all: BTreeMap<_, _> = parts.iter().map(|(n, x)| (*n, Value::Quantity(length(*x)))).collect();
        all.extend(size.map(|(a, b)| ("across", Value::By(vec![length(a), length(b)]))));
        all.extend(trust.map(|word| ("trust", Value::Word(word))));
        Made { name: "oval", parts: all, span: Span::new(FileId::new(0), 0, 1) }
    }

    fn told(got: Result<Sized, Stop>) -> String {
        match got {
            Err(Stop::Fault(d)) => format!("{} {} {} {:?}", d.code.name(), d.message, d.labels[0].text, d.help),
            other => panic!("no fault: {other:?}"),
        }
    }

    /// The bell warden's head (brief B7): tape 578, calipers 200 by 156, padding 10, wig 2. The brief works out that the two
    /// differ by 3 % as an ellipse, that the inside girth is 653.4, and that middle axes are about 236 by 191 at 6 mm of foam
    /// when the tape rules. Perimeter: S. Ramanujan, Quarterly Journal of Mathematics 45 (1914), p. 372, the second formula.
    #[test]
    fn the_warden_s_head_is_asked_about_and_settled() {
        let ramanujan = |a: f64, b: f64| {
            let h = ((a - b) / (a + b)).powi(2);
            PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
        };
        let bare = made(&[("around", 578.0)], Some((200.0, 156.0)), None);
        let text = told(oval(&bare, 2.0, "", bare.span));
        let round = ramanujan(100.0, 78.0);
        assert!(text.starts_with("girth-and-width"), "{text}");
        assert!(text.contains("differ by 3 %") && text.contains("578 mm"), "{text}");
        assert!(text.contains(&format!("{} mm", crate::eval::say::number((round * 10.0).round() / 10.0))), "{text}");
        let girth = 578.0 + 2.0 * PI * 12.0;
        assert!((girth - 653.4).abs() < 0.05);
        let worn = |trust| made(&[("around", girth)], Some((224.0, 180.0)), Some(trust));
        let tape = oval(&worn("around"), 2.0, "", bare.span).unwrap();
        assert!((tape.across + 6.0 - 236.0).abs() < 0.5 && (tape.by + 6.0 - 191.0).abs() < 0.5, "{tape:?}");
        assert!((ramanujan(0.5 * tape.across, 0.5 * tape.by) - girth).abs() < 1e-6);
        assert_eq!(tape.girth, Some(girth));
        let calipers = oval(&worn("across"), 2.0, "", bare.span).unwrap();
        assert_eq!(calipers, Sized { across: 224.0, by: 180.0, girth: None });
    }

    #[test]
    fn the_fullness_that_is_offered_has_both() {
        let bare = made(&[("around", 578.0)], Some((200.0, 156.0)), None);
        let text = told(oval(&bare, 2.0, "", bare.span));
        let power: f64 = text.split("`fullness: ").nth(1).unwrap().split('`').next().unwrap().parse().unwrap();
        assert!((Section::oval(78.0, 100.0, power).girth() - 578.0).abs() < 0.1, "{power}");
        // With it there is nothing to ask.
        assert!(oval(&bare, power, "", bare.span).is_ok());
        // A girth that is shorter than the ellipse's, or longer than the fullest's, is that of no oval so wide.
        for girth in [540.0, 660.0] {
            let none = made(&[("around", girth)], Some((200.0, 156.0)), None);
            assert!(!told(oval(&none, 2.0, "", none.span)).contains("fullness"));
        }
    }

    #[test]
    fn what_a_tape_cannot_tell_apart_is_not_asked_about() {
        let tube = |around: f64, d: f64| {
            let mut m = made(&[("around", around), ("across", d)], None, None);
            m.name = "circle";
            circle(&m, "", m.span)
        };
        let agreed = tube(100.0 * PI + 0.99, 100.0).unwrap();
        assert!((agreed.across - (100.0 + 0.99 / PI)).abs() < 1e-12, "the tape rules");
        assert!(told(tube(100.0 * PI + 1.01, 100.0)).starts_with("girth-and-width"));
        // An eyelet of 8 mm is no 26 mm round.
        assert!(tube(25.0, 8.0).is_ok());
        assert!(told(tube(26.0, 8.0)).starts_with("girth-and-width"));
    }

    #[test]
    fn what_contradicts_itself_or_settles_nothing_is_told() {
        let ratio = made(&[("ratio", 1.5)], Some((200.0, 156.0)), None);
        assert!(told(oval(&ratio, 2.0, "", ratio.span)).contains("1.2821"));
        let same = made(&[("ratio", 1.5)], Some((150.0, 100.0)), None);
        assert!(oval(&same, 2.0, "", same.span).is_ok());
        for parts in [vec![("around", 420.0), ("ratio", 1.5)], vec![]] {
            let size = parts.is_empty().then_some((90.0, 60.0));
            let one = made(&parts, size, Some("around"));
            assert!(told(oval(&one, 2.0, "", one.span)).contains("nothing to settle"));
        }
    }
}
