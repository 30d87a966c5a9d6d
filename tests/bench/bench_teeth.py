"""How long the search for teeth takes, and the better choices of each body of the demo.

    python tests/bench/bench_teeth.py [--times 9]

Prints the first, the middle and the slowest of so many runs, in milliseconds; the first is what
someone waits who asks once.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from kitdocs.mechanism.tooth_choice.better import better_choices
from kitdocs.mechanism.tooth_choice.problem import ToothProblem
from kitdocs.mechanism.tooth_choice.search import search
from kitdocs.survey import survey

RATIO = 1 / Fraction("6.931")

PROBLEMS = {
    "two pairs, 12 … 60": (ToothProblem(RATIO, 12, 60), None),
    "two pairs, 15 … 127": (ToothProblem(RATIO, 15, 127), None),
    "two pairs, 12 … 60, equal sums": (ToothProblem(RATIO, 12, 60, sums="equal"), None),
    "two pairs, 15 … 127, equal sums": (ToothProblem(RATIO, 15, 127, sums="equal"), None),
    "three pairs, 12 … 60": (ToothProblem(RATIO, 12, 60, pairs=3), 1),
    "three pairs, 15 … 127": (ToothProblem(RATIO, 15, 127, pairs=3), 1),
    "three pairs, 12 … 60, equal sums": (ToothProblem(RATIO, 12, 60, pairs=3, sums="equal"), 1),
}


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=9)
    times = parser.parse_args().times
    print(f"{'':36}{'first':>8}{'middle':>8}{'slowest':>8}")
    for name, (problem, each) in PROBLEMS.items():
        _print(name, lambda p=problem, e=each: search(p, 20, each=e), times)
    root = Path(__file__).parent.parent.parent
    for kit in survey(root, root / "content").kits:
        for body in kit.design.trains if kit.design else ():
            label = f"better choices, {kit.id} {body}"
            _print(label, lambda d=kit.design, b=body: better_choices(d, b), times)


def _print(name: str, run: Callable[[], object], times: int) -> None:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append((time.perf_counter() - start) * 1000)
    print(f"{name:36}{taken[0]:8.1f}{statistics.median(taken):8.1f}{max(taken):8.1f}")


if __name__ == "__main__":
    main()
