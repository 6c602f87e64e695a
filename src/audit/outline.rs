//! The line round a piece that no generatrix ends at: a plate's and a leaf's, as it is cut and as it is bevelled.

use super::measure::{self, to_chain};
use super::report::{LANDING, Most, Report};
use super::turn;
use crate::geom::Vec3;
use crate::piece::{About, Piece};
use crate::solid::EdgeName;
use crate::verdict::Check;

/// The line that is cut, or the one it is bevelled to, against where it ought to lie on the flat; both ways.
pub fn lands(group: &[&Piece], bevel: bool, curve: &[Vec3], (what, allowed): (&str, f64), report: &mut Report) {
    let mut most = Most::default();
    let mut chains: Vec<Vec<Vec3>> = Vec::new();
    for piece in group {
        let runs = turn::edge_paths(piece, EdgeName::Outline);
        let marks = piece.marks.iter().filter(|m| m.about == About::Bevel(EdgeName::Outline)).map(|m| &m.path);
        let paths: Vec<_> = if bevel { marks.collect() } else { runs.collect() };
        for path in paths {
            if bevel {
                report.verdict.checked.marks += 1;
            } else {
                report.verdict.checked.edges += 1;
            }
            let flat = measure::samples(&measure::path_undone(&piece.from_flat, path), 1.0, 5e-4);
            let mut hint = 0;
            for p in &flat {
                most.add(to_chain(p.extend(0.0), curve, &mut hint, LANDING), *p);
            }
            chains.push(flat.into_iter().map(|p| p.extend(0.0)).collect());
        }
    }
    report.holds(Check::Coverage, what, "present", most.any());
    most.enter(report, Check::Landing, what, allowed);
    if !most.any() {
        return;
    }
    let mut back = Most::default();
    let mut hints = vec![0; chains.len()];
    for p in curve {
        let near = chains.iter().zip(&mut hints).map(|(c, h)| to_chain(*p, c, h, LANDING));
        back.add(near.fold(f64::INFINITY, f64::min), p.truncate());
    }
    back.enter(report, Check::Landing, &format!("{what}, all round"), allowed);
}
