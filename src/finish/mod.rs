//! From flat to piece: which line of each edge is cut, what seams carry beyond themselves, ticks and bevel lines,
//! names, lettering, what is too large for its sheet, and the one rounding of all coordinates.
//!
//! Everything up to the rounding stays in the flat's frame; a right-hand piece is then mirrored in the y axis. It
//! lays nothing on a sheet and says nothing of machines.

mod allowance;
mod contour;
mod errors;
mod formed;
mod grid;
mod label;
mod marks;
mod name;
mod notes;
mod offsets;
mod places;
mod room;
mod round;
mod sided;
mod split;
#[cfg(test)]
mod tests;
mod traces;
mod turn;

use std::collections::BTreeSet;

use room::Line;

use crate::design::Hand;
use crate::diag::Diagnostics;
use crate::flat::{Allowance, Flat, Panel, Ruling};
use crate::geom::path::{Motion, Path};
use crate::geom::ring::Ring;
use crate::geom::{Vec2, tol, unit};
use crate::ids::{JointId, PieceId};
use crate::num;
use crate::piece::{About, EdgeNote, Hole, Mark, Operation, Piece, Pieces, Run, Split};
use crate::skin::leaf::Formed;
use crate::solid::{Body, Contact, EdgeName, EdgeRef, Grain, Layer, Leaf, Part, Rim, Solid, hands};
use crate::threads;

/// A panel's outline and what is on it, in the flat's frame.
#[derive(Clone, Debug)]
struct Draft {
    runs: Vec<Run>,
    holes: Vec<Hole>,
    marks: Vec<Mark>,
    /// What there is of each mark of the text.
    traces: traces::Shown,
    /// The panel's generatrices with the way up there, for lettering.
    spine: Vec<Line>,
    split: Option<Split>,
    /// Of a half: what the whole panel had of each edge.
    wholes: Vec<(EdgeName, f64)>,
}

impl Draft {
    /// How much of an edge it has, mm: what is cut, and the seam line under a lap or under tabs or the fold of a turn,
    /// which are marks.
    fn share_of(&self, edge: EdgeName) -> f64 {
        let cut: f64 = self.runs.iter().filter(|r| r.edge == Some(edge)).map(|r| r.path.length()).sum();
        let fold = |m: &Mark| m.operation == Operation::Fold && m.about == About::Turn(edge);
        let under = self.marks.iter().filter(|m| edge == EdgeName::End && m.about == About::Lap || fold(m));
        cut + under.map(|m| m.path.length()).sum::<f64>()
    }

    fn outline(&self) -> Path {
        Path { segs: self.runs.iter().flat_map(|r| r.path.segs.iter().copied()).collect() }
    }
}

/// Pieces of every panel, in the order of the parts; a panel that cannot be cut is reported and left out.
#[must_use]
pub fn finish(solid: &Solid, flat: &Flat) -> (Pieces, Diagnostics) {
    let (mut pieces, to_letter, diagnostics) = all(solid, flat);
    let lettered = threads::each(&to_letter, |one| {
        let mut piece = pieces[one.piece].clone();
        label::letter(&mut piece, &one.words, &one.spine);
        piece
    });
    for (one, piece) in to_letter.iter().zip(lettered) {
        pieces[one.piece] = piece;
    }
    (Pieces { pieces }, diagnostics)
}

/// The same pieces without their lettering, in which no fault can be: for whoever asks only what is wrong.
#[must_use]
pub fn unlettered(solid: &Solid, flat: &Flat) -> (Pieces, Diagnostics) {
    let (pieces, _, diagnostics) = all(solid, flat);
    (Pieces { pieces }, diagnostics)
}

/// What is to be written on a piece, and the lines up it along which that is best.
struct ToLetter {
    piece: usize,
    words: label::Words,
    spine: Vec<Line>,
}

