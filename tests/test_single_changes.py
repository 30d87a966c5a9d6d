"""One wrong number anywhere in the demo stops the build, with a finding at its line."""

from pathlib import Path

from break_it import chosen, tally

CONTENT = Path(__file__).parent.parent / "content"
KINDS = {"tooth count", "module", "axis distance", "screw length", "thread", "delivery quantity",
         "step item"}  # fmt: skip
#: Actions that change nothing of the machine: no figure, part or place depends on their item, and
#: only the words of the step can tell that another one was meant (`harmless.yml` argues the rest).
IDLE = (".oil", ".check", ".turn")
#: The whole walk takes minutes (`python tests/break_it.py content`); tests take a sample.
EVERY = 9


def test_single_changes_are_seen_and_placed():
    made = [
        change
        for change in chosen(CONTENT)
        if change.kind in KINDS and not any(verb in change.path for verb in IDLE)
    ][::EVERY]
    tallies = tally(CONTENT, made)
    assert {kind for _, kind in tallies} == KINDS
    unseen = [change for count in tallies.values() for change in count.unnoticed]
    unplaced = [change for count in tallies.values() for change in count.elsewhere]
    assert len(made) >= 100
    assert len(unseen) <= 0.01 * len(made), "\n".join(map(str, unseen))
    assert len(unplaced) <= 0.02 * len(made), "\n".join(map(str, unplaced))
