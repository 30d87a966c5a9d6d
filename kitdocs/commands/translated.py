"""`kitdocs translated`: say that a translation is up to date, or begin a new one."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from pathlib import Path

from kitdocs.commands.common import content_folder, content_option, surveyed
from kitdocs.kit.model import Kit, Page
from kitdocs.kit.procedures import FOLDER, Procedure
from kitdocs.kit.source import read_text
from kitdocs.kit.stage import Stage
from kitdocs.kit.translation import (
    language_of,
    opening_digest,
    original_name,
    procedure_digests,
    procedure_sections,
    step_digests,
    translated_name,
)
from kitdocs.kit.translation_stamps import new_page, open_ids, stamped

Original = Stage | Page | Procedure


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "pages", nargs="+", type=Path, metavar="PAGE",
        help="a translated page, whose words you have compared with the original as it is now",
    )  # fmt: skip
    parser.add_argument(
        "--new", metavar="LANGUAGE",
        help="PAGE is an original: write a page beside it to be translated into this language",
    )  # fmt: skip
    content_option(parser)


def run(options: argparse.Namespace) -> int:
    content = content_folder(options.content)
    kits = [kit.kit for kit in surveyed(options).kits if kit.kit is not None]
    code = 0
    for page in options.pages:
        file = page.absolute()
        original = file if options.new else file.with_name(original_name(file.name))
        found = _original(kits, content, original)
        if found is None:
            told = "page" if options.new else "translation of a page"
            print(f"kitdocs: {page} is no {told} of a kit that can be read", file=sys.stderr)
            code = 2
        elif options.new:
            code = max(code, _begin(found, file, options.new))
        else:
            code = max(code, _stamp(found, file))
    return code


def _original(kits: list[Kit], content: Path, file: Path) -> Original | None:
    """The stage, page or procedure that is written in a file."""
    for kit in kits:
        for page in (*kit.stages, *kit.pages):
            if (content / page.uri).resolve() == file.resolve():
                return page
        folder = content / kit.folder / FOLDER
        for use in (use for stage in kit.stages for use in stage.uses):
            if (folder / f"{use.procedure.name}.md").resolve() == file.resolve():
                return use.procedure
    return None


def _stamp(original: Original, file: Path) -> int:
    text, findings = read_text(file, file.name)
    if text is None:
        print(findings[0])
        return 1
    before = file.read_bytes().decode("utf-8-sig")
    if isinstance(original, Procedure):
        steps: Mapping[str, str] = dict(
            zip(open_ids(original), procedure_digests(original), strict=True)
        )
        after = stamped(before, None, steps)
    else:
        after = stamped(before, opening_digest(original), step_digests(original))
    file.write_bytes(after.encode("utf-8"))
    print(f"{file.name}: {'stamped' if after != before else 'as it was'}")
    return 0


def _begin(original: Original, file: Path, language: str) -> int:
    name = translated_name(file.name, language)
    if language_of(name) != language:
        print(f"kitdocs: '{language}' is no code of a language, such as de", file=sys.stderr)
        return 2
    target = file.with_name(name)
    if target.exists():
        print(f"kitdocs: there is a page {target.name} already", file=sys.stderr)
        return 1
    target.write_text(_skeleton(original), "utf-8", newline="\n")
    print(f"{target.name}: written, to be translated; then run `kitdocs translated {target.name}`")
    return 0


def _skeleton(original: Original) -> str:
    if isinstance(original, Procedure):
        sections = {
            name: (section.title.text, "\n".join(section.lines))
            for name, section in zip(open_ids(original), procedure_sections(original), strict=True)
        }
        return new_page({}, "", sections)
    if isinstance(original, Page):
        return new_page({}, original.text.text, {})
    front = {"title": _quoted(original.title)}
    if original.front.summary:
        front["summary"] = _quoted(original.front.summary)
    own = _own_steps(original)
    steps = {s.id: (s.title.text, s.words.text) for s in original.steps if s.id in own}
    return new_page(front, original.words.text, steps)


def _own_steps(stage: Stage) -> set[str]:
    """The steps that are written on the page itself, not in a procedure."""
    used = {name for use in stage.uses for name in use.steps}
    return {step.id for step in stage.steps} - used


def _quoted(text: str) -> str:
    """A text as a YAML value: as it is where that is plain."""
    plain = text.replace(" ", "").replace(",", "").replace("-", "").replace(".", "")
    return text if plain.isalnum() else json.dumps(text, ensure_ascii=False)
