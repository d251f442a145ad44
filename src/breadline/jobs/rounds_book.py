"""Rounds of a book of records: asked of its yards, the chosen plan kept, and held against what was done."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cache, partial
from uuid import UUID

from sqlalchemy.orm import Session

from breadline import __version__
from breadline.errors import InputToMend, WeatherError
from breadline.jobs.belief_book import own_beliefs, what_teaches
from breadline.jobs.belief_moved import belief_moved
from breadline.jobs.book import Book, key_of
from breadline.jobs.counts_known import LASTS
from breadline.jobs.foretelling import draws_version
from breadline.jobs.lately import Lately
from breadline.jobs.plan_kept import PlanKept, against_given, kept_from, with_hives
from breadline.jobs.rounds import RoundsAnswer, Way, rounds_answer
from breadline.jobs.rounds_changed import changed_words, parts_of
from breadline.jobs.rounds_chosen import as_chosen
from breadline.jobs.rounds_dry_feed import barred_of, holds_on
from breadline.jobs.rounds_feed_asked import LEAST_PROTEIN, no_protein_words
from breadline.jobs.rounds_feeds import BookFeeds
from breadline.jobs.rounds_file import PlanFile, plan_from_text
from breadline.jobs.trial_book import hives_there
from breadline.knowledge.shelf import load
from breadline.language import say
from breadline.need.fit.season_counts import Look
from breadline.need.ladder.before_feed import FOULBROOD
from breadline.need.yard import Yard
from breadline.plan.dry_feed import NoCheckGroup
from breadline.plan.ranked import Ranked
from breadline.records import figure_edits, plans, stocks, weather_kept, yards
from breadline.records.engine import looking, writing
from breadline.records.tables import PlanRow


class RoundsBook(Book):
    """A book as the rounds use it."""

    def yard(self, yard_id: str) -> Yard:
        """The yard as known on the book's day."""
        with looking(self._engine) as session:
            return self._known(session, Lately(session, self.today), key_of(yard_id))[0]

    def _known(self, session: Session, lately: Lately, key: UUID) -> tuple[Yard, tuple[Look, ...]]:
        """The yard as known and the looks before its count, read anew where something was written since."""
        known = lately.of_yard("known", key, list[tuple[Yard, tuple[Look, ...]]])
        if not known:
            known.append(yards.known_and_before(session, key, self.today))
        return known[0]

    @property
    def feeds(self) -> BookFeeds:
        """The book's recipes and bought feeds, as a plan names them."""
        return BookFeeds(self.path)

    def asked(self, text: str) -> PlanFile:
        """The plan of a plan file's text, on the book's day; PlanError with what to mend."""
        return plan_from_text(text, self.today, say("your plan"), self.feeds)

    def read_back(self, kept: PlanKept) -> PlanFile:
        """What was asked when a plan was chosen, as of that day; what was allowed then is not refused now."""
        return self._read_back(kept.asked, kept.chosen_on)

    def _read_back(self, asked: str, chosen_on: date) -> PlanFile:
        return plan_from_text(asked, chosen_on, say("your plan"), self.feeds, read_back=True)

    def yard_ids(self) -> list[tuple[str, str, int]]:
        """Key, name and colonies of every yard."""
        with looking(self._engine) as session:
            return [(str(row.id), row.name, row.colonies) for row in yards.yards(session)]

    def _stand(self) -> dict[str, int]:
        return {key: colonies for key, _, colonies in self.yard_ids()}

    def to_move_to(self, yard_id: str) -> tuple[tuple[str, str], ...]:
        """The other yards, as they are chosen on the page: name, and its words."""
        return tuple((name, name) for key, name, _ in self.yard_ids() if key != yard_id)

    def stand(self, yard_id: str) -> str:
        """What an answer for the yard goes by, in a word that changes when any of it does.

        Weather of the other yards too: a plan may ask what moving there brings.
        """
        parts, known = self.parts(yard_id), self.yard(yard_id)
        with looking(self._engine) as session:
            others = weather_kept.digests(session)
        return hashlib.sha256(f"{known}{parts}{others}".encode()).hexdigest()

    def parts(self, yard_id: str) -> dict[str, str]:
        """The same by part, each as a digest; see ``rounds_changed``."""
        return self._parts([yard_id])[yard_id][1]

    def _parts(self, yard_ids: Iterable[str]) -> dict[str, tuple[Yard, dict[str, str]]]:
        """Several yards as known, and the same of each, by key; what all of them go by is read once."""
        with looking(self._engine) as session:
            lately = Lately(session, self.today)
            edits = sorted(figure_edits.current_edits(session).items())
            taught, weather = what_teaches(session), weather_kept.newest_digests(session)
            known = {key: self._known(session, lately, key_of(key)) for key in yard_ids}
        beside = {"figures": f"{edits}", "feeds": f"{self.feeds.stand()}", "program": _brought_along(),
                  "taught": f"{taught}"}  # fmt: skip
        said = {}
        for key, (yard, earlier) in known.items():
            file = weather.get(key_of(key), weather.get(None, ""))
            said[key] = yard, parts_of(yard, earlier, {"weather": file, **beside})
        return said

    def changed(self, yard_id: str, kept: PlanKept) -> str:
        """Which of that changed since a plan was chosen, in a sentence; empty where nothing did.

        Signs of foulbrood stand first, whenever they were seen: pages and sheets of a plan say this.
        """
        return self.changes({yard_id: kept})[yard_id]

    def changes(self, plans: Mapping[str, PlanKept]) -> dict[str, str]:
        """The same of several yards, by their keys; what all of them go by is read once."""
        parts, shelf = self._parts(plans), self._shelf()
        with looking(self._engine) as session:
            learnt = own_beliefs(session, shelf)
        refused = cache(partial(self._refused_now, shelf.reader().typical(LEAST_PROTEIN)))  # of yards alike
        said = {}
        for key, kept in plans.items():
            then, (yard, now) = kept.belief.get("parts"), parts[key]
            if then is not None and kept.program == __version__:
                then = {"program": now["program"], **then}  # of a book that did not keep it yet
            sick = say(FOULBROOD) if yard.health.foulbrood_signs and kept.rounds else ""
            told = (sick, changed_words(then, now, kept.chosen_on), belief_moved(kept.belief, learnt),
                    refused(kept.asked, kept.chosen_on, kept.feed))  # fmt: skip
            said[key] = " ".join(filter(None, told))
        return said

    def _refused_now(self, least: float, asked: str, chosen_on: date, feed: str) -> str:
        """That the feed of a kept plan would be refused today, and why; empty where it would not."""
        try:
            feeds = self._read_back(asked, chosen_on).feeds
        except InputToMend:  # a recipe or label is gone: what is told of that stands elsewhere
            return ""
        fed = [one for one in feeds if one.name == feed]
        why = next((text for one in fed if (text := no_protein_words(one, least))), "")
        return why and say("It would not be proposed today: {why}.", why=why)

    def rounds(self, yard_id: str, asked: str, way: Way | None = None, again: bool = False) -> RoundsAnswer:
        """The plans of a yard, from the text of a plan file; ``again`` from that of a plan that is kept.

        Errors
        ------
        PlanError, RecordError, WeatherError
            With what to mend; of a kept plan what was allowed when it was chosen is not refused now.
        """
        there = self.at_hand(yard_id)
        plan = plan_from_text(asked, self.today, say("your plan"), self.feeds, read_back=again)
        if not plan.hives:
            plan = replace(plan, hives=self.graded(yard_id))
        with looking(self._engine) as session:
            learnt = own_beliefs(session, there.shelf)
        try:
            return rounds_answer(there.yard, there.weather, plan, there.shelf, way, learnt)
        except WeatherError:
            if there.yard is there.newest:
                raise
            return rounds_answer(there.newest, there.weather, plan, there.shelf, way, learnt)

    def graded(self, yard_id: str) -> tuple[tuple[str, float], ...]:
        """The yard's hives by their newest counts, tag and frames of bees [frames], where a plan names none.

        Counts older than those that a check group is drawn by are left out; none where tags or numbers do not
        fit the yard.
        """
        key = key_of(yard_id)
        lasts = self._shelf().reader().typical(LASTS)
        with looking(self._engine) as session:
            row = next(one for one in yards.yards(session) if one.id == key)
            found = hives_there(session, row, self.today)
        young = {tag for tag, on in found.counted_on.items() if (self.today - on).days <= lasts}
        hives = tuple((one.hive, one.baseline) for one in found.hives
                      if one.baseline and one.hive in young)  # fmt: skip
        tags = {tag.casefold() for tag, _ in hives}
        return hives if len(tags) == len(hives) <= row.colonies else ()

    def keep_dry_feed(self, yard_id: str, stood: stocks.Stood) -> None:
        """Write down that dry feed stands in the open at a yard."""
        with writing(self._engine) as session:
            stocks.keep_dry_feed(session, key_of(yard_id), stood)

    def no_dry_feed(self, yard_id: str, because: str) -> None:
        """Say that no dry feed stood at a yard this season; RecordError where none is written down."""
        key = key_of(yard_id)
        with writing(self._engine) as session:
            days = {row.since for row in stocks.dry_feeds(session)
                    if row.yard_id == key and holds_on(row.since, row.latitude, self.today)}  # fmt: skip
            stocks.no_dry_feed(session, key, because, days)

    def barred(self) -> tuple[NoCheckGroup, ...]:
        """Where dry feed stood in the open: inside its flight range nothing is a check group."""
        with looking(self._engine) as session:
            names = {row.id: row.name for row in yards.yards(session)}
            stood = [(row.yard_id, stocks.stood(row)) for row in stocks.dry_feeds(session)]
            rows = [(names[key], one) for key, one in stood if key in names]
        return barred_of(rows)

    def with_threshold(self, yard_id: str, told: RoundsAnswer) -> RoundsAnswer:
        """The answer with the threshold of the plan kept for a yard, where its plan file names none."""
        kept = self.plan(yard_id)
        if kept is None or kept.threshold is None or told.plan.rounds.stop_share is not None:
            return told
        return replace(told, threshold=kept.threshold)

    def keep_plan(self, yard_id: str, told: RoundsAnswer, at: Ranked, because: str = "") -> PlanKept:
        """Keep a plan as the one chosen for a yard, with the belief and prices it was chosen under."""
        chosen = as_chosen(told, at, self._shelf())
        chosen = replace(chosen, belief={**chosen.belief, "parts": self.parts(yard_id)})
        with writing(self._engine) as session:
            plans.keep_plan(session, key_of(yard_id), chosen, because)
        kept = self.plan(yard_id)
        assert kept is not None
        return kept

    def plan(self, yard_id: str, fed: tuple[date, date] | None = None) -> PlanKept | None:
        """The plan that holds for a yard, beside what was given since; None where none was chosen.

        With ``fed`` the newest that was chosen by the second day and has a round from the first to it.
        """
        if fed is None:
            return self.plans([yard_id]).get(str(key_of(yard_id)))
        key = key_of(yard_id)
        with looking(self._engine) as session:
            row = _plan_of_season(session, key, fed)
            held = {} if row is None else self._held(session, [row])
        return with_hives(self, held, self._stand).get(str(key))

    def plans(self, yard_ids: Collection[str] | None = None) -> dict[str, PlanKept]:
        """The plans that hold for some yards or for all, each beside what was given since, by yard.

        Read at once; what was given is kept in this program as long as nothing is written down of the yard.
        """
        keys = None if yard_ids is None else [key_of(one) for one in yard_ids]
        with looking(self._engine) as session:
            held = self._held(session, plans.plans_now(session, keys), Lately(session, self.today))
        return with_hives(self, held, self._stand)

    def _held(
        self, session: Session, rows: Sequence[PlanRow], lately: Lately | None = None
    ) -> dict[str, PlanKept]:
        chosen = plans.chosen_days(session, [row.yard_id for row in rows])
        pieces = plans.pieces_of(session, [row.id for row in rows])
        held = {}
        for row in rows:
            made = partial(against_given, session, row, pieces[row.id], self.today)
            against = made() if lately is None else lately.of_yard("given", row.yard_id, made)
            held[str(row.yard_id)] = kept_from(row, against, len(chosen[row.yard_id]) - 1)
        return held


@cache
def _brought_along() -> str:
    """Version of the program, and a word for all the figures that it brings."""
    shelf = load()
    spans = "\n".join(f"{figure.key} {figure.span}" for figure in shelf.figures())
    return f"{__version__} {draws_version(shelf)} {hashlib.sha256(spans.encode()).hexdigest()}"


def _plan_of_season(session: Session, key: UUID, fed: tuple[date, date]) -> PlanRow | None:
    first, last = fed
    for row in reversed(plans.plans_before(session, key)):
        days = [on for on, _ in plans.pieces(session, row.id)]
        if row.chosen_on <= last and any(first <= on <= last for on in days):
            return row
    return None
