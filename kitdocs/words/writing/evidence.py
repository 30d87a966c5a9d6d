"""Whether a step's words speak of an item of its facts.

Words name things in more ways than expressions: by a noun (*lower the pipe*), for several at once
(*each flange*), by the body that an arm shows, or by what a thing is fixed to. This takes all of
them for evidence, so that only words that do not speak of an item at all are told of.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Shaft, Toothed
from kitdocs.words.names import Names
from kitdocs.words.sentences import Sentence
from kitdocs.words.writing.mentions import Mention, mentions, others
from kitdocs.words.writing.texts import Text

_WORDS = re.compile(r"[^\W_]+")
_SEVERAL = re.compile(r"\b(?:each|every|all|both|other|others|another|same)\s+(?:\w+\s+)?$")


class Related:
    """What in a machine belongs together so closely that naming one may stand for the other."""

    def __init__(self, kit: Kit):
        self.kit = kit

    def are(self, a: Item, b: Item) -> bool:
        """The same part, on one arbor, one runs or stands on the other, or one holds the other."""
        return (
            a is b
            or a.part is b.part
            or a.arbor == b.arbor
            or self._is_held(a, b)
            or self._is_held(b, a)
            or self._runs(a, b)
            or self._runs(b, a)
        )

    def touch(self, a: Item, b: Item) -> bool:
        """The same, or the two mesh."""
        return self.are(a, b) or self.kit.mesh(a.id, b.id) is not None

    def _is_held(self, a: Item, b: Item) -> bool:
        held = self.kit.held.get(a.id)
        return held is not None and held.to == b.id

    def _runs(self, a: Item, b: Item) -> bool:
        arbor = self.kit.arbors[a.arbor]
        return arbor.runs_on == b.arbor or arbor.stands_on == b.id

    def bodies(self, item: Item) -> set[str]:
        """The bodies that an item moves with: of its arbor, and of the arbors that carry it."""
        arbor: str | None = item.arbor
        seen: set[str] = set()
        while arbor and arbor not in seen:
            seen.add(arbor)
            arbor = self.kit.carrier(arbor)
        return {name for name, body in self.kit.bodies.items() if body.arbor in seen}


class Evidence:
    """What one step's words speak of, in English."""

    def __init__(self, design: Design, text: Text, names: Names):
        self.kit, self.text, self.names = design.kit, text, names
        self.related = Related(design.kit)
        self.mentions: tuple[Mention, ...] = mentions(text)
        title = text.step.title.text if text.step else ""
        self._words = _bare(" ".join([title, *(s.text for s in text.sentences)]))

    @cached_property
    def _named(self) -> set[tuple[str, str]]:
        return {(named.what, name) for named in others(self.text) for name in named.ids}

    def of(self, item: Item) -> bool:
        """Whether the words speak of an item."""
        return (
            self._is_mentioned(item, self.mentions)
            or self._by_id(item)
            or self._by_body(item)
            or any(self._by_noun(item, sentence) for sentence in self.text.sentences)
            or any(self._in_title(noun) for noun in self.nouns(item))
        )

    def in_sentences(self, item: Item, verbs: re.Pattern[str]) -> bool | None:
        """Whether the sentences with one of the verbs speak of an item; None without any."""
        chosen = [s for s in self.text.sentences if verbs.search(s.text)]
        if not chosen:
            return None
        near = [m for m in self.mentions if m.sentence in chosen]
        return self._is_mentioned(item, near) or any(
            self._by_noun(item, s)
            or self._id_in(item, _bare(s.text))
            or self._body_in(item, s)
            or any(self.related.are(item, other) for other in self._meant(s))
            for s in chosen
        )

    def _meant(self, sentence: Sentence) -> Iterator[Item]:
        """The items named earlier in the step that nouns of a sentence stand for."""
        named = {m.item for m in self.mentions}
        nouns = {n for name in named if name in self.kit.items
                 for n in self.nouns(self.kit.items[name])}  # fmt: skip
        for word in re.finditer(r"[a-z]+", sentence.text.lower()):
            backed = any(b.start <= word.start() < b.end for b in sentence.backed)
            if word[0] in nouns and not backed:
                meant = self._last_with(word[0], sentence, word.start())
                if meant is not None:
                    yield meant

    def nouns(self, item: Item) -> set[str]:
        """The nouns that may stand for an item by themselves."""
        called = (self.names.one(item.part), self.names.many(item.part))
        found = {_bare(name).split()[-1] for name in called} | {item.part.kind.split("-")[-1]}
        if isinstance(item.part, Toothed):
            found |= {"wheel", "pinion", "idler"}
        if isinstance(item.part, Shaft):
            found |= {"rod"} if item.part.kind == "post" else {"pipe", "arbor"}
        if item.part.kind == "hand":
            found.add("hand")
        return {noun for noun in found if noun}

    def _is_mentioned(self, item: Item, found: tuple[Mention, ...] | list[Mention]) -> bool:
        items = (self.kit.items.get(m.item) for m in found)
        if any(other and self.related.are(item, other) for other in items):
            return True
        named = {("part", item.part.id), ("arbor", item.arbor), ("count", item.id)}
        return bool(named & self._named)

    def _by_id(self, item: Item) -> bool:
        return self._id_in(item, self._words)

    def _id_in(self, item: Item, words: str) -> bool:
        names = {item.id, item.arbor} - {"frame"}
        return any(f" {name.replace('-', ' ')} " in words for name in names)

    def _by_body(self, item: Item) -> bool:
        bodies = self.related.bodies(item)
        return any(
            ("body", name) in self._named or _bare(self.kit.bodies[name].name) in self._words
            for name in bodies
        )

    def _body_in(self, item: Item, sentence: Sentence) -> bool:
        words = _bare(sentence.text)
        return any(_bare(self.kit.bodies[n].name) in words for n in self.related.bodies(item))

    def _in_title(self, noun: str) -> bool:
        title = _bare(self.text.step.title.text) if self.text.step else ""
        return f" {noun}s " in title or (f" {noun} " in title and not self._claimed(noun))

    def _claimed(self, noun: str) -> bool:
        """Whether an expression of the step uses up a noun: then it means that item."""
        return any(
            noun in self.nouns(item)
            for m in self.mentions
            if (item := self.kit.items.get(m.item)) and not m.fact
        )

    def _by_noun(self, item: Item, sentence: Sentence) -> bool:
        """Whether a noun that may mean the item does, by what was named before it."""
        text = sentence.text.lower()
        for noun in self.nouns(item):
            for match in re.finditer(rf"\b{re.escape(noun)}(?P<many>s|es)?\b", text):
                if any(b.start <= match.start() < b.end for b in sentence.backed):
                    continue
                if match["many"] or _SEVERAL.search(text[: match.start()]):
                    return True
                meant = self._last_with(noun, sentence, match.start())
                if meant is None or self.related.are(item, meant):
                    return True
        return False

    def _last_with(self, noun: str, sentence: Sentence, offset: int) -> Item | None:
        """The item that an expression named last before a place, if the noun fits it."""
        order = {id(s): n for n, s in enumerate(self.text.sentences)}
        here = (order[id(sentence)], offset)
        before = [
            item
            for m in self.mentions
            if (order[id(m.sentence)], m.start) < here
            and (item := self.kit.items.get(m.item))
            and noun in self.nouns(item)
        ]
        return before[-1] if before else None


def _bare(text: str) -> str:
    """Lower case, words between single spaces, with one at each end."""
    return f" {' '.join(_WORDS.findall(text.lower()))} "
