//! `shift`, `tilt` and `spin`: how a part leaves the place it would stand in. It is moved first, then leans about the
//! middle of its foot, then is turned about its own axis, which leans with it. Words of direction are those of the
//! frame it would stand in, so a part that is turned leans and moves the same way as one that is not.

use super::super::errors;
use super::super::known::Brim;
use crate::design::{Made, Value};
use crate::eval::{Fields, Stop};
use crate::geom::strip::Strip;
use crate::geom::{Vec3, unit};
use crate::num::{self, PI};
use crate::shape::measure;
use crate::solid::Frame;
use crate::span::Span;

/// Two leans at once are the slopes of one axis, which at a right angle has none: 80 degrees, as for a station.
const STEEPEST: f64 = 80.0 / 180.0 * PI;

/// What the three fields say.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Posture {
    pub shift: Vec3,
    /// The angle between the axis and where it would stand, and the direction it leans toward.
    lean: f64,
    toward: f64,
    pub spin: f64,
}

impl Posture {
    pub(super) fn read(fields: &mut Fields<'_>) -> Result<Self, Stop> {
        let shift = shift(fields)?;
        let spin = fields.maybe_number("spin")?.unwrap_or(0.0);
        let (lean, toward) = match fields.maybe_made("tilt")? {
            Some(m) => lean(&m, fields.span("tilt"))?,
            None => (0.0, 0.0),
        };
        Ok(Self { shift, lean, toward, spin })
    }

    pub(super) fn leans(&self) -> bool {
        self.lean != 0.0
    }

    /// The frame of a part that would stand in `frame`.
    pub(super) fn stand(&self, frame: Frame) -> Frame {
        self.turned(Frame { origin: frame.apply(self.shift), ..frame })
    }

    /// Leaning and turned, about the frame's own origin.
    fn turned(&self, frame: Frame) -> Frame {
        let leans = if self.lean == 0.0 { frame } else { frame.turned(self.lean, frame.toward(self.toward)) };
        if self.spin == 0.0 {
            return leans;
        }
        let (s, c) = num::sin_cos(self.spin);
        Frame { x: leans.x * c + leans.y * s, y: leans.y * c - leans.x * s, ..leans }
    }

    /// How far the face at a depth of a wall reaches toward `facing` from the middle of its foot, as it leans and is
    /// turned there: a convex section's farthest point along a direction has its normal in that direction.
    pub(super) fn reach(&self, strips: &[Strip], (depth, brim): (f64, Option<Brim>), facing: f64) -> f64 {
        let way = self.turned(Frame::WORLD).direction_seen(unit(facing).extend(0.0));
        let level = way.truncate().length();
        let phi = if level < 1e-12 { 0.0 } else { num::atan2(way.y, way.x) };
        let at = |(s, z): (&Strip, f64)| measure::facing(s, phi).map(|r| level * r.support_at(z, depth).0 + way.z * z);
        let ends = strips.iter().flat_map(|s| [(s, s.heights().0), (s, s.heights().1)]);
        let brim = brim.zip(strips.first()).and_then(|(b, foot)| {
            let support = measure::facing(foot, phi)?.support_at(b.z, b.depth).0;
            let low = foot.heights().0;
            Some(level * (support + b.wide) + (way.z * low).max(way.z * (low + b.thick)))
        });
        ends.filter_map(at).chain(brim).fold(0.0, f64::max)
    }
}

/// A `shift`, in the frame the part would stand in.
pub(super) fn shift(fields: &mut Fields<'_>) -> Result<Vec3, Stop> {
    Ok(fields.maybe_made("shift")?.as_ref().map_or(Vec3::ZERO, toward))
}

/// The lengths of a `toward`.
pub(super) fn toward(made: &Made) -> Vec3 {
    Vec3::new(way(made, "front", "back"), way(made, "left", "right"), way(made, "up", "down"))
}

fn way(made: &Made, ahead: &str, behind: &str) -> f64 {
    made.number(ahead).unwrap_or(0.0) - made.number(behind).unwrap_or(0.0)
}

fn lean(made: &Made, span: Span) -> Result<(f64, f64), Stop> {
    if way(made, "up", "down") != 0.0 {
        return Err(errors::leans_up(span).into());
    }
    let (front, left) = (way(made, "front", "back"), way(made, "left", "right"));
    Ok(match (front != 0.0, left != 0.0) {
        (false, false) => (0.0, 0.0),
        (true, false) => (front, 0.0),
        (false, true) => (left, num::FRAC_PI_2),
        (true, true) => {
            if let Some(steep) = [front, left].into_iter().find(|a| a.abs() > STEEPEST) {
                return Err(errors::leans_two_ways(steep, STEEPEST, span).into());
            }
            let (f, l) = (num::tan(front), num::tan(left));
            (num::atan((f * f + l * l).sqrt()), num::atan2(l, f))
        }
    })
}

/// Refuses a lean of what is cut into or fixed flat on a sheet.
///
/// # Errors
/// `cannot-lean` at the field.
pub(super) fn no_lean(fields: &mut Fields<'_>, why: &str) -> Result<(), Stop> {
    match fields.maybe("tilt")? {
        Some(Value::Made(m))
            if ["front", "back", "left", "right", "up", "down"]
                .iter()
                .any(|w| m.number(w).is_some_and(|a| a != 0.0)) =>
        {
            Err(errors::lies_flat(&fields.thing().name.to_string(), why, fields.span("tilt")).into())
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::section::Section;

    fn near(a: Vec3, b: Vec3) {
        assert!((a - b).length() < 1e-12, "{a:?} {b:?}");
    }

    #[test]
    fn a_lean_is_a_rotation_in_its_own_plane() {
        let p = Posture { lean: 30f64.to_radians(), ..Posture::default() };
        let f = p.stand(Frame::WORLD);
        near(f.z, Vec3::new(0.5, 0.0, 0.75f64.sqrt()));
        near(f.x, Vec3::new(0.75f64.sqrt(), 0.0, -0.5));
        near(f.y, Vec3::Y);
    }

    #[test]
    fn a_part_is_moved_then_leans_then_turns() {
        // Moved 10 to the left, leaning a right angle to the front, turned a right angle about what is then its axis.
        let p = Posture { shift: Vec3::Y * 10.0, lean: num::FRAC_PI_2, toward: 0.0, spin: num::FRAC_PI_2 };
        let f = p.stand(Frame { origin: Vec3::Z, ..Frame::WORLD });
        near(f.origin, Vec3::new(0.0, 10.0, 1.0));
        near(f.z, Vec3::X);
        near(f.x, Vec3::Y);
        near(f.y, Vec3::Z);
    }

    #[test]
    fn a_leaning_wall_reaches_as_far_as_its_top_does() {
        // Radius 20, 100 tall, leaning 30 degrees to the front: 100 sin 30° + 20 cos 30°; to the back 20 cos 30°.
        let tube = Strip::new(&Section::circle(20.0), 0.0, &Section::circle(20.0), 100.0).expect("a wall");
        let p = Posture { lean: 30f64.to_radians(), ..Posture::default() };
        let cos = 0.75f64.sqrt();
        assert!((p.reach(std::slice::from_ref(&tube), (0.0, None), 0.0) - (50.0 + 20.0 * cos)).abs() < 1e-9);
        assert!((p.reach(&[tube], (0.0, None), PI) - 20.0 * cos).abs() < 1e-9);
    }
}
