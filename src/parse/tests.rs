//! Values one by one, and the splitter held against the grammar's own `file` rule.

use super::grammar::{Grammar, Rule};
use super::{format, parse};
use crate::ast::{Amount, Binary, Expr, Item, Node, Sentence, Step, Unary};
use crate::ids::FileId;
use pest::Parser;
use std::fs;
use std::path::Path;

fn codes(text: &str) -> Vec<&'static str> {
    parse(text, FileId::new(0)).1.iter().map(|d| d.code.name()).collect()
}

/// The value of `let v = …`, which must be clean.
fn value(text: &str) -> Expr {
    let text = format!("let v = {text}");
    assert_eq!(codes(&text), Vec::<&str>::new(), "{text}");
    match parse(&text, FileId::new(0)).0.sentences.pop() {
        Some(Sentence::Let { value, .. }) => value,
        other => panic!("{other:?}"),
    }
}

/// A value with every operator's reach shown by brackets.
fn shown(e: &Expr) -> String {
    match &e.node {
        Node::Amount(Amount::Plain { number, unit, per }) => {
            let unit = unit.as_ref().map_or(String::new(), |u| format!(" {}", u.value));
            let per = per.as_ref().map_or(String::new(), |u| format!(" per {}", u.value));
            format!("{number}{unit}{per}")
        }
        Node::Amount(Amount::Ratio(a, b)) => format!("{a}:{b}"),
        Node::Amount(Amount::Compound { large, small }) => {
            format!("{} {} & {} {}", large.0, large.1, small.0, small.1)
        }
        Node::Text(t) => format!("{t:?}"),
        Node::Call { name, parts } => {
            let part = |p: &crate::ast::Part| {
                p.name.as_ref().map_or(String::new(), |n| format!("{}: ", n.value)) + &shown(&p.value)
            };
            format!("{}({})", name.value, parts.iter().map(part).collect::<Vec<_>>().join(", "))
        }
        Node::Ref { head, steps } => steps.iter().fold(head.value.clone(), |out, s| match s {
            Step::Field(n) => format!("{out}.{}", n.value),
            Step::Index(i) => format!("{out}[{}]", shown(i)),
        }),
        Node::List(all) => format!("[{}]", all.iter().map(shown).collect::<Vec<_>>().join(", ")),
        Node::Group(inner) => format!("<{}>", shown(inner)),
        Node::Unary { op, value } => {
            format!("({} {})", if op.value == Unary::Minus { "-" } else { "not" }, shown(value))
        }
        Node::Binary { op, left, right } => {
            let sign = match op.value {
                Binary::Power => "^",
                Binary::Times => "*",
                Binary::Over => "/",
                Binary::Plus => "+",
                Binary::Minus => "-",
                Binary::By => "by",
                Binary::AtMost => "<=",
                Binary::AtLeast => ">=",
                Binary::Equal => "==",
                Binary::NotEqual => "!=",
                Binary::Less => "<",
                Binary::Greater => ">",
                Binary::And => "and",
                Binary::Or => "or",
            };
            format!("({} {sign} {})", shown(left), shown(right))
        }
        Node::If { condition, then, otherwise } => {
            format!("(if {} then {} else {})", shown(condition), shown(then), shown(otherwise))
        }
        Node::Bad => "bad".to_owned(),
    }
}

#[test]
fn operators_bind_as_the_language_says() {
    for (text, tree) in [
        ("1 + 2 * 3 ^ 2 ^ 2 - 4", "((1 + (2 * (3 ^ (2 ^ 2)))) - 4)"),
        ("-2 ^ 2", "(- (2 ^ 2))"),
        ("(-2) ^ 2", "(<(- 2)> ^ 2)"),
        ("2 ^ -1", "(2 ^ (- 1))"),
        ("-a * b", "((- a) * b)"),
        ("8 / 4 / 2", "((8 / 4) / 2)"),
        ("1 mm + 2 mm by 3 mm * 2", "((1 mm + 2 mm) by (3 mm * 2))"),
        ("1 mm by 2 mm by 3 mm", "((1 mm by 2 mm) by 3 mm)"),
        ("a < b and c >= d or not e == f", "(((a < b) and (c >= d)) or (not (e == f)))"),
        ("not a and b", "((not a) and b)"),
        ("if a then b else if c then d else e", "(if a then b else (if c then d else e))"),
        ("--1", "(- (- 1))"),
    ] {
        assert_eq!(shown(&value(text)), tree, "{text}");
    }
}

