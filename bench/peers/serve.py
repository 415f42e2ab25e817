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


def tolerance_two(file, count):
    from scipy.integrate import quad
    from scipy.optimize import brentq
    from scipy.special import chdtrc, ndtr

    def factor(n):
        df = n - 1

        def radius(z):
            return brentq(lambda r: ndtr(z + r) - ndtr(z - r) - 0.95, 0, 10, xtol=1e-12)

        def held(k):
            of = lambda z: np.exp(-z * z / 2) * chdtrc(df, df * (radius(z / np.sqrt(n)) / k) ** 2)
            return 2 * quad(of, 0, 9, epsrel=1e-10)[0] / np.sqrt(2 * np.pi)

        return brentq(lambda k: held(k) - 0.95, 1.5, 5, xtol=1e-11)

    for i in range(count):
        factor(10 + (i + 1) % 20)
    return [factor(10)]


def weibull(file, count):
    from scipy.optimize import minimize
    from scipy.stats import weibull_min

    d = np.loadtxt(file)
    x, seen = d[:, 0], d[:, 1] == 1

    def minus(at):
        shape, scale = np.exp(at)
        return -weibull_min.logpdf(x[seen], shape, 0, scale).sum() - weibull_min.logsf(x[~seen], shape, 0, scale).sum()

    for _ in range(count):
        top = minimize(minus, [np.log(5), np.log(x.mean())], tol=1e-8)
    return np.exp(top.x)


def permutation_all(file, count):
    from scipy.stats import permutation_test

    x = np.loadtxt(file)
    half = len(x) // 2
    by = lambda a, b, axis: a.mean(axis=axis) - b.mean(axis=axis)
    return [permutation_test((x[:half], x[half:]), by, vectorized=True, n_resamples=np.inf).pvalue]


def slip_fit(file, count):
    from scipy.optimize import minimize
    from scipy.special import log_ndtr

    d = np.loadtxt(file)
    t = (d[:, 0] - d[:, 0].min()) / np.ptp(d[:, 0])
    y, slipped = np.log(d[:, 1]), d[:, 2] == 1
    half = 0.5 * np.log(2 * np.pi)

    # level, growth, log scatter of slip; plateau, log scatter of break
    def minus(at):
        s, b = np.exp(at[2]), np.exp(at[4])
        z, u = (y - at[0] - at[1] * t) / s, (y - at[3]) / b
        fz, fu = -z * z / 2 - half, -u * u / 2 - half
        gz, gu = log_ndtr(-z), log_ndtr(-u)
        dz = np.where(slipped, -z, -np.exp(fz - gz))
        du = np.where(slipped, -np.exp(fu - gu), -u)
        height = np.where(slipped, fz - at[2] + gu, fu - at[4] + gz).sum()
        slope = [-dz.sum() / s, -(dz * t).sum() / s, -(dz * z).sum() - slipped.sum(), -du.sum() / b, -(du * u).sum() - (~slipped).sum()]
        return -height, -np.array(slope)

    start = [y[slipped].mean() - 0.12, 0.6, np.log(0.12), y[~slipped].mean(), np.log(0.08)]
    for _ in range(count):
        top = minimize(minus, start, jac=True, method="BFGS")
    return [-top.fun]


def bootstrap(file, count):
    from scipy.stats import bootstrap as boot

    x = np.loadtxt(file)
    for _ in range(count):
        r = boot((x,), np.mean, n_resamples=10000, method="BCa", random_state=1)
    return [r.confidence_interval.low, r.confidence_interval.high]


def mixed_fit(file, count):
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
    "tolerance-two": tolerance_two,
    "weibull": weibull,
    "bootstrap": bootstrap,
    "permutation-all": permutation_all,
    "slip-fit": slip_fit,
    "mixed-fit": mixed_fit,
}
# Done once, whatever the count, since it takes long: its time is told times the count.
once = ["permutation-all"]
for line in sys.stdin:
    work, file, count = line.split()
    if work == "pyramid":
        made(int(count))
    if work == "pass":
        pulled(int(count))
    wall, cpu = time.perf_counter(), time.process_time()
    answer = works[work](file, int(count))
    times = int(count) if work in once else 1
    wall, cpu = (time.perf_counter() - wall) * times, (time.process_time() - cpu) * times
    print(wall * 1e3, cpu * 1e3, *(repr(float(one)) for one in answer), flush=True)
