//! What the command does to files: the output folder, imports, disks that fail, Ctrl-C, `fmt` and `new`.

#![cfg(unix)]

use std::fs;
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, symlink};
use std::os::unix::net::UnixListener;
use std::path::Path;
use std::process::{Child, Stdio};
use std::time::Instant;

use super::command::{GOOD, PROGRAM, all, code, errors, folder, listed, names, printed, run, script, text};

/// Two builds of one prop that share no byte of a drawing.
fn other() -> String {
    GOOD.replace("70 mm", "71 mm")
}

#[test]
fn a_disk_that_fills_up_leaves_the_older_build() {
    // No file may pass one block: as on a full disk, a write fails half-way. The signal that comes with it
    // (SIGXFSZ: setrlimit(2)) would end a program that does not care for it.
    for trap in ["", "trap '' XFSZ;"] {
        let (_dir, prop, out) = folder(GOOD);
        assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
        let before = all(&out);
        fs::write(&prop, other()).unwrap();
        let limited = format!("ulimit -f 1; {trap} exec \"$0\" \"$@\"");
        let done = script(&limited, &["build", &prop, "--out", &out]);
        assert_eq!(code(&done), 3, "{done:?}");
        assert!(errors(&done).starts_with("tasset: cannot write "), "{}", errors(&done));
        assert_eq!(errors(&done).lines().count(), 1, "{}", errors(&done));
        assert!(all(&out) == before, "an older good build survives, whole");
        let fresh = format!("{out}/not/there/yet");
        assert_eq!(code(&script(&limited, &["build", &prop, "--out", &fresh])), 3);
        assert!(!Path::new(&format!("{out}/not")).exists(), "no empty folders stay");
        assert_eq!(code(&script(&limited, &["new", &format!("{out}/lamp")])), 3);
        assert!(!Path::new(&format!("{out}/lamp.prop")).exists(), "no half a file stays");
        // A kilobyte is too small for this text laid out as well.
        let long = format!("# {}\n{}", "long ".repeat(400), GOOD.replace("{ title", "{title"));
        fs::write(&prop, &long).unwrap();
        assert_eq!(code(&script(&limited, &["fmt", &prop])), 3);
        assert_eq!(fs::read_to_string(&prop).unwrap(), long);
        assert!(names(Path::new(&prop).parent().unwrap()).iter().all(|n| !n.contains(".part")));
    }
}

/// Whether a disk of one's own can be mounted here (as root, or with user namespaces).
fn mounts() -> Option<&'static str> {
    ["unshare -m", "unshare -rm"].into_iter().find(|how| script(&format!("exec {how} true"), &[]).status.success())
}

#[test]
fn a_real_small_disk_that_is_full_or_read_only_leaves_the_older_build() {
    let Some(unshare) = mounts() else {
        println!("left out: nothing can be mounted here; the limit on the size of files stands for the full disk");
        return;
    };
    let (dir, prop, out) = folder(GOOD);
    fs::create_dir(&out).unwrap();
    let changed = text(dir.path().join("changed.prop"));
    fs::write(&changed, other()).unwrap();
    let kept = |name: &str| text(dir.path().join(name));
    // The disk is gone with its namespace: what it held is copied out before.
    let within = "set -e; mount -t tmpfs -o size=3m none \"$3\"; \"$0\" build \"$1\" --out \"$3\" >/dev/null; \
                  cp -r \"$3\" \"$4\"; dd if=/dev/zero of=\"$3/full\" bs=1k 2>/dev/null || true; set +e; \
                  \"$0\" build \"$2\" --out \"$3\"; echo \"full: $?\" >&2; rm \"$3/full\"; cp -r \"$3\" \"$5\"; \
                  mount -o remount,ro \"$3\"; \"$0\" build \"$2\" --out \"$3\"; echo \"read only: $?\" >&2; cp -r \"$3\" \"$6\"";
    let done = script(
        &format!("exec {unshare} sh -c '{within}' \"$0\" \"$@\""),
        &[&prop, &changed, &out, &kept("before"), &kept("full"), &kept("read-only")],
    );
    let told = errors(&done);
    assert!(told.contains("the disk is full\nfull: 3\n"), "{told}");
    assert!(told.contains("the disk can only be read\nread only: 3\n"), "{told}");
    assert_eq!(told.lines().count(), 4, "{told}");
    let before = all(kept("before"));
    assert!(before.len() >= 4 && all(kept("full")) == before && all(kept("read-only")) == before);
}

