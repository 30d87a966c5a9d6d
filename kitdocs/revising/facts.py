"""Which facts of a kit have changed, whatever their spelling, order or layout."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kitdocs.finding import Place
from kitdocs.kit.fact import Fact
from kitdocs.kit.model import Kit
from kitdocs.revising.telling import WORDS

#: Keys under which there are only words.
_WORDS = ("title", "summary", "maker", *(key for key in WORDS if key not in ("own", "hazards")))


@dataclass(frozen=True)
class ChangedFact:
    """A fact before and now, by its path (`parts.wheel-61.teeth`); None where there is none.

    `place` is where it is written now, or where it was.
    """

    path: str
    before: Any
    now: Any
    place: Place

    @property
    def is_words(self) -> bool:
        """Whether it is only what something is called, or told of it."""
        return self.path.rpartition(".")[2] in _WORDS

    def __str__(self) -> str:
        before, now = self.before, self.now
        if isinstance(before, tuple) and isinstance(now, tuple):
            return f"{self.path}: {_listed(before, now)}"
        return f"{self.path}: {_shown(before)} -> {_shown(now)}"


def changed_facts(old: Kit, new: Kit) -> tuple[ChangedFact, ...]:
    """Every fact that is another, in the order of the files; steps are compared by themselves."""
    found: list[ChangedFact] = []
    for former, latter in (
        (old.about, new.about),
        (_Together("parts", old.parts), _Together("parts", new.parts)),
        (old.mechanism, new.mechanism),
        (_Together("deliveries", old.deliveries), _Together("deliveries", new.deliveries)),
        (_Together("stages", _fronts(old)), _Together("stages", _fronts(new))),
    ):
        found += _compared((), former, latter)
    order = tuple(old.deliveries), tuple(new.deliveries)
    if order[0] != order[1] and sorted(order[0]) == sorted(order[1]):
        place = next(iter(new.deliveries.values())).place()
        found.append(ChangedFact("deliveries", *order, place))
    return tuple(found)


def _fronts(kit: Kit) -> Mapping[str, Any]:
    return {stage.id: stage.front for stage in kit.stages}


@dataclass(frozen=True)
class _Together:
    """Facts that stand under one key of a file, as a mapping of their own."""

    key: str
    facts: Mapping[str, Any]


def _compared(path: tuple[str, ...], old: Any, new: Any) -> Iterator[ChangedFact]:
    if isinstance(old, _Together) and isinstance(new, _Together):
        yield from _mappings((*path, old.key), old.facts, new.facts)
    elif isinstance(old, Fact) and isinstance(new, Fact) and type(old) is type(new):
        for name in type(new).model_fields:
            if name == "signed":  # follows from the rest
                continue
            key = name.rstrip("_").replace("_", "-")
            before, now = getattr(old, name), getattr(new, name)
            for change in _compared((*path, key), before, now):
                yield change if change.place.path else _placed(change, old, new, name)
    elif isinstance(old, Mapping) and isinstance(new, Mapping):
        yield from _mappings(path, old, new)
    elif isinstance(old, tuple) and isinstance(new, tuple) and len(old) == len(new) and _facts(old):
        for i, (a, b) in enumerate(zip(old, new, strict=True), start=1):
            yield from _compared((*path, str(i)), a, b)
    elif _plain(old) != _plain(new):
        yield ChangedFact(".".join(path), old, new, _place(new) or _place(old) or Place(""))


def _mappings(
    path: tuple[str, ...], old: Mapping[str, Any], new: Mapping[str, Any]
) -> Iterator[ChangedFact]:
    for key in dict.fromkeys((*old, *new)):
        yield from _compared((*path, key), old.get(key), new.get(key))


def _facts(values: tuple) -> bool:
    return bool(values) and all(isinstance(value, Fact) for value in values)


def _placed(change: ChangedFact, old: Fact, new: Fact, name: str) -> ChangedFact:
    fact = new if getattr(new, name) is not None else old
    return ChangedFact(change.path, change.before, change.now, fact.place(name))


def _place(value: Any) -> Place | None:
    return value.place() if isinstance(value, Fact) else None


def _plain(value: Any) -> Any:
    return value.model_dump(exclude={"signed"}) if isinstance(value, Fact) else value


def _shown(value: Any) -> str:
    if value is None:
        return "none"
    if isinstance(value, Fact):
        return "{" + ", ".join(f"{k}: {_shown(v)}" for k, v in _set(value)) + "}"
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{k}: {_shown(v)}" for k, v in value.items()) + "}"
    if isinstance(value, tuple):
        return "[" + ", ".join(map(_shown, value)) + "]"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _listed(before: tuple, now: tuple) -> str:
    """Two lists by what has gone and what has come, or by their order."""
    gone = [one for one in before if one not in now]
    come = [one for one in now if one not in before]
    told = [f"without {_shown(one)}" for one in gone] + [f"with {_shown(one)}" for one in come]
    if len(told) < len(before) + len(now) and len(before) - len(gone) == len(now) - len(come):
        moved = [one for one in before if one in now] != [one for one in now if one in before]
        told += ["in another order"] if moved else []
        if told:
            return ", ".join(told)
    return f"{_shown(before)} -> {_shown(now)}"


def _set(fact: Fact) -> Iterator[tuple[str, Any]]:
    for name in fact.model_fields_set:
        yield name.rstrip("_").replace("_", "-"), getattr(fact, name)
