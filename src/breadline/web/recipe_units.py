"""Buckets of a recipe's form in the reader's units: litres and kilograms, or gallons and pounds.

A recipe file has litres and kilograms a litre. A form in pounds shows gallons and pounds a gallon, and
says so in a field of its own, so that it is read in the units it was shown in. What was shown and not
changed stays as the file has it, to the last digit.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from breadline.language import noted

MEASURED = "measured_in"  # the field that says in what the form was shown
WAS = "was-"  # before the name of a field: what the file has, and what was shown for it
POUND_KG, GALLON_L = 0.45359237, 3.785411784  # international pound, US gallon
# What a value of the file is multiplied by to be shown.
FACTORS = {"bulk_kg_per_l": GALLON_L / POUND_KG, "bucket_l": 1.0 / GALLON_L}
IN_POUNDS = {  # what the fields are called then
    "part-bulk_kg_per_l": noted("A gallon weighs, lb"),
    "ingredient-bulk_kg_per_l": noted("A gallon of it weighs, lb"),
    "mixing-bucket_l": noted("Your bucket, filled, gallons"),
}


def in_pounds(typed: Mapping[str, str]) -> bool:
    """Whether a form is in gallons and pounds."""
    return typed.get(MEASURED) == "lb"


def in_units(typed: Mapping[str, str], units: str) -> dict[str, str]:
    """What the form shows, in the reader's units; ``typed`` is as in the file."""
    if units != "lb":
        return dict(typed)
    shown = {**typed, MEASURED: "lb"}
    for field, text in typed.items():
        factor = FACTORS.get(field.rpartition("-")[2])
        if factor is not None and (there := _number(text)) is not None:
            shown[field] = f"{there * factor:.4g}"
            shown[WAS + field] = f"{text}|{shown[field]}"
    return shown


def as_in_file(sent: Mapping[str, str], field: str, value: Any) -> Any:
    """A number that was typed, in the units of the file."""
    factor = FACTORS.get(field.rpartition("-")[2])
    if factor is None or not in_pounds(sent):
        return value
    was, _, shown = sent.get(WAS + field, "").partition("|")
    if shown and shown == sent.get(field, "").strip() and (there := _number(was)) is not None:
        return there
    if isinstance(value, list):
        return [float(f"{one / factor:.4g}") for one in value]
    return float(f"{value / factor:.4g}") if isinstance(value, int | float) else value


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None
