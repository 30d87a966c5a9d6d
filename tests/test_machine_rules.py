"""Rules on wheels, screws and look-alikes, each at its limit."""

from __future__ import annotations

import pytest
from kits import good_kit
from machines import machine

from kitdocs.assembly.design import Design
from kitdocs.assembly.look_alikes import look_alikes
from kitdocs.kit.designation import parse_designation
from kitdocs.mechanism.gears import least_teeth
from kitdocs.mechanism.planets import planet_sets
from kitdocs.mechanism.standards import stocked_lengths
from kitdocs.rules.crank_feel import crank_feel
from kitdocs.rules.epicyclic_fit import epicyclic_fit
from kitdocs.rules.mesh_undercut import mesh_undercut
from kitdocs.rules.part_mixup import part_mixup
from kitdocs.rules.screw_bottom import screw_bottom
from kitdocs.rules.screw_head import screw_head
from kitdocs.rules.screw_length import screw_length
from kitdocs.rules.set_screw import set_screw


def told(rule, kit):
    return [f.message for f in rule.check(Design(kit))]


PAIR = """\
crank: a
axes: {a: {at: [0, 0]}, b: {at: [30, 0]}}
arbors: {a: {axis: a, stack: [{one: small}]}, b: {axis: b, stack: [{two: large}]}}
meshes: [[one, two]]
"""


@pytest.mark.parametrize(
    ("small", "sound"),
    [  # 2/sin² α: 17.10 at 20°, 31.90 at 14.5°, 11.20 at 25°; x = 1 − z sin² α/2: 0.4151 for 10
        ("teeth: 17", False),
        ("teeth: 18", True),
        ("teeth: 10, shift: 0.414", False),
        ("teeth: 10, shift: 0.4151", True),
        ("teeth: 31, pressure-angle: 14.5", False),
        ("teeth: 32, pressure-angle: 14.5", True),
        ("teeth: 11, pressure-angle: 25", False),
        ("teeth: 12, pressure-angle: 25", True),
        ("teeth: 8, form: cycloidal", True),
    ],
)
def test_undercut(tmp_path, small, sound):
    parts = f"""\
        parts:
          small: {{kind: wheel, {small}, module: 1, face: 2}}
          large: {{kind: wheel, teeth: 60, module: 1, face: 2}}
        """
    found = list(mesh_undercut.check(Design(good_kit(tmp_path, parts=parts, mechanism=PAIR))))
    assert (found == []) is sound
    assert all(f.severity == "warning" for f in found)
    assert least_teeth(20) == pytest.approx(17.097264, abs=1e-6)


def planets(tmp_path, sun, planet, ring, bearings):
    reach = (sun + planet) / 2
    names = [f"p{n}" for n in range(len(bearings))]
    axes = "".join(
        f"  {n}: {{carried-by: arm, distance: {reach}, bearing: {b}}}\n"
        for n, b in zip(names, bearings, strict=True)
    )
    arbors = "".join(f"  {n}: {{axis: {n}, stack: [{{w{n}: planet}}]}}\n" for n in names)
    meshes = ", ".join(f"[sun, w{n}], [w{n}, ring]" for n in names)
    mechanism = (
        f"crank: s\naxes:\n  o: {{at: [0, 0]}}\n{axes}arbors:\n"
        "  s: {axis: o, stack: [{sun: sun}]}\n  arm: {axis: o}\n"
        f"  r: {{axis: o, fixed: true, stack: [{{ring: ring}}]}}\n{arbors}meshes: [{meshes}]\n"
    )
    parts = (
        f"parts:\n  sun: {{kind: wheel, teeth: {sun}, module: 1, face: 2}}\n"
        f"  planet: {{kind: wheel, teeth: {planet}, module: 1, face: 2}}\n"
        f"  ring: {{kind: ring-wheel, teeth: {ring}, module: 1, face: 2, outside: 200}}\n"
    )
    return good_kit(tmp_path, mechanism=mechanism, parts=parts)


def test_planets_that_cannot_be_put_in(tmp_path):
    # Case: ring 47, planet 16, sun 15, three of them: (47 + 15)/3 is not whole.
    kit = planets(tmp_path, 15, 16, 47, [0, 120, 240])
    (only,) = told(epicyclic_fit, kit)
    assert "20.67 teeth of sun and ring on from wp0" in only
    (group,) = planet_sets(kit, Design(kit).positions)
    assert group.steps == pytest.approx((0, 62 / 3, 124 / 3))


