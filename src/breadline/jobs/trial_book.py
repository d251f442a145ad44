"""Check groups of a book of records: drawn from its yards, locked, and graded in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import BreadlineError, TrialError
from breadline.jobs.book import Book, key_of
from breadline.jobs.check_group_colonies import Listed, colonies_from_text
from breadline.jobs.check_group_file import plain, trial_document, trial_of
from breadline.jobs.check_group_told import short_stand
from breadline.jobs.check_group_trial import Asked, Trial, drawn, locked
from breadline.jobs.counts_known import LASTS, Counts
from breadline.jobs.rounds_dry_feed import barred_of, season_ends
from breadline.jobs.yards_named import key_named
from breadline.knowledge.shelf import load
from breadline.language import ENGLISH, say, say_counted, speaking
from breadline.measures import Units, measures, units_of
from breadline.need.yard import Place
from breadline.records import figure_edits, readings, stocks, trials, yards
from breadline.records.address import BookAt
from breadline.records.colonies import InRow, rows_by_yard
from breadline.records.engine import is_there, looking, writing
from breadline.records.trial_tables import TrialRow
from breadline.trial.colonies import AS_NOTHING, UNKNOWN, Ended
from breadline.trial.matching import Candidate
from breadline.trial.unit import Stand, feed_in_reach
from breadline.verdict.ends_of import named

COLUMNS = ("colonies", "ends", "kept_as")  # kept in tables of their own, or the key itself
MOST_NUMBERED = 5_000  # hives of a yard without names
LOST = AS_NOTHING | UNKNOWN


@dataclass(frozen=True)
class Kept:
    """A trial of the book with its key."""

    key: str
    trial: Trial


@dataclass(frozen=True)
class Damaged:
    """A trial of the book that cannot be read, and why."""

    key: str
    name: str
    why: str


class TrialsBook(Book):
    """A book as check groups use it."""

    def candidates(self, wanted: Sequence[str] = ()) -> Listed:
        """The colonies of some yards by name, of all where none is named.

        Hives that were named come with their newest count of bees; a yard without named hives
        gives as many as it has, numbered along the yard.

        Errors
        ------
        TrialError
            If a yard is not there, or there is none, or dry feed that stood in the open feeds it.
        """
        with looking(self._engine) as session:
            listed = yards.yards(session)
            strange = [name for name in wanted if name not in {row.name for row in listed}]
            if strange or not listed:
                raise TrialError(
                    "yard",
                    say("there is no yard {yard}", yard=strange[0])
                    if strange else say("there is none in this book"),
                    ", ".join(row.name for row in listed) or say("at least one yard"),
                    say("Add it first"),
                )  # fmt: skip
            for name in wanted:
                key_named([(str(row.id), row.name) for row in listed], name)  # refuses two of one name
            chosen = [row for row in listed if not wanted or row.name in wanted]
            found = _of_yards(session, chosen, self.today)
            _told_apart(found)
            known = _counts(session, found, self.today)
            stands = []
            for row in chosen:
                lasting = yards.fact(session, row.id)
                stands.append(Stand(row.name, Place(lasting.latitude, lasting.longitude)))
        near = self.fed_in_open(stands)
        colonies, aside = _all_or_none(_own_names([one for yard in found for one in yard.hives]))
        bare = ", ".join(row.name for row, yard in zip(chosen, found, strict=True) if not yard.named)
        if known.of_all:
            with speaking(ENGLISH):  # as it is kept with the draw
                by = f"Strength before the draw is by the newest count of each hive, {known.age}."
                aside = [known.grade_again if known.old else by]
        said = [f"Hives without names are counted along the yard from its gate: {bare}."] if bare else []
        return Listed(tuple(colonies), tuple(stands), (*said, *aside, *near))

    def fed_in_open(self, stands: Sequence[Stand]) -> tuple[str, ...]:
        """What dry feed that stood in the open this season means for yards that are to be drawn.

        Errors
        ------
        TrialError
            If it feeds one of them: inside its flight range nothing can be a check group.
        """
        with looking(self._engine) as session:
            names = {row.id: row.name for row in yards.yards(session)}
            kept = [(row.yard_id, stocks.stood(row)) for row in stocks.dry_feeds(session)]
        stood = barred_of([(names[key], one) for key, one in kept if key in names])
        now = [one for one in stood if one.since <= self.today <= season_ends(one.since, one.place.latitude)]
        return feed_in_reach(stands, now, self.units)

    def listed(self, text: str) -> Listed:
        """The colonies of a pasted list; a yard of the book stands where the book says.

        Errors
        ------
        TrialError
            With row and column, or if dry feed that stood in the open feeds one of its yards.
        """
        return self.placed(colonies_from_text(text, "your list"))

    def placed(self, found: Listed) -> Listed:
        """The colonies of a list with the places of their yards in the book; refused as in ``listed``."""
        with looking(self._engine) as session:
            facts = {row.name: yards.fact(session, row.id) for row in yards.yards(session)}
        stands = tuple(
            replace(stand, place=Place(facts[stand.yard].latitude, facts[stand.yard].longitude))
            if stand.place is None and stand.yard in facts else stand
            for stand in found.stands
        )  # fmt: skip
        return replace(found, stands=stands, said=(*found.said, *self.fed_in_open(stands)))

    def yard_sizes(self) -> list[tuple[str, int]]:
        """Name and colonies of every yard."""
        with looking(self._engine) as session:
            return [(row.name, row.colonies) for row in yards.yards(session)]

    def counts(self, wanted: Sequence[str]) -> Counts:
        """The newest counts of bees of the hives of these yards."""
        with looking(self._engine) as session:
            chosen = [row for row in yards.yards(session) if row.name in wanted]
            return _counts(session, _of_yards(session, chosen, self.today), self.today)

    def draw(self, listed: Listed, asked: Asked, now: datetime, before: str = "") -> Kept:
        """Draw a check group and keep the draw, in the place of one not yet locked where there was one.

        The same draw once more, as of a form that was sent twice, is the one that is kept.
        """
        with looking(self._engine) as session:
            reader = load(figure_edits.current_edits(session)).reader()
        trial = drawn(listed, asked, reader, now)
        with writing(self._engine) as session:
            if (same := _drawn_alike(session, trial)) is not None and same.key != before:
                return same
            old = trials.trial_of(session, key_of(before)) if before else None
            if old is not None:
                trial = replace(trial, draws=int(old.told["draws"]) + 1)
            row = trials.keep_draw(session, trial.name, told_of(trial), trial.design.started, old)
            return Kept(str(row.id), replace(trial, kept_as=str(row.id)))

    def lock(self, key: str, now: datetime) -> Kept:
        """Lock a drawn trial."""
        with writing(self._engine) as session:
            row = trials.trial_of(session, key_of(key))
            return keep_locked(session, row, locked(trial_at(session, row), now))

    def keep_ends(self, key: str, ended: Sequence[Ended], because: str = "") -> None:
        """Keep what became of colonies; a later word takes the place of the one before.

        Errors
        ------
        TrialError
            If the trial is not locked: nothing is graded before; or another word is corrected and
            nobody says why.
        """
        with writing(self._engine) as session:
            row = trials.trial_of(session, key_of(key))
            if row.seal is None:
                raise TrialError(
                    "ends",
                    say("the trial is not locked"),
                    say("a locked trial"),
                    say("Lock it before grading"),
                )
            if not because.strip():
                known = {one.tag: one for one in trials.ends_of(session, row)}
                _refuse_unsaid(known, ended)
                ended = [one if one.tag not in known else _filled(one, known[one.tag]) for one in ended]
            for end in ended:
                trials.keep_end(session, row, end, because)

    def trial(self, key: str) -> Kept:
        """One trial as it holds now."""
        with looking(self._engine) as session:
            row = trials.trial_of(session, key_of(key))
            return Kept(str(row.id), trial_at(session, row))

    def trials(self) -> list[Kept | Damaged]:
        """Every trial, the first drawn first; one that cannot be read stands there with the reason."""
        with looking(self._engine) as session:
            return trials_in(session)

    def locked(self) -> list[Kept | Damaged]:
        """Those that are locked; a draw that nobody locked keeps nothing back, and is not read."""
        with looking(self._engine) as session:
            rows = [
                row for row in trials.trials(session) if row.seal is not None or row.told.get("locked_at")
            ]
            return [_kept_or_damaged(session, row) for row in rows]

    def waiting(self) -> dict[str, str]:
        """By yard, in a few words, what its newest check group waits for; none where it waits for nothing."""
        found: dict[str, str] = {}
        for kept in self.trials():
            if isinstance(kept, Damaged):
                continue
            said = short_stand(kept.trial, self.today)
            for yard in dict.fromkeys(one.yard for one in kept.trial.design.started):
                found[yard] = said
        return {yard: said for yard, said in found.items() if said}

    @property
    def units(self) -> Units:
        """In which distances are said: the reader's, else those of the first yard's country."""
        with looking(self._engine) as session:
            listed = yards.yards(session)
            country = yards.fact(session, listed[0].id).country if listed else None
        return units_of(country or "")


def weighed_in(book: BookAt | None) -> Units | None:
    """In which honey is told: the reader's units, else those of a book; None where nobody says."""
    if measures().units is not None or book is None or not is_there(book):
        return measures().units
    return TrialsBook(book).units


