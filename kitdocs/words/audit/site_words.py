"""The audit of what a site says outside of its kits: every kit is asked, and one that knows is
enough.

A sentence that names a thing of a kit, or a kit, is held against that kit, each number of it. Of
the others only those are judged that speak of the things of kits: a workshop has prices, years and
hours of its own. How many kits there are is known too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.names import quoted
from kitdocs.kit.site_texts import SiteText
from kitdocs.kit.stage import Passage
from kitdocs.words.audit.auditor import TONGUES, Auditor, Heard, auditor_of
from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.statement import Against, Backing
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.names.naming import Misnamed
from kitdocs.words.audit.passages import THINGS, kind_of
from kitdocs.words.audit.scope import scope_of
from kitdocs.words.given import given_by
from kitdocs.words.rendering import Rendering, Worked
from kitdocs.words.sentences import Sentence, sentences
from kitdocs.words.syntax import asked
from kitdocs.words.views import Unknown

_GIVEN = re.compile(r"\{\{\s*(given\([^\n{}]*\))\s*\}\}")
_LEAVE = "Correct it, or leave the number out."
_GIVE = "Correct it, or write {{ given('THE FIGURE', 'ITS SOURCE') }}."
_KITS = {
    "en": frozenset({"kits"}),
    "de": frozenset({"bausätze", "bausätzen"}),
    "pl": frozenset({"zestawy", "zestawów", "zestawami", "zestawom", "zestawach"}),
}


def with_given(passage: Passage) -> Rendering:
    """A page of the site's own as it is shown: a figure from elsewhere with its source after it.

    Other expressions are not for us: the site may have a plugin for them.
    """
    out: list[str] = []
    worked: list[Worked] = []
    done = length = 0
    for found in _GIVEN.finditer(passage.text):
        try:
            said = asked(found[1])
        except Unknown:
            continue
        if said.facts or not said.ids or len(said.ids) != 2 or not all(map(str.strip, said.ids)):
            continue
        figure, source = (text.strip() for text in said.ids)
        text = f"{figure} ({source})"
        before = passage.text[done : found.start()]
        out += [before, text]
        length += len(before)
        worked.append(Worked(length, length + len(text), found.start(), found.end(), found[1]))
        length += len(text)
        done = found.end()
    return Rendering(passage, "".join([*out, passage.text[done:]]), tuple(worked))


@dataclass(frozen=True)
class SiteHeard:
    """A number of the site's own words, with the text that it stands in."""

    text: SiteText
    heard: Heard


@dataclass(frozen=True)
class SiteAudit:
    """What was read: every number, and what is called by another name; of each language that we
    cannot read a text."""

    heard: tuple[SiteHeard, ...] = ()
    misnamed: tuple[tuple[Sentence, Misnamed], ...] = ()
    unread: tuple[SiteText, ...] = ()

    @property
    def findings(self) -> Iterator[Finding]:
        """What no kit backs, and what every kit calls otherwise."""
        for one in self.heard:
            heard, outcome = one.heard, one.heard.outcome
            if isinstance(outcome, Against):
                found = f"{quoted(heard.claim.text)} in {quoted(heard.sentence.text)}"
                mend = _GIVE if one.text.is_page else _LEAVE
                yield Finding(heard.place, "word-number", found, outcome.expected, mend)
        for sentence, one in self.misnamed:
            place, severity = sentence.place(one.start), "error" if one.sure else "warning"
            yield Finding(place, "word-name", one.found, one.expected, "", severity)
        for text in self.unread:
            found = f"numbers in words of the language '{text.language}' are not read"
            yield Finding(text.passage.place, "word-number", found, severity="note")


