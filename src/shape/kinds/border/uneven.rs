//! The strip of a wall along a rim that is cut sloping or to a figure. Each of its edges is the rim's line moved along the
//! generatrices, so that a tape laid up the wall finds the same width everywhere; square to a steep edge it is narrower.

use super::super::super::{errors, measure};
use super::super::edge;
use super::Laid;
use super::skin::Skin;
use crate::eval::Stop;
use crate::geom::figure::{Figure, Part};
use crate::geom::plane::Plane;
use crate::geom::rim::Cut;
use crate::geom::strip::{Rule, Strip};
use crate::num;
use crate::solid::{Rim, Size, Station};

/// How a strip is cut at its ends.
pub(super) struct Ends {
    pub lower: Rim,
    pub upper: Rim,
    pub figures: [Option<Box<Figure>>; 2],
    /// What the folded pieces are to measure.
    pub sizes: Vec<Size>,
}

impl Ends {
    pub(super) fn plain(lower: Rim, upper: Rim) -> Self {
        Self { lower, upper, figures: [None, None], sizes: Vec::new() }
    }
}

/// Whether a rim that is cut sloping or to a figure has no corner along it.
pub(super) fn is_smooth(skin: &Skin, upper: bool) -> bool {
    let Some(figure) = skin.wall.figure(upper) else { return true };
    let meet = |a: &Part, b: &Part| {
        let ((y, dy), (z, dz)) = (a.form.fall(a.to), b.form.fall(b.from));
        (y - z).abs() < 1e-6 && (dy - dz).abs() < 1e-6
    };
    let round = skin.is_open() || figure.parts.last().zip(figure.parts.first()).is_none_or(|(a, b)| meet(a, b));
    round && figure.parts.windows(2).all(|p| meet(&p[0], &p[1]))
}

/// Whether a rim is cut to a figure that goes up and down along generatrices.
pub(super) fn is_stepped(skin: &Skin, upper: bool) -> bool {
    skin.wall.figure(upper).is_some_and(|figure| figure.step(!skin.is_open()) > 1e-6)
}

/// The heights between which a strip stands whose edges lie so far out from a rim.
pub(super) fn between(skin: &Skin, upper: bool, (far, near): (f64, f64), depth: f64) -> Option<(f64, f64)> {
    let extent = |out: f64| skin.cut_line(upper, moved(skin, upper, out, depth)?).map(|line| line.extent());
    let ((a, b), (c, d)) = (extent(far)?, extent(near)?);
    Some((a.min(c), b.max(d)))
}

/// The rim's line so far out along the wall, cut square; a plane's is so far from it on the face at `depth`, opposite the seam.
fn moved(skin: &Skin, upper: bool, out: f64, depth: f64) -> Option<Cut> {
    match skin.rim(upper)? {
        Rim::Shaped { upper: which } => {
            let seam = measure::facing(skin.strip_on(upper)?, skin.wall.facing)?;
            Some(Cut::Shaped(lowered(skin.wall.figure(which)?, out, &seam)))
        }
        rim => Some(Cut::PlaneSquare(carried(skin, upper, rim, out, depth)?)),
    }
}

/// A figure so far out of its wall, whose sides run up along `seam`.
fn lowered(figure: &Figure, out: f64, seam: &Rule) -> Figure {
    let way = if figure.falls { out } else { -out };
    let side = figure.side + way * seam.rise() / measure::slant(seam);
    Figure { down: -out, side, ..figure.clone() }
}

fn carried(skin: &Skin, upper: bool, rim: Rim, out: f64, depth: f64) -> Option<Plane> {
    let plane = rim.plane()?;
    let rule = measure::facing(skin.strip_on(upper)?, skin.opposite())?;
    // On the face at `depth` a square cut lies by d sin α above the line on the measured one that it goes through.
    let start = match rim {
        Rim::Plane(_) => plane.height(&rule, depth) + depth * rule.sine(),
        _ => plane.height(&rule, 0.0),
    };
    let way = if upper { out } else { -out };
    let p = rule.point(start + way * rule.rise() / measure::slant(&rule), 0.0);
    let rise = (p - plane.at).dot(plane.normal) / plane.normal.z;
    Some(Plane { at: plane.at.with_z(plane.at.z + rise), ..plane })
}

/// How a strip whose edges lie so far out from a rim is cut. `own` is its wall, which may begin elsewhere than its host.
///
/// # Errors
/// When it would fall apart beside a step of the figure, or a step stands on its seam.
pub(super) fn ends(
    laid: &Laid<'_>,
    upper: bool,
    (far, near): (f64, f64),
    (depth, thick): (f64, f64),
    own: &[Strip],
) -> Result<Ends, Stop> {
    let (spec, skin) = (laid.spec, laid.skin);
    let (Some(rim), [strip]) = (skin.rim(upper), own) else {
        let what = "a band that reaches past a station from a sloped or shaped edge";
        return Err(errors::not_built_yet(what, spec.wide_span).into());
    };
    let mut out = Ends::plain(Rim::Square, Rim::Square);
    let host = skin.strip_on(upper).ok_or(Stop::Skip)?;
    if let Rim::Shaped { upper: which } = rim {
        let figure = skin.wall.figure(which).ok_or(Stop::Skip)?;
        stays_whole(laid, figure, thick)?;
        let figure = edge::begun(figure, host, strip, laid.name, spec.seam.span)?;
        let seam = measure::facing(host, skin.wall.facing).ok_or(Stop::Skip)?;
        for (at_top, by) in [(upper, far), (!upper, near)] {
            let this = lowered(&figure, by, &seam);
            let station = Station { z: skin.edge(upper), falls: upper, down: -by };
            let (count, rise) = (figure.named.count, figure.named.rise);
            out.sizes.push(Size::Shaped { ring: 0, upper: at_top, count, rise, crest: None, station });
            out.figures[usize::from(at_top)] = Some(Box::new(this));
        }
        (out.lower, out.upper) = (Rim::Shaped { upper: false }, Rim::Shaped { upper: true });
        return Ok(out);
    }
    let cut = |by: f64| carried(skin, upper, rim, by, depth).map(Rim::PlaneSquare).ok_or(Stop::Skip);
    // Level with the edge it is cut as the edge is.
    let (outer, inner) = (if far == 0.0 { rim } else { cut(far)? }, cut(near)?);
    (out.lower, out.upper) = if upper { (inner, outer) } else { (outer, inner) };
    Ok(out)
}

/// Refuses a strip that is nowhere as wide as it is thick beside a step of its figure, or where that is steep.
fn stays_whole(laid: &Laid<'_>, figure: &Figure, thick: f64) -> Result<(), Stop> {
    let spec = laid.spec;
    let narrowest = figure.narrowest(spec.wide);
    if narrowest >= thick {
        return Ok(());
    }
    // As wide as all of the figure is tall, and once more as it is thick, would do in any case.
    let most = spec.wide.max(figure.named.rise) + 2.0 * thick;
    let lacks = |wide: f64| figure.narrowest(wide) - thick;
    let least = num::root(spec.wide, most, 1e-3, lacks);
    Err(errors::borders::falls_apart(laid.name, spec.wide, narrowest, least, spec.wide_span).into())
}
