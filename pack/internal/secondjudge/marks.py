"""Frames measured with a tape, for the second judge: where marks are and how far they may be
off, worked out here anew with scipy, and written into the frame's file in place of their names.
"""

from decimal import Decimal as D

import numpy as np
from scipy.optimize import least_squares
from scipy.stats import chi2

AT_MOST = 2.6


class Survey:
    """The marks of a frame file. reader reads lengths, doc is the file."""

    def __init__(self, reader, doc):
        self.length = lambda v: float(reader.length(v))
        self.doc = doc
        self.marks = [m if isinstance(m, dict) else {"name": m} for m in doc["marks"]]
        self.names = [m["name"] for m in self.marks]
        self.y = np.array([self.length(m.get("y", 0)) for m in self.marks])
        self.measured = self.measurements()
        self.heights = any(m[0] == "height" for m in self.measured)
        self.setting()
        self.solve()

    def measurements(self):
        usual = self.length(self.doc.get("accuracy", 0))
        index = self.names.index

        def sd(m):
            return (self.length(m["accuracy"]) if m.get("accuracy") is not None else usual) / AT_MOST
        found = [("taped", index(m["from"]), index(m["to"]), self.length(m["length"]), sd(m)) for m in self.doc.get("taped") or []]
        found += [("height", index(m["mark"]), 0, self.length(m["length"]), sd(m)) for m in self.doc.get("heights") or []]
        for m in self.doc.get("slopes") or []:
            found.append(("slope", index(m["from"]), index(m["to"]), np.radians(float(m["degrees"])), np.radians(float(m.get("accuracy", 0.5))) / AT_MOST))
        return found

    def setting(self):
        """places = base + move @ unknowns: what is known stays, the level line keeps its slope."""
        n = len(self.names)
        known = [i for i, m in enumerate(self.marks) if m.get("at") is not None]
        self.known = known
        held = np.zeros((0, 2 * n))
        self.base = np.zeros(2 * n)

        def hold(row):
            nonlocal held
            held = np.vstack([held, row])
        unit = np.eye(2 * n)
        for i in known:
            self.base[2 * i:2 * i + 2] = [self.length(v) for v in self.marks[i]["at"]]
            hold(unit[2 * i])
            hold(unit[2 * i + 1])
        if not known:
            level = self.doc["level"]
            origin = self.names.index(level["origin"])
            self.line = self.ends(level["along"])
            slope = np.radians(float(level.get("slope", 0)))
            self.u = np.array([np.cos(slope), np.sin(slope)])
            hold(unit[2 * origin])
            hold(unit[2 * origin + 1])
            a, b = self.line
            across = np.array([-self.u[1], self.u[0]])
            row = np.zeros(2 * n)
            row[2 * b:2 * b + 2], row[2 * a:2 * a + 2] = across, -across
            hold(row)
        _, s, v = np.linalg.svd(held)
        self.move = v[np.sum(s > 1e-9):].T

    def ends(self, along):
        if isinstance(along, list):
            return [self.names.index(a) for a in along]
        for a in self.names:
            for b in self.names:
                if a != b and str(along).replace(" ", "") in (a + "-" + b, a + "–" + b):
                    return [self.names.index(a), self.names.index(b)]
        raise ValueError("no line %r" % along)

    def residuals(self, v):
        p = (self.base + self.move @ v[:self.move.shape[1]]).reshape(-1, 2)
        level = v[-1] if self.heights else 0
        out = []
        for sort, a, b, value, sd in self.measured:
            d = p[b] - p[a]
            if sort == "taped":
                got = np.sqrt(d @ d + (self.y[b] - self.y[a]) ** 2)
            elif sort == "height":
                got = p[a][1] - level
            else:
                got = np.arctan2(d[1], abs(d[0]) if abs(value) <= np.pi / 2 else d[0])
            out.append((got - value) / sd)
        return np.array(out)

    def jacobian(self, v):
        h = 1e-2
        cols = []
        for k in range(len(v)):
            e = np.zeros(len(v))
            e[k] = h
            cols.append((8 * (self.residuals(v + e) - self.residuals(v - e)) - (self.residuals(v + 2 * e) - self.residuals(v - 2 * e))) / (12 * h))
        return np.array(cols).T

    def solve(self):
        n = len(self.names)
        near = [m.get("at") if m.get("at") is not None else m.get("near") for m in self.marks]
        long = max([m[3] for m in self.measured if m[0] == "taped"] + [1000])
        random = np.random.default_rng(1)
        best = None
        for attempt in range(80):
            p = random.uniform(-long, long, (n, 2))
            for i, at in enumerate(near):
                if at is not None:
                    p[i] = [self.length(x) for x in at]
            v = self.move.T @ (p.ravel() - self.base)
            if self.heights:
                v = np.append(v, 0)
            fit = least_squares(self.residuals, v, method="lm" if len(self.measured) >= len(v) else "trf", x_scale="jac")
            if best is None or self.key(fit) < self.key(best):
                best = fit
            if all(at is not None for at in near):
                break
        v = best.x
        for _ in range(6):
            v = v - np.linalg.lstsq(self.jacobian(v), self.residuals(v), rcond=None)[0]
        self.places = (self.base + self.move @ v[:self.move.shape[1]]).reshape(-1, 2)
        self.covariances(v)

    def key(self, fit):
        """The best first; of equals the one with the first mark off the line above it."""
        p = (self.base + self.move @ fit.x[:self.move.shape[1]]).reshape(-1, 2)
        side = 0
        if not self.known:
            if (p[self.line[1]] - p[self.line[0]]) @ self.u < 0:
                return (1e30, 0)
            height = (p - p[self.line[0]]) @ np.array([-self.u[1], self.u[0]])
            off = [h for h in height if abs(h) > 0.01 * np.ptp(p)]
            side = 0 if off and off[0] > 0 else 1
        far = sum(np.linalg.norm(p[i] - [self.length(x) for x in m["near"]]) for i, m in enumerate(self.marks) if m.get("near") is not None)
        return (round(2 * fit.cost / 0.01) if fit.cost > 1 else 0, round(far), side)

    def covariances(self, v):
        j, r = self.jacobian(v), self.residuals(v)
        q = np.linalg.inv(j.T @ j)
        k = self.move.shape[1]
        self.fixed = self.move @ q[:k, :k] @ self.move.T
        n = len(self.names)
        self.free = self.fixed
        if not self.known:
            c = self.places - self.places.mean(axis=0)
            g = [np.tile([1, 0], n), np.tile([0, 1], n)]
            if all(m[0] == "taped" for m in self.measured):
                g.append(np.column_stack([-c[:, 1], c[:, 0]]).ravel())
            g = np.array(g, float).T
            s = np.eye(2 * n) - g @ np.linalg.inv(g.T @ g) @ g.T
            self.free = s @ self.fixed @ s.T
        self.scale, spare = AT_MOST, len(self.measured) - len(v)
        if spare > 0 and r @ r > chi2.ppf(0.999, spare):
            self.scale *= np.sqrt(r @ r / spare)

    def off(self, name, along):
        """How far a mark may be off along a direction, in its worst one where that is None."""
        i = self.names.index(name)
        most = 0
        for c in (self.free, self.fixed):
            block = c[2 * i:2 * i + 2, 2 * i:2 * i + 2]
            if along is None:
                most = max(most, np.linalg.eigvalsh(block)[1])
            else:
                u = np.array(along, float) / np.linalg.norm(along)
                most = max(most, u @ block @ u)
        return self.scale * np.sqrt(max(most, 0))


