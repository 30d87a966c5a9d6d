"""No text that is published goes unaudited: every field of a model, and every file, that has text.

Each text gets two numbers that nothing in the base kit backs. Either the audit finds both, in that
file; or the kit is refused, so that nothing is published; or readers never see the text, which is
looked for on every page that is made.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from changed_kit import change
from text_fields import rich_kit, text_fields

from kitdocs.finding import Finding
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.survey import Survey, survey

SAID = {
    "en": "seventeen feet or 4711 mm",
    "de": "siebzehn Füße oder 4711 mm",
    "pl": "siedemnaście śrub lub 4711 mm",
}
#: A file, what is written there, what is to be, with {} in it, and a language if not the file's.
Change = tuple[str, ...]

_ERRATA, _KIT, _PL = "errata.yml", "kit.yml", "words.pl.yml"
#: Fields that readers see: the audit reads them.
READ: dict[str, Change] = {
    "Before.now": (_ERRATA, "now: three feet,", "now: {},"),
    "Body.name": (_KIT, "name: Mars", "name: {}"),
    "Called.forms": (_PL, "piasty ziemskiej", "{}"),
    "Called.name": (_PL, "piasta ziemska", "{}"),
    "ChangedParcel.title": (_ERRATA, "title: Old parcel", "title: {}"),
    "ChangedStage.title": (_ERRATA, "title: Old stage", "title: {}"),
    "ChangedStep.advice": (_ERRATA, "Add the missing foot.", "Add {}."),
    "ChangedStep.title": (_ERRATA, "title: Old step", "title: {}"),
    "Delivery.title": ("deliveries.yml", "title: Stand and drive", "title: {}"),
    "Erratum.from_": (_ERRATA, 'from: "0.9"', "from: {}"),
    "Fastener.material": ("parts.yml", "x 8, material: steel", "x 8, material: {}"),
    "KitFile.maker": (_KIT, "Invented Test Bench", "{}"),
    "KitFile.summary": (_KIT, "Earth, Mars and the Moon on", "{} on"),
    "KitFile.title": (_KIT, "title: Bench Orrery", "title: {}"),
    "KitFile.unchecked": (_KIT, "Cases have few captions.", "Of {}."),
    "LimitEntry.reason": (_KIT, "The felt gives way.", "The felt gives {}."),
    "OwnReference.source": (_KIT, "source: A book", "source: {}"),
    "Part.mark": ("parts.yml", "mark: dot", "mark: {}"),
    "Part.material": ("parts.yml", "material: birch ply", "material: {}"),
    "Part.name": ("parts.yml", "name: Moon rod", "name: {}"),
    "Part.note": ("parts.yml", "note: of brass", "note: {}"),
    "Part.plural": ("parts.yml", "plural: Earth hubs", "plural: {}"),
    "Part.spoken": ("parts.yml", "spoken: big hub", "spoken: {}"),
    "PartCalled.mark": (_PL, "mark: kropka", "mark: {}"),
    "PartCalled.note": (_PL, "note: z mosiądzu", "note: {}"),
    "PartCalled.spoken": (_PL, "spoken: duża piasta", "spoken: {}"),
    "PluralForms.few": (_PL, "few: piasty b", "few: {}"),
    "PluralForms.many": (_PL, "many: piast,", "many: {},"),
    "PluralForms.other": (_PL, "other: piasty}", "other: {}}"),
    "PluralForms.two": (_PL, "two: piasty a", "two: {}"),
    "ProcedureFront.slots": ("procedures/set-post.md", "the upright", "{}"),
    "Said.advice": (_ERRATA, "Kleben Sie den Fuß an.", "Kleben Sie {} an.", "de"),
    "Said.now": (_ERRATA, "now: drei Füße", "now: {}", "de"),
    "Said.title": (_ERRATA, "title: Altes Paket", "title: {}", "de"),
    "Signed.by": (_KIT, "by: A Signer", "by: {}"),
    "StageFront.summary": ("stages/drive.md", "summary: The stand", "summary: {}"),
    "StageFront.title": ("stages/drive.md", "title: Stand and drive", "title: {}"),
    "Supply.name": ("parts.yml", "name: clock oil", "name: {}"),
    "Tool.name": ("parts.yml", "name: tweezers", "name: {}"),
    "TranslatedFront.summary": ("stages/drive.pl.md", "Podstawa i korba.", "{}"),
    "TranslatedFront.title": ("stages/drive.pl.md", "title: Podstawa", "title: {}"),
    "WordsFile.arbors": (_PL, "frame: rama", "frame: {}"),
    "WordsFile.axes": (_PL, "lay: oś boczna", "lay: {}"),
    "WordsFile.materials": (_PL, "birch ply: sklejka", "birch ply: {}"),
    "WordsFile.summary": (_PL, "summary: Mały model.", "summary: {}"),
    "WordsFile.title": (_PL, "title: Orrery na stół", "title: {}"),
}
#: Fields of which only counts are read, since another figure in them is the fact itself.
COUNTED: dict[str, Change] = {
    "Fastener.driver": ("parts.yml", "driver: own driver", "driver: {}"),
    # What `to` has not in common with the kit's revision makes the entry one of an earlier time.
    "Erratum.to": (_ERRATA, 'to: "1.0"', "to: {}"),
    "KitFile.revision": (_KIT, 'revision: "1.0"', "revision: {}"),
}
#: Fields that hold a reference, a date, a code: no kit is published with words in them.
REFUSED: dict[str, Change] = {
    "Arbor.end_stack": ("mechanism.yml", "handle: crank-handle", "handle: {}"),
    "Arbor.part": ("mechanism.yml", "part: pipe-8", "part: {}"),
    "Arbor.stack": ("mechanism.yml", "{base: base-plate}", "{base: {}}"),
    "Body.reference": (_KIT, "reference: moon synodic", "reference: {}"),
    "CrossHole.thread": ("parts.yml", "{thread: M3, count: 1}", "{thread: {}, count: 1}"),
    "Delivery.holds[key]": ("deliveries.yml", "base-plate: 1", "{}: 1"),
    "Delivery.spares[key]": ("deliveries.yml", "spares: {M2.5 x 6: 1}", "spares: {{}: 1}"),
    "Erratum.on": (_ERRATA, "on: 2026-11-20", "on: {}"),
    "Fastener.designation": ("parts.yml", "designation: M3 x 10", "designation: {}"),
    "Held.by": ("mechanism.yml", "crank-bevel: {to: crank, by: press}",
                "crank-bevel: {to: crank, by: {}}"),
    "Held.washer": ("mechanism.yml", "holes: [1, 3, 5]}", "holes: [1, 3, 5], washer: {}}"),
    "Holes.thread": ("parts.yml", "count: 6, circle: 16, thread: M2.5",
                     "count: 6, circle: 16, thread: {}"),
    "KitFile.languages": (_KIT, "[en, de, pl]", "[en, de, pl, {}]"),
    "KitFile.stages": (_KIT, "stages/planets.md]", "{}]"),
    "Part.fit": ("parts.yml", "fit: H7/g6", "fit: {}"),
    "Setting.from_": (_KIT, "from: 2026-01-01", "from: {}"),
    "Setting.to": (_KIT, "to: 2026-12-31", "to: {}"),
    "Signed.digest": (_KIT, "digest: 0123456789abcdef", "digest: {}"),
    "Signed.on": (_KIT, "on: 2026-11-20", "on: {}"),
    "StageFront.video": ("stages/drive.md", "https://example.org/film", "{}"),
    "TimeBase.period": (_KIT, "period: earth sidereal}", "period: {}}"),
    "TranslatedFront.translates": ("stages/drive.pl.md", "00000000", "{}"),
    "WordsFile.materials[key]": (_PL, "birch ply: sklejka", "{}: sklejka"),
    "WordsFile.parts[key]": (_PL, "  hub-8:", "  {}:"),
}  # fmt: skip
_KEYS = {"Before": "before", "ChangedParcel": "title: Altes", "ChangedStage": "title: Alte ",
         "ChangedStep": "advice"}  # fmt: skip
for _model, _key in _KEYS.items():
    _de, _said = f"translated: {{de: {{{_key}", f"translated: {{{{}}: {{{_key}"
    REFUSED[f"{_model}.translated[key]"] = _ERRATA, _de, _said
#: Fields that readers never see, and why they need not.
UNSEEN: dict[str, tuple[str, Change]] = {
    "Part.also": ("names that words must not use", ("parts.yml", "also: [drum]", "also: [{}]")),
    "PartCalled.also": ("the same in a further language", (_PL, "also: [bęben]", "also: [{}]")),
}
#: Fields that are shown and not read, and why.
HISTORY: dict[str, tuple[str, Change]] = {
    "Before.before": (
        "what a design had that is gone: `kitdocs revise` wrote it, nothing here knows it",
        (_ERRATA, "before: two feet, now: three feet,", "before: {}, now: three feet,"),
    ),
    "Said.before": (
        "the same in a further language",
        (_ERRATA, "before: zwei Füße", "before: {}", "de"),
    ),
}  # fmt: skip


def test_every_text_field_of_a_model_is_dealt_with():
    """A new field of text has to be put into one of the tables above, and one table only."""
    listed = [*READ, *COUNTED, *REFUSED, *UNSEEN, *HISTORY]
    assert sorted(listed) == sorted(map(str, text_fields()))


def changed(site: Path, one: Change) -> tuple[Survey, str]:
    """The survey of the kit with a text in its place, and the text."""
    file, find, put, *told = one
    named = re.search(r"\.(de|pl)\.", file)
    said = SAID[told[0] if told else named[1] if named else "en"]
    folder = rich_kit(site)
    change(folder, [{"file": file, "find": find, "put": put.replace("{}", said)}])
    return survey(site, site / "content"), said


def numbers(found: Survey, file: str) -> list[str]:
    """The numbers in a file that the audit says rest on nothing."""
    wrong = [f for f in found.findings if f.rule == "word-number" and f.severity == "error"]
    return [f.found.partition("'")[2].partition("'")[0] for f in wrong if f.place.path == file]


def errors(found: Survey) -> list[Finding]:
    return [f for f in found.findings if f.severity == "error"]


def pages(found: Survey, folder: Path) -> str:
    """All that is made for readers of a site, in each language."""
    made = []
    for code in ("en", "de", "pl"):
        cache = ChartCache(folder)
        site = render_site(found, lambda _, to: to, [shipped_templates()], cache, None, code)
        made += [page.markdown + page.title + page.description for page in site.pages.values()]
        made += [repr(site.nav), repr(site.offline)]
        made += [text for text in site.assets.values() if isinstance(text, str)]
    return "\n".join(made)


def test_the_kit_that_has_every_text_is_sound(tmp_path):
    rich_kit(tmp_path)
    assert not errors(survey(tmp_path, tmp_path / "content"))


@pytest.mark.parametrize("field", READ)
def test_what_readers_see_is_read(tmp_path, field):
    found, said = changed(tmp_path, READ[field])
    words = said.split(" ", 3)
    assert {*numbers(found, f"content/bench/{READ[field][0]}")} >= {words[0], words[3]}


@pytest.mark.parametrize("field", COUNTED)
def test_of_a_size_or_a_number_that_is_shown_the_counts_are_read(tmp_path, field):
    found, said = changed(tmp_path, COUNTED[field])
    assert said.split(" ")[0] in numbers(found, f"content/bench/{COUNTED[field][0]}")


@pytest.mark.parametrize("field", REFUSED)
def test_what_is_no_text_is_refused(tmp_path, field):
    found, _ = changed(tmp_path, REFUSED[field])
    assert [f.rule for f in errors(found) if f.place.path == f"content/bench/{REFUSED[field][0]}"]


@pytest.mark.parametrize("field", UNSEEN)
def test_what_is_not_read_is_not_seen(tmp_path, field):
    found, said = changed(tmp_path, UNSEEN[field][1])
    assert not errors(found)
    made = pages(found, tmp_path / "charts")
    assert "The stand, the crank and the Earth pipe" in made  # what is shown is found this way
    for word in (said.split(" ")[0], "4711"):
        assert word not in made


@pytest.mark.parametrize("find", ["title: Glue the feet", "title: Stand and drive, state"])
def test_what_is_still_there_is_shown_by_the_title_that_it_has_now(tmp_path, find):
    title = find.removeprefix("title: ").partition(",")[0]
    found, said = changed(tmp_path, (_ERRATA, find, find.replace(title, "{}")))
    assert not errors(found)
    assert said not in pages(found, tmp_path / "charts")


@pytest.mark.parametrize("field", HISTORY)
def test_history_is_what_it_is(tmp_path, field):
    found, said = changed(tmp_path, HISTORY[field][1])
    assert not errors(found)
    assert said in pages(found, tmp_path / "charts")


#: Texts that no model has: in files of their own, or in what Markdown makes of words.
WRITTEN: dict[str, Change] = {
    "words of a page": ("notes.md", "Of the stand.", "Of {}."),
    "front matter of a page": ("notes.md", "description: Some notes", "description: {}"),
    "words of a translated page": ("notes.de.md", "Zum Ständer.", "Zum Ständer: {}."),
    "title of a translated page": ("notes.de.md", "title: Notizen", "title: {}"),
    "words of a step": ("stages/drive.md", "Oil the {{ item('post') }}.", "Oil {}."),
    "words of a procedure": ("procedures/set-post.md", "into the base until", "into {} until"),
    "lettering of a drawing": ("stand.svg", ">foot <", ">{}<"),
    "lettering in pieces": ("stand.svg", ">foot <tspan>here", "><tspan>{}"),
    "title of a drawing": ("stand.svg", "<title>The stand", "<title>{}"),
    "description of a drawing": ("stand.svg", "Seen from above", "{}"),
    "name of a drawing": ("stand.svg", 'aria-label="The stand"', 'aria-label="{}"'),
    "source of a figure": ("notes.md", "Of the stand.", "Of {{ given('5 g', 'the list of {}') }}."),
    "words of a footnote": ("notes.md", "Of the stand.", "Of it.[^1]\n\n[^1]: There are {}."),
    "meaning of an abbreviation": ("notes.md", "Of the stand.", "The AB.\n\n*[AB]: {}"),
    "title of a link": ("notes.md", "Of the stand.", 'Of [it](x.md "{}").'),
    "title of a picture": ("notes.md", "Of the stand.", 'Of ![it](stand.svg "{}").'),
    "title of a link by reference": ("notes.md", "Of the stand.", 'Of [it][1].\n\n[1]: x.md "{}"'),
    "what looks like attributes": ("notes.md", "Of the stand.", "The stand {with {}} there."),
    "what looks like a reference": ("notes.md", "Of the stand.", "[It]: has {} there."),
    "title in a list of attributes": ("notes.md", "Of the stand.", 'Of *it*{: title="{}" }.'),
    "title of code": ("notes.md", "Of the stand.", '``` { .text title="{}" linenums="1" }\nx\n```'),
    "label of a tag": ("notes.md", "Of the stand.", '<details label="{}">x</details>'),
    "text in a field": ("notes.md", "Of the stand.", 'Of <input placeholder="{}">.'),
}


@pytest.mark.parametrize("what", WRITTEN)
def test_every_text_that_is_written_is_read(tmp_path, what):
    found, said = changed(tmp_path, WRITTEN[what])
    words = said.split(" ", 3)
    assert {*numbers(found, f"content/bench/{WRITTEN[what][0]}")} >= {words[0], words[3]}


@pytest.mark.parametrize(
    "file, find, put",
    [
        ("parts.yml", "  base-plate: {", "  seventeen-feet: {"),
        ("mechanism.yml", "  frame: {", "  seventeen-feet: {"),
    ],
)
def test_a_name_that_is_made_of_an_id_is_read(tmp_path, file, find, put):
    folder = rich_kit(tmp_path)
    for one in folder.rglob("*.yml"):  # an id is the same wherever it is named
        name, new = find.strip(" :{"), put.strip(" :{")
        text = one.read_text("utf-8")
        one.write_text(re.sub(rf"(?<![\w-]){name}(?![\w-])", new, text), "utf-8")
    assert "seventeen" in numbers(survey(tmp_path, tmp_path / "content"), f"content/bench/{file}")


def test_what_an_entry_of_the_errata_says_may_be_told_again_in_it(tmp_path):
    """Two feet are not what the design has, but what it had before."""
    folder = rich_kit(tmp_path)
    advice = {
        "file": "errata.yml",
        "find": "Add the missing foot.",
        "put": "Take off the two feet.",
    }
    change(folder, [advice])
    assert not errors(survey(tmp_path, tmp_path / "content"))
    change(folder, [{"file": "errata.yml", "find": "off the two feet", "put": "off the four feet"}])
    assert numbers(survey(tmp_path, tmp_path / "content"), "content/bench/errata.yml") == ["four"]


@pytest.mark.parametrize(
    "delivery, said, wrong",
    [
        ("second", "Three M2.5 × 6 screws", []),
        ("second", "Four M2.5 × 6 screws", []),  # with the spare one
        ("second", "Six M2.5 × 6 screws", ["Six"]),  # those of both parcels
        ("first", "Three feet", []),
        ("first", "Parcel 1", []),
        ("first", "Parcel 2", ["2"]),
    ],
)
def test_a_parcel_is_called_by_what_it_holds(tmp_path, delivery, said, wrong):
    folder = rich_kit(tmp_path)
    title = {"first": "Stand and drive", "second": "Mars and the Moon"}[delivery]
    one = {"file": "deliveries.yml", "find": f"title: {title}", "put": f"title: {said}"}
    change(folder, [one])
    assert numbers(survey(tmp_path, tmp_path / "content"), "content/bench/deliveries.yml") == wrong


@pytest.mark.parametrize("now, wrong", [("three feet", []), ("four feet", ["four"])])
def test_what_a_parcel_holds_now_is_what_it_holds(tmp_path, now, wrong):
    folder = rich_kit(tmp_path)
    find = "parts: [{before: two feet, now: three feet}]}"
    change(folder, [{"file": "errata.yml", "find": find, "put": find.replace("three feet", now)}])
    assert numbers(survey(tmp_path, tmp_path / "content"), "content/bench/errata.yml") == wrong


def test_a_reason_may_tell_the_limit_that_it_is_for(tmp_path):
    folder = rich_kit(tmp_path)
    change(
        folder, [{"file": "kit.yml", "find": "felt gives way", "put": "felt takes 0.4 mm of it"}]
    )
    assert not errors(survey(tmp_path, tmp_path / "content"))
    change(folder, [{"file": "kit.yml", "find": "felt takes 0.4", "put": "felt takes 0.6"}])
    assert numbers(survey(tmp_path, tmp_path / "content"), "content/bench/kit.yml") == ["0.6 mm"]


def test_years_and_editions_of_sources_are_their_own(tmp_path):
    folder = rich_kit(tmp_path)
    put = "source: 'Tables of the Planets, 3rd edition, 1931, page 17'"
    change(folder, [{"file": "kit.yml", "find": "source: A book", "put": put}])
    assert not errors(survey(tmp_path, tmp_path / "content"))


def test_a_drawing_in_a_further_language_is_read_in_it(tmp_path):
    folder = rich_kit(tmp_path)
    drawing = (folder / "stand.svg").read_text("utf-8").replace("foot <", "siebzehn Füße <")
    (folder / "stand.de.svg").write_text(drawing, "utf-8")
    found = survey(tmp_path, tmp_path / "content")
    assert numbers(found, "content/bench/stand.de.svg") == ["siebzehn"]
    (wrong,) = errors(found)
    assert (wrong.place.line, wrong.place.column) == (5, 24)
