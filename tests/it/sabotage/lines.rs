//! Contours and holes.

use super::Made;
use super::harm::{Case, case, each_piece, kinked, on_piece, said, shifted, wall_of};
use tasset::geom::Vec2;
use tasset::geom::path::{Path, Seg};
use tasset::piece::Run;
use tasset::solid::{EdgeName, Rim, Seam};
use tasset::verdict::Check;

const LINE: &[Check] = &[Check::Landing];

/// A case on every run of an edge.
fn each_run(
    made: &Made,
    checks: &'static [Check],
    fits: impl Fn(&Run) -> bool,
    spoil: fn(&mut Run) -> bool,
) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for (k, run) in piece.contour.iter().enumerate() {
            // A cone's rim of some millimetres where one place closes before the others is below what is looked at.
            if !fits(run) || run.path.length() < 1.0 || !spoil(&mut run.clone()) {
                continue;
            }
            let what = run.edge.map_or("", said);
            let mut one = on_piece(made, i, checks, what, move |p| {
                spoil(&mut p.contour[k]);
            });
            one.on += &format!(", {:?} ({k})", run.edge);
            cases.push(one);
        }
    }
    cases
}

fn longest(path: &Path, fits: impl Fn(&Seg) -> bool) -> Option<usize> {
    let fit = (0..path.segs.len()).filter(|&i| fits(&path.segs[i]));
    fit.max_by(|&i, &j| path.segs[i].length().total_cmp(&path.segs[j].length()))
}

pub fn vertex(made: &Made) -> Vec<Case> {
    let inner = |run: &mut Run| {
        let i = longest(&run.path, |_| true).expect("a run has a line");
        let two = kinked(&run.path.segs[i], 0.2);
        run.path.segs.splice(i..=i, two);
        true
    };
    each_run(made, LINE, |r| r.edge.is_some(), inner)
}

pub fn bulge(made: &Made) -> Vec<Case> {
    let fuller = |run: &mut Run| {
        let Some(i) = longest(&run.path, |s| s.bulge != 0.0) else { return false };
        let s = &mut run.path.segs[i];
        // The rise of an arc is bulge times half its chord.
        s.bulge += 0.1 / (0.5 * (s.b - s.a).length());
        true
    };
    each_run(made, LINE, |r| r.edge.is_some(), fuller)
}

/// Teeth 0.015 mm high, that no limit of landing sees.
pub fn teeth(made: &Made) -> Vec<Case> {
    let toothed = |run: &mut Run| {
        let Some(i) = longest(&run.path, |_| true) else { return false };
        let s = run.path.segs[i];
        if s.length() < 15.0 {
            return false;
        }
        let n = (s.length() / 0.065).floor();
        let mut at = s.a;
        let mut out = Vec::new();
        let mut k = 1.0;
        while k <= n {
            let side = if k % 2.0 == 1.0 { 0.015 } else { -0.015 };
            let off = if k == n { 0.0 } else { side };
            let p = s.at(k / n) + tasset::geom::left_of(s.direction(k / n)) * off;
            out.push(Seg::line(at, p));
            at = p;
            k += 1.0;
        }
        out.last_mut().expect("teeth").b = s.b;
        run.path.segs.splice(i..=i, out);
        true
    };
    each_run(made, &[Check::Partner, Check::Landing], |r| r.edge.is_some(), toothed)
}

/// A thin loop that belongs to no edge, out of a corner and back.
pub fn spur(made: &Made) -> Vec<Case> {
    each_piece(
        made,
        &[Check::Coverage, Check::Landing],
        "",
        |_| true,
        |p| {
            let last = p.contour.len() - 1;
            let end = p.contour[last].path.end().expect("a contour");
            let way = p.contour[last].path.segs.last().expect("a contour").direction(1.0).normalize();
            let side = tasset::geom::left_of(way);
            let points = [end, end + way * 9.0, end + way * 9.0 + side * 3.0, end];
            p.contour.push(Run::of(None, Path::polyline(&points)));
            let outline = Path { segs: p.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() };
            p.area = outline.area() - p.holes.iter().map(|h| h.outline.area()).sum::<f64>();
        },
    )
}

