"""Fasteners: what each is, where it goes, how many there are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.kit.parts import Fastener
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.screws import Fastening, head_of
from kitdocs.pages.figures import Outline
from kitdocs.pages.handbook import Counted, Handbook, Ref, slug, spellings


@dataclass(frozen=True)
class FastenerRow:
    """One fastener at one place. `length` is empty for nuts and washers."""

    designation: str
    name: str
    length: str
    where: str
    count: int
    driver: str


@dataclass(frozen=True)
class FastenerKind:
    """One designation in the whole kit. `aliases` are for the search only."""

    slug: str
    designation: str
    name: str
    aliases: tuple[str, ...]
    length: str
    head: str
    driver: str
    needed: int
    spare: int
    used: tuple[Counted, ...]
    places: tuple[str, ...]
    picture: Outline | None


def _length(book: Handbook, part: Fastener) -> str:
    return book.numbers.millimetres(float(part.parsed.length)) if part.parsed.length else ""


def _where(book: Handbook, fastening: Fastening) -> str:
    item, host = (book.names.one(i.part) for i in (fastening.item, fastening.host))
    if fastening.kind == "set-screw":
        return book.text("in the %(item)s, against the %(host)s", item=item, host=host)
    if not fastening.holes:
        return book.text("through the %(item)s into the %(host)s", item=item, host=host)
    return book.plural(
        "through the %(item)s into the %(host)s, hole %(holes)s",
        "through the %(item)s into the %(host)s, holes %(holes)s",
        len(fastening.holes),
        item=item,
        host=host,
        holes=", ".join(map(str, fastening.holes)),
    )


def stage_fasteners(book: Handbook, stage: Stage) -> tuple[FastenerRow, ...]:
    """Every fastener that a stage takes, by designation and then by place."""
    taking = book.design.takings.stage_taking(stage)
    rows = [r for item in taking.fastened for r in _fastened(book, item)]
    for item in taking.placed:
        part = book.kit.items[item].part
        if isinstance(part, Fastener):  # a washer or nut of a stack
            arbor = book.arbor_name(book.kit.items[item].arbor)
            where = book.text("on the %(arbor)s", arbor=arbor)
            rows.append(_row(book, part, where, 1, ""))
    merged: dict[tuple[str, str, str], FastenerRow] = {}
    for row in rows:
        key = (row.designation, row.where, row.driver)
        before = merged[key].count if key in merged else 0
        merged[key] = FastenerRow(
            row.designation, row.name, row.length, row.where, before + row.count, row.driver
        )
    return tuple(sorted(merged.values(), key=lambda row: row.designation))


def _fastened(book: Handbook, item: str) -> Iterable[FastenerRow]:
    fastening = book.design.fastenings[item]
    for part, count in fastening.takes:
        if not isinstance(part, Fastener):
            continue
        if part is fastening.part:
            driver = book.names.driver(fastening.driver or "")
            yield _row(book, part, _where(book, fastening), count, driver)
        else:
            name = book.names.one(fastening.item.part)
            where = book.text("under the heads at the %(item)s", item=name)
            yield _row(book, part, where, count, "")


def _row(book: Handbook, part: Fastener, where: str, count: int, driver: str) -> FastenerRow:
    shown = book.names.designation(part)
    return FastenerRow(shown, book.names.one(part), _length(book, part), where, count, driver)


def fastener_kinds(book: Handbook) -> tuple[FastenerKind, ...]:
    """Every fastener of the kit, each designation once."""
    takings = book.design.takings
    places: dict[str, dict[str, None]] = {}
    for stage in book.kit.stages:
        for row in stage_fasteners(book, stage):
            places.setdefault(row.designation, {})[row.where] = None
    return tuple(
        FastenerKind(
            slug=slug(part.id),
            designation=book.names.designation(part),
            name=book.names.one(part),
            aliases=spellings(part, book.numbers.point == ","),
            length=_length(book, part),
            head=book.names.head(part),
            driver=book.names.driver(head.driver) if (head := head_of(part)) else "",
            needed=takings.used[part.id],
            spare=sum(spares[part.id] for spares in takings.spares.values()),
            used=tuple(
                Counted(_stage(book, stage), takings.stages[stage.id][part.id])
                for stage in book.kit.stages
                if takings.stages[stage.id][part.id]
            ),
            places=tuple(places.get(book.names.designation(part), ())),
            picture=book.picture(part),
        )
        for part in book.kit.parts.values()
        if isinstance(part, Fastener)
    )


def _stage(book: Handbook, stage: Stage) -> Ref:
    return Ref(book.text("stage %(number)s", number=stage.number), stage.uri)
