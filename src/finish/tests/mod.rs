//! Pieces of known flats: outlines, allowances, ticks, names, lettering, offsets.

mod fixture;

use fixture::{Frustum, disc, flat, foam, hole, solid};
use proptest::prelude::*;

use super::*;
use crate::diag::{Code, Severity};
use crate::flat::{Allowance, Ruling};
use crate::geom::ring::contains;
use crate::geom::strip::Rule;
use crate::geom::{cross, tol};
use crate::solid::{Cutter, Goods};

const SHEET: Vec2 = Vec2::new(2000.0, 1000.0);
/// The chart case of brief B1: bore 75 and 95, foam 5, so neutral radii 40 and 50 (near enough for a flat).
const CHART: Frustum = Frustum { r0: 40.0, r1: 50.0, tall: 520.0, thick: 5.0 };
/// A 20 degree flare: bevels of 1.8 mm.
const FLARE: Frustum = Frustum { r0: 50.0, r1: 115.5, tall: 180.0, thick: 5.0 };

fn made(f: &Frustum, allowance: Allowance) -> Pieces {
    let solid = solid(f, foam(SHEET));
    let (pieces, diagnostics) = finish(&solid, &flat(vec![f.panel(allowance), disc(f.r0, 0.0)]));
    assert!(diagnostics.is_empty(), "{diagnostics:?}");
    pieces
}

fn outline(p: &Piece) -> Path {
    Path { segs: p.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() }
}

fn edge_length(p: &Piece, edge: EdgeName) -> f64 {
    p.contour.iter().filter(|r| r.edge == Some(edge)).map(|r| r.path.length()).sum()
}

/// Closed, simple, counter-clockwise, rounded; lettering on the piece, off its lines and apart.
fn assert_sound(p: &Piece) {
    let path = outline(p);
    let ring = Ring::new(path.clone()).unwrap_or_else(|e| panic!("{}: {e:?} {path:?}", p.name));
    assert!((ring.area() - p.holes.iter().map(|h| h.outline.area()).sum::<f64>() - p.area).abs() < 1e-9);
    let written = |x: f64| ((x * 1000.0).round() / 1000.0).to_bits() == x.to_bits();
    let mut paths: Vec<&Path> = vec![&path];
    paths.extend(p.holes.iter().map(|h| &h.outline));
    paths.extend(p.marks.iter().map(|m| &m.path));
    paths.extend(p.letters.iter().flat_map(|l| &l.strokes));
    for s in paths.iter().flat_map(|q| &q.segs) {
        assert!([s.a.x, s.a.y, s.b.x, s.b.y].into_iter().all(written), "{s:?}");
    }
    let strokes = |l: &crate::piece::Letter| -> Vec<Vec2> { l.strokes.iter().flat_map(|s| s.flattened(0.1)).collect() };
    for l in &p.letters {
        assert!(l.tall >= 3.0, "{} is {} tall", l.text, l.tall);
        for q in strokes(l) {
            assert!(ring.contains(q), "{}: {} leaves the piece at {q}", p.name, l.text);
            assert!(ring.distance(q) > 0.5, "{}: {} touches the cut line", p.name, l.text);
            assert!(!p.holes.iter().any(|h| contains(&h.outline, q)));
        }
    }
    let segs: Vec<(usize, &crate::geom::path::Seg)> = p
        .letters
        .iter()
        .enumerate()
        .flat_map(|(i, l)| l.strokes.iter().flat_map(move |s| s.segs.iter().map(move |g| (i, g))))
        .collect();
    for (k, (i, a)) in segs.iter().enumerate() {
        for (j, b) in &segs[k + 1..] {
            assert!(
                i == j || cross::crossings(a, b).is_empty(),
                "{} crosses {}",
                p.letters[*i].text,
                p.letters[*j].text
            );
        }
        for m in p.marks.iter().filter(|m| m.operation != Operation::Letter) {
            for s in &m.path.segs {
                assert!(cross::crossings(a, s).is_empty(), "{} crosses {:?}", p.letters[*i].text, m.about);
            }
        }
    }
}

