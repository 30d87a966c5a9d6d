"""Errata: what builders of an earlier revision have to do (`errata.yml`, written by `revise`)."""

from __future__ import annotations

from typing import Annotated, Literal

from kitdocs.kit.about import day
from kitdocs.kit.fact import Fact
from kitdocs.kit.values import Id, Text, text_of

#: What has become of a step: there is no such step before or now; it stands elsewhere in its stage;
#: it takes other parts, or parts that are made otherwise; its actions are others; or only a figure
#: in its words is another.
Change = Literal["new", "dropped", "moved", "parts", "actions", "figures"]


class Before(Fact):
    """What was there, and what is there now; either may be missing."""

    before: Text | None = None
    now: Text | None = None


class ChangedStep(Fact):
    """One step: `title` as its readers know it, what has changed, and an editor's own advice."""

    step: Id
    title: Text
    changes: tuple[Change, ...]
    parts: tuple[Before, ...] = ()
    figures: tuple[Before, ...] = ()
    advice: Text | None = None


class ChangedStage(Fact):
    """The steps of one stage that a builder of the earlier revision has to look at again."""

    stage: Id
    title: Text
    steps: tuple[ChangedStep, ...]


class ChangedParcel(Fact):
    """What one parcel holds otherwise; `sent` when it has gone out by the
    earlier revision."""

    delivery: Id
    title: Text
    state: Literal["sent", "waiting"] = "waiting"
    parts: tuple[Before, ...]


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
