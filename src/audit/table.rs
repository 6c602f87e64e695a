//! Offsets tables: their rows are points of the line that is cut, and every line that no compass reaches has one.

use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of};
use crate::piece::{Offsets, Piece};
use crate::solid::{EdgeName, Solid};
use crate::verdict::Check;

use super::measure::to_path;
use super::report::{FIT, Report};
use super::wall::edge_name;

/// The longest radius that is drawn with a compass when no cutter says otherwise, mm: the language's default.
const COMPASS: f64 = 500.0;
/// Arcs are joined before they are held against the compass, which changes their radius by a thousandth at most.
const SLACK: f64 = 1.002;

/// A stretch is looked at when its chord is that of the table within this, mm; how far it is off counts as any row's.
const CHORD: f64 = 1.0;

/// A line and its chord.
struct Span {
    path: Path,
    from: Vec2,
    to: Vec2,
}

impl Span {
    fn new(path: Path) -> Option<Self> {
        let (from, to) = (path.start()?, path.end()?);
        Some(Self { path, from, to })
    }

    fn along(&self) -> Vec2 {
        (self.to - self.from).normalize_or_zero()
    }

    /// How far a table's rows lie off it.
    fn off(&self, table: &Offsets) -> f64 {
        let along = self.along();
        // The piece lies to the left of its contour.
        let out = -left_of(along);
        let chord = (self.to - self.from).length();
        let rows = table.rows.iter().map(|&(x, rise)| to_path(self.from + along * x + out * rise, &self.path));
        let ends = match (table.rows.first(), table.rows.last()) {
            (Some(a), Some(b)) => a.0.abs().max((b.0 - chord).abs()),
            _ => f64::INFINITY,
        };
        let arc = table.radius.map_or(0.0, |r| {
            let sagitta = r - (r * r - 0.25 * chord * chord).max(0.0).sqrt();
            let most = table.rows.iter().map(|row| row.1.abs()).fold(0.0, f64::max);
            // More than half a circle rises by the rest of it.
            (most - sagitta).abs().min((most - (2.0 * r - sagitta)).abs())
        });
        rows.fold(0.0, f64::max).max((table.chord - chord).abs()).max(ends).max(arc)
    }
}

/// The stretch of a line that a table speaks of, by the first and the last arc of it, and how far its rows lie off:
/// from arc `from` on, the first of those with about the table's chord that fits, or else the one that fits best.
fn found(segs: &[Seg], from: usize, table: &Offsets) -> Option<(usize, usize, f64)> {
    let mut best: Option<(usize, usize, f64)> = None;
    for i in from..segs.len() {
        for j in i..segs.len() {
            if ((segs[j].b - segs[i].a).length() - table.chord).abs() > CHORD {
                continue;
            }
            let off = Span::new(Path { segs: segs[i..=j].to_vec() }).map_or(f64::INFINITY, |s| s.off(table));
            if best.is_none_or(|b| off < b.2) {
                best = Some((i, j, off));
            }
        }
        if best.is_some_and(|b| b.2 <= FIT) {
            break;
        }
    }
    best
}

/// The tables of a piece: each is of one stretch of a line, they follow each other, and of every line that needs
/// tables nothing is left out that is longer than its arcs' compass and a millimetre.
pub fn tables(solid: &Solid, piece: &Piece, r: &mut Report) {
    let compass = solid.job.cutter.as_ref().map_or(COMPASS, |c| c.compass);
    let place = |t: &Offsets| format!("rises over a chord of {:.3} mm", t.chord);
    let beyond = |s: &Seg, by: f64| s.bulge != 0.0 && s.radius() > compass * by;
    // Each with how far it lies off what it comes nearest to.
    let mut left: Vec<(&Offsets, f64)> = piece.offsets.iter().map(|t| (t, f64::INFINITY)).collect();
    // An edge that is folded over is drawn as its fold.
    let runs = piece.contour.iter().filter_map(|r| Some((r.edge?, r.path.clone())));
    let all = [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin, EdgeName::Outline];
    let folds = all.into_iter().flat_map(|e| super::turn::folds_in_order(piece, e).into_iter().map(move |p| (e, p)));
    let lines: Vec<(EdgeName, Path)> = runs.chain(folds).collect();
    for (edge, path) in &lines {
        let edge = *edge;
        let segs = path.segs.as_slice();
        if !segs.iter().any(|s| beyond(s, 1.0 / SLACK)) {
            continue;
        }
        let what = format!("offsets of the {}", edge_name(edge));
        let mut bare: Vec<&Seg> = Vec::new();
        let mut next = 0;
        while let Some(k) = left.iter().position(|t| t.0.edge == edge) {
            let Some((i, j, off)) = found(segs, next, left[k].0) else { break };
            // A table that does not fit is the next run's, or nobody's.
            if off > FIT && lines.iter().filter(|other| other.0 == edge).count() > 1 {
                left[k].1 = off.min(left[k].1);
                break;
            }
            r.figure(Check::Landing, &what, place(left[k].0), off, FIT);
            bare.extend(&segs[next..i]);
            next = j + 1;
            left.remove(k);
        }
        bare.extend(&segs[next..]);
        let missed = bare.iter().any(|s| beyond(s, SLACK) && (s.b - s.a).length() > 1.0);
        r.holds(Check::Coverage, &what, "there are some", !missed);
    }
    for (table, off) in left {
        let what = format!("offsets of the {}", edge_name(table.edge));
        if off.is_finite() {
            r.figure(Check::Landing, &what, place(table), off, FIT);
        } else {
            r.holds(Check::Coverage, &what, "of a line that needs them", false);
        }
    }
}
