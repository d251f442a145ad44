"""Check group: how many, the draw, its lock, the sheets, and what became of every colony."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any, cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.belief.gain import IN_WORDS, SITUATIONS
from breadline.errors import TrialError
from breadline.jobs import check_group_form as form
from breadline.jobs import check_group_paper as paper_of
from breadline.jobs import check_group_told as told
from breadline.jobs.check_group_book import Planned, planned_prices
from breadline.jobs.check_group_colonies import Listed
from breadline.jobs.check_group_ends import ALSO, ends_from_text
from breadline.jobs.check_group_file import trial_text
from breadline.jobs.check_group_said import retold
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.comes_first import first_of
from breadline.jobs.fed_since import fed_since
from breadline.jobs.lesson_again import stands
from breadline.jobs.trial_book import Damaged, Kept, TrialsBook
from breadline.jobs.verdict_before import asks_feeding
from breadline.jobs.verdict_costs import ASKED, has_to_cover
from breadline.jobs.verdict_file import Readings
from breadline.language import noted, noted_as, say, say_as
from breadline.measures import Units
from breadline.need.words import counted, day_and_year
from breadline.sheets.check_group_protocol import rescue_words
from breadline.sheets.letterhead import Paper
from breadline.trial.amounts import benefit_words
from breadline.trial.colonies import AS_NOTHING, UNKNOWN, Became
from breadline.trial.design import Design, Outcome, Unit, group_name
from breadline.trial.honey import unit_of
from breadline.web.judged_trial import judged_trial, planned_forage
from breadline.web.kept_answers import question_of
from breadline.web.long_pdf import Pdf, pdf_in_time
from breadline.web.opened import book_of
from breadline.web.pages.verdict import keep_verdict, verdicts
from breadline.web.pages.working import Wanted, in_time
from breadline.web.places import place_words
from breadline.web.sent_form import SentForm
from breadline.web.views import page

router = APIRouter()
HERE = "/check-group"
WORTH = {
    Outcome.FRAMES: noted("What a frame of bees is worth"),
    Outcome.HONEY: noted("What a kilogram of honey is worth"),
    Outcome.MAKING_GRADE: noted("What is paid for a colony that makes grade"),
}  # fmt: skip
A_POUND = noted("What a pound of honey is worth")
COUNTS_ON = "counts_on_grading"  # the size that led to the draw did
LONGEST = 60_000  # letters of a list of hives
MOST_LISTED = 60  # tags named on the page
ALSO_ASKED = (
    ("brood", noted("Frames of brood")), ("weight_kg", noted("Hive weight, kg")),
    ("weight_lb", noted("or lb")), ("honey_kg", noted("Honey taken, kg")), ("honey_lb", noted("or lb")),
    ("eaten_g", noted("Feed eaten, g")), ("eaten_oz", noted("or oz")),
)  # fmt: skip
KEYS = tuple(field.key for field in form.FIELDS)
ONE_HIVE = {  # the fields of the form by the columns that a table has for them
    "tag": noted("Tag"), "became": noted("What became of it"), "status": noted("What became of it"),
    "outcome": noted_as("a reading", "Count"), "again": noted("Second reading"),
    "graded on": noted("Graded on"),
    "guessed": noted("Guessed group"), "merged into": noted("Merged into"),
    "taken": noted("Frames of bees taken"),
    "because": noted("Why, where it corrects an earlier word"),
}  # fmt: skip


@router.get("/check-group")
def overview(request: Request) -> HTMLResponse:
    """Every trial of the book and where it stands."""
    book = trials_book(request)
    rows = [
        (kept.key, kept.name, "", say("This trial cannot be read. {why}", why=kept.why))
        if isinstance(kept, Damaged)
        else (kept.key, kept.trial.name, told.headline(kept.trial), stands(book.path, kept.trial, book.today))
        for kept in book.trials()
    ]
    return page("check_group.html", HERE, book.operation_name, rows=rows, yards=book.yard_names())


@router.get("/check-group/draw")
def ask(request: Request) -> HTMLResponse:
    """What is written down before the draw."""
    book = trials_book(request)
    sent = {k: v[:LONGEST] for k, v in request.query_params.items() if k in (*KEYS, "before", COUNTS_ON)}
    yards = book.yard_names()
    if not sent.get("before"):
        all_of = len(yards) == 1 or request.query_params.get("all") == "yes"
        named = tuple(request.query_params.getlist("yard")) or (tuple(yards) if all_of else ())
        return _asked(book, {**form.FIRST, "name": say_as("screen", "Check group"), **sent}, named)
    trial = book.trial(sent["before"]).trial
    drawn = {one.yard for one in trial.design.started}
    typed = {**form.typed_of(trial, yards, book.units), **sent}
    if _list_is_gone(book, trial, typed):
        return _asked(book, typed | {"gone": "yes"}, ())
    return _asked(book, typed, tuple(name for name in yards if name in drawn))


@router.post("/check-group/draw")
def draw(request: Request, sent: SentForm) -> Response:
    """Draw; what was typed stays where it is refused."""
    typed = {key: str(value)[:LONGEST] for key, value in sent.items()}
    chosen = tuple(str(value) for value in sent.getlist("yard"))
    book = trials_book(request)
    try:
        kept = book.draw(
            _listed(book, typed, chosen),
            form.asked_of(typed, book.units),
            _now(book),
            typed.get("before", ""),
        )
    except TrialError as error:
        return _asked(book, typed, chosen, error)
    return RedirectResponse(f"{HERE}/{kept.key}", 303)


@router.get("/check-group/{key}")
def shown(request: Request, key: str) -> HTMLResponse:
    """One trial and where it stands."""
    book = trials_book(request)
    return _shown(book, book.trial(key))


@router.post("/check-group/{key}/lock")
def lock(request: Request, key: str) -> Response:
    """Lock the draw."""
    book = trials_book(request)
    return RedirectResponse(f"{HERE}/{book.lock(key, _now(book)).key}", 303)


@router.post("/check-group/{key}/ends")
def ends(request: Request, key: str, fields: SentForm) -> Response:
    """Keep what became of colonies, from a pasted table or for one hive."""
    sent = {name: str(value)[:LONGEST] for name, value in fields.items()}
    book = trials_book(request)
    kept, table = book.trial(key), sent.get("table", "").strip()
    try:
        typed = table or _one_row(sent)
        ended = ends_from_text(typed, "your table", kept.trial.design, book.units, book.today)
        book.keep_ends(kept.key, ended, sent.get("because", ""))
    except TrialError as error:
        return _shown(book, kept, sent, in_fields(error, bool(table)))
    return RedirectResponse(f"{HERE}/{kept.key}#ends", 303)


@router.post("/check-group/{key}/verdict")
def verdict(request: Request, key: str, fields: SentForm) -> Response:
    """The verdict of a trial whose day has come; what was typed stays where it is refused."""
    sent = {name: str(value)[:200] for name, value in fields.items()}
    book = trials_book(request)
    kept = book.trial(key)
    question = question_of(request, "check group", kept.key, tuple(sorted(sent.items())))
    if known := verdicts(request).asked(question):
        return RedirectResponse(f"/verdict/{known}", 303)

    def answered(_: Wanted) -> Response:
        try:
            found = judged_trial(kept.trial, sent, book)
        except TrialError as error:
            return _shown(book, kept, sent, error)
        if isinstance(found, Readings):
            return page("readings.html", HERE, book.operation_name, told=found)
        return RedirectResponse(f"/verdict/{keep_verdict(request, found, question)}", 303)

    return in_time(request, question, say("The verdict is being worked out."), answered)


@router.get("/check-group/{key}/file")
def file(request: Request, key: str) -> Response:
    """The trial as its file."""
    text = trial_text(trials_book(request).trial(key).trial)
    head = {"Content-Disposition": 'attachment; filename="trial.json"'}
    return Response(text, media_type="application/json", headers=head)


@router.get("/check-group/{key}/paper/{name}.pdf")
def paper(request: Request, key: str, name: str) -> Response:
    """One sheet."""
    question = question_of(request, "pdf", "check group", key, name)  # how the book stands before it is read
    book = trials_book(request)
    kept = book.trial(key)
    on: Paper = "us-letter" if book.units == "lb" else "a4"
    hives = len(kept.trial.design.started)
    pdf = Pdf(f"{name}.pdf", lambda: paper_of.sheet(kept.trial, name, on, book.today))
    if hives < paper_of.LONG:
        return pdf.answer()
    what = say("A sheet of {hives} is being laid out.", hives=counted(hives, "hive"))
    return pdf_in_time(request, question, what, pdf)


def trials_book(request: Request) -> TrialsBook:
    """The book of this app as check groups use it."""
    book = cast(Any, book_of(request))
    return TrialsBook(book.path, book.today)


def _forage_asked(book: TrialsBook, trial: Trial) -> list[tuple[str, str]]:
    """The answers to choose from, where the verdict has use for what the place gave and no plan says it."""
    if not asks_feeding(trial.design) or planned_forage(book, trial) is not None:
        return []
    return [(one, IN_WORDS[one]) for one in SITUATIONS]


def _now(book: TrialsBook) -> datetime:
    """This moment, on the book's day."""
    now = datetime.now(UTC)
    return now if book.today == date.today() else datetime.combine(book.today, now.timetz())


