"""Who in the yard gets it: none, half or full, by frames of bees, as one line a crew can remember."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import permutations

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.words import half_frames
from breadline.plan.bands import GETS, Band, Gets, class_of
from breadline.plan.by_size import NODES, BySize
from breadline.plan.clears import Clears
from breadline.plan.combining import Combined, Pair, Weak, combined
from breadline.plan.given import Mixed, mixed
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Target, WinterBees
from breadline.plan.tried import Question, Tried, tried
from breadline.plan.value import Reached, worth
from breadline.span import FloatArray

MEMBERS = 300  # seasons that the borders are searched in
STEP = 0.5  # frames between borders tried [frames]


@dataclass(frozen=True)
class Classes:
    """The borders and what they bring; money is a colony of the yard."""

    bands: tuple[Band, ...]
    line: str  # for the crew
    more: float  # over giving every colony the plan's full piece [money/colony]
    over_none: float  # over feeding none [money/colony]
    combine_below: float | None  # these will not make it, fed or not [frames]
    small: tuple[str, ...] = ()  # which, where colonies were named
    combining: Combined | None = None  # what joining them brings; None where there are no two to join
    at_most: tuple[Band, ...] = ()  # what beetles allow each size, whatever it brings
    none_pays: bool = False  # by colony none is worth feeding
    mixed: Mixed | None = field(default=None, repr=False, compare=False)  # what the yard brings so

    @property
    def combine(self) -> tuple[Pair, ...]:
        """Who is to be joined with whom: none where it does not pay; who is left over keeps its class."""
        return self.combining.joined if self.combining is not None and self.combining.pays else ()


@dataclass(frozen=True)
class Giving:
    """How the classes of a plan come about.

    Parameters
    ----------
    clears
        What a colony of a size clears while a piece lies; where beetles are none gets more.
    half
        The plan with half of its pieces, as people cut them; None: half of each, no pieces: nothing to cut.
    as_named
        Every colony gets what the plan says, and less only where its size does not clear it.
    """

    clears: Clears | None = None
    half: Plan | None = None
    as_named: bool = False


@dataclass(frozen=True)
class _Nodes:
    """The yard as colonies of even rank; arrays by class (none, half, full) and node."""

    today: FloatArray  # frames today, shape (nodes,) [frames]
    net: FloatArray  # value less cost without travel, shape (3, nodes) [money/colony]
    making: FloatArray  # by class as well, shape (3, nodes) [share]
    average: Callable[[np.ndarray], FloatArray] | None  # yards fed so, by their average [money/colony]
    road: FloatArray  # travel of the yard by the most that any colony gets, shape (3,) [money/colony]
    froms: FloatArray  # of how many frames a colony is that clears what a class gets, shape (3,) [frames]
    smallest: float  # colony of the yard, of those that were graded as well [frames]
    halves: bool = True  # whether half a piece can be cut

    @property
    def most(self) -> np.ndarray:
        """The class that clears most of each node, shape (nodes,)."""
        return np.asarray((self.today[None, :] >= self.froms[:, None]).sum(axis=0) - 1)

    def brings(self, of: np.ndarray) -> float:
        """What the yard brings if node k is in class ``of[k]``. [money/colony]"""
        return float(self.bring(of[None, :])[0])

    def bring(self, of: np.ndarray) -> FloatArray:
        """The same of many ways to give it, shape (ways, nodes); shape (ways,). [money/colony]"""
        trip = self.road[of.max(axis=1)]  # the truck drives as far for half of the colonies as for all
        if self.average is not None:
            return np.asarray(self.average(of) - trip)
        return np.asarray(self.net[of, np.arange(NODES)].mean(axis=1) - trip)


def halved(plan: Plan) -> Plan:
    """The same with half of every piece."""
    return replace(plan, pieces=tuple(Piece(p.day, p.grams / 2.0) for p in plan.pieces))


def classes(
    question: Question,
    plan: Plan,
    frames_today: float,
    reader: Reader,
    named: Sequence[tuple[str, float]] = (),
    giving: Giving | None = None,
) -> Classes:
    """Borders between none, half and full that bring most, none of them more than its colonies clear.

    Where no colony would get what the plan is named by, all get it that clear it: half of it for everybody
    is another plan.

    Parameters
    ----------
    question
        Of the search.
    plan
        The plan whose pieces are given in full, by half or not.
    frames_today
        Of the average colony. [frames]
    reader
        ``plan.strength_lasts``, ``plan.wont_make_it``, ``plan.combine_minutes``.
    named
        Colonies that were graded, with their frames of bees. [frames]
    giving
        What colonies clear, what half a piece is, and whether the plan is given as it is named.
    """
    giving, index = giving or Giving(), question.ensemble.few(MEMBERS)
    clears, half = giving.clears, halved(plan) if giving.half is None else giving.half
    done = tried(question, [NOTHING, half, plan], index)
    lasts = reader.typical("plan.strength_lasts")
    sized = BySize(question, done, frames_today, lasts, question.ensemble.draw[index])
    froms = [0.0, *(0.0 if clears is None else clears.from_frames(plan, share) for share in (0.5, 1.0))]
    least = [frames for _, frames in named if frames > 0.0]
    nodes = replace(_nodes(sized, np.array(froms), min(least, default=np.inf)), halves=bool(half.pieces))
    at_most, bands = _by_size(nodes), None if giving.as_named else _bands(*_best(nodes), nodes)
    none_pays = bands is not None and {band.gets for band in bands} == {"none"}
    if bands is None or not any(band.gets == "full" for band in bands):
        bands = at_most
    below = _combine(question.target, nodes, reader)
    of = class_of(bands, nodes.today)
    mine, full = nodes.brings(of), GETS.index("full")
    weak = None if below is None else _weak(nodes, below, named, question.spread.colonies)
    below = None if weak is None else below
    return Classes(
        bands,
        crew_line(bands),
        mine - nodes.brings(np.full(NODES, full)),
        mine - nodes.brings(np.zeros(NODES, dtype=np.int64)),
        below,
        tuple(name for name, frames in named if below is not None and 0.0 < frames < below),
        None if weak is None else combined(sized, weak, bands, reader),
        at_most,
        none_pays,
        mixed(sized, of),
    )


def crew_line(bands: Sequence[Band]) -> str:
    """ "Under 4 frames none, 4 to 6½ a half piece, 7 and more a full one"; no border stands twice."""
    words = {"none": say("none"), "half": say("a half piece"), "full": say("a full piece")}
    if len(bands) == 1:
        return say("Every colony: {words}.", words=words[bands[0].gets])
    said = []
    for band in bands:
        if band.from_frames == 0.0:
            said.append(
                say(
                    "under {frames} frames {words}",
                    frames=half_frames(band.to_frames),
                    words=words[band.gets],
                )
            )
        elif np.isinf(band.to_frames):
            said.append(
                say("{frames} and more {words}", frames=half_frames(band.from_frames), words=words[band.gets])
            )
        else:
            said.append(
                say(
                    "{frames} to {most} {words}",
                    frames=half_frames(band.from_frames),
                    most=half_frames(band.to_frames - STEP),
                    words=words[band.gets],
                )
            )
    line = ", ".join(said)
    return f"{line[0].upper()}{line[1:]}."


def _nodes(sized: BySize, froms: FloatArray, least: float) -> _Nodes:
    """The yard as colonies of even rank: what each has today, and what each class of it brings."""
    question, done, today = sized.question, sized.done, sized.today
    kept = sized.against_average(today)
    net, making = np.empty((3, NODES)), np.empty((3, NODES))
    for c in range(3):
        seen = sized.seen(c, kept)
        money = seen.money.mean(0)
        if isinstance(question.target, HoneyFlow):  # a crop goes with the size of a colony
            money = done.value[c].mean() * kept
        net[c] = money - sized.costs[c].mean()
        making[c] = seen.making.mean(0)
    by_average = isinstance(question.target, Frames) and question.target.paid == "sample_average"
    average = _average(question, done, kept) if by_average else None
    road = done.costs.travel.mean(1)
    return _Nodes(today, net, making, average, road, froms, min(float(today.min()), least))


def _average(question: Question, done: Tried, kept: FloatArray) -> Callable[[np.ndarray], FloatArray]:
    """On a sample's average the yard is paid as one: by the mean of all its colonies, fed as they were."""
    costs, size = (done.costs.total - done.costs.travel).mean(1), kept / kept.mean()

    def brings(of: np.ndarray) -> FloatArray:
        gets = [of == c for c in range(3)]
        share = np.stack([one @ size for one in gets], axis=1) / NODES
        count = np.stack([one.mean(axis=1) for one in gets], axis=1)
        at = share @ done.frames
        paid = worth(question.target, Reached(at, at, np.ones(at.shape)), question.spread).money
        return np.asarray((paid * (count @ done.left)).mean(axis=1) - count @ costs)

    return brings


