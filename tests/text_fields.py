"""A kit that has every text that a kit can have, and where each text field of the models stands."""

from __future__ import annotations

import types
from collections.abc import Iterator
from dataclasses import dataclass
from inspect import get_annotations
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin

from changed_kit import change, copy_base

from kitdocs.kit.about import StageFront
from kitdocs.kit.fact import Fact
from kitdocs.kit.procedures import ProcedureFront
from kitdocs.kit.reader import KIT_FILES
from kitdocs.kit.translation import TranslatedFront
from kitdocs.kit.values import Flag, Id, Length
from kitdocs.kit.words_file import WordsFile

#: Every model that a file or a block of a kit is read as.
MODELS = (*KIT_FILES.values(), StageFront, ProcedureFront, TranslatedFront, WordsFile)

#: What makes the base kit one that has every text: no two of these words recur in a file.
_ERRATA = """\
errata:
  - from: "0.9"
    to: "1.0"
    on: 2026-11-20
    parcels:
      - {delivery: first, title: Stand and drive, state: sent,
         parts: [{before: two feet, now: three feet}]}
    stages:
      - stage: drive
        title: Stand and drive
        steps:
          - step: fit-base
            title: Glue the feet
            changes: [parts]
            parts: [{before: two feet, now: three feet,
                     translated: {de: {before: zwei Füße, now: drei Füße}}}]
            advice: Add the missing foot.
            translated: {de: {advice: Kleben Sie den Fuß an.}}
  - from: "0.8"
    to: "0.9"
    on: 2026-10-20
    parcels:
      - {delivery: gone, title: Old parcel, parts: [{before: one foot}],
         translated: {de: {title: Altes Paket}}}
    stages:
      - {stage: gone, title: Old stage, translated: {de: {title: Alte Stufe}},
         steps: [{step: old, title: Old step, changes: [dropped]}]}
"""
_PROCEDURE = """\
---
slots: {post: the upright}
---

## Press in the post

Press the {{ item('<post>') }} into the base until its shoulder sits down.

```step
press: <post>
slide-on: post-washer
```
"""
_STEP = """\
## Press in the post

Press the {{ item('post') }} into the base until its shoulder sits down.

```step
press: post
slide-on: post-washer
```
"""
_POLISH = """\
title: Orrery na stół
summary: Mały model.
parts:
  hub-8:
    name: piasta ziemska
    plural: {two: piasty a, few: piasty b, many: piast, other: piasty}
    spoken: duża piasta
    also: [bęben]
    mark: kropka
    note: z mosiądzu
    forms: {genitive: piasty ziemskiej}
bodies: {mars: {name: Mars, forms: {genitive: Marsa}}}
deliveries: {first: {name: Podstawa, forms: {genitive: podstawy}}}
arbors: {frame: rama}
axes: {lay: oś boczna}
materials: {birch ply: sklejka}
"""
_TRANSLATED = """\
---
title: Podstawa
summary: Podstawa i korba.
translates: 00000000
---
Podstawa.
"""
#: A drawing as a drawing program writes it.
_DRAWING = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 40" aria-label="The stand">
  <style>text { font-size: 4711mm }</style>
  <title>The stand</title>
  <desc>Seen from above</desc>
  <text x="4711" y="5">foot <tspan>here</tspan></text>
</svg>
"""
RICH: tuple[dict[str, Any], ...] = (
    {"file": "kit.yml", "find": "cautions:", "put": "languages: [en, de, pl]\n"
     "signed: {by: A Signer, on: 2026-11-20, digest: 0123456789abcdef}\n"
     "setting: {from: 2026-01-01, to: 2026-12-31}\n"
     "limits: {stack-height: {most: 0.4, reason: The felt gives way.}}\ncautions:"},
    {"file": "kit.yml", "find": "reference: mars sidereal", "put":
     "reference: {days: 686.98, source: A book}"},
    {"file": "parts.yml", "find": "kind: hub, outside: 22, bore: 8,", "put":
     "kind: hub, name: Earth hub, plural: Earth hubs, spoken: big hub, also: [drum], mark: dot, "
     "note: of brass, fit: H7/g6, outside: 22, bore: 8,"},
    {"file": "parts.yml", "find": "  - ISO 4026 M3 x 8", "put":
     "  - {designation: ISO 4026 M3 x 8, material: steel}\n"
     "  - {designation: M3 x 10, head: 5, head-height: 2, driver: own driver}"},
    {"file": "mechanism.yml", "find": "holes: [1, 3, 5]}", "put": "holes: [1, 3, 5], washer: W}"},
    {"file": "stages/drive.md", "find": "minutes: 60", "put":
     "minutes: 60\nvideo: https://example.org/film"},
    {"file": "stages/drive.md", "find": _STEP, "put":
     "```use\nprocedure: set-post\npost: post\n```\n"},
    {"file": "procedures/set-post.md", "new": _PROCEDURE},
    {"file": "errata.yml", "new": _ERRATA},
    {"file": "words.pl.yml", "new": _POLISH},
    {"file": "stages/drive.pl.md", "new": _TRANSLATED},
    {"file": "notes.md", "new": "---\ndescription: Some notes\n---\n# Notes\n\nOf the stand.\n"},
    {"file": "notes.de.md", "new": "---\ntitle: Notizen\n---\n# Notizen\n\nZum Ständer.\n"},
    {"file": "stand.svg", "new": _DRAWING},
)  # fmt: skip


def rich_kit(site: Path) -> Path:
    """Write the kit that has every text, and return its folder."""
    folder = copy_base(site)
    changes = [dict(one) for one in RICH if "washer: W" not in str(one)]
    change(folder, changes)
    return folder


@dataclass(frozen=True, order=True)
class TextField:
    """A place in a model where text can stand: `Part.name`, or a key, `Delivery.holds[key]`."""

    model: str
    name: str

    def __str__(self) -> str:
        return f"{self.model}.{self.name}"


def text_fields() -> set[TextField]:
    """Every text field of every model that is read, but for ids, which hold no words."""
    found: set[TextField] = set()
    seen: set[type[Fact]] = set()
    waiting: list[type[Fact]] = list(MODELS)
    while waiting:
        model = waiting.pop()
        if model in seen:
            continue
        seen.add(model)
        for name, field in model.model_fields.items():
            owner = next(c for c in model.__mro__ if name in get_annotations(c))
            for end, inner in _leaves(field.rebuild_annotation()):
                if isinstance(inner, type) and issubclass(inner, Fact):
                    waiting.append(inner)
                else:
                    found.add(TextField(owner.__name__, f"{name}{end}"))
    return found


def _leaves(annotation: Any) -> Iterator[tuple[str, Any]]:
    """The models and the texts in an annotation; a key of a mapping ends in `[key]`."""
    if annotation in (Id, Flag, Length):
        return
    origin, inside = get_origin(annotation), get_args(annotation)
    if origin is Literal or annotation in (int, float, bool, type(None), Ellipsis):
        return
    if annotation is str or (isinstance(annotation, type) and issubclass(annotation, Fact)):
        yield "", annotation
    elif origin is dict:
        yield from (("[key]", leaf) for _, leaf in _leaves(inside[0]))
        yield from _leaves(inside[1])
    elif origin in (Union, types.UnionType, tuple):
        for one in inside:
            yield from _leaves(one)
    elif hasattr(annotation, "__metadata__"):
        yield from _leaves(inside[0])
    elif annotation.__name__ != "Fraction":
        raise TypeError(f"a kind of field that is not known here: {annotation}")
