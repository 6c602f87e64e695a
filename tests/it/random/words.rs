//! What the makers of forms have in common: a prop's head and its sheet, sizes, directions, holes.

use super::maker::stock;
use crate::chance::Chance;
use std::fmt::Write as _;

/// A prop under way: its text, the thickness of what it is of, and the chance that the rest is drawn from.
#[derive(Debug)]
pub struct Draft {
    pub chance: Chance,
    pub text: String,
    pub thick: f64,
}

impl Draft {
    /// The head of a prop of a sort, by its number. Sorts of one number are unlike.
    pub fn new(sort: &str, number: usize, thicks: &[f64]) -> Self {
        let salt = sort.bytes().fold(0u64, |s, b| s.wrapping_mul(131).wrapping_add(u64::from(b)));
        let mut chance = Chance::new(salt.wrapping_mul(1 << 24).wrapping_add(number as u64));
        let thick = *chance.pick(thicks);
        let mut text = format!("prop p {{ title: \"{sort} {number}\", of: sheet }}\n");
        stock(&mut chance, &mut text, "sheet", thick);
        Self { chance, text, thick }
    }

    pub fn say(&mut self, line: &str) {
        writeln!(self.text, "{line}").unwrap();
    }

    pub fn percent(&mut self, share: f64) -> bool {
        self.chance.percent(share)
    }

    pub fn between(&mut self, lo: f64, hi: f64) -> f64 {
        self.chance.between(lo, hi)
    }

    pub fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.chance.below(of.len())]
    }

    /// Fields that any part may have: the face its sizes belong to, and whether it is one of a pair.
    pub fn make(&mut self, pairs: f64) -> String {
        let mut out = match self.chance.below(5) {
            0 => ", measured: inside".to_owned(),
            1 => ", measured: middle".to_owned(),
            _ => String::new(),
        };
        if self.percent(pairs) {
            out.push_str(", pair: mirrored");
        }
        out
    }

    /// The same for a wall, which may be of two layers.
    pub fn make_wall(&mut self, pairs: f64) -> String {
        let layers = if self.percent(12.0) { ", of: [sheet, sheet]" } else { "" };
        self.make(pairs) + layers
    }

    /// A word of direction, one with some degrees, or an angle.
    pub fn facing(&mut self) -> String {
        let word = self.one(&["front", "left", "back", "right"]);
        match self.chance.below(3) {
            0 => word.to_owned(),
            1 => format!("{word} + {:.0} deg", self.between(-40.0, 40.0)).replace("+ -", "- "),
            _ => format!("{:.0} deg", self.between(0.0, 360.0)),
        }
    }

    /// A glued seam that a wall so far round takes; an open one is written where it is wanted.
    pub fn seam(&mut self, girth: f64) -> String {
        let facing = self.facing();
        let wide = |d: &mut Self, lo: f64, hi: f64| d.between(lo, hi).min(0.12 * girth).max(3.0);
        match self.chance.below(5) {
            0 => String::new(),
            1 | 2 => format!(", seam: butt(facing: {facing})"),
            3 => format!(", seam: lap(overlap: {:.0} mm, facing: {facing})", wide(self, 8.0, 20.0)),
            _ => format!(", seam: tabs(wide: {:.0} mm, facing: {facing})", wide(self, 6.0, 12.0)),
        }
    }

    /// A seam, open now and then.
    pub fn seam_or_gap(&mut self, girth: f64) -> String {
        if !self.percent(20.0) {
            return self.seam(girth);
        }
        let facing = self.facing();
        let gap = match self.chance.below(3) {
            0 => format!("{:.0} deg", self.between(20.0, 190.0)),
            1 => format!("{:.0} mm", self.between(0.05, 0.3) * girth),
            _ => format!("{:.0} %", self.between(8.0, 50.0)),
        };
        format!(", seam: open(facing: {facing}, gap: {gap})")
    }

    /// The outline of a hole or badge about so wide and high.
    pub fn shape(&mut self, w: f64, h: f64) -> String {
        let s = w.min(h);
        match self.chance.below(6) {
            0 => format!("circle(across: {s:.1} mm)"),
            1 => format!("oval(across: {w:.1} mm by {h:.1} mm)"),
            2 => format!("rectangle(across: {w:.1} mm by {h:.1} mm, corner: {:.1} mm)", self.between(0.05, 0.3) * s),
            3 => format!("polygon(sides: {}, across: {s:.1} mm)", 3 + self.chance.below(6)),
            4 => format!(
                "outline(points: [0 mm by 0 mm, {w:.1} mm by 0 mm, arc(end: {w:.1} mm by {h:.1} mm, rise: {:.1} mm), \
                 0 mm by {:.1} mm])",
                self.between(0.05, 0.2) * s,
                0.8 * h
            ),
            _ => format!(
                "outline(points: [0 mm by 0 mm, {:.1} mm by {:.1} mm, {:.1} mm by {:.1} mm, 0 mm by {h:.1} mm], mirror: yes)",
                0.5 * w,
                0.2 * h,
                self.between(0.3, 0.45) * w,
                0.75 * h
            ),
        }
    }

    /// A cap on an edge.
    pub fn cap(&mut self, name: &str, edge: &str, tall: f64) {
        let fit = match self.chance.below(5) {
            0 | 1 => String::new(),
            2 => format!("fit: inset, sunk: {:.0} mm", self.between(1.0, 0.15 * tall)),
            3 => "fit: flush".to_owned(),
            _ => format!("fit: overlay, rim: {:.0} mm, loose: yes", self.between(8.0, 30.0).min(0.4 * tall)),
        };
        self.say(&format!("cap {name} on {edge} {{ {fit} }}"));
    }
}
