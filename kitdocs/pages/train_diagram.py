"""The train diagram of a kit: a scheme of its arbors and meshes, not to scale.

A column for each axis, a line for each arbor, a bar with its tooth count for each wheel. Wheels
in contact stand in one row; rows follow the wheels' heights.
"""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.kit.model import Item
from kitdocs.mechanism.meshes import mesh_kind, tooth_count
from kitdocs.pages.handbook import Handbook

# All in px; narrow, so that a phone shows the drawing at about its size.
_ROW, _LABEL, _BESIDE, _GAP, _MARGIN = 26.0, 16.0, 7.0, 10.0, 10.0
_BAR = (13.0, 18.0)  # half the length of the shortest and longest bar


@dataclass(frozen=True)
class ArborLine:
    x: float
    bottom: float
    top: float
    label: str  # what it shows at its upper end; may be empty
    fixed: bool


@dataclass(frozen=True)
class Bar:
    """A wheel: its middle, half its length, its tooth count; `at` is where its arbor passes."""

    x: float
    y: float
    half: float
    teeth: int


@dataclass(frozen=True)
class Contact:
    y: float
    start: float
    end: float


@dataclass(frozen=True)
class TrainDiagram:
    """`meshes` tells the same in words, a phrase for each."""

    width: float
    height: float
    arbors: tuple[ArborLine, ...]
    bars: tuple[Bar, ...]
    contacts: tuple[Contact, ...]
    meshes: tuple[str, ...]


def train_diagram(book: Handbook) -> TrainDiagram | None:
    """The diagram; None for a kit in which nothing meshes."""
    kit = book.kit
    meshes = [m for m in kit.meshes if mesh_kind(m) and kit.arbors[m.a.arbor].axis]
    if not meshes:
        return None
    items = list({i.id: i for mesh in meshes for i in (mesh.a, mesh.b)}.values())
    rows = _rows(book, items)
    columns = _columns(book, items)
    shown = _shown(book)
    arbors = list(dict.fromkeys([*(i.arbor for i in items), *shown]))
    arbors = [a for a in arbors if kit.arbors[a].axis in columns]
    lines, height = _lines(book, items, arbors, rows, columns, shown)
    most = max(tooth_count(i.part) or 1 for i in items)
    bars = {i.id: _bar(i, lines[i.arbor].x, height, rows[i.id], most) for i in items}
    contacts = []
    for mesh in meshes:
        left, right = sorted((bars[mesh.a.id], bars[mesh.b.id]), key=lambda bar: bar.x)
        if left.x + left.half < right.x - right.half:
            contacts.append(Contact(left.y, left.x + left.half, right.x - right.half))
    words = [
        book.text(
            "%(first)s on %(first_arbor)s with %(second)s on %(second_arbor)s",
            first=book.names.one(m.a.part),
            first_arbor=book.arbor_name(m.a.arbor),
            second=book.names.one(m.b.part),
            second_arbor=book.arbor_name(m.b.arbor),
        )
        for m in meshes
    ]
    longest = max((len(line.label) * 7 + line.x for line in lines.values()), default=0.0)
    width = max(*(bar.x + bar.half + _MARGIN for bar in bars.values()), longest + _MARGIN)
    return TrainDiagram(
        width, height, tuple(lines.values()), tuple(bars.values()), tuple(contacts), tuple(words)
    )


def _shown(book: Handbook) -> dict[str, str]:
    """What each arbor shows, and which one the hand turns."""
    labels: dict[str, list[str]] = {}
    for name, body in book.kit.bodies.items():
        labels.setdefault(body.arbor, []).append(book.names.body(name))
    labels.setdefault(book.kit.mechanism.crank, []).append(book.text("crank"))
    return {arbor: ", ".join(names) for arbor, names in labels.items()}


def _rows(book: Handbook, items: list[Item]) -> dict[str, int]:
    """The row of each item from the bottom: one row for all that touch each other."""
    group = {item.id: item.id for item in items}

    def root(name: str) -> str:
        while group[name] != name:
            name = group[name]
        return name

    for mesh in book.kit.meshes:
        if mesh.a.id in group and mesh.b.id in group:
            group[root(mesh.a.id)] = root(mesh.b.id)
    spans = book.design.heights.spans
    lowest: dict[str, float] = {}
    for item in items:
        span = spans.get(item.id)
        if span:
            key = root(item.id)
            lowest[key] = min(lowest.get(key, span.bottom), span.bottom)
    roots = list(dict.fromkeys(root(item.id) for item in items))
    order = sorted(roots, key=lambda name: (lowest.get(name, -1.0), roots.index(name)))
    return {item.id: order.index(root(item.id)) for item in items}


def _columns(book: Handbook, items: list[Item]) -> dict[str, int]:
    """The column of each axis, by where it stands from left to right."""
    axes = list(dict.fromkeys(book.kit.arbors[i.arbor].axis or "" for i in items))
    positions = book.design.positions
    order = sorted(axes, key=lambda axis: (positions.get(axis, (0.0, 0.0)), axes.index(axis)))
    return {axis: order.index(axis) for axis in order}


def _lines(
    book: Handbook,
    items: list[Item],
    arbors: list[str],
    rows: dict[str, int],
    columns: dict[str, int],
    shown: dict[str, str],
) -> tuple[dict[str, ArborLine], float]:
    """A line for each arbor, and the height of the whole drawing.

    In a column the arbor that reaches highest stands leftmost, so that no other line crosses
    the words at its end.
    """
    tops: dict[str, float] = {}
    for arbor in arbors:
        spans = [s for i in book.kit.on_arbor[arbor] if (s := book.design.heights.of(i.id))]
        tops[arbor] = max((span.top for span in spans), default=0.0)
    by_column: dict[int, list[str]] = {}
    for arbor in sorted(arbors, key=lambda a: (-tops[a], arbors.index(a))):
        by_column.setdefault(columns[book.kit.arbors[arbor].axis or ""], []).append(arbor)
    labelled = [a for column in sorted(by_column) for a in by_column[column] if a in shown]
    top = _MARGIN + len(labelled) * _LABEL
    height = top + (max(rows.values()) + 1) * _ROW + _MARGIN
    lines: dict[str, ArborLine] = {}
    left = _MARGIN
    for _, members in sorted(by_column.items()):
        first = left + _BAR[1]
        left = first + (len(members) - 1) * _BESIDE + _BAR[1] + _GAP
        for place, arbor in enumerate(members):
            own = [rows[i.id] for i in items if i.arbor == arbor]
            low, high = (min(own), max(own)) if own else (max(rows.values()), max(rows.values()))
            label, fixed = shown.get(arbor, ""), book.kit.arbors[arbor].fixed
            lines[arbor] = ArborLine(
                x=first + place * _BESIDE,
                bottom=height - 4 if fixed else _row_y(height, low) + _ROW / 2 - 2,
                top=_MARGIN + labelled.index(arbor) * _LABEL if label else
                _row_y(height, high) - _ROW / 2 + 2,
                label=label,
                fixed=fixed,
            )  # fmt: skip
    return lines, height


def _row_y(height: float, row: int) -> float:
    return height - _MARGIN - (row + 0.5) * _ROW


def _bar(item: Item, x: float, height: float, row: int, most: int) -> Bar:
    teeth = tooth_count(item.part) or 0
    half = _BAR[0] + (_BAR[1] - _BAR[0]) * teeth / most
    return Bar(x, _row_y(height, row), half, teeth)
