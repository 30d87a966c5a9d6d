"""One kit's handbook: where its pages are, and what several of them share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from kitdocs.assembly.design import Design
from kitdocs.assembly.history import Done
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Fastener, Part
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.clashes import CLASH_LIMITS, Clash, clashes
from kitdocs.pages.figures import Outline, outline
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.part_facts import part_facts


@dataclass(frozen=True)
class Ref:
    """Words that lead to a page, or to an anchor in it."""

    text: str
    uri: str
    anchor: str = ""


@dataclass(frozen=True)
class Counted:
    """So many of something, at the place that `ref` leads to."""

    ref: Ref
    count: int


@dataclass(frozen=True)
class PartRow:
    """A part as lists show it. `slug` is an ASCII id; `from_` names the parcels it came in."""

    slug: str
    name: str
    count: int
    facts: tuple[str, ...]
    picture: Outline | None
    from_: tuple[Counted, ...] = ()


class Handbook:
    """The design of a kit, seen as a book of pages in one language, by default its own."""

    def __init__(self, design: Design, language: Language | None = None):
        self.design = design
        self.kit = design.kit
        self.names = Names(design.kit, language)
        self.language = self.names.language
        self.numbers = self.names.numbers
        self.text, self.plural = self.language.text, self.language.plural
        self._pictures: dict[str, Outline | None] = {}

    def uri(self, page: str) -> str:
        """The path of one of the kit's pages from the content folder."""
        return f"{self.kit.folder}/{page}" if self.kit.folder else page

    @property
    def prefix(self) -> str:
        """What ids of pictures begin with, so that no two kits share one."""
        return f"kd-{self.kit.id}"

    def picture(self, part: Part) -> Outline | None:
        if part.id not in self._pictures:
            self._pictures[part.id] = outline(part)
        return self._pictures[part.id]

    def row(self, part: Part, count: int, from_: Iterable[Counted] = ()) -> PartRow:
        return PartRow(
            slug(part.id),
            self.names.form(count, part),
            count,
            part_facts(self.names, part),
            self.picture(part),
            tuple(from_),
        )

    def stage_ref(self, stage: Stage) -> Ref:
        return Ref(f"{stage.number}. {self.names.stage(stage)}", stage.uri)

    def step_ref(self, done: Done, stage: Stage) -> Ref:
        """A step in a sentence, as it is called on the page of a stage."""
        if done.stage is stage:
            text = self.text("step %(step)s", step=done.step.number)
        else:
            text = self.text(
                "stage %(stage)s, step %(step)s", stage=done.stage.number, step=done.step.number
            )
        return Ref(text, done.stage.uri, done.step.id)

    def delivery_number(self, delivery: str) -> int:
        return list(self.kit.deliveries).index(delivery) + 1

    def delivery_ref(self, delivery: str) -> Ref:
        text = self.text("parcel %(number)s", number=self.delivery_number(delivery))
        return Ref(text, self.uri("deliveries.md"), delivery)

    def arbor_name(self, arbor: str) -> str:
        """What readers call an arbor: the name of its shaft, where it has one."""
        return self.names.arbor(arbor)

    def axis_name(self, axis: str) -> str:
        """What readers call an axis: the name of the first shaft that stands on it."""
        return self.names.axis(axis)

    def listed(self, words: Sequence[str]) -> str:
        """Words as a list in a sentence: `a, b and c`."""
        if len(words) < 2:
            return "".join(words)
        before = ", ".join(words[:-1])
        return self.text("%(before)s and %(last)s", before=before, last=words[-1])

    def turned(self, degrees: Fraction | float) -> str:
        """How far something has turned, either way: whole turns and the degrees over them."""
        whole, rest = divmod(round(abs(degrees)), 360)
        if not whole:
            return self.numbers.degrees(rest) if rest else self.text("nothing")
        if not rest:
            return self.plural("%(number)s turn", "%(number)s turns", whole)
        return self.plural(
            "%(number)s turn and %(degrees)s",
            "%(number)s turns and %(degrees)s",
            whole,
            degrees=self.numbers.degrees(rest),
        )

    @cached_property
    def items_called(self) -> Mapping[str, Sequence[Item]]:
        """The items of the machine that share a name, by it."""
        found: dict[str, list[Item]] = {}
        for item in self.kit.items.values():
            found.setdefault(self.names.one(item.part), []).append(item)
        return found

    @cached_property
    def near_gaps(self) -> list[Clash]:
        """The pairs of things that turn past each other nearest, within 2 mm of their limits."""
        design = self.design
        wanted = {name: (design.limit(name).least or 0.0) + 2.0 for name in CLASH_LIMITS}
        near = clashes(self.kit, design.solids, design.rigid, wanted)
        return sorted((pair for pair in near if pair.wanted), key=lambda pair: pair.gap)

    @cached_property
    def sources(self) -> Mapping[str, Mapping[str, Counter[str]]]:
        """By stage and part: how many come from each delivery, the earliest used up first."""
        takings = self.design.takings
        stock = {delivery: Counter(held) for delivery, held in takings.delivered.items()}
        found: dict[str, dict[str, Counter[str]]] = {}
        for stage in self.kit.stages:
            found[stage.id] = {}
            for part, needed in takings.stages[stage.id].items():
                came: Counter[str] = Counter()
                for delivery, left in stock.items():
                    taken = min(needed - came.total(), left[part])
                    if taken > 0:
                        came[delivery] += taken
                        left[part] -= taken
                found[stage.id][part] = came
        return found

    def in_kit_order(self, counts: Mapping[str, int]) -> list[tuple[Part, int]]:
        """Parts with their counts, in the order in which the kit lists its parts."""
        return [(part, counts[key]) for key, part in self.kit.parts.items() if counts.get(key)]


def slug(text: str) -> str:
    """An ASCII id from an id or a designation: `ISO 7045 M2.5 x 6` is `iso-7045-m2-5-x-6`."""
    return "-".join("".join(c if c.isalnum() else " " for c in text.lower()).split())


def spellings(part: Fastener, comma: bool = False) -> tuple[str, ...]:
    """Other ways in which a reader may type its size into a search box; also with a decimal
    `comma` in languages that have one."""
    size = part.parsed.size
    written = [size.replace(" × ", times) for times in ("x", " x ", "×", "*")]
    commas = [text.replace(".", ",") for text in written]
    return tuple(dict.fromkeys((*written, *commas) if comma else written))
