"""Of which case, which data and which day is a page? What stands on each of them."""

from __future__ import annotations

from dataclasses import dataclass

from slackwater.reports.figures import long_date


@dataclass(frozen=True)
class Stamp:
    """The freshness stamp.

    Attributes
    ----------
    made_at, shared_at, data_changed_at, printed_at : ISO moments, "" where there is none.
    made_by : who saved the case, "" where not told.
    is_present : whether the data is the present data still.
    version : ``private`` or ``public``.
    """

    catchment: str
    case_name: str
    made_by: str
    made_at: str
    shared_at: str
    data_version: str
    data_changed_at: str
    is_present: bool
    model_version: str
    printed_at: str
    version: str = "private"

    @property
    def case_words(self) -> str:
        """Say who saved the case, and when."""
        by = f" by {self.made_by}" if self.made_by else ""
        shared = f", shared {long_date(self.shared_at)}" if self.shared_at else ""
        return f"Case “{self.case_name}”, saved {long_date(self.made_at)}{by}{shared}."

    @property
    def data_words(self) -> str:
        """Say which data and model the numbers rest on, and whether they are the present ones."""
        of = f" of {long_date(self.data_changed_at)}" if self.data_changed_at else ""
        since = "" if self.is_present else " The data has changed since; these numbers have not."
        return f"Data {self.data_version}{of}, model {self.model_version}.{since}"

    @property
    def line(self) -> str:
        """Give the stamp in one line, as it stands on every page."""
        return (
            f"{self.catchment} · {self.case_name} · data {self.data_version} · "
            f"printed {long_date(self.printed_at)}"
        )
