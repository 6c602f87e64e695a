//! Where each row of a border lies on its wall.
//!
//! On an edge a border lies outside against the wall, its far side level with the edge; further rows follow inwards.
//! A band's `rise` carries it past the edge, a piping stands on it, a binding is folded over it. At a level its middle
//! lies there, and rows spread to both sides.

use super::super::super::errors;
use super::skin::{Course, Skin};
use super::spec::{Sort, Spec};
use super::uneven;
use crate::eval::Stop;
use crate::solid::Rim;

/// One row of a border on a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Row {
    /// A strip of the wall: the heights of its planes on the measured face and how it is cut there.
    /// Scallops hang from the upper rim or from the lower one.
    Strip { from: f64, lower: Rim, to: f64, upper: Rim, tongues_above: Option<bool> },
    /// A strip of the wall between two lines that lie so far out along it from a rim that is cut sloping or to a figure; the
    /// heights of the planes between which it stands.
    Along { upper: bool, far: f64, near: f64, from: f64, to: f64 },
    /// A line round the wall.
    Line { z: f64, level: bool },
    /// Along a rim that is cut sloping or to a figure, so far out from it.
    Rim { upper: bool, out: f64 },
    /// A line up the wall along its seam, so far beside it toward growing directions, or along one side of an open one, so
    /// far in from it beyond half its own thickness.
    Up { end: Option<bool>, aside: f64 },
    /// The whole wall.
    Whole,
}

/// How much room a row takes on the wall, and how far it stands proud there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super::super) struct Foot {
    /// What lies on what: covers 0, bands, bindings and wraps 1, cords and beads 2.
    pub rank: u8,
    pub low: f64,
    pub high: f64,
    pub thick: f64,
    /// It is a wall of its own.
    pub wall: bool,
}

/// The rows along one course of a border of this thickness, over what lies below it.
pub(super) fn rows(spec: &Spec, skin: &Skin, course: Course, (thick, below): (f64, f64)) -> Result<Vec<Row>, Stop> {
    match (spec.sort, course) {
        (Sort::Wrap, Course::Round) if skin.is_open() => {
            let help = format!("close the seam of {}, or lay a band on it", skin.name);
            Err(errors::borders::no_such_course("a wrap", &help, spec.head).into())
        }
        (Sort::Wrap, Course::Round) if spec.level.is_some() => {
            let help = "leave `level` out: a wrap goes from edge to edge";
            Err(errors::borders::no_such_course("a wrap", help, spec.level_span).into())
        }
        (Sort::Wrap, Course::Round) => Ok(vec![Row::Whole]),
        (Sort::Wrap, _) => {
            let help = format!("wind it round the whole wall: `on {}`", skin.name);
            Err(errors::borders::no_such_course("a wrap", &help, spec.head).into())
        }
        (Sort::Binding | Sort::Piping, Course::Round | Course::Seam) => {
            let help = format!("it follows an edge: `on {}.top`", skin.name);
            Err(errors::borders::no_such_course(spec.sort.said(), &help, spec.head).into())
        }
        (Sort::Cord | Sort::Beads, Course::Seam) => up(spec, skin, None, thick),
        (Sort::Cord | Sort::Beads | Sort::Binding | Sort::Piping, Course::Side { end }) => {
            up(spec, skin, Some(end), thick)
        }
        (Sort::Band | Sort::Scallops, Course::Side { .. } | Course::Seam) => {
            let help = skin.strip_up(course, spec.wide);
            Err(errors::borders::no_such_course(spec.sort.said(), &help, spec.head).into())
        }
        (Sort::Band | Sort::Scallops, Course::Round) => banded_at(spec, skin, level(spec, skin)?),
        (Sort::Band | Sort::Scallops, Course::Edge { upper }) => match spec.level {
            Some(_) => banded_at(spec, skin, level(spec, skin)?),
            None if skin.is_uneven(upper) => banded_along(spec, skin, upper, below + skin.depth(spec.measured, thick)),
            None => banded_on(spec, skin, upper, below + skin.depth(spec.measured, thick)),
        },
        (Sort::Cord | Sort::Beads, Course::Round) => strung_at(spec, skin, level(spec, skin)?, thick),
        (Sort::Cord | Sort::Beads, Course::Edge { upper }) => match spec.level {
            Some(_) => strung_at(spec, skin, level(spec, skin)?, thick),
            None => strung_on(spec, skin, upper, thick),
        },
        (Sort::Binding | Sort::Piping, Course::Edge { upper }) => {
            if spec.level.is_some() {
                let help = "leave `level` out: it lies on the edge itself";
                return Err(errors::borders::no_such_course(spec.sort.said(), help, spec.level_span).into());
            }
            if spec.wide > skin.long() {
                return Err(self::past(spec, skin, upper, spec.wide - skin.long(), skin.long()));
            }
            let rim = end(spec, skin, upper)?;
            // A piping's cord stands on the edge, half its thickness past it.
            let past = if spec.sort == Sort::Piping { 0.5 * thick } else { 0.0 };
            if skin.is_uneven(upper) {
                // On the edge itself, however that runs; its deepest place has room for it too.
                let inwards = if upper { -spec.wide } else { spec.wide };
                let innermost = skin.up(skin.deepest(upper), inwards);
                let over = if upper { skin.low - innermost } else { innermost - skin.high };
                if over > 1e-9 {
                    return Err(self::past(spec, skin, upper, over, spec.wide - over));
                }
                return Ok(vec![Row::Rim { upper, out: past }]);
            }
            let z = skin.up(skin.edge(upper), if upper { past } else { -past });
            Ok(vec![Row::Line { z, level: rim == Rim::Level }])
        }
    }
}

