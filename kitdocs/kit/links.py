"""References between the files of a kit: every name used must be the name of something."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.finding import Finding, Place
from kitdocs.kit.about import DeliveriesFile, KitFile, OwnReference, StageFront
from kitdocs.kit.designation import parse_designation
from kitdocs.kit.limits import LIMITS, kit_limits
from kitdocs.kit.machine import Arbor, MechanismFile
from kitdocs.kit.model import Item, Mesh
from kitdocs.kit.names import nearest, quoted
from kitdocs.kit.parts import Fastener, Part, PartsFile, Supply, Tool, parts_like
from kitdocs.kit.yaml_reader import Mapping
from kitdocs.sky import periods


def index_parts(file: PartsFile) -> tuple[dict[str, Part], list[Finding]]:
    """Parts by id; fasteners under their full designation."""
    findings: list[Finding] = []
    parts: dict[str, Part] = {}
    for key, part in file.parts.items():
        part.set_id(key)
        parts[key] = part
    for i, fastener in enumerate(file.fasteners):
        place = file.place("fasteners", i)
        if not isinstance(fastener._source, Mapping):  # written as a designation alone
            fastener.set_source(Mapping(place))
        parsed = parse_designation(fastener.designation)
        if parsed is None:
            findings.append(
                Finding(
                    place,
                    "value",
                    quoted(fastener.designation),
                    "a designation such as ISO 7045 M2.5 x 6",
                )
            )
            continue
        fastener.set_id(str(parsed))
        if str(parsed) in parts:
            findings.append(
                Finding(
                    place,
                    "yaml-duplicate",
                    f"'{parsed}' a second time",
                    "once",
                    facts=(parts[str(parsed)].place(),),
                )
            )
        parts[str(parsed)] = fastener
    return parts, findings


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

    def unknown(self, place: Place, what: str, name: str, known: Iterable[str]) -> None:
        found, mend = quoted(name), nearest(name, known)
        self.findings.append(Finding(place, "name-unknown", found, f"the id of {what}", mend))

    def _check_item(self, place: Place, name: str) -> None:
        if name not in self.items and name not in self._unclear:
            self.unknown(place, "an item", name, self.items)

    def part(self, reference: str, place: Place, key_place: Place | None = None) -> Part | None:
        """The one part that a reference means; a finding when it is none or several."""
        found = parts_like(self.parts, reference)
        if len(found) == 1:
            return found[0]
        if not found and (self._all_parts or not parse_designation(reference)):
            sizes = (f"{p.parsed.thread} x {p.parsed.length}" for p in self._fasteners())
            known = dict.fromkeys([*self.parts, *sizes])
            self.unknown(key_place or place, "a part", reference, known)
        elif found:
            names = ", ".join(p.id for p in found)
            self.findings.append(
                Finding(
                    key_place or place,
                    "name-unknown",
                    f"'{reference}', which may be {names}",
                    "one of them",
                    "Write the standard too.",
                )
            )
        return None

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
            self.unknown(place, "an arbor", mechanism.crank, mechanism.arbors)
        for name, arbor in mechanism.arbors.items():
            if arbor.runs_on is not None and arbor.runs_on not in mechanism.arbors:
                self.unknown(arbor.place("runs-on"), "an arbor", arbor.runs_on, mechanism.arbors)
            if arbor.stands_on is not None:
                self._check_item(arbor.place("stands-on"), arbor.stands_on)
            if arbor.axis is None and not arbor.fixed:
                self.findings.append(
                    Finding(
                        arbor.place(),
                        "value",
                        f"the arbor '{name}' has no axis",
                        "an axis, or `fixed: true` for the frame",
                    )
                )
        self._meshes()
        self._held()

    def _axes(self) -> None:
        axes = self.mechanism.axes
        circled: set[str] = set()
        for name, axis in axes.items():
            axis.set_id(name)
            given = [axis.at is not None, axis.distance is not None]
            if given.count(True) != 1:
                self.findings.append(
                    Finding(
                        axis.place(),
                        "value",
                        f"the axis '{name}' has "
                        + ("two positions" if all(given) else "no position"),
                        "either at: [x, y] or a distance",
                    )
                )
            elif axis.distance is not None and (axis.from_ is None) == (axis.carried_by is None):
                self.findings.append(
                    Finding(
                        axis.place("distance"),
                        "value",
                        "a distance from nothing",
                        "either from: AXIS or carried-by: ARBOR",
                    )
                )
            if axis.from_ is not None and axis.from_ not in axes:
                self.unknown(axis.place("from"), "an axis", axis.from_, axes)
            arbors = self.mechanism.arbors
            if axis.carried_by is not None and axis.carried_by not in arbors:
                self.unknown(axis.place("carried-by"), "an arbor", axis.carried_by, arbors)
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
        self.findings.append(Finding(place, "value", found, "a place that can be found"))
        return seen

    def _arbor(self, name: str, arbor: Arbor) -> None:
        if arbor.axis is not None and arbor.axis not in self.mechanism.axes:
            self.unknown(arbor.place("axis"), "an axis", arbor.axis, self.mechanism.axes)
        if arbor.part is not None:
            place = arbor.place("part")
            self._item(name, arbor.part, name, "shaft", 0, place, place)
        for where in ("stack", "end_stack"):
            for level, entry in enumerate(getattr(arbor, where)):
                for item, reference in entry.items():
                    place = arbor.place(where, level, item)
                    key_place = arbor.key_place(item, where, level)
                    self._item(item, reference, name, where, level, place, key_place)

    def _item(self, item, reference, arbor, where, level, place, key_place) -> None:
        part = self.part(reference, place)
        if item in self.items:
            self.findings.append(
                Finding(
                    key_place,
                    "yaml-duplicate",
                    f"a second item '{item}'",
                    "one",
                    "Each item is placed once.",
                    facts=(self.items[item].place,),
                )
            )
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
                self.findings.append(Finding(place, "value", found, "two items, once", facts=facts))
            seen[pair] = place
            a, b = (self.items.get(name) for name in mesh.pair)
            if a and b:
                self.meshes.append(Mesh(a, b, mesh.turns, place))

    def _held(self) -> None:
        for name, held in self.mechanism.held.items():
            held.set_id(name)
            self._check_item(self.mechanism.key_place(name, "held"), name)
            self._check_item(held.place("to"), held.to)
            if held.by != "press":
                part = self.part(held.by, held.place("by"))
                if part is not None and not isinstance(part, (Fastener, Supply)):
                    self.findings.append(
                        Finding(
                            held.place("by"),
                            "value",
                            f"'{held.by}', a {part.kind}",
                            "a fastener, an adhesive, or press",
                        )
                    )
            if held.washer is not None:
                self.part(held.washer, held.place("washer"))

    def about(self, about: KitFile) -> None:
        """Bodies and the time base."""
        arbors = self.mechanism.arbors
        for name, body in about.bodies.items():
            body.set_id(name)
            for key in ("arbor", "seen_from"):
                arbor = getattr(body, key)
                if arbor is not None and arbor not in arbors:
                    self.unknown(body.place(key), "an arbor", arbor, arbors)
            if not isinstance(body.reference, OwnReference):
                self._period(body.reference, body.place("reference"))
        time = about.time
        if time.arbor not in arbors:
            self.unknown(time.place("arbor"), "an arbor", time.arbor, arbors)
        if (time.period is None) == (time.days is None):
            self.findings.append(
                Finding(
                    time.place(),
                    "value",
                    "two lengths of time" if time.days else "no length",
                    "either period or days",
                )
            )
        if time.period is not None:
            self._period(time.period, time.place("period"))

        for name, entry in about.limits.items():
            if name not in LIMITS:
                self.unknown(about.key_place(name, "limits"), "a limit", name, LIMITS)
                continue
            limit = kit_limits({name: entry})[name]
            if (limit.least or 0.0) > (limit.most if limit.most is not None else float("inf")):
                place = entry.place("most" if entry.least is None else "least")
                found = f"at least {limit.least:g} and at most {limit.most:g}"
                self.findings.append(Finding(place, "value", found, "a least below the most"))

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
                    part = self.part(reference, place)
                    if part is not None and part.id in seen:
                        found, facts = f"{part.id} a second time in one parcel", (seen[part.id],)
                        self.findings.append(
                            Finding(place, "yaml-duplicate", found, "once", facts=facts)
                        )
                    elif part is not None:
                        seen[part.id] = place

    def stage(self, front: StageFront, deliveries: Iterable[str], bodies: Iterable[str]) -> None:
        """What a stage's front matter names."""
        if front.delivery not in deliveries:
            self.unknown(front.place("delivery"), "a delivery", front.delivery, deliveries)
        for i, body in enumerate(front.adds):
            if body not in bodies:
                self.unknown(front.place("adds", i), "a body", body, bodies)
        tools = [name for name, part in self.parts.items() if isinstance(part, Tool)]
        for i, tool in enumerate(front.tools):
            if tool not in tools:
                self.unknown(front.place("tools", i), "a tool", tool, tools)
