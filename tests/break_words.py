"""Breaking words: each number, number word, designation and name in prose is made a wrong one.

    python tests/break_words.py [--every N] [--code en] [--missed]

goes over the correct sentences of `tests/words/` and over the pages of the demo kits, changes one
thing at a time, audits the sentence where it stands, and prints how many changes were noticed, by
kind. What is changed is found here by patterns of our own, not by the audit's. Words that count
nothing of the kit (*from two sides*, *one by one*) are listed in `tests/words/harmless.yml`, and
changes that leave a sentence true in `tests/words/still_true.yml`; those are counted apart. Each
name becomes three others (`name`) and five more that lie spread over the list (`any name`).
"""

from __future__ import annotations

import argparse
import re
import sys
import zlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import yaml
from word_sentences import WORDS, Said, collection, design, scope
from word_sentences import noticed as is_noticed

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.rules.registry import all_rules
from kitdocs.survey import survey
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.number_words import cardinal, compound
from kitdocs.words.sentences import sentences
from kitdocs.words.writing.name_checks import typed_name
from kitdocs.words.writing.texts import Text

#: A figure: digits with one decimal mark, or the digits of a longer one.
_FIGURE = re.compile(r"\d+(?:[.,]\d+)?")
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
#: Forms that number words take beside the one that is counted with (from memory).
_FORMS = {
    "pl": {2: "dwa dwie dwóch dwoma dwiema dwom", 3: "trzy trzech trzem trzema",
           4: "cztery czterech czterem czterema", 1: "jeden jedna jedno jedną jednego jednej"
           " jednym", 5: "pięć pięciu pięcioma", 6: "sześć sześciu sześcioma",
           7: "siedem siedmiu siedmioma", 8: "osiem ośmiu ośmioma",
           9: "dziewięć dziewięciu dziewięcioma", 10: "dziesięć dziesięciu dziesięcioma",
           11: "jedenaście jedenastu jedenastoma", 12: "dwanaście dwunastu dwunastoma",
           18: "osiemnaście osiemnastu osiemnastoma",
           19: "dziewiętnaście dziewiętnastu dziewiętnastoma",
           20: "dwadzieścia dwudziestu dwudziestoma"},
}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """A sentence with one thing changed: the kind of change, what it was, what it became."""

    said: Said
    kind: str
    was: str
    now: str
    text: str


def changes(said: Said) -> Iterator[Change]:
    """Every change of one sentence."""
    yield from figures(said)
    yield from _words(said)
    yield from _compounds(said)
    yield from _names(said)


def noticed(change: Change) -> bool:
    return is_noticed(change.said, change.text)


def is_told_as_typed(change: Change) -> bool:
    """Whether `plain-name` asks for an expression in the place of the name that was changed."""
    here = scope(change.said)
    passage = Passage(change.text, Place("x.md"))
    told = sentences(passage, change.said.code)
    text = Text(change.said.code, passage, told, here.stage, here.step)
    return any(fault.found == f"'{change.now}', typed" for fault in typed_name(design(), text))


def _changed(said: Said, kind: str, start: int, end: int, now: str) -> Change:
    text = said.text
    return Change(said, kind, text[start:end], now, text[:start] + now + text[end:])


def figures(said: Said) -> Iterator[Change]:
    """Each figure a step up and a step down of its last place, and doubled."""
    for figure in _FIGURE.finditer(said.text):
        start, end = figure.span()
        before, after = said.text[:start], said.text[end:]
        if _is_asked(said.text, start) or is_harmless(said, start, end):
            continue
        sized = re.search(r"M[ \u00a0]?[\d.,]*[ \u00a0]?[x×*хХ-]?[ \u00a0]?$", before)
        kind = "designation" if sized else "figure"
        digits = figure[0]
        last = int(digits[-1])
        told = {f"{digits[:-1]}{(last + 1) % 10}", f"{digits[:-1]}{(last + 9) % 10}"}
        whole = re.match(r"\d+", digits)[0]
        told.add(str(2 * int(whole)) + digits[len(whole) :])
        roughly = re.search(r"(?:about|almost|around|etwa|rund|fast|około|ok\.) $", before)
        if roughly:  # only what is more than that rough is wrong
            told = {str(2 * int(whole)) + digits[len(whole) :]}
        told -= _still_true(said.text, start, end, told)
        for now in sorted(told - {digits}):
            if not re.fullmatch(r"0+", now) and not after.startswith("½"):
                yield _changed(said, kind, start, end, now)


def _is_asked(text: str, at: int) -> bool:
    """Whether a place of a text is inside an expression, which prints no such thing."""
    return text.count("{{", 0, at) > text.count("}}", 0, at)


_RANGE = r"\s*(?:–|-|to|and|bis|und|do)\s*"


