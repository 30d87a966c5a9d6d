"""What the design knows, as a sentence may state it: measures, teeth, periods, turns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item, Mesh
from kitdocs.kit.parts import Fastener, Part, Toothed, Worm
from kitdocs.mechanism.meshes import mesh_kind, speed_ratio
from kitdocs.mechanism.positions import axis_distance
from kitdocs.mechanism.standards import washer_size
from kitdocs.words.audit.lexicon import Referent
from kitdocs.words.audit.scope import Scope
from kitdocs.words.minutes import stage_minutes, step_minutes
from kitdocs.words.views import MEASURES


@dataclass(frozen=True)
class Known:
    """One figure of the design.

    `what` is its kind, the base unit of a claim (`mm`, `deg`, `%`, `day`, `turn`, `times`,
    `ratio`, `teeth`), `fact` which one it is (`bore`), `label` that in words, and `expression`
    what prints it, empty where there is none.
    """

    value: float
    what: str
    fact: str
    label: str
    expression: str = ""


def of_referent(design: Design, referent: Referent) -> Iterator[Known]:
    """What is known of a thing that a sentence names."""
    kit = design.kit
    if referent.what == "item" and referent.id in kit.items:
        yield from of_item(design, kit.items[referent.id])
    elif referent.what == "part" and (part := kit.part(referent.id)):
        yield from of_part(part, f"part('{part.id}')")
        arbors = arbors_of(design, referent)
        for name in kit.arbors:
            is_shaft = name in kit.items and kit.items[name].part is part
            if is_shaft or arbors == {name}:
                yield from of_arbor(design, name)
    elif referent.what == "body" and referent.id in kit.bodies:
        yield from of_body(design, referent.id)
    elif referent.what == "arbor" and referent.id in kit.arbors:
        yield from of_arbor(design, referent.id)


def of_axes(design: Design, referents: Iterable[Referent]) -> Iterator[Known]:
    """How far the axes of the shafts that a sentence names are apart."""
    kit = design.kit
    told = [sorted(arbors_of(design, r)) for r in referents]
    for one, other in combinations(told, 2):
        for a, b in product(one, other):
            distance = axis_distance(kit, a, b, design.positions)
            if distance is not None:
                label = f"the distance between the axes of {a} and {b}"
                yield Known(distance, "mm", "distance", label)


def arbors_of(design: Design, referent: Referent) -> frozenset[str]:
    """The arbors that what is named is on, or that it is."""
    kit = design.kit
    if referent.what == "part":
        items = [item for item in kit.items.values() if item.part.id == referent.id]
    else:
        items = [kit.items[referent.id]] if referent.id in kit.items else []
    found = {item.arbor for item in items}
    if referent.what == "arbor":
        found.add(referent.id)
    elif referent.what == "body" and referent.id in kit.bodies:
        found.add(kit.bodies[referent.id].arbor)
    return frozenset(found & kit.arbors.keys())


def of_part(part: Part, call: str, name: str = "") -> Iterator[Known]:
    name = name or part.id
    for key in MEASURES:
        value = getattr(part, key, None)
        if value:
            yield Known(value, "mm", key, f"the {key} of {name}", f"{call}.{key}")
    if isinstance(part, Fastener):
        if part.parsed.length:
            yield Known(float(part.parsed.length), "mm", "length", f"the length of {name}")
        if washer := washer_size(part.parsed):
            yield Known(washer.thickness, "mm", "thickness", f"the thickness of {name}")
        yield Known(part.parsed.nominal, "mm", "diameter", f"the thread of {name}")
    for key in ("shoulder", "hub"):
        if value := getattr(part, key, None):
            yield Known(value, "mm", key, f"the {key} of {name}")
    if isinstance(part, Toothed):
        yield Known(part.pressure_angle, "deg", "pressure angle", f"the pressure angle of {name}")
    if part.kind in ("bevel-wheel", "contrate-wheel"):  # one axis upright, the other level
        yield Known(90.0, "deg", "axes", f"the angle at which {name} meets its mate")
    teeth = getattr(part, "teeth", None)
    if teeth:
        yield Known(teeth, "teeth", "teeth", f"the teeth of {name}", f"{call}.teeth")
    if isinstance(part, Worm):
        yield Known(part.starts, "teeth", "starts", f"the starts of {name}")
    for pattern in part.holes:
        if pattern.size:
            yield Known(pattern.size, "mm", "size", f"the holes of {name}")
        if pattern.circle:
            yield Known(pattern.circle, "mm", "circle", f"the circle of holes of {name}")


def of_item(design: Design, item: Item) -> Iterator[Known]:
    yield from of_part(item.part, f"item('{item.id}')", item.id)
    if item.id in design.kit.arbors:
        yield from of_arbor(design, item.id)
    for mesh in design.kit.meshes_of.get(item.id, ()):
        yield from of_mesh(design, mesh)


def of_mesh(design: Design, mesh: Mesh) -> Iterator[Known]:
    if mesh_kind(mesh) is None:
        return
    ends = (mesh.a.id, mesh.b.id)
    ratio = abs(speed_ratio(mesh))
    for (a, b), value in ((ends, ratio), (ends[::-1], 1 / ratio)):
        call = f"mesh('{a}', '{b}')"
        yield Known(float(value), "ratio", "ratio", f"turns of {b} for one of {a}", f"{call}.ratio")
        yield Known(float(value), "times", "ratio", f"turns of {b} for one of {a}", f"{call}.ratio")
    distance = axis_distance(design.kit, mesh.a.arbor, mesh.b.arbor, design.positions)
    if distance is not None:
        label = f"the distance between the axes of {ends[0]} and {ends[1]}"
        yield Known(distance, "mm", "distance", label, f"mesh('{ends[0]}', '{ends[1]}').distance")


def of_arbor(design: Design, name: str) -> Iterator[Known]:
    speed = design.motion.speeds.get(name)
    if name == design.kit.mechanism.crank:
        yield from _of_crank(design)
        return
    if not speed:
        return
    call = f"arbor('{name}')"
    yield Known(float(abs(1 / speed)), "turn", "crank turns",
                f"turns of the crank for one of {name}", f"{call}.crank_turns")  # fmt: skip
    yield Known(float(abs(speed)), "turn", "turns",
                f"turns of {name} for one of the crank", f"{call}.turns_per_crank")  # fmt: skip
    yield Known(float(360 * abs(speed)), "deg", "degrees",
                f"degrees of {name} for one turn of the crank",
                f"{call}.degrees_per_crank")  # fmt: skip


def _of_crank(design: Design) -> Iterator[Known]:
    """A turn of the crank, and its turns for one of each body."""
    yield Known(1.0, "turn", "crank turns", "a turn of the crank")
    yield Known(360.0, "deg", "degrees", "a turn of the crank")
    for name, body in design.kit.bodies.items():
        if speed := design.motion.speeds.get(body.arbor):
            label = f"turns of the crank for one of {name}"
            yield Known(float(abs(1 / speed)), "turn", "crank turns", label)


def of_body(design: Design, name: str) -> Iterator[Known]:
    kit, call = design.kit, f"body('{name}')"
    train = design.trains.get(name)
    yield from of_arbor(design, kit.bodies[name].arbor)
    yield Known(
        float(kit.bodies[name].tolerance) * 100, "%", "tolerance", f"what {name} may be off"
    )
    if train is None:
        return
    error = float(train.error)
    yield Known(float(train.period_days), "day", "period", f"the period of {name}",
                f"{call}.period")  # fmt: skip
    yield Known(float(train.reference.days), "day", "reference", f"the true period of {name}",
                f"{call}.reference")  # fmt: skip
    for sign in (error, abs(error)):
        yield Known(sign * 100, "%", "error", f"the error of {name}", f"{call}.error")
    apart = float(abs(train.period_days - train.reference.days))
    yield Known(apart, "day", "off", f"how many days the period of {name} is off")
    if train.years_per_degree:
        years = float(abs(train.years_per_degree))
        label = f"after how long {name} is a degree off"
        yield Known(years * 365.25, "day", "a degree off", label)
    drift = float(train.drift_deg_per_year)
    for sign in (drift, abs(drift)):
        yield Known(sign, "deg", "drift", f"the drift of {name} in a year", f"{call}.drift")
    for years, word in ((1, "a year"), (100, "a century")):
        yield Known(abs(error) * 365.25 * years, "day", f"off in {word}",
                    f"the days that {name} is off in {word}")  # fmt: skip
    yield Known(float(abs(train.turns_per_year)), "turn", "turns in a year",
                f"turns of {name} in a year", f"{call}.turns_per_year")  # fmt: skip
    yield Known(float(abs(train.turns_per_year)), "times", "turns in a year",
                f"turns of {name} in a year", f"{call}.turns_per_year")  # fmt: skip
    ratio = abs(Fraction(train.ratio))
    if ratio and ratio != 1:
        yield Known(float(ratio), "ratio", "ratio", f"the ratio of {name}", f"{call}.ratio")


def of_scope(scope: Scope) -> Iterator[Known]:
    """What is known of the work: for measures that name nothing."""
    design, kit = scope.design, scope.design.kit
    if scope.part is not None:
        yield from of_part(scope.part, f"part('{scope.part.id}')")
        return
    if scope.stage is None:
        for name in kit.bodies:
            yield from of_body(design, name)
        return
    if scope.step is not None:
        minutes = step_minutes(design, scope.step)
        yield Known(minutes / 1440, "day", "minutes", "the minutes of the step")
    minutes = stage_minutes(design, scope.stage)
    yield Known(minutes / 1440, "day", "minutes", "the minutes of the stage")
    for name in scope.stage.front.adds:
        yield from of_body(design, name)
    for item in scope.acted:
        yield from of_part(item.part, f"item('{item.id}')", item.id)
    for arbor in dict.fromkeys(item.arbor for item in scope.acted):
        yield from of_arbor(design, arbor)
    for item in scope.acted:
        for mesh in kit.meshes_of.get(item.id, ()):
            yield from of_mesh(design, mesh)


def of_actions(scope: Scope) -> Iterator[Known]:
    """The numbers that actions carry: degrees of an `aim`, turns of a `turn`."""
    for action in scope.actions:
        if action.value is not None:
            what = "deg" if action.verb == "aim" else "turn"
            value = float(abs(action.value))
            yield Known(value, what, action.verb, f"the step's `{action.verb}`")
            if action.verb == "turn":  # "turn it two times"
                yield Known(value, "times", action.verb, "the step's `turn`")


def of_proof(scope: Scope, arbors: frozenset[str] = frozenset()) -> Iterator[Known]:
    """What the stage's last step lets the builder see; of some arbors, if any of them turn."""
    proof = scope.design.proofs.get(scope.stage.id) if scope.stage else None
    if proof is None or (scope.step is not None and scope.step.id != proof.step):
        return
    yield Known(float(abs(proof.turns)), "turn", "proof", "the turns of the proof")
    turning = {arbor for arbor in arbors if scope.design.motion.speeds.get(arbor)}
    for shown in proof.shown:
        if turning and shown.arbor not in turning:
            continue
        degrees = float(abs(shown.degrees))
        yield Known(float(abs(shown.turns)), "turn", "proof", f"the turns of {shown.arbor}")
        for value in (degrees, degrees % 360, shown.play, shown.tolerance):
            if value:
                yield Known(value, "deg", "proof", f"what {shown.arbor} shows in the proof")


def of_time_base(design: Design) -> Iterator[Known]:
    """What one turn of the time base's arbor stands for."""
    time = design.kit.about.time
    speed = design.motion.speeds.get(time.arbor)
    if speed:
        label = "turns of the crank for one of the time base"
        turns = float(abs(1 / speed))
        yield Known(turns, "turn", "crank turns", label, "crank_turns_per_year")
    if time.days:
        yield Known(float(time.days), "day", "time base", "the days of one turn of the time base")
