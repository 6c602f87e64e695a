//! Names of pieces and letters of joints: unique, and the same from build to build.

use std::collections::BTreeSet;

use crate::design::Hand;
use crate::flat::Panel;
use crate::ids::letters;
use crate::piece::Split;
use crate::solid::{Body, Joint, Part};

/// `body`, `body ring 2`, `body layer 1 inside`, `bracer left`, `body half 1`.
pub(super) fn piece(part: &Part, panel: &Panel, hand: Option<Hand>, split: Option<&Split>) -> String {
    let mut name = part.name.clone();
    if let Body::Wall(wall) = &part.body
        && wall.cut().rings.len() > 1
    {
        name += &format!(" ring {}", panel.ring + 1);
    }
    let layers = part.layers.len();
    if layers > 1 {
        name += &format!(" layer {}", panel.layer + 1);
        if panel.layer == 0 {
            name += " inside";
        } else if panel.layer + 1 == layers {
            name += " outside";
        }
    }
    match hand {
        Some(Hand::Left) => name += " left",
        Some(Hand::Right) => name += " right",
        None => {}
    }
    if let Some(split) = split {
        name += &format!(" half {}", split.half);
    }
    name
}

/// `name`, or the first of `name (2)`, `name (3)` … that is not taken.
pub(super) fn unique(name: String, taken: &mut BTreeSet<String>) -> String {
    let mut out = name.clone();
    let mut k = 2;
    while !taken.insert(out.clone()) {
        out = format!("{name} ({k})");
        k += 1;
    }
    out
}

/// The `k`th letter (from 0) after those that the joints carry.
pub(super) fn spare_letter(joints: &[Joint], k: usize) -> String {
    let used: BTreeSet<&str> = joints.iter().map(|j| j.letter.as_str()).collect();
    let mut free = (0..).map(letters).filter(|l| !used.contains(l.as_str()));
    free.nth(k).expect("letters have no end")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spare_letters_are_those_no_joint_has() {
        assert_eq!(spare_letter(&[], 1), "B");
    }

    #[test]
    fn names_are_never_given_twice() {
        let mut taken = BTreeSet::new();
        assert_eq!(unique("body".into(), &mut taken), "body");
        assert_eq!(unique("body".into(), &mut taken), "body (2)");
        assert_eq!(unique("body".into(), &mut taken), "body (3)");
    }
}
