"""The parts list of a kit, and its parcels."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.assembly.takings import counted
from kitdocs.kit.parts import Fastener, Supply, Tool
from kitdocs.pages.alike_view import AlikeView, parcel_alikes
from kitdocs.pages.handbook import Counted, Handbook, PartRow, Ref, spellings
from kitdocs.words.minutes import stage_minutes


@dataclass(frozen=True)
class ListedPart:
    """A part in the whole kit: used, spare, and where it goes and comes from."""

    row: PartRow
    aliases: tuple[str, ...]
    spare: int
    stages: tuple[Counted, ...]
    deliveries: tuple[Counted, ...]


@dataclass(frozen=True)
class Group:
    """The parts of a stage."""

    ref: Ref
    rows: tuple[PartRow, ...]


@dataclass(frozen=True)
class BenchThing:
    """A tool, adhesive or oil. `own` when the builder has to find it."""

    name: str
    own: bool


@dataclass(frozen=True)
class PartsView:
    parts: tuple[ListedPart, ...]
    by_stage: tuple[Group, ...]
    deliveries: Ref
    bench: tuple[BenchThing, ...]
    total: int


def parts_view(book: Handbook) -> PartsView:
    """Everything that the kit holds, in the order of its parts file."""
    takings = book.design.takings
    parts = [part for part in book.kit.parts.values() if counted(part)]
    listed = tuple(
        ListedPart(
            row=book.row(part, takings.used[part.id]),
            aliases=spellings(part, book.numbers.point == ",")
            if isinstance(part, Fastener)
            else (),
            spare=sum(spares[part.id] for spares in takings.spares.values()),
            stages=tuple(
                Counted(book.stage_ref(stage), takings.stages[stage.id][part.id])
                for stage in book.kit.stages
                if takings.stages[stage.id][part.id]
            ),
            deliveries=tuple(
                Counted(book.delivery_ref(delivery), held[part.id])
                for delivery, held in takings.delivered.items()
                if held[part.id]
            ),
        )
        for part in parts
    )
    return PartsView(
        parts=listed,
        by_stage=tuple(
            Group(book.stage_ref(stage), _rows(book, takings.stages[stage.id]))
            for stage in book.kit.stages
        ),
        deliveries=Ref(book.text("Deliveries"), book.uri("deliveries.md")),
        bench=bench_things(book),
        total=takings.used.total(),
    )


def _rows(book: Handbook, counts) -> tuple[PartRow, ...]:
    return tuple(book.row(part, count) for part, count in book.in_kit_order(counts))


def bench_things(book: Handbook) -> tuple[BenchThing, ...]:
    """Tools, adhesives and oils of the kit, then the drivers that its fasteners need."""
    listed = [p for p in book.kit.parts.values() if isinstance(p, (Tool, Supply))]
    named = {book.names.one(part): part.own for part in listed}
    for fastening in book.design.fastenings.values():
        if fastening.driver:
            named.setdefault(book.names.driver(fastening.driver), True)
    return tuple(BenchThing(name, own) for name, own in named.items())


@dataclass(frozen=True)
class ParcelRow:
    row: PartRow
    spare: int


@dataclass(frozen=True)
class Parcel:
    """One delivery: `opens` are the stages whose parts are all there once it has come."""

    id: str
    number: int
    title: str
    month: int
    opens: tuple[Ref, ...]
    minutes: int
    adds: tuple[str, ...]
    rows: tuple[ParcelRow, ...]
    alikes: tuple[AlikeView, ...]
    pieces: int
    spares: int


def parcels(book: Handbook) -> tuple[Parcel, ...]:
    """The deliveries of a kit in their order."""
    return tuple(_parcel(book, name) for name in book.kit.deliveries)


def _parcel(book: Handbook, name: str) -> Parcel:
    kit, takings = book.kit, book.design.takings
    delivery = kit.deliveries[name]
    opened = [stage for stage in kit.stages if stage.front.delivery == name]
    held, spares = takings.delivered[name], takings.spares[name]
    return Parcel(
        id=name,
        number=book.delivery_number(name),
        title=book.names.delivery(name),
        month=delivery.month,
        opens=tuple(book.stage_ref(stage) for stage in opened),
        minutes=sum(stage_minutes(book.design, stage) for stage in opened),
        adds=tuple(book.names.body(body) for stage in opened for body in stage.front.adds),
        rows=tuple(
            ParcelRow(book.row(part, held[part.id]), spares[part.id])
            for part, _ in book.in_kit_order(held + spares)
        ),
        alikes=parcel_alikes(book, name),
        pieces=held.total() + spares.total(),
        spares=spares.total(),
    )
