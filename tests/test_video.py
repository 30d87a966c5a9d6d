"""The video of a stage and its captions on the page: a click away, and nothing from elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest
from changed_kit import change, copy_base

from kitdocs.kit.reader import has_changed, read_kit
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import Site, render_site
from kitdocs.survey import survey

CAPTIONS = "WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nMars.\n"


def site_of(folder: Path) -> Site:
    found = survey(folder.parent.parent, folder.parent)
    assert not found.kits[0].stopped, found.findings
    charts = ChartCache(folder.parent.parent / "cache" / "charts")
    return render_site(found, lambda _, target: f"/{target}", [shipped_templates()], charts)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copy_base(tmp_path)


def with_video(folder: Path, video: str) -> None:
    front = {
        "file": "stages/planets.md",
        "find": "minutes: 45",
        "put": f"minutes: 45\nvideo: {video}",
    }
    change(folder, [front])


def test_a_stage_without_either_shows_nothing(folder: Path) -> None:
    page = site_of(folder).pages["bench/stages/planets.md"].markdown
    assert "<video" not in page and "kd-captions" not in page


def test_a_local_video_is_a_click_away_with_its_captions(folder: Path) -> None:
    with_video(folder, "planets.mp4")
    (folder / "stages" / "planets.mp4").write_bytes(b"")
    (folder / "stages" / "planets.vtt").write_bytes(b"\xef\xbb\xbf" + CAPTIONS.encode())
    site = site_of(folder)
    page = site.pages["bench/stages/planets.md"].markdown
    closed = page[page.index('<details class="kd-video"') : page.index("</details>")]
    assert 'src="/bench/stages/planets.mp4"' in closed and 'preload="none"' in closed
    assert "autoplay" not in page and " open" not in closed.split(">")[0]
    track = "/assets/captions/bench-planets.en.vtt"
    assert f'<track kind="captions" src="{track}" srclang="en" label="English" default>' in closed
    assert f'href="{track}"' in page and "download" in page
    assert site.assets["assets/captions/bench-planets.en.vtt"] == CAPTIONS


def test_a_video_elsewhere_is_a_plain_link(folder: Path) -> None:
    with_video(folder, "https://example.org/planets")
    page = site_of(folder).pages["bench/stages/planets.md"].markdown
    assert '<a href="https://example.org/planets"' in page
    assert "<video" not in page and "<iframe" not in page


@pytest.mark.parametrize("video", ["none.mp4", "../../../etc/x.mp4", "Planets.mp4"])
def test_a_video_that_is_not_there(folder: Path, video: str) -> None:
    with_video(folder, video)
    (folder / "stages" / "planets.mp4").write_bytes(b"")
    (finding,) = [f for f in survey(folder.parent.parent, folder.parent).findings
                  if f.rule == "file-read"]  # fmt: skip
    assert finding.place.path.endswith("planets.md") and video in finding.found


@pytest.mark.parametrize("video", ["/planets.mp4", "ftp://example.org/x", "file:///x.mp4"])
def test_a_video_by_another_way(folder: Path, video: str) -> None:
    with_video(folder, video)
    assert "value" in [f.rule for f in survey(folder.parent.parent, folder.parent).findings]


def test_captions_are_watched_and_are_no_fact_of_the_design(folder: Path) -> None:
    content = folder.parent
    before = read_kit(content.parent, folder, content)
    (folder / "stages" / "planets.vtt").write_text(CAPTIONS, "utf-8")
    assert has_changed(before, folder)
    after = read_kit(content.parent, folder, content)
    assert before.kit.digest == after.kit.digest
    assert [c.language for c in after.kit.captions["bench/stages/planets.md"]] == ["en"]
    (folder / "stages" / "planets.vtt").write_text(CAPTIONS.replace("Mars", "Moon"), "utf-8")
    assert has_changed(after, folder)
