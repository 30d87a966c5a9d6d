"""Words that say what is done with things, and how two of them belong together, by language.

All are patterns over plain text. What is *put*, *driven* or *oiled* follows the verb; `on` and
`of` stand between two names, `meshes`, `holds` and `carries` between a name and what it does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

#: For what a language has no words of its own.
_NEVER = re.compile("(?!)")
_NAME = re.compile(r"\?P<\w+>")  # of a group: one pattern cannot have two of a name


@dataclass(frozen=True, kw_only=True)
class RoleWords:
    """One language's words for the work at a bench. Common practice of each language."""

    put: re.Pattern[str]  # verbs of an instruction that put a thing in its place
    pushed: re.Pattern[str]  # those among them that are never done to a screw or a tool
    laid: re.Pattern[str]  # those that are not done to what is poured
    below: re.Pattern[str]  # of `over`, what is said of a thing that lies below
    meshed: re.Pattern[str] = _NEVER  # after a wheel into which another comes
    pressed: re.Pattern[str]  # those that take force
    each: re.Pattern[str]  # before a thing of which there are several
    all: re.Pattern[str]  # after what carries the whole machine
    drives: re.Pattern[str]  # of `meshes`, what may be said of the shafts too
    driven: re.Pattern[str]  # before and after what is done to screws alone, the object as "X"
    bears: re.Pattern[str]  # before and after what other things sit on, as "X"
    oil: re.Pattern[str]
    between: re.Pattern[str]  # all that may stand between a verb and its object
    on: re.Pattern[str]  # between a thing and what it is on
    over: re.Pattern[str]  # in an instruction, between a thing and what it is put over or below
    down: re.Pattern[str] = _NEVER  # before a shaft along which a thing is slid
    down_to: re.Pattern[str] = _NEVER  # after it, before what the thing comes to rest on
    put_on: re.Pattern[str] = _NEVER  # round what is put on something, as "X", and is no host
    host: re.Pattern[str] = _NEVER  # between the verb and what something unnamed is put on
    oiled: re.Pattern[str] = _NEVER  # round what an instruction oils
    smeared: re.Pattern[str] = _NEVER  # round what takes a drop or a film of something
    found: re.Pattern[str] = _NEVER  # round the wheel whose teeth others find
    moved: re.Pattern[str] = _NEVER  # round what an instruction takes hold of
    turned: re.Pattern[str] = _NEVER  # round what it turns
    several: re.Pattern[str] = _NEVER  # round a thing of which there are several
    mixed: re.Pattern[str] = _NEVER  # before what comes in two parts
    stands: re.Pattern[str] = _NEVER  # after a thing of the machine, where it stands or runs
    upright: re.Pattern[str] = _NEVER  # after what stands on end
    flush: re.Pattern[str] = _NEVER  # between a thing and the shaft whose end it is level with
    sense: re.Pattern[str] = _NEVER  # after a thing, which way it turns, as "sense"
    backwards: re.Pattern[str] = _NEVER  # at the beginning of such a sense: clockwise
    parts_clauses: re.Pattern[str] = _NEVER  # between things that are not told of together
    features: Mapping[str, str] = field(default_factory=dict[str, str])  # see features.py
    feature_of: re.Pattern[str] = _NEVER  # such a word, and the thing that has it
    feature_had: re.Pattern[str] = _NEVER  # the thing, and such a word
    # For these see free_order.py.
    lower_end: re.Pattern[str] = _NEVER  # round a foot that is the lower end of a thing
    place_of: re.Pattern[str] = _NEVER  # before a thing whose rim or side is only where one works
    aside: re.Pattern[str] = _NEVER  # round what is only laid where one works on it
    pounded: re.Pattern[str] = _NEVER  # of `driven`, what is done to what is pressed in too
    held_by: re.Pattern[str] = _NEVER  # after what is held, before what holds it
    turns_of: re.Pattern[str] = _NEVER  # before what turns so often
    pressed_in: re.Pattern[str] = _NEVER  # round what was pressed in
    counted: re.Pattern[str] = _NEVER  # a number right before a thing
    taken_off: re.Pattern[str] = _NEVER  # between the start and what is taken off or slackened
    between_two: re.Pattern[str] = _NEVER  # up to the second of two things, both as "X"
    lies: re.Pattern[str] = _NEVER  # from there to what lies between them
    used: re.Pattern[str] = re.compile("")  # a tool's name, where it is said to be used
    until: re.Pattern[str] = _NEVER  # between what is put on and what it comes to rest on
    host_first: re.Pattern[str] = _NEVER  # before what something is put on, told before it
    attached: re.Pattern[str] = _NEVER  # verbs by which one thing is fixed *to* another
    to: re.Pattern[str] = _NEVER  # then between the two
    off: re.Pattern[str] = _NEVER  # between what is taken off and what it was on
    away: re.Pattern[str] = _NEVER  # between two things, of which it tells how far they are apart
    until_end: re.Pattern[str] = _NEVER  # after what is put on until an end shows over it
    of: re.Pattern[str]  # between a thing and what it belongs to
    meshes: re.Pattern[str]
    holds: re.Pattern[str]
    carries: re.Pattern[str]
    both: re.Pattern[str]  # between two things of which the same is said
    turns: re.Pattern[str]  # after a thing that goes round
    rests: re.Pattern[str]  # after a thing that does not
    has_teeth: re.Pattern[str]
    drop_of: re.Pattern[str]  # before what comes in drops
    axis_of: re.Pattern[str]
    on_crank: re.Pattern[str]  # after what is on the crank
    watch: re.Pattern[str]  # before what is to be seen moving
    first: re.Pattern[str]
    last: re.Pattern[str]
    then: re.Pattern[str]  # between two things that are put one after the other

    @cached_property
    def after(self) -> re.Pattern[str]:
        """All that is looked for after a thing: most sentences have none of it."""
        told = (self.turns, self.rests, self.carries, self.holds, self.has_teeth, self.on_crank)
        return _any((*told, self.stands, self.upright))

    @cached_property
    def around(self) -> re.Pattern[str]:
        """All that is looked for on both sides of a thing."""
        return _any(
            (self.driven, self.bears, self.oil, self.several, self.feature_of, self.feature_had)
        )

    @cached_property
    def handled(self) -> re.Pattern[str]:
        """All that an instruction says of a thing that is there already."""
        return _any((self.oiled, self.smeared, self.found, self.moved))

    @cached_property
    def before(self) -> re.Pattern[str]:
        """All that is looked for right before a thing."""
        return _any((self.drop_of, self.axis_of, self.watch, self.each, self.mixed))


def _any(patterns: tuple[re.Pattern[str], ...]) -> re.Pattern[str]:
    told = "|".join(f"(?:{_NAME.sub('', one.pattern)})" for one in patterns)
    return re.compile(told, re.IGNORECASE)


def words(pattern: str) -> re.Pattern[str]:
    """A pattern of words, in capitals or not."""
    return re.compile(pattern, re.IGNORECASE)
