"""The timed script of a stage: what is said, when, and how long the hands need after it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from kitdocs.assembly.design import Design
from kitdocs.assembly.hazards import stage_hazards
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.words.cautions import cautions_for
from kitdocs.words.expressions import prose_of
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.narration.pausing import pauses_after
from kitdocs.words.narration.speech import spoken_sentence
from kitdocs.words.rendering import Rendering
from kitdocs.words.sentences import Sentence, sentences
from kitdocs.words.syntax import asked
from kitdocs.words.views import Unknown

#: Words a minute, by language. English: 100 to 120 where pictures must be followed, 120 for
#: listeners in a second language (trade pages on narration: elearning.net, digitalwriting101.net).
#: The words of German and Polish are longer: the low end, our own estimate.
RATES = {"en": 120, "de": 100, "pl": 100}
#: Characters a second that captions are read at (timed text guides after Netflix; de and pl from
#: memory). A sentence takes no less time than its caption.
READING = {"en": 20, "de": 17, "pl": 17}
#: The least seconds of a sentence: as long as a caption stands at least (5/6 s, same source).
SHORTEST = 0.834
_SAID = ("paragraph", "item", "heading", "admonition")


@dataclass(frozen=True)
class Line:
    """One sentence: `text` as the page has it, `spoken` as it is said, from `start` to `end`
    (seconds from the beginning), then `pause` seconds for the hands.

    `step` is the step's id, empty before the first; `number` its number, 0 there. `kind` is
    "heading", "instruction" (an item of the step's list) or "remark".
    """

    text: str
    spoken: str
    step: str
    number: int
    start: float = 0.0
    end: float = 0.0
    pause: float = 0.0
    kind: str = "remark"


@dataclass(frozen=True)
class Script:
    """What a presenter says of a stage, in one language, at `rate` words a minute."""

    stage: Stage
    code: str
    rate: float
    lines: tuple[Line, ...]

    @property
    def seconds(self) -> float:
        """From the first word to the end of the last pause."""
        return self.lines[-1].end + self.lines[-1].pause if self.lines else 0.0


def rate_of(code: str) -> int:
    """Words a minute in a language."""
    return RATES.get(code.partition("-")[0], min(RATES.values()))


def reading_of(code: str) -> int:
    """Characters a second in a language."""
    return READING.get(code.partition("-")[0], min(READING.values()))


def script(design: Design, stage: Stage, code: str, rate: float | None = None) -> Script:
    """The script of a stage. Words that a language has no translation of are the original's."""
    rate = rate or rate_of(code)
    lines: list[Line] = []
    at = 0.0
    for line in _Teller(design, stage, code).lines():
        words = len(re.findall(r"[^\W_]+", line.spoken))
        needed = max(words * 60 / rate, len(line.text) / reading_of(code), SHORTEST)
        end = round(at + needed, 3)
        lines.append(replace(line, start=round(at, 3), end=end))
        at = end + line.pause
    return Script(stage, code, rate, tuple(lines))


class _Teller:
    """Puts the sentences of a stage in the order in which they are said."""

    def __init__(self, design: Design, stage: Stage, code: str):
        self.design, self.stage, self.code = design, stage, code
        kit = design.kit
        self.language = Language(code)
        self.names = Names(kit, self.language)
        self.prose = prose_of(design, code)
        is_first = code == kit.languages[0]
        self.made = None if is_first else kit.translation(stage.uri, code)

    def lines(self) -> Iterator[Line]:
        text, names, stage = self.language.text, self.names, self.stage
        title = names.stage(stage)
        head = text("Stage %(number)s: %(title)s", number=stage.number, title=title)
        yield replace(self._plain(head), kind="heading")
        for sentence in sentences(Passage(names.stage_summary(stage), stage.place), self.code):
            yield self._plain(sentence.text)
        for caution in cautions_for(stage_hazards(self.design, stage), self.language):
            yield self._plain(f"{caution.title}.")
            for sentence in sentences(Passage(caution.text, stage.place), self.code):
                yield self._plain(sentence.text)
        opening = self.made.words if self.made else stage.words
        for sentence in self._said(self._rendering(opening)):
            yield self._line(sentence)
        for step in stage.steps:
            yield from self._step(step)

    def _step(self, step: Step) -> Iterator[Line]:
        made = self.made.step(step.id) if self.made else None
        title = " ".join(s.text for s in sentences(self._rendering((made or step).title)))
        head = self.language.text("Step %(number)s: %(title)s", number=step.number, title=title)
        yield replace(self._plain(head, step), kind="heading")
        told = list(self._said(self._rendering((made or step).words)))
        pauses = pauses_after(self.design, step, told, self.code)
        for sentence, pause in zip(told, pauses, strict=True):
            yield replace(self._line(sentence, step), pause=pause)

    def _rendering(self, passage: Passage) -> Rendering:
        return self.prose.rendering(passage, stage=self.stage)

    def _said(self, rendering: Rendering) -> Iterator[Sentence]:
        return (s for s in sentences(rendering, self.code) if s.kind in _SAID)

    def _plain(self, text: str, step: Step | None = None) -> Line:
        said = spoken_sentence(text, self.code)
        return Line(text, said, step.id if step else "", step.number if step else 0)

    def _line(self, sentence: Sentence, step: Step | None = None) -> Line:
        line = self._plain(sentence.text, step)
        kind = "instruction" if step and sentence.kind == "item" else "remark"
        return replace(line, spoken=self._spoken(sentence), kind=kind)

    def _spoken(self, sentence: Sentence) -> str:
        """The sentence in speakable words, parts by the names that are said."""
        out, done = "", 0
        for backed in sentence.backed:
            name = self._said_name(backed.source)
            if name:
                out += sentence.text[done : backed.start] + name
                done = backed.end
        return spoken_sentence(out + sentence.text[done:], self.code)

    def _said_name(self, source: str) -> str | None:
        try:
            one = asked(source)
        except Unknown:
            return None
        if one.facts or not one.ids:
            return None
        kit = self.design.kit
        item = kit.items.get(one.ids[0]) if one.name == "item" else None
        part = item.part if item else kit.part(one.ids[0]) if one.name == "part" else None
        return self.names.spoken(part) if part else None
