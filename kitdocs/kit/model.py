"""The kit as one immutable whole, with what is asked of it all the time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from kitdocs.finding import Place
from kitdocs.kit.about import Body, Delivery, KitFile
from kitdocs.kit.captions import CaptionFile
from kitdocs.kit.errata import Erratum
from kitdocs.kit.machine import Arbor, Axis, Held, MechanismFile
from kitdocs.kit.parts import Part
from kitdocs.kit.parts_list import parts_like
from kitdocs.kit.stage import Action, Passage, Stage, Step
from kitdocs.kit.translation import Translation
from kitdocs.kit.words_file import WordsFile

#: The stack that an item belongs to: its arbor's own shaft is a stack of its own.
Where = Literal["shaft", "stack", "end_stack"]


@dataclass(frozen=True)
class Item:
    """One placed part of the machine.

    `where` is the stack that it belongs to: `shaft` for the arbor's own shaft or pipe. `level`
    counts from the bottom of its stack, from 0.
    """

    id: str
    part: Part
    arbor: str
    where: Where
    level: int
    place: Place


@dataclass(frozen=True)
class Mesh:
    """Two items in contact. `turns` as in the kit file."""

    a: Item
    b: Item
    turns: Literal["same", "opposite"] | None
    place: Place

    def other(self, item: Item) -> Item:
        """What one of the two items meshes with."""
        return self.b if item is self.a else self.a


@dataclass(frozen=True)
class Page:
    """A page of the kit that is neither a stage nor generated: words with expressions.

    `front` are the texts of its front matter, which have none.
    """

    uri: str
    text: Passage
    front: tuple[Passage, ...] = ()


@dataclass(frozen=True)
class Figure:
    """A drawing of an editor's own (SVG) beside the pages: what is written in it."""

    uri: str
    language: str
    texts: tuple[Passage, ...]


@dataclass(frozen=True)
class Kit:
    """One model to build. Read by `reader.py`; every reference between its files resolves.

    `parts` holds fasteners too, under their full designation. `digest` is SHA-256 over the
    facts, whatever their layout, comments and line ends. `translations` are by the address of
    the original and the language, `captions` by the address of the stage.
    """

    id: str
    folder: str  # path of its folder from the content folder, POSIX; "" when it is the whole
    about: KitFile
    parts: Mapping[str, Part]
    mechanism: MechanismFile
    items: Mapping[str, Item]
    meshes: tuple[Mesh, ...]
    deliveries: Mapping[str, Delivery]
    stages: tuple[Stage, ...]
    pages: tuple[Page, ...]
    errata: tuple[Erratum, ...]
    digest: str
    words: Mapping[str, WordsFile] = field(default_factory=dict)  # by language
    translations: Mapping[tuple[str, str], Translation] = field(default_factory=dict)
    captions: Mapping[str, tuple[CaptionFile, ...]] = field(default_factory=dict)
    figures: tuple[Figure, ...] = ()

    @property
    def arbors(self) -> Mapping[str, Arbor]:
        return self.mechanism.arbors

    @property
    def axes(self) -> Mapping[str, Axis]:
        return self.mechanism.axes

    @property
    def held(self) -> Mapping[str, Held]:
        return self.mechanism.held

    @property
    def bodies(self) -> Mapping[str, Body]:
        return self.about.bodies

    @property
    def languages(self) -> tuple[str, ...]:
        """The languages of its pages; the first is that of its files."""
        return self.about.languages

    def translation(self, uri: str, language: str) -> Translation | None:
        """The translated words of the page at `uri`; None where they are only the original's."""
        return self.translations.get((uri, language))

    def part(self, reference: str) -> Part | None:
        """The part with this id or designation; None when there is none, or more than one."""
        found = parts_like(self.parts, reference)
        return found[0] if len(found) == 1 else None

    def carrier(self, arbor: str) -> str | None:
        """The arbor that takes this arbor's axis round; None for an axis fixed in the frame."""
        axis = self.arbors[arbor].axis
        return self.axes[axis].carried_by if axis else None

    @cached_property
    def on_arbor(self) -> Mapping[str, tuple[Item, ...]]:
        """The items of each arbor, lowest first: its shaft, its stack, its end stack."""
        found: dict[str, list[Item]] = {arbor: [] for arbor in self.arbors}
        for item in self.items.values():
            found[item.arbor].append(item)
        return {arbor: tuple(items) for arbor, items in found.items()}

    @cached_property
    def meshes_of(self) -> Mapping[str, tuple[Mesh, ...]]:
        """The meshes that each item takes part in."""
        found: dict[str, list[Mesh]] = {}
        for mesh in self.meshes:
            found.setdefault(mesh.a.id, []).append(mesh)
            found.setdefault(mesh.b.id, []).append(mesh)
        return {item: tuple(meshes) for item, meshes in found.items()}

    def mesh(self, a: str, b: str) -> Mesh | None:
        """The mesh between two items, whichever is named first."""
        return next((m for m in self.meshes_of.get(a, ()) if {m.a.id, m.b.id} == {a, b}), None)

    def actions(self) -> list[tuple[Stage, Step, Action]]:
        """Every action of the build, in order."""
        return [(g, s, a) for g in self.stages for s in g.steps for a in s.actions]