def _list_is_gone(book: TrialsBook, trial: Trial, typed: Mapping[str, str]) -> bool:
    """Whether a draw came from a pasted list of which only the hives in the trial are known."""
    if typed.get("table"):
        return False
    started = trial.design.started
    yards = tuple(dict.fromkeys(one.yard for one in started))
    if not set(yards) <= set(book.yard_names()):
        return True
    try:
        known = {one.hive for one in book.candidates(yards).colonies}
    except TrialError:  # the draw itself will say what is wrong with these yards
        return False
    return not {one.hive for one in started} <= known


def _listed(book: TrialsBook, typed: Mapping[str, str], yards: tuple[str, ...]) -> Listed:
    table = typed.get("table", "").strip()
    if table:
        return book.listed(table)
    if not yards:
        raise TrialError(
            "yard",
            say("none is chosen, and no list is pasted"),
            say("a yard of the book, or a list of hives"),
        )
    return book.candidates(yards)


def _asked(
    book: TrialsBook, typed: Mapping[str, str], chosen: tuple[str, ...], error: TrialError | None = None
) -> HTMLResponse:
    wrong = "" if error is None else form.field_of(error, KEYS)
    words = {field.key: field.words for field in form.FIELDS} | {"table": noted("hives")}
    folded = {field.key for field in form.FOLDED.fields}
    pairs = error is not None and error.where == "draw" and typed.get("way") == "open"  # the way out is there
    unfolded = pairs or wrong in folded or form.said_otherwise(form.FOLDED, typed)
    counts = book.counts(chosen) if chosen and not typed.get("table") else None
    bare = bool(typed.get(COUNTS_ON)) and counts is not None and not counts.of_all
    old = counts.grade_again if counts is not None and counts.of_all and counts.old else ""
    first = () if typed.get("table") else first_of(book, chosen)
    return page(
        "check_group_draw.html", HERE, book.operation_name, status=422 if error else 200,
        parts=form.parts_in(book.units), units=book.units,
        first=first,
        bare=bare, old=old, counts_on=COUNTS_ON, folded=form.FOLDED, unfolded=unfolded,
        typed=typed, yards=book.yard_names(), chosen=chosen, error=error, wrong=wrong,
        lot=(form.LOT, typed.get(form.LOT) or form.new_lot()),
        where="" if error is None else words.get(error.where) or place_words(error.where),
    )  # fmt: skip


