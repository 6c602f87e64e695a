//! What the command says: messages as JSON, plain and drawn; the manual, codes, completions, the manual page; and the
//! file that `new` writes.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use serde_json::Value;
use tasset::diag::Code;
use tasset::schema;

use super::command::{GOOD, PROGRAM, all, code, errors, folder, for_two, names, printed, run, script, tasset, text};

/// The messages of the one JSON document on standard output.
fn messages(arguments: &[&str]) -> Vec<Value> {
    let done = run(arguments);
    let document: Value = serde_json::from_str(&printed(&done)).unwrap_or_else(|e| panic!("{e}: {done:?}"));
    assert_eq!(document.as_object().unwrap().len(), 1);
    assert_eq!(errors(&done), "", "with JSON nothing else is said: {arguments:?}");
    document["diagnostics"].as_array().unwrap().clone()
}

/// Holds the form of a message, and the places of its labels in `source` against an own count.
fn assert_message(message: &Value, name: &str, source: &str) {
    let keys: Vec<&str> = message.as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(keys, ["code", "severity", "message", "labels", "help", "repair", "note"]);
    assert!(Code::ALL.iter().any(|c| c.name() == message["code"]), "{message}");
    assert!(["error", "warning", "note"].contains(&message["severity"].as_str().unwrap()));
    for label in message["labels"].as_array().unwrap().iter().filter(|l| l["file"] == name) {
        let byte = |end: &str| usize::try_from(label[end]["byte"].as_u64().unwrap()).unwrap();
        assert!(byte("start") <= byte("end") && source.get(byte("start")..byte("end")).is_some(), "{label}");
        for end in ["start", "end"] {
            let before = &source[..byte(end)];
            assert_eq!(label[end]["line"], before.matches('\n').count() + 1, "{label}");
            let line = before.rsplit('\n').next().unwrap();
            assert_eq!(label[end]["column"], line.chars().count() + 1, "{label}");
        }
    }
}

#[test]
fn json_places_count_bytes_and_characters() {
    let (_dir, prop, _) =
        folder("# é\r\nprop jar { title: \"é\", of: foam3 }\r\nshell w { at 0 mm to 9 cm: circle(across: 70) }\r\n");
    let found = messages(&["check", &prop, "--format", "json"]);
    let label = &found[0]["labels"][0];
    // Counted by hand: `# é` is 4 bytes and its line end 2; the next line 38 characters, one of them of 2 bytes.
    assert_eq!(
        (&label["start"]["line"], &label["start"]["column"], &label["start"]["byte"]),
        (&3.into(), &43.into(), &85.into())
    );
    assert_eq!((&label["end"]["column"], &label["end"]["byte"]), (&45.into(), &87.into()));
    assert_eq!(found[0]["code"], "bare-number");
}

/// Every bad file there is, with either line end: the same messages, at the places an own count gives.
#[test]
fn json_is_sound_for_every_bad_file_with_either_line_end() {
    let bad = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/bad");
    let (_dir, prop, _) = folder("");
    let mut labelled = 0;
    for (path, bytes) in all(bad) {
        let source = String::from_utf8(bytes).unwrap();
        // Files that speak of line ends themselves have only one form.
        if source.contains('\r') {
            continue;
        }
        let mut told = Vec::new();
        for source in [source.clone(), source.replace('\n', "\r\n")] {
            fs::write(&prop, &source).unwrap();
            let found = messages(&["check", &prop, "--format", "json"]);
            found.iter().for_each(|m| assert_message(m, &prop, &source));
            labelled += found.iter().filter(|m| m["labels"].as_array().is_some_and(|l| !l.is_empty())).count();
            let brief = |m: &Value| {
                let start = &m["labels"][0]["start"];
                (m["code"].to_string(), start["line"].to_string(), start["column"].to_string())
            };
            told.push(found.iter().map(brief).collect::<Vec<_>>());
        }
        assert_eq!(told[0], told[1], "{}", path.display());
    }
    assert!(labelled > 200, "only {labelled} messages had a place");
}

