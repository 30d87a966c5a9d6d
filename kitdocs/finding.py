"""Findings: the only currency of failure.

A finding says where, what was found, what was expected and how to mend it. Rules and readers
return findings; they never log, print or raise for what an editor got wrong.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from typing import Literal, NamedTuple

Severity = Literal["error", "warning", "note"]


class Place(NamedTuple):
    """A place in a source file: POSIX path relative to the site, line and column from 1.

    A place in a procedure has `used_at`: the place of the use that its line was read for. What
    is told of it is completed in one place (`kit/use_places.py`).
    """

    path: str
    line: int = 1
    column: int = 1
    used_at: tuple[Place, ...] = ()

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"

    def shifted(self, line: int, column: int = 1) -> Place:
        """The place of a text position (from 1) inside a block that starts here."""
        if line == 1:
            return Place(self.path, self.line, self.column + column - 1, self.used_at)
        return Place(self.path, self.line + line - 1, column, self.used_at)

    def within(self, text: str, at: int) -> Place:
        """The place of character `at` (from 0) of a text that starts here."""
        before = text[:at]
        return self.shifted(before.count("\n") + 1, at - before.rfind("\n"))

    @property
    def fields(self) -> dict[str, str | int]:
        """Path, line and column by name."""
        return {"path": self.path, "line": self.line, "column": self.column}


@dataclass(frozen=True)
class Finding:
    """One place where one rule does not hold.

    `facts` are the other places that the figure was computed from: the finding may be mended
    at any of them. A `note` says what could not be checked; it neither passes nor fails.
    """

    place: Place
    rule: str
    found: str
    expected: str = ""
    mend: str = ""
    severity: Severity = "error"
    facts: tuple[Place, ...] = ()

    @property
    def message(self) -> str:
        text = self.found
        if self.expected:
            text += f"; expected {self.expected}"
        text += "."
        if self.mend:
            text += f" {self.mend}"
        return _on_one_line(text)

    def __str__(self) -> str:
        return f"{self.place}: {self.severity} {self.rule}: {self.message}{self.see}"

    @property
    def see(self) -> str:
        """The other places that it comes from, as they follow a message; empty for none."""
        others = (f"{p.path}:{p.line}" for p in self.facts if p != self.place)
        facts = dict.fromkeys(others)
        return f" (see {', '.join(facts)})" if facts else ""


def _on_one_line(text: str) -> str:
    """Signs that would break a line, or that nobody sees, are named by their code point."""
    if text.isascii() and text.isprintable():
        return text
    unseen = ("Cc", "Cf", "Cs", "Zl", "Zp")
    return "".join(f"(U+{ord(c):04X})" if unicodedata.category(c) in unseen else c for c in text)


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Findings by place, each once; notes last, since they speak of what did not run.

    What several facts lead to at one place is one finding with all of them.
    """
    once: dict[tuple, Finding] = {}
    for finding in findings:
        key = (finding.place, finding.rule, finding.found, finding.expected, finding.severity)
        other = once.setdefault(key, finding)
        if other is not finding:
            facts = tuple(dict.fromkeys(other.facts + finding.facts))
            once[key] = replace(other, facts=facts)
    return sorted(once.values(), key=lambda f: (f.severity == "note", f.place, f.rule, f.found))


def count_line(findings: Iterable[Finding]) -> str:
    """The line that closes a report: how many errors and warnings there are."""
    kinds = [f.severity for f in findings]
    errors, warnings = kinds.count("error"), kinds.count("warning")
    return f"{counted(errors, 'error')}, {counted(warnings, 'warning')}"


def counted(number: int, word: str) -> str:
    """A number and its noun: `1 error`, `2 errors`."""
    return f"{number} {word}{'' if number == 1 else 's'}"


def stops(findings: Iterable[Finding], strict: bool = False) -> bool:
    """Whether these findings stop a build: an error always, a warning under `strict`."""
    stopping = {"error", "warning"} if strict else {"error"}
    return any(f.severity in stopping for f in findings)


def as_json(findings: Iterable[Finding]) -> str:
    """The findings as a JSON array of objects, for editors and other programs."""
    objects = [
        asdict(f) | {"place": f.place.fields, "facts": [p.fields for p in f.facts]}
        for f in findings
    ]
    return json.dumps(objects, ensure_ascii=False, indent=1)
