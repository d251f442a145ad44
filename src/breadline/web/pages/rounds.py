"""Rounds: ask for plans, watch the search, choose one, its paper, and when to stop."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from typing import Any, cast
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from breadline.errors import BreadlineError, CountTooOld, InputToMend, YardError
from breadline.jobs import rounds_aim as aim
from breadline.jobs import rounds_form, rounds_form_merge, rounds_paper
from breadline.jobs import rounds_words as said
from breadline.jobs.check_hives import kept_back_in, running_trials
from breadline.jobs.last_season import SeasonsBook
from breadline.jobs.next_rounds import next_rounds, rounds_sentence
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds import RoundsAnswer, Way, no_round, season_says, who_gets_it
from breadline.jobs.rounds_as_kept import kept_paper
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_cost import cost_words
from breadline.jobs.rounds_dry_feed import no_check_here
from breadline.jobs.rounds_form_errors import in_form_words
from breadline.jobs.rounds_near import near_words
from breadline.jobs.rounds_needs import needs_words, to_order
from breadline.jobs.rounds_pieces import pieces_said
from breadline.jobs.rounds_search import PlanSearch, PlanSearches
from breadline.jobs.rounds_stop_day import stop_words
from breadline.jobs.rounds_who import by_size, crew_words, who_words
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.language import noted, say
from breadline.measures import told_to, units_of
from breadline.need.forecast import count_age
from breadline.need.words import counted
from breadline.need.yard import Yard
from breadline.pictures.gain_mark import common_ends, gain_mark
from breadline.plan.search import Look
from breadline.sheets.letterhead import Paper
from breadline.web.long_pdf import pdf_asked
from breadline.web.opened import shelf_of
from breadline.web.pages.rounds_begun import kept_plan, rounds_book
from breadline.web.pages.rounds_kept import kept_shown
from breadline.web.pages.rounds_stop import stop_shown
from breadline.web.round_files import file_of
from breadline.web.views import page

router = APIRouter()
HERE = "/rounds"
LONGEST = 20_000  # letters of one field
WAIT_S = 0.4  # a quick search needs no page that waits [s]
PAPERS: tuple[Paper, ...] = ("us-letter", "a4")
PAPER_WORDS = {"us-letter": noted("Letter"), "a4": "A4"}


@dataclass(frozen=True)
class Row:
    """One plan of the table, in words and shapes."""

    n: int
    name: str
    feed: str
    when: str
    gain: str
    range: str
    chance: str
    cost: str
    needs: str
    best: bool
    struck: str
    mark: Markup | str = ""
    out: bool = False  # struck out, so that it cannot be chosen
    size: str = ""  # who gets less than the piece it is named by


@router.get("/rounds")
def yards(request: Request) -> HTMLResponse:
    """Every yard with the plan that was chosen for it."""
    return listed(request)


def listed(request: Request, error: BreadlineError | None = None) -> HTMLResponse:
    """The list of yards; where the driving order is wrong, that and all that was typed."""
    book = rounds_book(request)
    rows, plans = [], book.plans()
    learnt = SeasonsBook(book.path, book.today).last_seasons(plans)
    for key, name, colonies in book.yard_ids():
        kept = plans.get(key)
        done = "" if kept is None else kept.done(book.today)
        rows.append((key, name, counted(colonies, "colony", "colonies"), kept, done, learnt.get(key)))
    coming = next_rounds(book.path, book.today, plans)
    held = {key: name for key, name, _, kept, *_ in rows if kept and not kept.past(book.today)}
    said = rounds_sentence(held, coming, len(rows), book.today)
    many = sum(bool(kept and kept.rounds and not kept.past(book.today)) for *_, kept, _, _ in rows) > 1
    return page("rounds_yards.html", HERE, book.operation_name, rows=rows, many=many, error=error, said=said,
                today=book.today, status=422 if error else 200, typed=dict(request.query_params),
                ticked=request.query_params.getlist("yard"))  # fmt: skip


@router.get("/rounds/{yard_id}")
def ask(request: Request, yard_id: str) -> HTMLResponse:
    """The plan that was chosen, whether to stop, and the form that asks for plans."""
    book = rounds_book(request)
    yard, kept = book.yard(yard_id), book.plan(yard_id)
    stop = stop_shown(book, yard_id, kept, dict(request.query_params))
    kind = rounds_form.kind_of(yard)
    typed: dict[str, str] = {}
    if kept is not None:
        kind, typed = rounds_form.typed_of(kept.asked)
    if (chosen := request.query_params.get("kind", "")) in rounds_form.KIND_WORDS and chosen != kind:
        kind, typed = chosen, {key: value for key, value in typed.items() if not key.startswith("target.")}
        typed.pop("file", None)
    if "file" in typed:  # its fields show what it says, and nothing else
        typed = rounds_form.typed_of(rounds_form_merge.file_a_year_on(typed["file"], book.today))[1]
    else:
        first = rounds_form.first_typed(yard, kind, book.today)
        typed = rounds_form.a_year_on({**first, **typed}, book.today)
    changing = "kind" in request.query_params
    return _asked(book, yard_id, yard, (kind, typed), kept=kept, stop=stop, changing=changing)


@router.get("/rounds/{yard_id}/change")
def change(request: Request, yard_id: str) -> HTMLResponse:
    """The form with what was typed, to ask again."""
    book = rounds_book(request)
    typed, kind = _typed(request)
    return _asked(book, yard_id, book.yard(yard_id), (kind, typed))


def _typed(request: Request) -> tuple[dict[str, str], str]:
    """What was typed, and for which kind of target."""
    typed = {key: value[:LONGEST] for key, value in request.query_params.items()}
    kind = typed.get("kind", "frames")
    return typed, kind if kind in rounds_form.KIND_WORDS else "frames"


@router.get("/rounds/{yard_id}/plans")
def plans(request: Request, yard_id: str) -> Response:
    """The plans worth a look; while the search runs, how far it is."""
    book = rounds_book(request)
    yard = book.yard(yard_id)
    typed, kind = _typed(request)
    try:
        text = rounds_form_merge.asked_text(kind, typed)
        book.asked(text)
        search = searched(request, book, yard_id, text)
        if not search.done(WAIT_S):
            return page(
                "rounds_wait.html", HERE, book.operation_name, what=yard.name, looks=list(search.looks)
            )
        answer = search.answer
    except InputToMend as error:
        return _asked(book, yard_id, yard, (kind, typed), error=error)
    barred = no_check_here(answer.yard, book.barred())
    answer = replace(book.with_threshold(yard_id, answer), kept=kept_back_in(book, yard_id))
    return answered(
        book.operation_name, yard_id, answer, urlencode(typed), Beside(barred, seen_now(book, yard_id))
    )


@router.get("/rounds/{yard_id}/paper/{name}")
def paper(request: Request, yard_id: str, name: str) -> Response:
    """A truck sheet, the order list, labels or the calendar of the chosen plan."""
    question = pdf_asked(request)
    book = rounds_book(request)
    kept = kept_plan(book, yard_id)
    asked = request.query_params.get("paper")
    on: Paper | None = next((one for one in PAPERS if one == asked), None)
    how = rounds_paper.Printing(book.today, on, note=book.changed(yard_id, kept))
    of = rounds_paper.papers([paper_of(request, book, yard_id, kept)], how)
    return file_of(
        request, question, rounds_paper.makers_of(of, datetime.now(UTC), yard_id, kept.changes), name
    )


def paper_of(request: Request, book: RoundsBook, yard_id: str, kept: PlanKept) -> YardPaper:
    """What the sheets of a kept plan are printed from."""
    return papers_of(request, book, {yard_id: kept}, {yard_id: book.changed(yard_id, kept)})[yard_id]


def papers_of(
    request: Request, book: RoundsBook, plans: Mapping[str, PlanKept], changed: Mapping[str, str]
) -> dict[str, YardPaper]:
    """The same of several yards, by their keys."""
    running = running_trials(book)

    def paper(key: str, kept: PlanKept) -> YardPaper:
        again = partial(waited, request, book, key, kept.asked, again=True)
        return kept_paper(book, key, kept, changed[key], again, running)

    return {key: paper(key, kept) for key, kept in plans.items()}


def searched(request: Request, book: RoundsBook, yard_id: str, text: str, again: bool = False) -> PlanSearch:
    """The search of a plan, begun where it does not run yet; another count or edit begins another.

    ``again``: of a plan that the book keeps.
    """
    question = (yard_id, text, book.stand(yard_id), repr(told_to()), *(("again",) if again else ()))

    def work(on_look: Callable[[Look], None]) -> RoundsAnswer:
        return book.rounds(yard_id, text, Way(on_look=on_look), again)

    return plan_searches(request).of_plan(question, work)


def plan_searches(request: Request) -> PlanSearches:
    """The searches for plans of this app."""
    return cast(PlanSearches, request.app.state.plan_searches)


def waited(request: Request, book: RoundsBook, yard_id: str, text: str, again: bool = False) -> RoundsAnswer:
    """The answer of a search, once it is there; ``again`` as in ``searched``."""
    return searched(request, book, yard_id, text, again).answer


def _asked(
    book: RoundsBook,
    yard_id: str,
    yard: Yard,
    form: tuple[str, Mapping[str, str]],
    error: BreadlineError | None = None,
    kept: PlanKept | None = None,
    stop: Mapping[str, Any] | None = None,
    changing: bool = False,
) -> HTMLResponse:
    """The form with what was typed; nothing is lost where it is refused."""
    kind, typed = form
    parts = rounds_form.in_units(
        rounds_form.parts_of(kind, book.feeds.choices(), book.to_move_to(yard_id)),
        units_of(yard.place.country), typed,
    )  # fmt: skip
    wrong, file = _field(error), typed.get("file", "")
    of_wrong = [one for part in parts for one in part.fields if wrong in (one.key, one.key.split(".")[-1])]
    labels = {
        key: one.words for part in parts for one in part.fields for key in (one.key, one.key.split(".")[-1])
    }
    return page(
        "rounds_ask.html",
        HERE,
        book.operation_name,
        status=422 if error else 200,
        yard=yard,
        kind=kind,
        kinds=rounds_form.kinds(),
        typed=typed,
        error=error if error is None or file else in_form_words(error, of_wrong),
        parts=parts,
        label=(label := "" if file else labels.get(wrong, "")),  # a form has no lines
        of_file=error is not None and bool(label) and _of_file(error),
        barred=no_check_here(yard, book.barred()),
        last=SeasonsBook(book.path, book.today).last_season(yard_id),
        papers={key: say(words) for key, words in PAPER_WORDS.items()},
        others=len(book.yard_ids()) > 1,
        first=_first(book, yard, old := _old_count(yard)),
        old=old,
        yard_id=yard_id,
        wrong=wrong,
        today=book.today,
        stop=stop,
        changing=changing,
        kept=None
        if kept is None
        else kept_shown(kept, book, book.changed(yard_id, kept), kept_back_in(book, yard_id)),
        file=file,
        was=typed.get(rounds_form_merge.WAS) or rounds_form_merge.shown_first(typed),
    )


def _old_count(yard: Yard) -> str:
    """The day of a yard's last count where it is too old to plan from; else empty."""
    try:
        count_age(yard)
    except CountTooOld as old:
        return old.day
    except YardError:
        return ""  # ahead of today: the question itself says so
    return ""