def _best(nodes: _Nodes) -> tuple[tuple[float, float], tuple[Gets, ...]]:
    """All pairs of borders on half frames, and all orders of the classes; the plainest of the best."""
    top = np.ceil(nodes.today.max() / STEP) * STEP
    lines = [0.0, *np.arange(STEP, top + STEP, STEP).tolist()]
    pairs = [(low, high) for k, low in enumerate(lines) for high in lines[k:]]
    orders = list(permutations(GETS))
    band = (nodes.today >= np.array(pairs)[:, :, None]).sum(axis=1)  # shape (pairs, nodes)
    classes_of = np.array([[GETS.index(g) for g in gets] for gets in orders], dtype=np.int8)
    of = np.ascontiguousarray(classes_of[:, band].reshape(-1, NODES))
    alike = of.view(np.dtype((np.void, NODES))).ravel()
    first = np.sort(np.unique(alike, return_index=True)[1])  # the plainest of those that are alike
    if not nodes.halves:
        first = first[(of[first] != 1).all(axis=1)]
    best, found = -np.inf, ((0.0, 0.0), GETS)
    for k, brings in zip(first.tolist(), nodes.bring(of[first]).tolist(), strict=True):
        borders, gets = pairs[k % len(pairs)], orders[k // len(pairs)]
        if brings > best + 1e-9 and _clear(_bands(borders, gets, nodes), nodes):
            best, found = brings, (borders, gets)
    return found


def _clear(bands: Sequence[Band], nodes: _Nodes) -> bool:
    """Whether the smallest colony of each class clears what the class gets."""
    return all(max(b.from_frames, nodes.smallest) >= nodes.froms[GETS.index(b.gets)] for b in bands)


def _bands(borders: tuple[float, float], gets: tuple[Gets, ...], nodes: _Nodes) -> tuple[Band, ...]:
    ends = (0.0, *borders, np.inf)
    found: list[Band] = []
    for low, high, given in zip(ends[:-1], ends[1:], gets, strict=True):
        share = float(((nodes.today >= low) & (nodes.today < high)).mean())
        if share > 0.0:
            found.append(Band(found[-1].to_frames if found else 0.0, high, given, share))
    found[-1] = replace(found[-1], to_frames=np.inf)
    return tuple(found)


def _by_size(nodes: _Nodes) -> tuple[Band, ...]:
    """The most that each size clears; a class of none stands there for the smallest graded colony too."""
    _, half, full = (float(frames) for frames in nodes.froms)
    half = half if nodes.halves else full
    found: list[Band] = []
    for low, high, gets in ((0.0, half, GETS[0]), (half, full, GETS[1]), (full, np.inf, GETS[2])):
        if low < high and high > nodes.smallest:
            share = float(((nodes.today >= low) & (nodes.today < high)).mean())
            found.append(Band(low if found else 0.0, float(high), gets, share))
    return tuple(found) or (Band(0.0, np.inf, GETS[0], 1.0),)


def _combine(target: Target, nodes: _Nodes, reader: Reader) -> float | None:
    """Below so many frames a colony makes it in few seasons, fed or not. [frames]"""
    if not isinstance(target, Frames | WinterBees | KeepAlive):
        return None
    fed = nodes.making[nodes.most, np.arange(NODES)]
    few = np.maximum(nodes.making[0], fed) < reader.typical("plan.wont_make_it")
    if not few[0]:
        return None
    upto = int(np.argmin(few)) if not few.all() else NODES
    line = nodes.today[upto] if upto < NODES else nodes.today[-1]
    return max(STEP, float(np.floor(line / STEP) * STEP))


def _weak(nodes: _Nodes, below: float, named: Sequence[tuple[str, float]], colonies: int) -> Weak | None:
    """Who is below the border: the graded colonies, else as many of the others as lie there by rank.

    None where every colony was graded and none is that small.
    """
    graded = sorted((one for one in named if one[1] > 0.0), key=lambda one: one[1])  # no bees, no colony
    small = tuple(name for name, frames in graded if frames < below)
    if small:
        today, many = np.array([frames for _, frames in graded]), len(small)
    elif len(graded) >= colonies:
        return None
    else:
        today = nodes.today
        many = round(float((today < below).mean()) * (colonies - len(graded)))
    weak, others = today[today < below], today[today >= below]
    beside = graded[many][0] if small and others.size else ""
    return Weak(weak, float(others[0]) if others.size else None, many, small, beside)
