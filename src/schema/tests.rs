//! The table holds together: names, docs, defaults, look-ups.

use std::collections::BTreeSet;

use super::*;

/// Every field of every kind and every part of every constructor, with where it stands.
fn all_fields() -> Vec<(String, &'static Field)> {
    let of_kinds = kinds().iter().flat_map(|k| k.fields.iter().map(|f| (format!("{}.{}", k.word, f.name), f)));
    let of_makes = constructors().flat_map(|c| c.parts.iter().map(|f| (format!("{}({})", c.name, f.name), f)));
    of_kinds.chain(of_makes).collect()
}

fn is_a_name(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_lowercase())
        && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
        && !is_reserved(word)
}

/// One line, said something, and no full stop at its end: it stands in a cell.
fn is_a_doc(doc: &str) -> bool {
    doc.len() > 1 && !doc.contains('\n') && !doc.ends_with('.') && doc.trim() == doc && !doc.contains('|')
}

#[test]
fn every_kind_has_its_entry() {
    use crate::design::Kind as K;
    // A new kind of `design` must be added here and to the table: the match fails to compile without it.
    let word = |k: K| match k {
        K::Prop => "prop",
        K::Wearer => "wearer",
        K::Stock => "stock",
        K::Supply => "supply",
        K::Cutter => "cutter",
        K::Paper => "paper",
        K::Shell => "shell",
        K::Dome => "dome",
        K::Plate => "plate",
        K::Cap => "cap",
        K::Keel => "keel",
        K::Core => "core",
        K::Opening => "opening",
        K::Edge => "edge",
        K::Mark => "mark",
        K::Border => "border",
        K::Lacing => "lacing",
        K::Cover => "cover",
        K::Attachment => "attachment",
        K::Strap => "strap",
        K::Closure => "closure",
        K::Articulation => "articulation",
        K::Contents => "contents",
        K::Hang => "hang",
        K::Finish => "finish",
        K::Limit => "limit",
    };
    assert_eq!(kinds().len(), 26);
    for k in kinds() {
        assert_eq!(word(k.kind), k.word);
        assert_eq!(kind_of(k.kind).word, k.word);
        assert_eq!(kind(k.word).map(|found| found.kind), Some(k.kind));
    }
    assert!(kind_words().any(|w| w == "recipe"));
}

#[test]
fn names_can_be_written() {
    for (place, f) in all_fields() {
        assert!(is_a_name(f.name), "{place} cannot be a key");
    }
    for c in constructors() {
        assert!(is_a_name(c.name), "{} cannot be called", c.name);
    }
    for w in words_of_choice() {
        assert!(is_a_name(w), "{w} cannot be a value");
    }
}

fn words_of_choice() -> Vec<&'static str> {
    fn of_type(t: &Type, out: &mut Vec<&'static str>) {
        match t {
            Type::Word(words) => out.extend(words.iter().map(|w| w.name)),
            Type::Sort(sorts) => out.extend(sorts.iter().map(|s| s.word)),
            Type::OneOrList(t) | Type::List(t) => of_type(t, out),
            Type::Either(a, b) => {
                of_type(a, out);
                of_type(b, out);
            }
            _ => {}
        }
    }
    let mut out = Vec::new();
    for (_, f) in all_fields() {
        of_type(&f.ty, &mut out);
    }
    out
}

#[test]
fn docs_are_one_line_each() {
    for (place, f) in all_fields() {
        assert!(is_a_doc(f.doc), "{place}: {:?}", f.doc);
        assert!(!f.example.is_empty(), "{place} has no example");
    }
    for k in kinds() {
        assert!(is_a_doc(k.doc), "{}: {:?}", k.word, k.doc);
        for e in k.edges {
            assert!(is_a_doc(e.doc), "{}.{}: {:?}", k.word, e.name, e.doc);
        }
        for f in k.facts {
            assert!(is_a_doc(f.doc), "{}.{}: {:?}", k.word, f.name, f.doc);
        }
        for s in k.sorts() {
            assert!(is_a_doc(s.doc), "{} {}: {:?}", k.word, s.word, s.doc);
        }
    }
    for c in constructors() {
        assert!(is_a_doc(c.doc), "{}: {:?}", c.name, c.doc);
        assert!(c.example.starts_with(c.name), "{} is shown by another", c.name);
    }
    for f in functions() {
        assert!(is_a_doc(f.doc), "{}: {:?}", f.name, f.doc);
        assert!(f.example.starts_with(f.name), "{} is shown by another", f.name);
    }
    for s in SENTENCES {
        assert!(is_a_doc(s.doc), "{}: {:?}", s.word, s.doc);
    }
    for p in PLACE_WORDS {
        assert!(is_a_doc(p.doc), "{}: {:?}", p.word, p.doc);
    }
}

#[test]
fn a_name_means_one_thing_for_each_sort() {
    for k in kinds() {
        let sorts: Vec<_> = k.sorts().iter().map(|s| Some(s.word)).chain([None]).collect();
        for f in k.fields {
            for s in f.sorts {
                assert!(k.sort(s).is_some(), "{}.{} belongs to a sort {s} that is not there", k.word, f.name);
            }
        }
        for sort in sorts {
            let mut seen = BTreeSet::new();
            for f in k.fields_for(sort) {
                assert!(seen.insert(f.name), "{} {sort:?} has {} twice", k.word, f.name);
            }
        }
        let mut own = BTreeSet::new();
        for f in k.fields {
            for s in if f.sorts.is_empty() { &["all"] } else { f.sorts } {
                assert!(own.insert((f.name, *s)), "{}.{} stands twice for {s}", k.word, f.name);
            }
        }
    }
}

