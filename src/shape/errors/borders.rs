//! The faults of borders.

use super::super::say::{at_least, at_most, mm};
use crate::diag::{Code, Diagnostic};
use crate::span::Span;

pub(in super::super) fn wrong_goods(border: &str, name: &str, sort: &str, wants: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongGoods, format!("{border} cannot be made of {name}"))
        .with_label(span, format!("{name} is {sort}"))
        .with_help(format!("name {wants}"))
}

pub(in super::super) fn one_of_goods(border: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongGoods, format!("{border} is made of one thing"))
        .with_label(span, "these are several")
        .with_help("name one of them, and give each other a border of its own")
}

pub(in super::super) fn piping_of_two(span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongGoods, "a piping is made of a cord and a strip round it")
        .with_label(span, "which cord, and which strip?")
        .with_help("name both, the cord first: `of: [cord6, twill]`; a cord alone is `as: cord`")
}

pub(in super::super) fn goods_of_no_size(name: &str, field: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::NoSize, format!("{name} does not say how thick it is"))
        .with_label(span, "its length rests on its thickness")
        .with_help(format!("give supply {name} {field}"))
}

/// Goods `own` wide where the border needs `needs`; with `best` in the border's `wide` they would do.
pub(in super::super) fn own_width(name: &str, own: f64, needs: f64, best: f64, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::OwnWidth, format!("{name} has a width of its own, which does not do here"))
        .with_label(span, format!("this takes a strip {} wide, and {name} is {}", mm(needs), mm(own)));
    let d = if best > 0.0 {
        d.with_help(format!("`wide: {}`, or other goods", at_most(best)))
            .with_repair(format!("wide: {}", at_most(best)))
    } else {
        d.with_help("other goods")
    };
    d.with_note("only a strip that is cut from a stock has whatever width you give it")
}

pub(in super::super) fn past_edge(name: &str, edge: &str, by: f64, help: String, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PastTheEdge, format!("{name} passes the {edge} edge"))
        .with_label(span, format!("by {}", at_least(by)))
        .with_help(help)
}

pub(in super::super) fn narrower(wide: f64) -> String {
    if wide > 0.0 { format!("at most `wide: {}`", at_most(wide)) } else { "fewer rows".to_owned() }
}

/// Past the edge the wall's flat sides would run through each other.
pub(in super::super) fn not_carried_on(name: &str, host: &str, help: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::PastTheEdge, format!("{name} cannot stand past the edge of {host}"))
        .with_label(span, "the wall cannot be carried on there")
        .with_help(help.to_owned())
        .with_note(
            "past an edge a wall goes on straight; here its sides, or its bends, come to nothing at the edge and would \
             cross beyond it",
        )
}

pub(in super::super) fn hangs_free(name: &str, wide: f64, rise: f64, span: Span) -> Diagnostic {
    let most = 0.5 * wide;
    Diagnostic::error(Code::HangsFree, format!("nothing of {name} lies on the wall"))
        .with_label(span, format!("{} of its {} stand past the edge", mm(rise), mm(wide)))
        .with_help(format!("`rise: {}` or less, so that half of it can be glued down", at_most(most)))
        .with_repair(format!("rise: {}", at_most(most)))
}

pub(in super::super) fn rise_of_no_edge(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::HangsFree, format!("{name} lies at a level, and there is no edge to rise past"))
        .with_label(span, "past which edge?")
        .with_help("stand it on an edge (`on body.top`), or leave `rise` out")
}

pub(in super::super) fn no_such_course(border: &str, help: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongCourse, format!("{border} does not go there"))
        .with_label(span, "not along this")
        .with_help(help.to_owned())
}

pub(in super::super) fn seam_of_a_line(border: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongCourse, format!("the ends of {border} cannot meet in this seam"))
        .with_label(span, "its ends meet, or one laps over the other")
        .with_help("`seam: butt` or `seam: lap(overlap: 12 mm)`")
}

pub(in super::super) fn seam_of_an_open_wall(name: &str, host: &str, span: Span, open: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongCourse, format!("{name} has no ends that could meet"))
        .with_label(span, format!("{host} is open there"))
        .with_label(open, "this seam leaves a gap")
        .with_help(format!("leave `seam` out: it ends where {host} does"))
}

pub(in super::super) fn on_a_point(name: &str, host: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::WrongCourse, format!("{name} has no edge to follow"))
        .with_label(span, format!("{host} ends in a point there"))
        .with_help(format!("give it a level: `border … on {host} {{ level: top - 20 mm, … }}`"))
}

pub(in super::super) fn beads_do_not_fit(name: &str, each: f64, long: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::BeadsDoNotFit, format!("no bead of {name} has room"))
        .with_label(span, format!("each takes {} of a way of {}", mm(each), mm(long)))
        .with_help("smaller beads, a smaller `gap`, or a wider place for them")
}

pub(in super::super) fn too_many_beads(name: &str, n: f64, most: f64, head: Span) -> Diagnostic {
    Diagnostic::error(Code::BeadsDoNotFit, format!("{name} takes more beads than anyone strings"))
        .with_label(head, format!("{n} of them in a row"))
        .with_help(format!("larger beads, or a wider `gap`: at most {most} in a row"))
}

pub(in super::super) fn too_wide_to_wind(name: &str, wide: f64, girth: f64, span: Span) -> Diagnostic {
    if girth < 10.0 {
        return Diagnostic::error(Code::WrongCourse, format!("{name} cannot be wound round"))
            .with_label(span, "its wall comes to a point, or nearly")
            .with_help("wind it round a wall with two open ends, or lay a band or a cover on this one");
    }
    Diagnostic::error(Code::WrongCourse, format!("{name} cannot be wound round"))
        .with_label(span, format!("a strip {} wide about a girth of {}", mm(wide), mm(girth)))
        .with_help(format!("at most `wide: {}`", at_most(0.5 * girth)))
}

