//! Tongues along a rim, from the solid alone: tips at even lengths along the rim between its ends, notches half-way
//! between them on their generatrices, arcs of circles through a notch, a tip and a notch. What is written is laid over
//! them both ways; how many there are, how tall and how wide the strip is, is measured on the pieces.

use std::collections::BTreeSet;

use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, Vec3};
use crate::num;
use crate::piece::Piece;
use crate::solid::{EdgeName, Seam};
use crate::verdict::Check;

use super::laid::{Hints, Laid};
use super::lines::Line;
use super::measure;
use super::report::{FIT, LANDING, Most, Report};
use super::wall::edge_name;

/// The direction of an outline turns by more than this in a notch, degrees.
const SHARP: f64 = 20.0;

/// Circles whose middles lie farther apart are two, mm: rounded places move one by a fifth of that.
const APART: f64 = 0.1;

/// The row that a rim is cut to, on the flat.
pub struct Row {
    pub path: Path,
    /// The rim from its first end to its last.
    rim: Vec<Vec2>,
}

impl Row {
    /// The outline of what is cut away: along the rim, and back along the tongues.
    fn around(&self) -> Path {
        let mut around = Path::polyline(&self.rim);
        let back = self.path.segs.iter().rev().map(|s| Seg { a: s.b, b: s.a, bulge: -s.bulge });
        let (Some(start), Some(end)) = (self.path.start(), self.path.end()) else { return around };
        if let (Some(&first), Some(&last)) = (self.rim.first(), self.rim.last()) {
            around.segs.push(Seg::line(last, end));
            around.segs.extend(back);
            around.segs.push(Seg::line(start, first));
        }
        around
    }
}

/// The row of a rim; `None` of any that is cut along its own line.
pub fn expected(laid: &Laid<'_>, upper: bool) -> Option<Row> {
    let asked = laid.view.wall.scalloped(laid.panel.ring, upper)?;
    let strip = laid.rim_strip(upper);
    let (folded, round) = (&laid.strips[strip], &laid.view.rounds[laid.ring.strips.start + strip]);
    let foot = |w: f64| laid.view.line(laid.ring, upper, Line::Middle, w, &laid.layer).foot;
    let ends = [false, true].map(|end| laid.corner_place(upper, Line::Middle, end));
    let between = laid.expected(upper, Line::Middle).iter().map(|p| p.0).filter(|w| *w > ends[0] && *w < ends[1]);
    let places: Vec<f64> = core::iter::once(ends[0]).chain(between).chain([ends[1]]).collect();
    let mut run = num::Sum::new();
    let mut along = vec![0.0];
    for pair in places.windows(2) {
        run.add((foot(pair[1]) - foot(pair[0])).length());
        along.push(run.value());
    }
    let whole = run.value();
    let up = if upper { -1.0 } else { 1.0 };
    let steps = 2 * asked.count;
    let mut path = Path::default();
    let mut last: Option<(Vec2, Vec2)> = None;
    for i in 0..=steps {
        #[expect(clippy::cast_precision_loss, reason = "few tongues")]
        let s = whole * i as f64 / steps as f64;
        let k = along.partition_point(|a| *a < s).clamp(1, places.len() - 1);
        let short = |w: f64| (foot(w) - foot(places[k - 1])).length() - (s - along[k - 1]);
        let w = match i {
            0 => ends[0],
            i if i == steps => ends[1],
            _ => num::bisect(places[k - 1], places[k], 1e-13, short).unwrap_or(places[k]),
        };
        let at = foot(w);
        if i % 2 == 1 {
            last = last.map(|l| (l.0, folded.flat(w, at)));
            continue;
        }
        let open = matches!(laid.view.wall.seam, Seam::Open(_)) && (i == 0 || i == steps);
        let notch = if open {
            side_notch(laid, upper, i == steps, asked.rise)
        } else {
            folded.flat(w, at + round.generatrix(w).along * (up * asked.rise))
        };
        if let Some((before, tip)) = last {
            path.segs.push(tongue(before, tip, notch));
        }
        last = Some((notch, notch));
    }
    // For its area finer than for its line: chords of what bends one way all lie on one side of it.
    let finer = places.windows(2).flat_map(|p| [0.0, 0.25, 0.5, 0.75].map(|share| p[0] + (p[1] - p[0]) * share));
    let rim = finer.chain([ends[1]]).map(|w| folded.flat(w, foot(w))).collect();
    Some(Row { path, rim })
}

