"""Translations: nothing that a reader of another language sees is older than its original."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place, counted
from kitdocs.kit.model import Page
from kitdocs.kit.names import nearest, quoted
from kitdocs.kit.stage import Stage
from kitdocs.kit.translation import (
    TranslatedStep,
    Translation,
    opening_digest,
    step_digests,
    translated_name,
)
from kitdocs.kit.words_file import words_name
from kitdocs.rules.rule import rule
from kitdocs.words.language import Language
from kitdocs.words.names import Names

_MEND = "Compare the two, then run `kitdocs translated {path}`."
_NAMED = 3  # so many things without a name are told of by their id


def _translations(design: Design) -> Iterator[tuple[Stage | Page, Translation]]:
    kit = design.kit
    for page in (*kit.stages, *kit.pages):
        for language in kit.languages[1:]:
            if made := kit.translation(page.uri, language):
                yield page, made


@rule(
    "translation-stale",
    group="Words",
    demand="each section of a translated page was made from the words that its original has now",
    formula="the digest in the translation = the digest of the original's words",
    source="our own: a translation that lags behind tells a builder what was right once",
    example="a step of base.md was reworded, and base.de.md still says what it said before",
)
def translation_stale(design: Design) -> Iterator[Finding]:
    for page, made in _translations(design):
        origin = _place(page)
        yield from _stale(made, made.place, made.front.translates or "", opening_digest(page),
                          "the opening words", origin)  # fmt: skip
        digests, places = step_digests(page), _step_places(page)
        for step in made.steps:
            if step.id in digests:
                told = f"the step {step.id}"
                yield from _stale(
                    made, step.place, step.made_from, digests[step.id], told, places[step.id]
                )


def _stale(
    made: Translation, place: Place, said: str, now: str, what: str, origin: Place
) -> Iterator[Finding]:
    if said == now:
        return
    found = f"{what} as the original had it before" if said else f"{what}, not compared yet"
    mend = _MEND.format(path=place.path)
    expected = f"`translates` with {now}"
    yield Finding(place, "translation-stale", found, expected, mend, "warning", (origin,))


@rule(
    "translation-step",
    group="Words",
    demand="a translated page has the steps of its original, each once, in the same order",
    source="our own: facts are written once, in the original",
    example="base.de.md has no section for the step fasten-base of base.md",
)
def translation_step(design: Design) -> Iterator[Finding]:
    for page, made in _translations(design):
        digests, places = step_digests(page), _step_places(page)
        seen: dict[str, TranslatedStep] = {}
        for step in made.steps:
            if step.id not in digests:
                mend = nearest(step.id, digests)
                found, expected = f"the step {quoted(step.id)}", "the id of a step of the original"
                yield _step_finding(step.stamp, found, expected, mend, (_place(page),))
            elif step.id in seen:
                found = f"a second section for the step {step.id}"
                yield _step_finding(step.stamp, found, "one", "", (seen[step.id].stamp,))
            seen.setdefault(step.id, step)
        missing = [name for name in digests if name not in seen]
        if missing:
            found = f"no section for {', '.join(missing)}"
            facts = tuple(places[name] for name in missing)
            mend = "Those steps are shown in the language of the original."
            yield Finding(made.place, "translation-step", found, "one for each step", mend,
                          "warning", facts)  # fmt: skip
        yield from _moved([seen[name] for name in seen if name in digests], list(digests), places)


def _moved(
    steps: list[TranslatedStep], order: list[str], places: dict[str, Place]
) -> Iterator[Finding]:
    """The first section that stands before one whose step comes earlier."""
    for before, step in pairwise(steps):
        same = before.place.path == step.place.path
        if same and order.index(step.id) < order.index(before.id):
            found = f"the step {step.id} after {before.id}"
            facts = (places[step.id], places[before.id])
            yield Finding(step.place, "translation-step", found, "the order of the original",
                          "Move the section.", "warning", facts)  # fmt: skip
            return


def _step_finding(
    place: Place, found: str, expected: str, mend: str, facts: tuple[Place, ...]
) -> Finding:
    return Finding(place, "translation-step", found, expected, mend, facts=facts)


@rule(
    "translation-page",
    group="Words",
    demand="a page in a further language stands beside its original, and kit.yml has the language",
    source="our own: base.de.md beside base.md",
    example="base.de.md while kit.yml says languages: [en, pl]",
)
def translation_page(design: Design) -> Iterator[Finding]:
    """Pages that are not there yet are noted: they are shown in the first language."""
    kit = design.kit
    for language in kit.languages[1:]:
        missing = [
            translated_name(page.uri.rsplit("/", 1)[-1], language)
            for page in (*kit.stages, *kit.pages)
            if (page.uri, language) not in kit.translations
        ]
        place = kit.about.place("languages")
        if missing:
            found = f"{counted(len(missing), 'page')} in '{language}' missing: {_some(missing)}"
            mend = f"They are shown in '{kit.languages[0]}'."
            yield Finding(place, "translation-page", found, "", mend, "note")
        if not Language(language).has_texts:
            found = f"no catalogue of generated texts in '{language}'"
            yield Finding(place, "translation-page", found, "", "They are in English.", "note")


@rule(
    "translation-name",
    group="Words",
    demand="every part, body, delivery and material has a name in each language of the kit",
    source="ASD-STE100 rule 1.3 and IEC/IEEE 82079-1 (one name for one thing), from memory",
    example="words.de.yml has no name for the part hub",
)
def translation_name(design: Design) -> Iterator[Finding]:
    kit = design.kit
    for language in kit.languages[1:]:
        words = kit.words.get(language)
        place = words.place() if words else kit.about.place("languages")
        if words is None:
            found, expected = f"no words in '{language}'", f"{words_name(language)} in the kit"
            yield Finding(place, "translation-name", found, expected, "", "warning")
            continue
        names = Names(kit, Language(language))
        materials = {p.material for p in kit.parts.values() if p.material} - {"steel"}
        lacking = {
            "parts": [part.id for part in kit.parts.values() if not names.has_name(part)],
            "bodies": [name for name in kit.bodies if name not in words.bodies],
            "deliveries": [name for name in kit.deliveries if name not in words.deliveries],
            "materials": sorted(materials - {*words.materials}),
        }
        for box, things in lacking.items():
            if things:
                at = words.place(box)
                found = f"no name for {_some(things)}"
                expected = f"one for each in `{box}`"
                yield Finding(at, "translation-name", found, expected, "", "warning")


def _some(things: Iterable[str]) -> str:
    listed = list(things)
    more = len(listed) - _NAMED
    return ", ".join(listed[:_NAMED]) + (f" and {more} more" if more > 0 else "")


def _place(page: Stage | Page) -> Place:
    return page.place if isinstance(page, Stage) else page.text.place


def _step_places(page: Stage | Page) -> dict[str, Place]:
    steps = page.steps if isinstance(page, Stage) else ()
    return {step.id: step.place for step in steps}
