"""Counts that the words round them tell more of: shares of a number, so many for each, all, others,
further ones, sorts that make up a sum; a number and a noun that do not go together.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from kitdocs.kit.parts import Fastener
from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.counting import (
    articles_for,
    has_noun,
    held_by,
    one_of_known,
    parts_counted,
    text_after,
    the_most,
)
from kitdocs.words.audit.judging.counts_of import holes, in_parcel, of_all, of_them, on_arbor, spare
from kitdocs.words.audit.judging.known_counts import numbers
from kitdocs.words.audit.judging.mentions import mentions
from kitdocs.words.audit.judging.statement import Against, Backing, Statement
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.tongues.grammar import Grammar


def judge_share(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a count or stands against it by the words round it; None where they say
    nothing of it."""
    for rule in _RULES:
        if (found := rule(at, grammar)) is not None:
            return found
    return None


def _number_and_noun(at: Statement, grammar: Grammar) -> Against | None:
    """`one wheels`, `two wheel`: a slip of one of the two words."""
    claim = at.claim
    if claim.high == 1 and grammar.ones.match(at.sentence.text, claim.end):
        return Against("more than one, or one of them", "")
    if claim.low != claim.high or claim.one_of or not has_noun(at, claim):
        return None
    if claim.high == 1 and claim.noun in grammar.plural:
        return Against(f"more than one, or '{claim.noun}' as one", "")
    if claim.high != 1 and claim.noun in grammar.singular:
        return Against(f"one, or '{claim.noun}' as several", "")
    return None


def _article_ends(at: Statement) -> Iterator[int]:
    """Where articles end that may stand for one: `und eine als Ersatz`."""
    tongue = at.lexicon.tongue
    for start, end, word in words_in(at.sentence.text):
        if start > at.claim.end and word in tongue.articles and not tongue.begins(word):
            yield end


def _too_few(at: Statement, grammar: Grammar) -> Backing | None:
    """`one screw is not enough`."""
    claim = at.claim
    most = the_most(at) if grammar.too_few.search(text_after(at)) else 0
    return Backing("fact", f"fewer than {most}") if claim.high < most else None


def _sum(at: Statement, grammar: Grammar) -> Against | None:
    """`four screws: three for the wheel and one spare`: as many as its shares."""
    claim, text = at.claim, at.sentence.text
    shares = [c for c in at.others if c.start > claim.end and c.kind == "count"
              and c.noun == claim.noun and not has_noun(at, c)]  # fmt: skip
    if not shares or ":" not in text[claim.end : shares[0].start] or not has_noun(at, claim):
        return None
    total = sum(c.high for c in shares)
    total += any(grammar.spare.match(text.lower(), end) for end in _article_ends(at))
    return None if total == claim.high else Against(f"{total:g}, as many as the shares of it", "")


