"""Languages: catalogues, numbers, names, translated pages.

What is expected of plurals, numbers, units and dates are CLDR's rows, through Babel, and Babel's
own reader of catalogues; digests are checked with hashlib.
"""

from __future__ import annotations

import ast
import hashlib
import re
from html.parser import HTMLParser
from pathlib import Path

import catalogues
import markdown
import pytest
from babel.core import Locale
from babel.dates import format_date
from babel.numbers import format_decimal, format_percent
from babel.plural import to_gettext
from babel.units import format_unit
from changed_kit import change, copy_base, lines, surveyed

from kitdocs.assembly.design import Design
from kitdocs.cli import main
from kitdocs.kit.model import Kit
from kitdocs.kit.translation import opening_digest
from kitdocs.kit.translation_stamps import stamped
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import Site, render_site
from kitdocs.survey import KitSurvey, Survey, survey
from kitdocs.words.expressions import Prose
from kitdocs.words.language import ENGLISH, Language
from kitdocs.words.names import Names
from kitdocs.words.numbers import NBSP, numbers_in

REPO = Path(__file__).parent.parent
LANGUAGES = catalogues.languages()
GERMAN, POLISH = Language("de"), Language("pl")
IN_GERMAN = {"file": "kit.yml", "find": "stages: [stages", "put": "languages: [en, de]\nstages: [stages"}  # fmt: skip  # noqa: E501


def placeholders(text: str) -> set[str]:
    """What is filled in: `%(name)s` in Python and templates, `{name}` in scripts, signs of HTML."""
    return set(re.findall(r"%\(\w+\)s|%%|\{\w+\}|&\w+;", text)) - {"%%"}


# Catalogues


@pytest.fixture(scope="module")
def template():
    return catalogues.template()


def test_there_are_german_and_polish() -> None:
    assert {"de", "pl"} <= set(LANGUAGES)


@pytest.mark.parametrize("code", LANGUAGES)
def test_every_text_is_translated_and_none_is_left_over(code: str, template) -> None:
    made = catalogues.catalogue(code)
    wanted = {message.id for message in template if message.id}
    assert {message.id for message in made if message.id} == wanted
    for message in made:
        if message.id:
            forms = message.string if isinstance(message.string, tuple) else (message.string,)
            assert all(forms), f"{message.id} is not translated"
            assert not message.fuzzy, message.id
            assert len(forms) == (made.num_plurals if message.pluralizable else 1)


def test_templates_hand_no_literal_to_a_filter_of_the_language() -> None:
    """Compiling works such an expression out once, and all languages share what is compiled."""
    literal = re.compile(
        r"""\{\{[^}]*?(?<![\w.)\]])(?:\d[\d.]*|'[^']*'|"[^"]*")\s*\|\s*(?:number|day)\b"""
    )
    files = sorted((REPO / "site_templates").rglob("*.j2"))
    assert literal.search("{{ 0.1 | number }}") and not literal.search("{{ tenth | number }}")
    assert [str(file) for file in files if literal.search(file.read_text("utf-8"))] == []


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_translation_fills_in_what_its_original_fills_in(code: str) -> None:
    for message in catalogues.catalogue(code):
        if not message.id:
            continue
        ids = message.id if isinstance(message.id, tuple) else (message.id,)
        forms = message.string if isinstance(message.string, tuple) else (message.string,)
        # A form for one thing may leave out what the English form for one leaves out.
        allowed = [placeholders(text) for text in ids]
        for form in forms:
            assert placeholders(form) in allowed, form
        assert ("%%" in "".join(ids)) == ("%%" in "".join(forms)), ids[0]


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_catalogue_reads_as_babel_reads_it(code: str) -> None:
    ours = Language(code).catalogue
    for message in catalogues.catalogue(code):
        if isinstance(message.id, tuple):
            assert ours.texts[message.id[0]] == message.string
        elif message.id:
            assert ours.texts[message.id] == (message.string,)


@pytest.mark.parametrize("code", LANGUAGES)
def test_plural_forms_go_with_the_numbers_that_cldr_says(code: str) -> None:
    locale = Locale(code)
    forms = {}
    for number in range(300):
        form = Language(code).catalogue.form(number)
        forms.setdefault(locale.plural_form(number), set()).add(form)
    assert all(len(found) == 1 for found in forms.values()), forms
    assert len({*map(frozenset, forms.values())}) == len(forms)
    assert to_gettext(locale.plural_form)  # CLDR's own rule is one that gettext can hold