#[test]
fn json_is_one_document_for_all_files_and_wearers() {
    let (dir, prop, out) = folder(for_two(180));
    let bad = text(dir.path().join("bad.prop"));
    fs::write(&bad, GOOD.replace("70 mm", "70")).unwrap();
    let codes = |arguments: &[&str]| -> Vec<String> {
        messages(arguments).iter().map(|m| m["code"].as_str().unwrap().to_owned()).collect()
    };
    let expected = ["requirement-fails", "bare-number", "no-such-file"];
    assert_eq!(codes(&["check", &prop, &bad, "absent.prop", "--format", "json"]), expected);
    assert_eq!(codes(&["build", &prop, &bad, "absent.prop", "--out", &out, "--format", "json"]), expected);
    assert_eq!(codes(&["fmt", &prop, &bad, "absent.prop", "--format", "json"]), ["no-such-file"]);
    fs::write(&bad, "shell {{{").unwrap();
    assert!(codes(&["fmt", "--check", &bad, "--format", "json"]).contains(&"unclosed-bracket".to_owned()));
    fs::write(&prop, GOOD).unwrap();
    assert_eq!(codes(&["build", &prop, "--out", &out, "--format", "json"]), Vec::<String>::new());
}

#[test]
fn plain_messages_hold_no_drawing_and_colour_is_as_asked() {
    let (_dir, prop, _) = folder(GOOD.replace("70 mm", "70"));
    let plain = errors(&run(&["check", &prop]));
    assert_eq!(
        plain,
        errors(&run(&["check", &prop, "--format", "plain", "--colour", "always"])),
        "a pipe gets it plain"
    );
    assert!(plain.is_ascii() && !plain.contains('\u{1b}'), "{plain}");
    assert!(plain.starts_with(&format!("{prop}:2:47: error bare-number: ")), "{plain}");
    let drawn = |more: &[&str], no_color: Option<&str>| {
        let mut command = tasset(&["check", &prop, "--format", "drawn"]);
        command.args(more).env_remove("NO_COLOR");
        if let Some(value) = no_color {
            command.env("NO_COLOR", value);
        }
        errors(&command.output().unwrap())
    };
    let black = drawn(&[], None);
    assert!(black.contains('╭') && !black.contains('\u{1b}'), "no colour in a pipe: {black}");
    assert_eq!(drawn(&["--colour", "never"], None), black);
    let coloured = drawn(&["--colour", "always"], Some("1"));
    assert!(coloured.contains('\u{1b}') && coloured.contains('╭'), "asked for in so many words: {coloured}");
}

/// On a terminal (made by Python's `pty`): drawn and coloured, as wide as the terminal, black under NO_COLOR
/// (no-color.org: any value that is not empty).
#[cfg(target_os = "linux")]
#[test]
fn a_terminal_gets_drawings_as_wide_as_it_is() {
    let pty = "import fcntl,os,pty,struct,sys,termios\n\
               pid,fd=pty.fork()\n\
               if pid==0:\n  fcntl.ioctl(2,termios.TIOCSWINSZ,struct.pack('HHHH',40,60,0,0)); os.execv(sys.argv[1],sys.argv[1:])\n\
               while True:\n  try: part=os.read(fd,4096)\n  except OSError: break\n  \
               if not part: break\n  sys.stdout.buffer.write(part)\n\
               os.waitpid(pid,0)\n";
    let on_terminal = |arguments: &[&str], no_color: Option<&str>| {
        let mut command = assert_cmd::Command::new("python3");
        command
            .args(["-c", pty, PROGRAM])
            .args(arguments)
            .env_remove("COLUMNS")
            .env_remove("NO_COLOR")
            .env("TERM", "xterm");
        if let Some(value) = no_color {
            command.env("NO_COLOR", value);
        }
        printed(&command.timeout(std::time::Duration::from_secs(60)).output().unwrap()).replace("\r\n", "\n")
    };
    let (_dir, prop, _) = folder(GOOD.replace("70 mm", "70"));
    for value in [None, Some("")] {
        let told = on_terminal(&["check", &prop], value);
        assert!(told.contains('╭') && told.contains('\u{1b}'), "{told}");
    }
    let told = on_terminal(&["check", &prop], Some("1"));
    assert!(told.contains('╭') && !told.contains('\u{1b}'), "{told}");
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/flag-case/flag-case.prop");
    let told = on_terminal(&["check", &text(example)], Some("1"));
    let unbuilt: Vec<&str> = told.lines().skip_while(|l| !l.starts_with("kept as asked")).collect();
    let lines = unbuilt.iter().skip(1).take_while(|l| l.starts_with("    ")).count() + 1;
    assert!((2..=8).contains(&lines), "{told}");
    assert!(unbuilt[..lines].iter().all(|l| l.chars().count() <= 60), "{told}");
    let told = on_terminal(&["reference", "cap"], None);
    assert!(told.lines().all(|l| l.chars().count() <= 60 || l.starts_with("    ")), "{told}");
}

