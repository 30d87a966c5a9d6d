"""The words of the bench in German. Common practice of the language."""

from __future__ import annotations

from kitdocs.words.audit.tongues.role_words import RoleWords
from kitdocs.words.audit.tongues.role_words import words as _words

_DER = r"(?:\s+(?:der|die|das|den|dem|des|ein|eine|einen|einem|einer|sein\w*|ihr\w*))?\s*"
_ENDE = r"(?:\s+(?:das|dem)\s+(?:\w+\s+)?Ende\s+(?:des|der))?"

GERMAN_ROLES = RoleWords(
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
        r"(?:ohne\s+\w+\s+|wieder\s+)?"
        r"(?:auf|in(?:\s+(?:sein|ihr)e?\s+(?:Loch|Bohrung)\s+in)?)" + _DER
    ),
    over=_words(r"\s*(?:über|unter|um|am|an)" + _DER),
    put_on=_words(
        r"\b(?:press|schieb|steck|fädl?)(?:el?n?)?\s+(?:Sie\s+)?(?:zuerst\s+|zuletzt\s+)?"
        r"(?:der|die|das|den|ein|eine|einen)\s+X\s+auf\b(?!\s+(?:d|ein|sein|ihr))"
    ),
    host=_words(
        r"\s+(?:der|die|das|den|ein|eine|einen|beide|zwei|drei)\s+(?:\w+\s+){1,3}?"
        r"(?:auf|über|in|an|am|im)" + _DER
    ),
    oiled=_words(r"^öle?n?(?:\s+Sie)?" + _DER + "X"),
    smeared=_words(
        r"\b(?:Tropfen|Film|Schicht|Klecks|streichen?)\b[^.;]*?\b(?:auf|an)" + _ENDE + _DER + "X"
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
    holds=_words(
        r"\s+(?:hält|halten)\b(?![^.;:]*\b(?:fern|frei|auseinander|hoch|oben|Abstand)\b)" + _DER
    ),
    lower_end=_words(r"\b(?:am|den|zum|vom|dem)\s+X\s+(?:des|der)\b|\b(?:sein|ihr)e?[nm]?\s+X\b"),
    place_of=_words(r"\b(?:Rand|Kante|Mitte|Seite)\s+(?:des|der)\s+$"),
    aside=_words(
        r"X\s+auf\s+(?:die|den|das)\s+(?:\w+\s+)?(?:Werkbank|Backen|Schraubstock|Tisch|Tuch)\b"
    ),
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
)
