//! Section constructors → plane sections, on the measured face: x to the front, y to the left, millimetres.
//! `across` runs from side to side (y), `by` from front to back (x); the middle of a side faces front.

use super::errors;
use super::outline::{self, Leg};
use super::say::mm;
use super::sized::{self, Sized};
use crate::design::{Made, Value};
use crate::eval::Stop;
use crate::geom::section::{Curve, Element, Section};
use crate::geom::{Vec2, Vec3, tol};
use crate::num::{self, FRAC_PI_2, TAU};
use crate::span::Span;

/// A size that the section's words give: for the audit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Given {
    Around(f64),
    Across { direction: f64, mm: f64 },
}

/// A section and what was said of it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Lowered {
    pub section: Section,
    pub given: Vec<Given>,
    /// It has a corner of radius 0.
    pub sharp: bool,
    pub point: bool,
    /// How far it is moved along the axis from the place it is written at.
    pub up: f64,
    /// The way its plane faces, unit, when it leans.
    pub leans: Option<Vec3>,
}

/// The section of a constructor written at `span`.
///
/// # Errors
/// When its parts contradict each other or make no closed outline.
pub(super) fn lower(value: &Value, span: Span) -> Result<Lowered, Stop> {
    let Value::Made(made) = value else {
        return match value.word() {
            Some("point") => Ok(point()),
            _ => Err(Stop::Skip),
        };
    };
    let lowered = match made.name {
        "point" => Ok(point()),
        "circle" => circle(made, span),
        "oval" => oval(made, span),
        "rectangle" => rectangle(made, span),
        "polygon" => polygon(made, span),
        "outline" => outlined(made, span),
        other => Err(errors::not_built_yet(&format!("a section of the form `{other}`"), span).into()),
    };
    set(lowered?, made, span)
}

/// The section as it stands at its station: turned about the axis, then moved; its plane leans, and it does not.
fn set(lowered: Lowered, made: &Made, span: Span) -> Result<Lowered, Stop> {
    let spin = made.number("spin").unwrap_or(0.0);
    let toward = |name: &str| made.part(name).and_then(|v| if let Value::Made(m) = v { Some(m) } else { None });
    let way = |m: &Made, ahead: &str, behind: &str| m.number(ahead).unwrap_or(0.0) - m.number(behind).unwrap_or(0.0);
    let shift = toward("shift")
        .map_or(Vec3::ZERO, |m| Vec3::new(way(m, "front", "back"), way(m, "left", "right"), way(m, "up", "down")));
    let given = lowered.given.iter().map(|g| match *g {
        Given::Across { direction, mm } => Given::Across { direction: direction + spin, mm },
        Given::Around(mm) => Given::Around(mm),
    });
    let leans = match toward("tilt") {
        None => None,
        Some(m) => {
            if way(m, "up", "down") != 0.0 {
                return Err(errors::tilt_up(span).into());
            }
            let slope = [way(m, "front", "back"), way(m, "left", "right")];
            if let Some(&steep) = slope.iter().find(|a| a.abs() > STEEPEST) {
                return Err(errors::tilt_too_steep(steep, STEEPEST, span).into());
            }
            let normal = Vec3::new(num::tan(slope[0]), num::tan(slope[1]), 1.0).normalize();
            (slope != [0.0; 2]).then_some(normal)
        }
    };
    if leans.is_some() && lowered.point {
        return Err(errors::tilted_point(span).into());
    }
    Ok(Lowered {
        section: lowered.section.set(spin, shift.truncate()),
        given: given.collect(),
        up: shift.z,
        leans,
        ..lowered
    })
}

/// Planes that lean more are no cut across a wall, radians: 80 degrees.
const STEEPEST: f64 = 80.0 / 180.0 * num::PI;

fn point() -> Lowered {
    Lowered { section: Section::point(Vec2::ZERO), given: Vec::new(), sharp: false, point: true, up: 0.0, leans: None }
}

/// `across by by`: one number alone holds both ways.
pub(super) fn widths(made: &Made, name: &str) -> Option<(f64, f64)> {
    let size = made.part(name)?.size()?;
    let across = *size.first()?;
    Some((across, size.get(1).copied().unwrap_or(across)))
}

fn circle(made: &Made, span: Span) -> Result<Lowered, Stop> {
    let sized = sized::circle(made, "`across: 90 mm` or `around: 30 cm`", span)?;
    check_widths(made.name, &[sized.across], span)?;
    let section = Section::circle(0.5 * sized.across);
    Ok(Lowered { section, given: given(&sized), sharp: false, point: false, up: 0.0, leans: None })
}

