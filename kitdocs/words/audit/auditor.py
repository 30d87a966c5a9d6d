"""The audit of all that a kit says: its pages, titles, names and notes, in each language."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from kitdocs.assembly.design import Design
from kitdocs.finding import Place as Where
from kitdocs.words.audit.claims.claims import Claim, claims
from kitdocs.words.audit.claims.spellings import read_spelling
from kitdocs.words.audit.judging.matching import judge
from kitdocs.words.audit.judging.statement import Against, Backing, Statement
from kitdocs.words.audit.lexicon import Lexicon
from kitdocs.words.audit.names.naming import Misnamed, NameCheck
from kitdocs.words.audit.passages import Words, kind_of, words_of
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.english import ENGLISH
from kitdocs.words.audit.tongues.german import GERMAN
from kitdocs.words.audit.tongues.polish import POLISH
from kitdocs.words.audit.tongues.tongue import Tongue
from kitdocs.words.given import Given, given_in
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.sentences import Sentence, sentence

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
        self, told: Sentence | str, scope: Scope, names: bool = False, is_a_name: bool = False
    ) -> tuple[list[Heard], list[Misnamed]]:
        """Every number of a sentence, and with `names` what it calls by another name. One that
        `is_a_name` itself backs no number in it."""
        one = sentence(told) if isinstance(told, str) else told
        if self.tongue is None:
            return [], []
        found = claims(one.text, self.lexicon)
        if not found and not names:
            return [], []
        named = self.lexicon.named(one)
        outer = tuple(n for n in named if n.end - n.start < len(one.text)) if is_a_name else named
        heard = []
        for claim in found:
            near = named if one.text[claim.end : claim.end + 1] == "-" else outer  # two-part epoxy
            at = Statement(claim, one, near, scope, self.lexicon, found)
            heard.append(Heard(claim, one, judge(at)))
        return heard, list(self._name_check.misnamed(one, scope, named)) if names else []

    def audited(self, words: Words) -> Audited:
        """A passage, read."""
        heard: list[Heard] = []
        misnamed: list[tuple[Sentence, Misnamed]] = []
        manner, again = words.manner, self._told(words.beside)
        checks_names = manner.checks_names and words.scope.part is None
        for told in words.sentences:
            numbers, names = self.read(told, words.scope, checks_names, manner.is_a_name)
            heard += (_or_again(one, again) for one in numbers if words.judges(one.claim))
            misnamed += ((told, one) for one in names)
        misnamed += self.swapped(words.sentences, words.scope)
        return Audited(words, tuple(heard), tuple(misnamed))

    def swapped(
        self, told: Iterable[Sentence], scope: Scope
    ) -> Iterator[tuple[Sentence, Misnamed]]:
        """Items that a step's words name in place of others."""
        return self._name_check.swapped(told, scope)

    def _told(self, texts: Iterable[str]) -> frozenset[_Figure]:
        """The numbers that some texts tell."""
        said = (claim for text in texts for claim in claims(text, self.lexicon))
        return frozenset(figure for claim in said for figure in _figures(claim))


#: The kind of a number and its value, or as it is written.
_Figure = tuple[str, float | str]


def _figures(claim: Claim) -> tuple[_Figure, ...]:
    """What a claim says, so that another can say it again: of a range both its ends."""
    if claim.kind == "designation":
        return ((claim.kind, str(read_spelling(claim.text))),)
    if claim.kind in ("code", "date"):
        return ((claim.kind, claim.text),)
    return (kind_of(claim), claim.low), (kind_of(claim), claim.high)


def _or_again(one: Heard, told: frozenset[_Figure]) -> Heard:
    """A number that rests on what is told beside it, where it rests on nothing else."""
    if told and isinstance(one.outcome, Against) and told.issuperset(_figures(one.claim)):
        return replace(one, outcome=Backing("fact", "what the same entry says"))
    return one


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
    return tuple(auditor_of(design, words.code).audited(words) for words in words_of(design))


def given_on(design: Design, uri: str, code: str) -> tuple[Given, ...]:
    """The figures from elsewhere on the page at `uri` in one language; of all for no page."""
    if uri and design.kit.translation(uri, code) is None:
        code = design.kit.languages[0]  # shown in the original
    pages = (w for w in words_of(design) if w.code == code and (w.uri == uri or not uri))
    return given_in(sentence for words in pages for sentence in words.sentences)
