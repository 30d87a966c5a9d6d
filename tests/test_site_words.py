"""What a site says outside of its kits is audited too: pages, drawings and mkdocs.yml."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from changed_kit import copy_base
from mkdocs.exceptions import Abort
from test_plugin import Preview, build

from kitdocs.cli import main
from kitdocs.survey import Survey, survey

SETTINGS = """\
site_name: Small Site
site_description: Kits to build
site_url: https://example.org/docs/
docs_dir: content
copyright: By the makers
theme:
  name: mkdocs
  custom: !ENV [NOT_SET, none]
nav:
  - Start here: index.md
plugins:
  - search
  - i18n:
      languages:
        - {locale: en, name: English, default: true}
        - locale: de
          name: Deutsch
          site_name: Kleine Seite
          nav_translations: {Start here: Hier beginnen}
  - kitdocs
"""
HOME = "---\ndescription: Kits\n---\n# Workshop\n\nOur kits are of brass.\n"
#: Drawn by hand.
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg"><text>foot</text></svg>\n'


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Two kits: one has three feet, the other (its copy) six, of which two are spares."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    root = tmp_path / "project"
    folder = copy_base(root)
    other = root / "content/table"
    shutil.copytree(folder, other)
    change(other / "kit.yml", "title: Bench Orrery", "title: Table Orrery")
    change(other / "parts.yml", "{kind: foot, outside: 20,", "{kind: foot, outside: 24,")
    (root / "content/index.md").write_text(HOME, "utf-8")
    (root / "content/index.de.md").write_text("# Werkstatt\n\nAus Messing.\n", "utf-8")
    (root / "content/foot.svg").write_text(DRAWING, "utf-8")
    (root / "content/news.markdown").write_text("# News\n\nNothing yet.\n", "utf-8")
    (root / "mkdocs.yml").write_text(SETTINGS, "utf-8")
    return root


def change(file: Path, find: str, put: str) -> None:
    text = file.read_text("utf-8")
    assert text.count(find) == 1, find
    file.write_text(text.replace(find, put), "utf-8")


def surveyed(site: Path) -> Survey:
    return survey(site, site / "content")


def found(site: Path) -> list[str]:
    """Each error outside of the kits: its place, and what of the text it is about."""
    errors = [f for f in surveyed(site).findings if f.severity == "error"]
    return [f"{f.place} {f.found.partition(' in ')[0]}" for f in errors]


def test_words_that_say_nothing_of_kits_are_let_be(site):
    change(
        site / "content/index.md",
        "Our kits are of brass.",
        "Since 1987, at 12 Skerry Lane. Call 0123 456 before 17:30. It costs 24 a month, 20 % off"
        " for clubs; we answer within 2 days. Page 3 of our list is the newest, of 2026-11-20.",
    )
    assert found(site) == []


@pytest.mark.parametrize(
    "file, find, put, line, column",
    [
        ("content/index.md", "Our kits are", "They have seventeen feet, 4711 mm and are", 6, 11),
        ("content/index.md", "description: Kits", "description: seventeen feet, 4711 mm", 2, 14),
        ("content/index.md", "# Workshop", "# Workshop: seventeen feet, 4711 mm", 4, 13),
        ("content/foot.svg", ">foot<", ">seventeen feet, 4711 mm<", 1, 47),
        ("content/news.markdown", "Nothing yet.", "Now seventeen feet, 4711 mm.", 3, 5),
        ("mkdocs.yml", "site_name: Small Site", "site_name: seventeen feet, 4711 mm", 1, 12),
        ("mkdocs.yml", "Kits to build", "'seventeen feet, 4711 mm'", 2, 20),
        ("mkdocs.yml", "By the makers", "seventeen feet, 4711 mm", 5, 12),
        ("mkdocs.yml", "  - Start here:", "  - 'seventeen feet, 4711 mm':", 10, 6),
    ],
)
def test_a_number_that_no_kit_backs_is_found(site, file, find, put, line, column):
    change(site / file, find, put)
    feet, length = found(site)
    assert feet == f"{file}:{line}:{column} 'seventeen'"
    assert length == f"{file}:{line}:{column + len('seventeen feet, ')} '4711 mm'"


@pytest.mark.parametrize(
    "file, find, put, line",
    [
        ("content/index.de.md", "Aus Messing.", "Aus siebzehn Füßen, 4711 mm.", 3),
        ("mkdocs.yml", "Kleine Seite", '"siebzehn Füße, 4711 mm"', 18),
        ("mkdocs.yml", "here: Hier beginnen", 'here: "siebzehn Füße, 4711 mm"', 19),
    ],
)
def test_so_it_is_in_each_language(site, file, find, put, line):
    change(site / file, find, put)
    assert [at.split(" ", 1)[1] for at in found(site)] == ["'siebzehn'", "'4711 mm'"]
    assert all(at.startswith(f"{file}:{line}:") for at in found(site))


@pytest.mark.parametrize(
    "said, wrong",
    [
        ("They have three feet.", []),
        ("A foot of 24 mm.", []),  # of one kit
        ("A foot of 20 mm.", []),  # of the other
        ("The Table Orrery has a foot of 24 mm.", []),
        ("The Table Orrery has a foot of 20 mm.", ["'20 mm'"]),
        ("The Table Orrery is of 1931.", ["'1931'"]),  # what names a kit is of the kit
        ("Each has two stages.", []),
        ("Four stages, all in all.", []),  # those of both
        ("Three stages, all in all.", ["'Three'"]),
        ("Choose one of our two brass kits.", []),
        ("Choose one of our three brass kits.", ["'three'"]),
        ("Mars goes round in 687 days.", []),
        ("Mars goes round in 678 days.", ["'678 days'"]),
        ("With M2.5 × 6 screws.", []),
        ("With M2.5 × 7 screws.", ["'M2.5 × 7'"]),
        ("A 43-tooth wheel.", []),
        ("A 44-tooth wheel.", ["'44-tooth'"]),
        ("Each has a gear of brass.", ["'gear'; expected 'wheel', as the kit calls it"]),
    ],
)
def test_what_a_kit_knows_it_backs(site, said, wrong):
    change(site / "content/index.md", "Our kits are of brass.", said)
    errors = [f for f in surveyed(site).findings if f.severity == "error"]
    told = [
        f.found.partition(" in ")[0] + (f"; expected {f.expected}" if f.rule == "word-name" else "")
        for f in errors
    ]
    assert told == wrong


@pytest.mark.parametrize("name", [".hidden.md", "templates/page.md", ".folder/page.md"])
def test_what_is_not_published_is_not_read(site, name):
    file = site / "content" / name
    file.parent.mkdir(exist_ok=True)
    file.write_text("They have seventeen feet.\n", "utf-8")
    assert found(site) == []


def test_settings_of_another_site_are_not_read(site):
    change(site / "mkdocs.yml", "docs_dir: content", "docs_dir: elsewhere")
    change(site / "mkdocs.yml", "Small Site", "Seventeen Feet")
    assert found(site) == []


def test_the_language_of_the_theme_is_that_of_pages_without_one(site):
    (site / "mkdocs.yml").write_text(
        "docs_dir: content\ntheme: {name: material, language: de}\n", "utf-8"
    )
    change(site / "content/index.md", "Our kits are of brass.", "Aus siebzehn Füßen.")
    assert found(site) == ["content/index.md:6:5 'siebzehn'"]


def test_a_figure_from_elsewhere_is_shown_with_its_source(site):
    given = "A bench of {{ given('4711 mm', 'our joiner') }}, {{ other('x') }}."
    change(site / "content/index.md", "Our kits are of brass.", given)
    assert found(site) == []
    build(site)
    page = (site / "site/index.html").read_text("utf-8")
    assert "A bench of 4711 mm (our joiner), {{ other('x') }}." in page  # for another plugin


@pytest.mark.parametrize("source", ["", "seventeen feet"])
def test_a_source_is_none_where_it_is_not_told_or_is_a_claim(site, source):
    given = f"A bench of {{{{ given('4711 mm', '{source}') }}}}."
    change(site / "content/index.md", "Our kits are of brass.", given)
    assert found(site)


def test_the_build_stops_and_the_preview_shows_where(site):
    home = site / "content/index.md"
    change(home, "Our kits are", "They have seventeen feet and are")
    with pytest.raises(Abort):
        build(site)
    preview = Preview(site)
    preview.build()
    assert "content/index.md:6:11" in preview.page("")
    assert "Glue" in preview.page("bench/stages/drive")  # no kit is stopped by it
    change(home, "seventeen", "three")
    preview.build()
    assert "content/index.md" not in preview.page("")


def test_what_cannot_be_checked_is_told(site):
    change(site / "content/table/kit.yml", "title:", "titel:")
    change(site / "content/index.md", "Our kits are", "They have seventeen feet and are")
    (note,) = [f for f in surveyed(site).findings if "outside of kits" in f.found]
    assert (note.rule, note.severity) == ("not-run", "note")


def test_a_language_that_we_cannot_read_is_told(site):
    (site / "content/index.fr.md").write_text("# Atelier\n\nDix-sept pieds.\n", "utf-8")
    (note,) = [f for f in surveyed(site).findings if f.rule == "word-number"]
    assert (note.severity, str(note.place)) == ("note", "content/index.fr.md:1:1")


def test_the_trace_tells_of_them_too(site, tmp_path, monkeypatch):
    change(site / "content/index.md", "Our kits are", "They have three feet and are")
    monkeypatch.chdir(site)
    assert main(["check", "--trace", str(tmp_path / "trace.json")]) == 0
    told = json.loads((tmp_path / "trace.json").read_text("utf-8"))
    (entry,) = [one for one in told if one["page"] == "index.md"]
    assert (entry["number"], entry["from"], entry["language"]) == ("three", "fact", "en")
