"""The greatest spare of a frame and a pack by the solver HiGHS (Debian python3-scipy, scipy.optimize.milp).

One JSON object a line in, one a line out, as z3spare.py, with "lowest" the spare of a layout that is
known: no less is looked for. Out: "status" ("done", "unsat", "unknown"), "spare", "bound" (of HiGHS),
"processor_seconds" (of this process, for all but reading the question).

A mixed-integer program of the definition of the spare: real positions, a binary for each rotation of
a box, and one for each sheet that may part two bodies, of which one has to; a sheet that is not
taken is switched off by a constant (big M), no larger than it has to be for the ranges of the
positions, which linear programs tighten first: what walls and rotations leave where at least "lowest"
is to be had.
"""
import importlib.util
import json
import os
import sys
import time
import types

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import coo_matrix

if importlib.util.find_spec("z3") is None:  # the geometry of the other script needs none of it
    sys.modules["z3"] = types.ModuleType("z3")
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import z3spare as geometry  # noqa: E402


class Program:
    """Columns with bounds, and rows."""

    def __init__(self):
        self.low, self.high, self.integer, self.rows, self.lows, self.highs = [], [], [], [], [], []

    def column(self, low, high, integer=0):
        self.low.append(low)
        self.high.append(high)
        self.integer.append(integer)
        return len(self.low) - 1

    def row(self, terms, low, high=np.inf):
        self.rows.append(terms)
        self.lows.append(low)
        self.highs.append(high)

    def matrix(self):
        entries = [(r, c, v) for r, terms in enumerate(self.rows) for c, v in terms.items() if v]
        r, c, v = zip(*entries)
        return coo_matrix((v, (r, c)), shape=(len(self.rows), len(self.low))).tocsr()

    def extreme(self, terms, sign):
        """The least (sign 1) or greatest (-1) of terms where binaries may be anything between 0 and 1."""
        cost = np.zeros(len(self.low))
        for c, v in terms.items():
            cost[c] = sign * v
        a = self.matrix()
        low, high = np.array(self.lows), np.array(self.highs)
        up, down = np.isfinite(high), np.isfinite(low)
        from scipy.sparse import vstack
        r = linprog(cost, A_ub=vstack([a[up], -a[down]]), b_ub=np.concatenate([high[up], -low[down]]),
                    bounds=list(zip(self.low, self.high)), method="highs")
        return None if r.status == 2 else sign * r.fun

    def least(self, terms):
        """The least of terms for the ranges of the columns."""
        return sum(v * (self.low[c] if v > 0 else self.high[c]) for c, v in terms.items())


def add(*parts):
    total = {}
    for terms, factor in parts:
        for c, v in terms.items():
            total[c] = total.get(c, 0) + factor * v
    return total


