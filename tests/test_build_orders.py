"""Random stacks built in random orders: what has to pass something is found, and nothing else.

The oracle knows nothing of the dry build. It compares every two spacers: the lower one must be
there first where their discs overlap in plan, since neither can pass through the other.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from itertools import combinations
from math import dist
from pathlib import Path
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st
from kits import good_kit

from kitdocs.assembly.design import Design

BASE_THICKNESS = 5
SLACK = 0.1  # mm: rings that overlap by no more pass each other (the demand of step-captive)


@dataclass(frozen=True)
class Spacer:
    name: str
    at: tuple[int, int]
    outside: int
    bottom: int
    top: int


@st.composite
def machines(draw) -> list[list[Spacer]]:
    """One to four posts on a base, each with its spacers from the bottom up."""
    places = draw(
        st.lists(
            st.tuples(st.integers(-3, 3), st.integers(-3, 3)), min_size=1, max_size=4, unique=True
        )
    )
    posts = []
    for n, (x, y) in enumerate(places):
        height, stack = BASE_THICKNESS, []
        for i in range(draw(st.integers(1, 4))):
            length = draw(st.integers(2, 9))
            outside = draw(st.integers(8, 60))
            top = height + length
            stack.append(Spacer(f"s{n}-{i}", (11 * x, 11 * y), outside, height, top))
            height = top
        posts.append(stack)
    return posts


def must_precede(a: Spacer, b: Spacer) -> bool:
    """Whether `a` has to be in place before `b`: `b` would lie over it."""
    covered = dist(a.at, b.at) < (a.outside + b.outside) / 2 - SLACK
    return covered and b.bottom >= a.top


def is_legal(order: list[Spacer]) -> bool:
    return not any(must_precede(late, early) for early, late in combinations(order, 2))


def legal_order(spacers: list[Spacer], random: Random) -> list[Spacer]:
    """A random order in which each spacer comes after all that must precede it."""
    left, order = list(spacers), []
    while left:
        free = [s for s in left if not any(must_precede(o, s) for o in left)]
        order.append(random.choice(free))
        left.remove(order[-1])
    return order


def found(posts: list[list[Spacer]], order: list[Spacer]) -> set[str]:
    """The rules that the dry build of these spacers in this order breaks."""
    parts = [
        f"  {s.name}: {{kind: spacer, outside: {s.outside}, bore: 4.1, length: {s.top - s.bottom}}}"
        for s in order
    ]
    axes = [
        f"  p{n}: {{at: [{stack[0].at[0]}, {stack[0].at[1]}]}}" for n, stack in enumerate(posts)
    ]
    arbors = [
        f"  p{n}: {{axis: p{n}, part: post, fixed: true, stands-on: base, stack: ["
        + ", ".join(f"{{{s.name}: {s.name}}}" for s in stack) + "]}"
        for n, stack in enumerate(posts)
    ]  # fmt: skip
    facts = [f"- fit: [base, {', '.join(f'p{n}' for n in range(len(posts)))}]"]
    facts += [f"- slide-on: {s.name}" for s in order]
    with tempfile.TemporaryDirectory() as folder:
        kit = good_kit(
            Path(folder),
            parts="parts:\n  base: {kind: plate, width: 200, depth: 200, thickness: 5}\n"
            "  post: {kind: post, diameter: 4, length: 80}\n" + "\n".join(parts) + "\n",
            mechanism="crank: p0\naxes:\n" + "\n".join(axes) + "\narbors:\n"
            "  frame: {fixed: true, stack: [{base: base}]}\n" + "\n".join(arbors) + "\n",
            deliveries="deliveries: {one: {title: All, month: 1, holds: {base: 1}}}\n",
            stages={"all.md": "---\ntitle: All\ndelivery: one\nminutes: 1\n---\n\n## Build\n\n"
                    "```step\nid: build\n```\n".replace("id: build", "\n".join(facts))},
        )  # fmt: skip
        return {fault.rule for fault in Design(kit).dry_build.faults}


@settings(max_examples=60, deadline=None)
@given(machines(), st.randoms(use_true_random=False))
def test_every_order_that_can_be_done_passes(posts: list[list[Spacer]], random: Random) -> None:
    order = legal_order([s for stack in posts for s in stack], random)
    assert found(posts, order) == set()


@settings(max_examples=60, deadline=None)
@given(machines(), st.randoms(use_true_random=False))
def test_an_order_is_found_at_fault_when_it_cannot_be_done_and_only_then(
    posts: list[list[Spacer]], random: Random
) -> None:
    order = legal_order([s for stack in posts for s in stack], random)
    if len(order) > 1:
        i, j = sorted(random.sample(range(len(order)), 2))
        order[i], order[j] = order[j], order[i]
    assert found(posts, order) == (set() if is_legal(order) else {"step-captive"})
