"""Errata: what builders of an earlier revision have to do (`errata.yml`, written by `revise`)."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from kitdocs.kit.about import LanguageCode, day
from kitdocs.kit.fact import Fact
from kitdocs.kit.parts import Hazard
from kitdocs.kit.values import Flag, Id, Text, text_of

#: What has become of a step. There is no such step before (`new`) or now (`dropped`); it stands
#: elsewhere in its stage (`moved`); the same work is shared out among the steps in another way
#: (`regrouped`, beside `new` and `dropped` too); it takes other parts, or parts that are made
#: otherwise; its actions are others, or come in another order; only what is turned, looked at or
#: oiled no more is another (`looks`; beside `new` and `dropped`, the step does nothing else); or
#: only a figure in its words is another.
Change = Literal[
    "new", "dropped", "moved", "regrouped", "parts", "actions", "order", "looks", "figures"
]


class Said(Fact):
    """What an entry says, in a further language of the kit."""

    title: Text | None = None
    before: Text | None = None
    now: Text | None = None
    advice: Text | None = None


#: By the code of the language.
InOthers = dict[LanguageCode, Said]


class Before(Fact):
    """What was there, and what is there now; either may be missing."""

    before: Text | None = None
    now: Text | None = None
    translated: InOthers = Field(default_factory=dict)


class ChangedStep(Fact):
    """One step: `title` as its readers know it, what has changed, and an editor's own advice."""

    step: Id
    title: Text
    changes: tuple[Change, ...]
    parts: tuple[Before, ...] = ()
    figures: tuple[Before, ...] = ()
    advice: Text | None = None
    translated: InOthers = Field(default_factory=dict)


class ChangedStage(Fact):
    """What a builder of the earlier revision has to look at again in one stage: its steps, the
    parcel that it is built from, its number where the stages have another order, and the cautions
    that are new to it."""

    stage: Id
    title: Text
    parcel: Before | None = None
    number: Before | None = None
    cautions: tuple[Hazard, ...] = ()
    steps: tuple[ChangedStep, ...] = ()
    translated: InOthers = Field(default_factory=dict)


class ChangedParcel(Fact):
    """What one parcel holds otherwise.

    `state` says whether it has gone out by the earlier revision, where that is known. `missing`
    is false when a builder who has the parcels as they were lacks nothing of it: it holds less
    than before, or what is new in it came in another.
    """

    delivery: Id
    title: Text
    state: Literal["sent", "waiting"] | None = None
    missing: Flag = True
    parts: tuple[Before, ...]
    translated: InOthers = Field(default_factory=dict)


class Erratum(Fact):
    """What lies between two revisions of the kit, and since which day."""

    from_: Text
    to: Text
    on: Annotated[str, text_of(day)]
    parcels: tuple[ChangedParcel, ...] = ()
    stages: tuple[ChangedStage, ...] = ()


class ErrataFile(Fact):
    """`errata.yml`: the newest first."""

    errata: tuple[Erratum, ...]
