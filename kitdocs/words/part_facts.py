"""What tells a part from its neighbours, in words: sizes, holes, material and mark."""

from __future__ import annotations

from collections import Counter

from kitdocs.kit.parts import Fastener, Part
from kitdocs.words.language import marked_plural
from kitdocs.words.names import Names
from kitdocs.words.views import MEASURES

_HOLES = {
    True: marked_plural("%(number)s tapped hole %(size)s", "%(number)s tapped holes %(size)s"),
    False: marked_plural("%(number)s hole %(size)s", "%(number)s holes %(size)s"),
}


def measure(names: Names, key: str) -> str:
    """What a measure of a part is called."""
    return names.language.text(MEASURES[key])


def part_facts(names: Names, part: Part) -> tuple[str, ...]:
    """A part's sizes, holes, material and mark, each in a few words."""
    facts: list[str] = []
    if isinstance(part, Fastener):
        facts += [names.designation(part), names.head(part)]
    for key in MEASURES:
        if isinstance(value := getattr(part, key, None), float) and value:
            facts.append(f"{measure(names, key)} {names.numbers.millimetres(value)}")
    facts += [*hole_facts(names, part), names.material(part)]
    if mark := names.mark(part):
        facts.append(names.language.text("mark: %(mark)s", mark=mark))
    facts.append(names.note(part))
    return tuple(fact for fact in facts if fact)


def hole_facts(names: Names, part: Part) -> list[str]:
    """A part's holes, those of one size together: `3 tapped holes M2.5`."""
    counts: Counter[tuple[bool, str]] = Counter()
    for pattern in part.holes:
        plain = names.numbers.millimetres(pattern.size) if pattern.size else ""
        size = names.numbers.local(pattern.thread) if pattern.thread else plain
        counts[bool(pattern.thread), size] += pattern.count
    found = []
    for (tapped, size), count in counts.items():
        one, many = _HOLES[tapped]
        found.append(names.language.plural(one, many, count, size=size).strip())
    return found
