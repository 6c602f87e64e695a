//! Walls that are formed from one piece: what is drawn and said, against the wall that it is to become.
//!
//! The wall's neutral profile is found where the lines of neighbouring rings, each moved by its own normal, cross. Round it every
//! line that is cut or drawn on the piece is measured, and between two of them the way up: formed over cut must be what is
//! said, wherever it is said, up the wall nothing may be stretched, and the stock must allow it all.

use crate::geom::course::{End, Leg};
use crate::geom::path::Path;
use crate::geom::strip::Strip;
use crate::geom::{Vec2, Vec3};
use crate::num::TAU;
use crate::piece::{About, Piece};
use crate::solid::{Body, Course, EdgeName, Formed, OfForm, Part, Solid, Wall};
use crate::verdict::Check;

use super::claims::Made;
use super::laid::Laid;
use super::lines::View;
use super::measure;
use super::report::{FIT, LANDING, Most, Report};
use super::space::Round;
use super::wall::fit;

/// Figures that are reckoned twice and not drawn may differ by this, mm.
const SAME: f64 = 1e-3;
/// Percentages are written to tenths: half of one, and a little.
const TENTH: f64 = 0.051;
/// Places round a ring at which it must be as far from the axis.
const LOOKS: usize = 24;

fn formed_of(part: &Part) -> Option<(&Wall, &Formed)> {
    match &part.body {
        Body::Wall(wall) => Some((wall, wall.formed.as_deref()?)),
        _ => None,
    }
}

/// A wall that is formed as it stands then: elsewhere it is taken as it is cut.
pub fn standing(part: &Part) -> Option<View<'_>> {
    formed_of(part).map(|(wall, _)| View::new(wall))
}

/// What a size of one is called.
pub fn size(size: &OfForm) -> &'static str {
    match size {
        OfForm::Around(_) => "girth as it is formed",
        OfForm::Across(_) => "width as it is formed",
        OfForm::Tall(_) => "height as it is formed",
    }
}

/// Distances from the axis and heights of a round wall's stations at a depth; `None` where it is not round.
fn profile(strips: &[Strip], depth: f64) -> Option<Vec<Vec2>> {
    let out = |p: Vec3| Vec2::new(p.truncate().length(), p.z);
    let mut lines: Vec<(Vec2, Vec2)> = Vec::with_capacity(strips.len());
    for strip in strips {
        let round = Round::new(strip);
        let line = |w: f64| {
            let g = round.generatrix(w);
            (out(g.foot + g.normal * depth), out(g.head + g.normal * depth))
        };
        let own = line(0.0);
        for i in 1..LOOKS {
            let other = line(round.end() * i as f64 / LOOKS as f64);
            if other.0.distance(own.0).max(other.1.distance(own.1)) > SAME {
                return None;
            }
        }
        lines.push(own);
    }
    let mut points = vec![lines.first()?.0];
    for pair in lines.windows(2) {
        let ((a, b), (c, d)) = (pair[0], pair[1]);
        let (u, v) = (b - a, d - c);
        let turn = u.perp_dot(v);
        // Where a ring goes straight on into the next one, the foot of its normal.
        let straight = turn.abs() < 1e-9 * u.length() * v.length();
        points.push(if straight { b } else { a + u * ((c - a).perp_dot(v) / turn) });
    }
    points.push(lines.last()?.1);
    Some(points)
}

/// How far up each of them lies.
fn up(profile: &[Vec2]) -> Vec<f64> {
    let mut out = vec![0.0];
    for pair in profile.windows(2) {
        out.push(out[out.len() - 1] + pair[0].distance(pair[1]));
    }
    out
}

/// The lines that are to be drawn round the cone, one a station; none of a wall that is not formed.
pub fn legs(part: &Part, laid: &Laid<'_>) -> Vec<Leg> {
    let Some(profile) = formed_of(part).and_then(|(wall, _)| profile(&wall.strips, laid.layer.neutral)) else {
        return Vec::new();
    };
    let Some(&(z0, z1)) = laid.view.rounds.first().map(|r| &r.heights) else { return Vec::new() };
    let up = up(&profile);
    let z = |along: &f64| z0 + (z1 - z0) * along / up[up.len() - 1];
    up.iter().map(z).map(|z| Leg { strip: 0, from: End { share: 0.0, z }, to: End { share: 1.0, z } }).collect()
}

