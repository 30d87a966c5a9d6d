"""Charts drawn by matplotlib, kept between builds, and made fit to stand inside a page.

A chart is data (`PeriodChart`, `DriftChart`) until its SVG is not in the cache; only then is
matplotlib imported. Colours are custom properties of the page, so that one drawing serves both
schemes; text stays text, in the page's own face.
"""

from __future__ import annotations

import hashlib
import io
import json
import math
import re
import warnings
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Any

from kitdocs.pages.kept_text import keep_text
from kitdocs.words.numbers import plain, with_unit

#: matplotlib wants colours, so each ink has a stand-in that no drawing would hold by chance.
_INKS = {
    "#010201": "var(--kd-ink)",
    "#010202": "var(--kd-soft)",
    "#010203": "var(--kd-grid)",
    "#010204": "var(--kd-band)",
    "#010205": "var(--kd-limit)",
    **{f"#0103{n:02x}": f"var(--kd-line-{n})" for n in range(1, 7)},
}
_INK, _SOFT, _GRID, _BAND, _LIMIT = list(_INKS)[:5]
_LINES = list(_INKS)[5:]
_DASHES = ("-", (0, (6, 2)), (0, (2, 1.5)), (0, (7, 2, 2, 2)), (0, (10, 3)), (0, (4, 1, 1, 1)))

_WIDTH = 400.0  # px of the drawing; a phone shows it at about this size
_TEXT = 12.0


@dataclass(frozen=True)
class PeriodRow:
    """A body's period error as a share of its tolerance, with the text that stands beside it."""

    name: str
    of_tolerance: float
    label: str


@dataclass(frozen=True)
class PeriodChart:
    """How far each body's period is from its reference, within its tolerance.

    `title` and `description` are read out in place of the picture; `id` begins every id in it.
    """

    id: str
    title: str
    description: str
    axis: str
    ends: tuple[str, str, str]  # what the axis says at its ends and middle
    rows: tuple[PeriodRow, ...]


@dataclass(frozen=True)
class DriftLine:
    """A body's drift, degrees per year, without sign and above zero."""

    name: str
    per_year: float


@dataclass(frozen=True)
class DriftChart:
    """Degrees out against years, both on scales of powers of ten. Fields as in `PeriodChart`."""

    id: str
    title: str
    description: str
    across: str
    up: str
    lines: tuple[DriftLine, ...]
    point: str = "."  # before the decimals of its figures


Chart = PeriodChart | DriftChart


@cache
def _drawing_code() -> str:
    return hashlib.sha256(Path(__file__).read_bytes()).hexdigest()


class ChartCache:
    """SVG drawings under the digest of their data and of the code that draws them."""

    def __init__(self, folder: Path):
        self.folder = folder
        self._kept: dict[str, str] = {}

    def svg(self, chart: Chart) -> str:
        """The chart as an `<svg>` element for raw HTML; drawn only when it is not kept."""
        facts = json.dumps([type(chart).__name__, asdict(chart), _drawing_code()])
        key = hashlib.sha256(facts.encode()).hexdigest()
        if key not in self._kept:
            file = self.folder / f"{key}.svg"
            try:
                self._kept[key] = file.read_text("utf-8")
            except OSError:
                self._kept[key] = draw(chart)
                keep_text(file, self._kept[key])
        return self._kept[key]


def draw(chart: Chart) -> str:
    """Draw a chart; the same data gives the same bytes, whatever the reader's own settings."""
    import matplotlib  # noqa: PLC0415  (0.8 s: only when a chart is drawn)

    settings = {
        **matplotlib.rcParamsDefault,
        "svg.fonttype": "none",
        "svg.hashsalt": chart.id,
        "text.parse_math": False,  # a name such as `$x$` is a name
    }
    del settings["backend"]
    with matplotlib.rc_context(settings), warnings.catch_warnings():
        # The page's face draws the text: that matplotlib's own lacks a letter does not matter.
        warnings.filterwarnings("ignore", "Glyph .* missing from font")
        drawing = _period_chart(chart) if isinstance(chart, PeriodChart) else _drift_chart(chart)
    return _for_page(drawing, chart)


def _frame(height: float, left: float, right: float, top: float, bottom: float) -> tuple[Any, Any]:
    from matplotlib.figure import Figure  # noqa: PLC0415  (as above)

    figure = Figure(figsize=(_WIDTH / 72, height / 72), dpi=72)
    across, up = (right - left) / _WIDTH, (height - top - bottom) / height
    axes = figure.add_axes((left / _WIDTH, bottom / height, across, up), facecolor="none")
    axes.spines[["top", "right", "left"]].set_visible(False)
    axes.spines["bottom"].set_color(_SOFT)
    axes.tick_params(length=0, labelsize=_TEXT, labelcolor=_INK, pad=6)
    axes.set_axisbelow(True)
    return figure, axes


