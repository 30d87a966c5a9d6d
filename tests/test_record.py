"""The design record and the DRAFT notice: every rule is there, figures are the design's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from changed_kit import change, copy_base

from kitdocs.finding import Finding
from kitdocs.kit.signing import sign_folder
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.record_figures import figures
from kitdocs.pages.record_view import record_view
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.rules.registry import all_rules
from kitdocs.survey import survey


def pages_of(folder: Path) -> dict[str, str]:
    found = survey(folder.parent.parent, folder.parent)
    charts = ChartCache(folder.parent.parent / "cache" / "charts")
    site = render_site(found, lambda _, target: target, [shipped_templates()], charts)
    return {uri: page.markdown for uri, page in site.pages.items() if uri.startswith("bench/")}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copy_base(tmp_path)


@pytest.fixture
def book(folder) -> Handbook:
    kit = survey(folder.parent.parent, folder.parent).kits[0]
    assert not kit.stopped, kit.findings
    return Handbook(kit.design)


def test_every_rule_is_in_the_record_once_and_held(book):
    record = record_view(book, [])
    lines = [line for _, group in record.groups for line in group]
    named = [line.rule.text for line in lines]
    assert sorted(named) == sorted(r.id for r in all_rules() if r.id != "design-signed")
    assert all(line.state.startswith("held") for line in lines)
    assert record.rules == len(named)


def test_distances_of_the_record(book):
    """Bench kit: 29 and 43 teeth, module 0.8: 0.8 · 72/2 = 28.8 mm needed, 28.84 mm there."""
    (earth,) = [f for f in figures(book, "mesh-distance") if "lay-earth" in f.where]
    assert "28.84\u00a0mm apart" in earth.figure and "28.8\u00a0mm needed" in earth.figure
    # 0.04 mm of an allowance of 0 … 0.08 mm: half of it on either side.
    assert earth.room == pytest.approx(0.5)


def test_engagement_of_the_record(book):
    """M2.5 × 6 through a 2 mm wheel: 4 mm in a brass hub, 2.5 mm needed (1 d in brass)."""
    found = [f for f in figures(book, "screw-grip") if "earth-wheel" in f.where]
    assert [f.figure for f in found] == ["4\u00a0mm engaged, grip 2\u00a0mm"]
    assert found[0].limit == "at least 2.5\u00a0mm"
    assert found[0].room == pytest.approx(4 / 2.5 - 1)


def test_shared_faces_of_the_record(book):
    """Both wheels stand at 30.5 mm. The Earth pipe may rise by 0.2 mm, so 1.8 of 2 mm are left.

    Its upper end is at 24.5 + 60 = 84.5 mm; the washer above it at 94.2 − 3 − 6 − 0.5 = 84.7 mm.
    """
    (earth,) = [f for f in figures(book, "mesh-overlap") if "lay-earth" in f.where]
    assert earth.figure == "90\u00a0% of the narrower face"
    assert earth.room == pytest.approx((90 - 80) / 80)


def test_set_screws_of_the_record(book):
    """A hub of 22 mm bored 8 mm has a wall of 7 mm."""
    (hub,) = [f for f in figures(book, "set-screw") if "earth-hub" in f.where]
    assert (hub.figure, hub.limit) == ("8\u00a0mm long", "at least 7\u00a0mm, the wall")
    assert hub.room == pytest.approx(1 / 7)


def test_threads_left_of_the_record(folder):
    """M2.5 × 6 goes 4 mm into a hole 5 mm deep; half a pitch of M2.5 (ISO 261) is 0.225 mm."""
    blind = {"file": "parts.yml", "find": "count: 6, circle: 16, thread: M2.5",
             "put": "count: 6, circle: 16, thread: M2.5, depth: 5"}  # fmt: skip
    change(folder, [blind])
    design = survey(folder.parent.parent, folder.parent).kits[0].design
    left = [f for f in figures(Handbook(design), "screw-bottom") if "thread left" in f.figure]
    assert [f.figure for f in left] == ["1\u00a0mm of thread left below it"]
    assert left[0].limit == "at least 0.225\u00a0mm"


def test_gaps_of_the_record(book):
    """Heads of M2.5 are 2.1 mm high (ISO 7045): 32.5 + 2.1 = 34.6 mm, below a wheel at 36 mm."""
    heads = figures(book, "screw-head")
    assert [f.figure for f in heads if "earth-wheel" in f.where and "mars-wheel" in f.where] == [
        "gap 1.4\u00a0mm at a height of 35.3\u00a0mm"
    ]
    for rule in ("mesh-foul", "arm-sweep", "screw-head"):
        assert len(figures(book, rule)) <= 5


def test_figures_say_how_near_they_come_and_the_tightest_is_first(book):
    record = record_view(book, [])
    with_figures = [line for _, group in record.groups for line in group if line.figures]
    assert {"mesh-distance", "mesh-contact", "period-error", "screw-grip", "stack-height"} <= {
        line.rule.text for line in with_figures
    }
    for line in with_figures:
        assert line.tightest.room == min(f.room for f in line.figures)
        assert line.tightest.room >= -1e-6, line  # what passes is within its limit


def test_every_body_and_every_mesh_has_its_figure(book):
    assert {f.where for f in figures(book, "period-error")} == {
        body.name for body in book.kit.bodies.values()
    }
    # Of four meshes one is of bevel wheels, one of a clock form: no contact ratio follows there.
    assert len(figures(book, "mesh-distance")) == 3
    assert len(figures(book, "mesh-contact")) == 2


def test_a_loosened_limit_is_told_with_its_reason(folder):
    why = "The base is soft <wood>; it was tried."
    with (folder / "kit.yml").open("a", encoding="utf-8") as file:
        file.write(f'limits: {{mesh-foul: {{least: 0.2, reason: "{why}"}}}}\n')
    page = pages_of(folder)["bench/record.md"]
    row = re.search(r"<tr><th scope=\"row\">mesh-foul</th>.*", page)[0]
    assert "at least 0.3" in row and "at least 0.2" in row
    assert "soft &lt;wood&gt;; it was tried." in row


def test_a_rule_left_unchecked_is_told_with_its_reason(folder):
    about = folder / "kit.yml"
    written = about.read_text("utf-8")
    kept = re.sub(r"^unchecked:.*\n", "", written, flags=re.MULTILINE)
    about.write_text(kept, "utf-8")
    assert "left unchecked" not in pages_of(folder)["bench/record.md"]
    about.write_text(kept + 'unchecked: {plain-voice: "Our <readers> ask for it."}\n', "utf-8")
    page = pages_of(folder)["bench/record.md"]
    row = re.search(r"<tr><th scope=\"row\"><a [^>]*><code>plain-voice</code></a></th>.*", page)[0]
    assert "Our &lt;readers&gt; ask for it." in row


def test_a_warning_stands_at_its_rule(folder, book):
    kit = survey(folder.parent.parent, folder.parent).kits[0]
    warned = Finding(kit.kit.about.place(), "crank-feel", "too slow", severity="warning")
    record = record_view(book, [warned])
    (line,) = [x for _, g in record.groups for x in g if x.rule.text == "crank-feel"]
    assert line.state == "1 warning" and line.findings == ("too slow.",)


# DRAFT


def test_every_page_of_an_unsigned_kit_says_draft_twice(folder):
    pages = pages_of(folder)
    # Overview, two stages, parts, fasteners, deliveries, trains, machine, faults, record, whole.
    assert len(pages) == 11
    for uri, text in pages.items():
        assert '<p class="kd-draft" role="note"><strong>DRAFT</strong>' in text, uri
        assert re.search(r'class="kd-revision">.* DRAFT, ', text), uri
        assert "not been signed" in text


def test_no_page_of_a_signed_kit_says_draft_and_all_name_the_signer(folder):
    sign_folder(folder.parent.parent, folder, "A. Turner", "2026-11-20")
    for uri, text in pages_of(folder).items():
        assert "DRAFT" not in text, uri
        assert "Signed by A. Turner on 2026-11-20." in text, uri


def test_a_changed_model_is_a_draft_again(folder):
    sign_folder(folder.parent.parent, folder, "A. Turner", "2026-11-20")
    change(folder, [{"file": "kit.yml", "find": "on a small bench stand", "put": "on a stand"}])
    pages = pages_of(folder)
    assert all("has changed since it was signed" in text for text in pages.values())
    assert "Signed by" not in "".join(pages.values())