def _still_true(text: str, start: int, end: int, told: set[str]) -> set[str]:
    """Of what an end of a range may become, what makes it wider: it stays true."""

    def number(figure: str) -> float:
        return float(figure.replace(",", "."))

    was = number(text[start:end])
    if re.match(_RANGE + r"\d", text[end:]) and re.search(r"mm", text[end:]):
        return {
            now for now in told if number(now) < was or re.match(_RANGE + now + r"\b", text[end:])
        }
    if re.search(r"\d" + _RANGE + "$", text[:start]):
        return {now for now in told if number(now) > was}
    return set()


@lru_cache(maxsize=4)
def _number_words(code: str) -> dict[str, int]:
    """Number words of a language up to 150."""
    found = {cardinal(n, code).replace(" ", "-"): n for n in range(1, 151)}
    found |= {w: n for n, words in _FORMS.get(code, {}).items() for w in words.split()}
    found.pop("eins", None)  # German one is the article too
    return found


def _words(said: Said) -> Iterator[Change]:
    """Each number word one more and one less, in the same form where it has several."""
    known = _number_words(said.code)
    forms = {n: words.split() for n, words in _FORMS.get(said.code, {}).items()}
    for word in _WORD.finditer(said.text):
        number = known.get(word[0].lower())
        if number is None or is_harmless(said, *word.span()):
            continue
        if _is_asked(said.text, word.start()):
            continue
        mine = forms.get(number, [])
        for other in (number + 1, number - 1):
            if other < (2 if said.code == "de" else 1):
                continue
            now = cardinal(other, said.code)
            theirs = forms.get(other, [])
            if word[0].lower() in mine and theirs and (number < 5) == (other < 5) and other > 1:
                now = theirs[min(mine.index(word[0].lower()), len(theirs) - 1)]
            now = now[0].upper() + now[1:] if word[0][0].isupper() else now
            yield _changed(said, "number word", *word.span(), now)


def _compounds(said: Said) -> Iterator[Change]:
    """Each number in a Polish compound (*dwudziestozębowe*) one more and one less."""
    known = {compound(n, said.code): n for n in range(2, 151)} if said.code == "pl" else {}
    for word in _WORD.finditer(said.text):
        head, tooth, _ = word[0].lower().partition("zęb")
        number = known.get(head) if tooth else None
        for other in (number + 1, number - 1) if number else ():
            now = compound(other, said.code)
            now = now[0].upper() + now[1:] if word[0][0].isupper() else now
            yield _changed(said, "number word", word.start(), word.start() + len(head), now)


@lru_cache(maxsize=4)
def _part_names(code: str) -> tuple[tuple[str, ...], ...]:
    """The names of all parts, by case where `cases.CODE.yml` has them; the same in every run."""
    names = Names(design().kit, Language(code))
    found = [{names.one(part) for part in design().kit.parts.values()}]
    declined = WORDS / f"cases.{code}.yml"
    if declined.exists():
        of_parts = yaml.safe_load(declined.read_text("utf-8")).values()
        found += [set(case) for case in zip(*of_parts, strict=True)]
    return tuple(tuple(sorted(case, key=lambda name: (-len(name), name))) for case in found)


def _names(said: Said) -> Iterator[Change]:
    """Each name of a part made that of another, of the same last word where there is one."""
    cases = _part_names(said.code)
    known = {name: names for names in reversed(cases) for name in names}
    taken: list[range] = []
    for name in sorted(known, key=lambda name: (-len(name), name)):
        names = known[name]
        for found in re.finditer(rf"\b{re.escape(name)}\b", said.text):
            start, end = found.span()
            if any(start < t.stop and t.start < end for t in taken) or _is_asked(said.text, start):
                continue
            taken.append(range(start, end))
            alike = [n for n in names if n != name and n.split()[-1] == name.split()[-1]]
            for other in (alike or [n for n in names if n != name])[:3]:
                yield _changed(said, "name", start, end, other)
            others = [n for n in names if n != name]
            first = zlib.crc32(said.text.encode()) + start
            for step in range(0, 5 * 7, 7):
                yield _changed(said, "any name", start, end, others[(first + step) % len(others)])


@lru_cache(maxsize=1)
def _still_true_entries() -> dict[str, list[dict[str, str]]]:
    return yaml.safe_load((WORDS / "still_true.yml").read_text("utf-8"))


def is_argued(change: Change) -> bool:
    """Whether a changed sentence is listed as one that is still true."""
    return any(
        re.search(entry["in"], change.said.text)
        and re.fullmatch(str(entry["was"]), change.was)
        and re.fullmatch(str(entry["now"]), change.now)
        for entry in _still_true_entries()[change.said.code]
    )


@lru_cache(maxsize=1)
def _harmless() -> dict[str, re.Pattern[str]]:
    listed = yaml.safe_load((WORDS / "harmless.yml").read_text("utf-8"))
    return {
        code: re.compile("|".join(entry["words"] for entry in entries), re.IGNORECASE)
        for code, entries in listed.items()
    }


