"""Breaking captions: each number, number word, designation and name in them is made a wrong one.

    python tests/break_captions.py [--every N] [--code en] [--form page] [--kind name] [--missed]

takes captions of the demo's stages in several forms (`FORMS`), changes one thing at a time, checks
the file as `kitdocs captions --strict` does, and prints by language, form and kind how many changes
were noticed. Limits of length and time are not asked: they say nothing of what is told. Figures are
changed as `break_words.py` changes them; number words are those of num2words. Beside things, whole
cues are broken: one left out, two exchanged, a step left out, a step told twice.

Changes that leave captions true are listed in `tests/words/captions_true.yml`, and counted apart.
"""

from __future__ import annotations

import argparse
import re
import sys
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import yaml
from break_words import figures, is_harmless
from num2words import num2words
from word_sentences import WORDS, Said

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.captions import CaptionFile
from kitdocs.kit.reader import read_kit
from kitdocs.kit.stage import Stage
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.narration.check import all_findings
from kitdocs.words.narration.cues import Cue, cues
from kitdocs.words.narration.script import Script, script
from kitdocs.words.narration.speech import spoken
from kitdocs.words.narration.vtt import read, written

CONTENT = Path(__file__).parent.parent / "content"
KITS = ("quayside", "tellurion")
CODES = ("en", "de")
#: As `narrate` writes them; the same without the headings of steps; as the script is spoken, with
#: numbers and designations in words; the files beside the stages; freely worded passages.
FORMS = ("page", "bare", "spoken", "file", "free")

#: The lines of one caption.
Lines = tuple[str, ...]


@dataclass(frozen=True)
class Told:
    """Captions of a stage, in a language and a form."""

    kit: str
    stage: str
    code: str
    form: str
    cues: tuple[Lines, ...]

    @property
    def place(self) -> str:
        return f"{self.kit} {self.stage} {self.code} {self.form}"


@dataclass(frozen=True)
class Change:
    """Captions with one thing changed: what it was, what it became, and where. `joined` are the
    changed captions in one text, with `_LINE` and `_CUE` for their breaks."""

    told: Told
    kind: str
    was: str
    now: str
    joined: str
    at: int

    @property
    def cues(self) -> tuple[Lines, ...]:
        return tuple(
            tuple(line.strip() for line in cue.split(_LINE) if line.strip())
            for cue in self.joined.split(_CUE)
        )

    @property
    def around(self) -> str:
        """The sentence that the change is in, as it was; of a whole cue the cue."""
        if self.at < 0:
            return self.was
        plain = _plain(_joined(self.told.cues))
        start = max((m.end() for m in re.finditer(r"[.!?](?=\s)", plain[: self.at])), default=0)
        end = re.search(r"[.!?](?=\s|$)", plain[self.at :])
        return plain[start : self.at + end.end() if end else len(plain)].strip()


@lru_cache(maxsize=len(KITS))
def design(kit: str) -> Design:
    found = read_kit(CONTENT.parent, CONTENT / kit, CONTENT).kit
    assert found is not None
    return Design(found)


@lru_cache(maxsize=64)
def stage_of(kit: str, name: str) -> Stage:
    return next(stage for stage in design(kit).kit.stages if stage.id == name)


def findings(told: Told, changed: tuple[Lines, ...] | None = None) -> list[Finding]:
    """What a strict build stops on in captions, or in what they were changed to; their limits
    left out."""
    made = [
        Cue(4.0 * n, 4.0 * n + 3.5, lines)
        for n, lines in enumerate(told.cues if changed is None else changed)
    ]
    file = CaptionFile("x.vtt", "x.vtt", told.code, written(made))
    found = all_findings(design(told.kit), stage_of(told.kit, told.stage), file)
    return [f for f in found if f.rule != "caption-limits" and f.severity != "note"]


@lru_cache(maxsize=256)
def _false_alarms(told: Told) -> frozenset[str]:
    return frozenset(finding.found for finding in findings(told))


