//! Rows of holes along an edge: each hole's distance from the edge and its place along it, measured on the pieces
//! about to be cut, unfolded from where the fold has put the edge.

use crate::geom::Vec2;
use crate::piece::Piece;
use crate::solid::{EdgeName, Seam};
use crate::verdict::Check;

use super::claims::Made;
use super::laid::Laid;
use super::lines::Line;
use super::measure::{self, right_of};
use super::report::{FIT, Report};
use super::wall::fit;

/// What a hole of a row is asked to be.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    pub hole: usize,
    pub edge: EdgeName,
    pub across: f64,
    pub margin: f64,
    pub along: f64,
    pub beyond: f64,
}

/// Checks it on every piece of the innermost layer; false when there is none that shows it.
pub fn hole(made: &Made<'_>, asked: &Asked, what: &str, report: &mut Report) -> bool {
    let innermost = made.part.layers.iter().map(|l| l.inner).fold(f64::INFINITY, f64::min);
    let mut any = false;
    for (laid, group) in made.laid.iter().zip(&made.groups) {
        if laid.layer.inner <= innermost + 1e-9 {
            any |= on_edge(&edge(laid, asked.edge), group, asked, what, report);
        }
    }
    // The first of a plate's layers lies at its hidden face.
    if let Some((plane, group)) = made.planes.first() {
        let edge: Vec<Vec2> = plane.places(Line::Middle).into_iter().map(|(_, p)| p).collect();
        any |= on_edge(&edge, group, asked, what, report);
    }
    report.piece = None;
    any
}

fn on_edge(edge: &[Vec2], group: &[&Piece], asked: &Asked, what: &str, report: &mut Report) -> bool {
    let whole: f64 = edge.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut any = false;
    for piece in group {
        for h in piece.holes.iter().filter(|h| h.hole == asked.hole) {
            report.piece = Some(piece.id);
            let flat = measure::path_undone(&piece.from_flat, &h.outline);
            let Some((low, high)) = bounds(&measure::samples(&flat, 0.5, 1e-3)) else { continue };
            let Some((along, off)) = against(edge, (low + high) * 0.5) else { continue };
            fit(report, Check::Claim, &format!("{what}, across"), high.x - low.x, asked.across);
            fit(report, Check::Claim, &format!("{what}, up"), high.y - low.y, asked.across);
            fit(report, Check::Claim, &format!("{what}, from its edge"), off, asked.margin);
            fit(report, Check::Claim, &format!("{what}, along its edge"), along, asked.along);
            fit(report, Check::Claim, &format!("{what}, from the edge's end"), whole - along, asked.beyond);
            any = true;
        }
    }
    any
}

fn bounds(points: &[Vec2]) -> Option<(Vec2, Vec2)> {
    let first = *points.first()?;
    Some(points.iter().fold((first, first), |(a, b), p| (a.min(*p), b.max(*p))))
}

/// An edge on the flat: a side from its lower to its upper corner, a rim along its neutral edge from where the wall
/// begins.
fn edge(laid: &Laid<'_>, name: EdgeName) -> Vec<Vec2> {
    let upper = match name {
        EdgeName::Begin | EdgeName::End => {
            let end = name == EdgeName::End;
            return [false, true].map(|upper| laid.corner(upper, Line::Middle, end)).to_vec();
        }
        EdgeName::Upper => true,
        EdgeName::Lower
        | EdgeName::Outline
        | EdgeName::Side(_)
        | EdgeName::Foot(_)
        | EdgeName::Head(_)
        | EdgeName::Cut => false,
    };
    let strip = laid.rim_strip(upper);
    let round = &laid.view.rounds[laid.ring.strips.start + strip];
    let (from, to) = match laid.view.wall.seam {
        Seam::Open(_) if upper => laid.upper,
        Seam::Open(_) => laid.lower,
        Seam::Butt | Seam::Lap(_) | Seam::Tabs(_) | Seam::Backed(_) => (0.0, round.end()),
    };
    let foot = |w: f64| laid.view.edge(laid.ring, upper, w, laid.layer.neutral, laid.layer.neutral).foot;
    round.points(from, to, FIT * 1e-3, &foot).into_iter().map(|(w, p)| laid.strips[strip].flat(w, p)).collect()
}

/// How far along a chain the foot of a point on it lies, and how far the point stands off it, to the piece's side.
fn against(chain: &[Vec2], p: Vec2) -> Option<(f64, f64)> {
    let mut so_far = 0.0;
    let mut best: Option<(f64, f64, f64)> = None;
    for w in chain.windows(2) {
        let long = w[0].distance(w[1]);
        let way = (w[1] - w[0]).normalize_or_zero();
        let along = (p - w[0]).dot(way).clamp(0.0, long);
        let away = (p - w[0] - way * along).length();
        if best.is_none_or(|b| away < b.0) {
            best = Some((away, so_far + along, (p - w[0]).dot(right_of(way)).abs().max(away)));
        }
        so_far += long;
    }
    best.map(|(_, along, off)| (along, off))
}
