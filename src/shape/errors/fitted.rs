//! What is said of what is fitted to parts: laces, finishes, contents, attachments and straps.

use super::super::kinds;
use super::*;

/// The middle of what is fitted to a plate, or cut in it, lies past its edge.
pub(in crate::shape) fn beside_the_plate(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("{name} lies past the edge of the plate"))
        .with_label(span, "there is no sheet under its middle")
        .with_help(
            "a `level` or a `shift` at which there is some: both count from the lower end, in the middle of its width",
        )
}

/// A row along a plate's edge that would lie further in than the outline goes.
pub(in crate::shape) fn row_too_far_in(name: &str, margin: f64, fits: f64, span: Span) -> Diagnostic {
    let repair = format!("margin: {}", at_most(fits));
    Diagnostic::error(Code::OffTheWall, format!("{name} lies too far in from the plate's edge"))
        .with_label(span, format!("{} in, the outline is used up", mm(margin)))
        .with_help(format!("`{repair}` or less"))
        .with_repair(repair)
}

/// A place on a plate that is given from its edge and from its lower end.
pub(in crate::shape) fn two_places(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NeedsLevel, format!("{name} has a `level` and a `margin`"))
        .with_label(span, "a margin lays it along the plate's edge")
        .with_help("leave one of them out")
}

/// What is left round a hole, mm.
#[derive(Clone, Copy, Debug)]
pub(in crate::shape) struct Torn {
    pub hole: f64,
    /// Its centre from the nearest edge, and the sheet left between.
    pub centre: f64,
    pub left: f64,
    /// From centre to edge.
    pub advised: f64,
    /// `foam`, `leather` …
    pub sheet: &'static str,
    /// The field that says how far they lie from that edge; `None` where none does.
    pub field: Option<Written>,
    /// Of a row along an edge how far the opposite one is from it there, and whether that is the nearest.
    pub across: Option<(f64, bool)>,
}

/// What would leave enough sheet on every side.
enum Way {
    Written(String),
    /// Another number of holes.
    Count,
    /// A sheet that is at least so wide.
    Wider(f64),
}

/// A field and what it says, mm. A sheet that is cut sloping has less of it on its narrower face.
pub(in crate::shape) type Written = (&'static str, f64);

/// The margin half-way across a sheet, if holes do not tear out on either side of it there.
fn half_way(across: f64, hole: f64) -> Option<String> {
    let margin = (5.0 * across).round() / 10.0;
    let least = 1.5 * hole - 0.5 * kinds::lacing::NEAR;
    (margin.min(across - margin) >= least).then(|| format!("margin: {}", mm(margin)))
}

impl Torn {
    fn label(&self) -> String {
        let left = format!("{} of {} is left", mm(self.left.max(0.0)), self.sheet);
        format!("centre {} from the edge, hole {}: {left}", mm(self.centre), mm(self.hole))
    }

    fn told(&self, d: Diagnostic, span: Span) -> Diagnostic {
        let d = d.with_label(span, self.label()).with_note(self.practice());
        match self.way() {
            Way::Written(asks) => d.with_help(format!("`{asks}`")),
            Way::Count => d.with_help(format!(
                "another `count`, so that no hole's centre stands nearer to a seam than {}",
                at_least(self.advised)
            )),
            Way::Wider(wide) => d.with_help(format!(
                "make it wider: at least {} from edge to edge, {} more than it is, with the holes half-way across",
                at_least(wide),
                at_least(wide - self.across.map_or(0.0, |a| a.0))
            )),
        }
    }

    /// What the field must say for them to lie as far as is advised, from the opposite edge too; where that is not to be had,
    /// half-way across, if they do not tear out there.
    fn way(&self) -> Way {
        let Some((field, written)) = self.field else { return Way::Count };
        let Some((across, opposite)) = self.across else { return Way::Written(self.asks((field, written))) };
        if across >= 2.0 * self.advised {
            return Way::Written(if opposite {
                format!("{field}: {}", down(written - (self.advised - self.centre)))
            } else {
                self.asks((field, written))
            });
        }
        let torn = self.left < self.hole - kinds::lacing::NEAR;
        match half_way(across, self.hole).filter(|_| torn) {
            Some(asks) => Way::Written(asks),
            None => Way::Wider(if torn { 3.0 * self.hole } else { 2.0 * self.advised }),
        }
    }

    /// What the field must say for them to lie as far from that edge as is advised.
    fn asks(&self, (field, mm): Written) -> String {
        format!("{field}: {}", at_least(mm + self.advised - self.centre - kinds::lacing::NEAR))
    }

    fn practice(&self) -> &'static str {
        if self.sheet == "foam" {
            "at least twice the hole and 10 mm in foam (common practice)"
        } else {
            "at least twice the hole (common practice)"
        }
    }
}

