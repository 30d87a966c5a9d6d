"""Narration and captions: speakable words, the timed script, WebVTT written and read, captions
compared with their stage.

Limits of captions after the UTK Libraries timed text guide (after Netflix): 42 characters a line,
two lines, 5/6 s to 7 s. The file format is W3C's WebVTT 1; `webvtt-py` reads what we write.
"""

from __future__ import annotations

import json
import re
import shutil
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
import webvtt

from kitdocs.assembly.design import Design
from kitdocs.cli import main
from kitdocs.kit.captions import CaptionFile
from kitdocs.kit.reader import read_kit
from kitdocs.kit.stage import ACTIONS, Stage
from kitdocs.words.audit.auditor import TONGUES
from kitdocs.words.narration.check import all_findings
from kitdocs.words.narration.cues import Cue, cues
from kitdocs.words.narration.heard import heard
from kitdocs.words.narration.pauses import SECONDS
from kitdocs.words.narration.script import Script, rate_of, script
from kitdocs.words.narration.speech import spoken
from kitdocs.words.narration.vtt import read, timestamp, written

CONTENT = Path(__file__).parent.parent / "content"


@cache
def design(kit: str) -> Design:
    found = read_kit(CONTENT.parent, CONTENT / kit, CONTENT).kit
    assert found is not None
    return Design(found)


STAGES = [
    (kit, stage.id, code)
    for kit in ("quayside", "tellurion")
    for stage in design(kit).kit.stages
    for code in design(kit).kit.languages
]
stages = pytest.mark.parametrize(("kit", "stage", "code"), STAGES)


@cache
def told(kit: str, stage: str, code: str) -> Script:
    return script(design(kit), the_stage(kit, stage), code)


def the_stage(kit: str, name: str) -> Stage:
    return next(stage for stage in design(kit).kit.stages if stage.id == name)


@pytest.mark.parametrize(
    ("code", "text", "said"),
    [  # what a reader says: common practice of each language
        ("en", "M2.5 × 6 screws", "M two point five by six screws"),
        ("en", "the 106-tooth wheel", "the one-hundred-and-six-tooth wheel"),
        ("en", "It has 106 teeth.", "It has one hundred and six teeth."),
        ("en", "45 mm apart", "forty-five millimetres apart"),
        ("en", "a 1.5 mm hex key", "a one point five millimetre hex key"),
        ("en", "an error of \u22120.12 %", "an error of minus nought point one two per cent"),
        ("en", "+0.5°", "plus nought point five degrees"),
        ("en", "10\u202f759.2 days", "ten thousand seven hundred and fifty-nine point two days"),
        ("en", "33/61 of a turn", "thirty-three over sixty-one of a turn"),
        ("en", "1 ½ turns", "one and a half turns"),
        ("en", "5–8 mm", "five to eight millimetres"),
        ("en", "the PH1 screwdriver", "the P H one screwdriver"),
        ("en", "ISO 4026", "ISO four nought two six"),
        ("en", "H7/g6", "H seven g six"),
        ("en", "the 3rd hole of stage 4", "the third hole of stage four"),
        ("en", "the wheel: no number", "the wheel: no number"),
        ("de", "M2,5 × 6", "M zwei Komma fünf mal sechs"),
        ("de", "das 106-Zahn-Rad", "das Einhundertsechs-Zahn-Rad"),
        ("de", "1 mm, 20 %", "ein Millimeter, zwanzig Prozent"),
        ("de", "in der 3. Stufe", "in der dritten Stufe"),
        ("pl", "2,5 mm", "dwa przecinek pięć milimetra"),
        ("pl", "22 mm i 25 mm", "dwadzieścia dwa milimetry i dwadzieścia pięć milimetrów"),
        ("pl", "koło 106-zębowe", "koło stusześciozębowe"),
        ("pl", "2 śruby", "2 śruby"),  # its word changes with the gender of the noun
        ("fr", "2 vis", "2 vis"),  # a language without words here
    ],
)
def test_spoken(code: str, text: str, said: str) -> None:
    assert spoken(text, code) == said