def test_a_fuzzy_message_is_not_shown() -> None:
    from kitdocs.words.catalogue import read_catalogue  # noqa: PLC0415

    text = 'msgid ""\nmsgstr ""\n\n#, fuzzy\nmsgid "Wheel"\nmsgstr "Reifen"\n\nmsgid "a\\"b"\nmsgstr "c\\n"\n'  # noqa: E501
    made = read_catalogue(text)
    assert made.gettext("Wheel") == "Wheel"
    assert made.gettext('a"b') == "c\n"


def test_english_reads_no_file() -> None:
    assert ENGLISH.catalogue.texts == {}
    assert Language("en-GB").has_texts
    assert not Language("sw").has_texts
    assert Language("de-CH").text("Wheel") == GERMAN.text("Wheel") != "Wheel"


# Numbers


@pytest.mark.parametrize("code", ["de", "pl", "fr", "cs", "en"])
@pytest.mark.parametrize("value", [0.05, 2.5, 47, 1234.5])
def test_decimals_stand_after_the_sign_that_cldr_says(code: str, value: float) -> None:
    # Without grouping: groups are divided by narrow spaces in every language (ISO 80000-1, 7.3.1).
    expected = format_decimal(value, "0.###", locale=code)
    assert numbers_in(Language(code)).plain(value) == expected


def test_groups_are_divided_by_narrow_spaces_from_five_digits_on() -> None:
    assert numbers_in(GERMAN).plain(12345.5) == "12\u202f345,5"
    assert numbers_in(POLISH).plain(1234.5) == "1234,5"


@pytest.mark.parametrize("code", ["de", "pl", "fr", "cs"])
def test_the_per_cent_sign_stands_as_cldr_says(code: str) -> None:
    expected = format_percent(0.5, locale=code)  # 50 % or 50%
    shown = numbers_in(Language(code)).with_unit("50", "%")
    assert re.sub(r"\s", " ", shown) == re.sub(r"\s", " ", expected)


@pytest.mark.parametrize("code", ["en", "de", "pl", "fr", "cs"])
@pytest.mark.parametrize("value", [1, 2, 5, 22, 1.5, 365.25, 686.98])
def test_days_have_the_plural_that_cldr_says(code: str, value: float) -> None:
    expected = format_unit(value, "duration-day", "long", locale=code)
    shown = numbers_in(Language(code)).days(value)
    assert NBSP in shown, "case 3.13: a number and its unit stay on one line"
    assert shown.replace(NBSP, " ") == expected.replace(NBSP, " ")


@pytest.mark.parametrize("code", ["de", "pl"])
def test_a_day_is_written_as_cldr_says(code: str) -> None:
    from datetime import date  # noqa: PLC0415

    expected = format_date(date(2026, 11, 25), "long", locale=code)
    assert numbers_in(Language(code)).date("2026-11-25") == expected
    assert numbers_in(ENGLISH).date("2026-11-25") == "2026-11-25"  # as it always was


@pytest.mark.parametrize("code", ["en", "de", "pl", "fr"])
@pytest.mark.parametrize("number", [0, 1, 2, 4, 5, 12, 22, 100])
def test_plural_categories_are_those_of_cldr(code: str, number: int) -> None:
    assert numbers_in(Language(code)).category(number) == Locale(code).plural_form(number)


def test_a_polish_fraction_has_a_form_of_its_own() -> None:
    # Case 3.12: 1, 2 to 4, 5 and more, and 1.5 differ.
    shown = [numbers_in(POLISH).category(n) for n in ("1", "3", "5", "1,5")]
    assert shown == ["one", "few", "many", "other"]


def test_a_designation_has_the_decimal_comma_of_its_language() -> None:
    # Common practice: German tables of fasteners list M1,6, M2 and M2,5.
    assert numbers_in(GERMAN).local("M2.5 × 6") == "M2,5 × 6"
    assert numbers_in(ENGLISH).local("M2.5 × 6") == "M2.5 × 6"
    assert numbers_in(GERMAN).local("0.05 … 0.3 mm") == "0,05 … 0,3 mm"


