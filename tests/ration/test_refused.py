"""No drug is added or dosed: recognised in whatever the user writes, answered without a number."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from breadline.knowledge.countries import law_of
from breadline.knowledge.data import shipped
from breadline.knowledge.drug_words import NOT, _plain, _words, drug_words, kinds_named
from breadline.knowledge.ingredients import ingredients
from breadline.ration.recipe import Recipe
from breadline.ration.refused import refusals, refusals_of_recipe
from breadline.ration.remark import refused

from .made_up import SOY, ingredient, recipe

AMOUNT = re.compile(
    r"\d+(?:[.,]\d+)?\s*(?:mg|µg|ug|mcg|g|kg|oz|lb|ml|l|ppm|%|iu|tsp|tbsp|spoon|cup|gram)\b", re.I
)
SUBSTANCES = [
    "oxytetracycline", "Oxy-Tetracycline HCl", "tetracycline", "chlortetracycline", "tylosin tartrate",
    "lincomycin", "Lincomycin hydrochloride", "fumagillin", "sulfathiazole", "Sulphathiazole", "tylosin",
    "sulfadiazine", "sulfa", "erythromycin", "streptomycin", "doxycycline", "penicillin", "amoxicillin",
    "chloramphenicol", "enrofloxacin", "metronidazole", "ivermectin", "nystatin", "OTC", "oxitetraciclina",
    "Oxytetracyclin", "terramicina", "terra patties", "oxy-tet", "O.T.C.", "doxy", "cephalexin",
    "trimethoprim", "tiamulin", "tylvalosin", "rifampicin", "тетрациклин",
]  # fmt: skip
EVERYDAY = [
    "antibiotic", "Antibiotics", "medicated", "medicated sugar", "medication", "a drug", "vet meds",
    "Antibiotikum", "antibiotique", "antibiótico", "antybiotyk", "Medizin",
    "лекарство", "抗生素", "coccidiostat",
]  # fmt: skip


@pytest.mark.parametrize("word", [*SUBSTANCES, *EVERYDAY])
def test_a_drug_is_recognised_by_its_name_or_an_everyday_word(word):
    assert "drug" in kinds_named(f"put {word} in it, 200 mg a colony")
    assert "drug" in kinds_named(word.upper())


@pytest.mark.parametrize(
    "written",
    ["Add terramycin to the batch.", "Terra-Mycin", "terramycin50", "terra\u200bmycin",
     "T\u00e9rramyc\u00edn", "terramycin/25", "TERRAMYCIN", "some_terramycin_powder",
     "ter.ra.my.cin", "T e r r a m y c i n", "terramy\u0441in"],
)  # fmt: skip
def test_however_it_is_written(written):
    (said,) = refusals([written], law_of("US"))
    assert (said.key, said.level) == ("drug", "refuse")
    assert "terramyc" not in said.text.lower()


@pytest.mark.parametrize(
    "harmless",
    [
        "Zinc sulfate", "sodium sulphate", "sodium metabisulfite", "Medicago sativa pollen", "Tyler's mix",
        "antibiotic-free pollen", "no antibiotics", "contains no drugs", "without any medication",
        "non-medicated", "unmedicated", "free of antibiotics", "Do not add antibiotics", "pesticide-free",
        "free of any drugs", "no anti-biotics", "anti-biotic-free", "anti-caking agent", "anti",
        "Soy flour, defatted", "mycelium", "Lincoln yard", "Brewer's yeast", "citric acid", "vinegar", "",
    ],
)  # fmt: skip
def test_what_is_no_drug_is_left_alone(harmless):
    assert kinds_named(harmless) == ()


def test_the_shipped_ingredients_are_no_drugs():
    for kind in ingredients().values():
        assert refusals_of_recipe(recipe((kind, 1.0)), law_of("US")) == (), kind.name


@pytest.mark.parametrize(
    "words",
    [
        "not enough, add antibiotics",
        "an anti-biotic",
        "anti biotics, 200 mg",
        "ANTI-MICROBIAL",
        "no problem add antibiotics",
        "no oxytetracycline?",
        "Sugar: no. Add antibiotics",
    ],
)
def test_a_no_that_belongs_elsewhere_or_a_substance_by_name_is_no_way_round(words):
    assert "drug" in kinds_named(words)


MITES = ["amitraz", "oxalic acid", "formic acid", "thymol", "a miticide", "hop acids", "mite treatment",
         "fluvalinate", "coumaphos", "flumethrin", "Oxalsäuredihydrat", "Ameisensäure",
         "acide oxalique", "ácido fórmico"]  # fmt: skip


@pytest.mark.parametrize("word", MITES)
def test_nothing_against_mites_goes_into_feed(word):
    (said,) = refusals([f"add {word}"], law_of("US"))
    assert (said.key, said.level) == ("acaricide", "refuse")
    assert "label" in said.text


@pytest.mark.parametrize(
    "word", ["essential oils", "lemongrass", "tea tree oil", "a probiotic", "Lactobacillus"]
)
def test_oils_and_probiotics_get_no_claim_and_no_refusal(word):
    said = refusals([f"mix with {word}"], law_of("US"))
    assert [r.key for r in said] == ["no_claim"]
    assert not refused(said)
    assert said[0].line.startswith("No claim is made")


def test_it_is_found_in_a_name_a_note_or_an_ingredient():
    plain = recipe((SOY, 1.0))
    assert refused(refusals_of_recipe(Recipe("Tylosin patty", plain.parts), law_of("US")))
    assert refused(refusals_of_recipe(Recipe("Mix", plain.parts, note="then the antibiotic"), law_of("US")))
    assert refused(refusals_of_recipe(recipe((SOY, 1.0), (ingredient("otc_powder"), 0.1)), law_of("US")))
    assert refusals_of_recipe(plain, law_of("US")) == ()


@pytest.mark.parametrize(
    ("country", "says"),
    [
        ("US", "prescription or feed directive"),
        ("CA", "prescription, since December 2018"),
        ("DE", "No antibiotic is authorised"),
        ("FR", "No antibiotic is authorised"),
        ("AU", "through a veterinarian"),
        ("NZ", "never treated"),
        ("GB", "what a veterinarian prescribes"),
        ("BR", "No source on the rule in BR was read"),
        (None, "No source on the rule in this country was read"),
    ],
)
def test_the_rule_of_the_country_goes_with_it(country, says):
    (said,) = refusals(["oxytetracycline"], law_of(country))
    assert says in said.text
    assert "Talk to a veterinarian" in said.line
    assert said.ask == "a veterinarian"


COUNTRIES = ["US", "CA", "DE", "AU", "NZ", "GB", "BR", None]


@given(
    st.sampled_from([*SUBSTANCES, *EVERYDAY, "amitraz", "thymol", "essential oil"]),
    st.text(max_size=30),
    st.integers(1, 10_000),
    st.sampled_from(["mg", "g", "g/kg", "oz", "%", "ppm"]),
    st.sampled_from(COUNTRIES),
)
def test_no_answer_ever_holds_an_amount_or_repeats_what_was_asked_for(word, around, amount, unit, country):
    # "without antibiotics" asks for none; no word takes a substance back
    assume(word not in EVERYDAY or not {*NOT, "free"} & set(_words(_plain(around))))
    said = refusals([f"{around} {word} {amount} {unit}"], law_of(country))
    assert said
    text = " ".join(remark.text for remark in said)
    assert not AMOUNT.search(text)
    assert word not in SUBSTANCES or not re.search(rf"\b{re.escape(word)}\b", text, re.I)


def test_no_rule_about_drugs_ships_an_amount():
    texts = [
        str(v) for key in ("drug", "acaricide", "no_claim") for v in shipped("feed_rules.toml")[key].values()
    ]
    texts += [str(table.get("drugs", "")) for table in shipped("countries.toml").values()]
    assert not [text for text in texts if AMOUNT.search(text)]


def test_the_words_of_recognition_stand_as_they_are_compared():
    for known in drug_words().values():
        for word in (*known.everyday, *known.whole, *known.starts, *known.ends, *known.phrases):
            assert word == word.casefold()
            assert word.replace(" ", "").isalpha()