pub(in super::super) fn borders_meet(name: &str, head: Span, other: &str, first: Span, by: f64) -> Diagnostic {
    Diagnostic::warning(Code::BordersMeet, format!("{name} and {other} lie in the same place"))
        .with_label(head, format!("over {other} by {}", mm(by)))
        .with_label(first, other.to_owned())
        .with_help("move one of them, or make it narrower")
        .with_note("bands lie side by side, and so do cords and beads; a cord may lie on a band")
}

pub(in super::super) fn scallops_too_small(name: &str, pitch: f64, least: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::ScallopsTooSmall, format!("the tongues of {name} are too narrow to cut"))
        .with_label(span, format!("they come out {} wide", mm(pitch)))
        .with_help(format!("`every: {}` or more", at_least(least)))
        .with_repair(format!("every: {}", at_least(least)))
        .with_note("5 mm, and eight times what the cutter takes away or its tip trails (common practice, no source)")
}

pub(in super::super) fn too_many_scallops(name: &str, n: f64, least: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::ScallopsTooSmall, format!("{name} has more tongues than anyone cuts"))
        .with_label(span, format!("{n} of them in a row"))
        .with_help(format!("`every: {}` or more", at_least(least)))
        .with_repair(format!("every: {}", at_least(least)))
}

/// Taller than `share` of their width.
/// `long` is what they stand along, `counted` whether the text says how many there are; a pitch is evened out.
pub(in super::super) fn scallops_too_steep(
    name: &str,
    rise: f64,
    (pitch, share): (f64, f64),
    (long, counted): (f64, bool),
    span: Span,
) -> Diagnostic {
    let most = at_most(share * pitch);
    let fit = (long * share / rise).floor();
    let wider = match counted {
        _ if fit < 1.0 => String::new(),
        true => format!(", or fewer and wider tongues: `count: {fit}`"),
        false => format!(", or wider tongues: `every: {}`", at_least(long / fit)),
    };
    Diagnostic::error(Code::ScallopsTooTall, format!("the tongues of {name} are too tall for their width"))
        .with_label(span, format!("{} tall and {} wide: no blade turns in the notch between them", mm(rise), mm(pitch)))
        .with_help(format!("`rise: {most}` or less{wider}"))
        .with_repair(format!("rise: {most}"))
}

/// Beside a steep place of its edge a row's tongues are crowded.
pub(in super::super) fn scallops_meet(name: &str, rise: f64, fits: f64, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::ScallopsTooTall, format!("the tongues of {name} run into each other"))
        .with_label(span, format!("{} tall, they meet beside a steep place of their edge", mm(rise)));
    if fits < 1.0 {
        return d.with_help("let the edge be gentler, or lay a plain band along it: `as: band`");
    }
    let fits = format!("rise: {}", at_most(fits));
    d.with_help(format!("`{fits}` or less, or a gentler edge")).with_repair(fits)
}

pub(in super::super) fn scallops_leave_no_strip(name: &str, rise: f64, wide: f64, left: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::ScallopsTooTall, format!("the tongues of {name} leave no strip to hang from"))
        .with_label(span, format!("{} with tongues that are {} tall", mm(wide), mm(rise)))
        .with_help(format!("`wide: {}` or more, or smaller tongues", at_least(rise + left)))
        .with_repair(format!("wide: {}", at_least(rise + left)))
}

/// Beside a steep place of a shaped edge a band is narrower than it is wide up the wall; so narrow here that nothing holds it.
pub(in super::super) fn falls_apart(name: &str, wide: f64, left: f64, least: Option<f64>, span: Span) -> Diagnostic {
    let d = Diagnostic::error(Code::BandFallsApart, format!("{name} falls apart where its edge is steep"))
        .with_label(span, format!("{} up the wall, square to the edge only {} of it are left", mm(wide), mm(left)));
    let d = match least {
        Some(least) => {
            let wider = format!("wide: {}", at_least(least));
            d.with_help(format!("`{wider}` or more, or a gentler edge")).with_repair(wider)
        }
        None => d.with_help("a wider band, or a gentler edge"),
    };
    d.with_note("each place of it is the edge's, moved down the wall; it has to be as wide there as it is thick")
}

pub(in super::super) fn scallops_over_a_knee(name: &str, rise: f64, room: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::ScallopsTooTall, format!("the tongues of {name} would lie across a knee"))
        .with_label(span, format!("they are {} tall, and the wall bends {} from their edge", mm(rise), mm(room)))
        .with_help("smaller tongues, or a strip that ends farther from the wall's station")
}

/// Of a band or a cover.
pub(in super::super) fn backed_by_its_part(name: &str, span: Span) -> Diagnostic {
    Diagnostic::error(Code::BackedByItsPart, format!("there is no room behind the seam of {name}"))
        .with_label(span, "a strip there would lift it off what it lies on")
        .with_help("`seam: butt`, both sides glued down, or `seam: lap(overlap: 12 mm)`")
        .with_repair("seam: butt")
        .with_note("what lies on a part has that part behind its seam, which holds it as a strip would")
}

/// A line beside an edge that bends with a smaller radius than it lies off.
pub(in super::super) fn edge_bends_too_tightly(name: &str, off: f64, span: Span) -> Diagnostic {
    Diagnostic::error(Code::BendsTooTightly, format!("{name} cannot follow the edge where it bends"))
        .with_label(span, format!("its middle lies {} beside the edge, which bends more tightly than that", mm(off)))
        .with_help("thinner goods, fewer rows, or a figure that is longer or not so deep")
        .with_note("inside a bend a cord is left no radius of its own, and would lie across itself")
}
