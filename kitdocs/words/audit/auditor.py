"""The audit of all that a kit says: its pages, titles, names and notes, in each language."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

from kitdocs.assembly.design import Design
from kitdocs.finding import Place as Where
from kitdocs.kit.fact import Fact
from kitdocs.kit.stage import Passage
from kitdocs.words.audit.claims import Claim, claims
from kitdocs.words.audit.english import ENGLISH
from kitdocs.words.audit.german import GERMAN
from kitdocs.words.audit.lexicon import Lexicon
from kitdocs.words.audit.matching import judge
from kitdocs.words.audit.naming import Misnamed, NameCheck
from kitdocs.words.audit.polish import POLISH
from kitdocs.words.audit.scope import Scope, scope_of
from kitdocs.words.audit.statement import Against, Backing, Statement
from kitdocs.words.audit.tongue import Tongue
from kitdocs.words.expressions import prose_of
from kitdocs.words.given import Given, given_in
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.sentences import Sentence, sentence, sentences

TONGUES: dict[str, Tongue] = {t.code: t for t in (ENGLISH, GERMAN, POLISH)}


@dataclass(frozen=True)
class Heard:
    """One number that was read, and what it rests on or what stands against it."""

    claim: Claim
    sentence: Sentence
    outcome: Backing | Against

    @property
    def place(self) -> Where:
        return self.sentence.place(self.claim.start)


@dataclass(frozen=True)
class Words:
    """A passage of a page as it was read: its sentences and where they stand.

    `uri` is the address of the page that shows it, of the original where it is a translation, and
    empty for what several pages show.
    """

    uri: str
    code: str
    sentences: tuple[Sentence, ...]
    scope: Scope


class Auditor:
    """Reads in one language; `tongue` is None for a language that it has no rules of."""

    def __init__(self, design: Design, code: str = "en"):
        self.design, self.code = design, code
        self.tongue = TONGUES.get(code.partition("-")[0])
        self.names = Names(design.kit, Language(code))
        self.lexicon = Lexicon(design, self.names, self.tongue or ENGLISH)

    @cached_property
    def _name_check(self) -> NameCheck:
        return NameCheck(self.lexicon)

    def hear(self, told: Sentence | str, scope: Scope) -> list[Heard]:
        """Every number of a sentence, judged where it stands."""
        return self.read(told, scope)[0]

    def read(
        self, told: Sentence | str, scope: Scope, names: bool = False
    ) -> tuple[list[Heard], list[Misnamed]]:
        """Every number of a sentence, and with `names` what it calls by another name."""
        one = sentence(told) if isinstance(told, str) else told
        if self.tongue is None:
            return [], []
        found = claims(one.text, self.lexicon)
        if not found and not names:
            return [], []
        named = self.lexicon.named(one)
        heard = [
            Heard(c, one, judge(Statement(c, one, named, scope, self.lexicon, found)))
            for c in found
        ]
        return heard, list(self._name_check.misnamed(one, scope, named)) if names else []

    def swapped(
        self, told: Iterable[Sentence], scope: Scope
    ) -> Iterator[tuple[Sentence, Misnamed]]:
        """Items that a step's words name in place of others."""
        return self._name_check.swapped(told, scope)


@lru_cache(maxsize=4)
def words_of(design: Design) -> tuple[Words, ...]:
    """Everything that the kit's editors wrote and readers see, in every language of the kit."""
    first, *further = design.kit.languages
    found = list(_kit_words(design, first))
    for code in further:
        found += _called(design, code)
        found += _translated(design, code)
    return tuple(found)


class _Shown:
    """Passages of the pages in one language, with their expressions worked out."""

    def __init__(self, design: Design, code: str):
        self.code, self.design = code, design
        self.prose = prose_of(design, code)

    def words(self, uri: str, scope: Scope, *passages: Passage) -> Words:
        told: list[Sentence] = []
        for passage in passages:
            told += sentences(self.prose.rendering(passage, uri, scope.stage), self.code)
        return Words(uri, self.code, tuple(told), scope)

    def plain(self, uri: str, scope: Scope, fact: Fact, *keys: str) -> Words:
        """Texts of a data file or of front matter, which have no expressions."""
        texts = [(text, fact.place(key)) for key in keys if (text := getattr(fact, key, None))]
        told = [s for text, place in texts for s in sentences(Passage(text, place), self.code)]
        return Words(uri, self.code, tuple(told), scope)


