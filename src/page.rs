//! The printed pages: which piece lies on which page of paper at full size, and how pages join. Rank 5: plain data,
//! made by `paginate`.
//!
//! A *board* is a plane on which pieces lie, mm, y up. A page shows a *window* of its board; windows of neighbours
//! share a strip as wide as the paper's overlap. On the page (its corner at the origin as it lies before the reader,
//! y up) the window leaves room at the head for words and at the left for a bar, so that the right and lower sides
//! end with the drawing: there a page is trimmed and laid over its neighbours.

use crate::geom::Vec2;
use crate::ids::PieceId;
use crate::sheet::Placed;
use crate::solid::Paper;

/// Which face of the goods a template is laid on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Template {
    /// The show face: pieces are drawn as they are.
    #[default]
    Outside,
    /// The face that is not seen: every piece is drawn mirrored.
    Hidden,
}

/// All pages.
#[derive(Clone, Debug, PartialEq)]
pub struct Pages {
    pub paper: Paper,
    pub template: Template,
    /// Least distance between two pieces on one page, mm.
    pub gap: f64,
    pub boards: Vec<Board>,
    /// Board by board, rows from the top, from left to right.
    pub pages: Vec<Page>,
    pub joins: Vec<Join>,
}

/// A plane that one or several pages show.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    pub placed: Vec<Placed>,
    /// Paper turned with its long side across.
    pub lying: bool,
    /// Of the grid of windows; not every cell has a page.
    pub columns: usize,
    pub rows: usize,
    /// Points far apart, named, to measure between when the pages are joined.
    pub targets: Vec<Target>,
    pub diagonals: Vec<Diagonal>,
}

/// One page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    pub board: usize,
    /// From the left and from the top, from 0.
    pub column: usize,
    pub row: usize,
    /// The board's point at the window's lower left corner.
    pub at: Vec2,
    pub frame: Frame,
}

/// Two pages that meet. The first is trimmed at the line and laid over the second.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// Written on both pages; no two joins of a set share one.
    pub letter: String,
    /// Indices in `Pages::pages`.
    pub over: usize,
    pub under: usize,
    /// The first page's right side, or its lower one.
    pub side: Side,
    /// The line on the board at which the first page ends.
    pub from: Vec2,
    pub to: Vec2,
    /// Where on the line crosses stand, on the board.
    pub crosses: Vec<Vec2>,
}

/// The side of a page at which it is laid over another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    Right,
    Lower,
}

/// A point to measure from.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    pub name: String,
    pub at: Vec2,
    /// The page that shows it, an index in `Pages::pages`.
    pub page: usize,
}

/// Two targets, and how far they are apart, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Diagonal {
    pub from: usize,
    pub to: usize,
    pub long: f64,
}

/// Height of the words over a window, mm: beside the map where the paper is wide enough, else above it.
const HEAD: f64 = 27.0;
const STACKED: f64 = 53.0;
/// Least printed width at which the words stand beside the map, mm.
const ABREAST: f64 = 150.0;
/// Width of the bar's strip left of a window, mm.
const STRIP: f64 = 8.0;
/// A window stays this far inside the printed area to the right and below, mm: half a cut line's width lies outside
/// the window it is clipped to.
const EDGE: f64 = 0.5;
/// Least width of what is printed, and of what a window shows besides its overlaps, mm.
const LEAST_WIDTH: f64 = 60.0;
const LEAST_SHOWN: f64 = 20.0;

/// One page of paper as it lies, with what a printer reaches and where the drawing stands. That there is room for
/// both is proven by the constructor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    size: Vec2,
    margin: f64,
    overlap: f64,
    lying: bool,
}

impl Frame {
    /// The page of a paper, upright or lying; `None` when too little of it is left to draw on.
    #[must_use]
    pub fn new(paper: &Paper, lying: bool) -> Option<Self> {
        let (short, long) = (paper.size.min_element(), paper.size.max_element());
        let size = if lying { Vec2::new(long, short) } else { Vec2::new(short, long) };
        let frame = Self { size, margin: paper.margin, overlap: paper.overlap, lying };
        let (lo, hi) = frame.window();
        let least = 2.0 * paper.overlap + LEAST_SHOWN;
        let roomy = (hi - lo).cmpge(Vec2::splat(least)).all() && frame.printed().1.x - paper.margin >= LEAST_WIDTH;
        roomy.then_some(frame)
    }

