//! The `spine` field: what it says, as steps along the axis.

use super::super::super::{Shaper, errors};
use crate::design::{Made, Value};
use crate::eval::Stop;
use crate::geom::spine::{self, Piece, Step};
use crate::geom::{Vec3, angle};
use crate::ids::ThingId;
use crate::num::{self, PI, TAU};
use crate::span::Span;

/// A joint that turns by more than this is no mitre any more, radians: a right angle and a little.
const SHARPEST: f64 = 91.0 / 180.0 * PI;
/// Points of a path nearer than this are one, mm.
const NEAR: f64 = 1.0;

/// The line that stations stand along.
#[derive(Clone, Debug, PartialEq)]
pub(in super::super) enum Spine {
    /// Straight, of this length where it is given.
    Straight(Option<f64>),
    Bent(Bent),
}

impl Spine {
    /// Its length, when it is given.
    pub(in super::super) fn long(&self) -> Option<f64> {
        match self {
            Self::Straight(long) => *long,
            Self::Bent(bent) => bent.long(),
        }
    }
}

/// A spine that bends.
#[derive(Clone, Debug, PartialEq)]
pub(in super::super) struct Bent {
    stretches: Vec<Stretch>,
    pub span: Span,
    /// Cut from one straight tube, each second piece turned half round.
    pub flipped: bool,
    /// It closes on itself.
    pub closed: bool,
}

#[derive(Clone, Debug, PartialEq)]
enum Stretch {
    Straight(Option<f64>),
    /// `end` is the length from its start to the first cut, `each` from cut to cut.
    Bend {
        angle: f64,
        facing: f64,
        joints: u32,
        end: f64,
        each: f64,
    },
    Path(Vec<Vec3>),
}

/// A bend of a mitred spine of one radius, for what a message says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super) struct Arc {
    pub radius: f64,
    pub half: f64,
}

impl Bent {
    /// A spine that does not bend, for rings whose planes lean.
    pub(in super::super) fn straight(long: Option<f64>, span: Span) -> Self {
        Self { stretches: vec![Stretch::Straight(long)], span, flipped: false, closed: false }
    }

    pub(super) fn is_straight(&self) -> bool {
        self.stretches.iter().all(|s| matches!(s, Stretch::Straight(_)))
    }

    /// Its length, when all of it is given.
    pub(in super::super) fn long(&self) -> Option<f64> {
        self.stretches.iter().map(Stretch::long).sum()
    }

    /// Its length when its one open stretch is as long as leaves `whole` for all.
    pub(in super::super) fn with_open(&self, whole: f64) -> Result<Self, Stop> {
        let known: f64 = self.stretches.iter().filter_map(Stretch::long).sum();
        let open = self.stretches.iter().filter(|s| s.long().is_none()).count();
        let mut out = self.clone();
        match open {
            0 if (known - whole).abs() > 0.01 => Err(errors::off_the_spine(whole, known, self.span).into()),
            0 => Ok(out),
            1 if whole - known < NEAR => Err(errors::off_the_spine(whole, known, self.span).into()),
            1 => {
                for s in &mut out.stretches {
                    if let Stretch::Straight(long @ None) = s {
                        *long = Some(whole - known);
                    }
                }
                Ok(out)
            }
            _ => Err(errors::spine_left_open(self.span).into()),
        }
    }

    /// Its straight pieces, from cut to cut.
    pub(in super::super) fn pieces(&self) -> Vec<Piece> {
        if let [Stretch::Path(points)] = self.stretches.as_slice() {
            return spine::through(points);
        }
        spine::pieces(&self.steps())
    }

    fn steps(&self) -> Vec<Step> {
        let mut steps = Vec::new();
        for s in &self.stretches {
            match *s {
                Stretch::Straight(long) => steps.push(Step::Ahead(long.unwrap_or(0.0))),
                Stretch::Bend { angle, facing, joints, end, each } => {
                    let turn = angle / f64::from(joints);
                    if end > 0.0 {
                        steps.push(Step::Ahead(end));
                    }
                    for i in 0..joints {
                        steps.push(Step::Turn { angle: turn, facing });
                        let last = i + 1 == joints;
                        if !last {
                            steps.push(Step::Ahead(each));
                        } else if end > 0.0 {
                            steps.push(Step::Ahead(end));
                        }
                    }
                }
                Stretch::Path(_) => {}
            }
        }
        if self.closed {
            // A ring begins with a whole piece and turns once more behind its last one.
            let (turn, each) = match self.stretches.as_slice() {
                [Stretch::Bend { angle, facing, joints, each, .. }] => {
                    (Step::Turn { angle: angle / f64::from(*joints), facing: *facing }, Step::Ahead(*each))
                }
                _ => return steps,
            };
            let n = steps.iter().filter(|s| matches!(s, Step::Turn { .. })).count();
            return (0..n).flat_map(|_| [each, turn]).collect();
        }
        steps
    }

    /// The bend of a spine that has one, mitred about an arc.
    pub(in super::super) fn arc(&self) -> Option<Arc> {
        let mut bends = self.stretches.iter().filter_map(|s| match *s {
            Stretch::Bend { angle, joints, each, .. } if !self.flipped => {
                let half = 0.5 * angle / f64::from(joints);
                Some(Arc { radius: 0.5 * each / num::tan(half), half })
            }
            _ => None,
        });
        bends.next().filter(|_| bends.next().is_none())
    }
}

