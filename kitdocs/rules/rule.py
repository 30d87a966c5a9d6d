"""What a rule is."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.limits import LIMITS
from kitdocs.words.language import marked

Check = Callable[[Design], Iterable[Finding]]

#: The groups that the rule reference is divided into, in order.
GROUPS = (
    marked("Reading"),
    marked("Gearing"),
    marked("Motion"),
    marked("Stacks"),
    marked("Fasteners"),
    marked("Supply"),
    marked("Steps"),
    marked("Words"),
    marked("Record"),
)


@dataclass(frozen=True)
class Rule:
    """One thing that must hold in a kit, with what a reader needs to judge it by.

    `after` names rules that must pass before this one can run at all. `follows` names rules
    whose findings explain this one's where both come from the same fact: the consequence is
    left out. A rule without `check` is kept while the files are read.
    """

    id: str
    group: str
    demand: str
    formula: str
    source: str
    example: str
    check: Check | None = None
    after: tuple[str, ...] = ()
    follows: tuple[str, ...] = ()


def rule(
    name: str,
    *,
    group: str,
    demand: str,
    formula: str = "",
    source: str,
    example: str,
    after: tuple[str, ...] = (),
    follows: tuple[str, ...] = (),
) -> Callable[[Check], Rule]:
    """Make the decorated function the check of a rule; its module then holds the `Rule`.

    `{NAME}` in the formula stands for the limit of that name, as it is where no kit changes it.
    """
    figures = re.sub(r"\{([a-z-]+)\}", lambda limit: LIMITS[limit[1]].text, formula)

    def made(check: Check) -> Rule:
        return Rule(name, group, demand, figures, source, example, check, after, follows)

    return made
