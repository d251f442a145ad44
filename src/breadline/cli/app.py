"""``breadline``: the verbs of the loop in the terminal.

Exit codes: 0 done, 2 something of the user's to mend, 1 our fault; 130 stopped
with Ctrl+C, 141 the reader of a pipe has left. Heavy libraries are imported
inside the commands, so that ``--help`` is quick.
"""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Annotated, Any, NoReturn, cast

import typer
from typer.core import TyperGroup
from typer.main import get_command

from breadline import __version__
from breadline import language as spoken
from breadline.cli.book_typed import book_argument, book_option, one_book
from breadline.cli.bringing_in_app import bring_in
from breadline.cli.check_group_app import check_group
from breadline.cli.evidence_app import evidence
from breadline.cli.field_app import tags, tally
from breadline.cli.help_words import asked, in_their_language, refused, show
from breadline.cli.keeping_app import backup, export, restore, verify
from breadline.cli.phones_app import certificate, phones, take
from breadline.cli.printed import say, shown, spell_out, without_orders
from breadline.cli.ration_app import ration
from breadline.cli.rounds_app import rounds
from breadline.cli.verdict_app import verdict
from breadline.errors import BreadlineError, InputToMend, NoWeather, OurFault, RecordError, YardError
from breadline.language import ENGLISH, LANGUAGES, speak
from breadline.language import say as worded
from breadline.measures import Measures, measure, units_named
from breadline.web.places import place_words

# The order of the loop, as on the pages; then what keeps the book and opens it.
IN_ORDER = (
    "yards", "season", "weather", "ration", "rounds", "check-group", "tally", "tags", "take", "verdict",
    "evidence", "figures", "import", "export", "backup", "restore", "verify", "phones", "certificate",
    "serve", "demo",
)  # fmt: skip


class InOrder(TyperGroup):
    """The commands in the order of the loop."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Their names; one that is new stands last."""
        place = {name: n for n, name in enumerate(IN_ORDER)}
        return sorted(super().list_commands(ctx), key=lambda name: place.get(name, len(place)))


app = typer.Typer(
    name="breadline",
    cls=InOrder,
    help="Does this yard need protein, why, and from when is it short of bread?",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    add_completion=False,
)
app.add_typer(ration)
app.add_typer(rounds)
app.add_typer(check_group)
app.command()(verdict)
app.command()(evidence)
for _keeps in (backup, restore, verify, export, phones, certificate, take, tally, tags):
    app.command()(_keeps)
app.command("import")(bring_in)

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]

AsOf = Annotated[
    str | None, typer.Option("--as-of", help="Answer as of this day, 2026-01-20; today if not given.")
]


# click stands inside Typer or beside it, by Typer's version; this is its error of what was typed
TypedWrong = cast("type[Exception]", typer.BadParameter.__bases__[0])


def main() -> None:
    """Run a command and turn errors into the exit codes of the house."""
    for stream in (sys.stdout, sys.stderr):
        spell_out(stream)
    as_json = "--json" in sys.argv
    if as_json:
        sys.excepthook = _our_fault
    speak(asked(sys.argv[1:], os.environ))
    try:
        raise SystemExit(in_their_language(get_command(app))(standalone_mode=False))
    except NoWeather as error:  # whose words lead to a page
        do = spoken.say("Add one with: breadline yards BOOK --add YARD.toml --weather FILE")
        _refuse(RecordError(error.where, error.what, error.expected, do), as_json)
    except BreadlineError as error:
        _refuse(error, as_json)
    except TypedWrong as error:
        _typed_wrong(error, as_json)
    except OSError as error:
        if error.filename is None:
            raise
        where = os.fsdecode(error.filename)
        what = worded("it can't be read or written ({strerror})", strerror=error.strerror)
        _refuse(InputToMend(where, what, "", worded("Check the path and the rights")), as_json)


def _our_fault(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
    """What nobody foresaw: the trace for our eyes on standard error, an object for the program that asked."""
    sys.__excepthook__(kind, error, trace)
    told = OurFault("breadline", f"{kind.__name__}: {error}", "", worded("Please report it with the trace"))
    shown({"shape": "breadline.error/1", "error": told.as_dict()})


def _refuse(error: BreadlineError, as_json: bool) -> NoReturn:
    if as_json:
        shown({"shape": "breadline.error/1", "error": error.as_dict()})
    else:
        said = place_words(error.where) + str(error).removeprefix(error.where)
        print(without_orders(said), file=sys.stderr)
    raise SystemExit(error.exit_code)


def _typed_wrong(error: Any, as_json: bool) -> NoReturn:
    if as_json:
        do = worded("breadline --help, or --help after a command, says what it takes")
        _refuse(InputToMend("breadline", refused(error.format_message()), "", do), as_json)
    if spoken.language() == ENGLISH:
        error.show()
    else:
        show(error)
    raise SystemExit(error.exit_code)


def day_of(text: str | None) -> date | None:
    """A day typed as year-month-day."""
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise YardError(
            "--as-of", worded('"{text}" is no date', text=text), worded("year-month-day, such as 2026-01-20")
        ) from None


def _version(asked: bool) -> None:
    if asked:
        say(f"breadline {__version__}")
        raise typer.Exit


@app.callback()
def _top(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version and stop.")
    ] = False,
    spoken: Annotated[
        str,
        typer.Option("--language", envvar="BREADLINE_LANGUAGE", help="Answer in this language: en or es."),
    ] = ENGLISH,
    units: Annotated[
        str,
        typer.Option(
            envvar="BREADLINE_UNITS", help="Answer in lb (pounds, °F) or kg (°C); else by the yard's country."
        ),
    ] = "",
) -> None:
    """Options that stand before a command."""
    if spoken not in LANGUAGES:
        raise InputToMend(
            "--language",
            worded("“{spoken}” is not known", spoken=spoken),
            " or ".join(LANGUAGES),
            worded("Choose one of them"),
        )
    speak(spoken)
    if units and units_named(units) is None:
        raise InputToMend(
            "--units",
            worded("“{units}” is not known", units=units),
            worded("lb or kg"),
            worded("Choose one of them"),
        )
    measure(Measures(units_named(units)))


