"""The keeper of searches: each question begun once, found again, left when there are too many."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from breadline.errors import PlanError
from breadline.jobs.cheapest_search import Search
from breadline.jobs.recipe_written import RecipeFile
from breadline.jobs.rounds_search import ROOM, PlanSearches
from breadline.jobs.searches import Searches
from breadline.ration.solver import Conflict, cheapest
from tests.ration.larder import problem


class Made:
    """A search that notes whether it was left."""

    def __init__(self) -> None:
        self.left = False

    def leave(self) -> None:
        self.left = True


def test_pages_that_ask_one_question_at_once_begin_one_search():
    searches, begun, all_there = Searches[Made](4), [], threading.Barrier(6)

    def slow() -> Made:
        time.sleep(0.05)  # so that the others ask meanwhile
        begun.append(Made())
        return begun[-1]

    def ask(question: str) -> Made:
        all_there.wait(10)
        return searches.of(question, slow)

    with ThreadPoolExecutor(6) as pages:
        found = list(pages.map(ask, ["a", "b"] * 3))
    assert len(begun) == 2
    assert len(set(found)) == 2
    assert found[0] is found[2] is found[4]


def test_the_one_that_was_asked_for_longest_ago_is_left():
    searches = Searches[Made](2)
    first, second = (searches.of(one, Made) for one in "ab")
    assert searches.of("a", Made) is first
    third = searches.of("c", Made)
    assert searches.kept() == (first, third)
    assert (first.left, second.left, third.left) == (False, True, False)
    assert searches.of("b", Made) is not second


def test_one_that_is_not_good_enough_is_begun_again_and_the_newest_is_found():
    searches = Searches[Made](4)
    first = searches.of("a", Made)
    again = searches.of("a", Made, lambda there: there is first)
    assert again is not first
    assert searches.of("a", Made, lambda there: there is first) is again
    assert set(searches.kept()) == {first, again}


def test_more_yards_picked_together_than_are_kept_are_each_searched_once():
    """The page of their sheets asks for one after another, and for all again at each look."""
    searches, begun = PlanSearches(), []
    searches.make_room(ROOM + 3)
    for _ in range(3):
        for yard in map(str, range(ROOM + 3)):
            assert searches.of_plan((yard,), lambda tell, yard=yard: begun.append(yard)).done(10)
    assert sorted(begun, key=int) == [*map(str, range(ROOM + 3))]


def test_an_error_of_a_search_is_told_at_every_look_and_begins_no_second_one():
    searches, begun = PlanSearches(), []

    def impossible(tell):
        begun.append(tell)
        raise PlanError("feed", "it cannot be", "another")

    for _ in range(2):
        search = searches.of_plan(("yard",), impossible)
        with pytest.raises(PlanError, match="it cannot be"):
            assert search.answer
    assert len(begun) == 1


def test_a_mix_left_before_all_was_said_of_it_is_unsaid():
    asked = problem()
    mix, none = cheapest(asked), Conflict(asked, True, (), False, (), None)
    for known, unsaid in ((mix, True), (none, False)):
        search = Search(RecipeFile("x"), asked, known)
        assert not search.unsaid, "it goes on"
        search.leave()
        search.sought = search.done = True
        assert search.unsaid is unsaid
