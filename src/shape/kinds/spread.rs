//! Several of the same on a wall or a cap: the fields of PLACE and REPEAT, and where each of them lies.

use super::super::{errors, measure};
use super::{place, posture};
use crate::design::Kind;
use crate::eval::{Fields, Stop};
use crate::geom::path::Seg;
use crate::geom::ring::contains;
use crate::geom::strip::{Rule, Strip};
use crate::geom::walk::Walk;
use crate::geom::{Vec2, Vec3, cross, inset, left_of};
use crate::num;
use crate::solid::{Leaf, Plate, Wall};
use crate::span::Span;

/// The fields of PLACE and REPEAT, reckoned.
#[derive(Clone)]
pub(super) struct Spread {
    /// Fitted on, or a part, and not cut in.
    pub fitted: bool,
    /// They are lines.
    pub drawn: bool,
    pub name: String,
    pub head: Span,
    pub level: Option<f64>,
    pub level_span: Span,
    pub facing: f64,
    pub facing_written: bool,
    pub count: f64,
    pub every: Option<f64>,
    pub along: bool,
    pub margin: Option<f64>,
    pub ends: Option<f64>,
    /// Turned on its face, left about as seen on it.
    pub spin: f64,
    pub spin_span: Span,
    /// Moved along its face, in the frame of the part it is on.
    pub shift: Vec3,
    pub shift_span: Span,
}

impl Spread {
    pub(super) fn read(fields: &mut Fields<'_>) -> Result<Self, Stop> {
        let thing = fields.thing();
        let (mut spin, mut shift) = (0.0, Vec3::ZERO);
        if matches!(thing.kind, Kind::Opening | Kind::Attachment) {
            let why =
                if thing.kind == Kind::Opening { "a hole is cut square to its sheet" } else { "it lies on the face" };
            posture::no_lean(fields, why)?;
        } else if thing.kind == Kind::Plate && posture::Posture::read(fields)?.leans() {
            return Err(errors::not_built_yet("a plate that leans", fields.span("tilt")).into());
        }
        if matches!(thing.kind, Kind::Opening | Kind::Attachment | Kind::Plate) {
            spin = fields.maybe_number("spin")?.unwrap_or(0.0);
            shift = posture::shift(fields)?;
        }
        Ok(Self {
            fitted: matches!(thing.kind, Kind::Attachment | Kind::Plate | Kind::Mark),
            drawn: thing.kind == Kind::Mark,
            name: thing.name.to_string(),
            head: thing.head,
            level: fields.maybe_number("level")?,
            level_span: fields.span("level"),
            facing: fields.maybe_direction("facing")?.unwrap_or(0.0),
            facing_written: fields.written("facing"),
            count: fields.maybe_number("count")?.unwrap_or(1.0),
            every: fields.maybe_number("every")?,
            along: fields.maybe_word("spread")? == Some("along"),
            margin: fields.maybe_number("margin")?,
            ends: fields.maybe_number("ends")?,
            spin,
            spin_span: fields.span("spin"),
            shift,
            shift_span: fields.span("shift"),
        })
    }

    /// The strip, rule and height of each on a wall.
    ///
    /// # Errors
    /// When one has no room.
    pub(super) fn on_wall(&self, wall: &Wall, tall: f64) -> Result<Vec<(usize, Rule, f64)>, Stop> {
        let at = |level: f64| -> Result<(usize, Rule, f64), Stop> {
            let level = level + self.shift.z;
            if !(0.0..=tall).contains(&level) {
                return Err(errors::off_the_wall(&self.name, level, tall, self.level_span).into());
            }
            let strip = wall.strips.iter().position(|s| level <= s.heights().1 + 1e-9).unwrap_or(wall.strips.len() - 1);
            let rule = measure::facing(&wall.strips[strip], self.facing);
            let rule = rule.ok_or_else(|| errors::outline_broken(self.head))?;
            Ok((strip, self.along(&wall.strips[strip], &rule, level)?, level))
        };
        if self.along {
            return self.up(tall)?.into_iter().map(at).collect();
        }
        if let Some(margin) = self.margin
            && self.level.is_none()
        {
            return Err(errors::margin_or_level(margin, self.head).into());
        }
        let level = self.level.unwrap_or(0.5 * tall);
        let (strip, first, level) = at(level)?;
        if self.count <= 1.0 && self.every.is_none() {
            return Ok(vec![(strip, first, level)]);
        }
        let surface = &wall.strips[strip];
        let walk = Walk::new(surface);
        let girth = walk.around(level, 0.0);
        let n = self.every.map_or(self.count, |p| (girth / p).ceil()).max(1.0);
        self.bounded(n, girth)?;
        let start = measure::along_to(surface, level, 0.0, &first);
        let mut list = vec![(strip, first, level)];
        let mut i = 1.0;
        while i < n {
            let s = num::wrap(start + girth * i / n, girth);
            list.push((strip, walk.rule(walk.at_length(s, level, 0.0)), level));
            i += 1.0;
        }
        Ok(list)
    }

