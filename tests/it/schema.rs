//! The table against the language: every example, default and shelf figure is written as the table says, and the
//! table covers the brief's own texts. A light reading, entry by entry; whether props build is asked elsewhere.

use std::collections::BTreeSet;

use crate::parse::{all_told, cases, read};
use tasset::ast::{Amount, Block, Expr, Item, Node, Part, Preposition, Sentence, Step, Thing};
use tasset::design::Relation;
use tasset::schema::{self, Constructor, Family, Field, Kind, Need, Type};
use tasset::stock;
use tasset::units::{Dim, unit};

/// What in a text is not as the table says.
#[derive(Default)]
struct Reader {
    faults: Vec<String>,
    recipes: BTreeSet<String>,
}

fn read_through(text: &str) -> Vec<String> {
    let told = all_told(text);
    let (file, _) = read(text);
    let mut reader = Reader::default();
    if !told.is_empty() {
        reader.faults.push(told);
    }
    for s in &file.sentences {
        if let Sentence::Thing(t) = s
            && t.kind.value == "recipe"
        {
            reader.recipes.insert(t.name.value.clone());
        }
    }
    file.sentences.iter().for_each(|s| reader.sentence(s));
    reader.faults
}

impl Reader {
    fn sentence(&mut self, s: &Sentence) {
        match s {
            Sentence::Thing(t) => self.thing(t),
            Sentence::For(f) => self.block(&f.body),
            Sentence::If(i) => {
                self.block(&i.then);
                i.otherwise.iter().for_each(|b| self.block(b));
            }
            _ => {}
        }
    }

    fn block(&mut self, block: &Block) {
        for item in &block.items {
            if let Item::Sentence(s) = item {
                self.sentence(s);
            }
        }
    }

    fn thing(&mut self, t: &Thing) {
        self.block(&t.body);
        let word = t.kind.value.as_str();
        if word == "recipe" || self.recipes.contains(word) {
            return;
        }
        let Some(kind) = schema::kind(word) else {
            self.faults.push(format!("no kind {word}"));
            return;
        };
        let name = format!("{word} {}", t.name.value);
        self.target(&name, kind, t);
        let mut given: BTreeSet<&str> = BTreeSet::new();
        let fields: Vec<_> = t.body.items.iter().filter_map(field).collect();
        let sort = fields.iter().find(|(k, _)| *k == "as").map(|(_, v)| bare(v).unwrap_or_default());
        let sort = sort.or_else(|| inferred(kind, t));
        for (key, value) in &fields {
            given.insert(key);
            match kind.field_for(key, sort) {
                None => self.faults.push(format!("{name} ({sort:?}) has no field {key}")),
                Some(f) if !fits(value, &f.ty) => {
                    self.faults.push(format!("{name}.{key} is not {:?}: {value:?}", f.ty))
                }
                Some(_) => {}
            }
        }
        for item in &t.body.items {
            if let Item::Station { value, .. } = item
                && !(kind.stations && fits(value, &Type::Make(Family::Section)))
            {
                self.faults.push(format!("a station of {name} is no section: {value:?}"));
            }
        }
        for f in kind.fields_for(sort).filter(|f| f.need == Need::Required && !given.contains(f.name)) {
            self.faults.push(format!("{name} must have {}", f.name));
        }
        if !kind.ways.is_empty() && !kind.ways.iter().any(|w| w.iter().all(|n| given.contains(n))) {
            self.faults.push(format!("{name} must have one of {:?}", kind.ways));
        }
    }

    fn target(&mut self, name: &str, kind: &Kind, t: &Thing) {
        let word = t.target.as_ref().map(|t| match t.word.value {
            Preposition::On => Relation::On,
            Preposition::In => Relation::In,
            Preposition::Over => Relation::Over,
            Preposition::Beside => Relation::Beside,
        });
        let many = t.target.as_ref().is_some_and(|t| matches!(t.value.node, Node::List(_)));
        let good = match word {
            None => !kind.target.required,
            Some(w) => kind.target.words.contains(&w) && (kind.target.many || !many),
        };
        if !good {
            self.faults.push(format!("{name} stands where it may not"));
        }
    }
}

