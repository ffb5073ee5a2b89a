"""What moves, for the second judge: parts that turn or slide, chains, the road.

The pieces that somebody else has covered a movement with are used after a check: part and
movement are read here anew, and at many positions

- points all over the part lie in one of the pieces, and
- no corner of a piece is farther from the part, wherever it is nearest, than a cover may be.

Numbers are floats here; lengths of some metres keep 1e-9 mm.
"""

import math

import numpy as np

COVER = 0.1           # mm that covers may be too large by
ROUND = 0.17          # and that the flat sides around a round part may be off it
FARTHER = 5           # far from the opening, one part in so many of how far
POSITIONS = 96
INSIDE = 2e-4         # mm that count as inside: rounding in scipy


def unit(v):
    v = np.array(v, float)
    return v / np.linalg.norm(v)


class Motion:
    def __init__(self, reader, d):
        self.turns = "slide" not in d
        if self.turns:
            t = d["turn"]
            about = [float(x) for x in reader.point(t["about"])]
            self.about = np.array(about if len(about) == 3 else [about[0], 0, about[1]])
            self.along = unit([float(x) for x in t["along"]]) if t.get("along") else np.array([0.0, 1, 0])
            self.ends = math.radians(float(t["from"])), math.radians(float(t["to"]))
        else:
            s = d["slide"]
            self.along = unit([float(x) for x in s["along"]])
            self.ends = float(reader.length(s["from"])), float(reader.length(s["to"]))

    def move(self, points, at):
        """Points, one a row, at a position."""
        points = np.asarray(points, float)
        if not self.turns:
            return points + at * self.along
        x, y, z = self.along
        k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
        m = np.eye(3) + math.sin(at) * k + (1 - math.cos(at)) * (k @ k)
        return (points - self.about) @ m.T + self.about

    def off_by(self, near, at):
        """How far the part may be off where every measurement may be."""
        return near * (1 + (2 * math.sqrt(2) * math.sin(abs(at) / 2) if self.turns else 0))


class Still(Motion):
    """What a chain that follows nothing moves with."""

    def __init__(self):
        self.turns, self.about, self.along, self.ends = True, np.zeros(3), np.array([0.0, 1, 0]), (0.0, 0.0)


# Forms: points() spread over their surface, and off(points), how far points are off them.

