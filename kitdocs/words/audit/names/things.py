"""The things that a sentence names, as items of the machine that they can be."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from kitdocs.kit.parts import Fastener, Part, Supply, Tool
from kitdocs.words.audit.lexicon import Lexicon, Named, words_in
from kitdocs.words.audit.scope import Scope

#: What comes after an item in an expression and prints its fastener, not the item.
_FASTENERS = frozenset({"screw", "screws"})


@dataclass(frozen=True)
class Thing:
    """A name at `start` … `end` of a sentence: a part, and the items of it that may be meant.

    `held` are the items that it holds in the machine, if it is a fastener or an adhesive.
    """

    start: int
    end: int
    part: Part
    items: frozenset[str]
    held: frozenset[str] = frozenset()
    is_typed: bool = True  # written out, not printed by an expression

    @property
    def is_fastener(self) -> bool:
        return isinstance(self.part, Fastener)

    @property
    def is_supply(self) -> bool:
        return isinstance(self.part, Supply)

    @property
    def is_built(self) -> bool:
        """Whether it is an item of the machine, no fastener, supply or tool."""
        return bool(self.items) and not isinstance(self.part, (Fastener, Supply, Tool))


#: A thing, why it cannot be so, and what could stand there.
Fault = tuple[Thing, str, str]


def is_lower_end(text: str, thing: Thing, pattern: re.Pattern[str]) -> bool:
    """Whether a typed `foot` is no part: `at the foot of the post`, `the square, its foot flat`."""
    told = thing.is_typed and thing.part.kind == "foot"
    return told and pattern.search(shown(text, thing)) is not None


NEAR = 40  # characters before or after a name in which words belong to it


def shown(text: str, thing: Thing) -> str:
    """The words near a thing, which is an X among them."""
    return f"{text[max(0, thing.start - NEAR) : thing.start]}X{text[thing.end : thing.end + NEAR]}"


class Things:
    """The things that the sentences of a kit in one language name."""

    def __init__(self, lexicon: Lexicon):
        self.lexicon, self.design, self.kit = lexicon, lexicon.design, lexicon.design.kit
        self._known: dict[tuple[object, ...], Thing | None] = {}

    @cached_property
    def _of_part(self) -> dict[str, frozenset[str]]:
        found: dict[str, set[str]] = {}
        for item in self.kit.items.values():
            found.setdefault(item.part.id, set()).add(item.id)
        return {part: frozenset(items) for part, items in found.items()}

    @cached_property
    def _held_by(self) -> dict[str, frozenset[str]]:
        """The items that a fastener or an adhesive holds, by its part's id."""
        found: dict[str, set[str]] = {}
        for name, fastening in self.design.fastenings.items():
            for part in (fastening.part, fastening.washer):
                if part is not None:
                    found.setdefault(part.id, set()).add(name)
        return {part: frozenset(items) for part, items in found.items()}

    def read(self, named: Iterable[Named], scope: Scope) -> list[Thing]:
        """What a sentence names that is one thing, in order."""
        where = scope.stage.id if scope.stage else "", scope.step.id if scope.step else ""
        found = []
        for one in named:
            key = one.referents, one.source, where
            if key not in self._known:
                self._known[key] = self._thing(one, scope)
            if (thing := self._known[key]) is not None:
                same = thing.start == one.start and thing.end == one.end
                found.append(thing if same else replace(thing, start=one.start, end=one.end))
        return found

    def _thing(self, named: Named, scope: Scope) -> Thing | None:
        if not all(one.what in ("item", "part") for one in named.referents):
            return None
        ids = [one.id for one in named.referents if one.what == "item"]
        item = self.kit.items.get(ids[0]) if len(ids) == 1 else None
        parts = [self.kit.part(one.id) for one in named.referents if one.what == "part"]
        part = item.part if item else parts[0] if len(parts) == 1 else None
        if part is None or any(other is not part for other in parts):
            return None
        fact = named.source.rpartition(").")[2] if ")." in named.source else ""
        if fact in _FASTENERS and item is not None:
            holds = self.design.fastenings.get(item.id)
            if holds is None or holds.part is None:
                return None
            return Thing(
                named.start, named.end, holds.part, frozenset(), frozenset({item.id}), False
            )
        if fact and fact not in self.lexicon.names.forms(part) and fact != "plural":
            return None
        items = frozenset({item.id}) if item else self._meant(part, scope)
        held = self._held_by.get(part.id, frozenset())
        return Thing(named.start, named.end, part, items, held, not named.source)

    def _meant(self, part: Part, scope: Scope) -> frozenset[str]:
        """The items that a part's name may mean: `the collar` is short for a small collar too."""
        words = words_in(self.lexicon.names.one(part).lower())
        others = self.lexicon.tails.get(self.lexicon.stem(words[0][2])) if len(words) == 1 else None
        if not others or isinstance(part, (Fastener, Supply, Tool)):
            return self._built(part, scope)
        parts = (self.kit.parts[i] for i in sorted(others))
        return frozenset(name for one in parts for name in self._built(one, scope))

    def _built(self, part: Part, scope: Scope) -> frozenset[str]:
        """The items of a part that are there when the work is done; else all of them."""
        every = self._of_part.get(part.id, frozenset())
        return (every & scope.reach[0]) or every if scope.stage is not None else every

    def every(self, thing: Thing) -> frozenset[str]:
        """All items of a thing's part."""
        return self._of_part.get(thing.part.id, frozenset())


def family(part: Part) -> str:
    """What a part is counted among: wheels of all kinds, or its kind."""
    return "wheel" if hasattr(part, "teeth") else part.kind
