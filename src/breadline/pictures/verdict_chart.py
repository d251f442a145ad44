"""Published trials as a table of verdicts: a square a comparison, by forage and by what came out."""

from __future__ import annotations

from breadline.knowledge.evidence import IN_WORDS, Comparison, ForageClass, Verdict
from breadline.language import noted_as, say, say_as, say_counted
from breadline.pictures.evidence_sheet import WIDTHS, Plot, Square, moved, packed, side_of
from breadline.pictures.frame import Size
from breadline.pictures.letters import text_width, wrapped

VERDICTS: tuple[Verdict, ...] = ("negative", "neutral", "positive")
HEADS: dict[Verdict, tuple[str, str]] = {  # the second where there is little room
    "negative": (noted_as("bees", "fewer where fed"), noted_as("bees", "fewer")),
    "neutral": (noted_as("bees", "no difference"), noted_as("bees", "no difference")),
    "positive": (noted_as("bees", "more where fed"), noted_as("bees", "more")),
}
SHOWN: tuple[ForageClass, ...] = ("dearth", "poor_spring", "pollen", "not_stated")
KEYS = (6, 18, 60)  # colonies a group shown under the picture
ROOM: dict[Size, float] = {"wide": 190.0, "phone": 0.0, "print": 180.0}  # px for the names of the rows
SHARES = (0.22, 0.30, 0.48)  # of the rest for fewer, no difference, more


def verdict_chart(rows: tuple[Comparison, ...], size: Size) -> str:
    """Comparisons of bees or brood by forage and verdict, as SVG text.

    Parameters
    ----------
    rows
        Those that are shown, each with a verdict that was read.
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    """
    tall = Plot(size, 1.0)
    height = _draw(tall, rows)
    plot = Plot(size, height)
    _draw(plot, rows)
    return plot.svg(verdict_sentence(rows))


def counts(rows: tuple[Comparison, ...]) -> dict[ForageClass, dict[Verdict, int]]:
    """How many comparisons of each class came out how; only classes that have some."""
    by = {c: {v: sum(r.forage_class == c and r.verdict == v for r in rows) for v in VERDICTS} for c in SHOWN}
    return {c: each for c, each in by.items() if sum(each.values())}


def verdict_sentence(rows: tuple[Comparison, ...]) -> str:
    """What the picture shows, for screen readers."""
    said = [
        say(
            "{forage}: more where fed in {more}, no difference in {same}, fewer in {fewer}",
            forage=say(IN_WORDS[c]),
            more=each["positive"],
            same=each["neutral"],
            fewer=each["negative"],
        )
        for c, each in counts(rows).items()
    ]
    of = say("Verdicts of {n} comparisons of bees or brood, fed against check.", n=len(rows))
    return f"{of} {'. '.join(said)}."


def _columns(plot: Plot) -> list[tuple[Verdict, float, float]]:
    """Each verdict with the left end and the width of its column [px]."""
    room = ROOM[plot.size]
    rest = WIDTHS[plot.size] - room
    lefts = [room + rest * sum(SHARES[:k]) for k in range(3)]
    return [(v, left, rest * share - 14) for v, left, share in zip(VERDICTS, lefts, SHARES, strict=True)]


def _draw(plot: Plot, rows: tuple[Comparison, ...]) -> float:
    """Draws from the top; returns the height used [px]."""
    ink, width = plot.palette.ink, WIDTHS[plot.size]
    columns = _columns(plot)
    full = [say_as("bees", HEADS[verdict][0]) for verdict, _, _ in columns]
    short = any(
        text_width(head, plot.label, 600) > room for head, (_, _, room) in zip(full, columns, strict=True)
    )
    for verdict, left, _ in columns:
        plot.text(left, plot.label, say_as("bees", HEADS[verdict][short]), colour=ink, fontWeight=600)
    y = plot.label * 2.0
    plot.rule(0, y, (width, y), stroke=ink, strokeWidth=1.5)
    for forage in counts(rows):
        y = _draw_class(plot, tuple(r for r in rows if r.forage_class == forage), y)
        plot.rule(0, y, (width, y), stroke=plot.palette.hair, strokeWidth=1)
    return _draw_key(plot, y + plot.label * 1.3)


def _draw_class(plot: Plot, rows: tuple[Comparison, ...], top: float) -> float:
    line = plot.label * 1.35
    name, studies = say(IN_WORDS[rows[0].forage_class]), len({r.source for r in rows})
    under = say_counted("{rows} from {n} study", "{rows} from {n} studies", studies, rows=len(rows))
    room = ROOM[plot.size]
    heads = wrapped(name, room - 20, plot.label, 600) if room else [name]
    y = top + line * 0.85
    for k, words in enumerate(heads):
        plot.text(0, y + k * line, words, colour=plot.palette.ink, fontWeight=600)
    if room:
        plot.text(0, y + len(heads) * line, under, size=plot.axis)
    else:
        plot.text(text_width(name, plot.label, 600) + 10, y, under, size=plot.axis)
        y += line * 1.1
    foot = y + (len(heads) + 0.8 if room else 0.6) * line
    for verdict, left, width in _columns(plot):
        colonies = [r.fed_colonies for r in rows if r.verdict == verdict]
        said = str(len(colonies)) if colonies else say_as("how many", "none")
        plot.text(left, y, said, colour=plot.palette.ink if colonies else plot.palette.soft, size=plot.axis)
        squares, height = packed(colonies, width - 30, plot.size)
        above = y - plot.label * 0.55
        plot.squares(
            moved(squares, left + 30 if plot.size != "phone" else left + 22, above), plot.palette.soft
        )
        foot = max(foot, above + height + plot.label * 0.7)
    return foot


def _draw_key(plot: Plot, y: float) -> float:
    """What the squares mean, under the picture."""
    x = 0.0
    for colonies in (*KEYS, None):
        side = side_of(colonies, plot.size)
        plot.squares([Square(x, y - side / 2, side, colonies is not None)], plot.palette.soft)
        words = (
            say("not said")
            if colonies is None
            else say("{n} colonies a group", n=colonies)
            if colonies == KEYS[0]
            else str(colonies)
        )
        plot.text(x + side + 6, y, words, size=plot.axis)
        x += side + 6 + text_width(words, plot.axis) + 16
    return y + side_of(KEYS[-1], plot.size) / 2 + 4
