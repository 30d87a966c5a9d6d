"""Axes in plan: placed from one another, carried, and how far apart arbors stay."""

from __future__ import annotations

from math import dist, hypot

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from kits import good_kit

from kitdocs.mechanism.positions import axis_distance, positions

MECHANISM = """
crank: crank
axes:
  outer: {from: lay, distance: 40, bearing: 0}
  lay: {from: post, distance: 30, bearing: 90}
  post: {at: [0, 0]}
  beside: {at: [1.5, -90]}
  moon-axis: {carried-by: earth, distance: 42, bearing: 180}
  spin-axis: {carried-by: moon, distance: 5, bearing: 270}
  idler-axis: {carried-by: earth, distance: 21, bearing: 180}
  held-axis: {carried-by: bracket, distance: 12, bearing: 0}
  level: {at: [0, -60], lies: level, bearing: 270}
arbors:
  frame: {fixed: true}
  bracket: {axis: post, fixed: true}
  crank: {axis: level}
  lay: {axis: lay}
  outer: {axis: outer}
  sun: {axis: post}
  earth: {axis: post}
  beside: {axis: beside}
  moon: {axis: moon-axis}
  idler: {axis: idler-axis}
  spin: {axis: spin-axis}
  held: {axis: held-axis}
"""


@pytest.fixture
def kit(tmp_path):
    return good_kit(tmp_path, mechanism=MECHANISM)


def test_axes_are_placed_from_one_another_in_any_order(kit):
    # A 3-4-5 triangle (Euclid I.47): 30 north of the post, then 40 east.
    places = positions(kit)
    assert places["post"] == (0, 0)
    assert places["lay"] == pytest.approx((0, 30))
    assert places["outer"] == pytest.approx((40, 30))
    assert axis_distance(kit, "sun", "outer") == pytest.approx(50)
    assert axis_distance(kit, "outer", "sun") == pytest.approx(50)


def test_carried_axes_are_placed_from_the_carriers_own_axis(kit):
    places = positions(kit)
    assert places["moon-axis"] == pytest.approx((-42, 0))
    assert places["spin-axis"] == pytest.approx((-42, -5))


@pytest.mark.parametrize(
    ("a", "b", "distance"),
    [
        ("moon", "sun", 42),  # carried, and on the carrier's own axis
        ("moon", "earth", 42),
        ("moon", "idler", 21),  # both on one arm
        ("spin", "moon", 5),
        ("held", "lay", hypot(12, 30)),  # a carrier that is fixed takes nothing round
        ("sun", "earth", 0),
        ("moon", "lay", None),  # changes as the arm goes round
        ("moon", "beside", None),
        ("spin", "sun", None),
        ("spin", "idler", None),
        ("held", "idler", None),
        ("frame", "sun", None),  # no axis
        ("crank", "sun", None),  # level: the plan does not show it
    ],
)
def test_axis_distance(kit, a, b, distance):
    found = axis_distance(kit, a, b), axis_distance(kit, b, a)
    assert found == ((None, None) if distance is None else pytest.approx((distance, distance)))


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=20, deadline=None
)
@given(
    legs=st.lists(st.tuples(st.integers(1, 60), st.integers(0, 359)), min_size=1, max_size=8),
    shuffle=st.randoms(),
)
def test_a_chain_of_axes_ends_where_its_legs_lead(tmp_path, legs, shuffle):
    """Against complex numbers: the end is the sum of the legs, whatever order they are written."""
    lines = ["  a0: {at: [3, 4]}"] + [
        f"  a{i}: {{from: a{i - 1}, distance: {d}, bearing: {b}}}"
        for i, (d, b) in enumerate(legs, start=1)
    ]
    shuffle.shuffle(lines)
    mechanism = "crank: c\naxes:\n" + "\n".join(lines) + "\narbors: {c: {axis: a0}}\n"
    end = 3 + 4j + sum(d * 1j ** (b / 90) for d, b in legs)
    found = positions(good_kit(tmp_path, mechanism=mechanism))[f"a{len(legs)}"]
    assert dist(found, (end.real, end.imag)) < 1e-9
