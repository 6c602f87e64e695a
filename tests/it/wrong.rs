//! Wrong files as their makers would see them: every fault of a run at once, each with its own repair.

use std::collections::BTreeMap;

use crate::memory::{Folder, build, told};
use crate::support::checked;
use tasset::diag::render::{Colour, drawn};

/// The language brief's wrong file, with a prop round it and the walls its geometry speaks of. Its faults of parsing,
/// of names, of values and of geometry come from one build, a lacing that tears out of the faulty wall among them. The brief's
/// four lames have radius 100; nested ones differ, and here it is the widest face on which one slides that has it.
const WRONG: &str = r#"prop wrong { title: "A wrong file", of: foam5 }
shell body {
    at 0 mm: circle(across: 90)
    at 300 mm: circle(girth: 30 cm), seam: lap(overlap: 2,5 mm)
}
cap base on body.botom { }
finish body { of: acrylic }
shell can { at 0 mm: circle(across: 90 mm), at 300 mm: circle(around: 30 cm) }
lacing laces on body.seam { of: waxed_cord, holes: 4 mm, margin: 3 mm }
let tall = lid_rim + 5 mm
let lid_rim = tall / 10
shell pipe on can { level: 12 cm, at 0 mm to 30 mm: circle(across: 110 mm) }
attachment eye on body { as: ring, of: dee20, tab: foam2, level: 1 / 2 in }
shell lame[1] { at 0 mm to 60 mm: circle(across: 176 mm), seam: open(facing: right, gap: 160 deg) }
for i in 2 to 4 { shell lame[i] over lame[i - 1] { gap: 1 mm, level: 40 mm } }
articulation lift on lame { of: webbing20, angle: 60 deg, overlap: 20 mm }
"#;

#[test]
fn a_wrong_file_is_told_all_its_faults_in_one_run() {
    let built = build(Folder::of(WRONG));
    assert!(built.files.is_empty());
    let codes: Vec<&str> = built.diagnostics.iter().map(|d| d.code.name()).collect();
    for code in [
        "bare-number",
        "unknown-part",
        "decimal-comma",
        "unknown-edge",
        "name-taken",
        "goes-round",
        "too-wide",
        "tears-out",
        "divided-length",
        "cannot-move",
    ] {
        assert_eq!(codes.iter().filter(|&&c| c == code).count(), 1, "{code} in {codes:?}");
    }
    insta::assert_snapshot!("wrong-plain", told(&built));
    insta::assert_snapshot!("wrong-drawn", drawn(&built.diagnostics, &built.sources, Colour::No, 100));
}

/// A prop and the files it uses, each with faults of its own and some between them.
#[test]
fn faults_of_a_file_and_of_all_it_uses_are_told_in_one_run() {
    let files = [
        (
            "prop.prop",
            "use \"shelf.prop\"\nuse \"crew.prop\"\nuse \"lost.prop\"\n\
             prop case { title: \"Case\", of: foam7, wearer: keper }\n\
             shell body { at 0 mm to tall: circle(across: 90), of: thick_foam }\n\
             shell lid { at 0 mm to 30 mm: circle(across: 99 mm), of: foam2 }\n\
             cap roof on lid.top { fit: inset, sunk: 40 mm, of: foam2 }\n\
             cap top on lid.bottom { of: thin_foam }\n\
             let grip = keeper.arm\n",
        ),
        (
            "shelf.prop",
            "stock thick_foam { as: foam, thick: 7, size: 500 mm by 1000 mm }\n\
             stock thin_foam { as: foam, thick: 3 mm, size: 500 mm by 1000 mm, density: 0.1 kg }\n\
             let tall = 20 cm + 3 g\nuse \"deeper.prop\"\n",
        ),
        ("deeper.prop", "let lid = 3 mm\ncuter desk { as: drag_knife }\n"),
        ("crew.prop", "wearer keeper { height: 171 cm, wrist_around 17 cm }\n"),
    ];
    let folder = files.map(|(name, text)| (name.to_owned(), text.to_owned()));
    let built = build(Folder(BTreeMap::from(folder)));
    let told = told(&built);
    for name in ["prop.prop", "shelf.prop", "deeper.prop", "crew.prop"] {
        assert!(told.lines().any(|l| l.starts_with(&format!("{name}:"))), "nothing of {name}\n{told}");
    }
    insta::assert_snapshot!("wrong-several-files", told);
}

