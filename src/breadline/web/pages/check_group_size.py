"""How many colonies to leave unfed: asked, and what each number could tell, costs and is worth."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from breadline.errors import InputToMend
from breadline.jobs import check_group_size_columns as columns
from breadline.jobs import check_group_size_form as form
from breadline.jobs import check_group_size_rests as rests
from breadline.jobs import check_group_size_told as told
from breadline.jobs.check_group_asked import asked_from_text
from breadline.jobs.check_group_book import asked_of_book
from breadline.jobs.check_group_form import said_otherwise
from breadline.jobs.check_group_handed import handed, yards_of
from breadline.jobs.check_group_size import SizeAnswer, size_answer
from breadline.jobs.trial_book import TrialsBook
from breadline.language import language, say
from breadline.measures import measures
from breadline.pictures.check_group_chart import OneSize, Sizes, check_group_chart
from breadline.plan.money import about
from breadline.span import Z95
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.proposal import Sized
from breadline.trial.worth import trial_cost
from breadline.web.drawings import SIZES, Charts
from breadline.web.opened import book_of, place_of, shelf_of
from breadline.web.pages.check_group import COUNTS_ON, HERE, trials_book
from breadline.web.pages.working import in_time
from breadline.web.views import page

router = APIRouter()
LONGEST = 20_000  # letters of one field
FEWEST_POINTS = 3  # of a curve
FEWER, MORE = 8, 4  # times what is proposed that a curve still shows
ALL = "*"  # yards that have a plan


@router.get("/check-group/size")
def size(request: Request) -> Response:
    """The form, and the answer where something was asked; one that takes long has its page to wait at."""
    sent = request.query_params
    if not any(key != "yard" for key in sent):
        return _answered(request, lambda: True)
    path, today = str(place_of(request)), request.app.state.today()
    question = ("size", path, today, language(), measures(), tuple(sent.multi_items()))
    what = say("How many to leave unfed is being worked out.")
    here = f"{request.url.path}?{request.url.query}"
    return in_time(request, question, what, lambda wanted: _answered(request, wanted), here)


def _answered(request: Request, wanted: Callable[[], bool]) -> HTMLResponse:
    """The page; ``wanted`` says whether anybody still waits for it."""
    book, sent = trials_book(request), request.query_params
    typed = {key: value[:LONGEST] for key, value in sent.items() if key != "yard"}
    chosen = tuple(sent.getlist("yard"))
    answer, error = None, None
    try:
        if plan := typed.get("plan"):
            asked = asked_of_book(book.path, () if plan == ALL else (plan,), book.today)
            if typed.get(form.BASELINE.key) == "false":
                asked = replace(asked, baseline=False)
            answer = size_answer(asked, shelf_of(book_of(request)), wanted=wanted)
        elif typed:
            yards = [one for one in book.yard_sizes() if one[0] in chosen]
            asked = asked_from_text(form.text_of(typed, yards, book.today), "your answers")
            answer = size_answer(asked, shelf_of(book_of(request)), wanted=wanted)
    except InputToMend as refused:
        error = refused
    return _page(book, typed, chosen, answer, error)


def _page(
    book: TrialsBook, typed: Mapping[str, str], chosen: tuple[str, ...], answer: SizeAnswer | None,
    error: InputToMend | None,
) -> HTMLResponse:  # fmt: skip
    shown = {} if answer is None else {
        "say": told.proposal_words(answer), "beside": told.beside_words(answer),
        "pays": told.break_even_words(answer), "rests": rests.rests_on(answer),
        "sizes": [_row(answer, n) for n in range(len(answer.proposal.sizes))], "best": answer.proposal.best,
        "refused": columns.refused_words(answer), "nothing": rests.no_benefit(),
        "b": rests.amount(answer.questions.lines.break_even, answer.asked.outcome),
        "check_head": columns.check_head(answer), "sharp_head": columns.as_sharp_head(answer),
        "sharp": columns.as_sharp_words(answer),
        "marked": told.marked_words(answer), "draw": _draw(answer, book),
        "figures": answer.figures, "charts": _charts(answer),
    }  # fmt: skip
    yards = book.yard_names()
    if not typed:
        chosen = yards
    return page(
        "check_group_size.html", HERE, book.operation_name, status=422 if error else 200, parts=form.PARTS,
        folded=form.FOLDED, unfolded=said_otherwise(form.FOLDED, typed), baseline=form.BASELINE,
        colonies=form.COLONIES,
        typed=typed, chosen=chosen, yards=yards, answer=shown, error=error,
        wrong="" if error is None else error.where.rpartition(", ")[2],
    )  # fmt: skip


def _row(answer: SizeAnswer, place: int) -> tuple[str, ...]:
    at = answer.proposal.sizes[place]
    row, money = at.row, answer.asked.money
    paid = (row.paid.at_zero, row.paid.at_break_even, row.paid.at_twice, row.paid.at_believed)
    return (
        f"{row.check:,}", f"{row.fed:,}", *(told.chance_told(p) for p in paid),
        rests.benefit_told(row.from_zero), rests.benefit_told(row.from_break_even),
        about(at.cost.total, money), about(at.answer, money), *columns.as_sharp_told(answer, place),
    )  # fmt: skip


def _charts(answer: SizeAnswer) -> Charts | None:
    """The two curves, as far as they tell of the proposal; none where too few sizes tell anything."""
    best = answer.proposal.proposed
    able = [one for one in answer.proposal.sizes if one.row.from_zero < rests.NOBODY_SEES]
    n = best.row.check
    near = [one for one in able if n <= FEWER * one.row.check and one.row.check <= MORE * n]
    if len(near) < FEWEST_POINTS:
        near = able
    if len(near) < FEWEST_POINTS or best not in near:
        return None
    band = {one.row.check: ends for one, ends in zip(answer.proposal.sizes, answer.told_if, strict=True)}
    most = _most_believed(answer)
    shown = Sizes(
        tuple(
            OneSize(s.row.check, s.row.from_zero, s.cost.total, s.answer,
                    (_cost_if(answer, s, 0.0), _cost_if(answer, s, most)) if most else None,
                    band[s.row.check] if band[s.row.check][1] < rests.NOBODY_SEES else None)
            for s in near
        ), near.index(best),
        answer.questions.lines.break_even,
        "kg of honey" if answer.asked.outcome is Outcome.HONEY else "frames of bees",
        "yards" if answer.asked.unit is Unit.YARD else "colonies", answer.asked.money, most,
        answer.asked.check_arm is not CheckArm.SAME_CARE,
    )  # fmt: skip
    return Charts(*(Markup(check_group_chart(shown, size)) for size in SIZES))


def _most_believed(answer: SizeAnswer) -> float:
    """Nineteen times in twenty feed is believed to add less; 0 where whole yards hang on it."""
    belief = answer.stakes.belief
    return max(belief.mean + Z95 * belief.sd, 0.0) if answer.asked.unit is Unit.COLONY else 0.0


def _cost_if(answer: SizeAnswer, at: Sized, benefit: float) -> float:
    """What the comparison costs where feeding truly brings ``benefit``."""
    stakes = answer.stakes
    brings = stakes.path.money(benefit) - stakes.cost
    return trial_cost(at.colonies, stakes.grading, brings, stakes.fed_otherwise, at.before).total


def _draw(answer: SizeAnswer, book: TrialsBook) -> str:
    """The address of the draw with what the size already says, and the yards that the book has.

    The day of grading is left open where it is not ahead: the form of the size asks for none.
    """
    known, fields = book.yard_names(), handed(answer, book.units)
    if fields["grading"] <= book.today.isoformat():
        fields["grading"] = ""
    yards = [("yard", name) for name in yards_of(answer) if name in known]
    counts_on = [(COUNTS_ON, "yes")] if answer.asked.baseline else []
    asked = [("measures", book.units), *fields.items(), *counts_on, *yards]
    return f"{HERE}/draw?{urlencode(asked)}"
