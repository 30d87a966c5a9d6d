"""The small words of English."""

from __future__ import annotations

import re

from kitdocs.words.audit.claims.part_words import english_parts
from kitdocs.words.audit.tongues.grammar import Grammar

_TIMES = {"once": 1, "twice": 2, "thrice": 3}


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


ENGLISH_GRAMMAR = Grammar(
    prepositions=_set(
        "of on in into at to from with by for over under below above between near off onto out up"
        " down round around along against through inside within without beside behind across"
    ),
    whose=_set("of"),
    pronouns=_set("it its they their them theirs itself"),
    inside=_set("in of"),
    objects=_set("it them"),
    relatives=_set("that which"),
    with_=_set("with"),
    clauses=_set(
        "but while whereas so because since which that who until till when if then though although"
        " where whose"
    ),
    joins=_set("and or"),
    telling=_set(
        "is are was has have had measures measure takes take needs need makes make stands stand"
        " turns turn moves move goes go reaches reach holds hold runs run carries carry passes pass"
        " gives give drives drive lies lie rises rise shows show fills fill should must can will"
    ),
    crank=_set("crank"),
    bodies={"lunation": "moon", "lunations": "moon", "month": "moon"},
    place=re.compile(
        r"[^\w,;.:()]*(?:(?:of (?:it|them|the \w+(?: \w+)?)|further|deep)[^\w,;.:()]+)?"
        r"(?:(?:show|stand|stick|reach|project|remain|rise)\w* )?(?:proud |clear |out |away )?"
        r"(?:(?P<over>above|over|below|beneath)|from|into|apart|between|beside|behind)\b"
    ),
    between=re.compile(r"\b(?:between|from\b.*\bto)\b[^;:]*$"),
    lower=re.compile(r"\blower\b|\bbottom\b|\bunderside\b"),
    rises=re.compile(r"\bspare\b|\bplay\b|\bris(?:e|es|ing)\b|\bup and down\b"),
    tight=re.compile(
        r"\bair\b|\bgap\b|\broom\b(?! for)|\bclearance\b(?! hole)|\bleaves?\b|\bleft\b"
        r"|^ (?:under|(?:less|more) than) |\b(?:small|larg|tight|loos|narrow|wid)er\b"
    ),
    room=re.compile(r"\bair\b|\bgap\b|\broom\b|\bclearance\b|\bleft\b|\bleaves?\b"),
    through=re.compile(r" (?:\w+ ){0,2}(?:(?P<through>through)|into)\b"),
    differs=re.compile(
        r"[^\w,;.:()]*(?:(?:short|long|thin|thick|narrow|wid|broad|small|larg|bigg|low|high|tall|deep"
        r"|clos)er|farther|further|fewer|less|more|short of)\b(?! turn)"
    ),
    differs_by=re.compile(r"\b(?:short|long|thin|thick|wid|small|larg|low|high)er\b[^;:.]*\bby $"),
    stack=re.compile(r"\bstack\b"),
    radius=re.compile(r"\bradius\b"),
    parts_said=english_parts,
    times=_TIMES.get,
    no_times=_set("at more the a an it they this that these those all you or"),
    full=_set("full whole complete entire"),
    as_fast=re.compile(r" (?:as (?:fast|often|many|much)|faster than)\b"),
    makes=_set("makes make does do gives give"),
    screwing=re.compile(
        r"\bscrews? |\bslacken|\bloosen|\btighten|\bback (?:it|them|the)\b|\bunscrew|\bundo\b"
        r"|\bstart (?:all|each|the)\b|\bstick|\bstuck|\beas[ei]|\bfree\b|\bnip\b"
    ),
    until=re.compile(r"\b(?:until|till)\b[^;:.,]*$"),
    by_hand=re.compile(r"^\W*(?:then |now )?(?:turn|rotate|wind|give|rock|twist) (?!the crank)"),
    motion=re.compile(r"\bturn|\bround\b|\brotat|\brevol|\bmov(?:e|ing)|\bpass(?:es|ed)\b"),
    and_more=re.compile(
        r"[^\w.;:]*(?:(?:full |whole |complete )?turns? )?and (?:a bit|a little|some|more|\d+ ?°)"
    ),
    beyond=re.compile(r"\bmore\b|\bpast\b|\bfurther\b|\bbeyond\b|\bturns and\b|\bround and\b"),
    year=_set("year"),
    drifts=re.compile(r"\bdrift|\bdegree\b|\boff\b"),
    ratio=re.compile(r"\bratio\b"),
    too_long=re.compile(r"too (?:long|short|slow|fast)|\boff\b|\berror\b|longer|shorter"),
    all=_set("all"),
    together=re.compile(r"\bbetween them\b|\btogether\b|\bin all\b|\baltogether\b|\bin total\b"),
    used=re.compile(r"\bused\b|\bin use\b"),
    there=re.compile(r"[;:,] there are $"),
    ones=re.compile(r" (\w+) ones\b"),
    other=_set("other remaining last first"),
    more=re.compile(r" (?:more|further)\b"),
    left=re.compile(r"\bempty\b|\bfree\b|\bunused\b|\bleft over\b|\bremain"),
    per=re.compile(r"[^\w.;:]*(?:\w+ )?(?:in|on|for|to|under|per) each\b|[^\w.;:]*each\b"),
    share=re.compile(r"[^\w.;:]*(?:for|hold|holds|are|go|remain|stay|on|under|over)\b"),
    toothed=re.compile(r"tooth(?:ed)?$"),
    drives=re.compile(r"\bdriv"),
    passing=re.compile(r"\bpass\b|\bgo by\b|\bgoes by\b"),
    definite=_set("the these those its their our your both"),
    too_few=re.compile(r"\bnot enough\b|\btoo few\b"),
    spare=re.compile(r"[^\w.;:]*(?:is |of them )?(?:a |as )?(?:spares?|extra|over|in reserve)\b"),
    among=re.compile(r"\b(?:of which|of them|of these|among them|including|one of those)\b"),
    meshing=re.compile(r"\bmesh|\bengag|\bteeth\b|\bdriv|\bmeet|\bpair"),
    parts=_set("parts pieces"),
    last=_set("last"),
    every=_set("every"),
    here=re.compile(r"\b(?:of|in) this (?:step|stage)\b"),
    particles=_set(""),
    verbs=_set("turn"),
    singular=_set(
        "wheel pinion worm pulley arbor pipe post rod hub collet collar spacer sleeve bush pillar"
        " foot knob flange washer plate dial arm ball screw nut fastener tooth hole step stage"
        " parcel planet key"
    ),
    plural=_set(
        "wheels pinions worms pulleys arbors pipes posts rods hubs collets collars spacers sleeves"
        " bushes pillars feet knobs flanges washers plates dials arms balls screws nuts fasteners"
        " teeth holes steps stages parcels planets keys"
    ),
    how_many=re.compile(r"\bhow many\b|\bcount\b|\bnumber\b|\bqty\b|\bquantity\b|\bpieces\b"),
)
