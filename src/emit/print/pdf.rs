//! The pages as one PDF (ISO 32000-1), through the crate `pdf-writer`; nothing else names it. One unit of every
//! content stream is a millimetre, scaled to points once. No date, no fonts, no compression: the same pages give the
//! same bytes, and a reader that is not ours can measure them.
//!
//! Boxes (14.11.2): the media, crop, bleed and trim box are the paper, the art box is what the printer reaches. The
//! print dialogue is asked not to scale (12.2, PrintScaling).

use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Finish as _, Name, Pdf, Rect, Ref, TextStr};

use super::ink::{Ink, Leaf, Look};
use crate::emit::lines::Form;
use crate::emit::write::clean;
use crate::geom::path::{Path, Seg};
use crate::geom::{Vec2, left_of};
use crate::num;

/// Points a millimetre: 72 an inch of 25.4 mm.
const POINT: f64 = 72.0 / 25.4;
/// How far a curve may stand off the arc it stands for, mm.
const OFF: f64 = 2e-4;

/// The file's bytes.
#[must_use]
pub fn pdf(title: &str, leaves: &[Leaf]) -> Vec<u8> {
    let mut pdf = Pdf::new();
    let (catalog, tree, info) = (Ref::new(1), Ref::new(2), Ref::new(3));
    let id = |k: usize, which: usize| Ref::new(i32::try_from(4 + 2 * k + which).expect("a few hundred pages"));
    let mut root = pdf.catalog(catalog);
    root.pages(tree);
    root.viewer_preferences().pair(Name(b"PrintScaling"), Name(b"None"));
    root.finish();
    pdf.pages(tree)
        .kids((0..leaves.len()).map(|k| id(k, 0)))
        .count(i32::try_from(leaves.len()).expect("a few hundred pages"));
    pdf.document_info(info).title(TextStr(&clean(title))).creator(TextStr(env!("CARGO_PKG_NAME")));
    for (k, leaf) in leaves.iter().enumerate() {
        let whole = rect(Vec2::ZERO, leaf.size);
        let mut page = pdf.page(id(k, 0));
        page.parent(tree).media_box(whole).crop_box(whole).bleed_box(whole).trim_box(whole);
        page.art_box(rect(leaf.printed.0, leaf.printed.1));
        page.contents(id(k, 1));
        page.resources();
        page.finish();
        pdf.stream(id(k, 1), &content(leaf));
    }
    pdf.finish()
}

#[expect(clippy::cast_possible_truncation, reason = "f32 is the crate's number: a step is 2e-5 mm at 300 mm")]
fn number(x: f64) -> f32 {
    x as f32
}

fn rect(lo: Vec2, hi: Vec2) -> Rect {
    let (lo, hi) = (lo * POINT, hi * POINT);
    Rect::new(number(lo.x), number(lo.y), number(hi.x), number(hi.y))
}

fn content(leaf: &Leaf) -> Vec<u8> {
    let mut content = Content::new();
    let scale = number(POINT);
    content.save_state().transform([scale, 0.0, 0.0, scale, 0.0, 0.0]);
    let mut now: Option<Look> = None;
    for (look, ink) in in_order(leaf) {
        if now.as_ref() != Some(&look) {
            take_up(&mut content, &look);
            now = Some(look.clone());
        }
        trace(&mut content, &ink.form);
        match (&ink.form, look.width) {
            (_, 0.0) => content.fill_nonzero(),
            (Form::Open(_), _) => content.stroke(),
            _ => content.close_and_stroke(),
        };
    }
    content.restore_state();
    content.finish().into_vec()
}

/// Every line with its look, the pens in their order.
fn in_order(leaf: &Leaf) -> Vec<(Look, &Ink)> {
    let mut inks: Vec<&Ink> = leaf.inks.iter().collect();
    inks.sort_by_key(|i| super::layer_order(i.pen));
    inks.into_iter().map(|i| (i.pen.look(), i)).collect()
}

