"""Rounds in the yard: what a visit found, dry feed in the open, and the freezer."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import timedelta
from secrets import token_urlsafe
from typing import Any, cast
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend, YardError
from breadline.jobs import rounds_dry_feed as dry
from breadline.jobs import rounds_visit as visits
from breadline.jobs.fed_since import would_feed
from breadline.jobs.freezer import FreezerBook, taken_words
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_dry_feed import DAYS, IN_USE, MEASURES, day_words, no_check_here
from breadline.jobs.trial_book import TrialsBook
from breadline.language import noted, say, say_counted
from breadline.measures import units_of
from breadline.need.words import day_and_year, frames_of, quarter_frames
from breadline.need.yard import Yard
from breadline.plan.frozen_frames import SPORES
from breadline.web.kept_answers import KeptAnswers, kept_in
from breadline.web.opened import book_of, shelf_of
from breadline.web.sent_form import SentForm
from breadline.web.views import page

router = APIRouter()
HERE = "/rounds"
LONGEST = 200  # letters of one field
Told = Callable[[], str]  # of what was done, said where it is shown
SENT_TWICE = noted("That form was sent twice and is written down once. For more, fill in the one below.")
YES_NO = (("yes", noted("yes")), ("no", noted("no")))
FIRST_DAYS = 3  # of a forecast that the form shows at once; the later ones are folded away [d]
NAMES = {
    "piece": noted("the piece"),
    "left": noted("what is left"),
    "days": noted("days since"),
    "maggots": noted("maggots"),
    "frames": noted("frames"),
    "outside": noted("warmth outside"),
    "next": noted("days to the next visit"),
    "yard": noted("the yard"),
    "take": noted("frames to take out"),
    "on": noted("the day"),
    "need_g": noted("need of a colony"),
    "need_oz": noted("need of a colony"),
    "freezer": noted("the freezer"),
    "sick_yard": noted("the yard"),
    "own": noted("your own colonies"),
    "because": noted("the reason"),
    "around": noted("all colonies"),
}


@router.get("/rounds/freezer")
def freezer(request: Request) -> HTMLResponse:
    """What lies in the freezer, and the forms that put in, take out and set aside."""
    book, typed = _freezer(request), _typed(request.query_params)
    done = _done(request).of(typed.get("told", ""))
    try:
        twice = (say(SENT_TWICE),) if "again" in typed else ()
        return _shown(book, typed, said=(done(), *twice) if done else ())
    except InputToMend as error:
        return _shown(book, {}, typed, error)


@router.post("/rounds/freezer/{what}")
def change(request: Request, what: str, form: SentForm) -> Response:
    """Put in, take out or set aside; what was typed is lost in no case."""
    book, typed = _freezer(request), _typed(form)
    done: Mapping[str, Callable[[], Told]] = {
        "put": lambda: _put(book, typed),
        "take": lambda: _taken(book, typed),
        "disease": lambda: _set_aside(book, typed),
    }
    if what not in done:
        raise InputToMend(
            "freezer", say("{what} is not known", what=what), ", ".join(done), say("Go back to the freezer")
        )
    # a form that is sent twice is done once; without its word nobody can tell
    same = (what, tuple(typed.items())) if "form" in typed else None
    try:
        told, again = _done(request).once(same, done[what])
    except InputToMend as error:
        return _shown(book, {}, typed, error)
    return RedirectResponse(f"/rounds/freezer?told={told}{'&again=yes' if again else ''}", 303)


def _done(request: Request) -> KeptAnswers[Told]:
    """What was done since the program was started, told in the language of who reads it."""
    return kept_in(request, "freezer_done")


def _put(book: FreezerBook, typed: Mapping[str, str]) -> Told:
    book.put(typed)
    return lambda: say(
        "Written down: {frames} from {yard}.",
        frames=frames_of(float(typed["frames"]), "pollen", parts=4),
        yard=typed["yard"],
    )


def _taken(book: FreezerBook, typed: Mapping[str, str]) -> Told:
    taken = book.take(typed)
    return lambda: " ".join(taken_words(taken))


def _set_aside(book: FreezerBook, typed: Mapping[str, str]) -> Told:
    many = book.disease(typed)
    yard = typed["sick_yard"].strip()

    def told() -> str:
        said = say_counted(
            "{n} lot from {yard} is set aside.", "{n} lots from {yard} are set aside.", many, yard=yard
        )
        return " ".join((said, *book.given_words(yard)))

    return told


def _shown(
    book: FreezerBook, asked: Mapping[str, str], typed: Mapping[str, str] | None = None,
    error: InputToMend | None = None, said: Sequence[str] = (),
) -> HTMLResponse:  # fmt: skip
    told = book.told({**asked, "yard": asked.get("of_yard", "")})
    lots = [
        {"yard": lot.yard, "on": day_and_year(lot.taken_on), "frames": quarter_frames(lot.frames),
         "known": lot.health}
        for lot in told.freezer.lots
    ]  # fmt: skip
    pounds, shown = units_of(book.country) == "lb", typed if typed is not None else asked
    return page(
        "rounds_freezer.html",
        HERE,
        book.operation_name,
        status=422 if error else 200,
        told=told,
        lots=lots,
        today=book.today,
        form=token_urlsafe(9),
        typed=shown,
        in_ounces=bool(shown.get("need_oz")) or (pounds and not shown.get("need_g")),
        spores=say(SPORES),
        said=said,
        yards=book.yard_keys(),
        yes_no=[(value, say(words)) for value, words in YES_NO],
        degrees="°F" if pounds else "°C",
        **_wrong(error),
    )


@router.get("/rounds/{yard_id}/visit")
def visit(request: Request, yard_id: str) -> HTMLResponse:
    """What a visit found, the likely reasons, and the piece that follows."""
    book, typed = _book(request), _typed(request.query_params)
    yard, told, wrong = book.yard(yard_id), None, None
    if typed:  # an empty form that was sent names what is missing
        try:
            found = visits.found_of(typed, yard.place.country)
            told = visits.visit_answer(yard, found, shelf_of(book_of(request)))
        except InputToMend as error:
            wrong = error
    return page(
        "rounds_visit.html", HERE, book.operation_name, status=422 if wrong else 200, yard=yard,
        yard_id=yard_id, told=told, typed=typed, yes_no=[(value, say(words)) for value, words in YES_NO],
        pounds=units_of(yard.place.country) == "lb", **_wrong(wrong),
    )  # fmt: skip


@router.get("/rounds/{yard_id}/dry-feed")
def dry_feed(request: Request, yard_id: str) -> HTMLResponse:
    """Dry feed in the open: on which days, how much, and what it means for a check group."""
    book, typed = _book(request), _typed(request.query_params)
    yard, told, wrong = book.yard(yard_id), None, None
    if any(value for key, value in typed.items() if key not in ("kept", "gone")):
        try:
            told = dry.dry_feed(yard, typed, shelf_of(book_of(request)))
        except InputToMend as error:
            wrong = error
    return _dry_shown(book, yard_id, yard, typed, told, wrong)


@router.post("/rounds/{yard_id}/dry-feed")
def keep_dry_feed(request: Request, yard_id: str, form: SentForm) -> Response:
    """Write down that it stands there; from then on no check group is drawn inside its flight range."""
    book, typed = _book(request), _typed(form)
    yard = book.yard(yard_id)
    if not any(typed.values()):  # a form without its fields says nothing of any feed
        wrong = YardError("around", say("is missing"), do=say("Fill it in"))
        return _dry_shown(book, yard_id, yard, typed, None, wrong)
    told = dry.dry_feed(yard, typed, shelf_of(book_of(request)))
    book.keep_dry_feed(yard_id, told.stood)
    shown_in = {"measures": units} if (units := request.query_params.get("measures")) else {}
    query = urlencode({**{key: value for key, value in typed.items() if value}, **shown_in, "kept": "1"})
    return RedirectResponse(f"/rounds/{yard_id}/dry-feed?{query}", 303)


@router.post("/rounds/{yard_id}/dry-feed/never-stood")
def no_dry_feed(request: Request, yard_id: str, form: SentForm) -> Response:
    """Take back that it stood there; what was written down stays in the file."""
    book, typed = _book(request), _typed(form)
    yard = book.yard(yard_id)
    if not typed.get("because"):
        wrong = YardError(
            "because", say("is left out"), do=say("Say in a few words how it came to be written down")
        )
        return _dry_shown(book, yard_id, yard, typed, None, wrong)
    book.no_dry_feed(yard_id, typed["because"])
    return RedirectResponse(f"/rounds/{yard_id}/dry-feed?gone=1", 303)


def _dry_shown(
    book: RoundsBook, yard_id: str, yard: Yard, typed: Mapping[str, str],
    told: dry.DryFeedTold | None, wrong: InputToMend | None,
) -> HTMLResponse:  # fmt: skip
    ahead = [(n, day_and_year(yard.today + timedelta(days=n - 1))) for n in range(1, DAYS + 1)]
    here = [one for one in book.barred() if one.yard == yard.name]
    days = [] if told is None else [(day_and_year(day.on), day_words(day)) for day in told.plan.days]
    stood_today = any(one.since == yard.today for one in here)
    spoils = () if told is None else would_feed(
        TrialsBook(book.path, book.today), told.plan.no_check_group, yard.place)  # fmt: skip
    return page(
        "rounds_dry_feed.html",
        HERE,
        book.operation_name,
        status=422 if wrong else 200,
        yard=yard,
        yard_id=yard_id,
        told=told,
        days=days,
        ahead=ahead,
        typed=typed,
        yes_no=[(value, say(words)) for value, words in YES_NO],
        kept=typed.get("kept"),
        barred=no_check_here(yard, book.barred()),
        stood_here=any(dry.holds_on(one.since, one.place.latitude, yard.today) for one in here),
        stood_today=stood_today,
        spoils=spoils,
        first_days=FIRST_DAYS,
        typed_later=_typed_later(typed),
        measures=IN_USE[units_of(yard.place.country)],
        **_wrong(wrong),
    )


def _typed_later(typed: Mapping[str, str]) -> bool:
    """Whether anything was typed of the days that are folded away."""
    return any(typed.get(f"{name}_{n}") for name in MEASURES for n in range(FIRST_DAYS + 1, DAYS + 1))


def _wrong(error: InputToMend | None) -> dict[str, Any]:
    """What the templates show of an error: itself, its field, and what that is called."""
    if error is None:
        return {"error": None, "field": "", "where": ""}
    field = error.where.rpartition("_")
    day = field[0] if field[2].isdigit() else ""
    return {"error": error, "field": error.where,
            "where": say("{what} of day {n}", what=say(NAMES.get(day, day)), n=field[2])
            if day else say(NAMES.get(error.where, error.where))}  # fmt: skip


def _typed(sent: Mapping[str, Any]) -> dict[str, str]:
    return {key: str(value).strip()[:LONGEST] for key, value in sent.items()}


def _freezer(request: Request) -> FreezerBook:
    book = cast(Any, book_of(request))
    return FreezerBook(book.path, book.today)


def _book(request: Request) -> RoundsBook:
    book = cast(Any, book_of(request))
    return RoundsBook(book.path, book.today)
