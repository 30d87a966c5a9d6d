"""What has changed, told in every language of the kit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.kit.errata import Before, InOthers, Said
from kitdocs.kit.parts import Part, Supply, Tool
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.words.expressions import prose_of
from kitdocs.words.language import Language, marked
from kitdocs.words.names import Names
from kitdocs.words.part_facts import part_facts
from kitdocs.words.sentences import Sentence, sentences
from kitdocs.words.syntax import asked
from kitdocs.words.views import MEASURES, Unknown
from kitdocs.words.writing.mentions import FASTENERS

#: What of a part is only words, so that another wording asks nothing of a builder.
WORDS = ("name", "plural", "spoken", "also", "note", "own", "hazards", "driver")
#: Facts of a part that lists of parts leave out, by their path, numbers in it left out.
_FURTHER = {
    "set_screw.thread": marked("thread of the set screw"),
    "set_screw.count": marked("set screws"),
    "holes.circle": marked("circle of the holes"),
    "holes.depth": marked("depth of the holes"),
    "holes.count": marked("holes"),
    "shoulder": marked("shoulder"),
    "hub": marked("hub"),
    "flat": marked("flat"),
    "tolerance": marked("tolerance"),
    "fit": marked("fit"),
    "shift": marked("profile shift"),
    "thinning": marked("thinning of the teeth"),
}
#: Numbers without a unit.
_BARE = ("shift", "pressure_angle")
#: Expressions that say where something is told of, or what is the same everywhere.
_LEADING = ("step", "stage", "delivery", "kit", "given")
#: Expressions that give a name, unless one of its facts is asked for.
_NAMED = ("item", "part", "arbor", "body")
_FIGURES = frozenset(
    (*MEASURES, *FASTENERS, "teeth", "module", "mark", "material", "period", "reference", "error",
     "drift", "ratio", "turns_per_year", "turns_per_crank", "degrees_per_crank", "crank_turns")
)  # fmt: skip


@dataclass(frozen=True)
class PartChange:
    """So many of a part before, and so many of a part now; None and 0 where there are none."""

    was: Part | None
    before: int
    is_: Part | None
    now: int


class Telling:
    """Tells what differs between two designs of one kit."""

    def __init__(self, old: Design, new: Design):
        self.old, self.new = old, new
        self.codes = new.kit.languages
        self._names = {
            code: (Names(old.kit, Language(code)), Names(new.kit, Language(code)))
            for code in self.codes
        }
        self._drilled = _drilled(old), _drilled(new)

    # Parts

    def changes(self, before: Mapping[str, int], now: Mapping[str, int]) -> list[PartChange]:
        """Parts that are taken more or less often than before, or are made otherwise.

        One part that takes the place of one other of its kind stands beside it.
        """
        found = []
        for part_id in dict.fromkeys((*before, *now)):
            was, is_ = self.old.kit.parts.get(part_id), self.new.kit.parts.get(part_id)
            counts = before.get(part_id, 0), now.get(part_id, 0)
            if counts[0] != counts[1] or self.made_otherwise(part_id):
                found.append(PartChange(was, counts[0], is_, counts[1]))
        return _paired(found)

    def made_otherwise(self, part_id: str) -> bool:
        """Whether a part that there was and is has other facts, or other places for its holes."""
        was, is_ = self.old.kit.parts.get(part_id), self.new.kit.parts.get(part_id)
        if was is None or is_ is None:
            return False
        return _made(was) != _made(is_) or bool(self._drilled_elsewhere(part_id))

    def parts(self, changes: list[PartChange]) -> tuple[Before, ...]:
        """The changes in words."""
        return tuple(
            self.before(*(lambda code, c=c, side=side: self._told(code, c, side)
                          for side in (0, 1)))
            for c in changes
        )  # fmt: skip

    def _told(self, code: str, change: PartChange, side: int) -> str | None:
        """So many of a part; with those of its facts that the other has not."""
        part, count = ((change.was, change.before), (change.is_, change.now))[side]
        if part is None or not count:
            return None
        names = self._names[code][side]
        name = names.one(part) if isinstance(part, Supply) else names.counted(count, part)
        facts = self._differing(code, change, side)
        return f"{name} ({', '.join(facts)})" if facts else name

    def _differing(self, code: str, change: PartChange, side: int) -> list[str]:
        if not (change.was and change.is_ and change.before and change.now):
            return []
        names = self._names[code]
        facts = part_facts(names[0], change.was), part_facts(names[1], change.is_)
        calls = names[0].one(change.was), names[1].one(change.is_)
        if change.was.id != change.is_.id and calls[0] != calls[1]:
            return []
        found = [fact for fact in facts[side] if fact not in facts[1 - side]]
        if not found and calls[0] == calls[1]:
            found = list(_further_facts(names[side], (change.was, change.is_), side))
        if not found and side and change.was.id == change.is_.id:
            elsewhere = self._drilled_elsewhere(change.is_.id)
            if elsewhere:
                axes = ", ".join(sorted({names[1].axis(axis) for axis in elsewhere}))
                text = names[1].language.text("holes in another place: %(names)s", names=axes)
                found.append(text)
        return found

    def _drilled_elsewhere(self, part_id: str) -> list[str]:
        """The axes for which a part had holes, and now has them in another place."""
        was, is_ = (side.get(part_id, {}) for side in self._drilled)
        return [axis for axis in is_ if axis in was and was[axis] != is_[axis]]

    # Figures

    def figures(self, old: Stage, was: Step, new: Stage, step: Step) -> tuple[Before, ...]:
        """Sentences of equal wording in which a figure is another, whatever things are called."""
        if was.words.text != step.words.text:
            return ()
        told = {code: self._figures_in(code, old, was, new, step) for code in self.codes}
        first = told[self.codes[0]]
        found = []
        for n, (before, now) in enumerate(first):
            others = {
                code: Said(before=pairs[n][0], now=pairs[n][1])
                for code, pairs in told.items()
                if len(pairs) == len(first) and pairs[n] != (before, now)
            }
            found.append(Before(before=before, now=now, translated=others))
        return tuple(found)

    def _figures_in(
        self, code: str, old: Stage, was: Step, new: Stage, step: Step
    ) -> list[tuple[str, str]]:
        words = [_step_words(self.old, code, old, was), _step_words(self.new, code, new, step)]
        if words[0].text != words[1].text:
            return []
        told = [
            sentences(prose_of(design, code).rendering(passage, stage=stage), code)
            for design, stage, passage in zip((self.old, self.new), (old, new), words, strict=True)
        ]
        if len(told[0]) != len(told[1]):
            return []
        return [(_bare(a.text), _bare(b.text)) for a, b in zip(*told, strict=True)
                if _figures_of(a) != _figures_of(b)]  # fmt: skip

    # Titles

    def step_title(self, code: str, side: int, stage: Stage, step: Step) -> str:
        design = (self.old, self.new)[side]
        made = design.kit.translation(stage.uri, code) if code != self.codes[0] else None
        title = ((made.step(step.id) if made else None) or step).title
        rendering = prose_of(design, code).rendering(title, stage=stage)
        return " ".join(s.text for s in sentences(rendering, code))

    def names(self, code: str, side: int) -> Names:
        return self._names[code][side]

    # In every language

    def title(self, of: Callable[[str], str]) -> tuple[str, InOthers]:
        """A title in the first language, and in the others as far as it differs there."""
        first = of(self.codes[0])
        others = {code: Said(title=of(code)) for code in self.codes[1:] if of(code) != first}
        return first, others

    def before(
        self, before: Callable[[str], str | None], now: Callable[[str], str | None]
    ) -> Before:
        """What was and what is, each told by the language."""
        told = {code: (before(code), now(code)) for code in self.codes}
        first = told[self.codes[0]]
        others = {c: Said(before=b, now=n) for c, (b, n) in told.items() if (b, n) != first}
        return Before(before=first[0], now=first[1], translated=others)


def _step_words(design: Design, code: str, stage: Stage, step: Step) -> Passage:
    made = design.kit.translation(stage.uri, code) if code != design.kit.languages[0] else None
    return ((made.step(step.id) if made else None) or step).words


def _made(part: Part) -> dict:
    return part.model_dump(exclude=set(WORDS))


def _further_facts(names: Names, parts: tuple[Part, Part], side: int) -> Iterator[str]:
    """What else the part of one side is, and the other is not: what the lists of parts leave
    out."""
    own, other = _leaves(_made(parts[side])), _leaves(_made(parts[1 - side]))
    for path, value in own.items():
        if value == other.get(path) or value in (None, False, ()):
            continue
        key = re.sub(r"\.\d+", "", path)
        if key == "teeth":
            yield names.language.plural("%(number)s tooth", "%(number)s teeth", value)
        else:
            what = names.language.text(_FURTHER.get(key, key.replace("_", " ")))
            yield what if value is True else f"{what}: {_value(names, key, value)}"


def _leaves(value: object, path: str = "") -> dict[str, object]:
    """Every single value in a part's facts, by its path."""
    inside = value.items() if isinstance(value, dict) else ()
    if isinstance(value, tuple):
        inside = enumerate(value, start=1)
    elif not isinstance(value, dict):
        return {path: value}
    found: dict[str, object] = {}
    for key, one in inside:
        found |= _leaves(one, f"{path}.{key}" if path else str(key))
    return found


