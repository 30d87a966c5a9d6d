"""The video of a stage, and its captions: shown beside it, and as files of their own."""

from __future__ import annotations

import posixpath
from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.kit.captions import CaptionFile
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import Stage
from kitdocs.pages.handbook import Handbook, Ref


@dataclass(frozen=True)
class Track:
    """Captions in one language; `is_own` says whether it is that of the page."""

    ref: Ref
    language: str
    is_own: bool


@dataclass(frozen=True)
class VideoView:
    """The video as a file of the site or as a link that leaves it, and its captions."""

    file: Ref | None
    link: str
    tracks: tuple[Track, ...]


def video_view(book: Handbook, stage: Stage) -> VideoView | None:
    """What a stage's page offers; None where there is neither a video nor a caption file."""
    tracks = tuple(
        Track(
            Ref(_language_name(file.language), caption_uri(book.kit, stage, file)),
            file.language,
            file.language == book.language.code,
        )
        for file in book.kit.captions.get(stage.uri, ())
    )
    video = stage.front.video
    if not (tracks or video):
        return None
    if video is None or video.startswith(("http://", "https://")):
        return VideoView(None, video or "", tracks)
    uri = posixpath.normpath(posixpath.join(posixpath.dirname(stage.uri), video))
    return VideoView(Ref(posixpath.basename(uri), uri), "", tracks)


def caption_uri(kit: Kit, stage: Stage, file: CaptionFile) -> str:
    """Where a caption file is published, from the content folder."""
    return f"assets/captions/{kit.id}-{stage.id}.{file.language}.vtt"


def caption_assets(kit: Kit) -> Mapping[str, str]:
    """The caption files of a kit as they are published, by their addresses."""
    return {
        caption_uri(kit, stage, file): file.text
        for stage in kit.stages
        for file in kit.captions.get(stage.uri, ())
    }


def _language_name(code: str) -> str:
    """What a language calls itself: `English`, `Deutsch`."""
    if code == "en":
        return "English"
    from babel.core import Locale, UnknownLocaleError  # noqa: PLC0415  (seldom needed)

    try:
        name = Locale.parse(code, sep="-").display_name
    except (UnknownLocaleError, ValueError):
        return code
    return name[:1].upper() + name[1:] if name else code
