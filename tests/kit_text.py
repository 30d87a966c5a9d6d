"""A kit folder as text: where each value of its YAML stands, and what a name could be instead.

It knows nothing of the kit model, so that what reads the model can be tried with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import yaml

ValuePath = tuple[str | int, ...]

_BLOCK = re.compile(r"^```(step|use)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_FRONT = re.compile(r"\A---\n(.*?)^---$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Entry:
    """One value of a file: the keys and indices that lead to it, and its extent in the text.

    `start` is where the entry begins, with its key or dash. `siblings` counts the entries of its
    list or mapping, `number` its place among them; `flow` says that they are written in brackets.
    """

    path: ValuePath
    node: yaml.Node
    key: yaml.Node | None
    start: int
    end: int
    number: int
    siblings: int
    flow: bool
    base: int

    @property
    def value(self) -> str | None:
        """The scalar as it reads; None for a list or mapping."""
        return self.node.value if isinstance(self.node, yaml.ScalarNode) else None

    def extent(self, node: yaml.Node) -> tuple[int, int]:
        """Where a node of the entry stands in the text of the file."""
        return self.base + node.start_mark.index, self.base + node.end_mark.index


class KitText:
    """The files of a kit folder, and the names in them."""

    def __init__(self, folder: Path):
        pages = [*folder.glob("stages/*.md"), *folder.glob("procedures/*.md")]
        files = [*folder.glob("*.yml"), *pages]
        files = [file for file in files if "." not in file.stem]  # translations: base.de.md
        self.texts = {f.relative_to(folder).as_posix(): f.read_text("utf-8") for f in sorted(files)}

    def entries(self, file: str) -> Iterator[Entry]:
        """Every value of a file; of a page those of its front matter and of its blocks."""
        text = self.texts[file]
        if not file.endswith(".md"):
            yield from _entries(text, 0, yaml.compose(text), ())
            return
        front = _FRONT.search(text)
        blocks = [("front", front.start(1), front[1])] if front else []
        for number, found in enumerate(_BLOCK.finditer(text), start=1):
            blocks.append((f"{found[1]}-{number}", found.start(2), found[2]))
        for name, start, block in blocks:
            yield from _entries(text, start, yaml.compose(block), (name,))

    def slots(self, file: str) -> list[str]:
        """The slots of a procedure as its steps write them."""
        front = _FRONT.search(self.texts[file]) if file.startswith("procedures/") else None
        found = yaml.load(front[1], yaml.BaseLoader)["slots"] if front else {}
        return [f"<{slot}>" for slot in found]

    @cached_property
    def _data(self) -> dict[str, dict]:
        return {f: yaml.load(t, yaml.BaseLoader) for f, t in self.texts.items() if "/" not in f}

    @cached_property
    def kind_of(self) -> dict[str, str]:
        """The kind of each part."""
        return {name: part["kind"] for name, part in self._data["parts.yml"]["parts"].items()}

    @cached_property
    def part_of(self) -> dict[str, str]:
        """The part of each item."""
        found = {}
        for arbor, facts in self._data["mechanism.yml"]["arbors"].items():
            if "part" in facts:
                found[arbor] = facts["part"]
            for level in (*facts.get("stack", ()), *facts.get("end-stack", ())):
                found |= level
        return found

    @cached_property
    def names(self) -> dict[str, list[str]]:
        """What a reference may name, by what it names, in the order of the files."""
        parts, machine = self._data["parts.yml"], self._data["mechanism.yml"]
        about = self._data["kit.yml"]
        materials = (p["material"] for p in parts["parts"].values() if "material" in p)
        supplies = [n for n, kind in self.kind_of.items() if kind == "adhesive"]
        return {
            "arbor": list(machine["arbors"]),
            "axis": list(machine["axes"]),
            "body": list(about["bodies"]),
            "delivery": list(self._data["deliveries.yml"]["deliveries"]),
            "fastener": parts["fasteners"],
            "holding": [*supplies, "press", *parts["fasteners"]],
            "item": list(self.part_of),
            "material": list(dict.fromkeys(materials)),
            "reference": [body["reference"] for body in about["bodies"].values()],
            "tool": [name for name, kind in self.kind_of.items() if kind == "tool"],
        }

    def others(self, what: str, name: str) -> list[str]:
        """What a name could plausibly be instead: its neighbours, of items and parts of its kind.

        `what` is a key of `names`, or `part`.
        """
        if what == "part" and name in self.names["fastener"]:
            what = "fastener"
        if what == "part":
            return beside(name, [n for n, k in self.kind_of.items() if k == self.kind_of.get(name)])
        names = self.names[what]
        if what == "item" and name in names:
            kinds = {item: self.kind_of.get(part) for item, part in self.part_of.items()}
            alike = [item for item in names if kinds[item] == kinds[name]]
            names = alike if len(alike) > 1 else names
        return beside(name, names)


def beside(value: str, series: Sequence[str]) -> list[str]:
    """The values before and after this one in a series."""
    if value not in series:
        return []
    at = list(series).index(value)
    near = [series[i] for i in (at - 1, at + 1) if 0 <= i < len(series)]
    return [name for name in dict.fromkeys(near) if name != value]


def _entries(text: str, base: int, node: yaml.Node, path: ValuePath) -> Iterator[Entry]:
    if isinstance(node, yaml.ScalarNode):
        return
    for number, one in enumerate(node.value):
        key, value = one if isinstance(one, tuple) else (None, one)
        here = (*path, number if key is None else key.value)
        start = base + (key or value).start_mark.index
        if key is None and not node.flow_style:
            start = text.rindex("-", base, start)
        end = base + _end(value)
        flow = bool(node.flow_style)
        yield Entry(here, value, key, start, end, number, len(node.value), flow, base)
        yield from _entries(text, base, value, here)


def _end(node: yaml.Node) -> int:
    """Where a node's text ends: of a block list or mapping, where its last value does."""
    if isinstance(node, yaml.ScalarNode) or node.flow_style:
        return node.end_mark.index
    last = node.value[-1]
    return _end(last[1] if isinstance(last, tuple) else last)