#[test]
fn without_permission_the_machine_is_at_fault() {
    let (dir, prop, out) = folder(GOOD);
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let locked = text(dir.path().join("locked.prop"));
    fs::write(&locked, GOOD).unwrap();
    let mode = |path: &str, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    // To root nothing is forbidden: there another user runs a copy of the program.
    let root = fs::metadata(&prop).unwrap().uid() == 0;
    let program = if root { text(dir.path().join("tasset")) } else { PROGRAM.to_owned() };
    if root {
        fs::copy(PROGRAM, &program).unwrap();
        mode(&program, 0o755);
    }
    mode(&text(dir.path()), 0o755);
    mode(&prop, 0o644);
    mode(&locked, 0o000);
    mode(&out, 0o555);
    mode(&format!("{out}/jar"), 0o555);
    mode(&format!("{out}/jar/cut"), 0o555);
    let before = all(&out);
    let deeper = format!("{out}/deeper");
    let lamp = format!("{out}/lamp");
    for (arguments, expected) in [
        (&["build", &prop, "--out", &out][..], "tasset: cannot write"),
        (&["build", &prop, "--out", &deeper], "tasset: cannot make the folder"),
        (&["build", &locked, "--out", &out], "cannot be read: no permission"),
        (&["check", &locked], "cannot be read: no permission"),
        (&["fmt", &locked], "cannot be read: no permission"),
        (&["new", &lamp], "tasset: cannot write"),
    ] {
        let mut command = std::process::Command::new(&program);
        if root {
            use std::os::unix::process::CommandExt as _;
            command.uid(65_534).gid(65_534);
        }
        let done = command.args(arguments).current_dir("/").output().unwrap();
        assert_eq!(code(&done), 3, "{arguments:?}: {done:?}");
        assert!(errors(&done).contains(expected) && errors(&done).contains("no permission"), "{}", errors(&done));
        assert_eq!(errors(&done).lines().count(), 1, "{}", errors(&done));
    }
    assert!(all(&out) == before);
    for path in [&out, &format!("{out}/jar"), &format!("{out}/jar/cut")] {
        mode(path, 0o755);
    }
}

#[test]
fn sheets_of_an_earlier_build_do_not_stay() {
    let two =
        GOOD.replace("cap base on wall.bottom { fit: inset }", "cap base on wall.bottom { of: foam5, fit: inset }");
    let (_dir, prop, out) = folder(two);
    assert_eq!(code(&run(&["build", &prop, "--out", &out, "--also", "stl"])), 0);
    assert!(Path::new(&format!("{out}/jar/cut/foam5-1.dxf")).exists());
    fs::write(format!("{out}/jar/cut/mine.txt"), "a note of the maker's").unwrap();
    fs::write(&prop, GOOD).unwrap();
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    assert!(Path::new(&format!("{out}/jar/cut/mine.txt")).exists(), "what the build did not write stays");
    fs::remove_file(format!("{out}/jar/cut/mine.txt")).unwrap();
    assert_eq!(listed(format!("{out}/jar/report.json")), names(&out), "and nothing else does");
}

#[test]
fn pages_of_an_earlier_build_do_not_stay() {
    let on = |paper: &str| GOOD.replace("prop jar {", &format!("prop jar {{ paper: {paper},"));
    let (_dir, prop, out) = folder(on("a5"));
    let pages = |folder: &str| names(folder).iter().filter(|n| n.starts_with("jar/print/page-")).count();
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let small = pages(&out);
    fs::write(&prop, on("a0")).unwrap();
    let done = run(&["build", &prop, "--out", &out, "--template", "hidden"]);
    assert_eq!(code(&done), 0);
    assert!(pages(&out) < small, "{small} pages of a5, {} of a0", pages(&out));
    assert!(printed(&done).contains("on a0, mirrored for the hidden face"), "{}", printed(&done));
    assert_eq!(listed(format!("{out}/jar/report.json")), names(&out));
}

