"""What a kit's folder holds beside its facts and stages: pages, captions and drawings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from kitdocs.finding import Finding, Place
from kitdocs.kit.captions import CaptionFile, caption_file, caption_paths
from kitdocs.kit.further_languages import FurtherLanguages
from kitdocs.kit.model import Figure, Page
from kitdocs.kit.plain_texts import figure_texts, yaml_texts
from kitdocs.kit.procedures import FOLDER
from kitdocs.kit.source import read_text, shown_path
from kitdocs.kit.stage import Passage, Stage
from kitdocs.kit.stage_reader import split_page
from kitdocs.kit.translation import language_of


class Beside:
    """Reads it; `first` is the language of the kit's files. `findings` and `texts` (the files
    read) grow with each call."""

    def __init__(self, site_root: Path, folder: Path, content: Path, first: str):
        self._site_root, self._folder, self._content = site_root, folder, content
        self._first = first
        self.findings: list[Finding] = []
        self.texts: dict[Path, str | None] = {}

    def pages(self, stages: Iterable[Stage], further: FurtherLanguages) -> tuple[Page, ...]:
        """The pages that are neither stages nor procedures nor translations."""
        taken = {stage.uri for stage in stages}
        pages = []
        for file in self._own("*.md"):
            uri = self._uri(file)
            if uri in taken or file.parent == self._folder / FOLDER:
                continue
            if further.is_translation(file):
                continue
            text = self._text(file)
            if text is not None:
                page = split_page(text, shown_path(file, self._site_root))
                front = tuple(said for _, said in yaml_texts(page.front, page.front_place))
                pages.append(Page(uri, Passage(page.body, page.body_place), front))
        return tuple(pages)

    def captions(self, stages: Iterable[Stage]) -> Mapping[str, tuple[CaptionFile, ...]]:
        """The caption files beside each stage page, by the stage's address."""
        found: dict[str, tuple[CaptionFile, ...]] = {}
        for stage in stages:
            files = []
            for file, language in caption_paths(self._content / stage.uri, self._first):
                text = self._text(file)
                if text is not None:
                    path = shown_path(file, self._site_root)
                    raw = file.read_bytes()
                    files.append(caption_file(raw, text, path, self._uri(file), language))
            found[stage.uri] = tuple(files)
        return MappingProxyType(found)

    def figures(self) -> tuple[Figure, ...]:
        """The drawings; one without a code in its name is in the first language."""
        found = []
        for file in self._own("*.svg"):
            path = shown_path(file, self._site_root)
            text, findings = read_text(file, path)
            # Browsers can read more than we do: what we cannot is no fault of the kit.
            self.findings += (replace(one, severity="note") for one in findings)
            if text is not None:
                self.texts[file] = text
                language = language_of(f"{file.stem}.md") or self._first
                found.append(Figure(self._uri(file), language, figure_texts(text, Place(path))))
        return tuple(found)

    def _own(self, pattern: str) -> Iterator[Path]:
        """The files of this kit; a kit in its folder has its own."""
        inner = {file.parent for file in self._folder.rglob("kit.yml")} - {self._folder}
        for file in sorted(self._folder.rglob(pattern)):
            if not inner & {*file.parents}:
                yield file

    def _uri(self, file: Path) -> str:
        return file.relative_to(self._content).as_posix()

    def _text(self, file: Path) -> str | None:
        text, findings = read_text(file, shown_path(file, self._site_root))
        self.texts[file] = text
        self.findings += findings
        return text
