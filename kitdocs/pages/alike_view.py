"""Look-alikes: two parts of one parcel side by side, and what tells them apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.assembly.look_alikes import LookAlike, look_alikes
from kitdocs.kit.parts import Fastener, Part, Toothed
from kitdocs.kit.stage import Stage
from kitdocs.pages.figures import Outline, outlines_together
from kitdocs.pages.handbook import Handbook, hole_facts
from kitdocs.words.names import head_word
from kitdocs.words.numbers import millimetres
from kitdocs.words.views import MEASURES

_TOLD = {
    "length": "One thread and one head, two lengths",
    "head": "One thread and one length, two heads",
    "teeth": "One bore and one module, nearly as many teeth",
}


@dataclass(frozen=True)
class Difference:
    """What the two have each, in words; an en dash where one has none."""

    what: str
    a: str
    b: str


@dataclass(frozen=True)
class AlikeView:
    """Two look-alikes. `pictures` are at one scale, None where there are none to compare."""

    names: tuple[str, str]
    pictures: tuple[Outline, Outline] | None
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
    told = _TOLD.get(alike.why)
    if told is None:
        told = "The same size; the mark tells them apart" if alike.marked else "The same size"
    return AlikeView(
        names=(book.names.one(alike.a), book.names.one(alike.b)),
        pictures=outlines_together(alike.a, alike.b),
        told=told,
        differences=tuple(_differences(alike.a, alike.b)),
    )


def _differences(a: Part, b: Part) -> Iterator[Difference]:
    first, second = _facts(a), _facts(b)
    for what in dict.fromkeys((*first, *second)):
        one, other = first.get(what, ""), second.get(what, "")
        if one != other:
            yield Difference(what, one or "–", other or "–")


def _facts(part: Part) -> dict[str, str]:
    """What a builder can count, measure or see on a part, by what it is."""
    facts: dict[str, str] = {}
    if isinstance(part, Fastener):
        facts["Head or point"] = head_word(part) or part.parsed.standard
        facts["Length"] = millimetres(float(part.parsed.length or 0))
    if isinstance(part, Toothed):
        facts["Teeth"] = str(part.teeth)
    for key in MEASURES:
        value = getattr(part, key, None)
        if isinstance(value, float) and value:
            facts[key.replace("_", " ").capitalize()] = millimetres(value)
    facts["Holes"] = ", ".join(hole_facts(part))
    facts["Flat"] = "yes" if getattr(part, "flat", False) else ""
    facts["Material"] = part.material or ""
    facts["Mark"] = part.mark or ""
    return facts