@pytest.mark.parametrize(
    ("code", "said", "figures"),
    [  # the other way: what a reader of captions writes down (common practice of each language)
        ("en", "the M two point five by six screws", "the M2.5 × 6 screws"),
        ("en", "A one point five millimetre hex key", "A 1.5 millimetre hex key"),
        ("en", "minus nought point one two per cent", "\u22120.12 per cent"),
        ("en", "ten thousand and nine point two days", "10009.2 days"),
        ("en", "the P H one screwdriver, ISO four nought two six", "the PH1 screwdriver, ISO 4026"),
        ("en", "H seven g six", "H7/g6"),
        ("en", "the three screws, plus one", "the three screws, plus one"),
        ("en", "A three-part glue, at one point. Five.", "A three-part glue, at one point. Five."),
        ("de", "Schrauben M zwei Komma fünf mal sechs", "Schrauben M2,5 × 6"),
        ("de", "null Komma null fünf Prozent", "0,05 Prozent"),
        ("pl", "dwa przecinek zero pięć milimetra", "2,05 milimetra"),
        ("pl", "dwa przecinek dwadzieścia pięć", "2,25"),
    ],
)
def test_spoken_numbers_are_heard(code: str, said: str, figures: str) -> None:
    found = heard(said, TONGUES[code])
    assert found.text == figures
    last = said.split()[-1]
    if figures.endswith(last):  # what stands after a figure is found at its new place
        assert found.text[found.offset(said.rindex(last)) :] == last


@stages
def test_a_script_says_no_figure_that_has_words(kit: str, stage: str, code: str) -> None:
    left = [line.spoken for line in told(kit, stage, code).lines if re.search(r"\d", line.spoken)]
    # A number whose word changes with a gender that is not known stays a figure.
    gendered = {"de": r"\b1\b", "pl": r"\b[12]\b"}.get(code, r"(?!)")
    assert not [line for line in left if re.search(r"\d", re.sub(gendered, "", line))]


@stages
def test_a_script_runs_on_in_time(kit: str, stage: str, code: str) -> None:
    lines = told(kit, stage, code).lines
    for before, line in pairwise(lines):
        assert line.start == pytest.approx(before.end + before.pause, abs=0.002)
    for line in lines:
        words = len(re.findall(r"[^\W_]+", line.spoken))
        assert line.end - line.start >= words * 60 / rate_of(code) - 0.002


def test_half_the_rate_takes_twice_as_long() -> None:
    stage = the_stage("quayside", "mercury")
    slow, fast = (script(design("quayside"), stage, "en", rate) for rate in (60, 120))
    longest = max(range(len(fast.lines)), key=lambda n: fast.lines[n].end - fast.lines[n].start)
    spans = [s.lines[longest].end - s.lines[longest].start for s in (slow, fast)]
    assert spans[0] == pytest.approx(2 * spans[1], abs=0.01)


def test_every_action_has_a_pause() -> None:
    assert set(SECONDS) == set(ACTIONS)


def test_hands_get_the_pauses_of_every_action() -> None:
    """Mercury, step 1: three screws at 12 s each, and a set screw at 12 s, are driven."""
    lines = [line for line in told("quayside", "mercury", "en").lines if line.number == 1]
    driven = [line.pause for line in lines if line.text.startswith("Drive")]
    assert driven == [36.0, 12.0]


@stages
def test_captions_are_within_the_published_limits(kit: str, stage: str, code: str) -> None:
    made = cues(told(kit, stage, code))
    for cue in made:
        assert len(cue.lines) <= 2 and all(0 < len(line) <= 42 for line in cue.lines), cue
        assert 5 / 6 <= cue.end - cue.start <= 7, cue
        assert len(cue.text) / (cue.end - cue.start) <= (20 if code == "en" else 17) + 0.05, cue
    assert all(b.start >= a.end for a, b in pairwise(made))


