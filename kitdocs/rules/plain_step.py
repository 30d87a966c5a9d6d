"""The plain-… rules: how instructions are written, one rule for each check of the table."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import Rule
from kitdocs.words.writing.check import WritingCheck
from kitdocs.words.writing.table import CHECKS
from kitdocs.words.writing.texts import texts


def _rule(check: WritingCheck) -> Rule:
    def run(design: Design) -> Iterator[Finding]:
        if check.id in design.kit.about.unchecked:
            return
        for text in texts(design):
            if check.holds_in(text.language):
                for f in check.faults(design, text):
                    yield Finding(f.place, check.id, f.found, f.expected, f.mend, "warning")

    return Rule(
        check.id, "Words", check.demand, check.formula, check.source, check.example, run
    )  # fmt: skip


PLAIN = tuple(_rule(check) for check in CHECKS)
