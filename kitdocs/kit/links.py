"""References between the files of a kit: every name used must be the name of something."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.finding import Finding, Place
from kitdocs.kit.about import DeliveriesFile, KitFile, OwnReference, StageFront
from kitdocs.kit.designation import parse_designation
from kitdocs.kit.errata import ErrataFile
from kitdocs.kit.limits import LIMITS, kit_limits
from kitdocs.kit.machine import Arbor, Level, MechanismFile
from kitdocs.kit.model import Item, Mesh, Where
from kitdocs.kit.names import nearest, nearest_name, quoted
from kitdocs.kit.parts import Fastener, Part, Tool
from kitdocs.kit.parts_list import parts_like
from kitdocs.kit.procedures import Use
from kitdocs.kit.stage import Stage
from kitdocs.sky import periods


class Linker:
    """Checks the references of one kit and gathers what they lead to."""

    def __init__(self, parts: dict[str, Part], mechanism: MechanismFile, all_parts: bool = True):
        self.parts = parts
        self._all_parts = all_parts  # whether every fastener's designation could be read
        self.mechanism = mechanism
        self.findings: list[Finding] = []
        self.items: dict[str, Item] = {}
        self.meshes: list[Mesh] = []
        self._unclear: set[str] = set()  # items whose part is not known: told of once

    def _unknown(
        self,
        place: Place,
        what: str,
        name: str,
        known: Iterable[str],
        facts: tuple[Place, ...] = (),
    ) -> None:
        found, mend, expected = quoted(name), nearest(name, known), f"the id of {what}"
        self.findings.append(Finding(place, "name-unknown", found, expected, mend, facts=facts))

    def _refuse(
        self, place: Place, found: str, expected: str, facts: tuple[Place, ...] = ()
    ) -> None:
        self.findings.append(Finding(place, "value", found, expected, facts=facts))

    def _twice(self, place: Place, found: str, expected: str, first: Place, mend: str = "") -> None:
        finding = Finding(place, "yaml-duplicate", found, expected, mend, facts=(first,))
        self.findings.append(finding)

    def _check_item(self, place: Place, name: str) -> None:
        if name not in self.items and name not in self._unclear:
            self._unknown(place, "an item", name, self.items)

    def _part(self, reference: str, place: Place, key_place: Place | None = None) -> Part | None:
        """The one part that a reference means; a finding when it is none or several."""
        found = parts_like(self.parts, reference)
        if len(found) == 1:
            return found[0]
        if not found and (self._all_parts or not parse_designation(reference)):
            sizes = {f"{p.parsed.thread} x {p.parsed.length}": p for p in self._fasteners()}
            known = {**self.parts, **sizes}
            near = known.get(nearest_name(reference, known) or "")
            facts = self._perhaps_meant(near) if parse_designation(reference) else ()
            self._unknown(key_place or place, "a part", reference, known, facts)
        elif found:
            names = ", ".join(p.id for p in found)
            many, mend = f"'{reference}', which may be {names}", "Write the standard too."
            self.findings.append(
                Finding(key_place or place, "name-unknown", many, "one of them", mend)
            )
        return None

    def _perhaps_meant(self, near: Part | None) -> tuple[Place, ...]:
        """Where a size that is asked for may be wrong in the list: what holds nothing as it is."""
        held = self.mechanism.held.values()
        asked = [parse_designation(name) for h in held for name in (h.by, h.washer or "")]
        idle = [p for p in self._fasteners() if not any(d and d.covers(p.parsed) for d in asked)]
        meant = idle or ([near] if isinstance(near, Fastener) else [])
        return tuple(part.place() for part in meant)

    def _fasteners(self) -> Iterable[Fastener]:
        return (part for part in self.parts.values() if isinstance(part, Fastener))

    def machine(self) -> None:
        """Axes, arbors with their items, meshes and the fastening schedule."""
        mechanism = self.mechanism
        self._axes()
        for name, arbor in mechanism.arbors.items():
            arbor.set_id(name)
            self._arbor(name, arbor)
        if mechanism.crank not in mechanism.arbors:
            place = mechanism.place("crank")
            self._unknown(place, "an arbor", mechanism.crank, mechanism.arbors)
        for name, arbor in mechanism.arbors.items():
            if arbor.runs_on is not None and arbor.runs_on not in mechanism.arbors:
                self._unknown(arbor.place("runs-on"), "an arbor", arbor.runs_on, mechanism.arbors)
            if arbor.stands_on is not None:
                self._check_item(arbor.place("stands-on"), arbor.stands_on)
            if arbor.axis is None and (not arbor.fixed or arbor.part is not None):
                frame = "" if arbor.fixed else ", or `fixed: true` for the frame"
                expected = f"an axis{frame}"
                self._refuse(arbor.place(), f"the arbor '{name}' has no axis", expected)
        self._meshes()
        self._held()

    def _axes(self) -> None:
        axes = self.mechanism.axes
        circled: set[str] = set()
        for name, axis in axes.items():
            axis.set_id(name)
            if (axis.at is None) == (axis.distance is None):
                many = "no position" if axis.at is None else "two positions"
                found = f"the axis '{name}' has {many}"
                self._refuse(axis.place(), found, "either at: [x, y] or a distance")
            elif axis.distance is not None and (axis.from_ is None) == (axis.carried_by is None):
                found = f"a distance from {'nothing' if axis.from_ is None else 'two things'}"
                expected = "either from: AXIS or carried-by: ARBOR"
                self._refuse(axis.place("distance"), found, expected)
            if axis.from_ is not None and axis.from_ not in axes:
                self._unknown(axis.place("from"), "an axis", axis.from_, axes)
            elif axis.from_ is not None:
                carrier = axes[axis.from_].carried_by
                if carrier is not None and carrier != axis.carried_by:
                    found = f"'{name}' placed from '{axis.from_}', which {carrier} carries"
                    expected = f"carried-by: {carrier}, and its place from there"
                    self._refuse(axis.place("from"), found, expected)
            arbors = self.mechanism.arbors
            if axis.carried_by is not None and axis.carried_by not in arbors:
                self._unknown(axis.place("carried-by"), "an arbor", axis.carried_by, arbors)
            if name not in circled:
                circled.update(self._circle(name))

    def _circle(self, name: str) -> list[str]:
        """The axes of a circle of places that goes through this axis, if there is one."""
        axes, arbors = self.mechanism.axes, self.mechanism.arbors
        seen: list[str] = []
        at: str | None = name
        while at is not None and at in axes and at not in seen:
            seen.append(at)
            axis = axes[at]
            carrier = arbors.get(axis.carried_by) if axis.carried_by else None
            at = axis.from_ or (carrier.axis if carrier else None)
        if at != name:
            return []
        key = "from" if axes[name].from_ else "carried-by"
        found = f"'{name}' placed from itself: " + " from ".join([*seen, name])
        place = axes[name].place(key)
        self._refuse(place, found, "a place that can be found")
        return seen

    def _arbor(self, name: str, arbor: Arbor) -> None:
        if arbor.axis is not None and arbor.axis not in self.mechanism.axes:
            self._unknown(arbor.place("axis"), "an axis", arbor.axis, self.mechanism.axes)
        if arbor.part is not None:
            place = arbor.place("part")
            self._item(name, arbor.part, name, "shaft", 0, place, place)
        stacks: tuple[tuple[Where, tuple[Level, ...]], ...] = (
            ("stack", arbor.stack),
            ("end_stack", arbor.end_stack),
        )
        for where, stack in stacks:
            for level, entry in enumerate(stack):
                for item, reference in entry.items():
                    place = arbor.place(where, level, item)
                    key_place = arbor.key_place(item, where, level)
                    self._item(item, reference, name, where, level, place, key_place)

    def _item(
        self,
        item: str,
        reference: str,
        arbor: str,
        where: Where,
        level: int,
        place: Place,
        key_place: Place,
    ) -> None:
        part = self._part(reference, place)
        if item in self.items:
            first = self.items[item].place
            mend = "Each item is placed once."
            self._twice(key_place, f"a second item '{item}'", "one", first, mend)
        elif part is None:
            self._unclear.add(item)
        else:
            self.items[item] = Item(item, part, arbor, where, level, place)

    def _meshes(self) -> None:
        seen: dict[frozenset[str], Place] = {}
        for i, mesh in enumerate(self.mechanism.meshes):
            place = self.mechanism.place("meshes", i)
            for side in (0, 1):
                self._check_item(mesh.place("pair", side), mesh.pair[side])
            pair = frozenset(mesh.pair)
            if len(pair) < 2 or pair in seen:
                found = "an item meshed with itself" if len(pair) < 2 else "this mesh a second time"
                facts = (seen[pair],) if pair in seen else ()
                self._refuse(place, found, "two items, once", facts)
            seen[pair] = place
            a, b = (self.items.get(name) for name in mesh.pair)
            if a and b:
                self.meshes.append(Mesh(a, b, mesh.turns, place))

    def _held(self) -> None:
        for name, held in self.mechanism.held.items():
            held.set_id(name)
            self._check_item(self.mechanism.key_place(name, "held"), name)
            self._check_item(held.place("to"), held.to)
            if held.to == name:
                self._refuse(held.place("to"), f"'{name}' held to itself", "another item")
            if held.by != "press":
                part = self._part(held.by, held.place("by"))
                if part is not None and part.kind not in ("fastener", "adhesive"):
                    found = f"'{held.by}', {'an' if part.kind[0] in 'ao' else 'a'} {part.kind}"
                    self._refuse(held.place("by"), found, "a fastener, an adhesive, or press")
            if held.washer is not None:
                self._part(held.washer, held.place("washer"))

    def about(self, about: KitFile) -> None:
        """Bodies and the time base."""
        arbors = self.mechanism.arbors
        for name, body in about.bodies.items():
            body.set_id(name)
            for key in ("arbor", "seen_from"):
                arbor = getattr(body, key)
                if arbor is not None and arbor not in arbors:
                    self._unknown(body.place(key), "an arbor", arbor, arbors)
            if not isinstance(body.reference, OwnReference):
                self._period(body.reference, body.place("reference"))
        time = about.time
        if time.arbor not in arbors:
            self._unknown(time.place("arbor"), "an arbor", time.arbor, arbors)
        if (time.period is None) == (time.days is None):
            found = "two lengths of time" if time.days else "no length"
            self._refuse(time.place(), found, "either period or days")
        if time.period is not None:
            self._period(time.period, time.place("period"))

        calendar = about.setting
        if calendar is not None and calendar.to < calendar.from_:
            expected = f"{calendar.from_} or later"
            facts = (calendar.place("from"),)
            self._refuse(calendar.place("to"), f"'{calendar.to}'", expected, facts)

        for name, entry in about.limits.items():
            if name not in LIMITS:
                self._unknown(about.key_place(name, "limits"), "a limit", name, LIMITS)
                continue
            limit = kit_limits({name: entry})[name]
            least = limit.least or 0.0  # no figure with an open lower side goes below 0
            if limit.most is not None and least > limit.most:
                place = entry.place("most" if entry.least is None else "least")
                found = f"at least {least:g} and at most {limit.most:g}"
                self._refuse(place, found, "a least below the most")

    def _period(self, text: str, place: Place) -> None:
        if periods.reference(text) is None:
            mend = nearest(text, periods.known()) or "`kitdocs explain periods` lists them."
            self.findings.append(Finding(place, "name-unknown", f"'{text}'", "a period", mend))

    def supply(self, file: DeliveriesFile) -> None:
        """What the parcels hold."""
        for name, delivery in file.deliveries.items():
            delivery.set_id(name)
            for key in ("holds", "spares"):
                seen: dict[str, Place] = {}
                for reference in getattr(delivery, key):
                    place = delivery.key_place(reference, key)
                    part = self._part(reference, place)
                    if part is not None and part.id in seen:
                        found = f"{part.id} a second time in one parcel"
                        self._twice(place, found, "once", seen[part.id])
                    elif part is not None:
                        seen[part.id] = place

    def stage(self, front: StageFront, deliveries: Iterable[str], bodies: Iterable[str]) -> None:
        """What a stage's front matter names."""
        if front.delivery not in deliveries:
            self._unknown(front.place("delivery"), "a delivery", front.delivery, deliveries)
        for i, body in enumerate(front.adds):
            if body not in bodies:
                self._unknown(front.place("adds", i), "a body", body, bodies)
        tools = [name for name, part in self.parts.items() if isinstance(part, Tool)]
        for i, tool in enumerate(front.tools):
            if tool not in tools:
                self._unknown(front.place("tools", i), "a tool", tool, tools)

    def use(self, use: Use) -> None:
        """What a use of a procedure puts into its slots."""
        for slot, item in use.items.items():
            self._check_item(use.item_places[slot], item)

    def errata(
        self,
        file: ErrataFile,
        revision: str,
        deliveries: Iterable[str],
        stages: Iterable[Stage],
    ) -> None:
        """What the entries that lead to this revision name; older ones may name what is gone."""
        steps = {stage.id: [step.id for step in stage.steps] for stage in stages}
        for entry in file.errata:
            if entry.to != revision:
                continue
            for parcel in entry.parcels:
                if parcel.delivery not in deliveries and any(part.now for part in parcel.parts):
                    place = parcel.place("delivery")
                    self._unknown(place, "a delivery", parcel.delivery, deliveries)
            for stage in entry.stages:
                there = [step for step in stage.steps if "dropped" not in step.changes]
                if stage.stage not in steps:
                    if there:
                        self._unknown(stage.place("stage"), "a stage", stage.stage, steps)
                    continue
                known = steps[stage.stage]
                for step in there:
                    if step.step not in known:
                        self._unknown(step.place("step"), "a step", step.step, known)