class Outline:
    def __init__(self, corners, across):
        self.corners, self.across = np.array(corners, float), [float(a) for a in across]

    def points(self):
        ring = []
        for a, b in zip(self.corners, np.roll(self.corners, -1, axis=0)):
            ring += [a + t * (b - a) for t in np.linspace(0, 1, 6)[:-1]]
        return [[p[0], y, p[1]] for p in ring for y in self.across]

    def off(self, points):
        flat = points[:, [0, 2]]
        least, odd = np.full(len(flat), np.inf), np.zeros(len(flat), bool)
        for a, b in zip(self.corners, np.roll(self.corners, -1, axis=0)):
            t = np.clip((flat - a) @ (b - a) / ((b - a) @ (b - a)), 0, 1)
            least = np.minimum(least, np.linalg.norm(flat - a - t[:, None] * (b - a), axis=1))
            if a[1] != b[1]:
                cross = (a[1] > flat[:, 1]) != (b[1] > flat[:, 1])
                odd ^= cross & (flat[:, 0] < a[0] + (flat[:, 1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        beside = np.maximum(np.maximum(self.across[0] - points[:, 1], points[:, 1] - self.across[1]), 0)
        return np.hypot(np.where(odd, 0, least), beside)


class Block(Outline):
    def __init__(self, low, high):
        (x, r, z), (u, l, w) = [[float(v) for v in p] for p in (low, high)]
        super().__init__([[x, z], [u, z], [u, w], [x, w]], [r, l])


class Drum:
    def __init__(self, start, end, diameter):
        self.start, self.end, self.radius = np.array(start, float), np.array(end, float), float(diameter) / 2
        self.axis = unit(self.end - self.start)

    def points(self):
        u = unit(np.cross(self.axis, [1, 0.3, 0.1]))
        v = np.cross(self.axis, u)
        rim = [self.radius * (math.cos(a) * u + math.sin(a) * v) for a in np.linspace(0, 2 * math.pi, 41)[:-1]]
        return [e + r for r in rim for e in (self.start, self.end, (self.start + self.end) / 2)]

    def off(self, points):
        middle, half = (self.start + self.end) / 2, np.linalg.norm(self.end - self.start) / 2
        along = (points - middle) @ self.axis
        radial = np.linalg.norm(points - middle - along[:, None] * self.axis, axis=1)
        return np.hypot(np.maximum(radial - self.radius, 0), np.maximum(abs(along) - half, 0))


def forms(reader, d):
    found = []
    for p in d.get("parts") or [d]:
        if p.get("outline"):
            found.append(Outline([[float(x) for x in reader.point(c)] for c in p["outline"]], reader.across(p["across"])))
        elif p.get("box"):
            found.append(Block(reader.point(p["box"]["low"]), reader.point(p["box"]["high"])))
        else:
            r = p["round"]
            found.append(Drum([float(x) for x in reader.point(r["from"])], [float(x) for x in reader.point(r["to"])], reader.length(r["diameter"])))
    return found


class Chain:
    """A chain: at each position another outline."""

    def __init__(self, reader, c):
        s = c["sprockets"]
        self.at = [np.array([float(x) for x in reader.point(q["at"])]) for q in s]
        self.radius = [float(reader.length(q["diameter"])) / 2 for q in s]
        width, self.slack = float(reader.length(c["width"])), float(reader.length(c.get("slack", 0)))
        y = self.at[0][1]
        self.across = [y - width / 2, y + width / 2]

    def outline(self, motion, at):
        """The hull of the two discs, and of what a run can reach: the ellipse about its ends
        through its middle pushed aside."""
        a, b = self.at[0][[0, 2]], motion.move([self.at[1]], at)[0][[0, 2]]
        points = [m + r * np.array([math.cos(t), math.sin(t)]) for m, r in zip((a, b), self.radius) for t in np.linspace(0, 2 * math.pi, 361)[:-1]]
        way = b - a
        turn = math.atan2(way[1], way[0])
        lean = math.acos((self.radius[0] - self.radius[1]) / np.linalg.norm(way))
        for side in (1, -1):
            n = np.array([math.cos(turn + side * lean), math.sin(turn + side * lean)])
            p, q = a + self.radius[0] * n, b + self.radius[1] * n
            half = (q - p) / 2
            long = half * math.hypot(np.linalg.norm(half), self.slack) / np.linalg.norm(half)
            points += [(p + q) / 2 + math.cos(t) * long + math.sin(t) * self.slack * n for t in np.linspace(0, math.pi, 181)]
        return Outline(hull(points), self.across)


def hull(points):
    points = sorted(map(tuple, points))

    def half(points):
        out = []
        for p in points:
            while len(out) > 1 and (out[-1][0] - out[-2][0]) * (p[1] - out[-2][1]) <= (out[-1][1] - out[-2][1]) * (p[0] - out[-2][0]):
                out.pop()
            out.append(p)
        return out[:-1]
    return half(points) + half(points[::-1])


class Piece:
    """A convex piece, by its corners and its faces."""

    def __init__(self, corners, faces):
        self.corners = np.array(corners, float)
        self.normals, self.at = [], []
        for f in faces:
            loop = self.corners[[int(k) for k in f]]
            n = unit(sum(np.cross(a, b) for a, b in zip(loop - loop[0], np.roll(loop - loop[0], -1, axis=0))))
            reach = (self.corners @ n).max()
            if (loop @ n).min() < reach - 1e-5:
                raise ValueError("a piece of what moves is not convex")
            self.normals.append(n)
            self.at.append(reach)
        self.normals, self.at = np.array(self.normals), np.array(self.at)

    def holds(self, points):
        return (points @ self.normals.T <= self.at + INSIDE).all(axis=1)


class Moves:
    """All that moves in one frame, with the pieces of its cover."""

    def __init__(self, reader, usual, worst, pieces):
        self.parts, seen = [], {}
        self.room(reader)
        for d in reader.doc.get("moving") or []:
            own = [Piece(p["corners"], p["faces"]) for p in pieces if p["name"] == d["name"]]
            if d.get("chain"):
                with_ = d["chain"].get("with")
                motion, chain = seen[with_] if with_ else Still(), Chain(reader, d["chain"])
                at = lambda q, chain=chain, motion=motion: [(chain.outline(motion, q), 0.0)]  # where it is
            else:
                motion, shapes = Motion(reader, d), forms(reader, d)
                at = lambda q, shapes=shapes: [(s, q) for s in shapes]  # as drawn, to be moved
            seen[d["name"]] = motion
            self.near = usual
            if worst and d.get("accuracy") is not None:
                self.near = float(reader.length(d["accuracy"]))
            self.check(d["name"], motion, at, own)
            gap = reader.gap(d)
            self.parts.append((d["name"], str(d.get("metal", True)).lower() == "true", gap, own))

    def room(self, reader):
        o = reader.doc["opening"]
        corners = [reader.point(c) for c in o["outline"]]
        widths = [reader.across(s["across"]) for s in o["stations"]] if o.get("stations") else [reader.across(o["across"])]
        xs, zs = [float(c[0]) for c in corners], [float(c[1]) for c in corners]
        self.low = np.array([min(xs), min(float(w[0]) for w in widths), min(zs)])
        self.high = np.array([max(xs), max(float(w[1]) for w in widths), max(zs)])

    def check(self, name, motion, at, pieces):
        low, high = motion.ends
        positions = np.linspace(low, high, POSITIONS + 1) if high > low else [low]
        rng = np.random.default_rng(7)
        for q in positions:
            more = motion.off_by(self.near, q)
            for shape, place in at(q):
                points = np.array(shape.points(), float)
                where = motion.move(points, place)
                if more:
                    aside = rng.normal(size=where.shape)
                    where = where + more * aside / np.linalg.norm(aside, axis=1)[:, None]
                left = np.ones(len(where), bool)
                for p in pieces:
                    left[left] = ~p.holds(where[left])
                    if not left.any():
                        break
                if left.any():
                    raise ValueError("%s is not covered at %r: %r" % (name, q, where[left][0]))
        self.tight(name, motion, at, positions, pieces)

    def tight(self, name, motion, at, positions, pieces):
        corners = np.concatenate([p.corners for p in pieces])
        apart = np.concatenate([np.full(len(p.corners), max(0, (p.corners.min(axis=0) - self.high).max(), (self.low - p.corners.max(axis=0)).max()))
                                for p in pieces])
        least = np.full(len(corners), np.inf)
        for q in positions:
            for shape, place in at(q):
                least = np.minimum(least, shape.off(motion.move(corners, -place)))
        step = (positions[1] - positions[0]) if len(positions) > 1 else 0
        reach = np.linalg.norm(corners - motion.about, axis=1) if motion.turns else 1
        # Between two positions that were looked at it may come nearer by half of a step.
        most = COVER + ROUND + apart / FARTHER + reach * step / 2
        if self.near:
            # Corners are mitred, and cuts make some of them sharp.
            most = most + 10 * motion.off_by(self.near, max(map(abs, motion.ends)))
        if (least > most).any():
            worst = np.argmax(least - most)
            raise ValueError("%s: the cover is %r mm off at %r" % (name, least[worst], corners[worst]))

    def gaps(self, solid):
        """The sheet gap from a box to each part."""
        corners = np.array([[float(x) for x in c] for c in solid.corners])
        own = np.array([[float(x) for x in n] for n, _ in solid.normals])
        for name, metal, gap, pieces in self.parts:
            least = math.inf
            for p in pieces:
                ahead = (p.corners @ own.T).min(axis=0) - (corners @ own.T).max(axis=0)
                if ahead.max() >= least:
                    continue
                behind = (corners @ p.normals.T).min(axis=0) - p.at
                least = min(least, max(ahead.max(), behind.max()))
            yield name, metal, gap, least
