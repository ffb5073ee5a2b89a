"""The second judge of ways in: which layouts of a grid hold, can be put in by straight moves and have a
tool reach every post. It shares no code with the project, and looks at one layout at a time; so it
holds claims that no layout at all goes in, or none with more to spare, against layouts one by one.

Reads one JSON object a line, {"frame", "pack", "tool": {"diameter", "length"}, "steps", "most"}, and
answers each with {"alone", "room", "in", "spare", "layout"}: how many places of single boxes hold (of
those whose posts a tool reaches past the frame "most" are looked at, drawn with one seed), how many
layouts of such as come out hold (again at most "most"), how many of these go in and are connected, and
the one of them with the most to spare, which files.py then has judged in decimals.

What it takes the words to mean. A box keeps its stand and moves in up to three straight legs along its
own axes, level or tilted. On the way it keeps gaps.entry to every solid, or its clearance in place if
that is less: sheet gaps to flat faces, distances to tubes. Rails, keep-outs, boxes that are in, posts,
and the sides of the opening that are not open, as plates, bound it; what comes off does not. A tool is a
cylinder from the post's tip outward: nothing that stays may be in it, nor another post of its box, and
another box only if it goes in later.

It looks at places where something touches and at some in between, so it may miss a way in; it finds none
where there is none. A leg is looked at as a whole: what bars a body with flat faces is a convex set of
displacements, of which the leg's share is one interval; what passes a tube is a longer box.
Places are floating point, and what is within 1e-9 mm counts as touching.
"""

import itertools
import json
import pathlib
import random
import sys
from decimal import Decimal as D

import numpy

sys.path.insert(0, str(pathlib.Path(__file__).parent))
from core import FACES, cross, hull  # noqa: E402
from files import GAPS, STANDS, Job, counterclockwise, listed, true  # noqa: E402

TOUCH = 1e-9
FAR = 4000.0
SIDES = 48  # of the prism around a tool


class Flat:
    """A convex solid by its corners and the outward unit normals of its faces."""

    def __init__(self, corners, normals):
        self.corners = numpy.array(corners, float)
        n = numpy.array(normals, float)
        self.normals = n / numpy.linalg.norm(n, axis=1)[:, None]

    def turned(self, axes):
        return Flat(self.corners @ axes.T, self.normals @ axes.T)

    def moved(self, by):
        return Flat(self.corners + by, self.normals)


def block(lo, hi):
    units = numpy.eye(3)
    return Flat(list(itertools.product(*zip(lo, hi))), numpy.concatenate([units, -units]))


def prism(profile, lo, hi):
    """A profile in x and z, counter-clockwise, from y = lo to hi; of two corners, a plate."""
    corners = [(x, y, z) for x, z in profile for y in (lo, hi)]
    normals = [(0, 1, 0), (0, -1, 0)]
    for (ax, az), (bx, bz) in zip(profile, profile[1:] + profile[:1]):
        normals.append((bz - az, 0, ax - bx))
        if len(profile) == 2:
            normals.append((bx - ax, 0, bz - az))
    return Flat(corners, normals)


class Pose:
    """A kind of box in one of its orientations: its case and posts as blocks in its own axes."""

    def __init__(self, kind, up, front, tilt):
        self.kind, self.up, self.front, self.tilt = kind["name"], up, front, tilt
        f, u = FACES[front], FACES[up]
        self.level = numpy.array([f, cross(u, f), u], float)
        s, c = numpy.sin(numpy.radians(tilt)), numpy.cos(numpy.radians(tilt))
        self.axes = numpy.array([[c, 0, -s], [0, 1, 0], [s, 0, c]])  # rows: own axes as the vehicle sees them
        half = numpy.array(kind["size"]) / 2
        self.bodies, self.outward = [self.blocked(-half, half)], [None]
        for t in kind["posts"]:
            lo, hi, at = [], [], list(t["at"])
            for k, out in enumerate(FACES[t["face"]]):
                middle = half[k] + t["height"] / 2 if out else at.pop(0) - half[k]
                reach = t["height"] / 2 if out else t["diameter"] / 2
                lo.append(out * middle - reach if out else middle - reach)
                hi.append(out * middle + reach if out else middle + reach)
            self.bodies.append(self.blocked(numpy.array(lo), numpy.array(hi)))
            self.outward.append(self.level @ numpy.array(FACES[t["face"]], float))

    def blocked(self, lo, hi):
        a, b = self.level @ lo, self.level @ hi
        return (a + b) / 2, abs(b - a) / 2

    def key(self):
        return (self.tilt,) + tuple(round(float(v), 6) for m, h in self.bodies for v in (*m, *h))

    def extent(self):
        """Half of what the case takes along the axes of the vehicle."""
        return abs(self.axes.T) @ self.bodies[0][1]

    def flats(self, centre):
        """The case and the posts as the vehicle sees them."""
        turned = [block(m - h, m + h).turned(self.axes.T) for m, h in self.bodies]
        return [f.moved(numpy.array(centre)) for f in turned]