@pytest.mark.parametrize(
    ("teeth", "bearings", "sound"),
    [
        ((30, 30, 90), [0, 120, 240], True),  # 120/3 = 40
        ((30, 30, 90), [0, 90, 180, 270], True),  # 120/4 = 30
        ((30, 30, 90), [0, 120, 237], True),  # unequal angles, but 79 teeth
        ((30, 30, 90), [0, 120, 238], False),  # 79.33 teeth
        ((15, 16, 47), [0, 180], True),  # 62/2 = 31
        ((12, 48, 108), [0, 120, 240], True),  # neighbours 51.96 apart, tips 50 across
        ((12, 54, 120), [0, 120, 240], True),  # 57.16 apart, 56 across
        ((12, 60, 132), [0, 90, 180, 270], False),  # 50.91 apart, 62 across
        ((30, 30, 90), [0], True),  # one planet always goes in
    ],
)
def test_assembly_of_planets(tmp_path, teeth, bearings, sound):
    kit = planets(tmp_path, *teeth, bearings)
    assert (told(epicyclic_fit, kit) == []) is sound


@pytest.mark.parametrize(
    ("teeth", "days", "messages"),
    [
        (("100", "10"), "365.25", 0),  # geared up 10 to 1, one turn a year
        (("100", "4"), "365.25", 1),  # 25 to 1
        (("40", "40"), "365.25", 0),
        (("40", "40"), "5", 1),  # 73 turns a year
        (("40", "40"), "7305", 1),  # a twentieth of a turn
    ],
)
def test_crank_feel(tmp_path, teeth, days, messages):
    arbors = {"a": {"one": f"wheel-{teeth[0]}"}, "b": {"two": f"wheel-{teeth[1]}"}}
    kit = machine(tmp_path, arbors, [["one", "two"]], time={"arbor": "a", "days": days})
    assert len(told(crank_feel, kit)) == messages


SCREWED = """\
crank: a
axes: {a: {at: [0, 0]}}
arbors: {a: {axis: a, part: shaft, stands-on: base, stack: [{hub: hub}, {wheel: wheel}]},
         frame: {fixed: true, stack: [{base: base}]}}
held: {wheel: {to: hub, by: "%s", holes: [1, 2, 3]}, hub: {to: a, by: "%s"}}
"""
SCREW_PARTS = """\
parts:
  base: {kind: plate, outside: 100, thickness: 5}
  shaft: {kind: arbor, diameter: 6, length: 40, flat: %(flat)s}
  hub: {kind: hub, outside: 20, bore: 6, length: %(hub)s, set-screw: {thread: M3},
        holes: [{count: 3, circle: %(circle)s, thread: M2.5, depth: %(depth)s}]}
  wheel: {kind: wheel, teeth: 60, module: 0.5, face: 2, bore: 6.02,
          holes: [{count: 3, circle: %(circle)s, size: 2.9}]}
fasteners: [%(screws)s]
"""


def screwed(tmp_path, by="ISO 7045 M2.5 x 6", grub="ISO 4026 M3 x 8", **sizes):
    sound = {"flat": "true", "hub": 8, "circle": 14, "depth": "through"}
    parts = SCREW_PARTS % {**sound, "screws": f"{by}, {grub}", **sizes}
    return good_kit(tmp_path, parts=parts, mechanism=SCREWED % (by, grub))


@pytest.mark.parametrize(
    ("length", "depth", "sound"),
    [  # 2 mm of wheel; half a pitch of M2.5 (0.45, ISO 261) is 0.225
        ("6", "4.225", True),
        ("6", "4.2", False),
        ("6", "4", False),
        ("8", "4", False),
        ("6", "through", True),
    ],
)
def test_screws_in_blind_holes(tmp_path, length, depth, sound):
    kit = screwed(tmp_path, f"ISO 7045 M2.5 x {length}", depth=depth)
    assert (told(screw_bottom, kit) == []) is sound


def test_a_screw_that_stands_into_what_moves(tmp_path):
    # 8 − 2 of wheel − 5 of hub: 1 mm proud, into a base that does not turn with it.
    (only,) = told(screw_bottom, screwed(tmp_path, "ISO 7045 M2.5 x 8", hub=5))
    assert "the screw ends of wheel" in only and "base" in only
    assert told(screw_bottom, screwed(tmp_path, "ISO 7045 M2.5 x 6", hub=5)) == []


@pytest.mark.parametrize(
    ("circle", "by", "sound"),
    [  # ISO 7045 M2.5 head 5 mm; bore 6.02; root circle of 60 teeth of 0.5: 28.75
        (14, "ISO 7045 M2.5 x 6", True),
        (11, "ISO 7045 M2.5 x 6", False),
        (11.02, "ISO 7045 M2.5 x 6", True),
        (23.7, "ISO 7045 M2.5 x 6", True),
        (23.8, "ISO 7045 M2.5 x 6", False),
        (14, "ISO 7046 M2.5 x 6", True),  # sunk 1.5 mm in 2 mm
    ],
)
def test_seats_of_heads(tmp_path, circle, by, sound):
    assert (told(screw_head, screwed(tmp_path, by, circle=circle)) == []) is sound


