# The shortest way through a grid of points 10 mm apart (26 neighbours) that keep clear of boxes
# and tubes, by scipy's Dijkstra. Reads a scene as JSON; prints the length, or "none".
import json
import sys

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import dijkstra

SIZE, STEP = (400, 300, 300), 10.0
scene = json.load(sys.stdin)
vec = lambda v: np.array([v["X"], v["Y"], v["Z"]])
start, goal, radius = vec(scene["From"]), vec(scene["To"]), scene["Radius"]


def outside(points):
    free = np.all((points >= radius) & (points <= np.array(SIZE) - radius), axis=1)
    for s in scene["Solids"]:
        if s["Kind"] == "box":
            local = (points - vec(s["Centre"])) @ np.array([vec(a) for a in s["Axes"]]).T
            d = np.linalg.norm(np.maximum(np.abs(local) - vec(s["Half"]), 0), axis=1)
        else:
            a, b = vec(s["From"]), vec(s["To"])
            t = np.clip((points - a) @ (b - a) / max((b - a) @ (b - a), 1e-12), 0, 1)
            d = np.linalg.norm(points - a - t[:, None] * (b - a), axis=1)
        free &= d >= s["Grow"]
    return free


counts = [int(n / STEP) + 1 for n in SIZE]
index = np.arange(np.prod(counts)).reshape(counts)
grid = np.stack(np.meshgrid(*[np.arange(n) * STEP for n in counts], indexing="ij"), -1).reshape(-1, 3)
points = np.vstack([grid, start, goal])
free = outside(points)
free[-2:] = True
rows, cols, lengths = [], [], []
for d in [(x, y, z) for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1) if (x, y, z) > (0, 0, 0)]:
    a = index[tuple(slice(max(0, -k), n - max(0, k)) for k, n in zip(d, counts))].ravel()
    b = index[tuple(slice(max(0, k), n - max(0, -k)) for k, n in zip(d, counts))].ravel()
    both = free[a] & free[b] & outside((points[a] + points[b]) / 2)
    rows.append(a[both]), cols.append(b[both])
    lengths.append(np.full(both.sum(), np.linalg.norm(d) * STEP))
for end in (len(grid), len(grid) + 1):
    near = np.flatnonzero((np.linalg.norm(grid - points[end], axis=1) <= 2 * STEP) & free[:-2])
    near = near[outside((points[near] + points[end]) / 2)]
    rows.append(near), cols.append(np.full(len(near), end))
    lengths.append(np.linalg.norm(points[near] - points[end], axis=1))
n = len(points)
graph = coo_matrix((np.concatenate(lengths), (np.concatenate(rows), np.concatenate(cols))), shape=(n, n))
length = dijkstra(graph.tocsr(), directed=False, indices=len(grid))[len(grid) + 1]
print("none" if np.isinf(length) else repr(float(length)))
