"""Polish numbers in words: cardinals, ordinals, and the first parts of compounds."""

from __future__ import annotations

from collections.abc import Sequence


def _list(words: str) -> tuple[str, ...]:
    return tuple(words.split())


#: 0 … 19, and 20, 30 … 90.
SMALL = _list(
    "zero jeden dwa trzy cztery pięć sześć siedem osiem dziewięć dziesięć jedenaście dwanaście"
    " trzynaście czternaście piętnaście szesnaście siedemnaście osiemnaście"
    " dziewiętnaście"
)
TENS = _list(
    "dwadzieścia trzydzieści czterdzieści pięćdziesiąt sześćdziesiąt siedemdziesiąt"
    " osiemdziesiąt dziewięćdziesiąt"
)
_HUNDREDS = _list("sto dwieście trzysta czterysta pięćset sześćset siedemset osiemset dziewięćset")
_SCALES = {3: ("tysiąc", "tysiące", "tysięcy"), 6: ("milion", "miliony", "milionów")}
_SMALL_ORDINALS = _list(
    "zerowy pierwszy drugi trzeci czwarty piąty szósty siódmy ósmy dziewiąty dziesiąty jedenasty"
    " dwunasty trzynasty czternasty piętnasty szesnasty siedemnasty osiemnasty"
    " dziewiętnasty"
)
_TEN_ORDINALS = _list(
    "dwudziesty trzydziesty czterdziesty pięćdziesiąty sześćdziesiąty siedemdziesiąty"
    " osiemdziesiąty dziewięćdziesiąty"
)
_HUNDRED_ORDINALS = _list(
    "setny dwusetny trzysetny czterechsetny pięćsetny sześćsetny siedemsetny osiemsetny"
    " dziewięćsetny"
)
#: What a number is in the first place of a Polish compound: *stusześcio-zębowy*.
_SMALL_PREFIXES = _list(
    "zero jedno dwu trzy cztero pięcio sześcio siedmio ośmio dziewięcio dziesięcio jedenasto"
    " dwunasto trzynasto czternasto piętnasto szesnasto siedemnasto osiemnasto"
    " dziewiętnasto"
)
_TEN_PREFIXES = _list(
    "dwudziesto trzydziesto czterdziesto pięćdziesięcio sześćdziesięcio siedemdziesięcio"
    " osiemdziesięcio dziewięćdziesięcio"
)
_HUNDRED_PREFIXES = _list(
    "stu dwustu trzystu czterystu pięciuset sześciuset siedmiuset ośmiuset dziewięciuset"
)


def cardinal(number: int) -> str:
    """1 … 999 999 999."""
    millions, rest = divmod(number, 1_000_000)
    thousands, rest = divmod(rest, 1000)
    told = [_scale(group, s) for group, s in ((millions, 6), (thousands, 3)) if group]
    return " ".join([*told, *([_below(rest)] if rest else [])])


def _scale(group: int, scale: int) -> str:
    one, few, many = _SCALES[scale]
    if group == 1:
        return one
    is_few = 2 <= group % 10 <= 4 and not 12 <= group % 100 <= 14
    return f"{_below(group)} {few if is_few else many}"


def _below(number: int) -> str:
    """1 … 999."""
    return " ".join(_split(number, _HUNDREDS, TENS, SMALL))


def _split(
    number: int, hundreds: Sequence[str], tens: Sequence[str], small: Sequence[str]
) -> list[str]:
    """The words of 1 … 999: hundreds, then a number below twenty, or tens and ones."""
    told = [hundreds[number // 100 - 1]] if number >= 100 else []
    rest = number % 100
    if 0 < rest < 20:
        told.append(small[rest])
    elif rest:
        told.append(tens[rest // 10 - 2])
        told += [small[rest % 10]] if rest % 10 else []
    return told


_SMALL_GENITIVES = _list(
    "zera jednego dwóch trzech czterech pięciu sześciu siedmiu ośmiu dziewięciu dziesięciu"
    " jedenastu dwunastu trzynastu czternastu piętnastu szesnastu siedemnastu osiemnastu"
    " dziewiętnastu"
)
_TEN_GENITIVES = _list(
    "dwudziestu trzydziestu czterdziestu pięćdziesięciu sześćdziesięciu siedemdziesięciu"
    " osiemdziesięciu dziewięćdziesięciu"
)
_HUNDRED_GENITIVES = _list(
    "stu dwustu trzystu czterystu pięciuset sześciuset siedmiuset ośmiuset dziewięciuset"
)
_INSTRUMENTALS = {2: "dwoma", 3: "trzema", 4: "czterema"}


def genitive(number: int) -> str:
    """The genitive of 1 … 999, which is the locative too: *do pięciu*, *w trzech otworach*.

    A larger number is said as it stands in the nominative.
    """
    if not 0 < number < 1000:
        return cardinal(number)
    words = _split(number, _HUNDRED_GENITIVES, _TEN_GENITIVES, _SMALL_GENITIVES)
    if number > 20 and number % 10 == 1 and number % 100 != 11:
        words[-1] = "jeden"
    return " ".join(words)


def instrumental(number: int) -> str:
    """*z trzema śrubami*; from 5 as the genitive, which is as right."""
    *before, last = genitive(number).split()
    ones = number % 10 if not 10 < number % 100 < 20 else 0
    return " ".join([*before, _INSTRUMENTALS.get(ones, last)])


_ADJECTIVES = frozenset((*_SMALL_ORDINALS, *_TEN_ORDINALS, *_HUNDRED_ORDINALS))


def genitive_ordinal(number: int) -> str:
    """A Polish ordinal in the genitive, as days and years are told: *dwudziestego piątego*."""
    return " ".join(
        word if word not in _ADJECTIVES and not word.endswith("tysięczny") else _of(word)
        for word in ordinal(number).split()
    )


def _of(word: str) -> str:
    """An adjective in the genitive: *trzeci*, *trzeciego*; *piąty*, *piątego*."""
    return f"{word}ego" if word.endswith("i") else f"{word[:-1]}ego"


def prefix(number: int) -> str:
    """1 … 999 in the first place of a compound."""
    return "".join(_split(number, _HUNDRED_PREFIXES, _TEN_PREFIXES, _SMALL_PREFIXES))


def ordinal(number: int) -> str:
    """0 … 999 999 999, in the masculine nominative."""
    if number == 0:
        return _SMALL_ORDINALS[0]
    millions, rest = divmod(number, 1_000_000)
    thousands, rest = divmod(rest, 1000)
    if rest:
        before = cardinal(number - rest) if number > rest else ""
        return f"{before} {_ordinal_below(rest)}".lstrip()
    if thousands:
        before = cardinal(millions * 1_000_000) if millions else ""
        first = prefix(thousands) if thousands > 1 else ""
        return f"{before} {first}tysięczny".lstrip()
    return f"{prefix(millions) if millions > 1 else ''}milionowy"


def _ordinal_below(number: int) -> str:
    """1 … 999: tens and ones are both ordinals, hundreds only when they stand last."""
    hundreds, rest = divmod(number, 100)
    if not rest:
        return _HUNDRED_ORDINALS[hundreds - 1]
    before = _HUNDREDS[hundreds - 1] + " " if hundreds else ""
    return before + " ".join(_split(rest, [], _TEN_ORDINALS, _SMALL_ORDINALS))