def test_pages_and_prose_take_their_numbers_from_the_language_of_the_book() -> None:
    """The functions of `words/numbers.py` are English: for findings and the command line."""
    plain_fractions = {"fraction"}  # the same in every language
    for room in ("pages", "words"):
        for file in sorted((REPO / "kitdocs" / room).glob("*.py")):
            if file.name in ("explanation.py", "tooth_table.py", "charts.py", "numbers.py"):
                continue  # for a terminal; charts are given the sign before the decimals
            for node in ast.walk(ast.parse(file.read_text("utf-8"))):
                if isinstance(node, ast.ImportFrom) and node.module == "kitdocs.words.numbers":
                    names = {name.name for name in node.names} - plain_fractions
                    assert all(not n.islower() or n == "numbers_in" for n in names), file.name


# Names


@pytest.fixture(scope="module")
def demo() -> Survey:
    found = survey(REPO, REPO / "content")
    return Survey(tuple(KitSurvey(k.read, k.design, ()) for k in found.kits), ())


def kit_of(found: Survey, name: str) -> Kit:
    kit = next(k.kit for k in found.kits if k.id == name)
    assert kit is not None
    return kit


def test_names_that_follow_from_facts_are_in_the_language(demo: Survey) -> None:
    kit = kit_of(demo, "tellurion")
    names = Names(kit, GERMAN)
    screw = kit.part("ISO 7045 M2.5 x 6")
    assert names.one(kit.parts["wheel-74"]) == "74-Zahn-Rad"
    assert names.counted(3, kit.parts["wheel-74"]) == "drei 74-Zahn-Räder"
    assert screw and names.one(screw) == "Schraube M2,5 × 6"
    assert names.designation(screw) == "ISO 7045 M2,5 × 6"


def test_polish_counts_take_the_form_of_their_category(demo: Survey) -> None:
    kit = kit_of(demo, "tellurion")
    names, hub, screw = Names(kit, POLISH), kit.parts["hub"], kit.part("ISO 7045 M2.5 x 6")
    assert screw is not None
    # CLDR: 1 one; 2 to 4, 22 few; 5 to 21, 25 many.
    assert [names.form(n, hub) for n in (1, 2, 5, 22)] == [
        "piasta koła", "piasty kół", "piast kół", "piasty kół",
    ]  # fmt: skip
    assert names.counted(1, screw) == "1 śruba M2,5 × 6"
    assert names.counted(4, screw) == "cztery śruby M2,5 × 6"
    assert names.counted(12, screw) == "12 śrub M2,5 × 6"


