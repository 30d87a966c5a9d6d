"""End play, washers and overlap of wheels, against sums done by hand."""

from __future__ import annotations

import pytest
from kits import good_kit

from kitdocs.assembly.design import Design
from kitdocs.rules.mesh_overlap import mesh_overlap
from kitdocs.rules.stack_height import stack_height
from kitdocs.rules.stack_washer import stack_washer

PARTS = """\
parts:
  base: {kind: plate, outside: 200, thickness: 10}
  post: {kind: post, diameter: 6, length: %(post)s}
  pipe: {kind: pipe, diameter: 8, bore: 6.05, length: %(pipe)s, tolerance: %(off)s}
  thin: {kind: washer, outside: 12, bore: 6.1, thickness: 0.5, tolerance: %(off)s}
  collar: {kind: collet, outside: 12, bore: 6, length: 4, tolerance: %(off)s}
  wheel: {kind: wheel, teeth: 40, module: 1, face: 2, bore: 8}
  spacer: {kind: spacer, outside: 12, bore: 8, length: %(low)s}
"""
MECHANISM = """\
crank: pipe
axes: {post: {at: [0, 0]}, lay: {at: [40, 0]}}
arbors:
  frame: {fixed: true, stack: [{base: base}]}
  post: {axis: post, part: post, fixed: true, stands-on: base, stack: [{seat: thin}],
         end-stack: [{top: thin}, {collar: collar}]}
  pipe: {axis: post, part: pipe, runs-on: post, stands-on: seat,
         stack: [{gap: spacer}, {one: wheel}]}
  lay: {axis: lay, stands-on: base, stack: [{under: thin}, {lift: spacer}, {two: wheel}]}
meshes: [[one, two]]
"""


def design(tmp_path, mechanism=MECHANISM, **sizes):
    sound = {"post": 45.2, "pipe": 40.0, "off": 0.0, "low": 5}
    parts = PARTS % {**sound, **sizes}
    return Design(good_kit(tmp_path, parts=parts, mechanism=mechanism))


@pytest.mark.parametrize(
    ("post", "gap", "sound"),
    [  # post − washer 0.5 − pipe 40 − washer 0.5 − collar 4
        (45.2, 0.2, True),
        (45.05, 0.05, True),
        (45.3, 0.3, True),
        (45.04, 0.04, False),
        (45.31, 0.31, False),
        (45.0, 0.0, False),
        (44.5, -0.5, False),
    ],
)
def test_end_play_by_hand(tmp_path, post, gap, sound):
    found = design(tmp_path, post=post)
    play = found.end_plays["pipe"]
    assert (play.item.id, play.retainer.id) == ("pipe", "top")
    assert play.gap == pytest.approx(gap)
    assert (list(stack_height.check(found)) == []) is sound


def test_tolerances_add_up_along_the_loop(tmp_path):
    # Seat, pipe, top washer and collar at ±0.03 each; the post has none: 0.2 ± 0.12.
    found = design(tmp_path, off=0.03)
    assert found.end_plays["pipe"].worst == pytest.approx((0.08, 0.32))
    (finding,) = stack_height.check(found)
    assert "0.08 … 0.32\u00a0mm" in finding.found
    assert list(stack_height.check(design(tmp_path, off=0.02))) == []


def test_an_arbor_with_nothing_above_it_has_no_end_play(tmp_path):
    found = design(tmp_path)
    assert set(found.end_plays) == {"pipe"}


def test_what_stands_on_an_arbor_does_not_keep_it_down(tmp_path):
    # The outer pipe stands on the inner one's hub; both are kept down by the post's collar only.
    nested = """\
        crank: inner
        axes: {post: {at: [0, 0]}}
        arbors:
          frame: {fixed: true, stack: [{base: base}]}
          post: {axis: post, part: post, fixed: true, stands-on: base, stack: [{seat: thin}],
                 end-stack: [{top: thin}, {collar: collar}]}
          inner: {axis: post, part: pipe, runs-on: post, stands-on: seat, stack: [{ledge: wheel}]}
          outer: {axis: post, stands-on: ledge, stack: [{upper: wheel}]}
        """
    found = design(tmp_path, nested)
    assert found.end_plays["inner"].retainer.id == "top"
    assert found.end_plays["inner"].gap == pytest.approx(0.2)
    washer = [f.message for f in stack_washer.check(found)]
    assert len(washer) == 1 and "upper runs on ledge" in washer[0]


def test_a_washer_between_faces_that_turn_against_each_other(tmp_path):
    assert list(stack_washer.check(design(tmp_path))) == []
    bare = MECHANISM.replace("{under: thin}, ", "").replace("{top: thin}, ", "")
    found = [f.message for f in stack_washer.check(design(tmp_path, bare, post=44.7))]
    assert len(found) == 2
    assert "collar runs on pipe" in found[0]  # 0.2 mm apart: they meet at the end of end play
    assert "lift runs on base" in found[1]


def test_a_bush_is_as_good_as_a_washer(tmp_path):
    bushed = MECHANISM.replace("{lift: spacer}", "{lift: bush}").replace("{under: thin}, ", "")
    parts = (PARTS + "  bush: {kind: bush, outside: 12, bore: 6, length: 5.5}\n") % {
        "post": 45.2, "pipe": 40.0, "off": 0.0, "low": 5,
    }  # fmt: skip
    found = Design(good_kit(tmp_path, parts=parts, mechanism=bushed))
    assert list(stack_washer.check(found)) == []


@pytest.mark.parametrize(
    ("lift", "sound"),
    [  # faces of 2 mm, one with 0.2 mm of end play: 0.2 mm off and the rest is 1.6 = 80 %
        ("spacer", True),
        ("higher", True),
        ("highest", False),
        ("lower", False),
    ],
)
def test_overlap_at_both_ends_of_end_play(tmp_path, lift, sound):
    extra = (
        "  higher: {kind: spacer, outside: 12, bore: 8, length: 5.4}\n"
        "  highest: {kind: spacer, outside: 12, bore: 8, length: 5.41}\n"
        "  lower: {kind: spacer, outside: 12, bore: 8, length: 4.79}\n"
    )
    parts = (PARTS + extra) % {"post": 45.2, "pipe": 40.0, "off": 0.0, "low": 5}
    mechanism = MECHANISM.replace("{lift: spacer}", f"{{lift: {lift}}}")
    found = Design(good_kit(tmp_path, parts=parts, mechanism=mechanism))
    assert (list(mesh_overlap.check(found)) == []) is sound
