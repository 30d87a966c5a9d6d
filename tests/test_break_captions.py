"""Captions with one thing wrong are noticed, and correct ones, however they are worded, are not.

The changes are those of `break_captions.py`; here a walk over some of them, spread over all stages.
`python tests/break_captions.py` makes them all.
"""

from __future__ import annotations

import pytest
from break_captions import CODES, FORMS, Change, Count, captions, changes, counted, findings

#: What is changed in captions, and what happens to whole ones in an editor.
KINDS = ("figure", "number word", "spoken designation", "designation", "name", "any name")
EDITS = ("cue dropped", "cues swapped", "step left out", "step told twice",
         "step told again at the end")  # fmt: skip
#: Of each kind so many changes are tried in a language: a miss in a hundred is one too many.
TRIED = 30
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
    assert set(by_kind) == {*KINDS, *EDITS}
    missed: list[Change] = []
    counts: dict[str, Count] = {}
    for kind, every in by_kind.items():
        step = max(1, len(every) // TRIED) | 1  # odd, so that it meets every form and way
        (counts[kind],) = _by_kind(every[::step], missed).values()
    told_of = "\n".join(f"{c.told.place} {c.kind}: {c.was} → {c.now}" for c in missed)
    for kind, count in counts.items():
        assert count.made >= TRIED * 0.9, kind
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
