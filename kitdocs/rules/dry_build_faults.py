"""What the dry build told of under one rule."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding


def faults(design: Design, rule: str) -> Iterator[Finding]:
    """The faults of the dry build that a rule tells of."""
    for fault in design.dry_build.faults:
        if fault.rule == rule:
            yield fault
