"""The words of the bench in Polish. Common practice of the language."""

from __future__ import annotations

from kitdocs.words.audit.tongues.role_words import RoleWords
from kitdocs.words.audit.tongues.role_words import words as _words

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

POLISH_ROLES = RoleWords(
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
    put_on=_words(rf"\b(?:nasuń|nałóż|wciśnij|załóż)(?:cie)?\s+{_ILE}X(?!\s+(?:na|w|do|pod)\b)"),
    host=_words(r"\s+(?:(?!i\b)\w+\s+){0,5}?(?:na|w)\s+(?:koniec\s+)?"),
    oiled=_words(r"^(?:na)?oliw(?:cie)?\s+X"),
    smeared=_words(r"\b(?:kropl|warstw|warstewk)\w+\b[^.;]*?\bna\s+(?:koniec\s+)?" + _ILE + "X"),
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
    to=_words(rf"(?:\s+(?:{_JAK}|przyklej|przykręć|przymocuj|należy|\w+ić))*\s+do\s+(?:końca\s+)?"),
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
)
