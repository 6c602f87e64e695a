//! What a piece shows by itself: closed, of the right hand, with a name, number and identity of its own, lettered on
//! the piece and with nothing but what is true of it.

use std::collections::BTreeSet;

use crate::design::Hand;
use crate::flat::{Flat, Panel};
use crate::geom::lettering::drawable;
use crate::geom::path::Path;
use crate::piece::{About, Letter, Mark, Operation, Piece, Pieces};
use crate::solid::{Body, EdgeName, Grain, Part, Size, Solid};
use crate::verdict::Check;

use super::measure::{self, Ground};
use super::report::Report;

/// Writing about an edge stands this near to it, mm.
const BESIDE: f64 = 25.0;

/// Every piece by itself.
pub fn singles(solid: &Solid, flat: &Flat, pieces: &Pieces, report: &mut Report) {
    let mut names: BTreeSet<&str> = BTreeSet::new();
    let (mut ids, mut numbers) = (BTreeSet::new(), BTreeSet::new());
    for piece in &pieces.pieces {
        report.verdict.checked.pieces += 1;
        report.piece = Some(piece.id);
        report.holds(Check::Coverage, "name", &piece.name, names.insert(&piece.name));
        report.holds(Check::Coverage, "identity", &piece.name, ids.insert(piece.id));
        report.holds(Check::Coverage, "number", &piece.number.to_string(), numbers.insert(piece.number));
        outline(piece, report);
        let ring = flat.panels.get(piece.panel.index()).map(|p| p.ring);
        labels(solid, piece, ring, report);
        let right = piece.hand == Some(Hand::Right);
        let mirrored = piece.from_flat.mirror;
        report.holds(Check::Hand, "piece", "mirrored when it is the right one only", mirrored == right);
        let grain = solid.stocks.get(piece.stock).map_or(Grain::None, |s| s.grain);
        let said = if grain == Grain::None { piece.grain.is_none() } else { piece.grain == Some(piece.up) };
        report.holds(Check::Grain, "grain", "runs up the piece where its stock has one", said);
    }
}

fn outline(piece: &Piece, report: &mut Report) {
    let mut open = 0.0f64;
    for (i, run) in piece.contour.iter().enumerate() {
        let next = &piece.contour[(i + 1) % piece.contour.len()];
        let joints = run.path.segs.windows(2).map(|s| (s[1].a - s[0].b).length());
        open = joints.fold(open, f64::max);
        if let (Some(a), Some(b)) = (run.path.end(), next.path.start()) {
            open = open.max((b - a).length());
        }
    }
    report.figure(Check::Coverage, "outline closed", "at its joints".to_string(), open, 0.0);
    let contour: Vec<_> = piece.contour.iter().map(|r| &r.path).collect();
    report.holds(Check::Hand, "outline", "runs counter-clockwise", measure::path_area(&contour) > 0.0);
    for hole in &piece.holes {
        let turns = measure::path_area(&[&hole.outline]) > 0.0;
        report.holds(Check::Hand, &hole.name, "runs counter-clockwise", turns);
    }
}

/// A name tells the part, which of its rings and layers it is, the hand and the half, where there are several; where
/// that was taken, a count stands behind it.
pub fn named(part: &Part, panel: &Panel, piece: &Piece, report: &mut Report) {
    let mut asked = vec![part.name.clone()];
    if matches!(&part.body, Body::Wall(w) if w.cut().rings.len() > 1) {
        asked.push(format!("ring {}", panel.ring + 1));
    }
    let layers = part.layers.len();
    if layers > 1 {
        asked.push(format!("layer {}", panel.layer + 1));
        if panel.layer == 0 {
            asked.push("inside".into());
        } else if panel.layer + 1 == layers {
            asked.push("outside".into());
        }
    }
    asked.extend(piece.hand.map(|h| if h == Hand::Left { "left" } else { "right" }.to_string()));
    asked.extend(piece.split.map(|s| format!("half {}", s.half)));
    let asked = asked.join(" ");
    let counted = |rest: &str| rest.starts_with(" (") && rest.ends_with(')');
    let fits = piece.name.strip_prefix(&asked).is_some_and(|rest| rest.is_empty() || counted(rest));
    report.holds(Check::Coverage, "name", &format!("{} for {asked}", piece.name), fits);
}

/// What a line of lettering speaks of.
enum Topic {
    /// The piece as a whole.
    Piece,
    /// An edge, beside which it stands.
    Edge(EdgeName),
    /// A hole of this number, beside which it stands.
    Hole(usize),
}

/// The other part whose lower rim lies on the upper rim of this ring.
fn leads_to<'a>(solid: &'a Solid, piece: &Piece, ring: Option<usize>) -> Option<&'a str> {
    let ends = |j: &crate::solid::Joint| [(j.a, j.b), (j.b, j.a)];
    let mut meets = solid.joints.iter().flat_map(ends).filter(|(own, other)| {
        let rims = (own.edge, other.edge) == (EdgeName::Upper, EdgeName::Lower);
        own.part == piece.part && Some(own.ring) == ring && other.part != own.part && rims
    });
    let other = meets.next()?.1;
    solid.parts.get(other.part.index()).map(|p| p.name.as_str())
}