def rows_of(mid, half, solid):
    """The sheet gap of a block, moved by x, from a solid is the greatest of normals·x + offsets."""
    n = numpy.concatenate([solid.normals, numpy.eye(3), -numpy.eye(3)])
    return n, n @ mid - abs(n) @ half - (n @ solid.corners.T).max(axis=1)


def from_segment(mids, halves, p, q):
    """The distances of blocks from a segment; 0 where they meet. Its square is convex along the segment."""
    way = q - p
    if numpy.count_nonzero(way) <= 1:  # along an axis it is a block itself
        return numpy.linalg.norm(numpy.maximum(abs((p + q) / 2 - mids) - abs(way) / 2 - halves, 0), axis=1)
    lo, hi = numpy.zeros(len(mids)), numpy.ones(len(mids))

    def beyond(t):
        off = p + t[:, None] * way - mids
        return numpy.sign(off) * numpy.maximum(abs(off) - halves, 0)
    for _ in range(50):
        t = (lo + hi) / 2
        falls = (beyond(t) @ way) < 0
        lo, hi = numpy.where(falls, t, lo), numpy.where(falls, hi, t)
    return numpy.linalg.norm(beyond((lo + hi) / 2), axis=1)


class Things:
    """What stands in the opening, as the second judge reads it."""

    def __init__(self, job):
        self.job = Job(dict(job, layout={"placements": []}))
        case = self.job.case()
        self.gaps = {k: float(v) for k, v in case["gaps"].items()}
        given = self.job.pack.doc.get("gaps") or {}
        self.air = float(self.job.pack.length(given["entry"])) if given.get("entry") is not None else job.get("air", 2.0)
        self.metal = case["metal"]
        outline = counterclockwise([tuple(map(float, c)) for c in case["outline"]])
        self.planes = []
        corners = hull(outline)
        for (px, pz), (qx, qz) in zip(corners, corners[1:] + corners[:1]):
            n = numpy.array([pz - qz, 0, qx - px])
            n = n / numpy.linalg.norm(n)
            self.planes.append((n, n @ [px, 0, pz], True))
        for p in case["planes"]:
            n = numpy.array([float(v) for v in p["normal"]])
            self.planes.append((n, float(p["offset"]), False))
        off = {d["name"] for d in self.job.frame.doc.get("rails") or [] if true(d, "removable", False)}
        off |= {d["name"] for d in self.job.frame.doc.get("keepouts") or [] if true(d, "lifts_off", False)}
        stays = lambda name: name not in off and name.rsplit(" ", 1)[0] not in off
        self.flat, self.tubes = [], []  # (solid, metal, own gap, usual gap, bars holds, bars ways)
        number = lambda v: None if v is None else float(v)
        for p in case["prisms"]:
            assert p["axis"] == "y", "widths that change with height are left out here"
            lo, hi = map(float, p["depth"]) if p["depth"] else (-FAR, FAR)
            keep = p["kind"] == "keepout"
            self.flat.append((prism([tuple(map(float, c)) for c in p["profile"]], lo, hi), p["metal"], number(p["gap"]),
                              self.gaps["keepout" if keep else "wall"], True, keep and stays(p["name"])))
        for k in case["keepouts"]:
            assert k.get("box"), "round keep-outs are left out here"
            lo, hi = ([float(v) for v in c] for c in k["box"])
            self.flat.append((block(lo, hi), k["metal"], number(k["gap"]), self.gaps["keepout"], True, stays(k["name"])))
        assert not case["bodies"] and not self.job.frame.doc.get("moving"), "left out here"
        for r in case["rails"]:
            for p, q in zip(r["path"], r["path"][1:]):
                self.tubes.append((numpy.array(p, float), numpy.array(q, float), float(r["diameter"]) / 2, number(r["gap"]), stays(r["name"])))
        self.walls(case, outline)
        self.lo = numpy.array([min(x for x, _ in outline), min(o / n[1] for n, o, _ in self.planes if n[1] > 0), min(z for _, z in outline)])
        self.hi = numpy.array([max(x for x, _ in outline), max(o / n[1] for n, o, _ in self.planes if n[1] < 0), max(z for _, z in outline)])

    def walls(self, case, outline):
        opening = self.job.frame.doc["opening"]
        names = [s["name"] if isinstance(s, dict) else s for s in opening.get("sides") or []]
        given = [tuple(float(v) for v in self.job.frame.point(c)) for c in opening["outline"]]
        across = self.job.frame.across(opening["across"])
        for i, (a, b) in enumerate(zip(given, given[1:] + given[:1])):
            name = names[i] if i < len(names) else ""
            if name not in (opening.get("open") or []):
                self.flat.append((prism([a, b], *map(float, across)), False, None, 0.0, False, True))

    def required(self, post, metal, own, usual):
        if post and metal:
            return max(self.gaps["post"], own or 0.0)
        return usual if own is None else own

    def left(self, pose, centres):
        """What single boxes leave of all that they must keep to the frame."""
        own = centres @ pose.axes.T
        least = numpy.full(len(centres), numpy.inf)
        for k, (mid, half) in enumerate(pose.bodies):
            post = k > 0
            for n, offset, wall in self.planes:
                m = pose.axes @ n
                need = self.required(post, wall and self.metal, None, self.gaps["wall"])
                least = numpy.minimum(least, own @ m + m @ mid - abs(m) @ half - offset - need)
            for solid, metal, gap, usual, holds, _ in self.flat:
                if holds:
                    n, b = rows_of(mid, half, solid.turned(pose.axes))
                    least = numpy.minimum(least, (own @ n.T + b).max(axis=1) - self.required(post, metal, gap, usual))
            for p, q, r, gap, _ in self.tubes:
                d = from_segment(own + mid, numpy.broadcast_to(half, own.shape), pose.axes @ p, pose.axes @ q)
                least = numpy.minimum(least, d - r - self.required(post, True, gap, self.gaps["rail"]))
        return least

    def between(self, a, at, b, bt):
        """What two boxes leave of all that they must keep to each other; the first at many places."""
        least = numpy.full(len(at), numpy.inf)
        for i, (mid, half) in enumerate(a.bodies):
            for j, other in enumerate(b.flats(bt)):
                n, off = rows_of(mid, half, other.turned(a.axes))
                gaps = at @ a.axes.T @ n.T + off
                if i and j:
                    gaps = gaps - self.gaps["post"]
                elif i or j:
                    gaps = gaps - self.gaps["boot"]
                else:
                    up = 2 * (n @ a.axes)[:, 2] ** 2 > 1 + 1e-8
                    gaps = gaps - numpy.where(up, self.gaps["above"], self.gaps["beside"])
                least = numpy.minimum(least, gaps.max(axis=1))
        return least


