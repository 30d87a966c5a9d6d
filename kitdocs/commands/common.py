"""What several commands share: the folder of the kits, its survey, the word for a wrong name."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterable
from pathlib import Path

from kitdocs.kit.names import nearest
from kitdocs.kit.stage import Stage
from kitdocs.survey import KitSurvey, Survey, survey

_FOLDER = "the folder that holds the kits (default: docs_dir of mkdocs.yml)"


def content_option(parser: argparse.ArgumentParser) -> None:
    """Let the call say where the kits are."""
    parser.add_argument("--content", type=Path, metavar="FOLDER", help=_FOLDER)


def content_argument(parser: argparse.ArgumentParser) -> None:
    """The same as the last word of a call that needs no other."""
    parser.add_argument("content", nargs="?", type=Path, help=_FOLDER)


def content_folder(given: Path | None, root: Path | None = None) -> Path:
    """The folder of the kits: the one given, or the `docs_dir` of the mkdocs.yml in `root`, the
    working folder where none is named."""
    if given is not None:
        return given.absolute()
    root = root or Path()
    settings = root / "mkdocs.yml"  # may hold tags that only MkDocs can read, so not parsed
    text = settings.read_text("utf-8") if settings.is_file() else ""
    match = re.search(r"^docs_dir:[ \t]*['\"]?([^'\"#\n]+?)['\"]?[ \t]*(?:#.*)?$", text, re.M)
    return (root / (match[1] if match else "docs")).absolute()


def surveyed(options: argparse.Namespace, release: bool = False) -> Survey:
    content = content_folder(options.content)
    if not content.is_dir():
        print(
            f"kitdocs: no folder {content.name} here; name the folder of the kits", file=sys.stderr
        )
        raise SystemExit(2)
    return survey(site_root(content), content, release)


def site_root(content: Path) -> Path:
    """What paths in findings are counted from."""
    return Path.cwd() if content.is_relative_to(Path.cwd()) else content.parent


def unknown(what: str, name: str, known: Iterable[str]) -> int:
    print(f"kitdocs: no {what} '{name}'. {nearest(name, known)}".rstrip(), file=sys.stderr)
    return 2


def stage_options(parser: argparse.ArgumentParser) -> None:
    """Let the call say which kit's stage is meant, and in which language."""
    parser.add_argument("--kit", help="the kit, where several have the stage")
    parser.add_argument("--language", metavar="CODE", help="a language of the kit (default: first)")


def stage_of(found: Survey, name: str, kit: str | None) -> tuple[KitSurvey, Stage] | int:
    """The one stage of this name, with its kit; what the command returns where there is none."""
    kits = [k for k in found.kits if k.design and kit in (None, k.id)]
    if kit is not None and kit not in [k.id for k in found.kits]:
        return unknown("kit", kit, [k.id for k in found.kits])
    if not kits:
        for finding in found.findings:
            print(finding, file=sys.stderr)
        return 1
    meant = [(k, s) for k in kits for s in k.design.kit.stages if s.id == name]
    if not meant:
        return unknown("stage", name, [s.id for k in kits for s in k.design.kit.stages])
    if len(meant) > 1:
        names = ", ".join(k.id for k, _ in meant)
        print(f"kitdocs: several kits have a stage '{name}': add --kit ({names})", file=sys.stderr)
        return 2
    return meant[0]
