"""The overview of a kit: what it is, its stages and parcels, and how far it has got."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.parts_view import Parcel, parcels
from kitdocs.pages.train_diagram import TrainDiagram, train_diagram
from kitdocs.words.cautions import Caution, cautions_for


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


def kit_view(book: Handbook) -> KitView:
    """What the kit's first page shows."""
    about = book.kit.about
    hours, minutes = divmod(sum(stage.front.minutes for stage in book.kit.stages), 60)
    return KitView(
        title=about.title,
        summary=about.summary,
        maker=about.maker,
        revision=about.revision,
        bodies=tuple(body.name for body in about.bodies.values()),
        hours=hours,
        minutes=minutes,
        stages=tuple(
            StageLine(
                book.stage_ref(stage),
                stage.front.minutes,
                tuple(about.bodies[body].name for body in stage.front.adds),
                book.delivery_ref(stage.front.delivery),
                stage.front.summary or "",
            )
            for stage in book.kit.stages
        ),
        parcels=parcels(book),
        cautions=cautions_for(about.cautions),
        pieces=book.design.takings.used.total(),
        diagram=train_diagram(book),
        pages=tuple(Ref(title, book.uri(uri)) for uri, title in KIT_PAGES.items()),
    )


#: The pages of every kit beside its overview and stages, in the order of the navigation.
KIT_PAGES = {
    "parts.md": "Parts",
    "fasteners.md": "Fasteners",
    "deliveries.md": "Deliveries",
    "trains.md": "Trains",
    "machine.md": "Machine",
    "record.md": "Design record",
}