#[test]
fn a_wall_with_small_bevels_is_cut_square_on_its_middle_and_says_so() {
    let pieces = made(&CHART, Allowance::None);
    let body = &pieces.pieces[0];
    assert_sound(body);
    assert_eq!(body.name, "body");
    assert!(body.marks.iter().all(|m| m.operation != Operation::Bevel));
    assert!(body.edges[0].bevel.starts_with("cut square"), "{}", body.edges[0].bevel);
    // The wall's area in closed form: pi (r0 + r1) slant.
    let want = crate::num::PI * (CHART.r0 + CHART.r1) * CHART.slant();
    assert!((body.area / want - 1.0).abs() < 1e-5, "{} {want}", body.area);
    assert!((body.mass.unwrap() - want * 5e-4).abs() < 0.01);
    assert!((edge_length(body, EdgeName::Upper) - crate::num::TAU * CHART.r1).abs() < 0.01);
}

#[test]
fn a_flared_wall_is_cut_on_its_widest_line_and_carries_the_other() {
    let pieces = made(&FLARE, Allowance::None);
    let body = &pieces.pieces[0];
    assert_sound(body);
    let bevels: Vec<&Mark> = body.marks.iter().filter(|m| m.operation == Operation::Bevel).collect();
    assert_eq!(bevels.len(), 2);
    assert_eq!(body.edges[0].bevel, "20° long inside");
    assert_eq!(body.edges[2].bevel, "20° long outside");
    // 5 mm of foam at 20 degrees: 5 tan 20 = 1.82 mm longer in all.
    assert!((edge_length(body, EdgeName::End) - FLARE.slant() - 1.82).abs() < 0.01);
    // What the bevels take away leaves the neutral area.
    let neutral = crate::num::PI * (FLARE.r0 + FLARE.r1) * FLARE.slant();
    assert!((body.mass.unwrap() / (neutral * 5e-4) - 1.0).abs() < 1e-3);
    assert!(body.letters.iter().any(|l| l.text == "20° long outside"));
}

#[test]
fn a_square_edge_beside_a_bevelled_one_still_closes() {
    let f = FLARE;
    let mut panel = f.panel(Allowance::None);
    // The lower rim is square now, the side edges keep the widest corner: trimmed there.
    panel.edges[0].bevel.shift = 0.1;
    for i in [1, 3] {
        let widest = panel.edges[i].widest.clone();
        panel.edges[i].middle = widest;
    }
    let (pieces, d) = finish(&solid(&f, foam(SHEET)), &flat(vec![panel]));
    assert!(d.is_empty(), "{d:?}");
    assert_sound(&pieces.pieces[0]);
    assert!((edge_length(&pieces.pieces[0], EdgeName::End) - f.slant() - 0.91).abs() < 0.01);
}

#[test]
fn a_lap_adds_the_walls_own_beginning() {
    let plain = made(&CHART, Allowance::None);
    let lapped = made(&CHART, Allowance::Lap(12.0));
    let (a, b) = (&plain.pieces[0], &lapped.pieces[0]);
    assert_sound(b);
    // The strip's long sides are parallel, so its area is its width times its mean length: the side's, but for the
    // rims' curve.
    let strip = b.area - a.area;
    assert!((strip - 12.0 * CHART.slant()).abs() < 1.0, "{strip}");
    let fold: Vec<&Mark> = b.marks.iter().filter(|m| m.about == About::Lap).collect();
    assert_eq!(fold.len(), 1);
    assert_eq!(b.letters.iter().filter(|l| l.text == "A").count(), 2, "both sides of the seam");
    assert!(b.letters.iter().any(|l| l.text == "glue"));
    assert!((fold[0].path.length() - CHART.slant()).abs() < 0.01);
    // The lap's upper rim lies on the circle of the wall's own, about the same apex.
    let (lo, hi, _) = CHART.sector();
    let beyond = b.contour.iter().filter(|r| r.edge.is_none()).flat_map(|r| &r.path.segs).filter(|s| s.bulge != 0.0);
    let mut arcs = 0;
    for s in beyond {
        arcs += 1;
        for share in [0.0, 0.5, 1.0] {
            let r = s.at(share).distance(Vec2::new(0.0, -lo));
            assert!((r - lo).abs() < 0.002 || (r - hi).abs() < 0.002, "{r}");
        }
    }
    assert_eq!(arcs, 2);
}

#[test]
fn a_lap_of_a_bevelled_wall_keeps_its_bevel_lines_to_the_seam() {
    let lapped = made(&FLARE, Allowance::Lap(12.0));
    assert_sound(&lapped.pieces[0]);
    let bevels = lapped.pieces[0].marks.iter().filter(|m| m.operation == Operation::Bevel);
    assert_eq!(bevels.count(), 2);
}

