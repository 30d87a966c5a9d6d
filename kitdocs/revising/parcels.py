"""Which parcels hold other things than before, and whether a builder lacks something for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection

from kitdocs.assembly.design import Design
from kitdocs.kit.errata import ChangedParcel
from kitdocs.revising.telling import PartChange, Telling


def changed_parcels(
    old: Design, new: Design, telling: Telling, sent: Collection[str] | None
) -> tuple[ChangedParcel, ...]:
    """The parcels that hold other parts, or parts made otherwise.

    `sent` are the ids of those that have gone out by the earlier revision; None where that is not
    known.
    """
    before, now = old.kit.deliveries, new.kit.deliveries
    short = _short(old, new, telling, sent) if sent is not None else None
    found = []
    for name in dict.fromkeys((*now, *before)):
        changes = telling.changes(_holds(old, name), _holds(new, name))
        if not changes:
            continue
        side = 1 if name in now else 0
        title, others = telling.title(
            lambda code, name=name, side=side: telling.names(code, side).delivery(name)
        )
        state = None if sent is None else "sent" if name in sent else "waiting"
        missing = state == "waiting" or any(
            _wants(change, telling) and (short is None or _id(change) in short)
            for change in telling.changes(
                old.takings.delivered.get(name, Counter()),
                new.takings.delivered.get(name, Counter()),
            )
        )
        found.append(
            ChangedParcel(
                delivery=name,
                title=title,
                state=state,
                missing="true" if missing else "false",  # as it is written
                parts=telling.parts(changes),
                translated=others,
            )
        )
    return tuple(found)


def _holds(design: Design, parcel: str) -> Counter[str]:
    """All that a parcel brings, with its spares."""
    takings = design.takings
    return takings.delivered.get(parcel, Counter()) + takings.spares.get(parcel, Counter())


def _wants(change: PartChange, telling: Telling) -> bool:
    """Whether a parcel as it was lacks something of what it should hold now."""
    if change.is_ is None or not change.now:
        return False
    more = change.was is None or change.was.id != change.is_.id or change.now > change.before
    return more or telling.made_otherwise(change.is_.id)


def _id(change: PartChange) -> str:
    assert change.is_
    return change.is_.id


def _short(old: Design, new: Design, telling: Telling, sent: Collection[str]) -> set[str]:
    """The parts of which the parcels that have gone out hold too few, taken together."""
    had: Counter[str] = Counter()
    due: Counter[str] = Counter()
    for name in sent:
        had += _holds(old, name)
        due += new.takings.delivered.get(name, Counter())
    return {part for part, count in due.items()
            if count > had[part] or telling.made_otherwise(part)}  # fmt: skip
