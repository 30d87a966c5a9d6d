"""Expressions in prose: `{{ item('earth-wheel').teeth }}`.

Only names, attributes, calls and constants are understood: no statements, filters or operators,
so an expression can neither run long nor change anything. Each is checked by itself, and what is
wrong with it is a finding at its own line and column.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.names import quoted
from kitdocs.kit.stage import Passage, Stage
from kitdocs.words.language import Language
from kitdocs.words.markup import literal
from kitdocs.words.names import Names
from kitdocs.words.rendering import Rendering, Worked
from kitdocs.words.syntax import Asked, asked, no_fact
from kitdocs.words.views import Unknown, View, names_in_reach

#: Every form an expression may take, and what it gives: shown in the guide.
EXPRESSIONS: dict[str, str] = {
    "item('ID')": "the item's name, such as *61-tooth wheel*",
    "item('ID').screws": "what holds it, counted: *three M2.5 × 6 screws*",
    "item('ID').screw": "one of its fasteners: *M2.5 × 6 screw*",
    "item('ID').driver": "the driver for them: *PH1 screwdriver*",
    "item('ID').teeth": "its tooth count; likewise `.module`, `.mark`, `.material`",
    "item('ID').length": "a measure of its part with its unit; likewise `.bore`, `.outside`, "
    "`.diameter`, `.thickness`, `.face`, `.reach`, `.width`, `.depth`",
    "item('ID').part": "the same as `part('ID')` for the kind of thing that it is",
    "item('ID').arbor": "the same as `arbor('ID')` for the arbor that it is on",
    "part('ID')": "a part's name; `.plural` its plural; measures as for an item",
    "count('ID', 'ID')": "how many items these are, in words",
    "body('ID')": "a body's name",
    "body('ID').period": "its period in the model: *686.98 days*",
    "body('ID').reference": "its true period; `.source` says where that comes from",
    "body('ID').error": "how far the model's period is off: *+0.012 %*",
    "body('ID').drift": "degrees gained or lost in a year",
    "body('ID').ratio": "its turns for one turn of the time base, as an exact fraction",
    "body('ID').turns_per_year": "its turns in a year of 365.25 days",
    "mesh('ID', 'ID').ratio": "turns of the second wheel for one of the first, as a fraction",
    "mesh('ID', 'ID').distance": "the distance between the two axes",
    "arbor('ID')": "the name of the arbor's own shaft or pipe",
    "arbor('ID').turns_per_crank": "its turns for one turn of the crank",
    "arbor('ID').degrees_per_crank": "how far one turn of the crank turns it, in degrees",
    "arbor('ID').crank_turns": "turns of the crank for one turn of it",
    "proof_turns": "how many turns the stage's proof takes: *1½*",
    "proof('ID')": "how far a body, or an arbor that shows none, moves in the proof of the "
    "stage: *57°*; `.sense` which way round, `.turns` the same in turns, `.tolerance` how far it "
    "may be off",
    "delivery('ID')": "a parcel's title; `.number` its number, `.month` its month",
    "stage('ID')": "a link to a stage: *stage 4, Earth*",
    "step('ID')": "a link to a step of this stage: *step 3*; `step('ID', 'STAGE')` of another",
    "given('24 hours', 'SOURCE')": "a figure from elsewhere, and where it comes from, which the "
    "page and the design record list",
    "kit.title": "the kit's title; likewise `kit.revision`, `kit.maker`, `kit.summary`",
    "crank_turns_per_year": "turns of the crank for one turn of the time base's arbor",
}

_LONGEST = 200  # characters of one expression: none of the table needs more
_OPENING = re.compile(r"\{\{|\{%")


class Prose:
    """Turns passages with expressions into Markdown, for one design and one language: by default
    that of the kit's own files."""

    def __init__(self, design: Design, names: Names | None = None):
        self.design = design
        self.names = names or Names(design.kit)
        self._renderings: dict[tuple[Passage, str, str], Rendering] = {}

    def text(
        self, passage: Passage, uri: str = "", stage: Stage | None = None
    ) -> tuple[str, list[Finding]]:
        """The passage with its expressions worked out, for the page at `uri` (or of `stage`)."""
        rendering = self.rendering(passage, uri, stage)
        return rendering.text, list(rendering.findings)

    def rendering(self, passage: Passage, uri: str = "", stage: Stage | None = None) -> Rendering:
        """The same, with what is wrong with it and what each expression gave."""
        uri = uri or (stage.uri if stage else "")
        key = passage, uri, stage.id if stage else ""
        if key not in self._renderings:
            self._renderings[key] = self._rendered(passage, uri, stage)
        return self._renderings[key]

    def _rendered(self, passage: Passage, uri: str, stage: Stage | None) -> Rendering:
        if "{" not in passage.text:
            return Rendering(passage, passage.text)
        reach = names_in_reach(self.design, self.names, uri, stage)
        out: list[str] = []
        worked: list[Worked] = []
        findings: list[Finding] = []
        done = length = 0
        for opening in _OPENING.finditer(passage.text):
            if opening.start() < done:
                continue
            text, end, fault = self._one(passage.text, opening, reach)
            before = passage.text[done : opening.start()]
            out += [before, text]
            done = end
            length += len(before)
            source = passage.text[opening.end() : end].removesuffix("}}").strip()
            worked.append(Worked(length, length + len(text), opening.start(), end, source))
            length += len(text)
            if fault:
                place = passage.place.within(passage.text, opening.start())
                findings.append(Finding(place, "expression", *fault))
        out.append(passage.text[done:])
        return Rendering(passage, "".join(out), tuple(worked), tuple(findings))

    def _one(self, text: str, opening: re.Match[str], reach: dict[str, Any]):
        """One expression's text, where it ends, and (found, expected, mend) if it is wrong."""
        start = opening.start()
        if opening[0] == "{%":
            fault = ("a statement, {% … %}", "an expression, {{ … }}", "Delete it.")
            return "", opening.end(), fault
        end = text.find("}}", opening.end())
        if end < 0 or "\n\n" in text[start:end] or "{{" in text[opening.end() : end]:
            fault = ("an expression that is never closed", "}} after it", "")
            return "", opening.end(), fault
        source = text[opening.end() : end].strip()
        if len(source) > _LONGEST:
            fault = (quoted(source), f"at most {_LONGEST} characters between {{{{ and }}}}", "")
            return "", end + 2, fault
        try:
            value = _value(asked(source), reach)
            if callable(value):
                raise Unknown(f"'{source}' without its brackets", f"{source}('ID')", "")
            return literal(value), end + 2, None
        except Unknown as unknown:
            fault = (unknown.found, unknown.expected, unknown.mend, "error", unknown.facts)
            return "", end + 2, fault


@lru_cache(maxsize=16)
def prose_of(design: Design, code: str) -> Prose:
    """What all that reads a design's words in one language shares, so that each passage is worked
    out once."""
    return Prose(design, Names(design.kit, Language(code)))


def _value(asked_for: Asked, reach: dict[str, Any]) -> Any:
    name, ids = asked_for.name, asked_for.ids
    if name not in reach:
        raise Unknown.among(f"'{name}'", "a name of the guide's table", name, reach)
    value = reach[name]
    if ids is not None:
        if not callable(value):
            raise Unknown("something in () that takes nothing", "no brackets there", "")
        try:
            value = value(*ids)
        except TypeError:
            found = f"{len(ids)} in the brackets of {name}"
            raise Unknown(found, "as many ids as the guide's table shows", "") from None
    for fact in asked_for.facts:
        if not isinstance(value, View):
            raise no_fact(fact)
        value = value.fact(fact)
    return value
