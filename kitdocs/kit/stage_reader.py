"""Reading stage pages: Markdown with front matter, whose steps carry facts beside their words.

A page is front matter, words, then steps. A step is a level-2 heading, its words, and one
fenced block named `step` that holds its facts: actions on items.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction

from kitdocs.finding import Finding, Place, counted
from kitdocs.kit.names import nearest, quoted
from kitdocs.kit.stage import ACTIONS, Action, Passage, Step
from kitdocs.kit.values import ID
from kitdocs.kit.yaml_reader import Mapping, Sequence, place_of, read_yaml


@dataclass
class PageText:
    """A page split into its front matter and body."""

    front: str
    front_place: Place
    body: str
    body_place: Place


def split_page(text: str, path: str) -> PageText:
    """Split a Markdown page, its lines ended by `\\n`, at its front matter (which may be empty)."""
    match = re.match(r"---[ \t]*\n(.*?)^---[ \t]*\n", text, re.DOTALL | re.MULTILINE)
    if not match:
        return PageText("", Place(path), text, Place(path))
    body_line = text[: match.end()].count("\n") + 1
    return PageText(match[1], Place(path, 2), text[match.end() :], Place(path, body_line))


def read_steps(body: str, start: Place) -> tuple[Passage, tuple[Step, ...], list[Finding]]:
    """Split a stage page's body into its opening words and its steps."""
    page = _Splitter()
    for offset, line in enumerate(body.split("\n")):
        page.line(line, Place(start.path, start.line + offset))
    page.end()
    findings = page.findings
    steps: list[Step] = []
    seen: dict[str, Place] = {}
    for number, section in enumerate(page.sections, start=1):
        actions, step_id = _facts(section, findings)
        if not step_id:
            first = actions[0] if actions else None
            step_id = f"{first.verb}-{first.items[0]}" if first else f"step-{number}"
        named = actions[0].item_places[:1] if actions else ()
        if step_id in seen:
            findings.append(
                Finding(
                    section.title.place,
                    "step-facts",
                    f"a second step '{step_id}' in this stage",
                    "one",
                    "Begin its facts with `id: another-name`.",
                    facts=(seen[step_id], *named, *(p for s in steps for p in _named(s, step_id))),
                )
            )
        seen.setdefault(step_id, section.title.place)
        words = Passage("\n".join(section.lines), section.start or section.title.place)
        steps.append(Step(step_id, number, section.title, words, actions))
    return Passage("\n".join(page.opening), start), tuple(steps), findings


def _named(step: Step, step_id: str) -> tuple[Place, ...]:
    """Where the item is written that a step has its id from, if that is this one."""
    return step.actions[0].item_places[:1] if step.id == step_id and step.actions else ()


@dataclass
class _Section:
    title: Passage
    lines: list[str] = field(default_factory=list)
    start: Place | None = None
    facts: list[tuple[str, Place]] = field(default_factory=list)
    unclosed: bool = False  # its block runs on to the end of the page


