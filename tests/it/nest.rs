//! The layout of whole props, as `--effort` makes it: never worse than one pass, better where anything can be gained,
//! the same every time, and ended by whoever waits.

use std::collections::BTreeMap;
use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::command::{PROGRAM, all, code, errors, folder, printed, run, script};
use crate::memory::Folder;
use serde_json::Value;
use tasset::pipeline::{self, DxfVersion, Effort, LayoutOptions, Moment, OutFile, Template};

/// The net mender's bracers (B2 of the briefs), on sheets that hold both or just not.
const BRACERS: &str = "prop bracers { title: \"Net mender's bracers\", of: foam4 }
stock foam4 { as: foam, thick: 4 mm, size: 500 mm by 1000 mm, density: 100 kg/m3, stretch: 8 %, have: 1 }
shell cuff { pair: mirrored, seam: open(gap: 30 mm), at 0 mm: circle(around: 210 mm), at 190 mm: circle(around: 324 mm) }
";

/// A prop of many pieces.
const LANTERNS: &str = "prop lanterns { title: \"A string of lanterns\", of: foam3 }
stock foam3 { as: foam, thick: 3 mm, size: 300 mm by 900 mm, stretch: 8 % }
shell a { at 0 mm: circle(across: 40 mm), at 90 mm: circle(across: 90 mm) }
shell b { at 0 mm: circle(across: 50 mm), at 120 mm: circle(across: 80 mm) }
shell c { at 0 mm: circle(across: 70 mm), at 60 mm: circle(across: 30 mm) }
cap al on a.top { fit: flush }
cap bl on b.top { fit: flush }
cap cl on c.bottom { fit: flush }
";

fn example(name: &str) -> Folder {
    let at = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    let read = |file: String| std::fs::read_to_string(format!("{at}/{file}")).unwrap();
    let own = ["workshop.prop", "crew.prop"].map(|f| (f.to_owned(), read(f.to_owned())));
    Folder(own.into_iter().chain([("prop.prop".to_owned(), read(format!("{name}.prop")))]).collect::<BTreeMap<_, _>>())
}

fn built(mut folder: Folder, layout: LayoutOptions) -> Vec<OutFile> {
    let options = pipeline::Options {
        sets: Vec::new(),
        wearer: None,
        stl: false,
        dxf: DxfVersion::R2000,
        template: Template::Outside,
        mock_up: None,
        layout,
    };
    let built = pipeline::build(&mut folder, "prop.prop", &options);
    assert!(!built.files.is_empty(), "{:?}", built.diagnostics);
    built.files
}

fn report(files: &[OutFile]) -> Value {
    serde_json::from_slice(&files.last().unwrap().bytes).unwrap()
}

/// The layouts of the stocks that pieces are cut from.
fn layouts(report: &Value) -> Vec<&Value> {
    report["stocks"].as_array().unwrap().iter().map(|s| &s["layout"]).filter(|l| !l.is_null()).collect()
}

fn extent(layout: &Value) -> (u64, f64) {
    (layout["sheets"].as_u64().unwrap(), layout["top"].as_f64().unwrap())
}

/// Enough for six pieces.
fn longer(moment: &Moment<'_>) -> bool {
    moment.steps < 120_000
}

fn shorter(moment: &Moment<'_>) -> bool {
    moment.steps < 25_000
}