    /// Refuses more than anyone cuts, fits or draws in one row of this length.
    pub(super) fn bounded(&self, n: f64, room: f64) -> Result<(), Stop> {
        let most = if self.drawn { ((room / APART).floor() + 1.0).min(MOST_FITTED) } else { MOST_FITTED };
        if self.fitted && n > most {
            return Err(errors::too_many_fitted(n, most, self.head).into());
        }
        if n <= MOST { Ok(()) } else { Err(errors::too_many_holes(n, MOST, self.head).into()) }
    }

    /// The levels of several, one above the other.
    ///
    /// # Errors
    /// When they have no room.
    pub(super) fn up(&self, tall: f64) -> Result<Vec<f64>, Stop> {
        let ends = self.ends.or(self.margin);
        let free = tall - 2.0 * ends.unwrap_or(0.0);
        if free < 0.0 {
            return Err(errors::no_room_between_ends(ends.unwrap_or(0.0), tall, self.head).into());
        }
        let n = self.every.map_or(self.count, |p| (free / p).ceil() + if ends.is_some() { 1.0 } else { 0.0 }).max(1.0);
        self.bounded(n, free)?;
        let mut list = Vec::new();
        let mut i = 0.0;
        while i < n {
            // With ends given the first and last lie on them; else each has its share of the wall.
            list.push(match ends {
                Some(e) if n > 1.0 => e + free * i / (n - 1.0),
                _ => tall * (i + 0.5) / n,
            });
            i += 1.0;
        }
        Ok(list)
    }

    /// The place of each on a plate, and by how much its up is turned from the plate's: at its level in the middle of the
    /// width, or along the edge from above the middle, each with its up out over the edge. All are moved by the `shift` in the
    /// plate's own frame, whose front is where it faces.
    ///
    /// # Errors
    /// When one lies past the edge, or it is asked for in a way that a plate does not have.
    pub(super) fn on_leaf(&self, leaf: &Leaf) -> Result<Vec<(Vec2, f64)>, Stop> {
        let (lo, hi) = leaf.outline.bounds().ok_or(Stop::Skip)?;
        if self.shift.x != 0.0 {
            let help = "say only `left`, `right`, `up` or `down`: a plate's front is where it faces";
            return Err(errors::moved_off_face(&self.name, self.shift.x, help, self.shift_span).into());
        }
        if self.facing_written {
            let d = errors::not_built_yet("what faces a direction on a plate", self.head);
            let help = "leave `facing` out: `shift: toward(left: 20 mm)` moves it from the middle";
            return Err(d.with_help(help).into());
        }
        let middle = 0.5 * (lo.x + hi.x);
        let mut places = match self.margin {
            Some(margin) if !self.along => {
                if self.level.is_some() {
                    return Err(errors::two_places(&self.name, self.level_span).into());
                }
                self.along_the_edge(leaf, middle, margin)?
            }
            _ => self.up_a_plate(hi.y - lo.y)?.iter().map(|level| (Vec2::new(middle, lo.y + level), 0.0)).collect(),
        };
        let by = Vec2::new(self.shift.y, self.shift.z);
        places.iter_mut().for_each(|p| p.0 += by);
        if (self.fitted || by != Vec2::ZERO) && places.iter().any(|p| !contains(&leaf.outline, p.0)) {
            let span = if by == Vec2::ZERO { self.head } else { self.shift_span };
            return Err(errors::beside_the_plate(&self.name, span).into());
        }
        Ok(places)
    }

    /// Places along a plate's edge, so far in from it: the first above the middle, the others left about.
    fn along_the_edge(&self, leaf: &Leaf, middle: f64, margin: f64) -> Result<Vec<(Vec2, f64)>, Stop> {
        let line = inset::inset(&leaf.outline, margin).ok_or_else(|| {
            errors::row_too_far_in(&self.name, margin, inset::furthest(&leaf.outline, margin), self.head)
        })?;
        let long = line.length();
        let n = self.every.map_or(self.count, |p| (long / p).ceil()).max(1.0);
        self.bounded(n, long)?;
        let (lo, hi) = line.bounds().ok_or(Stop::Skip)?;
        let upright = Seg::line(Vec2::new(middle, lo.y - 1.0), Vec2::new(middle, hi.y + 1.0));
        let top = cross::along(&line, &upright).into_iter().max_by(|a, b| a.1.at.y.total_cmp(&b.1.at.y));
        let (segment, there) = top.ok_or(Stop::Skip)?;
        let before = line.segs[..segment].iter().map(|s| s.length()).collect::<num::Sum>().value();
        let first = before + line.segs[segment].part(0.0, there.first).length();
        let mut out = Vec::new();
        let mut i = 0.0;
        while i < n {
            let (at, way) = line.at_length(num::wrap(first + long * i / n, long)).ok_or(Stop::Skip)?;
            // Out over the edge lies to the right of the way round.
            out.push((at, num::atan2(-way.y, -way.x)));
            i += 1.0;
        }
        Ok(out)
    }

