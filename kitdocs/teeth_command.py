"""`kitdocs teeth`: from the options of the call to a search, and its table on paper."""

from __future__ import annotations

import sys
import time
from argparse import Namespace
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TextIO

from kitdocs.assembly.design import Design
from kitdocs.kit.names import nearest
from kitdocs.mechanism.tooth_problem import NoSearch, ToothProblem, exact, share, sums_at, sums_of
from kitdocs.mechanism.tooth_search import search
from kitdocs.mechanism.tooth_target import ToothTarget, stock, target
from kitdocs.survey import KitSurvey
from kitdocs.words.tooth_table import tooth_table

_PATIENCE = 0.5  # seconds without a sign of life
_BAR = 30  # characters
_MOST = 1000  # ratios in one table


def run(options: Namespace, kits: Callable[[], Sequence[KitSurvey]]) -> int:
    """Search and print; 2 with one line on stderr where the call asks for what cannot be.

    `kits` surveys the site, and is called only where the answer depends on a kit.
    """
    bar = _Bar(sys.stderr)
    try:
        problem, wanted = _problem(options, kits)
        each = None if options.all else 1
        choices = search(problem, options.best, each=each, progress=bar)
    except NoSearch as error:
        print(f"kitdocs: {error}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130  # as a shell counts an interrupted command
    finally:
        bar.clear()
    print(tooth_table(problem, choices, wanted))
    return 0


def _problem(
    options: Namespace, kits: Callable[[], Sequence[KitSurvey]]
) -> tuple[ToothProblem, ToothTarget | None]:
    if (options.ratio is None) == (options.body is None):
        raise NoSearch("name a ratio such as 254/19, or a body with --body")
    if options.driver is not None and options.body is None:
        raise NoSearch("--driver goes with --body; a ratio alone has no driver")
    if options.sum and options.distance:
        raise NoSearch("tooth sums and centre distances say the same; give one of them")
    if not 1 <= options.best <= _MOST:
        raise NoSearch(f"{options.best} best; ask for 1 to {_MOST}")
    module = exact(options.module, "module") if options.module is not None else None
    reuse = options.reuse or options.reuse_only
    design = _design(options, kits()) if options.body is not None or reuse else None
    wanted, sense, wheels = None, options.sense, frozenset[int]()
    if design and options.body is not None:
        wanted = target(design.kit, design.motion, options.body, options.driver)
        sense = sense or wanted.sense
    if design and reuse:
        wheels, module = stock(design.kit, module)
    distances = [exact(text, "centre distance") for text in options.distance]
    problem = ToothProblem(
        ratio=wanted.ratio if wanted else exact(options.ratio, "ratio"),
        low=options.low,
        high=options.high,
        pairs=options.pairs,
        sums=sums_at(distances, module, options.pairs) or sums_of(options.sum, options.pairs),
        module=module,
        stock=wheels,
        stock_only=options.reuse_only,
        within=share(options.within) if options.within is not None else None,
        sense=sense,
    )
    return problem, wanted


def _design(options: Namespace, kits: Sequence[KitSurvey]) -> Design:
    """The one kit that is meant: the named one, or the only one, or the only one with the body."""
    if options.kit is not None and options.kit not in {kit.id for kit in kits}:
        raise NoSearch(f"no kit '{options.kit}'. {nearest(options.kit, (k.id for k in kits))}")
    designs = {kit.id: kit.design for kit in kits if kit.design and options.kit in (None, kit.id)}
    if not designs:
        raise NoSearch("no kit that can be read; `kitdocs check` says what is wrong")
    showing = {name: d for name, d in designs.items() if options.body in d.kit.bodies}
    meant = showing or designs
    if len(meant) > 1:
        raise NoSearch(f"several kits ({', '.join(meant)}); say which with --kit")
    return next(iter(meant.values()))


class _Bar:
    """A bar with the best ratio so far, on a terminal and once the search is long."""

    def __init__(self, stream: TextIO):
        self._stream = stream
        self._start = time.monotonic()
        self._shown = False

    def __call__(self, share: float, best: Fraction | None) -> None:
        if not self._stream.isatty() or time.monotonic() - self._start < _PATIENCE:
            return
        done = "#" * round(share * _BAR)
        so_far = f"  best so far {best}" if best is not None else ""
        self._stream.write(f"\r\x1b[K[{done:<{_BAR}}] {share:4.0%}{so_far}")
        self._stream.flush()
        self._shown = True

    def clear(self) -> None:
        if self._shown:
            self._stream.write("\r\x1b[K")
            self._stream.flush()
