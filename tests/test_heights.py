"""Heights against sums done by hand and by brute force."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from kits import good_kit

from kitdocs.mechanism.heights import Span, heights

PARTS = """
parts:
  foot: {kind: foot, outside: 12, length: 20}
  plate: {kind: plate, thickness: 6, outside: 200}
  post: {kind: post, diameter: 6, length: 100, shoulder: 4}
  pipe: {kind: pipe, diameter: 8, bore: 6.05, length: 60}
  wheel: {kind: wheel, teeth: 40, module: 0.8, face: 2, bore: 8}
  hub: {kind: hub, outside: 22, bore: 8, length: 6.5}
  washer: {kind: washer, outside: 10, bore: 6, thickness: 0.5}
  arm: {kind: arm, reach: 60, thickness: 3, hub: 12, bore: 8}
  ball: {kind: ball, diameter: 9}
  stub: {kind: arbor, diameter: 3, length: 15}
  rod: {kind: arbor, diameter: 6, length: 50, shoulder: 10}
fasteners: [ISO 7089 M3]
"""

MECHANISM = """
crank: crank
axes:
  post: {at: [0, 0]}
  moon-axis: {carried-by: earth, distance: 50}
  level: {at: [0, -90], lies: level, bearing: 270}
arbors:
  moon: {axis: moon-axis, part: stub, stands-on: arm, stack: [{moon-ball: ball}]}
  earth:
    axis: post
    part: pipe
    stands-on: post-washer
    runs-on: post
    stack: [{earth-hub: hub}, {earth-wheel: wheel}]
    end-stack: [{arm-washer: ISO 7089 M3}, {arm: arm}]
  post: {axis: post, part: post, fixed: true, stands-on: base, stack: [{post-washer: washer}]}
  frame: {fixed: true, stack: [{foot-a: foot, foot-b: foot, low: washer}, {base: plate}]}
  crank: {axis: level, part: rod, stack: [{crank-hub: hub}], end-stack: [{crank-wheel: wheel}]}
  adrift: {axis: post, part: stub, stack: [{adrift-wheel: wheel}]}
  bare: {axis: post, stands-on: base, stack: [{bare-wheel: wheel}], end-stack: [{cap: washer}]}
  round: {axis: post, part: stub, stands-on: ring, stack: [{top: washer}]}
  about: {axis: post, part: stub, stands-on: top, stack: [{ring: washer}]}
  on-crank: {axis: post, part: stub, stands-on: crank-hub}
"""


@pytest.fixture
def found(tmp_path):
    return heights(good_kit(tmp_path, mechanism=MECHANISM, parts=PARTS))


def test_each_stack_stands_on_what_its_arbor_stands_on(found):
    # By hand: feet 20, base to 26; post's shoulder 4 above its lower end; washer to 26.5; pipe to
    # 86.5 with the arm flush at its top and a 0.5 mm washer (ISO 7089) under the arm.
    by_hand = {
        "foot-a": (0, 20),
        "foot-b": (0, 20),
        "low": (0, 0.5),
        "base": (20, 26),
        "post": (22, 122),
        "post-washer": (26, 26.5),
        "earth": (26.5, 86.5),
        "earth-hub": (26.5, 33),
        "earth-wheel": (33, 35),
        "arm": (83.5, 86.5),
        "arm-washer": (83, 83.5),
        "moon": (86.5, 101.5),
        "moon-ball": (86.5, 95.5),
        "bare-wheel": (26, 28),
    }
    assert set(found.spans) == set(by_hand)
    for item, (bottom, top) in by_hand.items():
        span = found.spans[item]
        assert (span.bottom, span.top) == pytest.approx((bottom, top)), item


def test_level_arbors_are_measured_along_themselves(found):
    assert found.level == {
        "crank": Span(-10, 40),
        "crank-hub": Span(0, 6.5),
        "crank-wheel": Span(38, 40),
    }
    assert found.of("crank-hub") == Span(0, 6.5)
    assert found.of("cap") is None


def test_arbors_without_a_datum_are_named(found):
    # Nothing to stand on; no shaft to be flush with; round in a circle; on a level arbor.
    assert found.unknown == ("adrift", "bare", "round", "about", "on-crank")


tenths = st.integers(1, 200).map(lambda n: n / 10)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None
)
@given(
    levels=st.lists(st.lists(tenths, min_size=1, max_size=3), min_size=1, max_size=7),
    where=st.sampled_from(["stack", "end-stack"]),
)
def test_stack_heights_equal_a_brute_force_sum(tmp_path, levels, where):
    parts, stack, names = [], [], {}
    for i, level in enumerate(levels):
        for k, height in enumerate(level):
            names[f"i{i}-{k}"] = (i, height)
            parts.append(f"  p{i}-{k}: {{kind: spacer, outside: 9, length: {height}}}")
        stack.append("{" + ", ".join(f"i{i}-{k}: p{i}-{k}" for k in range(len(level))) + "}")
    kit = good_kit(
        tmp_path,
        parts="parts:\n  rod: {kind: arbor, diameter: 6, length: 900, shoulder: 7}\n"
        "  plate: {kind: plate, thickness: 6}\n" + "\n".join(parts),
        mechanism="crank: c\naxes: {c: {at: [0, 0]}}\narbors:\n"
        "  c: {axis: c, part: rod, stands-on: base, " + where + ": [" + ", ".join(stack) + "]}\n"
        "  frame: {fixed: true, stack: [{base: plate}]}\n",
    )
    spans = heights(kit).spans
    for item, (i, height) in names.items():
        if where == "stack":
            bottom = 6 + sum(max(level) for level in levels[:i])
        else:
            bottom = 6 - 7 + 900 - sum(max(level) for level in levels[i:])
        assert spans[item].bottom == pytest.approx(bottom)
        assert spans[item].height == pytest.approx(height)