    /// The level of each up a plate.
    fn up_a_plate(&self, tall: f64) -> Result<Vec<f64>, Stop> {
        if self.along {
            return self.up(tall);
        }
        if self.count > 1.0 || self.every.is_some() {
            return Err(errors::needs_margin(&self.name, "plate", self.head).into());
        }
        if self.ends.is_some() {
            let d = errors::not_built_yet("`ends` of one on a plate", self.head);
            return Err(d.with_help("say how far up it lies: `level: 20 mm`").into());
        }
        let level = self.level.unwrap_or(0.5 * tall);
        if !(0.0..=tall).contains(&level) {
            return Err(errors::off_the_wall(&self.name, level, tall, self.level_span).into());
        }
        Ok(vec![level])
    }

    /// A rule moved round the wall by the `shift`, by a tape on the measured face at a level.
    fn along(&self, strip: &Strip, rule: &Rule, level: f64) -> Result<Rule, Stop> {
        let by = self.shift.truncate();
        if by == Vec2::ZERO {
            return Ok(*rule);
        }
        let (along, out) = (by.dot(left_of(rule.facing)), by.dot(rule.facing));
        if out.abs() > along.abs() {
            let help = "move it to a side along which the wall runs there, or turn it round the wall with `facing`";
            return Err(errors::moved_off_face(&self.name, out, help, self.shift_span).into());
        }
        let walk = Walk::new(strip);
        let from = measure::along_to(strip, level, 0.0, rule);
        let to = num::wrap(from + by.length() * along.signum(), walk.around(level, 0.0));
        Ok(walk.rule(walk.at_length(to, level, 0.0)))
    }

    /// What hangs on a wire is not turned.
    ///
    /// # Errors
    /// `cannot-lean` at the field.
    pub(super) fn no_spin(&self) -> Result<(), Stop> {
        if self.spin == 0.0 { Ok(()) } else { Err(errors::hangs_straight(&self.name, self.spin_span).into()) }
    }

    /// The middle of each on a cap, and the direction their up points to where they are set round its edge.
    ///
    /// # Errors
    /// When it is not said where they lie.
    pub(super) fn on_plate(&self, plate: &Plate) -> Result<Vec<(Vec2, Option<f64>)>, Stop> {
        if self.level.is_some() {
            return Err(errors::level_on_cap(self.level_span).into());
        }
        if self.shift.z != 0.0 {
            let help = "say only `front`, `back`, `left` or `right`: on a flat there is no up";
            return Err(errors::moved_off_face(&self.name, self.shift.z, help, self.shift_span).into());
        }
        let (strip, z, d) = (&plate.strip, plate.show, plate.depth);
        let Some(margin) = self.margin else {
            if self.facing_written || self.count > 1.0 || self.every.is_some() {
                return Err(errors::needs_margin(&self.name, "cap", self.head).into());
            }
            return Ok(vec![(place::middle(plate) + self.shift.truncate(), None)]);
        };
        let walk = Walk::new(strip);
        let girth = walk.around(z, d);
        let n = self.every.map_or(self.count, |p| (girth / p).ceil()).max(1.0);
        self.bounded(n, girth)?;
        let first = measure::facing(strip, self.facing).ok_or_else(|| errors::outline_broken(self.head))?;
        let start = measure::along_to(strip, z, d, &first);
        let mut list = Vec::new();
        let mut i = 0.0;
        while i < n {
            let rule =
                if i == 0.0 { first } else { walk.rule(walk.at_length(num::wrap(start + girth * i / n, girth), z, d)) };
            let p = rule.point(z, d);
            list.push((Vec2::new(p.x, p.y) - rule.facing * margin + self.shift.truncate(), Some(rule.phi)));
            i += 1.0;
        }
        Ok(list)
    }
}

/// As many holes as the language lets a file have things.
const MOST: f64 = 10_000.0;

/// And as many attachments and lines as a row has laces: each is marked and lettered, and may be weighed and have a part
/// behind it.
pub(super) const MOST_FITTED: f64 = 1_000.0;

/// Lines nearer to each other than this are one under a pen or a blade, mm (common practice, no source).
const APART: f64 = 1.0;
