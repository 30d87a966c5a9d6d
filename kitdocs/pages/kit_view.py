"""The overview of a kit: what it is, its stages and parcels, and how far it has got."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.kit.model import Kit
from kitdocs.pages.bench_view import Marks, StageOutline, kit_outline
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.parts_view import Parcel, parcels
from kitdocs.pages.train_diagram import TrainDiagram, train_diagram
from kitdocs.words.cautions import Caution, cautions_for
from kitdocs.words.language import marked
from kitdocs.words.minutes import stage_minutes


@dataclass(frozen=True)
class StageLine:
    ref: Ref
    minutes: int
    adds: tuple[str, ...]
    delivery: Ref
    summary: str


@dataclass(frozen=True)
class KitView:
    """`hours` and `minutes` are the time of all stages together."""

    id: str
    title: str
    summary: str
    maker: str
    revision: str
    bodies: tuple[str, ...]
    hours: int
    minutes: int
    stages: tuple[StageLine, ...]
    parcels: tuple[Parcel, ...]
    cautions: tuple[Caution, ...]
    pieces: int
    diagram: TrainDiagram | None
    pages: tuple[Ref, ...]
    outline: tuple[StageOutline, ...]


def kit_view(book: Handbook, marks: Marks) -> KitView:
    """What the kit's first page shows."""
    about = book.kit.about
    hours, minutes = divmod(sum(stage_minutes(book.design, stage) for stage in book.kit.stages), 60)
    return KitView(
        id=book.kit.id,
        title=book.names.title,
        summary=book.names.summary,
        maker=about.maker,
        revision=about.revision,
        bodies=tuple(book.names.body(body) for body in about.bodies),
        hours=hours,
        minutes=minutes,
        stages=tuple(
            StageLine(
                book.stage_ref(stage),
                stage_minutes(book.design, stage),
                tuple(book.names.body(body) for body in stage.front.adds),
                book.delivery_ref(stage.front.delivery),
                book.names.stage_summary(stage),
            )
            for stage in book.kit.stages
        ),
        parcels=parcels(book),
        cautions=cautions_for(about.cautions, book.language),
        pieces=book.design.takings.used.total(),
        diagram=train_diagram(book),
        pages=tuple(
            Ref(book.text(title), book.uri(uri)) for uri, title in kit_pages(book.kit).items()
        ),
        outline=kit_outline(book, marks),
    )


#: The pages of a kit beside its overview and stages, in the order of the navigation.
KIT_PAGES = {
    "parts.md": marked("Parts"),
    "fasteners.md": marked("Fasteners"),
    "deliveries.md": marked("Deliveries"),
    "trains.md": marked("Trains"),
    "machine.md": marked("Machine"),
    "setting.md": marked("Setting"),
    "faults.md": marked("Fault-finding"),
    "errata.md": marked("Errata"),
    "record.md": marked("Design record"),
    "whole.md": marked("Print the whole kit"),
}


def kit_pages(kit: Kit) -> dict[str, str]:
    """The addresses and titles of those that this kit has: a setting page only where it has a
    calendar, errata only where it has had any."""
    wanted = {"setting.md": kit.about.setting, "errata.md": kit.errata}
    return {uri: title for uri, title in KIT_PAGES.items() if wanted.get(uri, True)}
