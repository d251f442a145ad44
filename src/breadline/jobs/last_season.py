"""What last season taught a yard, and how its plan changed because of it: told from what the book kept."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from breadline.belief.gain import IN_WORDS, by_per_cent
from breadline.belief.season_called import season_said
from breadline.jobs.belief_book import Lesson, known_lessons, what_teaches
from breadline.jobs.book import Book, key_of
from breadline.jobs.own_evidence import lesson_result
from breadline.jobs.rounds_changed import digest_of
from breadline.jobs.rounds_named import kept_name
from breadline.language import noted, say
from breadline.need.words import counted, day_and_year
from breadline.need.yard import Given
from breadline.plan.money import about
from breadline.plan.money import told as money_told
from breadline.records import plans
from breadline.records.engine import looking
from breadline.records.tables import PlanRow

APART = timedelta(days=150)  # plans chosen closer together are of one season
NOTHING_LEARNT = noted("Last season nothing was learnt: no fair check group of yours had its verdict kept")


@dataclass(frozen=True)
class LastSeason:
    """How one season led to the next.

    Parameters
    ----------
    sentence
        What was learnt, and the plan before and now.
    belief
        What feeding was believed to bring before, and now; "" where the book cannot say.
    asks
        Whether the plan that holds is older than what was learnt, so that it should be asked again.
    money
        Of both plans as each was chosen: what is told, then and now; none in books that kept too little.
    """

    sentence: str
    belief: str
    asks: bool
    money: tuple[tuple[str, str, str], ...] = ()  # what is told, then and now; none where it cannot be held


class SeasonsBook(Book):
    """A book as one season of it leads to the next."""

    def last_season(self, yard_id: str) -> LastSeason | None:
        """What the last season taught a yard and changed in its plan; None in a book's first season."""
        return self.last_seasons([yard_id]).get(yard_id)

    def last_seasons(self, yard_ids: Collection[str]) -> dict[str, LastSeason]:
        """The same of several yards, by their keys: read at once; without those that have none."""
        keys = [key_of(one) for one in yard_ids]
        with looking(self._engine) as session:
            standing = plans.plans_now(session, keys)
            chosen = plans.plans_of_yards(session, [row.yard_id for row in standing])
            lessons, taught = known_lessons(session), digest_of(f"{what_teaches(session)}")
        told = {str(row.yard_id): self._told(row, chosen[row.yard_id], lessons, taught) for row in standing}
        return {key: one for key, one in told.items() if one is not None}

    def _told(
        self, standing: PlanRow, chosen: Sequence[PlanRow], lessons: Sequence[Lesson], taught: str
    ) -> LastSeason | None:
        before = _before(chosen, standing)
        if before is None:
            if standing.belief.get("parts", {}).get("taught") == taught:
                return None  # the plan was made with all that is known today
            return _not_asked_again(standing, _since(lessons, standing, standing.chosen_on, self.today))
        learnt = _since(lessons, standing, before.chosen_on, standing.chosen_on)
        said = "; ".join(_lesson(one) for one in learnt)
        what = say("Last season you learnt: {said}", said=said) if said else say(NOTHING_LEARNT)
        told = f"{what}; {_changed(before, standing)}."
        return LastSeason(told, _belief(before, standing), False, _money(before, standing))

    def ahead(self, yard_id: str) -> tuple[Given, ...]:
        """The rounds after today of the plan that stands."""
        key = key_of(yard_id)
        with looking(self._engine) as session:
            standing = plans.plan_of(session, key)
            rounds = () if standing is None else plans.pieces(session, standing.id)
        return tuple(Given(on, grams) for on, grams in rounds if on > self.today)


def _before(chosen: Sequence[PlanRow], standing: PlanRow) -> PlanRow | None:
    """The last plan of the season before the one that stands."""
    earlier = [one for one in chosen if one.chosen_on <= standing.chosen_on - APART]
    return earlier[-1] if earlier else None


def _not_asked_again(standing: PlanRow, learnt: Sequence[Lesson]) -> LastSeason | None:
    """The plan is still that of last season, and something was learnt since."""
    if not learnt:
        return None
    said = "; ".join(_lesson(one) for one in learnt)
    plan = say(
        "the plan of {day_and_year}, {plan}, does not know it yet",
        day_and_year=day_and_year(standing.chosen_on),
        plan=_plan(standing),
    )
    return LastSeason(
        say("Last season you learnt: {said}; {plan}: ask for plans again.", said=said, plan=plan), "", True
    )


def _since(lessons: Sequence[Lesson], standing: PlanRow, first: date, last: date) -> list[Lesson]:
    """Lessons of a time, those of the forage that the plan is for first."""
    own = standing.belief.get("situation")
    found = [one for one in lessons if first < one.learnt_on <= last or (one.learnt_on == first == last)]
    return sorted(found, key=lambda one: one.taught.situation != own)


def _lesson(one: Lesson) -> str:
    of = one.taught
    groups = say("{fed} fed and {check} check colonies", fed=of.fed, check=of.check)
    return say(
        "{season}, fed {in_words}, {groups}: {lesson_result}",
        season=season_said(of.season),
        in_words=say(IN_WORDS[of.situation]),
        groups=groups,
        lesson_result=lesson_result(one),
    )


def _changed(before: PlanRow, now: PlanRow) -> str:
    same = _plan(before) == _plan(now)
    years = f"{day_and_year(before.chosen_on)}"
    if same:
        return say("the plan stayed as it was on {years}: {plan}", years=years, plan=_plan(now))
    return say(
        "the plan changed from {plan} ({years}) to {plan2} ({day_and_year})",
        plan=_plan(before),
        years=years,
        plan2=_plan(now),
        day_and_year=day_and_year(now.chosen_on),
    )


def _plan(row: PlanRow) -> str:
    """A plan in its own sentence, its first letter small: "9 rounds of ¼ patty, Patty", "do nothing"."""
    sentence = kept_name(row)
    text = sentence[:1].lower() + sentence[1:]
    return f"{text}, {row.feed}" if row.feed else text


def _belief(before: PlanRow, now: PlanRow) -> str:
    then, since = (_middle(one.belief) for one in (before, now))
    if then is None or since is None or before.belief.get("situation") != now.belief.get("situation"):
        return ""
    seasons = int(now.belief.get("own_seasons") or 0)
    own = say(", with {seasons} of your own in it", seasons=counted(seasons, "season")) if seasons else ""
    if then == since:
        return say(
            "With a season’s own luck in it, feeding was and is believed to bring {then} bees{own}.",
            then=then,
            own=own,
        )
    return say(
        "With a season’s own luck in it, feeding was believed to bring {then} bees; now it is {since}{own}.",
        then=then,
        since=since,
        own=own,
    )


def _money(before: PlanRow, now: PlanRow) -> tuple[tuple[str, str, str], ...]:
    """Both plans' money side by side, each under the prices and the belief of its own day."""
    both = before, now
    if any(not {"gain", "cost"} <= set(one.foretold) for one in both):
        return ()
    told = [(one.foretold, one.prices["money"], one) for one in both]
    gains = [about(of["gain"], unit) for of, unit, _ in told]
    costs = [money_told(of["cost"]["total"], unit) for of, unit, _ in told]
    days = [day_and_year(one.chosen_on) for *_, one in told]
    return (
        (say("Chosen on"), days[0], days[1]),
        (say("Over doing nothing, a colony"), gains[0], gains[1]),
        (say("Cost a colony"), costs[0], costs[1]),
    )


def _middle(belief: dict[str, Any]) -> str | None:
    gain = belief.get("fed_over_unfed")
    return by_per_cent(float(gain[1])) if gain else None