@stages
def test_captions_show_all_that_is_told(kit: str, stage: str, code: str) -> None:
    shown = " ".join(cue.text for cue in cues(told(kit, stage, code)))
    lines = " ".join(line.text for line in told(kit, stage, code).lines)
    assert shown.replace("\u00a0", " ") == lines.replace("\u00a0", " ")


@stages
def test_another_reader_reads_the_same_cues(kit: str, stage: str, code: str) -> None:
    made = cues(told(kit, stage, code))
    theirs = webvtt.from_string(written(made))
    assert len(theirs) == len(made)
    for cue, other in zip(made, theirs, strict=True):
        assert (other.start, other.end) == (timestamp(cue.start), timestamp(cue.end))
        assert other.text == "\n".join(cue.lines)


def test_signs_that_the_format_keeps_for_itself() -> None:
    cue = Cue(1.0, 3.0, ("a < b & c --> d",))
    text = written([cue])
    assert "a &lt; b &amp; c --&gt; d" in text
    found = read(text)
    assert not found.faults and found.cues[0].lines == cue.lines


HEAD = "WEBVTT\n\n"
GOOD = "00:00:01.000 --> 00:00:03.000\nOne.\n"


@pytest.mark.parametrize(
    ("text", "line", "told_of"),
    [
        (GOOD, 1, "a first line"),
        ("webvtt\n\n" + GOOD, 1, "a first line"),
        ("WEBVTT\n" + GOOD, 2, "text right below WEBVTT"),
        (HEAD, 1, "no cue at all"),
        (HEAD + "00:00:01,000 --> 00:00:03,000\nOne.\n", 3, "a comma"),
        (HEAD + "0:01.5 --> 0:03.0\nOne.\n", 3, "another form"),
        (HEAD + "00:01.000 --> 00:03.000\nOne.\n", 3, "without hours"),
        (HEAD + "00:00:61.000 --> 00:01:03.000\nOne.\n", 3, "the time '00:00:61.000'"),
        (HEAD + "one --> two\nOne.\n", 3, "the time 'one'"),
        (HEAD + "00:00:01.000-->00:00:03.000\nOne.\n", 3, "the times"),
        (HEAD + "00:00:06.000 --> 00:00:04.000\nOne.\n", 3, "before it starts"),
        (HEAD + "00:00:04.000 --> 00:00:04.000\nOne.\n", 3, "before it starts"),
        (HEAD + GOOD + "\n00:00:02.000 --> 00:00:04.000\nTwo.\n", 6, "stands until"),
        (HEAD + "00:00:05.000 --> 00:00:06.000\nTwo.\n\n" + GOOD, 6, "after one at"),
        (HEAD + GOOD + "00:00:04.000 --> 00:00:06.000\nTwo.\n", 5, "right below another"),
        (HEAD + "00:00:01.000 --> 00:00:03.000\n\nOne.\n", 3, "without words"),
        (HEAD + "00:00:01.000 --> 00:00:03.000\nOne\n\nmore.\n", 6, "text without a time"),
        (HEAD + "00:00:01.000 --> 00:00:03.000\nTurn <M2.5x6> in.\n", 4, "the tag '<M2.5x6>'"),
        (HEAD + "00:00:01.000 --> 00:00:03.000\nless < more\n", 4, "the tag"),
        (HEAD + "00:00:01.000 --> 00:00:03.000\n<b>One</b>\n", 4, "marked-up words"),
        (HEAD + "00:00:01.000 --> 00:00:03.000\nnuts & bolts\n", 4, "the sign &"),
        (HEAD + "NOTE\n" + GOOD, 4, "a cue inside a NOTE block"),
    ],
)
def test_what_players_swallow_in_silence(text: str, line: int, told_of: str) -> None:
    first = read(text).faults[0]
    assert first.line == line and told_of in first.found


