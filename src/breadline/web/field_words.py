"""A form's own words for its fields, and errors of a recipe file turned into them: a form has no lines."""

from __future__ import annotations

import re
from collections.abc import Mapping

from breadline.errors import InputToMend
from breadline.knowledge.ingredient import NUTRIENTS
from breadline.language import language, noted, say
from breadline.web.feed_choices import content
from breadline.web.recipe_units import IN_POUNDS, in_pounds

_ROW = re.compile(r"^([a-z]+)-(\d+)-([a-z_0-9]+)$")
# What a field is called beside it on the page, by table and key of a recipe file.
CALLED = {
    "part-ingredient": noted("Ingredient"),
    "part-amount": noted("Amount"),
    "part-unit": noted("The unit of the amount"),
    "part-bulk_kg_per_l": noted("A litre weighs, kg"),
    "price-of": noted("Price of"),
    "price-price": noted("You pay"),
    "price-per": noted("For how much you pay"),
    "price-bag": noted("A bag is"),
    "price-bag_unit": noted("The unit of a bag"),
    "price-year": noted("Year of the price"),
    "target-what": noted("Of what"),
    "target-of": noted("Of what"),
    "target-on": noted("Per cent of what"),
    "target-basis": noted("Per cent of what"),
    "target-protein_on": noted("How protein is counted"),
    "target-at_least": noted("At least"),
    "target-at_most": noted("At most"),
    "mixing-batch": noted("Finished feed wanted"),
    "mixing-mixer_holds": noted("The mixer holds"),
    "mixing-unit": noted("The unit of batch and mixer"),
    "mixing-patty": noted("A piece weighs"),
    "mixing-patty_unit": noted("The unit of a piece"),
    "mixing-bucket_l": noted("Your bucket, filled, litres"),
    "mixing-bucket_level": noted("How far you fill it"),
    "pollen-origin": noted("Where real pollen is from"),
    "pollen-free_of_foulbrood": noted("Hives free of foulbrood"),
    "pollen-rays": noted("Irradiated with"),
    "pollen-dose_kgy": noted("kGy on the certificate"),
    "pollen-certificate": noted("Certificate"),
    "pollen-frozen": noted("It was frozen"),
    "known-honey_own": noted("Honey from my own hives"),
    "known-for_sale": noted("Mixed for sale"),
    "known-weeks_without_pollen": noted("Weeks with no pollen coming in"),
    "solve-at_most_ingredients": noted("At most so many ingredients"),
    "solve-at_least_if_used_pct": noted("What goes in makes up at least, %"),
    "solve-fill_least_pct": noted("The mixer is filled to at least, %"),
    "solve-counted": noted("Where a content is a range"),
    "solve-seconds": noted("Search for at most, seconds"),
    "solve-whole_bags": noted("Whole bags only"),
    "solve-ingredients": noted("What may go in"),
    "feed-name": noted("Name of the feed"),
    "feed-basis": noted("Its per cents are of"),
    "feed-protein_min_pct": noted("Crude protein, at least, %"),
    "feed-fat_min_pct": noted("Fat, at least, %"),
    "feed-fibre_max_pct": noted("Fibre, at most, %"),
    "feed-water_max_pct": noted("Moisture, at most, %"),
    "feed-ash_max_pct": noted("Ash, at most, %"),
    "feed-pollen_pct": noted("Real pollen, %"),
    "feed-ingredients": noted("Ingredients as listed"),
    "feed-rays": noted("Irradiated with"),
    "feed-dose_kgy": noted("kGy on the certificate"),
    "feed-certificate": noted("Certificate"),
    "ingredient-name": noted("Name"),
    "ingredient-key": noted("Name"),
    "ingredient-basis": noted("Its per cents are of"),
    "ingredient-protein_pct": noted("Protein, %"),
    "ingredient-protein_factor": noted("What protein is counted on"),
    "ingredient-bulk_kg_per_l": noted("A litre of it weighs, kg"),
    "name": noted("Name"),
    "money": noted("Money"),
    "year": noted("Year of the prices"),
    "country": noted("Country"),
    "note": noted("Note"),
    "as": noted("Name of the new recipe"),
}
ENGLISH = (  # words of the reader of files, and what stands for them where there is a form
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
    (r"^what your bucket holds, in litres$", "what your bucket holds"),
    (r"a 5-gallon bucket to the rim is 18.9 litres", "5 gallons to the rim are 18.9 litres"),
    (r"^what a litre of it weighs, as you fill it$", "what it weighs, as you fill it"),
    (r"bucket and divide by its litres", "bucket and divide by what it holds"),
)


