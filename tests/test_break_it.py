"""Of the single changes of a verified kit nearly all are caught, and the rest argued harmless.

The shares are those that the issue of the design's proof asks for; `harmless.yml` has the
arguments. The whole walk takes minutes (`python tests/break_it.py content`): tests take a sample.
"""

from __future__ import annotations

from fnmatch import fnmatchcase
from pathlib import Path

import pytest
from break_it import MACHINE, Tally, arguments, chosen, tally

CONTENT = Path(__file__).parent.parent / "content"
EVERY = 31


@pytest.fixture(scope="module")
def tallies() -> dict[tuple[str, str], Tally]:
    return tally(CONTENT, chosen(CONTENT, EVERY))


@pytest.mark.parametrize("area", (*MACHINE, "steps"))
def test_what_nobody_notices_is_argued_harmless(
    tallies: dict[tuple[str, str], Tally], area: str
) -> None:
    counts = [count for (of, _), count in tallies.items() if of == area]
    made = sum(count.made for count in counts)
    unnoticed = [change for count in counts for change in count.unnoticed]
    assert made >= 20
    assert len(unnoticed) <= 0.01 * made, "\n".join(map(str, unnoticed))


def test_most_changes_are_caught_and_not_argued(tallies: dict[tuple[str, str], Tally]) -> None:
    """Arguments are for the few: words, looks, and sizes in free space."""
    counts = [count for (area, _), count in tallies.items() if area in MACHINE]
    made, caught = sum(c.made for c in counts), sum(c.caught for c in counts)
    assert caught >= 0.8 * made


def test_every_argument_covers_a_change_that_can_be_made() -> None:
    made = chosen(CONTENT)
    idle = [a for a in arguments() if not any(a.covers(change) for change in made)]
    assert not idle


def test_an_argument_gives_a_reason() -> None:
    assert all(len(argument.why.split()) >= 2 for argument in arguments())


def test_no_argument_covers_what_a_verified_design_must_notice() -> None:
    sure = ("tooth count", "module", "thread", "screw length", "hole number")
    for argument in arguments():
        assert not any(fnmatchcase(kind, argument.kind) for kind in sure), argument
        if fnmatchcase("step item", argument.kind):  # only of actions that build and fasten nothing
            assert argument.place.endswith((".turn", ".check*", ".place", "*oil*")), argument
