//! The pages of words that come first: how to print and prove the scale, how to join, which line is what, the maps of
//! joined pages with the diagonals to measure, and the key of the pieces.

use super::flow::{Flow, LINE, TALL, wrapped};
use super::head::{self, rule, whom};
use super::ink::{Leaf, Pen};
use super::{Set, cautions, map, sheet};
use crate::emit::aside;
use crate::emit::key;
use crate::emit::lines;
use crate::emit::number::length;
use crate::emit::shopping;
use crate::emit::sliding;
use crate::emit::style::{ALL, By, style};
use crate::geom::Vec2;
use crate::page::{Board, Frame, Template};
use crate::piece::Operation;
use crate::solid::MockUp;

/// The largest map, mm.
const MAP: Vec2 = Vec2::new(78.0, 54.0);
/// What the words beside a map need of a line, mm.
const BESIDE: f64 = 47.0;

/// All pages of words, numbered among all pages.
pub(super) fn pages(set: Set<'_>) -> Vec<Leaf> {
    // How many there are stands on each of them and moves the numbers of all others; it settles at once but for the
    // width of a digit.
    let mut count = 1;
    let mut made = set_words(set, count);
    for _ in 0..4 {
        if made.len() == count {
            break;
        }
        count = made.len();
        made = set_words(set, count);
    }
    made
}

fn set_words(set: Set<'_>, before: usize) -> Vec<Leaf> {
    let frame = Frame::ways(&set.pages.paper).into_iter().next().expect("pages were made on this paper");
    let total = before + set.pages.pages.len();
    let begin = |k: usize| {
        let number = k + 1;
        let mut leaf = super::leaf(&frame, format!("{}: page {number} of {total}", set.solid.job.title));
        let what = if k == 0 { "Read this first" } else { "What to know" };
        let lines = [
            format!("{what}: page {number} of {total}{}", whom(&set.solid.job)),
            match &set.solid.job.mock_up {
                Some(_) => "MOCK-UP of card: do not cut foam from this.".to_owned(),
                None => format!("Full-size pages on paper {}.", set.pages.paper.name),
            },
            "Print at 100 %, not fitted to the page.".to_owned(),
        ];
        head::head(&mut leaf, &set, &frame, &lines);
        leaf
    };
    let mut flow = Flow::new(frame, &begin);
    cautions::block(&mut flow, set);
    doing(&mut flow, set);
    to_buy(&mut flow, set);
    sliding(&mut flow, set);
    legend(&mut flow, set);
    maps(&mut flow, set, before);
    flow.heading("The pieces, and what their edges meet", 3.0 * LINE);
    for piece in &set.pieces.pieces {
        flow.need(3.0 * TALL);
        let stock = &set.solid.stocks[piece.stock].name;
        flow.words(
            Pen::Bold,
            TALL,
            0.0,
            &format!("{}, of {stock}: {}", key::heading(piece), where_is(set, piece.id, before)),
        );
        for line in key::lines(piece, set.solid.job.show) {
            let line = match set.pages.template {
                Template::Outside => line,
                Template::Hidden => line.replace("glue on this face", "glue on the outside face"),
            };
            flow.words(Pen::Words, TALL, 4.0, &line);
        }
        flow.gap(1.2);
    }
    flow.pages
}

/// "page 4", "pages 6 to 11".
fn where_is(set: Set<'_>, piece: crate::ids::PieceId, before: usize) -> String {
    let holds = |p: &crate::page::Page| set.pages.boards[p.board].placed.iter().any(|q| q.piece == piece);
    let numbers: Vec<usize> =
        set.pages.pages.iter().enumerate().filter(|(_, p)| holds(p)).map(|(k, _)| before + k + 1).collect();
    match numbers[..] {
        [] => "on no page".to_owned(),
        [one] => format!("page {one}"),
        [first, .., last] => format!("pages {first} to {last}"),
    }
}