def keep_locked(session: Session, row: TrialRow, trial: Trial) -> Kept:
    """Keep the lock of a draw."""
    row = trials.keep_lock(session, row, told_of(trial), trial.seal or "")
    return Kept(str(row.id), trial)


def trials_in(session: Session) -> list[Kept | Damaged]:
    """Every trial of a book, the first drawn first; one that cannot be read stands there with the reason."""
    return [_kept_or_damaged(session, row) for row in trials.trials(session)]


def _kept_or_damaged(session: Session, row: TrialRow) -> Kept | Damaged:
    try:
        return Kept(str(row.id), trial_at(session, row))
    except BreadlineError as error:
        return Damaged(str(row.id), row.name, str(error))


def _drawn_alike(session: Session, trial: Trial) -> Kept | None:
    """A trial with this name, this rescue rule and the very same draw, locked since or not; None without."""
    alike = [row for row in trials.trials(session) if row.name == trial.name]
    found = [kept for row in alike if isinstance(kept := _kept_or_damaged(session, row), Kept)]
    same = (trial.design, trial.rescue_below)
    return next((kept for kept in found if (kept.trial.design, kept.trial.rescue_below) == same), None)


def told_of(trial: Trial) -> dict[str, Any]:
    """A trial as its row has it: without what stands in tables of its own."""
    return {name: value for name, value in trial_document(trial).items() if name not in COLUMNS}


