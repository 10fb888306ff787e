"""What does the land look like under the map: pale, shaded from several sides, calm?"""

import numpy as np
from PIL import Image
from pyproj import Transformer
from scipy.ndimage import gaussian_filter, zoom
from shapely import contains_xy, prepare
from shapely.geometry import Polygon

from .frame import Floats, random_stream, to_plane_km
from .ground import Ground
from .noise import Field, smoothstep

WEST, EAST, SOUTH, NORTH = 91.52, 94.48, -37.06, -35.34
WIDTH_PX = 1800
_MERCATOR = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
_LIGHTS = ((315.0, 0.42), (270.0, 0.2), (0.0, 0.2), (225.0, 0.09), (45.0, 0.09))
_PLAIN_RGB = np.array([243.0, 241.0, 231.0])
_GREEN_RGB = np.array([226.0, 234.0, 217.0])
_HILL_RGB = np.array([229.0, 225.0, 212.0])
_TOP_RGB = np.array([246.0, 244.0, 240.0])
_LAKE_RGB = np.array([205.0, 219.0, 224.0])


def relief_picture(ground: Ground, lake: Polygon) -> Image.Image:
    """The picture in EPSG:3857 between the bounds above, row 0 in the north."""
    x_km, y_km, metre_per_px = _pixels_km()
    hills = ground.hilliness_at(x_km, y_km)
    height_m = ground.height_at(x_km, y_km, smooth=True) + _roughness_m(ground, x_km, y_km)
    calm_m = gaussian_filter(height_m, 3.5)
    height_m = calm_m + (height_m - calm_m) * smoothstep(hills / 0.25)
    shade = _shade(height_m, hills, metre_per_px) * _fade_at_edges(height_m.shape)
    colour = _colours(height_m, hills, x_km, y_km)
    # Shadows a little blue, lights a little warm.
    lit = colour * (1.0 + shade[..., None] * np.array([1.04, 1.0, 0.93]))
    prepare(lake)
    in_lake = gaussian_filter(contains_xy(lake, x_km, y_km).astype(float), 1.0)[..., None]
    mixed = lit * (1.0 - in_lake) + _LAKE_RGB * in_lake
    return Image.fromarray(np.clip(np.round(mixed), 0, 255).astype(np.uint8))


def _fade_at_edges(shape: tuple[int, ...]) -> Floats:
    rows, columns = (np.minimum(np.arange(n), np.arange(n)[::-1]) / 90.0 for n in shape)
    return np.asarray(smoothstep(rows)[:, None] * smoothstep(columns)[None, :])


def _pixels_km() -> tuple[Floats, Floats, float]:
    (left, right), (low, high) = _MERCATOR.transform([WEST, EAST], [SOUTH, NORTH])
    step = (right - left) / WIDTH_PX
    rows = round((high - low) / step)
    across = left + (np.arange(WIDTH_PX) + 0.5) * step
    down = high - (np.arange(rows) + 0.5) * (high - low) / rows
    x_m, y_m = np.meshgrid(across, down)
    lon, lat = _MERCATOR.transform(x_m, y_m, direction="INVERSE")
    x_km, y_km = to_plane_km(np.asarray(lon), np.asarray(lat))
    return x_km, y_km, step * float(np.cos(np.radians(0.5 * (SOUTH + NORTH))))


def _roughness_m(ground: Ground, x_km: Floats, y_km: Floats) -> Floats:
    """Spurs and gullies too small for the net of points, on the hills alone."""
    rng = random_stream(50)
    rough = np.zeros(x_km.shape)
    for cells, weight in ((70, 1.0), (140, 0.5), (280, 0.22)):
        coarse = rng.standard_normal((cells, int(cells * 1.4)))
        scale = (x_km.shape[0] / cells, x_km.shape[1] / coarse.shape[1])
        rough += weight * (
            0.5 - np.abs(zoom(coarse, scale, order=3)[: x_km.shape[0], : x_km.shape[1]])
        )
    hills = ground.hilliness_at(x_km, y_km)
    return np.asarray(18.0 * rough * smoothstep((hills - 0.1) / 0.6))


def _shade(height_m: Floats, hills: Floats, metre_per_px: float) -> Floats:
    """Light from five sides, from -0.3 to 0.1; steeper in the eye on the plain than in truth."""
    down, right = np.gradient(gaussian_filter(height_m, 0.8), metre_per_px)
    steepen = 24.0 - 18.0 * smoothstep(hills / 0.45)
    east, north = right * steepen, -down * steepen
    flat = np.sin(np.radians(48.0))
    lit = np.zeros(height_m.shape)
    for azimuth, weight in _LIGHTS:
        angle = np.radians(azimuth)
        towards = -(east * np.sin(angle) + north * np.cos(angle)) * np.cos(np.radians(48.0))
        lit += weight * np.clip((flat + towards) / np.sqrt(1.0 + east**2 + north**2), 0.0, 1.0)
    return np.asarray(np.clip((lit - flat) * 0.42, -0.26, 0.07))


def _colours(height_m: Floats, hills: Floats, x_km: Floats, y_km: Floats) -> Floats:
    green = 0.5 + 0.5 * np.tanh(1.2 * Field(random_stream(51), 40.0, 3).at(x_km, y_km))
    green *= smoothstep((hills + 0.06) / 0.3) * 0.9 + 0.15
    colour = _PLAIN_RGB + (_GREEN_RGB - _PLAIN_RGB) * green[..., None]
    colour += (_HILL_RGB - colour) * (0.75 * smoothstep((hills - 0.35) / 0.5))[..., None]
    high = smoothstep((height_m - 520.0) / 420.0)[..., None]
    return np.asarray(colour + (_TOP_RGB - colour) * high)


def relief_bounds_toml() -> str:
    """Where the picture lies."""
    return f"west = {WEST}\nsouth = {SOUTH}\neast = {EAST}\nnorth = {NORTH}\n"
