"""A stage page as captions are held against it: its sentences in signs that can be compared."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property, lru_cache

from kitdocs.assembly.design import Design
from kitdocs.kit.stage import Stage, Step
from kitdocs.words.audit.auditor import Heard, auditor_of
from kitdocs.words.audit.claims.claims import Claim, claims
from kitdocs.words.audit.claims.figures import FIGURE, read_figure
from kitdocs.words.audit.judging.statement import agrees
from kitdocs.words.audit.scope import Scope
from kitdocs.words.narration.heard import heard
from kitdocs.words.narration.naming import NameReader, Naming
from kitdocs.words.narration.script import Line, script
from kitdocs.words.sentences import Sentence


@dataclass(frozen=True)
class Sign:
    """A word, a number or a name in a text, at `start` … `end`.

    Signs of one `key` say the same. `value` is a number's, and `step` half of its last place;
    a size (`M2.5 × 6`) has none. `inside` are the numbers that a name has.
    """

    key: str
    kind: str  # "word", "number" or "name"
    text: str
    start: int
    end: int
    value: float | None = None
    step: float = 0.0
    inside: tuple[Sign, ...] = ()


_SIGN = re.compile(
    r"(?P<size>\bM[ \u00a0]?\d+(?:[.,]\d+)?(?:[ \u00a0]?[×x*хХ-][ \u00a0]?\d+(?:[.,]\d+)?)?(?!\w))"
    rf"|(?P<figure>{FIGURE.pattern})|(?P<word>per cent\b|[°%]|[^\W_]+)"
)
_WORDS = re.compile(r"[^\W_]+")
_TOGETHER = re.compile(r"[^\W_]+(?:[ \u00a0-][^\W_]+){0,9}")


@dataclass(frozen=True)
class Told:
    """A sentence of the page and its signs."""

    line: Line
    signs: tuple[Sign, ...]


class StagePage:
    """What the page of a stage says in one language. Made once, by `page_of`."""

    def __init__(self, design: Design, stage: Stage, code: str):
        self.stage, self.code = stage, code
        self.auditor = auditor_of(design, code)
        self.reader = NameReader(design.kit, self.auditor.names)
        self.script = script(design, stage, code)
        self.steps: dict[str, Step] = {step.id: step for step in stage.steps}
        self._claimed: dict[str, dict[tuple, Claim]] = {}
        self._signs: dict[str, tuple[Sign, ...]] = {}
        self._namings: dict[str, tuple[Naming, ...]] = {}
        self._heard: dict[tuple[str, str], tuple[Heard, ...]] = {}
        self._called: dict[str, tuple[frozenset[str], ...]] = {}

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """Its sentences, in order."""
        return tuple(Told(line, self.signs(line.text)) for line in self.script.lines)

    @cached_property
    def keys(self) -> str:
        """All that it says, one key after another, with a space round each."""
        return f" {' '.join(sign.key for told in self.told for sign in told.signs)} "

    def of_step(self, step: Step | None) -> tuple[Told, ...]:
        """The sentences of a step, or those before the first."""
        return self._by_step.get(step.id if step else "", ())

    @cached_property
    def _by_step(self) -> dict[str, tuple[Told, ...]]:
        """Its sentences by their step; under the empty name those before the first."""
        found: dict[str, tuple[Told, ...]] = {}
        for told in self.told:
            found[told.line.step] = (*found.get(told.line.step, ()), told)
        return found

    def namings(self, text: str) -> tuple[Naming, ...]:
        """The names of parts in a text."""
        found = self._namings.get(text)
        if found is None:
            found = self._namings[text] = tuple(self.reader.read(text))
        return found

    def signs(self, text: str) -> tuple[Sign, ...]:
        """The signs of a text: of a name or a number one, however many words it takes."""
        found = self._signs.get(text)
        if found is None:
            found = self._signs[text] = self._read(text)
        return found

    def _read(self, text: str) -> tuple[Sign, ...]:
        found: list[Sign] = []
        at = 0
        for naming in self.namings(text):
            end = naming.start + len(naming.text)
            found += self._between(text, at, naming.start)
            key = f"={self.reader.key(naming)}"
            inside = tuple(s for s in self._between(text, naming.start, end) if s.kind == "number")
            found.append(Sign(key, "name", naming.text, naming.start, end, inside=inside))
            at = end
        return (*found, *self._between(text, at, len(text)))

    def _between(self, text: str, start: int, end: int) -> list[Sign]:
        """The signs of a stretch without names."""
        found: list[Sign] = []
        at = start
        while match := _SIGN.search(text, at, end):
            at = match.end()
            if match["size"]:
                key = re.sub(r"[ \u00a0]", "", match[0]).replace(",", ".")
                key = re.sub(r"(?<=[\d.])[×x*хХ-]", "\u00d7", key)
                found.append(Sign(f"#{key}", "number", match[0], match.start(), at))
            elif match["figure"]:
                figure = read_figure(match[0], self._mark)
                value, step = (figure.value, figure.step) if figure else (None, 0.0)
                key = f"#{match[0] if value is None else f'{value:.12g}'}"
                found.append(Sign(key, "number", match[0], match.start(), at, value, step))
            else:
                sign, at = self._word(text, match, end)
                found.append(sign)
        return found

    @property
    def _mark(self) -> str:
        return self.auditor.tongue.mark if self.auditor.tongue else "."

    def _word(self, text: str, word: re.Match[str], end: int) -> tuple[Sign, int]:
        """A word, or the number that words from it on say, and where it ends. A unit is the same
        in words and as a symbol."""
        said, tongue = word[0].lower(), self.auditor.tongue
        if tongue is not None and tongue.begins(said):
            run = list(_WORDS.finditer(_TOGETHER.match(text, word.start(), end)[0]))
            value = tongue.spoken([m[0].lower() for m in run])
            if value:
                until = word.start() + run[value[1] - 1].end()
                said = text[word.start() : until]
                sign = Sign(f"#{value[0]}", "number", said, word.start(), until, float(value[0]))
                return sign, until
        unit = tongue.unit(said.replace(" ", "-"), True) if tongue else None
        key = f"{unit[1]:g}{unit[0]}" if unit else said
        return Sign(key, "word", word[0], word.start(), word.end()), word.end()

    def hear(self, sentence: Sentence, step: Step | None, scope: Scope) -> tuple[Heard, ...]:
        """The numbers of a sentence of captions, judged in a step; `scope` is the step's."""
        key = sentence.text, step.id if step else ""
        found = self._heard.get(key)
        if found is None:
            found = self._heard[key] = tuple(self.auditor.hear(sentence, scope))
        return found

    def called(self, text: str) -> tuple[frozenset[str], ...]:
        """What parts a text may mean by words outside of names: a set for each word."""
        found = self._called.get(text)
        if found is None:
            lexicon = self.auditor.lexicon
            found = self._called[text] = tuple(
                frozenset().union(*lexicon.parts_called(sign.key))
                for sign in self.signs(text)
                if sign.kind == "word" and lexicon.is_noun(sign.key)
            )
        return found

    def named_in(self, step: Step | None) -> frozenset[str]:
        """The parts that the page names in a step, or before the first, by id."""
        return self._named.get(step.id if step else "", frozenset())

    @cached_property
    def _named(self) -> dict[str, frozenset[str]]:
        return {
            step: frozenset(p for t in told for n in self.namings(t.line.text) for p in n.parts)
            for step, told in self._by_step.items()
        }

    def counts(self, step: Step | None) -> frozenset[float | None]:
        """The numbers that the page has in a step, or anywhere for none; headings left out."""
        if step:
            return self._counted.get(step.id, frozenset())
        return frozenset[float | None]().union(*self._counted.values())

    @cached_property
    def _counted(self) -> dict[str, frozenset[float | None]]:
        """The numbers of the sentences, by their step."""
        return {
            step: frozenset(
                sign.value
                for one in told
                if one.line.kind != "heading"
                for sign in one.signs
                if sign.kind == "number"
            )
            for step, told in self._by_step.items()
        }

    def measures(self, step: Step) -> list[Claim]:
        """The measures that the page states in a step."""
        return [one for one in self._claims(step.id).values() if one.kind == "measure"]

    def says(self, claim: Claim, step: Step | None) -> bool:
        """Whether the page states the same number in a step, or anywhere for none; or captions
        round it. It is computed or checked there, and in captions it is said again without its
        links."""
        known = self._claims(step.id if step else "")
        said = meaning(claim)
        return said in known or any(_rounds(claim, one) for one in known.values())

    def _claims(self, step: str) -> dict[tuple, Claim]:
        """What the sentences of a step state, as written and as spoken; under the empty name those
        of the whole stage."""
        found = self._claimed.get(step)
        if found is None:
            auditor = self.auditor
            lines = [told.line for told in self.told if step in (told.line.step, "")]
            texts = [line.text for line in lines]
            texts += [heard(line.spoken, auditor.tongue).text for line in lines]
            stated = (claim for text in texts for claim in claims(text, auditor.lexicon))
            found = self._claimed[step] = {meaning(claim): claim for claim in stated}
        return found


