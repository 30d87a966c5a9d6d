"""Charts: text as text, colours of the page, unique ids, kept between builds, quick."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kitdocs.pages.charts import (
    ChartCache,
    DriftChart,
    DriftLine,
    PeriodChart,
    PeriodRow,
    draw,
)

REPO = Path(__file__).parent.parent

PERIODS = PeriodChart(
    id="kd-one",
    title="Periods <now> & then",
    description="All of them.",
    axis="Share of the tolerance",
    ends=("too short", "exact", "too long"),
    rows=(
        PeriodRow("Mars", 0.5, "+0.1 % of ±0.2 %"),
        PeriodRow("$x$ <b> _y_ 火", -0.25, "−0.05 % of ±0.2 %"),
    ),
)
DRIFTS = DriftChart(
    id="kd-two",
    title="Drift",
    description="All of them.",
    across="Years",
    up="Degrees out",
    lines=(DriftLine("Mercury", 1.2), DriftLine("Venus", 1.21), DriftLine("Saturn", 0.012)),
)
CHARTS = pytest.mark.parametrize("chart", [PERIODS, DRIFTS], ids=["period", "drift"])


def texts(svg: str) -> list[str]:
    return [element.text for element in ElementTree.fromstring(svg).iter("text")]


def test_every_word_is_text_letter_for_letter():
    shown = texts(draw(PERIODS))
    for row in PERIODS.rows:
        assert row.name in shown and row.label in shown
    assert {*PERIODS.ends, PERIODS.axis} <= set(shown)
    assert {"Mercury", "Venus", "Saturn", "Years", "Degrees out", "1°"} <= set(texts(draw(DRIFTS)))


@CHARTS
def test_it_stands_inside_a_page(chart):
    svg = draw(chart)
    root = ElementTree.fromstring(svg)
    assert root.get("role") == "img" and root.get("viewBox") and root.get("width") is None
    assert root.find("title").text == chart.title
    assert root.find("desc").text == chart.description
    assert not re.search(r"<style|<\?xml|<!DOCTYPE|<metadata|://|font-family|foreignObject", svg)
    assert not re.search(r"#[0-9a-fA-F]{6}\b", svg)  # colours are the page's own
    assert "black" not in svg and "\n\n" not in svg
    ids = re.findall(r'\bid="([^"]*)"', svg)
    assert len(ids) == len(set(ids)) and all(i.startswith(f"{chart.id}-") for i in ids)
    for used in re.findall(r'url\(#([^)]*)\)|href="#([^"]*)"', svg):
        assert "".join(used) in ids


@CHARTS
def test_the_same_data_gives_the_same_bytes(chart):
    assert draw(chart) == draw(chart)
    other = draw(replace(chart, id="kd-three"))
    assert not set(re.findall(r'\bid="([^"]*)"', other)) & set(
        re.findall(r'\bid="([^"]*)"', draw(chart))
    )


def test_a_diamond_stands_at_the_share_of_the_tolerance():
    svg = draw(PERIODS)
    diamonds = [float(x) for x in re.findall(r'<use [^>]*\bx="([\d.]+)"', svg)]
    limits = {}
    for text in ElementTree.fromstring(svg).iter("text"):
        if text.text == "exact":
            limits["exact"] = float(text.get("x"))
    band = re.search(r'<path d="M ([\d.]+) [\d.]+ ?\n?L ([\d.]+)[^"]*"[^>]*--kd-band', svg)
    left, right = sorted(float(x) for x in band.groups())
    half = (right - left) / 2
    assert limits["exact"] == pytest.approx(left + half)
    shares = [(x - left - half) / half for x in diamonds]
    assert shares == pytest.approx([row.of_tolerance for row in PERIODS.rows], abs=0.001)


def test_drift_lines_rise_tenfold_over_a_decade_and_labels_keep_apart():
    svg = draw(DRIFTS)
    heights = {t.text: float(t.get("y")) for t in ElementTree.fromstring(svg).iter("text")
               if t.get("y")}  # fmt: skip
    names = sorted(heights[line.name] for line in DRIFTS.lines)
    assert min(b - a for a, b in pairwise(names)) >= 12  # the text's height
    decade = heights["1°"] - heights["10°"]
    run = r'M ([\d.]+) ([\d.]+) ?\n?L ([\d.]+) ([\d.]+) ?\n?" clip-path[^>]*--kd-line'
    runs = re.findall(run, svg)
    assert len(runs) == 3
    for (_, y0, _, y1), line in zip(runs, DRIFTS.lines, strict=True):
        assert float(y0) - float(y1) == pytest.approx(2 * decade, rel=0.001)  # 1 to 100 years
        # Against the first line, since a tick's text does not stand at its line's height.
        above = math.log10(line.per_year / DRIFTS.lines[0].per_year) * decade
        assert float(runs[0][1]) - float(y0) == pytest.approx(above, abs=0.01)


def test_lines_are_told_apart_without_colour():
    dashes = re.findall(r"stroke-dasharray: ([\d.,]+)[^\"]*--kd-line", draw(DRIFTS))
    assert len(set(dashes)) == len(DRIFTS.lines) - 1  # one of them is unbroken


def test_a_kept_chart_is_not_drawn_again(tmp_path):
    first = ChartCache(tmp_path).svg(PERIODS)
    assert len(list(tmp_path.glob("*.svg"))) == 1
    code = (
        "import sys; from pathlib import Path; sys.path.insert(0, 'tests')\n"
        "from test_charts import ChartCache, PERIODS\n"
        f"sys.stdout.write(ChartCache(Path({str(tmp_path)!r})).svg(PERIODS))\n"
        "assert not {'matplotlib', 'numpy'} & set(sys.modules)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=REPO, capture_output=True, text=True, encoding="utf-8"
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout == first
    ChartCache(tmp_path).svg(replace(PERIODS, title="Another"))
    assert len(list(tmp_path.glob("*.svg"))) == 2


def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path):
    (tmp_path / "file").write_text("")
    assert ChartCache(tmp_path / "file" / "charts").svg(PERIODS) == draw(PERIODS)
