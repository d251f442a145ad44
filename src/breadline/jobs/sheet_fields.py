"""What a sheet can hold: its columns by the head words of the trade, and the units that have to be asked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from breadline.jobs import spanish_words
from breadline.jobs.spanish_words import unaccented
from breadline.jobs.verdict_columns import plain, word_of
from breadline.knowledge.shelf import Shelf, load
from breadline.language import language, noted, noted_as, say

Holds = Literal["yards", "colonies", "readings"]
Shape = Literal["text", "number", "whole", "day", "word", "yes"]
GRAMS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}  # exact (international pound, 1959)
NAMES = (  # of the fields, as they are shown
    noted_as("column", "yard"), noted_as("column", "colony"), noted_as("column", "name of the yard"),
    noted_as("column", "latitude"), noted_as("column", "longitude"), noted_as("column", "colonies"),
    noted_as("column", "country"), noted_as("column", "region"),
    noted_as("column", "all colonies within 2 km"), noted_as("column", "place"),
    noted_as("column", "walking order"), noted_as("column", "day"), noted_as("column", "frames of bees"),
    noted_as("column", "frames of brood"), noted_as("column", "bread"), noted_as("column", "mites"),
    noted_as("column", "queen"), noted_as("column", "weight of the hive"), noted_as("column", "patty left"),
    noted_as("column", "feed put on"), noted_as("column", "honey"), noted_as("column", "pollen coming in"),
    noted_as("column", "beetle maggots"), noted_as("column", "beetles"),
    noted_as("column", "hives looked in"), noted_as("column", "note"),
)  # fmt: skip


@dataclass(frozen=True)
class Field:
    """One thing that a column can hold.

    Parameters
    ----------
    heads
        What people call it, small letters, apart by upright strokes.
    low, high
        What is possible, in the unit it is kept in. [unit of the field]
    units
        What has to be asked: a word for each unit, and what it is multiplied by. [-]
    words
        What a cell may say, and the word it is kept as.
    """

    key: str
    name: str
    heads: str
    shape: Shape
    needed: bool = False
    low: float = 0.0  # [unit of the field]
    high: float = 1e9  # [unit of the field]
    units: Mapping[str, float] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)

    def names(self) -> tuple[str, ...]:
        """The head words, those of the reader's language first."""
        english, spanish = self.heads.split("|"), spanish_words.SHEET.get(self.key, "").split("|")
        said = [*spanish, *english] if language() == "es" else [*english, *spanish]
        return tuple(dict.fromkeys(name for name in said if name))

    def word(self, text: str) -> str | None:
        """The word that a cell is kept as; None where it says none that is known."""
        spanish = {
            said: kept
            for kept, words in spanish_words.SHEET_WORDS.get(self.key, {}).items()
            for said in words.split("|")
        }
        told = self.words.get(plain(text)) or self.words.get(text.lower())
        return told or spanish.get(word_of(text))


def _words(told: str) -> dict[str, str]:
    """ "light: l|low; enough: ok" as each spelling with its word."""
    parts = [part.split(":") for part in told.split(";")]
    return {s: word.strip() for word, rest in parts for s in (word.strip(), *map(str.strip, rest.split("|")))}


_YARD = Field("yard", "yard", "yard|apiary|site|location|yard name|apiary name|bee yard|out yard|"
              "stand|rucher|"
              "colmenar|bienenstand|standort|apiario", "text", needed=True)  # fmt: skip
_TAG = Field("colony", "colony", "colony|hive|tag|hive tag|colony id|hive id|hive no|hive number|colony no|"
             "colony number|no|number|box|volk|volk nr|ruche|colmena", "text")  # fmt: skip
