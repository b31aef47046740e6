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


class SplitMix:
    """The 64-bit generator of Steele, Lea and Flood 2014, Fig. 17."""

    def __init__(self, seed):
        self.state = seed

    def below(self, count):
        """An index below `count`, from the upper 53 bits as a number from 0 to 1."""
        mask = (1 << 64) - 1
        self.state = (self.state + 0x9E3779B97F4A7C15) & mask
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & mask
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
        return min(int(((z ^ (z >> 31)) >> 11) / 2.0**53 * count), count - 1)


def bootstrap_half(first, second, seed):
    """Half the distance of the 2.5 and 97.5 % points of 1000 differences of means, drawn in circular pairs.

    The second sample is drawn before the first; the points are the nearest draws of `(count - 1) part`.
    """
    random = SplitMix(seed)

    def resampled(values):
        starts = [random.below(len(values)) for _ in range((len(values) + 1) // 2)]
        drawn = [values[(s + i) % len(values)] for s in starts for i in range(2)]
        return np.mean(drawn[: len(values)])

    draws = np.sort([resampled(second) - resampled(first) for _ in range(1000)])
    return float(draws[round(999 * 0.975)] - draws[round(999 * 0.025)]) / 2.0


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
                "bootstrap_half": bootstrap_half(first, second, 100 + n),
            }
        )
    return found


def intervals():
    """Both."""
    return {"student": student(), "pairs": pairs()}
