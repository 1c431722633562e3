# SPDX-License-Identifier: MIT
"""One case on the SciPy side: work.py CASE FOLDER. Reads orders from standard input, one a line, and answers each with one line:
run (times the work, median in seconds), memory (peak of this process in MiB), result PATH (bare doubles), versions."""
import importlib, resource, statistics, sys, time

import numpy
import scipy

sys.dont_write_bytecode = True  # nothing is left beside the scripts

SECONDS_PER_RUN, MOST_CALLS = 0.15, 200

case = importlib.import_module(sys.argv[1])
data = case.load(sys.argv[2])
outcome = None


def timed():
    global outcome
    outcome = None
    start = time.perf_counter()
    outcome = case.run(data)
    return time.perf_counter() - start


for line in sys.stdin:
    order, _, rest = line.strip().partition(" ")
    if order == "run":
        times = [timed()]
        while sum(times) < SECONDS_PER_RUN and len(times) < MOST_CALLS:
            times.append(timed())
        print(statistics.median(times), flush=True)
    elif order == "memory":
        print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, flush=True)
    elif order == "result":
        timed()
        numpy.ascontiguousarray(outcome).tofile(rest)
        print("written", flush=True)
    elif order == "versions":
        print(f"Python {sys.version.split()[0]}, NumPy {numpy.__version__}, SciPy {scipy.__version__}", flush=True)