#[test]
fn a_centre_line_runs_along_the_rule_that_faces_away_from_the_seam() {
    // The seam turned by an angle: the centre line turns by its share of the sector.
    let f = FLARE;
    let mut s = solid(&f, foam(SHEET));
    let off = 0.041;
    if let Body::Wall(wall) = &mut s.parts[0].body {
        wall.facing += off;
    }
    let mut panel = f.panel(Allowance::None);
    // That rule is one of its panel's.
    let i = panel.rulings.partition_point(|r| r.rule.phi < crate::num::TAU + off);
    let (a, b) = (panel.rulings[i - 1], panel.rulings[i]);
    let share = (crate::num::TAU + off - a.rule.phi) / (b.rule.phi - a.rule.phi);
    let apex = Vec2::new(0.0, -f.sector().0);
    let between = |p: Vec2, q: Vec2| {
        let (p, q) = (p - apex, q - apex);
        apex + crate::geom::unit(share * crate::num::atan2(p.perp_dot(q), p.dot(q))).rotate(p)
    };
    let rule = Rule::new(crate::num::TAU + off, (a.rule.h0, 0.0), (a.rule.h1, 0.0), (a.rule.z0, a.rule.z1));
    let own = Ruling { strip: 0, rule, foot: between(a.foot, b.foot), head: between(a.head, b.head) };
    panel.rulings.insert(i, own);
    let (pieces, _) = finish(&s, &flat(vec![panel]));
    let (_, _, turn) = f.sector();
    let want = crate::geom::unit(crate::num::FRAC_PI_2 - turn * off / crate::num::TAU);
    let centre: Vec<&Mark> = pieces.pieces[0].marks.iter().filter(|m| m.about == About::Centre).collect();
    assert_eq!(centre.len(), 1);
    for p in centre[0].path.flattened(1.0) {
        assert!(want.perp_dot(p - apex).abs() < 0.002, "{}", want.perp_dot(p - apex));
    }
}

#[test]
fn a_centre_line_ends_at_the_height_where_a_wall_is_drawn_together() {
    // Wherever the sides meet: what is left of an oval there is no point, and other generatrices end elsewhere.
    let f = FLARE;
    let mut s = solid(&f, foam(SHEET));
    if let Body::Wall(wall) = &mut s.parts[0].body {
        wall.rings[0].lower = Rim::Closed(0.25 * f.tall);
    }
    let (pieces, _) = finish(&s, &flat(vec![f.panel(Allowance::None)]));
    let (lo, hi, _) = f.sector();
    let apex = Vec2::new(0.0, -lo);
    let marks = pieces.pieces[0].marks.iter().filter(|m| m.about == About::Centre);
    let ends: Vec<f64> =
        marks.flat_map(|m| [m.path.start(), m.path.end()]).flatten().map(|p| p.distance(apex)).collect();
    assert_eq!(ends.len(), 2);
    assert!((ends[0] - (lo + 0.25 * (hi - lo))).abs() < 0.002, "{ends:?} from {lo} to {hi}");
}

#[test]
fn a_lap_longer_than_the_wall_is_refused() {
    let f = FLARE;
    let (pieces, d) = finish(&solid(&f, foam(SHEET)), &flat(vec![f.panel(Allowance::Lap(900.0))]));
    assert!(pieces.pieces.is_empty());
    assert_eq!(d.iter().next().unwrap().code, Code::SeamTooWide);
}

#[test]
fn tabs_are_even_trapezoids_with_fold_lines() {
    let plain = made(&CHART, Allowance::None);
    let tabbed = made(&CHART, Allowance::Tabs(10.0));
    let b = &tabbed.pieces[0];
    assert_sound(b);
    let folds: Vec<&Mark> = b.marks.iter().filter(|m| m.operation == Operation::Fold).collect();
    let base = folds[0].path.length();
    assert!(folds.iter().all(|f| (f.path.length() - base).abs() < 0.01), "all alike");
    // Trapezoids with ends at 60 degrees: base less 10 / tan 60 at each end is the mean width.
    let want = folds.len() as f64 * 10.0 * (base - 10.0 / 3f64.sqrt());
    assert!((b.area - plain.pieces[0].area - want).abs() < 0.5);
    let bare = edge_length(b, EdgeName::End);
    let covered: f64 = folds.iter().map(|f| f.path.length()).sum();
    assert!((bare + covered - CHART.slant()).abs() < 0.02);
    assert!(b.edges.iter().any(|e| e.bevel.contains("glue on this face")));
}