#[test]
fn a_pile_of_pages_is_warned_of_and_the_rest_is_written() {
    let dir = tempfile::tempdir().unwrap();
    let out = text(dir.path());
    for (kind, warned) in [("bad", true), ("good", false)] {
        let done = run(&["build", &format!("tests/cases/{kind}/too-many-pages.prop"), "--out", &out]);
        assert_eq!(code(&done), 0);
        assert_eq!(errors(&done).contains("warning too-many-pages: "), warned, "{}", errors(&done));
        assert_eq!(names(&out).iter().any(|n| n.starts_with("p/print/")), !warned);
        assert!(names(&out).contains(&"p/cut/sail-1.dxf".to_owned()));
    }
}

#[test]
fn a_report_speaks_for_its_own_folder_only() {
    let (dir, prop, out) = folder(GOOD);
    fs::create_dir_all(format!("{out}/jar")).unwrap();
    fs::create_dir_all(format!("{out}/lid")).unwrap();
    let away = text(dir.path().join("away"));
    for kept in [&format!("{out}/lid/report.json"), &format!("{out}/jar-ann"), &away] {
        fs::write(kept, "kept").unwrap();
    }
    let report =
        serde_json::json!({ "files": ["lid/report.json", "jar-ann", "../away", &away, "jar/../lid/report.json", 7] });
    fs::write(format!("{out}/jar/report.json"), report.to_string()).unwrap();
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    for kept in [&format!("{out}/lid/report.json"), &format!("{out}/jar-ann"), &away] {
        assert_eq!(fs::read_to_string(kept).unwrap(), "kept");
    }
    for odd in ["", "{", "[]", "{\"files\": 3}", "\u{0}"] {
        fs::write(format!("{out}/jar/report.json"), odd).unwrap();
        assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0, "{odd:?}");
    }
}

#[test]
fn links_and_pipes_in_the_output_folder_are_replaced() {
    let (dir, prop, out) = folder(GOOD);
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let expected = all(&out);
    let away = dir.path().join("away");
    fs::create_dir_all(away.join("cut")).unwrap();
    fs::write(away.join("report.json"), "{\"files\": [\"jar/precious\"]}").unwrap();
    fs::write(away.join("precious"), "kept").unwrap();
    let kept = all(&away);
    // The prop's folder, a folder in it, a file, the report: each a link out of the output folder.
    for (place, target) in
        [("jar", ""), ("jar/cut", "cut"), ("jar/picture.svg", "precious"), ("jar/report.json", "report.json")]
    {
        let at = Path::new(&out).join(place);
        let _ = fs::remove_dir_all(&at);
        let _ = fs::remove_file(&at);
        symlink(away.join(target), &at).unwrap();
        let done = run(&["build", &prop, "--out", &out]);
        assert_eq!(code(&done), 0, "{place}: {done:?}");
        assert!(!fs::symlink_metadata(&at).unwrap().is_symlink(), "{place}");
        assert!(all(&out) == expected && all(&away) == kept, "{place}");
    }
    // A pipe nobody writes to, where the report belongs.
    fs::remove_file(format!("{out}/jar/report.json")).unwrap();
    assert!(script("mkfifo \"$1\"", &[&format!("{out}/jar/report.json")]).status.success());
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    assert!(all(&out) == expected);
    // The output folder itself may be a link: the maker named it.
    let link = text(dir.path().join("link"));
    symlink(&out, &link).unwrap();
    assert_eq!(code(&run(&["build", &prop, "--out", &link])), 0);
    assert!(all(&out) == expected);
}

#[test]
fn nothing_outside_the_output_folder_changes() {
    let (dir, prop, _) = folder(GOOD);
    let before = names(dir.path());
    let out = text(dir.path().join("a/b"));
    assert_eq!(code(&run(&["build", &prop, "--out", &out])), 0);
    let (within, without): (Vec<String>, Vec<String>) =
        names(dir.path()).into_iter().partition(|n| n.starts_with("a/b/"));
    assert_eq!(without, before);
    assert!(within.iter().all(|n| n.starts_with("a/b/jar/")), "{within:?}");
    assert_eq!(code(&run(&["check", &prop])), 0);
    assert_eq!(names(dir.path()).len(), before.len() + within.len());
}

