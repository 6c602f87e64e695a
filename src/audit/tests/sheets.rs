//! Sheets: what lies well passes, what does not is named.

use super::fixture;
use crate::audit::audit;
use crate::geom::Vec2;
use crate::geom::path::Motion;
use crate::ids::PieceId;
use crate::sheet::{Layout, Placed, Sheet, Source};
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