_FRAME = {
    "mean_occupied": 1.0, "one_layer": 1.0, "liebefeld": 1.0, "full": 1.0,
}  # fmt: skip
FIELDS: dict[Holds, tuple[Field, ...]] = {
    "yards": (
        Field("name", "name of the yard", f"{_YARD.heads}|name", "text", needed=True),
        Field("latitude", "latitude", "latitude|lat|breite|breitengrad|latitud|lat deg|y", "number",
              needed=True, low=-90.0, high=90.0),
        Field("longitude", "longitude", "longitude|lon|long|lng|länge|längengrad|longitud|lon deg|"
              "x", "number",
              low=-180.0, high=180.0),
        Field("colonies", "colonies", "colonies|hives|number of colonies|no of colonies|count|"
              "hive count|völker|"
              "ruches|colmenas|colony count|no of hives|number of hives", "whole", needed=True, low=0,
              high=100_000),
        Field("country", "country", "country|country code|land|pays|pais", "text"),
        Field("region", "region", "region|state|county|area", "text"),
        Field("colonies_in_flight_range", "all colonies within 2 km", "colonies in flight range|within 2 km|"
              "colonies within 2 km|neighbours", "number", high=100_000),
    ),
    "colonies": (
        _YARD,
        Field("colony", "colony", _TAG.heads, "text", needed=True),
        Field("place", "place", "place|position|pallet|stand no|where|platz|spot", "text"),
        Field("walk", "walking order", "walk|order|walking order|row|sequence|reihenfolge", "whole", low=0,
              high=1_000_000),
    ),
    "readings": (
        _YARD,
        _TAG,
        Field("day", "day", "day|date|visit date|inspected|inspection date|on|visited|datum|fecha|"
              "inspected on",
              "day", needed=True),
        Field("frames_of_bees", "frames of bees", "frames of bees|bees|frames bees|fob|strength|seams|frames|"
              "cluster|frames of adult bees|bienen|waben bienen|cuadros de abejas|"
              "grade", "number", high=120.0,
              units=_FRAME),
        Field("frames_of_brood", "frames of brood", "frames of brood|brood|brood frames|frames brood|brut|"
              "brutwaben|cria|couvain", "number", high=120.0),
        Field("bread", "bread", "bread|pollen|bee bread|stored pollen|frames of pollen|"
              "pollen frames|bread frames|"
              "frames of bread|bienenbrot|pollen stores", "number", high=200_000.0,
              units={"frames": 1.0, "cells": 1.0, "g": 1.0}),
        Field("mites_per_100", "mites", "mites|varroa|mite count|mites per 100|mite wash|"
              "mites 100 bees|milben|"
              "mites per 100 bees|wash|alcohol wash|varroas", "number", high=100.0,
              units={"per 100 bees": 1.0, "in a wash of 300 bees": 1 / 3}),
        Field("queen_status", "queen", "queen|queen status|q|queenright|königin|reina|"
              "reine", "word", words=_words(
            "seen: q|yes|y|ok|queen seen|qs|qr|queenright|present|marked|x; eggs: e|eggs seen|qns|eggs only|"
            "not seen eggs|not seen but eggs; neither: no|n|ql|queenless|none|not found|no eggs|missing")),
        Field("weight", "weight of the hive", "weight|hive weight|scale|gross weight|gewicht|peso|poids",
              "number", high=500.0, units={"kg": 1.0, "lb": 0.45359237}),
        Field("patty_left", "patty left", "patty left|left|left over|leftover|patty remaining|rest", "word",
              words=_words("none: 0|gone|eaten|all eaten|clean|no; some: half|some left|¼|½|1/4|1/2; "
                           "most: all|nearly all|¾|3/4|untouched|full")),
        Field("put_on", "feed put on", "put on|fed|feed|patty|feed given|patty put on|given|"
              "feed put on|protein",
              "number", high=20_000.0, units=GRAMS),
        Field("honey", "honey", "honey|stores|honey stores|futter|food", "word",
              words=_words("light: l|low|hungry|little|short; enough: ok|good|heavy|plenty|full|fine")),
        Field("pollen_seen", "pollen coming in", "pollen coming in|pollen in|incoming pollen|"
              "pollen seen", "word",
              words=_words("none: no|n|0; little: some|light|few; plenty: yes|lots|heavy|much")),
        Field("maggots_seen", "beetle maggots", "maggots|beetle maggots|shb larvae|larvae", "yes"),
        Field("beetles_seen", "beetles", "beetles|shb|small hive beetle|hive beetles", "yes"),
        Field("looked_in", "hives looked in", "hives looked in|looked in|hives inspected|inspected hives|"
              "hives opened|opened|hives sampled|sample size|colonies looked in|colonies inspected|"
              "n hives|colmenas revisadas|revisadas", "whole", low=1, high=100_000),
        Field("note", "note", "note|notes|comment|comments|remark|remarks|bemerkung|nota", "text"),
    ),
}  # fmt: skip
YES = {"yes": True, "y": True, "true": True, "x": True, "1": True, "ja": True, "si": True, "s": True,
       "oui": True,
       "no": False, "n": False, "false": False, "0": False, "nein": False, "non": False}  # fmt: skip
FRAME_WORDS = {
    "mean_occupied": noted("a comb as bees usually cover it"),
    "one_layer": noted("one layer of bees on both sides"),
    "liebefeld": noted("both sides covered, counted by the square decimetre (Liebefeld)"),
    "full": noted("a comb as full as bees can cover it"),
}
FRAME = "frame_of_bees."
SEARCHED = 25  # rows in which the heads are looked for


def frame_words(of: Shelf | None = None, short: bool = False) -> dict[str, str]:
    """What a frame of bees can mean, each with the bees that the shelf (``of``, else as shipped) has."""
    shelf = of or load()
    told = {
        key: {"meaning": say(words), "bees": f"{shelf[FRAME + key].span.typical:,.0f}"}
        for key, words in FRAME_WORDS.items()
    }
    if short:  # for a phone and a box on paper
        return {key: say("{bees} bees: {meaning}", **one) for key, one in told.items()}
    return {key: say("{bees} bees a deep frame, both sides: {meaning}", **one) for key, one in told.items()}


def field_of(holds: Holds, key: str) -> Field:
    """The field of this key."""
    return next(one for one in FIELDS[holds] if one.key == key)


def guessed(holds: Holds, heads: list[str]) -> dict[int, str]:
    """Which column holds which field, by its head; a field is given to the first column that fits it best."""
    found: dict[int, str] = {}
    for exact in (True, False):
        for place, head in enumerate(heads):
            word = word_of(re.sub(r"[\(\[{].*?[\)\]}]", " ", head))
            if place in found or not word:
                continue
            for one in FIELDS[holds]:
                if one.key not in found.values() and _fits(word, one, exact):
                    found[place] = one.key
                    break
    return dict(sorted(found.items()))


def _fits(word: str, one: Field, exact: bool) -> bool:
    if exact:
        return word in map(unaccented, one.names()) or word == one.name or word == one.key.replace("_", " ")
    known = map(unaccented, one.names())
    return any(len(name) > 3 and re.search(rf"\b{re.escape(name)}\b", word) for name in known)


def head_row(holds: Holds, rows: list[list[str]]) -> int:
    """Which of the first rows holds the heads: the one in which most columns are understood."""
    counts = [len(guessed(holds, row)) for row in rows[:SEARCHED]]
    return counts.index(max(counts)) if counts else 0


def what_it_holds(rows: list[list[str]]) -> Holds:
    """Yards where places stand, readings where a day stands, else colonies."""
    for holds, key in (("yards", "latitude"), ("readings", "day")):
        kind: Holds = "yards" if holds == "yards" else "readings"
        if key in guessed(kind, rows[head_row(kind, rows)] if rows else []).values():
            return kind
    return "colonies"
