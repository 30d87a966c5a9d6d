"""The table of the checks of writing: each with its id, its source and an example.

Those in one language alone need its grammar. The others look for words or count, and are listed
for every language that they have words for.
"""

from __future__ import annotations

from kitdocs.words.writing.box_checks import note, warning
from kitdocs.words.writing.check import WritingCheck
from kitdocs.words.writing.name_checks import typed_name
from kitdocs.words.writing.sentence_checks import (
    cluster,
    condition,
    imperative,
    length,
    one_action,
    paragraph,
    voice,
)
from kitdocs.words.writing.wording_checks import count, measure, reference

_ENGLISH = ("en",)
_LISTED = ("en", "de", "pl")

#: Every check of writing, in the order of the standard that most of them come from.
CHECKS: tuple[WritingCheck, ...] = (
    WritingCheck(
        "plain-length",
        "an instruction has at most 20 words, any other sentence at most 25",
        "ASD-STE100 rules 5.1 and 6.1 (seen in summary); words counted as in its section 8",
        "Slide the wheel down the pipe … and then … (an instruction of 31 words)",
        length,
        formula="hyphenated words, numbers and designations count as one; a colon ends the count",
    ),
    WritingCheck(
        "plain-one-action",
        "a sentence holds one instruction, unless two are done at the same time",
        "ASD-STE100 rule 5.2 (seen in summary)",
        "Stand the pipe on the bench and slide on the spacer.",
        one_action,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-imperative",
        "an instruction is a command that begins with its verb",
        "ASD-STE100 rule 5.3 (seen in summary)",
        "1. The wheel is laid on its hub.",
        imperative,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-condition",
        "a condition comes before its instruction, with a comma between them",
        "ASD-STE100 rule 5.4 (seen in summary)",
        "Slacken the screws if the post leans.",
        condition,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-note",
        "a note holds no instruction",
        "ASD-STE100 rule 5.5 (seen in summary)",
        "!!! note: Tighten the screw again later.",
        note,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-warning",
        "a warning begins with the command or the condition, and stands before the instructions",
        "ASD-STE100 section 7 (seen in summary); IEC/IEEE 82079-1 and ANSI Z535.6 (from memory)",
        "!!! warning below the step: The glue irritates the skin.",
        warning,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-cluster",
        "at most three nouns stand in a row",
        "ASD-STE100 rule 2.1 (seen in summary)",
        "the post collar set screw",
        cluster,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-paragraph",
        "a paragraph has at most six sentences",
        "ASD-STE100 rule 6.6 (seen in summary)",
        "a paragraph of eight sentences",
        paragraph,
    ),
    WritingCheck(
        "plain-voice",
        "instructions are in the active voice, without -ing forms of verbs",
        "ASD-STE100 rules 3.5 and 3.6; ISO 20607 annex C (both seen in summary)",
        "The screw must be tightened while turning the wheel.",
        voice,
        _ENGLISH,
    ),
    WritingCheck(
        "plain-measure",
        "a step asks for nothing that nobody can measure",
        "an example of ASD-STE100 training (radcomservices.com)",
        "Tighten the screw securely.",
        measure,
        _LISTED,
    ),
    WritingCheck(
        "plain-count",
        "counts up to nine are spelled, and a space stands between a number and its unit",
        "NIST SP 811 section 7.2; spelled counts: common practice of style guides",
        "Fit 3 screws, 5mm apart.",
        count,
        _LISTED,
    ),
    WritingCheck(
        "plain-reference",
        "references to steps, stages and pages are worked out, not typed",
        "our own: a typed reference points back when steps move",
        "see next page; as in step 3",
        reference,
        _LISTED,
    ),
    WritingCheck(
        "plain-name",
        "a thing's whole name is printed by its expression; a noun may stand for what was named",
        "our own: no check can tell a typed name from that of another thing that could be meant",
        "Without the lay spacer the wheel rubs.",
        typed_name,
        _LISTED,
    ),
)

#: The rules that a kit may leave unchecked, with its reason: those that judge words by lists.
UNCHECKABLE = (*(check.id for check in CHECKS), "word-order", "caption-order")
