"""Look-alikes side by side, and what other teeth on the same axes would do."""

from __future__ import annotations

from pathlib import Path

import pytest
from changed_kit import surveyed
from kits import good_kit
from machines import machine
from test_pages import rendered, seen

from kitdocs.assembly.design import Design
from kitdocs.mechanism.tooth_choice.better import better_choices
from kitdocs.pages.alike_view import AlikeView, parcel_alikes
from kitdocs.pages.choices_view import ChoicesView, choices_view
from kitdocs.pages.handbook import Handbook
from kitdocs.words.numbers import per_cent

PARTS = """\
parts:
  w40: {kind: wheel, teeth: 40, module: 1, face: 2, bore: 6}
  w41: {kind: wheel, teeth: 41, module: 1, face: 2, bore: 6, mark: a dot}
  a: {kind: spacer, name: low spacer, outside: 10, bore: 6, length: 4, material: brass}
  b: {kind: spacer, name: high spacer, outside: 10, bore: 6, length: 4.2, mark: one groove}
  knob-a: {kind: knob, outside: 20, length: 8}
fasteners: [ISO 7045 M3 x 6, ISO 7045 M3 x 8, ISO 7046 M3 x 6]
"""
HOLDS = """\
deliveries:
  one: {title: One, month: 1, holds: {w40: 1, w41: 1, a: 1, b: 1, knob-a: 1,
        ISO 7045 M3 x 6: 1, ISO 7045 M3 x 8: 1, ISO 7046 M3 x 6: 1}}
"""


def alikes(tmp_path: Path) -> dict[tuple[str, str], AlikeView]:
    book = Handbook(Design(good_kit(tmp_path, parts=PARTS, deliveries=HOLDS)))
    return {view.names: view for view in parcel_alikes(book, "one")}


@pytest.mark.parametrize(
    ("names", "told", "differences"),
    [  # ISO 7045 is a pan head, ISO 7046 a countersunk one
        (("M3 × 6 pan-head screw", "M3 × 8 screw"), "two lengths",
         {"Length": ("6 mm", "8 mm")}),
        (("M3 × 6 pan-head screw", "M3 × 6 countersunk screw"), "two heads",
         {"Head or point": ("pan-head", "countersunk")}),
        (("40-tooth wheel", "41-tooth wheel"), "nearly as many teeth",
         {"Teeth": ("40", "41"), "Mark": ("–", "a dot")}),
        (("low spacer", "high spacer"), "the mark tells them apart",
         {"Length": ("4 mm", "4.2 mm"), "Material": ("brass", "–"), "Mark": ("–", "one groove")}),
    ],
)  # fmt: skip
def test_what_tells_look_alikes_apart(tmp_path, names, told, differences):
    view = alikes(tmp_path)[names]
    assert told in view.told
    assert {d.what: (d.a.replace("\u00a0", " "), d.b.replace("\u00a0", " "))
            for d in view.differences} == differences  # fmt: skip


def test_both_pictures_are_at_one_scale(tmp_path):
    found = alikes(tmp_path)
    assert len(found) == 4
    for view in found.values():
        a, b = view.pictures
        assert a.scale == b.scale
        assert a.px_width / a.width == pytest.approx(b.px_width / b.width, rel=0.01)
    # Two pixels a millimetre at 1:1: 2 mm more of length are 20 px at 5:1.
    a, b = found["M3 × 6 pan-head screw", "M3 × 8 screw"].pictures
    assert a.scale == "5:1" and b.px_width - a.px_width == pytest.approx(20, abs=0.2)


#: Twins for two parts of the base kit: one of its first parcel, one of its second.
TWINS = [
    {"file": "parts.yml", "find": "  washer-6: {kind",
     "put": "  washer-6b: {kind: washer, name: bronze washer, outside: 12, bore: 6.1,"
            " thickness: 0.5, mark: reddish}\n"
            "  rod-2b: {kind: post, name: Io rod, diameter: 2, length: 12, shoulder: 2,"
            " mark: blue end}\n  washer-6: {kind"},
    {"file": "deliveries.yml", "find": "  second:", "put": "    spares: {washer-6b: 1}\n  second:"},
    {"file": "deliveries.yml", "find": "spares: {M2.5 x 6: 1}",
     "put": "spares: {M2.5 x 6: 1, rod-2b: 1}"},
]  # fmt: skip


def test_a_stage_shows_the_pairs_of_which_it_takes_one(tmp_path):
    site = rendered(surveyed(tmp_path, TWINS), tmp_path)
    drive, planets, parcels = (
        seen(site.pages[f"bench/{page}.md"].markdown)
        for page in ("stages/drive", "stages/planets", "deliveries")
    )
    assert "kd-alike" in drive.ids and "kd-alike" in planets.ids
    # The washers came in the first parcel, the rods in the second.
    # Head of the column, titles of the pictures at actual size and enlarged.
    assert drive.text.count("bronze washer") == 3
    assert "Io rod" not in drive.text and "Io rod" in planets.text
    assert {"kd-alike-1", "kd-alike-2"} <= set(parcels.ids)


def test_a_kit_without_look_alikes_has_no_such_heading(tmp_path):
    site = rendered(surveyed(tmp_path), tmp_path)
    assert not any("kd-alike" in page.markdown for page in site.pages.values())


# What other teeth would do


