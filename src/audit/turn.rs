//! Turns: what lies beyond an edge that is folded over. The outline that is written is laid beside the fold: how far it
//! reaches, where the cuts into it stand, and how much longer or shorter every tab between two cuts is, at every distance
//! from the fold, than what it is folded onto. That is walked along the solid, place by place, as the folded edge landed.

mod lands;
mod lengths;
mod spread;
mod under;

use crate::design::Face;
use crate::geom::Vec2;
use crate::geom::path::{Path, Seg};
use crate::piece::{About, Operation, Piece};
use crate::solid::{EdgeName, Onto, Solid, Turn};
use crate::verdict::Check;

pub use spread::claim;
pub use under::Under;

use lengths::{Ground, Lengths};

use super::laid::{Hints, Laid};
use super::lines::{Line, View};
use super::measure::{self, right_of};
use super::plate::Plane;
use super::report::{FIT, LANDING, Most, Report};
use super::wall::edge_name;

/// What a tab may be longer or shorter than what it lies on, mm.
const KEPT: f64 = 1.0;
/// A line of the outline this near to the turn's width is its free edge, mm.
const FREE: f64 = 0.2;
/// Steps along the fold and away from it, mm.
const STEP: f64 = 0.5;

/// The lines of a piece that stand for an edge: what is cut along it, or the fold.
pub fn edge_paths(piece: &Piece, edge: EdgeName) -> impl Iterator<Item = &Path> {
    let runs = piece.contour.iter().filter(move |r| r.edge == Some(edge)).map(|r| &r.path);
    runs.chain(folds(piece, edge))
}

fn folds(piece: &Piece, edge: EdgeName) -> impl Iterator<Item = &Path> {
    let of = move |m: &&crate::piece::Mark| m.operation == Operation::Fold && m.about == About::Turn(edge);
    piece.marks.iter().filter(of).map(|m| &m.path)
}

/// The folds of an edge as the piece's contour runs, each after the one it goes on from.
pub fn folds_in_order(piece: &Piece, edge: EdgeName) -> Vec<Path> {
    let back = |p: &Path| {
        let flip = |s: &Seg| Seg { a: s.b, b: s.a, bulge: -s.bulge };
        Path { segs: p.segs.iter().rev().map(flip).collect() }
    };
    let mut open: Vec<Path> = folds(piece, edge)
        .filter(|p| !p.segs.is_empty())
        .map(|p| if piece.from_flat.mirror { back(p) } else { p.clone() })
        .collect();
    let near = |a: Option<Vec2>, b: Option<Vec2>| a.zip(b).is_some_and(|(a, b)| (a - b).length() <= LANDING);
    let mut out: Vec<Path> = Vec::new();
    while !open.is_empty() {
        let follows = |p: &Path| out.last().is_some_and(|o| near(o.end(), p.start()));
        let starts = |p: &Path| !open.iter().any(|o| !std::ptr::eq(o, p) && near(o.end(), p.start()));
        let next = open.iter().position(follows).or_else(|| open.iter().position(starts)).unwrap_or(0);
        out.push(open.remove(next));
    }
    out
}

/// What the key says of it, but for the number of cuts.
pub fn said(turn: &Turn) -> String {
    let onto = match turn.onto {
        Onto::Back { .. } => "over the edge",
        Onto::Across => "over the edge and across",
        Onto::Side => "over the edge and down the side",
        Onto::Bore => "along the wall's inside",
        Onto::Next { .. } => "behind the next ring",
        Onto::Beyond { .. } => "behind the wall it meets",
        Onto::Ground { outward: false, .. } => "inward, on what it stands on",
        Onto::Ground { outward: true, .. } => "outward, on what it stands on",
        Onto::Not(why) => return format!("; not turned over: {why}"),
    };
    let wide = (turn.wide * 10.0).round() / 10.0;
    match turn.glued {
        Some(Face::Inside) => format!("; glue tabs {wide} mm {onto}, glue on the inside face"),
        Some(_) => format!("; glue tabs {wide} mm {onto}, glue on the outside face"),
        None => format!("; turned {wide} mm {onto}"),
    }
}

/// A place of the fold: arc length, where on the flat, outward, and its place on the way round the solid.
struct Spot {
    s: f64,
    at: Vec2,
    out: Vec2,
    w: f64,
}

