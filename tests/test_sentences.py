"""Markdown to sentences: what a reader sees, and where each sign of it is written."""

from __future__ import annotations

import pytest
from word_sentences import design

from kitdocs.finding import Place
from kitdocs.kit.stage import Passage
from kitdocs.words.audit.auditor import given_on
from kitdocs.words.expressions import Prose
from kitdocs.words.given import Given, given_in
from kitdocs.words.sentences import sentences

PAGE = """\
Everything *turns* about a [post](x.md). It is
cut from `3 mm` brass, e.g. plate, &#35;6.

1. First do it. Then that.
2. See ![a wheel](x.png "t") here.

!!! note "Two of them"
    Inside <b title="hm">text</b>.

| part | length |
|---|---|
| post | 12 mm |

## Head {: #x }

```
code 5
```
"""


def read(text: str, code: str = "en"):
    return sentences(Passage(text, Place("x.md", 10, 1)), code)


def test_every_kind_of_block_is_read_plain_and_at_its_place():
    assert [(s.kind, s.text, s.place().line, s.place().column) for s in read(PAGE)] == [
        ("paragraph", "Everything turns about a post.", 10, 1),
        ("paragraph", "It is cut from 3 mm brass, e.g. plate, #6.", 10, 42),
        ("item", "First do it.", 13, 4),
        ("item", "Then that.", 13, 17),
        ("item", "See  here.", 14, 4),
        ("alt", "a wheel", 14, 10),
        ("alt", "t", 14, 26),
        ("admonition", "Two of them", 16, 11),
        ("paragraph", "Inside text.", 17, 5),
        ("alt", "hm", 17, 22),
        ("row", "| part | length |", 19, 1),
        ("row", "| post | 12 mm |", 21, 1),
        ("heading", "Head", 23, 4),
        ("code", "code 5", 26, 1),
    ]
    assert [s.head for s in read(PAGE) if s.kind == "row"] == ["", "part | length"]


@pytest.mark.parametrize(
    "code, text, count",
    [
        ("en", "Use tools, e.g. Tweezers. Then stop.", 2),
        ("de", "Nehmen Sie z. B. die Pinzette. Dann weiter.", 2),
        ("de", "Der 3. Zahn ist krumm. Weiter.", 2),
        ("de", "Das Paar übersetzt 115/29. Jedes Rohr steht.", 2),
        ("de", "Das sind 3,5. Weiter.", 2),
        ("pl", "Weź np. pincetę. Potem dalej.", 2),
        ("en", "It is 12.5 mm long. Is it? Yes!", 3),
    ],
)
def test_where_sentences_end(code, text, count):
    assert len(read(text, code)) == count


def test_what_an_expression_gave_is_known_and_at_its_braces():
    text = "Drive the {{ item('earth-wheel').screws }} in."
    (told,) = sentences(Prose(design()).rendering(Passage(text, Place("x.md", 3, 1))))
    (backed,) = told.backed
    assert told.text[backed.start : backed.end] == "three M2.5 × 6 screws"
    assert backed.source == "item('earth-wheel').screws"
    assert told.place(backed.start).column == told.place(backed.end - 1).column == 11
    assert told.place(len(told.text) - 1).column == len(text)


def test_figures_from_elsewhere_are_listed_once():
    given = "{{ given('24 hours', 'the data sheet') }}"
    text = f"Wait {given}. Again {given}."
    told = sentences(Prose(design()).rendering(Passage(text, Place("x.md"))))
    assert given_in(told) == (Given("24 hours", "the data sheet"),)
    assert told[0].text == "Wait 24\u00a0hours."
    assert given_on(design(), "", "en") == ()


def test_a_figure_without_its_source_is_a_finding():
    text = "Wait {{ given('24 hours', ' ') }}."
    (finding,) = Prose(design()).rendering(Passage(text, Place("x.md"))).findings
    assert "without its source" in finding.found
