"""What the things of a kit are called in one more language (`words.de.yml` beside `parts.yml`).

Words are no facts of the design: they are in no digest, and a kit without them is whole. What a
language has no word for is shown by its name in the kit's first language.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated

from pydantic import Field

from kitdocs.finding import Finding
from kitdocs.kit.about import KitFile
from kitdocs.kit.fact import Fact
from kitdocs.kit.names import nearest, quoted
from kitdocs.kit.parts import Part
from kitdocs.kit.parts_list import parts_like
from kitdocs.kit.values import TEXT_SCHEMA, AlsoWritten, Id, Text


class PluralForms(Fact):
    """A plural by the categories of CLDR, for languages with more than one.

    Polish has `few` (2 to 4, and where no number is told), `many` (5 and more) and `other`
    (fractions).
    """

    two: Text | None = None
    few: Text | None = None
    many: Text | None = None
    other: Text | None = None


def _one_plural(value: object) -> object:
    return {"other": value} if isinstance(value, str) else value


def _name_alone(value: object) -> object:
    return {"name": value} if isinstance(value, str) else value


class Called(Fact):
    """What a thing is called. `forms` are its name as prose may need it, by names of the
    translator's own: `forms: {dative: der Kurbel}` is `{{ item('ID').dative }}`."""

    name: Text | None = None
    forms: dict[Id, Text] = Field(default_factory=dict)


class PartCalled(Called):
    """What a part is called; `spoken` and `also` as in `parts.yml`."""

    plural: Annotated[PluralForms, AlsoWritten(_one_plural, TEXT_SCHEMA)] | None = None
    spoken: Text | None = None
    also: tuple[Text, ...] = ()
    mark: Text | None = None
    note: Text | None = None


PartEntry = Annotated[PartCalled, AlsoWritten(_name_alone, TEXT_SCHEMA)]
Entry = Annotated[Called, AlsoWritten(_name_alone, TEXT_SCHEMA)]


class WordsFile(Fact):
    """`words.CODE.yml`. `parts` are named by their id or designation; `arbors` and `axes` need a
    name only where no shaft of theirs has one; `materials` by the material as `parts.yml` has it.
    """

    title: Text | None = None
    summary: Text | None = None
    parts: dict[Text, PartEntry] = Field(default_factory=dict)
    bodies: dict[Id, Entry] = Field(default_factory=dict)
    deliveries: dict[Id, Entry] = Field(default_factory=dict)
    arbors: dict[Id, Text] = Field(default_factory=dict)
    axes: dict[Id, Text] = Field(default_factory=dict)
    materials: dict[Text, Text] = Field(default_factory=dict)


def words_name(language: str) -> str:
    """The name of a language's file in the kit folder."""
    return f"words.{language}.yml"


def check_words(
    words: WordsFile, about: KitFile, parts: Mapping[str, Part], known: Mapping[str, Iterable[str]]
) -> Iterator[Finding]:
    """A finding for everything that is named and is not there.

    `known` are the ids of deliveries, arbors and axes, by those words.
    """
    for key in words.parts:
        if len(parts_like(parts, key)) != 1:
            yield _unknown(words, "parts", key, parts)
    materials = {part.material for part in parts.values() if part.material}
    names = {"bodies": about.bodies, "materials": materials, **known}
    for box, ids in names.items():
        for key in getattr(words, box):
            if key not in ids:
                yield _unknown(words, box, key, ids)


def _unknown(words: WordsFile, box: str, key: str, known: Iterable[str]) -> Finding:
    what = {"bodies": "a body", "deliveries": "a delivery", "axes": "an axis", "arbors": "an arbor",
            "materials": "a material of parts.yml", "parts": "a part"}[box]  # fmt: skip
    place = words.key_place(key, box)
    return Finding(place, "name-unknown", quoted(key), what, nearest(key, known))
