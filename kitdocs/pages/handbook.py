"""One kit's handbook: where its pages are, and what several of them share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from kitdocs.assembly.design import Design
from kitdocs.kit.parts import Fastener, Part
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.clashes import CLASH_LIMITS, Clash, clashes
from kitdocs.pages.figures import Outline, outline
from kitdocs.words.language import ENGLISH, Language
from kitdocs.words.names import Names, head_word
from kitdocs.words.numbers import millimetres
from kitdocs.words.views import MEASURES


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
    """The design of a kit, seen as a book of pages in one language."""

    def __init__(self, design: Design, language: Language = ENGLISH):
        self.design = design
        self.language = language
        self.kit = design.kit
        self.names = Names(design.kit)
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
        name = self.names.one(part) if count == 1 else self.names.many(part)
        return PartRow(
            slug(part.id), name, count, part_facts(part), self.picture(part), tuple(from_)
        )

    def stage_ref(self, stage: Stage) -> Ref:
        return Ref(f"{stage.number}. {stage.title}", stage.uri)

    def delivery_number(self, delivery: str) -> int:
        return list(self.kit.deliveries).index(delivery) + 1

    def delivery_ref(self, delivery: str) -> Ref:
        text = f"parcel {self.delivery_number(delivery)}"
        return Ref(text, self.uri("deliveries.md"), delivery)

    def arbor_name(self, arbor: str) -> str:
        """What readers call an arbor: the name of its shaft, where it has one."""
        shaft = self.kit.items.get(arbor)
        return self.names.one(shaft.part) if shaft else arbor.replace("-", " ")

    def axis_name(self, axis: str) -> str:
        """What readers call an axis: the name of the first shaft that stands on it."""
        shafts = (a.id for a in self.kit.arbors.values() if a.axis == axis)
        shaft = next((name for name in shafts if name in self.kit.items), None)
        return self.arbor_name(shaft) if shaft else axis.replace("-", " ")

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


def designation(part: Fastener) -> str:
    """The designation as readers see it."""
    return str(part.parsed).replace(" x ", " × ")


def spellings(part: Fastener) -> tuple[str, ...]:
    """Other ways in which a reader may type its size into a search box."""
    size = part.parsed.size
    return tuple(dict.fromkeys(size.replace(" × ", times) for times in ("x", " x ", "×", "*")))


def hole_facts(part: Part) -> list[str]:
    """A part's holes, those of one size together: `3 tapped holes M2.5`."""
    counts: Counter[tuple[str, str]] = Counter()
    for pattern in part.holes:
        size = pattern.thread or (millimetres(pattern.size) if pattern.size else "")
        counts["tapped " if pattern.thread else "", size] += pattern.count
    return [
        f"{count} {kind}hole{'s' * (count > 1)} {size}".strip()
        for (kind, size), count in counts.items()
    ]


def part_facts(part: Part) -> tuple[str, ...]:
    """What tells a part from its neighbours: its sizes, holes, material and mark."""
    facts: list[str] = []
    if isinstance(part, Fastener):
        facts += [designation(part), head_word(part)]
    facts += [
        f"{key} {millimetres(getattr(part, key))}"
        for key in MEASURES
        if isinstance(getattr(part, key, None), float) and getattr(part, key)
    ]
    facts += hole_facts(part)
    facts += [part.material or "", f"mark: {part.mark}" if part.mark else "", part.note or ""]
    return tuple(fact for fact in facts if fact)