pub fn gap(made: &Made) -> Vec<Case> {
    let open = |p: &tasset::piece::Piece| {
        // A side that is turned over is a fold and no run.
        let side = p.contour.iter().any(|r| r.edge == Some(EdgeName::End));
        side && wall_of(made, p).is_some_and(|w| matches!(w.seam, Seam::Open(_)))
    };
    each_piece(made, LINE, "seam side where the wall ends", open, |p| {
        let n = p.contour.len();
        let i = p.contour.iter().position(|r| r.edge == Some(EdgeName::End)).expect("a side");
        let (_, left) = super::harm::frame(&p.contour[i].path);
        shifted(&mut p.contour[i].path, left * 0.25);
        let (a, b) = (p.contour[i].path.start().expect("a side"), p.contour[i].path.end().expect("a side"));
        p.contour[(i + n - 1) % n].path.segs.last_mut().expect("a rim").b = a;
        p.contour[(i + 1) % n].path.segs[0].a = b;
    })
}

/// The run of a lap that is parallel to the seam line, and the seam line's outward side.
fn lap_side(p: &tasset::piece::Piece) -> Option<(usize, Vec2)> {
    let fit = (0..p.contour.len()).filter(|&i| p.contour[i].edge.is_none() && p.contour[i].turn.is_none());
    let i = fit.max_by(|&i, &j| p.contour[i].path.length().total_cmp(&p.contour[j].path.length()))?;
    let (_, left) = super::harm::frame(&p.contour[i].path);
    Some((i, -left))
}

fn laps(made: &Made, p: &tasset::piece::Piece) -> bool {
    wall_of(made, p).is_some_and(|w| matches!(w.seam, Seam::Lap(_)))
}

/// Both ends of the lap's far side moved along the lap's rims.
fn pull(p: &mut tasset::piece::Piece, low: f64, high: f64) {
    let n = p.contour.len();
    let (i, out) = lap_side(p).expect("a lap");
    let s = &mut p.contour[i].path.segs[0];
    s.a -= out * low;
    s.b -= out * high;
    let (a, b) = (s.a, s.b);
    p.contour[(i + n - 1) % n].path.segs.last_mut().expect("a rim").b = a;
    p.contour[(i + 1) % n].path.segs[0].a = b;
}

pub fn narrow_lap(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Claim], "lap", |p| laps(made, p), |p| pull(p, 1.0, 1.0))
}

pub fn skewed_lap(made: &Made) -> Vec<Case> {
    let checks = &[Check::Claim, Check::Landing];
    each_piece(made, checks, "lap", |p| laps(made, p), |p| pull(p, 3.0, 0.0))
}

pub fn lap_rim(made: &Made) -> Vec<Case> {
    let checks = &[Check::Claim, Check::Landing];
    each_piece(
        made,
        checks,
        "lap",
        |p| laps(made, p),
        |p| {
            let n = p.contour.len();
            let (i, _) = lap_side(p).expect("a lap");
            let run = &mut p.contour[(i + n - 1) % n];
            let k = longest(&run.path, |_| true).expect("a rim");
            let two = kinked(&run.path.segs[k], 0.3);
            run.path.segs.splice(k..=k, two);
        },
    )
}

pub fn narrow_tab(made: &Made) -> Vec<Case> {
    let tabbed = |p: &tasset::piece::Piece| wall_of(made, p).is_some_and(|w| matches!(w.seam, Seam::Tabs(_)));
    each_piece(made, &[Check::Claim, Check::Landing], "tab", tabbed, |p| {
        let run = p.contour.iter_mut().find(|r| r.edge.is_none() && r.turn.is_none()).expect("a tab");
        let left = tasset::geom::left_of(run.path.segs[1].direction(0.0).normalize());
        run.path.segs[0].b += left;
        run.path.segs[1].a += left;
        run.path.segs[1].b += left;
        run.path.segs[2].a += left;
    })
}

/// The runs of a piece's tabs.
fn tabs_of(made: &Made, p: &tasset::piece::Piece) -> Vec<usize> {
    if !wall_of(made, p).is_some_and(|w| matches!(w.seam, Seam::Tabs(_))) {
        return Vec::new();
    }
    (0..p.contour.len()).filter(|i| p.contour[*i].edge.is_none() && p.contour[*i].turn.is_none()).collect()
}

fn each_tab(made: &Made, checks: &'static [Check], spoil: fn(&mut tasset::piece::Piece, usize)) -> Vec<Case> {
    let mut cases = Vec::new();
    for (i, piece) in made.pieces.pieces.iter().enumerate() {
        for k in tabs_of(made, piece) {
            let mut one = on_piece(made, i, checks, "tab", move |p| {
                let lines = |p: &tasset::piece::Piece| {
                    Path { segs: p.contour.iter().flat_map(|r| r.path.segs.iter().copied()).collect() }.area()
                };
                let before = lines(p);
                spoil(p, k);
                // All that is said of the piece goes with it.
                p.area += lines(p) - before;
            });
            one.on += &format!(", tab at {k}");
            cases.push(one);
        }
    }
    cases
}