impl Stretch {
    fn long(&self) -> Option<f64> {
        match self {
            Self::Straight(long) => *long,
            Self::Bend { joints, end, each, .. } => Some(2.0 * end + f64::from(joints - 1) * each),
            Self::Path(points) => Some(points.windows(2).map(|w| (w[1] - w[0]).length()).sum()),
        }
    }
}

/// Reads the spine of a shell.
pub(in super::super) fn read(shaper: &mut Shaper<'_>, id: ThingId) -> Result<Spine, Stop> {
    let (value, span) = shaper.read(id, None, |fields| Ok((fields.maybe("spine")?, fields.span("spine"))))?;
    let Some(value) = value else { return Ok(Spine::Straight(None)) };
    let mut stretches = Vec::new();
    let (mut mitred, mut flipped, mut closed) = (false, false, false);
    for piece in value.items() {
        match piece {
            Value::Made(m) if m.name == "straight" => stretches.push(Stretch::Straight(m.number("long"))),
            Value::Made(m) if m.name == "bend" => {
                let turned_over = m.word("style") == Some("flipped");
                (mitred, flipped) = (mitred || !turned_over, flipped || turned_over);
                stretches.push(bend(m, turned_over, span)?);
            }
            Value::Made(m) if m.name == "ring" => {
                closed = true;
                mitred = true;
                let (radius, joints) = (m.number("radius").ok_or(Stop::Skip)?, count(m)?.max(3));
                let half = PI / f64::from(joints);
                let each = 2.0 * radius * num::tan(half);
                // All its pieces are whole: the length from cut to cut goes once more round than a bend's.
                stretches.push(Stretch::Bend { angle: TAU, facing: 0.0, joints, end: 0.5 * each, each });
            }
            Value::Made(m) if m.name == "path" => {
                mitred = true;
                stretches.push(path(m, span)?);
            }
            other if other.word() == Some("straight") => stretches.push(Stretch::Straight(None)),
            _ => return Err(errors::not_built_yet("this stretch of a spine", span).into()),
        }
    }
    if !(mitred || flipped) {
        let long = stretches.iter().map(Stretch::long).sum();
        return Ok(Spine::Straight(long));
    }
    if mitred && flipped {
        return Err(errors::not_built_yet("a spine with both mitred and flipped bends", span).into());
    }
    let alone = closed || stretches.iter().any(|s| matches!(s, Stretch::Path(_)));
    if alone && stretches.len() > 1 {
        return Err(errors::spine_alone(if closed { "ring" } else { "path" }, span).into());
    }
    Ok(Spine::Bent(Bent { stretches, span, flipped, closed }))
}

fn count(m: &Made) -> Result<u32, Stop> {
    // The schema keeps it among counts that a prop can have.
    m.number("joints").map(|n| n.round() as u32).ok_or(Stop::Skip)
}

fn bend(m: &Made, flipped: bool, span: Span) -> Result<Stretch, Stop> {
    let angle = m.number("angle").ok_or(Stop::Skip)?;
    let joints = m.number("joints").map_or(1, |n| n.round() as u32).max(1);
    let facing = m.direction("facing").unwrap_or(0.0);
    let cuts = f64::from(joints);
    if angle / cuts > SHARPEST {
        let enough = (angle / SHARPEST).ceil().max(1.0);
        return Err(errors::joint_too_sharp(angle / cuts, Some(enough), span).into());
    }
    let tan = num::tan(0.5 * angle / cuts);
    let (end, each) = match (m.number("radius"), m.number("long"), flipped) {
        (Some(radius), _, false) => (radius * tan, 2.0 * radius * tan),
        (None, Some(long), false) => (0.5 * long / cuts, long / cuts),
        (radius, long, true) => {
            let long = long.or_else(|| radius.map(|r| r * angle)).ok_or(Stop::Skip)?;
            (long / (cuts + 1.0), long / (cuts + 1.0))
        }
        (None, None, false) => return Err(Stop::Skip),
    };
    Ok(Stretch::Bend { angle, facing, joints, end, each })
}

fn path(m: &Made, span: Span) -> Result<Stretch, Stop> {
    let points: Option<Vec<Vec3>> = m
        .part("points")
        .ok_or(Stop::Skip)?
        .items()
        .iter()
        .map(|v| {
            // Front by left by up.
            match v.size()?.as_slice() {
                [x, y, z] => Some(Vec3::new(*x, *y, *z)),
                _ => None,
            }
        })
        .collect();
    let points = points.ok_or(Stop::Skip)?;
    if points.len() < 2 {
        return Err(errors::path_points(0.0, points.len(), span).into());
    }
    let each = m.number("joints").map_or(1, |n| n.round() as usize).max(1);
    if let Some(i) = points.windows(2).position(|w| (w[1] - w[0]).length() < NEAR) {
        return Err(errors::path_points((points[i + 1] - points[i]).length(), i + 1, span).into());
    }
    let curve = spine::smooth(&points, each);
    for w in curve.windows(3) {
        let turn = angle(w[1] - w[0], w[2] - w[1]);
        if turn > SHARPEST {
            return Err(errors::joint_too_sharp(turn, None, span).into());
        }
    }
    Ok(Stretch::Path(curve))
}
