//! Sheets: what lies well passes, what does not is named.

use super::fixture;
use crate::audit::audit;
use crate::geom::Vec2;
use crate::geom::path::Motion;
use crate::ids::PieceId;
use crate::sheet::{Ended, Extent, Layout, Placed, Sheet, Source, Use};
use crate::solid::{Goods, Grain, Solid};
use crate::verdict::{Check, Verdict};

/// Two pieces side by side on one roomy sheet.
fn laid(solid: &Solid, harm: impl Fn(&mut Sheet)) -> Verdict {
    let (flat, mut pieces) = fixture::make(solid);
    let mut x = 20.0;
    let mut placed = Vec::new();
    for piece in &mut pieces.pieces {
        piece.grain = Some(piece.up);
        let turn = crate::num::FRAC_PI_2 - crate::num::atan2(piece.up.y, piece.up.x);
        let turned = Motion { mirror: false, turn, shift: Vec2::ZERO };
        let bounds = piece.contour.iter().filter_map(|r| r.path.moved(&turned).bounds());
        let (lo, hi) = bounds.fold((Vec2::INFINITY, Vec2::NEG_INFINITY), |(a, b), (lo, hi)| (a.min(lo), b.max(hi)));
        placed.push(Placed { piece: piece.id, motion: Motion { shift: Vec2::new(x, 20.0) - lo, ..turned } });
        x += hi.x - lo.x + 6.0;
    }
    let size = Vec2::new(x + 20.0, 700.0);
    let mut sheet = Sheet {
        stock: 0,
        number: 1,
        from: Source::Whole(1),
        size,
        margin: 5.0,
        gap: 5.0,
        by_hand: None,
        placed,
        used: 0.5,
    };
    harm(&mut sheet);
    audit(solid, &flat, &pieces, Some(&Layout { sheets: vec![sheet], uses: Vec::new() }))
}

fn solid() -> Solid {
    let mut solid = fixture::oval(false);
    solid.stocks[0].grain = Grain::Along;
    solid.stocks[0].size = Goods::Sheet(Vec2::new(3000.0, 700.0));
    solid
}

#[test]
fn a_good_sheet_passes() {
    let verdict = laid(&solid(), |_| {});
    assert!(verdict.passed(), "{:#?}", verdict.breaches);
    assert_eq!(verdict.checked.placed, 2);
}

fn caught(check: Check, harm: impl Fn(&mut Sheet)) {
    let verdict = laid(&solid(), harm);
    assert!(verdict.breaks(check), "{}: {:#?}", check.name(), verdict.breaches);
}

#[test]
fn pieces_on_each_other_or_too_near_are_caught() {
    caught(Check::Overlap, |s| s.placed[1].motion.shift.x -= 30.0);
    caught(Check::Overlap, |s| s.gap = 400.0);
}

#[test]
fn a_piece_on_another_is_caught_where_no_gap_is_asked() {
    caught(Check::Overlap, |s| {
        s.gap = 0.0;
        s.placed[1].motion = s.placed[0].motion;
    });
}

#[test]
fn a_piece_in_the_border_is_caught() {
    caught(Check::Margin, |s| s.placed[0].motion.shift.y -= 15.5);
    caught(Check::Margin, |s| s.size.x -= 45.0);
}

#[test]
fn grain_across_is_caught() {
    caught(Check::Grain, |s| s.placed[1].motion.turn += crate::num::FRAC_PI_2);
}

#[test]
fn a_piece_left_off_laid_twice_turned_over_or_on_other_goods_is_caught() {
    caught(Check::Placing, |s| s.placed.truncate(1));
    caught(Check::Placing, |s| s.placed.push(s.placed[0]));
    caught(Check::Placing, |s| s.placed[0].motion.mirror = true);
    caught(Check::Placing, |s| s.stock = 1);
    caught(Check::Placing, |s| s.placed[0].piece = PieceId::new(77));
}

#[test]
fn goods_that_are_not_there_are_caught() {
    let mut with_offcut = solid();
    with_offcut.stocks[0].offcuts = vec![Vec2::new(3000.0, 700.0), Vec2::new(3000.0, 60.0)];
    let from = |source: Source| laid(&with_offcut, move |s| s.from = source);
    assert!(from(Source::Offcut(0)).passed());
    for source in [Source::Offcut(1), Source::Offcut(2), Source::Roll, Source::Whole(0)] {
        assert!(from(source).breaks(Check::Placing), "{source:?}");
    }
    let (flat, pieces) = fixture::make(&with_offcut);
    let sheet = |number, from, size| Sheet {
        stock: 0,
        number,
        from,
        size,
        margin: 5.0,
        gap: 5.0,
        by_hand: None,
        placed: Vec::new(),
        used: 0.0,
    };
    let half = Vec2::new(1400.0, 700.0);
    let words = |sheets: Vec<Sheet>, uses: Vec<Use>| {
        let verdict = audit(&with_offcut, &flat, &pieces, Some(&Layout { sheets, uses }));
        verdict.breaches.iter().map(|b| b.place.clone()).collect::<Vec<_>>().join("\n")
    };
    let loads = |n: usize, from| (0..n).map(|k| sheet(k + 1, from, half)).collect::<Vec<_>>();
    let full = "no more loads than it holds";
    assert!(!words(loads(2, Source::Whole(1)), Vec::new()).contains(full));
    assert!(words(loads(3, Source::Whole(1)), Vec::new()).contains(full));
    assert!(words(loads(2, Source::Offcut(0)), Vec::new()).contains(full));
    let of = |whole, sheets| {
        let extent = Extent { sheets, top: 0.0 };
        vec![Use { stock: 0, whole, kept: extent, plain: extent, steps: 0, ended: Ended::Plain, left: None }]
    };
    assert!(!words(loads(2, Source::Whole(1)), of(1, 2)).contains("counts its"));
    assert!(words(loads(2, Source::Whole(1)), of(2, 2)).contains("counts its whole sheets"));
    assert!(words(loads(2, Source::Whole(1)), of(1, 1)).contains("counts its sheets"));
}