@app.command()
def season(
    yard: Annotated[Path | None, typer.Argument(help="The yard file (TOML).")] = None,
    weather: Annotated[Path | None, typer.Option(help="A weather file.")] = None,
    forecast: Annotated[Path | None, typer.Option(help="A forecast, put in front of the past years.")] = None,
    figures: Annotated[Path | None, typer.Option(help="Your edits of figures (TOML).")] = None,
    chart: Annotated[Path | None, typer.Option(help="Write the bread chart as SVG.")] = None,
    seed: Annotated[int | None, typer.Option(min=0, help="Seed of the ensemble, 0 or more.")] = None,
    regions: Annotated[bool, typer.Option("--regions", help="List the starter calendars and stop.")] = False,
    record: Annotated[
        Any, book_option("A book of records: how well its earlier outlooks foretold, and stop.")
    ] = None,
    as_json: Json = False,
) -> None:
    """From a yard's facts and its weather: does it need protein, why, and from when is it short."""
    from breadline.cli import season as command

    if regions:
        command.list_regions(as_json)
        return
    asking = command.Asking(yard, weather, forecast, figures, chart, seed, as_json, record)
    if record is not None:
        command.record(asking)
        return
    command.answer(asking)


@app.command()
def figures(
    words: Annotated[list[str] | None, typer.Argument(help="Words that must all stand in a figure.")] = None,
    edits: Annotated[Path | None, typer.Option(help="Your edits of figures (TOML).")] = None,
    set_key: Annotated[
        str | None, typer.Option("--set", help="Figure to change, with --to and --why.")
    ] = None,
    to: Annotated[
        str | None, typer.Option(help="low,typical,high or one number, with decimal points.")
    ] = None,
    why: Annotated[str, typer.Option(help="Why you change it.")] = "",
    undo: Annotated[str | None, typer.Option(help="Figure to put back as shipped.")] = None,
    as_json: Json = False,
) -> None:
    """The figures of the trade behind every answer: range, unit, source, how it was read."""
    from breadline.cli import figures as command

    command.run(command.Asking(" ".join(words or []), edits, set_key, to, why, undo, as_json))


@app.command()
def weather(
    file: Annotated[Path | None, typer.Argument(help="A weather file to read and report on.")] = None,
    latitude: Annotated[
        float | None, typer.Option(min=-90, max=90, help="Degrees north; negative in the south.")
    ] = None,
    longitude: Annotated[
        float | None, typer.Option(min=-180, max=180, help="Degrees east; negative in the west.")
    ] = None,
    fetch: Annotated[Path | None, typer.Option(help="Fetch past years for the place into this file.")] = None,
    accept_terms: Annotated[bool, typer.Option("--accept-terms", help="You have read the terms.")] = False,
    as_json: Json = False,
) -> None:
    """Read a weather file and say what was dropped or filled, or fetch one for a place."""
    from breadline.cli import weather as command

    command.run(command.Asking(file, latitude, longitude, fetch, accept_terms, as_json))


@app.command()
def demo(
    no_serve: Annotated[bool, typer.Option("--no-serve", help="Stop after the first answer.")] = False,
    a_year_on: Annotated[
        bool,
        typer.Option("--a-year-on", help="With a whole season lived: plan, rounds, check group, verdict."),
    ] = False,
    book: Annotated[Any, book_option("Where the demo's book of records lies.")] = None,
    port: Annotated[int, typer.Option(min=1, max=65535, help="Port on this machine.")] = 8417,
    as_json: Json = False,
) -> None:
    """Make the invented demo operation, print its first yard's answer and open its pages."""
    from breadline.cli import serving

    serving.demo(book, port, serving.Demo(a_year_on, serve=not no_serve, as_json=as_json))


@app.command()
def serve(
    book: Annotated[Any, book_argument("The book of records")] = None,
    named: Annotated[Any, book_option("The same, as other commands name it.", "--book")] = None,
    port: Annotated[int, typer.Option(min=1, max=65535, help="Port on this machine.")] = 8417,
    new: Annotated[bool, typer.Option("--new", help="Begin an empty book where there is none.")] = False,
    on: Annotated[
        str | None, typer.Option(help="Let paired phones in too: name or address of this machine.")
    ] = None,
    certificate: Annotated[
        Path | None, typer.Option(help="Folder of breadline certificate, for pages that work offline.")
    ] = None,
    as_of: AsOf = None,
    as_json: Json = False,
) -> None:
    """Open the pages of a book of records, on this machine only unless --on is given."""
    from breadline.cli import serving

    place = one_book(book, named, "breadline serve")
    serving.serve(place, serving.Where(port, on, certificate), day_of(as_of), as_json=as_json, begin=new)


@app.command()
def yards(
    book: Annotated[Any, book_argument("The book of records, made if it is not there")],
    add: Annotated[Path | None, typer.Option(help="A yard file to add.")] = None,
    weather_file: Annotated[
        Path | None, typer.Option("--weather", help="Its weather file, with --add.")
    ] = None,
    as_of: AsOf = None,
    as_json: Json = False,
) -> None:
    """One line a yard: short from when, what to do. With --add, put a yard into the book."""
    from breadline.cli import yards as command

    command.run(book, command.Adding(add, weather_file), day_of(as_of), as_json)