SPANISH = (
    (r", primero en la línea \d+", ""),
    (r"^Agregue la línea$", "Llénelo"),
    (r"^por ejemplo money = \"(.+)\", aquí o una vez al principio$", r"por ejemplo € o \1"),
    (r"^por ejemplo year = (\d+), aquí o una vez al principio$", r"por ejemplo \1"),
    (r"^Escriba \w+ = ([\d.,]+) y, debajo, unit = \"(.+)\"$", r"Escriba \1 y elija \2 al lado"),
    (r"un número, su unidad en su propia línea", "un número, su unidad al lado"),
    (r"un número sin comillas y sin unidad", "un número solo"),
    (r", con punto y sin comillas", ", con punto"),
    (r"uite la línea si no lo sabe", "éjelo vacío si no lo sabe"),
    (r"\[(\d+), (\d+)\]", r"\1 a \2"),
    (r"^Escríbalo aquí o una vez en \[mixing\]", "Escríbalo en La mezcla"),
    (
        r"^Agregue \[mixing\] con batch = .+, o lo que cabe en la mezcladora$",
        "Dígalo abajo, o lo que cabe en la mezcladora",
    ),
    (r"^Anótelo en \[mixing\]$", "Anótelo en Cómo se hace"),
    (r"Quite la línea, o déjela como nota con #", "Déjelo fuera"),
    (r"^lo que cabe en su cubeta, en litros$", "lo que cabe en su cubeta"),
    (r"una cubeta de 5 galones hasta el borde son 18.9 litros", "5 galones hasta el borde son 18.9 litros"),
    (r"^lo que pesa un litro, tal como usted lo llena$", "lo que pesa, tal como usted lo llena"),
    (r"cubeta y divida entre sus litros", "cubeta y divida entre lo que cabe en ella"),
)
SAID = {"en": ENGLISH, "es": SPANISH}


def in_form_words(error: InputToMend) -> InputToMend:
    """An error of the reader of files as a form says it."""
    texts = [error.what, error.expected, error.do]
    for was, now in SAID.get(language(), ()):
        texts = [re.sub(was, now, text) for text in texts]
    return type(error)(error.where, *texts)


def field_name(field: str, sent: Mapping[str, str], names: Mapping[str, str]) -> str:
    """What a field is called on the page, and of what it is; empty where it has no name."""
    row = _ROW.match(field)
    kind = f"{row[1]}-{row[3]}" if row else field
    called = say(IN_POUNDS[kind]) if in_pounds(sent) and kind in IN_POUNDS else _called(kind)
    if not row or not called or row[1] in ("feed", "ingredient"):
        return called
    table, n = row[1], int(row[2])
    key = sent.get(f"{table}-{n}-{'ingredient' if table == 'part' else 'of'}", "")
    if row[3] in ("ingredient", "of") and names.get(key):
        return f"{called}, {names[key]}"
    if table == "target":
        return f"{called}, {say('target {n}', n=n + 1)}"
    if table == "price":  # of one thing alone, the form need not say what
        return f"{called}, {names.get(key, key)}" if key else called
    return f"{called}, {names.get(key) or say('ingredient {n}', n=n + 1)}"


def _called(key: str) -> str:
    if key in CALLED:
        return say(CALLED[key])
    table, _, rest = key.partition("-")
    nutrient = rest.removesuffix("_pct").removesuffix("_mg")
    return content(nutrient) if table == "ingredient" and nutrient in NUTRIENTS else ""
