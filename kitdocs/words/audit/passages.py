"""Every text of a kit that its editors wrote and readers see, as it is shown, in each language.

A new field or file with text belongs here: `tests/test_every_text.py` finds one that is missing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from kitdocs.assembly.design import Design
from kitdocs.kit.about import OwnReference
from kitdocs.kit.fact import Fact
from kitdocs.kit.limits import LIMITS
from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Fastener, Toothed
from kitdocs.kit.stage import Passage
from kitdocs.kit.words_file import PluralForms
from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.errata_texts import errata_texts
from kitdocs.words.audit.scope import Scope, scope_of
from kitdocs.words.expressions import prose_of
from kitdocs.words.given import given_by
from kitdocs.words.names import Names
from kitdocs.words.sentences import Sentence, sentences

#: The kinds of number that speak of the things of a kit: those of measures by what they measure.
THINGS = frozenset({"count", "teeth", "designation", "mm", "deg", "turn"})


@dataclass(frozen=True)
class Manner:
    """How a text is read. `kinds` are the numbers that are judged (`kind_of`), empty for all;
    `checks_names` says whether what it calls things is. A text that `is_a_name` does not rest on
    itself; one that `has_expressions` may print its numbers."""

    kinds: frozenset[str] = frozenset()
    checks_names: bool = True
    is_a_name: bool = False
    has_expressions: bool = False


PROSE = Manner(has_expressions=True)
TITLE = Manner()  # and all else that is written about the kit in its data files
PART_NAME = Manner(is_a_name=True)
#: What else has a name: `67P` and `Parcel 3` are names, and tell no figure.
NAME = Manner(THINGS | {"parcel", "month"}, is_a_name=True)
#: What is no part of the instructions: it has years, editions and tests of its own.
REASON = Manner(THINGS)
#: The same of people, makers and books, whose names have words of their own too.
SOURCE = Manner(THINGS, checks_names=False)
#: A tool by its size, which is the fact itself.
SIZE = Manner(frozenset({"count", "teeth"}), checks_names=False)


@dataclass(frozen=True)
class Words:
    """A passage of a page as it was read: its sentences and where they stand.

    `uri` is the address of the page that shows it, of the original where it is a translation, and
    empty for what several pages show. `beside` are texts of the same entry, whose numbers it may
    tell again.
    """

    uri: str
    code: str
    sentences: tuple[Sentence, ...]
    scope: Scope
    manner: Manner
    beside: tuple[str, ...] = ()

    def judges(self, claim: Claim) -> bool:
        """Whether a number is one that has to rest on something."""
        return not self.manner.kinds or kind_of(claim) in self.manner.kinds


def kind_of(claim: Claim) -> str:
    """The kind of a claim; of a measure what it measures, of a reference what it names."""
    return claim.what if claim.kind in ("measure", "reference") else claim.kind


@lru_cache(maxsize=4)
def words_of(design: Design) -> tuple[Words, ...]:
    """Everything that the kit's editors wrote and readers see, in every language of the kit."""
    first, *further = design.kit.languages
    found = list(_kit_words(design, first))
    for code in further:
        found += _called(design, code)
        found += _translated(design, code)
    found += _sources(design, found)
    return tuple(words for words in found if words.sentences)


@lru_cache(maxsize=4)
def _of_parts(design: Design) -> dict[str, Scope]:
    """The scope of each part's own words, which all languages share."""
    return {name: Scope(design, part=part) for name, part in design.kit.parts.items()}


class _Shown:
    """Passages of the pages in one language, with their expressions worked out."""

    def __init__(self, design: Design, code: str):
        self.code, self.design = code, design
        self.prose = prose_of(design, code)

    def words(self, uri: str, scope: Scope, *passages: Passage) -> Words:
        told: list[Sentence] = []
        for passage in passages:
            told += sentences(self.prose.rendering(passage, uri, scope.stage), self.code)
        return Words(uri, self.code, tuple(told), scope, PROSE)

    def texts(self, manner: Manner, scope: Scope, passages: Iterable[Passage],
              uri: str = "", beside: tuple[str, ...] = ()) -> Words:  # fmt: skip
        """Texts without expressions."""
        told = [s for passage in passages for s in sentences(passage, self.code)]
        return Words(uri, self.code, tuple(told), scope, manner, beside)

    def plain(self, manner: Manner, scope: Scope, fact: Fact, *keys: str, uri: str = "",
              beside: tuple[str, ...] = ()) -> Words:  # fmt: skip
        """Texts of a data file or of front matter, by their keys."""
        found = [Passage(text, fact.place(key)) for key in keys if (text := getattr(fact, key))]
        return self.texts(manner, scope, found, uri, beside)

    def box(self, manner: Manner, scope: Scope, fact: Fact, key: str) -> Words:
        """The texts of a mapping that a fact has under a key."""
        texts = getattr(fact, key)
        found = [Passage(text, fact.place(key, name)) for name, text in texts.items()]
        return self.texts(manner, scope, found)


