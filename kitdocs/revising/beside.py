"""Translations and captions that a later revision touches: what has to be read over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Kit
from kitdocs.kit.procedures import Procedure
from kitdocs.kit.stage import Stage
from kitdocs.kit.translation import (
    opening_digest,
    original_name,
    procedure_digests,
    step_digests,
    translated_name,
)
from kitdocs.words.narration.script import script


@dataclass(frozen=True)
class Beside:
    """A file by its path in the kit's folder. `is_touched` says that what it goes with has
    changed, `has_changed` that it is another file than it was."""

    path: str
    is_touched: bool
    has_changed: bool

    def __str__(self) -> str:
        if not self.is_touched:
            return f"{self.path}: changed by itself"
        return f"{self.path}: {'changed too' if self.has_changed else 'to be looked at'}"


def beside(
    old: Design, new: Design, old_folder: Path, new_folder: Path, words: bool
) -> tuple[Beside, ...]:
    """The translations, the lists of words and the captions that are touched or have changed.

    The folders are those of the kit. `words` says that things are called otherwise.
    """
    touched = set(_touched(old, new, words))
    found = []
    for file in sorted(
        f for kind in ("*.md", "*.vtt", "words.*.yml") for f in new_folder.rglob(kind)
    ):
        path = file.relative_to(new_folder).as_posix()
        if file.suffix == ".md" and original_name(file.name) == file.name:
            continue
        before = old_folder / path
        has_changed = not before.is_file() or before.read_bytes() != file.read_bytes()
        if path in touched or has_changed:
            found.append(Beside(path, path in touched, has_changed))
    return tuple(found)


def _touched(old: Design, new: Design, words: bool) -> Iterator[str]:
    """The paths that such a file would have."""
    before = {stage.id: stage for stage in old.kit.stages}
    for stage in new.kit.stages:
        was = before.get(stage.id)
        path = _in_kit(new.kit, stage.uri)
        for code in new.kit.languages:
            if was is None or _other_words(was, stage):
                yield translated_name(path, code)
            if was is None or _told(old, was, code) != _told(new, stage, code):
                yield from _captions(path, code, new.kit)
    for name, procedure in _procedures(new.kit).items():
        other = _procedures(old.kit).get(name)
        if other is None or procedure_digests(other) != procedure_digests(procedure):
            yield from (f"procedures/{name}.{code}.md" for code in new.kit.languages)
    pages = {page.uri: page for page in old.kit.pages}
    for page in new.kit.pages:
        if page.uri not in pages or opening_digest(pages[page.uri]) != opening_digest(page):
            path = _in_kit(new.kit, page.uri)
            yield from (translated_name(path, code) for code in new.kit.languages)
    if words:
        yield from (f"words.{code}.yml" for code in new.kit.languages)


def _in_kit(kit: Kit, uri: str) -> str:
    return uri.removeprefix(f"{kit.folder}/") if kit.folder else uri


def _captions(path: str, code: str, kit: Kit) -> Iterator[str]:
    stem = path.removesuffix(".md")
    yield f"{stem}.{code}.vtt"
    if code == kit.languages[0]:
        yield f"{stem}.vtt"


def _other_words(was: Stage, is_: Stage) -> bool:
    """Whether the words of a page are written otherwise, or its steps come in another order; but
    for those of its procedures."""
    own = [
        [step for step in step_digests(stage).items() if step[0] not in _used(stage)]
        for stage in (was, is_)
    ]
    return own[0] != own[1] or opening_digest(was) != opening_digest(is_)


def _used(stage: Stage) -> set[str]:
    return {step for use in stage.uses for step in use.steps}


def _told(design: Design, stage: Stage, code: str) -> list[tuple[str, float]]:
    """What is said of a stage, and the pauses after it."""
    return [(line.text, line.pause) for line in script(design, stage, code).lines]


def _procedures(kit: Kit) -> dict[str, Procedure]:
    return {use.procedure.name: use.procedure for stage in kit.stages for use in stage.uses}
