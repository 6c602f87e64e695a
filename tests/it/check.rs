//! Checking: names, types, units, loops, recipes, order, and what a maker is told.

use crate::support::{checked, checked_with};

#[test]
fn the_flag_case_is_clean() {
    let text = std::fs::read_to_string("tests/cases/parse/language-flag-case.prop").unwrap();
    let shop = std::fs::read_to_string("tests/cases/parse/language-workshop.prop").unwrap();
    let c = checked_with(&[&text, &shop], &[], None);
    println!("{}", c.all());
    assert_eq!(c.told(), "");
}

#[test]
fn wrong() {
    let text = std::fs::read_to_string("tests/cases/several/language-wrong.prop").unwrap();
    println!("{}", checked(&text).all());
}
