"""A moment of the build: what is built, where it lies, and what holds it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType
from typing import Any, Literal

#: The assembly that stands on the frame. Every other one lies on the bench.
MACHINE = "machine"
#: What an item's fastening is: screws that have not been driven are out, driven ones tight or
#: slack; glue and a press fit hold for ever.
Hold = Literal["out", "tight", "slack", "glued", "pressed"]
#: Fastenings that make two items move as one.
FIRM: frozenset[Hold] = frozenset({"tight", "glued", "pressed"})
#: Fastenings that are never undone.
FOR_EVER: frozenset[Hold] = frozenset({"glued", "pressed"})
#: Two items that mesh, in either order.
Pair = frozenset[str]

_NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True)
class State:
    """The build as it stands between two actions. Nothing in it changes.

    `at` gives each built item's assembly: `MACHINE`, or the name of one on the bench, which is
    the item that was laid down (or taken off) first. `off` are the items by which something was
    taken off the machine and waits for its `refit`. `holds` has the fastenings that were made,
    `met` the pairs whose teeth were brought together, `oiled` what was oiled, `aims` the bearing
    of each arm that was aimed, in degrees, `taken` how many of each part have left the stock.
    """

    at: Mapping[str, str] = field(default_factory=lambda: _NOTHING)
    off: frozenset[str] = frozenset()
    holds: Mapping[str, Hold] = field(default_factory=lambda: _NOTHING)
    met: frozenset[Pair] = frozenset()
    oiled: frozenset[str] = frozenset()
    aims: Mapping[str, Fraction] = field(default_factory=lambda: _NOTHING)
    taken: Mapping[str, int] = field(default_factory=lambda: _NOTHING)

    @property
    def items(self) -> frozenset[str]:
        """Every item that is built, on the machine or on the bench."""
        return frozenset(self.at)

    @property
    def machine(self) -> frozenset[str]:
        """The items that are in their place on the machine."""
        return self.assemblies.get(MACHINE, frozenset())

    @property
    def bench(self) -> Mapping[str, frozenset[str]]:
        """What lies on the bench: made up and not yet placed, or taken off."""
        return {name: items for name, items in self.assemblies.items() if name != MACHINE}

    @cached_property
    def assemblies(self) -> Mapping[str, frozenset[str]]:
        """The items of each assembly, by its name."""
        found: dict[str, set[str]] = {}
        for item, assembly in self.at.items():
            found.setdefault(assembly, set()).add(item)
        return {name: frozenset(items) for name, items in found.items()}

    def hold(self, item: str) -> Hold:
        """The state of the fastening that holds an item."""
        return self.holds.get(item, "out")

    def together(self, *items: str) -> bool:
        """Whether all these items are built and in one assembly."""
        return _together(self.at, items)

    def in_mesh(self, a: str, b: str) -> bool:
        """Whether two items have been brought together and still are."""
        return frozenset((a, b)) in self.met and self.together(a, b)


def _together(at: Mapping[str, str], items: tuple[str, ...]) -> bool:
    found = {at.get(item) for item in items}
    return len(found) == 1 and None not in found


#: A key of one of a state's tables, and what it became: None when it was taken out.
Change = tuple[str, Any, Any]


class Draft:
    """A state that is being worked on. It keeps a list of what changed, for looking back."""

    def __init__(self) -> None:
        self.at: dict[str, str] = {}
        self.off: dict[str, bool] = {}
        self.holds: dict[str, Hold] = {}
        self.met: dict[Pair, bool] = {}
        self.oiled: dict[str, bool] = {}
        self.aims: dict[str, Fraction] = {}
        self.taken: dict[str, int] = {}
        self.members: dict[str, set[str]] = {}
        self.changes: list[Change] = []

    def put(self, table: str, key: Any, value: Any) -> None:
        """Set a key of a table; None takes it out."""
        if table == "at":
            self.members.get(self.at.get(key, ""), set()).discard(key)
            self.members.setdefault(value, set()).add(key)
        _apply(getattr(self, table), key, value)
        self.changes.append((table, key, value))

    def redo(self, change: Change) -> None:
        """Make a change that another draft has kept."""
        table, key, value = change
        _apply(getattr(self, table), key, value)

    def hold(self, item: str) -> Hold:
        return self.holds.get(item, "out")

    def together(self, *items: str) -> bool:
        return _together(self.at, items)

    def frozen(self) -> State:
        """The state as it is now, for good."""
        return State(
            at=MappingProxyType(dict(self.at)),
            off=frozenset(self.off),
            holds=MappingProxyType(dict(self.holds)),
            met=frozenset(self.met),
            oiled=frozenset(self.oiled),
            aims=MappingProxyType(dict(self.aims)),
            taken=MappingProxyType(dict(self.taken)),
        )


def _apply(table: dict, key: Any, value: Any) -> None:
    if value is None:
        table.pop(key, None)
    else:
        table[key] = value