def _shown(
    book: TrialsBook, kept: Kept, typed: Mapping[str, str] | None = None, error: TrialError | None = None
) -> HTMLResponse:
    trial, today = kept.trial, book.today
    names = paper_of.sheets_of(trial, today)
    left = [one.tag for one in trial.without_end]
    due = today >= trial.design.grading
    design, may = trial.design, due and not left
    stood = stands(book.path, trial, today)
    planned = Planned({})
    if may:
        planned = planned_prices(book.path, design, trial.drawn_at.date(), today, book.units)
    return page(
        "check_group_trial.html", HERE, book.operation_name, status=422 if error else 200, key=kept.key,
        trial=trial, spoilt=fed_since(book, trial).sentence, headline=told.headline(trial),
        cost=say(ASKED[design.check_arm]), cover=has_to_cover(design.check_arm),
        asks=say(told.ASKS[trial.design.check_arm]), said=retold(trial.said),
        stands=stood, learnt=stood != told.stand_words(trial, today),
        spread=told.spread_words(trial), facts=_facts(trial),
        rescue=rescue_words(trial.rescue_below, trial.design.open_feed), due=due, planned=planned.said,
        worth=_worth_words(design.outcome, book.units), units=book.units, **_read_in(design, book.units),
        situations=_forage_asked(book, trial) if may else [],
        papers=[(name, say(paper_of.SHEETS[name][0])) for name in names], left=left[:MOST_LISTED],
        more=max(0, len(left) - MOST_LISTED), groups=_groups(trial), ended=_ended(trial),
        typed={**planned.typed, **(typed or {})}, error=error,
        statuses=[one.value for one in Became], arms=trial.design.arms,
    )  # fmt: skip