def test_a_kit_whose_first_language_is_german_is_german(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    change(folder, [{**IN_GERMAN, "put": "languages: [de]\nstages: [stages"}])
    found = survey(tmp_path, tmp_path / "content")
    names = Names(kit_of(found, "bench"))
    assert names.one(kit_of(found, "bench").parts["wheel-43"]) == "43-Zahn-Rad"
    page = rendered_in(found, tmp_path, None).pages["bench/parts.md"]
    assert page.title == "Teile"
    assert page.language == "de"


def test_forms_of_a_name_are_facts_of_expressions(tmp_path: Path) -> None:
    kit = kit_of(surveyed(tmp_path, [IN_GERMAN]), "bench")
    prose = Prose(Design(kit), Names(kit, GERMAN))
    passage = kit.stages[0].words
    shown, found = prose.text(type(passage)("{{ item('post').genitive }}", passage.place))
    assert (shown, found) == ("Ständers", [])


# Translated pages


def test_words_are_no_facts_of_the_design(tmp_path: Path) -> None:
    before = kit_of(surveyed(tmp_path / "a"), "bench").digest
    german = [IN_GERMAN, {"file": "words.de.yml", "find": "Marsrohr", "put": "Rohr des Mars"}]
    assert kit_of(surveyed(tmp_path / "b", german), "bench").digest == before


def test_the_digest_of_words_is_sha256_without_blank_lines(tmp_path: Path) -> None:
    extra = {"file": "extra.md", "new": "# Extra\n\n\nTurn the crank.  \n"}
    kit = kit_of(surveyed(tmp_path, [extra]), "bench")
    expected = hashlib.sha256(b"# Extra\nTurn the crank.").hexdigest()[:8]
    assert opening_digest(kit.pages[0]) == expected


def test_a_new_page_is_begun_compared_and_goes_stale(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = copy_base(tmp_path)
    change(folder, [IN_GERMAN])
    content, page = str(tmp_path / "content"), folder / "stages" / "planets.de.md"

    def told() -> list[str]:
        return [f.rule for f in survey(tmp_path, Path(content)).findings if f.severity != "note"]

    assert main(["translated", str(folder / "stages/planets.md"), "--new", "de",
                 "--content", content]) == 0  # fmt: skip
    assert set(told()) == {"translation-stale"}, "nobody has looked at it yet"
    assert main(["translated", str(page), "--content", content]) == 0
    assert told() == []
    before = page.read_text("utf-8")
    assert main(["translated", str(page), "--content", content]) == 0
    assert page.read_text("utf-8") == before
    change(folder, [{"file": "stages/planets.md", "find": "Turn the crank.", "put": "Turn it."}])
    found = [f for f in survey(tmp_path, Path(content)).findings if f.severity != "note"]
    assert [f.rule for f in found] == ["translation-stale"]
    assert "fit-moon" in found[0].found
    assert found[0].facts[0].path.endswith("stages/planets.md")
    assert main(["translated", str(folder / "stages/planets.md"), "--new", "de",
                 "--content", content]) == 1, "a page that is there stays"  # fmt: skip
    capsys.readouterr()


def test_wrong_calls_are_told_of(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = copy_base(tmp_path)
    content = str(tmp_path / "content")
    assert main(["translated", str(folder / "nothing.de.md"), "--content", content]) == 2
    assert main(["translated", str(folder / "stages/drive.md"), "--new", "German",
                 "--content", content]) == 2  # fmt: skip
    told = capsys.readouterr().err
    assert "nothing.de.md" in told
    assert "'German' is no code of a language" in told


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_stamping_changes_nothing_but_the_digests(end: str) -> None:
    text = (
        "---\ntitle: Bühne\n---\nWorte: translates: nein.\n\n## Eins\n\n```yaml\ntranslates: eins\n"
        "```\n\n```step\ntranslates: eins 0f0f0f0f\n```\n"
        "\n## Zwei\n\n```step\ntranslates: zwei\n```\n"
    )
    expected = text.replace("title: Bühne\n", "title: Bühne\ntranslates: 11111111\n")
    expected = expected.replace("eins 0f0f0f0f", "eins 22222222")
    made = stamped(text.replace("\n", end), "11111111", {"eins": "22222222"})
    assert made == expected.replace("\n", end)
    only_words = stamped("Nur Worte.\n", "11111111", {})
    assert only_words == "---\ntranslates: 11111111\n---\nNur Worte.\n"


PROCEDURE = """\
---
slots: {wheel: the wheel, pin: its pin}
---
## Wipe the wheel

Wipe the {{ item('<wheel>') }}.

```step
- {id: wipe-<wheel>, check: <wheel>}
```
"""


def test_a_procedure_is_translated_once_for_all_its_uses(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    planets = "stages/planets.md"
    use = "```use\nprocedure: wipe\nwheel: mars-wheel\n```\n\n## Add the arm"
    procedure = PROCEDURE.replace(", pin: its pin", "")
    change(folder, [IN_GERMAN, {"file": planets, "find": "## Add the arm", "put": use},
                    {"file": "procedures/wipe.md", "new": procedure}])  # fmt: skip
    content = str(tmp_path / "content")
    for page in ("procedures/wipe.md", planets):
        assert main(["translated", str(folder / page), "--new", "de", "--content", content]) == 0
    german = folder / "procedures/wipe.de.md"
    assert "translates: wipe-<wheel>\n" in german.read_text("utf-8")
    change(
        folder, [{"file": "procedures/wipe.de.md", "find": "Wipe the {{", "put": "Wische das {{"}]
    )
    for page in ("procedures/wipe.de.md", "stages/planets.de.md"):
        assert main(["translated", str(folder / page), "--content", content]) == 0
    found = survey(tmp_path, Path(content))
    assert [str(f) for f in found.findings if f.rule.startswith("translation-s")] == []
    text = rendered_in(found, tmp_path, "de").pages["bench/stages/planets.md"].markdown
    assert "Wische das 53-Zahn-Rad." in text


# Pages


def rendered_in(found: Survey, cache: Path, code: str | None) -> Site:
    """The site in a language, whatever its findings."""
    kits = tuple(KitSurvey(k.read, k.design, ()) for k in found.kits)
    charts = ChartCache(cache / "charts")
    return render_site(
        Survey(kits, ()), lambda _, to: to, [shipped_templates()], charts, None, code
    )


class Told(HTMLParser):
    """The texts of a page that are in its own language, those of attributes too."""

    unclosed = frozenset({"br", "img", "input", "meta", "link", "hr"})
    told_by = ("aria-label", "title", "alt", "data-label", "data-done", "data-name", "placeholder")

    def __init__(self) -> None:
        super().__init__()
        self.open: list[tuple[str, bool]] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs) -> None:
        given = dict(attrs)
        other = "lang" in given or tag in ("code", "style", "script")
        if not other and not any(strange for _, strange in self.open):
            self.texts += [given[name] for name in self.told_by if given.get(name)]
        if tag not in self.unclosed:
            self.open.append((tag, other))

    def handle_startendtag(self, tag: str, attrs) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in self.unclosed:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        if data.strip() and not any(strange for _, strange in self.open):
            self.texts.append(data)


#: English words that are no words of German or Polish, and no names of anything.
_ENGLISH = (
    "the of and with is are from by for its this that when where which not how what each every "
    "wheel wheels screw screws stage stages parcel parcels teeth tooth holes hole length bore "
    "through into against held none never years year days day turns crank arbor body bodies "
    "pieces parts spare height between about only first then your you they than other three four "
    "take takes turn page pages shown here there"
)
ENGLISH_WORDS = frozenset(re.split(" ", _ENGLISH))


@pytest.mark.parametrize(
    ("code", "kits"), [("de", ("quayside", "tellurion")), ("pl", ("tellurion",))]
)
def test_no_english_is_left_on_pages_of_another_language(
    code: str, kits: tuple[str, ...], demo: Survey, tmp_path: Path
) -> None:
    site = rendered_in(demo, tmp_path, code)
    reader = markdown.Markdown(extensions=["admonition", "attr_list", "md_in_html", "tables"])
    wrong = []
    for name in kits:
        kit = kit_of(demo, name)
        # Titles of pages that are not translated yet, and ids, which designers read.
        own = {s.title for s in kit.stages} | {s.front.summary or "" for s in kit.stages}
        ids = "|".join(sorted((*kit.items, *kit.arbors, *kit.axes), key=len, reverse=True))
        sources = {t.reference.source for t in Design(kit).trains.values()}
        for page in site.pages.values():
            if not page.uri.startswith(f"{name}/"):
                continue
            told = Told()
            told.feed(reader.reset().convert(page.markdown))
            for text in told.texts:
                for known in sorted({*own, *sources, kit.about.maker} - {""}, key=len)[::-1]:
                    text = text.replace(known, " ")
                bare = re.sub(rf"\b({ids}|[a-z]+(?:-[a-z]+)+)\b", " ", text)
                if ENGLISH_WORDS & set(re.findall(r"\w+", bare)):
                    wrong.append((page.uri, text.strip()[:120]))
    assert wrong == []


def test_words_that_are_not_translated_are_marked_with_their_language(
    tmp_path: Path,
) -> None:
    found = surveyed(tmp_path, [IN_GERMAN])
    page = rendered_in(found, tmp_path, "de").pages["bench/stages/drive.md"]
    assert page.language == "de"
    assert "Schritt 1: " in page.markdown
    assert '<div lang="en" markdown="1">' in page.markdown
    english = rendered_in(found, tmp_path, "en").pages["bench/stages/drive.md"]
    assert "lang=" not in english.markdown


def test_a_language_that_a_kit_lacks_leaves_it_as_it_is(tmp_path: Path) -> None:
    found = surveyed(tmp_path, [IN_GERMAN])
    polish, english = (rendered_in(found, tmp_path, code) for code in ("pl", "en"))
    for uri, page in english.pages.items():
        if uri.startswith("bench/"):
            assert polish.pages[uri] == page
    assert polish.pages["index.md"].title == POLISH.text("Home")


def test_findings_of_the_base_kit_in_two_languages(tmp_path: Path) -> None:
    told = lines(surveyed(tmp_path, [IN_GERMAN]))
    assert [line for line in told if ": note " not in line] == []