def _kit_words(design: Design, code: str) -> Iterator[Words]:
    kit, shown, whole = design.kit, _Shown(design, code), scope_of(design)
    yield shown.plain("", whole, kit.about, "title", "summary")
    for body in kit.bodies.values():
        yield shown.plain("", whole, body, "name")
    for name, delivery in kit.deliveries.items():
        yield shown.plain("", Scope(design, delivery=name), delivery, "title")
    for part in kit.parts.values():
        keys = ("name", "plural", "spoken", "mark", "note", "material")
        yield shown.plain("", Scope(design, part=part), part, *keys)
    for page in kit.pages:
        yield shown.words(page.uri, whole, page.text)
    for stage in kit.stages:
        scope = scope_of(design, stage)
        yield shown.plain(stage.uri, scope, stage.front, "title", "summary")
        yield shown.words(stage.uri, scope, stage.words)
        for step in stage.steps:
            yield shown.words(stage.uri, scope_of(design, stage, step), step.title, step.words)


def _called(design: Design, code: str) -> Iterator[Words]:
    """What things are called in a further language."""
    kit, shown = design.kit, _Shown(design, code)
    words = kit.words.get(code)
    if words is None:
        return
    yield shown.plain("", scope_of(design), words, "title", "summary")
    for body in words.bodies.values():
        yield shown.plain("", scope_of(design), body, "name")
    for name, delivery in words.deliveries.items():
        yield shown.plain("", Scope(design, delivery=name), delivery, "name")
    for name, called in words.parts.items():
        part = kit.part(name)
        if part is not None:
            yield shown.plain("", Scope(design, part=part), called, "name", "mark", "note")


def _translated(design: Design, code: str) -> Iterator[Words]:
    """The translated pages, each step where its original stands."""
    kit, shown = design.kit, _Shown(design, code)
    for page in kit.pages:
        if made := kit.translation(page.uri, code):
            yield shown.words(page.uri, scope_of(design), made.words)
    for stage in kit.stages:
        made = kit.translation(stage.uri, code)
        if made is None:
            continue
        uri, scope = stage.uri, scope_of(design, stage)
        yield shown.plain(uri, scope, made.front, "title", "summary")
        yield shown.words(uri, scope, made.words)
        steps = {step.id: step for step in stage.steps}
        for step in made.steps:
            here = scope_of(design, stage, steps[step.id]) if step.id in steps else scope
            yield shown.words(uri, here, step.title, step.words)


@lru_cache(maxsize=8)
def auditor_of(design: Design, code: str) -> Auditor:
    """The auditor of a design in one language, made once."""
    return Auditor(design, code)


@dataclass(frozen=True)
class Audited:
    """A passage with the numbers that it states, and what it misnames, each in its sentence."""

    words: Words
    heard: tuple[Heard, ...]
    misnamed: tuple[tuple[Sentence, Misnamed], ...]


@lru_cache(maxsize=4)
def audit(design: Design) -> tuple[Audited, ...]:
    """Every passage of the kit, read."""
    found = []
    for words in words_of(design):
        auditor = auditor_of(design, words.code)
        heard: list[Heard] = []
        misnamed: list[tuple[Sentence, Misnamed]] = []
        for told in words.sentences:
            numbers, names = auditor.read(told, words.scope, names=words.scope.part is None)
            heard += numbers
            misnamed += ((told, one) for one in names)
        misnamed += auditor.swapped(words.sentences, words.scope)
        found.append(Audited(words, tuple(heard), tuple(misnamed)))
    return tuple(found)


def given_on(design: Design, uri: str, code: str) -> tuple[Given, ...]:
    """The figures from elsewhere on the page at `uri` in one language; of all for no page."""
    if uri and design.kit.translation(uri, code) is None:
        code = design.kit.languages[0]  # shown in the original
    pages = (w for w in words_of(design) if w.code == code and (w.uri == uri or not uri))
    return given_in(sentence for words in pages for sentence in words.sentences)
