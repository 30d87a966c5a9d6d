"""What a kit's folder holds in languages beside its first: words and pages.

What is wrong with them is told of, and keeps no kit from being: the facts are in the original.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from kitdocs.finding import Finding, Place
from kitdocs.kit.about import DeliveriesFile, KitFile
from kitdocs.kit.machine import MechanismFile
from kitdocs.kit.model import Page
from kitdocs.kit.parts import Part
from kitdocs.kit.procedures import FOLDER, Procedure, in_other_words
from kitdocs.kit.source import read_text, shown_path
from kitdocs.kit.stage import Stage
from kitdocs.kit.stage_reader import split_page
from kitdocs.kit.translation import (
    TranslatedStep,
    Translation,
    language_of,
    original_name,
    translated_name,
)
from kitdocs.kit.translation_reader import read_procedure_steps, read_translation
from kitdocs.kit.validation import validate
from kitdocs.kit.words_file import WordsFile, check_words, words_name
from kitdocs.kit.yaml_reader import read_yaml


class FurtherLanguages:
    """Reads them; `findings` and `texts` (the files read) grow with each call."""

    def __init__(self, site_root: Path, folder: Path, content: Path, languages: tuple[str, ...]):
        self._site_root, self._folder, self._content = site_root, folder, content
        self._languages = languages
        self.findings: list[Finding] = []
        self.texts: dict[Path, str | None] = {}
        self._procedures: dict[tuple[str, str], Procedure | None] = {}

    def words(
        self,
        about: KitFile,
        parts: Mapping[str, Part],
        mechanism: MechanismFile,
        deliveries: DeliveriesFile,
    ) -> dict[str, WordsFile]:
        """What things are called, by language."""
        found: dict[str, WordsFile] = {}
        known = {
            "deliveries": deliveries.deliveries,
            "arbors": mechanism.arbors,
            "axes": mechanism.axes,
        }
        for language in self._languages[1:]:
            file = self._folder / words_name(language)
            text = self._text(file) if file.is_file() else None
            if text is None:
                continue
            start = Place(shown_path(file, self._site_root))
            read = read_yaml(text, start)
            self.findings += read.findings
            if read.data is None:
                continue
            words, faults = validate(WordsFile, read.data, start)
            self.findings += faults
            if words is not None:
                self.findings += check_words(words, about, parts, known)
                found[language] = words
        return found

    def pages(self, originals: Iterable[Stage | Page]) -> dict[tuple[str, str], Translation]:
        """The translated pages, by their original's address and their language."""
        found: dict[tuple[str, str], Translation] = {}
        for page in originals:
            for language in self._languages[1:]:
                file = self._content / translated_name(page.uri, language)
                text = self._text(file) if file.is_file() else None
                if text is not None:
                    path = shown_path(file, self._site_root)
                    has_steps = isinstance(page, Stage)
                    made, faults = read_translation(text, path, language, has_steps)
                    self.findings += faults
                    more = self._procedure_steps(page, language)
                    found[page.uri, language] = replace(made, steps=(*made.steps, *more))
        return found

    def _procedure_steps(self, page: Stage | Page, language: str) -> Iterator[TranslatedStep]:
        """The steps of a stage that come from procedures which are translated."""
        for use in page.uses if isinstance(page, Stage) else ():
            translated = self._procedure(use.procedure, language)
            if translated is not None:
                yield from read_procedure_steps(use, translated, self.findings)

    def _procedure(self, procedure: Procedure, language: str) -> Procedure | None:
        name = translated_name(f"{procedure.name}.md", language)
        if (name, language) not in self._procedures:
            file = self._folder / FOLDER / name
            text = self._text(file) if file.is_file() else None
            made = None
            if text is not None:
                page = split_page(text, shown_path(file, self._site_root))
                made, faults = in_other_words(procedure, page.body, page.body_place)
                self.findings += faults
            self._procedures[name, language] = made
        return self._procedures[name, language]

    def is_translation(self, file: Path) -> bool:
        """Whether a page is another's translation; a finding where it is of none, or unlisted."""
        language = language_of(file.name)
        original = file.with_name(original_name(file.name))
        if not language or not (original.is_file() or language in self._languages):
            return False
        place = Place(shown_path(file, self._site_root))
        if not original.is_file():
            self._refuse(place, f"a page in '{language}' of no page", f"{original.name} beside it")
        elif language not in self._languages[1:]:
            listed = ", ".join(self._languages)
            expected = f"one of the `languages` of kit.yml after the first ({listed})"
            self._refuse(place, f"a page in '{language}'", expected)
        return True

    def _refuse(self, place: Place, found: str, expected: str) -> None:
        self.findings.append(Finding(place, "translation-page", found, expected))

    def _text(self, file: Path) -> str | None:
        text, findings = read_text(file, shown_path(file, self._site_root))
        self.texts[file] = text
        self.findings += findings
        return text
