"""Sites in several languages: real builds with the plugin `i18n` (mkdocs-static-i18n)."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from changed_kit import change, copy_base
from mkdocs.exceptions import PluginError
from test_plugin import Preview, build, tree

from kitdocs.pages.published import check_published
from kitdocs.survey import survey

SETTINGS = """\
site_name: Small Site
site_url: https://example.org/docs/
docs_dir: content
theme: {name: material, font: false}
plugins:
  - search
  - i18n:
      languages:
        - {locale: en, name: English, default: true}
        - {locale: de, name: Deutsch}
        - {locale: pl, name: Polski}
  - kitdocs
"""
GERMAN = """\
---
title: Mars und Mond
translates: 5e10884c
---
Mars und Mond kommen hinzu: {{ body('mars').error }}.

## Mars anbauen

Schiebe das {{ item('mars') }} auf.

```step
translates: slide-on-mars 69b0996c
```
"""
LISTED = {"file": "kit.yml", "find": "stages: [stages",
          "put": "languages: [en, de]\nstages: [stages"}  # fmt: skip


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    root = tmp_path / "project"
    folder = copy_base(root)
    change(folder, [LISTED, {"file": "stages/planets.de.md", "new": GERMAN},
                    {"file": "extra.md", "new": "# Extra\n\nOne more page.\n"}])  # fmt: skip
    (root / "content/index.md").write_text("# Workshop\n\n[Kit](bench/index.md)\n", "utf-8")
    (root / "content/index.de.md").write_text("# Werkstatt\n\n[Kit](bench/index.md)\n", "utf-8")
    (root / "mkdocs.yml").write_text(SETTINGS, "utf-8")
    return root


def page(root: Path, address: str, folder: str = "site") -> str:
    return (root / folder / address / "index.html").read_text("utf-8")


def test_each_language_has_its_pages_under_its_code(site: Path) -> None:
    build(site)
    english, german, polish = (
        page(site, f"{code}bench/stages/planets") for code in ("", "de/", "pl/")
    )
    assert '<html lang="en"' in english
    assert "Step 1: Add Mars" in english
    assert '<html lang="de"' in german
    assert "Schritt 1: Mars anbauen" in german
    assert "Abschnitt 2: Mars und Mond" in german
    # The kit has no Polish: its pages are as they are, and say so.
    assert '<html lang="pl"' in polish
    assert re.search(r'<div lang="en">\s*<h1', polish)
    assert "Werkstatt" in page(site, "de")
    assert not list((site / "site").rglob("planets.de*"))
    assert not list((site / "site").rglob("*.yml"))
    assert [f for f in check_published(site / "site", survey(site, site / "content"))] == []


def test_a_step_that_is_not_translated_is_marked_with_its_language(site: Path) -> None:
    build(site)
    german = page(site, "de/bench/stages/planets")
    untranslated = german[german.index('id="fit-moon"') :]
    assert re.search(r'<div lang="en">\s*<p>The Moon goes round', untranslated)


@pytest.mark.parametrize("name", ["planets.mp4", "planets.de.mp4"])
def test_the_film_of_a_stage_is_found_from_each_language(site: Path, name: str) -> None:
    """A film is published once, unless a language has one of its own."""
    stages = site / "content/bench/stages"
    (stages / "planets.mp4").write_bytes(b"film")
    (stages / name).write_bytes(b"film in German" if ".de." in name else b"film")
    change(stages.parent, [{"file": "stages/planets.md", "find": "minutes: 45",
                            "put": "minutes: 45\nvideo: planets.mp4"}])  # fmt: skip
    build(site)
    for code, shown in (("", b"film"), ("de/", (stages / name).read_bytes()), ("pl/", b"film")):
        address = f"{code}bench/stages/planets"
        (source,) = re.findall(r'<video [^>]*src="([^"]+)"', page(site, address))
        assert (site / "site" / address / source).resolve().read_bytes() == shown


def test_titles_of_the_navigation_are_translated(site: Path) -> None:
    build(site)
    german = page(site, "de/bench/parts")
    nav = german[german.index('class="md-nav') : german.index("md-content")]
    assert "Werkbank-Orrery" in nav and "Verbindungselemente" in nav and "2. Mars und Mond" in nav
    assert "Fasteners" not in nav


def test_a_page_leads_to_itself_in_the_other_languages(site: Path) -> None:
    build(site)
    german = page(site, "de/bench/stages/planets")
    links = dict(re.findall(r'href="([^"]*)" hreflang="(\w+)" class="md-select__link"', german))
    assert {code: link for link, code in links.items()} == {
        "en": "../../../../bench/stages/planets/",
        "de": "./",
        "pl": "../../../../pl/bench/stages/planets/",
    }
    sitemap = (site / "site/sitemap.xml").read_text("utf-8")
    found = re.findall(r"<loc>([^<]*)</loc>", sitemap)
    assert len(found) == len(set(found))
    assert "https://example.org/docs/de/bench/stages/planets/" in found
    assert "lastmod" not in sitemap


def test_links_of_a_page_stay_in_its_language(site: Path) -> None:
    build(site)
    for html in (site / "site/de").rglob("index.html"):
        content = html.read_text("utf-8")
        content = content[content.index("md-content") :]
        for link in re.findall(
            r'href="([^"#:]+)(?:#[^"]*)?"', content[: content.index("</article>")]
        ):
            target = (html.parent / link).resolve()
            target = target / "index.html" if link.endswith("/") else target
            assert target.exists(), f"{html}: {link}"
            assert target.is_relative_to(site / "site/de"), f"{html}: {link}"


def searched(built: Path) -> list[str]:
    """The places that a search can lead to, in all languages."""
    lists = [json.loads(f.read_text("utf-8")) for f in sorted(built.glob("search/entries-*.json"))]
    return [entry["location"] for entries in lists for entry in entries]


def test_the_search_finds_every_language_once(site: Path) -> None:
    build(site)
    places = searched(site / "site")
    assert len(places) == len(set(places))
    assert {"bench/parts/", "de/bench/parts/"} <= set(places)


def test_a_second_build_is_the_same_and_draws_nothing(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    build(site)
    first = tree(site / "site")

    def drawn(chart: object) -> str:
        raise AssertionError("a chart was drawn again")

    monkeypatch.setattr("kitdocs.pages.charts.draw", drawn)
    build(site)
    assert tree(site / "site") == first


def test_a_clean_build_is_byte_for_byte_the_same(site: Path) -> None:
    build(site)
    first = tree(site / "site")
    shutil.rmtree(site / "site")
    shutil.rmtree(site / ".cache")
    build(site)
    assert tree(site / "site") == first


def test_a_failing_build_leaves_the_site(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    build(site)
    before = tree(site / "site")
    made = []

    def failing(*arguments: object, **settings: object) -> None:
        made.append(arguments)
        if len(made) == 2:  # in the build of a further language
            raise PluginError("no more")

    monkeypatch.setattr("kitdocs.plugin.marked_language", lambda *a: failing(*a) or a[-1])
    with pytest.raises(SystemExit):
        build(site)
    assert tree(site / "site") == before
    monkeypatch.undo()
    build(site)
    assert tree(site / "site") == before


def test_the_preview_shows_each_language_as_a_clean_build_does(site: Path) -> None:
    preview = Preview(site)
    preview.build()
    translated = site / "content/bench/stages/planets.de.md"
    translated.write_text(GERMAN.replace("Schiebe das", "Setze das"), "utf-8")
    preview.build()
    assert "Setze das" in preview.page("de/bench/stages/planets")
    assert "Add Mars" in preview.page("bench/stages/planets")
    places = searched(site / "shown")
    assert len(places) == len(set(places)), "entries of the last build are gone"
    build(site)
    shown, built = preview.page("de/bench/stages/planets"), page(site, "de/bench/stages/planets")
    content = re.compile(r"<article.*?</article>", re.DOTALL)
    assert content.search(shown)[0] == content.search(built)[0]


def test_without_the_plugin_other_languages_are_left_out_with_a_note(
    site: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    settings = SETTINGS[: SETTINGS.index("plugins:")] + "plugins: [search, kitdocs]\n"
    (site / "mkdocs.yml").write_text(settings, "utf-8")
    (site / "content/index.de.md").unlink()
    build(site)
    assert not list((site / "site").rglob("*planets.de*"))
    told = capfd.readouterr().err
    assert re.search(
        r"mkdocs.yml:1:1: note translation-page: pages in de, which are left out", told
    )
