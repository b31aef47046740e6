"""Filtered series and splines, by a general signal library (SciPy)."""

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.signal import butter, filtfilt


def filtered():
    """Random movements, low-passed forward and back with both ends mirrored through their end points."""
    random = np.random.default_rng(5)
    found = []
    for count, rate_hz, cutoff_hz, padding in [
        (40, 30.0, 6.0, 9),
        (64, 60.0, 6.0, 10),
        (120, 120.0, 8.0, 15),
        (90, 69.9, 5.0, 20),
        (200, 240.0, 12.0, 20),
        (33, 50.0, 15.0, 32),
    ]:
        series = 0.002 * random.standard_normal(count) + 0.01 * np.cumsum(random.standard_normal(count))
        # The two passes together are to have a gain of 1/sqrt(2) at the cut-off.
        ratio = (np.sqrt(2.0) - 1.0) ** 0.25
        single_hz = rate_hz / np.pi * np.arctan(np.tan(np.pi * cutoff_hz / rate_hz) / ratio)
        b, a = butter(2, single_hz, fs=rate_hz)
        found.append(
            {
                "rate_hz": rate_hz,
                "cutoff_hz": cutoff_hz,
                "padding": padding,
                "series": series.tolist(),
                "filtered": filtfilt(b, a, series, padtype="odd", padlen=padding).tolist(),
                "velocity": np.gradient(series, 1.0 / rate_hz)[1:-1].tolist(),
                "acceleration": (np.diff(series, 2) * rate_hz**2).tolist(),
            }
        )
    return found


def splined():
    """Cubic splines through random points with uneven knots, between them and a little outside."""
    random = np.random.default_rng(6)
    found = []
    for count in [2, 3, 4, 5, 9, 40]:
        knots = np.cumsum(random.uniform(0.3, 2.0, count))
        values = random.standard_normal(count)
        at = np.linspace(knots[0] - 0.2, knots[-1] + 0.2, 37)
        spline = CubicSpline(knots, values, bc_type="not-a-knot")
        found.append(
            {
                "knots": knots.tolist(),
                "values": values.tolist(),
                "at": at.tolist(),
                "expected": spline(at).tolist(),
            }
        )
    return found


def signals():
    """Both."""
    return {"filtered": filtered(), "splined": splined()}
