"""Break a kit, one fact at a time, and see whether anybody notices.

`python tests/break_it.py content` makes every single change of the kits under a folder
(`single_facts.py`), surveys the kit, and lists what nobody noticed. A change is *caught* when a
finding stops a strict build, and *at its line* when one of them stands at the changed line or
names it among the facts that it was computed from. What is not caught is *argued* where
`harmless.yml` says why it cannot mislead a builder, else *unnoticed*.
"""

from __future__ import annotations

import argparse
import functools
import multiprocessing
import shutil
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from pathlib import Path

import yaml
from single_facts import Change, changes

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, stops
from kitdocs.kit import reader, stage_reader
from kitdocs.kit.use_places import at_their_uses
from kitdocs.rules import registry

HARMLESS = Path(__file__).parent / "harmless.yml"
#: What the areas are that a verified design must notice nearly everything in.
MACHINE = ("mechanism", "parts", "deliveries", "fasteners")
_OF_STEPS = {rule.id for rule in registry.all_rules() if rule.group == "Steps"}


@dataclass(frozen=True)
class Argument:
    """Why changes of one pattern cannot mislead a builder."""

    kind: str
    place: str
    why: str

    def covers(self, change: Change) -> bool:
        return fnmatchcase(change.kind, self.kind) and fnmatchcase(change.place, self.place)


@functools.cache
def arguments() -> tuple[Argument, ...]:
    return tuple(Argument(**entry) for entry in yaml.safe_load(HARMLESS.read_text("utf-8")))


def is_argued(change: Change) -> bool:
    return any(argument.covers(change) for argument in arguments())


class Bench:
    """A copy of a content folder in which one change at a time is made and taken back."""

    def __init__(self, content: Path, site: Path):
        self.site, self.content = site, site / content.name
        shutil.copytree(content, self.content)

    def noticed(self, change: Change) -> tuple[tuple[str, ...], bool]:
        """The first rules that stop a strict build with this change, and whether at its line.

        Rules are run until one speaks of the changed line: the rest would say nothing new. Those
        on words are costly, and run only where nobody has spoken yet and nothing is argued.
        """
        file = self.content / change.kit / change.file
        text = file.read_text("utf-8")
        file.write_text(text[: change.start] + change.new + text[change.end :], encoding="utf-8")
        try:
            return self._until_at(change, file.relative_to(self.site).as_posix())
        finally:
            file.write_text(text, encoding="utf-8")

    def _until_at(self, change: Change, path: str) -> tuple[tuple[str, ...], bool]:
        lines = range(change.line, change.line + change.old.count("\n") + 1)
        rules: dict[str, None] = {}
        for group, found in self._findings(self.content / change.kit):
            if group == "Words" and (rules or is_argued(change)):
                break
            stopping = [finding for finding in found if stops([finding], strict=True)]
            rules |= dict.fromkeys(finding.rule for finding in stopping)
            places = (place for f in stopping for place in (f.place, *f.facts))
            if any(place.path == path and place.line in lines for place in places):
                return tuple(rules), True
        return tuple(rules), False

    def _findings(self, folder: Path) -> Iterator[tuple[str, list[Finding]]]:
        """What reading finds, then each rule, with its group."""
        read = reader.read_kit(self.site, folder, folder)
        yield "Reading", at_their_uses(read.findings, read.uses)
        if read.kit is None:
            return
        for rule, found in registry.each(Design(read.kit), read.findings):
            yield rule.group, at_their_uses(found or [], read.uses, read.kit, _OF_STEPS)


_bench: Bench  # of a worker process


def _start_worker(content: Path) -> None:
    """Make this process's bench; what does not change is taken apart only once."""
    global _bench
    _bench = Bench(content, Path(tempfile.mkdtemp(prefix="break-it-", dir=content.parent)))
    read = functools.lru_cache(maxsize=1024)(reader.read_yaml)
    reader.read_yaml = stage_reader.read_yaml = read
    reader.read_steps = functools.lru_cache(maxsize=1024)(reader.read_steps)


def _noticed(change: Change) -> tuple[Change, tuple[str, ...], bool]:
    return (change, *_bench.noticed(change))


def outcomes(
    content: Path, made: Iterable[Change]
) -> Iterator[tuple[Change, tuple[str, ...], bool]]:
    """Each change with the rules that noticed it and whether at its line; on two processes."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / content.name
        # Translated pages and captions hold no facts; reading them each time would be most of it.
        aside = shutil.ignore_patterns("*.*.md", "*.vtt")
        shutil.copytree(content, copy, ignore=aside)
        with multiprocessing.Pool(2, _start_worker, (copy,)) as pool:
            yield from pool.imap(_noticed, made, chunksize=8)


@dataclass
class Tally:
    """What became of the changes of one kind."""

    made: int = 0
    caught: int = 0
    at_line: int = 0
    argued: int = 0
    unnoticed: list[Change] = field(default_factory=list)
    elsewhere: list[Change] = field(default_factory=list)  # caught, but not at its line


def chosen(content: Path, every: int = 1, kind: str = "*", area: str = "*") -> list[Change]:
    """Each `every`-th change of the kits under a folder, of the kinds and areas asked for."""
    folders = sorted(file.parent for file in content.glob("*/kit.yml"))
    found = [change for folder in folders for change in changes(folder)]
    found = [c for c in found if fnmatchcase(c.kind, kind) and fnmatchcase(c.area, area)]
    return found[::every]


def tally(content: Path, made: Iterable[Change]) -> dict[tuple[str, str], Tally]:
    """What becomes of the changes, by area and kind."""
    tallies: dict[tuple[str, str], Tally] = {}
    for change, rules, at_line in outcomes(content, made):
        count = tallies.setdefault((change.area, change.kind), Tally())
        count.made += 1
        if rules:
            count.caught += 1
            count.at_line += at_line
            if not at_line:
                count.elsewhere.append(change)
        elif is_argued(change):
            count.argued += 1
        else:
            count.unnoticed.append(change)
    return tallies


def _table(tallies: dict[tuple[str, str], Tally]) -> Iterator[str]:
    head = f"{'made':>6}{'caught':>8}{'at its line':>13}{'argued':>8}{'unnoticed':>11}"
    yield f"{'area':12}{'kind of change':26}{head}"
    areas = {area: Tally() for area, _ in sorted(tallies)}
    for (area, kind), count in sorted(tallies.items()):
        yield f"{area:12}{kind:26}{_row(count)}"
        total = areas[area]
        for key in ("made", "caught", "at_line", "argued", "unnoticed"):
            setattr(total, key, getattr(total, key) + getattr(count, key))
    for area, total in areas.items():
        yield f"{area:12}{'all':26}{_row(total)}"


def _row(count: Tally) -> str:
    row = f"{count.made:6}{count.caught:8}{count.at_line:13}{count.argued:8}"
    return f"{row}{len(count.unnoticed):11}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("content", type=Path)
    parser.add_argument("--every", type=int, default=1, help="make only each n-th change")
    parser.add_argument("--kind", default="*", help="only kinds of this pattern")
    parser.add_argument("--area", default="*", help="only areas of this pattern")
    parser.add_argument("--elsewhere", action="store_true", help="list what was not at its line")
    options = parser.parse_args()
    content = options.content.absolute()
    made = chosen(content, options.every, options.kind, options.area)
    tallies = tally(content, made)
    print(*_table(tallies), sep="\n")
    for count in tallies.values():
        for change in count.unnoticed:
            print(f"unnoticed: {change}")
        for change in count.elsewhere if options.elsewhere else ():
            print(f"not at its line: {change}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