def _rounds(claim: Claim, page: Claim) -> bool:
    """Whether a claim of captions is a measure of the page to fewer places. It may lack its unit
    where it has places."""
    if claim.kind not in ("measure", "number") or page.kind != "measure" or not claim.step:
        return False
    if page.low != page.high or not agrees(claim, page.low):
        return False
    if claim.kind == "measure":
        return claim.what == page.what
    return claim.kind == "number" and claim.low % 1 != 0


#: Kinds of claim whose value says all; the others are known by how they are written.
_VALUED = ("count", "teeth", "measure", "ratio", "reference", "number")


def meaning(claim: Claim) -> tuple:
    """What two claims of the same thing share, however they are written."""
    written = "" if claim.kind in _VALUED else re.sub(r"[^\w]+", " ", claim.text.lower())
    noun = "" if claim.kind == "teeth" else claim.noun.lower()
    return claim.kind, claim.low, claim.high, claim.what, noun, written


def page_of(design: Design, stage: Stage, code: str) -> StagePage:
    """The page of a stage in one language, read once."""
    known = _pages(design)
    key = stage.id, code
    if key not in known:
        known[key] = StagePage(design, stage, code)
    return known[key]


@lru_cache(maxsize=4)
def _pages(design: Design) -> dict[tuple[str, str], StagePage]:
    return {}