fn field(item: &Item) -> Option<(&str, &Expr)> {
    match item {
        Item::Field { key, value } => Some((key.value.as_str(), value)),
        _ => None,
    }
}

/// A sort that is not written: a strap is a sling on several targets and a band on one; a default is a word.
fn inferred(kind: &Kind, t: &Thing) -> Option<&'static str> {
    let several = t.target.as_ref().is_some_and(|t| matches!(&t.value.node, Node::List(l) if l.len() > 1));
    match kind.field("as")?.need {
        Need::Default(word) => Some(word),
        Need::From(_) if several => Some("sling"),
        Need::From(_) => Some("band"),
        Need::Required | Need::Optional => None,
    }
}

/// A name by itself.
fn bare(e: &Expr) -> Option<&str> {
    match &e.node {
        Node::Ref { head, steps } if steps.is_empty() => Some(&head.value),
        _ => None,
    }
}

/// Whether what is written can be of a type. A name, a fact or arithmetic may stand for any quantity.
fn fits(e: &Expr, ty: &Type) -> bool {
    if let Node::Group(inner) = &e.node {
        return fits(inner, ty);
    }
    let word = bare(e);
    match ty {
        Type::Of(dim) => quantity(e, &[*dim]),
        Type::OneOf(dims) => quantity(e, dims),
        Type::Count => quantity(e, &[Dim::NONE]),
        Type::Money => matches!(e.node, Node::Amount(Amount::Plain { unit: None, .. })),
        Type::Text | Type::Date => matches!(e.node, Node::Text(_)),
        Type::YesNo => word.is_some(),
        Type::Word(words) => words.iter().any(|w| Some(w.name) == word),
        Type::Sort(sorts) => sorts.iter().any(|s| Some(s.word) == word),
        Type::Level => quantity(e, &[Dim::LENGTH]),
        Type::Direction => quantity(e, &[Dim::ANGLE]),
        Type::Face { both } => word.is_some_and(|w| match w {
            "inside" | "outside" => true,
            "middle" => !both,
            "both" => *both,
            _ => false,
        }),
        Type::Size => quantity(e, &[Dim::LENGTH]) || by(e).len() == 2,
        Type::Size3 => by(e).len() == 3,
        Type::Spot | Type::SkinSpot => by(e).len() == 2,
        Type::Make(family) => make(e, *family),
        Type::Thing(_) => matches!(e.node, Node::Ref { .. }),
        Type::OneOrList(ty) => fits(e, ty) || fits(e, &Type::List(ty)),
        Type::List(ty) => matches!(&e.node, Node::List(items) if items.iter().all(|i| fits(i, ty))),
        Type::Either(a, b) => fits(e, a) || fits(e, b),
    }
}

fn by(e: &Expr) -> Vec<&Expr> {
    match &e.node {
        Node::Binary { op, left, right } if op.value == tasset::ast::Binary::By => {
            let mut parts = by(left);
            if parts.is_empty() {
                parts.push(left);
            }
            parts.push(right);
            parts
        }
        _ => Vec::new(),
    }
}

/// A quantity of one of these dimensions, or something that may turn out to be one.
fn quantity(e: &Expr, dims: &[Dim]) -> bool {
    match &e.node {
        Node::Amount(Amount::Plain { unit: None, .. } | Amount::Ratio(..)) => dims.contains(&Dim::NONE),
        Node::Amount(Amount::Plain { unit: Some(u), .. }) => unit(&u.value).is_some_and(|u| dims.contains(&u.dim)),
        Node::Amount(Amount::Compound { small, .. }) => unit(&small.1).is_some_and(|u| dims.contains(&u.dim)),
        Node::Call { name, .. } => schema::constructor(&name.value).is_none() || make(e, Family::Girth),
        Node::Unary { value, .. } => quantity(value, dims),
        Node::Ref { .. } | Node::If { .. } => true,
        Node::Binary { .. } => by(e).is_empty(),
        _ => false,
    }
}

