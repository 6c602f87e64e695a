//! Printed pages: what a maker can cut from passes, what would spoil a piece is named.

use crate::audit;
use crate::geom::Vec2;
use crate::page::{Pages, Template};
use crate::paginate::paginate;
use crate::samples;
use crate::verdict::{Check, Verdict};

/// The sample prop's pages, harmed.
fn printed(template: Template, harm: impl Fn(&mut Pages)) -> Verdict {
    let (solid, pieces) = (samples::solid(), samples::pieces());
    let mut pages = paginate(&solid, &pieces, template).0.expect("pages");
    assert!(pages.joins.len() > 3 && pages.boards.len() > 1, "joined pages and packed ones");
    harm(&mut pages);
    let mut verdict = Verdict::default();
    audit::pages(&pieces, &pages, &mut verdict);
    verdict
}

#[test]
fn good_pages_pass_for_either_face() {
    for template in [Template::Outside, Template::Hidden] {
        let verdict = printed(template, |_| {});
        assert!(verdict.passed(), "{:#?}", verdict.breaches);
        assert!(verdict.checked.pages > 4);
    }
}

fn caught(what: &str, harm: impl Fn(&mut Pages)) {
    let verdict = printed(Template::Outside, harm);
    let named = verdict.breaches.iter().any(|b| format!("{} ({})", b.what, b.place).contains(what));
    assert!(named && verdict.breaks(Check::Printing), "{what}: {:#?}", verdict.breaches);
}

/// The first page of the board of several.
fn joined(pages: &Pages) -> usize {
    pages.joins[0].over
}

#[test]
fn a_piece_left_out_or_printed_twice_is_caught() {
    caught("printed 0 times for 1", |p| {
        p.boards[0].placed.pop();
    });
    caught("printed 2 times for 1", |p| {
        let twice = p.boards[0].placed[0];
        p.boards[0].placed.push(twice);
    });
}

#[test]
fn a_page_left_out_is_caught() {
    caught("outline outside its pages", |p| {
        p.pages.pop();
    });
}

#[test]
fn a_piece_that_reaches_past_its_pages_is_caught() {
    caught("outline outside its pages", |p| {
        for board in &mut p.boards {
            board.placed[0].motion.shift.x += 300.0;
        }
    });
}

#[test]
fn the_wrong_hand_is_caught() {
    caught("drawn as its face is seen", |p| p.boards[0].placed[0].motion.mirror = true);
    caught("drawn as its face is seen", |p| p.template = Template::Hidden);
}

#[test]
fn pieces_that_touch_on_a_page_are_caught() {
    let verdict = printed(Template::Outside, |p| {
        let at = p.boards[0].placed[0].motion;
        p.boards[0].placed[1].motion = at;
    });
    assert!(verdict.breaks(Check::Overlap), "{:#?}", verdict.breaches);
}

#[test]
fn a_drawing_in_the_unprintable_margin_is_caught() {
    caught("window to the unprintable margin", |p| p.paper.margin += 1.0);
}

#[test]
fn pages_of_another_paper_are_caught() {
    caught("is the paper's size", |p| p.paper.size.x += 5.9);
}

#[test]
fn an_overlap_that_is_too_small_is_caught() {
    caught("overlap kept", |p| {
        let k = joined(p);
        p.pages[k].at.x -= 0.5;
    });
    caught("overlap kept", |p| p.paper.overlap += 1.0);
}

#[test]
fn a_join_left_out_doubled_or_off_the_edge_is_caught() {
    caught("have 0 joins for 1", |p| {
        p.joins.remove(0);
    });
    caught("have 2 joins for 1", |p| {
        let again = p.joins[0].clone();
        p.joins.push(again);
    });
    caught("line of the join at the page's edge", |p| p.joins[0].crosses[0] += Vec2::splat(0.2));
    caught("letters of joins", |p| p.joins[1].letter = p.joins[0].letter.clone());
}

#[test]
fn pages_that_do_not_hang_together_are_caught() {
    caught("hang together", |p| p.joins.clear());
}

#[test]
fn a_wrong_diagonal_is_caught() {
    let board = |p: &Pages| p.boards.iter().position(|b| !b.diagonals.is_empty()).expect("a joined board");
    caught("length of a diagonal", |p| {
        let k = board(p);
        p.boards[k].diagonals[0].long += 0.1;
    });
    caught("has its diagonals", |p| {
        let k = board(p);
        p.boards[k].diagonals.clear();
    });
    caught("on its page", |p| {
        let k = board(p);
        p.boards[k].targets[0].at.x -= 500.0;
    });
}