def trial_at(session: Session, row: TrialRow) -> Trial:
    """A trial of the book; refused where what was locked is not what stands there."""
    colonies, ends = trials.colonies_of(session, row), trials.ends_of(session, row)
    rows = {"colonies": [plain(one) for one in colonies], "ends": [plain(one) for one in ends]}
    return trial_of({**row.told, **rows, "kept_as": str(row.drawn or row.id)}, row.name)


@dataclass(frozen=True)
class _Hives:
    """The hives of a yard, whether they have names, and the day of the newest count of each that has one."""

    hives: list[Candidate]
    named: bool
    counted_on: dict[str, date]


def _of_yards(session: Session, chosen: Sequence[yards.Listed], today: date) -> list[_Hives]:
    """The hives of some yards with their newest counts; all read at once."""
    keys = [row.id for row in chosen]
    rows = rows_by_yard(session, keys)
    found = readings.newest_of_colonies(session, keys, "frames_of_bees", today)
    return [_of_yard(session, row, rows[row.id], found) for row in chosen]


def hives_there(session: Session, row: yards.Listed, today: date) -> _Hives:
    """The hives that stand in one yard with their newest counts."""
    return _of_yards(session, [row], today)[0]


def _of_yard(
    session: Session, row: yards.Listed, in_row: Sequence[InRow], found: Mapping[UUID, tuple[float, date]]
) -> _Hives:
    """The hives that stand in a yard with their newest counts, or as many as it has, numbered along it."""
    named = [one for one in in_row if one.standing == "stands"]
    if not named and not readings.colonies(session, row.id):
        count = min(row.colonies, MOST_NUMBERED)
        return _Hives([Candidate(f"{n}", row.name, place=n) for n in range(1, count + 1)], False, {})
    names = {colony.id: colony.tag for colony in named}
    told = {tag: found[key] for key, tag in names.items() if key in found}
    empty = {tag for tag, (frames, _) in told.items() if frames <= 0}  # nothing to draw there
    named = [one for one in named if one.tag not in empty]
    hives = [Candidate(one.tag, row.name, told[one.tag][0] if one.tag in told else None) for one in named]
    return _Hives(hives, True, {tag: on for tag, (_, on) in told.items()})


