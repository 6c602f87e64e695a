//! Layouts checked by other means than those that made them: flattened outlines, distances of segments, points in
//! polygons.

use proptest::prelude::*;

use super::*;
use crate::samples;
use crate::solid::Grain;

/// Points on the contour of a placed piece: arcs by chords within 0.001 mm.
fn laid(piece: &Piece, placed: &Placed) -> Vec<Vec2> {
    let mut points = contour(piece).moved(&placed.motion).flattened(1e-3);
    points.pop();
    points
}

fn distance(p: Vec2, a: Vec2, b: Vec2) -> f64 {
    let d = b - a;
    let t = if d.length_squared() > 0.0 { ((p - a).dot(d) / d.length_squared()).clamp(0.0, 1.0) } else { 0.0 };
    (a + d * t - p).length()
}

fn crosses(a: Vec2, b: Vec2, c: Vec2, d: Vec2) -> bool {
    let side = |p: Vec2, q: Vec2, r: Vec2| (q - p).perp_dot(r - p);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

fn inside(p: Vec2, ring: &[Vec2]) -> bool {
    let mut odd = false;
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
            odd = !odd;
        }
    }
    odd
}

/// Least distance between two rings; 0 when they overlap.
fn apart(a: &[Vec2], b: &[Vec2]) -> f64 {
    if inside(a[0], b) || inside(b[0], a) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    for (i, &p) in a.iter().enumerate() {
        let q = a[(i + 1) % a.len()];
        for (j, &r) in b.iter().enumerate() {
            let s = b[(j + 1) % b.len()];
            if crosses(p, q, r, s) {
                return 0.0;
            }
            let pair = [distance(p, r, s), distance(q, r, s), distance(r, p, q), distance(s, p, q)];
            least = pair.into_iter().fold(least, f64::min);
        }
    }
    least
}

fn check(layout: &Layout, pieces: &Pieces) {
    let mut seen: Vec<usize> = Vec::new();
    for sheet in &layout.sheets {
        let rings: Vec<Vec<Vec2>> = sheet.placed.iter().map(|p| laid(&pieces.pieces[p.piece.index()], p)).collect();
        for (i, ring) in rings.iter().enumerate() {
            for p in ring {
                let least = p.x.min(p.y).min(sheet.size.x - p.x).min(sheet.size.y - p.y);
                assert!(least >= sheet.margin - 0.002, "{least} from the sheet's edge");
            }
            for other in &rings[i + 1..] {
                let d = apart(ring, other);
                assert!(d >= sheet.gap, "pieces {d} apart");
            }
        }
        assert!(sheet.used > 0.0 && sheet.used <= 1.0);
        seen.extend(sheet.placed.iter().map(|p| p.piece.index()));
        assert!(sheet.placed.iter().all(|p| !p.motion.mirror));
    }
    seen.sort_unstable();
    assert_eq!(seen, (0..pieces.pieces.len()).collect::<Vec<_>>(), "every piece lies once");
}

#[test]
fn the_sample_prop_lies_on_one_sheet_cut_by_hand() {
    let (solid, pieces) = (samples::solid(), samples::pieces());
    let (layout, diagnostics) = arrange(&solid, &pieces);
    assert!(diagnostics.is_empty());
    assert_eq!(layout.sheets.len(), 1);
    let sheet = &layout.sheets[0];
    assert_eq!(sheet.by_hand.as_deref(), Some("too thick for desk (5 mm, it cuts 3 mm)"));
    assert_eq!(sheet.size, Vec2::new(500.0, 1000.0));
    check(&layout, &pieces);
}

#[test]
fn a_stock_that_the_cutter_cuts_is_laid_out_on_its_bed() {
    let (mut solid, pieces) = (samples::solid(), samples::pieces());
    solid.stocks[0].thick = 3.0;
    if let Some(cutter) = &mut solid.job.cutter {
        cutter.size = Vec2::new(609.6, 400.0);
    }
    let (layout, _) = arrange(&solid, &pieces);
    assert_eq!(layout.sheets[0].size, Vec2::new(400.0, 609.6), "the bed's long side lies along the sheet's");
    assert_eq!(layout.sheets[0].by_hand, None);
    check(&layout, &pieces);
}

