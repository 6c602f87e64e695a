//! Shells kept in one piece: the sheet is cut as a plain cone, warmed, and stretched over a form until it has all stations.
//!
//! Conventions chosen here, where the language leaves room:
//! - every line up the wall keeps its length, so only what runs round is stretched or squeezed: a sheet slides up and down a
//!   form, but its seam holds it together round it;
//! - of all cones the one is cut that takes the least of what the stock allows, `stretch` and `squeeze` each against its own
//!   limit: it lets through every form that any cone lets through;
//! - lengths are those of the neutral surface, as everywhere; the sheet is reckoned as thick as it was.

use super::super::seam::Joined;
use super::super::wall::{self, Stationed};
use super::super::{Shaper, errors};
use super::copy;
use super::place::Ground;
use super::shell::Spec;
use crate::design::Face;
use crate::eval::Stop;
use crate::geom::Vec2;
use crate::geom::formed::{Cone, along, cone, parallel};
use crate::geom::section::Section;
use crate::geom::strip::Strip;
use crate::ids::ThingId;
use crate::num::TAU;
use crate::solid::{Body, Course, Formed, Layer, Leave, Part, Rim, Ring, Seam, Stretched, Stroke, Trace, Wall};

/// Against what figures are told where goods give no leave at all.
const NONE: Leave = Leave { stretch: 1.0, squeeze: 0.5 };
/// Lines that lie nearer to each other are not told apart when they are drawn, mm.
const NEAREST: f64 = 1.0;
/// What of its leave a sheet may take: rounding makes no fault.
const ALL: f64 = 1.0 + 1e-9;

/// Distances from the axis and heights of the stations on the measured face.
///
/// # Errors
/// When they are such as are not formed yet, or need no forming.
pub(super) fn profile(
    ground: Ground,
    spec: &Spec,
    placed: &[Stationed],
    joined: &Joined,
) -> Result<Option<Vec<Vec2>>, Stop> {
    let Some(("formed", _, made)) = spec.made else { return Ok(None) };
    let not_yet = |what: &str, span| Err(errors::not_built_yet(what, span).into());
    if !matches!(ground, Ground::Free) {
        return not_yet("a formed wall that stands on, in, over or beside something", spec.head);
    }
    let round: Option<Vec<(f64, f64)>> = copy::profile(placed);
    let Some(round) = round.filter(|_| placed.iter().all(|s| s.leans.is_none())) else {
        let odd = |s: &Stationed| s.leans.is_some() || copy::profile(core::slice::from_ref(s)).is_none();
        let at = placed.iter().position(odd).and_then(|i| spec.stations.get(i));
        return not_yet(
            "a formed wall whose stations are not level circles about one axis",
            at.map_or(made, |s| s.section),
        );
    };
    if let Some(i) = placed.iter().position(|s| s.point) {
        let at = spec.stations.get(i).map_or(spec.head, |s| s.section);
        return not_yet("a formed wall that closes to a point", at);
    }
    if spec.of.len() > 1 {
        return not_yet("a formed wall of several layers", spec.of_span);
    }
    match joined.seam {
        Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) => {}
        Seam::Backed(_) => return not_yet("a backed seam of a formed wall", joined.span),
        Seam::Open(_) => return not_yet("an open seam of a formed wall", joined.span),
    }
    if spec.rim == Some("level") {
        return not_yet("a formed wall whose rims are cut level", spec.head);
    }
    super::foot::none(spec.foot, "a formed wall")?;
    if let Some((_, span)) = spec.passes {
        return not_yet("a girth that must get through a formed wall", span);
    }
    let points: Vec<Vec2> = round.into_iter().map(|(z, r)| Vec2::new(r, z)).collect();
    let way = |w: &[Vec2]| (w[1] - w[0]).normalize_or_zero();
    let bends = points.windows(3).any(|w| way(&w[..2]).perp_dot(way(&w[1..])).abs() > 1e-9);
    if !bends {
        return Err(errors::nothing_to_form(&spec.name, made).into());
    }
    Ok(Some(points))
}

