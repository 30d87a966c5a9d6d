"""Every single change of one kind of fact in a kit, and whether the rules see it.

Run as a script it prints the table for the kits under a content folder:
`python tests/single_changes.py content`. A change is *seen* when it gives an error, and *placed*
when an error stands at the changed line or names it among the facts it was computed from.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Fastener, Toothed
from kitdocs.survey import survey

#: Lengths that screws are stocked in, mm (ISO 4762, 7045 and 4026 length series, small sizes).
LENGTHS = ("2", "2.5", "3", "4", "5", "6", "8", "10", "12", "16", "20", "25", "30")
THREADS = ("M1.6", "M2", "M2.5", "M3", "M4")


@dataclass(frozen=True)
class Change:
    """Replace `old` by `new` at a place."""

    kind: str
    place: Place
    old: str
    new: str

    def __str__(self) -> str:
        return f"{self.place}: {self.kind}: {self.old} -> {self.new}"


def changes(kit: Kit, text_at) -> Iterator[Change]:
    """All changes of the kinds that a verified design must notice."""
    yield from _parts(kit)
    for axis in kit.axes.values():
        for key in ("distance", "at"):
            value = getattr(axis, key)
            if value is None:
                continue
            places = (
                [axis.place(key)] if key == "distance" else [axis.place(key, i) for i in (0, 1)]
            )
            for place in places:
                for step in (-0.5, 0.5):
                    old = text_at(place)
                    yield Change("axis distance", place, old, f"{float(old) + step:g}")
    for held in kit.held.values():
        place = held.place("by")
        yield from _designation(text_at(place), place)
    for i, fastener in enumerate(p for p in kit.parts.values() if isinstance(p, Fastener)):
        del i
        place = fastener.place()
        yield from _designation(text_at(place), place)
    for delivery in kit.deliveries.values():
        for key in delivery.holds:
            place = delivery.place("holds", key)
            count = delivery.holds[key]
            for new in (count - 1, count + 1):
                yield Change("delivery quantity", place, str(count), str(new))
    yield from _steps(kit)


def _parts(kit: Kit) -> Iterator[Change]:
    for part in kit.parts.values():
        if isinstance(part, Toothed):
            for new in (part.teeth - 1, part.teeth + 1):
                yield Change("tooth count", part.place("teeth"), str(part.teeth), str(new))
            place = part.place("module")
            for step in (-0.1, 0.1):
                yield Change("module", place, f"{part.module:g}", f"{part.module + step:g}")
        for pattern in part.holes:
            if pattern.thread:
                yield from _thread(pattern.thread, pattern.place("thread"))
        if part.set_screw:
            yield from _thread(part.set_screw.thread, part.set_screw.place("thread"))


def _thread(old: str, place: Place) -> Iterator[Change]:
    for new in _beside(old, THREADS):
        yield Change("thread", place, old, new)


def _beside(value: str, series: tuple[str, ...]) -> list[str]:
    at = series.index(value)
    return [series[i] for i in (at - 1, at + 1) if 0 <= i < len(series)]


def _designation(text: str, place: Place) -> Iterator[Change]:
    head, _, length = text.rpartition(" x ")
    if not head:
        return
    for new in _beside(length, LENGTHS):
        yield Change("screw length", place, text, f"{head} x {new}")
    start, _, thread = head.rpartition(" ")
    for new in _beside(thread, THREADS):
        yield Change("thread", place, text, f"{start} {new} x {length}".strip())


def _steps(kit: Kit) -> Iterator[Change]:
    """Each item of a step becomes the next one of the machine."""
    items = list(kit.items)
    for _, _, action in kit.actions():
        for name, place in zip(action.items, action.item_places, strict=True):
            if name in kit.items:
                other = items[(items.index(name) + 1) % len(items)]
                yield Change(f"step item ({action.verb})", place, name, other)


class Bench:
    """A copy of a content folder in which one change at a time is made and taken back."""

    def __init__(self, content: Path, folder: Path):
        self.root = folder
        shutil.copytree(content, folder / content.name)
        self.content = folder / content.name
        self.files: dict[str, str] = {}

    def text(self, path: str) -> str:
        if path not in self.files:
            self.files[path] = (self.root / path).read_text("utf-8")
        return self.files[path]

    def scalar_at(self, place: Place) -> str:
        """The plain or quoted scalar that stands at a place."""
        line = self.text(place.path).split("\n")[place.line - 1][place.column - 1 :]
        if line[0] in "\"'":
            return line[1 : line.index(line[0], 1)]
        for end in (", ", ",", "}", "]", "  #"):
            line = line.partition(end)[0]
        return line.removesuffix(":").rstrip()

    def findings(self, change: Change) -> list[Finding]:
        """The findings with one change made."""
        path, text = change.place.path, self.text(change.place.path)
        lines = text.split("\n")
        line = lines[change.place.line - 1]
        at = line.index(change.old, change.place.column - 1)
        lines[change.place.line - 1] = line[:at] + change.new + line[at + len(change.old) :]
        (self.root / path).write_text("\n".join(lines), encoding="utf-8")
        try:
            return survey(self.root, self.content).findings
        finally:
            (self.root / path).write_text(text, encoding="utf-8")


@dataclass
class Tally:
    """How many changes of one kind were made, seen and placed, and the ones that were not."""

    made: int = 0
    seen: int = 0
    placed: int = 0
    unseen: tuple[Change, ...] = ()
    unplaced: tuple[Change, ...] = ()


def tally(content: Path, folder: Path, every: int = 1) -> dict[str, Tally]:
    """Make each `every`-th change in turn; the result by kind of fact."""
    bench = Bench(content, folder)
    tallies: dict[str, Tally] = {}
    whole = survey(bench.root, bench.content)
    assert not whole.findings, "the kits are sound to begin with"
    for kit_survey in whole.kits:
        for number, change in enumerate(changes(kit_survey.kit, bench.scalar_at)):
            if number % every:
                continue
            count = tallies.setdefault(change.kind, Tally())
            errors = [f for f in bench.findings(change) if f.severity == "error"]
            line = (change.place.path, change.place.line)
            places = {(p.path, p.line) for f in errors for p in (f.place, *f.facts)}
            count.made += 1
            count.seen += bool(errors)
            count.placed += line in places
            if not errors:
                count.unseen += (change,)
            elif line not in places:
                count.unplaced += (change,)
    return tallies


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("content", type=Path)
    parser.add_argument("--every", type=int, default=1, help="make only each n-th change")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tallies = tally(options.content.absolute(), Path(folder), options.every)
    print(f"{'kind of fact':24} {'made':>5} {'seen':>5} {'at its line':>11}")
    for kind, count in sorted(tallies.items()):
        print(f"{kind:24} {count.made:5} {count.seen:5} {count.placed:11}")
    for count in tallies.values():
        for change in count.unseen:
            print(f"not seen: {change}")
        for change in count.unplaced:
            print(f"not at its line: {change}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