def _told_apart(found: Sequence[_Hives]) -> None:
    """Refuse two hives of one yard that wear one tag: the sheet could not say which is which."""
    seen: set[tuple[str, str]] = set()
    for one in (hive for yard in found for hive in yard.hives):
        worn = (one.yard, one.hive.casefold())
        if worn in seen:
            raise TrialError(
                f"yard {one.yard}", say("two hives wear the tag {tag}", tag=one.hive),
                say("a tag of its own for each"), say("Write down under Hives which of them is gone"),
            )  # fmt: skip
        seen.add(worn)


def _counts(session: Session, found: Sequence[_Hives], today: date) -> Counts:
    days = [on for yard in found for on in yard.counted_on.values()]
    lasts = load(figure_edits.current_edits(session)).reader().typical(LASTS)
    return Counts(sum(len(yard.hives) for yard in found), tuple(days), today, lasts)


def _own_names(colonies: Sequence[Candidate]) -> list[Candidate]:
    """Names that are their own among all yards: the yard before the number where two yards share it."""
    shared = len({c.hive for c in colonies}) < len(colonies)
    return [replace(c, hive=f"{c.yard} {c.hive}") for c in colonies] if shared else list(colonies)


def _all_or_none(colonies: Sequence[Candidate]) -> tuple[list[Candidate], list[str]]:
    """Counts of all hives, or of none: sets are not made of counted and uncounted ones."""
    counted = sum(c.baseline is not None for c in colonies)
    if counted in (0, len(colonies)):
        return list(colonies), []
    said = f"Only {counted} of {len(colonies)} hives have a count of bees: the counts are left aside."
    return [replace(c, baseline=None) for c in colonies], [said]


def _refuse_unsaid(before: Mapping[str, Ended], ended: Sequence[Ended]) -> None:
    """Refuse what corrects an earlier word without its reason; a reading of a later day corrects none."""
    changed = [end.tag for end in ended if end.tag in before and _corrects(end, before[end.tag])]
    if changed:
        raise TrialError(
            "because",
            say_counted(
                "{tags} has another end kept already, and why it changes is not said",
                "{tags} have other ends kept already, and why they change is not said",
                len(changed), tags=named(changed),
            ),
            say("the reason, in a few words"), say("Say it, and keep again"),
        )  # fmt: skip


def _corrects(end: Ended, before: Ended) -> bool:
    """Whether another end, reading or hive is said than before; more of the same corrects nothing."""
    same = (end.became, end.merged_into) == (before.became, before.merged_into)
    if same and not any(_other(name, end, before) for name in ("outcome", "again", "taken")):
        return False
    lives = before.became not in LOST
    later = before.graded_on is not None and end.graded_on is not None and end.graded_on > before.graded_on
    return not (lives and later)


def _other(name: str, end: Ended, before: Ended) -> bool:
    """Whether both say a number of this name, and not the same; of a lost colony 0 says nothing."""
    blank = (None, 0.0) if before.became in LOST or name == "taken" else (None,)
    new, old = getattr(end, name), getattr(before, name)
    return new != old and new not in blank and old not in blank


def _filled(end: Ended, before: Ended) -> Ended:
    """The same end said again: what it leaves blank stays, and the day on which a loss was first known."""
    if (end.became, end.merged_into) != (before.became, before.merged_into):
        return end
    names = ("outcome", "graded_on", "grader", "again", "guessed", "taken")
    kept = {name: getattr(before, name) for name in names if getattr(end, name) in (None, "")}
    kept |= {} if end.taken else {"taken": before.taken}
    if end.became in LOST and end.graded_on is not None and before.graded_on is not None:
        kept["graded_on"] = min(end.graded_on, before.graded_on)
    also = {name: value for name, value in vars(before.also).items() if getattr(end.also, name) is None}
    return replace(end, **kept, also=replace(end.also, **also))
