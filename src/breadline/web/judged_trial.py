"""A trial of the book judged by what its page was sent."""

from __future__ import annotations

from collections.abc import Mapping

from breadline.belief.gain import SITUATIONS, Situation
from breadline.jobs.check_group_book import planned_situation
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.fed_since import told_by
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.verdict import Prices, Told, Verdict, VerdictAsked
from breadline.jobs.verdict_costs import ASKED
from breadline.jobs.verdict_file import Readings, verdict_of_trial
from breadline.jobs.verdict_numbers import number
from breadline.jobs.verdict_onward import Onward, with_second_sentence
from breadline.language import say
from breadline.web.pages.verdict import own_decimal, year_of


def judged_trial(trial: Trial, sent: Mapping[str, str], book: TrialsBook) -> Verdict | Readings:
    """Its verdict; with what was known before where the plans of its yards say what the place gives."""
    prices = Prices(
        number(sent.get("cost", ""), say(ASKED[trial.design.check_arm]), own_decimal(sent.get("cost", ""))),
        number(sent.get("price", ""), say("What one more is worth"), own_decimal(sent.get("price", ""))),
        unit=sent.get("money", "").strip() or "$", year=year_of(sent.get("year", ""), trial.design.grading),
    )  # fmt: skip
    told = told_by(book, trial, Told(differently=sent.get("differently", "").strip()))
    asked = VerdictAsked(prices, told, weighed=book.units)
    found = verdict_of_trial(trial, asked, book.today, trial.name)
    if isinstance(found, Readings):
        return found
    planned, word = planned_forage(book, trial), sent.get("situation", "")
    typed = next((one for one in SITUATIONS if one == word), None)
    return with_second_sentence(found, Onward(planned or typed, book=book.path))


def planned_forage(book: TrialsBook, trial: Trial) -> Situation | None:
    """What the plans of a trial's yards say that the place gave in its season."""
    return planned_situation(book.path, trial.design, trial.drawn_at.date(), book.today)
