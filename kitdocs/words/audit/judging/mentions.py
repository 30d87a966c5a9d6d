"""What a sentence speaks of: the things that it names, and nouns that stand for one at hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from kitdocs.words.audit.judging.statement import Statement
from kitdocs.words.audit.lexicon import Lexicon, Named, Referent, words_in

#: Keys of nouns that are no thing of their own.
_NO_THING = frozenset({"tooth", "hole", "step", "stage", "parcel", "planet", "pair"})


@dataclass(frozen=True)
class Mention:
    """A thing that a sentence speaks of at `start` … `end`.

    `parts` and `items` are what it may be, `body` the body that it is; a `named` one is called
    by its name, others by their noun.
    """

    start: int
    end: int
    parts: frozenset[str]
    items: frozenset[str]
    body: str = ""
    named: bool = True
    called: frozenset[str] = frozenset()  # all parts that a noun alone may mean

    @property
    def referents(self) -> tuple[Referent, ...]:
        return tuple(Referent("part", part) for part in sorted(self.parts))


def mentions(at: Statement) -> tuple[Mention, ...]:
    """The things that a sentence speaks of, in order, without those that the claim is in."""
    named = [m for n in at.named if (m := _of_name(at, n)) is not None]
    spans = [(n.start, n.end) for n in at.named]
    found = sorted([*named, *_of_nouns(at, spans)], key=lambda m: m.start)
    found = [_on_shaft(at, m, found) for m in found]
    return tuple(m for m in found if not m.start <= at.claim.start < m.end)


_NEAR = 14  # characters between a thing and the shaft that it is told to be on


def _on_shaft(at: Statement, one: Mention, found: list[Mention]) -> Mention:
    """`the bevel wheel on the lay arbor`, `the lay arbor's wheel`: a noun with the name of the
    shaft, or the body, beside it means what is on that."""
    kit, text = at.scope.design.kit, at.sentence.text
    if one.named or not one.called:
        return one
    for other in found:
        between = text[one.end : other.start] if other.start >= one.end else ""
        on = 0 < len(between) <= _NEAR and at.lexicon.tongue.stops.issuperset(
            between.lower().split()
        )
        owns = one.start - 1 <= other.end + 2 and text[other.end - 2 : one.start] in ("'s ", "’s ")
        if not other.named or not (on or owns):
            continue
        shafts = set(other.items) & kit.arbors.keys()
        shafts |= {kit.bodies[other.body].arbor} if other.body in kit.bodies else set()
        items = {i.id: i.part.id for s in shafts for i in kit.on_arbor[s]
                 if i.part.id in one.called and i.id != s}  # fmt: skip
        if items:
            return replace(one, parts=frozenset(items.values()), items=frozenset(items))
    return one


def _of_name(at: Statement, named: Named) -> Mention | None:
    kit, names = at.scope.design.kit, at.lexicon.names
    parts, items, body = set[str](), set[str](), ""
    for referent in named.referents:
        if referent.what == "body":
            body = referent.id
        elif referent.what == "part":
            parts.add(referent.id)
            items |= {i.id for i in kit.items.values() if i.part.id == referent.id}
        elif referent.what == "item" and referent.id in kit.items:
            item = kit.items[referent.id]
            form = named.source.rpartition(")")[2]
            if form and form[1:] not in names.forms(item.part):
                return None  # it prints a number or a screw of the item
            parts.add(item.part.id)
            items.add(item.id)
    if not parts and not body:
        return None
    return Mention(named.start, named.end, frozenset(parts), frozenset(items), body)


def _of_nouns(at: Statement, spans: list[tuple[int, int]]) -> Iterator[Mention]:
    lexicon, tongue = at.lexicon, at.lexicon.tongue
    words = words_in(at.sentence.text)
    for n, (start, end, word) in enumerate(words):
        key = tongue.noun(word)
        if key in _NO_THING or any(s < end and start < e for s, e in spans):
            continue
        if not lexicon.is_noun(word):
            if tongue.grammar and word in tongue.grammar.crank:
                yield _crank(at, start, end)
            elif body := _body(at, word):
                yield Mention(start, end, frozenset(), frozenset(), body, named=False)
            continue
        before = []
        for _, _, other in words[max(0, n - 2) : n][::-1]:
            if other in tongue.stops or tongue.begins(other) or not other.isalpha():
                break
            before.append(other)
        for at_word, _, other in words[max(0, n - len(before)) : n]:
            if lexicon.is_of_a_name(other):
                start = min(start, at_word)  # "bevel wheel"
        called = lexicon.parts_called(word, before, at.sentence.text)
        yield _at_hand(at, start, end, called, tongue.grammar is not None
                       and word in tongue.grammar.plural)  # fmt: skip


def _crank(at: Statement, start: int, end: int) -> Mention:
    kit = at.scope.design.kit
    crank = kit.mechanism.crank
    shaft = frozenset({crank} if crank in kit.items else ())
    return Mention(start, end, frozenset(kit.items[i].part.id for i in shaft), shaft, named=False)


def _body(at: Statement, word: str) -> str:
    """The body of which a word such as `lunation` tells."""
    grammar, kit = at.lexicon.tongue.grammar, at.scope.design.kit
    if grammar is None:
        return ""
    if (body := grammar.bodies.get(word, "")) in kit.bodies:
        return body
    for body, name in _body_names(at.lexicon).items():
        for stem in (name, name.removesuffix("e")):  # "Marsjahr", "Erdjahr"
            if word.startswith(stem) and grammar.bodies.get(word[len(stem) :]) == "":
                return body
    return ""


@lru_cache(maxsize=8)
def _body_names(lexicon: Lexicon) -> dict[str, str]:
    """Names of bodies in lower case, by their ids."""
    return {body: lexicon.names.body(body).lower() for body in lexicon.design.kit.bodies}


def _at_hand(
    at: Statement, start: int, end: int, called: tuple[frozenset[str], ...], is_plural: bool
) -> Mention:
    """A noun alone: of the parts that it may mean, those in hand in the step, or at hand; of
    readings of the noun, the first that means something there. A noun by which few of a kind are
    called (`pinion`) means one of them wherever one is at hand."""
    scope = at.scope
    items = scope.design.kit.items
    handled = {item.part.id for item in scope.handled} | {*scope.taking.parts}
    circles = [handled, scope.parts] if scope.step is not None else [scope.parts]
    every = frozenset[str]().union(*called)
    order = [(circle, parts) for circle in circles for parts in called]
    if called and 2 * len(called[0]) < len(every):
        order.sort(key=lambda one: called.index(one[1]))
    near = next(
        (
            parts & circle
            for circle, parts in order
            if len(parts & circle) > (is_plural and circle is handled and len(parts) > 1)
        ),
        frozenset[str](),
    )
    acted = frozenset(item.id for item in scope.acted if item.part.id in near)
    beside = frozenset(name for name in scope.near if items[name].part.id in near)
    return Mention(start, end, near, acted or beside, named=False, called=every)
