//! The key in words: which piece it is, what each of its edges meets, its holes, and how to draw a line that no compass
//! reaches. Sheets and printed pages say it alike. Lengths come in the units the prop asks for, as a person measures
//! them; the exact figures stand in the report.

use super::lines::hand_word;
use super::number::{figure, length, thickness, unit};
use crate::geom::path::Seg;
use crate::piece::{EdgeNote, Forming, Offsets, Piece, Place, Trace};
use crate::solid::{Crease, EdgeName, Show, Stretched};

/// "3. strap left": number and name, and the hand where the name does not end in it.
#[must_use]
pub fn heading(piece: &Piece) -> String {
    let hand = hand_word(piece.hand).map(|h| format!(", {h}")).unwrap_or_default();
    let named = piece.name.ends_with("left") || piece.name.ends_with("right");
    format!("{}. {}{}", piece.number, piece.name, if named { "" } else { &hand })
}

/// A line an edge, a hole and a table of offsets.
#[must_use]
pub fn lines(piece: &Piece, show: Show) -> Vec<String> {
    let mut out: Vec<String> = piece.edges.iter().map(|e| edge(e, show)).collect();
    out.extend(piece.formed.as_ref().map(forming));
    out.extend(rectangle(piece, show));
    for hole in piece.holes.iter().filter(|h| h.number.is_none()) {
        if let Some((lo, hi)) = hole.outline.bounds() {
            let size = hi - lo;
            out.push(format!("hole {}: {} by {}", hole.name, length(size.x, show), length(size.y, show)));
        }
    }
    out.extend(rows(piece, show));
    out.extend(piece.places.iter().map(|p| place(p, show)));
    out.extend(piece.traces.iter().map(|t| mark(t, show)));
    out.extend(piece.offsets.iter().map(|o| offsets(piece, o, show)));
    out
}

/// "20 mm by 58 mm", of a piece with four straight sides square to each other: a tab or a patch is cut with a rule.
fn rectangle(piece: &Piece, show: Show) -> Option<String> {
    let segs: Vec<_> = piece.contour.iter().flat_map(|r| &r.path.segs).collect();
    let alone = piece.edges.iter().all(|e| e.edge == EdgeName::Outline);
    if !alone || segs.iter().any(|s| s.bulge != 0.0) {
        return None;
    }
    // Where a side goes on there is no corner.
    let way = |s: &Seg| (s.b - s.a).normalize_or_zero();
    let before = segs.iter().cycle().skip(segs.len().saturating_sub(1));
    let corners: Vec<_> =
        segs.iter().zip(before).filter(|(s, last)| way(s).dot(way(last)) < 0.999).map(|(s, _)| s.a).collect();
    let [a, b, c, d] = *corners.as_slice() else { return None };
    let square = [(a, b, c), (b, c, d), (c, d, a)]
        .iter()
        .all(|(p, q, r)| (*q - *p).normalize_or_zero().dot((*r - *q).normalize_or_zero()).abs() < 1e-3);
    square.then(|| {
        let (one, other) = (a.distance(b), b.distance(c));
        format!("{} by {}", length(one.min(other), show), length(one.max(other), show))
    })
}