#[test]
fn a_unit_follows_a_number_and_nothing_else() {
    for (text, tree) in [
        ("4mm", "4 mm"),
        ("4 mm", "4 mm"),
        ("50 %", "50 %"),
        ("2 in", "2 in"),
        ("60 min", "60 min"),
        ("min(a, b)", "min(a, b)"),
        ("1 1/2 in", "1.5 in"),
        ("3/4 in", "0.75 in"),
        ("1/2", "(1 / 2)"),
        ("1 / 2 in", "(1 / 2 in)"),
        ("1/2 * x", "((1 / 2) * x)"),
        ("5 ft 3 in", "5 ft & 3 in"),
        ("5 ft 3 1/2 in", "5 ft & 3.5 in"),
        ("1 h 30 min", "1 h & 30 min"),
        ("3:2", "3:2"),
        ("1.5:2", "1.5:2"),
        ("9.40 per m", "9.4 per m"),
        ("2 kg/m3", "2 kg/m3"),
        ("9 m2/l", "9 m2/l"),
        ("9 m2 / l", "(9 m2 / l)"),
        ("3 N/mm", "3 N/mm"),
        ("2 g/m * 3 m", "(2 g/m * 3 m)"),
        ("lame [ 2 ] . top", "lame[2].top"),
        ("circle( across : 90 mm , )", "circle(across: 90 mm)"),
        ("butt", "butt"),
        ("[\n1,\n# why\n2,\n]", "[1, 2]"),
        ("a +\n# why\n b", "(a + b)"),
        ("if a then\n b\n else c", "(if a then b else c)"),
    ] {
        assert_eq!(shown(&value(text)), tree, "{text}");
    }
}

