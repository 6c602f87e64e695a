//! Pages of hand-made pieces.

use super::*;
use crate::geom::Vec2;
use crate::piece::Pieces;
use crate::samples;
use crate::solid::Paper;

fn plates(sizes: &[(f64, f64)]) -> Pieces {
    let pieces = sizes.iter().enumerate().map(|(i, &(x, y))| {
        let corners = [Vec2::ZERO, Vec2::new(x, 0.0), Vec2::new(x, y), Vec2::new(0.0, y)];
        samples::piece(i, &format!("plate {i}"), samples::polygon(&corners), Vec::new())
    });
    Pieces { pieces: pieces.collect() }
}

fn pages_on(paper: Paper, pieces: &Pieces) -> Pages {
    let mut solid = samples::solid();
    solid.job.paper = Some(paper);
    let (pages, found) = paginate(&solid, pieces, Template::Outside);
    assert!(found.is_empty());
    pages.expect("pages")
}

/// Paper whose windows are as large as said, with 10 mm of overlap.
fn paper(shown: Vec2) -> Paper {
    let zero = Paper { name: "test".to_owned(), size: Vec2::new(400.0, 500.0), margin: 5.0, overlap: 10.0 };
    let taken = zero.size - Frame::new(&zero, false).expect("roomy").shown();
    Paper { size: shown + taken, ..zero }
}

#[test]
fn as_many_pages_as_arithmetic_says() {
    // ceil((L − o)/(p − o)) along each side, with windows of 200 by 287 and 10 shared, as a sheet of 600 by 400 needs
    // 4 by 2 of paper upright; arithmetic, no source. A piece keeps 1 mm inside its windows on every side.
    for (long, pages) in [(198.0, 1), (200.1, 2), (388.0, 2), (390.1, 3), (600.0, 4)] {
        let made = pages_on(paper(Vec2::new(200.0, 287.0)), &plates(&[(long, 280.0)]));
        let columns = made.boards[0].columns.max(made.boards[0].rows);
        // Lying or turned it may do with fewer.
        assert!(made.pages.len() <= pages, "{long}: {} pages in {columns}", made.pages.len());
        if long < 201.0 {
            assert_eq!(made.pages.len(), pages, "{long}");
        }
    }
}

#[test]
fn small_pieces_share_a_page_and_large_ones_have_their_own() {
    let made = pages_on(paper(Vec2::new(190.0, 260.0)), &plates(&[(80.0, 60.0), (500.0, 30.0), (80.0, 60.0)]));
    let held: Vec<usize> = made.boards.iter().map(|b| b.placed.len()).collect();
    assert_eq!(held, [2, 1]);
    assert_eq!(made.of_board(0).count(), 1);
    assert!(made.boards[0].diagonals.is_empty() && made.boards[1].diagonals.len() == 2);
}

#[test]
fn pages_without_any_of_the_piece_are_left_out() {
    // An L whose arms are narrower than a window: the corner between them is empty.
    let (arm, long) = (100.0, 640.0);
    let corners = [(0.0, 0.0), (long, 0.0), (long, arm), (arm, arm), (arm, long), (0.0, long)];
    let points: Vec<Vec2> = corners.iter().map(|&(x, y)| Vec2::new(x, y)).collect();
    let pieces = Pieces { pieces: vec![samples::piece(0, "bracket", samples::polygon(&points), Vec::new())] };
    let made = pages_on(paper(Vec2::new(190.0, 260.0)), &pieces);
    let board = &made.boards[0];
    assert!(made.pages.len() < board.columns * board.rows, "{} of {}", made.pages.len(), board.columns * board.rows);
}

#[test]
fn the_hidden_template_has_as_many_pages() {
    let (solid, pieces) = (samples::solid(), samples::pieces());
    let [outside, hidden] = [Template::Outside, Template::Hidden].map(|t| paginate(&solid, &pieces, t).0);
    let (outside, hidden) = (outside.expect("pages"), hidden.expect("pages"));
    assert_eq!(outside.pages.len(), hidden.pages.len());
    assert!(hidden.boards.iter().flat_map(|b| &b.placed).all(|p| p.motion.mirror));
}

#[test]
fn a_pile_of_pages_is_a_warning_and_no_pages() {
    let mut solid = samples::solid();
    solid.job.paper = Some(paper(Vec2::new(60.0, 100.0)));
    for sizes in [vec![(9_000.0, 9_000.0)], vec![(55.0, 55.0); MOST_PAGES + 1]] {
        let (pages, found) = paginate(&solid, &plates(&sizes), Template::Outside);
        assert!(pages.is_none() && !found.has_errors());
        assert_eq!(found.iter().map(|d| d.code.name()).collect::<Vec<_>>(), ["too-many-pages"]);
    }
}
