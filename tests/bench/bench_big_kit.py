"""How long a large kit takes to check, and how the time grows.

Run as `python tests/bench/bench_big_kit.py`. Each size is read and checked with every rule in a
fresh process; the least of three runs counts.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from math import log
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from big_kit import big_kit

CHECK = "import sys; from kitdocs.cli import main; sys.exit(main())"
SIZES = (500, 1000, 2000, 4000)


def seconds(items: int) -> float:
    """Whole-process time of `kitdocs check` on a kit of so many items."""
    with tempfile.TemporaryDirectory() as folder:
        big_kit(Path(folder), items)
        (Path(folder) / "mkdocs.yml").write_text(
            "site_name: Big\ndocs_dir: content\nplugins: [kitdocs]\n", encoding="utf-8"
        )
        runs = []
        for _ in range(3):
            start = time.perf_counter()
            done = subprocess.run(
                [sys.executable, "-c", CHECK, "check"],
                cwd=folder, capture_output=True, text=True, check=False,
            )  # fmt: skip
            runs.append(time.perf_counter() - start)
            if done.returncode:
                sys.exit(done.stdout + done.stderr)
        return min(runs)


def main() -> None:
    base = seconds(16)
    print(f"{'items':>6} {'seconds':>8} {'µs an item · log n':>20}   (a small kit: {base:.2f} s)")
    for items in SIZES:
        taken = seconds(items)
        each = (taken - base) / (items * log(items, 2)) * 1e6
        print(f"{items:6} {taken:8.2f} {each:20.1f}")


if __name__ == "__main__":
    main()