def resolved(reader, doc):
    """The file with numbers in place of marks, and with the accuracies that follow."""
    if not doc.get("marks"):
        return doc
    s = Survey(reader, doc)
    doc = dict(doc)
    usual = s.length(doc.get("accuracy", 0))

    def number(x):
        return repr(float(x)) + " mm"

    def at(p, flat):
        if isinstance(p, list):
            return p
        i = s.names.index(p)
        x, z = s.places[i]
        return [number(x), number(z)] if flat else [number(x), number(s.y[i]), number(z)]

    def plane(p):
        values = [s.length(x) for x in at(p, isinstance(p, list) and len(p) == 2)]
        return np.array([values[0], values[-1]])

    def worst(points, along):
        marks = [s.off(p, along) for p in points if not isinstance(p, list)]
        if not marks:
            return None
        return max(marks + [usual for p in points if isinstance(p, list)])

    def across(a, b):
        d = plane(b) - plane(a)
        return worst([a, b], [-d[1], d[0]] if d @ d > 1e-18 else None)

    def around(ring):
        return [across(a, b) for a, b in zip(ring, ring[1:] + ring[:1])]

    def own(thing, values):
        values = [v for v in values if v is not None]
        if values and thing.get("accuracy") is None:
            thing["accuracy"] = number(max(values))
        return thing

    opening = dict(doc["opening"])
    ring = opening["outline"]
    given = [x if isinstance(x, dict) else {"name": x} for x in opening.get("sides") or [{"name": "side"}] * len(ring)]
    opening["sides"] = [own(dict(g), [v]) for g, v in zip(given, around(ring))]
    opening["outline"] = [at(p, True) for p in ring]
    doc["opening"] = opening
    doc["rails"] = [dict(own(dict(r), [across(a, b) for a, b in zip(r["path"], r["path"][1:])]), path=[at(p, False) for p in r["path"]])
                    for r in doc.get("rails") or []]
    doc["keepouts"] = [keep_out(dict(k), own, around, worst, at) for k in doc.get("keepouts") or []]
    return doc


def keep_out(k, own, around, worst, at):
    if k.get("outline"):
        own(k, around(k["outline"]))
        k["outline"] = [at(p, True) for p in k["outline"]]
    elif k.get("box"):
        ends = [k["box"]["low"], k["box"]["high"]]
        own(k, [worst(ends, [1, 0]), worst(ends, [0, 1])])
        k["box"] = {"low": at(ends[0], False), "high": at(ends[1], False)}
    elif k.get("round"):
        ends = [k["round"]["from"], k["round"]["to"]]
        own(k, [worst(ends, None)])
        k["round"] = dict(k["round"], **{"from": at(ends[0], False), "to": at(ends[1], False)})
    return k
