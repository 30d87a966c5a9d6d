"""Reading translated pages: their words, and what each section says that it translates."""

from __future__ import annotations

import re
from dataclasses import replace

from kitdocs.finding import Finding, Place
from kitdocs.kit.names import quoted
from kitdocs.kit.procedures import Procedure, Use
from kitdocs.kit.sections import Section, Splitter, UseBlock
from kitdocs.kit.stage import Passage
from kitdocs.kit.stage_reader import PageText, split_page
from kitdocs.kit.translation import WRITTEN, TranslatedFront, TranslatedStep, Translation
from kitdocs.kit.validation import validate
from kitdocs.kit.values import ID
from kitdocs.kit.yaml_reader import Mapping, read_yaml

_RULE = "translation-step"
_EXPECTED = "`translates: ` and the id of the step that it translates"


def read_translation(
    text: str, path: str, language: str, has_steps: bool
) -> tuple[Translation, list[Finding]]:
    """The translated page of this text; `has_steps` says that its original is a stage."""
    page = split_page(text, path)
    front, findings = _front(page)
    if not has_steps:
        words = Passage(page.body, page.body_place)
        return Translation(language, path, front, page.front_place, words), findings
    split = Splitter.of(page.body, page.body_place)
    words = Passage("\n".join(split.opening), page.body_place)
    findings += (replace(finding, rule=_RULE) for finding in split.findings)
    steps = [step for part in split.parts if (step := _step(part, findings))]
    return Translation(language, path, front, page.front_place, words, tuple(steps)), findings


def read_procedure_steps(
    use: Use, translated: Procedure, findings: list[Finding]
) -> tuple[TranslatedStep, ...]:
    """The steps that a use of a procedure becomes, in the words of its translation."""
    if translated.holes is None:
        return ()
    filled = replace(use, procedure=translated)
    split = Splitter.of(filled.text, filled.start)
    findings += (replace(finding, rule=_RULE) for finding in split.findings)
    steps = (_step(part, findings) for part in split.parts)
    return tuple(step for step in steps if step)


def _front(page: PageText) -> tuple[TranslatedFront, list[Finding]]:
    if not page.front.strip():
        return TranslatedFront(), []
    read = read_yaml(page.front, page.front_place)
    if read.data is None:
        return TranslatedFront(), list(read.findings)
    front, findings = validate(TranslatedFront, read.data, page.front_place)
    return front or TranslatedFront(), [*read.findings, *findings]


def _step(section: Section | UseBlock, findings: list[Finding]) -> TranslatedStep | None:
    """A section as the translation of a step; None, with a finding, where it says of none."""

    def refuse(place: Place, found: str, mend: str = "") -> None:
        findings.append(Finding(place, _RULE, found, _EXPECTED, mend))

    if isinstance(section, UseBlock):
        refuse(section.place, "a use block", "Facts stay in the original.")
        return None
    place = section.title.place
    if section.unclosed:
        return None
    if len(section.facts) != 1:
        found = "more than one step block" if section.facts else "no step block"
        refuse(place, found, "Facts stay in the original; give each step one block.")
        return None
    text, start = section.facts[0]
    read = read_yaml(text, start)
    findings += (replace(f, rule=_RULE) for f in read.findings)
    if not isinstance(read.data, Mapping) or set(read.data) != {"translates"}:
        if not read.findings:
            refuse(start, "other facts", "Facts stay in the original.")
        return None
    said, where = read.data["translates"], read.data.places["translates"]
    match = re.fullmatch(rf"(\S+)(?: +([0-9a-f]{{{WRITTEN}}}))?", said) if _plain(said) else None
    if match is None or not ID.fullmatch(match[1]):
        refuse(where, quoted(said) if _plain(said) else "several values")
        return None
    words = Passage("\n".join(section.lines), section.start or place)
    return TranslatedStep(match[1], match[2] or "", section.title, words, where)


def _plain(value: object) -> bool:
    return isinstance(value, str)
