"""YAML as data with places.

Every scalar stays the text that was written: no YAML 1.1 guessing of booleans, octal or base-60
numbers, dates. Numbers arise only where the kit model asks for one (`values.py`). Mappings and
lists remember where each of their values stands.

Anchors, aliases and tags are refused: a fact is written once, and an alias bomb is a page of
text that expands to millions of values. Size, depth and number of values are bounded for the
same reason.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

import yaml

from kitdocs.finding import Finding, Place

MAX_BYTES = 4_000_000
MAX_VALUES = 400_000
MAX_DEPTH = 30

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Mapping(dict):
    """A YAML mapping; `place` is its own, `places[key]` a value's, `keys_at[key]` a key's.

    `model` is the typed class that it was last read as, once it has been.
    """

    def __init__(self, place: Place):
        super().__init__()
        self.place = place
        self.places: dict[str, Place] = {}
        self.keys_at: dict[str, Place] = {}
        self.model: type | None = None


class Sequence(list):
    """A YAML list; `place` is its own, `places[i]` that of its i-th value."""

    def __init__(self, place: Place):
        super().__init__()
        self.place = place
        self.places: list[Place] = []


class Empty(str):
    """A scalar with nothing written: `parts:` and then nothing."""

    __slots__ = ()


@dataclass
class ReadYaml:
    """What reading a text gave: its data (None when it could not be read) and its findings."""

    data: Mapping | Sequence | str | None
    findings: list[Finding] = field(default_factory=list)


def place_of(data: Any, path: tuple, fallback: Place) -> Place:
    """The place of the value at `path` (keys and indices); the nearest one above it if absent."""
    place = getattr(data, "place", fallback)
    for step in path:
        here = isinstance(data, Mapping) and step in data
        here = here or (isinstance(data, Sequence) and step in range(len(data)))
        if here:  # other steps (a union's tag) name no value of the file
            place, data = data.places[step], data[step]
    return place


def read_yaml(text: str, start: Place) -> ReadYaml:
    """Read one YAML document that begins at `start` (a front matter begins further down)."""
    refused = _refused_before_parsing(text, start)
    if refused:
        return ReadYaml(None, [refused])
    builder = _Builder(start)
    try:
        for event in yaml.parse(text.removeprefix("\ufeff"), Loader=_Loader):
            builder.take(event)
    except _Refused as stop:
        return ReadYaml(None, [*builder.findings, stop.finding])
    except yaml.MarkedYAMLError as error:
        return ReadYaml(None, [*builder.findings, _syntax_finding(error, text, start)])
    except yaml.YAMLError as error:
        return ReadYaml(None, [*builder.findings, Finding(start, "yaml-syntax", str(error))])
    return ReadYaml(builder.root, builder.findings)


def _refused_before_parsing(text: str, start: Place) -> Finding | None:
    if len(text) > MAX_BYTES:
        return Finding(
            start,
            "yaml-limits",
            f"{len(text):,} characters in one file",
            f"at most {MAX_BYTES:,}",
            "Split the file.",
        )
    strange = re.search("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", text)
    if strange:
        return Finding(
            start.within(text, strange.start()),
            "yaml-syntax",
            f"a control character (U+{ord(strange[0]):04X}) that YAML does not allow",
            "printable text",
            "Delete it.",
        )
    return None


class _Refused(Exception):
    def __init__(self, finding: Finding):
        self.finding = finding


class _Builder:
    """Builds data from parser events without recursion, so that depth cannot overflow a stack."""

    def __init__(self, start: Place):
        self.start = start
        self.root: Mapping | Sequence | str | None = None
        self.findings: list[Finding] = []
        self.open: list[Mapping | Sequence] = []
        self.pending: list[tuple[str, Place] | None] = []  # the key awaiting a value, per level
        self.values = 0
        self.documents = 0

    def take(self, event: yaml.Event) -> None:
        if isinstance(event, yaml.ScalarEvent):
            written = bool(event.style) or bool(event.value)
            self.add(event.value if written else Empty(), event)
        elif isinstance(event, yaml.MappingStartEvent):
            self.push(Mapping(self.at(event)), event)
        elif isinstance(event, yaml.SequenceStartEvent):
            self.push(Sequence(self.at(event)), event)
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self.open.pop()
            self.pending.pop()
        elif isinstance(event, yaml.AliasEvent):
            mend = "Put text that begins with * in quotes."
            self.refuse(event, f"an alias (*{event.anchor})", "the value itself", mend)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                mend = "Delete the line."
                self.refuse(event, "a second document after '---'", "one in a file", mend)

    def at(self, event: yaml.Event) -> Place:
        return self.start.shifted(event.start_mark.line + 1, event.start_mark.column + 1)

    def refuse(self, event: yaml.Event, found: str, expected: str, mend: str) -> None:
        raise _Refused(Finding(self.at(event), "yaml-limits", found, expected, mend))

    def check(self, event: yaml.ScalarEvent | yaml.CollectionStartEvent) -> None:
        if event.anchor:
            mend = "A fact is written once, where it belongs; text that begins with & is quoted."
            self.refuse(event, f"an anchor (&{event.anchor})", "plain values", mend)
        if event.tag and event.tag != "!":
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            mend = "Put text that begins with ! in quotes."
            self.refuse(event, f"a tag ({tag})", "plain values", mend)
        self.values += 1
        if self.values > MAX_VALUES:
            self.refuse(event, f"over {MAX_VALUES:,} values", "fewer", "Split the file.")

    def push(self, box: Mapping | Sequence, event: yaml.CollectionStartEvent) -> None:
        if len(self.open) >= MAX_DEPTH:
            self.refuse(
                event,
                f"values nested more than {MAX_DEPTH} deep",
                "a flatter file",
                "Check the brackets.",
            )
        self.add(box, event)
        self.open.append(box)
        self.pending.append(None)

    def add(self, value: Mapping | Sequence | str, event: yaml.Event) -> None:
        self.check(event)
        place = self.at(event)
        if not self.open:
            self.root = value
            return
        box = self.open[-1]
        if isinstance(box, Sequence):
            box.append(value)
            box.places.append(place)
        elif self.pending[-1] is None:
            if not isinstance(value, str):
                self.refuse(event, "a list or mapping as a key", "text as a key", "Quote it.")
            self.pending[-1] = (value, place)
        else:
            key, key_place = self.pending[-1]
            self.pending[-1] = None
            if key in box:
                self.findings.append(
                    Finding(
                        key_place,
                        "yaml-duplicate",
                        f"'{key}' is written twice",
                        f"once (first on line {box.keys_at[key].line})",
                        "Keep one of them.",
                        facts=(box.keys_at[key],),
                    )
                )
                return
            box[key] = value
            box.places[key] = place
            box.keys_at[key] = key_place


def _syntax_finding(error: yaml.MarkedYAMLError, text: str, start: Place) -> Finding:
    problem, context = error.problem or "this is not YAML", error.context or ""
    at, opened = error.problem_mark, error.context_mark
    mark = at or opened
    lines = text.splitlines() or [""]
    shown = lines[min(mark.line, len(lines) - 1)] if mark else ""
    column = mark.column + 1 if mark else 1
    rule, expected = "yaml-syntax", "YAML that can be read"
    facts: tuple[Place, ...] = ()
    if "\\t" in problem or re.match(r"[ \-?:]*\t", shown):
        column = shown.index("\t") + 1 if "\t" in shown else column
        found, mend = f"a tab at column {column}", "YAML indents with spaces: replace the tab."
    elif "nesting depth" in problem:
        found, mend = f"values nested more than {MAX_DEPTH} deep", "Check the brackets."
        rule, expected = "yaml-limits", "a flatter file"
    elif "mapping values are not allowed" in problem:
        found, mend = "a second ': ' in one line", "Put a sentence with a colon in quotes."
    elif "cannot start any token" in problem:
        found, mend = "a character that cannot begin a value", "Put the sentence in quotes."
    elif "scanning an a" in context:  # an alias or an anchor
        found, mend = "a name for a value", "Put text that begins with * or & in quotes."
    elif "scanning a directive" in context:
        found, mend = "a line that begins with %", "Put the sentence in quotes."
        mark, column = opened or mark, 1
    elif opened and ("flow" in context or "quoted" in context):
        # The place of trouble is where the text ran on to; the mend is most often at its start.
        sign = lines[min(opened.line, len(lines) - 1)][opened.column :][:1]
        found = f"a {sign} without its end" + (", or a comma missing" if "flow" in context else "")
        mend = "Close it."
        facts = (start.shifted(min(at.line, text.count("\n")) + 1, at.column + 1),) if at else ()
        mark, column = opened, opened.column + 1
    elif "block" in context:
        found, mend = "a line that does not go with those above it", "Check its indent."
    else:
        found, mend = problem, "Check indents, brackets and quotes near here."
    # A text that ends too soon fails one line after its last.
    line = min(mark.line, text.count("\n")) + 1 if mark else 1
    place = start.shifted(line, column)
    return Finding(place, rule, found, expected, mend, facts=facts)