def _first(book: RoundsBook, yard: Yard, old: str) -> str:
    """What speaks against any round now; empty where nothing does, or only what an old count cannot say."""
    advice = season_says(yard, shelf_of(book).reader())
    if old and advice.rung != "foulbrood":
        return ""
    return said.no_round_words(advice) if no_round(yard, advice) else ""


def _field(error: BreadlineError | None) -> str:
    """Which field an error is about: "fee", "feed.price", "feed2.per"; empty where it is not one."""
    if error is None:
        return ""
    key = error.where.rpartition(", ")[2]
    if key == "[[feed]]":  # none at all
        return "feed.price"
    if table := re.search(r", \[(\w+)\], \w+$", error.where):
        return f"{table[1]}.{key}"  # "for" stands beside several prices
    of = re.search(r"\[\[feed\]\] (\d)", error.where)
    if of is None:
        return key
    key = "known" if key in rounds_form.BY else key
    return f"feed{'' if of[1] == '1' else of[1]}.{key}"


def _of_file(error: BreadlineError) -> bool:
    """Whether what an error says to do is about the lines of a plan file."""
    return error.do == say("Add the line") or "[[" in error.do


def seen_now(book: RoundsBook, yard_id: str) -> str:
    """The plan that holds while a list is shown, so that a choice off an old list is asked about."""
    kept = book.plan(yard_id)
    return "none" if kept is None else kept.id


