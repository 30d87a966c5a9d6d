"""`kitdocs revise`: what changed between two revisions, and whom it concerns."""

from __future__ import annotations

import argparse
import io
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from kitdocs.commands.common import content_folder, content_option, unknown
from kitdocs.finding import Place
from kitdocs.kit.about import is_day
from kitdocs.kit.source import read_text
from kitdocs.kit.yaml_reader import read_yaml
from kitdocs.revising.revision import (
    ERRATA,
    Revision,
    as_text,
    erratum,
    revision,
    revision_json,
    with_erratum,
)
from kitdocs.survey import KitSurvey, survey


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("old", help="the earlier revision: a folder with kits, or a git revision")
    parser.add_argument("new", help="the later one (`.` for the files as they are)")
    parser.add_argument("--kit", help="one kit only (default: all that both have)")
    parser.add_argument("--sent", metavar="PARCEL", help="the last parcel that has gone out")
    parser.add_argument("--json", action="store_true", help="print the comparison as JSON")
    parser.add_argument(
        "--write", action="store_true", help=f"add an entry to {ERRATA} in the folder of the later"
    )
    parser.add_argument("--on", metavar="DATE", help="its date, YYYY-MM-DD (default: today)")
    content_option(parser)


class _Refused(Exception):
    """The call cannot be carried out, for the reason that is its text."""


def run(options: argparse.Namespace) -> int:
    """Compare; 0 when that was possible, 1 when a kit cannot be read, 2 for a wrong call."""
    try:
        with _side(options.old, options.content) as old, _side(options.new, options.content) as new:
            return _compare(options, old, new)
    except _Refused as error:
        print(f"kitdocs: {error}", file=sys.stderr)
        return 2


@dataclass(frozen=True)
class _Side:
    """The kits of one revision; `folder` holds them, for as long as they are compared."""

    kits: dict[str, KitSurvey]
    folder: Path
    lasts: bool  # a folder of the user's own, rather than files taken out of git


def _compare(options: argparse.Namespace, old: _Side, new: _Side) -> int:
    both = [name for name in new.kits if name in old.kits and options.kit in (None, name)]
    if not both:
        if options.kit is not None:
            return unknown("kit", options.kit, [n for n in new.kits if n in old.kits])
        raise _Refused("no kit that both revisions have")
    if options.write and not new.lasts:
        raise _Refused(f"{ERRATA} is written beside the files as they are: name their folder last")
    unread = [s.kits[name] for name in both for s in (old, new) if s.kits[name].design is None]
    for kit in unread:
        for finding in kit.findings:
            print(finding, file=sys.stderr)
    if unread:
        return 1
    on = options.on or date.today().isoformat()
    if not is_day(on):
        raise _Refused(f"'{on}' is no date such as 2026-11-20")
    for name in both:
        former, latter = old.kits[name], new.kits[name]
        sent = _sent(former, options.sent)
        found = revision(former, latter, new.folder / latter.read.folder, sent)
        print(revision_json(found) if options.json else as_text(found))
        if options.write:
            _write(new.folder / latter.read.folder / ERRATA, found, on)
    return 0


def _sent(kit: KitSurvey, last: str | None) -> list[str]:
    """The parcels up to the last that has gone out."""
    parcels = list(kit.kit.deliveries)
    if last is None:
        return []
    if last not in parcels:
        raise _Refused(f"no parcel '{last}' in {kit.id}; it has {', '.join(parcels)}")
    return parcels[: parcels.index(last) + 1]


def _write(file: Path, found: Revision, on: str) -> None:
    """Add the entry to the errata; what is there stays byte for byte."""
    if found.before == found.now:
        raise _Refused(f"both are revision {found.now}: give the later one another number first")
    if not (found.stages or found.parcels):
        print(f"{ERRATA}: nothing that a builder has to know")
        return
    text, findings = read_text(file, file.name) if file.exists() else ("", [])
    if text is None:
        raise _Refused(str(findings[0]))
    there = read_yaml(text, Place(file.name)).data if text else None
    entries = there.get("errata", []) if there else []
    if any((e.get("from"), e.get("to")) == (found.before, found.now) for e in entries):
        raise _Refused(f"{ERRATA} tells of {found.before} to {found.now} already: delete that")
    file.write_text(with_erratum(text, erratum(found, on)), encoding="utf-8", newline="\n")
    print(f"{ERRATA}: {found.before} to {found.now} added")


@contextmanager
def _side(named: str, content: Path | None) -> Iterator[_Side]:
    """The kits of a folder, or of a git revision of this one."""
    folder = Path(named)
    if folder.is_dir():
        yield _read(folder.absolute(), content, True)
        return
    with tempfile.TemporaryDirectory() as taken:
        yield _read(_taken_out(named, Path(taken)), content, False)


def _read(root: Path, content: Path | None, lasts: bool) -> _Side:
    """A folder of a site is read at its content; any other folder as it is."""
    folder = root / content if content else content_folder(None, root)
    folder = folder if folder.is_dir() else root
    return _Side({kit.id: kit for kit in survey(root, folder).kits}, folder, lasts)


def _taken_out(revision: str, into: Path) -> Path:
    """Take the files of a git revision out, and give the folder that this one was then."""
    try:
        prefix = _git("rev-parse", "--show-prefix").decode().strip()
        root = _git("rev-parse", "--show-toplevel").decode().strip()
        files = _git("-C", root, "archive", "--format=tar", revision)
    except (OSError, subprocess.CalledProcessError):
        raise _Refused(f"'{revision}' is neither a folder nor a git revision here") from None
    with tarfile.open(fileobj=io.BytesIO(files)) as tar:
        tar.extractall(into, filter="data")
    return into / prefix


def _git(*words: str) -> bytes:
    done = subprocess.run(("git", *words), check=True, capture_output=True)
    return done.stdout
