"""Contact and backlash against handbook pairs, a numeric contact line, and sums done by hand."""

from __future__ import annotations

from math import acos, cos, degrees, hypot, pi, radians, sin, tan

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from kits import good_kit

from kitdocs.assembly.design import Design
from kitdocs.mechanism.contact import contact_ratio, mesh_backlash, overlap_share
from kitdocs.mechanism.gears import Gear, GearPair


@pytest.mark.parametrize(
    ("teeth", "ratio"),
    [((20, 40), 1.635190), ((30, 60), 1.719110), ((25, 50), 1.683160), ((17, 17), 1.514800),
     ((100, 100), 1.852510)],
)  # fmt: skip
def test_contact_ratio_at_the_distance_that_a_pair_needs(teeth, ratio):
    # Computed independently at 20° without shift (reference table of involute geometry).
    pair = GearPair(Gear(teeth[0], 1), Gear(teeth[1], 1))
    assert pair.contact_ratio_at(pair.centre_distance) == pytest.approx(ratio, abs=5e-6)


def test_contact_ratio_of_handbook_pairs():
    # Handbook examples of a shifted and of an internal pair, module 3 mm, 20°.
    shifted = GearPair(Gear(12, 3, shift=0.6), Gear(24, 3, shift=0.36))
    assert shifted.contact_ratio_at(shifted.centre_distance) == pytest.approx(1.202, abs=5e-4)
    internal = GearPair(Gear(16, 3), Gear(24, 3, shift=0.5, internal=True))
    at = internal.centre_distance
    assert internal.contact_ratio_at(at) == pytest.approx(1.679495, abs=1e-6)


def simulated_ratio(pair: GearPair, distance: float) -> float:
    """Walk along the line of action of an external pair: where is it inside both tips?"""
    base = pair.a.base_diameter / 2, pair.b.base_diameter / 2
    tips = [tip / 2 for tip in pair.tip_diameters]
    alpha = acos((base[0] + base[1]) / distance)
    # Wheel a at the origin, b at (distance, 0); the line passes the pitch point at its angle.
    pitch_point = distance * pair.a.teeth / (pair.a.teeth + pair.b.teeth)
    direction = (sin(alpha), cos(alpha))
    step, length = 0.001, 0.0
    reach = 4 * pair.a.module
    for n in range(int(-reach / step), int(reach / step)):
        x, y = pitch_point + n * step * direction[0], n * step * direction[1]
        if hypot(x, y) <= tips[0] and hypot(x - distance, y) <= tips[1]:
            length += step
    return length / (pi * pair.a.module * cos(radians(pair.a.pressure_angle)))


@given(
    st.integers(18, 60), st.integers(18, 90), st.sampled_from([0.0, 0.1, 0.3]), st.floats(0, 0.1)
)
def test_contact_ratio_equals_a_walk_along_the_contact_line(first, second, shift, beyond):
    pair = GearPair(Gear(min(first, second), 1, shift=shift), Gear(max(first, second), 1))
    distance = pair.centre_distance + beyond
    assert pair.contact_ratio_at(distance) == pytest.approx(
        simulated_ratio(pair, distance), abs=2e-3
    )


@given(st.integers(18, 60), st.integers(18, 90), st.floats(-0.3, 0.5), st.floats(0.005, 0.08))
def test_contact_falls_and_backlash_grows_with_the_distance(first, second, shift, beyond):
    pair = GearPair(Gear(first, 1, shift=shift), Gear(second, 1))
    assume(pair.working_angle > 15)
    near, far = pair.centre_distance, pair.centre_distance + beyond
    assert pair.contact_ratio_at(far) < pair.contact_ratio_at(near)
    # The shift that would take the backlash away again tells how much there is, exactly:
    # 2 m tan α Δ(x₁ + x₂) along the reference circles (ISO 21771).
    moved = GearPair(pair.a, pair.b, far)
    exact = 2 * tan(radians(20)) * (moved.shift_for_distance - pair.shift)
    simple = 2 * beyond * tan(radians(pair.working_angle))
    assert simple == pytest.approx(exact, rel=0.12)


def test_no_contact_beyond_the_base_circles():
    pair = GearPair(Gear(20, 1), Gear(40, 1))
    assert pair.contact_ratio_at(28.0) is None  # base radii sum to 28.19 mm


MACHINE = """\
crank: a
axes:
  a: {at: [0, 0]}
  b: {at: [30.05, 0]}
  c: {at: [30.05, 40.1]}
arbors:
  a: {axis: a, stack: [{one: w20}]}
  b: {axis: b, stack: [{two: w40}, {three: w20}]}
  c: {axis: c, stack: [{four: w60}]}
meshes: [[one, two], [three, four]]
"""
PARTS = """\
parts:
  w20: {kind: wheel, teeth: 20, module: 1, face: 2}
  w40: {kind: wheel, teeth: 40, module: 1, face: 2, thinning: 0.02}
  w60: {kind: wheel, teeth: 60, module: 1, face: 2}
"""
ABOUT = """\
title: Test
revision: "1"
maker: Test
summary: Test.
time: {arbor: a, days: 365.25}
bodies: {dial: {name: Dial, arbor: c, reference: year tropical, tolerance: 1 %}}
stages: []
"""


def test_free_play_of_a_train_by_hand(tmp_path):
    kit = good_kit(tmp_path, mechanism=MACHINE, parts=PARTS, kit=ABOUT)
    design = Design(kit)
    first, second = (mesh_backlash(kit, mesh, design.positions) for mesh in kit.meshes)
    # 2 Δa tan 20° + thinning: 2 · 0.05 · 0.36397 + 0.02, and 2 · 0.1 · 0.36397.
    assert first == pytest.approx(0.056397, abs=1e-6)
    assert second == pytest.approx(0.072794, abs=1e-6)
    # On wheels of 20 and 30 mm pitch radius; the first is geared down 20/60 on its way.
    by_hand = degrees(0.056397 / 20) / 3 + degrees(0.072794 / 30)
    play = design.free_plays["dial"]
    assert play.degrees == pytest.approx(by_hand, abs=1e-4)
    assert [share.mesh.a.id for share in play.shares] == ["one", "three"]
    assert play.unknown == ()
    assert contact_ratio(kit, kit.meshes[0], design.positions) < 1.635190


EPICYCLIC = """\
crank: arm
axes:
  post: {at: [0, 0]}
  planet: {carried-by: arm, distance: 30.1}
arbors:
  frame-wheel: {axis: post, fixed: true, stack: [{sun: w40}]}
  arm: {axis: post}
  planet: {axis: planet, stack: [{roller: w20}]}
meshes: [[sun, roller]]
"""


def test_free_play_of_a_wheel_that_rolls_on_a_fixed_one(tmp_path):
    about = ABOUT.replace("arbor: a,", "arbor: arm,").replace("arbor: c,", "arbor: planet,")
    kit = good_kit(tmp_path, mechanism=EPICYCLIC, parts=PARTS, kit=about)
    # The arm is held, so the planet can turn by the backlash over its own pitch radius, 10 mm.
    backlash = 2 * 0.1 * tan(radians(20)) + 0.02
    assert Design(kit).free_plays["dial"].degrees == pytest.approx(degrees(backlash / 10), abs=1e-9)


def test_overlap_share_of_two_faces():
    assert overlap_share((0, 2), (0.5, 4)) == pytest.approx(0.75)  # 1.5 of 2 mm
    assert overlap_share((0, 2), (3, 4)) == pytest.approx(-1)
