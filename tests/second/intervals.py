"""Means, spreads, Student's t and Welch's interval, by a general statistics library (SciPy)."""

import numpy as np
from scipy import stats


def student():
    """Quantiles and two-sided probabilities of Student's t, fractional degrees of freedom among them."""
    freedoms = [1.0, 1.5, 2.0, 3.3, 4.749, 7.0, 9.0, 12.25, 30.0, 77.7, 250.0, 1000.0]
    ts = [0.01, 0.5, 1.0, 1.96, 2.5, 4.0, 12.0]
    return {
        "quantiles_975": [[v, float(stats.t.ppf(0.975, v))] for v in freedoms],
        "two_sided": [[v, t, float(2.0 * stats.t.sf(t, v))] for v in freedoms for t in ts],
    }


def pairs():
    """Pairs of samples: mean, spread, the interval of each mean and Welch's of their difference."""
    random = np.random.default_rng(7)
    found = []
    for n, m, spread in [(2, 3, 1.0), (5, 4, 2.5), (8, 8, 0.3), (12, 30, 6.0), (40, 7, 1.5)]:
        first = 60.0 + random.standard_normal(n)
        second = 58.0 + spread * random.standard_normal(m)
        welch = stats.ttest_ind(second, first, equal_var=False).confidence_interval(0.95)

        def interval(values):
            return stats.t.interval(0.95, len(values) - 1, values.mean(), stats.sem(values))

        found.append(
            {
                "first": first.tolist(),
                "second": second.tolist(),
                "means": [float(first.mean()), float(second.mean())],
                "sds": [float(first.std(ddof=1)), float(second.std(ddof=1))],
                "first_interval": [float(x) for x in interval(first)],
                "welch_half": float(welch.high - welch.low) / 2.0,
            }
        )
    return found


def intervals():
    """Both."""
    return {"student": student(), "pairs": pairs()}
