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

from kitdocs.assembly.design import Design
from kitdocs.commands.common import content_folder, content_option
from kitdocs.finding import Place, stops
from kitdocs.kit.about import is_day
from kitdocs.kit.names import nearest
from kitdocs.kit.reader import kit_folders, read_kit
from kitdocs.kit.source import read_text
from kitdocs.kit.yaml_reader import read_yaml
from kitdocs.revising.revision import (
    ERRATA,
    Revision,
    Side,
    as_json,
    as_text,
    erratum,
    revision,
    with_erratum,
)
from kitdocs.rules import registry


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("old", help="the earlier revision: a folder with kits, or a git revision")
    parser.add_argument("new", help="the later one (`.` for the files as they are)")
    parser.add_argument("--kit", help="one kit only (default: all that both have)")
    parser.add_argument(
        "--sent", metavar="PARCEL", help="the last parcel that has gone out; `none` for none"
    )
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
class _Kits:
    """The kits of one revision. `lasts` says that they are in a folder of the user's own, rather
    than taken out of git for as long as they are compared."""

    named: str
    kits: dict[str, Side]
    lasts: bool


def _compare(options: argparse.Namespace, old: _Kits, new: _Kits) -> int:
    both = _both(options.kit, old, new)
    if options.write and not new.lasts:
        raise _Refused(f"{ERRATA} is written beside the files as they are: name their folder last")
    on = options.on or date.today().isoformat()
    if not is_day(on):
        raise _Refused(f"'{on}' is no date such as 2026-11-20")
    sent = _sent([former for former, _ in both], options.sent)
    readable = True
    for pair in both:
        for kits, side in zip((old, new), pair, strict=True):
            if side.read.kit is None:
                readable = False
                for finding in side.read.findings:
                    print(finding, file=sys.stderr)
                print(f"kitdocs: {side.read.id} of {kits.named} cannot be read", file=sys.stderr)
    if not readable:
        return 1
    found = [
        revision(former, latter, parcels)
        for (former, latter), parcels in zip(both, sent, strict=True)
    ]
    texts = {
        latter.read.id: _errata(latter.folder / ERRATA, one, on)
        for (_, latter), one in zip(both, found, strict=True)
        if options.write and one.concerns_builders
    }
    print(as_json(found) if options.json else "\n".join(map(as_text, found)))
    for (_, latter), one in zip(both, found, strict=True) if options.write else ():
        _write(latter, one, texts.get(latter.read.id))
    return 0


def _both(kit: str | None, old: _Kits, new: _Kits) -> list[tuple[Side, Side]]:
    """The kits of both revisions, each with what it was; one kit only where it is named.

    Of a kit whose folder has another name, the title says which it was.
    """
    partner = {name: old.kits[name] for name in new.kits if name in old.kits}
    for name, side in new.kits.items():
        if name in partner or side.read.kit is None:
            continue
        same = [o for o in old.kits.values() if o.read.id not in new.kits and o.read.kit
                and o.kit.about.title == side.kit.about.title]  # fmt: skip
        if len(same) == 1:
            partner[name] = same[0]
    wanted = [name for name in new.kits if name in partner and kit in (None, name)]
    if not wanted:
        if kit is not None:
            raise _Refused(f"no kit '{kit}' in both. {nearest(kit, partner)}".rstrip())
        raise _Refused("no kit that both revisions have")
    for kits, others in ((old, partner.values()), (new, [new.kits[n] for n in partner])):
        for side in kits.kits.values():
            if kit is None and side not in others:
                print(f"kitdocs: only {kits.named} has the kit {side.read.id}", file=sys.stderr)
    return [(partner[name], new.kits[name]) for name in wanted]


def _sent(kits: list[Side], last: str | None) -> list[list[str] | None]:
    """Of each kit the parcels up to the last that has gone out; None where that is not known."""
    if last is None:
        return [None for _ in kits]
    if last == "none":
        return [[] for _ in kits]
    parcels = [list(side.read.kit.deliveries) if side.read.kit else [] for side in kits]
    if not any(last in names for names in parcels):
        known = "; ".join(f"{side.read.id} has {', '.join(names)}"
                          for side, names in zip(kits, parcels, strict=True) if names)  # fmt: skip
        raise _Refused(f"no parcel '{last}'. {known}")
    return [names[: names.index(last) + 1] if last in names else None for names in parcels]


def _errata(file: Path, found: Revision, on: str) -> str:
    """The errata with the new entry; what is there stays byte for byte."""
    if found.before == found.now:
        number = f"both are revision {found.now}"
        raise _Refused(f"{found.title}: {number}: give the later one another number first")
    text, findings = read_text(file, file.name) if file.exists() else ("", [])
    if text is None:
        raise _Refused(str(findings[0]))
    entries = _entries(text, file.name)
    if any((e.get("from"), e.get("to")) == (found.before, found.now) for e in entries):
        raise _Refused(f"{ERRATA} tells of {found.before} to {found.now} already: delete that")
    # Of the bytes themselves, since reading makes all line ends alike.
    text = file.read_bytes().decode("utf-8") if file.exists() else ""
    made = with_erratum(text, erratum(found, on))
    if _entries(made, file.name)[1:] != entries:
        raise _Refused(f"{ERRATA} is no list of entries under `errata:`, each on lines of its own")
    return made


def _entries(text: str, name: str) -> list[dict]:
    read = read_yaml(text, Place(name)) if text else None
    if read and read.findings:
        raise _Refused(str(read.findings[0]))
    there = read.data if read else None
    entries = there.get("errata") if isinstance(there, dict) else None
    return [e for e in entries if isinstance(e, dict)] if isinstance(entries, list) else []


def _write(latter: Side, found: Revision, text: str | None) -> None:
    """Write the errata, and say on which design."""
    if text is None:
        print(f"{latter.read.id}: nothing that a builder has to know", file=sys.stderr)
        return
    (latter.folder / ERRATA).write_text(text, encoding="utf-8", newline="")
    print(f"{latter.read.id}: {ERRATA} tells of {found.before} to {found.now}", file=sys.stderr)
    if stops([*latter.read.findings, *registry.run(Design(latter.kit), latter.read.findings)]):
        told = f"kitdocs: {latter.read.id} as it is now has errors: see `kitdocs check`"
        print(told, file=sys.stderr)


@contextmanager
def _side(named: str, content: Path | None) -> Iterator[_Kits]:
    """The kits of a folder, or of a git revision of this one."""
    folder = Path(named)
    if folder.is_dir():
        yield _read(named, folder.absolute(), content, True)
        return
    with tempfile.TemporaryDirectory() as taken:
        yield _read(named, _taken_out(named, Path(taken)), content, False)


def _read(named: str, root: Path, content: Path | None, lasts: bool) -> _Kits:
    """A folder of a site is read at its content; any other folder as it is."""
    folder = root / content if content else content_folder(None, root)
    folder = folder if folder.is_dir() else root
    read = [read_kit(root, kit, folder) for kit in kit_folders(folder)]
    return _Kits(named, {one.id: Side(one, folder) for one in read}, lasts)


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