fn all(solid: &Solid, flat: &Flat) -> (Vec<Piece>, Vec<ToLetter>, Diagnostics) {
    let mut maker = Maker {
        solid,
        pieces: Vec::new(),
        to_letter: Vec::new(),
        names: BTreeSet::new(),
        splits: 0,
        diagnostics: Diagnostics::new(),
    };
    // Each panel is drawn for itself; what they are called and where they are split goes by their order.
    let drawn = threads::each(&flat.panels, |panel| draft(solid, &solid.parts[panel.part.index()], panel));
    let mut drawn: Vec<(&Panel, Drawn)> = flat.panels.iter().zip(drawn).collect();
    drawn.sort_by_key(|(panel, _)| panel.part);
    let mut drawn = drawn.into_iter().peekable();
    for part in &solid.parts {
        let mut tabs: Vec<(f64, f64)> = Vec::new();
        while let Some((panel, draft)) = drawn.next_if(|(panel, _)| panel.part == part.id) {
            maker.panel((part, panel), draft, &mut tabs);
        }
        // One width for all of its panels: the narrowest of what fits.
        if let Some(&(wide, fits)) = tabs.iter().min_by(|a, b| a.1.total_cmp(&b.1)) {
            maker.diagnostics.push(errors::tabs_too_wide(part.origin, &part.name, wide, fits, seam_of(part)));
        }
    }
    (maker.pieces, maker.to_letter, maker.diagnostics)
}

struct Maker<'a> {
    solid: &'a Solid,
    pieces: Vec<Piece>,
    to_letter: Vec<ToLetter>,
    names: BTreeSet<String>,
    splits: usize,
    diagnostics: Diagnostics,
}

