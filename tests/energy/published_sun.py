"""Monthly sun of a level plane as others print it, to compare the climate file with. [kWh/m²/day]

UK regions: Standard Assessment Procedure, Appendix U, Table U3, in W/m² (published, second hand).
Zürich-Kloten: SIA 2028:2010, Table 2, in MJ/m² a month (one source). Catalonia: NASA Surface Meteorology and
Solar Energy, release 6. German stations: monthly means of the weather service's test reference years 2010,
each one synthetic typical year, so that single months scatter (computed).
"""

from __future__ import annotations

from loomwright.energy.standard_year import DAYS_IN_MONTH

_SAP_W_M2 = {
    (53.5, -1.5): "26 54 96 150 192 200 189 157 115 66 33 21",
    (51.6, -0.9): "30 56 98 157 195 217 203 173 127 73 39 24",
    (51.1, 0.5): "32 59 104 170 208 231 216 182 133 77 41 25",
    (50.5, -4.2): "36 63 110 174 210 233 204 182 136 78 44 28",
    (52.6, -1.7): "28 55 97 153 191 208 194 163 121 69 35 23",
    (54.6, -3.0): "23 51 95 157 200 203 194 156 113 62 30 19",
    (52.4, 0.9): "30 58 101 165 203 220 206 173 128 74 39 24",
    (52.5, -3.7): "29 57 104 164 205 220 199 167 120 68 35 22",
    (55.9, -4.6): "19 46 88 148 196 193 185 150 101 55 25 15",
    (57.5, -4.6): "17 43 85 145 189 185 170 139 98 51 22 12",
    (54.6, -6.7): "24 52 96 155 201 198 183 150 107 61 30 18",
}
_SIA_MJ = {(47.48, 8.54): "102 167 313 425 546 583 603 525 355 209 106 80"}
_NASA = {(42.075, 1.821): "1.81 2.77 3.92 4.66 5.44 6.28 6.56 5.67 4.51 2.96 2.00 1.56"}
_GERMAN = {
    (53.53, 8.58): "0.46 1.15 2.00 4.15 4.49 4.70 4.86 4.21 2.75 1.69 0.73 0.39",
    (53.63, 10.00): "0.45 0.94 2.05 3.95 5.00 4.84 4.44 4.18 2.32 1.72 0.66 0.37",
    (51.40, 6.97): "0.64 1.44 1.89 3.43 4.48 4.96 4.90 4.10 2.72 1.70 0.74 0.47",
    (51.30, 9.45): "0.71 1.35 2.87 3.39 4.22 5.43 4.80 4.42 2.82 1.54 0.86 0.47",
    (50.80, 12.87): "0.87 1.51 1.73 3.39 4.71 5.12 5.75 4.75 3.09 2.14 0.94 0.69",
    (50.32, 11.88): "0.58 1.27 2.76 3.70 4.73 5.45 5.34 4.72 2.64 1.40 0.90 0.57",
    (48.28, 12.50): "1.03 1.27 2.56 3.37 5.19 5.26 5.23 4.44 3.21 2.05 0.96 0.59",
    (48.67, 9.87): "0.89 1.37 2.53 3.45 4.45 5.62 5.43 4.66 2.68 2.08 0.96 0.72",
}


def _numbers(line: str) -> list[float]:
    return [float(word) for word in line.split()]


UK = {place: [0.024 * value for value in _numbers(line)] for place, line in _SAP_W_M2.items()}
ZURICH = {
    place: [mj / 3.6 / days for mj, days in zip(_numbers(line), DAYS_IN_MONTH, strict=True)]
    for place, line in _SIA_MJ.items()
}
CATALONIA = {place: _numbers(line) for place, line in _NASA.items()}
GERMAN = {place: _numbers(line) for place, line in _GERMAN.items()}
