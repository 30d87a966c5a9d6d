"""Clashes: against every pair compared with every other, against turning arms, and by hand."""

from __future__ import annotations

from itertools import combinations
from math import cos, dist, pi, sin

import pytest
from big_kit import big_kit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from kits import good_kit

from kitdocs.assembly.design import Design
from kitdocs.kit.reader import read_kit
from kitdocs.mechanism.clashes import CLASH_LIMITS, Judge, clashes
from kitdocs.mechanism.near_pairs import near_pairs
from kitdocs.mechanism.rigid import Rigid
from kitdocs.rules.arm_sweep import arm_sweep
from kitdocs.rules.mesh_foul import mesh_foul
from kitdocs.rules.screw_head import screw_head
from kitdocs.survey import survey

WANTED = {"mesh-foul": 0.3, "arm-sweep": 1.0, "screw-head": 0.3, "screw-bottom-gap": 0.3}

sizes = st.integers(1, 40)
spots = st.integers(-40, 40)


def random_machine(draw) -> tuple[str, str]:
    """Posts, arms that carry posts that carry arms, and discs on them at random heights."""
    parts = ["  base: {kind: plate, outside: 60, thickness: 3}"]
    axes, arbors = ["  crank: {at: [0, 0]}"], ["  crank: {axis: crank}"]
    names = ["crank"]
    for n in range(draw(st.integers(2, 9))):
        carrier = draw(st.sampled_from([None, *names]))
        if carrier is None:
            axes.append(f"  x{n}: {{at: [{draw(spots)}, {draw(spots)}]}}")
        else:
            bearing = draw(st.sampled_from([0, 90, 180]))
            distance = draw(sizes)
            axes.append(f"  x{n}: {{carried-by: {carrier}, distance: {distance}, "
                        f"bearing: {bearing}}}")  # fmt: skip
        stack = []
        for k in range(draw(st.integers(1, 3))):
            part = f"p{n}-{k}"
            kind = draw(st.sampled_from(["spacer", "arm", "ball", "wheel"]))
            size, high = draw(sizes), draw(st.integers(1, 6))
            shape = {
                "spacer": f"outside: {size}, length: {high}",
                "arm": f"reach: {size}, thickness: {high}, hub: 4",
                "ball": f"diameter: {size}",
                "wheel": f"teeth: {size + 5}, module: 1, face: {high}",
            }[kind]
            parts.append(f"  {part}: {{kind: {kind}, {shape}}}")
            stack.append(f"{{i{n}-{k}: {part}}}")
        fixed = draw(st.booleans())
        arbors.append(
            f"  a{n}: {{axis: x{n}, stands-on: base, fixed: {str(fixed).lower()}, "
            f"stack: [{', '.join(stack)}]}}"
        )
        names.append(f"a{n}")
    mechanism = "\n".join(
        ["crank: crank", "axes:", *axes, "arbors:",
         "  frame: {fixed: true, stack: [{base: base}]}", *arbors]
    )  # fmt: skip
    return "\n".join(["parts:", *parts]) + "\n", mechanism + "\n"


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=60,
    deadline=None,
)
@given(data=st.data())
def test_the_sweep_finds_what_comparing_every_pair_finds(tmp_path, data):
    parts, mechanism = random_machine(data.draw)
    design = Design(good_kit(tmp_path, parts=parts, mechanism=mechanism))
    judge = Judge(design.kit, design.rigid, WANTED)
    placed = [s for s in design.solids if s.kind == "plate" or design.rigid.chain(s.arbor)]
    brute = {frozenset((c.a, c.b)) for a, b in combinations(placed, 2) if (c := judge.clash(a, b))}
    swept = clashes(design.kit, design.solids, design.rigid, WANTED)
    assert {frozenset((c.a, c.b)) for c in swept} == brute
    assert len(swept) == len(brute)


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None
)
@given(data=st.data())
def test_distances_are_those_of_arms_turned_by_hand(tmp_path, data):
    parts, mechanism = random_machine(data.draw)
    kit = good_kit(tmp_path, parts=parts, mechanism=mechanism)
    rigid = Rigid(kit, Design(kit).positions)
    names = [name for name in kit.arbors if kit.arbors[name].axis]
    bodies = sorted({rigid.body(name) for name in names} - {""})
    low = {}
    for turn in range(200):
        # Every body at its own angle; the golden ratio spreads them well.
        angle = {body: 2 * pi * ((turn * (0.618 + 0.137 * k)) % 1) for k, body in enumerate(bodies)}
        at = {name: spot(kit, rigid, name, angle) for name in names}
        for a, b in combinations(names, 2):
            least, most = rigid.distances(a, b)
            apart = dist(at[a], at[b])
            assert least - 1e-6 <= apart <= most + 1e-6
            low[a, b] = min(low.get((a, b), apart), apart)
    for (a, b), nearest in low.items():
        least, most = rigid.distances(a, b)
        assert nearest - least <= 0.6 * (most - least) + 1e-6  # the bound is not idle


