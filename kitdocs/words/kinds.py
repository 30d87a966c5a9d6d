"""The names of kinds: what a part is called by what it is, before anyone names it."""

from __future__ import annotations

import re

from kitdocs.kit.parts import Fastener
from kitdocs.words.language import Language, marked, marked_plural
from kitdocs.words.numbers import Numbers, numbers_in

#: A kind's noun and its plural in English, by which a name in parts.yml gets its plural.
ENGLISH_PLURALS = (
    ("ring wheel", "ring wheels"),
    ("bevel wheel", "bevel wheels"),
    ("contrate wheel", "contrate wheels"),
    ("chain wheel", "chain wheels"),
    ("wheel", "wheels"),
    ("worm", "worms"),
    ("pulley", "pulleys"),
    ("arbor", "arbors"),
    ("pipe", "pipes"),
    ("post", "posts"),
    ("hub", "hubs"),
    ("collet", "collets"),
    ("spacer", "spacers"),
    ("bush", "bushes"),
    ("pillar", "pillars"),
    ("foot", "feet"),
    ("knob", "knobs"),
    ("washer", "washers"),
    ("plate", "plates"),
    ("dial", "dials"),
    ("arm", "arms"),
    ("hand", "hands"),
    ("crank handle", "crank handles"),
    ("ball", "balls"),
)

#: What a toothed part is called by its teeth.
TOOTHED: dict[str, tuple[str, str]] = {
    "wheel": marked_plural("%(teeth)s-tooth wheel", "%(teeth)s-tooth wheels"),
    "ring-wheel": marked_plural("%(teeth)s-tooth ring wheel", "%(teeth)s-tooth ring wheels"),
    "bevel-wheel": marked_plural("%(teeth)s-tooth bevel wheel", "%(teeth)s-tooth bevel wheels"),
    "contrate-wheel": marked_plural(
        "%(teeth)s-tooth contrate wheel", "%(teeth)s-tooth contrate wheels"
    ),
}

#: What a product standard's part is called by its size; then with the head that tells it apart.
_Forms = tuple[str, str]
_SCREW = marked_plural("%(size)s screw", "%(size)s screws")
_SET_SCREW = marked_plural("%(size)s set screw", "%(size)s set screws")
_WASHER = marked_plural("%(size)s washer", "%(size)s washers")
_NUT = marked_plural("%(size)s nut", "%(size)s nuts")
_FASTENERS: dict[str, tuple[str, _Forms, _Forms]] = {
    "ISO 4762": (
        marked("cap-head"),
        _SCREW,
        marked_plural("%(size)s cap-head screw", "%(size)s cap-head screws"),
    ),
    "ISO 7045": (
        marked("pan-head"),
        _SCREW,
        marked_plural("%(size)s pan-head screw", "%(size)s pan-head screws"),
    ),
    "ISO 7046": (
        marked("countersunk"),
        _SCREW,
        marked_plural("%(size)s countersunk screw", "%(size)s countersunk screws"),
    ),
    "ISO 10642": (
        marked("countersunk hex"),
        _SCREW,
        marked_plural("%(size)s countersunk hex screw", "%(size)s countersunk hex screws"),
    ),
    "ISO 4026": (
        marked("flat-point"),
        _SET_SCREW,
        marked_plural("%(size)s flat-point set screw", "%(size)s flat-point set screws"),
    ),
    "ISO 4027": (
        marked("cone-point"),
        _SET_SCREW,
        marked_plural("%(size)s cone-point set screw", "%(size)s cone-point set screws"),
    ),
    "ISO 4029": (
        marked("cup-point"),
        _SET_SCREW,
        marked_plural("%(size)s cup-point set screw", "%(size)s cup-point set screws"),
    ),
    "ISO 7089": (
        marked("plain"),
        _WASHER,
        marked_plural("%(size)s plain washer", "%(size)s plain washers"),
    ),
    "ISO 4032": (
        marked("hexagon"),
        _NUT,
        marked_plural("%(size)s hexagon nut", "%(size)s hexagon nuts"),
    ),
}

#: How drivers are named, and what of it is a size.
_DRIVERS = (
    (re.compile(r"(\S+) mm hex key"), marked("%(size)s hex key")),
    (re.compile(r"(\S+) mm spanner"), marked("%(size)s spanner")),
    (re.compile(r"(\S+) screwdriver"), marked("%(size)s screwdriver")),
)


def head_word(fastener: Fastener) -> str:
    """How a fastener's head or point looks: `pan-head`; empty when its standard is not known."""
    known = _FASTENERS.get(fastener.parsed.product)
    return known[0] if known else ""


def fastener_forms(part: Fastener, with_head: bool, count: int, language: Language) -> str:
    """What a fastener is called, as it goes with a number of it."""
    _, bare, headed = _FASTENERS.get(part.parsed.product, ("", _SCREW, _SCREW))
    one, many = headed if with_head else bare
    return language.plural(one, many, count, size=numbers_in(language).local(part.parsed.size))


def driver_text(name: str, language: Language, numbers: Numbers) -> str:
    """A driver's name in a language, the unit kept on the number's line."""
    for form, message in _DRIVERS:
        if match := form.fullmatch(name):
            size = numbers.local(match[1])
            measured = " mm " in name
            return language.text(message, size=numbers.with_unit(size, "mm") if measured else size)
    return name