/// Less than the hole's own width is left beside it.
pub(in crate::shape) fn tears_out(torn: &Torn, span: Span) -> Diagnostic {
    let d = torn.told(Diagnostic::error(Code::TearsOut, "these holes would tear out"), span);
    match torn.way() {
        Way::Written(asks) => d.with_repair(asks),
        Way::Count | Way::Wider(_) => d,
    }
}

pub(in crate::shape) fn near_the_edge(torn: &Torn, span: Span) -> Diagnostic {
    torn.told(Diagnostic::warning(Code::NearTheEdge, "these holes may tear out"), span)
}

pub(in crate::shape) fn holes_too_close(pitch: f64, hole: f64, span: Span, counted: bool) -> Diagnostic {
    let help = if counted { "fewer holes" } else { "a wider pitch" };
    Diagnostic::error(Code::HolesMeet, "these holes would tear into each other")
        .with_label(span, format!("holes of {} every {}: {} is left", mm(hole), mm(pitch), mm((pitch - hole).max(0.0))))
        .with_help(format!("{help}: at least {} from hole to hole", at_least(2.0 * hole)))
        .with_note("at least a hole's own width between two (common practice)")
}

pub(in crate::shape) fn no_room_for_holes(ends: f64, long: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::OffTheWall, "there is no room for the holes")
        .with_label(span, format!("{} at each end of an edge {} long", mm(ends), mm(long)))
        .with_help(format!("less than {}", at_most(0.5 * long)))
}

/// Holes so far from their edge that they lie past the sheet, which may be known to be `across` wide there.
pub(in crate::shape) fn margin_past_the_wall(margin: f64, hole: f64, across: Option<f64>, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::OffTheWall, "these holes lie past the wall");
    let Some(across) = across else {
        return d
            .with_label(span, format!("{} from their edge", mm(margin)))
            .with_help("a smaller `margin`: what a lace needs is some 10 mm");
    };
    let d = d.with_label(span, format!("{} from their edge, on a sheet {} wide there", mm(margin), mm(across)));
    if let Some(asks) = half_way(across, hole) {
        return d.with_help(format!("`{asks}`, half-way across")).with_repair(asks);
    }
    d.with_help(format!("make it wider: at least {} from edge to edge for holes of {}", at_least(3.0 * hole), mm(hole)))
}

pub(in crate::shape) fn seam_is_glued(name: &str, host: &str, target: Span, seam: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no two edges to draw together"))
        .with_label(target, "these sides lie over one another or on a strip, and are glued")
        .with_label(seam, format!("the seam of {host}"))
        .with_help("let the sides meet edge to edge, `seam: butt`, or leave a gap: `seam: open(gap: 30 mm)`")
}

pub(in crate::shape) fn laces_two_edges(name: &str, sort: &str, span: Span, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} needs two edges"))
        .with_label(span, format!("`{sort}` runs from one edge to the other"))
        .with_label(target, "this is one")
        .with_help("`as: whip` or `as: running` goes along one edge; two are a seam, or a list: `on [a.top, b.bottom]`")
}

