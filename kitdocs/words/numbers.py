"""Numbers as readers see them: fixed formats, the unit kept on the number's line.

Spacing after NIST SP 811 section 7.2 (a space between number and unit), grouping of digits by
narrow spaces from five digits on after its section 10.5.3, ISO 80000-1 section 7.3.1 and DIN 1333:
a point or comma that divides thousands would be read as one before decimals. The sign before the
decimals, the place of the per cent sign, units that are words, and their plurals are those of the
language (CLDR, through Babel, which is imported only for languages other than English). Counts one
to nine are spelled (common practice of style guides) where the word does not change with the
gender of what is counted.

Designations follow the decimal sign of the language: `M2.5 × 6` in English, `M2,5 × 6` in German
and Polish (common practice: German fastener tables list M1,6 and M2,5).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache, cached_property
from typing import Any

from kitdocs.words.language import ENGLISH, Language, marked

NBSP = "\u00a0"  # no-break space
_NARROW = "\u202f"  # narrow no-break space
_MINUS = "\u2212"
_SPELLED = (
    marked("no"),
    marked("one"),
    marked("two"),
    marked("three"),
    marked("four"),
    marked("five"),
    marked("six"),
    marked("seven"),
    marked("eight"),
    marked("nine"),
)

Real = float | Fraction | int


@dataclass(frozen=True)
class Numbers:
    """Numbers in one language, as text."""

    language: Language = ENGLISH

    @cached_property
    def _locale(self) -> Any:
        """CLDR's rows of the language; None for English, and for a language that it has not."""
        if self.language.code.partition("-")[0] == "en":
            return None
        from babel.core import Locale, UnknownLocaleError  # noqa: PLC0415  (see above)

        try:
            return Locale.parse(self.language.code, sep="-")
        except (UnknownLocaleError, ValueError):
            return None

    @cached_property
    def point(self) -> str:
        """The sign before the decimals."""
        return self._locale.number_symbols["latn"]["decimal"] if self._locale else "."

    @cached_property
    def _per_cent(self) -> str:
        """What stands between a number and the per cent sign: CLDR's, in English SP 811's."""
        if self._locale is None:
            return NBSP
        return NBSP if self._locale.percent_formats[None].pattern[-2] in " \u00a0\u202f" else ""

    def plain(self, value: Real, decimals: int = 3) -> str:
        """At most `decimals` places, no trailing zeros, digits grouped from five on."""
        text = f"{float(value):.{decimals}f}"
        if "." in text:
            text = text.rstrip("0").rstrip(".")
        sign = _MINUS if text.startswith("-") and text.strip("-0.") else ""
        whole, _, part = text.lstrip("-").partition(".")
        if len(whole) > 4:
            whole = f"{int(whole):,}".replace(",", _NARROW)
        return f"{sign}{whole}{self.point}{part}" if part else f"{sign}{whole}"

    def significant(self, value: Real, digits: int = 6) -> str:
        """So many significant digits, never fewer than the whole part has."""
        value = float(value)
        if value == 0:
            return "0"
        whole_digits = len(str(int(abs(value)))) if abs(value) >= 1 else 1 - _leading_zeros(value)
        return self.plain(value, max(0, digits - whole_digits))

    def signed(self, value: Real, digits: int) -> str:
        """With its sign, to so many significant digits."""
        text = self.significant(abs(value), digits)
        return text if text == "0" else f"{'+' if value > 0 else _MINUS}{text}"

    def with_unit(self, number: str, unit: str) -> str:
        """A number and its unit, kept together. Degrees follow closely, other units after a
        space; the per cent sign as the language has it."""
        if unit == "°":
            return f"{number}{unit}"
        return f"{number}{self._per_cent if unit == '%' else NBSP}{unit}"

    def millimetres(self, value: Real) -> str:
        return self.with_unit(self.plain(value), "mm")

    def days(self, value: Real) -> str:
        return self._spoken_unit(self.significant(value), "day", ("day", "days"))

    def years(self, value: Real, digits: int = 3) -> str:
        return self._spoken_unit(self.significant(value, digits), "year", ("year", "years"))

    def per_cent(self, share: Real) -> str:
        """A share of one as a signed percentage, two significant digits."""
        return self.with_unit(self.signed(share * 100, 2), "%")

    def degrees(self, value: Real, digits: int = 3) -> str:
        return self.with_unit(self.significant(value, digits), "°")

    def fraction(self, value: Fraction) -> str:
        """An exact ratio, `33/61`; a whole number stays whole."""
        sign = _MINUS if value < 0 else ""
        value = abs(value)
        if value.denominator == 1:
            return f"{sign}{value.numerator}"
        return f"{sign}{value.numerator}/{value.denominator}"

    def spelled(self, count: int) -> str:
        """A count in words up to nine, in digits from ten."""
        words = 0 <= count < len(_SPELLED)
        return self.language.text(_SPELLED[count]) if words else self.plain(count)

    def turns(self, value: Real) -> str:
        """A number of turns to four significant digits."""
        return self.significant(abs(value), 4)

    def counted_turns(self, value: Fraction) -> str:
        """Turns as they are counted at a crank: `4`, `1½`."""
        whole, rest = divmod(abs(value), 1)
        if rest == Fraction(1, 2):
            return f"{whole}½" if whole else "½"
        return self.turns(value)

    def local(self, text: str) -> str:
        """A text with decimals as data has them (`M2.5 × 6`, `0.05 … 0.3 mm`) in this language."""
        if self.point == ".":
            return text
        return re.sub(r"(?<=\d)\.(?=\d)", self.point, text)

    def date(self, written: str) -> str:
        """A day, written as 2026-11-25 in data, in words; in English it stays as it is."""
        if self._locale is None:
            return written
        from babel.dates import format_date  # noqa: PLC0415  (only for other languages)

        return format_date(date.fromisoformat(written), "long", self._locale)

    def category(self, number: int | str) -> str:
        """The plural category of CLDR (`one`, `few`, `many`, `other`) that goes with a number.

        A text counts by the digits that it shows, since `1.0` and `1` may differ.
        """
        shown = self._shown(number)
        if self._locale is None:
            return "one" if str(shown) == "1" else "other"
        return self._locale.plural_form(shown)

    def _spoken_unit(self, number: str, unit: str, english: tuple[str, str]) -> str:
        """A number with a unit that is a word, in its plural form."""
        if self._locale is None:
            return self.with_unit(number, english[self.category(number) != "one"])
        from babel.numbers import format_decimal  # noqa: PLC0415  (only for other languages)
        from babel.units import format_unit  # noqa: PLC0415  (likewise)

        value = self._shown(number)
        text = format_unit(value, f"duration-{unit}", "long", locale=self._locale)
        text = text.replace(format_decimal(value, locale=self._locale), number)
        return text.replace(" ", NBSP)

    def _shown(self, number: int | str) -> Decimal:
        """A number by the digits that are shown."""
        text = str(number).replace(_NARROW, "").replace(self.point, ".")
        return Decimal(text.lstrip(f"+-{_MINUS}"))


@cache
def numbers_in(language: Language) -> Numbers:
    """The numbers of a language, whose rows are looked up once."""
    return Numbers(language)


def _leading_zeros(value: float) -> int:
    return -int(f"{value:e}".split("e")[1])


#: The same in English, for findings and for the command line.
_ENGLISH = numbers_in(ENGLISH)
plain = _ENGLISH.plain
significant = _ENGLISH.significant
signed = _ENGLISH.signed
with_unit = _ENGLISH.with_unit
millimetres = _ENGLISH.millimetres
days = _ENGLISH.days
per_cent = _ENGLISH.per_cent
degrees = _ENGLISH.degrees
fraction = _ENGLISH.fraction
spelled = _ENGLISH.spelled
turns = _ENGLISH.turns
