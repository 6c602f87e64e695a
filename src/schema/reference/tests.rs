//! The manual says all that the table knows, and fits its page.

use super::block::{Block, read};
use super::*;
use crate::diag::Code;
use crate::schema::{EDGE_FACTS, FUNCTIONS, PLACE_WORDS, RESERVED, SENTENCES, constructors, kinds};
use crate::units::UNITS;

#[test]
fn the_manual_says_all_that_the_table_knows() {
    let text = markdown();
    let has = |what: &str, place: &str| assert!(text.contains(what), "{place}: {what} is not in the manual");
    for k in kinds() {
        has(&format!("### `{}`\n", k.word), k.word);
        has(k.doc, k.word);
        has(k.example, k.word);
        for f in k.fields {
            has(&format!("| `{}`", f.name), k.word);
            has(f.doc, k.word);
        }
        for e in k.edges {
            has(&format!("- `NAME.{}`: ", e.name), k.word);
        }
        for f in k.facts {
            has(&format!("| `NAME.{}` |", f.name), k.word);
            has(f.doc, k.word);
        }
        for s in k.sorts() {
            has(&format!("- `{}`: ", s.word), k.word);
        }
    }
    for c in constructors() {
        has(&format!("#### `{}`: ", c.name), c.name);
        has(c.doc, c.name);
        has(c.example, c.name);
        for p in c.parts {
            has(&format!("| `{}`", p.name), c.name);
            has(p.doc, c.name);
        }
    }
    for s in SENTENCES {
        has(&format!("#### `{}`\n", s.word), s.word);
        has(s.example, s.word);
    }
    EDGE_FACTS.iter().for_each(|f| has(&format!("| `EDGE.{}` |", f.name), "edge"));
    FUNCTIONS.iter().for_each(|f| has(&format!("| `{}({})` |", f.name, f.form), f.name));
    PLACE_WORDS.iter().for_each(|p| has(p.doc, p.word));
    UNITS.iter().for_each(|u| has(&format!("| `{}` |", u.word), u.word));
    Code::ALL.iter().for_each(|c| has(c.explanation(), c.name()));
    has(crate::stock::SHELF, "the shelf");
}

#[test]
fn every_field_of_a_kind_stands_in_its_own_page() {
    for k in kinds() {
        let page = terminal(Some(k.word), 100).expect("a kind is a topic");
        for f in k.fields {
            assert!(page.contains(&format!("  `{}`", f.name)), "{}.{} is not on its page", k.word, f.name);
        }
    }
}

#[test]
fn every_topic_has_something_said_of_it() {
    let topics = topics();
    for word in
        RESERVED.iter().copied().chain(["shell", "circle", "around", "foam5", "bare-number", "mm", "nearest", "front"])
    {
        assert!(topics.contains(&word), "{word} is no topic");
    }
    for word in topics {
        let said = terminal(Some(word), 80);
        assert!(said.as_ref().is_ok_and(|t| t.contains(word)), "nothing is said of {word}: {said:?}");
    }
}

#[test]
fn a_word_that_is_not_there_gets_the_nearest() {
    assert_eq!(terminal(Some("shel"), 80), Err(Some("shell")));
    assert_eq!(terminal(Some("uppr_arm_around"), 80), Err(Some("upper_arm_around")));
    assert_eq!(terminal(Some("xyzzyplugh"), 80), Err(None));
    assert_eq!(terminal(Some(""), 80), Err(None));
}

#[test]
fn lines_fit_the_terminal() {
    let without_code: Vec<Block> = manual::whole().into_iter().filter(|b| !matches!(b, Block::Code(_))).collect();
    for width in [40, 60, 100] {
        for line in plain::text(&without_code, width).lines() {
            let one_word = line.split_whitespace().count() == 1;
            assert!(line.chars().count() <= width || one_word, "{width}: {line}");
        }
    }
}

#[test]
fn a_row_names_what_is_not_plain() {
    let page = terminal(Some("cap"), 200).expect("cap");
    assert!(page.contains("`rim` · a length · default `25 mm` · range above 0, at most 20 m\n"), "{page}");
    assert!(page.contains("\n      Overlay: height of its rim\n"), "{page}");
}

#[test]
fn prose_is_read_back_as_it_was_written() {
    let text = "# A\n\nB c\nd.\n\n- e\n  f\n- g\n\n```\nh # i\n\n```\n\n| j | k |\n|---|---|\n| l | m |\n";
    let blocks = read(text);
    let s = str::to_owned;
    assert_eq!(
        blocks,
        [
            Block::Heading(1, s("A")),
            Block::Para(s("B c d.")),
            Block::List(vec![s("e f"), s("g")]),
            Block::Code(s("h # i\n\n")),
            Block::Table { head: vec![s("j"), s("k")], rows: vec![vec![s("l"), s("m")]] },
        ]
    );
    assert_eq!(read(&block::markdown(&blocks)), blocks);
}

#[test]
fn tables_have_as_many_cells_as_their_heads() {
    for block in manual::whole() {
        if let Block::Table { head, rows } = block {
            for row in rows {
                assert_eq!(row.len(), head.len(), "{row:?}");
                assert!(row.iter().all(|c| !c.contains('|') && !c.contains('\n')), "{row:?}");
            }
        }
    }
}

#[test]
fn the_manual_tells_what_the_command_makes() {
    let whole = markdown();
    let plain = terminal(None, 80).expect("the manual");
    assert!(whole.contains("\n## What the command makes\n"), "no chapter");
    for word in ["cut", "print", "picture", "report", "mock-up", "effort", "offcuts", "shopping"] {
        let start = format!("\n### `{word}`: ");
        let heading = whole.split(&start).nth(1).unwrap_or_else(|| panic!("{word} is not in the manual"));
        let heading = format!("`{word}`: {}", heading.lines().next().expect("a line"));
        assert!(topics().contains(&word), "{word} is no topic");
        let page = terminal(Some(word), 80).unwrap_or_else(|_| panic!("nothing is said of {word}"));
        assert!(page.contains(&heading), "{word}: {page}");
        assert!(plain.contains(&heading), "{word} is not in the manual for a terminal");
    }
}