def is_harmless(said: Said, start: int, end: int) -> bool:
    """Whether a number stands in words that count nothing of the kit."""
    return any(m.start() <= start and end <= m.end()
               for m in _harmless()[said.code].finditer(said.text))  # fmt: skip


#: The rules that read words.
_RULES = ("expression", "word-name", "word-number", "word-order")


def item_changes(kit: Kit, code: str = "") -> Iterator[tuple[Stage, Step, str, str, Kit]]:
    """Each item whose name a step's words print, in the kit's first language or another, made
    another of the same kind: the stage, the step, what was named, what is, and the kit with it."""
    called = Names(kit)
    for stage in kit.stages:
        made = kit.translation(stage.uri, code) if code else None
        for step in stage.steps:
            told = made.step(step.id) if made else None
            passage = (told.words if told else None) if code else step.words
            for found in re.finditer(_ITEM, passage.text) if passage else ():
                item = kit.items.get(found[1])
                if item is None:
                    continue
                same = called.one(item.part)  # what is called the same reads the same
                alike = [i for i in kit.items.values() if i.part.kind == item.part.kind
                         and called.one(i.part) != same]  # fmt: skip
                if not alike:
                    continue
                other = alike[(found.start() + len(stage.id)) % len(alike)].id
                text = passage.text[: found.start(1)] + other + passage.text[found.end(1) :]
                words = replace(passage, text=text)
                yield stage, step, found[1], other, _with_words(kit, stage, step, words, code)


_ITEM = r"\bitem\('([a-z0-9-]+)'\)(?!\.)"


def _with_words(kit: Kit, stage: Stage, step: Step, words: Passage, code: str) -> Kit:
    if code:
        made = kit.translations[stage.uri, code]
        told = (replace(t, words=words) if t.id == step.id else t for t in made.steps)
        new = replace(made, steps=tuple(told))
        return replace(kit, translations={**kit.translations, (stage.uri, code): new})
    steps = tuple(replace(step, words=words) if one is step else one for one in stage.steps)
    stages = (replace(one, steps=steps) if one is stage else one for one in kit.stages)
    return replace(kit, stages=tuple(stages))


def kit_noticed(kit: Kit, before: Design) -> bool:
    """Whether the rules of words find more in a kit than in the design that it is made from."""
    design = Design(kit)
    vars(design).update({k: v for k, v in vars(before).items() if k != "kit"})  # same facts
    return _found(design) > _found(before)


def _found(design: Design) -> int:
    rules = [rule for rule in all_rules() if rule.id in _RULES]
    return sum(f.severity != "note" for rule in rules for f in rule.check(design))


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--every", type=int, default=1, metavar="N")
    parser.add_argument("--code", action="append")
    parser.add_argument("--missed", action="store_true", help="print what nobody noticed")
    parser.add_argument("--content", type=Path, help="change the items named in these kits too")
    options = parser.parse_args()
    for code in options.code or ("en", "de", "pl"):
        made, caught, argued = Counter[str](), Counter[str](), Counter[str]()
        typed = Counter[str]()
        every = [c for said in collection(code) for c in changes(said)][:: options.every]
        for change in every:
            made[change.kind] += 1
            is_name = change.kind.endswith("name")
            typed[change.kind] += is_name and (is_told_as_typed(change) or noticed(change))
            if noticed(change):
                caught[change.kind] += 1
            elif is_argued(change):
                argued[change.kind] += 1
            elif options.missed:
                place = f"{change.said.stage} {change.said.step}".strip()
                print(f"{code} {place}: {change.was} → {change.now} in {change.said.text}")
        for kind in sorted(made):
            share = 100 * (caught[kind] + argued[kind]) / made[kind]
            told = f"{caught[kind]} of {made[kind]} noticed, {argued[kind]} still true"
            print(f"{code} {kind}: {told}, {share:.1f} %")
        for kind in sorted(+typed):
            share = 100 * typed[kind] / made[kind]
            print(f"{code} {kind}, with plain-name: {typed[kind]} of {made[kind]}, {share:.1f} %")
    for found in survey(options.content.parent, options.content).kits if options.content else ():
        for code in ("", *found.kit.languages[1:]):
            made = caught = 0
            every = list(item_changes(found.kit, code))[:: options.every]
            for stage, step, was, now, kit in every:
                made += 1
                if kit_noticed(kit, found.design):
                    caught += 1
                elif options.missed:
                    print(f"{found.id} {code} {stage.id} {step.id}: {was} → {now}")
            told = f"{found.id} {code or found.kit.languages[0]} items: {caught} of {made} noticed"
            print(f"{told}, {100 * caught / made:.1f} %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
