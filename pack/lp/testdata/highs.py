"""Solves linear programs with SciPy's HiGHS: one JSON object a line, maximise
c·x with rows a·x <= b and lo <= x <= hi; answers one line each."""
import json
import sys

from scipy.optimize import linprog

for line in sys.stdin:
    p = json.loads(line)
    r = linprog([-v for v in p["c"]], A_ub=p["a"] or None, b_ub=p["b"] or None,
                bounds=list(zip(p["lo"], p["hi"])), method="highs")
    print(json.dumps({"status": r.status, "value": -r.fun if r.status == 0 else 0.0}))
