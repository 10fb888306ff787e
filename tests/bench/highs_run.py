"""HiGHS on the program of flows, from a set that it is given or from nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import highspy
import numpy as np

from tests.bench.flow_milp import Program

TIGHT = 1e-9


@dataclass(frozen=True)
class Solved:
    """What HiGHS says of a round: its best set, what it gains, a bound, and how it ended."""

    picks: dict[int, int]
    objective: float
    upper_bound: float
    status: str
    seconds: float

    @property
    def gap(self) -> float:
        """Share of the bound that is not reached; 1 where there is no set."""
        if not np.isfinite(self.upper_bound) or self.upper_bound <= 0:
            return 1.0
        return min(1.0, max(0.0, (self.upper_bound - self.objective) / self.upper_bound))


def solve(
    program: Program, *, gap: float, seconds: float, start: Mapping[int, int] | None = None
) -> Solved:
    """Let HiGHS work on one processor until the gap or the time is reached."""
    solver = highspy.Highs()
    for name, value in {
        "output_flag": False, "threads": 1, "mip_rel_gap": gap, "mip_abs_gap": 0.0,
        "time_limit": seconds, "mip_feasibility_tolerance": TIGHT,
        "primal_feasibility_tolerance": TIGHT, "dual_feasibility_tolerance": TIGHT,
        "small_matrix_value": 1e-12,
    }.items():  # fmt: skip
        solver.setOptionValue(name, value)
    solver.passModel(_model(program))
    choices = len(program.sites)
    if start is not None:
        picked = np.array([
            float(start.get(int(site)) == option)
            for site, option in zip(program.sites, program.options, strict=True)
        ])  # fmt: skip
        solver.setSolution(choices, np.arange(choices, dtype=np.int32), picked)
    solver.run()
    shares = np.array(solver.getSolution().col_value[:choices])
    taken = np.flatnonzero(shares > 0.5)
    info = solver.getInfo()
    return Solved(
        {int(program.sites[i]): int(program.options[i]) for i in taken},
        float(info.objective_function_value),
        float(info.mip_dual_bound),
        solver.modelStatusToString(solver.getModelStatus()),
        solver.getRunTime(),
    )


def _model(program: Program) -> highspy.HighsLp:
    columns = program.matrix.tocsc()
    unknowns, whole = len(program.gain), len(program.sites)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = unknowns, len(program.least)
    model.sense_, model.col_cost_ = highspy.ObjSense.kMaximize, program.gain
    model.offset_ = -program.today
    model.col_lower_ = np.zeros(unknowns)
    model.col_upper_ = np.where(np.arange(unknowns) < whole, 1.0, np.inf)  # rows limit the flows
    model.row_lower_, model.row_upper_ = program.least, program.most
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_ = columns.indptr, columns.indices
    model.a_matrix_.value_ = columns.data
    model.integrality_ = [
        highspy.HighsVarType.kInteger if i < whole else highspy.HighsVarType.kContinuous
        for i in range(unknowns)
    ]
    return model