/// Points along a line with their directions, each segment by itself.
fn walked(path: &Path, w: &mut dyn FnMut(Vec2) -> f64) -> Vec<Spot> {
    let mut out = Vec::new();
    let mut s = 0.0;
    for seg in &path.segs {
        let long = seg.length();
        let n = (long / STEP).ceil().clamp(1.0, 20_000.0);
        let mut i = 0.0;
        while i <= n {
            let at = seg.at(i / n);
            out.push(Spot { s: s + long * i / n, at, out: right_of(seg.direction(i / n)), w: w(at) });
            i += 1.0;
        }
        s += long;
    }
    out
}

/// One side of a tab: where it stands at each distance from the fold.
#[derive(Clone, Debug)]
struct Bound {
    /// Where on the fold, and from which distance on it leaves the line square to it.
    root: f64,
    /// Distance and place along the fold, outward.
    line: Vec<(f64, f64)>,
    /// A tab ends here at the cut between halves.
    loose: bool,
}

impl Bound {
    fn at(&self, x: f64) -> f64 {
        let Some(&(first, _)) = self.line.first() else { return self.root };
        if x <= first {
            return self.root;
        }
        for pair in self.line.windows(2) {
            let ((x0, s0), (x1, s1)) = (pair[0], pair[1]);
            if x <= x1 {
                return if x1 > x0 { s0 + (s1 - s0) * (x - x0) / (x1 - x0) } else { s1 };
            }
        }
        self.line[self.line.len() - 1].1
    }
}

/// A turn on one piece, its fold walked.
struct Folded<'a> {
    turn: &'a Turn,
    spots: Vec<Spot>,
    round: bool,
    long: f64,
}

impl Folded<'_> {
    /// Arc length along the fold and distance from it of a point of the flat.
    fn place(&self, p: Vec2) -> (f64, f64) {
        let mut best = (f64::INFINITY, 0, 0.0);
        for (i, pair) in self.spots.windows(2).enumerate() {
            let (a, b) = (&pair[0], &pair[1]);
            let chord = b.at - a.at;
            let l2 = chord.length_squared();
            let t = if l2 > 0.0 { ((p - a.at).dot(chord) / l2).clamp(0.0, 1.0) } else { 0.0 };
            let d = (p - a.at - chord * t).length();
            if d < best.0 {
                best = (d, i, t);
            }
        }
        let (d, i, t) = best;
        let Some([a, b]) = self.spots.get(i..i + 2).and_then(|w| <&[Spot; 2]>::try_from(w).ok()) else {
            return (0.0, d);
        };
        // The foot of a point some way off lies where the fold's own normal goes through it, not a chord's: outside a bend
        // most points are nearest to a corner between two chords.
        let aside = |[a, b]: [&Spot; 2]| [(p - a.at).perp_dot(a.out), (p - b.at).perp_dot(b.out)];
        let goes_through = |s: [&Spot; 2]| {
            let [from, to] = aside(s);
            from * to <= 0.0 && from != to
        };
        let last = self.spots.len() - 2;
        let beside = |i: usize, on: bool| match (on, i) {
            (true, i) if i < last => Some(i + 1),
            (true, _) => self.round.then_some(0),
            (false, 0) => self.round.then_some(last),
            (false, i) => Some(i - 1),
        };
        let pair = |i: usize| [&self.spots[i], &self.spots[i + 1]];
        let mut near = vec![i];
        for on in [true, false] {
            // Past the places that stand twice, where one segment follows another.
            let mut at = i;
            for _ in 0..3 {
                let Some(next) = beside(at, on) else { break };
                near.push(next);
                at = next;
            }
        }
        let through = near.into_iter().find(|i| goes_through(pair(*i)));
        let ([a, b], t) = match through {
            Some(i) => {
                let [from, to] = aside(pair(i));
                (pair(i), from / (from - to))
            }
            None => ([a, b], t),
        };
        let off = |t: f64| p - a.at - (b.at - a.at) * t;
        let out = a.out + (b.out - a.out) * t;
        (a.s + (b.s - a.s) * t, d * if off(t).dot(out) < 0.0 { -1.0 } else { 1.0 })
    }

    /// How far a point lies beyond either end of a fold that does not run round.
    fn beyond(&self, p: Vec2) -> f64 {
        let (Some(a), Some(b), false) = (self.spots.first(), self.spots.last(), self.round) else { return 0.0 };
        // Along the fold is to the left of outward.
        let along = |s: &Spot| -right_of(s.out);
        let (s, _) = self.place(p);
        if s <= LANDING {
            -(p - a.at).dot(along(a))
        } else if s >= self.long - LANDING {
            (p - b.at).dot(along(b))
        } else {
            0.0
        }
    }
}