def spot(kit, rigid, arbor, angle):
    """Where an arbor's axis stands when each rigid body has turned by its angle."""
    axis = kit.axes[kit.arbors[arbor].axis]
    if axis.carried_by is None:
        return axis.at
    x, y = spot(kit, rigid, axis.carried_by, angle)
    turned = angle.get(rigid.body(axis.carried_by), 0.0) + axis.bearing * pi / 180
    return x + axis.distance * cos(turned), y + axis.distance * sin(turned)


def test_near_pairs_leave_far_ones_out(tmp_path):
    folder = big_kit(tmp_path, 400)
    kit = read_kit(tmp_path, folder, folder.parent).kit
    design = Design(kit)
    pairs = list(near_pairs(kit, design.solids, design.rigid, 1.0))
    assert len({frozenset((id(a), id(b))) for a, b in pairs}) == len(pairs)
    # All pairs would be some 80,000; a row's arbors meet their neighbours only.
    assert len(pairs) < 25 * len(design.solids)


def test_a_big_kit_is_sound(tmp_path):
    big_kit(tmp_path, 200)
    assert survey(tmp_path, tmp_path / "content").findings == []


MACHINE = """\
crank: a
axes:
  a: {at: [0, 0]}
  b: {at: [%s, 0]}
arbors:
  frame: {fixed: true, stack: [{base: base}]}
  a: {axis: a, stands-on: base, stack: [{one: %s}]}
  b: {axis: b, stands-on: base, stack: [{two: %s}]}
"""
PARTS = """\
parts:
  base: {kind: plate, outside: 400, thickness: 5}
  wheel-60: {kind: wheel, teeth: 60, module: 1, face: 3}
  wheel-30: {kind: wheel, teeth: 30, module: 1, face: 3}
  ring: {kind: ring-wheel, teeth: 90, module: 1, face: 3, outside: 110}
  post: {kind: spacer, outside: 4, length: 20}
  arm: {kind: arm, reach: 40, thickness: 3, hub: 8}
  ball: {kind: ball, diameter: 20}
"""


def messages(tmp_path, distance, one, two, rule=mesh_foul, mechanism=MACHINE):
    kit = good_kit(tmp_path, parts=PARTS, mechanism=mechanism % (distance, one, two))
    return [f.message for f in rule.check(Design(kit))]


def test_a_tip_circle_that_fouls_a_post(tmp_path):
    # Case: 60 teeth of module 1 have tips at 62 mm; a 4 mm post 31 mm away is 2 mm inside them.
    (only,) = messages(tmp_path, 31, "wheel-60", "post")
    assert only.startswith("one and two overlap by 2\u00a0mm at a height of 6.5\u00a0mm")
    assert messages(tmp_path, 33.2, "wheel-60", "post")  # 0.2 mm of gap, 0.3 wanted
    assert messages(tmp_path, 33.3, "wheel-60", "post") == []


def test_wheels_that_touch_like_a_pair_may_be_one(tmp_path):
    (only,) = messages(tmp_path, 45.05, "wheel-60", "wheel-30")  # 60 and 30 teeth mesh at 45 mm
    assert only.endswith("Write them under `meshes`, if they are to mesh.")
    (only,) = messages(tmp_path, 46.5, "wheel-60", "wheel-30")
    assert "meshes" not in only


def test_arms_and_balls_want_more_room(tmp_path):
    # The arm's end is rounded beyond its reach by a quarter of its boss: 42 mm.
    assert messages(tmp_path, 44.9, "arm", "post", arm_sweep)
    assert messages(tmp_path, 45.1, "arm", "post", arm_sweep) == []
    # A ball of 20 mm is 20 high; the wheel beside it ends 7 mm below its middle: √(10² − 7²).
    assert messages(tmp_path, 31 + 7.15 + 0.9, "wheel-60", "ball", arm_sweep)
    assert messages(tmp_path, 31 + 7.15 + 1.1, "wheel-60", "ball", arm_sweep) == []