def _worth_words(outcome: Outcome, units: Units) -> str:
    return say(A_POUND if outcome is Outcome.HONEY and units == "lb" else WORTH[outcome])


def _read_in(design: Design, units: Units) -> dict[str, Any]:
    """In what a reading of this trial is typed, and what else may be read of a hive."""
    honey = design.outcome is Outcome.HONEY
    unit = unit_of(design.outcome, units == "lb")
    also = [one for one in ALSO_ASKED if not (honey and one[0].startswith("honey"))]
    return {"read_in": say(unit) if unit == "frames" else unit, "honey": honey, "also": also}


def _facts(trial: Trial) -> list[tuple[str, str]]:
    design = trial.design
    pays, margin = (benefit_words(v, design.outcome) for v in (design.lines.break_even, design.lines.margin))
    counted_as = told.counted_words(design)
    drawn = (
        say("whole yards, by lot, seed {seed}", seed=design.seed)
        if design.unit is Unit.YARD
        else say("colonies inside each yard, by lot, seed {seed}", seed=design.seed)
    )
    again = say("; draw number {n}", n=trial.draws) if trial.draws > 1 else ""
    return [
        (say("Compared"), say("{fed} against {check}", fed=group_name(design.arms[design.primary]),
                              check=group_name(design.arms[0]))),
        (say("The check group gets"), say(design.check_arm.value)),
        (say("Counted"), say("{what}; every colony that was started, a dead one as 0", what=counted_as)),
        (say("It pays from"), say("{benefit} more a colony", benefit=pays)),
        (say("Less would not matter"), say("{benefit} either way", benefit=margin)),
        (say("Graded on"), day_and_year(design.grading)),
        (say("Drawn"), drawn + again),
    ]  # fmt: skip


def _groups(trial: Trial) -> list[tuple[str, list[int]]]:
    """How many of each group each yard holds."""
    arms = range(len(trial.design.arms))
    yards = dict.fromkeys(one.yard for one in trial.design.started)
    own = {yard: [one for one in trial.design.started if one.yard == yard] for yard in yards}
    return [(yard, [sum(one.arm == arm for one in own[yard]) for arm in arms]) for yard in yards]


def _ended(trial: Trial) -> list[tuple[str, str]]:
    """How many came to which end, both groups together: nothing is told by group before the verdict."""
    ended = trial.ended
    graded = sum(end.became not in AS_NOTHING | UNKNOWN for end in ended)
    nothing = sum(end.became in AS_NOTHING for end in ended)
    lost = sum(end.became in UNKNOWN for end in ended)
    again = sum(end.again is not None for end in ended)
    rows = [
        (say("Graded"), graded), (say("Counted as 0"), nothing), (say("Missing"), lost),
        (say("Graded twice"), again),
    ]  # fmt: skip
    return [(head, counted(n, "colony", "colonies")) for head, n in rows if n]


def in_fields(error: TrialError, of_table: bool) -> TrialError:
    """An error of the ends in the words of the form: of one hive its field, and no row of a table.

    ``of_table`` says that a table was pasted, whose rows and columns are named as they are.
    """
    place = error.where
    if not of_table and (found := re.fullmatch(r"your table, row \d+, (?:column )?(.+)", place)):
        place = found[1]
    if of_table and place != "because":
        return error
    label = ONE_HIVE.get(place, place)
    said = say_as("a reading", label) if place == "outcome" else say(label)
    return TrialError(said, error.what, error.expected, error.do)


def _one_row(sent: Mapping[str, str]) -> str:
    """The fields for one hive as a table of one row."""
    names = (
        "tag",
        "status",
        "outcome",
        "graded on",
        "grader",
        "again",
        "guessed",
        "merged into",
        "taken",
        *ALSO,
    )
    cells = [sent.get(name.replace(" ", "_"), "").strip() for name in names]
    if not cells[0]:
        raise TrialError(
            "tag", say("no hive is named, and no table is pasted"), say("a hive's tag, or a table")
        )
    if not cells[1] and not cells[2]:
        raise TrialError(
            "status", say("nothing is said of {tag}", tag=cells[0]), say("its count, or what became of it")
        )
    return "\n".join("\t".join(" ".join(cell.split()) for cell in row) for row in (names, cells))