def train_of(tmp_path, arbors, meshes, reference="venus sidereal", **more) -> ChoicesView | None:
    bodies = {"p": {"name": "P", "arbor": "b", "reference": reference, "tolerance": "50 %"}}
    bodies |= {name: {**bodies["p"], "name": name.upper(), "arbor": arbor}
               for name, arbor in more.pop("others", {}).items()}  # fmt: skip
    kit = machine(tmp_path, arbors, meshes, bodies=bodies, **more)
    design = Design(kit)
    return choices_view(Handbook(design), design.trains["p"])


def test_the_best_teeth_of_a_pair_are_told(tmp_path):
    """Venus, 224.701 days (NASA fact sheet), is 1.62549 turns in 365.25 days.

    With 21 teeth in all 13/8 = 1.625 is nearest: 12/9 is 1.333, 14/7 is 2. The wheel of 8 is the
    smallest of the kit, which has no wheel of 13.
    """
    arbors = {"a": {"one": "wheel-12"}, "b": {"two": "wheel-9", "spare": "wheel-8"}}
    view = train_of(tmp_path, arbors, [["one", "two"]])
    (row,) = view.rows
    (pair,) = row.pairs
    assert (pair.pair, pair.now, pair.then) == ("12-tooth wheel with 9-tooth wheel", "12/9", "13/8")
    assert row.error == per_cent(365.25 / 1.625 / 224.701 - 1)
    assert row.to_make == "13 teeth of module 1" and row.also == ""


def test_what_cannot_be_better_says_so(tmp_path):
    view = train_of(tmp_path, {"a": {"one": "wheel-13"}, "b": {"two": "wheel-8"}}, [["one", "two"]])
    assert view == ChoicesView((), (), looked_at=True, exact=False)


def test_a_wheel_in_two_meshes_is_left_as_it_is(tmp_path):
    arbors = {"a": {"one": "wheel-12"}, "i": {"idler": "wheel-20"}, "b": {"two": "wheel-9"}}
    view = train_of(tmp_path, arbors, [["one", "idler"], ["idler", "two"]])
    assert not view.looked_at and not view.rows
    assert [pair.pair for pair in view.fixed] == [
        "12-tooth wheel with 20-tooth wheel", "20-tooth wheel with 9-tooth wheel"
    ]  # fmt: skip
    assert all("meshes with others too" in pair.why for pair in view.fixed)


def test_bevel_pairs_are_not_looked_at_and_other_bodies_are_named(tmp_path):
    arbors = {"a": {"one": "bevel-20"}, "m": {"two": "bevel-20", "three": "wheel-12"},
              "b": {"four": "wheel-9", "five": "wheel-8"}, "c": {"six": "wheel-40"}}  # fmt: skip
    meshes = [{"pair": ["one", "two"], "turns": "opposite"}, ["three", "four"], ["five", "six"]]
    view = train_of(tmp_path, arbors, meshes, level=["a"], others={"q": "c"})
    assert [pair.why for pair in view.fixed] == [
        "only external pairs of wheels are looked at (bevel)"
    ]
    assert view.looked_at and [row.also for row in view.rows] == ["Q"]


def test_a_body_on_the_time_arbor_has_nothing_to_choose(tmp_path):
    kit = machine(tmp_path, {"b": {"one": "wheel-12"}}, bodies={
        "p": {"name": "P", "arbor": "b", "reference": "earth sidereal", "tolerance": "1 %"}
    })  # fmt: skip
    design = Design(kit)
    assert choices_view(Handbook(design), design.trains["p"]) is None


def test_the_trains_page_tells_it_below_each_chain(tmp_path):
    site = rendered(surveyed(tmp_path), tmp_path)
    html = site.pages["bench/trains.md"].markdown
    earth, mars = (html[html.index(f"#body-{body} ") :] for body in ("earth", "mars"))
    moon, mars = mars[mars.index("#body-moon ") :], mars[: mars.index("#body-moon ")]
    earth = earth[: earth.index("#body-mars ")]
    assert "kd-choices" not in earth
    assert "kd-choices" in mars and "kd-choices" in moon


def test_two_pairs_are_shown_where_no_single_one_does_as_well(tmp_path):
    """Every change of one pair and of both, counted out: 36 teeth a pair, none below 12."""
    arbors = {"a": {"one": "wheel-20"}, "m": {"two": "wheel-16", "three": "wheel-20"},
              "b": {"four": "wheel-16", "small": "wheel-12"}}  # fmt: skip
    meshes = [["one", "two"], ["three", "four"]]
    view = train_of(tmp_path, arbors, meshes)
    counts = range(12, 25)
    wanted = 365.25 / 224.701
    singles = [a / (36 - a) * 20 / 16 for a in counts]
    doubles = [a / (36 - a) * b / (36 - b) for a in counts for b in counts]
    nearest = [min(abs(wanted / r - 1) for r in found) for found in (singles, doubles)]
    assert nearest[1] < nearest[0]
    first = view.rows[0]
    assert len(first.pairs) == 2
    (a, b), (c, d) = (map(int, pair.then.split("/")) for pair in first.pairs)
    assert a + b == c + d == 36
    assert abs(wanted / (a * c / (b * d)) - 1) == pytest.approx(nearest[1])
    assert all(len(row.pairs) == 1 for row in view.rows[1:])


def test_nothing_is_shown_twice_and_every_single_change_is(tmp_path):
    design = surveyed(tmp_path).kits[0].design
    for body, train in design.trains.items():
        view = choices_view(Handbook(design), train)
        rows = view.rows if view else ()
        assert len({row.pairs for row in rows}) == len(rows)
        ones = [better for better in better_choices(design, body) if better.one]
        assert sum(len(row.pairs) == 1 for row in rows) == len(ones)