/// A constructor of a family whose parts are all its own.
fn make(e: &Expr, family: Family) -> bool {
    let (name, parts): (&str, &[Part]) = match &e.node {
        Node::Call { name, parts } => (&name.value, parts),
        _ => (bare(e).unwrap_or_default(), &[]),
    };
    let Some(c) = schema::constructor_in(family, name) else { return false };
    let own = |p: &Part| {
        let part = p.name.as_ref().and_then(|n| c.part(&n.value));
        part.is_some_and(|f| fits(&p.value, &f.ty))
    };
    let given = |n: &str| parts.iter().any(|p| p.name.as_ref().is_some_and(|m| m.value == n));
    let whole = c.parts.iter().all(|f| f.need != Need::Required || given(f.name));
    let way = c.ways.is_empty() || c.ways.iter().any(|w| w.iter().all(|n| given(n)));
    parts.iter().all(own) && whole && way
}

/// The value of `text` as written in a field.
fn value(text: &str) -> Result<Expr, String> {
    let line = format!("let x = {text}\n");
    let told = all_told(&line);
    match read(&line).0.sentences.pop() {
        Some(Sentence::Let { value, .. }) if told.is_empty() => Ok(value),
        _ => Err(told),
    }
}

fn every_field() -> Vec<(String, &'static Field)> {
    let of_kinds = schema::kinds().iter().flat_map(|k| k.fields.iter().map(|f| (format!("{}.{}", k.word, f.name), f)));
    let of_makes = schema::constructors().flat_map(|c| c.parts.iter().map(|f| (format!("{}({})", c.name, f.name), f)));
    of_kinds.chain(of_makes).collect()
}

#[test]
fn defaults_and_examples_of_fields_are_of_their_type() {
    for (place, f) in every_field() {
        let default = if let Need::Default(text) = f.need { Some(text) } else { None };
        for text in default.into_iter().chain([f.example]) {
            let e = value(text).unwrap_or_else(|told| panic!("{place}: `{text}` does not read\n{told}"));
            assert!(fits(&e, &f.ty), "{place}: `{text}` is not {:?}: {:?}", f.ty, e.node);
        }
    }
}

#[test]
fn defaults_lie_in_their_range() {
    let mut looked = 0;
    for (place, f) in every_field() {
        let Need::Default(text) = f.need else { continue };
        let Ok(Expr { node: Node::Amount(Amount::Plain { number, unit: u, .. }), .. }) = value(text) else { continue };
        let v = number * u.map_or(1.0, |u| unit(&u.value).expect("a unit").factor);
        let good = match f.range {
            schema::Range::Any => true,
            schema::Range::Above0(most) => v > 0.0 && v <= most,
            schema::Range::From0(most) => v >= 0.0 && v <= most,
            schema::Range::Within(least, most) => v >= least && v <= most,
        };
        assert!(good, "{place}: `{text}` is out of {:?}", f.range);
        looked += 1;
    }
    assert!(looked > 60, "only {looked} defaults are plain amounts");
}

#[test]
fn examples_of_constructors_are_whole() {
    for c in schema::constructors() {
        let e = value(c.example).unwrap_or_else(|told| panic!("{}: {told}", c.name));
        assert!(make(&e, c.family), "`{}` is no {:?} as the table has it", c.example, c.family);
        let stands_bare = |c: &Constructor| c.ways.is_empty() && c.parts.iter().all(|p| p.need != Need::Required);
        let bare = value(c.name).expect("a word");
        assert_eq!(make(&bare, c.family), stands_bare(c), "{} by itself", c.name);
    }
}

