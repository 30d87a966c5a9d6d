"""What the audit of words costs on the demo, by page and beside the whole check.

    python tests/bench/bench_words.py [--times 9]

Prints processor time in milliseconds, the least of so many runs, since machines are noisy: reading
a page's words, auditing them, and all that `kitdocs check` does on the same kit.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from pathlib import Path

from kitdocs.survey import survey
from kitdocs.words.audit import auditor

CONTENT = Path(__file__).parent.parent.parent / "content"
_KEPT = (auditor.words_of, auditor.auditor_of, auditor.audit)


def least(times: int, run: Callable[[], object]) -> float:
    """The least processor time of so many runs, ms, with nothing kept from one to the next."""
    found = []
    for _ in range(times):
        for kept in _KEPT:
            kept.cache_clear()
        start = time.process_time()
        run()
        found.append(1000 * (time.process_time() - start))
    return min(found)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--times", type=int, default=9)
    times = parser.parse_args().times
    whole = least(times, lambda: survey(CONTENT.parent, CONTENT))
    told = 0.0
    for kit in survey(CONTENT.parent, CONTENT).kits:
        design = kit.design
        pages = {(w.uri, w.code) for w in auditor.words_of(design) if w.uri}
        read = least(times, lambda design=design: auditor.words_of(design))
        both = least(times, lambda design=design: auditor.audit(design))
        told += both
        each = f"{both / len(pages):.1f} a page, {(both - read) / len(pages):.1f} without reading"
        print(
            f"{kit.id}: {len(pages)} pages, reading {read:.1f}, with the audit {both:.1f}; {each}"
        )
    print(f"the whole check {whole:.0f}, of which words {100 * told / whole:.0f} %")


if __name__ == "__main__":
    main()
