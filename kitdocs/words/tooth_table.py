"""Found trains as a table of text: for `kitdocs teeth`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kitdocs.mechanism.tooth_choice.problem import ToothProblem
from kitdocs.mechanism.tooth_choice.search import Choice, ToothTrain
from kitdocs.mechanism.tooth_choice.target import ToothTarget
from kitdocs.words.numbers import days, fraction, per_cent, plain, significant, spelled


def tooth_table(
    problem: ToothProblem, choices: Sequence[Choice], target: ToothTarget | None = None
) -> str:
    """What was asked for, a line for each train, and what the columns do not say."""
    lines = [_asked(problem, target), *_bounds(problem)]
    if choices:
        lines += ["", *_aligned([_head(problem, target), *_rows(problem, choices, target)]), ""]
        lines += _notes(problem, choices)
    else:
        lines.append("No train within these bounds.")
    return "\n".join(lines)


def _asked(problem: ToothProblem, target: ToothTarget | None) -> str:
    ratio = f"{fraction(problem.ratio)} = " if problem.ratio.denominator < 10**6 else ""
    turns = f"{ratio}{significant(problem.ratio, 9)} turns for one"
    if target is None:
        return turns
    seen = f", both seen from {target.seen_from}" if target.seen_from else ""
    return (
        f"{target.body} ({days(target.reference.days)}): {turns} of {target.driver}, "
        f"{'the same way' if target.sense == 'same' else 'the opposite way'}{seen}"
    )


def _bounds(problem: ToothProblem) -> Iterator[str]:
    pairs = f"{spelled(problem.pairs)} {'pair' if problem.pairs == 1 else 'pairs'} of wheels"
    told = [pairs, f"{problem.low} to {problem.high} teeth"]
    if problem.sums == "equal":
        told.append("equal tooth sums")
    elif problem.sums:
        told.append(f"tooth sums {', '.join(map(str, problem.sums))}")
    if problem.module is not None:
        told.append(f"module {plain(problem.module)} mm")
    if problem.stock_only:
        told.append("wheels of the kit only")
    if problem.within is not None:
        told.append(f"at most {per_cent(problem.within)[1:]} off")
    yield "; ".join(told)


def _head(problem: ToothProblem, target: ToothTarget | None) -> list[str]:
    error = "period error" if target else "error"
    head = ["", "train", "ratio", error, "to make" if problem.stock else "wheels", "largest"]
    if problem.module is not None:
        head.append("distances, mm")
    elif problem.sums:
        head.append("sums")
    return [*head, "ways"]


def _rows(
    problem: ToothProblem, choices: Sequence[Choice], target: ToothTarget | None
) -> Iterator[list[str]]:
    for rank, choice in enumerate(choices, start=1):
        for number, train in enumerate(choice.trains):
            first = number == 0
            row = [
                str(rank) if first else "",
                " × ".join(f"{driver}/{driven}" for driver, driven in train.pairs),
                fraction(choice.ratio) if first else "",
                _error(problem, choice, target) if first else "",
                str(len(train.to_make)),
                str(train.largest),
            ]
            if problem.module is not None or problem.sums:
                row.append(_places(problem, train))
            yield [*row, str(choice.ways) if first else ""]


def _error(problem: ToothProblem, choice: Choice, target: ToothTarget | None) -> str:
    """Of the ratio, or of a body's period as its pages have it."""
    if not choice.error:
        return "exact"
    wanted, found = problem.ratio, choice.ratio
    return per_cent(wanted / found - 1 if target else found / wanted - 1)


def _places(problem: ToothProblem, train: ToothTrain) -> str:
    distances = (problem.distance(tooth_sum) for tooth_sum in train.sums)
    texts = [plain(s if d is None else d) for s, d in zip(train.sums, distances, strict=True)]
    return texts[0] if len(set(texts)) == 1 else ", ".join(texts)


def _aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Columns of one width: the first and the numbers to the right, trains to the left."""
    widths = [max(len(row[n]) for row in rows) for n in range(len(rows[0]))]
    for row in rows:
        cells = (
            f"{cell:<{width}}" if n == 1 else f"{cell:>{width}}"
            for n, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        yield "  ".join(cells).rstrip()


def _notes(problem: ToothProblem, choices: Sequence[Choice]) -> Iterator[str]:
    if problem.idler:
        way = "opposite" if problem.sense == "same" else "same"
        yield (
            f"So many external pairs turn the last wheel the {way} way: "
            "put an idler between the wheels of one pair."
        )
    if problem.sums is None:
        yield "Drivers and driven wheels may be paired either way."
    if any(len(choice.trains) < choice.ways for choice in choices):
        yield "Only the best train of each ratio is listed; --all lists every way."
