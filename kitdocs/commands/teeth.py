"""`kitdocs teeth`: from the options of the call to a search, and its table on paper."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TextIO

from kitdocs.assembly.design import Design
from kitdocs.commands.common import content_option, surveyed
from kitdocs.kit.names import nearest
from kitdocs.mechanism.tooth_choice.problem import (
    NoSearch,
    ToothProblem,
    exact,
    share,
    sums_at,
    sums_of,
)
from kitdocs.mechanism.tooth_choice.search import search
from kitdocs.mechanism.tooth_choice.target import ToothTarget, stock, target
from kitdocs.survey import KitSurvey
from kitdocs.words.tooth_table import tooth_table

_PATIENCE = 0.5  # seconds without a sign of life
_BAR = 30  # characters
_MOST = 1000  # ratios in one table


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "ratio", nargs="?", help="turns of the last wheel for one of the first: 254/19, 1/6.931"
    )
    parser.add_argument("--body", help="find the train of this body of a kit instead")
    parser.add_argument("--driver", metavar="ARBOR", help="what drives it (default: the time base)")
    parser.add_argument("--pairs", type=int, default=2, help="1, 2 or 3 (default 2)")
    parser.add_argument("--low", type=int, default=12, help="fewest teeth of a wheel (default 12)")
    parser.add_argument("--high", type=int, default=100, help="most teeth (default 100)")
    parser.add_argument(
        "--sum",
        action="append",
        default=[],
        help="tooth sum of every pair, or of each in turn when repeated; or `equal`",
    )
    parser.add_argument("--module", metavar="MM")
    parser.add_argument(
        "--distance",
        action="append",
        default=[],
        metavar="MM",
        help="between the axes of every pair, or of each in turn when repeated; needs the module",
    )
    parser.add_argument("--sense", choices=("same", "opposite"), help="how the last wheel turns")
    parser.add_argument("--within", metavar="SHARE", help="largest error: 0.01 %% or 40 ppm")
    parser.add_argument("--best", type=int, default=10, help="so many ratios (default 10)")
    parser.add_argument("--all", action="store_true", help="list every train of each ratio")
    parser.add_argument("--reuse", action="store_true", help="the kit's wheels cost nothing")
    parser.add_argument("--reuse-only", action="store_true", help="use the kit's wheels alone")
    parser.add_argument("--kit", help="the kit that body, driver and wheels are of")
    content_option(parser)


def run(options: argparse.Namespace) -> int:
    """Search and print; 2 with one line on stderr where the call asks for what cannot be."""
    bar = _Bar(sys.stderr)
    try:
        problem, wanted = _problem(options, lambda: surveyed(options).kits)
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
    options: argparse.Namespace, kits: Callable[[], Sequence[KitSurvey]]
) -> tuple[ToothProblem, ToothTarget | None]:
    """What is searched for. `kits` is called only where the answer depends on a kit."""
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


def _design(options: argparse.Namespace, kits: Sequence[KitSurvey]) -> Design:
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
