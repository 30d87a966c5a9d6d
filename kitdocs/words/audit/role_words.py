"""Words that say what is done with things, and how two of them belong together, by language.

All are patterns over plain text. What is *put*, *driven* or *oiled* follows the verb; `on` and
`of` stand between two names, `meshes`, `holds` and `carries` between a name and what it does.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

#: For what a language has no words of its own.
_NEVER = re.compile("(?!)")
_NAME = re.compile(r"\?P<\w+>")  # of a group: one pattern cannot have two of a name


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
    put_on: re.Pattern[str] = _NEVER  # round what is put on something, as "X", and is no host
    host: re.Pattern[str] = _NEVER  # between the verb and what something unnamed is put on
    oiled: re.Pattern[str] = _NEVER  # round what an instruction oils
    smeared: re.Pattern[str] = _NEVER  # round what takes a drop or a film of something
    found: re.Pattern[str] = _NEVER  # round the wheel whose teeth others find
    moved: re.Pattern[str] = _NEVER  # round what an instruction takes hold of
    turned: re.Pattern[str] = _NEVER  # round what it turns
    several: re.Pattern[str] = _NEVER  # round a thing of which there are several
    mixed: re.Pattern[str] = _NEVER  # before what comes in two parts
    stands: re.Pattern[str] = _NEVER  # after a thing of the machine, where it stands or runs
    upright: re.Pattern[str] = _NEVER  # after what stands on end
    flush: re.Pattern[str] = _NEVER  # between a thing and the shaft whose end it is level with
    sense: re.Pattern[str] = _NEVER  # after a thing, which way it turns, as "sense"
    backwards: re.Pattern[str] = _NEVER  # at the beginning of such a sense: clockwise
    parts_clauses: re.Pattern[str] = _NEVER  # between things that are not told of together
    features: Mapping[str, str] = field(default_factory=dict[str, str])  # see features.py
    feature_of: re.Pattern[str] = _NEVER  # such a word, and the thing that has it
    feature_had: re.Pattern[str] = _NEVER  # the thing, and such a word
    # For these see free_order.py.
    held_by: re.Pattern[str] = _NEVER  # after what is held, before what holds it
    turns_of: re.Pattern[str] = _NEVER  # before what turns so often
    pressed_in: re.Pattern[str] = _NEVER  # round what was pressed in
    counted: re.Pattern[str] = _NEVER  # a number right before a thing
    taken_off: re.Pattern[str] = _NEVER  # between the start and what is taken off or slackened
    between_two: re.Pattern[str] = _NEVER  # up to the second of two things, both as "X"
    lies: re.Pattern[str] = _NEVER  # from there to what lies between them
    used: re.Pattern[str] = re.compile("")  # a tool's name, where it is said to be used
    until: re.Pattern[str] = _NEVER  # between what is put on and what it comes to rest on
    host_first: re.Pattern[str] = _NEVER  # before what something is put on, told before it
    attached: re.Pattern[str] = _NEVER  # verbs by which one thing is fixed *to* another
    to: re.Pattern[str] = _NEVER  # then between the two
    off: re.Pattern[str] = _NEVER  # between what is taken off and what it was on
    away: re.Pattern[str] = _NEVER  # between two things, of which it tells how far they are apart
    until_end: re.Pattern[str] = _NEVER  # after what is put on until an end shows over it
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
        return _any((*told, self.stands, self.upright))

    @cached_property
    def around(self) -> re.Pattern[str]:
        """All that is looked for on both sides of a thing."""
        return _any(
            (self.driven, self.bears, self.oil, self.several, self.feature_of, self.feature_had)
        )

    @cached_property
    def handled(self) -> re.Pattern[str]:
        """All that an instruction says of a thing that is there already."""
        return _any((self.oiled, self.smeared, self.found, self.moved))

    @cached_property
    def before(self) -> re.Pattern[str]:
        """All that is looked for right before a thing."""
        return _any((self.drop_of, self.axis_of, self.watch, self.each, self.mixed))


def _any(patterns: tuple[re.Pattern[str], ...]) -> re.Pattern[str]:
    told = "|".join(f"(?:{_NAME.sub('', one.pattern)})" for one in patterns)
    return re.compile(told, re.IGNORECASE)


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)


_THE = r"(?:\s+(?:the|an?|its|each|one))?\s*"
_END = r"(?:\s+the\s+(?:\w+\s+)?end\s+of)?"
_DER = r"(?:\s+(?:der|die|das|den|dem|des|ein|eine|einen|einem|einer|sein\w*|ihr\w*))?\s*"
_ENDE = r"(?:\s+(?:das|dem)\s+(?:\w+\s+)?Ende\s+(?:des|der))?"
#: In Polish, how something is done, numbers of things, and a measure told of a thing.
_JAK = (
    r"najpierw|potem|następnie|teraz|jeszcze|znów|ponownie|z\s+powrotem|ostrożnie|lekko|luźno|mocno"
    r"|powoli|delikatnie|prosto|tylko"
)
_ILE = (
    r"(?:(?:\d+|jed(?:en|n[aoąy]|nym)|dw\w+|trz(?:y|ech|em|ema)|czter\w+|ob(?:a|ie|u|iema)|każd\w+"
    r"|wszystki\w+|kolejn\w+|następn\w+|drug\w+)\s+)*"
)
_PUTS = (
    r"(?:nasu|wsu)(?:ń|nąć|wa(?:j|ć|\s+się))|wciśnij|wci(?:snąć|ska(?:j|ć|\s+się))"
    r"|(?:na|po|za|w)ł(?:óż|ożyć)|(?:na|za|w)kłada(?:j|ć|\s+się)|kładzie\s+się"
    r"|(?:po|u)staw(?:ić)?|stawia\s+się|przykle(?:j|ić|ja(?:j|ć|\s+się))|wbij|osad(?:ź|zić|za\s+się)"
)
_O = r"(?:\s+[oz]\s+(?:\w+\s+[\d,]+\s+mm|(?:[\w-]+\s+){1,4}?zęb\w+))?"
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
        oil=_words(r"\boil" + _THE + "X"),
        between=_words(
            r"\s+(?:(?:on|off|in|down|back|over|only|first|then|now|the|an?|its|their|each|other"
            rf"|both|all|next|last|new|{_SO_MANY})\s+)*"
        ),
        on=_words(
            r"(?:,[^,]*,)?\s*(?:(?:sits|runs|stands|goes|turns)\s+)?(?:back\s+)?"
            r"(?:on|onto|into|in\s+its\s+hole\s+in)" + _THE
        ),
        over=_words(r"\s*(?:on\s+)?(?:down\s+)?(?:over|under|below|above|down|round)" + _THE),
        down=_words(r"\b(?:down|along)" + _THE + "$"),
        down_to=_words(r"(?:,[^,]*,)?\s+to" + _THE),
        put_on=_words(
            r"\b(?:press|put|slide|thread|push)" + _THE + r"X\s+on\b(?!\s+(?:the|an?|its)\b)"
            r"|\b(?:press|put|slide|thread|push)\s+on" + _THE + r"(?:one\s+)?X"
        ),
        host=_words(
            r"\s+(?:the|an?|its|each|both|all|one|two|three)\s+(?:[a-z]+\s+){1,4}?"
            r"(?:on|onto|over|down|into|in)" + _THE
        ),
        oiled=_words(r"^oil" + _THE + "X"),
        smeared=_words(
            r"\b(?:smear|film|drop|bead|dab)s?\b[^.;]*?\bon(?:to)?\b" + _END + _THE + "X"
            r"|^smear\b[^.;]*?\bon(?:to)?\b" + _END + _THE + "X"
        ),
        found=_words(
            r"\b(?:find|meet|reach)s?\s+(?:(?:the\s+teeth|those)\s+of|the\s+[a-z]+\s+(?:of|on))"
            r"(?:\s+the\s+(?:[a-z]+\s+)?[a-z]+\s+(?:of|on))?" + _THE + "X"
        ),
        moved=_words(
            r"^(?:then\s+)?(?:turn|rotate|spin|rock|lift|roll|pull|hold|remove|take\s+off|slacken"
            r"|loosen|tighten|watch)" + _THE + r"X|\band\s+watch" + _THE + "X"
        ),
        turned=_words(r"^(?:then\s+)?(?:turn|rotate|spin)" + _THE + "X"),
        several=_words(r"\bone\s+X\s+after\s+(?:another|the\s+other)\b"),
        mixed=_words(r"\bmix\b[^.,;]*$"),
        stands=_words(r"(?:,[^,]*,)?\s+(?:stands|sits|runs)\s+(?:on|in|upright)\b"),
        upright=_words(r"\s+stands\s+(?:quite\s+)?upright\b"),
        flush=_words(r"[^.;:]*?\bflush\s+with\s+the\s+(?:\w+\s+)?end\s+of" + _THE),
        sense=_words(
            r"[^.;:]{0,20}?\b(?:turns?|go(?:es)?\s+round|rotates?|spins?)\b[^.;:]{0,30}?"
            r"\b(?P<sense>(?:anti|counter-?)?clockwise)\b"
        ),
        backwards=_words("clock"),
        parts_clauses=_words(
            r"[.,:;()|–—\n]|\b(?:and|or|then|but|before|after|when|while|if|once|because|so|as|than|until|where"
            r"|pass(?:es)?|clears?|hangs?)\b"
        ),
        features={
            "shoulder": "shoulder",
            "flat": "flat",
            "bore": "bore",
            "end": "end",
            "ends": "end",
            "tooth": "tooth",
            "teeth": "tooth",
            "hole": "hole",
            "holes": "hole",
            "rim": "rim",
        },
        feature_had=_words(r"X\s+has\s+(?:[\w.-]+\s+){1,3}?(?P<feature>holes?|shoulder|flat)\b"),
        feature_of=_words(r"\b(?P<feature>[a-z]+)\s+of" + _THE + "X"),
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
        meshed=_words(r"[^.,;:]{0,40}?\s(?:ein)?greift\b"),
        pressed=_words("press"),
        each=_words(r"\bjede[nmrs]?\s+$"),
        all=_words(r"\s+trägt\s+alles[.!]?$"),
        drives=_words("treibt"),
        driven=_words(
            r"\b(?:dreh|schraub)e?n?\s+(?:Sie\s+)?(?:den|die|das)\s+(?:eine?n?\s+)?X\s+"
            r"(?:ein\b|fest\b|(?:auf|gegen)\s+die\s+(?:Fläche|Abflachung))"
        ),
        bears=_words(r"^auf\s+(?:der|dem)\s+X\s+(?:sitz|steh)(?:t|en)\b"),
        oil=_words(r"\böle?n?(?:\s+Sie)?" + _DER + r"X|X\s+(?:zu\s+)?ölen\b"),
        between=_words(
            r"\s*(?:(?:zuerst|zuletzt|dann|nun|jetzt|nur|wieder|der|die|das|den|dem|ein|eine|einen"
            r"|beide|alle|andere|anderen|nächste|nächsten|zwei|drei|vier|fünf|sechs|\d+)\s+)*"
        ),
        on=_words(
            r"(?:\s+mit\s+\w+\s+Bohrung\b[^;:]*?|,[^,]*,)?\s*(?:(?:sitzt|läuft|steht|kommt)\s+)?"
            r"(?:ohne\s+\w+\s+|wieder\s+)?(?:auf|in)" + _DER
        ),
        over=_words(r"\s*(?:über|unter|um|am|an)" + _DER),
        put_on=_words(
            r"\b(?:press|schieb|steck|fädl?)(?:el?n?)?\s+(?:Sie\s+)?(?:zuerst\s+|zuletzt\s+)?"
            r"(?:der|die|das|den|ein|eine|einen)\s+X\s+auf\b(?!\s+(?:d|ein|sein|ihr))"
        ),
        host=_words(
            r"\s+(?:der|die|das|den|ein|eine|einen|beide|zwei|drei)\s+(?:\w+\s+){1,3}?"
            r"(?:auf|über|in|an)" + _DER
        ),
        oiled=_words(r"^öle?n?(?:\s+Sie)?" + _DER + "X"),
        smeared=_words(
            r"\b(?:Tropfen|Film|Schicht|Klecks|streichen?)\b[^.;]*?\b(?:auf|an)"
            + _ENDE
            + _DER
            + "X"
        ),
        found=_words(
            r"\bZähnen?\b[^.;]*?\b(?:in|an)\s+(?:(?:die|denen|den|das|dem|der)\s+)"
            r"(?:(?:des|der)\s+)?X"
        ),
        moved=_words(
            r"^(?:dreh|löse|halte|hebe|roll|zieh|wackl|ruckl|nimm)(?:en?)?(?:\s+Sie)?" + _DER + "X"
            r"|\bund\s+(?:seh|schau)en?(?:\s+Sie)?\s+auf" + _DER + "X"
        ),
        turned=_words(r"^drehe?n?(?:\s+Sie)?" + _DER + r"X(?!.*\b(?:ein|fest|los)\b)"),
        several=_words(r"\beine?n?\s+X\s+nach\s+de[mr]\s+anderen\b"),
        mixed=_words(r"\bmischen?\b[^.,;]*$"),
        stands=_words(r"\s+(?:steht|sitzt|läuft|liegt)\b|\s+ist\s+(?:am|an|im)\b"),
        upright=_words(r"\s+steht\b[^.;,]*\baufrecht\b"),
        flush=_words(r"[^.;:]*?\bbündig\s+mit\s+dem\s+(?:\w+\s+)?Ende\s+(?:des|der)\s+"),
        sense=_words(
            r"\s+(?:dreht\s+sich|läuft|rotiert)\b[^.;:]{0,40}?"
            r"\b(?P<sense>(?:gegen\s+den|im)\s+Uhrzeigersinn)\b"
        ),
        backwards=_words("im"),
        parts_clauses=_words(
            r"[.,:;()|–—\n]|\b(?:und|oder|dann|aber|bevor|ehe|nachdem|wenn|während|falls|sobald|weil|als|wo|hängt|über|unter)\b"
        ),
        features={
            "absatz": "shoulder",
            "schulter": "shoulder",
            "fläche": "flat",
            "abflachung": "flat",
            "bohrung": "bore",
            "ende": "end",
            "enden": "end",
            "zahn": "tooth",
            "zähne": "tooth",
            "zähnen": "tooth",
            "loch": "hole",
            "löcher": "hole",
            "löchern": "hole",
        },
        feature_had=_words(
            r"X\s+hat\s+(?:[\w,-]+\s+){1,3}?\w*?(?P<feature>loch|löcher|absatz|abflachung)\b"
        ),
        feature_of=_words(r"\b(?P<feature>[a-zäöü]+)\s+(?:des|der|eines|einer)\s+X"),
        of=_words(r"\s+(?:des|der|eines|einer)\s+"),
        meshes=_words(r"\s+(?:treibt|kämmt\s+mit|greift\s+in|trifft(?:\s+auf)?)" + _DER),
        holds=_words(r"\s+(?:hält|halten)" + _DER),
        carries=_words(r"\s+(?:trägt|tragen)\b"),
        both=_words(r"\s+und" + _DER),
        turns=_words(
            r"(?:,[^,]*,)?\s+(?:dreht\s+sich(?!\s+(?:nicht|nie))|läuft\s+um|macht\b.*drehung)"
        ),
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
            rf"\b(?P<verb>{_PUTS})(?:cie)?\b"
            r"(?:\s+(?:pincetą|palcami|kluczem|wkrętakiem|młotkiem)\b)?"
        ),
        pushed=_words("nasu|wsu|wci"),
        laid=_words("poł|kład|postaw|stawia"),
        below=_words("pod"),
        pressed=_words("wci"),
        each=_words(r"\bkażd(?:y|ą|e|ego|ej)\s+$"),
        all=_words(r"\s+niesie\s+(?:wszystko|całą\s+resztę)[.!]?$"),
        drives=_words("napędza|obraca|napęd"),
        driven=_words(
            rf"\bwkręć(?:cie)?\s+{_ILE}X|\bwkręca\s+się\s+{_ILE}X"
            r"|X\s+(?:należy\s+wkręcić|wkręca\s+się)\b"
            rf"|\b(?:przykręc|umocow|przymocow)(?:on|an)\w+\s+{_ILE}X"
        ),
        bears=_words(r"^na\s+X\s+(?:siedz[ią]|stoją?|leż[yą]|są)\b"),
        oil=_words(r"\b(?:na)?oliw(?:ić|cie|ia\s+się)?\s+X"),
        between=_words(
            rf"\s+(?:(?:{_JAK}|na\s+ni(?:ego|ą|m|ej))\s+)*{_ILE}(?:[a-ząćęłńóśźż]+\s+i\s+{_ILE})?"
        ),
        on=_words(
            rf"{_O}(?:\s+(?:{_JAK}|{_PUTS}|się|siedzi|leży|stoi|trafia|przychodzi|idzie|obraca|kręci"
            r"|należy|trzeba|można))*\s+(?:na|w)\s+(?:koniec\s+|końcu\s+)?"
        ),
        over=_words(r"\s+(?:pod|nad|wokół)\s+"),
        put_on=_words(
            rf"\b(?:nasuń|nałóż|wciśnij|załóż)(?:cie)?\s+{_ILE}X(?!\s+(?:na|w|do|pod)\b)"
        ),
        host=_words(r"\s+(?:(?!i\b)\w+\s+){0,5}?(?:na|w)\s+(?:koniec\s+)?"),
        oiled=_words(r"^(?:na)?oliw(?:cie)?\s+X"),
        smeared=_words(
            r"\b(?:kropl|warstw|warstewk)\w+\b[^.;]*?\bna\s+(?:koniec\s+)?" + _ILE + "X"
        ),
        moved=_words(
            r"^(?:obróć|odwróć|obracaj|przekręć|zdejmij|odłóż|wyjmij|podnieś|poluzuj|dokręć|przytrzymaj"
            rf"|trzymaj|sprawdź|obejrzyj|obserwuj|porusz|poruszaj)(?:cie)?\s+{_ILE}X"
        ),
        turned=_words(r"^(?:obróć|obracaj|przekręć)(?:cie)?\s+X"),
        several=_words(r"\bjedn\w+\s+X\s+po\s+drugi\w+"),
        mixed=_words(r"\bwymieszaj\b[^.,;]*$"),
        stands=_words(
            rf"{_O}\s+(?:stoi|siedzi|zostaje|obraca\s+się\s+na|jest\s+na\s+(?:dole|górze)"
            r"|leży(?!\s+(?:w|obok)\b))\b"
        ),
        upright=_words(rf"{_O}\s+stoi\s+(?:\w+\s+)?pionowo\b"),
        flush=_words(r"[^.;:]*?\brówno\s+z\s+końcem\s+"),
        features={
            **dict.fromkeys(("odsadzenie", "odsadzenia", "odsadzeniu"), "shoulder"),
            **dict.fromkeys(("spłaszczenie", "spłaszczenia", "ścięcie", "ścięcia"), "flat"),
            **dict.fromkeys(("otwór", "otworu", "otworze", "otwory", "otworów"), "hole"),
            **dict.fromkeys(("koniec", "końca", "końcu", "końcem", "końce", "końcami"), "end"),
            **dict.fromkeys(("ząb", "zęby", "zębów", "zębami", "zębach"), "tooth"),
            **dict.fromkeys(("wieniec", "wieńca", "wieńcu"), "rim"),
        },
        feature_of=_words(r"\b(?P<feature>[a-ząćęłńóśźż]+)\s+X"),
        sense=_words(
            r"\s+obraca\s+się\b[^.;:]{0,30}?"
            r"\b(?P<sense>(?:przeciwnie\s+do|zgodnie\s+z)\s+ruch\w+\s+wskazówek)\b"
        ),
        backwards=_words("zgodnie"),
        parts_clauses=_words(
            r"[.,:;()|–—\n]|\b(?:i|oraz|lub|a|potem|ale|zanim|gdy|kiedy|jeśli|aż|bo|jak|niż|przechodzi)\b"
        ),
        held_by=_words(rf"\s+(?:trzyma(?:ją)?|mocuj[eą]|łącz[ąy])\s+{_ILE}$"),
        turns_of=_words(r"\b(?:obroty|obrotów|obrotu|obrót|napędza(?:ją)?)\s+$"),
        pressed_in=_words(r"\bwciśnięt\w+\s+X"),
        counted=_words(r"\b(?:\d+|dw\w+|trz(?:y|ech|em|ema)|czter\w+)\s+$"),
        taken_off=_words(
            rf"^(?:odłóż|zdejmij|wyjmij|poluzuj|odkręć)(?:cie)?\s+{_ILE}(?:[^.;,]*\si\s+{_ILE})?$"
        ),
        between_two=_words(r"\bmiędzy\s+X\s+[ai]\s+X$"),
        lies=_words(r"\s+(?:leży|jest|siedzi|znajduje\s+się)\s+"),
        used=_words(r"\w+(?:ą|em|ami)\b"),
        until=_words(r"\s+aż\s+do\s+"),
        host_first=_words(r"\b(?:na|w|do)\s+(?:koniec\s+|końca\s+)?$"),
        attached=_words(r"\b(?:przyklej|przykle(?:ić|ja\s+się)|przykręć|przykręcić|przymocuj)"),
        to=_words(
            rf"(?:\s+(?:{_JAK}|przyklej|przykręć|przymocuj|należy|\w+ić))*\s+do\s+(?:końca\s+)?"
        ),
        off=_words(r"\s+ze?\s+"),
        found=_words(r"\bw\s+zęby\s+X"),
        away=_words(r"\s+(?:stoi|leży|jest(?:\s+oddalon\w+\s+o)?)\s+[\d,]+[ \u00a0]mm\s+od\s+"),
        until_end=_words(r",\s+aż\s+(?:pokaże|ukaże)\s+się\s+koniec\b"),
        of=_words(" "),  # the genitive alone says it
        meshes=_words(
            rf"{_O}\s+(?:napędza|obraca|przekazuje\s+napęd\s+na|zazębia\s+się\s+z|spotyka(?:\s+się\s+z)?|obiega"
            r"|toczy\s+się\s+po)\s+"
        ),
        holds=_words(rf"\s+(?:trzyma(?:ją)?|mocuj[eą]|dociska(?:ją)?)\s+{_ILE}"),
        carries=_words(r"\s+(?:niesie|niosą)\b"),
        both=_words(r"\s+i\s+"),
        turns=_words(
            r"\s+(?:obraca\s+się|kręci\s+się|obiega|okrąża|toczy\s+się"
            r"|(?:robi|zrobi|wykonuje|wykona|wykonał[ao]?|potrzebuje)\b.*\bobr[oó]t)"
        ),
        rests=_words(r"\s+(?:nie\s+obraca\s+się|się\s+nie\s+obraca|stoi\s+nieruchomo)\b"),
        has_teeth=_words(r"\s+(?:ma|liczy|o)\s+(?:[\w-]+\s+){1,4}zęb|\s+(?:ma\s+)?\d+[.]?$"),
        drop_of=_words(r"\bkropl\w+\s+$"),
        axis_of=_words(r"\b(?:oś|osi|osie|osiach)\s+$"),
        on_crank=_words(r"\s+(?:jest|siedzi)\s+na\s+korbie\b"),
        watch=_words(r"\b(?:obserwuj|patrz\s+na)\s+$"),
        first=_words(r"\bnajpierw\b|\bjako\s+pierwsz\w+|\bna\s+samym\s+(?:dole|spodzie)\b"),
        last=_words(
            r"\bna\s+(?:sam(?:ym)?\s+)?(?:końcu|koniec)\b(?!\s+(?:rur|wał|słup|pręt|rami))"
            r"|\bjako\s+ostatni\w*|\bna\s+sam(?:ej\s+górze|ym\s+wierzchu)\b"
        ),
        then=_words(r",\s+(?:a\s+)?(?:potem|następnie)\s+"),
    ),
}
