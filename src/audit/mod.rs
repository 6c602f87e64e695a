//! The audit: an independent check of everything a maker will cut by. It reads the rounded outlines about to be
//! written and the flat's generatrices, folds them on the solid's normals and holds every edge, hole, mark, notch,
//! length, area and count against the solid and against the sizes that the text gives. It shares no routine with the
//! phases that unrolled, fitted and finished: its quadrature, folding, distances and areas are its own.
//!
//! Frames: flat and pieces in mm, y up; space in the part's own frame. It mends nothing.

mod area;
mod beyond;
mod claims;
mod crossings;
mod errors;
mod fan;
mod figure;
mod flange;
mod fold;
mod folded;
mod formed;
mod joints;
mod keel;
mod key;
mod laid;
mod layout;
mod leaf;
mod lines;
mod marks;
mod measure;
mod outline;
mod pages;
mod pierced;
mod places;
mod plate;
mod real;
mod report;
mod rows;
mod scallops;
mod seen;
mod sided;
mod slides;
mod space;
mod table;
mod traces;
mod turn;
mod wall;
mod words;

#[cfg(test)]
mod tests;

pub use errors::audit_failed;
pub use pages::pages;

use crate::design::Hand;
use crate::flat::{Flat, Panel};
use crate::piece::{Piece, Pieces};
use crate::sheet::Layout;
use crate::solid::{Body, EdgeName, Folded, Leaf, Part, Solid, hands};
use crate::threads;
use crate::verdict::{Check, Verdict};

use claims::Made;
use laid::Laid;
use lines::View;
use plate::Plane;
use report::Report;
use sided::Sheet;

/// Checks what was made of a solid, and where it lies once it lies anywhere.
#[must_use]
pub fn audit(solid: &Solid, flat: &Flat, pieces: &Pieces, layout: Option<&Layout>) -> Verdict {
    let mut report = Report::default();
    let views: Vec<Option<View<'_>>> = solid
        .parts
        .iter()
        .map(|p| match &p.body {
            Body::Wall(wall) => {
                let turns = solid.turns.iter().filter(|t| t.at.part == p.id).copied().collect();
                Some(View { turns, ..View::new(wall.cut()) })
            }
            Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => None,
        })
        .collect();
    let run = Run { solid, flat, pieces, views: &views };
    // What is found comes in one order, whoever finds it first.
    let on_sheets = || {
        let mut report = Report::default();
        if let Some(layout) = layout {
            layout::check(solid, pieces, layout, &mut report);
        }
        report
    };
    let (on_sheets, ()) = threads::both(on_sheets, || {
        words::singles(solid, flat, pieces, &mut report);
        let parts: Vec<usize> = (0..solid.parts.len()).collect();
        let folded = threads::each(&parts, |&i| {
            let (part, mut report) = (&solid.parts[i], Report::default());
            let made = match (&part.body, &views[i]) {
                (Body::Wall(_), Some(view)) => run.wall(part, view, &mut report),
                (Body::Leaf(body), _) => run.leaf(part, body, &mut report),
                (Body::Folded(body), _) => run.folded(part, body, &mut report),
                _ => run.plate(part, &mut report),
            };
            (made, report)
        });
        let mut made: Vec<Made<'_>> = Vec::with_capacity(folded.len());
        for (one, found) in folded {
            report.verdict.join(found.verdict);
            made.push(one);
        }
        let asked: usize = made.iter().map(|m| run.panels_of(m.part) * hands(m.part.pair).len()).sum();
        let whole = pieces.pieces.iter().filter(|p| p.split.is_none_or(|s| s.half == 1)).count();
        report.piece = None;
        report.count("pieces (halves as one)", whole, asked);
        for joint in &solid.joints {
            joints::meet(solid, &views, joint, &mut report);
            sided::meet(joint, &made, &mut report);
        }
        traces::meet(solid, &views, &mut report);
        claims::all(solid, &made, &views, &mut report);
        slides::all(solid, &views, &mut report);
    });
    report.verdict.join(on_sheets.verdict);
    report.verdict
}

struct Run<'a> {
    solid: &'a Solid,
    flat: &'a Flat,
    pieces: &'a Pieces,
    views: &'a [Option<View<'a>>],
}

