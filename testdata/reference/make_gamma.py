#!/usr/bin/env python3
"""Makes gamma.json: gamma quantiles, moments and first passages by SciPy.

Sources: van Noortwijk, "A survey of the application of gamma processes in
maintenance", Reliability Engineering and System Safety 94 (2009); Cinlar,
Bazant and Osman, "Stochastic process for extrapolating concrete creep",
J. Eng. Mech. Div. ASCE 103 (1977). Run with Debian's python3 and python3-scipy.
"""
import json
import math

import numpy as np
import scipy
from scipy import optimize, stats

FIFTHS = [0.1, 0.3, 0.5, 0.7, 0.9]
EDGES = [0.0139, 0.1, 0.3, 0.5, 0.7, 0.9, 0.9861]
UNEVEN = 1.5  # mean square of a job's length over the square of its mean


def split(shape):
    """Chance to stand still, and shape and scale of the gain where it works, for
    a gain of mean 1 and variance 1/shape."""
    still = math.exp(-UNEVEN * shape)
    mean = 1 / (1 - still)
    square = (1 + 1 / shape) / (1 - still)  # mean square of the working gains
    var = square - mean * mean
    return still, mean * mean / var, var / mean


def work_edges(shape):
    """Quantiles of the gain where it works."""
    _, k, scale = split(shape)
    return [float(q) for q in stats.gamma.ppf(EDGES, k, scale=scale)]


def work_sf(x, shape, mean):
    still, k, scale = split(shape)
    return (1 - still) * float(stats.gamma.sf(x / mean, k, scale=scale))


shapes = [0.03, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 30, 100, 300, 1000]
out = {"made_by": "make_gamma.py, SciPy " + scipy.__version__, "fifths": FIFTHS, "edges": EDGES}
out["gamma"] = [{"shape": a, "q": [float(q) for q in stats.gamma.ppf(FIFTHS, a, scale=1 / a)]} for a in shapes]
out["work"] = [{"shape": a, "still": split(a)[0], "edges": work_edges(a)} for a in shapes]

days = np.array([3.0, 4, 3, 4, 7, 7, 3, 7, 7, 14])
gains = np.array([3.7, 5.1, 0.0, 8.2, 13.2, 8.5, 3.7, 12.6, 0.7, 21.0])
u = gains.sum() / days.sum()
# var(gain_i - u days_i) summed up has this mean times the scale: c/u^2 form of
# Cinlar, Bazant and Osman, solved for the scale.
scale = ((gains - u * days) ** 2).sum() / (gains.sum() * (1 - (days**2).sum() / days.sum() ** 2))
out["moments"] = {"days": days.tolist(), "gains": gains.tolist(), "scale": float(scale)}

# First passages of a level by a process of some pace (h a day) and scale (h): the
# days after which the chance to have passed it is 10, 50 and 90 %.
out["passages"] = []
for pace, theta, level in [(0.3, 2, 5), (1.2, 3, 20), (1.2, 3, 60), (5, 4, 100), (0.05, 1, 4)]:
    def chance(t):
        return work_sf(level, pace * t / theta, pace * t)
    out["passages"].append({
        "pace": pace, "scale": theta, "level": level,
        "days": [float(optimize.brentq(lambda t: chance(t) - p, 1e-3, 1e5, xtol=1e-10)) for p in (0.1, 0.5, 0.9)],
    })
with open("gamma.json", "w") as f:
    json.dump(out, f, indent=1)
    f.write("\n")
