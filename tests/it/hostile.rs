//! Texts made to break the program, on the stack that a thread has when nobody says otherwise: they come to an end
//! soon, with a fault that says why, and without a panic. An overflow of the stack ends the whole test run.

use std::sync::mpsc::channel;
use std::thread;
use std::time::Duration;

use tasset::diag::Severity;
use tasset::ids::FileId;

use crate::memory::{Folder, build, check, errors, told};
use crate::parse::cases;

/// A thread of Rust's has 2 MiB (the standard library's `thread`, "Stack size"); the frames are largest without
/// optimisation, and a caller has used some of the stack before.
const STACK: usize = 3 << 19;

const LONGEST: Duration = Duration::from_secs(20);

/// Builds a text and lays it out on a thread of its own; the codes of its errors. A hang fails here and now.
fn faults(name: &str, text: &str) -> Vec<&'static str> {
    let (tell, told_us) = channel();
    let text = text.to_owned();
    let body = move || {
        let _ = tasset::parse::format(&text, FileId::new(0));
        let built = build(Folder::of(&text));
        // Drawn as well: what is said must be sayable.
        assert_eq!(told(&built).is_empty(), built.diagnostics.is_empty());
        tell.send(errors(&built)).unwrap();
    };
    let worker = thread::Builder::new().stack_size(STACK).spawn(body).unwrap();
    let found = told_us.recv_timeout(LONGEST);
    match found {
        Ok(codes) => codes,
        Err(_) if worker.is_finished() => panic!("{name} panics"),
        Err(_) => panic!("{name} takes over {LONGEST:?}"),
    }
}

#[test]
fn hostile_files_end_in_time_with_a_fault() {
    for (path, text) in cases("hostile") {
        let name = path.display().to_string();
        assert!(!faults(&name, &text).is_empty(), "{name} is built");
    }
}

const PROP: &str = "prop p { title: \"P\", of: foam5 }\nshell body { at 0 mm to 90 mm: circle(across: 70 mm) }\n";

/// Every way to put one thing inside another, at the limit of the language, just past it and far past it: within the
/// limit it may be built, past it there is a fault.
#[test]
fn nesting_stays_on_the_usual_stack() {
    let ways: [(&str, &str, &str, &str); 14] = [
        ("let x = ", "(", "1", ")"),
        ("let x = ", "[", "1", "]"),
        ("let x = ", "-", "1", ""),
        ("let x = ", "not ", "yes", ""),
        ("let x = ", "2 ^ ", "1", ""),
        ("let x = ", "1 + ", "1", ""),
        ("let x = ", "if yes then ", "1", " else 2"),
        ("let x = ", "if yes then 1 else ", "1", ""),
        ("let x = ", "sqrt(", "1", ")"),
        ("cap lid on [body.top, ", "not ", "yes", "] { fit: flush }"),
        ("shell s[", "- ", "1", "] { at 0 mm to 90 mm: circle(across: 70 mm) }"),
        ("let x = ", "max(1, -(if yes then ", "1", " else 2))"),
        ("", "if yes { ", "let x = 1", " }"),
        ("", "for i in 1 to 1 { ", "let x = 1", " }"),
    ];
    for (n, (before, open, core, close)) in ways.iter().enumerate() {
        for deep in [30, 63, 64, 65, 199, 1000, 20_000] {
            let text = format!("{PROP}{before}{}{core}{}\n", open.repeat(deep), close.repeat(deep));
            let found = faults(&format!("way {n}, {deep} deep"), &text);
            assert!(deep <= 1000 || !found.is_empty(), "way {n}, {deep} deep, has no fault");
        }
    }
}

/// Names that rest on names, functions that call functions, recipes that make recipes: a long chain is no nesting of
/// the text, and is bounded all the same.
#[test]
fn chains_stay_on_the_usual_stack() {
    let chain = |first: &str, link: &dyn Fn(usize) -> String, last: &str| {
        let links: String = (1..2000).map(link).collect();
        format!("{PROP}{first}\n{links}{last}\n")
    };
    let values = chain("let a0 = 1", &|i| format!("let a{i} = a{} + 1\n", i - 1), "");
    assert_eq!(faults("values", &values), [""; 0]);
    let backward = chain("let a0 = 1", &|i| format!("let b{} = b{} + 1\n", 2000 - i, 1999 - i), "let b0 = a0");
    assert_eq!(faults("values, last first", &backward), [""; 0]);
    let circle = chain("let a0 = a1999", &|i| format!("let a{i} = a{} + 1\n", i - 1), "");
    assert!(!faults("a circle", &circle).is_empty());
    let functions = chain("let f0(x) = x", &|i| format!("let f{i}(x) = f{}(x) + 1\n", i - 1), "let y = f1999(1)");
    assert!(!faults("functions", &functions).is_empty());
    let brackets = "((((((((((((((((((((";
    let deep = chain(
        "let f0(x) = x",
        &|i| format!("let f{i}(x) = {brackets}f{}(x){}\n", i - 1, brackets.replace('(', ")")),
        "let y = f1999(1)",
    );
    assert!(!faults("functions in brackets", &deep).is_empty());
    let itself = format!("{PROP}let f(x) = f(x)\nlet y = f(1)\n");
    assert!(!faults("a function of itself", &itself).is_empty());
}

/// Names that rest on each other twice over have 2⁶⁰ ways through them, and are gone through once.
#[test]
fn what_rests_on_each_other_twice_over_is_gone_through_once() {
    let mut text = PROP.to_owned();
    text += "let a0 = body.top.around / 1000\n";
    for i in 1..60 {
        text += &format!("let a{i} = (a{0} + a{0}) / 2\n", i - 1);
    }
    text += "contents flags in body { mass: 100 g, level: a59 }\n";
    text += "attachment ring on body { as: ring, of: dee20, tab: webbing20, level: 45 mm }\n";
    text += "strap s0 on [ring, ring] { of: webbing20, long: 90 cm }\n";
    for i in 1..60 {
        text += &format!("strap s{i} on [s{0}, s{0}] {{ of: webbing20, long: 90 cm }}\n", i - 1);
    }
    text += "hang slung on s59 { slide: 60 mm }\n";
    faults("names twice over", &text);
}

/// Layers and both of a pair count. What is too much for a build is looked at in space all the same: what is wrong there
/// is told, and what would be asked of the pieces is not answered from none.
#[test]
fn a_prop_of_too_many_pieces_is_looked_at_and_not_built() {
    let of = |shells: usize, more: &str| {
        let shell = "{ of: [foam5, foam5], pair: mirrored, at 0 mm to 90 mm: circle(across: 70 mm) }";
        let text =
            format!("prop p {{ title: \"P\", of: foam5 }}\nfor i in 1 to {shells} {{ shell s[i] {shell} }}\n{more}\n");
        Folder::of(&text)
    };
    let codes = |folder: &Folder| -> Vec<_> {
        check(folder.clone()).diagnostics.iter().map(|d| (d.severity, d.code.name())).collect()
    };
    assert_eq!(codes(&of(250, "")), []);
    let many = of(251, "require p.mass > 1 kg \"light\"");
    assert_eq!(codes(&many), [(Severity::Warning, "too-many-things")]);
    let built = build(many);
    assert_eq!(errors(&built), ["too-many-things"]);
    assert!(told(&built).contains("cut in 1004 pieces"), "{}", told(&built));
    let wrong = of(251, "require s[1].top.around > 1 m \"narrow\"");
    assert_eq!(codes(&wrong), [(Severity::Warning, "too-many-things"), (Severity::Error, "requirement-fails")]);
}
