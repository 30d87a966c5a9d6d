"""One wrong number anywhere in the demo stops the build, with a finding at its line."""

from pathlib import Path

from single_changes import tally

CONTENT = Path(__file__).parent.parent / "content"
#: The whole walk takes minutes (`python tests/single_changes.py content`); tests take a sample.
EVERY = 9


def test_single_changes_are_seen_and_placed(tmp_path):
    tallies = tally(CONTENT, tmp_path, EVERY)
    assert {"tooth count", "module", "axis distance", "thread", "delivery quantity"} <= set(tallies)
    unseen = [change for count in tallies.values() for change in count.unseen]
    unplaced = [change for count in tallies.values() for change in count.unplaced]
    made = sum(count.made for count in tallies.values())
    assert made >= 100
    assert len(unseen) <= 0.01 * made, "\n".join(map(str, unseen))
    assert len(unplaced) <= 0.02 * made, "\n".join(map(str, unplaced))