/// That what begins so is told in one line for pipes and few for a terminal, and to an editor one by one.
fn one_short_line(file: &str, begins: &str, named: &[&str], (code, ends): (&str, &str)) {
    let plain = errors(&run(&["check", file, "--format", "plain"]));
    let lines: Vec<&str> = plain.lines().filter(|l| l.starts_with(begins)).collect();
    assert_eq!(lines, [format!("{begins}: {}", named.join(", "))], "{plain}");
    let drawn = errors(&tasset(&["check", file, "--format", "drawn"]).env("COLUMNS", "72").output().unwrap());
    assert_eq!(drawn.matches(begins).count(), 1, "{drawn}");
    let told = drawn.lines().skip_while(|l| !l.starts_with(begins));
    let told: Vec<&str> = told.take_while(|l| l.starts_with(begins) || l.starts_with("    ")).collect();
    assert!(!told.is_empty() && told.iter().all(|l| l.chars().count() <= 72), "{drawn}");
    // To an editor every one of them is told, whole and with its place.
    let found = messages(&["check", file, "--format", "json"]);
    let each: Vec<&Value> = found.iter().filter(|m| m["code"] == code).collect();
    assert_eq!(each.len(), named.len(), "{found:?}");
    for message in each {
        assert!(message["message"].as_str().unwrap().ends_with(ends), "{message}");
        assert_message(message, file, &fs::read_to_string(file).unwrap());
        assert!(!message["labels"].as_array().unwrap().is_empty(), "{message}");
    }
}

#[test]
fn what_is_not_built_yet_is_one_short_line() {
    let unbuilt = "closure shut on wall { as: magnets, of: disc8 }\nsupply disc8 { as: magnet, across: 8 mm, thick: 2 mm }\ndome roof on wall.top { rise: 30 mm }\n";
    let (_dir, prop, _) = folder(format!("{GOOD}{unbuilt}"));
    let told = ("not-built-yet", "is not built yet");
    one_short_line(&prop, "not built yet, checked and left out", &["shut (closure)", "roof (dome)"], told);
}