impl<'a> Run<'a> {
    fn panels_of(&self, part: &Part) -> usize {
        match &part.body {
            Body::Wall(w) => w.cut().rings.len() * part.layers.len(),
            Body::Plate(_) | Body::Leaf(_) | Body::Folded(_) => part.layers.len(),
        }
    }

    /// The pieces of one panel and hand; counts them.
    fn group(&self, part: &Part, panel: &Panel, hand: Option<Hand>, report: &mut Report) -> Vec<&'a Piece> {
        let of = |p: &&Piece| p.panel == panel.id && p.part == part.id && p.hand == hand;
        let group: Vec<&Piece> = self.pieces.pieces.iter().filter(of).collect();
        report.piece = group.first().map(|p| p.id);
        let halves: Vec<usize> = group.iter().filter_map(|p| p.split.map(|s| s.half)).collect();
        let whole = group.len() == 1 && halves.is_empty();
        let what = format!("{} (ring {}, layer {})", part.name, panel.ring + 1, panel.layer + 1);
        let place = format!("{} pieces, {} of them halves", group.len(), halves.len());
        let split = group.len() == 2 && (halves == [1, 2] || halves == [2, 1]);
        report.holds(Check::Coverage, &what, &place, whole || split);
        let stock = part.layers.get(panel.layer).map(|l| l.stock);
        let seam = match &part.body {
            Body::Wall(w) => Some(w.seam),
            Body::Folded(w) => Some(w.seam),
            Body::Plate(_) | Body::Leaf(_) => None,
        };
        for piece in &group {
            report.piece = Some(piece.id);
            report.holds(Check::Coverage, &piece.name, "is cut from its stock", Some(piece.stock) == stock);
            words::named(part, panel, piece, report);
            joints::notes(self.solid, piece, panel.ring, report);
            halves_apart(piece, report);
            marks::operations(self.solid, piece, seam, report);
            marks::ticks(self.solid, piece, part.id, panel.ring, report);
            table::tables(self.solid, piece, report);
        }
        report.piece = group.first().map(|p| p.id);
        group
    }

    fn panel(&self, part: &Part, ring: usize, layer: usize, report: &mut Report) -> Option<&'a Panel> {
        let mut of = self.flat.panels.iter().filter(|p| p.part == part.id && p.ring == ring && p.layer == layer);
        let panel = of.next();
        report.piece = None;
        let what = format!("panel of {} (ring {}, layer {})", part.name, ring + 1, layer + 1);
        report.count(&what, usize::from(panel.is_some()) + of.count(), 1);
        panel
    }

    fn wall(&self, part: &'a Part, view: &'a View<'a>, report: &mut Report) -> Made<'a> {
        let mut made = Made::of(part);
        for (layer_index, layer) in part.layers.iter().enumerate() {
            for (ring_index, ring) in view.wall.rings.iter().enumerate() {
                let Some(panel) = self.panel(part, ring_index, layer_index, report) else { continue };
                let Some(laid) = Laid::new(view, panel, ring, *layer) else {
                    report.holds(Check::Closure, &part.name, "has generatrices to fold by", false);
                    continue;
                };
                let mut all = Vec::new();
                for &hand in hands(part.pair) {
                    let group = self.group(part, panel, hand, report);
                    if all.is_empty() {
                        wall::fold(&laid, report);
                    }
                    wall::pieces((self.solid, self.views), &laid, &group, report);
                    wall::lengths(self.solid, &laid, &group, report);
                    wall::mass(self.solid, &laid, &group, report);
                    key::on_wall(self.solid, &laid, &group, report);
                    formed::check(self.solid, part, &laid, &group, report);
                    self.joints_on_wall(&laid, &group, report);
                    all.extend(group);
                }
                made.laid.push(laid);
                made.groups.push(all);
            }
        }
        made
    }

    fn joints_on_wall(&self, laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
        for joint in &self.solid.joints {
            for edge in [joint.a, joint.b] {
                if edge.part == laid.panel.part && edge.ring == laid.panel.ring && edge.edge != EdgeName::Outline {
                    let curve = joints::Curve::new(self.solid, self.views, &joint.contact);
                    joints::on_wall(&curve, joint, edge.edge, laid, group, report);
                }
            }
        }
    }

    fn leaf(&self, part: &'a Part, body: &'a Leaf, report: &mut Report) -> Made<'a> {
        let mut made = Made::of(part);
        for (i, layer) in part.layers.iter().enumerate() {
            let Some(panel) = self.panel(part, 0, i, report) else { continue };
            let leaf = leaf::Sheet::new(body, layer);
            report.holds(Check::Closure, &part.name, "lies on what it is bent to", leaf.is_some());
            let Some(leaf) = leaf else { continue };
            let mut groups = Vec::new();
            for &hand in hands(part.pair) {
                let group = self.group(part, panel, hand, report);
                leaf::pieces(self.solid, &leaf, panel, &group, report);
                leaf::traces(self.solid, (part, i), &leaf, &group, report);
                places::on_leaf(self.solid, (part, i), &leaf, &group, report);
                groups.push(group);
            }
            made.leaves.push(leaf::Cut { leaf, groups });
        }
        made
    }

    fn folded(&self, part: &'a Part, body: &'a Folded, report: &mut Report) -> Made<'a> {
        let mut made = Made::of(part);
        for (i, layer) in part.layers.iter().enumerate() {
            let Some(panel) = self.panel(part, 0, i, report) else { continue };
            for &hand in hands(part.pair) {
                let group = self.group(part, panel, hand, report);
                let Some(strip) = folded::Strip::new(body, part, layer) else { continue };
                let strip = folded::pieces(self.solid, part.id, strip, panel, &group, report);
                folded::traces(self.solid, i, &strip, &group, report);
                places::on_folded(self.solid, (part, i), &strip, &group, report);
                key::on_folded(self.solid, part.id, &strip, &group, report);
                if hand != Some(Hand::Right) {
                    made.plates.extend(&group);
                    let cut = strip.as_cut(self.solid, &group);
                    made.strips.push((strip, cut));
                }
            }
        }
        made
    }

    fn plate(&self, part: &'a Part, report: &mut Report) -> Made<'a> {
        let mut made = Made::of(part);
        let Body::Plate(body) = &part.body else { return made };
        for (i, layer) in part.layers.iter().enumerate() {
            let Some(panel) = self.panel(part, 0, i, report) else { continue };
            if body.sided {
                let sheet = Sheet::new(body, part, layer);
                for &hand in hands(part.pair) {
                    let group = self.group(part, panel, hand, report);
                    sided::pieces(self.solid, part.id, &sheet, panel, &group, report);
                    sided::traces(self.solid, i, &sheet, &group, report);
                    places::on_sided(self.solid, (part, i), &sheet, &group, report);
                    key::on_sided(self.solid, part.id, &sheet, &group, report);
                    made.plates.extend(&group);
                    if hand != Some(Hand::Right) {
                        made.sheets.push((sheet.clone(), group));
                    }
                }
                continue;
            }
            let turn = self.solid.turns.iter().find(|t| t.at.part == part.id).copied();
            let plane = Plane::new(body, part, layer, turn);
            let mut all = Vec::new();
            for &hand in hands(part.pair) {
                let group = self.group(part, panel, hand, report);
                plate::pieces(&plane, panel, &group, report);
                places::on_plate(self.solid, (part, i), &plane, &group, report);
                plate::traces(self.solid, (part, i), &plane, &group, report);
                plate::lengths(self.solid, part.id, &plane, &group, report);
                plate::mass(self.solid, &plane, &group, report);
                key::on_plate(self.solid, part.id, &plane, &group, report);
                for joint in &self.solid.joints {
                    for edge in [joint.a, joint.b] {
                        if edge.part == part.id && edge.edge == EdgeName::Outline {
                            let curve = joints::Curve::new(self.solid, self.views, &joint.contact);
                            joints::on_plate(&curve, joint, &plane, &group, report);
                        }
                    }
                }
                made.plates.extend(&group);
                all.extend(group);
            }
            made.planes.push((plane, all));
        }
        made
    }
}

/// A half lies to the left of its cut.
fn halves_apart(piece: &Piece, report: &mut Report) {
    let Some(split) = piece.split else { return };
    let left = crate::geom::left_of(split.along.normalize_or_zero());
    let mut most = report::Most::default();
    for run in &piece.contour {
        for p in measure::samples(&measure::path_undone(&piece.from_flat, &run.path), 5.0, 1e-3) {
            most.add((-(p - split.at).dot(left)).max(0.0), p);
        }
    }
    most.enter(report, Check::Landing, "half to the left of its cut", report::LANDING);
}