def noticed(change: Change) -> bool:
    """Whether a change is found: by more than what may be found in the captions as they were."""
    found = {finding.found for finding in findings(change.told, change.cues)}
    return bool(found - _false_alarms(change.told))


# --- captions ---------------------------------------------------------------------------------


def captions(codes: Iterable[str] = CODES, forms: Iterable[str] = FORMS) -> Iterator[Told]:
    """The demo's captions, all of them correct."""
    for code in codes:
        for kit in KITS:
            for stage in design(kit).kit.stages:
                for form in forms:
                    for made in _MADE[form](kit, stage, code):
                        yield Told(kit, stage.id, code, form, made)


@lru_cache(maxsize=64)
def _script(kit: str, stage: str, code: str) -> Script:
    return script(design(kit), stage_of(kit, stage), code)


def _page(kit: str, stage: Stage, code: str) -> Iterator[tuple[Lines, ...]]:
    yield tuple(cue.lines for cue in cues(_script(kit, stage.id, code)))


def _bare(kit: str, stage: Stage, code: str) -> Iterator[tuple[Lines, ...]]:
    told = _script(kit, stage.id, code)
    heads = re.compile(r"Step \d|Schritt \d|Stage \d|Abschnitt \d")
    lines = tuple(line for line in told.lines if not heads.match(line.text))
    yield tuple(cue.lines for cue in cues(Script(told.stage, code, told.rate, lines)))


def _spoken(kit: str, stage: Stage, code: str) -> Iterator[tuple[Lines, ...]]:
    yield tuple(_broken(line.spoken) for line in _script(kit, stage.id, code).lines)


def _broken(text: str) -> Lines:
    """A sentence in lines of up to 42 characters, wherever they end."""
    lines = [""]
    for word in text.split(" "):
        if lines[-1] and len(lines[-1]) + len(word) >= 42:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return tuple(lines)


def _file(kit: str, stage: Stage, code: str) -> Iterator[tuple[Lines, ...]]:
    for file in design(kit).kit.captions.get(stage.uri, ()):
        if file.language == code:
            yield tuple(cue.lines for cue in read(file.text).cues)


@lru_cache(maxsize=1)
def _passages() -> list[dict]:
    return yaml.safe_load((WORDS / "captions.yml").read_text("utf-8"))


def _free(kit: str, stage: Stage, code: str) -> Iterator[tuple[Lines, ...]]:
    """The captions of a stage, one step of them told freely."""
    for passage in _passages():
        if (passage["kit"], passage["stage"], passage["code"]) == (kit, stage.id, code):
            lines = _script(kit, stage.id, code).lines
            told = {
                number: cues(
                    Script(stage, code, 100, tuple(s for s in lines if s.number == number))
                )
                for number in range(len(stage.steps) + 1)
            }
            made: list[Lines] = []
            for number, page in told.items():
                freely = number == passage["step"]
                made += map(_broken, passage["cues"]) if freely else (c.lines for c in page)
            yield tuple(made)


_MADE = {"page": _page, "bare": _bare, "spoken": _spoken, "file": _file, "free": _free}


# --- one thing changed ------------------------------------------------------------------------

_LINE, _CUE = "\n", "\x1e"


@lru_cache(maxsize=256)
def _joined(told: tuple[Lines, ...]) -> str:
    return _CUE.join(_LINE.join(lines) for lines in told)


@lru_cache(maxsize=256)
def _plain(joined: str) -> str:
    return re.sub(rf"[{_LINE}{_CUE}]", " ", joined)


def changes(told: Told) -> Iterator[Change]:
    """Every change of one file; of a freely worded one those of its own words."""
    joined = _joined(told.cues)
    plain = _plain(joined)
    own = _own(joined) if told.form == "free" else range(len(joined))
    for change in (
        *_of_figures(told, joined, plain),
        *_of_words(told, joined, plain),
        *_of_names(told, joined, plain),
    ):
        if change.at in own:
            yield change
    if told.form != "free":  # freely told captions may tell less
        yield from _of_cues(told)


