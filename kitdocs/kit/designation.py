"""Fastener designations: one way to hold the many ways they are written.

`M2.5x6`, `M2.5 × 6`, `m2.5*6` and `ISO 7045 - M2.5 x 6` are one screw (or one family of screws,
where no product standard is named). The thread is written after ISO 965-1 and the product after
the designation clause of its ISO standard.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

_DESIGNATION = re.compile(
    r"""(?:(?P<standard>ISO)\s*(?P<number>[0-9]{3,5}(?:-[0-9])?)\s*-?\s*)?
        M(?P<size>[0-9]{1,2}(?:\.[0-9]{1,2})?)
        (?:\s*[x×*]\s*(?P<second>[0-9]{1,3}(?:\.[0-9]{1,2})?))?
        (?:\s*[x×*]\s*(?P<third>[0-9]{1,3}(?:\.[0-9]{1,2})?))?""",
    re.VERBOSE | re.IGNORECASE,
)

_THREAD = re.compile(r"M([0-9]{1,2}(?:\.[0-9]{1,2})?)(?:\s*[x×]\s*(0\.[0-9]{1,2}|1(?:\.[0-9]+)?))?")


def _plain(number: str) -> str:
    return number.rstrip("0").rstrip(".") if "." in number else number


@dataclass(frozen=True)
class Designation:
    """Standard (may be empty), thread and length in mm as text (empty for nuts and washers)."""

    standard: str
    thread: str
    length: str

    def __str__(self) -> str:
        size = f"{self.thread} x {self.length}" if self.length else self.thread
        return f"{self.standard} {size}".strip()

    @property
    def product(self) -> str:
        """The standard without its part number: parts such as ISO 7046-1 have one table."""
        return re.sub(r"-[0-9]$", "", self.standard)

    @property
    def nominal(self) -> float:
        """Nominal thread diameter, mm."""
        return float(self.thread[1:].split("x")[0])

    @property
    def size(self) -> str:
        """Thread and length without the standard, as a reader sees them: `M2.5 × 6`."""
        text = f"{self.thread} x {self.length}" if self.length else self.thread
        return text.replace(" x ", " × ")

    def covers(self, other: Designation) -> bool:
        """Whether `other` is this one, or one of this family when no standard is named."""
        same = (self.thread, self.length) == (other.thread, other.length)
        return same and self.standard in ("", other.standard)


@lru_cache(maxsize=1024)
def parse_designation(text: str) -> Designation | None:
    """Read a designation; None when the text is not one.

    Of two numbers after the thread the first is a fine pitch: `M3 x 0.35 x 6`.
    """
    match = _DESIGNATION.fullmatch(text.strip())
    if not match:
        return None
    standard = f"ISO {match['number']}" if match["standard"] else ""
    second, third = match["second"], match["third"]
    thread = f"M{_plain(match['size'])}"
    if third is not None:
        return Designation(standard, f"{thread}x{_plain(second)}", _plain(third))
    return Designation(standard, thread, _plain(second) if second else "")


def parse_thread(text: str) -> str | None:
    """Read a thread (`M2.5`, `M3 x 0.35`) into its one spelling; None when it is not one."""
    match = _THREAD.fullmatch(text.strip())
    if not match:
        return None
    pitch = f"x{_plain(match[2])}" if match[2] else ""
    return f"M{_plain(match[1])}{pitch}"
