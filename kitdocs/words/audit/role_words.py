"""Words that say what is done with things, and how two of them belong together, by language.

All are patterns over plain text. What is *put*, *driven* or *oiled* follows the verb; `on` and
`of` stand between two names, `meshes`, `holds` and `carries` between a name and what it does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

#: For what a language has no words of its own.
_NEVER = re.compile("(?!)")


@dataclass(frozen=True, kw_only=True)
class RoleWords:
    """One language's words for the work at a bench. Common practice of each language."""

    put: re.Pattern[str]  # verbs of an instruction that put a thing in its place
    pushed: re.Pattern[str]  # those among them that are never done to a screw or a tool
    laid: re.Pattern[str]  # those that are not done to what is poured
    below: re.Pattern[str]  # of `over`, what is said of a thing that lies below
    meshed: re.Pattern[str] = _NEVER  # after a wheel into which another comes
    pressed: re.Pattern[str]  # those that take force
    each: re.Pattern[str]  # before a thing of which there are several
    all: re.Pattern[str]  # after what carries the whole machine
    drives: re.Pattern[str]  # of `meshes`, what may be said of the shafts too
    driven: re.Pattern[str]  # before and after what is done to screws alone, the object as "X"
    bears: re.Pattern[str]  # before and after what other things sit on, as "X"
    oil: re.Pattern[str]
    between: re.Pattern[str]  # all that may stand between a verb and its object
    on: re.Pattern[str]  # between a thing and what it is on
    over: re.Pattern[str]  # in an instruction, between a thing and what it is put over or below
    down: re.Pattern[str] = _NEVER  # before a shaft along which a thing is slid
    down_to: re.Pattern[str] = _NEVER  # after it, before what the thing comes to rest on
    of: re.Pattern[str]  # between a thing and what it belongs to
    meshes: re.Pattern[str]
    holds: re.Pattern[str]
    carries: re.Pattern[str]
    both: re.Pattern[str]  # between two things of which the same is said
    turns: re.Pattern[str]  # after a thing that goes round
    rests: re.Pattern[str]  # after a thing that does not
    has_teeth: re.Pattern[str]
    drop_of: re.Pattern[str]  # before what comes in drops
    axis_of: re.Pattern[str]
    on_crank: re.Pattern[str]  # after what is on the crank
    watch: re.Pattern[str]  # before what is to be seen moving
    first: re.Pattern[str]
    last: re.Pattern[str]
    then: re.Pattern[str]  # between two things that are put one after the other

    @cached_property
    def after(self) -> re.Pattern[str]:
        """All that is looked for after a thing: most sentences have none of it."""
        told = (self.turns, self.rests, self.carries, self.holds, self.has_teeth, self.on_crank)
        return _any(told)

    @cached_property
    def before(self) -> re.Pattern[str]:
        """All that is looked for right before a thing."""
        return _any((self.oil, self.drop_of, self.axis_of, self.watch, self.each))


def _any(patterns: tuple[re.Pattern[str], ...]) -> re.Pattern[str]:
    return re.compile("|".join(f"(?:{one.pattern})" for one in patterns), re.IGNORECASE)


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)


_THE = r"(?:\s+(?:the|an?|its|each|one))?\s*"
_DER = r"(?:\s+(?:der|die|das|den|dem|des|ein|eine|einen|einem|einer|sein\w*|ihr\w*))?\s*"
#: Numbers of things, before their name.
_SO_MANY = r"(?:\d+|one|two|three|four|five|six)"

