"""The proof at the end of a stage, as its page shows it: a table and lines to tick."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from math import ceil

from kitdocs.assembly.proof import Proof, Shown
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.clashes import Clash
from kitdocs.pages.handbook import Handbook, Ref


@dataclass(frozen=True)
class ArmRow:
    """What one arm does, seen from above; `level` arms are seen from the end of their axis. `moved`
    is how far, as words."""

    id: str
    name: str
    against: str
    new: bool
    clockwise: bool
    level: bool
    moved: str
    tolerance: str
    readable: bool


@dataclass(frozen=True)
class PlayRow:
    """End play to be felt, in words with unit."""

    id: str
    arbor: str
    retainer: str
    play: str


@dataclass(frozen=True)
class ProofView:
    """`turns` is how far `turned` is turned, as words; `many` is that number for plurals. `near`
    are the two things that pass each other nearest, and their gap. `digest` is of the figures: a
    tick stands as long as they do."""

    turned: str
    clockwise: bool
    level: bool
    turns: str
    many: int
    rows: tuple[ArmRow, ...]
    plays: tuple[PlayRow, ...]
    near: tuple[str, str, str] | None
    step: Ref
    digest: str


def proof_view(book: Handbook, stage: Stage) -> ProofView | None:
    """The proof of a stage; None where its last step turns nothing."""
    proof = book.design.proofs.get(stage.id)
    if proof is None:
        return None
    rows = tuple(_row(book, proof, shown) for shown in proof.shown)
    plays = tuple(
        PlayRow(
            end.arbor,
            book.arbor_name(end.arbor),
            book.names.one(end.retainer.part),
            book.numbers.millimetres(round(end.gap, 2)),
        )
        for end in proof.end_plays
    )
    near = _near(book, stage, proof)
    figures = [str(proof.turns), *(str(s.turns) for s in proof.shown), *(p.play for p in plays)]
    return ProofView(
        turned=turned_name(book, proof),
        clockwise=proof.turns < 0,
        level=_lies_level(book, proof.arbor),
        turns=book.numbers.counted_turns(proof.turns),
        many=ceil(abs(proof.turns)),
        rows=rows,
        plays=plays,
        near=near,
        step=Ref(str(stage.steps[-1].number), stage.uri, proof.step),
        digest=hashlib.sha256(json.dumps(figures).encode()).hexdigest()[:10],
    )


def turned_name(book: Handbook, proof: Proof) -> str:
    """What a hand takes hold of: the handle of the arbor that is turned, where it has one."""
    mine = book.kit.on_arbor[proof.arbor]
    handle = next((i for i in mine if i.part.kind == "crank-handle"), book.kit.items[proof.item])
    return book.names.one(handle.part)


def _row(book: Handbook, proof: Proof, shown: Shown) -> ArmRow:
    name = book.names.body(shown.body) if shown.body else book.arbor_name(shown.arbor)
    if not shown.body and shown.arbor not in book.kit.items:
        name = book.names.one(book.kit.items[shown.item].part)
    return ArmRow(
        id=shown.arbor,
        name=name,
        against=_what(book, shown.against) if shown.against else "",
        new=shown.new,
        clockwise=shown.turns < 0,
        level=_lies_level(book, shown.arbor),
        moved=book.turned(shown.degrees),
        tolerance=book.numbers.degrees(ceil(shown.tolerance)),
        readable=shown.readable,
    )


def _what(book: Handbook, arbor: str) -> str:
    """What an arbor is to the eye: its arm, else its shaft."""
    from_item = next(
        (i for i in book.kit.on_arbor[arbor] if i.part.kind == "arm"), book.kit.items.get(arbor)
    )
    return book.names.one(from_item.part) if from_item else book.arbor_name(arbor)


def _lies_level(book: Handbook, arbor: str) -> bool:
    axis = book.kit.arbors[arbor].axis
    return axis is not None and book.kit.axes[axis].lies == "level"


def _near(book: Handbook, stage: Stage, proof: Proof) -> tuple[str, str, str] | None:
    """The two things that pass each other nearest, one of them new in this stage."""
    built = book.design.built[stage.id]
    placed = book.design.takings.stage_taking(stage).placed
    moving = {shown.arbor for shown in proof.shown} | {proof.arbor}

    def counts(pair: Clash) -> bool:
        a, b = pair.a.item, pair.b.item
        both = a.id in built and b.id in built
        return (
            both
            and not {a.id, b.id}.isdisjoint(placed)
            and not {a.arbor, b.arbor}.isdisjoint(moving)
        )

    pair = next((pair for pair in book.near_gaps if pair.gap > 0 and counts(pair)), None)
    if pair is None:
        return None
    gap = book.numbers.millimetres(round(pair.gap, 1))
    return book.names.one(pair.a.item.part), book.names.one(pair.b.item.part), gap