#[test]
fn imports_stay_in_the_folder_and_are_ordinary_files() {
    let (dir, prop, out) = folder("");
    let away = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    let secret = away.path().join("secret.prop");
    fs::write(&secret, "let secret = 3 mm\n").unwrap();
    symlink(&secret, at("link.prop")).unwrap();
    symlink(away.path(), at("away")).unwrap();
    symlink("round.prop", at("round.prop")).unwrap();
    symlink("/dev/zero", at("zero.prop")).unwrap();
    fs::create_dir(at("shelf")).unwrap();
    fs::write(at("large.prop"), "#".repeat(1 << 21)).unwrap();
    fs::write(at("bytes.prop"), b"\xff\xfe").unwrap();
    let _socket = UnixListener::bind(at("socket.prop")).unwrap();
    assert!(script("mkfifo \"$1\"", &[&text(at("pipe.prop"))]).status.success());
    let up = format!("../{}/secret.prop", away.path().file_name().unwrap().to_str().unwrap());
    let long = format!("{}.prop", "long".repeat(2000));
    for (path, expected) in [
        (up.as_str(), "outside-folder"),
        (secret.to_str().unwrap(), "outside-folder"),
        (prop.as_str(), "outside-folder"),
        ("link.prop", "outside-folder"),
        ("away/secret.prop", "outside-folder"),
        ("/dev/zero", "outside-folder"),
        ("zero.prop", "outside-folder"),
        ("pipe.prop", "not-a-file"),
        ("socket.prop", "not-a-file"),
        ("shelf", "not-a-file"),
        (".", "not-a-file"),
        ("large.prop", "file-too-large"),
        ("bytes.prop", "not-text"),
        ("absent.prop", "no-such-file"),
        ("round.prop", "no-such-file"),
        ("case.prop/x", "no-such-file"),
        (&long, "no-such-file"),
    ] {
        fs::write(&prop, format!("use \"{path}\"\n{GOOD}")).unwrap();
        let done = run(&["build", &prop, "--out", &out]);
        assert_eq!(code(&done), 1, "{path}: {done:?}");
        let told = errors(&done);
        assert!(told.contains(&format!("case.prop:1:5: error {expected}: ")), "{path}: {told}");
        assert_eq!(told.matches(": error ").count(), 1, "{path}: {told}");
    }
    assert!(!Path::new(&out).exists());
}

#[test]
fn the_props_own_file_is_an_ordinary_text() {
    let (dir, prop, _) = folder(b"ab\xff");
    let at = |name: &str| text(dir.path().join(name));
    assert!(script("mkfifo \"$1\"", &[&at("pipe.prop")]).status.success());
    fs::write(at("large.prop"), "#".repeat(1 << 21)).unwrap();
    for (path, expected, end) in [
        (&prop, "error not-text: ", 1),
        (&at("large.prop"), "error file-too-large: ", 1),
        (&at("pipe.prop"), "error not-a-file: ", 2),
        (&at("."), "error not-a-file: ", 2),
        (&"/dev/zero".to_owned(), "error not-a-file: ", 2),
        (&at("absent.prop"), "error no-such-file: ", 2),
        (&at("no/such/folder.prop"), "error no-such-file: ", 2),
    ] {
        for command in ["build", "check", "fmt"] {
            let done = run(&[command, path]);
            assert_eq!(code(&done), end, "{command} {path}: {done:?}");
            assert!(errors(&done).contains(expected), "{command} {path}: {}", errors(&done));
        }
    }
    // A link to the prop is the maker's own doing; what it uses is looked for where the link stands.
    fs::create_dir(at("inner")).unwrap();
    fs::write(at("inner/jar.prop"), format!("use \"sizes.prop\"\n{GOOD}")).unwrap();
    fs::write(at("sizes.prop"), "let unused = 3 mm\n").unwrap();
    symlink(at("inner/jar.prop"), at("jar.prop")).unwrap();
    assert_eq!(code(&run(&["check", &at("jar.prop")])), 0);
}

