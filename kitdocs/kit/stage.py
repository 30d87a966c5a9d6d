"""Stage pages: Markdown with front matter, whose steps carry facts beside their words.

A page is front matter, words, then steps. A step is a level-2 heading, its words, and one
fenced block named `step` that holds its facts: actions on items.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction

from kitdocs.finding import Finding, Place
from kitdocs.kit.about import StageFront
from kitdocs.kit.names import nearest, quoted
from kitdocs.kit.values import ID
from kitdocs.kit.yaml_reader import Mapping, Sequence, place_of, read_yaml

#: What each action means: shown in the guide, and the list that facts are checked against.
ACTIONS: dict[str, str] = {
    "fit": "Put the item in its place, where nothing has to be passed.",
    "slide-on": "Pass the item over the open end of its arbor and down to its place.",
    "press": "Push the item into its press fit, which also holds it.",
    "mesh": "Bring two toothed items into contact.",
    "fasten": "Drive the fasteners that hold the item.",
    "glue": "Hold the item with its adhesive.",
    "slacken": "Loosen the fasteners that hold the item, without taking them out.",
    "tighten": "Tighten the fasteners that were slackened.",
    "remove": "Take an item off that was built before.",
    "refit": "Put back an item that was removed.",
    "oil": "Oil where the item runs.",
    "aim": "Turn an arm by hand to a bearing in degrees: `aim: {item: ID, at: 90}`.",
    "turn": "Turn an item and see: `turn: ID`, or `turn: {item: ID, turns: 2}`.",
    "check": "Look at or feel an item without changing anything.",
}
#: Actions that put an item in place for the first time: each takes a part from stock.
PLACING = ("fit", "slide-on", "press")
#: Actions that make a fastening for the first time, and what the schedule must hold by.
FASTENING = ("fasten", "glue", "press")


@dataclass(frozen=True)
class Action:
    """One action: its verb, the items it is done to, and a number where the verb takes one."""

    verb: str
    items: tuple[str, ...]
    place: Place
    item_places: tuple[Place, ...]
    value: Fraction | None = None  # degrees of an `aim`, turns of a `turn`


@dataclass(frozen=True)
class Passage:
    """A run of words as written, and where it begins."""

    text: str
    place: Place


@dataclass(frozen=True)
class Step:
    """One numbered action group. `id` is stable while the facts' first action is."""

    id: str
    number: int
    title: Passage
    words: Passage
    actions: tuple[Action, ...]
    place: Place


@dataclass(frozen=True)
class Stage:
    """A page of the instructions: it ends with a working sub-machine."""

    id: str
    number: int
    uri: str  # the page's path from the content folder
    front: StageFront
    words: Passage
    steps: tuple[Step, ...]
    place: Place

    @property
    def title(self) -> str:
        return self.front.title


@dataclass
class PageText:
    """A page split into its front matter and body."""

    front: str
    front_place: Place
    body: str
    body_place: Place


def split_page(text: str, path: str) -> PageText:
    """Split a Markdown page at its front matter; a page without one has an empty front."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    match = re.match(r"---[ \t]*\n(.*?)^---[ \t]*\n", text, re.DOTALL | re.MULTILINE)
    if not match:
        return PageText("", Place(path), text, Place(path))
    body_line = text[: match.end()].count("\n") + 1
    return PageText(match[1], Place(path, 2), text[match.end() :], Place(path, body_line))


@dataclass
class _Section:
    title: Passage
    lines: list[str] = field(default_factory=list)
    start: Place | None = None
    facts: list[tuple[str, Place]] = field(default_factory=list)
    unclosed: bool = False  # its block runs on to the end of the page


def read_steps(body: str, start: Place) -> tuple[Passage, tuple[Step, ...], list[Finding]]:
    """Split a stage page's body into its opening words and its steps."""
    opening, sections, findings = _sections(body, start)
    steps: list[Step] = []
    seen: dict[str, Place] = {}
    for number, section in enumerate(sections, start=1):
        actions, step_id = _facts(section, findings)
        if not step_id:
            first = actions[0] if actions else None
            step_id = f"{first.verb}-{first.items[0]}" if first else f"step-{number}"
        if step_id in seen:
            findings.append(
                Finding(
                    section.title.place,
                    "step-facts",
                    f"a second step '{step_id}' in this stage",
                    "one",
                    "Begin its facts with `id: another-name`.",
                    facts=(seen[step_id],),
                )
            )
        seen.setdefault(step_id, section.title.place)
        words = Passage("\n".join(section.lines), section.start or section.title.place)
        steps.append(Step(step_id, number, section.title, words, actions, section.title.place))
    return opening, tuple(steps), findings


def _sections(body: str, start: Place) -> tuple[Passage, list[_Section], list[Finding]]:
    opening: list[str] = []
    sections: list[_Section] = []
    findings: list[Finding] = []
    fence = ""
    block: list[str] | None = None  # the lines of an open `step` block
    block_place = start
    for offset, line in enumerate(body.split("\n")):
        place = Place(start.path, start.line + offset, 1)
        marks = re.match(r" {0,3}(`{3,}|~{3,})[ \t]*([^\s`]*)", line)
        if fence:
            closes = marks and marks[1].startswith(fence) and not marks[2]
            if block is not None and not closes:
                block.append(line)
                continue
            if closes:
                fence = ""
                if block is not None:
                    sections[-1].facts.append(("\n".join(block), block_place))
                    sections[-1].lines.append("")  # keeps later lines at their places
                    sections[-1].lines.extend([""] * (len(block) + 1))
                    block = None
                    continue
        elif marks:
            fence = marks[1]
            if marks[2] == "step":
                if not sections:
                    findings.append(
                        Finding(
                            place,
                            "step-facts",
                            "facts before the first step",
                            "a heading",
                            "Write the step's `## heading` above them.",
                        )
                    )
                    sections.append(_Section(Passage("", place)))
                block, block_place = [], Place(start.path, place.line + 1, 1)
                continue
        elif heading := re.match(r"##[ \t]+(.*?)[ \t]*#*[ \t]*$", line):
            column = heading.start(1) + 1
            sections.append(_Section(Passage(heading[1], Place(place.path, place.line, column))))
            continue
        if sections:
            section = sections[-1]
            section.start = section.start or place
            section.lines.append(line)
        else:
            opening.append(line)
    if block is not None:
        sections[-1].unclosed = True
        findings.append(
            Finding(block_place, "step-facts", "a step block that is never closed", "``` below it")
        )
    return Passage("\n".join(opening), start), sections, findings


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
        refuse(f"{len(names)} item{'' if len(names) == 1 else 's'}", "two items that mesh")
        return None
    places = tuple(
        place_of(value, (i,), value_place) if isinstance(value, Sequence) else value_place
        for i in range(len(names))
    )
    return Action(verb, tuple(str(n) for n in names), place, places, number)
