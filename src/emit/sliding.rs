//! How plates that slide are put together, in lines for the terminal and the first printed pages.

use core::fmt::Write as _;

use super::number::{fixed, length};
use crate::fitted::sliding::{Sliding, Strap};
use crate::num::{FRAC_PI_2, PI, TAU, wrap};
use crate::solid::{Show, Solid};

/// What moves and how far, and under it what is to be done, in order.
#[must_use]
pub fn told(solid: &Solid, sliding: &Sliding) -> (String, Vec<String>) {
    let show = solid.job.show;
    let joints = sliding.joints.len();
    let most = sliding.joints.iter().map(|j| j.slide).fold(0.0, f64::max);
    let head = format!(
        "{}: {joints} joint{} of {}, {} in all",
        sliding.name,
        if joints == 1 { "" } else { "s" },
        degrees(sliding.each()),
        degrees(sliding.angle)
    );
    // Never more than there is.
    let up_to = (sliding.most.to_degrees() * 10.0 + 1e-6).floor() / 10.0;
    let mut lines = vec![format!(
        "each slides {} at most, of an overlap of {}, and keeps {}; they could turn {} deg",
        length(most, show),
        length(sliding.overlap, show),
        length(sliding.overlap - most, show),
        fixed(up_to, 1)
    )];
    let names: Vec<&str> = sliding.plates.iter().map(|p| solid.parts[p.index()].name.as_str()).collect();
    let face = if sliding.outside { "outside" } else { "inside" };
    let (first, rest) = names.split_first().map_or(("", &[][..]), |(f, r)| (*f, r));
    lines.push(format!(
        "plates from the bottom up: {first}, then {}, each {face} the one before it, {} apart",
        rest.join(", "),
        length(sliding.joints.iter().map(|j| j.clear).fold(f64::INFINITY, f64::min), show)
    ));
    let closes = sliding.joints.iter().map(|j| j.closes).fold(0.0, f64::max);
    if closes > 0.05 {
        lines.push(format!(
            "beside the seam the plates close by {} more as they spread opposite it: keep what is pinched there clear",
            length(closes, show)
        ));
    }
    lines.push(format!(
        "straps run inside all plates, from {first} up: fix each at its places in the order of their numbers, the plates \
         not yet drawn apart"
    ));
    lines.extend(sliding.straps.iter().map(|s| strap(solid, s, show)));
    (head, lines)
}

/// "lift strap 2, facing left: cut to 203 mm; glue its places 1 to 4 …".
fn strap(solid: &Solid, strap: &Strap, show: Show) -> String {
    let (of, how) = if strap.riveted { ("rivets", "rivet") } else { ("glued places", "glue") };
    let at: Vec<String> = strap.holds.iter().map(|h| length(h.at, show)).collect();
    let spots = &solid.fitted.spots;
    let name = |i: usize| spots.get(i).map_or("", |s| s.name.as_str());
    let ends = match (strap.holds.first(), strap.holds.last()) {
        (Some(a), Some(b)) => format!("{} to {}", name(a.spot), name(b.spot)),
        _ => String::new(),
    };
    let mut out =
        format!("{}, facing {}: cut to {}; {how} at {ends}", strap.name, way(strap.facing), length(strap.long, show));
    if let Some(hold) = strap.holds.first().filter(|h| h.long > 0.0) {
        let _ = write!(out, ", {} long each", length(hold.long, show));
    }
    let _ = write!(out, "; middles of the {of} from its lower end: {}", at.join(", "));
    let free: Vec<String> =
        strap.free.iter().map(|f| format!("{} ({} closed)", length(f.drawn, show), length(f.closed, show))).collect();
    let _ = write!(out, "; free between them: {}", free.join(", "));
    out
}

fn degrees(x: f64) -> String {
    format!("{} deg", fixed(x.to_degrees(), 1))
}

/// A direction by the nearest word: "left", "front + 12 deg".
fn way(phi: f64) -> String {
    let words = ["front", "left", "back", "right"];
    let phi = wrap(phi, TAU);
    let quarter = (phi / FRAC_PI_2).round();
    let off = wrap(phi - quarter * FRAC_PI_2 + PI, TAU) - PI;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 4")]
    let word = words[quarter as usize % 4];
    let deg = fixed(off.abs().to_degrees(), 0);
    match (off, deg.as_str()) {
        (_, "0") => word.to_owned(),
        (off, _) if off > 0.0 => format!("{word} + {deg} deg"),
        _ => format!("{word} - {deg} deg"),
    }
}
