"""What several commands share: the folder of the kits, its survey, the word for a wrong name."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterable
from pathlib import Path

from kitdocs.kit.names import nearest
from kitdocs.survey import Survey, survey

_FOLDER = "the folder that holds the kits (default: docs_dir of mkdocs.yml)"


def content_option(parser: argparse.ArgumentParser) -> None:
    """Let the call say where the kits are."""
    parser.add_argument("--content", type=Path, metavar="FOLDER", help=_FOLDER)


def content_argument(parser: argparse.ArgumentParser) -> None:
    """The same as the last word of a call that needs no other."""
    parser.add_argument("content", nargs="?", type=Path, help=_FOLDER)


def content_folder(given: Path | None) -> Path:
    """The folder of the kits: the one given, or the `docs_dir` of a mkdocs.yml here."""
    if given is not None:
        return given.absolute()
    settings = Path("mkdocs.yml")  # may hold tags that only MkDocs can read, so not parsed
    text = settings.read_text("utf-8") if settings.is_file() else ""
    match = re.search(r"^docs_dir:[ \t]*['\"]?([^'\"#\n]+?)['\"]?[ \t]*(?:#.*)?$", text, re.M)
    return Path(match[1] if match else "docs").absolute()


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
