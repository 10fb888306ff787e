"""Which columns and lines of the rivers go to a GIS? Reaches and gauges with their mean flow."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from slackwater.catchment.catchment import Catchment
from slackwater.catchment.table import Table
from slackwater.desk.features.layer import (
    Layer,
    Offered,
    Places,
    Told,
    Value,
    contract_offered,
    no_places,
    plain,
    shown_layer,
)
from slackwater.desk.visibility import Column, Viewer, of_contract, of_place, sees

MEAN_FLOW = Told("mean_flow_m3s", Value.NUMBER, "mean flow over the record", "m3/s")


def reaches_layer(catchment: Catchment, viewer: Viewer) -> Layer:
    """Give the reaches as lines; length, flow scale and velocity as they are worked with."""
    reaches, gauges = catchment.table("reaches"), catchment.table("gauges")
    gauge = [gauges.index[gauge_id] for gauge_id in reaches.text("gauge_id")]
    flow_m3s = catchment.flow_scale * catchment.records.mean_flow_m3s()[gauge]
    understood = {
        "length_m": catchment.length_m,
        "flow_scale": catchment.flow_scale,
        "velocity_coef": catchment.velocity_coef,
    }
    return shown_layer(
        "reaches",
        ("Reaches", "Stretches of channel, drawn downstream, with their mean flow."),
        [*contract_offered(reaches, reaches.spec.fields, understood), _flow(reaches, flow_m3s)],
        reaches.keys,
        _places(reaches, viewer),
        viewer,
    )


def gauges_layer(catchment: Catchment, viewer: Viewer) -> Layer:
    """Give the gauges as points."""
    gauges = catchment.table("gauges")
    flow_m3s = catchment.records.mean_flow_m3s()
    return shown_layer(
        "gauges",
        ("Gauges", "Where flow is measured, with the mean of its record."),
        [*contract_offered(gauges, gauges.spec.fields), _flow(gauges, flow_m3s)],
        gauges.keys,
        _places(gauges, viewer),
        viewer,
    )


def _flow(table: Table, flow_m3s: NDArray[np.float64]) -> Offered:
    """Offer the mean flow; who may know a daily flow may know their mean."""
    audience = of_contract("daily", "flow_m3s")
    if table.name == "reaches":
        audience = of_contract("reaches", "flow_scale")
    return Offered(MEAN_FLOW, Column(MEAN_FLOW.name, plain(flow_m3s), audience))


def _places(table: Table, viewer: Viewer) -> Places:
    if table.geometry is None or not sees(viewer, of_place(table.name)):
        return no_places(len(table))
    return table.geometry
