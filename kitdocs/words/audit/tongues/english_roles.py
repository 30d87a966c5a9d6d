"""The words of the bench in English. Common practice of the language."""

from __future__ import annotations

from kitdocs.words.audit.tongues.role_words import RoleWords
from kitdocs.words.audit.tongues.role_words import words as _words

_THE = r"(?:\s+(?:the|an?|its|each|one))?\s*"
_END = r"(?:\s+the\s+(?:\w+\s+)?end\s+of)?"
#: Numbers of things, before their name.
_SO_MANY = r"(?:\d+|one|two|three|four|five|six)"

ENGLISH_ROLES = RoleWords(
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
    holds=_words(r"\s+holds?\b(?![^.;,:]*\b(?:off|clear|apart|away|up|down|level)\b)" + _THE),
    lower_end=_words(r"\b(?:at|to|on|round|around|over)\s+the\s+X\s+of\b|\b(?:its|their)\s+X\b"),
    place_of=_words(r"\b(?:rim|edge|middle|side|corner|underside)s?\s+of\s+the\s+$"),
    aside=_words(
        r"X\s+(?:flat\s+|up\s+|down\s+)?on\s+(?:the\s+)?(?:\w+\s+)?(?:bench|jaws|vice|cloth"
        r"|table)\b"
    ),
    pounded=_words(r"^drive" + _THE + r"X\s+(?:in|into|home|down)\b"),
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
)
