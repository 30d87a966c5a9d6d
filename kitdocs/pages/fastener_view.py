"""Fasteners: what each is, where it goes, how many there are."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.kit.parts import Fastener
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.screws import Fastening, head_of
from kitdocs.pages.figures import Outline
from kitdocs.pages.handbook import Counted, Handbook, Ref, designation, slug, spellings
from kitdocs.words.names import head_word
from kitdocs.words.numbers import millimetres


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


def _length(part: Fastener) -> str:
    return millimetres(float(part.parsed.length)) if part.parsed.length else ""


def _where(book: Handbook, fastening: Fastening) -> str:
    item, host = (book.names.one(i.part) for i in (fastening.item, fastening.host))
    if fastening.kind == "set-screw":
        return f"in the {item}, against the {host}"
    numbers = ", ".join(map(str, fastening.holes))
    holes = f", hole{'s' * (len(fastening.holes) > 1)} {numbers}" if numbers else ""
    return f"through the {item} into the {host}{holes}"


def stage_fasteners(book: Handbook, stage: Stage) -> tuple[FastenerRow, ...]:
    """Every fastener that a stage takes, by designation and then by place."""
    taking = book.design.takings.stage_taking(stage)
    rows = [r for item in taking.fastened for r in _fastened(book, item)]
    for item in taking.placed:
        part = book.kit.items[item].part
        if isinstance(part, Fastener):  # a washer or nut of a stack
            where = f"on {book.arbor_name(book.kit.items[item].arbor)}"
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
            yield _row(book, part, _where(book, fastening), count, fastening.driver or "")
        else:
            name = book.names.one(fastening.item.part)
            yield _row(book, part, f"under the heads at the {name}", count, "")


def _row(book: Handbook, part: Fastener, where: str, count: int, driver: str) -> FastenerRow:
    return FastenerRow(designation(part), book.names.one(part), _length(part), where, count, driver)


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
            designation=designation(part),
            name=book.names.one(part),
            aliases=spellings(part),
            length=_length(part),
            head=head_word(part),
            driver=head.driver if (head := head_of(part)) else "",
            needed=takings.used[part.id],
            spare=sum(spares[part.id] for spares in takings.spares.values()),
            used=tuple(
                Counted(Ref(f"stage {stage.number}", stage.uri), takings.stages[stage.id][part.id])
                for stage in book.kit.stages
                if takings.stages[stage.id][part.id]
            ),
            places=tuple(places.get(designation(part), ())),
            picture=book.picture(part),
        )
        for part in book.kit.parts.values()
        if isinstance(part, Fastener)
    )
