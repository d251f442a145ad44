"""The feed of a plan from a recipe or a label: what follows from it, and what is refused. All invented."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from breadline.errors import PlanError
from breadline.jobs import rounds_words as words
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.recipe_written import Quote
from breadline.jobs.rounds import Way, rounds_answer
from breadline.jobs.rounds_feeds import BookFeeds, FilesBeside, known_label
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from house import tree

EXAMPLES = tree.ROOT / "examples"
YARD = read_yard(EXAMPLES / "first-rounds" / "yard.toml")
RECIPES = EXAMPLES / "first-recipe"
WHOLE = (EXAMPLES / "first-rounds" / "rounds.toml").read_text("utf-8")
FEED = WHOLE[WHOLE.index("[[feed]]") : WHOLE.index("[work]")]
POUND_KG = 0.45359237
POLLEN = """name = "Feeds"
country = "US"
[[feed]]
name = "With pollen"
basis = "as fed"
protein_min_pct = 18
water_max_pct = 12
pollen_pct = 60
rays = "gamma"
dose_kgy = 15
certificate = "an invented one"
[[feed]]
name = "Silent"
basis = "as fed"
protein_min_pct = 18
[[price]]
of = "With pollen"
price = 6
per = "lb"
money = "US$"
year = 2024
[[price]]
of = "Silent"
price = 4
per = "lb"
money = "US$"
year = 2025
"""


def asked(feeds: str, source):
    return plan_from_text(WHOLE.replace(FEED, feeds + "\n"), YARD.today, "rounds.toml", source)


def test_price_pieces_and_words_follow_from_a_recipe_file():
    plan = asked('[[feed]]\nrecipe = "recipe.toml"', FilesBeside(RECIPES))
    (feed,) = plan.feeds
    # By hand from the example: what each part costs, over what all of them weigh.
    syrup = 2 * 17.0 * 1.33 / POUND_KG
    dollars = 60 * 38 / 50 + 30 * 62 / 50 + 5 * 7.40 + 90 * 34 / 50 + syrup * 0.46 + 7 * 1.35
    pounds = 60 + 30 + 5 + 90 + syrup + 7
    assert feed.price.amount * POUND_KG == pytest.approx(dollars / pounds, rel=1e-6)
    assert (feed.name, feed.price.year) == ("Sorrel Bend spring patty", 2026)
    assert feed.patty_g == pytest.approx(1000 * POUND_KG)
    assert feed.sugar > 90 / pounds, "the sugar weighed in, and that of the syrup"
    assert feed.known is not None
    assert "15 to 16 % protein as fed, US$0.81 a pound (prices of 2026)" in feed.known.said("lb")
    assert "a kilogram (prices of 2026)" in feed.known.said("g")
    assert "no real pollen in it" in feed.known.said("lb")


def test_a_label_gives_its_least_and_a_price_written_beside_it_goes_before_its_own():
    source = FilesBeside(RECIPES)
    both = 'recipe = "recipe.toml"\nlabel = "Sorrel Bend ready patty"'
    (feed,) = asked(f"[[feed]]\n{both}", source).feeds
    assert feed.price.amount * POUND_KG == pytest.approx(2.10)
    assert feed.known is not None
    assert "at least 15 % protein as fed" in feed.known.said("lb")
    (feed,) = asked(f'[[feed]]\n{both}\nprice = 3\nper = "kg"\nprice_year = 2025', source).feeds
    assert (feed.price.amount, feed.price.year) == (3.0, 2025)


SUGAR = 'name = "Candy"\nprice = 0.5\nper = "lb"\nsugar_pct = {}'


def test_a_feed_that_is_all_sugar_is_refused():
    """A hundred parts less its sugar leave no room for 5 of protein, the middle of two keepers' mixes."""
    with pytest.raises(
        PlanError, match=r"\[\[feed\]\] 1.*sugar_pct: Candy is no protein feed: 0 %.*own bodies"
    ):
        asked("[[feed]]\n" + SUGAR.format(100), None)
    with pytest.raises(PlanError, match="4 % of it is protein at most"):
        asked("[[feed]]\n" + SUGAR.format(96), None)
    (feed,) = asked("[[feed]]\n" + SUGAR.format(95), None).feeds
    assert feed.sugar == pytest.approx(0.95)


def test_one_sugar_among_several_feeds_is_named():
    protein = FEED.rstrip("\n")
    with pytest.raises(PlanError, match=r"\[\[feed\]\] 2.*Candy is no protein feed"):
        asked(f"{protein}\n[[feed]]\n{SUGAR.format(100)}", None)


def test_a_label_with_next_to_no_protein_is_refused_at_its_own_line(tmp_path):
    poor = POLLEN.replace('name = "Silent"\nbasis = "as fed"\nprotein_min_pct = 18',
                          'name = "Silent"\nbasis = "as fed"\nprotein_min_pct = 2')  # fmt: skip
    (tmp_path / "poor.toml").write_text(poor, "utf-8")
    with pytest.raises(PlanError, match=r"label: Silent is no protein feed: 2 % of it"):
        asked('[[feed]]\nrecipe = "poor.toml"\nlabel = "Silent"', FilesBeside(tmp_path))


def test_syrup_without_a_feed_says_why_it_is_refused():
    with pytest.raises(PlanError, match=r"no feed is chosen, and syrup alone is no plan: .* own bodies"):
        asked("", None)
    syrup = WHOLE[WHOLE.index("[syrup]") : WHOLE.index("[rounds]")]
    with pytest.raises(PlanError, match=r"\[\[feed\]\]: no feed is chosen\. "):
        plan_from_text(WHOLE.replace(FEED, "\n").replace(syrup, ""), YARD.today)


