"""What a builder would see of a machine built wrong, computed on that machine.

Motion, heights, fits of teeth, end play and clashes come from the rooms that judge the design;
here the wrong machine is compared with the right one, as far as both are built.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from math import atan2, degrees

from kitdocs.assembly.design import Design
from kitdocs.assembly.misbuild_changes import with_meshes
from kitdocs.assembly.misbuild_figures import carries, overlaps, screw_sights, shared_face
from kitdocs.assembly.misbuild_sight import FELT, ORDER, WRITTEN_TO, Sight
from kitdocs.assembly.proof import Proof, watched_item
from kitdocs.kit.model import Item, Kit, Mesh
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.contact import spare_distance, toothed_pair
from kitdocs.mechanism.gears import ADDENDUM
from kitdocs.mechanism.motion import Motion, solve
from kitdocs.mechanism.positions import Point


class Bench:
    """The machine at the end of a stage, to compare with the same machine built wrong."""

    def __init__(self, design: Design, proof: Proof | None, right: Design):
        self.design = design
        self.proof = proof
        self.right = right
        self._crank = right.kit.mechanism.crank

    def see(self, change: Callable[[Kit], Kit]) -> tuple[Sight, ...]:
        """What is seen when the kit is built with this change; nothing when it is no matter."""
        wrong = self._built(change(self.design.kit))
        moved = self._moved(wrong)
        found = list(chain(self._teeth(wrong, moved), self._screws(wrong)))
        stopped = [s for s in found if s.kind == "jam"]
        if stopped:
            return _sorted(stopped)
        found += self._motion(wrong, moved, found)
        if wrong.heights.spans != self.right.heights.spans:
            found += self._end_plays(wrong)
        found += self._rubbing(wrong, moved, found)
        return _sorted(found) or tuple(self._opposite(wrong))

    def _built(self, kit: Kit) -> Design:
        built = [name for name in self.right.kit.items if name in kit.items]
        same = kit.items is self.design.kit.items
        whole = Design(kit, self.design.heights if same else None)
        return whole.of_items(frozenset(built), self._crank)

    def _moved(self, wrong: Design) -> set[str]:
        """The items that are of another part, at another height or held otherwise."""
        right, now = self.right, wrong.heights.spans
        return {
            name
            for name, item in wrong.kit.items.items()
            if item.part is not right.kit.items[name].part
            or now.get(name) != right.heights.spans.get(name)
            or wrong.kit.held.get(name) != right.kit.held.get(name)
        }

    def _teeth(self, wrong: Design, moved: set[str]) -> Iterator[Sight]:
        for mesh in wrong.kit.meshes:
            if mesh.a.id in moved or mesh.b.id in moved:
                sight = self._pair(wrong, mesh)
                if sight is not None:
                    yield sight

    def _higher(self, wrong: Design, item: Item) -> float:
        """How much higher an item stands than it should, mm."""
        now, then = wrong.heights.spans.get(item.id), self.right.heights.spans.get(item.id)
        return now.bottom - then.bottom if now and then else 0.0

    def _pair(self, wrong: Design, mesh: Mesh) -> Sight | None:
        """What is wrong with how two wheels meet."""
        a, b = mesh.a, mesh.b
        names = (a.id, b.id)
        if toothed_pair(mesh) is None:
            for first, second in ((a, b), (b, a)):
                off = self._higher(wrong, first)
                if abs(off) > FELT:
                    return Sight("shifted", (first.id, second.id), "", off)
            return None
        shared = shared_face(wrong, a, b)
        if shared is not None and shared <= 0:
            above = wrong.heights.spans[a.id].bottom >= wrong.heights.spans[b.id].top
            return Sight("clear", names, "", -shared if above else shared)
        spare = spare_distance(wrong.kit, mesh, wrong.positions)
        if spare is not None and spare < -WRITTEN_TO:
            return Sight("jam", names, "", -spare)
        if spare is not None and not carries(wrong, mesh, spare):
            return Sight("apart", names, "", spare)
        least = (self.design.limit("mesh-overlap").least or 0.0) / 100
        narrow = min(a.part.height, b.part.height)
        if shared is not None and shared < least * narrow - 1e-6:
            was = shared_face(self.right, a, b)
            if was is None or shared < was - FELT:
                return Sight("short", names, "", shared, narrow if was is None else was)
        return None

    def _motion(self, wrong: Design, moved: set[str], found: Iterable[Sight]) -> Iterator[Sight]:
        """How the shown arms move, without the pairs that have come apart, with the new ones."""
        parted = {
            frozenset(s.items)
            for s in found
            if s.kind in ("clear", "apart") or (s.kind == "shifted" and self._out(wrong, s))
        }
        kept = [m for m in wrong.kit.meshes if frozenset((m.a.id, m.b.id)) not in parted]
        strays = self._strays(wrong, moved)
        if len(kept) == len(self.right.kit.meshes) and not strays:
            wheels = self.right.kit.meshes_of.keys()
            items = self.right.kit.items
            if all(wrong.kit.items[n].part is items[n].part for n in moved & wheels):
                return  # the same teeth run in each other
        motion = solve(with_meshes(wrong.kit, [*kept, *strays]))
        for stray in strays:
            yield Sight("stray", (stray.a.id, stray.b.id))
        for lock in motion.locks:
            if lock.mesh is not None:
                yield Sight("locked", (lock.mesh.a.id, lock.mesh.b.id), lock.arbor)
        yield from self._arms(wrong, motion)

    def _out(self, wrong: Design, sight: Sight) -> bool:
        """Whether a wheel of a crossing pair is out of the other's teeth altogether."""
        modules = [getattr(wrong.kit.items[name].part, "module", 0.0) for name in sight.items]
        return abs(sight.amount) >= 2 * ADDENDUM * max(modules)

    def _strays(self, wrong: Design, moved: set[str]) -> list[Mesh]:
        """Pairs that run together now and should not."""
        found = []
        wheels = [item for item in wrong.kit.items.values() if isinstance(item.part, Toothed)]
        for a in wheels:
            for b in wheels if a.id in moved else ():
                mesh = Mesh(a, b, None, a.place)
                if a is b or (b.id in moved and b.id < a.id) or wrong.kit.mesh(a.id, b.id):
                    continue
                shared = shared_face(wrong, a, b)
                if shared is None or shared <= 0 or toothed_pair(mesh) is None:
                    continue
                spare = spare_distance(wrong.kit, mesh, wrong.positions)
                if spare is not None and spare >= -WRITTEN_TO and carries(wrong, mesh, spare):
                    found.append(mesh)
        return found

    def _arms(self, wrong: Design, motion: Motion) -> Iterator[Sight]:
        if self.proof is None:
            return
        for shown in self.proof.shown:
            if shown.arbor not in wrong.kit.arbors:
                continue
            speed = motion.speeds.get(shown.arbor)
            against = motion.speeds.get(shown.against) if shown.against else 0
            turns = (
                None if speed is None or against is None else (speed - against) * self.proof.turns
            )
            if turns is None or not turns:
                yield Sight("still", (shown.item,), shown.arbor)
                continue
            angle, right = float(360 * turns), float(shown.degrees)
            if (turns > 0) != (shown.turns > 0):
                yield Sight("reversed", (shown.item,), shown.arbor, angle, right)
            elif abs(angle - right) > shown.tolerance:
                yield Sight("angle", (shown.item,), shown.arbor, angle, right)

    def _end_plays(self, wrong: Design) -> Iterator[Sight]:
        limit = self.design.limit("stack-height")
        for name, play in wrong.end_plays.items():
            was = self.right.end_plays.get(name)
            if was is None or abs(play.gap - was.gap) <= FELT:
                continue
            items = (play.item.id, play.retainer.id)
            if play.gap < 0:
                yield Sight("binds", items, name, -play.gap)
            elif limit.above(play.gap) and not limit.above(was.gap):
                yield Sight("loose", items, name, play.gap, was.gap)

    def _rubbed(self, pair: frozenset[str]) -> bool:
        """Whether two things overlap in the right machine too, as far as it is built."""
        solids = [s for s in self.right.solids if s.item.id in pair]
        return any(True for _ in overlaps(self.right, solids, set(pair)))

    def _rubbing(self, wrong: Design, moved: set[str], found: Iterable[Sight]) -> Iterator[Sight]:
        if any(s.kind == "binds" for s in found):
            return  # what is too tall meets what is above it: said already
        told = {frozenset(s.items) for s in found}
        worst: dict[frozenset[str], tuple[float, bool]] = {}
        for pair, gap, screws in overlaps(wrong, wrong.solids, moved):
            if pair not in told and gap < -FELT:
                worst[pair] = min((gap, screws), worst.get(pair, (0.0, False)))
        for pair, (gap, screws) in sorted(worst.items(), key=lambda one: one[1])[:1]:
            if not self._rubbed(pair):
                yield Sight("rubs", tuple(sorted(pair)), "", -gap, 0.0, screws)

    def _opposite(self, wrong: Design) -> Iterator[Sight]:
        """Arms that point another way than they should, where all else is as it should be."""
        now, then = wrong.positions, self.right.positions
        told: set[str] = set()
        for name, axis in wrong.kit.axes.items():
            arm = axis.carried_by
            if arm is None or arm in told or now.get(name) == then.get(name):
                continue
            at = wrong.kit.arbors[arm].axis or ""
            if now[at] != then[at]:
                continue  # it is carried round with another that points the wrong way
            told.add(arm)
            off = _bearing(now[at], now[name]) - _bearing(then[at], then[name])
            yield Sight("opposite", (watched_item(wrong.kit, arm),), arm, off % 360)

    def _screws(self, wrong: Design) -> Iterator[Sight]:
        for name, held in wrong.kit.held.items():
            before = self.right.kit.held.get(name)
            if before is None or before.by == held.by:
                continue
            yield from screw_sights(wrong.fastenings[name], self.right.fastenings[name])


def _bearing(centre: Point, at: Point) -> float:
    return degrees(atan2(at[1] - centre[1], at[0] - centre[0]))


def _sorted(sights: Iterable[Sight]) -> tuple[Sight, ...]:
    return tuple(sorted(dict.fromkeys(sights), key=lambda s: (ORDER.index(s.kind), s.items)))