/// Where an open seam's side ends at a notch.
fn side_notch(laid: &Laid<'_>, upper: bool, end: bool, rise: f64) -> Vec2 {
    let corners = [(false, laid.cut.0), (true, laid.cut.1)].map(|(upper, line)| laid.corner(upper, line, end));
    let up = (corners[1] - corners[0]).normalize_or_zero();
    if upper { corners[1] - up * rise } else { corners[0] + up * rise }
}

/// The arc of a circle over a chord through a tip: it is seen from the tip under the angle `π − θ/2`, `θ` its sweep.
fn tongue(a: Vec2, tip: Vec2, b: Vec2) -> Seg {
    let (p, q) = (a - tip, b - tip);
    let seen = num::atan2(p.perp_dot(q).abs(), p.dot(q));
    let bulge = num::tan(0.5 * (num::PI - seen));
    let right = (b - a).perp_dot(tip - a) < 0.0;
    Seg { a, b, bulge: if right { bulge } else { -bulge } }
}

/// Where the line of a rim meets a side: the rim's end, or the notch there.
pub fn corner(laid: &Laid<'_>, upper: bool, end: bool) -> Vec2 {
    if let Some(row) = expected(laid, upper)
        && let Some(at) = if end { row.path.end() } else { row.path.start() }
    {
        return at;
    }
    laid.corner(upper, if upper { laid.cut.1 } else { laid.cut.0 }, end)
}

/// How far a rim's notches lie from it; 0 of any other.
pub fn rise(laid: &Laid<'_>, upper: bool) -> f64 {
    laid.view.wall.scalloped(laid.panel.ring, upper).map_or(0.0, |s| s.rise)
}

/// What both rims' notches take from the panel.
pub fn waste(laid: &Laid<'_>) -> f64 {
    let of = |upper: bool| expected(laid, upper).map_or(0.0, |row| measure::path_area(&[&row.around()]).abs());
    of(false) + of(true)
}

/// Where a generatrix, on the flat, ends at tongues; `from` is where it would end at the rim.
pub fn met(laid: &Laid<'_>, upper: bool, from: Vec2, within: Vec2) -> Vec2 {
    let Some(row) = expected(laid, upper) else { return from };
    let around = row.around();
    // It leaves what is cut away once, within twice the height of a tongue.
    let way = (within - from).normalize_or_zero() * (2.0 * rise(laid, upper));
    let (mut out, mut inside) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (out + inside);
        if measure::encloses(&around, from + way * middle) { out = middle } else { inside = middle }
    }
    from + way * inside
}

/// A row in space, as chains of points along it.
pub fn folded(laid: &Laid<'_>, row: &Row) -> Vec<Vec3> {
    let mut hints = Hints::default();
    measure::samples(&row.path, 2.0, 5e-4).into_iter().map(|p| laid.land(p, &mut hints).space).collect()
}

/// What is written along a rim lies on its tongues, and the other way round.
pub fn rim(row: &Row, group: &[&Piece], upper: bool, report: &mut Report) {
    let name = if upper { EdgeName::Upper } else { EdgeName::Lower };
    let what = format!("tongues of the {}", edge_name(name));
    super::marks::no_bevel(group, name, report);
    let written: Vec<Path> = group.iter().flat_map(|p| flats(p, name)).collect();
    report.verdict.checked.edges += written.len();
    report.holds(Check::Coverage, &what, "present", !written.is_empty());
    let mut most = Most::default();
    for p in written.iter().flat_map(|path| measure::samples(path, 1.0, 1e-3)) {
        most.add(measure::to_path(p, &row.path), p);
    }
    most.enter(report, Check::Landing, &what, LANDING);
    let mut most = Most::default();
    for p in measure::samples(&row.path, 1.0, 1e-3) {
        let off = written.iter().map(|path| measure::to_path(p, path)).fold(f64::INFINITY, f64::min);
        most.add(off, p);
    }
    most.enter(report, Check::Landing, &format!("{what}, all along"), LANDING);
}

fn flats(piece: &Piece, name: EdgeName) -> impl Iterator<Item = Path> {
    super::turn::edge_paths(piece, name).map(|p| measure::path_undone(&piece.from_flat, p))
}

