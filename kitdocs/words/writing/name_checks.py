"""Names that are typed where an expression prints them."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.kit.parts import Ball, Part
from kitdocs.words.audit.auditor import auditor_of
from kitdocs.words.audit.lexicon import Lexicon, Named, words_in
from kitdocs.words.audit.scope import scope_of
from kitdocs.words.names import Names
from kitdocs.words.writing.check import Fault, at
from kitdocs.words.writing.texts import Text


def typed_name(design: Design, text: Text) -> Iterator[Fault]:
    """Whole names of parts that are written out; a noun alone stands for what was named."""
    lexicon = auditor_of(design, text.code).lexicon
    for sentence in text.sentences:
        if sentence.kind == "code":
            continue
        for named in lexicon.named(sentence):
            said = _bare(sentence.text[named.start : named.end])
            part = None if named.source else _part(lexicon, named)
            if part is None or _is_noun(said, lexicon):
                continue
            if (form := _form(lexicon.names, part, said)) is not None:
                mend = f"Write {{{{ {_call(design, text, part, form)} }}}}."
                yield at(sentence, named.start, f"'{said}', typed", "its expression", mend)


def _bare(said: str) -> str:
    """A name without the ending that English gives it when something is its own."""
    return said.removesuffix("'s").removesuffix("’s")


def _part(lexicon: Lexicon, named: Named) -> Part | None:
    """The part that a name is of; None for a body, what is called as one, a parcel or a driver."""
    kit = lexicon.design.kit
    ids = [r.id for r in named.referents if r.what in ("part", "item")]
    if not ids or len(ids) < len(named.referents):
        return None
    part = kit.items[ids[0]].part if ids[0] in kit.items else kit.part(ids[0])
    if isinstance(part, Ball):
        name = words_in(lexicon.names.one(part))
        return part if lexicon.tongue.noun(name[-1][2]) == "ball" else None  # the Sun is no name
    return part


def _is_noun(said: str, lexicon: Lexicon) -> bool:
    """Whether a name is one noun of the trade, which is said of anything of its kind."""
    words = words_in(said)
    return len(words) == 1 and words[0][2] in lexicon.tongue.nouns


def _call(design: Design, text: Text, part: Part, form: str) -> str:
    """What prints a form of a name, of an item that the step acts on if there is one."""
    acted = scope_of(design, text.stage, text.step).acted if text.stage else ()
    items = (*acted, *design.kit.items.values())
    item = next((item.id for item in items if item.part is part), None)
    call = f"item('{item}')" if item and form != "plural" else f"part('{part.id}')"
    return f"{call}.{form}" if form else call


def _form(names: Names, part: Part, said: str) -> str | None:
    """The fact that prints a name as it is written; empty for the name itself, and None where
    the words of the kit have no such form."""
    if said.lower() == names.one(part).lower():
        return ""
    for form, name in (*names.forms(part).items(), ("plural", names.many(part))):
        if said.lower() == name.lower():
            return form
    return None
