"""How long the dry build of a large kit takes, and how that grows with its actions.

Run as `python tests/bench/bench_dry_build.py`. Reading the kit and the mechanism's own results
(heights, solids, fastenings) are made beforehand; the least of three runs counts.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from big_kit import big_kit

from kitdocs.assembly.design import Design
from kitdocs.kit.reader import read_kit

SIZES = (300, 600, 1200, 2400, 4800)


def seconds(items: int) -> tuple[int, float]:
    """Actions of a kit of about so many items, and the processor time of its dry build."""
    runs, actions = [], 0
    with tempfile.TemporaryDirectory() as folder:
        kit = read_kit(Path(folder), big_kit(Path(folder), items)).kit
        assert kit is not None
        for _ in range(3):
            design = Design(kit)
            _ = design.rigid, design.heights, design.solids, design.fastenings
            start = time.process_time()
            actions = len(design.dry_build.moments)
            runs.append(time.process_time() - start)
    return actions, min(runs)


def main() -> None:
    print(f"{'items':>6} {'actions':>8} {'seconds':>8} {'µs an action':>13}")
    for items in SIZES:
        actions, taken = seconds(items)
        print(f"{items:6} {actions:8} {taken:8.3f} {taken / actions * 1e6:13.1f}")


if __name__ == "__main__":
    main()