fn oval(made: &Made, span: Span) -> Result<Lowered, Stop> {
    let power = made.number("fullness").unwrap_or(2.0);
    let sized = sized::oval(made, power, "`across: 105 mm by 70 mm`, or `around: 42 cm, ratio: 3:2`", span)?;
    check_widths(made.name, &[sized.across, sized.by], span)?;
    let section = Section::oval(0.5 * sized.by, 0.5 * sized.across, power);
    Ok(Lowered { section, given: given(&sized), sharp: false, point: false, up: 0.0, leans: None })
}

/// The girth where it rules, else the widths.
fn given(sized: &Sized) -> Vec<Given> {
    sized.girth.map_or_else(|| both_ways(sized.across, sized.by), |girth| vec![Given::Around(girth)])
}

fn both_ways(across: f64, by: f64) -> Vec<Given> {
    vec![Given::Across { direction: FRAC_PI_2, mm: across }, Given::Across { direction: 0.0, mm: by }]
}

fn check_widths(name: &str, sizes: &[f64], span: Span) -> Result<(), Stop> {
    match sizes.iter().find(|s| !(**s > 1e-3 && s.is_finite())) {
        Some(&s) => Err(errors::no_width(name, s, span).into()),
        None => Ok(()),
    }
}

fn rectangle(made: &Made, span: Span) -> Result<Lowered, Stop> {
    let (across, by) = widths(made, "across").ok_or(Stop::Skip)?;
    check_widths(made.name, &[across, by], span)?;
    let r = made.number("corner").unwrap_or(0.0);
    if 2.0 * r > across.min(by) + tol::SAME {
        return Err(errors::corner_too_large(
            r,
            0.5 * across.min(by),
            &format!("a side of {}", mm(across.min(by))),
            span,
        )
        .into());
    }
    let (x, y) = ((0.5 * by - r).max(0.0), (0.5 * across - r).max(0.0));
    let corners = [(x, y), (-x, y), (-x, -y), (x, -y)];
    let elements = corners
        .iter()
        .enumerate()
        .map(|(i, &(x, y))| Element {
            from: FRAC_PI_2 * i as f64,
            to: FRAC_PI_2 * (i + 1) as f64,
            curve: Curve::Round { centre: Vec2::new(x, y), radius: r },
        })
        .collect();
    let section = Section::new(elements).expect("four corners in order make a section");
    Ok(Lowered { section, given: both_ways(across, by), sharp: r < tol::SAME, point: false, up: 0.0, leans: None })
}

/// A regular polygon about the origin, counter-clockwise, and what was said of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Regular {
    pub sides: u32,
    /// From its middle to its flats.
    pub flat: f64,
    /// The radius of its corners.
    pub corner: f64,
}

impl Regular {
    /// Half of the angle at the middle over one side.
    pub(super) fn half(&self) -> f64 {
        num::PI / f64::from(self.sides)
    }

    /// The middle of the rounding of its corner that follows the side which faces `(1, 0)`, as far from the middle.
    pub(super) fn reach(&self) -> f64 {
        (self.flat - self.corner) / num::cos(self.half())
    }

    /// How far it reaches from side to side, and the other way: from the flat that faces there to what lies opposite.
    pub(super) fn widths(&self) -> (f64, f64) {
        let from_middle = |direction: f64| {
            let step = 2.0 * self.half();
            // The nearest corner's direction.
            let off = num::wrap(direction - self.half(), step).min(step - num::wrap(direction - self.half(), step));
            self.reach() * num::cos(off) + self.corner
        };
        let along = |direction: f64| from_middle(direction) + from_middle(direction + num::PI);
        (along(FRAC_PI_2), along(0.0))
    }
}

