"""Every change of one fact of a kit, as an edit of the text of one of its files.

A number goes up and down by one step of its kind, a reference becomes another plausible one, an
entry is dropped, two neighbours whose order says something are swapped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kit_text import Entry, KitText, ValuePath, beside

#: Lengths that screws are stocked in, mm (ISO 4762, 7045 and 4026 length series, small sizes).
LENGTHS = ("2", "2.5", "3", "4", "5", "6", "8", "10", "12", "16", "20", "25", "30")
THREADS = ("M1.6", "M2", "M2.5", "M3", "M4")
#: Words of which one can be written for the other: products, kinds of part, choices, actions.
STANDARDS = (("ISO 7045", "ISO 4762", "ISO 7046"), ("ISO 4026", "ISO 4027", "ISO 4029"))
KINDS = (
    ("arbor", "pipe", "post"),
    ("hub", "collet", "spacer", "bush", "pillar", "foot", "knob"),
    ("wheel", "bevel-wheel", "contrate-wheel"),
    ("plate", "dial"),
    ("arm", "hand", "crank-handle"),
    ("adhesive", "oil"),
)
CHOICES = (("true", "false"), ("same", "opposite"), ("upright", "level"))
VERBS = (("fit", "slide-on"), ("make-up", "fit", "place"), ("fasten", "glue", "press"),
         ("slacken", "tighten"), ("remove", "refit"), ("turn", "check", "oil"))  # fmt: skip

#: One step of a number, by its key; any other is a length and goes by half a millimetre.
STEPS = {"teeth": 1, "count": 1, "month": 1, "holds": 1, "spares": 1, "bearing": 1, "module": 0.1,
         "minutes": 5, "held": 1, "turns": 1}  # fmt: skip
HALF_MILLIMETRE = 0.5
#: Kinds of fact with a name of their own, by key.
KIND_OF = {"teeth": "tooth count", "distance": "axis distance", "at": "axis distance",
           "holds": "delivery quantity", "spares": "spare quantity", "held": "hole number",
           "count": "hole count", "circle": "hole circle", "size": "hole size"}  # fmt: skip
#: What the scalars under a key name, by file and key (`KitText.names`).
NAMES = {
    "mechanism.yml": {"crank": "arbor", "from": "axis", "carried-by": "arbor", "axis": "axis",
                      "part": "part", "stack": "part", "end-stack": "part", "runs-on": "arbor",
                      "stands-on": "item", "to": "item", "meshes": "item", "pair": "item"},
    "parts.yml": {"material": "material"},
    "kit.yml": {"arbor": "arbor", "seen-from": "arbor", "reference": "reference"},
    "stages": {"delivery": "delivery", "adds": "body", "tools": "tool"},
}  # fmt: skip
#: Words for a reader, of which a kit can only say that they are there.
WORDS = ("title", "maker", "summary", "revision", "name", "plural", "note", "mark", "id")
#: Lists and mappings whose order says something.
ORDERED = ("stack", "end-stack", "deliveries", "stages", "pair", "at")


@dataclass(frozen=True)
class Change:
    """`text[start:end]` of a file becomes `new`. `old` is what of it a reader would look at."""

    kit: str
    area: str
    kind: str
    file: str
    path: str
    line: int
    start: int
    end: int
    old: str
    new: str

    @property
    def place(self) -> str:
        return f"{self.kit}/{self.file}:{self.path}"

    def __str__(self) -> str:
        old, new = (" ".join(text.split())[:60] for text in (self.old, self.new))
        return f"{self.place} (line {self.line}), {self.kind}: {old} -> {new or 'nothing'}"


_Edit = tuple[str, int, int, str]  # kind, start, end, new text


def changes(folder: Path) -> Iterator[Change]:
    """Every change of one fact in a kit folder, file by file."""
    kit = KitText(folder)
    for file, text in kit.texts.items():
        before: dict[ValuePath, Entry] = {}  # the last entry of each list or mapping
        for entry in kit.entries(file):
            edits = [*_replaced(kit, file, entry), *_dropped(text, file, entry)]
            other = before.get(entry.path[:-1])
            if other is not None and _is_ordered(file, entry):
                edits.append(_swap(text, other, entry))
            before[entry.path[:-1]] = entry
            edits += _later(text, file, entry)
            path, area = ".".join(str(key) for key in entry.path), _area(file, entry.path)
            yield from _made(folder.name, area, file, path, text, edits)
        for path, edits in _whole_steps(text, file):
            yield from _made(folder.name, "steps", file, path, text, edits)


def _made(
    kit: str, area: str, file: str, path: str, text: str, edits: list[_Edit]
) -> Iterator[Change]:
    for kind, start, end, new in (e for e in edits if text[e[1] : e[2]] != e[3]):
        line = text.count("\n", 0, start) + 1
        yield Change(kit, area, kind, file, path, line, start, end, text[start:end], new)


_HEADING = re.compile(r"^## .*$", re.MULTILINE)


def _whole_steps(text: str, file: str) -> Iterator[tuple[str, list[_Edit]]]:
    """Each step of a page left out, and each done after the next one."""
    if "/" not in file:
        return
    starts = [found.start() for found in _HEADING.finditer(text)]
    ends = [*starts[1:], len(text)]
    steps = [(start, end) for start, end in zip(starts, ends, strict=True)
             if re.search("^```(step|use)", text[start:end], re.MULTILINE)]  # fmt: skip
    for number, (start, end) in enumerate(steps, start=1):
        edits = [("drop step", start, end, "\n" * text.count("\n", start, end))]
        if number < len(steps) and steps[number][0] == end:
            after = steps[number]
            swapped = text[after[0] : after[1]].rstrip("\n") + "\n\n" + text[start:end]
            edits.append(("swap steps", start, after[1], swapped))
        yield f"step-{number}", edits


def _later(text: str, file: str, entry: Entry) -> list[_Edit]:
    """A part of one parcel that comes with the next one instead."""
    if file != "deliveries.yml" or len(entry.path) != 4 or entry.path[2] != "holds":
        return []
    rest = text[entry.end :]
    next_holds = re.search(r"^    holds:\n", rest, re.MULTILINE)
    if entry.value is None or not next_holds:
        return []
    part, count = str(entry.path[3]), int(entry.value)
    less = f"{part}: {count - 1}" if count > 1 else ""
    end = next_holds.end()
    there = re.match(
        rf"(?:^ {{6}}.*\n)*?^ {{6}}{re.escape(part)}: (\d+)\n", rest[end:], re.MULTILINE
    )
    if there:
        more = rest[: end + there.start(1)] + str(int(there[1]) + 1)
        stop = entry.end + end + there.end(1)
    else:
        more = rest[:end] + f"      {part}: 1\n"
        stop = entry.end + end
    return [("later delivery", entry.start, stop, less + more)]


def _area(file: str, path: ValuePath) -> str:
    if "/" in file:
        return "steps"
    if path[0] in ("held", "fasteners"):
        return "fasteners"
    return file.removesuffix(".yml")


def _key(path: ValuePath) -> str:
    """The last key of a path: what says of which kind a value is."""
    return next((str(key) for key in reversed(path) if isinstance(key, str)), "")


def _under(path: ValuePath) -> tuple[str, ...]:
    """The keys that may say what a value names, the nearest first."""
    return tuple(str(key) for key in reversed(path) if isinstance(key, str))[:2]


def _replaced(kit: KitText, file: str, entry: Entry) -> Iterator[_Edit]:
    """Another number, reference or choice for a value, or another name for its key."""
    if entry.key is not None:
        for kind, new in _other_keys(kit, file, entry):
            yield (kind, *entry.extent(entry.key), new)
    if entry.value is not None and _key(entry.path) not in WORDS:
        for kind, new in _other_values(kit, file, entry.path, entry.value):
            yield (kind, *entry.extent(entry.node), new)


def _other_keys(kit: KitText, file: str, entry: Entry) -> Iterator[tuple[str, str]]:
    path, name = entry.path, str(entry.path[-1])
    if path[-2:-1] in (("holds",), ("spares",)):
        yield from (("delivered part", other) for other in kit.others("part", name))
    elif path[:1] == ("held",) and len(path) == 2:
        yield from (("held item", other) for other in kit.others("item", name))
    elif str(path[0]).startswith("step-"):
        for group in VERBS:
            yield from (("verb", other) for other in group if name in group and other != name)


def _other_values(
    kit: KitText, file: str, path: ValuePath, value: str
) -> Iterator[tuple[str, str]]:
    key, keys = _key(path), _under(path)
    if str(path[0]).startswith(("step-", "use-")) and value in kit.part_of:
        kind = "slot item" if str(path[0]).startswith("use-") else "step item"
        yield from ((kind, other) for other in kit.others("item", value))
        return
    if value in kit.slots(file):
        yield from (("slot", other) for other in beside(value, kit.slots(file)))
        return
    table = NAMES.get("stages" if "/" in file else file, {})
    naming = next((k for k in keys if k in table), "")
    if key in ("by", "washer") or path[0] == "fasteners":
        yield from _designations(value)
    if key == "by":
        yield from (("held by", other) for other in kit.others("holding", value))
    elif key == "thread":
        yield from (("thread", other) for other in beside(value, THREADS))
    elif key == "kind":
        group = next((group for group in KINDS if value in group), ())
        yield from (("kind of part", other) for other in beside(value, group))
    elif naming and not _is_number(value):
        what = table[naming]
        yield from ((f"other {what}: {naming}", other) for other in kit.others(what, value))
    elif _is_number(value):
        yield from _numbers(path, key, value)
    else:
        yield from (("choice", o) for pair in CHOICES for o in pair if value in pair and o != value)


def _is_number(value: str) -> bool:
    return re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", value) is not None


def _numbers(path: ValuePath, key: str, value: str) -> Iterator[tuple[str, str]]:
    names = [key, *(str(k) for k in path if k in ("holds", "spares"))]
    if path[0] == "held":
        names = ["held"]
    name = next((n for n in reversed(names) if n in {**STEPS, **KIND_OF}), key)
    step = STEPS.get(name, HALF_MILLIMETRE)
    for change in (-step, step):
        yield KIND_OF.get(name, name), f"{round(float(value) + change, 6):g}"


def _designations(text: str) -> Iterator[tuple[str, str]]:
    """Another length, thread or product standard."""
    match = re.fullmatch(r"(ISO [0-9]+)? ?(M[0-9.]+)(?: x ([0-9.]+))?", text)
    if not match:
        return
    standard, thread, length = (group or "" for group in match.groups())
    for other in beside(length, LENGTHS):
        yield "screw length", f"{standard} {thread} x {other}".strip()
    for other in beside(thread, THREADS):
        yield "thread", f"{standard} {other}".strip() + (f" x {length}" if length else "")
    for group in STANDARDS:
        for other in group if standard in group else ():
            if other != standard:
                yield "product standard", f"{other} {thread} x {length}"


def _dropped(text: str, file: str, entry: Entry) -> Iterator[_Edit]:
    """The entry taken out; the lines that it stood on are kept, empty."""
    if entry.flow:
        start, end = entry.start, entry.end
        after = re.match(r"\s*,[ ]*", text[end:])
        if after:
            end += after.end()
        elif entry.number:
            start = re.search(r",\s*\Z", text[:start]).start()
    elif entry.siblings == 1 and len(entry.path) > 1 and not str(entry.path[0]).startswith("step-"):
        return  # its list or mapping is dropped as a whole
    else:
        start, end = entry.start, entry.end
    yield _what(file, entry.path), start, end, "\n" * text.count("\n", start, end)


def _what(file: str, path: ValuePath) -> str:
    """What an entry is, as the table names what was dropped."""
    if "/" in file:
        if path[0] == "front":
            return "drop front matter"
        if str(path[0]).startswith("use-"):
            return "drop slot"
        return "drop words" if path[-1] == "id" else "drop action or item"
    if _key(path) in WORDS and len(path) > 1:
        return "drop words"
    top, depth = str(path[0]), len(path)
    if depth == 1:
        return "drop whole section"
    if top == "deliveries":
        return {2: "drop delivery", 3: "drop key"}.get(depth, "drop delivery line")
    if top in ("parts", "axes", "arbors", "held", "bodies", "fasteners", "meshes", "stages"):
        if depth == 2:
            return f"drop entry of {top}"
        if path[2] in ("stack", "end-stack") and depth > 3:
            return "drop stack entry"
        if top == "held" and depth == 4:
            return "drop hole number"
    return "drop key"


def _is_ordered(file: str, entry: Entry) -> bool:
    inside = entry.path[:-1]
    if inside and str(inside[0]).startswith("step-"):
        return entry.path[-1] not in ("item", "at", "turns")
    key = str(inside[-1]) if inside else ""
    patterns = file == "parts.yml" and key == "holes"  # numbered in their order
    return key in ORDERED or patterns


def _swap(text: str, first: Entry, second: Entry) -> _Edit:
    between = text[first.end : second.start]
    new = text[second.start : second.end] + between + text[first.start : first.end]
    kind = f"swap in {_key(first.path[:-1])}"
    if str(first.path[0]).startswith("step-"):
        kind = "swap actions or items"
    return kind, first.start, second.end, new
