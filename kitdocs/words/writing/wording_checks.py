"""Checks of single words, by language: what cannot be measured, counts, typed references."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.words.number_words import cardinal
from kitdocs.words.writing.check import Fault, at, is_backed
from kitdocs.words.writing.sentence_checks import told
from kitdocs.words.writing.texts import Text

_VAGUE = {
    "en": r"securely|firmly|properly|correctly|adequately|sufficiently|appropriately|suitably"
    r"|reasonably|slightly|somewhat|gently|carefully|snugly"
    r"|a little(?! (?:screw|wheel|ring|more|less|over|under|above|below|at a time))"
    r"|a bit(?! of| (?:more|less|over|under))|fairly tight|very tight|not too tight"
    r"|as (?:required|necessary|needed|appropriate)|if necessary"
    r"|well enough|hard enough|tight enough",
    "de": r"sorgfältig|vorsichtig|behutsam|ordentlich|ordnungsgemäß|ausreichend|hinreichend"
    r"|einigermaßen|ein (?:wenig|bisschen)(?! (?:mehr|weniger|über|unter))|fest genug"
    r"|nicht zu fest|sehr fest|gegebenenfalls|ggf\.|(?:bei|nach) Bedarf"
    r"|falls (?:nötig|erforderlich)|wenn nötig",
    "pl": r"ostrożnie|starannie|delikatnie|odpowiednio|właściwie|należycie|wystarczająco"
    r"|dostatecznie|troch[ęe]|nieco|lekko|niezbyt mocno|dość mocno|bardzo mocno"
    r"|w razie potrzeby|jeśli to konieczne|w miarę potrzeby",
}
_VAGUE_WORDS = {
    code: re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.IGNORECASE) for code, words in _VAGUE.items()
}

#: How far something is done, which is told where what ends it follows: `a little, until it meets`.
_SO_FAR = re.compile(
    r"a (?:little|bit)|slightly|somewhat|ein (?:wenig|bisschen)|troch[ęe]|nieco", re.IGNORECASE
)
_UNTIL = {"en": "until|till", "de": "bis", "pl": "aż|dopóki"}
_ENDED = {code: re.compile(rf"[^.;:]*?\b(?:{words})\b", re.I) for code, words in _UNTIL.items()}


def measure(design: Design, text: Text) -> Iterator[Fault]:
    if text.step is None:
        return
    for sentence in told(text):
        for match in _VAGUE_WORDS[text.language].finditer(sentence.text):
            is_told = _SO_FAR.fullmatch(match[0]) and _ENDED[text.language].match(
                sentence.text, match.end()
            )
            if not is_told and not is_backed(sentence, *match.span()):
                yield at(
                    sentence,
                    match.start(),
                    f"'{match[0]}', which nobody can measure",
                    "what to see, feel or measure: 'until the heads touch'",
                )


#: After what a single digit is no count: a number of something, or a measure.
_NUMBERED = {
    "en": r"steps?|stages?|figures?|figs?\.?|pages?|holes?|no\.|number|delivery|parcel|section|part"
    r"|table|row|of|to|and|or|by|ISO|DIN|class|size",
    "de": r"Schritte?n?|Stufen?|Bild(?:er)?|Abb\.|Seiten?|Löche?r?n?|Loch|Nr\.|Nummer|Lieferung"
    r"|Teil|Tabelle|Zeile|von|bis|und|oder|ISO|DIN|Klasse|Größe",
    "pl": r"krok\w*|etap\w*|rys\.|rysun\w*|stron\w*|otw\w*|nr|numer|dostaw\w*|częś\w*|tabel\w*"
    r"|wiersz\w*|z|do|i|lub|ISO|DIN|klas\w*|rozmiar\w*",
}
#: Nouns that a numeral in digits goes with: measures, and teeth by custom of the trade.
_MEASURED = {
    "en": r"mm|cm|m|km|g|kg|ml|l|s|min|h|d|Hz|rpm|°|%|per cent|degrees?|teeth|tooth|days?|hours?"
    r"|minutes?|seconds?|weeks?|months?|years?|turns?|millimetres?|grams?|newton|N·?m|V|A|W|mA"
    r"|threads?|times",
    "de": r"mm|cm|m|km|g|kg|ml|l|s|min|h|d|Hz|°|%|Prozent|Grad|Zähnen?|Zahn|Tagen?|Tag|Stunden?"
    r"|Minuten?|Sekunden?|Wochen?|Monaten?|Monat|Jahren?|Jahr|Umdrehungen?|Millimetern?|Gramm"
    r"|N·?m|V|A|W|mA|Mal|mal",
    "pl": r"mm|cm|m|km|g|kg|ml|l|s|min|h|d|Hz|°|%|procent\w*|stop\w*|z[ąę]b\w*|dni|dnia|dzień"
    r"|dniach|godz\w*|minut\w*|sekund\w*|tygod\w*|miesi\w*|lat\w*|rok\w*|obrot\w*|obrót|milimetr\w*"
    r"|gram\w*|N·?m|V|A|W|mA|raz\w*",
}
_COUNT = {
    code: re.compile(
        r"(?<![\w.,:/×°%–−+-])(?<!\d )(?<![×x*][ \u00a0])(?P<count>[1-9])[ \u00a0]"
        rf"(?!(?:{_MEASURED[code]})\b)"
        r"(?P<noun>[^\W\d_]{3,})"
    )
    for code in _MEASURED
}
_BEFORE = {code: re.compile(rf"(?:{_NUMBERED[code]})\W*$", re.IGNORECASE) for code in _NUMBERED}
_GLUED = re.compile(r"(?<![\w.])\d+(?:[.,]\d+)?(?P<unit>mm|cm|km|m|kg|g|ml|N·?m|Hz|rpm|mA)\b")


def count(design: Design, text: Text) -> Iterator[Fault]:
    code = text.language
    for sentence in told(text):
        for match in _COUNT[code].finditer(sentence.text):
            if is_backed(sentence, *match.span()):
                continue
            if _BEFORE[code].search(sentence.text[: match.start()]):
                continue
            word = cardinal(int(match["count"]), code)
            found = f"'{match['count']} {match['noun']}'"
            yield at(sentence, match.start(), found, f"a count up to nine in words: '{word} …'")
        for match in _GLUED.finditer(sentence.text):
            if not is_backed(sentence, *match.span()):
                number = match[0].removesuffix(match["unit"])
                expected = f"a space before the unit: '{number} {match['unit']}'"
                yield at(sentence, match.start(), f"'{match[0]}'", expected)


_REFERENCE = {
    "en": r"(?:see|as|shown) (?:above|below|overleaf)|overleaf"
    r"|(?:next|previous|preceding|following|last) (?:page|figure|drawing|picture|chapter|section)"
    r"|(?:page|figure|fig\.|drawing|chapter|section|step|stage)[ \u00a0]\d+",
    "de": r"siehe (?:oben|unten)|(?:nächste[nr]?|vorige[nr]?|vorherige[nr]?|folgende[nr]?"
    r"|letzte[nr]?) (?:Seite|Abbildung|Zeichnung|Kapitel|Abschnitt)"
    r"|(?:Seite|Abbildung|Abb\.|Bild|Kapitel|Abschnitt|Schritt|Stufe)[ \u00a0]\d+",
    "pl": r"patrz (?:wyżej|niżej|powyżej|poniżej)|(?:na )?(?:następn|poprzedni|kolejn)\w+ "
    r"(?:stron|rysun|rozdzia)\w*|(?:stron|rysun|rozdzia|krok|etap)\w*[ \u00a0]\d+"
    r"|rys\.[ \u00a0]\d+",
}
_REFERENCES = {
    code: re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.IGNORECASE)
    for code, words in _REFERENCE.items()
}


def reference(design: Design, text: Text) -> Iterator[Fault]:
    for sentence in told(text):
        for match in _REFERENCES[text.language].finditer(sentence.text):
            if not is_backed(sentence, *match.span()):
                yield at(
                    sentence,
                    match.start(),
                    f"a reference typed by hand, '{match[0]}'",
                    "one that is worked out",
                    "Write {{ step('ID') }}, {{ stage('ID') }} or a link.",
                )
