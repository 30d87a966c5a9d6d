"""The usual caution for each hazard, in the words that a builder reads before the work.

Each begins with the command or the condition. Where a limit depends on the product, the place or
the law, the words send the reader to the maker's data sheet, the local code or a licensed trade.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.kit.parts import Hazard
from kitdocs.words.language import ENGLISH, Language, marked


@dataclass(frozen=True)
class Caution:
    """A caution's title and its sentences, plain text."""

    hazard: Hazard
    title: str
    text: str


#: Title and words of each, gravest first.
_WORDS: dict[Hazard, tuple[str, str]] = {
    "mains": (
        marked("Mains electricity"),
        marked(
            "Do not open anything that is plugged in. Leave wiring to a licensed electrician, as"
            " the local electrical code says."
        ),
    ),
    "coin-cell": (
        marked("Coin cell"),
        marked(
            "Keep coin cells, new or spent, out of reach of children. If one is swallowed, get"
            " medical help at once. Tape over spent cells and hand them in as local rules say."
        ),
    ),
    "magnet": (
        marked("Strong magnets"),
        marked(
            "Keep magnets away from children. If one is swallowed, get medical help at once."
            " People with a pacemaker or another implant follow its maker's data sheet on"
            " distance."
        ),
    ),
    "hot-lamp": (
        marked("Hot lamp"),
        marked(
            "Let the lamp cool before you touch it. Keep paper, cloth and birch ply as far from"
            " it as the maker's data sheet says."
        ),
    ),
    "blade": (
        marked("Sharp edge"),
        marked(
            "Cut away from your hand and body, on a firm base. Put the cap back on the blade"
            " after each cut."
        ),
    ),
    "solvent": (
        marked("Solvent"),
        marked(
            "Read the maker's data sheet before you open the solvent. Air the room and keep"
            " flames and sparks away. Hand in leftovers and soaked cloths as local rules say."
        ),
    ),
    "adhesive": (
        marked("Adhesive"),
        marked(
            "Read the maker's data sheet before you open the adhesive. Wear the gloves that it"
            " names, air the room, and keep the adhesive off skin and eyes."
        ),
    ),
    "brass-dust": (
        marked("Brass dust"),
        marked(
            "If you file or sand brass, wear a dust mask and wipe the bench with a damp cloth."
            " Brass that cuts freely may hold lead: wash your hands before you eat or drink."
        ),
    ),
    "oil": (
        marked("Oil"),
        marked(
            "Use oil by the drop, and wipe off what is too much. Read the maker's data sheet, and"
            " hand in oily cloths as local rules say: some oils can make them heat up by"
            " themselves."
        ),
    ),
    "small-parts": (
        marked("Small parts"),
        marked(
            "Keep screws, washers and balls away from small children and pets, who may swallow or"
            " choke on them. Open parcels over a tray."
        ),
    ),
}


#: Every hazard's caution in English, gravest first: the order in which a page shows them.
CAUTIONS: dict[Hazard, Caution] = {
    hazard: Caution(hazard, title, text) for hazard, (title, text) in _WORDS.items()
}


def cautions_for(hazards: Iterable[Hazard], language: Language = ENGLISH) -> tuple[Caution, ...]:
    """The cautions for these hazards in a language, each once, gravest first."""
    present = set(hazards)
    return tuple(
        Caution(hazard, language.text(title), language.text(text))
        for hazard, (title, text) in _WORDS.items()
        if hazard in present
    )