fn take_up(content: &mut Content, look: &Look) {
    let channel = |at: usize| {
        let digits = look.colour.get(at..at + 2).unwrap_or("00");
        f32::from(u8::from_str_radix(digits, 16).unwrap_or(0)) / 255.0
    };
    let [r, g, b] = [1, 3, 5].map(channel);
    if look.width == 0.0 {
        content.set_fill_rgb(r, g, b);
        return;
    }
    content.set_stroke_rgb(r, g, b).set_line_width(number(look.width));
    content.set_dash_pattern(look.dashes.iter().map(|d| number(*d)), 0.0);
    let (cap, join) = if look.round {
        (LineCapStyle::RoundCap, LineJoinStyle::RoundJoin)
    } else {
        (LineCapStyle::ButtCap, LineJoinStyle::RoundJoin)
    };
    content.set_line_cap(cap).set_line_join(join);
}

fn trace(content: &mut Content, form: &Form) {
    match form {
        Form::Open(path) | Form::Closed(path) => chain(content, path),
        Form::Circle { centre, radius } => {
            let (a, b) = (*centre + Vec2::X * *radius, *centre - Vec2::X * *radius);
            chain(content, &Path { segs: vec![Seg { a, b, bulge: 1.0 }, Seg { a: b, b: a, bulge: 1.0 }] });
        }
    }
}

fn chain(content: &mut Content, path: &Path) {
    let Some(start) = path.start() else { return };
    content.move_to(number(start.x), number(start.y));
    for s in &path.segs {
        if s.bulge == 0.0 {
            content.line_to(number(s.b.x), number(s.b.y));
            continue;
        }
        for [p, q, b] in curves(s) {
            content.cubic_to(number(p.x), number(p.y), number(q.x), number(q.y), number(b.x), number(b.y));
        }
    }
}

/// An arc as cubic curves that meet its ends, tangents and middle: handles `4/3 tan(θ/4)` of the radius long. They
/// stand off an arc of angle θ by about `r (2/27) sin⁶(θ/4)/cos²(θ/4)` (from memory; twice that is allowed for, and the
/// test measures it), 2.7e-4 of the radius for a quarter turn, so long arcs are divided.
fn curves(s: &Seg) -> Vec<[Vec2; 3]> {
    let (Some(centre), r) = (s.centre(), s.radius()) else { return Vec::new() };
    let off = |n: f64| {
        let (sin, cos) = num::sin_cos(s.sweep().abs() / n / 4.0);
        r * 4.0 / 27.0 * sin * sin * sin * sin * sin * sin / (cos * cos)
    };
    let mut n = (s.sweep().abs() / num::FRAC_PI_2 - 1e-9).ceil().max(1.0);
    while off(n) > OFF && n < 256.0 {
        n += 1.0;
    }
    let turn = s.sweep() / n;
    let handle = 4.0 / 3.0 * num::tan(turn / 4.0);
    let mut out = Vec::new();
    let (mut a, mut i) = (s.a, 1.0);
    while i <= n {
        let b = if i < n { s.at(i / n) } else { s.b };
        out.push([a + left_of(a - centre) * handle, b - left_of(b - centre) * handle, b]);
        a = b;
        i += 1.0;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn curves_stay_on_their_arc() {
        for (r, bulge) in [(8.0, 1.0), (900.0, 0.4), (12_000.0, -0.03), (1.0, -0.9)] {
            let centre = Vec2::new(3.0, -4.0);
            let a = centre + Vec2::X * r;
            let theta = 4.0 * num::atan(bulge);
            let b = centre + crate::geom::unit(theta) * r;
            let mut from = a;
            for [p, q, to] in curves(&Seg { a, b, bulge }) {
                for k in 0..=20 {
                    let t = f64::from(k) / 20.0;
                    let u = 1.0 - t;
                    let at = from * (u * u * u) + p * (3.0 * u * u * t) + q * (3.0 * u * t * t) + to * (t * t * t);
                    assert!(((at - centre).length() - r).abs() < OFF, "{r} {bulge}");
                }
                from = to;
            }
            assert_eq!(from, b);
        }
    }
}