/// Holes of rows, a line a row: "holes laces 1a to 6a: 6 mm". Half of a split piece has some of them.
fn rows(piece: &Piece, show: Show) -> Vec<String> {
    /// First and last name of a row, how many, and how wide.
    struct Row<'a>(&'a str, &'a str, usize, f64);
    let mut rows: Vec<(String, Row<'_>)> = Vec::new();
    for hole in &piece.holes {
        let (Some(number), Some((lo, hi))) = (hole.number, hole.outline.bounds()) else { continue };
        // A row is what has one name but for the number.
        let row = hole.name.replacen(&format!(" {number}"), " ", 1);
        match rows.iter_mut().find(|r| r.0 == row) {
            Some((_, Row(_, last, n, _))) => (*last, *n) = (&hole.name, *n + 1),
            None => rows.push((row, Row(&hole.name, &hole.name, 1, hi.x - lo.x))),
        }
    }
    rows.into_iter()
        .map(|(_, Row(first, last, n, wide))| {
            let wide = length(wide, show);
            let end = last.rsplit(' ').next().unwrap_or(last);
            if n == 1 { format!("hole {first}: {wide}") } else { format!("{n} holes {first} to {end}: {wide}") }
        })
        .collect()
}

/// "B: bottom meets base edge, 251.5 mm, 3 notches, bevel 3° long outside".
fn edge(edge: &EdgeNote, show: Show) -> String {
    let mut words = match (&edge.letter, &edge.meets) {
        (Some(letter), Some(meets)) => format!("{letter}: {} meets {meets}", edge.name),
        (Some(letter), None) => format!("{letter}: {}", edge.name),
        (None, _) => format!("{}, free", edge.name),
    };
    let long = edge.long;
    if (long.inside - long.outside).abs() < 0.5 {
        words.push_str(&format!(", {}", length(long.neutral, show)));
    } else {
        words.push_str(&format!(
            ", {} outside, {} mid-thickness, {} inside",
            length(long.outside, show),
            length(long.neutral, show),
            length(long.inside, show)
        ));
    }
    match edge.notches {
        0 => {}
        1 => words.push_str(", 1 notch"),
        n => words.push_str(&format!(", {n} notches")),
    }
    if edge.bevel.starts_with("square") {
        words.push_str(&format!(", cut {}", edge.bevel));
    } else if edge.bevel.starts_with("cut ") {
        words.push_str(&format!(", {}", edge.bevel));
    } else if !edge.bevel.is_empty() {
        words.push_str(&format!(", bevel {}", edge.bevel));
    }
    if let Some(formed) = &edge.formed {
        words.push_str(&format!("; {}", stretched(formed, show)));
    }
    words
}

/// "formed 240.5 mm long mid-thickness: stretched by 4 %".
fn stretched(formed: &Stretched, show: Show) -> String {
    let (long, tenths) = (length(formed.formed, show), (formed.share() * 1000.0).round() / 10.0);
    let how = match tenths {
        t if t > 0.0 => format!("stretched by {t} %"),
        t if t < 0.0 => format!("squeezed by {} %", -t),
        _ => "neither stretched nor squeezed".to_owned(),
    };
    format!("formed {long} long mid-thickness: {how}")
}

/// "warm it and stretch it over a form; up the wall it keeps its length; stretched by 7.2 % at most (top; foam5 takes 8 %), …".
fn forming(forming: &Forming) -> String {
    let tenth = |share: f64| (share * 1000.0).round() / 10.0;
    let most = [
        ("stretched", &forming.stretched, forming.leave.stretch),
        ("squeezed", &forming.squeezed, forming.leave.squeeze),
    ];
    let most = most.into_iter().filter_map(|(how, at, leave)| {
        let (name, share) = at.as_ref()?;
        Some(format!("{how} by {} % at most, at its {name} (its stock takes {} %)", tenth(share.abs()), tenth(leave)))
    });
    let most: Vec<String> = most.collect();
    format!(
        "formed: glue the seam, warm it, and stretch it over a form until each line is as long as is said here; up the wall it \
         keeps its length; {}; how warm, and how, is for the label of the goods to say",
        most.join(", ")
    )
}

/// "P1, place of upper: 90 mm from the top, 132.5 mm from the seam left side".
fn place(place: &Place, show: Show) -> String {
    let from: Vec<String> = place.from.iter().map(|(edge, mm)| off(edge, *mm, show)).collect();
    let face = if place.hidden { ", on the other face, pricked through at its corners" } else { "" };
    // Of a disc no side is straight to measure from.
    let from = if from.is_empty() { "as it is drawn".to_owned() } else { from.join(", ") };
    format!("P{}, place of {}{face}: {from}", place.number, place.name)
}

/// "M1, groove hoops 1: 2 mm deep, 754 mm long".
fn mark(trace: &Trace, show: Show) -> String {
    if let Some(fold) = trace.fold {
        return crease(trace, &fold, show);
    }
    if let Some(formed) = &trace.formed {
        let long = length(trace.long, show);
        return format!("M{}, {}: {long} long, {}", trace.number, trace.name, stretched(formed, show));
    }
    let face = if trace.hidden { ", on the other face, pricked through along it" } else { "" };
    let deep = trace.deep.map_or_else(String::new, |d| format!("{} deep, ", length(d, show)));
    let long = length(trace.long, show);
    format!("M{}, {} {}{face}: {deep}{long} long", trace.number, trace.stroke.word(), trace.name)
}

/// "M1, fold 1: V-groove on the other face, both edges pricked through, 8.1 mm wide and 4.8 mm deep, 1.2 mm stays; its faces
/// lean 30° each and meet when it is folded by 60°; 120 mm long", "M2, fold 2: score, fold away from it by 90°; 80 mm long".
fn crease(trace: &Trace, fold: &Crease, show: Show) -> String {
    let half = |radians: f64| (2.0 * radians.to_degrees() + 1e-6).round() / 2.0;
    let turn = half(fold.turn);
    if fold.scored {
        let face = if trace.hidden { " on the other face, pricked through along it" } else { "" };
        let long = length(trace.long, show);
        return format!("M{}, {}: score{face}, folded away from it by {turn}°; {long} long", trace.number, trace.name);
    }
    let face = if trace.hidden { " on the other face, both edges pricked through along it" } else { "" };
    let (wide, skin) = (thickness(fold.wide, show), thickness(fold.skin, show));
    let deep = trace.deep.map_or_else(String::new, |d| format!(" and {} deep", thickness(d, show)));
    let (lean, long) = (half(0.5 * fold.turn), length(0.5 * trace.long, show));
    format!(
        "M{}, {}: V-groove{face}, {wide} wide{deep}, {skin} stays; its faces lean {lean}° each and meet when it is folded by \
         {turn}°; {long} long",
        trace.number, trace.name
    )
}

/// "90 mm from the top", "on the seam left side", "12 mm from side 3".
fn off(edge: &str, mm: f64, show: Show) -> String {
    let the = if edge.starts_with("side ") { "" } else { "the " };
    if mm < 0.05 { format!("on {the}{edge}") } else { format!("{} from {the}{edge}", length(mm, show)) }
}

/// The offsets of an edge that no compass reaches.
fn offsets(piece: &Piece, table: &Offsets, show: Show) -> String {
    let name = piece.edges.iter().find(|e| e.edge == table.edge).map_or("edge", |e| e.name.as_str());
    let head = match table.radius {
        Some(radius) => format!("{name} without a compass, radius {}", length(radius, show)),
        None => format!("{name} by points"),
    };
    let hollow = table.rows.iter().map(|r| r.1).sum::<f64>() < 0.0;
    let rows: Vec<String> = table
        .rows
        .iter()
        .map(|&(along, rise)| {
            let rise = if hollow { -rise } else { rise };
            format!("{}\u{a0}\u{2192}\u{a0}{}", figure(along, show), figure(rise, show))
        })
        .collect();
    let (side, unit) = (if hollow { "in from it" } else { "out from it" }, unit(show));
    let chord = length(table.chord, show);
    format!("{head}: chord {chord}, {unit} along it \u{2192} {unit} {side}: {}", rows.join("; "))
}
