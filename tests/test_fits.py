"""Fits: ISO 286 rows against published limits, and which shaft stands in which hole."""

from __future__ import annotations

from csv import DictReader

import pytest
from kits import good_kit

from kitdocs.assembly.design import Design
from kitdocs.mechanism.fits import class_clearance, deviations
from kitdocs.rules.fit_press import fit_press
from kitdocs.rules.fit_running import fit_running

# ISO 286-2 limits in micrometres as published tables print them (H7 and h6 columns seen on
# several; g6 and f7 also from memory), upper/lower, and the clearances that follow.
ROWS = """\
to,H7,H8,h6,g6,f7,H7/g6,H7/f7,H8/f7
3,+10/0,+14/0,0/-6,-2/-8,-6/-16,2..18,6..26,6..30
6,+12/0,+18/0,0/-8,-4/-12,-10/-22,4..24,10..34,10..40
10,+15/0,+22/0,0/-9,-5/-14,-13/-28,5..29,13..43,13..50
18,+18/0,+27/0,0/-11,-6/-17,-16/-34,6..35,16..52,16..61
"""


@pytest.mark.parametrize("row", list(DictReader(ROWS.splitlines())), ids=lambda row: row["to"])
def test_iso_286_rows(row):
    size = float(row.pop("to"))
    for name, written in row.items():
        if "/" in name:
            ends = tuple(int(end) / 1000 for end in written.split(".."))
            assert class_clearance(name, size) == pytest.approx(ends), name
        else:
            upper, lower = (int(end) / 1000 for end in written.split("/"))
            assert deviations(name, size) == pytest.approx((lower, upper)), name


def test_what_no_row_holds_is_unknown():
    assert deviations("H7", 18.1) is None
    assert deviations("js6", 6) is None
    assert class_clearance("H7/js6", 6) is None
    # A size belongs to the row that it ends (ISO 286-1: over 3 up to and including 6).
    assert deviations("H7", 3) == (0, 0.010)
    assert deviations("H7", 3.01) == (0, 0.012)


def test_a_press_class_interferes_at_both_ends():
    # H7/p6 at 6 mm: shaft +20/+12 (from memory), hole +12/0, so 0 … 20 µm of interference.
    assert class_clearance("H7/p6", 6) == pytest.approx((-0.020, 0.0))


PARTS = """\
parts:
  post: {{kind: post, diameter: 6, length: 60, shoulder: 8}}
  pipe: {{kind: pipe, diameter: 8, bore: {pipe}, length: 40{fit}}}
  hub: {{kind: hub, outside: 20, bore: {hub}, length: 5, set-screw: {{thread: M3}}}}
  washer: {{kind: washer, outside: 12, bore: {washer}, thickness: 0.5}}
  plate: {{kind: plate, outside: 100, thickness: 8, holes: [{{count: 1, size: {plate}}}]}}
fasteners: [ISO 4026 M3 x 6]
"""
MECHANISM = """\
crank: pipe
axes: {post: {at: [0, 0]}}
arbors:
  frame: {fixed: true, stack: [{plate: plate}]}
  post: {axis: post, part: post, fixed: true, stands-on: plate, stack: [{washer: washer}]}
  pipe: {axis: post, part: pipe, runs-on: post, stands-on: washer, stack: [{hub: hub}]}
held: {hub: {to: pipe, by: ISO 4026 M3 x 6}, post: {to: plate, by: press}}
"""


def found(tmp_path, mechanism=MECHANISM, **sizes):
    sound = {"pipe": 6.05, "hub": 8.02, "washer": 6.1, "plate": 5.98, "fit": ""}
    kit = good_kit(tmp_path, mechanism=mechanism, parts=PARTS.format(**{**sound, **sizes}))
    design = Design(kit)
    return [f.message for rule in (fit_running, fit_press) for f in rule.check(design)]


def test_sound_fits(tmp_path):
    assert found(tmp_path) == []


@pytest.mark.parametrize(
    ("sizes", "message"),
    [  # each size a step outside what a clockmaker would leave (common practice)
        ({"pipe": 6.0}, "post (6 mm) in pipe (6 mm) has a clearance of 0 mm"),
        ({"pipe": 5.5}, "post (6 mm) in pipe (5.5 mm) has a clearance of −0.5 mm"),
        ({"pipe": 6.2}, "post (6 mm) in pipe (6.2 mm) has a clearance of 0.2 mm"),
        ({"hub": 7.98}, "pipe (8 mm) in hub (7.98 mm) has a clearance of −0.02 mm"),
        ({"hub": 8.2}, "pipe (8 mm) in hub (8.2 mm) has a clearance of 0.2 mm"),
        ({"washer": 5.9}, "post (6 mm) in washer (5.9 mm) has a clearance of −0.1 mm"),
        ({"washer": 7.5}, "post (6 mm) in washer (7.5 mm) has a clearance of 1.5 mm"),
        ({"plate": 6.0}, "post (6 mm) in plate (6 mm) has an interference of 0 mm"),
        ({"plate": 5.8}, "post (6 mm) in plate (5.8 mm) has an interference of 0.2 mm"),
        ({"pipe": 6.1, "fit": ", fit: H7/g6"}, "one nominal size for H7/g6"),
        ({"pipe": 6, "fit": ", fit: H7/p6"}, "clearance at both ends"),
        ({"pipe": 6, "fit": ", fit: H7/js6"}, "no limits are known here for H7/js6"),
    ],
)
def test_fits_that_do_not_hold(tmp_path, sizes, message):
    (only,) = found(tmp_path, **sizes)
    assert message.replace(" mm", "\u00a0mm") in only


def test_a_fit_by_class_needs_no_clearance_in_millimetres(tmp_path):
    assert found(tmp_path, pipe=6, fit=", fit: H7/g6") == []


def test_a_press_fit_needs_a_hole_where_its_axis_stands(tmp_path):
    (only,) = found(
        tmp_path,
        mechanism=MECHANISM.replace("post: {to: plate, by: press}", "post: {to: hub, by: press}"),
        hub=5.98,
    )
    assert "pipe\u00a0" not in only
    assert "pipe (8\u00a0mm) in hub (5.98\u00a0mm)" in only


def test_wood_takes_any_interference(tmp_path):
    soft = MECHANISM  # the plate is of ply: a press fit in wood has no greatest interference
    kit = good_kit(
        tmp_path,
        mechanism=soft,
        parts=PARTS.format(pipe=6.05, hub=8.02, washer=6.1, plate=5.8, fit="").replace(
            "thickness: 8", "thickness: 8, material: birch ply"
        ),
    )
    assert list(fit_press.check(Design(kit))) == []