ROLE_WORDS: Mapping[str, RoleWords] = {
    "en": RoleWords(
        put=_words(
            r"(?:^|[,;:]\s+(?:then\s+|and\s+)?|\band\s+(?:then\s+)?)"
            r"(?P<verb>slide|thread|press|put|drop|lay|fit|place|stand|lower|glue"
            r"|push(?=\s+(?:on|in)\b|[^.,;:]*\s(?:on|in|into|onto)\b))\b(?!\s+it\b)"
        ),
        pushed=_words("slide|thread|push|press|lower"),
        laid=_words("lay|fit|stand"),
        below=_words("under|below"),
        pressed=_words("press"),
        each=_words(r"\beach\s+$"),
        all=_words(r"\s+carries\s+everything[.!]?$"),
        drives=_words("drive"),
        driven=_words(r"^drive" + _THE + rf"(?:{_SO_MANY}\s+)?X"),
        bears=_words(r"^on\s+the\s+X\s+(?:sit|sits|stand|stands)\b"),
        oil=_words(r"\boil" + _THE + "$"),
        between=_words(
            r"\s+(?:(?:on|off|in|down|back|over|only|first|then|now|the|an?|its|their|each|other"
            rf"|both|all|next|last|new|{_SO_MANY})\s+)*"
        ),
        on=_words(
            r"(?:,[^,]*,)?\s*(?:(?:sits|runs|stands|goes|turns)\s+)?(?:back\s+)?(?:on|onto|into)"
            + _THE
        ),
        over=_words(r"\s*(?:on\s+)?(?:down\s+)?(?:over|under|below|above|down|round)" + _THE),
        down=_words(r"\b(?:down|along)" + _THE + "$"),
        down_to=_words(r"(?:,[^,]*,)?\s+to" + _THE),
        of=_words(r"\s+of" + _THE),
        meshes=_words(
            r"\s+(?:drives?|meets?|meshes\s+with|engages?(?:\s+with)?|turns\s+against)" + _THE
        ),
        holds=_words(r"\s+holds?" + _THE),
        carries=_words(r"\s+(?:carries|carry|bears?)\b"),
        both=_words(r"\s+and" + _THE),
        turns=_words(r"(?:,[^,]*,)?\s+(?:turns|rotates|goes\s+round|makes\b.*\bturns?)\b"),
        rests=_words(r"\s+(?:does\s+not|never)\s+(?:turn|rotate|go\s+round|move)\b"),
        has_teeth=_words(r"\s+has\s+(?:[\w-]+\s+){1,4}teeth\b|\s+has\s+[\w-]+[.]?$"),
        drop_of=_words(r"\bdrops?\s+of" + _THE + "$"),
        axis_of=_words(r"\bax[ei]s\s+of" + _THE + "$"),
        on_crank=_words(r"\s+(?:sits|is)\s+on\s+the\s+crank\b(?!\s+(?:shaft|handle))"),
        watch=_words(r"\bwatch" + _THE + "$"),
        first=_words(r"^first\b|\bon\s+first\b|\b(?:goes|comes)\s+first\b"),
        last=_words(r"^last\b|\bon\s+last\b|\b(?:goes|comes)\s+last\b"),
        then=_words(r"(?:\s+on)?,?\s+(?:and\s+)?then" + _THE),
    ),
    "de": RoleWords(
        put=_words(
            r"(?:^|[,;:]\s+(?:dann\s+|und\s+)?|\bund\s+(?:dann\s+)?)"
            r"(?P<verb>schieb|fädl?|press|drück|steck|setz|leg|stell|senk|kleb)(?:el?n?|t)?\b(?:\s+Sie\b)?"
        ),
        pushed=_words("schieb|fäd|press|drück"),
        laid=_words("leg|stell"),
        below=_words("unter"),
        meshed=_words(r"\s+(?:ein)?greift\b"),
        pressed=_words("press"),
        each=_words(r"\bjede[nmrs]?\s+$"),
        all=_words(r"\s+trägt\s+alles[.!]?$"),
        drives=_words("treibt"),
        driven=_words(
            r"\b(?:dreh|schraub)e?n?\s+(?:Sie\s+)?(?:den|die|das)\s+(?:eine?n?\s+)?X\s+"
            r"(?:ein\b|fest\b|(?:auf|gegen)\s+die\s+(?:Fläche|Abflachung))"
        ),
        bears=_words(r"^auf\s+(?:der|dem)\s+X\s+(?:sitz|steh)(?:t|en)\b"),
        oil=_words(r"\bölen?\s+(?:Sie\s+)?" + _DER + "$"),
        between=_words(
            r"\s*(?:(?:zuerst|zuletzt|dann|nun|jetzt|nur|wieder|der|die|das|den|dem|ein|eine|einen"
            r"|beide|alle|andere|anderen|nächste|nächsten|zwei|drei|vier|fünf|sechs|\d+)\s+)*"
        ),
        on=_words(
            r"(?:\s+mit\s+\w+\s+Bohrung\b[^;:]*?|,[^,]*,)?\s*(?:(?:sitzt|läuft|steht|kommt)\s+)?"
            r"(?:ohne\s+\w+\s+|wieder\s+)?(?:auf|in)" + _DER
        ),
        over=_words(r"\s*(?:über|unter|um|am|an)" + _DER),
        of=_words(r"\s+(?:des|der|eines|einer)\s+"),
        meshes=_words(r"\s+(?:treibt|kämmt\s+mit|greift\s+in|trifft(?:\s+auf)?)" + _DER),
        holds=_words(r"\s+(?:hält|halten)" + _DER),
        carries=_words(r"\s+(?:trägt|tragen)\b"),
        both=_words(r"\s+und" + _DER),
        turns=_words(r"(?:,[^,]*,)?\s+(?:dreht\s+sich(?!\s+nicht)|läuft\s+um|macht\b.*drehung)"),
        rests=_words(r"\s+dreht\s+sich\s+(?:nicht|nie)\b"),
        has_teeth=_words(r"\s+hat\s+(?:[\w-]+\s+){1,4}Zähne\b|\s+hat\s+[\w-]+[.]?$"),
        drop_of=_words(r"\bTropfen\s+$"),
        axis_of=_words(r"\bAchsen?\s+(?:von|des|der)\s+(?:der\s+|dem\s+)?$"),
        on_crank=_words(r"\s+(?:sitzt|ist)\s+auf\s+der\s+Kurbel\b"),
        watch=_words(r"\b(?:seh|schau|acht)en?\s+(?:Sie\s+)?auf" + _DER + "$"),
        first=_words(r"\bzuerst\b"),
        last=_words(r"\bzuletzt\b"),
        then=_words(r"(?:\s+auf)?,\s+(?:und\s+)?dann" + _DER),
    ),
    "pl": RoleWords(
        put=_words(
            r"\b(?P<verb>nasuń|wsuń|wciśnij|wcisnąć|nałóż|połóż|załóż|włóż|postaw|ustaw|przyklej)(?:cie)?\b"
        ),
        pushed=_words("nasuń|wsuń|wciśnij"),
        laid=_words("połóż|postaw"),
        below=_words("pod"),
        pressed=_words("wciśnij"),
        each=_words(r"\bkażd(?:y|ą|e|ego|ej)\s+$"),
        all=_words(r"\s+niesie\s+(?:wszystko|całą\s+resztę)[.!]?$"),
        drives=_words("napędza"),
        driven=_words(r"\bwkręć(?:cie)?\s+X"),
        bears=_words(r"^na\s+X\s+(?:siedz[ią]|stoją?)\b"),
        oil=_words(r"\b(?:na)?oliw(?:cie)?\s+$|\bnaoliw\s+$"),
        between=_words(
            r"\s+(?:(?:najpierw|potem|teraz|jedno|jedną|jeden|dwa|dwie|trzy|cztery|\d+)\s+)*"
        ),
        on=_words(r"\s+(?:z\s+powrotem\s+)?(?:na|w)\s+"),
        over=_words(r"\s+(?:pod|nad)\s+"),
        of=_words(" "),  # the genitive alone says it
        meshes=_words(r"\s+(?:napędza|zazębia\s+się\s+z|spotyka)\s+"),
        holds=_words(r"\s+trzyma(?:ją)?\s+"),
        carries=_words(r"\s+niesie\b"),
        both=_words(r"\s+i\s+"),
        turns=_words(r"\s+(?:obraca\s+się|robi\b.*\bobrot)"),
        rests=_words(r"\s+nie\s+obraca\s+się\b"),
        has_teeth=_words(r"\s+ma\s+(?:[\w-]+\s+){1,4}zęb"),
        drop_of=_words(r"\bkropl[aęe]\s+$"),
        axis_of=_words(r"\bosi?e?\s+$"),
        on_crank=_words(r"\s+jest\s+na\s+korbie\b"),
        watch=_words(r"\b(?:obserwuj|patrz\s+na)\s+$"),
        first=_words(r"\bnajpierw\b"),
        last=_words(r"\bna\s+końcu\b"),
        then=_words(r",\s+(?:a\s+)?potem\s+"),
    ),
}
