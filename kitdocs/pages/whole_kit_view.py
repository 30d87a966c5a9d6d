"""The whole kit on one page, for paper: what it begins with, and the pages that it is bound of."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.kit_view import KitView
from kitdocs.words.cautions import Caution


@dataclass(frozen=True)
class ChapterRef:
    """A page of the kit that is bound into this one. What had an id there has `before` put in
    front of it here; the chapter itself has `id`."""

    ref: Ref
    id: str
    before: str


@dataclass(frozen=True)
class WholeKitView:
    title: str
    summary: str
    bodies: tuple[str, ...]
    cautions: tuple[Caution, ...]
    chapters: tuple[ChapterRef, ...]


def whole_kit_view(book: Handbook, overview: KitView) -> WholeKitView:
    """The parcels, then the stages, each with its proof and what is seen when that fails."""
    parcels = Ref(book.text("Deliveries"), book.uri("deliveries.md"))
    pages = (parcels, *(book.stage_ref(stage) for stage in book.kit.stages))
    return WholeKitView(
        title=overview.title,
        summary=overview.summary,
        bodies=overview.bodies,
        cautions=overview.cautions,
        chapters=tuple(ChapterRef(ref, f"kd-chapter-{n}", f"c{n}-") for n, ref in enumerate(pages)),
    )
