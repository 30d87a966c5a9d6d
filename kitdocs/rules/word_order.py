"""word-order: the words of a step speak of what its facts do, in that order."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.stage import PLACING, Action, Step
from kitdocs.rules.rule import rule
from kitdocs.words.language import Language
from kitdocs.words.names import Names
from kitdocs.words.views import MEASURES
from kitdocs.words.writing.evidence import Evidence, Related
from kitdocs.words.writing.mentions import FASTENERS, Mention, mentions
from kitdocs.words.writing.texts import Text, texts

#: Actions whose sentence is told by its verb.
_SAID = {
    "oil": re.compile(r"\b(?:oil|lubricat|grease)", re.IGNORECASE),
    "turn": re.compile(
        r"\b(?:turn|crank|walk|push|rotate|spin|move|swing|wind)(?:s|ed|ing)?\b", re.IGNORECASE
    ),
}
#: Actions that put items one after the other, and those that work on fasteners.
_PUT = (*PLACING, "place", "refit")
_OFF = ("remove",)
#: What of an item is no thing that is put: a fastener, or a number of it.
_NO_THING = frozenset((*FASTENERS, *MEASURES, "teeth", "driver", "mark"))
#: How things are taken in hand.
_TAKEN = re.compile(
    r"(?:take|pick|get)\b(?! off)(?![^.;]*\boff\b)|(?:find|sort|choose)\b"
    r"|(?:nimm|nehmen Sie)\b[^.;]*\bzur Hand\b",
    re.IGNORECASE,
)
_DRIVEN = ("fasten", "tighten", "slacken", "glue", "press")


@rule(
    "word-order",
    group="Words",
    demand="the words of a step speak of every item of its facts and of no stranger, in the order "
    "of the facts",
    source="our own: narration, pictures and pages tell one and the same build",
    example="oil: venus, where the words say: Oil the Mars pipe.",
    after=("step-facts", "step-item", "expression"),
    follows=(
        "build-complete",
        "caution-before",
        "held-host",
        "stage-order",
        "stage-proof",
        "step-captive",
        "step-held",
        "step-oil",
        "step-order",
        "step-slack",
    ),
)
def word_order(design: Design) -> Iterator[Finding]:
    if "word-order" in design.kit.about.unchecked:
        return
    names = Names(design.kit, Language("en"))
    for text in texts(design):
        if text.step is None or text.language not in ("en", "de", "pl"):
            continue
        if text.language == "en":
            yield from _unsaid(design, text, text.step, names)
        found = mentions(text)
        yield from _strangers(design, text.step, found)
        yield from _reversed(design, text.step, found)


def _unsaid(design: Design, text: Text, step: Step, names: Names) -> Iterator[Finding]:
    """Items of the facts that the words do not speak of."""
    evidence = Evidence(design, text, names)
    for action in step.actions:
        for name, place in zip(action.items, action.item_places, strict=True):
            item = design.kit.items[name]
            said = None
            if action.verb in _SAID:
                said = evidence.in_sentences(item, _SAID[action.verb])
                if said is None:
                    verb = action.verb
                    found = f"{verb}: {name}, but no sentence of the step says to {verb}"
                    yield _told(place, found, "words that say what the facts do", text)
                    continue
            if said is None:
                said = evidence.of(item)
            if not said:
                found = f"{action.verb}: {name}, of which the step's words do not speak"
                mend = f"Name it with {{{{ item('{name}') }}}}, or correct the facts."
                yield _told(place, found, "words that speak of it", text, mend)


def _told(place, found: str, expected: str, text: Text, mend: str = "") -> Finding:
    return Finding(place, "word-order", found, expected, mend, "warning", (text.passage.place,))


def _strangers(design: Design, step: Step, found: tuple[Mention, ...]) -> Iterator[Finding]:
    """Items that an instruction is done to, and that no fact of the step touches."""
    related = Related(design.kit)
    touched = [design.kit.items[name] for action in step.actions for name in action.items]
    for mention in found:
        item = design.kit.items.get(mention.item)
        if item is None or not mention.is_object:
            continue
        if not any(related.touch(item, other) for other in touched):
            yield Finding(
                mention.sentence.place(mention.start),
                "word-order",
                f"an instruction for {mention.item}, which no action of the step touches",
                "items of the step's facts",
                "Correct the words, or add the action to the facts.",
                "warning",
                tuple(action.place for action in step.actions),
            )


def _reversed(design: Design, step: Step, found: tuple[Mention, ...]) -> Iterator[Finding]:
    """Items that the words and the facts have in opposite orders."""
    objects = [m for m in found if m.is_object]
    things = [m for m in objects if m.fact not in _NO_THING and not _is_taken(m)]
    fasteners = [m for m in objects if m.fact in FASTENERS]
    for verbs, said in ((_PUT, things), (_OFF, things), (_DRIVEN, fasteners)):
        ranks = _ranks(step, verbs)
        last: Mention | None = None
        seen: set[str] = set()
        for mention in said:
            if mention.item not in ranks or mention.item in seen:
                continue
            seen.add(mention.item)
            if last is not None and ranks[mention.item][0] < ranks[last.item][0]:
                yield _order(ranks, mention, last.item, mention.item)
            last = mention
    ranks = _ranks(step, PLACING)
    for mention in found:
        for put in things if mention.is_host and mention.item in ranks else ():
            together = put.clause == mention.clause and put.item in ranks
            if together and ranks[put.item][0] < ranks[mention.item][0]:
                yield _order(ranks, mention, mention.item, put.item)


def _is_taken(mention: Mention) -> bool:
    """Whether a thing is only taken in hand, before it is put anywhere."""
    return _TAKEN.match(mention.sentence.text) is not None


def _ranks(step: Step, verbs: tuple[str, ...]) -> dict[str, tuple[int, Action, int]]:
    """When the facts first do one of these verbs to each item."""
    ranks: dict[str, tuple[int, Action, int]] = {}
    for action in step.actions:
        if action.verb in verbs:
            for number, name in enumerate(action.items):
                ranks.setdefault(name, (len(ranks), action, number))
    return ranks


def _order(
    ranks: dict[str, tuple[int, Action, int]], mention: Mention, first: str, second: str
) -> Finding:
    _, action, number = ranks[second]
    _, other, there = ranks[first]
    return Finding(
        action.item_places[number],
        "word-order",
        f"{second} before {first}",
        f"{first} first, as the words have it",
        "Put the facts in the order of the words, or the words in that of the facts.",
        "warning",
        (other.item_places[there], mention.sentence.place(mention.start)),
    )