@pytest.mark.parametrize(
    "text",
    [
        HEAD + GOOD,
        "WEBVTT a title\n\nNOTE\na note\n\n" + GOOD,
        HEAD + "intro\n00:00:01.000 --> 00:00:03.000 line:0 align:start\nOne\ntwo.\n",
        HEAD + "00:00:01.000 --> 00:00:03.000\na &lt; b\n",
        HEAD + "STYLE\n::cue { color: white }\n\n" + GOOD,
    ],
)
def test_what_the_format_allows(text: str) -> None:
    assert read(text).faults == ()


def test_marks_that_editors_leave() -> None:
    faults = read(HEAD + GOOD, True, True).faults
    assert [f.severity for f in faults] == ["warning", "warning"]


def check(kit: str, stage: str, text: str, code: str = "en") -> list[str]:
    found = all_findings(
        design(kit), the_stage(kit, stage), CaptionFile("x.vtt", "x.vtt", code, text)
    )
    return [f"{f.place.line} {f.rule}" for f in found]


@stages
def test_our_own_captions_agree_with_the_stage(kit: str, stage: str, code: str) -> None:
    assert check(kit, stage, written(cues(told(kit, stage, code))), code) == []


def line_of(text: str, words: str) -> int:
    """The line of the times of the cue that holds the words."""
    before = text[: text.index(words)]
    return before[: before.rindex("-->")].count("\n") + 1


@pytest.mark.parametrize(
    ("find", "put", "rule"),
    [
        ("39-tooth wheel on the", "38-tooth wheel on the", "caption-number"),
        ("three M2.5\u00a0×\u00a06 screws", "four M2.5\u00a0×\u00a06 screws", "caption-number"),
        ("three M2.5\u00a0×\u00a06 screws", "three M2.5\u00a0×\u00a08 screws", "caption-number"),
        ("in step 5", "in step 6", "caption-number"),
        ("Mercury ball", "Venus ball", "caption-order"),
        ("the fast post", "the slow post", "caption-order"),
    ],
)
def test_a_change_in_captions_is_told_at_its_cue(find: str, put: str, rule: str) -> None:
    text = written(cues(told("quayside", "mercury", "en")))
    assert find in text
    line = line_of(text, find)
    assert f"{line} {rule}" in check("quayside", "mercury", text.replace(find, put, 1))


def test_cues_in_another_order_are_told() -> None:
    made = list(cues(told("quayside", "mercury", "en")))
    first = next(n for n, cue in enumerate(made) if cue.text.startswith("Lay the 39-tooth"))
    last = next(
        n for n, cue in enumerate(made) if cue.text.startswith("Drive the M3") and n > first
    )
    words = [cue.lines for cue in made]
    words[first], words[last] = words[last], words[first]
    turned = [Cue(c.start, c.end, w) for c, w in zip(made, words, strict=True)]
    assert any("caption-order" in f for f in check("quayside", "mercury", written(turned)))


@pytest.mark.parametrize(
    ("find", "put", "fault"),
    [  # what stands in the place of what the page has, although the step has both
        ("Drop a post washer on top", "Drop a post sleeve on top", "where the page has"),
        (
            "Slacken the M3\u00a0×\u00a03 set",
            "Slacken the M3\u00a0×\u00a06 set",
            "where the page has",
        ),
        ("two-part epoxy", "one-part epoxy", "where the page has 'two-part epoxy'"),
        ("87.9588", "87.9693", "where the page has"),
        ("Step 5:", "Step 4:", "step 4 announced again"),
        ("Oil the post.", "Oil the post. Then oil the post sleeve.", ""),  # more is no fault
        ("87.9588", "87.96", ""),  # as is rounding
    ],
)
def test_one_thing_in_the_place_of_another(find: str, put: str, fault: str) -> None:
    text = written(cues(told("quayside", "mercury", "en")))
    assert find in text
    found = all_findings(
        design("quayside"),
        the_stage("quayside", "mercury"),
        CaptionFile("x.vtt", "x.vtt", "en", text.replace(find, put, 1)),
    )
    found = [f for f in found if f.rule != "caption-limits"]
    assert any(fault in f.found for f in found) if fault else not found, found