/// The places where what is written along a rim turns back: its notches, but for those at its ends.
fn notches(paths: &[Path]) -> Vec<Vec2> {
    let turned = |w: &[Seg]| {
        let (a, b) = (w[0].direction(1.0), w[1].direction(0.0));
        let sharp = num::atan2(a.perp_dot(b), a.dot(b)).abs().to_degrees() > SHARP;
        // Over a corner of its edge a row turns by less, from one circle to another all the same.
        let another = w[0].centre().zip(w[1].centre()).is_some_and(|(a, b)| a.distance(b) > APART);
        (sharp || another).then_some(w[0].b)
    };
    paths.iter().flat_map(|p| p.segs.windows(2).filter_map(turned)).collect()
}

/// What a row is asked to be.
pub struct Asked {
    pub count: usize,
    pub rise: f64,
    pub wide: f64,
    pub facing: f64,
    pub depth: f64,
}

/// A row measured on the pieces of one panel: tongues counted, notches folded and held against the rim and against the
/// strip's other edge. False when nothing can be measured, `None` of a panel without a row.
pub fn claim(laid: &Laid<'_>, group: &[&Piece], asked: &Asked, what: &str, r: &mut Report) -> Option<bool> {
    let upper = [false, true].into_iter().find(|u| laid.view.wall.scalloped(laid.panel.ring, *u).is_some())?;
    let name = if upper { EdgeName::Upper } else { EdgeName::Lower };
    let hands: BTreeSet<_> = group.iter().map(|p| p.hand).collect();
    let mut any = false;
    for hand in hands {
        let paths: Vec<Path> = group.iter().filter(|p| p.hand == hand).flat_map(|p| flats(p, name)).collect();
        let found = notches(&paths);
        // In a half the tongue that is cut through has no notch of its own.
        r.count(&format!("{what}, tongues"), found.len() + 1, asked.count);
        let strip = laid.rim_strip(upper);
        let round = &laid.view.rounds[laid.ring.strips.start + strip];
        let mut hints = Hints::default();
        let mut moved = (0.0, 0.0);
        for p in &found {
            let l = laid.land(*p, &mut hints);
            let foot = laid.view.line(laid.ring, upper, Line::Middle, l.w, &laid.layer).foot;
            let along = round.generatrix(l.w).along * if upper { 1.0 } else { -1.0 };
            let tall = (foot - l.space).dot(along);
            let place = format!("{tall:.3} mm for {:.3}", asked.rise);
            r.figure(Check::Claim, &format!("{what}, from notch to tip"), place, (tall - asked.rise).abs(), FIT);
            moved = (moved.0 + (asked.rise - tall), moved.1 + 1.0);
        }
        any = true;
        // The strip's width with its tongues: from the other edge as cut to the notches as cut, and on by their height.
        if laid.view.wall.rings.len() > 1 {
            continue;
        }
        let edge = |upper: bool| {
            let round = &laid.view.rounds[laid.ring.strips.start + laid.rim_strip(upper)];
            let w = round.facing(asked.facing)?;
            Some((w, laid.view.edge(laid.ring, upper, w, asked.depth, laid.layer.neutral).point))
        };
        let (Some((w, tip)), Some((_, far))) = (edge(upper), edge(!upper)) else { return Some(false) };
        let other = if upper { EdgeName::Lower } else { EdgeName::Upper };
        let line = if upper { laid.cut.0 } else { laid.cut.1 };
        let up = round.generatrix(w).along * if upper { 1.0 } else { -1.0 };
        let mut off = (0.0, 0.0);
        for piece in group.iter().filter(|p| p.hand == hand) {
            for path in super::turn::edge_paths(piece, other) {
                for (_, l) in laid.landed_rim(&piece.from_flat, path, !upper, line) {
                    let foot = laid.view.line(laid.ring, !upper, line, l.w, &laid.layer).foot;
                    off = (off.0 + (l.space - foot).dot(up), off.1 + 1.0);
                }
            }
        }
        let mean = |m: (f64, f64)| if m.1 > 0.0 { m.0 / m.1 } else { 0.0 };
        let is = (tip - far).dot(up) - mean(off) + mean(moved);
        r.figure(
            Check::Claim,
            &format!("{what}, width of the strip"),
            format!("{is:.3} mm for {:.3}", asked.wide),
            (is - asked.wide).abs(),
            FIT,
        );
    }
    Some(any)
}
