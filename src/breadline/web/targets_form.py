"""Targets as lines of a form: each is chosen whole, so that no unit is left to be guessed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from breadline.knowledge.ingredient import NUTRIENTS
from breadline.language import noted, say
from breadline.ration.targets import AMINO
from breadline.web.feed_choices import content_in

TO = "/"  # between the two halves of a ratio in a choice
AND = "|"  # between what a per cent is of and how protein is counted
RATIOS = {"linoleic/linolenic": noted("ω6 to ω3"), "sugars/water": noted("sugar to water")}
# How protein is counted is a question of protein only: fat is fat, and pollen is weighed.
BASES = (
    (
        noted("Crude protein"),
        (
            (f"as fed{AND}N x 6.25", noted("as fed · N × 6.25")),
            (f"dry matter{AND}N x 6.25", noted("of dry matter · N × 6.25")),
            (f"as fed{AND}own factor", noted("as fed · own factors")),
            (f"dry matter{AND}own factor", noted("of dry matter · own factors")),
        ),
    ),
    (noted("All else"), (("as fed", noted("as fed")), ("dry matter", noted("of dry matter")))),
    (
        noted("Amino acids"),
        (
            (f"{AND}N x 6.25", noted("protein as N × 6.25")),
            (f"{AND}own factor", noted("protein by own factors")),
        ),
    ),
)
_TARGET = re.compile(r"^target-(\d+)-(what|on)$")
_SHOWN = {"of": "what", "to": "what", "unit": "what", "basis": "on", "protein_on": "on"}


def choices(names: Mapping[str, str]) -> list[tuple[str, str]]:
    """All that a target can be about, with its unit; ``names`` are those of the ingredients on offer.

    A target on water is about all water in the mix, so the ingredient of that name is none of its own.
    """
    told = [("protein", say("Crude protein, %")), ("pollen", say("Real pollen, %"))]
    told += [(key, say(words)) for key, words in RATIOS.items()]
    told += [(key, content_in(key, unit)) for key, unit in NUTRIENTS.items()]
    told += [
        (f"{key}{TO}protein", say("{acid}, g in 100 g of protein", acid=_big(say(name))))
        for key, name in AMINO.items()
    ]
    shares = [
        (key, say("Share of {name}, %", name=name)) for key, name in names.items() if key not in NUTRIENTS
    ]
    return told + shares


def said_bases() -> list[tuple[str, list[tuple[str, str]]]]:
    """What a target may be a per cent of, in groups, in this language."""
    return [(say(head), [(key, say(words)) for key, words in group]) for head, group in BASES]


def with_own_targets(
    offered: list[tuple[str, str]], shown: Mapping[str, str], names: Mapping[str, str]
) -> list[tuple[str, str]]:
    """The choices, and whatever a recipe's own targets are about that is none of them."""
    known = {value for value, _ in offered}
    own = {value for key, value in shown.items() if key.startswith("target-") and key.endswith("-what")}
    more = sorted(one for one in own - known if one)
    return offered + [(one, names.get(one, one.replace(TO, say(" to ")).replace("_", " "))) for one in more]


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def targets_shown(fields: Mapping[str, str]) -> dict[str, str]:
    """Fields of a recipe file's targets as the two choices that the form shows."""
    shown = {key: value for key, value in fields.items() if not key.startswith("target-")}
    for key, value in fields.items():
        if not key.startswith("target-"):
            continue
        _, n, name = key.split("-", 2)
        if name == "of":
            to = fields.get(f"target-{n}-to", "")
            shown[f"target-{n}-what"] = f"{value}{TO}{to}" if to else value
        elif name in ("basis", "protein_on"):
            basis, factor = (fields.get(f"target-{n}-{key}", "") for key in ("basis", "protein_on"))
            shown[f"target-{n}-on"] = f"{basis}{AND}{factor}" if factor else basis
        elif name in ("at_least", "at_most"):
            shown[key] = value
    return shown


def targets_sent(sent: Mapping[str, str]) -> dict[str, str]:
    """The two choices of each line as the keys of a recipe file."""
    told = {key: value for key, value in sent.items() if not _TARGET.match(key)}
    for key, value in sent.items():
        found = _TARGET.match(key)
        if found is None or not value:
            continue
        n = found[1]
        if found[2] == "what":
            of, _, to = value.partition(TO)
            told |= {f"target-{n}-of": of, f"target-{n}-to": to, f"target-{n}-unit": unit_of(of, to)}
        else:
            what = sent.get(f"target-{n}-what", "")
            basis, _, factor = value.partition(AND)
            if what == "protein":
                told |= {f"target-{n}-basis": basis, f"target-{n}-protein_on": factor}
            elif what.endswith(f"{TO}protein"):
                told[f"target-{n}-protein_on"] = factor
            elif TO not in what:
                told[f"target-{n}-basis"] = basis
    return told


def unit_of(of: str, to: str) -> str:
    """The unit that goes with what a target is about."""
    if to:
        return "g/100 g of protein" if to == "protein" else "to 1"
    return "mg/100 g" if NUTRIENTS.get(of) == "mg" else "%"


def shown_field(field: str) -> str:
    """The field of the form that stands for a key of the file."""
    parts = field.split("-")
    if len(parts) == 3 and parts[0] == "target":
        return "-".join([*parts[:2], _SHOWN.get(parts[2], parts[2])])
    return field


def many(items: Sequence[tuple[str, Any]]) -> dict[str, str]:
    """What a form sent; boxes of one name as one value."""
    told: dict[str, str] = {}
    for key, value in items:
        text = str(value)
        told[key] = f"{told[key]}{AND}{text}" if key in told and text else text
    return told