/// How a wall is formed from one piece.
///
/// # Errors
/// When its stock gives no leave for it.
pub(super) fn of(
    shaper: &Shaper<'_>,
    spec: &Spec,
    points: &[Vec2],
    layer: Layer,
    joined: &Joined,
) -> Result<Formed, Stop> {
    let made = spec.made.map_or(spec.head, |m| m.2);
    let [inner, neutral, outer] = [Face::Inside, Face::Middle, Face::Outside].map(|f| parallel(points, layer.face(f)));
    let (Some(neutral), Some(_), Some(_)) = (neutral, inner, outer) else {
        return Err(errors::not_built_yet("a formed wall with a stretch that its own thickness takes up", made).into());
    };
    let stock = &shaper.solid.stocks[layer.stock];
    let up = along(&neutral);
    if let Some(i) = up.windows(2).position(|w| w[1] - w[0] < NEAREST) {
        let at = spec.stations.get(i + 1).map_or(made, |s| s.span);
        let what = "a formed wall with stations nearer to each other than a millimetre";
        return Err(errors::not_built_yet(what, at).into());
    }
    let round: Vec<f64> = neutral.iter().map(|p| TAU * p.x).collect();
    let gives = stock.leave.stretch > 0.0 || stock.leave.squeeze > 0.0;
    let flat = || Stop::from(errors::not_built_yet("a formed wall that lies all but flat", made));
    let leave = if gives { stock.leave } else { NONE };
    let best = cone(&up, &round, leave).ok_or_else(flat)?;
    let stations: Vec<Stretched> = (0..up.len())
        .map(|i| Stretched { along: up[i], height: neutral[i].y, cut: best.round(up[i]), formed: round[i] })
        .collect();
    let as_cut = as_cut(&best, up[up.len() - 1], layer, joined).ok_or_else(flat)?;
    let formed = Formed { cone: as_cut, stations, leave: stock.leave };
    if !gives || best.takes > ALL {
        let at = |station: Option<usize>| {
            let i = station?;
            Some((spec.stations.get(i).map_or(spec.head, |s| s.section), formed.stations[i].share().abs()))
        };
        let needs = Leave { stretch: best.takes * leave.stretch, squeeze: best.takes * leave.squeeze };
        let most = formed.most().map(at);
        return Err(errors::stretches_too_far(&spec.name, stock, most, needs, made).into());
    }
    Ok(formed)
}

/// The cone itself: such a wall that its neutral surface is as long round, and as long up, as it is to be.
fn as_cut(cone: &Cone, long: f64, layer: Layer, joined: &Joined) -> Option<Wall> {
    let (low, up) = (cone.round(0.0) / TAU, cone.round(long) / TAU);
    let wider = up - low;
    let tall = (long * long - wider * wider).sqrt();
    // Its rims are square, so each point of a face lies over the neutral one along the normal.
    let off = layer.neutral * tall / long;
    let [low, up] = [low - off, up - off];
    if low <= 0.0 || up <= 0.0 {
        return None;
    }
    let strip = Strip::new(&Section::circle(low), 0.0, &Section::circle(up), tall).ok()?.begun_at(joined.facing)?;
    let strips = vec![strip];
    let rings = vec![Ring { strips: 0..1, lower: Rim::Square, upper: Rim::Square }];
    wall::check(&strips, &rings, layer.inner, layer.outer).ok()?;
    Some(Wall::plain(strips, rings, joined.facing, joined.seam))
}

/// The lines along which it is formed: one through each station between its rims.
pub(super) fn traces(shaper: &mut Shaper<'_>, id: ThingId, spec: &Spec, points: &[Vec2], part: &Part) {
    let Body::Wall(Wall { formed: Some(formed), .. }) = &part.body else { return };
    let outside = part.layers.last().and_then(|l| parallel(points, l.outer)).unwrap_or_default();
    for i in 1..formed.stations.len() - 1 {
        shaper.solid.traces.push(Trace {
            part: part.id,
            thing: id,
            name: format!("{} {}", formed.name(i), formed.stations[i].said()),
            origin: spec.stations.get(i).map_or(spec.head, |s| s.span),
            stroke: Stroke::Form,
            deep: None,
            face: Face::Outside,
            course: Course::Form(i),
            long: outside.get(i).map_or(0.0, |p| TAU * p.x),
        });
    }
}