#[test]
fn a_piece_that_fits_nowhere_is_reported_and_the_rest_is_laid() {
    let mut pieces = samples::pieces();
    pieces.pieces.push(samples::piece(
        3,
        "mast",
        samples::polygon(&[Vec2::ZERO, Vec2::new(2000.0, 0.0), Vec2::new(0.0, 30.0)]),
        vec![],
    ));
    let (layout, diagnostics) = arrange(&samples::solid(), &pieces);
    assert!(diagnostics.has_errors());
    assert_eq!(layout.sheets.iter().map(|s| s.placed.len()).sum::<usize>(), 3);
}

#[test]
fn pieces_keep_the_grain_of_a_roll_and_its_length_is_what_they_need() {
    let mut solid = samples::solid();
    solid.job.cutter = None;
    solid.stocks[0] = samples::stock("twill", 0.4, Goods::Roll(600.0));
    solid.stocks[0].grain = Grain::Along;
    let mut pieces = samples::pieces();
    for piece in &mut pieces.pieces {
        piece.grain = Some(Vec2::new(0.6, 0.8));
    }
    let (layout, _) = arrange(&solid, &pieces);
    check(&layout, &pieces);
    for placed in &layout.sheets[0].placed {
        let along = placed.motion.apply_direction(Vec2::new(0.6, 0.8));
        assert!(along.x.abs() < 1e-9, "{along}");
    }
    let size = layout.sheets[0].size;
    assert!(size.x == 600.0 && size.y < 700.0 && size.y.fract() == 0.0, "{size}");
}

#[test]
fn a_piece_as_large_as_its_sheet_within_the_border_fits() {
    let mut solid = samples::solid();
    solid.stocks[0].size = Goods::Sheet(Vec2::new(210.0, 110.0));
    let disc = Path { segs: samples::circle(Vec2::ZERO, 50.0).segs };
    let run = |path| vec![crate::piece::Run::of(None, path)];
    let corners = [Vec2::ZERO, Vec2::new(200.0, 0.0), Vec2::new(200.0, 100.0), Vec2::new(0.0, 100.0)];
    let pieces = Pieces {
        pieces: vec![
            samples::piece(0, "disc", run(disc), vec![]),
            samples::piece(1, "slab", samples::polygon(&corners), vec![]),
        ],
    };
    let (layout, diagnostics) = arrange(&solid, &pieces);
    assert!(diagnostics.is_empty());
    check(&layout, &pieces);
}

#[test]
fn a_long_strip_lies_across_the_corners_when_it_fits_no_other_way() {
    let mut solid = samples::solid();
    solid.stocks[0].size = Goods::Sheet(Vec2::new(500.0, 310.0));
    let corners = [Vec2::ZERO, Vec2::new(540.0, 0.0), Vec2::new(540.0, 9.0), Vec2::new(0.0, 9.0)];
    let pieces = Pieces { pieces: vec![samples::piece(0, "lath", samples::polygon(&corners), vec![])] };
    let (layout, diagnostics) = arrange(&solid, &pieces);
    assert!(diagnostics.is_empty());
    check(&layout, &pieces);
}

#[test]
fn the_same_pieces_lie_the_same_way_every_time() {
    let (solid, pieces) = (samples::solid(), samples::pieces());
    assert_eq!(arrange(&solid, &pieces).0, arrange(&solid, &pieces).0);
}

/// A star-shaped ring with arcs on some sides.
fn star() -> impl Strategy<Value = Vec<(f64, f64)>> {
    proptest::collection::vec((20.0f64..90.0, -0.25f64..0.25), 3..9)
}

fn star_piece(index: usize, spokes: &[(f64, f64)]) -> Piece {
    #[expect(clippy::cast_precision_loss, reason = "few spokes")]
    let corner = |i: usize| crate::geom::unit(crate::num::TAU * i as f64 / spokes.len() as f64) * spokes[i].0;
    let segs = (0..spokes.len())
        .map(|i| crate::geom::path::Seg { a: corner(i), b: corner((i + 1) % spokes.len()), bulge: spokes[i].1 })
        .collect();
    samples::piece(index, "star", vec![crate::piece::Run::of(None, Path { segs })], vec![])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn no_two_pieces_come_nearer_than_the_gap(stars in proptest::collection::vec(star(), 1..7), wide in 250.0f64..600.0) {
        let mut solid = samples::solid();
        solid.stocks[0].size = Goods::Sheet(Vec2::new(wide, 420.0));
        let pieces = Pieces { pieces: stars.iter().enumerate().map(|(i, s)| star_piece(i, s)).collect() };
        let (layout, diagnostics) = arrange(&solid, &pieces);
        prop_assert!(diagnostics.is_empty());
        check(&layout, &pieces);
    }
}