/// What lies at a level lies clear of an edge that comes down to meet it.
fn under_uneven(spec: &Spec, skin: &Skin, upper: bool, end: f64) -> Result<(), Stop> {
    if !skin.is_uneven(upper) {
        return Ok(());
    }
    let deepest = skin.deepest(upper);
    let over = if upper { end - deepest } else { deepest - end };
    if over <= 1e-9 {
        return Ok(());
    }
    let by = over * skin.slope(&skin.wall.strips[skin.strip_at(end)]).0;
    let help = "move it away from the shaped edge, whose deepest place it would pass".to_owned();
    Err(errors::borders::past_edge(&spec.name, word(skin, upper), by, help, spec.level_span).into())
}

/// Rows up the wall, one beside the other: about a seam, or inwards from one side of an open one.
fn up(spec: &Spec, skin: &Skin, end: Option<bool>, thick: f64) -> Result<Vec<Row>, Stop> {
    if spec.level.is_some() {
        let help = "leave `level` out: it runs from edge to edge";
        return Err(errors::borders::no_such_course(spec.sort.said(), help, spec.level_span).into());
    }
    let takes = count(spec) * thick;
    let girth = |z: f64| skin.line(z, false, skin.outer).map_or(0.0, |line| line.long());
    let room = girth(skin.low).min(girth(skin.high));
    // One row goes up a wall that runs to a point.
    if spec.rows > 1 && takes > room {
        let help = format!("at most {} rows beside each other", (room / thick).floor().max(1.0));
        return Err(errors::borders::past_edge(&spec.name, "seam's other", takes - room, help, spec.rows_span).into());
    }
    let first = if end.is_none() { -0.5 * (count(spec) - 1.0) } else { 0.0 };
    Ok(numbers(spec).map(|i| Row::Up { end, aside: (first + i) * thick }).collect())
}

/// The height of the border's level.
fn level(spec: &Spec, skin: &Skin) -> Result<f64, Stop> {
    let level = spec.level.unwrap_or(0.5 * skin.tall());
    if !(0.0..=skin.tall()).contains(&level) {
        return Err(errors::off_the_wall(&spec.name, level, skin.tall(), spec.level_span).into());
    }
    Ok(skin.height(level))
}

/// How the wall is cut at an edge, which must be one.
fn end(spec: &Spec, skin: &Skin, upper: bool) -> Result<Rim, Stop> {
    skin.rim(upper).ok_or_else(|| errors::borders::on_a_point(&spec.name, &skin.name, spec.head).into())
}

/// The number of a row, and of all.
fn numbers(spec: &Spec) -> impl Iterator<Item = f64> + use<> {
    core::iter::successors(Some(0.0), |i| Some(i + 1.0)).take(spec.rows)
}

#[expect(clippy::cast_precision_loss, reason = "few rows")]
fn count(spec: &Spec) -> f64 {
    spec.rows as f64
}

/// The word for an edge of this wall.
fn word(skin: &Skin, upper: bool) -> &'static str {
    if (skin.level(skin.edge(upper)) - skin.tall()).abs() < 1e-9 { "top" } else { "bottom" }
}

fn past(spec: &Spec, skin: &Skin, upper: bool, by: f64, room: f64) -> Stop {
    let help = match spec.sort {
        Sort::Cord | Sort::Beads => "fewer rows, or thinner goods".to_owned(),
        _ => errors::borders::narrower(room / count(spec)),
    };
    errors::borders::past_edge(&spec.name, word(skin, !upper), by, help, spec.wide_span).into()
}

