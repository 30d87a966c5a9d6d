"""Outlines to scale and the train diagram, against the sizes of standards."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from changed_kit import BASE
from jinja2 import Environment, FileSystemLoader

from kitdocs.assembly.design import Design
from kitdocs.kit.parts import Fastener, PartsFile
from kitdocs.kit.reader import read_kit
from kitdocs.kit.validation import validate
from kitdocs.kit.yaml_reader import Place, read_yaml
from kitdocs.pages.figures import PX_PER_MM, outline
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.shapes import Circle
from kitdocs.pages.shapes import Path as Line
from kitdocs.pages.train_diagram import train_diagram


def part(text: str):
    read = read_yaml(f"parts:\n  one: {text}\n", Place("parts.yml"))
    facts, findings = validate(PartsFile, read.data, Place("parts.yml"))
    assert not findings
    made = facts.parts["one"]
    made.set_id("one")
    return made


def screw(designation: str) -> Fastener:
    return Fastener(designation=designation)


@pytest.fixture(scope="module")
def kit():
    return read_kit(BASE.parent, BASE).kit


def test_a_wheel_has_its_teeth_at_its_diameters():
    drawn = outline(part("{kind: wheel, teeth: 61, module: 0.8, face: 2, bore: 8,"
                         " holes: [{count: 3, circle: 16, size: 2.9}]}"))  # fmt: skip
    (ring,) = (s for s in drawn.shapes if isinstance(s, Circle) and s.teeth)
    assert ring.teeth == 61
    # ISO 53: tip diameter m(z + 2), root diameter m(z - 2.5).
    assert 2 * ring.r + ring.width == pytest.approx(0.8 * 63, abs=0.03)
    assert 2 * ring.r - ring.width == pytest.approx(0.8 * 58.5, abs=0.03)
    holes = [s for s in drawn.shapes if s.look == "hole"]
    assert sorted(2 * h.r for h in holes) == pytest.approx([2.9, 2.9, 2.9, 8])
    circle = [(h.x**2 + h.y**2) ** 0.5 * 2 for h in holes[1:]]
    assert circle == pytest.approx([16] * 3, abs=0.02)


def test_a_pan_head_screw_in_the_sizes_of_iso_7045():
    drawn = outline(screw("ISO 7045 M2.5 x 6"))
    assert drawn.scale == "2:1"
    px = 2 * PX_PER_MM
    # ISO 7045, M2.5: head 5.0 wide and 2.1 high; nominal length from under the head.
    assert drawn.width == pytest.approx(6 + 2.1 + 2 / px, abs=0.02)
    assert drawn.height == pytest.approx(5.0 + 2 / px, abs=0.02)


def test_a_countersunk_screws_head_is_within_its_length():
    drawn = outline(screw("ISO 10642 M3 x 8"))
    assert drawn.width == pytest.approx(8 + 2 / (2 * PX_PER_MM), abs=0.02)


def test_a_nut_and_a_washer_of_iso_4032_and_7089():
    nut, washer = outline(screw("ISO 4032 M3")), outline(screw("ISO 7089 M3"))
    # ISO 4032: 5.5 across flats; a hexagon is 2/sqrt(3) of that across its corners.
    margins = 2 / (2 * PX_PER_MM)
    assert nut.width - margins == pytest.approx(5.5 * 2 / 3**0.5, abs=0.02)
    outer = next(s for s in washer.shapes if isinstance(s, Circle))
    assert 2 * outer.r == 7.0  # ISO 7089: 7 outside


@pytest.mark.parametrize(
    ("text", "scale"),
    [
        ("{kind: plate, width: 60, depth: 20, thickness: 5}", "1:1"),
        ("{kind: plate, width: 120, depth: 20, thickness: 5}", "1:2"),
        ("{kind: plate, width: 240, depth: 200, thickness: 5}", "1:5"),
        ("{kind: dial, outside: 600, thickness: 5}", "1:10"),
    ],
)
def test_scales_are_those_of_iso_5455(text, scale):
    drawn = outline(part(text))
    assert drawn.scale == scale
    up, down = map(int, scale.split(":"))
    assert drawn.px_width / drawn.width == pytest.approx(PX_PER_MM * up / down, rel=0.01)
    assert max(drawn.px_width, drawn.px_height) <= 130


def test_a_long_arbor_is_broken_and_a_short_one_is_not():
    long, short = (outline(part(f"{{kind: pipe, diameter: 8, bore: 6.05, length: {n}}}"))
                   for n in (180, 40))  # fmt: skip
    assert [s.look for s in long.shapes].count("gap") == 1
    assert "gap" not in [s.look for s in short.shapes]
    assert short.width == pytest.approx(40 + 2 / PX_PER_MM)
    assert "hidden" in [s.look for s in short.shapes]  # the bore


@pytest.mark.parametrize(
    "text",
    [
        "{kind: worm, starts: 1, module: 0.8, length: 20}",  # its diameter is not said
        "{kind: tool, name: tweezers}",
        "{kind: plate, thickness: 3}",
    ],
)
def test_what_sizes_do_not_settle_is_not_drawn(text):
    assert outline(part(text)) is None
    assert outline(screw("M2.5 x 6")) is None  # without a standard its head is not known


@pytest.mark.parametrize(
    "text",
    [
        "{kind: ring-wheel, teeth: 90, module: 0.5, face: 3, outside: 52}",
        "{kind: ball, diameter: 12, bore: 2}",
        "{kind: arm, reach: 42, thickness: 2, bore: 8, hub: 14}",
        "{kind: hub, outside: 22, bore: 8, length: 6, set-screw: {thread: M3},"
        " holes: [{count: 6, circle: 16, thread: M2.5}]}",
    ],
)
def test_shapes_lie_within_the_box(text):
    drawn = outline(part(text))
    right, bottom = drawn.left + drawn.width, drawn.top + drawn.height
    for shape in drawn.shapes:
        if isinstance(shape, Circle):
            reach = shape.r + shape.width / 2
            assert drawn.left <= shape.x - reach and shape.x + reach <= right
            assert drawn.top <= shape.y - reach and shape.y + reach <= bottom


def test_a_picture_is_small_and_its_ids_are_its_own(kit):
    loader = FileSystemLoader(shipped_templates())
    env = Environment(loader=loader, autoescape=True, extensions=["jinja2.ext.i18n"])
    env.install_null_translations(newstyle=True)
    macro = env.get_template("drawings/outline.svg.j2").module.outline
    for one in kit.parts.values():
        if drawn := outline(one):
            svg = str(macro(drawn, "kd-x", "a name"))
            assert len(svg.encode()) < 1500, one.id
            assert all(i.startswith("kd-x-") for i in re.findall(r'id="([^"]*)"', svg))


def test_the_train_diagram_shows_every_wheel_and_contact(kit):
    diagram = train_diagram(Handbook(Design(kit)))
    # The base kit's mechanism.yml: four meshes between eight wheels.
    assert sorted(bar.teeth for bar in diagram.bars) == [11, 19, 20, 25, 29, 43, 53, 136]
    assert len(diagram.meshes) == 4
    rows = {bar.teeth: bar.y for bar in diagram.bars}
    assert rows[29] == rows[43] and rows[19] == rows[53] and rows[136] == rows[11]
    assert rows[43] > rows[53] > rows[136]  # up the post: Earth, Mars, the Moon's fixed wheel
    labels = {a.label for a in diagram.arbors} - {""}
    assert labels == {"Earth", "Mars", "Moon", "crank"}
    assert [a.fixed for a in diagram.arbors].count(True) == 1  # the post
    for bar in diagram.bars:
        assert bar.x - bar.half >= 0 and bar.x + bar.half <= diagram.width


def test_words_of_the_diagram_do_not_cover_each_other(kit):
    diagram = train_diagram(Handbook(Design(kit)))
    tops = sorted(a.top for a in diagram.arbors if a.label)
    assert min(b - a for a, b in pairwise(tops)) >= 12


def test_lines_are_paths_in_hundredths():
    drawn = outline(screw("ISO 4762 M2.5 x 8"))
    for shape in drawn.shapes:
        if isinstance(shape, Line):
            assert not re.search(r"\.\d{3}", shape.d)