@lru_cache(maxsize=4)
def audit_site(designs: tuple[Design, ...], texts: tuple[SiteText, ...]) -> SiteAudit:
    """The site's own texts, held against its kits."""
    heard: list[SiteHeard] = []
    misnamed: list[tuple[Sentence, Misnamed]] = []
    unread: list[SiteText] = []
    for code in dict.fromkeys(text.language for text in texts) if designs else ():
        if code.partition("-")[0] not in TONGUES:
            unread.append(next(text for text in texts if text.language == code))
            continue
        told = [(text, one) for text in texts if text.language == code for one in _told(text)]
        asked_of = [_ask(design, code, told) for design in designs]
        for (text, sentence), answers in zip(told, zip(*asked_of, strict=True), strict=True):
            meant = _meant(answers)
            heard += (SiteHeard(text, one) for one in _numbers(designs, sentence, meant, code))
            misnamed += ((sentence, one) for one in _names(meant))
    return SiteAudit(tuple(heard), tuple(misnamed), tuple(unread))


def _told(text: SiteText) -> Iterator[Sentence]:
    prose = with_given(text.passage) if text.is_page else text.passage
    for sentence in sentences(prose, text.language):
        yield sentence
        for backed in sentence.backed:
            if given := given_by(backed):
                source = Passage(given.source, sentence.place(backed.start))
                yield from sentences(source, text.language)


@dataclass(frozen=True)
class _Answer:
    """What one kit has to say on a sentence. `named` is 2 where it names the kit, 1 where it
    names a thing of it."""

    auditor: Auditor
    named: int
    heard: list[Heard]
    misnamed: list[Misnamed]


def _ask(design: Design, code: str, told: Iterable[tuple[SiteText, Sentence]]) -> list[_Answer]:
    auditor, whole = auditor_of(design, code), scope_of(design)
    title = auditor.names.title.casefold()
    found = []
    for _, sentence in told:
        is_titled = title in sentence.text.casefold()
        named = 2 if is_titled else bool(auditor.lexicon.named(sentence))
        found.append(_Answer(auditor, named, *auditor.read(sentence, whole, names=True)))
    return found


def _meant(answers: Sequence[_Answer]) -> list[_Answer]:
    """The kits that a sentence speaks of: those named, else those with a thing named, else all."""
    most = max(answer.named for answer in answers)
    return [answer for answer in answers if answer.named == most]


def _numbers(
    designs: Sequence[Design], sentence: Sentence, meant: Sequence[_Answer], code: str
) -> Iterator[Heard]:
    """The numbers of a sentence that are judged, each as the first kit that backs it has it."""
    found: dict[int, Heard] = {}
    for answer in meant:
        for one in answer.heard:
            if answer.named or kind_of(one.claim) in THINGS:
                before = found.setdefault(one.claim.start, one)
                if isinstance(before.outcome, Against) and isinstance(one.outcome, Backing):
                    found[one.claim.start] = one
    for one in found.values():
        key = meant[0].auditor.lexicon.tongue.noun(one.claim.noun)
        together = {
            "stage": sum(len(design.kit.stages) for design in designs),
            "parcel": sum(len(design.kit.deliveries) for design in designs),
        }.get(key or "")
        if isinstance(one.outcome, Against) and one.claim.high == together:
            one = replace(one, outcome=Backing("fact", "all kits together"))
        yield one
    yield from _kits(len(designs), sentence, code)


def _kits(count: int, sentence: Sentence, code: str) -> Iterator[Heard]:
    """How many kits a sentence says that there are: `our two brass kits`."""
    language = code.partition("-")[0]
    words = words_in(sentence.text)
    for n, (_, _, noun) in enumerate(words):
        for start, end, word in words[max(0, n - 2) : n] if noun in _KITS[language] else ():
            spoken = TONGUES[language].spoken([word])
            value = int(word) if word.isdecimal() else spoken[0] if spoken else 0
            if value < 2 or any(b.start <= start < b.end for b in sentence.backed):
                continue
            claim = Claim(start, end, sentence.text[start:end], "count", value, value, noun=noun)
            known = "the kits of the site"
            is_so = value == count
            outcome = Backing("fact", known) if is_so else Against(f"{count} ({known})")
            yield Heard(claim, sentence, outcome)


def _names(meant: Sequence[_Answer]) -> Iterator[Misnamed]:
    """What no kit that a sentence speaks of calls so."""
    first, *others = meant
    for one in first.misnamed:
        if all(any(m.start == one.start for m in answer.misnamed) for answer in others):
            yield one
