"""After which sentence hands need their time: the pauses of a step's words."""

from __future__ import annotations

import re
from collections.abc import Sequence

from kitdocs.assembly.design import Design
from kitdocs.kit.stage import Action, Step
from kitdocs.words.narration.pauses import DRIVEN, hands_on, shown
from kitdocs.words.sentences import Sentence
from kitdocs.words.writing.mentions import FASTENERS, expressions

#: Words of a sentence that asks for such an action, whatever it names. Common practice.
_ASKS = {
    "en": {"oil": r"\boil\b", "turn": r"\b(?:turn|push\b.*\bround|rotate)\b"},
    "de": {"oil": r"\b(?:öle|Öl|Uhrenöl)", "turn": r"\b(?:drehe?|schiebe\b.*\ban)\b"},
    "pl": {"oil": r"\b(?:na)?oliw|\bolej", "turn": r"\b(?:obr[aó]c|kręć|pokręć|zakręć)"},
}


def pauses_after(design: Design, step: Step, told: Sequence[Sentence], code: str) -> list[float]:
    """The seconds that hands need after each sentence of a step's words, in the language `code`.

    Each item of an action has its share after the instruction that names it, in the order of the
    actions; one that no sentence names comes after the instruction that follows the last one.
    What is looked at comes after the first remark.
    """
    pauses = [0.0] * len(told)
    if not told:
        return pauses
    done = [(action, item) for action in step.actions
            for item in (action.items if action.verb != "mesh" else action.items[:1])]  # fmt: skip
    given = [n for n, sentence in enumerate(told) if sentence.kind == "item"]
    given = given or list(range(len(told)))
    placed = _placed(design, done, told, given, code)
    for (action, item), number in zip(done, placed, strict=True):
        pauses[number] += hands_on(design, action.verb, item) * shown(design, action)
    return [round(pause, 1) for pause in pauses]


def _placed(
    design: Design,
    done: Sequence[tuple[Action, str]],
    told: Sequence[Sentence],
    given: Sequence[int],
    code: str,
) -> list[int]:
    """The sentence after which each item of each action is done. `given` are the instructions."""
    found: list[int | None] = []
    at = given[0]
    for action, item in done:
        named = _naming(design, action, item, told, given, code)
        after = [n for n in named if n >= at]
        found.append(after[0] if after else None)
        at = after[0] if after else at
    remarks = [n for n in range(given[-1] + 1, len(told))]
    bounds = [*found, given[-1] + 1]
    last = given[0] - 1
    out: list[int] = []
    for n, (action, _) in enumerate(done):
        number = found[n]
        if action.verb == "check" and remarks:
            number = remarks[0]
        elif number is None:
            until = next(b for b in bounds[n + 1 :] if b is not None)
            between = [g for g in given if last < g < until]
            number = between[0] if between else max(last, given[0])
        if action.verb != "check":
            last = max(last, number)
        out.append(number)
    return out


def _naming(
    design: Design,
    action: Action,
    item: str,
    told: Sequence[Sentence],
    given: Sequence[int],
    code: str,
) -> list[int]:
    """The instructions that ask for an action on an item."""
    asks = _ASKS.get(code.partition("-")[0], {}).get(action.verb)
    if asks:
        found = [n for n in given if re.search(asks, told[n].text, re.IGNORECASE)]
        if found:
            return found
    meant = action.items if action.verb == "mesh" else (item,)
    placed = design.kit.items.get(item)
    driven = action.verb in DRIVEN
    found = []
    for n in given:
        for one, _ in expressions(told[n]):
            is_fastener = bool(one.facts and one.facts[0] in FASTENERS)
            is_item = one.name == "item" and one.ids and one.ids[0] in meant
            is_part = one.name == "part" and placed and one.ids == (placed.part.id,)
            if (is_item and driven == is_fastener) or (is_part and not driven):
                found.append(n)
                break
    return found
