"""Sentences over the base kit, in several languages, and what the audit hears in them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from tempfile import mkdtemp

import yaml
from changed_kit import copy_base

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.kit.reader import read_kit
from kitdocs.kit.stage import Passage
from kitdocs.words.audit.auditor import Auditor, Heard
from kitdocs.words.audit.judging.statement import Against
from kitdocs.words.audit.names.naming import Misnamed
from kitdocs.words.audit.scope import Scope
from kitdocs.words.expressions import Prose
from kitdocs.words.sentences import sentences

WORDS = Path(__file__).parent / "words"


@dataclass(frozen=True)
class Said:
    """A sentence (Markdown) of a language, and the stage and the step (by number) of it."""

    code: str
    stage: str
    step: str
    text: str


@lru_cache(maxsize=1)
def design() -> Design:
    """The base kit in English, German and Polish."""
    site = Path(mkdtemp())
    try:
        folder = copy_base(site)
        about = folder / "kit.yml"
        about.write_text(about.read_text("utf-8") + "languages: [en, de, pl]\n", "utf-8")
        for code in ("de", "pl"):
            shutil.copy(WORDS / f"words.{code}.yml", folder)
        read = read_kit(site, folder, site / "content")
    finally:
        shutil.rmtree(site)
    assert read.kit is not None, "\n".join(map(str, read.findings))
    return Design(read.kit)


def collection(code: str) -> Iterator[Said]:
    """The correct sentences of a language, `tests/words/CODE.yml`."""
    for group in yaml.safe_load((WORDS / f"{code}.yml").read_text("utf-8")):
        stage, _, step = group["at"].partition(" ")
        for text in group["sentences"]:
            yield Said(code, stage, step, text)


@lru_cache(maxsize=4)
def _auditor(code: str) -> Auditor:
    return Auditor(design(), code)


def scope(said: Said) -> Scope:
    stage = next(s for s in design().kit.stages if s.id == said.stage)
    if not said.step:
        return Scope(design(), stage)
    return Scope(design(), stage, stage.steps[int(said.step) - 1])


def heard(said: Said, text: str | None = None) -> list[Heard]:
    """What the audit hears in a sentence, or in another text at its place."""
    auditor, here = _auditor(said.code), scope(said)
    passage = Passage(said.text if text is None else text, Place("x.md"))
    rendering = Prose(design(), auditor.names).rendering(passage, stage=here.stage)
    return [h for s in sentences(rendering, said.code) for h in auditor.hear(s, here)]


def flagged(said: Said, text: str | None = None) -> list[Heard]:
    return [h for h in heard(said, text) if isinstance(h.outcome, Against)]


def misnamed(said: Said, text: str | None = None) -> list[Misnamed]:
    """What the audit says is called by another name in a sentence, or in a text at its place."""
    auditor, here = _auditor(said.code), scope(said)
    passage = Passage(said.text if text is None else text, Place("x.md"))
    rendering = Prose(design(), auditor.names).rendering(passage, stage=here.stage)
    told = sentences(rendering, said.code)
    return [one for s in told for one in auditor.read(s, here, names=True)[1]]


def noticed(said: Said, text: str) -> bool:
    """Whether any rule of words finds something in a text at a sentence's place."""
    return bool(flagged(said, text) or misnamed(said, text))
