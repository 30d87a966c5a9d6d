"""Captions against the stage: what they tell and in what order, their numbers, their names."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.kit.names import quoted
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.words.audit.claims.claims import Claim, claims
from kitdocs.words.audit.judging.matching import Against
from kitdocs.words.audit.judging.statement import agrees
from kitdocs.words.audit.scope import scope_of
from kitdocs.words.language import Language
from kitdocs.words.narration.beside import Beside, Run
from kitdocs.words.narration.cues import Cue
from kitdocs.words.narration.fault import CueFault
from kitdocs.words.narration.heard import heard
from kitdocs.words.narration.order import Order, Said
from kitdocs.words.narration.page import page_of
from kitdocs.words.narration.speech import spoken
from kitdocs.words.narration.vtt import timestamp
from kitdocs.words.sentences import Sentence, sentences

#: What may be taken for another measure: our own.
_CLOSE = 0.1


#: What stands before things of other work that a step is like.
_COMPARED = re.compile(
    r"\b(?:as (?:with|for|on|in)|(?:just )?like|unlike|wie (?:bei|beim|am|an|zuvor|vorher|schon))"
    r"(?: [^\W\d_]+){0,2} $",
    re.IGNORECASE,
)


#: What stands before another thing of the same name.
_OTHER = re.compile(
    r"\b(?:other|another|second|next|last|each|every|andere[nrsm]?|zweite[nrsm]?|nächste[nrsm]?"
    r"|letzte[nrsm]?|weitere[nrsm]?|jede[nrsm]?) $",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class _Told:
    """A sentence of captions, where it starts in its run, and the step that it is of."""

    sentence: Sentence
    beside: Beside
    start: int
    step: Step | None

    def cue_at(self, offset: int) -> Cue:
        """The cue that a character of the sentence stands in."""
        return self.beside.run.cue_at(self.start + offset)

    def step_of(self, claim: Claim) -> str:
        """The id of the step whose page has what stands at a claim; of the sentence if none has."""
        line = self.beside.line_of(self.start + claim.start, self.start + claim.end)
        return line.line.step if line else self.step.id if self.step else ""


class Comparison:
    """Captions beside the stage that they are of."""

    def __init__(self, design: Design, stage: Stage, code: str, cues: tuple[Cue, ...]):
        self.design, self.stage, self.code, self.cues = design, stage, code, cues
        self.page = page_of(design, stage, code)

    @cached_property
    def _heads(self) -> dict[int, Step]:
        """The cues that announce a step, by their number: `Step 3: …`, in figures or in words."""
        found: dict[int, Step] = {}
        language = Language(self.code)
        for step in self.stage.steps:
            text = language.text("Step %(number)s: %(title)s", number=step.number, title="")
            written = text.strip(" :")
            forms = "|".join(re.escape(form) for form in {written, spoken(written, self.code)})
            pattern = re.compile(rf"(?:{forms})(?!\w)", re.IGNORECASE)
            for number, cue in enumerate(self.cues):
                if pattern.match(cue.text):
                    found.setdefault(number, step)
        return found

    @cached_property
    def _runs(self) -> tuple[Run, ...]:
        """The captions of each step that they announce; of captions that announce none, all."""
        told: list[tuple[Step | None, list[Cue]]] = []
        for number, cue in enumerate(self.cues):
            head = self._heads.get(number)
            if head or not told:
                told.append((head, []))
            told[-1][1].append(cue)
        return tuple(self._run(step, cues) for step, cues in told)

    def _run(self, step: Step | None, cues: list[Cue]) -> Run:
        text, begins = "", []
        for cue in cues:
            text += " " if text else ""
            begins.append(len(text))
            text += cue.text
        said = heard(text, self.page.auditor.tongue)
        starts = tuple((said.offset(at), cue) for at, cue in zip(begins, cues, strict=True))
        return Run(said.text, self.page.signs(said.text), starts, step)

    @cached_property
    def _beside(self) -> tuple[Beside, ...]:
        """Each run beside the sentences of its step; of captions that announce none, beside all
        but the headings."""
        if not self._heads:
            told = tuple(one for one in self.page.told if one.line.kind != "heading")
            return tuple(Beside(told, run) for run in self._runs)
        return tuple(Beside(self.page.of_step(run.step), run) for run in self._runs)

    @cached_property
    def _sentences(self) -> tuple[_Told, ...]:
        """Every sentence of the captions, with the step that it is of."""
        found = []
        for beside in self._beside:
            run, begins = beside.run, [0, *beside.breaks()]
            for begin, end in pairwise([*begins, len(run.text)]):
                text = run.text[begin:end].rstrip()
                for one in sentences(Passage(text, Place("", 1, 1)), self.code):
                    start = begin + one.place().column - 1
                    step = run.step
                    if not self._heads:
                        line = beside.line_of(start, start + len(one.text))
                        step = self.page.steps.get(line.line.step) if line else None
                    found.append(_Told(one, beside, start, step))
        return tuple(found)

    def number_faults(self) -> Iterator[CueFault]:
        """Numbers that nothing of the step, or of the stage, backs."""
        for told in self._sentences:
            scope = scope_of(self.design, self.stage, told.step)
            heard = self.page.hear(told.sentence, told.step, scope)
            for one in heard:
                if isinstance(one.outcome, Against) and not self._is_said(told, one.claim):
                    found = f"{quoted(one.claim.text)} in {quoted(told.sentence.text)}"
                    yield CueFault(told.cue_at(one.claim.start), found, one.outcome.expected)
            yield from self._counts(told, [one.claim for one in heard])
        yield from self._twice()

    def _is_said(self, told: _Told, claim: Claim) -> bool:
        """Whether the page says a number in the step that the sentence is of, or the number; or
        it counts what the page names there (*the two pipes*)."""
        step = self.page.steps.get(told.step_of(claim))
        if self.page.says(claim, told.step) or self.page.says(claim, step):
            return True
        if claim.kind != "count":
            return False
        meant = self.page.auditor.lexicon.parts_called(claim.noun, claim.others)
        return any(len(ids & self.page.named_in(told.step)) == claim.low for ids in meant)

    def _twice(self) -> Iterator[CueFault]:
        """Measures of the page that captions tell twice, and a close one of the page never: the
        true year in the place of the model's."""
        said = [
            (told, claim)
            for told in self._sentences
            for claim in claims(told.sentence.text, self.page.auditor.lexicon)
            if claim.kind == "measure" and claim.low == claim.high and not claim.about
        ]
        for step in {told.step.id: told.step for told, _ in said if told.step}.values():
            own = [(told, claim) for told, claim in said if told.step is step]
            page = self.page.measures(step)
            for told, claim in own:
                again = [one for _, one in own if one is not claim and one.low == claim.low]
                if again and (other := _untold(claim, [one for _, one in own], page)):
                    found = f"{quoted(claim.text)} twice, and {quoted(other.text)} never"
                    yield CueFault(told.cue_at(claim.start), found, "both, as on the page")

    def _counts(self, told: _Told, read: list[Claim]) -> Iterator[CueFault]:
        """Number words that count nothing by name (*all six*), and that the page does not have.
        *Two* may be any that are named."""
        text = told.sentence.text
        named = len(self.page.namings(text))
        for sign in self.page.signs(text):
            is_read = any(claim.start < sign.end and sign.start < claim.end for claim in read)
            if is_read or not sign.value or sign.value <= 2 or sign.text[0].isdigit():
                continue
            if sign.value != named and sign.value not in self.page.counts(told.step):
                found = f"{quoted(sign.text)} in {quoted(text)}"
                yield CueFault(told.cue_at(sign.start), found, "a number of the page")

    def order_faults(self) -> Iterator[CueFault]:
        """Steps and names that are missing, out of order, or of other work."""
        if not self.cues:
            return
        yield from self._step_order()
        for beside in self._beside:
            yield from beside.faults(self.page.keys)
        yield from self._repeated()
        page, said = list(self._page()), list(self._said())
        heads = {step.id: self.cues[n] for n, step in reversed(self._heads.items())}
        steps = [told.step for told in self._sentences]
        called = [self.page.called(told.sentence.text) for told in self._sentences]
        order = Order(self.design, self.page, heads, self.cues[0], called, steps)
        if not self._heads:
            yield from order.faults(page, said)
            return
        # Where captions announce the steps, each is compared with its own step alone.
        for step in (None, *self.stage.steps):
            own = [one for one in page if one.step is step]
            yield from order.faults(own, [one for one in said if one.step is step])

    def _repeated(self) -> Iterator[CueFault]:
        """Names that stand twice in a sentence (*the deck on the deck*), as in none of the page."""
        twice = set().union(*(self._twice_in(told.line.text) for told in self.page.told))
        for told in self._sentences:
            text = told.sentence.text
            if not self._twice_in(text) - twice:
                continue
            seen: set[str] = set()
            for naming in self.page.namings(text):
                key = self.page.reader.key(naming)
                if key in seen and not _OTHER.search(text[: naming.start]):
                    found = f"{quoted(naming.text)} twice in {quoted(text)}"
                    yield CueFault(told.cue_at(naming.start), found, "another thing, or a pronoun")
                seen.add(key)

    def _twice_in(self, text: str) -> set[str]:
        keys = [self.page.reader.key(naming) for naming in self.page.namings(text)]
        return {key for key in keys if keys.count(key) > 1}

    def _step_order(self) -> Iterator[CueFault]:
        last: Step | None = None
        seen: set[str] = set()
        for number in sorted(self._heads):
            step = self._heads[number]
            if step.id in seen:
                found = f"step {step.number} announced again"
                yield CueFault(self.cues[number], found, "each step of the page once")
            elif last and step.number < last.number:
                found = f"step {step.number} after step {last.number}"
                yield CueFault(self.cues[number], found, "the steps in the order of the page")
            seen.add(step.id)
            last = step
        if seen:
            for step in self.stage.steps:
                if step.id not in seen:
                    found = f"no caption that announces step {step.number}"
                    yield CueFault(self.cues[-1], found, "every step of the page")

    def _page(self) -> Iterator[Said]:
        for number, told in enumerate(self.page.told):
            is_heading = told.line.kind == "heading"
            for naming in self.page.namings(told.line.text):
                step = self.page.steps.get(told.line.step)
                yield Said(naming, step, number, self.cues[0], is_heading)

    def _said(self) -> Iterator[Said]:
        for number, told in enumerate(self._sentences):
            is_heading = told.beside.run.step is not None and told.start == 0
            for naming in self.page.namings(told.sentence.text):
                before = told.sentence.text[: naming.start]
                after = told.sentence.text[naming.start + len(naming.text) :]
                is_plain = naming.text.isalpha() and after.startswith(" of ")
                aside = "plain" if is_plain else "compared" if _COMPARED.search(before) else ""
                cue = told.cue_at(naming.start)
                yield Said(naming, told.step, number, cue, is_heading, aside)


def _untold(claim: Claim, said: list[Claim], page: list[Claim]) -> Claim | None:
    """A measure of the page that is close to a claim, and that nothing in captions says."""
    return next(
        (
            one
            for one in page
            if one.what == claim.what
            and abs(one.low - claim.low) <= _CLOSE * abs(claim.low)
            and not any(agrees(each, one.low) for each in said if each.what == one.what)
        ),
        None,
    )


def told_at(cue: Cue) -> str:
    """The time of a cue, as findings tell it."""
    return f"at {timestamp(cue.start)}"
