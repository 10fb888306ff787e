"""Where does the invented country lie, and how do its kilometres become degrees?

The country is drawn on a plane in kilometres, x to the east and y to the north, whose origin lies
in the open Indian Ocean, so that nobody mistakes it for a real basin.
"""

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod, Transformer

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SEED = 20240607
LON_0, LAT_0 = 93.0, -36.2
HALF_WIDTH_KM, HALF_HEIGHT_KM = 138.0, 100.0
GEOD = Geod(ellps="WGS84")
INVENTED = "invented for the demo"

_PLANE = f"+proj=aeqd +lat_0={LAT_0} +lon_0={LON_0} +datum=WGS84 +units=m"
_TO_DEGREES = Transformer.from_crs(_PLANE, "EPSG:4326", always_xy=True)
_TO_PLANE = Transformer.from_crs("EPSG:4326", _PLANE, always_xy=True)


def random_stream(topic: int) -> np.random.Generator:
    """Random numbers of one topic, so that a change in one leaves the others as they were."""
    return np.random.default_rng([SEED, topic])


def to_degrees(points_km: Floats) -> Floats:
    """Longitude and latitude, rounded to about 0.1 m, of points (n, 2) on the plane."""
    lon, lat = _TO_DEGREES.transform(points_km[:, 0] * 1000.0, points_km[:, 1] * 1000.0)
    return np.column_stack([np.round(lon, 6), np.round(lat, 6)])


def to_plane_km(lon: Floats, lat: Floats) -> tuple[Floats, Floats]:
    """Kilometres east and north of the origin, any shape."""
    x_m, y_m = _TO_PLANE.transform(lon, lat)
    return np.asarray(x_m) / 1000.0, np.asarray(y_m) / 1000.0


def geodesic_length_m(degrees: Floats) -> float:
    """Length on the WGS84 ellipsoid of a line (n, 2) in degrees."""
    return float(GEOD.line_length(degrees[:, 0], degrees[:, 1]))
