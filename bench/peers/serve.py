"""One line in, "work file count"; one line out, wall ms, processor ms and the answer."""
import sys
import time
import warnings

import numpy as np

warnings.filterwarnings("ignore")
had = {}


def made(rows):
    if rows not in had:
        had.clear()
        i = np.arange(rows, dtype=np.int64)
        had[rows] = ((i * 7919) % 65537) / 8 + i / rows
    return had[rows]


def csv(file, count):
    import pandas

    d = pandas.read_csv(file)
    return [len(d), d.iloc[:, 1].sum()]


def pulled(rows):
    key = ("pulls", rows)
    if key not in had:
        had.clear()
        i = np.arange(rows, dtype=np.int64)
        time = i / 1000
        phase = time % 100
        load = np.where((phase >= 20) & (phase < 80), (phase - 20) * 600, 0)
        had[key] = (time, load + 110 + 20 * ((i * 7919) % 65537) / 65537)
    return had[key]


def do_pass(time, force):
    steps = np.diff(force)
    took = np.diff(time)
    fallen = np.maximum.accumulate(force) - force > 1000
    # Once where it falls: on the way up again noise crosses the level to and fro.
    drops = np.count_nonzero(fallen[1:] & (steps < -1000))
    return [force.min(), force.max(), (took.min() + took.max()) / 2, drops, np.dot(steps, steps) / len(force)]


def pyramid(force):
    low = high = force
    total = 0.0
    while len(low) > 16:
        at = np.arange(0, len(low), 16)
        low, high = np.minimum.reduceat(low, at), np.maximum.reduceat(high, at)
        total += high[0] + low[-1]
    return [total]


def tolerance_one(file, count):
    from scipy.stats import nct, norm

    for i in range(count):
        n = 10 + (i + 1) % 20
        nct.ppf(0.95, n - 1, norm.ppf(0.95) * np.sqrt(n)) / np.sqrt(n)
    return [nct.ppf(0.95, 9, norm.ppf(0.95) * np.sqrt(10)) / np.sqrt(10)]


def bootstrap(file, count):
    from scipy.stats import bootstrap as boot

    x = np.loadtxt(file)
    r = boot((x,), np.mean, n_resamples=10000, method="BCa", random_state=1)
    return [r.confidence_interval.low, r.confidence_interval.high]


def mixed(file, count):
    import statsmodels.api as sm

    d = np.loadtxt(file)
    exog = np.column_stack([np.ones(len(d)), d[:, 1]])
    for _ in range(count):
        m = sm.MixedLM(d[:, 0], exog, groups=d[:, 2]).fit(reml=True)
    return [m.fe_params[1], np.sqrt(m.cov_re[0][0]), np.sqrt(m.scale)]


works = {
    "csv": csv,
    "pass": lambda file, count: do_pass(*pulled(count)),
    "pyramid": lambda file, count: pyramid(made(count)),
    "tolerance-one": tolerance_one,
    "bootstrap": bootstrap,
    "mixed": mixed,
}
for line in sys.stdin:
    work, file, count = line.split()
    if work == "pyramid":
        made(int(count))
    if work == "pass":
        pulled(int(count))
    wall, cpu = time.perf_counter(), time.process_time()
    answer = works[work](file, int(count))
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    print(wall * 1e3, cpu * 1e3, *(repr(float(one)) for one in answer), flush=True)
