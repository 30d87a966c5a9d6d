"""Procedures: runs of steps that recur with other sizes, written once and used per stage.

A page `procedures/NAME.md` of the kit names its slots in its front matter, and its body is steps
as a stage page has them, in which `<slot>` stands for an item: in the facts of a step, and inside
an expression. A stage page uses it with a fenced block named `use` between its own steps, which
gives each slot an item. What is read from a use is plain steps.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from kitdocs.finding import Finding, Place, counted
from kitdocs.kit.fact import Fact
from kitdocs.kit.names import nearest, nearest_name, quoted
from kitdocs.kit.sections import Fences, UseBlock
from kitdocs.kit.validation import validate
from kitdocs.kit.values import ID, Id, Text
from kitdocs.kit.yaml_reader import Mapping as YamlMapping
from kitdocs.kit.yaml_reader import read_yaml

FOLDER = "procedures"  # in a kit's folder


def is_procedure(uri: str, kits: Iterable[str]) -> bool:
    """Whether a path from the content folder is a procedure of a kit, by the kits' folders."""
    folder, _, name = uri.rpartition("/")
    places = (f"{kit}/{FOLDER}".removeprefix("/") for kit in kits)
    return name.endswith(".md") and folder in places


_SLOT = re.compile(r"<([^<>\n]*)>")
_EXPRESSION = re.compile(r"\{\{.*?\}\}", re.DOTALL)
#: Where a slot may be the end of a longer word: the id of a step, and a link to it.
_STEP_ID = re.compile(r"(?:\b(?:id|translates):[ \t]*|\bstep\(')[a-z0-9-]*-$")


class ProcedureFront(Fact):
    """The front matter of a procedure: its slots, each with what it is in words."""

    slots: dict[Id, Text]


@dataclass(frozen=True)
class Slot:
    """What a procedure takes an item for: its name, what it is in words, and where it is named."""

    name: str
    words: str
    place: Place


@dataclass(frozen=True)
class Hole:
    """Where a slot is written in the body of a procedure: `body[start:end]`."""

    slot: str
    start: int
    end: int


@dataclass(frozen=True)
class Procedure:
    """A run of steps with slots, in the order written.

    `holes` is None where its body cannot be filled in, which has been told of.
    """

    name: str
    place: Place
    slots: tuple[Slot, ...]
    body: str
    start: Place
    holes: tuple[Hole, ...] | None


@dataclass(frozen=True)
class Use:
    """A procedure as one stage uses it: an item for each slot.

    `stage` is the stage's id, `place` where the block names the procedure, `item_places` where it
    names each item.
    `steps` are the ids of the steps that it became.
    """

    procedure: Procedure
    stage: str
    place: Place
    items: Mapping[str, str]
    item_places: Mapping[str, Place]
    steps: tuple[str, ...] = ()

    @property
    def start(self) -> Place:
        """Where the text begins, as the place in the procedure that this use reads."""
        return self.procedure.start._replace(used_at=(self.place,))

    @property
    def text(self) -> str:
        """The body of the procedure with its slots filled in, line for line."""
        body, done, out = self.procedure.body, 0, []
        for hole in self.procedure.holes or ():
            out += [body[done : hole.start], self.items[hole.slot]]
            done = hole.end
        return "".join([*out, body[done:]])

    def written(self, place: Place) -> tuple[Place, str | None]:
        """The place in the procedure that a place in its filled text is, and the slot there."""
        first = self.procedure.start
        line = self.procedure.body.split("\n")[place.line - first.line]
        at = sum(len(x) + 1 for x in self.procedure.body.split("\n")[: place.line - first.line])
        column, longer = place.column, 0
        for hole in self.procedure.holes or ():
            if not at <= hole.start <= at + len(line):
                continue
            begins = hole.start - at + 1
            filled = len(self.items[hole.slot])
            if column < begins + longer:
                break
            if column < begins + longer + filled:
                return Place(place.path, place.line, begins), hole.slot
            longer += filled - (hole.end - hole.start)
        return Place(place.path, place.line, column - longer), None


def read_procedure(
    name: str, front: str, front_place: Place, body: str, start: Place
) -> tuple[Procedure | None, list[Finding]]:
    """A procedure from its page's front matter and body; findings are on what no use changes."""
    read = read_yaml(front, front_place)
    if read.data is None:
        mend = "Name them with what each is in words: `wheel: the wheel on the pipe`."
        missing = Finding(front_place, "key-missing", "no slots", "`slots:` in front matter", mend)
        return None, read.findings or [missing]
    facts, findings = validate(ProcedureFront, read.data, front_place)
    findings = [*read.findings, *findings]
    if facts is None:
        return None, findings
    if "procedure" in facts.slots:
        place = facts.key_place("procedure", "slots")
        findings.append(Finding(place, "value", "a slot called 'procedure'", "another name"))
    page = _Body(body, start, tuple(facts.slots))
    findings += page.findings
    for slot in facts.slots:
        if slot not in {hole.slot for hole in page.holes}:
            place = facts.key_place(slot, "slots")
            found, expected = f"the slot '{slot}', which no step has", f"<{slot}> in a step"
            findings.append(Finding(place, "procedure", found, expected, severity="warning"))
    holes = None if any(f.severity == "error" for f in findings) else tuple(page.holes)
    slots = tuple(Slot(n, words, facts.key_place(n, "slots")) for n, words in facts.slots.items())
    return Procedure(name, facts.place(), slots, body, start, holes), findings


