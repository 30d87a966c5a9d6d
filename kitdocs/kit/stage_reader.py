"""Reading stage pages: Markdown with front matter, whose steps carry facts beside their words.

A page is front matter, words, then steps, among which procedures are used (`procedures.py`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from kitdocs.finding import Finding, Place, counted
from kitdocs.kit.names import nearest, quoted
from kitdocs.kit.procedures import Procedure, Use, read_use
from kitdocs.kit.sections import Section, Splitter
from kitdocs.kit.stage import ACTIONS, Action, Passage, Step
from kitdocs.kit.values import ID
from kitdocs.kit.yaml_reader import MAX_BYTES, Mapping, Sequence, place_of, read_yaml


@dataclass
class PageText:
    """A page split into its front matter and body."""

    front: str
    front_place: Place
    body: str
    body_place: Place


@dataclass
class StageText:
    """The body of a stage page as it was read. `named` are the procedures that it asks for."""

    words: Passage
    steps: tuple[Step, ...] = ()
    uses: tuple[Use, ...] = ()
    named: frozenset[str] = frozenset()
    findings: list[Finding] = field(default_factory=list)


def split_page(text: str, path: str) -> PageText:
    """Split a Markdown page, its lines ended by `\\n`, at its front matter (which may be empty)."""
    match = re.match(r"---[ \t]*\n(.*?)^---[ \t]*\n", text, re.DOTALL | re.MULTILINE)
    if not match:
        return PageText("", Place(path), text, Place(path))
    body_line = text[: match.end()].count("\n") + 1
    return PageText(match[1], Place(path, 2), text[match.end() :], Place(path, body_line))


def read_steps(
    body: str, start: Place, stage: str = "", procedures: tuple[Procedure, ...] = ()
) -> StageText:
    """Split the body of a stage's page into its opening words and its steps."""
    page = Splitter.of(body, start)
    read = _Steps(page.findings)
    known = {procedure.name: procedure for procedure in procedures}
    uses: list[Use] = []
    named: set[str] = set()
    written = 0
    for part in page.parts:
        if isinstance(part, Section):
            read.add(part)
            continue
        name, use = read_use(part, stage, known, read.findings)
        named.add(name)
        if use is None:
            continue
        text = use.text
        written += len(text)
        if written > MAX_BYTES:
            found, expected = f"{written:,} characters of procedures", f"at most {MAX_BYTES:,}"
            read.findings.append(Finding(use.place, "yaml-limits", found, expected))
            break
        inner = Splitter.of(text, use.start)
        read.findings += inner.findings
        sections = [section for section in inner.parts if isinstance(section, Section)]
        steps = tuple(read.add(section) for section in sections)
        uses.append(replace(use, steps=steps))
    words = Passage("\n".join(page.opening), start)
    return StageText(words, tuple(read.steps), tuple(uses), frozenset(named), read.findings)


class _Steps:
    """The steps of a stage, numbered on, and the findings on them."""

    def __init__(self, findings: Iterable[Finding]):
        self.steps: list[Step] = []
        self.findings = list(findings)
        self._seen: dict[str, Place] = {}

    def add(self, section: Section) -> str:
        """Read one step; its id."""
        number = len(self.steps) + 1
        actions, step_id = _facts(section, self.findings)
        if not step_id:
            first = actions[0] if actions else None
            step_id = f"{first.verb}-{first.items[0]}" if first else f"step-{number}"
        if step_id in self._seen:
            self._twice(step_id, section, actions)
        self._seen.setdefault(step_id, section.title.place)
        words = Passage("\n".join(section.lines), section.start or section.title.place)
        self.steps.append(Step(step_id, number, section.title, words, actions))
        return step_id

    def _twice(self, step_id: str, section: Section, actions: tuple[Action, ...]) -> None:
        named = actions[0].item_places[:1] if actions else ()
        place, mend = section.title.place, "Begin its facts with `id: another-name`."
        if place.used_at:
            mend = "Begin its facts with an id that has a slot in it: `id: fix-<wheel>`."
        self.findings.append(
            Finding(
                place,
                "step-facts",
                f"a second step '{step_id}' in this stage",
                "one",
                mend,
                facts=(
                    self._seen[step_id],
                    *named,
                    *(p for s in self.steps for p in _named(s, step_id)),
                ),
            )
        )


def _named(step: Step, step_id: str) -> tuple[Place, ...]:
    """Where the item is written that a step has its id from, if that is this one."""
    return step.actions[0].item_places[:1] if step.id == step_id and step.actions else ()


def _facts(section: Section, findings: list[Finding]) -> tuple[tuple[Action, ...], str]:
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
        if verb == "turn" and not number:
            refuse("no turns", "how far it is turned", at=value.places[key])
            return None
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