def test_real_pollen_shifts_by_at_most_what_feeds_with_and_without_it_differed_by(tmp_path):
    (tmp_path / "feeds.toml").write_text(POLLEN, "utf-8")
    source = FilesBeside(tmp_path)
    fed = known_label(source, "With pollen", "feeds.toml")
    assert (fed.shift.mean, fed.shift.sd) == (pytest.approx(0.05, abs=0.005), pytest.approx(0.10, abs=0.005))
    silent = known_label(source, "Silent", "feeds.toml")
    assert (silent.shift.mean, silent.shift.sd) == (0.0, 0.0)
    assert "does not say whether there is real pollen" in silent.said("lb")
    unsafe = POLLEN.replace('rays = "gamma"\ndose_kgy = 15\n', "")
    (tmp_path / "unsafe.toml").write_text(unsafe, "utf-8")
    with pytest.raises(PlanError, match=r"rounds\.toml, line \d+, .*label"):
        asked('[[feed]]\nrecipe = "unsafe.toml"\nlabel = "With pollen"', FilesBeside(tmp_path))


def test_two_feeds_are_searched_at_once_and_each_is_told(tmp_path):
    (tmp_path / "feeds.toml").write_text(POLLEN, "utf-8")
    text = "\n".join(f'[[feed]]\nrecipe = "feeds.toml"\nlabel = "{one}"' for one in ("With pollen", "Silent"))
    plan = asked(text, FilesBeside(tmp_path))
    place, weather = YARD.place, EXAMPLES / "first-yard" / "weather.csv"
    past = read_weather(weather, latitude=place.latitude, today=YARD.today)
    plan = replace(plan, rounds=replace(plan.rounds, most_rounds=2, intervals=(14,)))
    told = rounds_answer(YARD, past, plan, way=Way(draws=20))
    with_pollen, silent = (feed.worth.gain for feed in told.answer.question.prices.feeds)
    moved = with_pollen - silent
    assert moved.mean() == pytest.approx(0.05, abs=0.02), "laid on the same draws of one belief"
    assert np.std(moved) == pytest.approx(0.10, abs=0.03)
    assert [said.split(":")[0] for said in words.feeds_words(told)] == ["With pollen", "Silent"]
    fed = [one.plan.feed for one in told.answer.found.finalists if one.plan.pieces]
    assert min(fed.count(0), fed.count(1)) >= 3, "each is told by its best plans, not by what was left"
    turns = " ".join(words.turn_words(told))
    assert "With pollen" in turns
    assert "Silent" in turns
    assert len(told.feeds_said) == 3


@pytest.mark.parametrize(
    ("feeds", "says"),
    [
        ('[[feed]]\nrecipe = "none.toml"', r"line \d+.*recipe: .*can't be read"),
        ('[[feed]]\nrecipe = "Winter mix"', "no book is named"),
        ('[[feed]]\nrecipe = "recipe.toml"\nlabel = "Gone"', 'feed "Gone": it is not in recipe.toml'),
        ('[[feed]]\nrecipe = "mix"\nlabel = "Gone"', "one of them"),
        ('[[feed]]\nrecipe = "recipe.toml"\n[[feed]]\nrecipe = "recipe.toml"', "stands there twice"),
    ],
)
def test_what_cannot_be_looked_up_is_said_at_its_line(feeds, says):
    with pytest.raises(PlanError, match=says):
        asked(feeds, FilesBeside(RECIPES))


def test_a_part_without_a_price_or_in_other_money_is_no_price(tmp_path):
    text = (RECIPES / "recipe.toml").read_text("utf-8")
    oil = text[text.index('[[price]]\nof = "canola_oil"') : text.index('[[price]]\nof = "Sorrel Bend')]
    (tmp_path / "oil.toml").write_text(text.replace(oil, ""), "utf-8")
    (tmp_path / "eur.toml").write_text(text.replace('"US$"', '"EUR"'), "utf-8")
    with pytest.raises(PlanError, match="has no price"):
        asked('[[feed]]\nrecipe = "oil.toml"', FilesBeside(tmp_path))
    with pytest.raises(PlanError, match=re.escape("priced in EUR, this plan in US$")):
        asked('[[feed]]\nrecipe = "eur.toml"', FilesBeside(tmp_path))


def test_a_recipe_of_a_book_goes_by_its_newest_prices(tmp_path):
    path = tmp_path / "book.sqlite"
    book = RecipeBook(path)
    file = read_recipe(RECIPES / "recipe.toml")
    book.keep(file)
    source = BookFeeds(path)
    (before,) = asked('[[feed]]\nrecipe = "Sorrel Bend spring patty"', source).feeds
    stand = source.stand()
    later = Quote("canola_oil", 100.0, "lb", "US$", 2027)
    book.keep_feed(file.feeds[0], later)
    (after,) = asked('[[feed]]\nrecipe = "Sorrel Bend spring patty"', source).feeds
    assert after.price.amount > before.price.amount
    assert after.known is not None
    assert "prices of 2026 to 2027" in after.known.said("lb")
    assert source.stand() != stand, "another price, another search"
    assert ("label:Sorrel Bend ready patty", "Sorrel Bend ready patty (bought)") in source.choices()
    (bought,) = asked('[[feed]]\nlabel = "Sorrel Bend ready patty"', source).feeds
    assert bought.name == "Sorrel Bend ready patty"
    with pytest.raises(PlanError, match="not read from here"):
        asked('[[feed]]\nrecipe = "/etc/recipe.toml"', source)