def _kit_words(design: Design, code: str) -> Iterator[Words]:
    kit, shown, whole = design.kit, _Shown(design, code), scope_of(design)
    about = kit.about
    yield shown.plain(TITLE, whole, about, "title", "summary")
    yield shown.plain(SOURCE, whole, about, "maker", "revision")
    if about.signed:
        yield shown.plain(SOURCE, whole, about.signed, "by")
    for name, entry in about.limits.items():
        texts = (LIMITS[name].text, design.limit(name).text)
        yield shown.plain(REASON, whole, entry, "reason", beside=texts)
    yield shown.box(REASON, whole, about, "unchecked")
    for body in kit.bodies.values():
        yield shown.plain(NAME, whole, body, "name")
        if isinstance(body.reference, OwnReference):
            yield shown.plain(SOURCE, whole, body.reference, "source")
    for name, delivery in kit.deliveries.items():
        yield shown.plain(NAME, Scope(design, delivery=name), delivery, "title")
    yield from _part_words(design, shown)
    yield from _page_words(design, shown)
    used = {use.procedure.name: use.procedure for stage in kit.stages for use in stage.uses}
    slots = [Passage(s.words, s.place) for p in used.values() for s in p.slots]
    yield shown.texts(REASON, whole, slots)
    for figure in kit.figures:
        here = _Shown(design, figure.language if figure.language in kit.languages else code)
        yield here.texts(REASON, whole, figure.texts)
    for text in errata_texts(design):
        here, manner = _Shown(design, text.code), TITLE if text.is_advice else REASON
        yield here.texts(manner, text.scope, [text.passage], beside=text.beside)


def _page_words(design: Design, shown: _Shown) -> Iterator[Words]:
    kit, whole = design.kit, scope_of(design)
    for page in kit.pages:
        yield shown.words(page.uri, whole, page.text)
        yield shown.texts(TITLE, whole, page.front, page.uri)
    for stage in kit.stages:
        scope = scope_of(design, stage)
        yield shown.plain(TITLE, scope, stage.front, "title", "summary", uri=stage.uri)
        yield shown.words(stage.uri, scope, stage.words)
        for step in stage.steps:
            yield shown.words(stage.uri, scope_of(design, stage, step), step.title, step.words)


def _part_words(design: Design, shown: _Shown) -> Iterator[Words]:
    kit, names, whole = design.kit, shown.prose.names, scope_of(design)
    for part in kit.parts.values():
        scope = _of_parts(design)[part.id]
        yield shown.plain(PART_NAME, scope, part, "name", "plural", "spoken")
        yield shown.plain(TITLE, scope, part, "mark", "note", "material")
        if isinstance(part, Fastener):
            yield shown.plain(SIZE, whole, part, "driver")
    yield shown.texts(NAME, whole, _by_id(kit, names))


def _by_id(kit: Kit, names: Names) -> Iterator[Passage]:
    """Names that are made of ids, since nothing else is written."""
    for part in kit.parts.values():
        if part.name is None and not isinstance(part, (Fastener, Toothed)):
            yield Passage(names.one(part), part.place())
    for name, arbor in kit.arbors.items():
        if name not in kit.items:
            yield Passage(names.arbor(name), arbor.place())
    shafted = {arbor.axis for name, arbor in kit.arbors.items() if name in kit.items}
    for name, axis in kit.axes.items():
        if name not in shafted:
            yield Passage(names.axis(name), axis.place())


def _called(design: Design, code: str) -> Iterator[Words]:
    """What things are called in a further language."""
    kit, shown, whole = design.kit, _Shown(design, code), scope_of(design)
    words = kit.words.get(code)
    if words is None:
        return
    yield shown.plain(TITLE, whole, words, "title", "summary")
    for box in ("arbors", "axes", "materials"):
        yield shown.box(NAME, whole, words, box)
    scopes = {name: Scope(design, delivery=name) for name in words.deliveries}
    for name, called in (*words.bodies.items(), *words.deliveries.items()):
        scope = scopes[name] if called is words.deliveries.get(name) else whole
        yield shown.plain(NAME, scope, called, "name")
        yield shown.box(NAME, scope, called, "forms")
    for name, called in words.parts.items():
        part = kit.part(name)
        if part is None:
            continue
        scope = _of_parts(design)[part.id]
        yield shown.plain(PART_NAME, scope, called, "name", "spoken")
        yield shown.box(PART_NAME, scope, called, "forms")
        yield shown.plain(TITLE, scope, called, "mark", "note")
        if called.plural:
            yield shown.plain(PART_NAME, scope, called.plural, *PluralForms.model_fields)


def _translated(design: Design, code: str) -> Iterator[Words]:
    """The translated pages, each step where its original stands."""
    kit, shown = design.kit, _Shown(design, code)
    for page in kit.pages:
        if made := kit.translation(page.uri, code):
            yield shown.plain(TITLE, scope_of(design), made.front, "title", uri=page.uri)
            yield shown.words(page.uri, scope_of(design), made.words)
    for stage in kit.stages:
        made = kit.translation(stage.uri, code)
        if made is None:
            continue
        uri, scope = stage.uri, scope_of(design, stage)
        yield shown.plain(TITLE, scope, made.front, "title", "summary", uri=uri)
        yield shown.words(uri, scope, made.words)
        steps = {step.id: step for step in stage.steps}
        for step in made.steps:
            here = scope_of(design, stage, steps[step.id]) if step.id in steps else scope
            yield shown.words(uri, here, step.title, step.words)


def _sources(design: Design, found: Iterable[Words]) -> Iterator[Words]:
    """Where figures from elsewhere come from, as `given('…', '…')` says."""
    for words in found:
        for sentence in words.sentences if words.manner is PROSE else ():
            for backed in sentence.backed:
                if given := given_by(backed):
                    source = Passage(given.source, sentence.place(backed.start))
                    shown = _Shown(design, words.code)
                    yield shown.texts(SOURCE, scope_of(design), [source])
