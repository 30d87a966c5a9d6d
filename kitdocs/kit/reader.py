"""Reading a kit folder: files -> `Kit`, or the findings that say why there is none."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from kitdocs.finding import Finding, Place
from kitdocs.kit.about import DeliveriesFile, KitFile, StageFront
from kitdocs.kit.fact import Fact
from kitdocs.kit.links import Linker
from kitdocs.kit.machine import MechanismFile
from kitdocs.kit.model import Kit, Page
from kitdocs.kit.names import nearest_name, quoted
from kitdocs.kit.parts import PartsFile
from kitdocs.kit.parts_list import index_parts
from kitdocs.kit.source import read_text, shown_path
from kitdocs.kit.stage import Passage, Stage
from kitdocs.kit.stage_reader import read_steps, split_page
from kitdocs.kit.validation import validate
from kitdocs.kit.values import ID
from kitdocs.kit.yaml_reader import read_yaml

F = TypeVar("F", bound=Fact)

_ABOUT = "kit.yml", KitFile
_PARTS = "parts.yml", PartsFile
_MECHANISM = "mechanism.yml", MechanismFile
_DELIVERIES = "deliveries.yml", DeliveriesFile

#: The files of a kit folder and what each is read as.
KIT_FILES: dict[str, type[Fact]] = dict((_ABOUT, _PARTS, _MECHANISM, _DELIVERIES))


@dataclass
class ReadKit:
    """What a folder gave: a kit unless findings prevent one.

    `texts` are the files that were read, None where one could not be; `found` all that reading
    looked for below the folder: pages, and kits of their own.
    """

    id: str
    folder: str
    kit: Kit | None
    findings: list[Finding] = field(default_factory=list)
    texts: dict[Path, str | None] = field(default_factory=dict)
    found: list[Path] = field(default_factory=list)

    @property
    def files(self) -> list[Path]:
        return list(self.texts)


def kit_folders(content: Path) -> list[Path]:
    """The folders under `content` that hold a `kit.yml`, in order of their path."""
    found = []
    seen: set[Path] = set()  # a link may lead back to a folder above it
    for here, folders, files in os.walk(content, followlinks=True):
        real = Path(here).resolve()
        if real in seen:
            folders.clear()
        elif "kit.yml" in files:
            found.append(Path(here))
        seen.add(real)
    return sorted(found)


def read_kit(site_root: Path, folder: Path, content: Path | None = None) -> ReadKit:
    """Read the kit in `folder`; `content` is the folder that page addresses are counted from."""
    return _Reader(site_root, folder, content or folder.parent).read()


def kit_address(folder: Path, content: Path) -> str:
    """The path of a kit's folder from the content folder, POSIX; "" when it is the whole."""
    address = folder.relative_to(content).as_posix()
    return "" if address == "." else address


def has_changed(read: ReadKit, folder: Path) -> bool:
    """Whether reading the folder may give something else now than `read`."""
    return read.found != _below(folder) or any(
        text is None or read_text(file, "")[0] != text for file, text in read.texts.items()
    )


def _below(folder: Path) -> list[Path]:
    return sorted([*folder.rglob("*.md"), *folder.rglob("kit.yml")])


