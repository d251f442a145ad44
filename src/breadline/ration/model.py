"""The linear model under the solver: HiGHS over the shares of a mix, kept warm between questions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np

from breadline.errors import OurFault
from breadline.ration.problem import Problem
from breadline.ration.quotient import FloatArray
from breadline.ration.rows import Row, floors_of
from breadline.ration.whole_bags import Whole, whole_of

KEPT = 1e-6  # of a row as scaled: what HiGHS lets through
HEURISTICS = 0.2  # share of a search spent on guesses: more than usual, so that a first recipe comes soon
STATUS = highspy.HighsModelStatus
FEASIBLE = highspy.SolutionStatus.kSolutionStatusFeasible
NOTHING = (STATUS.kInfeasible, STATUS.kUnboundedOrInfeasible)
ENDED = (STATUS.kOptimal, STATUS.kTimeLimit, STATUS.kInterrupt, STATUS.kSolutionLimit, *NOTHING)


@dataclass(frozen=True)
class Progress:
    """Where a search for whole things stands: what it costs so far, and how far below the truth may lie.

    Parameters
    ----------
    seconds
        Since this search began. [s]
    cost
        The cheapest recipe so far. [money/kg]
    gap
        How much cheaper the cheapest could still be. [share of ``cost``]
    shares_of_mixer
        The cheapest recipe so far, by ingredient key. [share of a full mixer]
    """

    seconds: float
    cost: float
    gap: float
    shares_of_mixer: Mapping[str, float]


Watcher = Callable[[Progress], None]
Stop = Callable[[], bool]  # asked all along, also before there is a mix; gives True to stop


@dataclass(frozen=True)
class Found:
    """One answer of the model.

    Parameters
    ----------
    shares
        Of a full mixer, by ingredient, shape (ingredients,); empty where there is no mix. [share]
    value
        What was made least, its bound from below. [money/kg of a full mixer]
    duals
        Of the target rows as scaled, shape (rows,); nought where whole things are counted. [money/kg]
    possible
        ``False`` where it is proven that no mix exists, ``None`` where time ran out first.
    stopped
        Whether time or the watcher ended it.
    seconds
        How long it took. [s]
    """

    shares: FloatArray
    value: float
    bound: float
    duals: FloatArray
    possible: bool | None
    stopped: bool
    seconds: float
    gives: FloatArray  # of the elastic rows, shape (rows,) [unit of the target × per]


NOTHING_KNOWN = Found(np.zeros(0), np.inf, -np.inf, np.zeros(0), None, True, 0.0, np.zeros(0))


class Quiet(highspy.Highs):
    """HiGHS without its banner, which would stand in the middle of what a command prints."""

    def __init__(self) -> None:
        super(highspy.Highs, self).__init__()  # the plain one: the class between prints as it begins
        self.setOptionValue("output_flag", False)


class Model:
    """Columns are ingredients (and whole things), rows are targets and the sum.

    Every row is divided by its largest coefficient, so that milligrams and per cent
    meet HiGHS at the same size; duals and slacks are turned back by ``scale``.

    Parameters
    ----------
    give_costs
        What giving way on each row costs, shape (rows,), where rows may give way at
        all; the cost of the mix then counts nothing. [1/(unit of the target × per)]
    give_back
        How far each row may be held more than its bound, shape (rows,), where it has
        given way before. [unit of the target × per]
    """

    def __init__(
        self,
        problem: Problem,
        rows: Sequence[Row],
        give_costs: FloatArray | None = None,
        give_back: FloatArray | None = None,
    ) -> None:
        self.problem, self.rows = problem, tuple(rows)
        self.n, self.m = len(problem.ingredients), len(self.rows)
        self.whole: Whole = whole_of(problem)
        self.counts_whole = bool(self.whole.integer.any())
        self.prices = np.array([problem.price(k) for k in problem.keys])
        self.scale = np.ones(self.m)
        self.money = 1.0  # what a cost of 1 in HiGHS stands for [money/kg]
        self.spent = 0.0  # [s]
        self.begun = False  # whether the next search has a mix to begin at
        self.highs = Quiet()
        self.highs.setOptionValue("time_limit", problem.making.time_limit_s)
        self.highs.setOptionValue("mip_heuristic_effort", HEURISTICS)
        self.highs.setOptionValue("mip_rel_gap", 1e-7)
        self.highs.setOptionValue("mip_abs_gap", 1e-7)
        self._pass(give_costs, give_back)

    def _pass(self, give_costs: FloatArray | None, give_back: FloatArray | None) -> None:
        """Hand the whole model over once."""
        whole, n, m = self.whole, self.n, self.m
        body = np.array([row.at(row.bound) for row in self.rows]).reshape(m, n)
        if m:
            largest = np.abs(body).max(axis=1)
            self.scale = np.where(largest > 0.0, largest, 1.0)
        gives = 0 if give_costs is None else m
        floors = floors_of(self.rows)
        matrix = np.zeros((m + 1 + len(floors) + len(whole.rows), whole.columns + gives))
        matrix[:m, :n] = body / self.scale[:, None] * whole.unit
        matrix[m, :n] = whole.unit
        for at, floor in enumerate(floors, start=m + 1):
            matrix[at, :n] = floor * whole.unit
        matrix[m + 1 + len(floors) :, : whole.columns] = whole.rows
        matrix[:gives, whole.columns :] = np.eye(gives)
        costs = self._costs(self.prices)
        if give_costs is not None:
            costs = np.concatenate([costs * 0.0, give_costs * self.scale])
        lower = np.zeros(matrix.shape[1])
        if give_back is not None:
            lower[whole.columns :] = -give_back / self.scale
        upper = np.concatenate([whole.upper, np.full(gives, highspy.kHighsInf)])
        self._hand_over(matrix, costs, (lower, upper))

    def _hand_over(self, matrix: FloatArray, costs: FloatArray, ends: tuple[FloatArray, FloatArray]) -> None:
        whole, m, columns = self.whole, self.m, matrix.shape[1]
        floors = np.zeros(len(matrix) - m - 1 - len(whole.rows))
        lower = np.concatenate([np.zeros(m), [self.problem.making.fill_least], floors, whole.row_lower])
        most = np.concatenate(
            [np.full(m, highspy.kHighsInf), [1.0], floors + highspy.kHighsInf, whole.row_upper]
        )
        if not self.counts_whole:
            lower[m] = 1.0  # a mix without whole things is the same at any size
        self.asked = (matrix, lower, most)
        at = matrix != 0.0
        starts = np.concatenate([[0], np.cumsum(at.sum(axis=1))]).astype(np.int32)
        integral = np.zeros(columns, dtype=np.int32)
        integral[: whole.columns] = whole.integer
        none = np.zeros(0, dtype=np.int32)
        self.highs.passModel(
            columns, len(matrix), int(at.sum()), 0, int(highspy.MatrixFormat.kRowwise), 1,
            int(highspy.ObjSense.kMinimize), 0.0, costs, *ends, lower, most,
            starts, np.nonzero(at)[1].astype(np.int32), matrix[at], none, none, np.zeros(0), integral,
        )  # fmt: skip

    def _costs(self, prices: FloatArray) -> FloatArray:
        """Costs by the column, divided by the largest, so that any money meets HiGHS at one size."""
        self.money = float(np.abs(prices).max()) or 1.0
        costs = prices / self.money * self.whole.unit
        return np.concatenate([costs, np.zeros(self.whole.columns - self.n)])

    def cost_by(self, prices: FloatArray) -> None:
        """Make other prices least, shape (ingredients,). [money/kg]"""
        costs = self._costs(prices)
        self.highs.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs)

    def ease(self, row: int, bound: float) -> None:
        """Give one row another bound. [unit of the target]"""
        values = self.rows[row].at(bound) / self.scale[row] * self.whole.unit
        for column in range(self.n):
            self.highs.changeCoeff(row, column, float(values[column]))

    def drop(self, row: int) -> None:
        """Let one row be anything."""
        self.highs.changeRowBounds(row, -highspy.kHighsInf, highspy.kHighsInf)

    def hold(self, row: int) -> None:
        """Hold a dropped row to its bound again."""
        self.highs.changeRowBounds(row, 0.0, highspy.kHighsInf)

    def leave_out(self, ingredient: int, out: bool = True) -> None:
        """Keep an ingredient out of the mix, or let it back in."""
        self.highs.changeColBounds(ingredient, 0.0, 0.0 if out else float(self.whole.upper[ingredient]))

    def within(self, seconds: float) -> None:
        """Give the next search no more than this. [s]"""
        self.highs.setOptionValue("time_limit", max(0.01, seconds))

    def mix_of(self, shares: Mapping[str, float]) -> FloatArray:
        """Shares by key as an array, shape (ingredients,). [share]"""
        return np.array([shares.get(k, 0.0) for k in self.problem.keys])

    def by_key(self, shares: FloatArray) -> dict[str, float]:
        """Shares above nought by key, most first; shape (ingredients,). [share]"""
        order = sorted(range(self.n), key=lambda i: (-shares[i], self.problem.keys[i]))
        return {self.problem.keys[i]: float(shares[i]) for i in order if shares[i] > 0.0}

    def keeps(self, shares: FloatArray) -> bool:
        """Whether a mix, in shares of a full mixer [share], keeps all that is asked, as HiGHS sees it."""
        columns = self.whole.columns_of(shares)
        if (
            np.abs(self.whole.shares_of(columns) - shares).max() > KEPT
            or (columns > self.whole.upper + KEPT).any()
        ):
            return False
        matrix, lower, upper = self.asked
        reached = matrix[:, : len(columns)] @ columns
        return bool((reached >= lower - KEPT).all() and (reached <= upper + KEPT).all())

    def begin_at(self, shares: FloatArray) -> None:
        """Begin a search for whole things at a mix, in shares of a full mixer, if it keeps all. [share]"""
        solution = highspy.HighsSolution()
        solution.col_value = self.whole.columns_of(shares).tolist()
        self.highs.setSolution(solution)
        self.begun = True

    def first_mix(self, seconds: float) -> Found:
        """Any mix that keeps all, within so many seconds [s]; costs have to be set after it."""
        self.cost_by(np.zeros(self.n))
        self.within(seconds)
        self.highs.setOptionValue("mip_max_improving_sols", 1)
        found = self.solve()
        self.highs.setOptionValue("mip_max_improving_sols", highspy.kHighsIInf)
        return found

    def solve(self) -> Found:
        """The cheapest mix as the model now stands."""
        begun, self.begun = self.begun, False
        self.highs.run()
        if misled := begun and self._misled():
            self.highs.clearSolver()
            self.highs.run()
            misled = self._misled()
        status = self.highs.getModelStatus()
        if status not in ENDED:
            raise OurFault("solver", f"HiGHS ended with “{self.highs.modelStatusToString(status)}”")
        info = self.highs.getInfo()
        spent, self.spent = self.spent, float(self.highs.getRunTime())
        seconds, none = self.spent - spent, np.zeros(0)
        if status in NOTHING or info.primal_solution_status != FEASIBLE:
            possible = False if status in NOTHING else None
            return Found(none, np.inf, -np.inf, none, possible, possible is None, seconds, none)
        solution = self.highs.getSolution()
        columns = np.array(solution.col_value)
        value = float(info.objective_function_value) * self.money
        bound = float(info.mip_dual_bound) * self.money if self.counts_whole else value
        if misled:
            value, bound = self._worth(columns) * self.money, -np.inf
        duals = np.zeros(self.m) if self.counts_whole else np.array(solution.row_dual)[: self.m] * self.money
        gives = columns[self.whole.columns :] * (self.scale if len(columns) > self.whole.columns else none)
        stopped = status != STATUS.kOptimal
        return Found(self.whole.shares_of(columns), value, bound, duals, True, stopped, seconds, gives)

    def _misled(self) -> bool:
        """Whether the mix that a search began at led it astray.

        HiGHS 1.16 can reckon such a mix too cheap once it has made the model smaller: it then takes all
        others for dearer, and hands that mix back as the cheapest at a cost which is not its own.
        """
        info = self.highs.getInfo()
        if info.primal_solution_status != FEASIBLE:
            return self.highs.getModelStatus() in NOTHING  # there is one: it began at it
        worth = self._worth(np.array(self.highs.getSolution().col_value))
        return abs(worth - info.objective_function_value) > KEPT * max(1.0, abs(worth))

    def _worth(self, columns: FloatArray) -> float:
        """What the columns cost as HiGHS counts it, shape (columns,)."""
        return float(np.array(self.highs.getLp().col_cost_) @ columns)

    def watched(self, told: Callable[[float, float, FloatArray], None], stop: Stop) -> None:
        """Tell of every better mix, and of the bound as it rises.

        Parameters
        ----------
        told
            Called with seconds [s], the bound [money/kg] and the shares of a full mixer, shape
            (ingredients,), which are empty where the mix is the one before. [share]
        stop
            Asked whether the search is to end.
        """
        kinds = highspy.cb.HighsCallbackType

        def heard(kind: Any, message: str, out: Any, back: Any, mine: Any) -> None:
            bound = float(out.mip_dual_bound) * self.money
            better = np.array(out.mip_solution if kind == kinds.kCallbackMipImprovingSolution else ())
            shares = self.whole.shares_of(better) if len(better) else better
            told(float(out.running_time) - self.spent, bound, shares)
            if kind == kinds.kCallbackMipInterrupt:
                back.user_interrupt = stop()

        self.highs.setCallback(heard, None)
        self.highs.startCallback(kinds.kCallbackMipImprovingSolution)
        self.highs.startCallback(kinds.kCallbackMipInterrupt)
