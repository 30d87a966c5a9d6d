"""Choosing teeth: the trains that come nearest to a ratio, all of them, exactly."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from heapq import nsmallest
from itertools import chain, combinations_with_replacement, product
from math import prod

from kitdocs.mechanism.tooth_choice.problem import ToothProblem
from kitdocs.mechanism.tooth_choice.products import NearestProducts, Value

Pair = tuple[int, int]  # teeth of the driver, teeth of the driven
Pairs = tuple[Pair, ...]
_Sums = tuple[int, ...] | None  # tooth sums of the pairs in order; None: any

#: Hears what share of the search is done, and the best ratio so far.
Progress = Callable[[float, Fraction | None], None]


@dataclass(frozen=True)
class ToothTrain:
    """One way to make a ratio: `pairs` of (driver, driven) teeth, from the first axis on.

    Without tooth sums the pairing is free; then the smallest driver is put with the largest
    driven wheel, and so on, which keeps the largest centre distance least. `to_make` are the
    distinct tooth counts that are not in stock.
    """

    pairs: Pairs
    to_make: tuple[int, ...]

    @property
    def largest(self) -> int:
        return max(max(pair) for pair in self.pairs)

    @property
    def sums(self) -> tuple[int, ...]:
        return tuple(map(sum, self.pairs))


@dataclass(frozen=True)
class Choice:
    """A ratio that trains can have, its `error` (ratio − wanted), and its trains, best first.

    `ways` counts all its trains, also those beyond the number asked for.
    """

    ratio: Fraction
    error: Fraction
    trains: tuple[ToothTrain, ...]
    ways: int


def search(
    problem: ToothProblem,
    best: int = 20,
    *,
    each: int | None = None,
    progress: Progress = lambda share, ratio: None,
) -> tuple[Choice, ...]:
    """The `best` distinct ratios nearest to the wanted one, with `each` of their best trains.

    Nothing within the bounds is left out. The order is by error, then the number of distinct
    wheels to make, the largest wheel, and the teeth; it depends on the problem alone. Two trains
    are one when they have the same drivers and driven wheels, or, where tooth sums tie them to
    axes, the same pairs with the same sums.
    """
    rank = _rank(problem)
    found: list[Choice] = []
    for ratio, blocks in _ratios(problem, best, progress):
        listed = _Counted(_trains(problem, ratio, blocks))
        ranked = sorted(listed, key=rank) if each is None else nsmallest(each, listed, key=rank)
        trains = tuple(ToothTrain(pairs, _to_make(problem, pairs)) for pairs in ranked)
        found.append(Choice(ratio, ratio - problem.ratio, trains, listed.count))
    found.sort(key=lambda choice: (abs(choice.error), rank(choice.trains[0].pairs)))
    return tuple(found[:best])


def _to_make(problem: ToothProblem, pairs: Pairs) -> tuple[int, ...]:
    return tuple(sorted(set(chain.from_iterable(pairs)) - problem.stock))


def _rank(problem: ToothProblem) -> Callable[[Pairs], tuple]:
    stock = problem.stock

    def rank(pairs: Pairs) -> tuple:
        wheels = set(chain.from_iterable(pairs))
        return len(wheels - stock), max(wheels), pairs

    return rank


class _Counted:
    """Passes everything on and counts it."""

    def __init__(self, things: Iterable[Pairs]):
        self._things = things
        self.count = 0

    def __iter__(self) -> Iterator[Pairs]:
        for thing in self._things:
            self.count += 1
            yield thing


def _ratios(
    problem: ToothProblem, best: int, progress: Progress
) -> list[tuple[Fraction, list[_Sums]]]:
    """The nearest ratios, each with the tooth sums that it is reached with (None: any)."""
    teeth = problem.teeth
    if not teeth or best < 1:
        return []
    # Where nothing is said, as far off as any train can be.
    farthest = problem.ratio + Fraction(teeth[-1], teeth[0]) ** problem.pairs
    if problem.within is not None:
        farthest = min(farthest, problem.within * problem.ratio)
    nearest = NearestProducts[_Sums](problem.ratio, best, farthest)
    blocks = _sums(problem)
    for done, sums in enumerate(blocks):

        def tell(share: float, done: int = done) -> None:
            progress((done + share) / len(blocks), nearest.best)

        if sums is None:
            wheels = combinations_with_replacement(teeth, problem.pairs)
            products = sorted(set(map(prod, wheels)))
            nearest.add(None, ((p, 1) for p in products), [(1, q) for q in products], tell)
        elif all(options := [_options(teeth, tooth_sum) for tooth_sum in sums]):
            nearest.add(sums, _products(options[:-1]), options[-1], tell)
    return nearest.nearest()


def _sums(problem: ToothProblem) -> Sequence[_Sums]:
    if problem.sums == "equal":
        return [(s,) * problem.pairs for s in range(2 * problem.low, 2 * problem.high + 1)]
    return [problem.sums]


def _options(teeth: Sequence[int], tooth_sum: int) -> list[Pair]:
    """Every pair of wheels with this tooth sum."""
    known = set(teeth)
    return [(a, tooth_sum - a) for a in teeth if tooth_sum - a in known]


def _products(options: Sequence[Sequence[Pair]]) -> set[Value]:
    found: set[Value] = {(1, 1)}
    for pairs in options:
        found = {(n * a, d * b) for n, d in found for a, b in pairs}
    return found


def _trains(problem: ToothProblem, ratio: Fraction, blocks: Iterable[_Sums]) -> Iterator[Pairs]:
    teeth = problem.teeth
    for sums in blocks:
        if sums is None:
            yield from _free(teeth, problem.pairs, ratio)
        else:
            yield from _tied([_options(teeth, s) for s in sums], sums, ratio)


def _free(teeth: Sequence[int], count: int, ratio: Fraction) -> Iterator[Pairs]:
    """Trains whose wheels may be paired in any way, each set of wheels once."""
    over, under = ratio.as_integer_ratio()
    first = max(-(-(teeth[0] ** count) // over), -(-(teeth[0] ** count) // under))
    last = teeth[-1] ** count // max(over, under)
    known = frozenset(teeth)
    for scale in range(first, last + 1):
        if drivers := list(_factors(teeth, known, count, over * scale)):
            driven = [w[::-1] for w in _factors(teeth, known, count, under * scale)]
            for wheels in product(drivers, driven):
                yield tuple(zip(*wheels, strict=True))


def _factors(
    teeth: Sequence[int], known: frozenset[int], count: int, number: int, start: int = 0
) -> Iterator[tuple[int, ...]]:
    """The ways to write a number as a product of so many tooth counts, each way ascending."""
    if count == 1:
        if number in known and number >= teeth[start]:
            yield (number,)
        return
    for at in range(start, len(teeth)):
        first = teeth[at]
        if first**count > number:
            return
        if number % first == 0:
            for rest in _factors(teeth, known, count - 1, number // first, at):
                yield (first, *rest)


def _tied(
    options: Sequence[Sequence[Pair]], sums: Sequence[int], ratio: Fraction
) -> Iterator[Pairs]:
    """Trains on given tooth sums; pairs with the same sum are told apart by nothing else."""
    last: Mapping[Fraction, Pair] = {Fraction(*pair): pair for pair in options[-1]}
    for pairs in product(*options[:-1]):
        over, under = prod(a for a, _ in pairs), prod(b for _, b in pairs)
        closing = last.get(ratio * Fraction(under, over))
        if closing is not None:
            train = (*pairs, closing)
            if all(
                train[i] <= train[j]
                for i in range(len(train))
                for j in range(i + 1, len(train))
                if sums[i] == sums[j]
            ):
                yield train
