"""Sections and plans: what is drawn is what the design says, once, legibly, the same each time.

Expected heights and figures are sums of lengths written in the kits' files, done by hand here or
taken from `Design.heights` (itself tested against such sums in test_heights.py).
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import combinations
from math import cos, hypot, pi, radians
from pathlib import Path

import pytest
from changed_kit import BASE, change, copy_base
from jinja2 import Environment, FileSystemLoader

from kitdocs.assembly.design import Design
from kitdocs.kit.parts import Wheel
from kitdocs.kit.reader import read_kit
from kitdocs.mechanism.heights import Span
from kitdocs.pages.half_section import rings
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.height_scale import HeightScale
from kitdocs.pages.label_columns import GAP, apart
from kitdocs.pages.plan_drawing import plan_view
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.section_drawing import section_view
from kitdocs.pages.tooth_outline import half_tooth, outline, phases

CONTENT = Path(__file__).parent.parent / "content"
KITS = [BASE, CONTENT / "tellurion", CONTENT / "quayside"]
TEMPLATES = Environment(
    loader=FileSystemLoader(shipped_templates()), autoescape=True, trim_blocks=True,
    lstrip_blocks=True,
)  # fmt: skip


def book_of(folder: Path) -> Handbook:
    read = read_kit(folder.parent.parent, folder)
    assert read.kit is not None, read.findings
    return Handbook(Design(read.kit))


def svg(name: str, drawing) -> str:
    return str(getattr(TEMPLATES.get_template(f"drawings/{name}.svg.j2").module, name)(drawing))


@pytest.fixture(scope="module", params=KITS, ids=lambda folder: folder.name)
def book(request) -> Handbook:
    return book_of(request.param)


@pytest.fixture(scope="module")
def drawn(book):
    """Each stage, then the whole machine (None), with its section and plan."""
    return [(s, section_view(book, s), plan_view(book, s)) for s in (*book.kit.stages, None)]


def elements(text: str) -> list[ET.Element]:
    return list(ET.fromstring(text).iter())


def test_every_item_of_a_stage_is_drawn_as_new_and_every_earlier_one_as_old(book, drawn):
    before: set[str] = set()
    for stage, section, _ in drawn:
        looks: dict[str, set[str]] = {}
        for d in section.drawings:
            for e in elements(svg("section", d)):
                if "data-item" in e.attrib and "kd-screw" not in e.attrib["class"]:
                    looks.setdefault(e.attrib["data-item"], set()).update(e.attrib["class"].split())
        placed = set(book.kit.items)
        if stage is not None:
            placed = {i for i in book.design.takings.stage_taking(stage).placed}
        for item in placed:
            assert "kd-new" in looks[item] and "kd-old" not in looks[item], (stage, item)
        for item, look in looks.items():
            if item not in placed:
                assert "kd-old" in look and "kd-new" not in look
                assert item in before  # nothing is shown before its stage
        before |= placed


def test_new_things_have_a_texture_and_old_ones_have_none(drawn):
    for _, section, _ in drawn:
        for d in section.drawings:
            for e in elements(svg("section", d)):
                look = e.attrib.get("class", "").split()
                if "data-item" in e.attrib and not {"kd-screw", "kd-teeth"} & set(look):
                    assert ("fill" in e.attrib) is ("kd-new" in look)


def test_heights_in_the_drawing_are_those_of_the_design(book, drawn):
    heights = book.design.heights
    seen = 0
    for _, section, _ in drawn:
        for d in section.drawings:
            for e in elements(svg("section", d)):
                if "data-item" not in e.attrib or "kd-screw" in e.attrib["class"]:
                    continue
                span = heights.of(e.attrib["data-item"])
                assert float(e.attrib["data-low"]) == pytest.approx(span.bottom, abs=0.0006)
                assert float(e.attrib["data-high"]) == pytest.approx(span.top, abs=0.0006)
                seen += 1
    assert seen > 20


def test_boxes_are_to_scale_in_height_and_radius():
    """Bench kit: foot 18 and base 6 mm high; the Earth wheel, m 0.8, 43 teeth, face 2 (parts.yml):
    root radius 0.8 · 43/2 - 1.25 · 0.8 = 16.2 mm (ISO 53)."""
    drawings = section_view(book_of(BASE)).drawings
    found = {}
    for d in drawings:
        for shape in d.shapes:
            size = re.match(r"M(\S+) (\S+)h(\S+)v(\S+)h", shape.d)
            if size and "screw" not in shape.look and not d.breaks:
                found.setdefault(shape.item, (d.scale, *map(float, size.groups())))
    scale, _, _, wide, tall = found["foot-a"]
    assert tall == pytest.approx(18 * scale, abs=0.11)
    assert wide == pytest.approx(20 * scale, abs=0.11)
    scale, _, _, wide, tall = found["earth-wheel"]
    assert tall == pytest.approx(2 * scale, abs=0.11)
    assert wide == pytest.approx((16.2 - 4) * scale, abs=0.11)


def test_meshing_axes_stand_at_their_true_distance():
    """28.84 mm from post to lay (mechanism.yml of the bench kit), named by their shafts."""
    for d in section_view(book_of(BASE)).drawings:
        x = {axis.name: axis.x for axis in d.axes}
        if {"post", "lay arbor"} <= x.keys():
            assert abs(x["post"] - x["lay arbor"]) == pytest.approx(28.84 * d.scale, abs=0.11)
            break
    else:
        pytest.fail("post and lay are nowhere side by side")


def test_labels_do_not_overlap_and_each_number_stands_once(drawn):
    for _, section, plan in drawn:
        numbers = [label.text for d in section.drawings for label in d.labels]
        assert sorted(numbers) == sorted({str(row.number) for row in section.rows})
        for d in (*section.drawings, *([plan] if plan else [])):
            for a, b in combinations(d.labels, 2):
                assert a.anchor != b.anchor or abs(a.level - b.level) >= GAP - 0.11
            for label in d.labels:
                assert 8 <= label.level <= d.height - 4


def test_the_table_has_the_numbers_of_the_model(book, drawn):
    for _, section, _ in drawn:
        for row in section.rows:
            if row.fastener:
                continue
            span = book.design.heights.of(row.items[0])
            assert (row.low, row.high) == (span.bottom, span.top)
    # What is pressed, screwed or glued says so; the rest is captive or stands on something.
    words = {"press": "press fit", "screw": "screw", "set-screw": "set screw"}
    for row in drawn[-1][1].rows:
        fastening = book.design.fastenings.get(row.items[0])
        if fastening and fastening.kind in words:
            assert words[fastening.kind] in row.held
            assert book.names.one(fastening.host.part) in row.held


def test_drawings_are_small_safe_and_the_same_each_time(book, drawn):
    ids: list[str] = []
    for stage, section, plan in drawn:
        again = section_view(book, stage), plan_view(book, stage)
        both = [("section", d) for d in section.drawings] + ([("plan", plan)] if plan else [])
        other = [("section", d) for d in again[0].drawings] + ([("plan", again[1])] if plan else [])
        for (name, d), (_, same) in zip(both, other, strict=True):
            text = svg(name, d)
            assert text == svg(name, same)
            assert len(text.encode()) < 25_000
            assert not re.search(r"foreignObject|<marker|<style|<image", text)
            assert not re.search(
                r"\d\.\d\d", re.sub(r'data-\w+="[^"]*"|<title.*?</desc>', "", text)
            )
            root = ET.fromstring(text)
            named = root.attrib["aria-labelledby"].split()
            own = [e.attrib["id"] for e in root.iter() if "id" in e.attrib]
            assert root.attrib["role"] == "img" and set(named) <= set(own)
            assert all(e.startswith(book.prefix) for e in own)
            ids += own
    assert len(ids) == len(set(ids))


def test_text_is_legible_at_phone_size():
    """A phone shows the 390 px view box at about 358 px; sizes below 9 px are hard to read."""
    css = (shipped_templates() / "assets/kitdocs.css").read_text("utf-8")
    sizes = re.findall(r"\.kd-(?:drawing|plan)[^{]*\{[^}]*font-size: (\d+)px", css)
    assert len(sizes) >= 3 and all(int(size) * 358 / 390 >= 9 for size in sizes)


def test_a_changed_thickness_moves_the_drawing(tmp_path):
    """A base 3 mm thicker lifts what stands on it by 3 mm."""
    folder = copy_base(tmp_path)
    before = {row.items[0]: row for row in section_view(book_of(folder)).rows}
    change(folder, [{"file": "parts.yml", "find": "depth: 140, thickness: 6",
                     "put": "depth: 140, thickness: 9"}])  # fmt: skip
    after = {row.items[0]: row for row in section_view(book_of(folder)).rows}
    assert after["earth-wheel"].low == pytest.approx(before["earth-wheel"].low + 3)


# The plan


def test_plan_shows_every_wheel_with_its_teeth_and_sense(book, drawn):
    _, _, plan = drawn[-1]
    toothed = [i for i in book.kit.items.values() if getattr(i.part, "teeth", None)]
    assert len(plan.rows) == len(toothed)
    assert sorted(row.teeth for row in plan.rows) == sorted(i.part.teeth for i in toothed)
    text = " ".join(label.text for label in plan.labels)
    assert sorted(re.findall(r"(\d+) t", text), key=int) == sorted(
        (str(i.part.teeth) for i in toothed), key=int
    )
    for row in plan.rows:
        if row.sense in ("clockwise", "anticlockwise"):
            speeds = [
                s for a, s in book.design.motion.speeds.items() if book.arbor_name(a) == row.arbor
            ]
            assert (speeds[0] > 0) is (row.sense == "anticlockwise")


def test_pitch_circles_touch_at_the_dots(drawn):
    """In a mesh at its own distance both pitch circles pass through the point of contact."""
    for _, _, plan in drawn:
        for x, y in plan.contacts if plan else ():
            near = [
                c for c in plan.circles
                if "pitch" in c.look and abs(hypot(c.x - x, c.y - y) - c.r) < 0.6
            ]  # fmt: skip
            assert len(near) >= 2


def test_teeth_of_a_pair_do_not_overlap():
    """With the phases given, the outline of one wheel lies nowhere within the other's teeth by
    more than the chords that stand for the flanks: checked at every corner, on the root circle."""
    book = book_of(CONTENT / "tellurion")
    kit = book.kit
    bearings = {
        n: 0.0 for n, m in enumerate(kit.meshes)
    }  # all three pairs lie along +x or -x; positions are on one line
    places = book.design.positions
    for n, mesh in enumerate(kit.meshes):
        a, b = (places[kit.arbors[i.arbor].axis] for i in (mesh.a, mesh.b))
        bearings[n] = 0.0 if b[0] > a[0] else 180.0
    turned = phases(kit, bearings)
    for n, mesh in enumerate(kit.meshes):
        a, b = mesh.a.part, mesh.b.part
        assert isinstance(a, Wheel) and isinstance(b, Wheel)
        # At the point of contact one has a tooth's middle where the other has a space's middle:
        # counted in pitches, the offsets add up to a half.
        offsets = [
            ((direction - turned[item.id]) * item.part.teeth / 360) % 1
            for item, direction in ((mesh.a, bearings[n]), (mesh.b, bearings[n] + 180))
        ]
        assert sum(offsets) % 1 == pytest.approx(0.5, abs=1e-6)


def test_tooth_outline_has_the_standard_radii_and_thickness():
    """ISO 53: tip r = m(z/2 + 1), root r = m(z/2 - 1.25); ISO 21771: an unshifted tooth is half a
    pitch, π m/2, thick at the pitch circle."""
    part = next(
        i.part for i in book_of(CONTENT / "tellurion").kit.items.values() if i.id == "sun-wheel"
    )
    points = outline(part, 0.0, fine=True)
    radii = [hypot(x, y) for x, y in points]
    assert len(points) == 6 * part.teeth
    assert max(radii) == pytest.approx(part.module * (part.teeth / 2 + 1))
    assert min(radii) == pytest.approx(part.module * (part.teeth / 2 - 1.25))
    pitch = part.module * part.teeth / 2
    assert 2 * radians(half_tooth(part, pitch)) * pitch == pytest.approx(
        pi * part.module / 2, rel=0.02
    )  # thinned teeth of the demo are a little under
    base = pitch * cos(radians(20))
    assert half_tooth(part, base) > half_tooth(part, pitch) > half_tooth(part, max(radii)) > 0


# What they are made of


def test_rings_of_a_wheel_leave_the_teeth_uncut():
    part = book_of(BASE).kit.items["earth-wheel"].part
    body, teeth = rings(part)
    assert (body.inner, body.look, teeth.look) == (4.0, "body", "teeth")
    assert body.outer == teeth.inner == pytest.approx(16.2)
    assert teeth.outer == pytest.approx(18.0)  # 0.8 · (43/2 + 1), ISO 53


def test_a_break_keeps_the_scale_and_leaves_out_only_plain_stretches():
    spans = [Span(0, 100), Span(0, 2), Span(90, 95)]
    scale = HeightScale(-1, 101, spans, 5.0, 200.0)
    assert len(scale.breaks) == 1
    assert scale.y(0) - scale.y(2) == pytest.approx(2 * scale.scale)
    assert scale.y(90) - scale.y(95) == pytest.approx(5 * scale.scale)
    assert scale.shows(1) and scale.shows(92) and not scale.shows(50)
    assert scale.y(2) > scale.y(50) > scale.y(90)
    assert scale.bottom - scale.top <= 200.001


def test_labels_are_spread_about_their_middle():
    assert apart([50, 50, 50], 10, 0) == [40, 50, 60]
    assert apart([0, 1], 10, 0) == [0, 10]
    assert apart([], 10, 0) == []
