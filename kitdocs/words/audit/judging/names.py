"""Designations, codes, references and numbers in names, held against the design."""

from __future__ import annotations

import re
from dataclasses import replace

from kitdocs.kit.parts import Fastener
from kitdocs.mechanism.standards import is_set_screw
from kitdocs.words.audit.claims.spellings import covers, read_spelling
from kitdocs.words.audit.judging.known_counts import numbers
from kitdocs.words.audit.judging.ordinals import judge_ordinal
from kitdocs.words.audit.judging.statement import GIVE, Against, Backing, Statement
from kitdocs.words.audit.lexicon import WORD


def in_a_name(at: Statement) -> Backing | None:
    """A number that is in the name of a thing that is at hand: `1.5 mm hex key`. In the words of
    a part itself figures are held against its facts."""
    if at.scope.part is not None and at.claim.digits:
        return None
    for named in at.named:
        if named.source or not named.start <= at.claim.start <= at.figure_end <= named.end:
            continue
        for referent in named.referents:
            if (
                (referent.what == "part" and referent.id in at.scope.parts)
                or (referent.what == "driver" and referent.id in at.scope.drivers)
                or (referent.what in ("body", "arbor", "delivery"))
            ):
                return Backing("name", at.sentence.text[named.start : named.end])
    return None


def judge_designation(at: Statement) -> Backing | Against:
    kit = at.scope.design.kit
    said = read_spelling(at.claim.text)
    here = [p for i in sorted(at.scope.parts) if isinstance(p := kit.parts[i], Fastener)]
    if said is None:
        return Against("a designation such as M2.5 × 6", _screw_of(at))
    noun, others = _noun_after(at)
    nouns = at.lexicon.parts_called(noun, others)
    here += [p for p in _set_screws(at) if any(p.id in ids for ids in nouns)]
    known = here
    if nouns and any(p.id in ids for ids in nouns for p in here):
        known = [p for p in here if any(p.id in ids for ids in nouns)]
    threads = {h.thread for i in at.scope.parts for h in kit.parts[i].holes if h.thread}
    for part in known:
        if covers(said, part.parsed):
            return Backing("fact", f"the designation of {part.id}")
    if not said.length and not said.standard and said.thread in threads:
        return Backing("fact", f"a thread {said.thread} of a part here")
    listed = ", ".join(p.id for p in known) or "a fastener of this step, of which there is none"
    return Against(listed, _screw_of(at))


def _set_screws(at: Statement) -> list[Fastener]:
    """Those that hold what is worked on here, or something to it, though they are driven later."""
    here = at.scope.acted_ids
    held = (f.part for i, f in at.scope.design.fastenings.items() if {i, f.host.id} & here)
    return [p for p in held if isinstance(p, Fastener) and is_set_screw(p.parsed)]


def _noun_after(at: Statement) -> tuple[str, tuple[str, ...]]:
    """The noun after a designation, and the words before it."""
    others: list[str] = []
    for word in WORD.finditer(at.sentence.text, at.claim.end):
        if word.start() - at.claim.end > 30 or word[0].lower() in at.lexicon.tongue.stops:
            break
        if at.lexicon.is_noun(word[0].lower()):
            return word[0].lower(), tuple(others)
        others.append(word[0].lower())
    return "", ()


def _screw_of(at: Statement) -> str:
    fastenings = at.scope.design.fastenings
    held = next((i for i in at.scope.acted if i.id in fastenings and
                 isinstance(fastenings[i.id].part, Fastener)), None)  # fmt: skip
    return f"Write {{{{ item('{held.id}').screw }}}}." if held else ""


def judge_code(at: Statement) -> Backing | Against:
    kit, text = at.scope.design.kit, at.claim.text
    standards = {p.parsed.standard for p in kit.parts.values() if isinstance(p, Fastener)}
    fits = {p.fit for p in kit.parts.values() if p.fit}
    words = [d for d in at.scope.drivers if text in d.split()]
    if re.sub(r"[\s\u00a0]+", " ", text) in standards | fits or words:
        return Backing("fact", "a standard, fit or driver of the kit")
    if text.lower() in at.lexicon.words and at.scope.part is not None:
        return Backing("name", text)
    known = sorted({*filter(None, standards), *at.scope.drivers})
    return Against(", ".join(known) or "a name of the kit", "")


