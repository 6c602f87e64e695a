"""Builds are read back by ezdxf, svgelements, shapely and jsonschema, and must agree with each other and the report."""

import pytest

import read_back
from conftest import ROOT, build

EXAMPLES = ["flag-case", "chart-case", "bracers", "sea-horns", "tide-shoulder", "pageant-drum"]


def faults_of(folder):
    read_back.faults.clear()
    read_back.check(folder)
    return list(read_back.faults)


@pytest.mark.parametrize("version", ["r2000", "r12"])
@pytest.mark.parametrize("example", EXAMPLES)
def test_examples_read_back_without_fault(tmp_path, example, version):
    folder, _ = build(ROOT / "examples" / example / f"{example}.prop", tmp_path, "--dxf", version)
    assert faults_of(folder) == []


FORMS = {
    "laminated pair": "shell cuff { of: [foam2, foam3], pair: mirrored, seam: open(facing: right, gap: 30 mm), "
    "at 0 mm: circle(around: 190 mm), at 190 mm: oval(around: 300 mm, ratio: 4:3), measured: inside }",
    "rings": "shell bell { at 0 mm: circle(across: 60 mm), at 80 mm: circle(across: 60 mm), at 150 mm: circle(across: 140 mm) }\n"
    "cap lid on bell.bottom { fit: flush }",
    "square to round": "shell hood { at 0 mm: rectangle(across: 160 mm by 120 mm, corner: 15 mm), at 120 mm: circle(across: 80 mm), seam: lap(overlap: 15 mm) }\n"
    "opening port on hood { shape: rectangle(across: 30 mm by 20 mm, corner: 4 mm), level: 50 mm, facing: front }",
    "cone": "shell spike { at 0 mm: circle(across: 90 mm), at 160 mm: point }",
    "overlay": "shell jar { at 0 mm: circle(across: 90 mm), at 120 mm: circle(across: 90 mm), seam: backed(wide: 25 mm) }\n"
    "cap lid on jar.top { fit: overlay, rim: 25 mm, loose: yes }\ncap base on jar.bottom { fit: inset }",
}


@pytest.mark.parametrize("name", FORMS)
def test_forms_read_back_without_fault(built, name):
    folder, _ = built(f'prop form {{ title: "Form", of: foam5 }}\n{FORMS[name]}\n')
    assert faults_of(folder) == []
