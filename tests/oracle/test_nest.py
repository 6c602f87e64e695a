"""Layouts of random props, looked at by shapely: borders, gaps, goods, counts; and never worse than one pass."""

import random

import pytest

import read_back
from conftest import build

STOCKS = {
    "roll": "wide: 420 mm, grain: along",
    "grain": "size: 420 mm by 600 mm, grain: either",
    "offcuts": "size: 400 mm by 500 mm, have: 1, offcuts: [330 mm by 300 mm, 120 mm by 130 mm]",
}


def prop(seed, goods):
    """A few shells and caps of random sizes, of one stock."""
    dice = random.Random(seed)
    text = f'prop many {{ title: "Many", of: goods }}\nstock goods {{ as: foam, thick: 2 mm, stretch: 10 %, {STOCKS[goods]} }}\n'
    for k in range(3):
        low, high, tall = (dice.randrange(40, 95), dice.randrange(40, 95), dice.randrange(50, 140))
        text += f"shell s{k} {{ at 0 mm: circle(across: {low} mm), at {tall} mm: circle(across: {high} mm) }}\n"
        text += f"cap c{k} on s{k}.bottom {{ fit: inset }}\n"
    return text


@pytest.mark.parametrize("goods", STOCKS)
def test_random_props_lie_legally(tmp_path, goods):
    file = tmp_path / "case.prop"
    file.write_text(prop(len(goods), goods))
    quick = build(file, tmp_path / "quick")[1]
    folder, report = build(file, tmp_path / "out", "--effort", "normal")
    read_back.faults.clear()
    read_back.check(folder)
    assert read_back.faults == []

    [stock] = report["stocks"]
    laid = sorted(p["piece"] for s in report["sheets"] for p in s["placed"])
    assert laid == sorted(p["name"] for p in report["pieces"]), "every piece lies once"
    used = [(s["from"], s["from_number"]) for s in report["sheets"]]
    assert used == sorted(used, key=lambda u: (u[0] != "offcut", u[1] or 0)), "offcuts come first"
    assert len(set(used)) == len(used), "whole sheets and offcuts are used once"
    for sheet in report["sheets"]:
        whole = stock["offcuts"][sheet["from_number"] - 1] if sheet["from"] == "offcut" else stock["size"]
        assert sheet["size"][: len(whole)] == whole
    whole = sum(u[0] == "sheet" for u in used)
    layout = stock["layout"]
    assert layout["whole"] == whole and stock["buy"] == (None if goods == "roll" else max(0, whole - stock["have"]))

    one = quick["stocks"][0]["layout"]
    assert layout["one_pass"] == {"sheets": one["sheets"], "top": one["top"]} == one["one_pass"]
    assert (layout["sheets"], layout["top"]) <= (one["sheets"], one["top"])
    area, full = stock["area"], sum(s["size"][0] * s["size"][1] for s in report["sheets"])
    assert abs(layout["used"] - area / full) < 1e-6
    if goods in ("roll", "grain"):
        # Grain along leaves half turns, grain either way quarter turns, between this layout and the plain one.
        step = 180 if goods == "roll" else 90
        turns = [{p["piece"]: p["turn"] for s in r["sheets"] for p in s["placed"]} for r in (quick, report)]
        off = {name: turns[0][name] - turn for name, turn in turns[1].items()}
        assert all(abs(d - step * round(d / step)) < 1e-3 for d in off.values()), off