class Mover:
    """One box that has to come out. Displacements are along its own axes."""

    def __init__(self, things, pose, centre, others=()):
        own, self.rows, self.tubes = pose.axes @ centre, [], []
        flats = [s for s, _, _, _, _, bars in things.flat if bars]
        flats += [f for other, at in others for f in other.flats(at)]
        for mid, half in pose.bodies:
            for solid in flats:
                n, b = rows_of(mid + own, half, solid.turned(pose.axes))
                self.rows.append((n, b - min(things.air, b.max())))
            for p, q, r, _, bars in things.tubes:
                if bars:
                    p, q = pose.axes @ p, pose.axes @ q
                    clear = from_segment((mid + own)[None], half[None], p, q)[0] - r
                    self.tubes.append((mid + own, half, p, q, r + min(things.air, clear)))

    def stops(self, axis):
        """Displacements along an axis at which something touches, and some in between."""
        at = {0.0}
        for n, b in self.rows:
            for k in range(len(n)):
                if abs(n[k, axis]) > 1 - 1e-9:
                    at.add(float(-b[k] / n[k, axis]))
        for mid, half, p, q, r in self.tubes:
            at.add(float(min(p[axis], q[axis]) - r - mid[axis] - half[axis]))
            at.add(float(max(p[axis], q[axis]) + r - mid[axis] + half[axis]))
        at = sorted(v for v in at if abs(v) < 600)
        at += [(a + b) / 2 for a, b in zip(at, at[1:])] + [at[-1] + 50, at[0] - 50]
        kept = []
        for v in sorted(at):
            if not kept or v - kept[-1] > 1e-7 or v == 0:
                kept.append(v)
        return numpy.array(kept)

    def free(self, start, axis, length):
        """Whether legs along an axis meet nothing; start is one displacement a row, lengths are signed."""
        clear = numpy.ones(len(start), bool)
        back = numpy.minimum(length, 0)
        lo0, hi0 = back, numpy.maximum(length, 0)
        for n, b in self.rows:
            at, slope = start @ n.T + b + TOUCH, n[:, axis]
            with numpy.errstate(divide="ignore", invalid="ignore"):
                t = -at / slope
            lo = numpy.where(slope < -1e-12, t, -numpy.inf).max(axis=1)
            hi = numpy.where(slope > 1e-12, t, numpy.inf).min(axis=1)
            still = numpy.where(abs(slope) <= 1e-12, at, -1.0).max(axis=1)
            clear &= (still >= 0) | (numpy.maximum(lo, lo0) >= numpy.minimum(hi, hi0) - 1e-12)
        for mid, half, p, q, r in self.tubes:
            mids, halves = start + mid, numpy.tile(half, (len(start), 1))
            mids[:, axis] += length / 2
            halves[:, axis] += abs(length) / 2
            apart = (abs((p + q) / 2 - mids) - abs(q - p) / 2 - halves >= r).any(axis=1)
            some = numpy.flatnonzero(clear & ~apart)
            clear[some] = from_segment(mids[some], halves[some], p, q) >= r - TOUCH
        return clear

    def ray(self, start, axis, sign):
        return self.free(start, axis, numpy.full(len(start), sign * FAR))

    def along(self, start, axis, stops):
        """All that legs along an axis reach from the starts: displacements, and where each came from."""
        found, came = [], []
        for sign in (1, -1):
            at, alive = start.copy(), numpy.arange(len(start))
            for stop in (stops[stops > 0] if sign > 0 else stops[stops < 0][::-1]):
                if not len(alive):
                    break
                step = numpy.full(len(alive), stop) - (at[alive, axis] - start[alive, axis])
                ok = self.free(at[alive], axis, step)
                alive = alive[ok]
                at[alive, axis] = start[alive, axis] + stop
                found.append(at[alive].copy())
                came.append(alive)
        if not found:
            return numpy.zeros((0, 3)), numpy.zeros(0, int)
        return numpy.concatenate(found), numpy.concatenate(came)

    def way(self):
        """Displacements at the ends of the legs of a way out, the last far away; None where none is found."""
        origin = numpy.zeros((1, 3))

        def out(start, not_axis):
            for axis in range(3):
                if axis == not_axis:
                    continue
                for sign in (1, -1):
                    ok = numpy.flatnonzero(self.ray(start, axis, sign))
                    if len(ok):
                        end = start[ok[0]].copy()
                        end[axis] += sign * FAR
                        return ok[0], end
            return None
        first = out(origin, None)
        if first:
            return [first[1]]
        stops = [self.stops(a) for a in range(3)]
        ones = [self.along(origin, a, stops[a])[0] for a in range(3)]
        for a in range(3):
            found = out(ones[a], a) if len(ones[a]) else None
            if found:
                return [ones[a][found[0]], found[1]]
        for a in range(3):
            for b in range(3):
                if a == b or not len(ones[a]):
                    continue
                twos, came = self.along(ones[a], b, stops[b])
                found = out(twos, b) if len(twos) else None
                if found:
                    return [ones[a][came[found[0]]], twos[found[0]], found[1]]
        return None

    def keeps(self, way):
        """Whether a way that was found among other things is free here."""
        at = numpy.zeros(3)
        for end in way:
            axis = int(abs(end - at).argmax())
            if not self.free(at[None], axis, numpy.array([end[axis] - at[axis]]))[0]:
                return False
            at = end
        return True