#[test]
fn spans_leave_out_the_blanks_and_comments_behind() {
    let text = "let a = b.c   # note\nlet d = if e then f else g   # note\nshell h on i.j   { }";
    let (file, faults) = parse(text, FileId::new(0));
    assert!(faults.is_empty());
    let of = |s: crate::span::Span| &text[s.start as usize..s.end as usize];
    let spans: Vec<&str> = file
        .sentences
        .iter()
        .map(|s| match s {
            Sentence::Let { value, .. } => of(value.span),
            Sentence::Thing(t) => of(t.head()),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(spans, ["b.c", "if e then f else g", "shell h on i.j"]);
    assert_eq!(file.comments.iter().map(|c| (of(c.span), c.trailing)).collect::<Vec<_>>(), [("# note", true); 2]);
}

#[test]
fn line_ends_marks_and_letters_of_other_systems_are_read() {
    let text = "\u{feff}# Küste\r\nprop a {\r\n\ttitle: \"Tür — ½\"\r\n}\r\n";
    let (file, faults) = parse(text, FileId::new(0));
    assert!(faults.is_empty(), "{faults:?}");
    let [Sentence::Thing(t)] = &file.sentences[..] else { panic!("{file:?}") };
    let [Item::Field { value, .. }] = &t.body.items[..] else { panic!("{t:?}") };
    assert_eq!(value.node, Node::Text("Tür — ½".to_owned()));
    assert_eq!(format(text, FileId::new(0)).expect("clean"), "# Küste\nprop a {\n    title: \"Tür — ½\"\n}\n");
}

#[test]
fn a_bad_field_poisons_only_itself() {
    let text = "shell a on b { x: 1 mm, y: 2,5 mm, z: (3, w: 4 mm\n v: 5 mm\n u 6 mm }\nshell c on { t: 1 }\n";
    let (file, _) = parse(text, FileId::new(0));
    let [Sentence::Thing(a), Sentence::Thing(c)] = &file.sentences[..] else { panic!("{file:?}") };
    let fields: Vec<(&str, bool)> = a
        .body
        .items
        .iter()
        .map(|i| match i {
            Item::Field { key, value } => (key.value.as_str(), value.node == Node::Bad),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(fields, [("x", false), ("y", true), ("z", true), ("v", false), ("u", false)]);
    assert_eq!((c.name.value.as_str(), c.body.items.len()), ("c", 1));
}

#[test]
fn limits_hold_at_their_figure() {
    let deep = |n: usize| format!("let v = {}1{}", "(".repeat(n), ")".repeat(n));
    assert_eq!((codes(&deep(64)), codes(&deep(65))), (vec![], vec!["nested-too-deep"]));
    let ifs = |n: usize| format!("let v = {} 1", "if a then 1 else ".repeat(n));
    assert_eq!((codes(&ifs(64)), codes(&ifs(65))), (vec![], vec!["nested-too-deep"]));
    let chain = |n: usize| format!("if a {{ }}{}", " else if a { }".repeat(n));
    assert_eq!((codes(&chain(64)), codes(&chain(65))), (vec![], vec!["nested-too-deep"]));
    // Powers group from the right, and so stand in each other.
    let powers = |n: usize| format!("let v = 1{}", " ^ 1".repeat(n));
    assert_eq!((codes(&powers(64)), codes(&powers(65))), (vec![], vec!["nested-too-deep"]));
    for sign in [" + 1", " - -1"] {
        let n = if sign == " - -1" { 500 } else { 1000 };
        let long = |n: usize| format!("let v = 1{}", sign.repeat(n));
        assert_eq!((codes(&long(n)), codes(&long(n + 1))), (vec![], vec!["value-too-long"]), "{sign}");
    }
    // Operators are counted along the deepest brackets, not over a whole list.
    assert_eq!(codes(&format!("let v = [{}]", "1 mm by 2 mm, ".repeat(5000))), Vec::<&str>::new());
}

/// What the splitter finds at fault although the grammar alone would take it.
const STRICTER: &[&str] = &[
    "unknown-unit",
    "missing-unit",
    "mixed-parts",
    "odd-target",
    "divided-by-nothing",
    "decimal-comma",
    "control-character",
    "nested-too-deep",
    "value-too-long",
    "number-too-large",
    "pasted-character",
    "odd-number",
];

fn hold_against_grammar(text: &str) {
    let whole = Grammar::parse(Rule::file, text).is_ok();
    let told = codes(text);
    let clean = told.is_empty();
    assert!(whole || !clean, "the splitter takes what the grammar refuses: {text:?}");
    assert!(!whole || told.iter().all(|c| STRICTER.contains(c)), "the grammar takes what is told {told:?}: {text:?}");
}

/// Each good file, and each of them with one word or sign left out or doubled, is taken by both or by neither.
#[test]
fn the_splitter_takes_what_the_grammar_takes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = 0;
    for folder in ["tests/cases/parse", "tests/cases/format", "tests/cases/several"] {
        let mut paths: Vec<_> =
            fs::read_dir(root.join(folder)).expect("a folder").map(|e| e.expect("an entry").path()).collect();
        paths.sort();
        for path in paths {
            let text = fs::read_to_string(&path).expect("a text");
            hold_against_grammar(&text);
            files += 1;
            // Sentence by sentence, so that the many readings stay short.
            let (file, _) = parse(&text, FileId::new(0));
            for s in &file.sentences {
                let span = match s {
                    Sentence::Use { span, .. }
                    | Sentence::Let { span, .. }
                    | Sentence::Setting { span, .. }
                    | Sentence::Require { span, .. }
                    | Sentence::Bad(span) => *span,
                    Sentence::For(f) => f.span,
                    Sentence::If(i) => i.span,
                    Sentence::Thing(t) => t.span,
                };
                let text = &text[span.start as usize..span.end as usize];
                let scan = super::scan::scan(text, FileId::new(0), &mut super::faults::Faults::default());
                for t in scan.tokens {
                    let (start, end) = (t.start as usize, t.end as usize);
                    hold_against_grammar(&format!("{}{}", &text[..start], &text[end..]));
                    hold_against_grammar(&format!("{} {}", &text[..end], &text[start..]));
                    hold_against_grammar(&format!("{}\n{}", &text[..start], &text[start..]));
                    hold_against_grammar(&format!("{} , {}", &text[..start], &text[start..]));
                }
            }
        }
    }
    assert!(files >= 8, "{files}");
}