#[test]
fn what_is_not_answered_yet_is_one_short_line() {
    // Fields of one thing are told together.
    let example = text(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/flag-case/flag-case.prop"));
    let named = ["deadline", "bench of flag_case", "how across_back hangs"];
    let plain = errors(&run(&["check", &example, "--format", "plain"]));
    assert!(plain.contains(&format!("\nkept as asked, not answered yet: {}\n", named.join(", "))), "{plain}");
    assert!(!plain.contains("not built yet"), "{plain}");
    let told = ("not-answered-yet", "is kept as asked, not answered yet");
    one_short_line(
        &example,
        told.1.trim_start_matches("is "),
        &["deadline, bench of flag_case", "how across_back hangs"],
        told,
    );
}

#[test]
fn every_code_explains_itself() {
    let list = printed(&run(&["explain"]));
    assert_eq!(list.lines().collect::<Vec<_>>(), Code::ALL.iter().map(|c| c.name()).collect::<Vec<_>>());
    for code_ in Code::ALL {
        let done = run(&["explain", code_.name()]);
        assert_eq!(code(&done), 0, "{}", code_.name());
        let told = printed(&done);
        let unwrapped: Vec<&str> = told.split_whitespace().collect();
        let expected = format!("{} {}", code_.name(), code_.explanation());
        assert_eq!(unwrapped, expected.split_whitespace().collect::<Vec<_>>(), "nothing is lost in wrapping");
        assert!(told.lines().all(|l| l.chars().count() <= 80), "{told}");
    }
}

/// Every word that stands for something in the language.
fn words() -> BTreeSet<&'static str> {
    let kinds = schema::kinds().iter().flat_map(|k| k.fields.iter().map(|f| f.name).chain([k.word]));
    kinds
        .chain(schema::constructors().map(|c| c.name))
        .chain(schema::functions().iter().map(|f| f.name))
        .chain(schema::SENTENCES.iter().map(|s| s.word))
        .collect()
}

#[test]
fn every_word_of_the_language_is_in_the_manual() {
    let words = words();
    assert!(words.len() > 150, "only {} words", words.len());
    let whole = printed(&run(&["reference"]));
    let markdown = printed(&run(&["reference", "--markdown"]));
    assert!(markdown.starts_with("# ") && markdown.contains("\n## ") && whole.lines().count() > 300);
    for word in words {
        let done = run(&["reference", word]);
        assert_eq!(code(&done), 0, "{word}: {done:?}");
        assert!(printed(&done).contains(word), "{word}: {}", printed(&done));
        assert!(markdown.contains(word), "{word}");
    }
    assert!(printed(&run(&["reference", "wearer"])).contains("a run and a folder"));
    assert!(markdown.contains("`out/NAME-WEARER`"));
}

#[test]
fn completions_are_for_every_shell_and_read_by_those_there_are() {
    let dir = tempfile::tempdir().unwrap();
    let mut read = Vec::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let completions = printed(&run(&["completions", shell]));
        for word in ["tasset", "build", "wearer", "markdown", "reference"] {
            assert!(completions.contains(word), "{shell}: {word}");
        }
        let file = text(dir.path().join(shell));
        fs::write(&file, completions).unwrap();
        // `-n`: read it, run nothing.
        if ["bash", "zsh", "fish"].contains(&shell) && script("command -v \"$1\"", &[shell]).status.success() {
            let done = script("exec \"$1\" -n \"$2\"", &[shell, &file]);
            assert!(done.status.success() && errors(&done).is_empty(), "{shell}: {done:?}");
            read.push(shell);
        }
    }
    println!("read by {read:?}");
}

#[test]
fn the_manual_page_has_every_command_and_flag() {
    let page = printed(&run(&["manual"]));
    assert!(page.lines().any(|l| l.starts_with(".TH tasset 1")), "{page}");
    for command in ["BUILD", "CHECK", "FMT", "NEW", "EXPLAIN", "REFERENCE", "COMPLETIONS", "MANUAL"] {
        assert_eq!(page.matches(&format!(".SH \"TASSET {command}\"")).count(), 1, "{command}");
    }
    for flag in ["out", "set", "wearer", "also", "dxf", "format", "colour", "check", "markdown"] {
        assert!(page.contains(&format!("\\-\\-{flag}\\fR")), "--{flag}");
    }
    // A line that begins with a dot is a request of roff, and there are no others than these.
    for line in page.lines().filter(|l| l.starts_with(['.', '\''])) {
        let request = line[1..].split(' ').next().unwrap();
        assert!(
            ["TH", "SH", "SS", "TP", "RS", "RE", "IP", "br", "ie", "el", "nf", "fi", "PP"].contains(&request),
            "{line}"
        );
    }
    if script("command -v groff", &[]).status.success() {
        let done = script("\"$0\" manual | groff -man -ww -Tutf8 -P-cbou", &[]);
        assert_eq!(errors(&done), "", "groff has nothing to warn of");
        for part in ["NAME", "SYNOPSIS", "TASSET BUILD", "--wearer", "Exit codes: 0 good"] {
            assert!(printed(&done).contains(part), "{part}: {}", printed(&done));
        }
    } else {
        println!("groff is not there: the page was looked at by its requests only");
    }
}

