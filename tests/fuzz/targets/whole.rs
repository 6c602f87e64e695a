//! The whole build in memory: files, or errors, and no panic.
#![no_main]

use tasset_fuzz::{Memory, options};

libfuzzer_sys::fuzz_target!(|text: &str| {
    let built = tasset::pipeline::build(&mut Memory(text), "prop.prop", &options());
    assert_eq!(built.files.is_empty(), built.diagnostics.has_errors(), "files or errors, never both or neither");
});