pub(in crate::shape) fn laces_no_more(name: &str, sort: &str, n: usize, span: Span, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} goes between two edges"))
        .with_label(span, format!("`{sort}` runs to and fro between two"))
        .with_label(target, format!("these are {n}"))
        .with_help("name two of them, `on [a.top, b.bottom]`, and give the others a lacing of their own")
        .with_note("`as: whip` and `as: running` go along as many edges as are named, a lace along each")
}

pub(in crate::shape) fn laces_one_edge(name: &str, sort: &str, span: Span, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} needs one edge"))
        .with_label(span, format!("`{sort}` goes along a free edge"))
        .with_label(target, "these two meet")
        .with_help("`as: cross`, `as: ladder` or `as: spiral` draws two edges together")
}

pub(in crate::shape) fn laces_a_gap(name: &str, span: Span, seam: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no gap to go round its edges"))
        .with_label(span, "a zigzag comes back round each edge")
        .with_label(seam, "these sides meet")
        .with_help("`as: spiral` winds over a closed seam")
}

pub(in crate::shape) fn disc_has_no_gap(name: &str, span: Span, cap: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no gap to go round its edges"))
        .with_label(span, "a zigzag comes back round each edge")
        .with_label(cap, "this disc lies against the edge it closes")
        .with_help("`as: whip` or `as: spiral` sews the two together")
}

pub(in crate::shape) fn no_seam_to_lace(name: &str, target: Span, cap: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no seam to go along"))
        .with_label(target, "a flat piece has none")
        .with_label(cap, "only `fit: overlay` has a rim with a seam")
        .with_help("`.top` is the edge of its disc: it is sewn to the edge that it closes")
}

/// A hole that opens onto another sheet, not beside it.
pub(in crate::shape) fn lace_blocked(closed: &str, margin: f64, needed: f64, span: Span, cap: Span) -> Diagnostic {
    let needed = at_least(needed);
    Diagnostic::error(Code::LaceBlocked, "a lace does not come out of these holes")
        .with_label(span, format!("{} from the edge", mm(margin)))
        .with_label(cap, closed)
        .with_help(format!("`margin: {needed}` brings them clear of it"))
        .with_repair(format!("margin: {needed}"))
}

pub(in crate::shape) fn no_edge_to_lace(name: &str, host: &str, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("{name} has no edge to go along"))
        .with_label(target, format!("{host} ends in a point there"))
        .with_help("lace its other edge, or let it end in a section with a width")
}

pub(in crate::shape) fn open_and_closed(name: &str, target: Span) -> Diagnostic {
    Diagnostic::error(Code::NotLaced, format!("the edges of {name} do not go together"))
        .with_label(target, "one goes all the way round, the other is open at a seam")
        .with_help("open both, or close both")
}

pub(in crate::shape) fn no_lace(name: &str, sort: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::LaceUnfit, format!("{name} is no lace"))
        .with_label(span, format!("a supply of sort `{sort}`"))
        .with_help("name a supply that is a cord, lace, wire, webbing, elastic or tape: `of: lace3`")
}

pub(in crate::shape) fn no_eyelet(name: &str, sort: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::LaceUnfit, format!("{name} is no eyelet"))
        .with_label(span, format!("a supply of sort `{sort}`"))
        .with_help("name a supply that is an eyelet: `eyelets: eyelet5`")
}

pub(in crate::shape) fn lace_too_thick(
    (name, flat): (&str, bool),
    thick: f64,
    clear: f64,
    span: Span,
    hole: Span,
) -> Diagnostic {
    let d = Diagnostic::error(Code::LaceUnfit, format!("{name} does not go through its holes"))
        .with_label(span, format!("{} {}", mm(thick), if flat { "wide, folded once" } else { "thick" }))
        .with_label(hole, format!("{} clear", mm(clear)))
        .with_help(format!("holes of at least {}, or a thinner lace", at_least(thick)));
    if flat { d.with_note("a flat lace is folded once to go through") } else { d }
}

