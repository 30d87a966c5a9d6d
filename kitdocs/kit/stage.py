"""Stages: the pages of the instructions, their steps, and the actions of each step."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from kitdocs.finding import Place
from kitdocs.kit.about import StageFront

if TYPE_CHECKING:
    from kitdocs.kit.procedures import Use

#: What each action means: shown in the guide, and the list that facts are checked against.
ACTIONS: dict[str, str] = {
    "make-up": "Lay the item on the bench, or put it together with what it joins there.",
    "place": "Put what was made up on the bench in its place, all of it as one.",
    "fit": "Put the item in its place, where no shaft's end has to be passed.",
    "slide-on": "Pass the item over the open end of its arbor and down to its place.",
    "press": "Push the item into its press fit, which also holds it.",
    "mesh": "Bring two toothed items into contact, as soon as both are in place.",
    "fasten": "Drive the fasteners that hold the item.",
    "glue": "Hold the item with its adhesive, for ever.",
    "slacken": "Loosen the fasteners that hold the item, without taking them out.",
    "tighten": "Tighten the fasteners that were slackened.",
    "remove": "Take an item off the machine, with all that is fixed on it or rests on it.",
    "refit": "Put back an item that was removed, with all that came off with it.",
    "oil": "Oil where the item runs, before it is put there.",
    "aim": "Turn an arm by hand to a bearing in degrees: `aim: {item: ID, at: 90}`.",
    "turn": "Turn an item and see: `turn: ID`, or `turn: {item: ID, turns: 2}`.",
    "check": "Look at or feel an item without changing anything.",
}
#: Actions that build an item for the first time: each takes a part from stock.
PLACING = ("make-up", "fit", "slide-on", "press")
#: Actions that make a fastening for the first time, and what the schedule must hold by.
FASTENING = ("fasten", "glue", "press")


@dataclass(frozen=True)
class Action:
    """One action: its verb, the items it is done to, and a number where the verb takes one."""

    verb: str
    items: tuple[str, ...]
    place: Place
    item_places: tuple[Place, ...]
    value: Fraction | None = None  # degrees of an `aim`, turns of a `turn`


@dataclass(frozen=True)
class Passage:
    """A run of words as written, and where it begins."""

    text: str
    place: Place


@dataclass(frozen=True)
class Step:
    """One numbered action group. `id` is stable while the facts' first action is."""

    id: str
    number: int
    title: Passage
    words: Passage
    actions: tuple[Action, ...]

    @property
    def place(self) -> Place:
        """Where its heading stands."""
        return self.title.place


@dataclass(frozen=True)
class Stage:
    """A page of the instructions: it ends with a working sub-machine."""

    id: str
    number: int
    uri: str  # the page's path from the content folder
    front: StageFront
    words: Passage
    steps: tuple[Step, ...]
    place: Place
    uses: tuple[Use, ...] = ()  # what its steps come from where they are not its own

    @property
    def title(self) -> str:
        return self.front.title