#[test]
fn examples_of_functions_take_what_they_may() {
    for f in schema::functions() {
        let e = value(f.example).unwrap_or_else(|told| panic!("{}: {told}", f.name));
        let Node::Call { name, parts } = &e.node else { panic!("{} is no call", f.example) };
        assert_eq!(name.value, f.name);
        assert!(parts.len() >= f.least && f.most.is_none_or(|m| parts.len() <= m), "{}", f.example);
    }
}

#[test]
fn examples_are_written_as_the_table_says() {
    let kinds = schema::kinds().iter().map(|k| (k.word, k.example));
    let sentences = schema::SENTENCES.iter().map(|s| (s.word, s.example));
    for (word, text) in kinds.chain(sentences).chain(schema::EXAMPLE_FILES.iter().copied()) {
        assert_eq!(read_through(text), [""; 0], "the example of {word}");
    }
}

#[test]
fn goods_that_examples_name_are_theirs_or_the_shelf_s() {
    let shelf = names(stock::SHELF);
    for k in schema::kinds() {
        let own = names(k.example);
        let (file, _) = read(k.example);
        let mut named = Vec::new();
        file.sentences.iter().for_each(|s| goods(s, &mut named));
        for g in named {
            assert!(own.contains(&g) || shelf.contains(&g), "the example of {} names {g}, which is nowhere", k.word);
        }
    }
}

/// The things of a text by name.
fn names(text: &str) -> BTreeSet<String> {
    let thing = |s: &Sentence| if let Sentence::Thing(t) = s { Some(t.name.value.clone()) } else { None };
    read(text).0.sentences.iter().filter_map(thing).collect()
}

/// What fields of goods name: a stock, a supply, a cutter, a paper.
fn goods(s: &Sentence, out: &mut Vec<String>) {
    let Sentence::Thing(t) = s else { return };
    for (key, e) in t.body.items.iter().filter_map(field) {
        if matches!(key, "of" | "tab" | "wire" | "eyelets" | "cutter" | "paper") {
            out.extend(bare(e).map(str::to_owned));
        }
    }
}

#[test]
fn the_shelf_is_written_as_the_table_says() {
    assert_eq!(read_through(stock::SHELF), [""; 0]);
    let (file, _) = read(stock::SHELF);
    let mut seen = BTreeSet::new();
    for s in &file.sentences {
        let Sentence::Thing(t) = s else { panic!("the shelf holds things only") };
        assert!(seen.insert(t.name.value.clone()), "{} stands twice", t.name.value);
        assert!(matches!(t.kind.value.as_str(), "stock" | "supply" | "cutter" | "paper"), "{}", t.name.value);
        assert!(schema::place_word(&t.name.value).is_none() && schema::kind(&t.name.value).is_none());
        let priced = t.body.items.iter().filter_map(field).any(|(k, _)| k == "price");
        assert!(!priced, "{}: prices are the maker's own", t.name.value);
    }
    for name in ["foam2", "foam3", "foam4", "foam5", "foam6", "foam8", "foam10", "card", "clear05", "a4", "letter"] {
        assert!(seen.contains(name), "{name} is not on the shelf");
    }
}

#[test]
fn every_group_of_the_shelf_says_where_its_figures_come_from() {
    // A heading line opens a group; each group has a source or says that there is none.
    let groups: Vec<&str> = stock::SHELF.split("# --- ").skip(1).collect();
    assert!(groups.len() >= 10);
    for g in groups {
        let sources = ["ISO 216", "ASME Y14.1", "data sheet", "no source", "from memory", "(trade)"];
        assert!(sources.iter().any(|s| g.contains(s)), "no source in: {}", g.lines().next().unwrap_or_default());
    }
}