pub fn tab_out(made: &Made) -> Vec<Case> {
    each_tab(made, &[Check::Coverage], |p, k| {
        let path = &p.contour[k].path;
        let (a, b) = (path.start().expect("a tab"), path.end().expect("a tab"));
        p.contour[k] = Run::of(Some(EdgeName::End), Path::polyline(&[a, b]));
    })
}

pub fn tab_pointed(made: &Made) -> Vec<Case> {
    each_tab(made, &[Check::Claim], |p, k| {
        let segs = &mut p.contour[k].path.segs;
        let tip = segs[1].at(0.5);
        (segs[0].b, segs[2].a) = (tip, tip);
        segs.remove(1);
    })
}

pub fn area(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Area], "stated area", |_| true, |p| p.area *= 1.001)
}

pub fn panel_area(made: &Made) -> Vec<Case> {
    let panels = 0..made.flat.panels.len();
    panels
        .map(|i| {
            let checks = &[Check::Area];
            case(&format!("panel {i}"), checks, "panel's stated area", move |m| m.flat.panels[i].area *= 1.001)
        })
        .collect()
}

fn holed(p: &tasset::piece::Piece) -> bool {
    !p.holes.is_empty()
}

pub fn hole_moved(made: &Made) -> Vec<Case> {
    let checks = &[Check::Landing];
    let mut cases = each_piece(made, checks, "hole", holed, |p| shifted(&mut p.holes[0].outline, Vec2::X * 0.3));
    cases.extend(each_piece(made, checks, "hole", holed, |p| shifted(&mut p.holes[0].outline, Vec2::Y * -0.3)));
    cases
}

pub fn hole_wide(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Landing], "hole", holed, |p| {
        let path = &mut p.holes[0].outline;
        let (lo, hi) = path.bounds().expect("a hole");
        let (middle, wide) = ((lo + hi) * 0.5, hi.x - lo.x);
        for s in &mut path.segs {
            s.a = middle + (s.a - middle) * (1.0 + 0.3 / wide);
            s.b = middle + (s.b - middle) * (1.0 + 0.3 / wide);
        }
    })
}

pub fn hole_out(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Coverage], "hole", holed, |p| p.holes.clear())
}

pub fn hole_twice(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Coverage], "hole", holed, |p| p.holes.push(p.holes[0].clone()))
}

pub fn hole_name(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Coverage], "hole", holed, |p| p.holes[0].name = "hatch".into())
}

fn in_a_row(p: &tasset::piece::Piece) -> bool {
    p.holes.iter().any(|h| h.number.is_some())
}

/// The inside layer's: what a row is set out on, and measured by.
pub fn row_moved(made: &Made) -> Vec<Case> {
    let inside = |p: &tasset::piece::Piece| in_a_row(p) && made.flat.panels[p.panel.index()].layer == 0;
    let last = |p: &mut tasset::piece::Piece, by: Vec2| {
        let hole = p.holes.iter_mut().rfind(|h| h.number.is_some()).expect("a row");
        shifted(&mut hole.outline, by);
    };
    let checks = &[Check::Claim];
    let mut cases = Vec::new();
    for by in [Vec2::X * 0.3, Vec2::Y * 0.3] {
        for (i, _) in made.pieces.pieces.iter().enumerate().filter(|(_, p)| inside(p)) {
            cases.push(super::harm::on_piece(made, i, checks, "hole of a row", move |p| last(p, by)));
        }
    }
    cases
}

pub fn row_dropped(made: &Made) -> Vec<Case> {
    each_piece(made, &[Check::Coverage], "hole", in_a_row, |p| {
        let last = p.holes.iter().rposition(|h| h.number.is_some()).expect("a row");
        p.holes.remove(last);
    })
}

/// A ring's rims by sort, for the harms of development.
pub fn has_rim(made: &Made, fits: fn(&Rim) -> bool) -> bool {
    made.pieces
        .pieces
        .iter()
        .filter_map(|p| wall_of(made, p))
        .any(|w| w.rings.iter().any(|r| fits(&r.lower) || fits(&r.upper)))
}
