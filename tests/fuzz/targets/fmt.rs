//! `fmt`: what parses is laid out, what is laid out parses, and laying it out again changes nothing.
#![no_main]

use tasset::ids::FileId;
use tasset::parse::format;

libfuzzer_sys::fuzz_target!(|text: &str| {
    let Ok(once) = format(text, FileId::new(0)) else { return };
    let Ok(twice) = format(&once, FileId::new(0)) else { panic!("no longer parses:\n{once}") };
    assert_eq!(once, twice, "laid out again it is another");
});