def _per_each(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`two set screws, one in each hub`: as many as hold each."""
    if has_noun(at, at.claim) or not grammar.per.match(text_after(at)):
        return None
    known = {count: f"what holds {name}" for name, count in held_by(at, at.scope.acted_ids)}
    return one_of_known(known, at.claim) if known else None


def _all(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`all three`: no fewer than there are."""
    claim = at.claim
    before = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    if not before or before[-1] not in grammar.all:
        return None
    told = [c for c in at.others if c.start < claim.start and c.noun == claim.noun]
    if told and not has_noun(at, claim):
        return one_of_known({int(told[-1].high): "as many as the sentence has told"}, claim)
    most = the_most(at)
    return Against(f"{most}, which are all", "") if claim.high < most else None


def _used_holes(at: Statement, grammar: Grammar) -> Backing | None:
    """`all six holes near the rim`: those of one kind that the step fastens through."""
    if at.lexicon.tongue.noun(at.claim.noun) != "hole" or at.scope.step is None:
        return None
    held = at.scope.design.kit.held
    used = {len(held[i].holes) for i in at.scope.acted_ids if i in held}
    return Backing("fact", "the holes of the step's screws") if at.claim.high in used else None


def _all_told(at: Statement, grammar: Grammar) -> Backing | None:
    """`The two bevel wheels are alike`: what is told of all of the machine, not done."""
    words = words_in(at.sentence.text)
    before = [w for start, _, w in words if start < at.claim.start]
    is_told = len(before) == 1 and before[0] in grammar.definite
    if not is_told or not has_noun(at, at.claim) or at.sentence.kind == "item":
        return None
    used = at.scope.design.takings.used
    sums = {sum(used[p] for p in parts) for parts in parts_counted(at)[:1]}
    return Backing("fact", "all of the machine") if at.claim.high in sums else None


def _listed(at: Statement, grammar: Grammar) -> Backing | None:
    """`two washers: one under the arbor, one on the post`: a share after a mark."""
    claim = at.claim
    marked = at.sentence.text[: claim.start].rstrip()[-1:] in (":", ",")
    if has_noun(at, claim) or not marked or not claim.high < the_most(at):
        return None
    return Backing("fact", f"a share of {the_most(at)}")


def _others(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the other two feet`: fewer than all."""
    before = [w for start, _, w in words_in(at.sentence.text) if start < at.claim.start]
    most = the_most(at) if before and before[-1] in grammar.other else 0
    if not most:
        return None
    if 0 < at.claim.high < most:
        return Backing("fact", f"some of {most}")
    return Against(f"fewer than {most}", "")


def _more(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`one washer goes over it; three more are needed later`."""
    if not grammar.more.match(text_after(at)) or at.scope.step is None:
        return None
    here, stage = at.scope.taking.parts, at.scope.whole_stage.taking.parts
    known = {sum(stage[p] - here[p] for p in parts): "what the rest of the stage takes"
             for parts in parts_counted(at)}  # fmt: skip
    return one_of_known(known, at.claim)


def _broken_down(at: Statement, grammar: Grammar) -> Backing | None:
    """`three wheels, two plain ones and one bevel wheel`: all sorts together."""
    if not _is_broken_down(at, at.claim):
        return None
    claim = at.claim
    shares = [c for c in at.others if c.start > claim.end and c.kind == "count"]
    if shares and at.sentence.text[claim.end : shares[0].start].rstrip()[-1:] in (",", ":"):
        every = frozenset().union(*at.lexicon.parts_called(claim.noun, claim.others))
        told = [c.high for c in shares if every & frozenset().union(*parts_counted(at, c))]
        told += [1.0] * articles_for(at, [every])
        if len(told) > 1 and sum(told) == claim.high:
            return Backing("fact", "as many as its shares")
    known = numbers(claim, at.named, at.scope, at.lexicon, "")
    label = next((n.label for n in known if n.value == claim.high), None)
    return Backing("fact", label) if label else None


def _is_broken_down(at: Statement, claim: Claim) -> bool:
    """Whether sorts of what is counted come after a mark: one number next, or a word of a sort."""
    text, sorts = at.sentence.text, at.lexicon.tongue.sorts_in
    later = [c.start for c in at.others if c.start > claim.end]
    if later and text[claim.end : min(later)].rstrip()[-1:] in (",", ":"):
        return True
    if (mark := re.search("[,;:]", text[claim.end :])) is None:
        return False
    end = claim.end + mark.end()
    tongue, rest = at.lexicon.tongue, text[end:].lower().split()
    is_more = (tongue.joins & {*rest[:1]}) or tongue.articles & {*rest[:3]}
    return bool(sorts(text[end:].lower())) and not sorts(text[:end].lower()) and not is_more


def _of_named(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`three for the 136-tooth wheel`: as many as hold what is named."""
    if has_noun(at, at.claim) or not grammar.share.match(text_after(at)):
        return None
    named = next((m for m in mentions(at) if m.start > at.claim.end), None)
    known = {count: f"what holds {name}" for name, count in held_by(at, named.items)} \
        if named else {}  # fmt: skip
    return one_of_known(known, at.claim) if known else None


def _of_thing(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the one screw of the hub`: what holds that, of any sort of screw."""
    if not has_noun(at, at.claim) or at.lexicon.tongue.noun(at.claim.noun) != "screw":
        return None
    words = [w for w in words_in(at.sentence.text) if w[0] >= at.claim.end]
    nouns = [n for n, w in enumerate(words) if w[2] == at.claim.noun][:1]
    of = words[nouns[0] + 1 :][:1] if nouns else []
    if not of or of[0][2] not in grammar.whose:
        return None
    thing = next((m for m in mentions(at) if 0 <= m.start - of[0][1] <= _OF_THE), None)
    fastenings = [at.scope.design.fastenings.get(i) for i in sorted(thing.items)] if thing else []
    known = {count: f"what holds {fastening.item.id}" for fastening in fastenings if fastening
             for part, count in fastening.takes if isinstance(part, Fastener)}  # fmt: skip
    return one_of_known(known, at.claim) if known else None


_OF_THE = 5  # characters from "of" to the thing


def _too_many(at: Statement, grammar: Grammar) -> Against | None:
    """`three feet in front and one foot at the back`: more than there are."""
    claim = at.claim
    if not _is_new(at, claim, grammar):
        return None
    mine = parts_counted(at)
    shares = [c.high for c in at.others if _is_new(at, c, grammar) and c.noun and
              any(a & b for a in mine for b in parts_counted(at, c))]  # fmt: skip
    shares += [1.0] * articles_for(at, mine)
    most = the_most(at)
    total = sum(shares)
    if any(_is_broken_down(at, c) for c in at.others if c.kind == "count"):
        return None
    if len(shares) < 2 or not most or total <= most or max(shares) * 2 == total:
        return None
    return Against(f"{most} in all, not {total:g}", "")


def _is_new(at: Statement, claim: Claim, grammar: Grammar) -> bool:
    """Whether so many are told of for the first time: `two feet`, not `the two feet`."""
    if claim.kind != "count" or claim.one_of or not has_noun(at, claim):
        return False
    before = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    return not before or before[-1] not in grammar.all | grammar.definite


_Rule = Callable[[Statement, Grammar], Backing | Against | None]
_RULES: tuple[_Rule, ...] = (
    of_them, _number_and_noun, holes, on_arbor, of_all, _too_few, _sum, in_parcel, _per_each,
    _of_thing, spare, _used_holes, _all, _all_told, _others, _more, _broken_down, _of_named,
    _listed, _too_many,
)  # fmt: skip