#[test]
fn imports_may_go_round_and_each_file_is_read_once() {
    let (dir, prop, out) = folder(format!("use \"sub/a.prop\"\n{GOOD}"));
    let at = |name: &str| dir.path().join(name);
    fs::create_dir(at("sub")).unwrap();
    // A file read twice would have its names twice, which is a fault.
    fs::write(at("sub/a.prop"), "use \"../case.prop\"\nuse \"./a.prop\"\nuse \"../twin.prop\"\nlet one = 3 mm\n")
        .unwrap();
    symlink("sub/a.prop", at("twin.prop")).unwrap();
    for (folder, path) in [
        (dir.path(), prop.as_str()),
        (dir.path(), "case.prop"),
        (dir.path(), "./case.prop"),
        (dir.path(), "sub/../case.prop"),
        (&at("sub"), "../case.prop"),
    ] {
        let done = super::command::tasset(&["build", path, "--out", &out]).current_dir(folder).output().unwrap();
        assert_eq!(code(&done), 0, "{path}: {done:?}");
    }
}

#[test]
fn at_most_64_files_are_read() {
    let (dir, prop, _) = folder(format!("use \"f1.prop\"\n{GOOD}"));
    let write = |last: usize| {
        for i in 1..=last {
            let next = if i < last { format!("use \"f{}.prop\"\n", i + 1) } else { String::new() };
            fs::write(dir.path().join(format!("f{i}.prop")), next).unwrap();
        }
    };
    write(63);
    assert_eq!(code(&run(&["check", &prop])), 0);
    write(64);
    let done = run(&["check", &prop]);
    assert_eq!(code(&done), 1);
    assert_eq!(errors(&done).matches("too-many-files").count(), 1, "{}", errors(&done));
}

