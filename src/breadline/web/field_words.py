"""A form's own words for its fields, and errors of a recipe file turned into them: a form has no lines."""

from __future__ import annotations

import re
from collections.abc import Mapping

from breadline.errors import InputToMend
from breadline.knowledge.ingredient import NUTRIENTS

_ROW = re.compile(r"^([a-z]+)-(\d+)-([a-z_0-9]+)$")
# What a field is called beside it on the page, by table and key of a recipe file.
CALLED = {
    "part-ingredient": "Ingredient", "part-amount": "Amount", "part-unit": "The unit of the amount",
    "part-bulk_kg_per_l": "A litre weighs, kg", "price-of": "Price of", "price-price": "You pay",
    "price-per": "For how much you pay", "price-bag": "A bag is", "price-bag_unit": "The unit of a bag",
    "price-year": "Year of the price", "target-what": "Of what", "target-of": "Of what",
    "target-on": "Per cent of what", "target-basis": "Per cent of what",
    "target-protein_on": "How protein is counted", "target-at_least": "At least",
    "target-at_most": "At most", "mixing-batch": "Finished feed wanted",
    "mixing-mixer_holds": "The mixer holds", "mixing-unit": "The unit of batch and mixer",
    "mixing-patty": "A piece weighs", "mixing-patty_unit": "The unit of a piece",
    "mixing-bucket_l": "Your bucket, filled, litres", "mixing-bucket_level": "How far you fill it",
    "pollen-origin": "Where real pollen is from", "pollen-free_of_foulbrood": "Hives free of foulbrood",
    "pollen-rays": "Irradiated with", "pollen-dose_kgy": "kGy on the certificate",
    "pollen-certificate": "Certificate", "pollen-frozen": "It was frozen",
    "known-honey_own": "Honey from my own hives", "known-for_sale": "Mixed for sale",
    "known-weeks_without_pollen": "Weeks with no pollen coming in",
    "solve-at_most_ingredients": "At most so many ingredients",
    "solve-at_least_if_used_pct": "What goes in makes up at least, %",
    "solve-fill_least_pct": "The mixer is filled to at least, %",
    "solve-counted": "Where a content is a range",
    "solve-seconds": "Search for at most, seconds", "solve-whole_bags": "Whole bags only",
    "solve-ingredients": "What may go in", "feed-name": "Name of the feed",
    "feed-basis": "Its per cents are of", "feed-protein_min_pct": "Crude protein, at least, %",
    "feed-fat_min_pct": "Fat, at least, %", "feed-fibre_max_pct": "Fibre, at most, %",
    "feed-water_max_pct": "Moisture, at most, %", "feed-ash_max_pct": "Ash, at most, %",
    "feed-pollen_pct": "Real pollen, %", "feed-ingredients": "Ingredients as listed",
    "feed-rays": "Irradiated with", "feed-dose_kgy": "kGy on the certificate",
    "feed-certificate": "Certificate", "ingredient-name": "Name", "ingredient-key": "Name",
    "ingredient-basis": "Its per cents are of", "ingredient-protein_pct": "Protein, %",
    "ingredient-protein_factor": "What protein is counted on",
    "ingredient-bulk_kg_per_l": "A litre of it weighs, kg", "name": "Name", "money": "Money",
    "year": "Year of the prices", "country": "Country", "note": "Note", "as": "Name of the new recipe",
}  # fmt: skip
SAID = (  # words of the reader of files, and what stands for them where there is a form
    (r", first in line \d+", ""),
    (r"^Add the line$", "Fill it in"),
    (r"^such as money = \"(.+)\", here or once at the top$", r"such as € or \1"),
    (r"^such as year = (\d+), here or once at the top$", r"such as \1"),
    (r"^Write \w+ = ([\d.,]+) and, below it, unit = \"(.+)\"$", r"Write \1 and choose \2 beside it"),
    (r"a number, its unit in a line of its own", "a number, its unit beside it"),
    (r"a number without quotes and without a unit", "a number alone"),
    (r", with a point and without quotes", ", with a point"),
    (r"eave the line out if you don't know it", "eave it empty if you don't know it"),
    (r"\[(\d+), (\d+)\]", r"\1 to \2"),
    (r"^Write it here or once under \[mixing\]", "Write it under The batch"),
    (r"^Add \[mixing\] with batch = .+, or what the mixer holds$", "Say it below, or what the mixer holds"),
    (r"^Enter it under \[mixing\]$", "Enter it under The making of it"),
    (r"Take the line out, or keep it as a # note", "Leave it out"),
)


def in_form_words(error: InputToMend) -> InputToMend:
    """An error of the reader of files as a form says it."""
    texts = [error.what, error.expected, error.do]
    for was, now in SAID:
        texts = [re.sub(was, now, text) for text in texts]
    return type(error)(error.where, *texts)


def field_name(field: str, sent: Mapping[str, str], names: Mapping[str, str]) -> str:
    """What a field is called on the page, and of what it is; empty where it has no name."""
    row = _ROW.match(field)
    called = _called(f"{row[1]}-{row[3]}" if row else field)
    if not row or not called or row[1] in ("feed", "ingredient"):
        return called
    table, n = row[1], int(row[2])
    key = sent.get(f"{table}-{n}-{'ingredient' if table == 'part' else 'of'}", "")
    if row[3] in ("ingredient", "of") and names.get(key):
        return f"{called}, {names[key]}"
    if table == "target":
        return f"{called}, target {n + 1}"
    if table == "price":  # of one thing alone, the form need not say what
        return f"{called}, {names.get(key, key)}" if key else called
    return f"{called}, {names.get(key) or f'ingredient {n + 1}'}"


def _called(key: str) -> str:
    if key in CALLED:
        return CALLED[key]
    table, _, rest = key.partition("-")
    nutrient = rest.removesuffix("_pct").removesuffix("_mg")
    return nutrient.capitalize() if table == "ingredient" and nutrient in NUTRIENTS else ""
