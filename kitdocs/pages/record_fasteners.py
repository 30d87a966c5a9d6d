"""The figures of the design record about screws."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.kit.parts import Fastener
from kitdocs.mechanism.solids import wall_of
from kitdocs.mechanism.standards import stocked_lengths
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.record_figure import Figure
from kitdocs.rules.screw_bottom import thread_left
from kitdocs.words.numbers import millimetres, plain


def grips(book: Handbook) -> Iterator[Figure]:
    """How much of each screw is in its thread."""
    for name, fastening in book.design.fastenings.items():
        if fastening.engagement is None or not fastening.needed or fastening.part is None:
            continue
        screw = book.names.one(fastening.part)
        into = book.names.one(fastening.host.part)
        yield Figure(
            f"{screw} of {name} in the {into}",
            f"{millimetres(round(fastening.engagement, 3))} engaged, "
            f"grip {millimetres(round(fastening.grip or 0.0, 3))}",
            f"at least {millimetres(fastening.needed)}",
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
            f"{book.names.one(fastening.part)} of {name} in the "
            f"{book.names.one(fastening.host.part)}",
            f"{millimetres(round(spare, 3))} of thread left below it",
            f"at least {millimetres(wanted)}",
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
            f"{book.names.one(part)} of {name} on {fastening.host.id}",
            f"{millimetres(length)} long",
            f"at least {millimetres(round(wall, 3))}, the wall",
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
            f"{millimetres(length)} long",
            f"{part.parsed.standard} lists {plain(low)} to {millimetres(high)}",
            min(length - low, high - length) / (high - low),
        )
