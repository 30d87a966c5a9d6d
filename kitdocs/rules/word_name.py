"""word-name: a thing is called by its one name."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule
from kitdocs.words.audit.auditor import audit


@rule(
    "word-name",
    group="Words",
    demand="a thing is called by its one name, and a step names what it has to do with",
    source="ASD-STE100 rule 1.3 and IEC/IEEE 82079-1 (one name for one thing), from memory;"
    " trade words of our own list",
    example="'gear' where the kit's name is wheel; the Mars pipe in a step on the Venus pipe",
    after=("step-facts", "expression"),
)
def word_name(design: Design) -> Iterator[Finding]:
    for audited in audit(design):
        for sentence, one in audited.misnamed:
            place = sentence.place(one.start)
            severity = "error" if one.sure else "warning"
            yield Finding(place, "word-name", one.found, one.expected, one.mend, severity)