@pytest.mark.parametrize(
    ("grub", "flat", "messages"),
    [  # the wall of a 20 mm hub bored 6 is 7 mm
        ("ISO 4026 M3 x 8", "true", 0),
        ("ISO 4026 M3 x 6", "true", 1),
        ("ISO 4026 M3 x 8", "false", 1),
        ("ISO 4026 M3 x 6", "false", 2),
    ],
)
def test_set_screws_reach_and_find_a_flat(tmp_path, grub, flat, messages):
    assert len(told(set_screw, screwed(tmp_path, grub=grub, flat=flat))) == messages


@pytest.mark.parametrize(
    ("standard", "thread", "ends"),
    [  # l ranges of the standards, as an open table of their rows prints them
        ("ISO 4762", "M1.6", (2.5, 16)),
        ("ISO 4762", "M2", (3, 20)),
        ("ISO 4762", "M2.5", (4, 25)),
        ("ISO 4762", "M3", (5, 30)),
        ("ISO 4762", "M4", (6, 40)),
        ("ISO 7045", "M2.5", (3, 25)),
        ("ISO 7045", "M3", (4, 30)),
        ("ISO 7046-2", "M4", (5, 40)),
        ("ISO 10642", "M3", (8, 30)),
        ("ISO 4026", "M3", (3, 16)),  # from memory
    ],
)
def test_lengths_that_are_stocked(standard, thread, ends):
    lengths = stocked_lengths(parse_designation(f"{standard} {thread} x 6"))
    assert (lengths[0], lengths[-1]) == ends
    assert 7 not in lengths and 11 not in lengths  # no such length in ISO 888


def test_a_length_that_nobody_stocks_is_a_warning(tmp_path):
    kit = screwed(tmp_path, "ISO 7045 M2.5 x 7")
    (finding,) = screw_length.check(Design(kit))
    assert finding.severity == "warning" and finding.expected == "6 mm or 8 mm"
    assert told(screw_length, screwed(tmp_path)) == []
    assert stocked_lengths(parse_designation("ISO 1207 M3 x 7")) is None


ALIKE = """\
parts:
  w40: {kind: wheel, teeth: 40, module: 1, face: 2, bore: 6}
  w41: {kind: wheel, teeth: 41, module: 1, face: 2, bore: 6}
  w44: {kind: wheel, teeth: 44, module: 1, face: 2, bore: 6}
  other-40: {kind: wheel, teeth: 40, module: 1, face: 2, bore: 6%s}
  wide-40: {kind: wheel, teeth: 40, module: 1, face: 2, bore: 9}
  pipe-a: {kind: pipe, diameter: 8, bore: 6.05, length: 40}
  pipe-b: {kind: pipe, diameter: 8, bore: 6.05, length: 41}
fasteners: [ISO 7045 M3 x 6, ISO 7045 M3 x 8, ISO 7045 M3 x 12, ISO 7046 M3 x 6, ISO 4026 M2.5 x 6]
"""
HOLDS = """\
deliveries:
  one: {title: One, month: 1, holds: {w40: 1, w41: 1, w44: 1, other-40: 1, wide-40: 1, pipe-a: 1,
        pipe-b: 1, ISO 7045 M3 x 6: 1, ISO 7045 M3 x 8: 1, ISO 7045 M3 x 12: 1,
        ISO 7046 M3 x 6: 1, ISO 4026 M2.5 x 6: 1}}
"""


def test_look_alikes_of_a_parcel(tmp_path):
    kit = good_kit(tmp_path, parts=ALIKE % "", deliveries=HOLDS)
    found = {(x.a.id, x.b.id): x.why for x in look_alikes(kit, "one")}
    assert found == {
        ("w40", "w41"): "teeth",
        ("w41", "w44"): "teeth",
        ("w40", "other-40"): "size",
        ("w41", "other-40"): "teeth",
        ("ISO 7045 M3 x 6", "ISO 7045 M3 x 8"): "length",
        ("ISO 7045 M3 x 6", "ISO 7046 M3 x 6"): "head",
    }


@pytest.mark.parametrize(("mark", "count"), [("", 1), (", mark: a dot by the bore", 0)])
def test_equal_parts_are_marked(tmp_path, mark, count):
    kit = good_kit(tmp_path, parts=ALIKE % mark, deliveries=HOLDS)
    found = list(part_mixup.check(Design(kit)))
    assert len(found) == count
    assert all(f.severity == "warning" and "w40 and other-40" in f.found for f in found)
