"""The design record: every rule with its state and figures, loosened limits, who signed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.finding import Finding
from kitdocs.kit.limits import loosened_limits
from kitdocs.kit.signing import signature
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.record_figure import Figure, limit_text
from kitdocs.pages.record_figures import figures
from kitdocs.rules.registry import all_rules
from kitdocs.rules.rule import GROUPS


@dataclass(frozen=True)
class RuleLine:
    """One rule on this kit. `figures` come tightest first; `tightest` is None where it has none."""

    rule: Ref
    demand: str
    state: str
    figures: tuple[Figure, ...]
    tightest: Figure | None
    findings: tuple[str, ...]


@dataclass(frozen=True)
class LoosenedLine:
    name: str
    default: str
    limit: str
    reason: str


@dataclass(frozen=True)
class UncheckedLine:
    """A rule of writing that the kit leaves unchecked, and why."""

    rule: Ref
    reason: str


@dataclass(frozen=True)
class RecordView:
    """`state` is `signed`, `changed` (since it was signed) or `unsigned`."""

    state: str
    by: str
    on: str
    signed_digest: str
    digest: str
    groups: tuple[tuple[str, tuple[RuleLine, ...]], ...]
    loosened: tuple[LoosenedLine, ...]
    unchecked: tuple[UncheckedLine, ...]
    rules: int
    looked_at: int


def record_view(book: Handbook, findings: Iterable[Finding]) -> RecordView:
    """The record of a kit whose rules gave these findings."""
    by_rule: dict[str, list[Finding]] = {}
    for finding in findings:
        by_rule.setdefault(finding.rule, []).append(finding)
    groups = []
    for group in GROUPS:
        lines = tuple(
            _line(book, rule.id, rule.demand, rule.check is not None, by_rule.get(rule.id, []))
            for rule in all_rules()
            if rule.group == group and rule.id != "design-signed"
        )
        if lines:
            groups.append((group, lines))
    signed = book.kit.about.signed
    return RecordView(
        state=signature(book.kit),
        by=signed.by if signed else "",
        on=book.numbers.date(signed.on) if signed else "",
        signed_digest=signed.digest if signed else "",
        digest=book.kit.digest,
        groups=tuple(groups),
        loosened=tuple(
            LoosenedLine(
                loose.default.name,
                limit_text(book, loose.default),
                limit_text(book, loose.limit),
                loose.reason,
            )
            for loose in loosened_limits(book.kit.about.limits)
        ),
        unchecked=tuple(
            UncheckedLine(Ref(rule, "rules.md", rule), reason)
            for rule, reason in book.kit.about.unchecked.items()
        ),
        rules=sum(len(lines) for _, lines in groups),
        looked_at=sum(len(line.figures) for _, lines in groups for line in lines),
    )


def _line(
    book: Handbook, rule: str, demand: str, computed: bool, findings: list[Finding]
) -> RuleLine:
    found = tuple(sorted(figures(book, rule), key=lambda f: f.room))
    errors = sum(f.severity == "error" for f in findings)
    warnings = sum(f.severity == "warning" for f in findings)
    if errors:
        state = book.text("not held")
    elif warnings:
        state = book.plural("%(number)s warning", "%(number)s warnings", warnings)
    elif computed:
        state = book.text("held")
    else:
        state = book.text("held in reading or building")
    return RuleLine(
        Ref(rule, "rules.md", rule),
        demand,
        state,
        found,
        found[0] if found else None,
        tuple(f.message for f in findings),
    )
