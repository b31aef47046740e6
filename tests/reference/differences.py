"""Differences of two means, by a library of statistical models (statsmodels), and resampled in blocks by a
library of bootstraps (arch), neither of which shares its code with `intervals.py`."""

import warnings

import numpy as np
from arch.bootstrap import CircularBlockBootstrap
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

# With this number of draws the quantiles are known to some 0.5 % of their distance.
DRAWS = 40_000
BLOCK = 2


def resampled_half(first, second, seed):
    """Half the distance of the 2.5 and 97.5 % points of differences of means, drawn in circular blocks."""

    def means(values, seed):
        with warnings.catch_warnings():
            # It warns that a series of odd length ends with half a block, which is intended.
            warnings.simplefilter("ignore")
            return CircularBlockBootstrap(BLOCK, values, seed=seed).apply(np.mean, DRAWS)[:, 0]

    draws = means(second, seed) - means(first, seed + 1)
    low, high = np.percentile(draws, [2.5, 97.5])
    return float(high - low) / 2.0


def compared(n, m, spread, seed):
    """A pair of samples with correlated neighbours, and the results of the libraries."""
    random = np.random.default_rng(seed)

    def like_neighbours(count, mean, sd):
        raw = random.standard_normal(count + 1)
        return mean + sd * (raw[1:] + 0.6 * raw[:-1])

    first, second = like_neighbours(n, 60.0, 1.0), like_neighbours(m, 59.0, spread)
    both = CompareMeans(DescrStatsW(second), DescrStatsW(first))
    low, high = both.tconfint_diff(alpha=0.05, usevar="unequal")
    _, _, freedom = both.ttest_ind(usevar="unequal")
    return {
        "first": first.tolist(),
        "second": second.tolist(),
        "difference": float(second.mean() - first.mean()),
        "freedom": float(freedom),
        "interval": [float(low), float(high)],
        "resampled_half": resampled_half(first, second, 10 * seed),
    }


def differences():
    """Few and many strides, equal and different spreads."""
    sizes = [(7, 9, 1.0), (8, 8, 0.3), (12, 30, 6.0), (40, 7, 1.5), (25, 25, 1.0)]
    return [compared(n, m, spread, 31 + i) for i, (n, m, spread) in enumerate(sizes)]
