//! A build of the hand-made prop, looked at from outside.

use std::collections::BTreeSet;

use super::*;
use crate::samples;
use crate::verdict::Verdict;

/// Every file of the sample prop.
fn build(options: Options) -> Vec<OutFile> {
    let (solid, pieces) = (samples::solid(), samples::pieces());
    let (layout, diagnostics) = crate::arrange::arrange(&solid, &pieces, crate::arrange::Options::default());
    let (pages, _) = crate::paginate::paginate(&solid, &pieces, crate::page::Template::Outside);
    let sources = crate::span::Sources::default();
    let (verdict, ledger) = (Verdict::default(), crate::ledger::Ledger::default());
    let told = Told {
        solid: &solid,
        pieces: &pieces,
        layout: &layout,
        pages: pages.as_ref(),
        verdict: &verdict,
        ledger: &ledger,
        diagnostics: &diagnostics,
        sources: &sources,
    };
    emit(&told, options).expect("files")
}

const PLAIN: Options = Options { dxf: Version::R2000, stl: false };

fn text<'a>(files: &'a [OutFile], path: &str) -> &'a str {
    let file = files.iter().find(|f| f.path == path).unwrap_or_else(|| panic!("no {path}"));
    core::str::from_utf8(&file.bytes).expect("text")
}

#[test]
fn the_report_is_last_and_lists_every_file() {
    let files = build(PLAIN);
    let last = files.last().expect("files");
    assert_eq!(last.path, "chart_case/report.json");
    let report: serde_json::Value = serde_json::from_slice(&last.bytes).expect("JSON");
    let listed: Vec<&str> = report["files"].as_array().expect("a list").iter().filter_map(|f| f.as_str()).collect();
    assert_eq!(listed, files.iter().map(|f| f.path.as_str()).collect::<Vec<_>>());
    assert_eq!(listed.iter().collect::<BTreeSet<_>>().len(), listed.len());
}

#[test]
fn the_same_prop_gives_the_same_bytes() {
    assert_eq!(build(PLAIN), build(PLAIN));
}

#[test]
fn the_drawing_holds_what_the_manifest_says() {
    for dxf in [Version::R2000, Version::R12] {
        let files = build(Options { dxf, ..PLAIN });
        let drawing = text(&files, "chart_case/cut/foam5-1.dxf");
        let report: serde_json::Value = serde_json::from_str(text(&files, "chart_case/report.json")).expect("JSON");
        let entities = report["sheets"][0]["entities"].as_object().expect("layers");
        let body = drawing.split("ENTITIES").nth(1).expect("a section");
        for sort in ["LWPOLYLINE", "POLYLINE", "CIRCLE"] {
            let said: u64 = entities.values().filter_map(|l| l[sort].as_u64()).sum();
            let found = body.matches(&format!("  0\r\n{sort}\r\n")).count();
            assert_eq!(said, found as u64, "{sort}");
        }
        assert_eq!(entities["cut"].as_object().expect("counts").values().filter_map(|n| n.as_u64()).sum::<u64>(), 3);
    }
}

#[test]
fn a_piece_is_cut_after_what_lies_inside_it() {
    let files = build(PLAIN);
    let drawing = text(&files, "chart_case/cut/foam5-1.dxf");
    let body = drawing.split("ENTITIES").nth(1).expect("a section");
    let layers: Vec<&str> = body.split("  8\r\n").skip(1).filter_map(|r| r.lines().next()).collect();
    let inner = layers.iter().position(|l| *l == "cut-inner").expect("a drain");
    assert_eq!(layers[inner + 1], "cut", "the disc right after its hole");
    assert!(!layers[inner..].contains(&"bevel"));
}