class Tool:
    """The room of the tool over one post of a pose, in the box's own axes about its middle."""

    def __init__(self, pose, post, tool):
        mid, half = pose.bodies[post]
        out = pose.outward[post]
        self.axis = int(abs(out).argmax())
        self.sign = 1 if out[self.axis] > 0 else -1
        self.tip = mid + out * half[self.axis]
        self.length, self.radius = tool["length"], tool["diameter"] / 2
        u, v = [k for k in range(3) if k != self.axis]
        turns = numpy.arange(SIDES) * 2 * numpy.pi / SIDES  # faces square to u and v: there it touches as the tool does
        self.normals = numpy.zeros((SIDES + 2, 3))
        self.normals[:SIDES, u], self.normals[:SIDES, v] = numpy.cos(turns), numpy.sin(turns)
        self.normals[SIDES, self.axis], self.normals[SIDES + 1, self.axis] = 1, -1
        reach, turns = self.radius / numpy.cos(numpy.pi / SIDES), turns + numpy.pi / SIDES
        rim = numpy.zeros((SIDES, 3))
        rim[:, u], rim[:, v] = reach * numpy.cos(turns), reach * numpy.sin(turns)
        self.corners = numpy.concatenate([rim + self.tip, rim + self.tip + out * self.length])
        self.edges = numpy.concatenate([(rim - numpy.roll(rim, 1, axis=0))[: SIDES // 2], [out]])

    def gaps(self, solid):
        """Directions and what parts the tool, its box at the origin, from a solid along them."""
        n = solid.normals
        i, j = numpy.triu_indices(len(n), 1)
        edges = numpy.cross(n[i], n[j])
        edges = edges[numpy.linalg.norm(edges, axis=1) > 1e-9]
        both = numpy.cross(edges[:, None], self.edges[None]).reshape(-1, 3)
        size = numpy.linalg.norm(both, axis=1)
        both = both[size > 1e-9] / size[size > 1e-9][:, None]
        d = numpy.concatenate([n, -self.normals, both, -both])
        return d, (d @ self.corners.T).min(axis=1) - (d @ solid.corners.T).max(axis=1)

    def clear(self, solid, centres):
        d, gap = self.gaps(solid)
        return (centres @ d.T + gap).max(axis=1) >= -TOUCH

    def clear_of_tube(self, p, q, r, centres):
        """The distance of a point from the cylinder is convex along the segment."""
        lo, hi = numpy.zeros(len(centres)), numpy.ones(len(centres))
        u, v = [k for k in range(3) if k != self.axis]

        def distance(t):
            x = p + t[:, None] * (q - p) - self.tip - centres
            along, rim = self.sign * x[:, self.axis], numpy.hypot(x[:, u], x[:, v])
            return numpy.hypot(numpy.maximum(numpy.maximum(along - self.length, -along), 0), numpy.maximum(rim - self.radius, 0))
        for _ in range(80):
            a, b = lo + (hi - lo) / 3, hi - (hi - lo) / 3
            left = distance(a) < distance(b)
            lo, hi = numpy.where(left, lo, a), numpy.where(left, b, hi)
        return numpy.minimum(distance((lo + hi) / 2), numpy.minimum(distance(numpy.zeros(len(centres))), distance(numpy.ones(len(centres))))) >= r - TOUCH


def by_pose(places):
    """The poses of a list of places, each with the numbers of its places."""
    found = {}
    for k, p in enumerate(places):
        found.setdefault(p[0], []).append(k)
    return found.items()


class Grid:
    def __init__(self, job):
        self.job, self.things = job, Things(job)
        self.tool = job["tool"]
        self.kinds = self.kinds_of(self.things.job)
        self.poses = {k["name"]: self.poses_of(k) for k in self.kinds}
        self.tools = {}

    def kinds_of(self, job):
        found = []
        for k in job.pack.doc["boxes"]:
            b = job.box(k)
            posts = [{"face": t["face"], "at": [float(v) for v in t["at"]], "diameter": float(t["diameter"]), "height": float(t["height"])} for t in b["posts"]]
            assert not any(true(t, "joined_first", False) for t in k.get("posts") or []), "left out here"
            found.append({"name": k["name"], "count": int(k.get("count", 1)), "size": [float(v) for v in b["size"]], "posts": posts,
                          "stands": listed(k.get("stand", "upright")), "tilts": [float(t) for t in listed(k.get("tilt", 0))]})
        return found

    def poses_of(self, kind):
        found = {}
        for up, front, tilt in itertools.product(FACES, FACES, kind["tilts"]):
            if sum(a * b for a, b in zip(FACES[up], FACES[front])) == 0 and STANDS[up] in kind["stands"]:
                p = Pose(kind, up, front, tilt)
                found.setdefault(p.key(), p)
        return list(found.values())

    def tools_of(self, pose):
        if pose not in self.tools:
            self.tools[pose] = [Tool(pose, k, self.tool) for k in range(1, len(pose.bodies))]
        return self.tools[pose]

    def ticks(self, kind, pose, axis):
        """Places along an axis: the ends, evenly between, and beside another box at either end."""
        half, t = pose.extent()[axis], self.things
        lo, hi = t.lo[axis] + half + t.gaps["wall"], t.hi[axis] - half - t.gaps["wall"]
        if hi < lo - TOUCH:
            return numpy.array([])
        at = set(numpy.linspace(lo, max(lo, hi), self.job["steps"] + 1))
        for other in self.kinds:
            if other is kind and other["count"] == 1:
                continue
            for wide in {round(2 * float(p.extent()[axis]), 6) for p in self.poses[other["name"]]}:
                for gap in {t.gaps["beside"], t.gaps["above"]} if axis == 2 else {t.gaps["beside"]}:
                    at |= {lo + wide + gap, hi - wide - gap}
        return numpy.array(sorted(v for v in at if lo - TOUCH <= v <= hi + TOUCH))

    def alone(self, kind):
        """(pose, centre, spare, way out) of places at which a box holds, comes out and is reached past the frame."""
        reached, held = [], 0
        for pose in self.poses[kind["name"]]:
            ticks = [self.ticks(kind, pose, a) for a in range(3)]
            centres = numpy.array(list(itertools.product(*ticks))).reshape(-1, 3)
            if not len(centres):
                continue
            left = self.things.left(pose, centres)
            ok = left >= -TOUCH
            centres, left = centres[ok], left[ok]
            held += len(centres)
            if len(centres):
                ok = self.reached(pose, centres)
                reached += [(pose, at, spare) for at, spare in zip(centres[ok], left[ok])]
        if len(reached) > self.job["most"]:
            reached = random.Random(2).sample(reached, self.job["most"])
        ways = [p + (Mover(self.things, *p[:2]).way(),) for p in reached]
        return [p for p in ways if p[3] is not None], held

    def reached(self, pose, centres):
        """Where tools clear all of the frame that stays, and the other posts of the box."""
        ok, own = numpy.ones(len(centres), bool), centres @ pose.axes.T
        for k, tool in enumerate(self.tools_of(pose), 1):
            for j, (m, h) in enumerate(pose.bodies):
                if j not in (0, k) and not tool.clear(block(m - h, m + h), numpy.zeros((1, 3)))[0]:
                    return ok & False
            for solid, _, _, _, _, bars in self.things.flat:
                if bars:
                    ok &= tool.clear(solid.turned(pose.axes), own)
            for p, q, r, _, bars in self.things.tubes:
                if bars:
                    ok &= tool.clear_of_tube(pose.axes @ p, pose.axes @ q, r, own)
        return ok

    def waits(self, a, at, b, bt):
        """Whether b may only go in when the posts of a are connected."""
        own = (a.axes @ at)[None]
        return any(not tool.clear(f.turned(a.axes), own)[0] for tool in self.tools_of(a) for f in b.flats(bt))

    def enters(self, boxes):
        """Whether boxes, each (pose, centre, spare, way), go in one after the other and are connected. With
        straight moves what can leave can still leave when others have left, so any order of trying will do."""
        n = len(boxes)
        later = [{j for j in range(n) if j != i and self.waits(*boxes[i][:2], *boxes[j][:2])} for i in range(n)]
        present = set(range(n))
        while present:
            for i in sorted(present):
                if later[i] & present:
                    continue
                m = Mover(self.things, *boxes[i][:2], [boxes[j][:2] for j in present if j != i])
                if m.keeps(boxes[i][3]) or m.way() is not None:
                    present.remove(i)
                    break
            else:
                return False
        return True

    def leaves(self, a, b):
        """What each place of one list leaves to each of another: a table."""
        left = numpy.full((len(a), len(b)), -numpy.inf)
        for pose, i in by_pose(a):
            for other, j in by_pose(b):
                moved = numpy.array([b[k][1] for k in j])[None] - numpy.array([a[k][1] for k in i])[:, None]
                gaps = self.things.between(pose, -moved.reshape(-1, 3), other, (0, 0, 0))
                left[numpy.ix_(i, j)] = gaps.reshape(len(i), len(j))
        return left

    def layouts(self, lists):
        """Tuples of single places that leave their gaps, with their spare: in a mixed but fixed order."""
        rng, tables = random.Random(1), {}
        for (x, a), (y, b) in itertools.combinations(lists, 2):
            if (x, y) not in tables:
                tables[x, y] = self.leaves(a, b)

        def go(chosen, spare, rest):
            if not rest:
                yield spare, chosen
                return
            name, places = rest[0]
            left = numpy.minimum(spare, [p[2] for p in places])
            for other, i, _ in chosen:
                left = numpy.minimum(left, tables[other, name][i])
                if other == name:
                    left[: i + 1] = -1  # boxes of a kind in one order alone
            some = list(numpy.flatnonzero(left >= -TOUCH))
            rng.shuffle(some)
            for i in some:
                yield from go(chosen + [(name, i, places[i])], left[i], rest[1:])
        yield from go([], numpy.inf, lists)

    def answer(self):
        lists, held = [], 0
        for k in self.kinds:
            places, holds = self.alone(k)
            held += holds
            lists += [(k["name"], places)] * k["count"]
        room, inside, best = 0, 0, None
        for spare, chosen in itertools.islice(self.layouts(lists), self.job["most"]):
            room += 1
            if (best is None or spare > best[0] or inside == 0) and self.enters([p for _, _, p in chosen]):
                inside += 1
                if best is None or spare > best[0]:
                    best = (spare, chosen)
        answer = {"alone": held, "room": room, "in": inside, "spare": None, "layout": None}
        if best:
            numbers, placements = {}, []
            for name, _, (pose, at, _, _) in best[1]:
                numbers[name] = numbers.get(name, 0) + 1
                placements.append({"box": name, "number": numbers[name], "up": pose.up, "front": pose.front, "tilt_deg": D(pose.tilt),
                                   "centre_mm": [D(float(v)) for v in at]})
            judged = Job(dict(self.job, layout={"placements": placements})).answer()
            answer["spare"] = judged["spare"]
            answer["layout"] = [dict(p, tilt_deg=float(p["tilt_deg"]), centre_mm=[float(v) for v in p["centre_mm"]]) for p in placements]
        return answer


def main():
    for line in sys.stdin:
        job = json.loads(line, parse_float=D, parse_int=D)
        for key in ("steps", "most"):
            job[key] = int(job[key])
        job["tool"] = {k: float(v) for k, v in job["tool"].items()}
        json.dump(Grid(job).answer(), sys.stdout)
        print(flush=True)


if __name__ == "__main__":
    main()
