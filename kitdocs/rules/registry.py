"""All rules: found in the modules of this folder, listed, and run on a design."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterable, Iterator
from functools import lru_cache

import kitdocs.rules
from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.rules.rule import GROUPS, Rule


@lru_cache(maxsize=1)
def all_rules() -> tuple[Rule, ...]:
    """Every rule, by group and id. A new module in this folder is found by itself."""
    found: dict[str, Rule] = {}
    for module in pkgutil.iter_modules(kitdocs.rules.__path__):
        held = vars(importlib.import_module(f"kitdocs.rules.{module.name}")).values()
        rules = [v for v in held if isinstance(v, Rule)]
        rules += [r for v in held if isinstance(v, tuple) for r in v if isinstance(r, Rule)]
        for rule in rules:
            if found.setdefault(rule.id, rule) is not rule:
                raise RuntimeError(f"two rules are called {rule.id}")
    return tuple(sorted(found.values(), key=lambda r: (GROUPS.index(r.group), r.id)))


def run(design: Design, read: Iterable[Finding] = ()) -> list[Finding]:
    """Findings of every rule on one design, consequences left out.

    `read` are the findings of reading, which some rules cannot run after. A rule that cannot
    run since one before it failed is named in a note: it never passes by default.
    """
    unrun: list[Rule] = []
    findings: list[Finding] = []
    for rule, new in each(design, read):
        if new is None:
            unrun.append(rule)
        else:
            findings += new
    findings = _roots(findings)
    if unrun:
        findings.append(_unrun_note(design, unrun, [*read, *findings]))
    return findings


def each(
    design: Design, read: Iterable[Finding] = ()
) -> Iterator[tuple[Rule, list[Finding] | None]]:
    """Every rule with all that it finds, as they are run; None for one that could not be.

    Rules on words come last: no other waits for them, and who stops early is spared the costliest.
    """
    waiting = [r for r in all_rules() if r.check is not None]
    failed = {finding.rule for finding in read}
    while waiting:
        ready = [r for r in waiting if not {w.id for w in waiting} & set(r.after)]
        ready = [r for r in ready if r.group != "Words"] or ready
        for rule in ready:
            waiting.remove(rule)
            if failed & set(rule.after):
                failed.add(rule.id)
                yield rule, None
                continue
            assert rule.check is not None
            new = list(rule.check(design))
            if any(f.severity == "error" for f in new):
                failed.add(rule.id)
            yield rule, new


def _roots(findings: list[Finding]) -> list[Finding]:
    """The findings that no error explains by a fact that they share."""
    follows = {r.id: set(r.follows) for r in all_rules()}
    touched: dict[Place, set[str]] = {}  # the rules with an error that comes from each fact
    for finding in findings:
        for fact in (finding.place, *finding.facts) if finding.severity == "error" else ():
            touched.setdefault(fact, set()).add(finding.rule)

    def explained(finding: Finding) -> bool:
        facts = (finding.place, *finding.facts)
        return any(touched.get(fact, set()) & follows[finding.rule] for fact in facts)

    return [finding for finding in findings if not explained(finding)]


def _unrun_note(design: Design, unrun: list[Rule], findings: list[Finding]) -> Finding:
    names = ", ".join(rule.id for rule in unrun)
    before = {name for rule in unrun for name in rule.after}
    # What a rule before them found may have been left out as the consequence of another.
    before |= {name for rule in all_rules() if rule.id in before for name in rule.follows}
    causes = sorted(before & {f.rule for f in findings if f.severity == "error"})
    return Finding(
        design.kit.about.place(),
        "not-run",
        f"{names} could not be checked on this kit because of {', '.join(causes)}",
        severity="note",
    )