#[test]
fn the_page_is_well_formed_and_in_millimetres() {
    let files = build(PLAIN);
    let page = text(&files, "chart_case/cut/foam5-1.svg");
    let xml = roxmltree::Document::parse(page).expect("well-formed");
    let root = xml.root_element();
    let (w, h) = (root.attribute("width").expect("width"), root.attribute("height").expect("height"));
    let view = format!("0 0 {} {}", w.trim_end_matches("mm"), h.trim_end_matches("mm"));
    assert_eq!(root.attribute("viewBox"), Some(view.as_str()), "one unit is one millimetre");
    let groups: Vec<&str> = xml.descendants().filter_map(|n| n.attribute("data-operation")).collect();
    assert_eq!(groups, ["sheet", "letter", "notch", "centre", "bevel", "cut-inner", "cut"]);
    let words: String = xml.descendants().filter_map(|n| n.text()).collect();
    assert!(words.contains("By hand: too thick for desk (5 mm, it cuts 3 mm)."));
    assert!(words.contains("A: seam left side meets body seam right side"));
}

#[test]
fn labels_cannot_break_a_file() {
    let (mut solid, mut pieces) = (samples::solid(), samples::pieces());
    solid.job.title = "bell\u{7} <b>&\n\u{202e}".to_owned();
    pieces.pieces[0].name = "a\r\n  0\r\nLINE\r\n".to_owned();
    pieces.pieces[0].letters[0].text = "  0\nEOF\n".to_owned();
    let (layout, diagnostics) = crate::arrange::arrange(&solid, &pieces, crate::arrange::Options::default());
    let (pages, _) = crate::paginate::paginate(&solid, &pieces, crate::page::Template::Outside);
    let (verdict, sources) = (Verdict::default(), crate::span::Sources::default());
    let ledger = crate::ledger::Ledger::default();
    let told = Told {
        solid: &solid,
        pieces: &pieces,
        layout: &layout,
        pages: pages.as_ref(),
        verdict: &verdict,
        ledger: &ledger,
        diagnostics: &diagnostics,
        sources: &sources,
    };
    let files = emit(&told, PLAIN).expect("files");
    let page = text(&files, "chart_case/cut/foam5-1.svg");
    roxmltree::Document::parse(page).expect("well-formed");
    let drawing = text(&files, "chart_case/cut/foam5-1.dxf");
    assert_eq!(drawing.matches("EOF").count(), 1);
    assert_eq!(drawing.matches("\r\nLINE\r\n").count(), 0);
}

#[test]
fn a_coordinate_that_is_no_number_is_refused() {
    let (solid, mut pieces) = (samples::solid(), samples::pieces());
    let (layout, diagnostics) = crate::arrange::arrange(&solid, &pieces, crate::arrange::Options::default());
    let (pages, _) = crate::paginate::paginate(&solid, &pieces, crate::page::Template::Outside);
    pieces.pieces[0].marks[0].path.segs[0].b.x = f64::NAN;
    let (verdict, sources) = (Verdict::default(), crate::span::Sources::default());
    let ledger = crate::ledger::Ledger::default();
    let told = Told {
        solid: &solid,
        pieces: &pieces,
        layout: &layout,
        pages: pages.as_ref(),
        verdict: &verdict,
        ledger: &ledger,
        diagnostics: &diagnostics,
        sources: &sources,
    };
    let fault = emit(&told, PLAIN).expect_err("a fault");
    assert_eq!(fault.code.name(), "cannot-draw");
}

/// The form of the report and the digest of its schema, blanks left out (FNV-1a of 64 bits, its published constants).
/// Whoever reads a report goes by the form's number: another schema is another form.
const FORM: (u32, u64) = (7, 0x2b1c_b136_9c1f_07ae);

#[test]
fn another_schema_of_the_report_has_another_number() {
    let text = include_str!("report.schema.json");
    let digest = text
        .bytes()
        .filter(|b| !b.is_ascii_whitespace())
        .fold(0xcbf2_9ce4_8422_2325u64, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3));
    assert_eq!(
        (super::report::FORMAT, digest),
        FORM,
        "the schema of the report was changed: raise `FORMAT`, `const` in the schema, and both figures of `FORM`"
    );
    let schema: serde_json::Value = serde_json::from_str(text).unwrap();
    assert_eq!(schema["properties"]["format"]["const"], super::report::FORMAT);
}