#[test]
fn a_title_without_quotes_is_shown_with_them() {
    for title in ["lamp", "Lighthouse"] {
        let c = checked(&format!("prop lamp {{ title: {title}, of: foam5 }}\n"));
        assert_eq!(c.errors(), ["wrong-value"]);
        assert!(c.told().contains(&format!("help: `title: \"{title}\"`")), "{}", c.told());
    }
}

#[test]
fn a_misspelt_direction_gets_the_direction() {
    for (word, meant) in [("bak", "back"), ("lefft", "left"), ("fornt", "front")] {
        let c = checked(&format!(
            "prop p {{ title: \"P\", of: foam5 }}\nshell a {{ at 0 mm to 60 mm: circle(across: 90 mm), facing: {word} + 5 deg }}\n"
        ));
        assert_eq!(c.errors(), ["unknown-name"]);
        assert!(c.told().contains(&format!("`{meant}`")), "{}", c.told());
    }
    // A place is no direction, and where no place can stand none is offered.
    let c = checked("prop p { title: \"P\", of: foam5 }\nlet x = botom\n");
    assert!(!c.told().contains("`bottom`"), "{}", c.told());
}

#[test]
fn what_stands_on_a_faulty_thing_is_not_called_unbuilt() {
    let text = "prop p { title: \"P\", of: foam5 }\nshel a { at 0 mm to 60 mm: circle(across: 90 mm) }\n\
        cap base on a.bottom { }\nshell b in a { gap: 1 mm }\n";
    let built = build(Folder::of(text));
    let codes: Vec<&str> = built.diagnostics.iter().map(|d| d.code.name()).collect();
    assert_eq!(codes, ["unknown-kind"]);
}

#[test]
fn a_setting_deeper_in_a_recipe_is_told_where_it_stands() {
    let c = checked(
        "prop p { title: \"P\", of: foam5 }\n\
         recipe cup {\n\
         setting wide = 60 mm\n\
         if wide > 50 mm { setting extra = 5 mm } else { setting less = 5 mm }\n\
         for i in 1 to 2 { setting each = 5 mm }\n\
         shell wall { at 0 mm to 60 mm: circle(across: wide) }\n\
         }\n\
         cup one { }\n",
    );
    assert_eq!(c.errors(), ["misplaced"]);
    let told = c.told();
    for name in ["extra", "less", "each"] {
        assert_eq!(told.matches(&format!("`{name}`")).count(), 1, "{told}");
    }
}

/// What is said of a thing that is not built is said of all that rests on it too: nothing goes missing in silence.
#[test]
fn what_rests_on_a_shell_that_is_not_built_is_named_too() {
    let text = "prop box_prop { title: \"Box\", of: foam5 }\n\
                shell crate { at 0 mm to 100 mm: rectangle(across: 200 mm by 120 mm) }\n\
                shell cup beside crate { at 0 mm to 90 mm: circle(across: 120 mm), facing: left, gap: 30 mm }\n\
                edge waves on cup.top { as: wave, count: 6, rise: 20 mm }\n\
                cap floor on cup.bottom { fit: inset }\n";
    let built = build(Folder::of(text));
    let said: Vec<&str> = built.diagnostics.iter().map(|d| d.message.as_str()).collect();
    for name in ["waves", "floor"] {
        assert!(said.iter().any(|m| m.contains(&format!("`{name}`, which rests on `cup`"))), "{said:?}");
    }
}