pub(in crate::shape) fn eyelet_too_wide(name: &str, clear: f64, hole: f64, span: Span, holes: Span) -> Diagnostic {
    Diagnostic::error(Code::LaceUnfit, format!("{name} does not go into its holes"))
        .with_label(span, format!("{} wide inside", mm(clear)))
        .with_label(holes, format!("{} wide", mm(hole)))
        .with_help(format!("`holes: {}` or more, as its maker says, or a smaller eyelet", at_least(clear)))
}

/// A finish of something that is neither paint nor sealer.
pub(in crate::shape) fn no_coat(name: &str, sort: &str, span: Span, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoCoat, format!("`{name}` is no paint"))
        .with_label(span, "coated with this?")
        .with_label(head, format!("it is {sort}"))
        .with_help("name a supply that is `as: paint` or `as: sealer`")
}

/// Contents that stand in a cap.
pub(in crate::shape) fn contents_meet_a_cap(
    name: &str,
    span: Span,
    host: &str,
    by: f64,
    (cap, head): (&str, Span),
) -> Diagnostic {
    Diagnostic::warning(Code::ContentsDoNotFit, format!("{name} does not fit in {host}"))
        .with_label(span, format!("it stands {} in {cap}", mm(by)))
        .with_label(head, "this closes the end")
        .with_help("move it along (`level`), or make the part longer")
}

/// Contents that the wall leaves no room for.
pub(in crate::shape) fn contents_too_large(
    name: &str,
    span: Span,
    host: &str,
    size: Option<[f64; 3]>,
    by: f64,
    at: Vec3,
) -> Diagnostic {
    let what = match size {
        Some([across, deep, up]) => format!("{} by {} by {}", mm(across), mm(deep), mm(up)),
        None => "its middle".to_owned(),
    };
    let way = num::wrap(num::atan2(at.y, at.x), num::TAU).to_degrees();
    Diagnostic::warning(Code::ContentsDoNotFit, format!("{name} does not fit in {host}"))
        .with_label(span, format!("{what}: the wall stands {} in it", mm(by)))
        .with_help("make the bore wider, or move it with `level` and `shift`")
        .with_note(format!("worst {} up, toward {way:.0} deg (0 front, 90 left)", mm(at.z)))
}

/// Contents that lie beside the part they are in.
pub(in crate::shape) fn contents_outside(name: &str, span: Span, host: &str) -> Diagnostic {
    Diagnostic::warning(Code::ContentsDoNotFit, format!("{name} does not lie within {host}"))
        .with_label(span, "its middle is past the wall")
        .with_help("move it back with `shift`")
}

/// Goods of another sort than the thing is made with.
pub(in crate::shape) fn wrong_goods(name: &str, is: &str, wants: &[&str], span: Span) -> Diagnostic {
    let one = |w: &str| match w {
        "hook_loop" => "hook-and-loop tape".to_owned(),
        "ring" | "buckle" | "hook" | "rivet" | "magnet" | "snap" | "eyelet" | "peg" => format!("a {w}"),
        _ => w.to_owned(),
    };
    let wanted = wants.iter().map(|w| one(w)).collect::<Vec<_>>().join(" or ");
    let is = one(is);
    Diagnostic::error(Code::WrongGoods, format!("{name} is not what this is made with"))
        .with_label(span, format!("{name} is {is}, and this takes {wanted}"))
        .with_help(format!("name one that is: `supply … {{ as: {} }}` of your own, or one of the shelf", wants[0]))
}

/// A supply whose size is needed and not given.
pub(in crate::shape) fn no_supply_size(name: &str, field: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("supply {name} has no `{field}`"))
        .with_label(span, "its size is needed here")
        .with_help(format!("give it where {name} is described: `{field}: 20 mm`"))
}

