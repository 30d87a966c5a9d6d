"""What the kit is, what it shows, and how it is sent (`kit.yml`, `deliveries.yml`)."""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from kitdocs.kit.fact import Fact
from kitdocs.kit.limits import LimitEntry
from kitdocs.kit.parts import Hazard
from kitdocs.kit.values import Count, Days, Id, Number, Share, Text, fault, text_of


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


def is_day(text: str) -> bool:
    """Whether a text is a date as ISO 8601 writes it: 2026-11-20."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def day(text: str) -> str:
    """A date as ISO 8601 writes it; a fault otherwise."""
    if not is_day(text):
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
    on: Annotated[str, text_of(day)]
    digest: Annotated[str, text_of(_digest)]


def _language(text: str) -> str:
    if not re.fullmatch(r"[a-z]{2,3}(-[A-Z][A-Za-z]{1,3})*", text):
        raise fault(f"'{text}'", "the code of a language, such as en, de or de-CH")
    return text


LanguageCode = Annotated[str, text_of(_language)]


class Setting(Fact):
    """The calendar of the setting page, from one day to another, both in it.

    `bearing` is where longitude 0 lies, in degrees as those of axes are: anticlockwise from +x,
    seen from above.
    """

    from_: Annotated[str, text_of(day)]
    to: Annotated[str, text_of(day)]
    bearing: Number = 0.0


class KitFile(Fact):
    """`kit.yml`. The first of the `languages` is that of the kit's files.

    `limits` are those that the kit sets for itself (`kit/limits.py`). `unchecked` are rules of
    writing that the kit leaves unchecked, each with the reason.
    """

    title: Text
    revision: Text
    maker: Text
    summary: Text
    time: TimeBase
    bodies: dict[Id, Body]
    stages: tuple[Text, ...]
    languages: tuple[LanguageCode, ...] = ("en",)
    cautions: tuple[Hazard, ...] = ()
    setting: Setting | None = None
    signed: Signed | None = None
    limits: dict[Id, LimitEntry] = Field(default_factory=dict)
    unchecked: dict[Id, Text] = Field(default_factory=dict)


class Delivery(Fact):
    """One parcel: what it holds, and what it holds beyond need."""

    title: Text
    month: Count
    holds: dict[Text, Count]
    spares: dict[Text, Count] = Field(default_factory=dict)


class DeliveriesFile(Fact):
    """`deliveries.yml`: the parcels in the order in which they come."""

    deliveries: dict[Id, Delivery]


def _video(text: str) -> str:
    if re.match(r"https?://\S+$", text):
        return text
    if "://" in text or text.startswith("/") or "\\" in text or "?" in text or "#" in text:
        expected = "a file beside the page, such as base.mp4, or a link that begins https://"
        raise fault(f"'{text}'", expected)
    return text


class StageFront(Fact):
    """The front matter of a stage page. `video` is a file, by its path from the page, or a link."""

    title: Text
    delivery: Id
    minutes: Count | None = None
    adds: tuple[Id, ...] = ()
    tools: tuple[Id, ...] = ()
    summary: Text | None = None
    video: Annotated[str, text_of(_video)] | None = None
