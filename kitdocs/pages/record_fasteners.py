"""The figures of the design record about screws."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.kit.parts import Fastener
from kitdocs.mechanism.screws import Fastening
from kitdocs.mechanism.solids import wall_of
from kitdocs.mechanism.standards import stocked_lengths
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.record_figure import Figure
from kitdocs.rules.screw_bottom import thread_left


def grips(book: Handbook) -> Iterator[Figure]:
    """How much of each screw is in its thread."""
    for name, fastening in book.design.fastenings.items():
        if fastening.engagement is None or not fastening.needed or fastening.part is None:
            continue
        mm = book.numbers.millimetres
        yield Figure(
            _screw_in(book, name, fastening),
            book.text(
                "%(engaged)s engaged, grip %(grip)s",
                engaged=mm(round(fastening.engagement, 3)),
                grip=mm(round(fastening.grip or 0.0, 3)),
            ),
            book.text("at least %(limit)s", limit=mm(fastening.needed)),
            fastening.engagement / fastening.needed - 1,
        )


def threads_left(book: Handbook) -> Iterator[Figure]:
    """What is left below the screws in blind holes."""
    for name, fastening in book.design.fastenings.items():
        left = thread_left(book.design, fastening)
        if left is None or fastening.part is None:
            continue
        spare, wanted = left
        yield Figure(
            _screw_in(book, name, fastening),
            book.text(
                "%(length)s of thread left below it",
                length=book.numbers.millimetres(round(spare, 3)),
            ),
            book.text("at least %(limit)s", limit=book.numbers.millimetres(wanted)),
            spare / (wanted or 1.0) - 1,
        )


def set_screws(book: Handbook) -> Iterator[Figure]:
    """Whether the set screws reach their shafts."""
    for name, fastening in book.design.fastenings.items():
        part, wall = fastening.part, wall_of(fastening.item.part)
        if fastening.kind != "set-screw" or not isinstance(part, Fastener) or not wall:
            continue
        length = float(part.parsed.length or 0)
        yield Figure(
            book.text(
                "%(screw)s of %(item)s on %(host)s",
                screw=book.names.one(part),
                item=name,
                host=fastening.host.id,
            ),
            book.text("%(length)s long", length=book.numbers.millimetres(length)),
            book.text(
                "at least %(limit)s, the wall", limit=book.numbers.millimetres(round(wall, 3))
            ),
            length / wall - 1,
        )


def lengths(book: Handbook) -> Iterator[Figure]:
    """Where each length is in what its product standard lists."""
    for part in book.kit.parts.values():
        listed = stocked_lengths(part.parsed) if isinstance(part, Fastener) else None
        if not isinstance(part, Fastener) or not listed or not part.parsed.length:
            continue
        length, low, high = float(part.parsed.length), listed[0], listed[-1]
        yield Figure(
            book.names.one(part),
            book.text("%(length)s long", length=book.numbers.millimetres(length)),
            book.text(
                "%(standard)s lists %(low)s to %(high)s",
                standard=part.parsed.standard,
                low=book.numbers.plain(low),
                high=book.numbers.millimetres(high),
            ),
            min(length - low, high - length) / (high - low),
        )


def _screw_in(book: Handbook, item: str, fastening: Fastening) -> str:
    assert fastening.part is not None
    return book.text(
        "%(screw)s of %(item)s in the %(host)s",
        screw=book.names.one(fastening.part),
        item=item,
        host=book.names.one(fastening.host.part),
    )
