//! The whole check, without a panic, and every diagnostic can be drawn.
#![no_main]

use tasset_fuzz::{Memory, options};

libfuzzer_sys::fuzz_target!(|text: &str| {
    let checked = tasset::pipeline::check_only(&mut Memory(text), "prop.prop", &options());
    let _ = tasset::diag::render::plain(&checked.diagnostics, &checked.sources);
    let _ = tasset::diag::render::json(&[(checked.diagnostics, checked.sources)]);
});