/// The line round a piece at a station: an edge, or a mark; and what its key says it is stretched by.
fn drawn(solid: &Solid, part: &Part, stations: usize, at: usize, piece: &Piece) -> (Vec<Path>, Option<f64>) {
    let undone = |p: &Path| measure::path_undone(&piece.from_flat, p);
    let edge = match at {
        0 => Some(EdgeName::Lower),
        i if i + 1 == stations => Some(EdgeName::Upper),
        _ => None,
    };
    if let Some(edge) = edge {
        let runs = piece.contour.iter().filter(|r| r.edge == Some(edge)).map(|r| undone(&r.path));
        let note = piece.edges.iter().find(|n| n.edge == edge).and_then(|n| n.formed);
        return (runs.collect(), note.map(|f| f.share()));
    }
    let own = |i: usize| solid.traces.get(i).is_some_and(|t| t.part == part.id && t.course == Course::Form(at));
    let marks = piece.marks.iter().filter(|m| matches!(m.about, About::Trace(i) if own(i))).map(|m| undone(&m.path));
    let note = piece.traces.iter().find(|t| own(t.trace)).and_then(|t| t.formed);
    (marks.collect(), note.map(|f| f.share()))
}

fn name(stations: usize, at: usize) -> String {
    match at {
        0 => "bottom".to_owned(),
        i if i + 1 == stations => "top".to_owned(),
        i => format!("form line {i}"),
    }
}

/// Percent that is written: `form line 1 +5.8 %`.
fn written(words: &str) -> Option<f64> {
    words.strip_suffix(" %")?.rsplit(' ').next()?.parse().ok()
}

/// The lines that may be written on a piece that is formed, as true as its key is.
pub fn labels(piece: &Piece) -> Vec<String> {
    if piece.formed.is_none() {
        return Vec::new();
    }
    let rim = |edge: EdgeName, name: &str| {
        let share = piece.edges.iter().find(|n| n.edge == edge)?.formed?.share();
        let tenths = (share * 1000.0).round() / 10.0;
        Some(if tenths == 0.0 { format!("{name} 0 %") } else { format!("{name} {tenths:+} %") })
    };
    let rims = [rim(EdgeName::Lower, "bottom"), rim(EdgeName::Upper, "top")];
    core::iter::once("warm and form".to_owned()).chain(rims.into_iter().flatten()).collect()
}

/// The pieces of one hand of a wall's panel: of one that is formed, all that is said of it.
pub fn check(solid: &Solid, part: &Part, laid: &Laid<'_>, group: &[&Piece], report: &mut Report) {
    let Some((wall, formed)) = formed_of(part) else {
        let said = group.iter().filter(|p| p.formed.is_some() || p.edges.iter().any(|e| e.formed.is_some()));
        report.count("pieces said to be formed", said.count(), 0);
        return;
    };
    let [piece] = group else { return report.holds(Check::Stretch, &part.name, "one piece", false) };
    let Some(profile) = profile(&wall.strips, laid.layer.neutral) else {
        return report.holds(Check::Stretch, &part.name, "round about its axis", false);
    };
    let n = profile.len();
    report.count("stations of what is formed", formed.stations.len(), n);
    let up = up(&profile);
    let goods = solid.stocks.get(laid.layer.stock);
    let leave = goods.map(|s| s.leave);
    report.holds(Check::Stretch, &part.name, "within what its stock allows", leave == Some(formed.leave));
    let mut shares: Vec<f64> = Vec::with_capacity(n);
    let mut below: Vec<Path> = Vec::new();
    for i in 0..n.min(formed.stations.len()) {
        let (lines, said) = drawn(solid, part, n, i, piece);
        let what = name(n, i);
        let is: f64 = lines.iter().map(Path::length).sum();
        let (asked, told) = (TAU * profile[i].x, formed.stations[i]);
        report.holds(Check::Coverage, &what, "is on the piece", is > 0.0);
        let share = asked / is - 1.0;
        shares.push(share);
        let place = format!("cut {is:.3} mm long, said {:.3}", told.cut);
        report.figure(Check::Stretch, &what, place, percent(is, told.cut), percent_of(is));
        let place = format!("formed {:.4} mm long for {asked:.4}", told.formed);
        let off = (told.formed - asked).abs().max((told.along - up[i]).abs()).max((told.height - profile[i].y).abs());
        let what_formed = format!("{what}, as it is formed");
        report.figure(Check::Stretch, &what_formed, place, 100.0 * off / asked, 100.0 * SAME / asked);
        for said in [Some(told.share()), said] {
            let said = said.unwrap_or(f64::NAN);
            let place = format!("said to be stretched by {:.3} % for {:.3}", 100.0 * said, 100.0 * share);
            report.figure(Check::Stretch, &what, place, (100.0 * (said - share)).abs(), percent_of(is));
        }
        let fits = leave.is_some_and(|l| share <= l.stretch + SAME && -share <= l.squeeze + SAME);
        report.holds(Check::Stretch, &what, "stretched no further than its stock allows", fits);
        // Up the wall nothing gives.
        if i > 0 {
            let long = profile[i].distance(profile[i - 1]);
            let mut most = Most::default();
            for p in lines.iter().flat_map(|l| measure::samples(l, 5.0, 1e-3)) {
                let off = below.iter().map(|b| measure::to_path(p, b)).fold(f64::INFINITY, f64::min);
                most.add((off - long).abs(), p);
            }
            most.enter(report, Check::Landing, &format!("{what}, up from the line before"), LANDING);
        }
        below = lines;
    }
    for trace in &piece.traces {
        let Some(Course::Form(i)) = solid.traces.get(trace.trace).map(|t| t.course.clone()) else { continue };
        let said = written(&trace.name).zip(shares.get(i)).map(|(w, s)| (w - 100.0 * s).abs());
        let near = said.is_some_and(|off| off <= TENTH);
        report.holds(Check::Stretch, &trace.name, "says how much it is stretched", near);
    }
    summed(piece, &shares, leave, report);
}