def _own(joined: str) -> range:
    """Where the captions stand that are not the page's."""
    for passage in _passages():
        text = _joined(tuple(_broken(cue) for cue in passage["cues"]))
        if text in joined:
            return range(joined.index(text), joined.index(text) + len(text))
    raise AssertionError("no freely worded passage")


def _put(told: Told, kind: str, joined: str, start: int, end: int, now: str) -> Change:
    """What stands at `start` … `end` made something else; a line break in it stays in it."""
    was, shown = joined[start:end], now
    breaks = re.findall(rf"[{_LINE}{_CUE}]", was)
    for sign in breaks:
        shown = shown.replace(" ", sign, 1) if " " in shown else shown + sign
    if breaks and shown[-1] in (_LINE, _CUE):
        end += joined[end : end + 1] == " "
    return Change(told, kind, _plain(was), now, joined[:start] + shown + joined[end:], start)


def _same(a: str, b: str) -> int:
    """How many signs two texts begin with alike."""
    pairs = enumerate(zip(a, b, strict=False))
    return next((n for n, (x, y) in pairs if x != y), min(len(a), len(b)))


def _sentences(plain: str) -> Iterator[tuple[int, str]]:
    at = 0
    for end in re.finditer(r"[.!?](?=\s|$)", plain):
        yield at, plain[at : end.end()]
        at = end.end()
    yield at, plain[at:]


def _of_figures(told: Told, joined: str, plain: str) -> Iterator[Change]:
    for at, text in _sentences(plain):
        for change in figures(Said(told.code, told.stage, "", text)):
            same = _same(text, change.text)
            rest = _same(text[same:][::-1], change.text[same:][::-1])
            now = change.text[same : len(change.text) - rest]
            start, end = at + same, at + len(text) - rest
            made = _put(told, change.kind, joined, start, end, now)
            yield replace(made, was=change.was, now=change.now)


@lru_cache(maxsize=4)
def _spelled(code: str) -> tuple[dict[str, int], re.Pattern[str]]:
    """Number words of a language up to 999, and what finds the longest of them in a text."""
    table = {re.sub(r"-", " ", num2words(n, lang=code)): n for n in range(1000)}
    table.pop("eins", None)  # the article too
    if code == "en":
        table["nought"] = 0
    longest = sorted(table, key=len, reverse=True)
    told = "|".join(re.escape(words).replace(r"\ ", "[ -]") for words in longest)
    return table, re.compile(rf"(?<![^\W_])(?:{told})(?![^\W\d_])", re.IGNORECASE)


#: What stands before a number of a designation that is spoken.
_SPOKEN_SIZE = re.compile(
    r"\b(?:M|[A-Z] [A-Z]|ISO|DIN|(?:M [\w -]{2,40}) (?:by|mal|point|Komma))[ -]"
    r"(?:[\w]+ (?:point|Komma|nought|null) )*$"
)


def _of_words(told: Told, joined: str, plain: str) -> Iterator[Change]:
    """Each number word one more, one less and doubled."""
    table, pattern = _spelled(told.code)
    said = Said(told.code, told.stage, "", plain)
    for found in pattern.finditer(plain):
        start, end = found.span()
        if is_harmless(said, start, end):
            continue
        number = table[re.sub("-", " ", found[0].lower())]
        size = _SPOKEN_SIZE.search(plain[max(0, start - 60) : start])
        kind = "spoken designation" if size else "number word"
        for other in sorted({number + 1, number - 1, 2 * number} - {number, -1}):
            if other < (2 if told.code == "de" else 1):
                continue
            now = num2words(other, lang=told.code)
            if plain[end : end + 1] == "-":
                now = now.replace(" ", "-")
            now = now[0].upper() + now[1:] if found[0][0].isupper() else now
            yield _put(told, kind, joined, start, end, now)