/// Starts a build that says nothing.
fn started(prop: &str, out: &str) -> Child {
    std::process::Command::new(PROGRAM)
        // A layout that Ctrl-C cuts short is another one; `nest.rs` does that.
        .args(["build", prop, "--out", out, "--effort", "quick"])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

/// Builds two forms of a prop in turn and stops each at some moment: the folder always holds one of them, whole.
#[test]
fn an_interrupted_build_leaves_nothing_torn() {
    let (dir, prop, out) = folder(GOOD);
    let changed = text(dir.path().join("changed.prop"));
    fs::write(&changed, other()).unwrap();
    let whole: Vec<_> = [&changed, &prop]
        .map(|p| {
            let began = Instant::now();
            assert_eq!(code(&run(&["build", p, "--out", &out, "--effort", "quick"])), 0);
            (all(&out), began.elapsed())
        })
        .into_iter()
        .collect();
    assert!(whole[0].0 != whole[1].0);
    let length = whole[1].1;
    let (mut stopped, mut while_writing) = (0, 0);
    for turn in 0..60_u32 {
        if turn % 10 == 9 {
            fs::remove_dir_all(&out).unwrap();
        }
        let fresh = !Path::new(&out).exists();
        let mut child = started(if turn % 2 == 0 { &changed } else { &prop }, &out);
        let id = child.id().to_string();
        if turn % 3 == 0 {
            // As soon as something is staged.
            let end = Instant::now() + 4 * length;
            while Instant::now() < end && child.try_wait().unwrap().is_none() {
                let staged = fs::read_dir(format!("{out}/jar/cut")).is_ok_and(|entries| {
                    entries.flatten().any(|e| e.file_name().to_str().is_some_and(|n| n.ends_with(".part")))
                });
                if staged {
                    while_writing += 1;
                    break;
                }
            }
        } else {
            std::thread::sleep(length * (turn * 37 % 60) / 50);
        }
        let signal = if turn % 4 == 3 { "-TERM" } else { "-INT" };
        let _ = std::process::Command::new("kill").args([signal, &id]).stderr(Stdio::null()).status();
        let end = child.wait().unwrap();
        stopped += u32::from(!end.success());
        // A signal that comes before the program is ready for it ends it as any other.
        assert!(matches!(end.code(), Some(0 | 130) | None), "{end:?}");
        let found = all(&out);
        assert!(found.iter().all(|(p, _)| !text(p).contains(".part")), "turn {turn}: {:?}", names(&out));
        let torn = found != whole[0].0 && found != whole[1].0 && !(fresh && found.is_empty());
        assert!(!torn, "turn {turn}: {:?}", names(&out));
        if fresh && found.is_empty() {
            assert!(!Path::new(&out).join("jar").exists(), "turn {turn}: an empty folder stays");
            assert_eq!(code(&run(&["build", &prop, "--out", &out, "--effort", "quick"])), 0);
        }
    }
    println!("{stopped} of 60 builds were stopped, {while_writing} while writing");
    assert!(stopped >= 10, "only {stopped} builds were stopped");
    assert!(while_writing >= 5, "only {while_writing} builds were caught while writing");
}

#[test]
fn fmt_lays_out_checks_and_leaves_the_faulty_alone() {
    let (dir, prop, _) = folder("prop  jar{title:\"Jar\",of:foam3}\n");
    let at = |name: &str| text(dir.path().join(name));
    fs::write(at("bad.prop"), "shell {{{").unwrap();
    fs::write(at("second.prop"), "let  a=3 mm").unwrap();
    let done = run(&["fmt", "--check", &prop, &at("bad.prop"), &at("second.prop")]);
    assert_eq!(code(&done), 1);
    assert_eq!(printed(&done), format!("{prop}\n{}\n", at("second.prop")), "the names alone, for a pipe");
    assert!(fs::read_to_string(&prop).unwrap().starts_with("prop  jar{"), "--check changes nothing");
    assert_eq!(code(&run(&["fmt", &prop, &at("bad.prop"), &at("absent.prop"), &at("second.prop")])), 2);
    assert_eq!(fs::read_to_string(at("bad.prop")).unwrap(), "shell {{{");
    assert_eq!(fs::read_to_string(&prop).unwrap(), "prop jar { title: \"Jar\", of: foam3 }\n");
    assert_eq!(fs::read_to_string(at("second.prop")).unwrap(), "let a = 3 mm\n");
    let done = run(&["fmt", "--check", &prop, &at("second.prop")]);
    assert!(code(&done) == 0 && done.stdout.is_empty() && done.stderr.is_empty(), "{done:?}");
    assert_eq!(names(dir.path()).len(), 3, "{:?}", names(dir.path()));
}

#[test]
fn fmt_is_done_at_once_for_every_file_there_is() {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let dir = tempfile::tempdir().unwrap();
    let mut copies = Vec::new();
    for (path, bytes) in all(cases.join("good")).into_iter().chain(all(cases.join("format"))) {
        if path.extension().is_some_and(|e| e == "prop") {
            let copy = dir.path().join(format!("{}-{}", copies.len(), path.file_name().unwrap().to_str().unwrap()));
            fs::write(&copy, bytes).unwrap();
            copies.push(text(copy));
        }
    }
    assert!(copies.len() > 100, "only {} files", copies.len());
    let arguments = |more: &[&'static str]| -> Vec<String> {
        more.iter().map(|m| (*m).to_owned()).chain(copies.iter().cloned()).collect()
    };
    let call = |arguments: Vec<String>| run(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    let done = call(arguments(&["fmt"]));
    assert_eq!(code(&done), 0, "{done:?}");
    let once = all(dir.path());
    let done = call(arguments(&["fmt", "--check"]));
    assert_eq!((code(&done), printed(&done)), (0, String::new()));
    assert_eq!(code(&call(arguments(&["fmt"]))), 0);
    assert!(all(dir.path()) == once);
}

#[test]
fn fmt_keeps_permissions_and_links() {
    let (dir, prop, _) = folder("prop  jar{title:\"Jar\",of:foam3}\n");
    let link = dir.path().join("link.prop");
    symlink("case.prop", &link).unwrap();
    for mode in [0o640, 0o755, 0o400] {
        fs::remove_file(&prop).unwrap();
        fs::write(&prop, "prop  jar{title:\"Jar\",of:foam3}\n").unwrap();
        fs::set_permissions(&prop, fs::Permissions::from_mode(mode)).unwrap();
        assert_eq!(code(&run(&["fmt", link.to_str().unwrap()])), 0);
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::metadata(&prop).unwrap().permissions().mode() & 0o777, mode);
        assert!(fs::read_to_string(&prop).unwrap().starts_with("prop jar {"));
    }
}