impl Maker<'_> {
    fn panel(&mut self, (part, panel): (&Part, &Panel), draft: Drawn, tabs: &mut Vec<(f64, f64)>) {
        let Some(drafts) = self.drafts((part, panel), draft, tabs) else { return };
        for hand in hands(part.pair) {
            for draft in &drafts {
                self.piece(part, panel, *hand, draft);
            }
        }
    }

    /// The whole panel, or its two halves; `None` when something is wrong with it. Tabs that are too wide are kept for
    /// the part to tell: what was asked for and what fits.
    fn drafts(
        &mut self,
        (part, panel): (&Part, &Panel),
        draft: Drawn,
        tabs: &mut Vec<(f64, f64)>,
    ) -> Option<Vec<Draft>> {
        let what = name::piece(part, panel, None, None);
        let draft = match draft {
            Ok(draft) => draft,
            Err(fault) => {
                match fault {
                    DraftFault::Outline(f) => self.diagnostics.push(errors::broken_outline(part.origin, &what, f)),
                    DraftFault::Lap(overlap, room) => {
                        let error = errors::lap_too_long(part.origin, &what, overlap, room, seam_of(part));
                        self.diagnostics.push(error);
                    }
                    DraftFault::Tabs(wide, fits) => tabs.push((wide, fits)),
                }
                return None;
            }
        };
        if let Err(fault) = Ring::new(draft.outline()) {
            self.diagnostics.push(allowance::broken(part, panel, &what, fault, Some(&draft.runs)));
            return None;
        }
        let stock = &self.solid.stocks[part.layers[panel.layer].stock];
        let sheet = split::Sheet::of(stock, &self.solid.job);
        let up = up(part, panel);
        let outline = draft.outline();
        if sheet.takes(&outline, stock.grain, up) {
            return Some(vec![draft]);
        }
        let joint = JointId::new(self.solid.joints.len() + self.splits);
        let halves = if let Body::Folded(_) = part.body {
            Err(errors::Whole::Folded)
        } else if matches!(&part.body, Body::Wall(wall) if wall.formed.is_some()) {
            Err(errors::Whole::Formed)
        } else if part.split {
            split::halves(&draft, &sheet, stock.grain, up, joint)
        } else {
            Err(errors::Whole::Never)
        };
        match halves {
            Ok(halves) => {
                let letter = name::spare_letter(&self.solid.joints, self.splits);
                self.splits += 1;
                let warning = errors::piece_split(part.origin, &what, &stock.name, &sheet.words(), &letter);
                self.diagnostics.push(warning);
                Some(halves.into())
            }
            Err(why) => {
                let size = split::size(&outline);
                let error = errors::piece_too_large(part.origin, &what, size, &stock.name, &sheet.words(), why);
                self.diagnostics.push(error);
                // It goes on whole, so that its other faults are found too.
                Some(vec![draft])
            }
        }
    }

    fn piece(&mut self, part: &Part, panel: &Panel, hand: Option<Hand>, draft: &Draft) {
        let mirrored = hand == Some(Hand::Right);
        let motion = Motion { mirror: mirrored, ..Motion::STAY };
        let place = |p: &Path| {
            let moved = p.moved(&motion);
            round::path(&if mirrored { moved.reversed() } else { moved })
        };
        let mut contour: Vec<Run> = draft
            .runs
            .iter()
            .map(|r| Run { path: place(&r.path), ..r.clone() })
            .filter(|r| !r.path.is_empty())
            .collect();
        if mirrored {
            contour.reverse();
        }
        let holes: Vec<Hole> = draft.holes.iter().map(|h| Hole { outline: place(&h.outline), ..h.clone() }).collect();
        let name = name::piece(part, panel, hand, draft.split.as_ref());
        let outline = Path { segs: contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() };
        let mut proven = vec![Ring::new(outline.clone())];
        proven.extend(holes.iter().map(|h| Ring::new(h.outline.clone())));
        if let Some(fault) = proven.into_iter().find_map(Result::err) {
            let runs = draft.split.is_none().then_some(&contour[..]);
            self.diagnostics.push(allowance::broken(part, panel, &name, fault, runs));
            return;
        }
        let marks: Vec<Mark> = draft
            .marks
            .iter()
            .map(|m| Mark { path: round::path(&m.path.moved(&motion)), ..m.clone() })
            .filter(|m| !m.path.is_empty())
            .collect();
        let places = places::notes(panel, draft, mirrored);
        let traces = traces::notes(self.solid, draft);
        let layer = &part.layers[panel.layer];
        let stock = &self.solid.stocks[layer.stock];
        let up = motion.apply_direction(up(part, panel));
        let area = outline.area() - holes.iter().map(|h| h.outline.area()).sum::<f64>();
        let edges = self.notes(part, panel, draft, mirrored);
        let compass = self.solid.job.cutter.as_ref().map_or(notes::COMPASS, |c| c.compass);
        // Edges that are folded over are drawn as their folds, walked as the contour is.
        let mut lines = contour.clone();
        for mark in marks.iter().filter(|m| m.operation == Operation::Fold) {
            if let About::Turn(edge) = mark.about {
                let path = if mirrored { mark.path.reversed() } else { mark.path.clone() };
                lines.push(Run::of(Some(edge), path));
            }
        }
        let lost = match &part.body {
            Body::Leaf(leaf) => bevelled_off(leaf, panel, layer, outline.area()),
            Body::Plate(plate) if plate.sided && draft.split.is_none() => {
                sided::off(part, plate, layer, outline.area())
            }
            Body::Folded(wall) => {
                wall.within_cut(layer.square) - wall.volume(layer.square) / (layer.outer - layer.inner)
            }
            Body::Wall(_) | Body::Plate(_) => 0.5 * bevelled(&contour, &marks),
        };
        let piece = Piece {
            id: PieceId::new(self.pieces.len()),
            panel: panel.id,
            part: part.id,
            origin: part.origin,
            name: name::unique(name, &mut self.names),
            number: self.pieces.len() + 1,
            hand,
            stock: layer.stock,
            offsets: offsets::offsets(&lines, compass),
            mass: stock.area_mass.map(|m| m * (area - lost)),
            contour,
            holes,
            marks,
            places,
            traces,
            letters: Vec::new(),
            edges,
            grain: (stock.grain != Grain::None).then_some(up),
            up,
            area,
            from_flat: motion,
            split: draft.split,
            formed: formed::of(part),
        };
        let spine: Vec<Line> = draft
            .spine
            .iter()
            .map(|l| Line { from: motion.apply(l.from), to: motion.apply(l.to), up: motion.apply_direction(l.up) })
            .collect();
        let mut lines = vec![format!("cut 1, {}", stock.name)];
        match hand {
            Some(Hand::Left) => lines.push("outside up, LEFT".into()),
            Some(Hand::Right) => lines.push("outside up, RIGHT".into()),
            None => lines.push("outside up".into()),
        }
        lines.extend(formed::label(part));
        // A cap, and the collar round a foot, lies with the wearer's front up; a panel, a tab or a patch as it goes on the
        // prop.
        let flat = match &part.body {
            Body::Plate(plate) => !plate.upright && !self.solid.fitted.patches.contains(&part.id),
            // Out of a collar the foot of its own shell is cut.
            Body::Leaf(leaf) => leaf.holes.iter().any(|h| h.thing == part.thing),
            Body::Wall(_) | Body::Folded(_) => false,
        };
        let arrow = match self.next_ring(part, panel.ring) {
            _ if flat => "front".to_owned(),
            Some(next) => format!("to {next}"),
            None => "up".to_owned(),
        };
        self.to_letter.push(ToLetter { piece: self.pieces.len(), words: label::Words { lines, arrow }, spine });
        self.pieces.push(piece);
    }

    /// The part that a ring of a bent wall is joined to at its upper rim.
    fn next_ring(&self, part: &Part, ring: usize) -> Option<&str> {
        let upper = EdgeRef { part: part.id, ring, edge: EdgeName::Upper };
        let joint = self
            .solid
            .joints
            .iter()
            .find(|j| matches!(j.contact, Contact::Rim { .. }) && j.a == upper && j.b.edge == EdgeName::Lower)?;
        Some(self.solid.parts.get(joint.b.part.index())?.name.as_str())
    }

    /// A note for every edge of the panel that this piece has a share in; lengths of a half's edges are that share.
    fn notes(&self, part: &Part, panel: &Panel, draft: &Draft, mirrored: bool) -> Vec<EdgeNote> {
        let mut notes = Vec::new();
        for edge in &panel.edges {
            let own = draft.share_of(edge.name);
            let ticks =
                draft.marks.iter().filter(|m| matches!(m.about, About::Notch { edge: e, .. } if e == edge.name));
            let of = |m: &Mark, id: JointId| matches!(m.about, About::Notch { joint, .. } if joint == id);
            if own == 0.0 {
                continue;
            }
            let here = EdgeRef { part: part.id, ring: panel.ring, edge: edge.name };
            let whole = draft.wholes.iter().find(|w| w.0 == edge.name);
            let share = whole.map_or(1.0, |w| own / w.1);
            let long = crate::flat::Long {
                inside: edge.long.inside * share,
                neutral: edge.long.neutral * share,
                outside: edge.long.outside * share,
            };
            let mut bevel = notes::bevel(&edge.bevel);
            if let Body::Leaf(leaf) = &part.body {
                bevel = notes::leaf(bevel, &edge.bevel, leaf, &part.layers[panel.layer]);
            }
            bevel += &notes::turn(self.solid, here, edge);
            bevel += &notes::tongues(part, here);
            bevel += &notes::figure(part, here);
            bevel += &notes::short_of_point(part, panel.ring, edge.name);
            match edge.allowance {
                Allowance::None => {}
                Allowance::Lap(mm) => bevel += &format!("; laps {mm} mm under the other side, glue on this face"),
                Allowance::Tabs(mm) => {
                    bevel += &format!("; glue tabs {mm} mm, behind the other side, glue on this face")
                }
            }
            let mut note = EdgeNote {
                edge: edge.name,
                name: notes::plain(edge.name, mirrored).into(),
                letter: None,
                meets: None,
                joint: None,
                long,
                notches: 0,
                bevel,
                formed: formed::of_edge(part, edge.name),
            };
            for id in &edge.joints {
                let met = notes::meeting(self.solid, *id, here, mirrored);
                note.letter = met.as_ref().map(|m| m.0.letter.clone());
                note.meets = met.map(|m| m.1);
                note.joint = Some(*id);
                note.notches = ticks.clone().filter(|m| of(m, *id)).count();
                notes.push(note.clone());
            }
            if edge.joints.is_empty() {
                notes.push(note);
            }
        }
        if let Some(split) = &draft.split {
            let cut = draft.runs.last().map_or(0.0, |r| r.path.length());
            notes.push(EdgeNote {
                edge: EdgeName::Cut,
                name: notes::plain(EdgeName::Cut, mirrored).into(),
                letter: Some(name::spare_letter(&self.solid.joints, split.joint.index() - self.solid.joints.len())),
                meets: Some(format!("half {}", 3 - split.half)),
                joint: Some(split.joint),
                long: crate::flat::Long { inside: cut, neutral: cut, outside: cut },
                notches: draft
                    .marks
                    .iter()
                    .filter(|m| matches!(m.about, About::Notch { edge: EdgeName::Cut, .. }))
                    .count(),
                bevel: "square".into(),
                formed: None,
            });
        }
        notes
    }
}

