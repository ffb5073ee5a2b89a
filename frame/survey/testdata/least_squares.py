"""Least squares of the same networks by scipy: reads them from standard input, writes places,
standard deviations and redundancy. Shares no code with what it judges: it has its own
parameters (polar ones of the datum's line), numeric derivatives and covariance."""
import json
import sys

import numpy as np
from scipy.optimize import least_squares

out = []
for net in json.load(sys.stdin):
    ys, start, slope = np.array(net["y"]), np.array(net["near"], float), net["slope"]
    ms = net["measurements"]
    u = np.array([np.cos(slope), np.sin(slope)])
    heights = any(m["sort"] == 1 for m in ms)

    def places(v):
        p = np.zeros((len(ys), 2))
        p[1] = v[0] * u
        p[2:] = v[1:2 * len(ys) - 3].reshape(-1, 2)
        return p

    def predicted(v):
        p, level = places(v), v[-1] if heights else 0.0
        r = []
        for m in ms:
            a, b = m["from"], m["to"]
            if m["sort"] == 0:
                r.append(np.sqrt(np.sum((p[b] - p[a]) ** 2) + (ys[b] - ys[a]) ** 2))
            elif m["sort"] == 1:
                r.append(p[a][1] - level)
            else:
                r.append(np.arctan2(p[b][1] - p[a][1], abs(p[b][0] - p[a][0])))
        return np.array(r)

    sd = np.array([m["sd"] for m in ms])
    measured = np.array([m["value"] for m in ms])
    v0 = np.concatenate([[start[1] @ u], start[2:].ravel(), [-100.0] if heights else []])
    fit = least_squares(lambda v: (predicted(v) - measured) / sd, v0, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    v = fit.x

    def jacobian(v):
        # Fourth-order differences: errors of some 1e-12.
        cols = []
        for k in range(len(v)):
            h = 1e-2
            e = np.zeros(len(v))
            e[k] = h
            cols.append((8 * (predicted(v + e) - predicted(v - e)) - (predicted(v + 2 * e) - predicted(v - 2 * e))) / (12 * h) / sd)
        return np.array(cols).T

    for _ in range(5):  # end of the way
        v = v + np.linalg.lstsq(jacobian(v), (measured - predicted(v)) / sd, rcond=None)[0]
    j = jacobian(v)
    q = np.linalg.inv(j.T @ j)
    # Covariance of all coordinates from the parameters.
    n = len(ys)
    d = np.zeros((2 * n, len(v)))
    d[2:4, 0] = u
    d[4:, 1:2 * n - 3] = np.eye(2 * n - 4)
    full = d @ q @ d.T
    p = places(v)
    # About the network as a whole: without its mean movement, and turn where nothing else holds that.
    c = p - p.mean(axis=0)
    g = [np.tile([1, 0], n), np.tile([0, 1], n)]
    if not any(m["sort"] for m in ms):
        g.append(np.column_stack([-c[:, 1], c[:, 0]]).ravel())
    g = np.array(g, float).T
    s = np.eye(2 * n) - g @ np.linalg.inv(g.T @ g) @ g.T
    free = s @ full @ s.T
    out.append({
        "places": p.tolist(),
        "fixed": np.sqrt(np.maximum(np.diag(full), 0)).reshape(-1, 2).tolist(),
        "free": np.sqrt(np.diag(free)).reshape(-1, 2).tolist(),
        "long": [float(np.sqrt(np.linalg.eigvalsh(free[2 * i:2 * i + 2, 2 * i:2 * i + 2])[1])) for i in range(n)],
        "checked": (1 - np.diag(j @ q @ j.T)).tolist(),
        "cost": float(np.sum(((predicted(v) - measured) / sd) ** 2)),
    })
json.dump(out, sys.stdout)
