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
from kitdocs.kit.beside import Beside
from kitdocs.kit.errata import ErrataFile
from kitdocs.kit.fact import Fact
from kitdocs.kit.further_languages import FurtherLanguages
from kitdocs.kit.links import Linker
from kitdocs.kit.machine import MechanismFile
from kitdocs.kit.model import Kit
from kitdocs.kit.names import nearest_name, quoted
from kitdocs.kit.parts import PartsFile
from kitdocs.kit.parts_list import index_parts
from kitdocs.kit.procedures import FOLDER, Procedure, Use, read_procedure
from kitdocs.kit.source import read_text, shown_path
from kitdocs.kit.stage import Stage
from kitdocs.kit.stage_reader import read_steps, split_page
from kitdocs.kit.translation import language_of
from kitdocs.kit.validation import validate
from kitdocs.kit.values import ID
from kitdocs.kit.yaml_reader import read_yaml

F = TypeVar("F", bound=Fact)

_ABOUT = "kit.yml", KitFile
_PARTS = "parts.yml", PartsFile
_MECHANISM = "mechanism.yml", MechanismFile
_DELIVERIES = "deliveries.yml", DeliveriesFile
_ERRATA = "errata.yml", ErrataFile

#: What is no fact of the design: who signed it, and the words that it is told in.
_NO_FACTS: Any = {
    "signed": True,
    "languages": True,
    "unchecked": True,
    "video": True,
    "parts": {"__all__": {"spoken"}},
}

#: The files of a kit folder and what each is read as.
KIT_FILES: dict[str, type[Fact]] = dict((_ABOUT, _PARTS, _MECHANISM, _DELIVERIES, _ERRATA))


@dataclass
class ReadKit:
    """What a folder gave: a kit unless findings prevent one.

    `texts` are the files that were read, None where one could not be; `found` all that reading
    looked for below the folder: pages, figures, and kits of their own. `uses` are what the
    stages use of the procedures, even where there is no kit.
    """

    id: str
    folder: str
    kit: Kit | None
    findings: list[Finding] = field(default_factory=list)
    texts: dict[Path, str | None] = field(default_factory=dict)
    found: list[Path] = field(default_factory=list)
    uses: list[Use] = field(default_factory=list)

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
    names = ("*.md", "kit.yml", "errata.yml", "words.*.yml", "*.vtt", "*.svg")
    return sorted(file for name in names for file in folder.rglob(name))


class _Reader:
    def __init__(self, site_root: Path, folder: Path, content: Path):
        self.site_root = site_root
        self.folder = folder
        self.content = content
        self.result = ReadKit(folder.name, kit_address(folder, content), None)
        self.result.found = _below(folder)
        self.facts: dict[str, Any] = {}  # what the digest is taken over
        self.step_findings: list[Finding] = []  # a faulty step does not keep a kit from being
        self.procedures: dict[str, Procedure] = {}
        self.named: set[str] = set()  # the procedures that stages ask for

    def read(self) -> ReadKit:
        about, parts_file = self._file(*_ABOUT), self._file(*_PARTS)
        mechanism, deliveries = self._file(*_MECHANISM), self._file(*_DELIVERIES)
        stages = self._stages(about) if about else ()
        if about:
            self._unused()
        errata = self._file(*_ERRATA) if (self.folder / _ERRATA[0]).is_file() else None
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
            for use in stage.uses:
                linker.use(use)
        if errata:
            linker.errata(errata, about.revision, deliveries.deliveries, stages)
        self.result.findings += linker.findings
        if self.result.findings:
            self.result.findings += self.step_findings
            return self.result
        further = FurtherLanguages(self.site_root, self.folder, self.content, about.languages)
        beside = Beside(self.site_root, self.folder, self.content, about.languages[0])
        pages = beside.pages(stages, further)
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
            pages=pages,
            errata=errata.errata if errata else (),
            digest=self._digest(deliveries.deliveries),
            words=MappingProxyType(further.words(about, parts, mechanism, deliveries)),
            translations=MappingProxyType(further.pages((*stages, *pages))),
            captions=beside.captions(stages),
            figures=beside.figures(),
        )
        self.result.texts |= beside.texts | further.texts
        self.result.findings += beside.findings + self.step_findings + further.findings
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
        if fact is not None and model is not ErrataFile:  # history is no fact of the design
            self.facts[name] = fact.model_dump(exclude=_NO_FACTS)
        return fact

    def _stages(self, about: KitFile) -> tuple[Stage, ...]:
        self._procedures()
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
            expected = "title and delivery between two lines of ---"
            self.result.findings.append(
                Finding(page.front_place, "key-missing", "no front matter", expected)
            )
        known = tuple(self.procedures.values())
        read = read_steps(page.body, page.body_place, stage_id, known)
        self.step_findings += read.findings
        self.named |= read.named
        self.result.uses += read.uses
        self.facts[f"steps {stage_id}"] = [
            [s.id, [[a.verb, a.items, str(a.value)] for a in s.actions]] for s in read.steps
        ]
        if front is None:
            return None
        if front.video and "://" not in front.video:
            self._video(file.parent / front.video, front)
        uri = file.relative_to(self.content).as_posix()
        place = page.front_place
        return Stage(stage_id, number, uri, front, read.words, read.steps, place, read.uses)

    def _procedures(self) -> None:
        """The runs of steps that stages may use, by name."""
        for file in sorted((self.folder / FOLDER).glob("*.md")):
            if language_of(file.name):  # its words in a further language
                continue
            text = self._text(file)
            if text is None:
                continue
            page = split_page(text, shown_path(file, self.site_root))
            if not ID.fullmatch(file.stem):
                found = f"a procedure called {quoted(file.name)}"
                expected = "a name such as add-planet.md: a to z, digits and hyphens"
                self.step_findings.append(Finding(page.front_place, "value", found, expected))
                continue
            procedure, findings = read_procedure(
                file.stem, page.front, page.front_place, page.body, page.body_place
            )
            self.step_findings += findings
            if procedure is not None:
                self.procedures[file.stem] = procedure

    def _unused(self) -> None:
        for procedure in self.procedures.values():
            if procedure.name not in self.named:
                found = f"the procedure {procedure.name}, which no stage uses"
                expected = f"a use block with `procedure: {procedure.name}` in a stage"
                finding = Finding(procedure.place, "procedure", found, expected, severity="warning")
                self.step_findings.append(finding)

    def _video(self, file: Path, front: StageFront) -> None:
        """A video that a page names has to be there, under exactly that name."""
        inside = Path(os.path.normpath(file))
        if not _inside(inside, self.content) or not inside.is_file():
            found = f"no file {quoted(front.video)} beside the page"
            place = front.place("video")
            self.step_findings.append(Finding(place, "file-read", found, "the video, or a link"))

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