@lru_cache(maxsize=16)
def _names(kit: str, code: str, aloud: bool) -> tuple[dict[str, tuple[str, str]], re.Pattern[str]]:
    """By each form of a part's name, in lower case: the name, and the name in that number."""
    names = Names(design(kit).kit, Language(code))
    forms: dict[str, tuple[str, str]] = {}
    for part in design(kit).kit.parts.values():
        one, many = names.one(part), names.many(part)
        for form in (one, many, *names.forms(part).values()):
            said = spoken(form, code) if aloud else form
            forms.setdefault(said.lower(), (one, "many" if form == many != one else "one"))
        if aloud and (said := names.spoken(part)):
            forms.setdefault(spoken(said, code).lower(), (one, "one"))
    longest = sorted(forms, key=len, reverse=True)
    told = "|".join(re.escape(form) for form in longest)
    return forms, re.compile(rf"(?<!\w)(?:{told})(?!\w)", re.IGNORECASE)


@lru_cache(maxsize=16)
def _others(kit: str, code: str) -> dict[str, tuple[str, str]]:
    """Every name of a part, once, with its plural."""
    names = Names(design(kit).kit, Language(code))
    return {
        names.one(part): (names.one(part), names.many(part))
        for part in sorted(design(kit).kit.parts.values(), key=lambda part: part.id)
    }


def _alike(one: str, other: str) -> bool:
    """Whether two names end in the same word, or German ones in the same half of it."""
    a, b = one.split()[-1], other.split()[-1]
    return a == b or (_same(a[::-1], b[::-1]) >= 4 and a[0].isupper())


def _of_names(told: Told, joined: str, plain: str) -> Iterator[Change]:
    """Each name of a part made that of another: of three alike, and of three of any."""
    aloud = told.form == "spoken"
    forms, pattern = _names(told.kit, told.code, aloud)
    others = _others(told.kit, told.code)
    for found in pattern.finditer(plain):
        one, number = forms[re.sub(r"\s", " ", found[0].lower())]
        # What is called the same in all but its number is another name for the same.
        rest = [name for name in others if name.lower() != one.lower()]
        first = zlib.crc32(plain[max(0, found.start() - 20) : found.end()].encode())
        alike = [name for name in rest if _alike(one, name)]
        chosen = [(name, "name") for name in _spread(alike, first)]
        chosen += [(name, "any name") for name in _spread(rest, first)]
        for name, kind in chosen:
            now = others[name][number == "many"]
            now = spoken(now, told.code) if aloud else now
            if now.lower() != found[0].lower():
                yield _put(told, kind, joined, *found.span(), now)