class Model:
    def __init__(self, frame, pack, lowest):
        self.gaps = {k: float(v) for k, v in {**geometry.GAPS, **pack.get("gaps", {})}.items()}
        self.p, self.boxes = Program(), []
        self.spare = self.p.column(lowest, 1000)
        for kind in pack["boxes"]:
            poses = geometry.poses_of(kind, False)
            for number in range(1, kind.get("count", 1) + 1):
                box = {"at": [self.p.column(-5000, 5000) for _ in range(3)],
                       "chosen": [self.p.column(0, 1, 1) for _ in poses], "poses": poses, "kind": kind["name"]}
                self.p.row({c: 1 for c in box["chosen"]}, 1, 1)
                if number > 1:
                    self.p.row({self.boxes[-1]["at"][0]: -1, box["at"][0]: 1}, 0)
                self.boxes.append(box)
        walls, solids = geometry.surroundings(frame, {k: geometry.F(v) for k, v in self.gaps.items()}, False)
        for i, box in enumerate(self.boxes):
            for body in range(len(box["poses"][0].bodies)):
                for wall in walls:
                    post = box["poses"][0].bodies[body].post
                    gap = self.gaps["post"] if post and wall.metal else self.gaps["wall"]
                    rule = add((self.along(i, wall.n), 1), (self.reach(i, body, geometry.neg(wall.n)), -1), ({self.spare: 1}, -1))
                    self.p.row(rule, float(wall.offset) + gap)
        self.hopeless = not self.tighten()
        if self.hopeless:
            return
        for i in range(len(self.boxes)):
            for body in range(len(self.boxes[i]["poses"][0].bodies)):
                for solid in solids:
                    self.clear_of(i, body, solid)
            for j in range(i):
                self.apart(j, i)

    def tighten(self):
        """Ranges of the columns by linear programs. All rows so far are of one box."""
        columns = [c for box in self.boxes for c in box["at"]] + [self.spare]
        for c in columns:
            least, most = self.p.extreme({c: 1}, 1), self.p.extreme({c: 1}, -1)
            if least is None or most is None:
                return False
            self.p.low[c], self.p.high[c] = max(self.p.low[c], least - 1e-6), min(self.p.high[c], most + 1e-6)
        return True

    def along(self, i, u):
        return {c: float(q) for c, q in zip(self.boxes[i]["at"], u) if q}

    def reach(self, i, body, u):
        box = self.boxes[i]
        return {c: float(p.bodies[body].reach(u)) for c, p in zip(box["chosen"], box["poses"])}

    def having(self, i, body, u):
        box = self.boxes[i]
        which = {c: 1 for c, p in zip(box["chosen"], box["poses"]) if u in p.bodies[body].normals()}
        return None if len(which) == len(box["poses"]) else which

    def directions(self, i, body):
        return list(dict.fromkeys(n for p in self.boxes[i]["poses"] for n in p.bodies[body].normals()))

    def either(self, sheets):
        """One of some rules holds: (terms, at least, binaries of which one has to be 1 for it, or None)."""
        taken = []
        for terms, bound, asks in sheets:
            short = bound - self.least(terms)
            z = self.p.column(0, 1, 1)
            taken.append(z)
            if short > 0:
                self.p.row(add((terms, 1), ({z: 1}, -short)), bound - short)
            if asks is not None:
                self.p.row(add((asks, 1), ({z: 1}, -1)), 0)
        self.p.row({z: 1 for z in taken}, 1)

    def least(self, terms):
        """As Program.least, but of the rotations of a box only one counts."""
        ranges, seen = 0, set()
        for box in self.boxes:
            here = [terms[c] for c in box["chosen"] if c in terms]
            if here:
                ranges += min(here + ([0] if len(here) < len(box["chosen"]) else []))
                seen.update(box["chosen"])
        return ranges + self.p.least({c: v for c, v in terms.items() if c not in seen})

    def clear_of(self, i, body, solid):
        post = self.boxes[i]["poses"][0].bodies[body].post
        gap = float(solid.gap)
        if post and solid.metal:
            gap = max(self.gaps["post"], float(getattr(solid, "own", None) or 0))
        facing = [geometry.neg(n) for n in solid.normals]
        sheets = []
        for u in dict.fromkeys(facing + self.directions(i, body)):
            near = solid.nearest(u)
            if near is None:
                continue
            terms = add((self.along(i, u), -1), (self.reach(i, body, u), -1), ({self.spare: 1}, -1))
            sheets.append((terms, gap - float(near), None if u in facing else self.having(i, body, u)))
        self.either(sheets)

    def apart(self, i, j):
        a, b = self.boxes[i]["poses"][0].bodies, self.boxes[j]["poses"][0].bodies
        for m in range(len(a)):
            for n in range(len(b)):
                sheets = []
                for u in dict.fromkeys(self.directions(i, m) + self.directions(j, n)):
                    terms = add((self.along(j, u), 1), (self.along(i, u), -1), (self.reach(i, m, u), -1),
                                (self.reach(j, n, geometry.neg(u)), -1), ({self.spare: 1}, -1))
                    first, second = self.having(i, m, u), self.having(j, n, u)
                    asks = None if None in (first, second) else add((first, 1), (second, 1))
                    sheets.append((terms, self.between(a[m], b[n], u), asks))
                self.either(sheets)

    def between(self, a, b, u):
        if a.post and b.post:
            return self.gaps["post"]
        if a.post or b.post:
            return self.gaps["boot"]
        return self.gaps["above"] if u[2] * u[2] > geometry.F(1, 2) else self.gaps["beside"]

    def solve(self, seconds):
        if self.hopeless:
            return {"status": "unsat"}
        cost = np.zeros(len(self.p.low))
        cost[self.spare] = -1
        r = milp(cost, integrality=np.array(self.p.integer), bounds=Bounds(np.array(self.p.low), np.array(self.p.high)),
                 constraints=LinearConstraint(self.p.matrix(), np.array(self.p.lows), np.array(self.p.highs)),
                 options={"time_limit": seconds, "mip_rel_gap": 1e-5})
        status = {0: "done", 2: "unsat"}.get(r.status, "unknown")
        found = {} if r.x is None else {"spare": float(r.x[self.spare])}
        return {"status": status, "bound": -float(r.mip_dual_bound) if r.mip_dual_bound is not None else None, **found}


def main():
    for line in sys.stdin:
        question = json.loads(line)
        start = time.process_time()
        answer = Model(question["frame"], question["pack"], float(question["lowest"])).solve(question["seconds"])
        answer["processor_seconds"] = time.process_time() - start
        print(json.dumps(answer), flush=True)


main()
