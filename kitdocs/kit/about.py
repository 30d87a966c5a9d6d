"""What the kit is, what it shows, and how it is sent (`kit.yml`, `deliveries.yml`)."""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from kitdocs.kit.fact import Fact
from kitdocs.kit.limits import LimitEntry
from kitdocs.kit.parts import Hazard
from kitdocs.kit.values import Count, Days, Id, Share, Text, fault, text_of


class TimeBase(Fact):
    """One turn of `arbor` (against the frame) stands for `period` or for `days`.

    `period` names a body and a kind of period that the sky room knows: `earth sidereal`.
    """

    arbor: Id
    period: Text | None = None
    days: Days | None = None


class OwnReference(Fact):
    """A reference period of the kit's own, with where it comes from."""

    days: Days
    source: Text


class Body(Fact):
    """What an arbor shows: a planet, a moon, a dial.

    Its turns are counted against the frame (the stars), or against the arbor `seen_from` (the
    arm that a moon goes round on). `turns` is its sense seen from north.
    """

    name: Text
    arbor: Id
    seen_from: Id | None = None
    reference: Text | OwnReference
    tolerance: Share
    turns: Literal["prograde", "retrograde"] = "prograde"


def _day(text: str) -> str:
    try:
        written = date.fromisoformat(text).isoformat()
    except ValueError:
        written = ""
    if written != text:
        raise fault(f"'{text}'", "a date such as 2026-11-20")
    return text


def _digest(text: str) -> str:
    if not re.fullmatch(r"[0-9a-f]{12,64}", text):
        expected = "12 to 64 of the digits 0 to 9 and a to f"
        raise fault(f"'{text}'", expected, "`kitdocs sign` writes it.")
    return text


class Signed(Fact):
    """Who has signed the design, when, and the digest of the model that was signed."""

    by: Text
    on: Annotated[str, text_of(_day)]
    digest: Annotated[str, text_of(_digest)]


class KitFile(Fact):
    """`kit.yml`. `limits` are those that the kit sets for itself (`kit/limits.py`)."""

    title: Text
    revision: Text
    maker: Text
    summary: Text
    time: TimeBase
    bodies: dict[Id, Body]
    stages: tuple[Text, ...]
    cautions: tuple[Hazard, ...] = ()
    signed: Signed | None = None
    limits: dict[Id, LimitEntry] = Field(default_factory=dict)


class Delivery(Fact):
    """One parcel: what it holds, and what it holds beyond need."""

    title: Text
    month: Count
    holds: dict[Text, Count]
    spares: dict[Text, Count] = Field(default_factory=dict)


class DeliveriesFile(Fact):
    """`deliveries.yml`: the parcels in the order in which they come."""

    deliveries: dict[Id, Delivery]


class StageFront(Fact):
    """The front matter of a stage page."""

    title: Text
    delivery: Id
    minutes: Count
    adds: tuple[Id, ...] = ()
    tools: tuple[Id, ...] = ()
    summary: Text | None = None
