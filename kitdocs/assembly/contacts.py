"""What gives each item its place, and what comes along when something is lifted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property

from kitdocs.assembly.state import FIRM, Draft, State
from kitdocs.kit.model import Item, Kit


class Contacts:
    """Which items of a kit sit on, in or around one another, by its stacks and its schedule."""

    def __init__(self, kit: Kit):
        self._kit = kit
        self._seats = {name: tuple(self._find(item)) for name, item in kit.items.items()}

    def seats(self, item: str) -> tuple[str, ...]:
        """What an item sits on or is held to, the one that gives it its place first."""
        return self._seats[item]

    def mates(self, item: str) -> Iterator[str]:
        """The other items of its stack: what it stands among, where it has no other seat."""
        for other in self._kit.on_arbor[self._kit.items[item].arbor]:
            if other.id != item:
                yield other.id

    def in_frame(self, item: str) -> bool:
        """Whether an item is part of the frame, which has no axis and lies on no side."""
        arbor = self._kit.arbors[self._kit.items[item].arbor]
        return arbor.axis is None and arbor.fixed

    def _find(self, item: Item) -> Iterator[str]:
        kit, arbor = self._kit, self._kit.arbors[item.arbor]
        shaft = self.shaft(item.arbor)
        host = kit.held[item.id].to if item.id in kit.held else None
        if host is not None:
            yield host
        if shaft not in (None, host, item.id):
            yield shaft
        if shaft is None or item.where == "shaft":
            if arbor.stands_on in kit.items and not self._is_loop(item.arbor):
                yield arbor.stands_on
            below = self.shaft(arbor.runs_on) if arbor.runs_on else None
            if below is not None:
                yield below

    def _is_loop(self, arbor: str) -> bool:
        """Whether an arbor stands on itself, round about; reading the heights tells of it."""
        seen: set[str] = set()
        at: str | None = arbor
        while at is not None and at not in seen:
            seen.add(at)
            on = self._kit.items.get(self._kit.arbors[at].stands_on or "")
            at = on.arbor if on else None
        return at == arbor

    def shaft(self, arbor: str) -> str | None:
        """The item that is an arbor's own shaft or pipe."""
        item = self._kit.items.get(arbor)
        return arbor if item is not None and item.where == "shaft" else None

    @cached_property
    def _resting(self) -> dict[str, list[str]]:
        """The items that have a place on each."""
        found: dict[str, list[str]] = {}
        for item, seats in self._seats.items():
            for seat in seats:
                found.setdefault(seat, []).append(item)
        return found

    @cached_property
    def _held_to(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for item, held in self._kit.held.items():
            found.setdefault(held.to, []).append(item)
        return found

    def cluster(self, state: State | Draft, item: str) -> frozenset[str]:
        """What moves as one with an item: all that firm fastenings join to it."""
        found, waiting = {item}, [item]
        while waiting:
            at = waiting.pop()
            held = self._kit.held.get(at)
            firm = [held.to] if held and state.hold(at) in FIRM else []
            firm += [i for i in self._held_to.get(at, ()) if state.hold(i) in FIRM]
            for other in firm:
                if other not in found and state.together(other, item):
                    found.add(other)
                    waiting.append(other)
        return frozenset(found)

    def lifted(self, state: State | Draft, item: str) -> frozenset[str]:
        """What comes along when an item is lifted: its cluster, and what rests on that."""
        found: set[str] = set()
        waiting = [item]
        while waiting:
            at = waiting.pop()
            if at in found:
                continue
            cluster = self.cluster(state, at)
            found |= cluster
            for member in cluster:
                for other in self._resting.get(member, ()):
                    if other not in found and self._rests_on(state, other) == member:
                        waiting.append(other)
        return frozenset(found)

    def _rests_on(self, state: State | Draft, item: str) -> str | None:
        return next((s for s in self._seats[item] if state.together(s, item)), None)

    def reach(self, state: State | Draft, moved: Iterable[str], first: str) -> str | None:
        """The item outside `moved` that it finds its place by; the seats of `first` come first."""
        moved = frozenset(moved)
        for item in (first, *sorted(moved - {first})):
            for seat in self._seats[item]:
                if seat not in moved and seat in state.at:
                    return seat
        for item in sorted(moved):  # what is already there stands on it: a base below its deck
            for other in self._resting.get(item, ()):
                if other not in moved and other in state.at:
                    return other
        return None