def judge_reference(at: Statement) -> Backing | Against:
    claim, scope = at.claim, at.scope
    kit, what = scope.design.kit, claim.what
    if what == "revision":
        if claim.text == kit.about.revision:
            return Backing("fact", "the revision of the kit")
        return Against(kit.about.revision, "Write {{ kit.revision }}.")
    number = int(claim.high)
    if what == "step":
        mend = "Write {{ step('ID') }}, which stays right when steps are moved."
        return Against("a link to the step", mend)
    if what == "stage":
        stage = kit.stages[number - 1] if 0 < number <= len(kit.stages) else None
        title = at.lexicon.names.stage(stage) if stage else ""
        after = at.sentence.text[claim.end :]
        titles = [t for s in kit.stages if (t := at.lexicon.names.stage(s)) in after]
        if stage and (title in titles or (stage is scope.stage and not titles)):
            return Backing("fact", f"the number of the stage {stage.id}")
        return Against("a link to the stage", "Write {{ stage('ID') }}.")
    if what in ("parcel", "month"):
        return _parcel(at, number)
    if what == "hole":
        if sum(c.what == "hole" and c.high == claim.high for c in at.others) > 1:
            return Against("another hole: this one is in the list twice", "")
        wanted = {h for i in scope.acted if i.id in kit.held for h in kit.held[i.id].holes}
        grammar = at.lexicon.tongue.grammar
        if grammar is not None and grammar.left.search(at.sentence.text.lower()):
            hosts = {kit.items[kit.held[i.id].to].part for i in scope.acted if i.id in kit.held}
            wanted = {n for part in hosts for n in part.hole_patterns} - wanted
        if number in wanted:
            return Backing("fact", "a hole of the fastening schedule")
        return Against(f"holes {', '.join(map(str, sorted(wanted)))}" if wanted else "no hole")
    if what == "ordinal" and (grammar := at.lexicon.tongue.grammar) is not None:
        return judge_ordinal(at, grammar)
    if what == "ordinal":
        known = numbers(claim, at.named, scope, at.lexicon, at.sentence.text)
        most = max((n.value for n in known), default=0)
        if number <= most:
            return Backing("fact", f"one of {most}")
        return Against(f"at most {most}")
    return Against("a link to what is meant", "Name it instead of its number.")


def judge_listed_hole(at: Statement) -> Backing | Against | None:
    """`three of the holes are used: 1, 3 and 5`: a figure after a mark, where holes are told of."""
    claim, noun = at.claim, at.lexicon.tongue.noun
    before = at.sentence.text[: claim.start].lower()
    words = [noun(word) for word in WORD.findall(before.rpartition(":")[0])]
    if "hole" not in words or not claim.high.is_integer():
        return None
    told = [n for c in at.others if c.kind == "number" for n in {c.low, c.high}]
    if any(told.count(end) > 1 for end in (claim.low, claim.high)):
        return Against("another hole: this one is in the list twice", "")
    low, high = (
        judge_reference(replace(at, claim=replace(claim, what="hole", low=end, high=end)))
        for end in (claim.low, claim.high)
    )
    return low if isinstance(low, Against) else high


def _parcel(at: Statement, number: int) -> Backing | Against:
    scope, kit = at.scope, at.scope.design.kit
    ids = [r.id for n in at.named for r in n.referents if r.what == "delivery"]
    if not ids and scope.stage:
        ids = [scope.stage.front.delivery]
    if scope.delivery:
        ids = [scope.delivery]
    order = list(kit.deliveries)
    if at.claim.what == "parcel" and scope.stage and (by_parts := _delivering(at, number)):
        return by_parts
    numbered = {i: order.index(i) + 1 for i in ids if i in kit.deliveries}
    if at.claim.what == "month":
        numbered = {i: kit.deliveries[i].month for i in numbered}
    for name, value in numbered.items():
        if value == number:
            return Backing("fact", f"the {at.claim.what} of {name}")
    fact = "month" if at.claim.what == "month" else "number"
    mend = f"Write {{{{ delivery('{ids[0] if ids else 'ID'}').{fact} }}}}."
    return Against(" or ".join(map(str, numbered.values())) or "a parcel's name", mend)


def _delivering(at: Statement, number: int) -> Backing | Against | None:
    """A parcel by the parts that the sentence names, which it brings, or brings none of."""
    design = at.scope.design
    order = list(design.kit.deliveries)
    parts = {r.id for n in at.named for r in n.referents if r.what == "part"}
    brings = {n: design.takings.delivered[name] for n, name in enumerate(order, 1)}
    right = [n for n, parcel in brings.items() if parts and all(parcel[p] for p in parts)]
    if number in right:
        return Backing("fact", f"the parcel {order[number - 1]}, which holds what is named")
    if right and not any(brings[number][p] for p in parts if number in brings):
        return Against(" or ".join(map(str, right)), "Write {{ delivery('ID').number }}.")
    return None


def judge_date(at: Statement) -> Backing | Against:
    signed = at.scope.design.kit.about.signed
    if signed and at.claim.text == signed.on:
        return Backing("fact", "the day of the signature")
    return Against("a source for it", GIVE)
