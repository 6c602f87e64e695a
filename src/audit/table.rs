//! Offsets tables: their rows are points of the line that is cut, and every line that no compass reaches has one.

use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of};
use crate::piece::{Offsets, Piece};
use crate::solid::Solid;
use crate::verdict::Check;

use super::measure::{samples, to_path};
use super::report::{FIT, Report};
use super::wall::edge_name;

/// The longest radius that is drawn with a compass when no cutter says otherwise, mm: the language's default.
const COMPASS: f64 = 500.0;
/// Arcs are joined before they are held against the compass, which changes their radius by a thousandth at most.
const SLACK: f64 = 1.002;

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

/// A run's line; a closed one is two, from its start to its farthest corner and back.
fn spans(segs: &[Seg]) -> Vec<Span> {
    let path = |segs: &[Seg]| Path { segs: segs.to_vec() };
    let (Some(first), Some(last)) = (segs.first(), segs.last()) else { return Vec::new() };
    if (first.a - last.b).length() > 1.0 {
        return Span::new(path(segs)).into_iter().collect();
    }
    let far = (0..segs.len()).max_by(|&i, &j| {
        let off = |k: usize| (segs[k].b - first.a).length();
        off(i).total_cmp(&off(j))
    });
    let cut = far.map_or(0, |i| i + 1);
    [&segs[..cut], &segs[cut..]].into_iter().filter_map(|s| Span::new(path(s))).collect()
}

/// The tables of a piece.
pub fn tables(solid: &Solid, piece: &Piece, r: &mut Report) {
    let compass = solid.job.cutter.as_ref().map_or(COMPASS, |c| c.compass);
    let mut used = vec![false; piece.offsets.len()];
    for run in &piece.contour {
        let Some(edge) = run.edge else { continue };
        let beyond = |by: f64| run.path.segs.iter().any(|s| s.bulge != 0.0 && s.radius() > compass * by);
        let what = format!("offsets of the {}", edge_name(edge));
        for span in spans(&run.path.segs) {
            let off = |i: &usize| span.off(&piece.offsets[*i]);
            let fit = (0..used.len()).filter(|&i| !used[i] && piece.offsets[i].edge == edge);
            let best = fit.min_by(|i, j| off(i).total_cmp(&off(j)));
            match best {
                Some(i) if beyond(1.0 / SLACK) => {
                    used[i] = true;
                    let place = format!("rises over a chord of {:.3} mm", piece.offsets[i].chord);
                    r.figure(Check::Landing, &what, place, off(&i), FIT);
                }
                _ => r.holds(Check::Coverage, &what, "there are some", !(beyond(SLACK) && span.goes_on())),
            }
        }
    }
    r.holds(Check::Coverage, "offsets", "of a line that needs them", used.iter().all(|u| *u));
}
