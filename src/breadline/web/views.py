"""Templates, the words they may use, and the one way a page is rendered."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from starlette.responses import HTMLResponse

from breadline import language
from breadline.errors import BreadlineError
from breadline.knowledge.cautions import caution
from breadline.knowledge.figure import unit_words
from breadline.measures import units_of
from breadline.pictures.states import logo
from breadline.web import words
from breadline.web.own_fields import OtherVersion, marked
from breadline.web.places import place_words

TEMPLATES = Path(__file__).parent / "templates"
# Of every page; what comes later goes before what comes earlier.
STYLES = ("breadline.css", "rounds.css", "forms.css", "evidence.css", "widths.css", "paper.css")


def _environment() -> Environment:
    made = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )  # fmt: skip
    for word in (
        words.day, words.short_day, words.state_words, words.stop, words.first_big, words.span_words,
        words.number, words.read_words, words.whole_dates, words.day_and_year,
        place_words, unit_words,
    ):  # fmt: skip
        made.filters[word.__name__] = word
    made.globals["logo"] = Markup(logo(24))
    made.install_gettext_callables(  # type: ignore[attr-defined]  # of its extension
        language.found, language.found_counted, newstyle=True
    )
    for say in (language.language, language.say, language.say_as, language.say_counted):
        made.globals[say.__name__] = say
    made.filters["translated"] = language.say
    made.globals["styles"] = STYLES
    made.globals["languages"] = language.LANGUAGES
    made.globals["units_of"] = units_of
    made.globals["cautions_named"] = lambda keys: [caution(key) for key in keys]
    return made


ENVIRONMENT = _environment()


def page(template: str, here: str, operation: str = "", *, status: int = 200, **shown: Any) -> HTMLResponse:
    """A page: ``here`` is the address of its screen, ``operation`` whose book it is."""
    text = marked(ENVIRONMENT.get_template(template).render(here=here, operation=operation, **shown))
    return HTMLResponse(words.held_together(text) if here == "/feed" else words.held_per_cent(text), status)


def refused(
    error: BreadlineError, *, status: int, here: str = "", ways: Sequence[tuple[str, str]] = ()
) -> HTMLResponse:
    """An error in the form of the house: where, what, expected, what to do, and ``ways`` to do it."""
    head = language.say("Something to mend") if error.exit_code == 2 else language.say("Our fault")
    told = error.as_dict() | {"where": place_words(error.where)}
    return page("refused.html", here, status=status, head=head, ways=ways, **told)


def other_version(of: OtherVersion) -> HTMLResponse:
    """What a form of another version held, and the way to the form of now; a piece of it for a script."""
    template = "other_version_told.html" if of.piece else "other_version.html"
    return page(template, "", status=200 if of.piece else 409, of=of)