/// Where a part's seam faces, for repairs that keep it there.
fn seam_of(part: &Part) -> f64 {
    match &part.body {
        Body::Wall(wall) => wall.facing,
        Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => num::PI,
    }
}

/// Why a panel has no outline.
#[derive(Debug)]
enum DraftFault {
    Outline(errors::Fault),
    /// Asked for, and the room there is.
    Lap(f64, f64),
    Tabs(f64, f64),
}

type Drawn = Result<Draft, DraftFault>;

/// The rims of a panel that are drawn together to a point.
fn closed_rims(part: &Part, panel: &Panel) -> Vec<EdgeName> {
    let Body::Wall(wall) = &part.body else { return Vec::new() };
    let wall = wall.cut();
    let Some(ring) = wall.rings.get(panel.ring) else { return Vec::new() };
    let rims = [(EdgeName::Lower, ring.lower), (EdgeName::Upper, ring.upper)];
    rims.into_iter().filter(|(_, rim)| matches!(rim, Rim::Closed(_))).map(|(name, _)| name).collect()
}

fn draft(solid: &Solid, part: &Part, panel: &Panel) -> Drawn {
    let cuts = contour::cuts(panel).map_err(|a| DraftFault::Outline(errors::Fault::Apart(a.at)))?;
    let mut runs: Vec<Run> = Vec::new();
    let mut marks: Vec<Mark> = Vec::new();
    let closed = closed_rims(part, panel);
    for i in 0..cuts.len() {
        let added = allowance::added(&cuts, i, &closed).map_err(|no| match (no, cuts[i].edge.allowance) {
            (allowance::NoRoom::Lap(room), Allowance::Lap(mm) | Allowance::Tabs(mm)) => DraftFault::Lap(mm, room),
            (allowance::NoRoom::Tabs(fits), Allowance::Lap(mm) | Allowance::Tabs(mm)) => DraftFault::Tabs(mm, fits),
            (_, Allowance::None) => DraftFault::Lap(0.0, 0.0),
        })?;
        runs.extend(added.runs);
        marks.extend(added.marks);
    }
    let outline = Path { segs: runs.iter().flat_map(|r| r.path.segs.iter().copied()).collect() };
    for cut in &cuts {
        if let Some(path) = &cut.bevel {
            let about = About::Bevel(cut.edge.name);
            marks.push(Mark { operation: Operation::Bevel, path: path.clone(), about });
        }
        marks.extend(marks::notches(cut, &outline, &panel.holes));
    }
    let number = |hole: usize| match &part.body {
        Body::Wall(wall) => wall.holes.get(hole).and_then(|h| h.number),
        Body::Plate(plate) => plate.holes.get(hole).and_then(|h| h.number),
        Body::Leaf(_) => None,
        Body::Folded(wall) => wall.holes.get(hole).and_then(|h| h.1.number),
    };
    let holes: Vec<Hole> = panel
        .holes
        .iter()
        .map(|h| Hole { hole: h.hole, name: h.name.clone(), outline: h.outline.clone(), number: number(h.hole) })
        .collect();
    if let Body::Wall(wall) = &part.body {
        let there = |strip: usize| there(part, panel, strip);
        marks.extend(marks::centre(panel, (wall.facing, &closed), there, &cuts, &holes));
    }
    marks.extend(places::marks(panel, &cuts));
    let traces = traces::shown(panel, &cuts);
    marks.extend(traces::marks(solid, &traces, &cuts));
    let spine = panel.rulings.iter().filter(|r| r.foot != r.head).map(|r| {
        let (low, high) = there(part, panel, r.strip);
        steepest(r, (low.clamp(0.0, 1.0), high.clamp(0.0, 1.0)))
    });
    let spine = spine.collect();
    Ok(Draft { runs, holes, marks, traces, spine, split: None, wholes: Vec::new() })
}

