"""The rule table against recipes: what it says, how hard, and that no threshold hides in code."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.knowledge.countries import law_of
from breadline.knowledge.data import sources
from breadline.knowledge.feed_rules import LEVELS, feed_rules
from breadline.knowledge.figure import Edit
from breadline.knowledge.ingredient import Content
from breadline.knowledge.ingredients import ingredients
from breadline.knowledge.shelf import load
from breadline.ration.analysis import analyse
from breadline.ration.pollen_gate import Pollen
from breadline.ration.remark import Remark, refused
from breadline.ration.rules import Circumstances, rules_for, salt_pct

from .made_up import SOY, SUGAR, WATER, exactly, ingredient, recipe

SYRUP = ingredient("syrup", traits=("syrup", "sugar"))
POLLEN = ingredient("pollen", 20.0, traits=("pollen",))


def said(*kinds, country: str | None = "US", amounts=None, shelf=None, **known) -> dict[str, Remark]:
    mix = recipe(*((kind, 1.0) for kind in (kinds or (SUGAR,))))
    remarks = rules_for(
        mix, amounts or {}, Circumstances(**known), law_of(country), (shelf or load()).reader()
    )
    return {r.key: r for r in remarks}


def test_a_plain_mix_of_sugar_and_water_has_nothing_against_it():
    assert said(SUGAR, WATER) == {}


@pytest.mark.parametrize(
    ("trait", "key", "level"),
    [
        ("raw soy", "raw_soy", "refuse"),
        ("raw pulse", "raw_pulse", "caution"),
        ("live yeast", "live_yeast", "caution"),
        ("starch", "starch_filler", "caution"),
        ("salty", "salty", "note"),
        ("dairy", "dairy", "note"),
        ("syrup", "syrup_fresh", "note"),
        ("powder", "dust", "note"),
        ("egg", "allergens", "note"),
        ("honey", "honey", "caution"),
    ],
)
def test_an_ingredient_speaks_by_its_trait(trait, key, level):
    about = said(ingredient("this_one", traits=(trait,)), WATER)[key]
    assert about.level == level
    assert about.about in (("this one",), ())


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Brown_sugar", "brown_sugar"),
        ("cane_molasses", "brown_sugar"),
        ("ground_turmeric", "turmeric"),
        ("cinnamon", "spices"),
        ("icing_sugar", "icing_sugar"),
        ("raw_peas", "raw_pulse"),
    ],
)
def test_an_ingredient_speaks_by_a_word_of_its_name(name, key):
    assert key in said(ingredient(name))


def test_pepper_is_no_peppermint_and_a_pea_no_peach():
    assert said(ingredient("peppercorn_yellow"), ingredient("peach")) == {}


@pytest.mark.parametrize(
    ("lactose", "key"), [(1.9, None), (2.0, "lactose"), (3.9, "lactose"), (4.0, "lactose_above")]
)
def test_lactose_is_cautioned_of_in_and_above_its_zone(lactose, key):
    about = said(amounts=exactly(lactose=lactose))
    assert {k for k in about if k.startswith("lactose")} == ({key} if key else set())
    assert all(r.level == "caution" and "from memory" in r.grounds for r in about.values())


def test_a_blank_is_said_with_may_and_a_certain_lesser_thing_still_counts():
    about = said(amounts={"lactose": Content(0.0, 5.0)})
    assert list(about) == ["lactose_above"]
    assert about["lactose_above"].level == "note"
    assert "may be" in about["lactose_above"].line
    sure = said(amounts={"lactose": Content(2.5, 5.0)})
    assert (sure["lactose"].level, sure["lactose_above"].level) == ("caution", "note")
    assert "2.5 to 5 g/100 g" in sure["lactose"].line


def test_sodium_is_counted_as_salt():
    # 10 % of dried egg white at 1,280 mg sodium in 100 g: 128 mg, 0.325 % as salt (USDA 1173, by arithmetic)
    assert salt_pct(128.0) == pytest.approx(0.325, abs=0.0005)
    assert "salt_avoided" in said(amounts=exactly(sodium=128.0))
    assert "salt_care" in said(amounts=exactly(sodium=60.0))
    assert said(amounts=exactly(sodium=40.0)) == {}


def test_potassium_and_ash_are_warnings_and_no_limits():
    about = said(amounts=exactly(potassium=477.0, ash=1.23))
    assert {key: r.level for key, r in about.items()} == {"potassium": "note", "ash": "note"}
    assert all("no limit" in r.line for r in about.values())


def test_fatty_acids_out_of_proportion_are_noted_where_they_are_known():
    assert said(amounts=exactly(linoleic=5.0, linolenic=1.0))["omega"].level == "note"
    assert said(amounts=exactly(linoleic=4.0, linolenic=1.0)) == {}
    assert said(amounts={"linoleic": Content(5.0, 5.0), "linolenic": Content(0.0, 3.0)}) == {}


def test_icing_sugar_is_no_starch_filler():
    icing = ingredients()["sugar_powdered"]
    assert "icing_sugar" in said(icing)
    assert "starch_filler" not in said(icing)
    assert said(icing, ingredients()["cornstarch"])["starch_filler"].about == ("Cornstarch",)


def test_old_and_warm_syrup():
    assert said(SYRUP, hmf_mg_per_kg=10.0).keys() == {"syrup_fresh"}
    assert said(hmf_mg_per_kg=40.0) == {}
    assert said(syrup_c=39.0) == {}
    assert said(syrup_c=45.0).keys() == {"syrup_warm"}
    assert said(syrup_c=50.0).keys() == {"syrup_hot"}


def test_soy_without_pollen_is_a_matter_of_weeks():
    assert "soy_no_pollen" in said(SOY)
    assert "soy_no_pollen" in said(SOY, weeks_without_pollen=6.0)
    long = said(SOY, weeks_without_pollen=8.0)
    assert long["soy_too_long"].level == "caution"
    assert "soy_no_pollen" not in long
    with_pollen = said(SOY, POLLEN, weeks_without_pollen=8.0)
    assert not {"soy_too_long", "soy_no_pollen"} & set(with_pollen)
    assert "soy_too_long" not in said(SUGAR, weeks_without_pollen=8.0)


def test_trypsin_inhibitor_in_pollen_diet_and_in_syrup():
    assert said(inhibitor_pct=1.0)["inhibitor_harm"].level == "refuse"
    assert said(inhibitor_pct=0.7)["inhibitor_between"].level == "caution"
    assert said(inhibitor_pct=0.5)["inhibitor_little"].level == "note"
    assert said(inhibitor_syrup_pct=0.1)["inhibitor_syrup"].level == "refuse"
    assert said(inhibitor_syrup_pct=0.01) == {}


def test_selling_is_a_licensed_matter_by_country_where_known():
    assert "state's licence" in said(for_sale=True)["selling"].text
    assert "local authority" in said(for_sale=True, country="GB")["selling"].text
    assert said(for_sale=True, country="BR")["selling"].law == ""
    assert "selling" not in said()


def test_honey_of_unknown_origin_is_refused():
    honey = ingredient("honey", traits=("honey",))
    assert said(honey, honey_own=False)["honey_not_own"].level == "refuse"
    assert "100 °C for 30 minutes" in said(honey, honey_own=False)["honey_not_own"].law
    assert "honey_not_own" not in said(honey)


def test_real_pollen_in_a_recipe_goes_through_the_gate():
    assert said(POLLEN)["pollen_unknown"].about == ("pollen",)
    own = said(POLLEN, pollen=Pollen("own", free_of_foulbrood=True))
    assert not refused(own.values())
    assert "pollen_own" in own
    assert "pollen_unknown" not in said(SOY)


@given(
    st.sampled_from(
        ["Tylosin 200 mg a colony", "oxytetracycline 6.25 g", "Antibiotic, 3 tsp", "amitraz 2 %"]
    ),
    st.sets(st.sampled_from(["salty", "powder", "dairy", "soy", "starch", "pollen", "honey", "syrup"])),
    st.sampled_from(["US", "DE", "BR", None]),
)
def test_of_a_recipe_with_a_drug_nothing_is_said_but_the_refusal(name, traits, country):
    dosed = replace(ingredient("a", traits=tuple(traits)), name=name)
    remarks = said(SOY, dosed, country=country, amounts=exactly(sodium=500.0)).values()
    assert [(r.level, r.about) for r in remarks] == [("refuse", ())]
    assert not any(re.search(r"\d+(\.\d+)?\s*(mg|g|tsp|%)", r.text) for r in remarks)


def test_an_edited_figure_moves_the_rule():
    shelf = load({"feed_rule.lactose": Edit(6.0, 7.0, 8.0, "our own trial", date(2026, 11, 1))})
    assert said(amounts=exactly(lactose=5.0), shelf=shelf) == {}


@pytest.mark.parametrize("known", [{"hmf_mg_per_kg": -1.0}, {"syrup_c": float("nan")}])
def test_what_cannot_be_is_an_error(known):
    with pytest.raises(RecipeError):
        said(**known)


@given(
    st.lists(st.sampled_from([*ingredients().values(), POLLEN]), min_size=1, max_size=6),
    st.booleans(),
    st.sampled_from(["US", "DE", "BR", None]),
)
def test_any_recipe_of_shipped_ingredients_gets_remarks_hardest_first_each_with_its_ground(
    kinds, sale, country
):
    mix = recipe(*((kind, 10.0) for kind in kinds))
    amounts = {name: amount.content for name, amount in analyse(mix).amounts.items()}
    remarks = rules_for(mix, amounts, Circumstances(for_sale=sale), law_of(country), load().reader())
    levels = [LEVELS.index(r.level) for r in remarks]
    assert levels == sorted(levels)
    for r in remarks:
        assert r.source in sources()
        assert r.grounds
        assert r.ask
        assert not re.search(r"[{}]|e[+-]\d", r.text)
        assert not re.search(r"\btreatment\b|\bsignificant|\bdose of\b", r.line, re.I)
    assert not [r for r in remarks if r.key in ("drug", "acaricide")]


def test_every_rule_can_speak_and_names_what_it_goes_by():
    traits = {"soy", "raw soy", "raw pulse", "dairy", "yeast", "live yeast", "egg", "starch", "salty",
              "pollen", "honey", "powder", "wheat", "syrup"}  # fmt: skip
    keys = [rule.key for rule in feed_rules()]
    for rule in feed_rules():
        assert rule.by or rule.traits or rule.words or rule.over or rule.when, rule.key
        assert set(rule.traits) | set(rule.without) <= traits, rule.key
        assert bool(rule.over) == bool(rule.figure), rule.key
        assert not rule.figure or rule.figure in load(), rule.key
        for stronger in rule.unless:
            assert keys.index(stronger) < keys.index(rule.key), f"{stronger} has to stand before {rule.key}"


def test_a_figure_and_the_rule_that_goes_by_it_were_read_alike():
    for rule in feed_rules():
        if rule.figure:
            figure = load()[rule.figure]
            assert (figure.source, figure.read) == (rule.source, rule.read), rule.key
