"""Numbers as readers see them: fixed formats, the unit kept on the number's line.

Spacing after NIST SP 811 section 7.2 (a space between number and unit), grouping of digits by
narrow spaces from five digits on after its section 10.5.3; counts one to nine are spelled
(common practice of style guides).
"""

from __future__ import annotations

from fractions import Fraction

NBSP = "\u00a0"  # no-break space
_NARROW = "\u202f"  # narrow no-break space
_MINUS = "\u2212"
_SPELLED = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")

Real = float | Fraction | int


def plain(value: Real, decimals: int = 3) -> str:
    """At most `decimals` places, no trailing zeros, digits grouped from five on."""
    text = f"{float(value):.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    sign = _MINUS if text.startswith("-") and text.strip("-0.") else ""
    whole, _, part = text.lstrip("-").partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", _NARROW)
    return f"{sign}{whole}.{part}" if part else f"{sign}{whole}"


def significant(value: Real, digits: int = 6) -> str:
    """So many significant digits, never fewer than the whole part has."""
    value = float(value)
    if value == 0:
        return "0"
    whole_digits = len(str(int(abs(value)))) if abs(value) >= 1 else 1 - _leading_zeros(value)
    return plain(value, max(0, digits - whole_digits))


def _leading_zeros(value: float) -> int:
    return -int(f"{value:e}".split("e")[1])


def signed(value: Real, digits: int) -> str:
    """With its sign, to so many significant digits."""
    text = significant(abs(value), digits)
    return text if text == "0" else f"{'+' if value > 0 else _MINUS}{text}"


def with_unit(number: str, unit: str) -> str:
    """A number and its unit, kept together. Degrees follow closely, other units after a space."""
    return f"{number}{unit}" if unit == "°" else f"{number}{NBSP}{unit}"


def millimetres(value: Real) -> str:
    return with_unit(plain(value), "mm")


def days(value: Real) -> str:
    return with_unit(significant(value), "days")


def per_cent(share: Real) -> str:
    """A share of one as a signed percentage, two significant digits."""
    return with_unit(signed(share * 100, 2), "%")


def degrees(value: Real, digits: int = 3) -> str:
    return with_unit(significant(value, digits), "°")


def fraction(value: Fraction) -> str:
    """An exact ratio, `33/61`; a whole number stays whole."""
    sign = _MINUS if value < 0 else ""
    value = abs(value)
    if value.denominator == 1:
        return f"{sign}{value.numerator}"
    return f"{sign}{value.numerator}/{value.denominator}"


def spelled(count: int) -> str:
    """A count in words up to nine, in digits from ten."""
    return _SPELLED[count] if 0 <= count < len(_SPELLED) else plain(count)


def turns(value: Real) -> str:
    """A number of turns to four significant digits."""
    return significant(abs(value), 4)
