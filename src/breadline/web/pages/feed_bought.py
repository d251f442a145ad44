"""A bought feed from its label: what the label says, what follows from it, and what it cannot tell."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import BreadlineError, InputToMend, RecordError
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.ration_terms import bought_of
from breadline.jobs.recipe_refusals import feed_gate
from breadline.jobs.recipe_written import BoughtFeed, Quote, RecipeFile
from breadline.knowledge.ingredient import Content
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.ration.analysis_words import label_says
from breadline.ration.label import LabelReading, read_label
from breadline.ration.remark import Remark
from breadline.web import feed_choices, feed_words
from breadline.web.feed_desks import desk_of, path_of
from breadline.web.recipe_form import Typed, fields_of, read_typed, said_where, tables_of
from breadline.web.sent_form import SentForm
from breadline.web.views import page

router = APIRouter()
SECTIONS = ("feed", "price", "money", "year")
LINES = (
    ("protein_min_pct", noted("Crude protein, at least, %")), ("fat_min_pct", noted("Fat, at least, %")),
    ("fibre_max_pct", noted("Fibre, at most, %")), ("water_max_pct", noted("Moisture, at most, %")),
    ("ash_max_pct", noted("Ash, at most, %")), ("pollen_pct", noted("Real pollen, %")),
)  # fmt: skip


@router.get("/feed/bought")
def new(request: Request) -> HTMLResponse:
    """An empty label."""
    return _form(desk_of(request), {"year": str(request.app.state.today().year)}, None)


@router.get("/feed/bought/{name:path}")
def feed(request: Request, name: str, told: str = "") -> HTMLResponse:
    """A bought feed of the book."""
    desk = desk_of(request)
    kept = _feed(desk, name)
    quote = desk.quotes().get(kept.name)
    file = RecipeFile(kept.name, feeds=(kept,), quotes=() if quote is None else (quote,))
    typed = fields_of(tables_of(file))
    typed["feed-0-ingredients"] = ", ".join(kept.ingredients)
    if quote is not None:
        typed |= {"money": quote.money, "year": str(quote.year)}
    return _form(desk, typed, kept, told=say("Saved.") if told else "")


@router.post("/feed/bought")
@router.post("/feed/bought/{name:path}")
def save(request: Request, form: SentForm, name: str = "") -> Response:
    """Keep a label; what was typed stays where it is refused."""
    sent = {key: str(value) for key, value in form.items()}
    desk = desk_of(request)
    kept = _feed(desk, name) if name else None
    called = sent.get("feed-0-name", "").strip()
    listed = sent.get("feed-0-ingredients", "").replace(",", "|").replace("| ", "|")
    typed = Typed(sent | {"price-0-of": called, "feed-0-ingredients": listed})
    try:
        if not called:
            raise RecordError(
                "feed-0-name", say("it has no name"), say("what you call the feed"), say("Write it")
            )
        tables = typed.tables({"name": called}, SECTIONS)
        for price in tables.get("price", []):
            price.pop("year", None)
        file = read_typed(tables, say("this label"))
        made = file.feeds[0]
        quote = file.quotes[0] if file.quotes else None
        read_label(bought_of(made, quote))
    except InputToMend as error:
        return _form(desk, sent, kept, error=error, field=typed.field(error))
    desk.keep_feed(made, quote)
    return RedirectResponse(f"/feed/bought/{path_of(made.name)}?told=saved", 303)


def _feed(desk: FeedDesk, name: str) -> BoughtFeed:
    for feed in desk.feeds():
        if feed.name == name:
            return feed
    raise RecordError(
        f'feed "{name}"',
        say("it is not in this book"),
        say("a feed on the list"),
        say("See the list of feeds"),
    )


def _form(
    desk: FeedDesk, typed: Mapping[str, str], kept: BoughtFeed | None, *, told: str = "",
    error: BreadlineError | None = None, field: str = "",
) -> HTMLResponse:  # fmt: skip
    sentence, more, remarks = "", list[str](), tuple[Remark, ...]()
    if kept is not None and error is None:
        sentence, more = said(kept, desk.quotes().get(kept.name), desk)
        gate = feed_gate(kept, desk.country, Reader(desk.shelf))
        remarks = gate.remarks if gate else ()
    return page(
        "bought.html",
        "/feed",
        desk.operation_name,
        status=422 if error else 200,
        told=told,
        title=kept.name if kept else say("A bought feed"),
        kept=kept is not None,
        sentence=sentence,
        more=more,
        action=f"/feed/bought/{path_of(kept.name)}" if kept else "/feed/bought",
        typed=typed,
        error=error,
        field=field,
        where=said_where(error, field, typed) if error else "",
        lines=[(key, say(words)) for key, words in LINES],
        refused=[r for r in remarks if r.level == "refuse"],
        remarks=remarks,
        rays=feed_choices.said(feed_choices.RAYS),
        bases=feed_choices.said(feed_choices.OF_A_LABEL),
    )


def said(feed: BoughtFeed, quote: Quote | None, desk: FeedDesk) -> tuple[str, list[str]]:
    """The sentence of a bought feed, and what more its label says and cannot."""
    reading = read_label(bought_of(feed, quote))
    told = list(label_says(reading))
    cost = reading.cost
    if cost is not None and cost.protein is not None:
        most = Content(cost.protein.high, cost.protein.high)
        paid = feed_words.per_unit(most, desk.unit, cost.money)
        told.insert(
            1,
            say(
                "That is {price} a {unit} of crude protein at most.",
                price=paid,
                unit=say(feed_words.PER[desk.unit]),
            ),
        )
    return _sentence(reading, desk), told


def _sentence(reading: LabelReading, desk: FeedDesk) -> str:
    fed = feed_words.guaranteed(reading.protein_as_fed)
    told = {"fed": fed, "pollen": _pollen(reading)}
    if reading.moisture_said:
        dry = feed_words.guaranteed(reading.protein_dry)
        said = say("At least {fed} crude protein as fed, {dry} of dry matter; {pollen}.", dry=dry, **told)
    else:
        said = say("At least {fed} crude protein as fed; {pollen}.", **told)
    cost = reading.cost
    if cost is None:
        return said
    return f"{said} {_big(feed_words.cost_words(cost, desk.unit))} ({feed_words.years(cost)})."


def _pollen(reading: LabelReading) -> str:
    share = reading.pollen_share
    if share is None and reading.feed.pollen_listed:
        return say("how much real pollen is in it is not said")
    if share is None:
        return say("whether there is real pollen in it is not said")
    if not share:
        return say("no real pollen in it")
    return say("real pollen: {what}", what=feed_words.pollen_words(share))


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]