fn banded_on(spec: &Spec, skin: &Skin, upper: bool, depth: f64) -> Result<Vec<Row>, Stop> {
    let own = end(spec, skin, upper)?;
    if spec.rise >= spec.wide {
        return Err(errors::borders::hangs_free(&spec.name, spec.wide, spec.rise, spec.rise_span).into());
    }
    let room = skin.long() + spec.rise;
    let takes = count(spec) * spec.wide;
    if takes > room + 1e-9 {
        return Err(past(spec, skin, upper, takes - room, room));
    }
    let edge = skin.edge(upper);
    let (_, sine) = skin.slope(&skin.wall.strips[skin.strip_at(edge)]);
    // A square cut through the measured face at height z leaves depth d at z − d sin α.
    let start = if own == Rim::Level { edge + depth * sine } else { edge };
    let out = if upper { 1.0 } else { -1.0 };
    under_uneven(spec, skin, !upper, skin.up(start, out * (spec.rise - takes)))?;
    // They point away from the edge, into the wall.
    let tongues_above = (spec.sort == Sort::Scallops).then_some(!upper);
    let strip = |i: f64| {
        let (far, near) = (spec.rise - i * spec.wide, spec.rise - (i + 1.0) * spec.wide);
        let (far_z, near_z) = (skin.up(start, out * far), skin.up(start, out * near));
        // Level with the edge it is cut as the edge is.
        let (far_z, rim) = if far == 0.0 { (edge, own) } else { (far_z, Rim::Square) };
        if upper {
            Row::Strip { from: near_z, lower: Rim::Square, to: far_z, upper: rim, tongues_above }
        } else {
            Row::Strip { from: far_z, lower: rim, to: near_z, upper: Rim::Square, tongues_above }
        }
    };
    Ok(numbers(spec).map(strip).collect())
}

/// Strips along a rim that is cut sloping or to a figure: each of their edges is that line, moved along the generatrices.
fn banded_along(spec: &Spec, skin: &Skin, upper: bool, depth: f64) -> Result<Vec<Row>, Stop> {
    if spec.rise >= spec.wide {
        return Err(errors::borders::hangs_free(&spec.name, spec.wide, spec.rise, spec.rise_span).into());
    }
    if spec.sort == Sort::Scallops && uneven::is_stepped(skin, upper) {
        let what = "a row of scallops along an edge with upright sides";
        return Err(errors::not_built_yet(what, spec.head).into());
    }
    let mut out = Vec::with_capacity(spec.rows);
    for i in numbers(spec) {
        let (far, near) = (spec.rise - i * spec.wide, spec.rise - (i + 1.0) * spec.wide);
        let (from, to) = uneven::between(skin, upper, (far, near), depth).ok_or(Stop::Skip)?;
        let over = if upper { skin.low - from } else { to - skin.high };
        if over > 1e-9 {
            let by = over * skin.slope(&skin.wall.strips[skin.strip_at(if upper { from } else { to })]).0;
            return Err(past(spec, skin, upper, by, count(spec) * spec.wide - by));
        }
        under_uneven(spec, skin, !upper, if upper { from } else { to })?;
        out.push(Row::Along { upper, far, near, from, to });
    }
    Ok(out)
}

fn banded_at(spec: &Spec, skin: &Skin, z: f64) -> Result<Vec<Row>, Stop> {
    if spec.rise > 0.0 {
        return Err(errors::borders::rise_of_no_edge(&spec.name, spec.rise_span).into());
    }
    let half = 0.5 * count(spec) * spec.wide;
    for (upper, end) in [(false, skin.up(z, -half)), (true, skin.up(z, half))] {
        let over = if upper { end - skin.high } else { skin.low - end };
        if over > 1e-9 {
            let rate = skin.slope(&skin.wall.strips[skin.strip_at(end)]).0;
            let by = over * rate;
            return Err(past(spec, skin, !upper, by, 2.0 * (half - by)));
        }
        under_uneven(spec, skin, upper, end)?;
    }
    // They hang down.
    let tongues_above = (spec.sort == Sort::Scallops).then_some(skin.is_turned());
    let strip = |i: f64| {
        let (from, to) = (skin.up(z, i * spec.wide - half), skin.up(z, (i + 1.0) * spec.wide - half));
        Row::Strip { from, lower: Rim::Square, to, upper: Rim::Square, tongues_above }
    };
    Ok(numbers(spec).map(strip).collect())
}

