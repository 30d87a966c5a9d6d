"""What things are called, in each language of a kit.

A part has one name: the one that is written for it, or else one derived from its facts. Names in
a kit's first language are written with the things themselves; those of its further languages are
in its files of words (`kit/words_file.py`).
"""

from __future__ import annotations

from functools import cached_property

from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Fastener, Part, Toothed
from kitdocs.kit.parts_list import parts_like
from kitdocs.kit.stage import Stage
from kitdocs.kit.words_file import Called, PartCalled, PluralForms, WordsFile
from kitdocs.words.kinds import (
    ENGLISH_PLURALS,
    TOOTHED,
    driver_text,
    fastener_forms,
    head_word,
)
from kitdocs.words.language import Language
from kitdocs.words.numbers import numbers_in

_NOTHING = WordsFile()


class Names:
    """The names of a kit's things in a language, by default its first.

    Two fasteners of one size are told apart by their heads.
    """

    def __init__(self, kit: Kit, language: Language | None = None):
        self.kit = kit
        self.language = language or Language(kit.languages[0])
        self.numbers = numbers_in(self.language)
        self._words = kit.words.get(self.language.code, _NOTHING)
        self._is_first = self.language.code == kit.languages[0]
        sizes: dict[str, int] = {}
        for part in kit.parts.values():
            if isinstance(part, Fastener):
                name = fastener_forms(part, False, 1, self.language)
                sizes[name] = sizes.get(name, 0) + 1
        self._shared = {name for name, count in sizes.items() if count > 1}

    # Parts

    def one(self, part: Part) -> str:
        """Its name: `61-tooth wheel`."""
        return self._written(part) or self._derived(part, 1)

    def many(self, part: Part) -> str:
        """Its name in the plural, no number told: `61-tooth wheels`."""
        return self.form(2, part)

    def form(self, count: int, part: Part) -> str:
        """Its name as it goes with a number of it, without the number."""
        if count == 1:
            return self.one(part)
        if self._is_first and part.plural is not None:
            return part.plural
        called = self._called(part)
        if called is not None and called.plural is not None:
            return _plural_form(called.plural, self.numbers.category(count))
        name = self._written(part)
        if name is None:
            return self._derived(part, count)
        return _english_plural(name) if self.language.code.partition("-")[0] == "en" else name

    def counted(self, count: int, part: Part) -> str:
        """So many of it, as words: `three M2.5 × 6 screws`."""
        return f"{self.numbers.spelled(count)} {self.form(count, part)}"

    def spoken(self, part: Part) -> str | None:
        """Its name as it is said, where one is written."""
        if self._is_first:
            return part.spoken
        called = self._called(part)
        return called.spoken if called else None

    def also(self, part: Part) -> tuple[str, ...]:
        """Other names for it, which words must not use."""
        if self._is_first:
            return part.also
        called = self._called(part)
        return called.also if called else ()

    def forms(self, part: Part) -> dict[str, str]:
        """Other forms of its name, by the names that expressions have for them."""
        return _forms(self._called(part))

    def mark(self, part: Part) -> str:
        """The mark on a part; empty where it has none."""
        called = self._called(part)
        return (called.mark if called else None) or part.mark or ""

    def note(self, part: Part) -> str:
        called = self._called(part)
        return (called.note if called else None) or part.note or ""

    def material(self, part: Part) -> str:
        """What it is made of; empty where that is not told."""
        if part.material is None:
            return ""
        if isinstance(part, Fastener) and part.material == "steel":
            return self._words.materials.get("steel") or self.language.text("steel")
        return self._words.materials.get(part.material, part.material)

    def has_name(self, part: Part) -> bool:
        """Whether it has a name in this language: written, or derived from its facts."""
        return self._written(part, fall_back=False) is not None or isinstance(
            part, (Fastener, Toothed)
        )

    def driver(self, name: str) -> str:
        """A driver's name: `PH1 screwdriver`."""
        return driver_text(name, self.language, self.numbers)

    def head(self, fastener: Fastener) -> str:
        """How a fastener's head or point looks; empty when its standard is not known."""
        return self.language.text(word) if (word := head_word(fastener)) else ""

    def designation(self, fastener: Fastener) -> str:
        """The designation as readers see it: `ISO 7045 M2.5 × 6`."""
        return self.numbers.local(str(fastener.parsed).replace(" x ", " × "))

    # Other things

    @cached_property
    def title(self) -> str:
        return self._words.title or self.kit.about.title

    @cached_property
    def summary(self) -> str:
        return self._words.summary or self.kit.about.summary

    def body(self, name: str) -> str:
        """What a body is called."""
        called = self._words.bodies.get(name)
        return (called.name if called else None) or self.kit.bodies[name].name

    def body_forms(self, name: str) -> dict[str, str]:
        return _forms(self._words.bodies.get(name))

    def delivery(self, name: str) -> str:
        """The title of a parcel."""
        called = self._words.deliveries.get(name)
        return (called.name if called else None) or self.kit.deliveries[name].title

    def arbor(self, name: str) -> str:
        """What readers call an arbor: the name of its shaft, where it has one."""
        shaft = self.kit.items.get(name)
        return self.one(shaft.part) if shaft else self._named(self._words.arbors, name)

    def axis(self, name: str) -> str:
        """What readers call an axis: the name of the first shaft that stands on it."""
        shafts = (a.id for a in self.kit.arbors.values() if a.axis == name)
        shaft = next((arbor for arbor in shafts if arbor in self.kit.items), None)
        return self.arbor(shaft) if shaft else self._named(self._words.axes, name)

    def stage(self, stage: Stage) -> str:
        """A stage's title."""
        made = self.kit.translation(stage.uri, self.language.code)
        return (made.front.title if made else None) or stage.title

    def stage_summary(self, stage: Stage) -> str:
        made = self.kit.translation(stage.uri, self.language.code)
        return (made.front.summary if made else None) or stage.front.summary or ""

    def _named(self, box: dict[str, str], name: str) -> str:
        return box.get(name) or name.replace("-", " ")

    @cached_property
    def _parts(self) -> dict[str, PartCalled]:
        """What the words say of parts, by the part's id."""
        found: dict[str, PartCalled] = {}
        for reference, called in self._words.parts.items():
            meant = parts_like(self.kit.parts, reference)
            if len(meant) == 1:
                found[meant[0].id] = called
        return found

    def _called(self, part: Part) -> PartCalled | None:
        return self._parts.get(part.id)

    def _written(self, part: Part, fall_back: bool = True) -> str | None:
        """A name that is written for a part; in a further language one that has none of its own
        is derived where it can be, and else called as in the first language."""
        if self._is_first:
            return part.name
        called = self._called(part)
        if called is not None and called.name is not None:
            return called.name
        return part.name if fall_back and not isinstance(part, (Fastener, Toothed)) else None

    def _derived(self, part: Part, count: int) -> str:
        if isinstance(part, Fastener):
            bare = fastener_forms(part, False, 1, self.language)
            return fastener_forms(part, bare in self._shared, count, self.language)
        if isinstance(part, Toothed):
            one, many = TOOTHED[part.kind]
            return self.language.plural(one, many, count, teeth=part.teeth)
        words = part.id.replace("-", " ")
        return words if count == 1 else _english_plural(words)


def _plural_form(plural: PluralForms, category: str) -> str:
    found = getattr(plural, category, None) or plural.other or plural.few or plural.many
    return found or ""


def _forms(called: Called | None) -> dict[str, str]:
    return {k.replace("-", "_"): v for k, v in called.forms.items()} if called else {}


def _english_plural(name: str) -> str:
    """The plural of a name that ends in the noun of a kind; other names bring their own."""
    for one, many in ENGLISH_PLURALS:
        if name == one or name.endswith(f" {one}"):
            return name.removesuffix(one) + many
    return name