def _spread(names: list[str], first: int) -> list[str]:
    """Three of a list, far from each other."""
    if not names:
        return []
    step = max(1, len(names) // 3)
    return list(dict.fromkeys(names[(first + n * step) % len(names)] for n in range(3)))


# --- whole cues changed -----------------------------------------------------------------------

_HEAD = re.compile(r"(?:Step|Schritt) ", re.IGNORECASE)


def _of_cues(told: Told) -> Iterator[Change]:
    """What happens to whole captions in an editor."""
    made = told.cues

    def change(kind: str, was: str, now: str, changed: tuple[Lines, ...]) -> Change:
        return Change(told, kind, was.replace("\u00a0", " "), now, _joined(changed), -1)

    for n, lines in enumerate(made):
        yield change("cue dropped", " ".join(lines), "", made[:n] + made[n + 1 :])
        for other in (n + 1, n + 4):
            if other < len(made) and made[other] != lines:
                turned = list(made)
                turned[n], turned[other] = turned[other], turned[n]
                was, now = " ".join(lines), " ".join(made[other])
                yield change("cues swapped", was, now, tuple(turned))
    for start, end in _steps(told):
        was = " ".join(made[start])
        yield change("step left out", was, "", made[:start] + made[end:])
        yield change("step told twice", was, was, made[:end] + made[start:end] + made[end:])
        yield change("step told again at the end", was, was, made + made[start:end])


def _steps(told: Told) -> Iterator[tuple[int, int]]:
    """Where the captions of each step begin and end; of bare ones as many as with headings."""
    starts = [n for n, lines in enumerate(told.cues) if _HEAD.match(lines[0])]
    if told.form == "bare":
        starts = list(_bare_starts(told))
    yield from pairwise([*starts, len(told.cues)])


def _bare_starts(told: Told) -> Iterator[int]:
    said = _script(told.kit, told.stage, told.code)
    heads = re.compile(r"Step \d|Schritt \d|Stage \d|Abschnitt \d")
    lines = tuple(line for line in said.lines if not heads.match(line.text))
    at = step = 0
    for line in lines:
        if line.number != step:
            step = line.number
            yield at
        at += len(cues(Script(said.stage, told.code, said.rate, (line,))))


# --- arguments --------------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _arguments() -> dict[str, list[dict[str, str]]]:
    return yaml.safe_load((WORDS / "captions_true.yml").read_text("utf-8"))


def is_argued(change: Change) -> bool:
    """Whether a change is listed as one that leaves captions true."""
    return any(
        re.fullmatch(str(entry.get("kind", ".*")), change.kind)
        and (not entry.get("remark") or _is_remark(change))
        and re.search(entry.get("in", ""), change.around)
        and re.fullmatch(str(entry.get("was", ".*")), change.was)
        and re.fullmatch(str(entry.get("now", ".*")), change.now)
        for entry in _arguments().get(change.told.code, ())
    )


def _is_remark(change: Change) -> bool:
    """Whether what was changed is a whole sentence of the page that tells nothing to do, or the
    rest of a heading."""
    told = change.told
    for line in _script(told.kit, told.stage, told.code).lines:
        text = line.text.replace("\u00a0", " ")
        if line.kind != "instruction" and change.was in (text, line.spoken):
            return True
        if line.kind == "heading" and text.endswith(f" {change.was}"):
            return True
    return False


@dataclass
class Count:
    """How many changes were made, and how many of them noticed or argued."""

    made: int = 0
    caught: int = 0
    argued: int = 0

    @property
    def share(self) -> float:
        """Of those that make captions wrong, how many are noticed."""
        return self.caught / max(1, self.made - self.argued)


def counted(every: Iterable[Change], missed: list[Change] | None = None) -> dict[tuple, Count]:
    """The changes counted, by language, form and kind; what nobody noticed goes to `missed`."""
    found: dict[tuple, Count] = {}
    for change in every:
        count = found.setdefault((change.told.code, change.told.form, change.kind), Count())
        count.made += 1
        if noticed(change):
            count.caught += 1
        elif is_argued(change):
            count.argued += 1
        elif missed is not None:
            missed.append(change)
    return found


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--every", type=int, default=1, metavar="N")
    parser.add_argument("--code", action="append", choices=CODES)
    parser.add_argument("--form", action="append", choices=FORMS)
    parser.add_argument("--kind", action="append")
    parser.add_argument("--missed", action="store_true", help="print what nobody noticed")
    options = parser.parse_args()
    told = list(captions(options.code or CODES, options.form or FORMS))
    alarms = [(one.place, finding) for one in told for finding in findings(one)]
    for place, finding in alarms:
        print(f"false alarm: {place}: {finding}")
    every = [c for one in told for c in changes(one) if c.kind in (options.kind or [c.kind])]
    missed: list[Change] = []
    for (code, form, kind), count in sorted(counted(every[:: options.every], missed).items()):
        told_of = f"{count.caught} of {count.made} noticed, {count.argued} still true"
        print(f"{code} {form} {kind}: {told_of}, {100 * count.share:.1f} %")
    for change in missed if options.missed else ():
        was = f"{change.kind}: {change.was} → {change.now}"
        print(f"{change.told.place} {was} in {change.around}")
    print(f"{len(alarms)} false alarms in {len(told)} captions")
    return 1 if alarms else 0


if __name__ == "__main__":
    sys.exit(main())