    /// Both ways a paper can lie that leave room, upright first.
    #[must_use]
    pub fn ways(paper: &Paper) -> Vec<Self> {
        [false, true].into_iter().filter_map(|lying| Self::new(paper, lying)).collect()
    }

    /// The paper's size as it lies.
    #[must_use]
    pub fn size(&self) -> Vec2 {
        self.size
    }

    #[must_use]
    pub fn lying(&self) -> bool {
        self.lying
    }

    #[must_use]
    pub fn overlap(&self) -> f64 {
        self.overlap
    }

    /// The corners of what the printer reaches.
    #[must_use]
    pub fn printed(&self) -> (Vec2, Vec2) {
        (Vec2::splat(self.margin), self.size - Vec2::splat(self.margin))
    }

    /// Whether the words at the head stand above the map.
    #[must_use]
    pub fn stacked(&self) -> bool {
        self.size.x - 2.0 * self.margin < ABREAST
    }

    /// The corners of the place for the drawing, to the thousandth.
    #[must_use]
    pub fn window(&self) -> (Vec2, Vec2) {
        let (lo, hi) = self.printed();
        let head = if self.stacked() { STACKED } else { HEAD };
        let lo = ((lo + Vec2::new(STRIP, EDGE)) * 1e3).ceil() / 1e3;
        let hi = ((hi - Vec2::new(EDGE, head)) * 1e3).floor() / 1e3;
        (lo, hi)
    }

    /// Size of the window.
    #[must_use]
    pub fn shown(&self) -> Vec2 {
        let (lo, hi) = self.window();
        ((hi - lo) * 1e3).round() / 1e3
    }

    /// From one window of a board to the next, to the thousandth; what they share is never less than the overlap.
    #[must_use]
    pub fn step(&self) -> Vec2 {
        ((self.shown() - Vec2::splat(self.overlap)) * 1e3 + Vec2::splat(1e-6)).floor() / 1e3
    }
}

impl Page {
    /// The corners of its window on the board.
    #[must_use]
    pub fn window(&self) -> (Vec2, Vec2) {
        (self.at, self.at + self.frame.shown())
    }

    /// How far the board is moved to come onto the page.
    #[must_use]
    pub fn shift(&self) -> Vec2 {
        self.frame.window().0 - self.at
    }
}

impl Pages {
    /// The pages of a board with their indices.
    pub fn of_board(&self, board: usize) -> impl Iterator<Item = (usize, &Page)> {
        self.pages.iter().enumerate().filter(move |(_, p)| p.board == board)
    }

    /// The piece that a board of one piece shows.
    #[must_use]
    pub fn single(&self, board: usize) -> Option<PieceId> {
        match self.boards.get(board)?.placed[..] {
            [only] => Some(only.piece),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paper(w: f64, h: f64, margin: f64, overlap: f64) -> Paper {
        Paper { name: "test".to_owned(), size: Vec2::new(w, h), margin, overlap }
    }

    #[test]
    fn a_window_lies_within_what_is_printed_and_steps_leave_the_overlap() {
        for lying in [false, true] {
            let frame = Frame::new(&paper(210.0, 297.0, 6.35, 12.7), lying).expect("roomy");
            let ((lo, hi), (a, b)) = (frame.window(), frame.printed());
            assert!(lo.cmpge(a).all() && hi.cmple(b).all());
            let left = frame.shown() - frame.step();
            assert!(left.cmpge(Vec2::splat(12.7 - 1e-9)).all() && left.cmple(Vec2::splat(12.702)).all(), "{left}");
            assert_eq!(frame.size().x > frame.size().y, lying);
        }
    }

    #[test]
    fn paper_without_room_for_a_drawing_is_none() {
        assert!(Frame::ways(&paper(60.0, 60.0, 6.5, 12.0)).is_empty());
        assert!(Frame::ways(&paper(210.0, 297.0, 6.5, 100.0)).is_empty());
        assert_eq!(Frame::ways(&paper(105.0, 148.0, 6.5, 12.0)).len(), 1, "lying is too low");
        assert_eq!(Frame::ways(&paper(210.0, 297.0, 0.0, 0.0)).len(), 2);
    }
}
