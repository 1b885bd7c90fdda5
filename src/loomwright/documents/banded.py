"""Bands of figures as they stand in JSON."""

from __future__ import annotations

from collections.abc import Container, Mapping

from loomwright.assessment.banded import Bands, Expected, Figures


def bands_dict(bands: Bands, listed: Container[str]) -> dict[str, object]:
    """Return bands as a JSON-like object: by thing, each figure as low, typical and high.

    Parameters
    ----------
    bands : Bands
        Of a van.
    listed : container of str
        Ids of the wires that stand in lists.

    Returns
    -------
    dict
        A figure that is not to be had at every end is None, an end that is infinite stays so.
    """
    dips: dict[str, list[dict[str, object]]] = {id: [] for id in bands.circuits}
    for (circuit, starter), dip in bands.dips.items():
        dips[circuit].append({"by_start_of": starter, "dip_v": _ends(dip)})
    return {
        "wires": {id: _figures(one) for id, one in bands.wires.items() if id in listed},
        "circuits": {id: _figures(one) | {"dips": dips[id]} for id, one in bands.circuits.items()},
        "studs": {id: _figures(one) for id, one in bands.studs.items()},
        "batteries": {id: _figures(one) for id, one in bands.batteries.items()},
        "tried": sorted(bands.tried),
        "not_exact": [
            {"field": one.field, "low": one.low, "high": one.high, "typed": one.typed}
            for one in bands.unsure.values()
        ],
    }


def _figures(figures: Figures) -> dict[str, object]:
    return {name: None if band is None else _ends(band) for name, band in figures.items()}


def _ends(band: Expected) -> Mapping[str, float]:
    return {"low": band.low, "typical": band.typical, "high": band.high}
