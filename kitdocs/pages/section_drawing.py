"""The section along the upright axes: everything at its height and radius, to one scale.

Heights are those of the design, which the rules use too; nothing here works any out. What is new
is hatched (the hatch leans the other way from arbor to arbor, as where cut parts touch) and
numbered; what was there before is plain grey.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kitdocs.kit.stage import Stage
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.label_columns import GAP, Label, Wanted, place
from kitdocs.pages.section_frame import LABELS, RULER, WIDTH, AxisLine, SectionFrame, Tick
from kitdocs.pages.section_labels import SectionLabels
from kitdocs.pages.section_rows import Row, Rows
from kitdocs.pages.section_shapes import SectionShapes, Shape
from kitdocs.pages.section_strips import strips


@dataclass(frozen=True)
class Section:
    """One drawing. The clip box holds the shapes; leaders and labels stand over it."""

    id: str
    whole: bool
    title: str
    description: str
    width: float
    height: float
    clip: tuple[float, float, float, float]
    shapes: tuple[Shape, ...]
    axes: tuple[AxisLine, ...]
    ticks: tuple[Tick, ...]
    ruler: float
    breaks: tuple[str, ...]
    labels: tuple[Label, ...]
    caption: str
    scale: float  # px per mm


@dataclass(frozen=True)
class SectionView:
    """The drawings of a section, and the table of their numbers."""

    drawings: tuple[Section, ...]
    rows: tuple[Row, ...]


def section_view(book: Handbook, stage: Stage | None = None) -> SectionView:
    """The section of a stage, or of the whole machine."""
    rows = Rows(book, stage)
    if not rows.rows:
        return SectionView((), ())
    wanted = {*rows.new, *rows.fastened}
    made = strips(book.kit, rows.shown, wanted)
    drawings = [
        _section(SectionFrame(book, rows, strip), n, len(made)) for n, strip in enumerate(made)
    ]
    return SectionView(tuple(d for d in drawings if d.shapes), rows.rows)


def labelled(
    frame: SectionFrame, make: Callable[[], list[Wanted]]
) -> tuple[tuple[Label, ...], float]:
    """The labels of a drawing in their places, and its height, px.

    `make` gives the labels that are wanted, and is asked again when the drawing was moved.
    """
    wanted = make()
    fullest = max(sum(w.side == side for w in wanted) for side in ("left", "right"))
    excess = fullest * GAP - (frame.bottom - frame.top)
    if excess > 0:  # the drawing stands at half the height of the labels
        frame.lift(excess / 2)
        wanted = make()
    left, right = frame.clip[0] - LABELS, frame.clip[1] + LABELS - 6
    labels = place(wanted, left, right, frame.top + 4 - max(0.0, excess / 2))
    lowest = max((label.level for label in labels), default=0.0)
    return labels, max(frame.bottom, lowest) + 8


def _section(frame: SectionFrame, number: int, of: int) -> Section:
    labels, height = labelled(frame, lambda: SectionLabels(frame).wanted())
    names = [frame.book.axis_name(c.axis) for c in frame.strip.columns if c.axis is not None]
    book = frame.book
    about = book.listed(names)
    what = (
        book.names.stage(frame.rows.stage) if frame.rows.stage else book.text("the whole machine")
    )
    key = f"s{frame.rows.stage.number}" if frame.rows.stage else "m"
    title = book.text(
        "Section %(number)s of %(of)s, %(what)s: %(about)s",
        number=number + 1,
        of=of,
        what=what,
        about=about or book.text("the frame"),
    )
    return Section(
        id=f"{frame.book.prefix}-{key}-h{number + 1}",
        whole=frame.whole,
        title=title,
        description=_told(frame),
        width=WIDTH,
        height=round(height, 1),
        clip=(round(frame.clip[0], 1), round(frame.top, 1),
              round(frame.clip[1] - frame.clip[0], 1), round(frame.bottom - frame.top, 1)),
        shapes=tuple(SectionShapes(frame).shapes()),
        axes=tuple(frame.axis_lines()),
        ticks=tuple(frame.ticks()),
        ruler=round(frame.clip[0] - RULER, 1),
        breaks=tuple(frame.zigzag(y) for y in frame.heights.breaks),
        labels=labels,
        caption=_caption(frame, about),
        scale=frame.scale,
    )  # fmt: skip


def _caption(frame: SectionFrame, about: str) -> str:
    text = frame.book.text
    if frame.strip.level:
        return text(
            "Along the %(arbor)s, which lies level; millimetres from its shoulder.", arbor=about
        )
    carried = any(c.axis and frame.book.kit.axes[c.axis].carried_by for c in frame.strip.columns)
    if not about:
        return text("The frame; what stands on it is set in a row here.")
    if carried:
        names = f"{about[:1].upper()}{about[1:]}"
        return text("%(arbors)s: the arms all turned one way.", arbors=names)
    return text("Along the %(arbor)s.", arbor=about)


def _told(frame: SectionFrame) -> str:
    """The drawing in words: what is new, from the lowest up."""
    items = [i for c in frame.strip.columns if c.labelled for i in c.items if i.id in frame.new]
    found = sorted((frame.spans[i.id].bottom, n, i) for n, i in enumerate(items)
                   if i.id in frame.spans)  # fmt: skip
    names = dict.fromkeys(
        f"{frame.rows.numbers[i.id]} {frame.book.names.one(i.part)}" for *_, i in found
    )
    if not names:
        return frame.book.text("Shown again.")
    return frame.book.text("From the lowest up: %(names)s.", names="; ".join(names))