/// The shares of the way up a strip between which a panel's wall is there: where a rim is cut short of its station, the
/// generatrices go on past it and cross. The outside of a thick sheet closes past the point itself, and so may its middle.
fn there(part: &Part, panel: &Panel, strip: usize) -> (f64, f64) {
    let Body::Wall(wall) = &part.body else { return (0.0, 1.0) };
    let wall = wall.cut();
    let (Some(ring), Some(surface)) = (wall.rings.get(panel.ring), wall.strips.get(strip)) else { return (0.0, 1.0) };
    let (z0, z1) = surface.heights();
    let short = |rim: Rim, share: f64| match rim {
        Rim::Closed(z) | Rim::At(z) => (z - z0) / (z1 - z0),
        Rim::Level | Rim::Square | Rim::Mitre(_) | Rim::Plane(_) | Rim::PlaneSquare(_) | Rim::Shaped { .. } => share,
    };
    let below = if strip == ring.strips.start { short(ring.lower, 0.0) } else { 0.0 };
    let above = if strip + 1 == ring.strips.end { short(ring.upper, 1.0) } else { 1.0 };
    (below.min(above), above)
}

/// A generatrix on the flat, and the steepest way up the wall there: square to its rims, from which the generatrices
/// of a flat side lean all ways.
/// Between the shares of the way up at which the wall is there.
fn steepest(r: &Ruling, (below, above): (f64, f64)) -> Line {
    let lean = num::atan2(r.rule.k1 - r.rule.k0, r.rule.rise() * r.rule.secant());
    let up = unit(lean).rotate((r.head - r.foot).normalize_or_zero());
    Line { from: r.foot.lerp(r.head, below), to: r.foot.lerp(r.head, above), up }
}