def _period_chart(chart: PeriodChart) -> str:
    step, top, bottom = 34.0, 6.0, 44.0
    count = len(chart.rows)
    figure, axes = _frame(top + bottom + step * count, 12, _WIDTH - 12, top, bottom)
    axes.set_xlim(-1.03, 1.03)
    axes.set_ylim(count, 0)
    axes.set_yticks([])
    axes.set_xticks([-1, 0, 1], list(chart.ends))
    axes.get_xticklabels()[0].set_horizontalalignment("left")
    axes.get_xticklabels()[-1].set_horizontalalignment("right")
    axes.set_xlabel(chart.axis, color=_INK, fontsize=_TEXT)
    axes.axvspan(-1, 1, color=_BAND, linewidth=0)
    axes.axvline(0, color=_SOFT, linewidth=1)
    for limit in (-1, 1):
        axes.axvline(limit, color=_LIMIT, linewidth=1.5, dashes=(4, 3))
    for number, row in enumerate(chart.rows):
        at, words = number + 0.72, {"color": _INK, "fontsize": _TEXT, "va": "center"}
        axes.text(-0.97, number + 0.4, row.name, fontweight="bold", **words)
        axes.text(0.97, number + 0.4, row.label, ha="right", **words)
        share = max(-1.0, min(1.0, row.of_tolerance))
        axes.plot([0, share], [at, at], color=_LINES[0], linewidth=3, solid_capstyle="butt")
        axes.plot([share], [at], color=_LINES[0], marker="D", markersize=7)
    return _written(figure)


def _drift_chart(chart: DriftChart) -> str:
    years = (1, 100)
    rates = [line.per_year for line in chart.lines]
    low = math.floor(math.log10(min([*rates, 1.0])))
    high = max(1, math.ceil(math.log10(max([*rates, 0.01]) * years[1])))
    top, bottom, height = 30.0, 44.0, 330.0
    figure, axes = _frame(height, 58, _WIDTH - 92, top, bottom)
    axes.set_xlim(0, 2)
    axes.set_ylim(low, high)
    powers = range(low, high + 1)
    axes.set_yticks(list(powers), [_power(n, chart.point) for n in powers])
    axes.set_xticks([0, 1, 2], ["1", "10", "100"])
    axes.set_xlabel(chart.across, color=_INK, fontsize=_TEXT)
    axes.text(0, high + (high - low) * 0.04, chart.up, color=_INK, fontsize=_TEXT, va="bottom")
    axes.grid(color=_GRID, linewidth=1)
    axes.axhline(0, color=_LIMIT, linewidth=1.5, dashes=(4, 3))
    ends = [math.log10(rate) + 2 for rate in rates]
    gap = (high - low) * (_TEXT + 4) / (height - top - bottom)
    for number, (line, end, label) in enumerate(
        zip(chart.lines, ends, _apart(ends, gap, low, high), strict=True)
    ):
        color, dash = _LINES[number % len(_LINES)], _DASHES[number % len(_DASHES)]
        axes.plot([0, 2], [end - 2, end], color=color, linestyle=dash, linewidth=2)
        axes.plot([2, 2.1], [end, label], color=color, linewidth=1, clip_on=False)
        axes.text(2.13, label, line.name, color=_INK, fontsize=_TEXT, va="center")
    return _written(figure)


def _power(n: int, point: str) -> str:
    return with_unit(plain(10.0**n, max(0, -n)).replace(".", point), "°")


def _apart(ends: list[float], gap: float, low: float, high: float) -> list[float]:
    """Where labels stand so that none covers another, each as near its line's end as can be."""
    order = sorted(range(len(ends)), key=lambda i: (ends[i], i))
    placed: dict[int, float] = {}
    floor = low - gap
    for i in order:
        placed[i] = max(ends[i], floor + gap)
        floor = placed[i]
    ceiling = high + gap
    for i in reversed(order):
        placed[i] = min(placed[i], ceiling - gap)
        ceiling = placed[i]
    return [placed[i] for i in range(len(ends))]


def _written(figure: Any) -> str:
    from matplotlib.backends.backend_svg import FigureCanvasSVG  # noqa: PLC0415  (as above)

    FigureCanvasSVG(figure)
    figure.patch.set_visible(False)
    out = io.StringIO()
    nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    figure.savefig(out, format="svg", metadata=nothing)
    return out.getvalue()


def _for_page(svg: str, chart: Chart) -> str:
    """Strip what belongs to a whole document, and make ids and colours the page's own."""
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"\s*<(metadata|style)\b.*?</\1>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"\s*<!--.*?-->", "", svg, flags=re.DOTALL)
    svg = re.sub(r"\s*<defs>\s*</defs>", "", svg)
    svg = re.sub(r'\bid="', f'id="{chart.id}-', svg)
    svg = re.sub(r'(?:xlink:)?href="#', f'href="#{chart.id}-', svg)
    svg = svg.replace("url(#", f"url(#{chart.id}-")
    svg = re.sub(r"font: ([^;\"]*?)([\d.]+)px [^;\"]*", _font, svg)
    svg = re.sub(r"font-family: [^;\"]*;?\s*", "", svg)
    for stand_in, ink in _INKS.items():
        svg = svg.replace(stand_in, ink)
    box = re.search(r'viewBox="[^"]*"', svg)
    names = f"{chart.id}-title {chart.id}-desc"
    head = (
        f'<svg class="kd-chart" {box[0] if box else ""} role="img" aria-labelledby="{names}">'
        f'<title id="{chart.id}-title">{_escaped(chart.title)}</title>'
        f'<desc id="{chart.id}-desc">{_escaped(chart.description)}</desc>'
    )
    body = svg[svg.index(">") + 1 :]
    return re.sub(r"\s*\n\s*", "\n", head + body).strip()


def _font(match: re.Match[str]) -> str:
    weight = "font-weight: bold; " if "bold" in match[1] or "700" in match[1] else ""
    return f"{weight}font-size: {match[2]}px"


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