/// What is said of the whole piece: where it is stretched and squeezed most.
fn summed(piece: &Piece, shares: &[f64], leave: Option<crate::solid::Leave>, report: &mut Report) {
    let what = "the most it is stretched";
    let Some(told) = &piece.formed else { return report.holds(Check::Stretch, what, "said of the piece", false) };
    report.holds(Check::Stretch, what, "against what its stock allows", Some(told.leave) == leave);
    for (said, sign) in [(&told.stretched, 1.0), (&told.squeezed, -1.0)] {
        let most = shares.iter().map(|s| sign * s).fold(0.0, f64::max);
        let at = said.as_ref().and_then(|s| (0..shares.len()).find(|i| name(shares.len(), *i) == s.0));
        let is = said.as_ref().map_or(0.0, |s| sign * s.1);
        let there = at.map_or(0.0, |i| sign * shares[i]);
        let off = 100.0 * (is - most).abs().max((there - most).abs());
        report.figure(Check::Stretch, what, format!("{:.3} % for {:.3}", 100.0 * is, 100.0 * most), off, TENTH);
    }
}

/// By how much two lengths differ, in percent of the first.
fn percent(is: f64, other: f64) -> f64 {
    100.0 * ((is - other) / is).abs()
}

/// What a line of this length may be off, in percent.
fn percent_of(long: f64) -> f64 {
    100.0 * FIT / long
}

/// A size of a station, measured on the piece: its lines as long as they are cut and stretched by what its key says.
pub fn claim(solid: &Solid, made: &Made<'_>, (station, size): (usize, OfForm), what: &str, r: &mut Report) -> bool {
    let Some((wall, _)) = formed_of(made.part) else { return false };
    let mut any = false;
    for (laid, group) in made.laid.iter().zip(&made.groups) {
        let (Some(neutral), Some(face)) = (profile(&wall.strips, laid.layer.neutral), profile(&wall.strips, 0.0))
        else {
            return false;
        };
        let n = neutral.len();
        if station >= n {
            return false;
        }
        for piece in group {
            let line = |i: usize| drawn(solid, made.part, n, i, piece);
            let radius = |(lines, share): &(Vec<Path>, Option<f64>)| {
                let long: f64 = lines.iter().map(Path::length).sum();
                long * (1.0 + share.unwrap_or(f64::NAN)) / TAU
            };
            // From the neutral surface to the measured face.
            let off = |i: usize| face[i] - neutral[i];
            let wide = || radius(&line(station)) + off(station).x;
            let (is, asked) = match size {
                OfForm::Around(mm) => (TAU * wide(), mm),
                OfForm::Across(mm) => (2.0 * wide(), mm),
                OfForm::Tall(mm) => {
                    let all: Vec<_> = (0..=station).map(line).collect();
                    let rise = |w: &[(Vec<Path>, Option<f64>)]| {
                        let middle = w[1].0.first().and_then(|p| p.at_length(0.5 * p.length()));
                        let way = |p: Vec2| w[0].0.iter().map(|b| measure::to_path(p, b)).fold(f64::INFINITY, f64::min);
                        let wider = radius(&w[1]) - radius(&w[0]);
                        let long = middle.map_or(f64::NAN, |m| way(m.0));
                        (long * long - wider * wider).sqrt()
                    };
                    (all.windows(2).map(rise).sum::<f64>() + off(station).y - off(0).y, mm)
                }
            };
            fit(r, Check::Claim, what, is, asked);
            any = true;
        }
    }
    any
}