/// The way up on the flat: along the generatrix in the middle of a wall; a plate lies with its front up, a leaf with its up.
fn up(part: &Part, panel: &Panel) -> Vec2 {
    if !matches!(part.body, Body::Wall(_)) {
        return Vec2::Y;
    }
    // The generatrix in the middle of the panel's first strip, halfway along both its rims together.
    let strip: Vec<&Ruling> =
        panel.rulings.iter().filter(|r| Some(r.strip) == panel.rulings.first().map(|f| f.strip)).collect();
    let step = |w: &[&Ruling]| (w[1].foot - w[0].foot).length() + (w[1].head - w[0].head).length();
    let half = 0.5 * strip.windows(2).map(step).sum::<f64>();
    let mut done = 0.0;
    let mut up = Vec2::ZERO;
    for w in strip.windows(2) {
        let next = done + step(w);
        if next >= half && next > done {
            let share = (half - done) / (next - done);
            let (foot, head) = (w[0].foot.lerp(w[1].foot, share), w[0].head.lerp(w[1].head, share));
            up = (head - foot).normalize_or_zero();
            break;
        }
        done = next;
    }
    if up == Vec2::ZERO { Vec2::Y } else { up }
}

/// What its bevels take off a leaf's sheet on the mean of all depths, of a piece of this area within its outline.
fn bevelled_off(leaf: &Leaf, panel: &Panel, layer: &Layer, area: f64) -> f64 {
    let Some(edge) = panel.edges.first().filter(|e| e.bevel.shift >= tol::SQUARE_CUT) else { return 0.0 };
    let whole = edge.widest.area();
    Formed::new(leaf).sheet(layer).map_or(0.0, |sheet| (whole - sheet) * area / whole)
}

/// Area between the bevelled edges' two lines. The end face runs evenly from one to the other, so half of it is
/// missing from the sheet's volume.
fn bevelled(contour: &[Run], marks: &[Mark]) -> f64 {
    let mut total = 0.0;
    for mark in marks {
        let About::Bevel(edge) = mark.about else { continue };
        let (Some(c), Some(d)) = (mark.path.start(), mark.path.end()) else { continue };
        // Of a piece that was split one edge may have several runs. Beside a point the other face's line may be much the
        // shorter of the two: only their ends tell which go together.
        let own = contour.iter().filter(|r| r.edge == Some(edge)).filter_map(|r| {
            let (a, b) = (r.path.start()?, r.path.end()?);
            Some((r, a.distance(c) + b.distance(d), a.distance(d) + b.distance(c)))
        });
        let Some((run, beside, against)) = own.min_by(|p, q| p.1.min(p.2).total_cmp(&q.1.min(q.2))) else { continue };
        // Closed lines begin and end alike: which way they turn tells whether they run side by side.
        let closed = run.path.start().zip(run.path.end()).is_some_and(|(a, b)| a.distance(b) < tol::SAME);
        let beside = if closed { run.path.area().signum() == mark.path.area().signum() } else { beside <= against };
        let back = if beside { mark.path.reversed() } else { mark.path.clone() };
        let mut ring = run.path.clone();
        if let (Some(from), Some(to)) = (run.path.end(), back.start()) {
            ring.segs.push(crate::geom::path::Seg::line(from, to));
        }
        ring.segs.extend(back.segs);
        total += ring.area().abs();
    }
    total
}