pub(in crate::shape) fn tab_too_wide(
    tab: &str,
    wide: f64,
    ring: &str,
    inside: f64,
    span: Span,
    of: Span,
) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{tab} does not pass {ring}"))
        .with_label(span, format!("a tab {} wide", mm(wide)))
        .with_label(of, format!("{ring} takes {}", mm(inside)))
        .with_help(format!("a tab at most {} wide, or one of sheet, which is cut to fit", mm(inside)))
}

pub(in crate::shape) fn strap_too_wide(
    strap: &str,
    wide: f64,
    through: &str,
    inside: f64,
    span: Span,
    head: Option<Span>,
) -> Diagnostic {
    let d = Diagnostic::error(Code::DoesNotPass, format!("{strap} does not pass {through}"))
        .with_label(span, format!("a strap {} wide", mm(wide)));
    let d = match head {
        Some(head) => d.with_label(head, format!("{through} takes {}", mm(inside))),
        None => d,
    };
    d.with_help(format!("a strap at most {} wide, or a ring, loop or keeper at least {} inside", mm(inside), mm(wide)))
}

pub(in crate::shape) fn rivet_too_short(name: &str, long: f64, thick: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{name} does not reach through the sheet"))
        .with_label(span, format!("its shank is {} long, and the sheet {} thick", mm(long), mm(thick)))
        .with_help(format!("a rivet at least {} long", at_least(thick)))
}

pub(in crate::shape) fn let_in_too_deep(name: &str, deep: f64, thick: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("{name} is thicker than the sheet it is let into"))
        .with_label(span, format!("{} deep in {} of sheet", mm(deep), mm(thick)))
        .with_help(format!("a magnet at most {} thick, or a backing of more sheet", mm(thick)))
}

pub(in crate::shape) fn how_wide(name: &str, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("how wide is {name} inside?"))
        .with_label(head, "no strap of known width runs through it")
        .with_help("give its inside width: `wide: 22 mm`, or name it as one of a strap's keepers: `via`")
}

pub(in crate::shape) fn no_bead_fits(name: &str, across: f64, long: f64, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, format!("not one {name} fits"))
        .with_label(head, format!("{} of wire for beads {} across", mm(long), mm(across)))
        .with_help(format!("at least {}, or smaller beads", at_least(across)))
}

pub(in crate::shape) fn hangs_too_deep(wide: f64, sag: f64, head: Span) -> Diagnostic {
    Diagnostic::error(Code::NoRoomThere, "this wire would hang straight down on itself")
        .with_label(head, format!("it sags {} between ends {} apart", mm(sag), mm(wide)))
        .with_help("less `sag`, more `wide`, or two drops in its place")
}

/// A sling runs between things that hold a strap.
pub(in crate::shape) fn holds_no_strap(strap: &str, target: &str, what: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HoldsNoStrap, format!("{strap} cannot be fixed to {target}"))
        .with_label(span, format!("{target} is {what}"))
        .with_help(
            "name two rings: `on [upper, lower]`, each an `attachment` with `as: ring`; a strap that goes round a \
             part is `as: band`",
        )
}

/// A strap runs to one ring of several under one name.
pub(in crate::shape) fn which_ring(strap: &str, target: &str, count: usize, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HoldsNoStrap, format!("to which {target} does {strap} run?"))
        .with_label(span, format!("{target} is {count} rings"))
        .with_help("give each ring a name of its own")
}

pub(in crate::shape) fn one_end(strap: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HoldsNoStrap, format!("{strap} has only one end"))
        .with_label(span, "a sling runs from one ring to another")
        .with_help("name both: `on [upper, lower]`")
}

/// A sling shorter than the way between its rings.
pub(in crate::shape) fn sling_too_short(name: &str, long: f64, apart: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::DoesNotPass, format!("{name} does not reach from ring to ring"))
        .with_label(span, format!("{} long, and the rings are {} apart", mm(long), mm(apart)))
        .with_help(format!("more than {}", at_least(apart)))
}