def in_other_words(
    procedure: Procedure, body: str, start: Place
) -> tuple[Procedure, list[Finding]]:
    """The procedure with the body of its translation, which has the same slots."""
    page = _Body(body, start, tuple(slot.name for slot in procedure.slots))
    holes = None if page.findings else tuple(page.holes)
    return replace(procedure, body=body, start=start, holes=holes), page.findings


class _Body:
    """The slots in the body of a procedure, and the findings on them."""

    def __init__(self, body: str, start: Place, slots: tuple[str, ...]):
        self.body, self.start, self.slots = body, start, slots
        self.holes: list[Hole] = []
        self.findings: list[Finding] = []
        words = self._facts_blanked()
        for expression in _EXPRESSION.finditer(words):
            self._read(expression.start(), expression.end())
        for found in _SLOT.finditer(_EXPRESSION.sub(lambda m: " " * len(m[0]), words)):
            if found[1] in slots:
                self._outside(found)
        self.holes.sort(key=lambda hole: hole.start)

    def _facts_blanked(self) -> str:
        """The body with its facts read and everything in fences made blank."""
        out: list[str] = []
        fences, at = Fences(), 0
        for line in self.body.split("\n"):
            state = fences.take(line)
            if state == "inside" and fences.name == "step":
                self._read(at, at + len(line))
            elif state == "opens" and fences.name == "use":
                found, expected = "a use inside a procedure", "steps"
                mend = "Use the procedures one after the other in the stage page."
                self._found(at, found, expected, mend)
            out.append(line if state == "outside" else " " * len(line))
            at += len(line) + 1
        return "\n".join(out)

    def _read(self, start: int, end: int) -> None:
        """The slots in a stretch of facts or in an expression."""
        for found in _SLOT.finditer(self.body, start, end):
            slot, before, after = found[1], self.body[start : found.start()], found.end()
            joined = re.search(r"[A-Za-z0-9-]$", before) and not _STEP_ID.search(before)
            if slot not in self.slots:
                mend = nearest(slot, self.slots)
                self._found(found.start(), f"the slot <{slot}>", "a slot of the procedure", mend)
            elif joined or re.match("[A-Za-z0-9-]", self.body[after:end]):
                mend = "Give the other item a slot of its own."
                expected = "a slot, which stands for a whole id"
                self._found(found.start(), f"<{slot}> joined to other signs", expected, mend)
            else:
                self.holes.append(Hole(slot, found.start(), after))

    def _outside(self, found: re.Match[str]) -> None:
        mend = f"Write {{{{ item('<{found[1]}>') }}}} for its name."
        self._found(found.start(), f"<{found[1]}> in words", "a slot inside an expression", mend)

    def _found(self, at: int, found: str, expected: str, mend: str) -> None:
        place = self.start.within(self.body, at)
        self.findings.append(Finding(place, "step-facts", found, expected, mend))


def read_use(
    block: UseBlock, stage: str, known: Mapping[str, Procedure], findings: list[Finding]
) -> tuple[str, Use | None]:
    """The procedure that a `use` block names, and the use where it is in order."""
    read = read_yaml(block.text, block.start)
    findings += [_as_facts(finding) for finding in read.findings]
    data = read.data

    def refuse(place: Place, found: str, expected: str, mend: str = "", *facts: Place) -> None:
        findings.append(Finding(place, "step-facts", found, expected, mend, facts=facts))

    if not isinstance(data, YamlMapping) or not isinstance(data.get("procedure"), str):
        if not read.findings:
            refuse(block.place, "a use of nothing", "`procedure: NAME` and its slots")
        return "", None
    name, place = data["procedure"], data.places["procedure"]
    procedure = known.get(name)
    if procedure is None:
        mend = nearest(name, known) or f"Write it in {FOLDER}/{name}.md."
        refuse(place, quoted(name), "the name of a procedure", mend)
        return name, None
    before = len(findings)
    slots = {slot.name: slot.words for slot in procedure.slots}
    misspelt: set[str | None] = set()
    for slot, value in data.items():
        if slot == "procedure":
            continue
        if slot not in slots:
            found, expected = f"the slot {quoted(slot)}", f"a slot of {name}"
            free = [name for name in slots if name not in data]
            misspelt.add(nearest_name(slot, free))
            refuse(data.keys_at[slot], found, expected, nearest(slot, free), procedure.place)
        elif not isinstance(value, str) or not ID.fullmatch(value):
            found = quoted(value) if isinstance(value, str) and value else "no item"
            refuse(data.places[slot], found, "the id of one item")
    missing = [slot for slot in slots if slot not in data and slot not in misspelt]
    if missing:
        found = f"no item for {' and '.join(missing)}"
        mend = "; ".join(f"{slot}: {slots[slot]}" for slot in missing)
        many = counted(len(slots), "slot")
        refuse(place, found, f"all of the {many} of {name}", f"{mend}.", procedure.place)
    if procedure.holes is None or len(findings) > before or read.findings:
        return name, None
    items = {slot: str(data[slot]) for slot in slots}
    places = {slot: data.places[slot] for slot in slots}
    return name, Use(procedure, stage, place, items, places)


def _as_facts(finding: Finding) -> Finding:
    return Finding(finding.place, "step-facts", finding.found, finding.expected, finding.mend)
