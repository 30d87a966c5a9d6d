"""Proofs: at a stage's end, turn the crank so far and see each arm move so many degrees."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING

from kitdocs.assembly.proof_turns import handy_turns
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Arm, Ball, Plate, Toothed
from kitdocs.kit.stage import Action, Stage
from kitdocs.mechanism.backlash import arbor_plays
from kitdocs.mechanism.endplay import EndPlay
from kitdocs.mechanism.motion import Motion

if TYPE_CHECKING:
    from kitdocs.assembly.design import Design

#: How near an arm's angle is read against a printed circle, and a crank is stopped, degrees
#: (our own).
READ_TO = 3.0
STOPPED_TO = 3.0


@dataclass(frozen=True)
class Shown:
    """One arbor that a proof looks at.

    `item` is what is watched. `turns` are those of the whole proof, positive anticlockwise seen
    from above (for an axis that lies level, from its outer end), against the arbor `against`, or
    the frame; `frame_turns` are always against the frame. `play` is its free play from end to
    end, None where several meshes decide it; `tolerance` is how far it may be off either way,
    with play and readings together. Both in degrees. `new` says that no stage before moved it.
    """

    arbor: str
    body: str | None
    item: str
    against: str | None
    new: bool
    turns: Fraction
    frame_turns: Fraction
    play: float | None
    tolerance: float

    @property
    def degrees(self) -> Fraction:
        return 360 * self.turns

    @property
    def readable(self) -> bool:
        """Whether the angle is more than what it may be off."""
        return abs(self.degrees) > self.tolerance


@dataclass(frozen=True)
class Proof:
    """The proof of a stage: `item`, on `arbor`, is turned by `turns`, positive anticlockwise.

    `step` is the stage's last, which asks for it. `machine` is what is built then.
    """

    stage: str
    step: str
    item: str
    arbor: str
    turns: Fraction
    shown: tuple[Shown, ...]
    machine: Design

    @cached_property
    def end_plays(self) -> tuple[EndPlay, ...]:
        """Those of what the stage set moving, where something keeps it down."""
        arbors = (self.arbor, *(shown.arbor for shown in self.shown if shown.new))
        return tuple(play for name in arbors if (play := _kept_down(self.machine, name)))


def turned_in(stage: Stage) -> Action | None:
    """What the last step of a stage turns; None where it turns nothing."""
    last = stage.steps[-1].actions if stage.steps else ()
    return next((action for action in reversed(last) if action.verb == "turn"), None)


def moving(kit: Kit, motion: Motion) -> dict[str, Fraction]:
    """The speed of each arbor that is not fixed and moves, the crank left out."""
    return {
        name: speed
        for name, speed in motion.speeds.items()
        if speed and name != kit.mechanism.crank and not kit.arbors[name].fixed
    }


def proofs(design: Design) -> Mapping[str, Proof]:
    """The proof of each stage whose last step turns something that can turn, by stage."""
    found: dict[str, Proof] = {}
    before: frozenset[str] = frozenset()
    for stage in design.kit.stages:
        built = design.built[stage.id]
        proof = _proof(design, stage, before, built)
        if proof is not None:
            found[stage.id] = proof
        before = built
    return MappingProxyType(found)


def _proof(
    design: Design, stage: Stage, before: frozenset[str], built: frozenset[str]
) -> Proof | None:
    action = turned_in(stage)
    item = design.kit.items.get(action.items[0]) if action and action.items else None
    if action is None or item is None or item.id not in built:
        return None
    if design.kit.arbors[item.arbor].fixed:
        return None
    machine = design.of_items(built, item.arbor)
    speeds = moving(machine.kit, machine.motion)
    old = moved_before(design, before, item.arbor)
    new = [name for name in speeds if name not in old]
    watched = [*new, *(b.arbor for b in machine.kit.bodies.values() if b.arbor in speeds)]
    seen = {name: _against(machine.kit, name) for name in dict.fromkeys(watched)}
    relative = {name: speeds[name] - speeds.get(a or "", Fraction(0)) for name, a in seen.items()}
    relative |= {name: speed - 1 for name, speed in speeds.items() if seen.get(name) == item.arbor}
    turns = action.value
    if turns is None:
        turns = handy_turns(relative[name] for name in new or seen)
    turns *= _forward(design, item.arbor)
    return Proof(
        stage.id,
        stage.steps[-1].id,
        item.id,
        item.arbor,
        turns,
        tuple(_shown(machine, seen, relative, speeds, new, turns)),
        machine,
    )


def moved_before(design: Design, before: frozenset[str], arbor: str) -> set[str]:
    """What this arbor set moving when these items were built; nothing where it was not there."""
    if not any(design.kit.items[name].arbor == arbor for name in before):
        return set()
    machine = design.of_items(before, arbor)
    return set(moving(machine.kit, machine.motion))


def _against(kit: Kit, arbor: str) -> str | None:
    """What an arbor's turns are seen against: what its body is seen from, or its carrier."""
    for body in kit.bodies.values():
        if body.arbor == arbor:
            return body.seen_from
    carrier = kit.carrier(arbor)
    return None if carrier is None or kit.arbors[carrier].fixed else carrier


def _forward(design: Design, arbor: str) -> int:
    """The sense in which an arbor turns as time goes on, in the finished machine."""
    speeds = design.motion.speeds
    forward = speeds.get(arbor, Fraction(1)) * speeds.get(design.kit.about.time.arbor, Fraction(1))
    return -1 if forward < 0 else 1


def _shown(
    machine: Design,
    seen: Mapping[str, str | None],
    relative: Mapping[str, Fraction],
    speeds: Mapping[str, Fraction],
    new: Iterable[str],
    turns: Fraction,
) -> Iterable[Shown]:
    kit = machine.kit
    pairs = {name: (name, against) for name, against in seen.items()}
    plays = arbor_plays(kit, machine.motion, machine.positions, pairs)
    bodies = {body.arbor: name for name, body in reversed(kit.bodies.items())}
    first = set(new)
    for name, against in seen.items():
        play = plays[name].degrees if name in plays else None
        off = (play or 0.0) + READ_TO + STOPPED_TO * abs(float(relative[name]))
        yield Shown(
            name,
            bodies.get(name),
            watched_item(kit, name),
            against,
            name in first,
            relative[name] * turns,
            speeds[name] * turns,
            play,
            off,
        )


def watched_item(kit: Kit, arbor: str) -> str:
    """What is watched of an arbor: its arm, its ball or dial, its largest wheel, else anything."""

    def rank(item: Item) -> tuple[bool, bool, bool, int]:
        part = item.part
        teeth = part.teeth if isinstance(part, Toothed) else 0
        return isinstance(part, Arm), isinstance(part, Ball), isinstance(part, Plate), teeth

    return max(kit.on_arbor[arbor], key=rank).id


def _kept_down(machine: Design, arbor: str) -> EndPlay | None:
    """An arbor's end play, where what is above it is there to keep it down."""
    found = machine.end_plays.get(arbor)
    most = machine.limit("stack-height").most
    return found if found and (most is None or found.gap <= most) else None