/// All turns of a wall's panel; what one lies on may belong to another part.
pub fn on_wall((solid, views): (&Solid, &[Option<View<'_>>]), laid: &Laid<'_>, group: &[&Piece], r: &mut Report) {
    let ring = laid.panel.ring;
    for edge in [EdgeName::Lower, EdgeName::End, EdgeName::Upper, EdgeName::Begin] {
        let Some(turn) = laid.view.turn(ring, edge) else {
            none(group, edge, r);
            continue;
        };
        let upper = edge == EdgeName::Upper;
        let side = matches!(edge, EdgeName::Begin | EdgeName::End);
        let mut hints = Hints::default();
        let mut place = |p: Vec2| if side { 0.0 } else { laid.land(p, &mut hints).w };
        let beyond = match turn.onto {
            Onto::Beyond { edge, .. } => {
                let found = under::Beyond::of(solid, views, laid, edge);
                r.holds(
                    Check::Coverage,
                    edge_name(turn.at.edge),
                    "turned behind a wall that is there",
                    found.is_some(),
                );
                found
            }
            _ => None,
        };
        let space = |w: f64| under::of_rim(laid, upper, turn.onto, beyond.as_ref(), w);
        if let Some(beyond) = &beyond {
            lands::on_wall(laid, turn, beyond, &space, r);
        }
        lands::on_flat(solid, laid, turn, &space, r);
        let space: Option<&dyn Fn(f64) -> Under> = if side { None } else { Some(&space) };
        check(turn, edge, group, &mut place, space, r);
    }
}

/// The turn of a plate.
pub fn on_plate(plane: &Plane<'_>, group: &[&Piece], r: &mut Report) {
    let Some(turn) = plane.turn() else {
        none(group, EdgeName::Outline, r);
        return;
    };
    let line: Vec<(f64, Vec2)> = plane.places(Line::Middle);
    let mut place = |p: Vec2| {
        let mut best = (f64::INFINITY, 0.0);
        for pair in line.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let chord = b.1 - a.1;
            let l2 = chord.length_squared();
            let t = if l2 > 0.0 { ((p - a.1).dot(chord) / l2).clamp(0.0, 1.0) } else { 0.0 };
            let d = (p - a.1 - chord * t).length();
            if d < best.0 {
                best = (d, a.0 + (b.0 - a.0) * t);
            }
        }
        best.1
    };
    let space = |w: f64| plane.beside(w);
    check(turn, EdgeName::Outline, group, &mut place, Some(&space), r);
}

/// An edge that is not folded over carries neither fold nor turn.
fn none(group: &[&Piece], edge: EdgeName, r: &mut Report) {
    for piece in group {
        let marks = piece.marks.iter().filter(|m| m.about == About::Turn(edge)).count();
        let runs = piece.contour.iter().filter(|run| run.turn == Some(edge)).count();
        r.count(&format!("turn of the {}", edge_name(edge)), marks + runs, 0);
    }
}

fn check(
    turn: &Turn,
    edge: EdgeName,
    group: &[&Piece],
    place: &mut dyn FnMut(Vec2) -> f64,
    space: Option<&dyn Fn(f64) -> Under>,
    r: &mut Report,
) {
    let what = format!("{}, folded over", edge_name(edge));
    let mut cuts = 0;
    if !matches!(turn.onto, Onto::Not(_)) {
        let runs = || group.iter().flat_map(|p| &p.contour);
        r.holds(Check::Coverage, &what, "is there", runs().any(|run| run.turn == Some(edge)));
        r.count(&format!("{what}, cut level"), runs().filter(|run| run.edge == Some(edge)).count(), 0);
    }
    for piece in group {
        let folds = folds_in_order(piece, edge);
        let mut fold = Path { segs: folds.into_iter().flat_map(|p| p.segs).collect() };
        let runs: Vec<&Path> = piece.contour.iter().filter(|run| run.turn == Some(edge)).map(|run| &run.path).collect();
        let (Some(start), Some(end)) = (fold.start(), fold.end()) else {
            r.count(&format!("{what}, without a fold"), runs.len(), 0);
            continue;
        };
        r.count(&format!("{what}, outlines"), runs.len(), 1);
        let [run] = runs.as_slice() else { continue };
        r.verdict.checked.edges += 1;
        fold = measure::path_undone(&piece.from_flat, &fold);
        let mut outline = measure::path_undone(&piece.from_flat, run);
        if piece.from_flat.mirror {
            // As it runs round the flat, not round the piece that is turned over.
            let flip = |p: &Path| Path { segs: p.segs.iter().rev().map(Seg::reversed).collect() };
            (fold, outline) = (flip(&fold), flip(&outline));
        }
        let round = (end - start).length() <= LANDING;
        let spots = walked(&fold, place);
        let long = spots.last().map_or(0.0, |s| s.s);
        let folded = Folded { turn, spots, round, long };
        let slits = piece.marks.iter().filter(|m| m.operation == Operation::Slit && m.about == About::Turn(edge));
        let slits: Vec<Path> = slits.map(|m| measure::path_undone(&piece.from_flat, &m.path)).collect();
        cuts += one(&folded, &outline, &slits, piece.split.is_some(), space, &what, r);
    }
    let whole = group.iter().all(|p| p.split.is_none());
    for note in group.iter().flat_map(|p| &p.edges).filter(|n| whole && n.edge == edge) {
        let counted = match cuts {
            0 => said(turn),
            1 => said(turn) + ", 1 cut",
            n => said(turn) + &format!(", {n} cuts"),
        };
        r.holds(Check::Turn, &format!("{what}, in the key"), &note.bevel, note.bevel.ends_with(&counted));
    }
}

/// Checks one turn and counts its cuts.
#[allow(clippy::too_many_arguments)]
fn one(
    folded: &Folded<'_>,
    outline: &Path,
    slits: &[Path],
    half: bool,
    space: Option<&dyn Fn(f64) -> Under>,
    what: &str,
    r: &mut Report,
) -> usize {
    let wide = folded.turn.wide;
    let (mut reach, mut strays, mut free) = (Most::default(), Most::default(), 0.0);
    // The outline as stretches along the free edge and chains of cut lines between them, as distance and place.
    let mut chains: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    for seg in &outline.segs {
        let at = |t: f64| {
            let (s, x) = folded.place(seg.at(t));
            (x, s)
        };
        let is_free = [0.0, 0.5, 1.0].iter().all(|t| (at(*t).0 - wide).abs() <= FREE);
        let n = (seg.length() / 2.0).ceil().clamp(1.0, 5000.0);
        let mut i = 0.0;
        while i <= n {
            let p = seg.at(i / n);
            let (x, s) = at(i / n);
            if is_free {
                reach.add((x - wide).abs(), p);
            } else {
                strays.add((x - wide).max(-x).max(folded.beyond(p)), p);
                if let Some(chain) = chains.last_mut() {
                    chain.push((x, s));
                }
            }
            i += 1.0;
        }
        if is_free {
            free += seg.length();
            if chains.last().is_some_and(|c| !c.is_empty()) {
                chains.push(Vec::new());
            }
        }
    }
    r.holds(Check::Coverage, what, "has a free edge", reach.any() && free > 0.0);
    reach.enter(r, Check::Turn, &format!("{what}, its width"), FIT);
    strays.enter(r, Check::Turn, &format!("{what}, its cuts and ends"), FIT);
    if !reach.any() {
        return 0;
    }
    let starts_free = outline.segs.first().is_some_and(|s| (folded.place(s.at(0.5)).1 - wide).abs() <= FREE);
    chains.retain(|c| !c.is_empty());
    spread::slits(folded, slits, what, r);
    let (mut bounds, cuts) = bounds(folded, chains, starts_free, slits, half);
    let asked = if folded.turn.relief { usize::MAX } else { 0 };
    r.holds(Check::Turn, what, &format!("{cuts} cuts"), cuts <= asked);
    let (true, Some(space)) = (folded.turn.relief, space) else { return cuts };
    bounds.sort_by(|a, b| a[1].root.total_cmp(&b[1].root));
    tabs(folded, &bounds, space, what, r);
    cuts
}

/// The sides of all tabs: of each place between two tabs the side before and the side after it. Counts the cuts.
fn bounds(
    folded: &Folded<'_>,
    mut chains: Vec<Vec<(f64, f64)>>,
    starts_free: bool,
    slits: &[Path],
    half: bool,
) -> (Vec<[Bound; 2]>, usize) {
    let mut out: Vec<[Bound; 2]> = Vec::new();
    let mut cuts = slits.len();
    let both = |b: Bound| [b.clone(), b];
    let square = |root: f64, loose: bool| both(Bound { root, line: Vec::new(), loose });
    for slit in slits {
        let ends = [slit.start(), slit.end()].map(|p| p.map_or((0.0, 0.0), |p| folded.place(p)));
        out.push(square(0.5 * (ends[0].0 + ends[1].0), false));
    }
    if folded.round {
        // A chain that the start divides is one.
        if !starts_free && chains.len() > 1 {
            let first = chains.remove(0);
            if let Some(last) = chains.last_mut() {
                last.extend(first);
            }
        }
    } else {
        let ends = |chain: Vec<(f64, f64)>, root: f64| {
            let mut line = chain;
            if line.first().is_some_and(|f| f.0 > line[line.len() - 1].0) {
                line.reverse();
            }
            let reaches = line.first().is_some_and(|f| f.0 <= FREE);
            both(Bound { root, line, loose: half && !reaches })
        };
        let first = if starts_free || chains.is_empty() { Vec::new() } else { chains.remove(0) };
        // A cut between halves may end the last tab's side before that comes to the fold.
        let at_end = |p: &(f64, f64)| p.0 <= FREE || half && p.1 >= folded.long - FREE;
        let last = chains.pop_if(|c| c.last().is_some_and(at_end)).unwrap_or_default();
        out.push(ends(first, 0.0));
        out.push(ends(last, folded.long));
    }
    for mut chain in chains {
        cuts += 1;
        // Where it passes the start of a line that runs round, it goes on beyond its length.
        let turned = chain[0].1;
        for p in &mut chain {
            p.1 += ((turned - p.1) / folded.long).round() * folded.long * f64::from(u8::from(folded.round));
        }
        let apex = (0..chain.len()).min_by(|a, b| chain[*a].0.total_cmp(&chain[*b].0)).unwrap_or(0);
        let root = chain[apex].1;
        let mut before = chain[..=apex].to_vec();
        before.reverse();
        let after = chain[apex..].to_vec();
        out.push([Bound { root, line: before, loose: false }, Bound { root, line: after, loose: false }]);
    }
    (out, cuts)
}

/// Every tab, at every distance: its length on the flat less that of what it lies on.
fn tabs(folded: &Folded<'_>, bounds: &[[Bound; 2]], space: &dyn Fn(f64) -> Under, what: &str, r: &mut Report) {
    let steps = (folded.turn.wide / STEP).ceil().max(1.0) as usize;
    let mut pairs: Vec<(Bound, Bound)> = bounds.windows(2).map(|b| (b[0][1].clone(), b[1][0].clone())).collect();
    if folded.round {
        let on = |mut b: Bound| {
            b.root += folded.long;
            b.line.iter_mut().for_each(|p| p.1 += folded.long);
            b
        };
        match (bounds.first(), bounds.last()) {
            (Some(first), Some(last)) => pairs.push((last[1].clone(), on(first[0].clone()))),
            _ => {
                let whole = |root| Bound { root, line: Vec::new(), loose: false };
                pairs.push((whole(0.0), whole(folded.long)));
            }
        }
    }
    let mut most = Most::default();
    let ground = Ground::new(folded, space);
    let spread = spread::spreads(folded.turn);
    let mut meet = Most::default();
    if spread {
        spread::bows(folded, &ground, &pairs, what, r);
    }
    for i in 0..=steps {
        let x = folded.turn.wide * i as f64 / steps as f64;
        let lengths = Lengths::new(folded, x, &ground);
        if spread {
            spread::meet(folded, &lengths, bounds, x, &mut meet);
        }
        for (a, b) in &pairs {
            let flat = lengths.flat(b.at(x)) - lengths.flat(a.at(x));
            let kept = flat - (lengths.lies(b.root) - lengths.lies(a.root));
            // Beside a cut between halves it may lack what the other half has; where slits open it may lack anything.
            let off = if a.loose || b.loose || spread { kept.max(0.0) } else { kept.abs() };
            let middle = folded.spots.partition_point(|s| s.s < 0.5 * (a.root + b.root));
            most.add(off, folded.spots[middle.min(folded.spots.len() - 1)].at);
        }
    }
    r.holds(Check::Coverage, what, "has tabs", most.any());
    meet.enter(r, Check::Turn, &format!("{what}, tabs in each other"), spread::MEET);
    most.enter(r, Check::Turn, &format!("{what}, what a tab keeps"), KEPT);
}