_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})[ \t]*([^\s`]*)")
_HEADING = re.compile(r"##[ \t]+(.*?)[ \t]*#*[ \t]*$")


class _Splitter:
    """A stage page line by line: its opening words, then a section for each heading.

    Inside a fence nothing is a heading; the lines of a `step` block are kept apart.
    """

    def __init__(self) -> None:
        self.opening: list[str] = []
        self.sections: list[_Section] = []
        self.findings: list[Finding] = []
        self._fence = ""  # the signs that opened the fence that the line is in
        self._block: tuple[list[str], Place] | None = None  # an open `step` block

    def line(self, line: str, place: Place) -> None:
        marks = _FENCE.match(line)
        closes = marks and self._fence and marks[1].startswith(self._fence) and not marks[2]
        if self._block is not None:
            if closes:
                self._close(*self._block)
            else:
                self._block[0].append(line)
            return
        if self._fence:
            if closes:
                self._fence = ""
        elif marks:
            self._fence = marks[1]
            if marks[2] == "step":
                self._open(place)
                return
        elif heading := _HEADING.match(line):
            title = Place(place.path, place.line, heading.start(1) + 1)
            self.sections.append(_Section(Passage(heading[1], title)))
            return
        self._words(line, place)

    def end(self) -> None:
        """A block that is still open runs on to the end of the page."""
        if self._block is not None:
            self.sections[-1].unclosed = True
            found = "a step block that is never closed"
            self.findings.append(Finding(self._block[1], "step-facts", found, "``` below it"))

    def _words(self, line: str, place: Place) -> None:
        if self.sections:
            section = self.sections[-1]
            section.start = section.start or place
            section.lines.append(line)
        else:
            self.opening.append(line)

    def _open(self, place: Place) -> None:
        if not self.sections:
            found, mend = "facts before the first step", "Write the step's `## heading` above them."
            self.findings.append(Finding(place, "step-facts", found, "a heading", mend))
            self.sections.append(_Section(Passage("", place)))
        self._block = [], Place(place.path, place.line + 1)

    def _close(self, block: list[str], place: Place) -> None:
        section = self.sections[-1]
        section.facts.append(("\n".join(block), place))
        section.lines += [""] * (len(block) + 2)  # keeps later lines at their places
        self._fence, self._block = "", None


def _facts(section: _Section, findings: list[Finding]) -> tuple[tuple[Action, ...], str]:
    place = section.title.place
    if section.unclosed:
        return (), ""
    if len(section.facts) != 1:
        many = "no step block" if not section.facts else "more than one step block"
        mend = "Give the step one fenced block named step with its actions."
        findings.append(Finding(place, "step-facts", many, "one in each step", mend))
        if not section.facts:
            return (), ""
    text, start = section.facts[0]
    read = read_yaml(text, start)
    for finding in read.findings:
        mend = finding.mend
        if finding.rule == "yaml-duplicate":
            mend = "Write the facts as a list (`- fit: …`) where an action recurs."
        findings.append(replace(finding, rule="step-facts", mend=mend))
    if read.data is None:
        if not read.findings:
            findings.append(Finding(start, "step-facts", "an empty step block", "actions"))
        return (), ""
    entries = read.data if isinstance(read.data, Sequence) else [read.data]
    actions: list[Action] = []
    step_id = ""
    for entry in entries:
        if not isinstance(entry, Mapping):
            where = getattr(entry, "place", start)
            found = quoted(entry) if isinstance(entry, str) else "a list"
            findings.append(Finding(where, "step-facts", found, "an action: `fit: item`"))
            continue
        for verb, value in entry.items():
            if verb == "id":
                if isinstance(value, str) and ID.fullmatch(value):
                    step_id = value
                    continue
                expected = "a name such as add-mars: a to z, digits and hyphens"
                found = f"the id {quoted(value)}" if isinstance(value, str) else "an id of several"
                findings.append(Finding(entry.places[verb], "step-facts", found, expected))
            elif action := _action(verb, value, entry, findings):
                actions.append(action)
    return tuple(actions), step_id


def _action(verb: str, value: object, entry: Mapping, findings: list[Finding]) -> Action | None:
    place = entry.keys_at[verb]
    value_place = entry.places[verb]

    def refuse(found: str, expected: str, mend: str = "", at: Place = value_place) -> None:
        findings.append(Finding(at, "step-facts", found, expected, mend))

    if verb not in ACTIONS:
        refuse(f"the action {quoted(verb)}", "an action that exists", nearest(verb, ACTIONS), place)
        return None
    number = None
    if isinstance(value, Mapping):
        key = {"aim": "at", "turn": "turns"}.get(verb)
        if key is None or set(value) != {"item", key} or not isinstance(value["item"], str):
            expected = f"`{verb}: {{item: ID, {key}: NUMBER}}`" if key else f"`{verb}: ID`"
            refuse("other facts", expected)
            return None
        if not re.fullmatch(r"-?[0-9]{1,9}(\.[0-9]{1,9})?", str(value[key])):
            refuse(quoted(value[key]), "a number", at=value.places[key])
            return None
        number = Fraction(value[key])
        return Action(verb, (value["item"],), place, (value.places["item"],), number)
    if verb == "aim":
        refuse("no bearing", "`aim: {item: ID, at: DEGREES}`")
        return None
    names = value if isinstance(value, Sequence) else [value]
    if not names or not all(isinstance(n, str) and n for n in names):
        refuse("nothing that is an item" if names else "no items", "an item, or a list of them")
        return None
    if verb == "mesh" and len(names) != 2:
        refuse(f"{counted(len(names), 'item')}", "two items that mesh")
        return None
    places = tuple(
        place_of(value, (i,), value_place) if isinstance(value, Sequence) else value_place
        for i in range(len(names))
    )
    return Action(verb, tuple(str(n) for n in names), place, places, number)