/// Every line that is true of a piece, and of what.
fn truths(solid: &Solid, piece: &Piece, ring: Option<usize>) -> Vec<(String, Topic)> {
    let stock = solid.stocks.get(piece.stock).map_or("", |s| s.name.as_str());
    let hand = match piece.hand {
        None => "",
        Some(Hand::Left) => ", LEFT",
        Some(Hand::Right) => ", RIGHT",
    };
    let fitted = solid.fitted.patches.contains(&piece.part);
    let collar = |p: &crate::solid::Part| {
        let claims = || solid.claims.iter().filter(|c| c.part == p.id);
        matches!(p.body, Body::Leaf(_)) && claims().any(|c| matches!(c.size, Size::Flange { .. }))
    };
    let lies = |p: &crate::solid::Part| matches!(&p.body, Body::Plate(one) if !one.upright) || collar(p);
    let plate = !fitted && solid.parts.get(piece.part.index()).is_some_and(lies);
    let mut all = vec![
        piece.name.clone(),
        piece.number.to_string(),
        format!("cut 1, {stock}"),
        format!("outside up{hand}"),
        match leads_to(solid, piece, ring) {
            _ if plate => "front".to_owned(),
            Some(name) => format!("to {name}"),
            None => "up".to_owned(),
        },
    ];
    if piece.marks.iter().any(|m| m.about == About::Lap) {
        all.push("glue".into());
    }
    all.extend(super::formed::labels(piece));
    all.extend(piece.holes.iter().filter(|h| h.number.is_none()).map(|h| h.name.clone()));
    for place in &piece.places {
        let other = if place.hidden { ", other face" } else { "" };
        all.extend([format!("{}{other}", place.name), format!("P{}", place.number)]);
    }
    for trace in &piece.traces {
        let other = if trace.hidden { ", other face" } else { "" };
        all.extend([format!("{}{other}", trace.name), format!("M{}", trace.number)]);
    }
    let mut all: Vec<(String, Topic)> = all.into_iter().map(|t| (t, Topic::Piece)).collect();
    all.extend(piece.holes.iter().filter_map(|h| h.number).map(|n| (n.to_string(), Topic::Hole(n))));
    for note in &piece.edges {
        all.extend(note.letter.iter().map(|l| (l.clone(), Topic::Edge(note.edge))));
        if !note.bevel.is_empty() {
            all.push((note.bevel.clone(), Topic::Edge(note.edge)));
        }
    }
    all
}

fn labels(solid: &Solid, piece: &Piece, ring: Option<usize>, report: &mut Report) {
    let ground = Ground::of(piece);
    let truths = truths(solid, piece, ring);
    for letter in &piece.letters {
        let (mut found, mut near) = (false, false);
        for (_, topic) in truths.iter().filter(|t| drawable(&t.0) == letter.text) {
            found = true;
            near |= match topic {
                Topic::Piece => true,
                Topic::Edge(edge) => beside(piece, *edge, letter),
                Topic::Hole(number) => numbered(piece, *number, letter),
            };
        }
        let turned = letter.text.contains(" up");
        let (check, what) = if turned { (Check::Hand, "label") } else { (Check::Coverage, "label") };
        report.holds(check, what, &format!("\"{}\" is true of the piece", letter.text), found);
        if found {
            let place = format!("\"{}\" stands by its edge", letter.text);
            report.holds(Check::Partner, "letter or bevel on the label", &place, near);
        }
        let on = |p: &Path| p.segs.iter().all(|s| ground.holds(s.a) && ground.holds(s.b));
        let all = letter.strokes.iter().all(on) && (letter.text.trim().is_empty() || !letter.strokes.is_empty());
        report.holds(Check::Coverage, "lettering", &format!("\"{}\" stands on the piece", letter.text), all);
    }
    let strokes = piece.marks.iter().filter(|m| m.about == About::Lettering).map(|m| &m.path);
    let on = strokes.flat_map(|p| &p.segs).all(|s| ground.holds(s.a) && ground.holds(s.b));
    report.holds(Check::Coverage, "lettering", "arrows stand on the piece", on);
}

/// Whether a number stands by a hole that has it, and nearer to it than to any hole of another number.
fn numbered(piece: &Piece, number: usize, letter: &Letter) -> bool {
    let near = |own: bool| {
        let holes = piece.holes.iter().filter(|h| (h.number == Some(number)) == own);
        holes.map(|h| measure::to_path(letter.at, &h.outline)).fold(f64::INFINITY, f64::min)
    };
    let own = near(true);
    own <= BESIDE && own < near(false)
}

/// Whether a line stands near the edge it speaks of; a lapped or tabbed side is its seam line.
fn beside(piece: &Piece, edge: EdgeName, letter: &Letter) -> bool {
    let runs = piece
        .contour
        .iter()
        .filter(|r| r.edge == Some(edge) || (edge == EdgeName::Cut && r.edge.is_none()))
        .map(|r| &r.path);
    let fold = |m: &Mark| m.about == About::Turn(edge) && m.operation == Operation::Fold;
    let lines = piece.marks.iter().filter(|m| edge == EdgeName::End && m.about == About::Lap || fold(m));
    runs.chain(lines.map(|m| &m.path)).any(|p| measure::to_path(letter.at, p) <= BESIDE)
}