fn doing(flow: &mut Flow<'_>, set: Set<'_>) {
    let show = set.solid.job.show;
    let rule = rule(&set);
    let across = length(rule.bar * core::f64::consts::SQRT_2, show);
    flow.heading("What to do", LINE);
    let mut steps: Vec<String> = set.solid.job.mock_up.iter().map(mocked).collect();
    steps.extend([
        format!(
            "Print every page at 100 % (\"actual size\"), on {} paper, one side only. Fitting to the page changes every \
             size.",
            set.pages.paper.name
        ),
        format!(
            "Measure on every page: both bars {}, from the free end of one to the free end of the other {across}, the \
             square {} each way. If one is wrong, do not cut: set the printer right and print again.",
            length(rule.bar, show),
            length(rule.square, show)
        ),
    ]);
    if !set.pages.joins.is_empty() {
        steps.push(
            "Join pages as the maps show. Where a small letter in a ring stands beside a dotted line at the right or \
             lower side of a page, trim that side off along the dots. Lay the page over its neighbour so that its edge \
             lies on the neighbour's dotted line, crosses become whole and letters meet their like: a on a. Tape, from \
             the upper left page on."
                .to_owned(),
        );
        steps.push(
            // What tape and paper forgive: common practice, no source.
            format!(
                "When all is taped, measure the long diagonals between the ringed crosses 1 and 2, 3 and 4. Where one is \
                 off by more than {}, a page has slipped: lift it and tape it again.",
                length(1.5, show)
            ),
        );
    }
    steps.push(match set.pages.template {
        Template::Outside => "Every piece is drawn as seen on its outside (show) face: lay the paper on that face, \
                              printed side up. Left and right pieces are drawn each; do not turn one over for the \
                              other."
            .to_owned(),
        Template::Hidden => "These pages are MIRRORED: every piece is drawn as seen on its inside (hidden) face. Lay the \
                             paper on that face, printed side up. Left and right pieces are drawn each; do not turn one \
                             over for the other."
            .to_owned(),
    });
    steps.push(
        "Cut on the wide black lines only. Capitals beside edges: edges with the same capital meet; their notches meet \
         too."
            .to_owned(),
    );
    for (i, step) in steps.iter().enumerate() {
        flow.words(Pen::Words, TALL, 0.0, &format!("{}. {step}", i + 1));
        flow.gap(0.8);
    }
}

/// What a mock-up is for, and how it is made.
fn mocked(mock: &MockUp) -> String {
    let size = if mock.ratio == 1.0 { "at full size".to_owned() } else { format!("at {}", mock.scale) };
    let without = match mock.without.as_slice() {
        [] => String::new(),
        names => format!(" It is made without: {}.", names.join(", ")),
    };
    format!(
        "This is a MOCK-UP {size}, of {}, to try before foam is cut. Do not cut foam from these pages: every piece has \
         the thickness of card. Score the fold lines, fold the tabs back from the show face, and glue them behind the \
         edge with the same capital.{without}",
        mock.card
    )
}

/// What is to be bought, where it has prices.
fn to_buy(flow: &mut Flow<'_>, set: Set<'_>) {
    let told = set.ledger.shopping.as_ref().and_then(|s| shopping::told(s, set.solid.job.show));
    let Some((head, lines)) = told else { return };
    flow.heading(&head.replacen("to buy", "To buy", 1), LINE);
    for line in lines {
        flow.words(Pen::Words, TALL, 0.0, &line);
    }
    flow.gap(1.0);
}

/// How plates that slide are put together.
fn sliding(flow: &mut Flow<'_>, set: Set<'_>) {
    for one in &set.solid.fitted.slidings {
        let (head, lines) = sliding::told(set.solid, one);
        flow.heading(&head, LINE);
        for line in lines {
            flow.words(Pen::Words, TALL, 0.0, &line);
        }
        flow.gap(1.0);
    }
}

