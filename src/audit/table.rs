//! Offsets tables: their rows are points of the line that is cut, and every line that no compass reaches has one.

use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of};
use crate::piece::{Offsets, Piece};
use crate::solid::{EdgeName, Solid};
use crate::verdict::Check;

use super::measure::{samples, to_path};
use super::report::{FIT, Report};
use super::wall::edge_name;

/// The longest radius that is drawn with a compass when no cutter says otherwise, mm: the language's default.
const COMPASS: f64 = 500.0;
/// Arcs are joined before they are held against the compass, which changes their radius by a thousandth at most.
const SLACK: f64 = 1.002;

/// A corner counts as far from the start of a closed line from this share of the farthest one's distance.
const FAR: f64 = 0.95;

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

    /// Whether it goes on along its chord, so that a rise is one.
    fn goes_on(&self) -> bool {
        let points = samples(&self.path, 1.0, 1e-3);
        (self.to - self.from).length() > 1.0 && points.windows(2).all(|w| (w[1] - w[0]).dot(self.along()) > 1e-4)
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

/// A run's line; a closed one is two, from its start to a corner far from it and back: to that one of the farthest,
/// of which several may be as far, whose chord is written.
fn spans(segs: &[Seg], chord: Option<f64>) -> Vec<Span> {
    let path = |segs: &[Seg]| Path { segs: segs.to_vec() };
    let (Some(first), Some(last)) = (segs.first(), segs.last()) else { return Vec::new() };
    if (first.a - last.b).length() > 1.0 {
        return Span::new(path(segs)).into_iter().collect();
    }
    let far = |k: usize| (segs[k].b - first.a).length();
    let farthest = (0..segs.len()).map(far).fold(0.0, f64::max);
    let asked = chord.unwrap_or(farthest);
    let nearest = (0..segs.len())
        .filter(|&k| far(k) > FAR * farthest)
        .min_by(|&i, &j| (far(i) - asked).abs().total_cmp(&(far(j) - asked).abs()));
    let cut = nearest.map_or(0, |i| i + 1);
    [&segs[..cut], &segs[cut..]].into_iter().filter_map(|s| Span::new(path(s))).collect()
}

/// The tables of a piece: each is of one of its lines, and every line that needs one has one.
pub fn tables(solid: &Solid, piece: &Piece, r: &mut Report) {
    let compass = solid.job.cutter.as_ref().map_or(COMPASS, |c| c.compass);
    let mut open: Vec<(EdgeName, bool, Span)> = Vec::new();
    let edges = [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin, EdgeName::Outline];
    let folds = edges.into_iter().flat_map(|e| super::turn::folds_in_order(piece, e).into_iter().map(move |p| (e, p)));
    let runs = piece.contour.iter().filter_map(|r| Some((r.edge?, r.path.clone())));
    for (edge, path) in runs.chain(folds) {
        let beyond = |by: f64| path.segs.iter().any(|s| s.bulge != 0.0 && s.radius() > compass * by);
        if beyond(1.0 / SLACK) {
            let written = piece.offsets.iter().find(|t| t.edge == edge).map(|t| t.chord);
            open.extend(spans(&path.segs, written).into_iter().map(|s| (edge, beyond(SLACK), s)));
        }
    }
    for table in &piece.offsets {
        let what = format!("offsets of the {}", edge_name(table.edge));
        let off = |i: &usize| open[*i].2.off(table);
        let best = (0..open.len()).filter(|&i| open[i].0 == table.edge).min_by(|i, j| off(i).total_cmp(&off(j)));
        r.holds(Check::Coverage, &what, "of a line that needs them", best.is_some());
        if let Some(i) = best {
            let place = format!("rises over a chord of {:.3} mm", table.chord);
            r.figure(Check::Landing, &what, place, off(&i), FIT);
            open.remove(i);
        }
    }
    for (edge, needed, span) in open {
        let what = format!("offsets of the {}", edge_name(edge));
        r.holds(Check::Coverage, &what, "there are some", !(needed && span.goes_on()));
    }
}