def test_a_wheel_inside_a_ring_wheel(tmp_path):
    # 90 teeth inside have tips at 88 mm: a 32 mm wheel 27 mm off centre comes to 43 of 44 mm.
    assert messages(tmp_path, 27.6, "ring", "wheel-30") == []
    (only,) = messages(tmp_path, 27.9, "ring", "wheel-30")
    assert "within 0.1\u00a0mm" in only


NESTED = """\
crank: outer
axes:
  post: {at: [0, 0]}
  carried: {carried-by: outer, distance: 40}
  moon: {carried-by: inner, distance: %s}
  wall: {at: [70, 0]}
arbors:
  frame: {fixed: true, stack: [{base: base}]}
  outer: {axis: post, stands-on: base, stack: [{outer-arm: arm}]}
  inner: {axis: carried, stands-on: outer-arm, stack: [{gap: thin}, {inner-arm: short-arm}]}
  moon: {axis: moon, fixed: true, stands-on: inner-arm, stack: [{moon-ball: ball}]}
  wall: {axis: wall, fixed: true, stands-on: base, stack: [{wall: tall}]}
"""


@pytest.mark.parametrize(("distance", "sound"), [(16.5, True), (17.5, False)])
def test_a_moon_on_an_arm_on_an_arm(tmp_path, distance, sound):
    # 40 + 17 + the moon's radius of 10 comes within 1 mm of a wall whose face is at 68 mm.
    parts = PARTS + (
        "  thin: {kind: spacer, outside: 6, length: 2}\n"
        "  short-arm: {kind: arm, reach: 10, thickness: 3, hub: 6}\n"
        "  tall: {kind: pillar, outside: 4, length: 60}\n"
    )
    kit = good_kit(tmp_path, parts=parts, mechanism=NESTED % distance)
    found = [f.message for f in arm_sweep.check(Design(kit))]
    assert (found == []) is sound, found
    assert sound or "moon-ball and wall" in found[0]


HEADS = """\
crank: low
axes: {post: {at: [0, 0]}}
arbors:
  frame: {fixed: true, stack: [{base: base}]}
  low: {axis: post, stands-on: base, stack: [{hub: hub}, {wheel: wheel}, {under: %s}]}
  high: {axis: post, stands-on: under, stack: [{cover: wheel}]}
held: {wheel: {to: hub, by: M2.5 x 6, holes: [1, 2, 3]}}
"""
HEAD_PARTS = """\
parts:
  base: {kind: plate, outside: 400, thickness: 5}
  hub: {kind: hub, outside: 22, bore: 6, length: 6, holes: [{count: 3, circle: 16, thread: M2.5}]}
  wheel: {kind: wheel, teeth: 60, module: 1, face: 2, bore: 6,
          holes: [{count: 3, circle: 16, size: 2.9}]}
  low-washer: {kind: spacer, outside: 10, bore: 6, length: 2.3}
  high-washer: {kind: spacer, outside: 10, bore: 6, length: 2.4}
  wide-washer: {kind: spacer, outside: 14, bore: 6, length: 3}
fasteners: [ISO 7045 M2.5 x 6]
"""


@pytest.mark.parametrize(
    ("under", "message"),
    [  # ISO 7045 M2.5: head 5.0 mm across and 2.1 mm high, here on a circle of 16 mm
        ("high-washer", None),
        ("low-washer", "the screw heads of wheel come within 0.2\u00a0mm of each other"),
        ("wide-washer", "the screw heads of wheel overlap by 1.5\u00a0mm"),
    ],
)
def test_screw_heads_under_what_turns(tmp_path, under, message):
    kit = good_kit(tmp_path, parts=HEAD_PARTS, mechanism=HEADS % under)
    found = [f.message for f in screw_head.check(Design(kit))]
    if message is None:
        assert found == []
    else:
        assert len(found) == 1 and "the screw heads of wheel" in found[0]
        assert message.rpartition("wheel ")[2] in found[0]


def test_the_limits_of_clashes_are_the_ones_used_here():
    assert set(CLASH_LIMITS) == set(WANTED)