#[test]
fn papers_have_the_sizes_of_the_standards() {
    // ISO 216 (second-hand): A0 841 x 1189, each next (floor(long / 2), short), down to A5 148 x 210.
    let (mut short, mut long) = (841.0, 1189.0);
    for n in 0..=5 {
        assert_eq!(paper(&format!("a{n}")), Some((short, long)), "a{n}");
        (short, long) = ((long / 2.0_f64).floor(), short);
    }
    // ASME Y14.1 (second-hand): A 8.5 x 11 in is 215.9 x 279.4 mm, B 11 x 17 in.
    let near = |name, (w, h): (f64, f64)| {
        let (a, b) = paper(name).expect("on the shelf");
        assert!((a - w).abs() < 1e-9 && (b - h).abs() < 1e-9, "{name}: {a} x {b}");
    };
    near("letter", (215.9, 279.4));
    near("tabloid", (279.4, 431.8));
}

/// Width and height of a paper of the shelf, mm.
fn paper(name: &str) -> Option<(f64, f64)> {
    let (file, _) = read(stock::SHELF);
    let t = file.sentences.iter().find_map(|s| match s {
        Sentence::Thing(t) if t.kind.value == "paper" && t.name.value == name => Some(t),
        _ => None,
    })?;
    let (_, size) = t.body.items.iter().filter_map(field).find(|(k, _)| *k == "size")?;
    let mm = |e: &Expr| match &e.node {
        Node::Amount(Amount::Plain { number, unit: Some(u), .. }) => number * unit(&u.value).expect("a unit").factor,
        other => panic!("{other:?}"),
    };
    let sides = by(size);
    Some((mm(sides[0]), mm(sides[1])))
}

#[test]
fn the_table_covers_the_brief_s_own_texts() {
    for (path, text) in cases("parse") {
        assert_eq!(read_through(&text), [""; 0], "{}", path.display());
    }
}

#[test]
fn code_in_the_manual_reads() {
    let manual = schema::reference::markdown();
    let blocks: Vec<&str> = manual.split("```\n").skip(1).step_by(2).collect();
    assert!(blocks.len() > schema::kinds().len());
    for code in blocks {
        assert_eq!(read_through(code), [""; 0], "{code}");
    }
}

#[test]
fn a_wrong_text_is_found_wrong() {
    // The reader itself: each of these has one fault that the table knows.
    for (text, fault) in [
        ("shell a { at 0 mm: circle(girth: 30 cm), at 1 cm: point }", "a station of shell a is no section"),
        ("shell a { at 0 mm to 9 mm: circle(across: 30 g) }", "a station of shell a is no section"),
        ("cap a { }", "stands where it may not"),
        ("cap a on b.top { fits: inset }", "has no field fits"),
        ("cap a on b.top { fit: overlap }", "cap a.fit is not"),
        ("border a on b { as: beads, gap: 1 mm }", "border a must have wire"),
        ("border a on b { as: cord, wide: 1 mm }", "has no field wide"),
        ("dome a { }", "dome a must have one of"),
        ("shel a { }", "no kind shel"),
    ] {
        let faults = read_through(&format!("{text}\n"));
        assert!(faults.len() == 1 && faults[0].contains(fault), "{text}: {faults:?}");
    }
}

#[test]
fn words_the_table_reserves_are_those_the_parser_refuses() {
    for word in schema::RESERVED {
        assert!(!all_told(&format!("let {word} = 3 mm\n")).is_empty(), "the parser takes {word} for a name");
    }
    let free = schema::kind_words().chain(schema::constructors().map(|c| c.name)).chain(["host", "as", "of", "mm"]);
    for word in free {
        let (file, _) = read(&format!("prop a {{ {word}: b.{word} }}\n"));
        let Some(Sentence::Thing(t)) = file.sentences.first() else { panic!("{word}") };
        let Some((key, e)) = t.body.items.first().and_then(field) else { panic!("{word} is no key") };
        assert_eq!(key, word);
        let Node::Ref { steps, .. } = &e.node else { panic!("{word}") };
        assert!(matches!(&steps[..], [Step::Field(n)] if n.value == word));
    }
}