#[test]
fn tabs_wider_than_their_seam_are_refused() {
    let f = Frustum { r0: 40.0, r1: 42.0, tall: 20.0, thick: 5.0 };
    let (_, d) = finish(&solid(&f, foam(SHEET)), &flat(vec![f.panel(Allowance::Tabs(15.0))]));
    let first = d.iter().next().unwrap();
    // The side is 20.1 + 0.5 long; less 3 bare at both ends and a free side of 3, 11.6 / 2 tan 60 = 10.0.
    assert_eq!(first.code, Code::TabsTooWide);
    assert_eq!(first.repair.as_deref(), Some("seam: tabs(wide: 10 mm)"));
}

#[test]
fn notches_stand_on_the_cut_line_and_go_in_square() {
    for f in [CHART, FLARE] {
        let pieces = made(&f, Allowance::None);
        for p in &pieces.pieces {
            let path = outline(p);
            let ticks: Vec<&Mark> = p.marks.iter().filter(|m| m.operation == Operation::Notch).collect();
            assert_eq!(ticks.len(), if p.name == "body" { 7 } else { 3 });
            for t in ticks {
                let s = t.path.segs[0];
                let (i, share, at) = cross::nearest(&path, s.a).unwrap();
                assert!(at.distance(s.a) < 0.001);
                assert!(path.segs[i].direction(share).dot(s.direction(0.0)).abs() < 1e-3);
                assert!(contains(&path, s.b) && s.length() > 3.9);
            }
        }
    }
}

#[test]
fn notches_keep_their_places_along_the_edge() {
    // The asymmetric pattern of the flat stays: shares 0.13, 0.5, 0.71 of the lower rim.
    let pieces = made(&FLARE, Allowance::None);
    let body = &pieces.pieces[0];
    let run = body.contour.iter().find(|r| r.edge == Some(EdgeName::Lower)).unwrap();
    let whole = run.path.length();
    for m in &body.marks {
        let About::Notch { number, edge: EdgeName::Lower, .. } = m.about else { continue };
        let (i, share, _) = cross::nearest(&run.path, m.path.start().unwrap()).unwrap();
        let s = cross::stretch(&run.path, (0, 0.0), (i, share)).length();
        assert!((s / whole - [0.13, 0.5, 0.71][number]).abs() < 1e-4);
    }
}

#[test]
fn a_pair_is_two_pieces_mirrored_and_alike_in_area() {
    let f = FLARE;
    let mut s = solid(&f, foam(SHEET));
    s.parts[0].pair = true;
    let mut panel = f.panel(Allowance::Lap(10.0));
    panel.holes.push(hole(Vec2::new(-60.0, 90.0), 15.0, "eye"));
    let (pieces, d) = finish(&s, &flat(vec![panel]));
    assert!(d.is_empty());
    let [left, right] = pieces.pieces.as_slice() else { panic!("two pieces") };
    assert_sound(left);
    assert_sound(right);
    assert_eq!((left.name.as_str(), right.name.as_str()), ("body left", "body right"));
    assert!((left.area - right.area).abs() < 1e-6 * left.area);
    assert!(right.from_flat.mirror && !left.from_flat.mirror);
    // The hole has changed sides, the writing has not turned round.
    let x = |p: &Piece| p.holes[0].outline.bounds().map(|(a, b)| 0.5 * (a.x + b.x)).unwrap();
    assert!((x(left) + x(right)).abs() < 1e-9);
    assert!(right.letters.iter().any(|l| l.text.contains("RIGHT")));
    assert!(left.letters.iter().any(|l| l.text == "eye"));
}

#[test]
fn a_piece_carries_its_name_and_edges_their_letters() {
    let pieces = made(&CHART, Allowance::None);
    for p in &pieces.pieces {
        assert_sound(p);
        let texts: Vec<&str> = p.letters.iter().map(|l| l.text.as_str()).collect();
        for want in [p.name.as_str(), "outside up", "B"] {
            assert!(texts.contains(&want), "{want} on {}: {texts:?}", p.name);
        }
    }
    let body = &pieces.pieces[0];
    assert_eq!(body.letters.iter().filter(|l| l.text == "A").count(), 2, "both sides of the seam");
    assert_eq!(body.edges[0].meets.as_deref(), Some("base rim"));
    assert_eq!(body.edges[1].meets.as_deref(), Some("its own seam left side"));
    let name = body.letters.iter().find(|l| l.text == "body").unwrap();
    assert!(name.tall >= 10.0, "large where there is room");
}