#[test]
fn a_border_is_as_wide_as_its_sort_says() {
    let border = kind("border").expect("border");
    let need = |sort| border.field_for("wide", Some(sort)).map(|f| f.need);
    assert_eq!(need("band"), Some(Need::Required));
    assert_eq!(need("binding"), Some(Need::Default("12 mm")));
    assert_eq!(need("piping"), Some(Need::Default("8 mm")));
    assert_eq!(need("beads"), None);
    assert!(border.field_for("level", Some("band")).is_some());
}

#[test]
fn beads_of_a_drop_have_their_own_gap() {
    let attachment = kind("attachment").expect("attachment");
    let doc = |sort| attachment.field_for("gap", Some(sort)).map(|f| f.doc);
    assert_eq!(doc("drop"), Some("Clear distance between beads"));
    assert_ne!(doc("ring"), doc("drop"));
    assert!(attachment.field_for("tab", Some("hook")).is_none());
}

#[test]
fn ways_name_fields_that_need_not_stand_alone() {
    let check = |owner: &str, ways: &[&[&str]], fields: &'static [Field]| {
        for name in ways.iter().flat_map(|w| w.iter()) {
            let f = fields.iter().find(|f| f.name == *name).unwrap_or_else(|| panic!("{owner} has no {name}"));
            assert_eq!(f.need, Need::Optional, "{owner}.{name} is one of several ways");
        }
    };
    for k in kinds() {
        check(k.word, k.ways, k.fields);
    }
    for c in constructors() {
        check(c.name, c.ways, c.parts);
    }
}

#[test]
fn a_constructor_stands_once_in_a_family() {
    let mut seen = BTreeSet::new();
    for c in constructors() {
        assert!(seen.insert((format!("{:?}", c.family), c.name)), "{:?} has {} twice", c.family, c.name);
        assert_eq!(constructor_in(c.family, c.name).map(|found| found.doc), Some(c.doc));
        let mut parts = BTreeSet::new();
        for p in c.parts {
            assert!(parts.insert(p.name), "{} has {} twice", c.name, p.name);
            assert_eq!(c.part(p.name).map(|found| found.doc), Some(p.doc));
        }
    }
    // One name, one family each: the type of the field decides.
    assert!(constructor_in(Family::Section, "circle").expect("circle").part("tilt").is_some());
    assert!(constructor_in(Family::Shape, "circle").expect("circle").part("tilt").is_none());
    assert!(constructor_in(Family::Shape, "point").is_none());
}

#[test]
fn examples_are_whole_and_each_its_own() {
    let mut seen = BTreeSet::new();
    for (word, example) in
        kinds().iter().map(|k| (k.word, k.example)).chain(SENTENCES.iter().map(|s| (s.word, s.example)))
    {
        assert!(seen.insert(example), "{word} has the example of another");
        assert!(example.ends_with("}\n") && example.starts_with("# "), "{word}: its first line says what it is");
        let uses = |l: &str| l.trim_start().starts_with(&format!("{word} "));
        assert!(example.lines().any(uses), "the example of {word} does not use it");
        let props = example.lines().filter(|l| l.starts_with("prop ")).count();
        assert_eq!(props, 1, "the example of {word} is one prop");
    }
}

#[test]
fn facts_and_edges_stand_once() {
    for k in kinds() {
        let facts: BTreeSet<_> = k.facts.iter().map(|f| f.name).collect();
        assert_eq!(facts.len(), k.facts.len(), "{} has a fact twice", k.word);
        let edges: BTreeSet<_> = k.edges.iter().map(|e| e.name).collect();
        assert_eq!(edges.len(), k.edges.len(), "{} has an edge twice", k.word);
        for f in k.facts {
            assert!(k.edge(f.name).is_none(), "{}.{} is an edge and a fact", k.word, f.name);
        }
    }
    let shell = kind("shell").expect("shell");
    assert_eq!(shell.fact("mass").map(|f| f.stage), Some(Stage::Solid));
    assert_eq!(kind("prop").and_then(|p| p.fact("mass")).map(|f| f.stage), Some(Stage::Made));
    assert!(edge_fact("around").is_some_and(|f| f.faces));
}

#[test]
fn words_of_the_language_do_not_clash() {
    for p in PLACE_WORDS {
        assert!(!is_reserved(p.word));
        assert!(kind(p.word).is_none());
        assert_eq!(place_word(p.word), Some(p));
    }
    for u in crate::units::UNITS {
        // `in` is the one word that is a unit after a number and reserved elsewhere.
        assert_eq!(is_reserved(u.word), u.word == "in", "{}", u.word);
    }
    for f in functions() {
        assert_eq!(function(f.name), Some(f));
        assert!(constructor(f.name).is_none(), "{} is a function and a constructor", f.name);
        assert!(f.most.is_none_or(|m| m >= f.least));
    }
    for s in SENTENCES {
        assert!(sentence(s.word).is_some());
        assert_eq!(is_reserved(s.word), s.word != "recipe");
    }
}