fn strung_on(spec: &Spec, skin: &Skin, upper: bool, thick: f64) -> Result<Vec<Row>, Stop> {
    let rim = end(spec, skin, upper)?;
    let takes = count(spec) * thick;
    if takes > skin.long() {
        return Err(past(spec, skin, upper, takes - skin.long(), 0.0));
    }
    let inwards = if upper { -1.0 } else { 1.0 };
    if skin.is_uneven(upper) {
        let innermost = skin.up(skin.deepest(upper), inwards * takes);
        let over = if upper { skin.low - innermost } else { innermost - skin.high };
        if over > 1e-9 {
            return Err(past(spec, skin, upper, over, takes - over));
        }
        let line = |i: f64| Row::Rim { upper, out: -thick * (i + 0.5) };
        return Ok(numbers(spec).map(line).collect());
    }
    under_uneven(spec, skin, !upper, skin.up(skin.edge(upper), inwards * takes))?;
    let line = |i: f64| {
        let z = skin.up(skin.edge(upper), inwards * thick * (i + 0.5));
        Row::Line { z, level: rim == Rim::Level }
    };
    Ok(numbers(spec).map(line).collect())
}

fn strung_at(spec: &Spec, skin: &Skin, z: f64, thick: f64) -> Result<Vec<Row>, Stop> {
    let half = 0.5 * (count(spec) - 1.0) * thick;
    for (upper, end) in [(false, skin.up(z, -half)), (true, skin.up(z, half))] {
        let over = if upper { end - skin.high } else { skin.low - end };
        if over > 1e-9 {
            return Err(past(spec, skin, !upper, over, 0.0));
        }
        under_uneven(spec, skin, upper, skin.up(end, if upper { 0.5 * thick } else { -0.5 * thick }))?;
    }
    let line = |i: f64| Row::Line { z: skin.up(z, i * thick - half), level: false };
    Ok(numbers(spec).map(line).collect())
}

/// The room that a row takes.
pub(super) fn feet(spec: &Spec, skin: &Skin, row: Row, thick: f64, strip: f64) -> Vec<Foot> {
    let foot = |rank: u8, (low, high): (f64, f64), thick: f64| Foot { rank, low, high, thick, wall: false };
    let about = |z: f64, half: f64| (skin.up(z, -half), skin.up(z, half));
    match (spec.sort, row) {
        (_, Row::Strip { from, to, .. }) => vec![Foot { wall: true, ..foot(1, (from, to), thick) }],
        (_, Row::Along { from, to, .. }) => vec![Foot { wall: true, ..foot(1, (from, to), thick) }],
        (Sort::Binding, Row::Line { z, .. }) => {
            let upper = z > 0.5 * (skin.low + skin.high);
            let inwards = skin.up(z, if upper { -spec.wide } else { spec.wide });
            // Over the end it is as thick as anywhere.
            let past = if upper { z + thick } else { z - thick };
            vec![foot(1, (past.min(inwards), past.max(inwards)), thick)]
        }
        (Sort::Binding, Row::Rim { upper, .. }) => {
            let (edge, deepest) = (skin.edge(upper), skin.deepest(upper));
            let (past, inwards) = if upper { (thick, -spec.wide) } else { (-thick, spec.wide) };
            let (a, b) = (edge + past, skin.up(deepest, inwards));
            vec![foot(1, (a.min(b), a.max(b)), thick)]
        }
        (_, Row::Rim { upper, out }) => {
            let (edge, deepest) = (skin.edge(upper), skin.deepest(upper));
            let way = if upper { 1.0 } else { -1.0 };
            let (a, b) = (skin.up(edge, way * (out + 0.5 * thick)), skin.up(deepest, way * (out - 0.5 * thick)));
            let mut feet = vec![foot(2, (a.min(b), a.max(b)), thick)];
            if spec.sort == Sort::Piping {
                let b = skin.up(deepest, -way * spec.wide);
                feet.insert(0, foot(1, (edge.min(b), edge.max(b)), 2.0 * strip));
            }
            feet
        }
        (Sort::Piping, Row::Line { z, .. }) => {
            let upper = z > 0.5 * (skin.low + skin.high);
            let edge = skin.edge(upper);
            let inwards = skin.up(edge, if upper { -spec.wide } else { spec.wide });
            let caught = foot(1, (edge.min(inwards), edge.max(inwards)), 2.0 * strip);
            vec![caught, foot(2, about(z, 0.5 * thick), thick)]
        }
        (_, Row::Line { z, .. }) => vec![foot(2, about(z, 0.5 * thick), thick)],
        (_, Row::Whole) => vec![foot(1, (skin.low, skin.high), thick)],
        // Along a seam it takes little of the wall's way round: what goes round crosses it.
        (_, Row::Up { .. }) => Vec::new(),
    }
}
