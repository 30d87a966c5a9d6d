"""Captions with one thing wrong are noticed, and correct ones, however they are worded, are not.

The changes are those of `break_captions.py`; here a walk over some of them, spread over all stages.
`python tests/break_captions.py` makes them all.
"""

from __future__ import annotations

import pytest
from break_captions import CODES, FORMS, Change, Count, captions, changes, counted, findings

#: What is changed in captions, and what happens to whole ones in an editor; of each so many changes
#: are tried in a language. What a sentence means is needed for a few names and words of free ones:
#: there a hundred are tried, of which one may be missed; of the others none.
KINDS = {"figure": 40, "number word": 101, "spoken designation": 40, "designation": 40,
         "name": 101, "any name": 101, "cue dropped": 40, "cues swapped": 40,
         "step left out": 30, "step told twice": 30, "step told again at the end": 30}  # fmt: skip
#: How many freely worded passages each language has at the least.
PASSAGES = 15


@pytest.mark.parametrize("code", CODES)
def test_correct_captions_give_no_false_alarm(code: str) -> None:
    told = list(captions([code]))
    assert {one.form for one in told} == set(FORMS)
    assert sum(one.form == "free" for one in told) >= PASSAGES
    found = [f"{one.place}: {finding}" for one in told for finding in findings(one)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("code", CODES)
def test_a_change_in_captions_is_noticed(code: str) -> None:
    by_kind: dict[str, list[Change]] = {}
    for told in captions([code]):
        for change in changes(told):
            by_kind.setdefault(change.kind, []).append(change)
    assert set(by_kind) == set(KINDS)
    missed: list[Change] = []
    counts: dict[str, Count] = {}
    for kind, every in by_kind.items():
        step = max(1, len(every) // KINDS[kind] - 1) | 1  # odd: it meets every form and way
        (counts[kind],) = _by_kind(every[::step], missed).values()
    told_of = "\n".join(f"{c.told.place} {c.kind}: {c.was} → {c.now}" for c in missed)
    for kind, count in counts.items():
        assert count.made >= KINDS[kind], kind
        assert count.share >= 0.99, f"{kind}: {count}\n{told_of}"
        assert kind == "cue dropped" or count.argued <= 0.05 * count.made, f"{kind}: {count}"


def _by_kind(every: list[Change], missed: list[Change]) -> dict[str, Count]:
    """The changes counted by kind, of all forms together."""
    found: dict[str, Count] = {}
    for (_, _, kind), count in counted(every, missed).items():
        total = found.setdefault(kind, Count())
        total.made += count.made
        total.caught += count.caught
        total.argued += count.argued
    return found
