"""Look-alikes: two parts of one parcel side by side, and what tells them apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.assembly.look_alikes import LookAlike, look_alikes
from kitdocs.kit.parts import Fastener, Part, Toothed
from kitdocs.kit.stage import Stage
from kitdocs.pages.figures import Outline, outlines_together
from kitdocs.pages.handbook import Handbook
from kitdocs.words.language import marked
from kitdocs.words.part_facts import hole_facts, measure
from kitdocs.words.views import MEASURES

_SMALL = 20.0  # mm, so that two stand in the width of a phone
_TOLD = {
    "length": marked("One thread and one head, two lengths"),
    "head": marked("One thread and one length, two heads"),
    "teeth": marked("One bore and one module, nearly as many teeth"),
}


@dataclass(frozen=True)
class Difference:
    """What the two have each, in words; an en dash where one has none."""

    what: str
    a: str
    b: str


@dataclass(frozen=True)
class AlikeView:
    """Two look-alikes. `pictures` are at one scale, None where there are none to compare; `small`
    ones can stand side by side at actual size, on a phone too."""

    names: tuple[str, str]
    pictures: tuple[Outline, Outline] | None
    small: bool
    told: str
    differences: tuple[Difference, ...]


def parcel_alikes(book: Handbook, delivery: str) -> tuple[AlikeView, ...]:
    """The look-alikes of one parcel."""
    return tuple(_view(book, alike) for alike in look_alikes(book.kit, delivery))


def stage_alikes(book: Handbook, stage: Stage) -> tuple[AlikeView, ...]:
    """Of the parcels that a stage takes from: the look-alikes of what it takes, each pair once."""
    sources = book.sources[stage.id]
    found: dict[frozenset[str], LookAlike] = {}
    for delivery in book.kit.deliveries:
        taken = {part for part, came in sources.items() if came[delivery]}
        for alike in look_alikes(book.kit, delivery) if taken else ():
            pair = frozenset((alike.a.id, alike.b.id))
            if pair & taken:
                found.setdefault(pair, alike)
    return tuple(_view(book, alike) for alike in found.values())


def _view(book: Handbook, alike: LookAlike) -> AlikeView:
    if alike.why in _TOLD:
        told = book.text(_TOLD[alike.why])
    elif alike.marked:
        told = book.text("The same size; the mark tells them apart")
    else:
        told = book.text("The same size")
    pictures = outlines_together(alike.a, alike.b)
    return AlikeView(
        names=(book.names.one(alike.a), book.names.one(alike.b)),
        pictures=pictures,
        small=pictures is not None and all(p.width <= _SMALL for p in pictures),
        told=told,
        differences=tuple(_differences(book, alike.a, alike.b)),
    )


def _differences(book: Handbook, a: Part, b: Part) -> Iterator[Difference]:
    first, second = _facts(book, a), _facts(book, b)
    for what in dict.fromkeys((*first, *second)):
        one, other = first.get(what, ""), second.get(what, "")
        if one != other:
            yield Difference(what, one or "–", other or "–")


def _facts(book: Handbook, part: Part) -> dict[str, str]:
    """What a builder can count, measure or see on a part, by what it is."""
    facts: dict[str, str] = {}
    if isinstance(part, Fastener):
        length = float(part.parsed.length or 0)
        facts[book.text("Head or point")] = book.names.head(part) or part.parsed.standard
        facts[_capital(measure(book.names, "length"))] = book.numbers.millimetres(length)
    if isinstance(part, Toothed):
        facts[book.text("Teeth")] = str(part.teeth)
    for key in MEASURES:
        value = getattr(part, key, None)
        if isinstance(value, float) and value:
            facts[_capital(measure(book.names, key))] = book.numbers.millimetres(value)
    facts[book.text("Holes")] = ", ".join(hole_facts(book.names, part))
    facts[book.text("Flat")] = book.text("yes") if getattr(part, "flat", False) else ""
    facts[book.text("Material")] = book.names.material(part)
    facts[book.text("Mark")] = book.names.mark(part)
    return facts


def _capital(word: str) -> str:
    return word[:1].upper() + word[1:]
