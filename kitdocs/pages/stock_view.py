"""What has been delivered by a stage and waits in its bags for later ones."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from kitdocs.kit.stage import Stage
from kitdocs.pages.handbook import Handbook, Ref


@dataclass(frozen=True)
class Kept:
    """What is kept for a later stage, each with its count."""

    stage: Ref
    things: tuple[tuple[int, str], ...]


def kept_for_later(book: Handbook, stage: Stage) -> tuple[Kept, ...]:
    """By the stage that will take it: what has come by now and is not taken by this stage's end.

    Spares are left out: they are nobody's.
    """
    takings, order = book.design.takings, list(book.kit.deliveries)
    left = takings.stock_after(order[: order.index(stage.front.delivery) + 1])
    left.subtract(book.design.dry_build.end_of(stage.id).taken)
    found = []
    for later in book.kit.stages[stage.number :]:
        taken: Counter[str] = Counter()
        for part, needed in takings.stages[later.id].items():
            taken[part] = max(0, min(needed, left[part]))
        left.subtract(taken)
        things = tuple(
            (count, book.names.form(count, part)) for part, count in book.in_kit_order(taken)
        )
        if things:
            found.append(Kept(book.stage_ref(later), things))
    return tuple(found)
