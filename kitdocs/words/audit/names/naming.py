"""One name for one thing: other trade words for it, names of nothing, and things out of place."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from kitdocs.kit.parts import Ball, Part, Supply, Tool
from kitdocs.words.audit.lexicon import Lexicon, Named, words_in
from kitdocs.words.audit.names.roles import RoleCheck
from kitdocs.words.audit.scope import Scope
from kitdocs.words.prepositions import PREPOSITION
from kitdocs.words.sentences import Backed, Sentence


@dataclass(frozen=True)
class Misnamed:
    """A name at `start` of a sentence that is not the thing's own, or is that of another."""

    start: int
    found: str
    expected: str
    mend: str = ""
    sure: bool = True  # whether it is wrong for certain


#: Bodies that are common nouns too, and then have an article before them.
_COMMON = frozenset({"earth", "moon", "sun"})
#: Nouns that are no things of a body.
_NO_THINGS = frozenset({"planet", "pair", "step", "stage", "hole", "tooth", "parcel"})

Words = list[tuple[int, int, str]]


class NameCheck:
    """Reads what sentences call things, in one language of a kit."""

    def __init__(self, lexicon: Lexicon):
        self.lexicon, self.design = lexicon, lexicon.design
        self.tongue, self.kit = lexicon.tongue, lexicon.design.kit
        self._names_of: dict[str, tuple[str, str]] = {}
        self._alone: dict[tuple[str, tuple[Backed, ...]], tuple[Misnamed, ...]] = {}

    def misnamed(
        self, sentence: Sentence, scope: Scope, named: tuple[Named, ...]
    ) -> Iterator[Misnamed]:
        """What a sentence calls by another name, and what it names that has no place there."""
        key = sentence.text, sentence.backed
        if key not in self._alone:
            self._alone[key] = tuple(self._misnamed_alone(sentence, named))
        yield from self._alone[key]
        if scope.stage is not None:
            what = "this step" if scope.step else "this stage"
            out_of_place: set[int] = set()
            for n, one in enumerate(named):
                if n == 0 and self._is_object(one, sentence):
                    continue  # what an instruction is done to: word-order looks at it
                if self._roles.is_no_part(one, sentence, scope):
                    continue
                if not self._has_place(one, sentence, scope):
                    said = sentence.text[one.start : one.end]
                    found = f"'{said}', with which {what} has nothing to do"
                    expected, mend = "a thing that is at hand there", "Name what is meant."
                    out_of_place.add(one.start)
                    yield Misnamed(one.start, found, expected, mend, sure=False)
            for thing, why, expected in self._roles.faults(sentence, scope, named):
                if thing.start in out_of_place:
                    continue
                found = f"'{sentence.text[thing.start : thing.end]}', {why}"
                yield Misnamed(thing.start, found, expected, "Name what is meant.", sure=False)

    def _is_object(self, named: Named, sentence: Sentence) -> bool:
        """Whether an instruction is done to an item that an expression names."""
        preposition = PREPOSITION.get(self.tongue.code)
        before = sentence.text[: named.start]
        is_asked = bool(named.source) and sentence.kind == "item"
        return is_asked and not (preposition and preposition.search(before)) and "," not in before

    @cached_property
    def _roles(self) -> RoleCheck:
        return RoleCheck(self.lexicon)

    def _misnamed_alone(self, sentence: Sentence, named: tuple[Named, ...]) -> Iterator[Misnamed]:
        """What is wrong wherever the sentence stands."""
        things = [n for n in named if any(r.what != "body" for r in n.referents)]
        taken = [(n.start, n.end) for n in things] + [(b.start, b.end) for b in sentence.backed]
        words = [
            w for w in words_in(sentence.text) if not any(s <= w[0] < e for s, e in taken)
        ]  # fmt: skip
        yield from self._other_words(words, sentence)
        if self._unwanted:
            yield from self._said_unwanted(sentence)
        if self.tongue.wrong_article:
            yield from self._articles(sentence, named)
        yield from self._small_bodies(words, sentence)
        yield from self._names_of_nothing(words, sentence)

    def swapped(
        self, sentences: Iterable[Sentence], scope: Scope
    ) -> Iterator[tuple[Sentence, Misnamed]]:
        """Items that stand, it seems, for another of their kind: the step does nothing to them,
        or they are named twice, and one that it handles is never named.
        """
        if scope.step is None:
            return
        items, seen = self.kit.items, Counter[str]()
        told = [
            (sentence, named, referent.id)
            for sentence in sentences
            if sentence.kind == "item"
            for named in self.lexicon.named(sentence)
            if named.source.startswith("item(") and named.source.endswith(")")
            for referent in named.referents
            if referent.id in items
        ]
        if not told:
            return
        every = {name for _, _, name in told}
        parts = {items[name].part.id for name in every}
        unnamed = [i for i in scope.handled if i.id not in every and i.part.id not in parts]
        for sentence, named, name in told:
            seen[name] += 1
            kind = items[name].part.kind
            missing = next((item.id for item in unnamed if item.part.kind == kind), None)
            twice = seen[name] == 2 and name in scope.acted_ids
            if missing and (name not in scope.acted_ids or twice):
                found = f"{name}, where the step's facts have {missing}, which no words name"
                mend = f"Write {{{{ item('{missing}') }}}} if it is meant."
                yield sentence, Misnamed(named.start, found, "the item of the facts", mend, False)

    def _other_words(self, words: Words, sentence: Sentence) -> Iterator[Misnamed]:
        """Trade words for a thing that the kit calls by another of them."""
        for n, (start, _, word) in enumerate(words):
            if word not in self._first_words:
                continue
            after = words[n + 1][2] if n + 1 < len(words) else ""
            for said in (f"{word} {after}", word):
                if said in self._ours:
                    yield Misnamed(start, f"'{said}'", f"'{self._ours[said]}', as the kit calls it")
                    break

    @cached_property
    def _first_words(self) -> frozenset[str]:
        return frozenset(said.partition(" ")[0] for said in self._ours)

    @cached_property
    def _ours(self) -> dict[str, str]:
        """Other words for what the kit has a word for, with that word."""
        found: dict[str, str] = {}
        lexicon = self.lexicon
        forms = [form for part in self.kit.parts.values() for form in lexicon.forms(part)]
        names = {f" {' '.join(lexicon.stems(form))} " for form in forms}
        for group in self.tongue.same:
            stems = {word: " ".join(lexicon.stems(word)) for word in group}
            used = {
                word
                for word in group
                if (
                    any(f" {stems[word]} " in name for name in names)
                    if " " in word
                    else word in lexicon.words
                )
            }
            own = sorted(used, key=lambda word: (len(word), word))
            also = {stems[word] for word in used}
            for word in (group - used) if used else ():
                if stems[word] not in also:
                    many = [w for w in own if w.endswith("s") == word.endswith("s")]
                    found[word] = (many or own)[0]
        return found

    @cached_property
    def _unwanted(self) -> list[tuple[re.Pattern[str], str]]:
        """What parts must not be called, as their `also` says, and what they are called."""
        names = self.lexicon.names
        return [
            (re.compile(rf"\b{re.escape(other)}\b", re.IGNORECASE), names.one(part))
            for part in self.kit.parts.values()
            for other in names.also(part)
        ]

    def _said_unwanted(self, sentence: Sentence) -> Iterator[Misnamed]:
        for other, name in self._unwanted:
            for found in other.finditer(sentence.text):
                yield Misnamed(found.start(), f"'{found[0]}'", f"'{name}', as the kit calls it")

    def _articles(self, sentence: Sentence, named: tuple[Named, ...]) -> Iterator[Misnamed]:
        """Articles that are not those of the names that they stand before."""
        assert self.tongue.wrong_article is not None
        for one in named:
            part = self._part_of(one) if ")." not in one.source else None
            if part is None:
                continue
            said = sentence.text[one.start : one.end]
            name, many = self._one_and_many(part)
            if name == many or said not in (name, many):
                continue
            is_plural = said == many
            article, ours = self.tongue.wrong_article(sentence.text, one.start, name, is_plural)
            if article:
                found = f"'{article} {said}'"
                yield Misnamed(one.start, found, f"{ours} before it", "", sure=False)

    def _one_and_many(self, part: Part) -> tuple[str, str]:
        if part.id not in self._names_of:
            names = self.lexicon.names
            self._names_of[part.id] = names.one(part), names.many(part)
        return self._names_of[part.id]

    def _part_of(self, named: Named) -> Part | None:
        """The part that a name is of, or the part of the item that it is of; None for others."""
        ids = {
            self.kit.items[r.id].part.id if r.what == "item" and r.id in self.kit.items else r.id
            for r in named.referents
            if r.what in ("item", "part")
        }
        return self.kit.part(ids.pop()) if len(ids) == 1 else None

    @cached_property
    def _bodies(self) -> dict[str, str]:
        """The names of bodies that begin with a capital, by what they are in lower case."""
        names = (self.lexicon.names.body(body) for body in self.kit.bodies)
        return {n.lower(): n for n in names if n[:1].isupper() and " " not in n}

    def _small_bodies(self, words: Words, sentence: Sentence) -> Iterator[Misnamed]:
        """Bodies are written with a capital."""
        before = ""
        for start, _, word in words:
            capital = self._bodies.get(word)
            is_small = capital is not None and sentence.text[start] == word[0]
            if is_small and (word not in _COMMON or before in ("the", "from")):
                yield Misnamed(start, f"'{word}'", f"'{capital}', with a capital")
            before = word

    @cached_property
    def _called(self) -> frozenset[frozenset[str]]:
        """The words of each name and of each id of an item."""
        parts = self.kit.parts.values()
        texts = [form for part in parts for form in self.lexicon.forms(part)]
        texts += [item.replace("-", " ") for item in self.kit.items]
        return frozenset(frozenset(self.lexicon.stems(text)) for text in texts)

    def _names_of_nothing(self, words: Words, sentence: Sentence) -> Iterator[Misnamed]:
        """`the Mars hub`, where no part and no item is called so."""
        for (start, end, first), (at, until, second) in pairwise(words):
            if first not in self._bodies or sentence.text[end:at] not in (" ", "\u00a0", "-"):
                continue
            key = self.tongue.noun(second)
            if key is None or key in _NO_THINGS:
                continue
            said = {self.lexicon.stem(first), self.lexicon.stem(second.removesuffix("s"))}
            also = {self.lexicon.stem(first), self.lexicon.stem(second)}
            if not any(said <= name or also <= name for name in self._called):
                found = f"'{sentence.text[start:until]}'"
                yield Misnamed(start, found, "a name of the kit", "Write {{ item('ID') }}.")

    def _has_place(self, named: Named, sentence: Sentence, scope: Scope) -> bool:
        """Whether the work has to do with what is named, or it is built and only looked at.

        An instruction may name what is near its step, or was built in its stage; what describes,
        or belongs to a step that looks at the machine, may name all that is built.
        """
        acted = scope.acted_ids
        if any(r.what != "part" and (r.what != "item" or r.id in acted) for r in named.referents):
            return True
        reach, parts = self._in_reach(scope, sentence.kind in ("item", "heading"))
        items = self.kit.items
        for referent in named.referents:
            if referent.what == "item":
                if referent.id in reach or referent.id not in items:
                    return True
                if "." in named.source and items[referent.id].part.id in parts:
                    return True
            elif self._is_free(referent.id, parts):
                return True
        said = sentence.text[named.start : named.end].lower()
        if not named.source and len(words_in(said)) == 1:
            return any(ids & parts for ids in self.lexicon.parts_called(said))
        return False

    def _is_free(self, name: str, parts: frozenset[str]) -> bool:
        """Whether a part is at hand, or is none that is built in: a ball that shows a body, a tool
        (stage-tools looks at it) or a supply."""
        part = self.kit.part(name)
        return part is None or isinstance(part, (Ball, Supply, Tool)) or part.id in parts

    def _in_reach(self, scope: Scope, instructs: bool) -> tuple[frozenset[str], frozenset[str]]:
        """The items and parts that a sentence of the step or stage may name."""
        looks = any(action.verb in ("turn", "check") for action in scope.actions)
        return scope.stage_reach if instructs and not looks else scope.reach