/// A sample of each line that the pages have, and what is done along it.
fn legend(flow: &mut Flow<'_>, set: Set<'_>) {
    let placed = set.pages.boards.iter().flat_map(|b| b.placed.iter().copied()).collect::<Vec<_>>();
    let mut used: std::collections::BTreeSet<Operation> =
        lines::laid_out(&placed, set.pieces).iter().map(|l| l.operation).collect();
    if set.pieces.pieces.iter().any(aside::is_unnamed) {
        used.insert(Operation::Letter);
    }
    flow.heading("The lines", 3.0 * LINE);
    let does = |by: By| match by {
        By::Cuts => "cut with the knife",
        By::Scores => "score, half deep",
        By::Draws => "draw, do not cut",
        By::Nobody => "do not cut",
    };
    let mut rows: Vec<(Pen, String)> = ALL
        .into_iter()
        .filter(|o| used.contains(o))
        .map(|o| (Pen::Of(o), format!("{}: {}", style(o).words, does(style(o).by))))
        .collect();
    if !set.pages.joins.is_empty() {
        rows.push((Pen::Trim, "a page ends here, or the next page's edge is laid here: trim".to_owned()));
    }
    for (pen, words) in rows {
        flow.need(LINE);
        let (x, _) = flow.column();
        let y = flow.y - 0.5 * TALL;
        flow.leaf().line(pen, Vec2::new(x, y), Vec2::new(x + 26.0, y));
        flow.words(Pen::Words, TALL, 31.0, &words);
    }
}

/// A map of every board of several pages, two abreast, and a line for every packed page.
fn maps(flow: &mut Flow<'_>, set: Set<'_>, before: usize) {
    let whole = |b: &Board| b.columns * b.rows == 1;
    let follows = if set.pages.boards.first().is_some_and(whole) { LINE } else { MAP.y + 3.0 * TALL };
    flow.heading("The pages", follows);
    for (index, page) in set.pages.pages.iter().enumerate() {
        let board = &set.pages.boards[page.board];
        if whole(board) {
            let names: Vec<String> = board
                .placed
                .iter()
                .map(|p| &set.pieces.pieces[p.piece.index()])
                .map(|p| format!("{} ({})", p.name, p.number))
                .collect();
            flow.words(Pen::Words, TALL, 0.0, &format!("Page {}, whole: {}.", before + index + 1, names.join(", ")));
        }
    }
    for board in 0..set.pages.boards.len() {
        if whole(&set.pages.boards[board]) {
            continue;
        }
        let (x, wide) = flow.column();
        let room = Vec2::new(MAP.x.min(wide - BESIDE), MAP.y);
        let Some(size) = map::size(set, board, room) else { continue };
        let diagonals = &set.pages.boards[board].diagonals;
        flow.gap(2.0);
        flow.need(size.y + 3.0 * TALL + 2.0);
        let first = set.pages.of_board(board).next().map(|(_, p)| p);
        let what = first.map(|p| sheet::what(set, p)).unwrap_or_default();
        let pages: Vec<usize> = set.pages.of_board(board).map(|(k, _)| before + k + 1).collect();
        let head = match pages[..] {
            [first, .., last] => format!("{what}: {} pages, {first} to {last}", pages.len()),
            [only] => format!("{what}: page {only}"),
            [] => what,
        };
        flow.words(Pen::Bold, TALL, 0.0, &head);
        let top = flow.y - 1.0;
        let lo = Vec2::new(x, top - size.y);
        map::map(flow.leaf(), set, board, (lo, lo + size), None, before);
        let mut y = top;
        let targets = &set.pages.boards[board].targets;
        let beside = Vec2::new(x + size.x + 5.0, 0.0);
        let mut lines = vec!["When taped, measure".to_owned()];
        lines.extend(diagonals.iter().map(|d| {
            format!("{} to {}: {}", targets[d.from].name, targets[d.to].name, length(d.long, set.solid.job.show))
        }));
        let room = wide - size.x - 5.0;
        for line in lines.iter().flat_map(|l| wrapped(l, TALL, room)) {
            flow.leaf().words(Pen::Words, Vec2::new(beside.x, y - TALL), TALL, &line);
            y -= LINE;
        }
        for target in targets {
            let at = lo + map::onto(set, board, size, target.at);
            flow.leaf().circle(Pen::Target, at, 0.7, "");
        }
        flow.y = lo.y.min(y) - 2.0;
    }
}