def test_captions_without_words_are_told_of_and_compared() -> None:
    made = [Cue(1, 3, ("Step 1: Build the Mercury pipe",)), Cue(4, 6, ())]
    rules = {found.split()[1] for found in check("quayside", "mercury", written(made))}
    assert {"caption-file", "caption-order"} <= rules


def test_captions_without_step_headings_are_compared_too() -> None:
    made = [c for c in cues(told("quayside", "mercury", "en")) if not c.text.startswith("Step")]
    assert check("quayside", "mercury", written(made)) == []


def test_spelled_out_captions_agree_too() -> None:
    lines = told("quayside", "mercury", "en").lines
    spelled = [Cue(x.start, x.end, (x.spoken,)) for x in lines]
    found = check("quayside", "mercury", written(spelled))
    assert {f.split()[1] for f in found} <= {"caption-limits"}


def test_narrate_and_captions_on_the_command_line(tmp_path, capsys) -> None:
    file = tmp_path / "base.vtt"
    call = ["base", "--kit", "tellurion", "--content", str(CONTENT)]
    assert main(["narrate", *call, "--captions", str(file)]) == 0
    table = capsys.readouterr().out.splitlines()
    assert "at 120 a minute" in table[-1] and len(table) > 20
    assert main(["narrate", *call, "--json", "--rate", "100"]) == 0
    script = json.loads(capsys.readouterr().out)
    assert script["rate"] == 100 and script["lines"][0]["start"] == 0
    check = ["captions", str(file), "--stage", *call]
    assert main(check) == 0
    assert "0 errors, 0 warnings" in capsys.readouterr().out
    file.write_text(file.read_text("utf-8").replace(".000 -->", ",000 -->", 1), "utf-8")
    assert main(check) == 1
    assert "caption-file" in capsys.readouterr().out


def test_captions_are_written_anew_over_wrong_ones(tmp_path, capsys) -> None:
    content = tmp_path / "content"
    shutil.copytree(CONTENT / "tellurion", content / "tellurion")
    file = content / "tellurion/stages/base.vtt"
    good = file.read_text("utf-8")
    file.write_text(good.replace("WEBVTT", "WEBVT", 1), "utf-8")
    assert main(["check", str(content)]) == 1
    call = ["narrate", "base", "--content", str(content), "--captions", str(file)]
    assert main(call) == 0
    assert file.read_text("utf-8") == good
    # What is wrong elsewhere stops it, and leaves the file.
    parts = content / "tellurion/parts.yml"
    parts.write_text(parts.read_text("utf-8").replace("teeth: ", "teeth: 9", 1), "utf-8")
    file.write_text("", "utf-8")
    assert main(call) == 1
    assert file.read_text("utf-8") == ""
    assert "has errors" in capsys.readouterr().err


@pytest.mark.parametrize(
    "call",
    [
        ["narrate", "base"],  # both kits have one
        ["narrate", "bse", "--kit", "tellurion"],
        ["narrate", "base", "--kit", "telluria"],
        ["narrate", "base", "--kit", "tellurion", "--language", "fr"],
        ["narrate", "base", "--kit", "tellurion", "--rate", "0"],
    ],
)
def test_calls_that_cannot_be(call, capsys) -> None:
    assert main([*call, "--content", str(CONTENT)]) == 2
    assert capsys.readouterr().err.startswith("kitdocs: ")


def test_captions_that_cannot_be_read(tmp_path, capsys) -> None:
    call = ["--stage", "base", "--kit", "tellurion", "--content", str(CONTENT)]
    assert main(["captions", str(tmp_path / "none.vtt"), *call]) == 1
    (tmp_path / "bytes.vtt").write_bytes(b"WEBVTT\n\n\xff\n")
    assert main(["captions", str(tmp_path / "bytes.vtt"), *call]) == 1
    assert "not UTF-8" in capsys.readouterr().out
