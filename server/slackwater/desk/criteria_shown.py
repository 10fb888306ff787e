"""Which criteria make the score, and who may see an offtake's value of each?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.contract import TABLES
from slackwater.catchment.fields import Visibility
from slackwater.decisions.score import MILLION
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.visibility import (
    Column,
    Viewer,
    of_contract,
    of_result,
    rows_shown,
    sees,
    select,
)

LABELS = {"risk": "Entrainment risk", "overlap": "Season overlap", "cost": "Low cost"}
BILLION = 1_000_000_000
HUNDREDTH = BILLION // 100


def criteria_told(evaluation: Evaluation) -> list[dict[str, str]]:
    """Give name, label and unit of every criterion, in the order of the score."""
    return [_told(name) for name in evaluation.ranking.criteria]


def _told(name: str) -> dict[str, str]:
    if name in LABELS:
        return {"name": name, "label": LABELS[name]}
    field = TABLES["offtakes"].by_name.get(name)
    if field is None:
        return {"name": name, "label": name.replace("_", " ")}
    unit = {"unit": field.unit} if field.unit not in ("", "-") else {}
    return {"name": name, "label": field.meaning, **unit}


def visibility_of_criterion(name: str) -> Visibility:
    """Give who may see values of a criterion: a column's as the column, others as the result."""
    return of_result(name) if name in LABELS else of_contract("offtakes", name)


def criteria_columns(evaluation: Evaluation, viewer: Viewer) -> dict[str, list[Any]]:
    """Give each criterion the viewer may see, in millionths, rows as in the table."""
    return select(_columns(evaluation), viewer)


def _columns(evaluation: Evaluation) -> list[Column]:
    ranking, quoted = evaluation.ranking, quoted_at_best(evaluation)
    return [
        Column(
            name,
            values.tolist(),
            visibility_of_criterion(name),
            quoted if name == "cost" else None,
        )
        for name, values in zip(ranking.criteria, ranking.values_millionths, strict=True)
    ]


def score_columns(evaluation: Evaluation) -> list[Column]:
    """Give the score in whole billionths as each kind of viewer is told it, the lead's first.

    Where one of its criteria is hidden the score is told to hundredths: less the parts that are
    shown, a score in full would be the hidden part, and a quote can be read off that.
    """
    ranking = evaluation.ranking
    weights = dict(zip(ranking.criteria, ranking.weights_thousandths.tolist(), strict=True))
    score = ranking.weights_thousandths @ ranking.values_millionths
    rounded = np.rint(score / HUNDREDTH).astype(np.int64) * HUNDREDTH
    told = []
    for viewer, visibility in ((Viewer.LEAD, Visibility.PRIVATE),
                               (Viewer.AGENCY, Visibility.AGENCY),
                               (Viewer.PUBLIC, Visibility.PUBLIC)):  # fmt: skip
        values = np.where(score_partly_hidden(evaluation, viewer, weights), rounded, score)
        told.append(Column("score", values.tolist(), visibility))
    return told


def score_partly_hidden(
    evaluation: Evaluation, viewer: Viewer, weights: Mapping[str, float]
) -> NDArray[np.bool_]:
    """(offtakes,) whether a criterion that counts under some weights is hidden from a viewer."""
    hidden = np.zeros(len(evaluation.ranking.order), bool)
    for column in _columns(evaluation):
        if weights.get(column.name, 0):
            hidden |= not sees(viewer, column.visibility)
            hidden |= np.array(column.hidden_from(viewer), bool)
    return hidden


def parts_of_site(evaluation: Evaluation, offtake: int, viewer: Viewer) -> list[dict[str, Any]]:
    """Give what each criterion adds to one offtake's score; all points together are the score.

    A part whose value the viewer may not see has its label and weight alone.
    """
    weights = evaluation.ranking.weights_thousandths.tolist()
    parts = []
    for column, weight in zip(_columns(evaluation), weights, strict=True):
        narrower = None if column.narrower is None else column.narrower[[offtake]]
        value = column.values[offtake]
        told = {
            "criterion": column.name,
            "label": _told(column.name)["label"],
            "weight_thousandths": weight,
        }
        worth = {"value": value / MILLION, "points": weight * value / BILLION}
        parts += rows_shown(
            [
                *(Column(name, [each], Visibility.PUBLIC) for name, each in told.items()),
                *(
                    Column(name, [each], column.visibility, narrower)
                    for name, each in worth.items()
                ),
            ],
            viewer,
        )
    return parts


def quoted_at_best(evaluation: Evaluation) -> NDArray[np.bool_]:
    """(offtakes,) whether the best option's cost is a quote, which is private."""
    quoted = evaluation.costs.quoted.astype(np.float64)
    return np.asarray(evaluation.of_best_option(quoted, 0.0) > 0)
