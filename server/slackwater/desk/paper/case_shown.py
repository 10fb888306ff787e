"""A saved case beside the edition it was saved on, as every document reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any

from slackwater.decisions.options import NONE
from slackwater.desk.best_set_shown import loss_adults
from slackwater.desk.case_words import headline
from slackwater.desk.criteria_shown import criteria_told
from slackwater.desk.evaluation import Evaluation
from slackwater.desk.paper.case_row import CaseRow
from slackwater.desk.paper.conditions_said import hand_choices_said, rules_said
from slackwater.desk.showing import Shown
from slackwater.desk.visibility import Viewer
from slackwater.errors import NotHere
from slackwater.reports.figures import percent
from slackwater.reports.stamp import Stamp

WAYS = {"score": "By score", "best": "Best set"}


@dataclass(frozen=True)
class CaseShown:
    """A case (as ``GET /api/cases/{id}`` gives it) and its edition.

    Attributes
    ----------
    committed : code -> money committed to it by now, as the follow-up of offers has it.
    """

    case: Mapping[str, Any]
    shown: Shown
    committed: Mapping[str, float] = field(default_factory=dict)

    @property
    def evaluation(self) -> Evaluation:
        """The numbers the case was made from."""
        return self.shown.view.evaluation

    @property
    def trial(self) -> Mapping[str, Any]:
        """Weights, budget, hand choices and conditions."""
        trial: Mapping[str, Any] = self.case["trial"]
        return trial

    @property
    def result(self) -> Mapping[str, Any]:
        """What came of them."""
        result: Mapping[str, Any] = self.case["result"]
        return result

    @property
    def way(self) -> str:
        """Under which name the money is spent."""
        return WAYS[self.trial["way"]]

    @property
    def currency(self) -> str:
        """Three letters or what the settings say; "" where they say nothing."""
        return self.evaluation.catchment.settings.currency

    @property
    def loss_adults(self) -> float:
        """Adult equivalents a year that all offtakes cost."""
        return loss_adults(self.evaluation)

    @cached_property
    def rows(self) -> tuple[CaseRow, ...]:
        """Every offtake in order of rank."""
        catchment = self.evaluation.catchment
        offtakes, options = catchment.table("offtakes").index, catchment.table("options").index
        status = catchment.table("offtakes").text("status").tolist()
        reasons = {**self.trial["kept_in"], **self.trial["left_out"]}
        return tuple(
            CaseRow(
                position=offtakes[row["code"]],
                code=row["code"],
                rank=row["rank"],
                score=row["score"],
                state=row["state"],
                why_not=row["why_not"],
                option=options.get(row["option"] or "", NONE),
                cost=row["cost"],
                gain_share=row["gain_share"],
                loss_share=row["loss_share"],
                close_call=row["close_call"],
                by_hand=row["by_hand"],
                reason=reasons.get(row["code"], "") if row["by_hand"] else "",
                status=status[offtakes[row["code"]]],
                committed=self.committed.get(row["code"]),
            )
            for row in self.result["rows"]
        )

    def row(self, code: str) -> CaseRow:
        """Give one offtake's row.

        Raises
        ------
        NotHere
            Where the case has no such offtake.
        """
        found = next((row for row in self.rows if row.code == code), None)
        if found is None:
            raise NotHere(f"there is no offtake {code!r} in this case")
        return found

    def option_name(self, option: int) -> str:
        """Give the generic name of a screen, "" for none."""
        names = self.evaluation.catchment.table("options").text("name")
        return "" if option == NONE else str(names[option])

    def gain(self, share: float) -> str:
        """Give a gain as people read it, in `gain_unit`: adults where production is counted."""
        if self.counted:
            return f"{share * self.loss_adults:,.0f}"
        return percent(share).removesuffix("%").rstrip()

    @property
    def counted(self) -> bool:
        """Whether fish are counted here, or production is an index."""
        return self.evaluation.catchment.settings.production_basis == "counted"

    @property
    def gain_unit(self) -> str:
        """What gains are counted in."""
        return "adults a year" if self.counted else "% of the loss"

    @property
    def headline(self) -> str:
        """Say what the money buys, in one sentence."""
        result = self.result
        return headline(
            count=result["inside_count"],
            spent=result["spent"],
            budget=result["budget"],
            benefit_share=result["benefit_share"],
            currency=self.currency,
            close=result["close_call_count"],
        )

    @property
    def promise(self) -> str:
        """Say how sure it is that no other set does better; "" by score."""
        told: str = self.result["sentence"]
        return told.removeprefix(self.headline).strip()

    @property
    def weights(self) -> tuple[tuple[str, int], ...]:
        """Label and weight of each criterion, in thousandths."""
        labels = {each["name"]: each["label"] for each in criteria_told(self.evaluation)}
        return tuple(
            (labels.get(name, name), weight) for name, weight in self.trial["weights"].items()
        )

    @property
    def conditions(self) -> tuple[str, ...]:
        """Say the rules of the set in words, hand choices apart; none by score."""
        return rules_said(self.trial)

    @property
    def hand_choices(self) -> tuple[str, ...]:
        """Say each hand choice with its reason; none by score."""
        return hand_choices_said(self.trial)

    def stamp(self, printed_at: datetime, viewer: Viewer = Viewer.LEAD) -> Stamp:
        """Give the freshness stamp; the public is not told who works at the agency."""
        data, public = self.case.get("data") or {}, viewer is Viewer.PUBLIC
        facts = self.shown.view.facts(Viewer.PUBLIC)
        return Stamp(
            catchment=facts["name"],
            case_name=self.case["name"],
            made_by="" if public else self.case.get("by") or "",
            made_at=self.case["made_at"],
            shared_at=self.case.get("shared_at") or "",
            data_version=self.case["data_version"],
            data_changed_at=data.get("changed_at") or "",
            is_present=data.get("is_present", True),
            model_version=self.case.get("model_version") or facts["model_version"],
            printed_at=printed_at.isoformat(),
            version="public" if public else "private",
        )
