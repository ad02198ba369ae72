#!/usr/bin/env python3
"""Makes water_ageing.json with SciPy: gamma-Poisson counts, amounts of water,
Weibull fits and age replacement. Run it in this folder."""
import json
import math

import numpy as np
import scipy
from scipy import integrate, optimize, stats

out = {"made with": "SciPy %s, NumPy %s" % (scipy.__version__, np.__version__)}

# Finds in hours looked after: Gamma(a, b) before, Gamma(a + n, b + t) after.
# The negative binomial predicts the count of the next hours.
rates = []
for source, a, b, n, t in [
    ("Johnson, Ott and Dogucu, Bayes Rules!, ch. 5: prior (10, 2), counts 6, 2, 2, 1", 10, 2, 11, 4),
    ("Gelman et al., Bayesian Data Analysis, ch. 2: asthma deaths, 3 in 2.0", 3, 5, 3, 2),
    ("the same, 30 in 20", 3, 5, 30, 20),
    ("water: one find in 50 h before, 3 in 120 h", 1, 50, 3, 120),
    ("comebacks: 2 in 200 jobs before, 4 in 150", 2, 200, 4, 150),
]:
    post = stats.gamma(a + n, scale=1 / (b + t))
    next_50 = stats.nbinom(a + n, (b + t) / (b + t + 50))
    rates.append({
        "source": source, "prior": [a, b], "finds": n, "hours": t,
        "mean": post.mean(), "quantiles": {str(p): post.ppf(p) for p in (0.025, 0.05, 0.5, 0.95, 0.975)},
        "counts in 50": [float(next_50.pmf(k)) for k in range(7)],
    })
out["rates"] = rates

# Upper tails of the gamma distribution for shapes that are whole halves.
out["tails"] = [
    {"halves": h, "y": y, "above": float(stats.gamma.sf(y, h / 2))}
    for h in (1, 2, 3, 4, 7, 8, 16, 33, 48) for y in (0.001, 0.1, 0.9, 2.0, 7.5, 30.0)
]

# The chance of more than half a bowl in the next hours: amounts gamma with
# shape 1/2, 1, 2 or 4, alike likely, and one of 24 means from 2 to 400 ml in
# even steps of the logarithm, its logarithm normal around 15 ml with 5 % above
# 60 ml. Told amounts are densities, words and the ring up intervals.
shapes = [0.5, 1, 2, 4]
means = np.geomspace(2, 400, 24)
spread = math.log(4) / stats.norm.ppf(0.95)


def told(find, g):
    kind, ml = find
    if kind == "ml":
        return g.pdf(ml)
    if kind == "trace":
        return g.cdf(10)
    if kind == "some":
        return g.cdf(60) - g.cdf(10)
    return g.sf({"lots": 60, "ring": 10}[kind])


bowls = []
for finds, hours, bowl, ahead in [
    ([], 0, 120, 10),
    ([("ml", 5)], 30, 120, 10),
    ([("ml", 40)], 30, 120, 10),
    ([("ml", 40), ("ml", 55), ("lots", 0)], 42.5, 120, 10),
    ([("trace", 0), ("trace", 0), ("some", 0), ("ring", 0)], 90, 60, 25),
    ([("ring", 0), ("ring", 0)], 12, 90, 4),
    ([("ml", 3), ("ml", 4), ("ml", 5), ("ml", 4)], 60, 150, 100),
    ([("lots", 0)] * 5, 150, 200, 2.5),
]:
    weights, tails = [], []
    for k in shapes:
        for m in means:
            g = stats.gamma(k, scale=m / k)
            weights.append(stats.norm.pdf(math.log(m / 15) / spread) * np.prod([told(f, g) for f in finds]))
            tails.append([stats.gamma.sf(bowl / 2, n * k, scale=m / k) for n in range(1, 25)])
    weights = np.array(weights) / np.sum(weights)
    over = weights @ np.array(tails)
    a, b = 1 + len(finds), 50 + hours
    count = stats.nbinom(a, b / (b + ahead))
    chance = sum(count.pmf(n) * over[n - 1] for n in range(1, 25)) + count.sf(24)
    bowls.append({"finds": [{"as": k, "ml": ml} for k, ml in finds], "hours": hours, "bowl": bowl, "ahead": ahead, "chance": float(chance)})
out["bowls"] = bowls


# Weibull fits to lives of which some ended before failure.
def minus_log_likelihood(logs, failed, ended):
    w = stats.weibull_min(math.exp(logs[0]), scale=math.exp(logs[1]))
    return -(np.sum(w.logpdf(failed)) + np.sum(w.logsf(ended)))


fits = []
for source, failed, ended in [
    ("NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3", [54, 187, 216, 240, 244, 335, 361, 373, 375, 386], [500] * 10),
    ("hoses, some renewed in time", [410.5, 655, 702.3, 980, 1115.2, 640.8], [300, 812.4, 55, 1200]),
    ("by chance", [12, 900, 45, 300, 150, 2100, 77], [60, 33]),
]:
    best = optimize.minimize(minus_log_likelihood, [0, math.log(np.mean(failed))], args=(failed, ended), method="Nelder-Mead",
                             options={"xatol": 1e-12, "fatol": 1e-13, "maxiter": 20000, "maxfev": 20000})
    n, hours = len(failed), sum(failed) + sum(ended)
    fits.append({"source": source, "failed": failed, "ended": ended, "shape": math.exp(best.x[0]), "scale": math.exp(best.x[1]),
                 "log likelihood": -best.fun, "by chance": float(np.sum(stats.expon(scale=hours / n).logpdf(failed)) + np.sum(stats.expon(scale=hours / n).logsf(ended)))})
out["fits"] = fits

# Age replacement: Barlow and Proschan, Mathematical Theory of Reliability. The
# cost per hour of renewing at an age, minimised as it stands.
ages = []
for shape, scale, planned, dear in [(2, 100, 1, 10), (2, 1000, 1, 5), (3, 1000, 1, 5), (3, 400, 40, 600), (4, 600, 35, 900), (1.5, 1000, 1, 2)]:
    w = stats.weibull_min(shape, scale=scale)

    def cost(age):
        lived = integrate.quad(w.sf, 0, age, epsabs=0, epsrel=1e-13, limit=400)[0]
        return (planned * w.sf(age) + dear * w.cdf(age)) / lived

    best = optimize.minimize_scalar(cost, bounds=(scale * 0.05, scale * 4), method="bounded", options={"xatol": 1e-9})
    ages.append({"shape": shape, "scale": scale, "planned": planned, "failed": dear, "age": best.x, "cost": best.fun, "run": dear / w.mean()})
out["ages"] = ages

with open("water_ageing.json", "w", encoding="utf-8") as f:
    json.dump(out, f, indent=1)
    f.write("\n")
