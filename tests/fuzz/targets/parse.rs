//! Any bytes that are text: parsed without a panic, and every diagnostic can be drawn.
#![no_main]

libfuzzer_sys::fuzz_target!(|text: &str| {
    let mut sources = tasset::span::Sources::default();
    let file = sources.add("fuzz.prop", text);
    let (_, diagnostics) = tasset::parse::parse(text, file);
    let _ = tasset::diag::render::plain(&diagnostics, &sources);
    let _ = tasset::diag::render::json(&[(diagnostics, sources)]);
});
