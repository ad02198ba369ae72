#!/usr/bin/env python3
"""Random two-layer noisy-OR networks with exact posteriors over one and two causes, by
enumerating every state of every link and leak: nothing but the definition of noisy-OR is
used (J. Pearl, Probabilistic Reasoning in Intelligent Systems, 1988, 4.3.2), in exact
fractions. Written apart from the program that it checks. Debian's python3, no packages."""
import gzip, itertools, json, random
from fractions import Fraction as F

def seen(leak, links):
    """Chance that a sign shows: over all states of the leak and of each link, any on."""
    p = F(0)
    for state in itertools.product((0, 1), repeat=1 + len(links)):
        if any(state):
            q = F(1)
            for on, x in zip(state, [leak] + links):
                q *= x if on else 1 - x
            p += q
    return p

def make(rnd):
    causes, signs = rnd.randint(2, 6), rnd.randint(1, 6)
    f = lambda lo, hi: F(rnd.randint(lo, hi), 100)
    weights = [rnd.randint(1, 100) for _ in range(causes)]
    trouble = f(5, 60)
    leaks = [f(1, 30) for _ in range(signs)]
    links = [[f(1, 95) if rnd.random() < .5 else F(0) for _ in range(causes)] for _ in range(signs)]
    answers = [rnd.choice(("yes", "no", None)) for _ in range(signs)]
    prior = [trouble * w / sum(weights) for w in weights]
    odds = [p / (1 - p) for p in prior]
    mass = {}
    for i in range(causes):
        for j in range(i, causes):
            chosen = sorted({i, j})
            m = F(1)
            for c in chosen:
                m *= odds[c]
            for s, a in enumerate(answers):
                if a is not None:
                    p = seen(leaks[s], [links[s][c] for c in chosen])
                    m *= p if a == "yes" else 1 - p
            mass[i, j] = m
    total = sum(mass.values())
    chance = [sum(m for k, m in mass.items() if c in k) / total for c in range(causes)]
    two = sum(m for (i, j), m in mass.items() if i != j) / total
    n = lambda x: float(x)
    return dict(weights=weights, trouble=n(trouble), leaks=list(map(n, leaks)), links=[list(map(n, r)) for r in links],
                answers=[a or "" for a in answers], chance=[round(n(x), 12) for x in chance], two=round(n(two), 12))

rnd = random.Random(20261125)
rows = [make(rnd) for _ in range(1000)]
with open("networks.json.gz", "wb") as f:
    f.write(gzip.compress("\n".join(json.dumps(r) for r in rows).encode(), mtime=0))