def _value(names: Names, key: str, value: object) -> str:
    if isinstance(value, float):
        return names.numbers.plain(value) if key in _BARE else names.numbers.millimetres(value)
    return names.numbers.local(str(value))


def _paired(found: list[PartChange]) -> list[PartChange]:
    """With the only part of its kind that is gone beside the only one that has come."""
    out = list(found)
    for kind in dict.fromkeys(c.was.kind for c in found if c.was):
        gone = [c for c in out if c.was and c.was.kind == kind and not c.now]
        come = [c for c in out if c.is_ and c.is_.kind == kind and not c.before]
        if len(gone) == len(come) == 1:
            both = PartChange(gone[0].was, gone[0].before, come[0].is_, come[0].now)
            out[out.index(gone[0])] = both
            out.remove(come[0])
    return [c for c in out if c.before or c.now]


def _drilled(design: Design) -> dict[str, dict[str, tuple[float, float]]]:
    """Where each part has its holes for what is fixed on it, by the axis: from its own axis, or
    from the frame's, in mm."""
    kit = design.kit
    found: dict[str, dict[str, tuple[float, float]]] = {}
    for name, held in kit.held.items():
        item, host = kit.items.get(name), kit.items.get(held.to)
        by = kit.part(held.by)
        if item is None or host is None or isinstance(by, (Supply, Tool)):
            continue
        axis, own = kit.arbors[item.arbor].axis, kit.arbors[host.arbor].axis
        if axis is None or axis not in design.positions or axis == own:
            continue
        x, y = design.positions[axis]
        x0, y0 = design.positions.get(own, (0.0, 0.0)) if own else (0.0, 0.0)
        found.setdefault(host.part.id, {})[axis] = (round(x - x0, 3), round(y - y0, 3))
    return found


def _figures_of(sentence: Sentence) -> list[str]:
    """What expressions say in a sentence: of a name only its numbers, of other facts all."""
    found = []
    for backed in sentence.backed:
        found += _facts_of(backed.source, sentence.text[backed.start : backed.end])
    return found


def _facts_of(source: str, text: str) -> Iterator[str]:
    try:
        one = asked(source)
    except Unknown:
        return
    if one.name in _LEADING:
        return
    if one.name in _NAMED and not {*one.facts} & _FIGURES:
        yield from re.findall(r"\d+(?:[.,]\d+)?", text)
    else:
        yield text


def _bare(text: str) -> str:
    """A sentence to be quoted in another."""
    return text[:-1] if text.endswith(".") else text
