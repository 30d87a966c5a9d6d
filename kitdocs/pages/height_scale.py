"""Heights to px: one scale, with long stretches where nothing begins or ends left out."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.mechanism.heights import Span

_LONG = 24.0  # mm in which nothing happens: what a break may leave out
_KEPT = 4.0  # mm on either side of a break
_BREAK = 14.0  # px of a break


class HeightScale:
    """From `high` at `top` px down to `low`, at most `tallest` px, at most `scale` px per mm.

    Where the height is what makes the drawing small, stretches between the `spans` that hold no
    end of anything are broken, as in any interrupted view; `breaks` are their middles in px.
    """

    def __init__(
        self, low: float, high: float, spans: Iterable[Span], scale: float, tallest: float
    ):
        kept = [Span(low, high)]
        if (high - low) * scale > tallest:
            kept = _kept(low, high, spans)
        gaps = len(kept) - 1
        self.kept = kept
        self.scale = min(scale, (tallest - gaps * _BREAK) / sum(s.height for s in kept))
        self.top = 0.0

    @property
    def bottom(self) -> float:
        return self.y(self.kept[0].bottom)

    @property
    def breaks(self) -> list[float]:
        return [self.y(span.top) - _BREAK / 2 for span in self.kept[:-1]]

    def shows(self, mm: float) -> bool:
        """Whether a height is not within a break, nor above or below the drawing."""
        return any(span.bottom <= mm <= span.top for span in self.kept)

    def y(self, mm: float) -> float:
        y = self.top
        for upper, lower in zip(
            reversed(self.kept), [*reversed(self.kept[:-1]), None], strict=True
        ):
            if mm >= upper.bottom or lower is None:
                return y + (upper.top - mm) * self.scale
            y += upper.height * self.scale
            if mm > lower.top:
                return y + _BREAK * (upper.bottom - mm) / (upper.bottom - lower.top)
            y += _BREAK
        return y


def _kept(low: float, high: float, spans: Iterable[Span]) -> list[Span]:
    """What is left of a range when its long stretches without an end of anything go."""
    told: list[Span] = [Span(low, low + _KEPT), Span(high - _KEPT, high)]
    for span in spans:
        if span.height <= _LONG:
            told.append(span)
        else:
            told += [Span(span.bottom, span.bottom), Span(span.top, span.top)]
    kept: list[Span] = []
    for span in sorted(told, key=lambda s: s.bottom):
        bottom, top = max(low, span.bottom - _KEPT), min(high, span.top + _KEPT)
        if top <= low or bottom >= high:
            continue
        if kept and bottom - kept[-1].top < _LONG - 2 * _KEPT:
            kept[-1] = Span(kept[-1].bottom, max(top, kept[-1].top))
        else:
            kept.append(Span(bottom, top))
    return kept