@dataclass(frozen=True)
class Beside:
    """What goes with a list of plans: see ``seen_now``; the threshold as typed, and what is wrong with it."""

    barred: tuple[str, ...] = ()
    seen: str = ""
    threshold: str = ""
    error: BreadlineError | None = None


def answered(
    operation: str, yard_id: str, told: RoundsAnswer, query: str, beside: Beside = Beside()
) -> HTMLResponse:
    """The plans as a page: break-even first, then what to do, the plans, and what it all rests on."""
    best = told.plans[told.best_at]
    who = who_gets_it(told, best)
    found = told.answer.found
    looks = ", ".join(
        say("{plans:,} plans in {members:,} seasons", plans=look.plans, members=look.members)
        for look in found.looks
    )
    return page(
        "rounds.html", HERE, operation,
        yard=told.yard, yard_id=yard_id, told=told, query=query, rows=rows(told), best=best,
        aim=aim.aim_words(told.plan.target), decision=said.decision(told),
        chance_head=aim.chance_head(told.plan.target),
        chance=aim.chance_short(told, best), more=aim.chance_more(told, best),
        when=said.when_words(told, best),
        crew=crew_words(told, best, who), who=who_words(told, who),
        struck=[said.struck_line(told, one) for one in found.struck], missed=said.missed_words(told),
        costs=cost_words(told, best),
        near=near_words(told),
        turns=said.turn_words(told), feeds=said.feeds_words(told), best_words=said.best_words(told),
        against=said.against_nothing(told, best), cautions=said.cautions(told),
        order=to_order(told, best), stop=stop_words(told, best),
        check=" ".join(beside.barred) or said.check_group(told, best),
        pieces=pieces_said(told), looks=looks, saving=f"{found.saving:.1f}",
        threshold=beside.threshold or f"{100 * told.threshold:g}", seen=beside.seen, error=beside.error,
        status=422 if beside.error else 200,
    )  # fmt: skip


def rows(told: RoundsAnswer) -> list[Row]:
    """The table of plans, "do nothing" first."""
    ends = common_ends([(one.gain_low, one.gain_high) for one in told.plans if one.plan.kind != "nothing"])
    found = []
    for n, one in enumerate(told.plans):
        idle = one.plan.kind == "nothing"
        found.append(
            Row(n, said.plan_name(told, one), said.feed_name(told, one), said.when_words(told, one),
                said.gain_words(told, one), said.range_words(told, one), aim.chance_cell(told, one),
                "–" if idle else said.money(told, one.cost.total), needs_words(told, one),
                n == told.best_at, said.mark_words(told, one),
                "" if idle else Markup(gain_mark(one.gain_low, one.gain, one.gain_high, ends)),
                bool(one.struck), by_size(told, one))
        )  # fmt: skip
    return found
