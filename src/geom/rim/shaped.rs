//! The runs of a rim that is cut to a figure.

use super::{Rim, halfway, spans};
use crate::geom::fit::Run;
use crate::geom::parallel::on_one_axis;
use crate::geom::tol;
use crate::geom::walk::{Leg, Place};
use crate::num::PI;

impl Rim<'_> {
    /// The same of a figure: straight where it and the wall's flat are, an arc where it keeps its distance from the rim
    /// of a cone; lines along the generatrices between parts that do not meet.
    pub(super) fn shaped_runs(&self, from: Place, to: Place) -> Vec<Run> {
        let walk = self.flat.walk();
        let mut runs: Vec<Run> = Vec::new();
        let mut last: Option<usize> = None;
        for (leg, t0, t1) in spans(from, to) {
            let (a, b) = (Place { leg, t: t0 }, Place { leg, t: t1 });
            let form = self.form(leg);
            let (straight, even) = (form.is_some_and(|f| f.is_straight()), form.is_some_and(|f| f.is_even()));
            let run = match (walk.curves(leg), &walk.legs()[leg]) {
                // Beside rules that fan out what falls evenly with the length is no straight line.
                (None, Leg::Side { first, last }) => {
                    let fans = ((last.k1 - last.k0) - (first.k1 - first.k0)).abs() > tol::SAME;
                    if straight && !fans { Run::Line { from: a, to: b } } else { Run::Figured { from: a, to: b } }
                }
                (Some(pair), _) if on_one_axis(pair) => {
                    let level = (walk.turn(b) - walk.turn(a)).abs() < tol::SAME_ANGLE;
                    match (straight && level, even) {
                        (true, _) => Run::Line { from: a, to: b },
                        (false, true) => {
                            let sweep = -(walk.turn(b) - walk.turn(a));
                            Run::Arc { from: a, to: b, sweep, half: None }
                        }
                        (false, false) => Run::Figured { from: a, to: b },
                    }
                }
                _ => Run::Figured { from: a, to: b },
            };
            let joined = last == self.parts.get(leg).copied() && t0 == 0.0;
            last = self.parts.get(leg).copied();
            let alike = |x: &Place| walk.curves(x.leg).is_some() && walk.curves(x.leg) == walk.curves(leg);
            match (runs.last_mut(), run) {
                (Some(Run::Line { from, to }), Run::Line { to: end, .. })
                    if joined && (alike(from) || even && self.is_upright(from.leg, leg)) =>
                {
                    *to = end;
                }
                (Some(Run::Arc { from, to, sweep, .. }), Run::Arc { to: end, sweep: more, .. })
                    if joined && alike(from) =>
                {
                    *to = end;
                    *sweep += more;
                }
                (_, run) => runs.push(run),
            }
            if leg < to.leg && t1 == 1.0 && self.jump(leg, self.flat.depth()).is_some() {
                runs.push(Run::Line { from: b, to: Place { leg: leg + 1, t: 0.0 } });
                last = None;
            }
        }
        for run in &mut runs {
            if let Run::Arc { from, to, sweep, half } = run
                && sweep.abs() > PI
            {
                *half = Some(halfway(walk, *from, *to));
            }
        }
        runs
    }

    /// Whether two legs are of one upright wall, which lies flat in one plain strip.
    fn is_upright(&self, one: usize, other: usize) -> bool {
        let walk = self.flat.walk();
        [one, other].iter().all(|&leg| {
            let upright = |t: f64| {
                let rule = walk.rule(Place { leg, t });
                (rule.h1 - rule.h0).abs() + (rule.k1 - rule.k0).abs() < tol::SAME
            };
            upright(0.0) && upright(1.0)
        })
    }
}
