"""Captions against the stage: what they name and in what order, their numbers, their limits."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.kit.names import quoted
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.words.audit.auditor import auditor_of
from kitdocs.words.audit.claims import Claim, claims
from kitdocs.words.audit.matching import Against
from kitdocs.words.audit.scope import scope_of
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.narration.cues import Cue
from kitdocs.words.narration.naming import NameReader, Naming
from kitdocs.words.narration.script import Script, reading_of, script
from kitdocs.words.narration.speech import spoken
from kitdocs.words.narration.vtt import timestamp
from kitdocs.words.sentences import sentences


@dataclass(frozen=True)
class CueFault:
    """What is wrong with a cue, or from it on."""

    cue: Cue
    found: str
    expected: str
    mend: str = ""


def limit_faults(design: Design, cues: tuple[Cue, ...], code: str) -> Iterator[CueFault]:
    """Cues beyond the published limits of length, time and reading speed."""
    line, lines = design.limit("caption-limits-line"), design.limit("caption-limits-lines")
    time, speed = design.limit("caption-limits-time"), design.limit("caption-limits-speed")
    fastest = min(speed.most or 0.0, reading_of(code)) if speed.most == 20 else speed.most or 0.0
    for cue in cues:
        longest = max(map(len, cue.lines), default=0)
        if line.above(longest):
            yield CueFault(cue, f"a line of {longest} characters", line.text)
        if lines.above(len(cue.lines)):
            yield CueFault(cue, f"{len(cue.lines)} lines", lines.text)
        seconds = cue.end - cue.start
        if seconds > 0 and not time.holds(round(seconds, 3) + 0.0005 * (seconds < 1)):
            yield CueFault(
                cue, f"a caption of {seconds:.3f} s", f"{time.least:.3g} … {time.most:g} s"
            )
        elif seconds > 0 and cue.speed > fastest + 0.05:
            found = f"{len(cue.text)} characters in {seconds:.2f} s, {cue.speed:.1f} a second"
            yield CueFault(cue, found, f"at most {fastest:g} characters a second")


@dataclass(frozen=True)
class _Said:
    """A name in captions or on the page, with the step that it belongs to there."""

    naming: Naming
    step: Step | None
    cue: Cue | None = None  # none on the page


class Comparison:
    """Captions beside the stage that they are of."""

    def __init__(self, design: Design, stage: Stage, code: str, cues: tuple[Cue, ...]):
        self.design, self.stage, self.code, self.cues = design, stage, code, cues
        self.language = Language(code)
        self.names = Names(design.kit, self.language)
        self.steps = {step.id: step for step in stage.steps}
        self._claimed: dict[tuple[str, bool], frozenset[tuple]] = {}

    @cached_property
    def reader(self) -> NameReader:
        return NameReader(self.design.kit, self.names)

    @cached_property
    def _script(self) -> Script:
        return script(self.design, self.stage, self.code)

    @cached_property
    def _heads(self) -> dict[int, Step]:
        """The cues that announce a step, by their number: `Step 3: …`, in figures or in words."""
        found: dict[int, Step] = {}
        for step in self.stage.steps:
            text = self.language.text("Step %(number)s: %(title)s", number=step.number, title="")
            written = text.strip(" :")
            forms = "|".join(re.escape(form) for form in {written, spoken(written, self.code)})
            pattern = re.compile(rf"(?:{forms})(?!\w)", re.IGNORECASE)
            for number, cue in enumerate(self.cues):
                if pattern.match(cue.text):
                    found.setdefault(number, step)
        return found

    @cached_property
    def _texts(self) -> list[tuple[str, Step | None, list[tuple[int, Cue]]]]:
        """Runs of cues that belong together: their text, their step, and where each cue begins."""
        runs: list[tuple[str, Step | None, list[tuple[int, Cue]]]] = []
        step: Step | None = None
        fresh = True
        for number, cue in enumerate(self.cues):
            head = self._heads.get(number)
            step = head or step
            if head or fresh:
                runs.append((cue.text, step, [(0, cue)]))
            else:
                text, _, starts = runs[-1]
                runs[-1] = (f"{text} {cue.text}", step, [*starts, (len(text) + 1, cue)])
            fresh = head is not None
        return runs

    def number_faults(self) -> Iterator[CueFault]:
        """Numbers that nothing of the step, or of the stage, backs."""
        auditor = auditor_of(self.design, self.code)
        for text, step, starts in self._texts:
            scope = scope_of(self.design, self.stage, step)
            for sentence in sentences(Passage(text, Place("", 1, 1)), self.code):
                for heard in auditor.hear(sentence, scope):
                    if isinstance(heard.outcome, Against) and not self._on_page(
                        heard.claim, step, aloud=_ALOUD.search(sentence.text) is not None
                    ):
                        cue = _cue_at(starts, sentence.place(heard.claim.start).column - 1)
                        found = f"{quoted(heard.claim.text)} in {quoted(sentence.text)}"
                        yield CueFault(cue, found, heard.outcome.expected)

    def _on_page(self, claim: Claim, step: Step | None, aloud: bool) -> bool:
        """Whether the page says the same number in the step, or anywhere for captions of none.
        It is computed or checked there, and in captions it is said again without its links.
        `aloud` asks the words of the script too, for captions that spell decimals out."""
        said, where = _meaning(claim), step.id if step else ""
        return said in self._page_claims(where, False) or (
            aloud and said in self._page_claims(where, True)
        )

    def _page_claims(self, step: str, said: bool) -> frozenset[tuple]:
        """The numbers of the script in a step; under the empty name those of the whole stage."""
        found = self._claimed.get((step, said))
        if found is None:
            lexicon = auditor_of(self.design, self.code).lexicon
            lines = (one for one in self._script.lines if step in (one.step, ""))
            found = frozenset(
                _meaning(claim)
                for line in lines
                for claim in claims(line.spoken if said else line.text, lexicon)
            )
            self._claimed[step, said] = found
        return found

    def order_faults(self) -> Iterator[CueFault]:
        """Steps and names that are missing, out of order, or of other work."""
        if not self.cues:
            return
        yield from self._step_order()
        page, said = list(self._page()), list(self._said())
        if not self._heads:
            yield from self._compare(page, said)
            return
        # Where captions announce the steps, each is compared with its own step alone.
        for step in (None, *self.stage.steps):
            own = [one for one in page if one.step is step]
            yield from self._compare(own, [one for one in said if one.step is step])

    def _compare(self, page: list[_Said], said: list[_Said]) -> Iterator[CueFault]:
        """What is at another place, of other work, or not named, in two runs of names."""
        pairs = _common(page, said)
        matched_page, matched_said = dict(pairs), {b: a for a, b in pairs}
        missing = [n for n in range(len(page)) if n not in matched_page]
        told: set[int] = set()
        for number, one in enumerate(said):
            if number in matched_said:
                continue
            step = one.step or self._step_near(number, page, matched_said)
            turned = next(
                (
                    n
                    for n in missing
                    if n not in told
                    and page[n].step is step
                    and page[n].naming.parts & one.naming.parts
                ),
                None,
            )
            assert one.cue is not None
            if turned is not None:
                told.add(turned)
                yield CueFault(
                    one.cue,
                    f"'{one.naming.text}' at another place than on the page",
                    f"the order of {self._where(step)}",
                )
            elif not self._belongs(one.naming, step):
                found = f"'{one.naming.text}', which {self._where(step)} has nothing to do with"
                yield CueFault(one.cue, found, "the names of the page")
        yield from self._unnamed(page, said, matched_page, [n for n in missing if n not in told])

    def _where(self, step: Step | None) -> str:
        return f"step {step.number}" if step else f"stage {self.stage.number}"

    def _step_order(self) -> Iterator[CueFault]:
        last: Step | None = None
        seen = {step.id for step in self._heads.values()}
        for number in sorted(self._heads):
            step = self._heads[number]
            if last and step.number < last.number:
                found = f"step {step.number} after step {last.number}"
                yield CueFault(self.cues[number], found, "the steps in the order of the page")
            last = step
        if seen:
            for step in self.stage.steps:
                if step.id not in seen:
                    found = f"no caption that announces step {step.number}"
                    yield CueFault(self.cues[-1], found, "every step of the page")

    def _page(self) -> Iterator[_Said]:
        for line in self._script.lines:
            for naming in self.reader.read(line.text):
                yield _Said(naming, self.steps.get(line.step))

    def _said(self) -> Iterator[_Said]:
        for text, step, starts in self._texts:
            for naming in self.reader.read(text):
                yield _Said(naming, step, _cue_at(starts, naming.start))

    def _head_of(self, step: Step) -> Cue:
        """The cue that announces a step, or else the first of all."""
        return next((self.cues[n] for n, head in self._heads.items() if head is step), self.cues[0])

    def _step_near(self, number: int, page: list[_Said], matched: dict[int, int]) -> Step | None:
        """The step of the last name before this one that agrees with the page."""
        before = [matched[n] for n in range(number) if n in matched]
        return page[before[-1]].step if before else None

    def _belongs(self, naming: Naming, step: Step | None) -> bool:
        """Whether a step has to do with what is named. A name of one plain word may mean other
        things, and is let pass."""
        if not re.search(r"[\W\d]", naming.text):
            return True
        scope = scope_of(self.design, self.stage, step)
        return bool(naming.parts & {*scope.parts, *scope.whole_stage.parts})

    def _unnamed(
        self, page: list[_Said], said: list[_Said], matched: dict[int, int], missing: list[int]
    ) -> Iterator[CueFault]:
        """One finding for each step whose page names what its captions never do."""
        by_step: dict[str, list[int]] = {}
        for n in missing:
            step = page[n].step
            if step is not None:
                by_step.setdefault(step.id, []).append(n)
        for step_id, numbers in by_step.items():
            step = self.steps[step_id]
            named = [s for s in said if s.step is None or s.step is step]
            names = {
                page[n].naming.text: None
                for n in numbers
                if not any(s.naming.parts & page[n].naming.parts for s in named)
            }
            if names:
                before = [matched[n] for n in range(numbers[0]) if n in matched]
                cue = said[before[-1]].cue if before else self._head_of(step)
                listed = ", ".join(names)
                found = f"step {step.number} without {listed}"
                yield CueFault(cue, found, "every thing named that the page names")


#: Decimals and designations in words: *M two point five by six*.
_ALOUD = re.compile(r"\b(?:point|Komma|przecinek)\b|\bM (?!\d)\w")
#: Kinds of claim whose value says all; the others are known by how they are written.
_VALUED = ("count", "teeth", "measure", "ratio", "reference", "number")


def _meaning(claim: Claim) -> tuple:
    """What two claims of the same thing share, however they are written."""
    written = "" if claim.kind in _VALUED else re.sub(r"[^\w]+", " ", claim.text.lower())
    return claim.kind, claim.low, claim.high, claim.what, claim.noun.lower(), written


def _cue_at(starts: list[tuple[int, Cue]], offset: int) -> Cue:
    """The cue that a character of a run stands in."""
    return [cue for start, cue in starts if start <= offset][-1]


def _common(a: list[_Said], b: list[_Said]) -> list[tuple[int, int]]:
    """The longest run of names that both have in one order, as pairs of their numbers."""
    width = len(b) + 1
    best = [[0] * width for _ in range(len(a) + 1)]
    for i in range(len(a) - 1, -1, -1):
        row, below, parts = best[i], best[i + 1], a[i].naming.parts
        for j in range(len(b) - 1, -1, -1):
            if parts & b[j].naming.parts:
                row[j] = below[j + 1] + 1
            else:
                row[j] = max(below[j], row[j + 1])
    pairs: list[tuple[int, int]] = []
    i = j = 0
    while i < len(a) and j < len(b):
        if a[i].naming.parts & b[j].naming.parts and best[i][j] == best[i + 1][j + 1] + 1:
            pairs.append((i, j))
            i, j = i + 1, j + 1
        elif best[i + 1][j] >= best[i][j + 1]:
            i += 1
        else:
            j += 1
    return pairs


def told_at(cue: Cue) -> str:
    """The time of a cue, as findings tell it."""
    return f"at {timestamp(cue.start)}"
