"""What is the best whole choice under linear rules? HiGHS, silent, and stopped when told.

The one place that knows the solver. It asks ``stop`` from within, so work in another thread ends
within a moment of being told.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array, csr_array

from slackwater.errors import Cancelled

Numbers = NDArray[np.float64]
Flags = NDArray[np.bool_]
Event = highspy.cb.HighsCallbackType
ASKED_AT = (Event.kCallbackMipInterrupt, Event.kCallbackSimplexInterrupt)


def never() -> bool:
    """Do not stop."""
    return False


@dataclass(frozen=True)
class Problem:
    """Maximise ``objective @ x`` with ``least <= rows @ x <= most`` and ``lower <= x <= upper``.

    Attributes
    ----------
    objective, lower, upper : (unknowns,).
    whole : (unknowns,) which must be whole numbers.
    rows : (rules, unknowns), sparse; least, most : (rules,).
    """

    objective: Numbers
    rows: csr_array
    least: Numbers
    most: Numbers
    lower: Numbers
    upper: Numbers
    whole: Flags


@dataclass(frozen=True)
class Solved:
    """What the solver found.

    Attributes
    ----------
    values : (unknowns,); None where nothing was found in time.
    bound : no values reach more; infinite where nothing is known.
    prices : (rules,) what one more of each rule's limit is worth; zeros where unknowns are whole.
    possible : False where it is proved that no values keep the rules.
    """

    values: Numbers | None
    bound: float
    prices: Numbers
    possible: bool


class _Silent(highspy.Highs):
    """The solver, told to be silent before its first word."""

    def __init__(self) -> None:
        super().__init__()  # type: ignore[no-untyped-call]

    def enableCallbacks(self) -> None:  # noqa: N802, its name there
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def solve(
    problem: Problem,
    *,
    gap: float = 1e-9,
    seconds: float = 60.0,
    start: Numbers | None = None,
    stop: Callable[[], bool] = never,
) -> Solved:
    """Solve, until the relative gap or the time is reached.

    Parameters
    ----------
    start : (unknowns,) values known to keep the rules.

    Raises
    ------
    Cancelled
        Where ``stop`` said so.
    """
    if stop():
        raise Cancelled("stopped as told; nothing was kept")
    highs = _Silent()
    for option, value in {
        "threads": 1,
        "mip_rel_gap": gap,
        "mip_abs_gap": 0.0,
        "presolve": "choose" if problem.whole.any() else "off",  # it asks nobody, and saves nothing
        "mip_allow_restart": False,
        "time_limit": max(seconds, 0.05),
        "mip_feasibility_tolerance": 1e-9,
        "primal_feasibility_tolerance": 1e-9,
    }.items():
        highs.setOptionValue(option, value)
    highs.passModel(_model(problem))
    if start is not None:
        solution = highspy.HighsSolution()
        solution.col_value = start
        highs.setSolution(solution)

    def ask(_kind: object, _words: str, _out: object, answer: highspy.cb.HighsCallbackInput,
            _data: object) -> None:  # fmt: skip
        if stop():
            answer.user_interrupt = True

    highs.setCallback(ask, None)
    for event in ASKED_AT:
        highs.startCallback(event)
    highs.run()
    highs.setCallback(None, None)
    if stop():
        raise Cancelled("stopped as told; nothing was kept")
    return _solved(highs, problem)


def _model(problem: Problem) -> highspy.HighsLp:
    """Lay the problem out as the solver wants it: columns, and to be made small."""
    columns = csc_array(problem.rows)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(problem.objective), len(problem.least)
    model.col_cost_ = -problem.objective
    model.col_lower_, model.col_upper_ = problem.lower, problem.upper
    model.row_lower_, model.row_upper_ = problem.least, problem.most
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_ = columns.indptr, columns.indices
    model.a_matrix_.value_ = columns.data
    if problem.whole.any():
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[int(w)] for w in problem.whole]
    return model


def _solved(highs: _Silent, problem: Problem) -> Solved:
    status, info, solution = highs.getModelStatus(), highs.getInfo(), highs.getSolution()
    found = info.primal_solution_status == 2
    values = np.array(solution.col_value) if found else None
    prices = np.zeros(len(problem.least))
    bound = np.inf
    if problem.whole.any():
        bound = -info.mip_dual_bound
    elif status == highspy.HighsModelStatus.kOptimal:
        bound, prices = -info.objective_function_value, -np.array(solution.row_dual)
    impossible = (
        highspy.HighsModelStatus.kInfeasible,
        highspy.HighsModelStatus.kUnboundedOrInfeasible,
    )
    return Solved(values, bound, prices, status not in impossible)