#[test]
fn props_lie_no_worse_than_in_one_pass_and_better_where_they_can() {
    let bracers = || Folder::of(BRACERS);
    let lanterns = || Folder::of(LANTERNS);
    let cases: [(&str, &dyn Fn() -> Folder); 4] = [
        ("flag case", &|| example("flag-case")),
        ("chart case", &|| example("chart-case")),
        ("bracers", &bracers),
        ("lanterns", &lanterns),
    ];
    for (name, prop) in cases {
        let watch: fn(&Moment<'_>) -> bool = if name == "lanterns" { longer } else { shorter };
        let searched = report(&built(prop(), LayoutOptions { effort: Effort::Normal, watch: Some(watch) }));
        let plain = report(&built(prop(), LayoutOptions::QUICK));
        assert!(!layouts(&searched).is_empty());
        let (mut gained, mut settled) = (false, true);
        for (found, one) in layouts(&searched).into_iter().zip(layouts(&plain)) {
            let (now, then) = (extent(found), extent(&found["one_pass"]));
            assert_eq!(then, extent(one), "{name}: the pass it says it began from is the one made alone");
            println!("{name}: {then:?} in one pass, {now:?} after {} steps ({})", found["steps"], found["ended"]);
            let better = now.0 < then.0 || now.0 == then.0 && now.1 < then.1 - 1.0;
            assert!(better || now.0 == then.0 && now.1 <= then.1, "{name}: {found}");
            gained |= better;
            settled &= found["ended"] == "best";
        }
        // `best` means that no layout is a millimetre lower: then, and only then, nothing need be gained.
        assert!(gained || settled, "{name}");
    }
}

#[test]
fn the_same_prop_gives_the_same_bytes_whoever_builds_it() {
    let make = || built(Folder::of(LANTERNS), LayoutOptions { effort: Effort::Normal, watch: Some(shorter) });
    let first = make();
    let others = std::thread::scope(|s| {
        let all: Vec<_> = (0..2).map(|_| s.spawn(make)).collect();
        all.into_iter().map(|t| t.join().unwrap()).collect::<Vec<_>>()
    });
    assert!(others.iter().all(|o| *o == first));
}

/// Waits for a build to end with a code; one that hangs is ended, and the test fails.
fn ended(child: &mut std::process::Child) -> Option<i32> {
    let end = Instant::now() + Duration::from_secs(120);
    while Instant::now() < end {
        if let Some(status) = child.try_wait().unwrap() {
            return status.code();
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    let _ = child.kill();
    panic!("it hangs");
}

#[test]
fn ctrl_c_keeps_the_best_layout_so_far_and_writes_it() {
    let (_dir, prop, out) = folder(LANTERNS);
    let mut cut_short = 0;
    // The search of `long` takes far longer than any of these waits, whenever it begins.
    for wait in [1500, 3000, 6000] {
        let mut child = std::process::Command::new(PROGRAM)
            .args(["build", &prop, "--out", &out, "--effort", "long"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(wait));
        let id = child.id().to_string();
        assert!(std::process::Command::new("kill").args(["-INT", &id]).status().unwrap().success());
        let end = ended(&mut child);
        if end != Some(0) {
            // It came before the layout began: that ends the program, as at any other time, and nothing is written.
            assert!(matches!(end, Some(130) | None), "{end:?}");
            assert!(all(&out).is_empty());
            continue;
        }
        cut_short += 1;
        let said = std::io::read_to_string(child.stdout.take().unwrap()).unwrap();
        assert!(said.contains("the layout was cut short"), "{said}");
        let files = all(&out);
        let (_, report) = files.iter().find(|(p, _)| p.ends_with("report.json")).unwrap();
        let report: Value = serde_json::from_slice(report).unwrap();
        let layout = layouts(&report)[0];
        assert_eq!(layout["ended"], "stopped");
        assert!(extent(layout) <= extent(&layout["one_pass"]));
        assert_eq!(report["audit"]["passed"], true);
        assert_eq!(report["files"].as_array().unwrap().len(), files.len());
    }
    assert!(cut_short >= 1, "no wait was long enough");
}

#[test]
fn effort_is_a_choice_of_three_and_quick_searches_nothing() {
    let (_dir, prop, out) = folder(LANTERNS);
    let done = run(&["build", &prop, "--out", &out, "--effort", "hard"]);
    assert_eq!(code(&done), 2);
    assert!(errors(&done).contains("[possible values: quick, normal, long]"), "{}", errors(&done));
    let done = run(&["build", &prop, "--out", &out, "--effort", "quick"]);
    assert_eq!((code(&done), errors(&done).as_str()), (0, ""), "no progress is shown where no terminal is");
    assert!(printed(&done).contains("foam3: 1 whole sheet needed, 1 to buy; 300 mm by"), "{}", printed(&done));
    let report: Value = serde_json::from_slice(&std::fs::read(format!("{out}/lanterns/report.json")).unwrap()).unwrap();
    assert_eq!((&layouts(&report)[0]["steps"], &layouts(&report)[0]["ended"]), (&0.into(), &"one pass".into()));
}

/// A terminal of `script` (util-linux), where there is one: the line of progress comes, and goes again.
#[test]
fn progress_is_shown_on_a_terminal_and_wiped_out() {
    let (_dir, prop, out) = folder(BRACERS);
    if !script("command -v script", &[]).status.success() {
        println!("no `script` here: not tested");
        return;
    }
    let done = script("script -qec \"'$0' build '$1' --out '$2'\" /dev/null", &[&prop, &out]);
    let said = printed(&done);
    assert!(said.contains("laying out foam4: ") && said.contains("1 sheet, "), "{said:?}");
    let (before, after) = said.rsplit_once("\r\u{1b}[K").unwrap();
    assert!(before.contains("laying out") && !after.contains("laying out"), "{said:?}");
    assert!(after.contains("none to buy"), "{said:?}");
}
