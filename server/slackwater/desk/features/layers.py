"""Which layers are there for whom? Those of the catchment are worked out once an edition."""

from __future__ import annotations

from collections.abc import Callable

from slackwater.desk.features.cases_layer import cases_layer, may_see_cases
from slackwater.desk.features.layer import Layer
from slackwater.desk.features.offtakes_layer import offtakes_layer
from slackwater.desk.features.waters_layers import gauges_layer, reaches_layer
from slackwater.desk.kept_answers import KeptAnswers
from slackwater.desk.map_view import MapView
from slackwater.desk.showing import Showing
from slackwater.desk.visibility import Viewer
from slackwater.desk.working import Working
from slackwater.errors import NotHere

KEPT_AT_MOST = 18
"""Two editions for three viewers."""
NO_SUCH_LAYER = "There is no such collection here."

_OF_VIEW: dict[str, Callable[[MapView, Viewer], Layer]] = {
    "offtakes": lambda view, viewer: offtakes_layer(view.evaluation, viewer),
    "reaches": lambda view, viewer: reaches_layer(view.catchment, viewer),
    "gauges": lambda view, viewer: gauges_layer(view.catchment, viewer),
}


class Layers:
    """The layers of what a service shows, for each viewer."""

    def __init__(self, showing: Showing) -> None:
        self._showing = showing
        self._kept = KeptAnswers(KEPT_AT_MOST)

    @property
    def catchment_name(self) -> str:
        """Name of the catchment shown."""
        return self._showing.of().view.catchment.name

    def names(self, viewer: Viewer) -> tuple[str, ...]:
        """Names of the layers that are there for a viewer; a file has no cases."""
        with_cases = isinstance(self._showing, Working) and may_see_cases(viewer)
        return (*_OF_VIEW, *(("cases",) if with_cases else ()))

    def all(self, viewer: Viewer) -> list[Layer]:
        """Give every layer that is there for a viewer."""
        return [self.of(name, viewer) for name in self.names(viewer)]

    def of(self, name: str, viewer: Viewer) -> Layer:
        """Give one layer as a viewer sees it.

        Raises
        ------
        NotHere
            Where there is none of this name for this viewer.
        """
        if name not in self.names(viewer):
            raise NotHere(NO_SUCH_LAYER)
        if isinstance(self._showing, Working) and name not in _OF_VIEW:
            return cases_layer(self._showing.register, viewer)
        view = self._showing.of().view
        key = (view.edition, name, viewer)
        layer: Layer = self._kept.give(key, lambda: _OF_VIEW[name](view, viewer))
        return layer