#[test]
fn a_tiny_piece_carries_a_number_and_a_tinier_one_nothing() {
    let f = CHART;
    let mut s = solid(&f, foam(SHEET));
    s.parts[1].name = "a long name for a little drain plug".into();
    s.joints.clear();
    for (r, want) in [(9.0, Some("1")), (2.0, None)] {
        let (pieces, _) = finish(&s, &flat(vec![disc(r, 0.0)]));
        let p = &pieces.pieces[0];
        assert_sound(p);
        assert_eq!(p.letters.first().map(|l| l.text.as_str()), want, "radius {r}: {:?}", p.letters.len());
    }
}

#[test]
fn a_bevelled_disc_has_both_circles() {
    let f = FLARE;
    let (pieces, d) = finish(&solid(&f, foam(SHEET)), &flat(vec![disc(60.0, 1.8)]));
    assert!(d.is_empty());
    let p = &pieces.pieces[0];
    assert_sound(p);
    assert!((edge_length(p, EdgeName::Outline) - crate::num::TAU * 60.9).abs() < 0.01);
    let inner = p.marks.iter().find(|m| m.operation == Operation::Bevel).unwrap();
    assert!((inner.path.length() - crate::num::TAU * 59.1).abs() < 0.01);
}

#[test]
fn the_centre_line_lies_opposite_the_seam_and_leaves_holes_out() {
    let f = FLARE;
    let mut panel = f.panel(Allowance::None);
    panel.holes.push(hole(Vec2::new(0.0, 90.0), 12.0, "eye"));
    let (pieces, _) = finish(&solid(&f, foam(SHEET)), &flat(vec![panel]));
    let p = &pieces.pieces[0];
    assert_sound(p);
    let centre: Vec<&Mark> = p.marks.iter().filter(|m| m.about == About::Centre).collect();
    assert_eq!(centre.len(), 2);
    assert!(centre.iter().flat_map(|m| m.path.flattened(1.0)).all(|q| q.x.abs() < 0.002));
    let long: f64 = centre.iter().map(|m| m.path.length()).sum();
    assert!((long + 24.0 - f.slant() - 1.82).abs() < 0.02, "{long}");
}

#[test]
fn arcs_past_the_compass_have_offsets() {
    let pieces = made(&CHART, Allowance::None);
    let body = &pieces.pieces[0];
    assert_eq!(body.offsets.len(), 2);
    for o in &body.offsets {
        let top = o.rows.iter().map(|r| r.1.abs()).fold(0.0, f64::max);
        // Sagitta r (1 - cos(angle/2)) of the whole arc.
        let (_, _, turn) = CHART.sector();
        assert!((top - o.radius.expect("one arc") * (1.0 - crate::num::cos(turn / 2.0))).abs() < 0.02);
    }
    let mut s = solid(&CHART, foam(SHEET));
    s.job.cutter = Some(Cutter {
        name: "long beam".into(),
        sort: "hand",
        size: SHEET,
        deepest: None,
        kerf: 0.0,
        offset: 0.0,
        overcut: 0.0,
        compass: 5000.0,
        writes_dxf: true,
    });
    let (pieces, _) = finish(&s, &flat(vec![CHART.panel(Allowance::None)]));
    assert!(pieces.pieces[0].offsets.is_empty());
}

#[test]
fn a_piece_too_large_is_split_once_clear_of_holes_and_notches() {
    let f = Frustum { r0: 160.0, r1: 180.0, tall: 300.0, thick: 5.0 };
    let whole = made(&f, Allowance::None);
    let mut panel = f.panel(Allowance::None);
    panel.holes.push(hole(Vec2::new(0.0, 150.0), 20.0, "eye"));
    let (pieces, d) = finish(&solid(&f, foam(Vec2::new(1000.0, 600.0))), &flat(vec![panel]));
    assert_eq!(d.iter().map(|d| d.code).collect::<Vec<_>>(), [Code::PieceSplit]);
    assert_eq!(d.count(Severity::Warning), 1);
    let [a, b] = pieces.pieces.as_slice() else { panic!("two halves") };
    assert_sound(a);
    assert_sound(b);
    assert_eq!((a.name.as_str(), b.name.as_str()), ("body half 1", "body half 2"));
    let hole_area = crate::num::PI * 400.0;
    assert!((a.area + b.area + hole_area - whole.pieces[0].area).abs() < 0.5);
    assert_eq!(a.holes.len() + b.holes.len(), 1);
    // The cut: one line, the same on both, 10 mm from the hole.
    let (sa, sb) = (a.split.unwrap(), b.split.unwrap());
    assert_eq!(sa.joint, sb.joint);
    assert!((sa.along + sb.along).length() < 1e-9);
    let away = sa.along.perp_dot(Vec2::new(0.0, 150.0) - sa.at).abs();
    assert!(away >= 30.0 - 1e-6, "{away}");
    for p in [a, b] {
        let cut = p.edges.iter().find(|e| e.edge == EdgeName::Cut).unwrap();
        assert_eq!(cut.letter.as_deref(), Some("C"));
        assert_eq!(cut.notches, 2);
        assert!(p.letters.iter().any(|l| l.text == "C"));
    }
    // Ticks meet.
    let ticks = |p: &Piece| -> Vec<Vec2> {
        p.marks
            .iter()
            .filter(|m| matches!(m.about, About::Notch { edge: EdgeName::Cut, .. }))
            .filter_map(|m| m.path.start())
            .collect()
    };
    for (p, q) in ticks(a).iter().zip(ticks(b)) {
        assert!(p.distance(q) < 1e-9);
    }
}