class _Reader:
    def __init__(self, site_root: Path, folder: Path, content: Path):
        self.site_root = site_root
        self.folder = folder
        self.content = content
        self.result = ReadKit(folder.name, kit_address(folder, content), None)
        self.result.found = _below(folder)
        self.facts: dict[str, Any] = {}  # what the digest is taken over
        self.step_findings: list[Finding] = []  # a faulty step does not keep a kit from being

    def read(self) -> ReadKit:
        about, parts_file = self._file(*_ABOUT), self._file(*_PARTS)
        mechanism, deliveries = self._file(*_MECHANISM), self._file(*_DELIVERIES)
        stages = self._stages(about) if about else ()
        if not (about and parts_file and mechanism and deliveries):
            self.result.findings += self.step_findings
            return self.result
        parts, findings = index_parts(parts_file)
        self.result.findings += findings
        linker = Linker(parts, mechanism, all_parts=not findings)
        linker.machine()
        linker.about(about)
        linker.supply(deliveries)
        for stage in stages:
            linker.stage(stage.front, deliveries.deliveries, about.bodies)
        self.result.findings += linker.findings
        if self.result.findings:
            self.result.findings += self.step_findings
            return self.result
        self.result.kit = Kit(
            id=self.result.id,
            folder=self.result.folder,
            about=about,
            parts=MappingProxyType(parts),
            mechanism=mechanism,
            items=MappingProxyType(linker.items),
            meshes=tuple(linker.meshes),
            deliveries=MappingProxyType(deliveries.deliveries),
            stages=stages,
            pages=self._pages(stages),
            digest=self._digest(deliveries.deliveries),
        )
        self.result.findings += self.step_findings
        return self.result

    def _text(self, file: Path) -> str | None:
        text, findings = read_text(file, shown_path(file, self.site_root))
        self.result.texts[file] = text
        self.result.findings += findings
        return text

    def _file(self, name: str, model: type[F]) -> F | None:
        text = self._text(self.folder / name)
        if text is None:
            return None
        return self._facts(name, model, text, Place(shown_path(self.folder / name, self.site_root)))

    def _facts(self, name: str, model: type[F], text: str, start: Place) -> F | None:
        read = read_yaml(text, start)
        self.result.findings += read.findings
        if read.data is None and read.findings:
            return None
        fact, findings = validate(model, read.data, start)
        self.result.findings += findings
        if fact is not None:
            self.facts[name] = fact.model_dump(exclude={"signed"})
        return fact

    def _stages(self, about: KitFile) -> tuple[Stage, ...]:
        stages: list[Stage] = []
        seen: dict[str, Place] = {}
        for i, name in enumerate(about.stages):
            place = about.place("stages", i)
            file = self.folder / name
            stage_id = file.stem
            if stage_id in seen:
                found = f"a second stage '{stage_id}'"
                self.result.findings.append(
                    Finding(place, "yaml-duplicate", found, "one", facts=(seen[stage_id],))
                )
            elif not _inside(file, self.folder) or file.suffix != ".md" or not file.is_file():
                pages = {p.relative_to(self.folder).as_posix() for p in self.folder.rglob("*.md")}
                close = nearest_name(name, sorted(pages - {*about.stages}))
                mend = f"Did you mean '{close}'?" if close else "Paths are from the kit's folder."
                found = f"no page {quoted(name)} in the kit"
                self.result.findings.append(Finding(place, "file-read", found, "a page", mend))
            elif not ID.fullmatch(stage_id):
                found = f"a stage page called {quoted(file.name)}"
                expected = "a name such as earth.md: a to z, digits and hyphens"
                self.result.findings.append(Finding(place, "value", found, expected))
            elif stage := self._stage(file, stage_id, i + 1):
                stages.append(stage)
            seen[stage_id] = place
        return tuple(stages)

    def _stage(self, file: Path, stage_id: str, number: int) -> Stage | None:
        text = self._text(file)
        if text is None:
            return None
        page = split_page(text, shown_path(file, self.site_root))
        front = None
        if page.front.strip():
            front = self._facts(f"stage {stage_id}", StageFront, page.front, page.front_place)
        else:
            expected = "title, delivery and minutes between two lines of ---"
            self.result.findings.append(
                Finding(page.front_place, "key-missing", "no front matter", expected)
            )
        words, steps, findings = read_steps(page.body, page.body_place)
        self.step_findings += findings
        self.facts[f"steps {stage_id}"] = [
            [s.id, [[a.verb, a.items, str(a.value)] for a in s.actions]] for s in steps
        ]
        if front is None:
            return None
        uri = file.relative_to(self.content).as_posix()
        return Stage(stage_id, number, uri, front, words, steps, page.front_place)

    def _pages(self, stages: Iterable[Stage]) -> tuple[Page, ...]:
        taken = {stage.uri for stage in stages}
        inner = {file.parent for file in self.folder.rglob("kit.yml")} - {self.folder}
        pages = []
        for file in sorted(self.folder.rglob("*.md")):
            uri = file.relative_to(self.content).as_posix()
            if uri in taken or inner & {*file.parents}:  # a kit in this folder has its own pages
                continue
            text = self._text(file)
            if text is not None:
                page = split_page(text, shown_path(file, self.site_root))
                pages.append(Page(uri, Passage(page.body, page.body_place)))
        return tuple(pages)

    def _digest(self, deliveries: Iterable[str]) -> str:
        """Over the facts as they were understood: spelling, comments and the order of keys do not
        count, but for the order of the parcels, which numbers them."""
        found = {**self.facts, "parcels": list(deliveries)}
        facts = json.dumps(found, ensure_ascii=False, separators=(",", ":"), sort_keys=True,
                           default=str)  # fmt: skip
        return hashlib.sha256(facts.encode()).hexdigest()


def _inside(file: Path, folder: Path) -> bool:
    """Whether `file` lies in `folder` under exactly these letters, on any file system."""
    try:
        parts = file.relative_to(folder).parts
    except ValueError:
        return False
    here = folder
    for part in parts:
        if part == ".." or not here.is_dir() or part not in {p.name for p in here.iterdir()}:
            return False
        here = here / part
    return True
