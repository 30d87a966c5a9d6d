"""Number words to numbers. The words themselves are made by `words/number_words.py`."""

from __future__ import annotations

from functools import lru_cache

from kitdocs.words.number_words import cardinal, compound

_BY_LANGUAGE = {code: {cardinal(n, code): n for n in range(20)} for code in ("en", "de", "pl")}
_TENS = {code: {cardinal(n, code): n for n in range(20, 100, 10)} for code in ("en", "de", "pl")}

ENGLISH_FIRST = frozenset({*_BY_LANGUAGE["en"], *_TENS["en"], "hundred", "dozen", "nought"})


def english(words: list[str]) -> tuple[int, int] | None:
    """`one hundred and six`, `twenty one`, `a hundred`, `two dozen`."""
    total = part = 0
    used = 0
    seen = ""  # the kind of the last word: only falling kinds make one number
    for n, word in enumerate(words):
        ones = _BY_LANGUAGE["en"].get(word)
        if ones is not None and (
            seen in ("", "hundred", "thousand", "and") or (seen == "tens" and 0 < ones < 10)
        ):
            part += ones
            seen = "ones"
        elif word in _TENS["en"] and seen in ("", "hundred", "thousand", "and"):
            part += _TENS["en"][word]
            seen = "tens"
        elif word == "hundred" and seen in ("", "ones") and part < 100:
            part = (part or 1) * 100
            seen = "hundred"
        elif word == "thousand" and seen in ("ones", "tens", "hundred"):
            total, part, seen = total + part * 1000, 0, "thousand"
        elif word == "dozen" and seen in ("", "ones", "tens"):
            return total + (part or 1) * 12, n + 1
        elif word == "and" and seen in ("hundred", "thousand"):
            seen = "and"
            continue  # counts only when a number follows
        else:
            break
        used = n + 1
    return (total + part, used) if used else None


_DE_ONES = {
    **{n: v for n, v in _BY_LANGUAGE["de"].items()},
    **{"ein": 1, "zwo": 2},
}


@lru_cache(maxsize=512)
def german_word(word: str) -> int | None:
    """`einhundertsechs`, `dreiunddreißig`; None for what is no number."""
    word = word.replace("dreissig", "dreißig")
    for mark, scale in (("tausend", 1000), ("hundert", 100)):
        if mark in word:
            before, _, after = word.partition(mark)
            first = german_word(before) if before else 1
            rest = german_word(after.removeprefix("und")) if after else 0
            if first is None or rest is None or first >= scale * 10 or rest >= scale:
                return None
            return first * scale + rest
    if word in _TENS["de"]:
        return _TENS["de"][word]
    if "und" in word:
        ones, _, tens = word.rpartition("und")
        if ones in _DE_ONES and 0 < _DE_ONES[ones] < 10 and tens in _TENS["de"]:
            return _DE_ONES[ones] + _TENS["de"][tens]
    return _DE_ONES.get(word)


#: Endings that count as well: *zweier*, *dreien*; *ein* is left to the article.
_DE_DECLINED = {"zweier": 2, "dreier": 3, "zweien": 2, "dreien": 3, "dutzend": 12}
_DE_ARTICLE = {"ein", "eine", "einen", "einem", "einer", "eines"}


def german_first(word: str) -> bool:
    return word in _DE_DECLINED or (word not in _DE_ARTICLE and german_word(word) is not None)


def german(words: list[str]) -> tuple[int, int] | None:
    if not words:
        return None
    value = _DE_DECLINED.get(words[0], german_word(words[0]))
    return None if value is None else (value, 1)


def _polish_forms() -> dict[str, int]:
    """Every form that a Polish number word of up to 900 takes (grammar of numerals)."""
    forms = {cardinal(n, "pl"): n for n in (*range(20), *range(20, 100, 10))}
    forms |= {cardinal(n, "pl"): n for n in range(100, 1000, 100)}
    for n in list(forms.values()):
        if 5 <= n < 100:
            stem = compound(n, "pl").removesuffix("o")  # pięci-, siedmi-, dwunast-, dwudziest- …
            forms |= dict.fromkeys((f"{stem}u", f"{stem}oma", f"{stem}oro", f"{stem}orga"), n)
        elif n >= 100:
            forms[compound(n, "pl")] = n
    declined = {
        1: "jedna jedno jednego jednej jednemu jedną jednym",
        2: "dwie dwaj dwóch dwu dwom dwóm dwoma dwiema dwoje dwojga dwojgiem",
        3: "trzej trzech trzem trzema troje trojga",
        4: "czterej czterech czterem czterema czworo czworga",
        12: "tuzin tuzina",
    }
    for n, words in declined.items():
        forms |= dict.fromkeys(words.split(), n)
    return forms


_PL = _polish_forms()
_PL_THOUSANDS = ("tysiąc", "tysiące", "tysięcy")
POLISH_FIRST = frozenset({*_PL, *_PL_THOUSANDS})


def polish(words: list[str]) -> tuple[int, int] | None:
    """`sto sześć`, `trzydziestu trzech`: hundreds, tens and ones, in any case; `stusześcio`, the
    first place of a word."""
    total, used, least = 0, 0, 1000
    if words and words[0] not in POLISH_FIRST and (value := polish_prefixes().get(words[0])):
        return value, 1
    for word in words:
        value = _PL.get(word)
        if word in _PL_THOUSANDS and total < 1000:
            total, least = max(total, 1) * 1000, 1000
        elif value is None:
            break
        else:
            size = 100 if value >= 100 else 10 if value >= 20 else 1
            if size >= least or (used and not value):
                break
            total, least = total + value, size
        used += 1
    return (total, used) if used else None


@lru_cache(maxsize=1)
def polish_prefixes() -> dict[str, int]:
    """What a number is in the first place of a Polish word, longest first: *stusześcio*."""
    found = {compound(n, "pl"): n for n in range(1, 1000)}
    return dict(sorted(found.items(), key=lambda pair: -len(pair[0])))
