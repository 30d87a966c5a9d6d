"""The small words of German."""

from __future__ import annotations

import re

from kitdocs.words.audit.claims.part_words import german_parts
from kitdocs.words.audit.tongues.grammar import Grammar
from kitdocs.words.audit.tongues.spoken import german_word


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


def _times(word: str) -> int | None:
    """`zwölfmal`: how often."""
    return german_word(word.removesuffix("mal")) if word.endswith("mal") else None


GERMAN_GRAMMAR = Grammar(
    prepositions=_set(
        "auf in im ins an am zu zum zur aus mit bei beim für über unter zwischen neben ab um gegen"
        " von vom nach vor durch hinter ohne entlang nahe seit"
    ),
    whose=_set("der des eines einer"),
    pronouns=_set(
        "er es sie ihn ihm ihr ihre ihren ihrem ihrer ihres sein seine seinen seinem seiner seines"
        " davon dessen deren"
    ),
    inside=_set("in im der des"),
    objects=_set("ihm ihn"),
    relatives=_set("der die das dem den"),
    with_=_set("mit"),
    clauses=_set(
        "aber während weil da denn sodass dass bis wenn ob obwohl dann dessen deren worin wobei"
    ),
    joins=_set("und oder"),
    telling=_set(
        "ist sind war hat haben hatte misst messen beträgt betragen braucht brauchen macht machen"
        " steht stehen dreht drehen läuft laufen reicht reichen hält halten trägt tragen ergibt"
        " treibt treiben liegt liegen steigt rückt ragt ragen muss müssen kann können darf dürfen"
        " wird werden sitzt sitzen greift greifen nimmt nehmen verjüngt bewegt"
    ),
    crank=_set("kurbel"),
    bodies={
        "umlauf": "",
        "umläufe": "",
        "umlaufs": "",
        "jahr": "",
        "jahres": "",
        "monat": "moon",
        "lunation": "moon",
    },
    place=re.compile(
        r"[^\w,;.:()]*(?:(?:davon|der \w+|des \w+|tief|weit|tiefer)[^\w,;.:()]+)?"
        r"(?:(?:ragen|ragt|stehen|steht|schauen) )?"
        r"(?:(?P<over>über|unter|oberhalb|unterhalb)|von|vom|in|neben|hinter)\b"
    ),
    between=re.compile(r"\b(?:zwischen|ragen|ragt|vo[nm]\b.*\bbis)\b[^;:]*$"),
    lower=re.compile(r"\bunter(?:e[nrms]?|kante)\b"),
    rises=re.compile(r"spiel\b|\bsteigen\b|\bsteigt\b|\bauf und ab\b"),
    tight=re.compile(
        r"\bluft\b|\bbleib|\bspalt\b|\b(?:weniger|mehr) als\b|\bunter dem\b"
        r"|\b(?:eng|weit|klein|größ|schmal)er\b"
    ),
    room=re.compile(r"\bluft\b|\bspalt\b|\bbleib"),
    through=re.compile(r" (?:\w+ ){0,2}(?:(?P<through>durch)|in)\b"),
    differs=re.compile(
        r"[^\w,;.:()]*(?:kürzer|länger|dünner|dicker|schmaler|breiter|enger|weiter|kleiner|größer"
        r"|niedriger|höher|tiefer|näher|weniger|mehr)\b"
    ),
    differs_by=re.compile(r"\b(?:kürzer|länger|dünner|dicker|kleiner|größer)\b[^;:.]*\bum $"),
    stack=re.compile(r"\bstapel\b"),
    radius=re.compile(r"\bradius\b|\bhalbmesser\b"),
    parts_said=german_parts,
    times=_times,
    no_times=_set("noch nicht auf erst wieder schon im"),
    full=_set("ganze ganzen volle vollen"),
    as_fast=re.compile(r" so (?:schnell|oft)\b"),
    makes=_set("macht machen gibt geben ergibt ergeben"),
    screwing=re.compile(
        r"schraube|gewindestift|\blös|\blocker|\bklemmt|\bfestzieh|\banzieh|zurückdreh|hilft"
    ),
    until=re.compile(r"\bbis\b[^;:.,]*$"),
    by_hand=re.compile(r"^\W*(?:dann |nun )?dreh(?:en|e)?(?: sie)? (?!die kurbel)"),
    motion=re.compile(r"dreh|läuft|laufen|umlauf|\bherum\b|\bbewegt|\brückt|rotier|kurbel"),
    and_more=re.compile(
        r"[^\w.;:]*(?:herum|ganz|rum|(?:volle )?umdrehungen)?[^\w.;:]*"
        r"und (?:noch |ein |etwas)?(?:\d|bisschen|wenig|mehr)"
    ),
    beyond=re.compile(r"\bweiter|\bhinaus\b|\bnoch\b|\bherum und\b"),
    year=_set("jahr jahres"),
    drifts=re.compile(r"\bgrad\b|\bdaneben\b|\babweich"),
    ratio=re.compile(r"verhältnis|übersetz"),
    too_long=re.compile(r"zu (?:lang|kurz|langsam|schnell)|daneben|fehler|länger|kürzer"),
    all=_set("alle aller allen"),
    together=re.compile(r"\bzusammen\b|\binsgesamt\b"),
    used=re.compile(r"\b(?:benutzt|gebraucht|belegt)\b"),
    there=re.compile(r"[;:,] es sind $"),
    ones=re.compile(r" (\w+) davon\b"),
    other=_set("andere anderen übrigen restlichen letzten ersten"),
    more=re.compile(r" (?:weitere|mehr)\b"),
    left=re.compile(r"\bleer\b|\bfrei\b|\bübrig\b|\bunbenutzt\b"),
    per=re.compile(r"[^\w.;:]*(?:\w+ )?(?:in|auf|für|an|unter) jede[nmrs]?\b|[^\w.;:]*je\b"),
    share=re.compile(r"[^\w.;:]*(?:für|auf|unter|halten|hält|sind|werden|kommen|bleiben)\b"),
    toothed=re.compile(r"(?:zahn|zähnig\w*)$"),
    drives=re.compile(r"treib"),
    passing=re.compile(r"\bvorbei"),
    definite=_set("die der den das dem diese diesen dieser ihre seine beide beiden"),
    too_few=re.compile(r"\b(?:genüg|reich)(?:t|en) nicht\b|\bzu wenige?\b"),
    spare=re.compile(r"[^\w.;:]*(?:davon )?(?:als |zum |in )?(?:ersatz|reserve|übrig)\b"),
    among=re.compile(r"\b(?:davon|darunter|wovon|von denen|einschließlich)\b"),
    meshing=re.compile(r"greif|eingriff|kämm|zähne|treib|paar"),
    parts=_set("teile teilen"),
    last=_set("letzte letzten letzter letztes"),
    every=_set("jedes jede jeder jeden jedem"),
    here=re.compile(
        r"\b(?:dieses schritts|dieses schrittes|der stufe|dieser stufe|dieser baustufe)\b"
    ),
    particles=_set("ab an auf aus ein hin um vor zu hinein darauf"),
    verbs=_set(""),
    singular=_set(
        "rad zahnrad kegelrad schnecke riemenscheibe welle rohr säule stab stange nabe distanzring"
        " hülse buchse stütze fuß knauf flansch scheibe unterlegscheibe platte zifferblatt arm"
        " kugel schraube gewindestift mutter zahn loch gewindeloch bohrung schritt stufe paket"
    ),
    plural=_set(
        "räder zahnräder kegelräder schnecken wellen rohre säulen stäbe stangen naben distanzringe"
        " hülsen buchsen stützen füße flansche scheiben unterlegscheiben platten zifferblätter"
        " arme kugeln schrauben gewindestifte muttern zähne löcher gewindelöcher bohrungen schritte"
        " stufen pakete"
    ),
    how_many=re.compile(r"\banzahl\b|\bstück\b|\bstückzahl\b|\bmenge\b|wie viele"),
)