/// Reads a polygon; its sizes are those of its sharp corners.
pub(super) fn regular(made: &Made, span: Span) -> Result<Regular, Stop> {
    let both = made.part("across").is_some() && made.part("across_corners").is_some();
    if both {
        return Err(errors::flats_and_corners(span).into());
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count from 3 to 100")]
    let sides = made.number("sides").ok_or(Stop::Skip)?.round().clamp(3.0, 100.0) as u32;
    let cos = num::cos(num::PI / f64::from(sides));
    let flat = match (made.number("across"), made.number("across_corners")) {
        // Of an odd number a corner lies opposite each flat.
        (Some(d), _) if sides % 2 == 1 => d / (1.0 + 1.0 / cos),
        (Some(d), _) => 0.5 * d,
        (None, Some(d)) => 0.5 * d * cos,
        (None, None) => {
            return Err(errors::no_size(made.name, "`across: 160 mm` or `across_corners: 185 mm`", span).into());
        }
    };
    check_widths(made.name, &[2.0 * flat], span)?;
    let corner = made.number("corner").unwrap_or(0.0);
    if corner > flat + tol::SAME {
        let side = 2.0 * flat * num::tan(num::PI / f64::from(sides));
        return Err(errors::corner_too_large(corner, flat, &format!("a side of {}", mm(side)), span).into());
    }
    Ok(Regular { sides, flat, corner: corner.min(flat) })
}

fn polygon(made: &Made, span: Span) -> Result<Lowered, Stop> {
    let shape = regular(made, span)?;
    let (half, reach) = (shape.half(), shape.reach());
    let element = |i: u32| {
        let from = 2.0 * half * f64::from(i);
        let centre = crate::geom::unit(from + half) * reach;
        Element { from, to: from + 2.0 * half, curve: Curve::Round { centre, radius: shape.corner } }
    };
    let mut elements: Vec<Element> = (0..shape.sides).map(element).collect();
    if let Some(last) = elements.last_mut() {
        last.to = TAU;
    }
    let section = Section::new(elements).map_err(|_| Stop::from(errors::outline_broken(span)))?;
    let sharp = shape.corner < tol::SAME;
    let given = match made.number("across") {
        // From flat to flat, or to a corner that is there.
        Some(mm) if shape.sides % 2 == 0 || sharp => vec![Given::Across { direction: 0.0, mm }],
        Some(_) | None => {
            let (across, by) = shape.widths();
            both_ways(across, by)
        }
    };
    Ok(Lowered { section, given, sharp, point: false, up: 0.0, leans: None })
}

fn outlined(made: &Made, span: Span) -> Result<Lowered, Stop> {
    let path = outline_path(made, span)?;
    let section = outline::section(&path).map_err(|_| Stop::from(errors::outline_broken(span)))?;
    let (lo, hi) = path.bounds().ok_or(Stop::Skip)?;
    let sharp = section.elements().iter().any(
        |e| matches!(e.curve, Curve::Round { radius, .. } if radius.abs() < tol::SAME && (e.to - e.from).abs() > 1e-6),
    );
    Ok(Lowered { section, given: both_ways(hi.x - lo.x, hi.y - lo.y), sharp, point: false, up: 0.0, leans: None })
}

/// The closed chain of an `outline`, on paper.
pub(super) fn outline_path(made: &Made, span: Span) -> Result<crate::geom::path::Path, Stop> {
    let legs = legs(made).ok_or(Stop::Skip)?;
    let corner = made.number("corner").unwrap_or(0.0);
    outline::closed(&legs, corner, made.flag("mirror")).map_err(|f| errors::outline(f, corner, span).into())
}

fn legs(made: &Made) -> Option<Vec<Leg>> {
    let spot = |v: &Value| match v.size()?.as_slice() {
        [x, y] => Some(Vec2::new(*x, *y)),
        _ => None,
    };
    made.part("points")?
        .items()
        .iter()
        .map(|v| match v {
            Value::Made(arc) => Some(Leg { end: spot(arc.part("end")?)?, rise: Some(arc.number("rise")?) }),
            other => Some(Leg { end: spot(other)?, rise: None }),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::FileId;
    use crate::units::{Dim, Quantity};
    use std::collections::BTreeMap;

    fn q(x: f64, dim: Dim) -> Quantity {
        Quantity::new(x, dim).unwrap()
    }

    fn make(name: &'static str, parts: &[(&'static str, Value)]) -> Result<Lowered, Stop> {
        let span = Span::new(FileId::new(0), 0, 1);
        let parts: BTreeMap<_, _> = parts.iter().cloned().collect();
        lower(&Value::Made(Made { name, parts, span }), span)
    }

    fn length(x: f64) -> Value {
        Value::Quantity(q(x, Dim::LENGTH))
    }

    fn size(a: f64, b: f64) -> Value {
        Value::By(vec![q(a, Dim::LENGTH), q(b, Dim::LENGTH)])
    }

    fn code(r: Result<Lowered, Stop>) -> &'static str {
        match r {
            Err(Stop::Fault(d)) => d.code.name(),
            other => panic!("no fault: {other:?}"),
        }
    }

    #[test]
    fn an_oval_by_girth_and_ratio_has_the_axes_worked_out_for_the_flag_case() {
        // Own figures worked by hand for the flag case (FC1): 420 round at 3:2 is 158.8358 by 105.8905.
        let ratio = Value::Quantity(q(1.5, Dim::NONE));
        let oval = make("oval", &[("around", length(420.0)), ("ratio", ratio)]).unwrap();
        assert!((oval.section.width(FRAC_PI_2) - 158.8358).abs() < 5e-5, "{}", oval.section.width(FRAC_PI_2));
        assert!((oval.section.width(0.0) - 105.8905).abs() < 5e-5);
        assert!((oval.section.girth() - 420.0).abs() < 1e-6);
    }

    #[test]
    fn a_fuller_oval_by_girth_keeps_its_girth() {
        let number = |x| Value::Quantity(q(x, Dim::NONE));
        let parts = [("around", length(420.0)), ("ratio", number(1.5)), ("fullness", number(3.0))];
        let oval = make("oval", &parts).unwrap();
        assert!((oval.section.girth() - 420.0).abs() < 1e-6);
        assert!((oval.section.width(FRAC_PI_2) / oval.section.width(0.0) - 1.5).abs() < 1e-12);
    }

    #[test]
    fn a_side_of_a_rectangle_faces_front() {
        let r = make("rectangle", &[("across", size(160.0, 120.0)), ("corner", length(10.0))]).unwrap();
        assert!((r.section.width(FRAC_PI_2) - 160.0).abs() < 1e-12 && (r.section.width(0.0) - 120.0).abs() < 1e-12);
        assert!((r.section.girth() - (2.0 * (140.0 + 100.0) + TAU * 10.0)).abs() < 1e-9);
        assert!(!r.sharp);
        assert!(make("rectangle", &[("across", size(160.0, 120.0))]).unwrap().sharp);
    }

    #[test]
    fn a_polygon_has_its_flats_and_corners() {
        let count = |n: f64| ("sides", Value::Quantity(q(n, Dim::NONE)));
        // The lantern of B4: a hexagon 160 across its flats has sides of 160/√3 = 92.376.
        let six = make("polygon", &[count(6.0), ("across", length(160.0))]).unwrap();
        assert!(six.sharp && (six.section.girth() - 6.0 * 160.0 / 3f64.sqrt()).abs() < 1e-9);
        assert!((six.section.width(0.0) - 160.0).abs() < 1e-9, "a flat faces front");
        assert!((six.section.width(FRAC_PI_2) - 320.0 / 3f64.sqrt()).abs() < 1e-9, "corners to the sides");
        // A pentagon from flat to corner: its height is side · √(5 + 2√5)/2 (E. W. Weisstein, MathWorld, "Regular Pentagon").
        let five = make("polygon", &[count(5.0), ("across", length(100.0))]).unwrap();
        let side = 200.0 / (5.0 + 2.0 * 5f64.sqrt()).sqrt();
        assert!((five.section.girth() - 5.0 * side).abs() < 1e-9 && (five.section.width(0.0) - 100.0).abs() < 1e-9);
        // A square by its corners; an octagon with rounded ones loses 2r(tan 22.5° − π/8) of girth at each.
        let four = make("polygon", &[count(4.0), ("across_corners", length(100.0))]).unwrap();
        assert!((four.section.width(0.0) - 50.0 * 2f64.sqrt()).abs() < 1e-9);
        let eight = make("polygon", &[count(8.0), ("across", length(80.0)), ("corner", length(10.0))]).unwrap();
        let tan = 2f64.sqrt() - 1.0;
        assert!(!eight.sharp);
        assert!((eight.section.girth() - (640.0 * tan - 8.0 * 20.0 * (tan - num::PI / 8.0))).abs() < 1e-9);
        assert!((eight.section.width(0.0) - 80.0).abs() < 1e-9);
        let round = make("polygon", &[count(5.0), ("across", length(80.0)), ("corner", length(99.0))]);
        assert_eq!(code(round), "corner-too-large");
        let both = make("polygon", &[count(6.0), ("across", length(80.0)), ("across_corners", length(90.0))]);
        assert_eq!(code(both), "flats-and-corners");
        for n in [3.0, 5.0, 6.0, 7.0, 12.0] {
            for r in [0.0, 6.0] {
                let parts = [count(n), ("across_corners", length(90.0)), ("corner", length(r))];
                let made = make("polygon", &parts).unwrap();
                for g in &made.given {
                    let Given::Across { direction, mm } = *g else { panic!("{g:?}") };
                    assert!((made.section.width(direction) - mm).abs() < 1e-9, "{n} {r} {direction} {mm}");
                }
            }
        }
    }

    #[test]
    fn contradictions_are_refused() {
        assert_eq!(code(make("circle", &[])), "no-size");
        assert_eq!(code(make("oval", &[("around", length(300.0))])), "no-size");
        let corner = make("rectangle", &[("across", size(40.0, 20.0)), ("corner", length(11.0))]);
        assert_eq!(code(corner), "corner-too-large");
    }
}
