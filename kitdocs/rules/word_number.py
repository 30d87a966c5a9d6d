"""word-number: no number in words that nothing backs."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.names import quoted
from kitdocs.rules.rule import rule
from kitdocs.words.audit.auditor import TONGUES, audit
from kitdocs.words.audit.judging.statement import Against


def _without(mend: str) -> str:
    """How to mend a number where no expression can stand."""
    return "Correct it, or leave the number out." if "{{" in mend else mend


@rule(
    "word-number",
    group="Words",
    demand="every number in prose, titles, names, notes, reasons, errata, drawings and alternative"
    " texts is an expression, or agrees with what its sentence names, with its step or its stage,"
    " or has its source beside it",
    formula="exact for counts and teeth; to the written precision for measures; 5 % after “about”",
    source="our own: a number reaches the reader computed, or checked; number and unit read after"
    " NIST SP 811 and the number symbols of CLDR",
    example="'Fit four washers' in a step that takes three",
    after=("step-facts", "expression"),
)
def word_number(design: Design) -> Iterator[Finding]:
    for audited in audit(design):
        for one in audited.heard:
            if isinstance(one.outcome, Against):
                found = f"{quoted(one.claim.text)} in {quoted(one.sentence.text)}"
                against = one.outcome
                can_print = audited.words.manner.has_expressions
                mend = against.mend if can_print else _without(against.mend)
                yield Finding(one.place, "word-number", found, against.expected, mend)
    for code in design.kit.languages:
        if code.partition("-")[0] not in TONGUES:
            place = design.kit.about.place("languages")
            found = f"numbers in words of the language '{code}' are not read"
            yield Finding(place, "word-number", found, severity="note")