#[test]
fn a_new_prop_builds_as_it_stands_and_is_never_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let long = "long".repeat(40);
    for (name, file) in [
        ("lantern", "lantern.prop"),
        ("2 lamps.prop", "2 lamps.prop"),
        ("body", "body.prop"),
        ("lamp.v2", "lamp.v2.prop"),
        ("it's \"a\" $HOME `lamp`; {x}", "it's \"a\" $HOME `lamp`; {x}.prop"),
        ("Blåst ランプ", "Blåst ランプ.prop"),
        ("-x", "-x.prop"),
        (".prop", ".prop.prop"),
        ("...", "....prop"),
        ("\u{202e}gnp\u{1b}[31m", "\u{202e}gnp\u{1b}[31m.prop"),
        (&long, &format!("{long}.prop")),
    ] {
        let done = tasset(&["new", "--", name]).current_dir(dir.path()).output().unwrap();
        assert_eq!(code(&done), 0, "{name}: {done:?}");
        let prop = dir.path().join(file);
        let before = fs::read(&prop).unwrap();
        assert!(!printed(&done).contains(['\u{1b}', '\u{202e}']), "{:?}", printed(&done));
        for again in [name, file] {
            let done = tasset(&["new", "--", again]).current_dir(dir.path()).output().unwrap();
            assert_eq!(code(&done), if again.ends_with(".prop") || again == name { 2 } else { 0 }, "{again}: {done:?}");
        }
        assert_eq!(fs::read(&prop).unwrap(), before);
        // The line it prints can be pasted into a shell as it is, if it can be shown at all.
        let line = printed(&done).lines().last().unwrap().trim().strip_prefix("tasset ").unwrap().to_owned();
        if !name.contains('\u{1b}') {
            let done = script(&format!("cd \"$1\" && exec \"$0\" {line}"), &[&text(dir.path())]);
            assert_eq!(code(&done), 0, "{line}: {done:?}");
            assert_eq!(errors(&done), "", "{line}");
        }
        let done = tasset(&["fmt", "--check", "--", file]).current_dir(dir.path()).output().unwrap();
        assert_eq!(code(&done), 0, "{name} is laid out as fmt would: {done:?}");
    }
    assert!(names(dir.path()).iter().all(|n| !n.contains(".part")));
    let done = run(&["new", &text(dir.path().join("x".repeat(300)))]);
    assert_eq!(code(&done), 2, "{done:?}");
}

#[test]
fn a_new_prop_may_be_called_like_any_word_of_the_language() {
    let dir = tempfile::tempdir().unwrap();
    let shelf = tasset::stock::SHELF.lines().filter_map(|l| l.split(['{', ' ']).nth(1)).collect::<BTreeSet<_>>();
    let mut files = Vec::new();
    for word in words().into_iter().chain(schema::RESERVED.iter().copied()).chain(shelf) {
        let file = text(dir.path().join(format!("{word}.prop")));
        if word.chars().all(|c| c.is_alphanumeric() || c == '_') && !word.is_empty() && !Path::new(&file).exists() {
            assert_eq!(code(&run(&["new", &file])), 0, "{word}");
            files.push(file);
        }
    }
    assert!(files.len() > 200, "only {} words", files.len());
    let done = run(&["check"].into_iter().chain(files.iter().map(String::as_str)).collect::<Vec<_>>());
    assert_eq!(
        code(&done),
        0,
        "{}",
        errors(&done).lines().filter(|l| l.contains("error")).collect::<Vec<_>>().join("\n")
    );
}
