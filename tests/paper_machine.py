"""A machine on paper: the YAML of a kit, walked with a pencil's arithmetic in floats.

It shares no code with kitdocs: speeds by going round the meshes until nothing new is found, each
seen from its carrier (R. Willis, Principles of Mechanism, 1841, ch. on epicyclic trains:
w_b - w_c = -(z_a / z_b) (w_a - w_c) for external teeth); heights by adding up what lies below.
Only what the demo kits have: external wheels, bevels whose sense is written, upright axes.
"""

from __future__ import annotations

import copy
from math import cos, dist, radians, sin
from pathlib import Path
from typing import Any

import yaml


class Paper:
    """One kit on paper; `wrong()` copies it to be spoilt."""

    def __init__(self, folder: Path):
        read = {n: yaml.safe_load((folder / f"{n}.yml").read_text("utf-8")) for n in FILES}
        self.parts: dict[str, Any] = read["parts"]["parts"]
        self.machine: dict[str, Any] = read["mechanism"]
        self.arbors: dict[str, Any] = self.machine["arbors"]
        self.axes: dict[str, Any] = self.machine["axes"]
        self.meshes = [
            (*(m["pair"] if isinstance(m, dict) else m), isinstance(m, dict) and m.get("turns"))
            for m in self.machine["meshes"]
        ]

    def wrong(self) -> Paper:
        return copy.deepcopy(self)

    # Where things are

    def find(self, item: str) -> tuple[str, str, int]:
        """The arbor, stack and level of an item."""
        for name, arbor in self.arbors.items():
            if item == name and arbor.get("part"):
                return name, "shaft", 0
            for stack in ("stack", "end-stack"):
                for n, level in enumerate(arbor.get(stack, [])):
                    if item in level:
                        return name, stack, n
        raise KeyError(item)

    def part(self, item: str) -> dict[str, Any]:
        arbor, stack, n = self.find(item)
        key = self.arbors[arbor]["part"] if stack == "shaft" else self.arbors[arbor][stack][n][item]
        return self.parts[key]

    def put(self, item: str, part: str) -> None:
        arbor, stack, n = self.find(item)
        if stack == "shaft":
            self.arbors[arbor]["part"] = part
        else:
            self.arbors[arbor][stack][n][item] = part

    def thick(self, item: str) -> float:
        part = self.part(item)
        for key in ("face", "thickness"):
            if key in part:
                return part[key]
        return part["diameter"] if part["kind"] == "ball" else part["length"]

    def bottom(self, item: str) -> float:
        """How high the lower face of an item is: everything below it, added up."""
        arbor, stack, n = self.find(item)
        fact = self.arbors[arbor]
        stands = fact.get("stands-on")
        foot = self.top(stands) if stands else 0.0
        start = foot - (self.parts[fact["part"]].get("shoulder", 0.0) if "part" in fact else 0.0)
        if stack == "shaft":
            return start
        if stack == "stack":
            return foot + sum(self._level(level) for level in fact["stack"][:n])
        end = start + self.parts[fact["part"]]["length"]
        return end - sum(self._level(level) for level in fact["end-stack"][n:])

    def top(self, item: str) -> float:
        return self.bottom(item) + self.thick(item)

    def _level(self, level: dict[str, str]) -> float:
        return max(self.thick(item) for item in level)

    def shared(self, a: str, b: str) -> float:
        return min(self.top(a), self.top(b)) - max(self.bottom(a), self.bottom(b))

    def at(self, axis: str) -> tuple[float, float]:
        fact = self.axes[axis]
        origin = fact.get("from") or (
            self.arbors[fact["carried-by"]]["axis"] if "carried-by" in fact else None
        )
        x, y = self.at(origin) if origin else (0.0, 0.0)
        if "at" in fact:
            return x + fact["at"][0], y + fact["at"][1]
        angle = radians(fact.get("bearing", 0.0))
        return x + fact["distance"] * cos(angle), y + fact["distance"] * sin(angle)

    def apart(self, a: str, b: str) -> float:
        axes = [self.arbors[self.find(item)[0]]["axis"] for item in (a, b)]
        return dist(self.at(axes[0]), self.at(axes[1]))

    def wanted(self, a: str, b: str) -> float:
        """Pitch circles touch: m (z_a + z_b) / 2 (ISO 21771, no profile shift)."""
        one, other = self.part(a), self.part(b)
        assert one["module"] == other["module"]
        return one["module"] * (one["teeth"] + other["teeth"]) / 2

    # How it moves

    def carrier(self, arbor: str) -> str | None:
        axis = self.arbors[arbor].get("axis")
        return self.axes[axis].get("carried-by") if axis else None

    def speeds(
        self, turned: str, items: set[str], gone: set[frozenset[str]] = frozenset(), more=()
    ) -> dict[str, float]:
        """Turns of every arbor for one of `turned`, with these items and without some meshes."""
        found = {name: 0.0 for name, fact in self.arbors.items() if fact.get("fixed")}
        found[turned] = 1.0
        links = [m for m in self.meshes if frozenset(m[:2]) not in gone] + [
            (a, b, False) for a, b in more
        ]
        for _ in range(len(links) + 1):
            for a, b, turns in links:
                if not {a, b} <= items:
                    continue
                for one, other in ((a, b), (b, a)):
                    x, y = self.find(one)[0], self.find(other)[0]
                    carriers = [c for c in (self.carrier(x), self.carrier(y)) if c]
                    c = carriers[0] if carriers else None
                    known = x in found and (c is None or c in found)
                    if y in found or not known:
                        continue
                    w = found[c] if c else 0.0
                    ratio = self.part(one)["teeth"] / self.part(other)["teeth"]
                    found[y] = w + (ratio if turns == "same" else -ratio) * (found[x] - w)
        return found

    def agrees(self, found: dict[str, float], pairs) -> bool:
        """Whether every mesh runs at these speeds."""
        for a, b, turns in pairs:
            x, y = self.find(a)[0], self.find(b)[0]
            carriers = [c for c in (self.carrier(x), self.carrier(y)) if c]
            w = found.get(carriers[0], 0.0) if carriers else 0.0
            if x in found and y in found:
                ratio = self.part(a)["teeth"] / self.part(b)["teeth"]
                ratio = ratio if turns == "same" else -ratio
                if abs((found[y] - w) - ratio * (found[x] - w)) > 1e-9:
                    return False
        return True


FILES = ("parts", "mechanism", "kit")
