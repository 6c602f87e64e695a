"""Shared by the outside checks: building a prop with the program under test and reading what it wrote."""

import json
import os
import pathlib
import subprocess

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
TASSET = pathlib.Path(os.environ.get("TASSET", ROOT / "target" / "debug" / "tasset"))


def run(*arguments, **keywords):
    """The program with these arguments; its output as text."""
    return subprocess.run([str(TASSET), *map(str, arguments)], capture_output=True, text=True, timeout=600, **keywords)


def build(prop, out, *more):
    """Builds a prop file and gives the folder it wrote and its report; in one pass unless another effort is asked for."""
    effort = [] if "--effort" in more else ["--effort", "quick"]
    done = run("build", prop, "--out", out, *effort, *more)
    assert done.returncode == 0, done.stderr + done.stdout
    [folder] = [p for p in pathlib.Path(out).iterdir() if p.is_dir()]
    return folder, json.loads((folder / "report.json").read_text())


@pytest.fixture
def built(tmp_path):
    """A function: the text of a prop -> (folder, report)."""

    def make(text, *more):
        prop = tmp_path / "case.prop"
        prop.write_text(text)
        return build(prop, tmp_path / "out", *more)

    return make