#[test]
fn a_piece_that_may_not_be_split_is_an_error_with_the_size_it_needs() {
    let f = Frustum { r0: 160.0, r1: 180.0, tall: 300.0, thick: 5.0 };
    let mut s = solid(&f, foam(Vec2::new(1000.0, 600.0)));
    s.parts[0].split = false;
    let (_, d) = finish(&s, &flat(vec![f.panel(Allowance::None)]));
    let first = d.iter().next().unwrap();
    assert_eq!((first.code, first.severity), (Code::PieceTooLarge, Severity::Error));
    assert_eq!(first.repair.as_deref(), Some("split: auto"));
    // Half does not fit either.
    let mut s = solid(&f, foam(Vec2::new(300.0, 250.0)));
    s.parts[0].split = true;
    let (_, d) = finish(&s, &flat(vec![f.panel(Allowance::None)]));
    assert_eq!(d.iter().next().unwrap().code, Code::PieceTooLarge);
}

#[test]
fn grain_holds_a_piece_upright_on_its_sheet() {
    // 520 tall, 314 wide: lying down it fits a sheet 400 wide, but its grain runs up.
    let mut stock = foam(Vec2::new(1000.0, 400.0));
    stock.grain = Grain::Along;
    let (pieces, d) = finish(&solid(&CHART, stock.clone()), &flat(vec![CHART.panel(Allowance::None)]));
    assert!(d.is_empty(), "its grain lies along the sheet: {d:?}");
    assert_eq!(pieces.pieces[0].grain, Some(pieces.pieces[0].up));
    stock.size = Goods::Sheet(Vec2::new(500.0, 400.0));
    let (_, d) = finish(&solid(&CHART, stock), &flat(vec![CHART.panel(Allowance::None)]));
    assert_eq!(d.iter().next().unwrap().code, Code::PieceSplit);
}

#[test]
fn layers_rings_and_joints_have_names_of_their_own() {
    let f = CHART;
    let mut s = solid(&f, foam(SHEET));
    let layer = s.parts[0].layers[0];
    s.parts[0].layers.push(layer);
    let mut second = f.panel(Allowance::None);
    second.layer = 1;
    let (pieces, _) = finish(&s, &flat(vec![f.panel(Allowance::None), second, disc(40.0, 0.0)]));
    let names: Vec<&str> = pieces.pieces.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["body layer 1 inside", "body layer 2 outside", "base"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn frusta_of_every_size_come_out_closed_and_lettered(
        r0 in 4.0..250.0f64, more in 0.5..150.0f64, tall in 15.0..500.0f64, thick in 1.0..12.0f64, kind in 0..3usize,
    ) {
        let f = Frustum { r0, r1: r0 + more, tall, thick };
        // The cut line at the small end must lie beyond the apex.
        prop_assume!(f.sector().0 > thick * more / tall + 1.0);
        prop_assume!(f.sector().2 < 6.0);
        let allowance = [Allowance::None, Allowance::Lap(8.0), Allowance::Tabs(6.0)][kind];
        let (pieces, d) = finish(&solid(&f, foam(Vec2::splat(9000.0))), &flat(vec![f.panel(allowance)]));
        if !d.is_empty() {
            prop_assert!(kind > 0, "{d:?}");
            return Ok(());
        }
        assert_sound(&pieces.pieces[0]);
        for run in &pieces.pieces[0].contour {
            prop_assert!(run.path.segs.iter().all(|s| s.length() > tol::ROUNDING));
        }
    }
}
