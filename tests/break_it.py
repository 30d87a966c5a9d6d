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

from kitdocs.finding import stops
from kitdocs.kit import reader, stage_reader
from kitdocs.survey import survey

HARMLESS = Path(__file__).parent / "harmless.yml"
#: What the areas are that a verified design must notice nearly everything in.
MACHINE = ("mechanism", "parts", "deliveries", "fasteners")


@dataclass(frozen=True)
class Argument:
    """Why changes of one pattern cannot mislead a builder."""

    kind: str
    place: str
    why: str

    def covers(self, change: Change) -> bool:
        return fnmatchcase(change.kind, self.kind) and fnmatchcase(change.place, self.place)


def arguments() -> tuple[Argument, ...]:
    return tuple(Argument(**entry) for entry in yaml.safe_load(HARMLESS.read_text("utf-8")))


class Bench:
    """A copy of a content folder in which one change at a time is made and taken back."""

    def __init__(self, content: Path, site: Path):
        self.site, self.content = site, site / content.name
        shutil.copytree(content, self.content)

    def noticed(self, change: Change) -> tuple[tuple[str, ...], bool]:
        """The rules that stop a strict build with this change, and whether at its line."""
        file = self.content / change.kit / change.file
        text = file.read_text("utf-8")
        file.write_text(text[: change.start] + change.new + text[change.end :], encoding="utf-8")
        try:
            found = survey(self.site, self.content / change.kit).findings
        finally:
            file.write_text(text, encoding="utf-8")
        found = [finding for finding in found if stops([finding], strict=True)]
        lines = range(change.line, change.line + change.old.count("\n") + 1)
        path = file.relative_to(self.site).as_posix()
        places = (place for f in found for place in (f.place, *f.facts))
        at_line = any(place.path == path and place.line in lines for place in places)
        return tuple(dict.fromkeys(f.rule for f in found)), at_line


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
        shutil.copytree(content, copy)
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
    argued = arguments()
    for change, rules, at_line in outcomes(content, made):
        count = tallies.setdefault((change.area, change.kind), Tally())
        count.made += 1
        if rules:
            count.caught += 1
            count.at_line += at_line
            if not at_line:
                count.elsewhere.append(change)
        elif any(argument.covers(change) for argument in argued):
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
