"""Checks of how a sentence is built: its length, its verb, its order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from kitdocs.assembly.design import Design
from kitdocs.words.sentences import Sentence
from kitdocs.words.writing.check import Fault, at, is_backed, shown
from kitdocs.words.writing.english import (
    VERBS,
    command,
    command_after_lead,
    further_commands,
    is_instruction,
    words,
)
from kitdocs.words.writing.texts import Text

_TOLD = ("paragraph", "item")
_SIZE = re.compile(r"\bM\d[\d.,]*\s*[×x]\s*[\d.,]+", re.IGNORECASE)
_WORD = re.compile(r"[^\W_](?:[\w’'.,/·°%-]*[\w%°])?")
_BRACKETS = re.compile(r"\([^()]*\)")


def told(text: Text) -> Iterator[Sentence]:
    """The sentences of running words: paragraphs and list items."""
    return (s for s in text.sentences if s.kind in _TOLD)


def instructions(text: Text) -> Iterator[Sentence]:
    """The sentences of a step that tell a builder to do something."""
    if text.step is not None:
        for sentence in told(text):
            if sentence.kind == "item" or is_instruction(sentence.text):
                yield sentence


def word_count(text: str) -> int:
    """Words as STE section 8 counts them (from memory): a designation, a number and a hyphenated
    word are one each; a colon ends the count; what stands in brackets counts by itself."""
    text = _SIZE.sub("M", text)
    parts = [*_BRACKETS.findall(text), *re.split(r":\s", _BRACKETS.sub(" ", text))]
    return max((len(_WORD.findall(part)) for part in parts), default=0)


def length(design: Design, text: Text) -> Iterator[Fault]:
    for sentence in told(text):
        told_to_do = text.step is not None and (
            is_instruction(sentence.text) if text.language == "en" else sentence.kind == "item"
        )
        limit = design.limit("plain-length" if told_to_do else "plain-length-descriptive")
        count = word_count(sentence.text)
        if limit.above(count):
            what = "an instruction" if told_to_do else "a sentence"
            yield at(
                sentence,
                0,
                f"{what} of {count} words, {shown(sentence.text)}",
                limit.text,
                "Make two sentences of it.",
            )


def paragraph(design: Design, text: Text) -> Iterator[Fault]:
    limit = design.limit("plain-paragraph")
    blocks: dict[int, list[Sentence]] = {}
    for sentence in text.sentences:
        if sentence.kind == "paragraph":
            blocks.setdefault(sentence.block, []).append(sentence)
    for block in blocks.values():
        if limit.above(len(block)):
            found = f"a paragraph of {len(block)} sentences"
            yield at(block[0], 0, found, limit.text, "Begin another paragraph.")


#: Done at the same time as something else: what is held, worn or watched meanwhile.
_MEANWHILE_FIRST = frozenset(("wear", "hold", "keep", "look", "watch", "do"))
_MEANWHILE_SECOND = frozenset(
    ("watch", "see", "look", "let", "feel", "listen", "follow", "hold", "keep", "check", "count")
)


def one_action(design: Design, text: Text) -> Iterator[Fault]:
    for sentence in instructions(text):
        first = command(sentence.text) or command_after_lead(sentence.text)
        if first is None or first["verb"].lower() in _MEANWHILE_FIRST or first["no"]:
            continue
        for second in further_commands(sentence.text):
            if command_after_lead(sentence.text) and not command(sentence.text):
                lead = sentence.text.index(",")
                if second.start() <= lead:
                    continue
            verb = second["verb"].lower()
            if verb not in _MEANWHILE_SECOND:
                yield at(
                    sentence,
                    second.start("verb"),
                    f"a second instruction in one sentence, '{verb}' after "
                    f"'{first['verb'].lower()}'",
                    "one instruction, unless both are done at the same time",
                    "Begin another sentence.",
                )
                break


_NO_VERB = re.compile(
    r"(?P<word>you|we|the builder|the user|the reader|it is|there (?:is|are)|please note|this|these"
    r"|the|an?|its|their)\b",
    re.IGNORECASE,
)
_MODAL = re.compile(
    r"\b(?P<modal>should|must|shall|ought to|needs? to|ha(?:s|ve) to|(?:is|are) to)\s+(?!not\b)"
    r"(?P<be>be\b)?",
    re.IGNORECASE,
)


def imperative(design: Design, text: Text) -> Iterator[Fault]:
    if text.step is None:
        return
    seen: set[int] = set()
    for sentence in told(text):
        first = sentence.block not in seen
        seen.add(sentence.block)
        no_verb = _NO_VERB.match(sentence.text)
        modal = _MODAL.search(sentence.text)
        if first and no_verb and text.is_numbered(sentence):
            found = f"an instruction that begins with '{no_verb['word']}'"
            yield at(sentence, 0, found, "its verb first: 'Fit the wheel.'")
        elif no_verb and no_verb["word"].lower() in ("you", "the builder", "the user") and modal:
            found = f"'{no_verb['word']} {modal['modal']}'"
            yield at(sentence, 0, found, "an instruction: 'Fit the wheel.'")


def voice(design: Design, text: Text) -> Iterator[Fault]:
    if text.step is None:
        return
    for sentence in told(text):
        modal = _MODAL.search(sentence.text)
        if modal and modal["be"]:
            phrase = re.match(r"[^.,;:]*?\bbe\s+\w+", sentence.text[modal.start() :])
            if phrase and re.search(r"(?:ed|en|ung|ut|own|eft|eld|ept|ade|one)$", phrase[0]):
                yield at(
                    sentence,
                    modal.start(),
                    f"the passive '{phrase[0]}'",
                    "an instruction in the active voice: 'Tighten the screw.'",
                )
        if sentence.kind == "item" or is_instruction(sentence.text):
            yield from _ing(sentence)


_ING = re.compile(
    r"\b(?P<before>by|while|when|before|after|without|for|start|stop|keep|avoid|begin|try|is|are"
    r"|(?:with|of) (?:the|its|their|a) [\w -]{1,40}?)\s+(?P<verb>[a-z]+ing)\b",
    re.IGNORECASE,
)


def _ing(sentence: Sentence) -> Iterator[Fault]:
    instruction = sentence.text.partition(":")[0]  # what follows the colon is what is seen
    for match in _ING.finditer(instruction):
        if not is_backed(sentence, *match.span("verb")) and _stem(match["verb"]) in VERBS | _SHOWN:
            found = f"the -ing form '{match['verb']}' of a verb"
            expected = "a verb with its subject: 'until it turns', 'so that it faces'"
            yield at(sentence, match.start("verb"), found, expected)


_SHOWN = frozenset(("face", "point", "touch", "run", "rest", "stick", "hang", "lie", "sit", "show"))


def _stem(word: str) -> str:
    """The verb that an -ing form is made of."""
    stem = word.lower().removesuffix("ing")
    for verb in (stem, f"{stem}e", stem[:-1] if stem[-2:-1] == stem[-1:] else stem):
        if verb in VERBS | _SHOWN:
            return verb
    return stem


_LATE = re.compile(
    r"(?<!,)\s(?P<word>if|when|unless|once(?= (?:the|it|they|an?|you|all|each|both|its)\b))"
    r"\s(?=\w)",
    re.IGNORECASE,
)
#: Verbs whose *if* or *when* is what is looked for, no condition.
_ASKING = words("see check look find ask tell know note mark feel try test read verify")


def condition(design: Design, text: Text) -> Iterator[Fault]:
    for sentence in instructions(text):
        first = command(sentence.text)
        if first is None:
            lead = re.match(r"(?:if|when|once|unless)\s", sentence.text, re.IGNORECASE)
            if lead and not re.search(r"[,:]", sentence.text):
                word = lead[0].strip().lower()
                found = f"no comma after the condition that begins with '{word}'"
                yield at(sentence, 0, found, "the condition, a comma, then the instruction")
            continue
        late = _LATE.search(sentence.text, first.end())
        clause = sentence.text[: late.start()].rsplit(":", 1)[-1] if late else ""
        if late and not _ASKING & set(re.findall(r"[a-z]+", clause.lower())):
            yield at(
                sentence,
                late.start("word"),
                f"the condition '{late['word'].lower()} …' after its instruction",
                "the condition first, a comma, then the instruction",
            )


#: Nouns of the trade that pile up; those of a kit's kinds of part come with them.
_NOUNS = words(
    """arbor axis axle base bearing bench bevel body bolt bore brass bush cap card chain circle
    clamp clearance cloth cover deck delivery drive driver drop edge end face fit flange frame gap
    gear glue groove head height hole holder inner jaw joint key lay length lever lower machine mark
    mat mesh motor mount mounting nut oil orrery pair parcel pattern pin pinion pitch planet point
    rack rim ring rod rubber screw seat set shaft shoulder side sleeve slot spacing spigot spring
    stand steel stop stud support surface system table tail tension thickness thread time tip tooth
    top train unit upper vice wall width wire wood year"""
)


def cluster(design: Design, text: Text) -> Iterator[Fault]:
    most = design.limit("plain-cluster").most
    assert most is not None
    nouns = _nouns(design)
    for sentence in told(text):
        run: list[re.Match[str]] = []
        for word in re.finditer(r"[A-Za-z]+(?:-[A-Za-z]+)*|[^\sA-Za-z]+", sentence.text):
            is_noun = word[0].lower() in nouns and not is_backed(sentence, *word.span())
            if is_noun:
                run.append(word)
            if not is_noun or word.end() == len(sentence.text):
                yield from _cluster(sentence, run, most)
                run = []


@lru_cache(maxsize=4)
def _nouns(design: Design) -> frozenset[str]:
    """The nouns of the trade, and those of the kit's kinds of part."""
    kinds = {noun for part in design.kit.parts.values() for noun in part.kind.split("-")}
    return _NOUNS | kinds | {f"{noun}s" for noun in kinds}


def _cluster(sentence: Sentence, run: list[re.Match[str]], most: float) -> Iterator[Fault]:
    if run and command(sentence.text) and run[0].start() == 0:
        run = run[1:]  # the verb
    if len(run) > most:
        phrase = sentence.text[run[0].start() : run[-1].end()]
        expected = f"at most {most:g} nouns in a row"
        found = f"{len(run)} nouns in a row, '{phrase}'"
        yield at(sentence, run[0].start(), found, expected, "Take it apart with 'of' or 'on'.")
