"""A train on its axes, and what it would do if its wheels had other teeth."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import inf, prod
from typing import Literal

from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Wheel
from kitdocs.mechanism.motion import Link, Motion
from kitdocs.mechanism.trains import Train, links_between


@dataclass(frozen=True)
class Change:
    """A pair of items (ids) with other teeth."""

    driver: str
    driven: str
    teeth: tuple[int, int]


@dataclass(frozen=True)
class BetterTrain:
    """A body's train after `changes`; `ratio`, `period_days` and `error` as a Train has them.

    `to_make`: (teeth, module in mm) of wheels that the kit has no part for.
    """

    changes: tuple[Change, ...]
    ratio: Fraction
    period_days: Fraction
    error: Fraction
    to_make: tuple[tuple[int, float], ...]


def teeth_of(link: Link) -> tuple[int, int]:
    """Teeth of the driver and of the driven wheel of an external pair."""
    a, b = link.driver.part, link.driven.part
    assert isinstance(a, Wheel) and isinstance(b, Wheel)
    return a.teeth, b.teeth


_Teeth = Mapping[int, tuple[int, int]]  # by place in the chain

_ROUNDING = 1e-11  # turns; far above what floats lose, far below what teeth can tell apart


class OtherTeeth:
    """A train and the teeth that its pairs might have instead.

    Speeds are turns for one of the time base. Each link turns its driven arbor at
    c + r (w − c): w is the driver's speed, c the carrier's, r the link's ratio. So the body's
    speed is linear in each r, and floats can pick the few candidates that are then compared
    exactly.
    """

    def __init__(self, kit: Kit, motion: Motion, train: Train):
        self._kit, self._train = kit, train
        base = kit.about.time.arbor
        body = kit.bodies[train.body]
        self._speeds = {a: speed / motion.speeds[base] for a, speed in motion.speeds.items()}
        self._seen = self._speeds[body.seen_from] if body.seen_from else Fraction(0)
        self._carried = [self._carrier_speed(link) for link in train.chain]
        outer = {link.carrier for link in train.chain} | {body.seen_from}
        self._moves_outer = {
            id(link.mesh)
            for arbor in outer
            if arbor is not None
            for link in links_between(kit, motion, base, arbor)
        }
        wheels = [part for part in kit.parts.values() if isinstance(part, Wheel)]
        self._least = min((wheel.teeth for wheel in wheels), default=0)
        self._stock = {(wheel.teeth, wheel.module) for wheel in wheels}
        # What comes before a link that starts from a fixed wheel acts through the carrier only.
        chain = train.chain
        self._start = max(
            (n for n in range(1, len(chain)) if chain[n].driver.arbor != chain[n - 1].driven.arbor),
            default=0,
        )
        wanted = train.ratio * (1 + train.error) + self._seen
        self._ratios = [float(link.ratio) for link in chain]
        self._needs = self._backwards(wanted)

    def _carrier_speed(self, link: Link) -> Fraction:
        return self._speeds[link.carrier] if link.carrier else Fraction(0)

    def _backwards(self, wanted: Fraction) -> list[float]:
        """The speed that the driven arbor of each link should have for the body to be right."""
        needs = []
        for link, carrier in zip(reversed(self._train.chain), reversed(self._carried), strict=True):
            needs.append(float(wanted))
            wanted = carrier + (wanted - carrier) / link.ratio
        return needs[::-1]

    def bound(self, n: int, link: Link) -> Literal["shared", "carries"] | None:
        """Why the teeth of a link cannot be looked at by themselves."""
        ends = (link.driver.id, link.driven.id)
        if any(len(self._kit.meshes_of[end]) > 1 for end in ends):
            return "shared"
        return "carries" if n < self._start or id(link.mesh) in self._moves_outer else None

    def _options(self, n: int) -> list[tuple[int, int]]:
        """Other teeth for a pair on the same axes, in the order of their (negative) ratios."""
        now = teeth_of(self._train.chain[n])
        counts = range(sum(now) - self._least, self._least - 1, -1)
        return [(a, sum(now) - a) for a in counts if a != now[0]]

    def single(self, n: int) -> Iterator[tuple[float, _Teeth]]:
        """Each change of one pair, with how far the body's speed then is off, about."""
        carrier = float(self._carried[n])
        relative = self._driver(n) - carrier
        for a, b in self._options(n):
            off = carrier - a / b * relative - self._needs[n]
            yield off * prod(self._ratios[n + 1 :]), {n: (a, b)}

    def double(self, first: int, second: int) -> Iterator[tuple[float, _Teeth]]:
        """Each change of the first pair, with the changes of the second that go best with it."""
        options = self._options(second)
        ratios = [-a / b for a, b in options]
        carrier, relative = float(self._carried[second]), self._driver(second)
        between = prod(self._ratios[first + 1 : second]) * (
            self._driver(first) - float(self._carried[first])
        )
        after = prod(self._ratios[second + 1 :])
        for a, b in self._options(first):
            turns = relative + between * (-a / b - self._ratios[first]) - carrier
            if not turns:
                continue
            at = bisect_left(ratios, (self._needs[second] - carrier) / turns)
            for ratio, teeth in zip(
                ratios[max(at - 1, 0) : at + 1], options[max(at - 1, 0) : at + 1], strict=True
            ):
                off = carrier + ratio * turns - self._needs[second]
                yield off * after, {first: (a, b), second: teeth}

    def _driver(self, n: int) -> float:
        return float(self._speeds[self._train.chain[n].driver.arbor])

    def best(self, candidates: Iterable[tuple[float, _Teeth]]) -> BetterTrain | None:
        """The best of the candidates, if it is better than the train as it is.

        A period's error is not quite in proportion to the speed's, so the nearest of the fast
        and the nearest of the slow ones are compared.
        """
        listed = list(candidates)
        found: list[BetterTrain] = []
        for side in (1, -1):
            found += self._nearest([(off * side, teeth) for off, teeth in listed])
        better = [train for train in found if abs(train.error) < abs(self._train.error)]
        return min(better, key=self._rank) if better else None

    def _nearest(self, candidates: Iterable[tuple[float, _Teeth]]) -> list[BetterTrain]:
        """Those with the least amount off, of the ones whose amount is not negative."""
        found: list[BetterTrain] = []
        limit = inf
        for off, teeth in sorted(candidates, key=lambda candidate: candidate[0]):
            if off > limit:
                break
            if off > -_ROUNDING and (train := self._changed(teeth)):
                found.append(train)
                limit = min(limit, off + _ROUNDING)
        return found

    def _changed(self, teeth: _Teeth) -> BetterTrain | None:
        """The train with these teeth, exactly; None where the body stops or turns about."""
        chain, now = self._train.chain, self._train
        speed = self._speeds[chain[self._start].driver.arbor]
        for n in range(self._start, len(chain)):
            ratio = -Fraction(*teeth[n]) if n in teeth else chain[n].ratio
            speed = self._carried[n] + ratio * (speed - self._carried[n])
        ratio = speed - self._seen
        if ratio * now.ratio <= 0:
            return None
        period = now.period_days * now.ratio / ratio
        changes, new = [], set()
        for n, pair in teeth.items():
            changes.append(Change(chain[n].driver.id, chain[n].driven.id, pair))
            part = chain[n].driver.part
            assert isinstance(part, Wheel)
            new |= {(count, part.module) for count in pair} - self._stock
        error = period / now.reference.days - 1
        return BetterTrain(tuple(changes), ratio, period, error, tuple(sorted(new)))

    @staticmethod
    def _rank(train: BetterTrain) -> tuple[Fraction, int, tuple[tuple[int, int], ...]]:
        teeth = tuple(change.teeth for change in train.changes)
        return abs(train.error), len(train.to_make), teeth
