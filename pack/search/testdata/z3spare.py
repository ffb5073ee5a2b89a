"""The greatest spare of a frame and a pack by the SMT solver z3 (Debian python3-z3).

One JSON object a line in, one a line out. In: "frame" and "pack", as in the files;
"worst", true to take every measured face and size at its worst; "lowest", a spare that
is asked for at least; "ask", what for: "optimize", "climb" (the same without Optimize)
or "reach" (any layout with the lowest); "seconds", the time that one call of the solver
may take. Out: "status" ("done", "unsat" where no layout has the lowest, "unknown" where
a call ran out of time), "spare" (what "placements" has),
"margin" (no layout has margin more than spare), "again" (how often Optimize had stopped
too early), "optimize_seconds" (the last call of it), "proof_seconds" (that there is no
more), "seconds" (all), "processor_seconds" (the same, of this process).

The model is made from the definition of the spare alone: real positions, a choice of
one rotation for each box, and for each relation "one of the sheets parallel to a face
of either is as thick as required and the spare besides". Numbers are exact fractions;
unit normals of slanted faces and tilts are fractions within 1e-7 of the true ones.

Known: convex outlines and those with one corner that points inward between two that
are on the hull; one width, or two stations at the lowest and the highest point; box
and convex prism keep-outs; posts. All lengths are whole millimetres.
"""
import itertools
import json
import math
import sys
import time
from fractions import Fraction as F

import z3

GAPS = {"beside": 3, "above": 6, "wall": 0, "rail": 5, "keepout": 5, "post": 25, "boot": 3}
MARGIN = F(1, 200)  # how near the proof comes to the optimum, mm
FACES = {"front": (0, 1), "back": (0, -1), "left": (1, 1), "right": (1, -1), "top": (2, 1), "bottom": (2, -1)}
STANDS = {"upright": ["top"], "on-side": ["left", "right"], "on-end": ["front", "back"], "inverted": ["bottom"]}


# Vectors

def dot(a, b):
    return sum(p * q for p, q in zip(a, b))


def cross(a, b):
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def neg(a):
    return tuple(-p for p in a)


def unit(v):
    """The unit vector along v, exact along an axis."""
    length = math.sqrt(dot(v, v))
    if sum(1 for p in v if p) == 1:
        return tuple(F(0) if p == 0 else F(1 if p > 0 else -1) for p in v)
    return tuple(F(float(p) / length).limit_denominator(100000) for p in v)


def face_normal(name):
    axis, sign = FACES[name]
    return tuple(F(sign if k == axis else 0) for k in range(3))


def pitch(v, degrees):
    """v turned about +y, right-handed: nose down for positive angles."""
    half = F(math.tan(math.radians(degrees) / 2)).limit_denominator(3000)
    c, s = (1 - half * half) / (1 + half * half), 2 * half / (1 + half * half)
    return (v[0] * c + v[2] * s, v[1], v[2] * c - v[0] * s)


# Bodies of a box: its case and its posts, in one rotation

class Body:
    """A block: where its middle is from the middle of the case, three unit axes, half sizes."""

    def __init__(self, middle, axes, half, post):
        self.middle, self.axes, self.half, self.post = middle, axes, half, post

    def reach(self, u):
        """How far it reaches along u from the middle of the case."""
        return dot(u, self.middle) + sum(abs(dot(u, a)) * h for a, h in zip(self.axes, self.half))

    def normals(self):
        return [n for a in self.axes for n in (a, neg(a))]

    def key(self):
        return (self.middle, frozenset(zip(map(canonical, self.axes), self.half)), self.post)


def canonical(axis):
    return max(axis, neg(axis))


class Pose:
    """One rotation of a kind, with its bodies."""

    def __init__(self, kind, up, front, tilt, more, off):
        forward, upward = face_normal(front), face_normal(up)
        sideways = cross(upward, forward)
        self.up, self.front, self.tilt = up, front, tilt
        axes = [pitch((forward[k], sideways[k], upward[k]), tilt) for k in range(3)]
        size = [F(s) + more for s in kind["size"]]
        self.bodies = [Body((F(0),) * 3, axes, [s / 2 for s in size], False)]
        for post in kind.get("posts", []):
            self.bodies.append(post_body(kind, post, axes, more, off))

    def key(self):
        return frozenset((k, b.key()) for k, b in enumerate(self.bodies))


def post_body(kind, post, axes, more, off):
    """The square bar around a post; on a larger case its end is further out. off is how far
    each number of the kind may be off, either way."""
    axis, sign = FACES[post["face"]]
    own = [F(0)] * 3
    half = [(F(post["diameter"]) + off) / 2 + off + more / 2] * 3  # radius, place, and corner
    for k, at in zip([k for k in range(3) if k != axis], post["at"]):
        own[k] = F(at) - F(kind["size"][k]) / 2
    size = F(kind["size"][axis])
    near, far = (size - off) / 2, (size + more) / 2 + F(post.get("height", 0)) + off
    own[axis] = sign * (near + far) / 2
    half[axis] = (far - near) / 2
    middle = tuple(sum(own[k] * axes[k][d] for k in range(3)) for d in range(3))
    return Body(middle, axes, half, True)


def poses_of(kind, worst):
    """The different rotations that the kind may have."""
    more = F(kind.get("accuracy", 0) + kind.get("swell", 0)) if worst else F(0)
    off = F(kind.get("accuracy", 0)) if worst else F(0)
    found = {}
    for stand in kind.get("stand", ["upright"]):
        for up, front, tilt in itertools.product(STANDS[stand], FACES, kind.get("tilt", [0])):
            if FACES[up][0] != FACES[front][0]:
                pose = Pose(kind, up, front, tilt, more, off)
                found.setdefault(pose.key(), pose)
    return list(found.values())


# What stands around

class Solid:
    """A convex solid by its corners and outward normals; without ends it goes on across for ever."""

    def __init__(self, corners, normals, gap, metal):
        self.corners, self.normals, self.gap, self.metal = corners, normals, gap, metal
        self.endless = not any(n[1] for n in normals)

    def nearest(self, u):
        """The least of u over the solid; None where there is none."""
        if self.endless and u[1] != 0:
            return None
        return min(dot(u, c) for c in self.corners)


class Wall:
    """All that lies behind a plane through a point, n pointing into the free space."""

    def __init__(self, n, through, metal):
        self.n, self.offset, self.metal = n, dot(n, through), metal


def counterclockwise(points):
    points = [tuple(F(v) for v in p) for p in points]
    area = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:] + points[:1]))
    return points if area > 0 else points[::-1]


def turns_left(a, b, c):
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]) > 0


def inner_normal(a, b):
    """Unit, to the left of the way from a to b in a picture."""
    x, _, z = unit((-(b[1] - a[1]), 0, b[0] - a[0]))
    return x, z


def hull_and_pocket(points):
    """The hull of an outline, and the triangle that it has more than the outline, or None."""
    n = len(points)
    inward = [k for k in range(n) if not turns_left(points[k - 1], points[k], points[(k + 1) % n])]
    if not inward:
        return points, None
    if len(inward) > 1:
        raise ValueError("more than one corner points inward")
    k = inward[0]
    hull = points[:k] + points[k + 1:]
    for i in range(n - 1):
        if not turns_left(hull[i - 1], hull[i], hull[(i + 1) % (n - 1)]):
            raise ValueError("a corner beside the one that points inward is not on the hull")
    return hull, counterclockwise([points[k - 1], points[k], points[(k + 1) % n]])


def prism(points, across, more, gap, metal):
    """A convex outline swept across, every face moved out by more."""
    edges = list(zip(points, points[1:] + points[:1]))
    outward = [neg(inner_normal(a, b)) for a, b in edges]
    corners = [moved(outward[k - 1], outward[k], points[k], more) for k in range(len(points))]
    normals = [(x, F(0), z) for x, z in outward]
    ends = (F(0), F(0))
    if across:
        normals += [(F(0), F(-1), F(0)), (F(0), F(1), F(0))]
        ends = (F(across[0]) - more, F(across[1]) + more)
    return Solid([(x, y, z) for x, z in corners for y in ends], normals, gap, metal)


def moved(n, m, corner, more):
    """Where two sides with outward normals n and m meet that both move out by more."""
    a, b = dot(n, corner) + more, dot(m, corner) + more
    d = n[0] * m[1] - n[1] * m[0]
    return ((a * m[1] - b * n[1]) / d, (n[0] * b - m[0] * a) / d)


def block(low, high, more, gap, metal):
    low, high = [F(v) - more for v in low], [F(v) + more for v in high]
    normals = [tuple(F(s if k == axis else 0) for k in range(3)) for axis in range(3) for s in (1, -1)]
    return Solid(list(itertools.product(*zip(low, high))), normals, gap, metal)


def width(across):
    return across if isinstance(across, list) else [-F(across) / 2, F(across) / 2]


def surroundings(frame, gaps, worst):
    """Walls and solids of a frame."""
    more = F(frame.get("accuracy", 0)) if worst else F(0)
    opening = frame["opening"]
    metal = opening.get("metal", True)
    points = counterclockwise(opening["outline"])
    hull, pocket = hull_and_pocket(points)
    walls, solids = [], []
    for a, b in zip(hull, hull[1:] + hull[:1]):
        x, z = inner_normal(a, b)
        n = (x, F(0), z)
        walls.append(Wall(n, tuple(p + more * q for p, q in zip((a[0], F(0), a[1]), n)), metal))
    if pocket:
        solids.append(prism(pocket, None, more, gaps["wall"], metal))
    walls += side_walls(opening, points, more)
    for k in frame.get("keepouts", []):
        gap = F(k.get("gap", gaps["keepout"]))
        made = keep_out(k, more, gap)
        made.own = k.get("gap")
        solids.append(made)
    return walls, solids


def keep_out(k, more, gap):
    if "box" in k:
        return block(k["box"]["low"], k["box"]["high"], more, gap, k.get("metal", True))
    return prism(counterclockwise(k["outline"]), width(k["across"]), more, gap, k.get("metal", True))


def side_walls(opening, points, more):
    """The two planes that limit the width; they are never metal."""
    low, high = min(p[1] for p in points), max(p[1] for p in points)
    if "stations" in opening:
        first, last = opening["stations"]
        if (first["z"], last["z"]) != (low, high):
            raise ValueError("stations must be at the lowest and the highest point")
        below, above = width(first["across"]), width(last["across"])
    else:
        below = above = width(opening["across"])
    walls = []
    for k, sign in ((0, 1), (1, -1)):
        # A section seen from behind: y and z. The normal is across the line and inward.
        _, y, z = unit((0, sign * (high - low), -sign * (F(above[k]) - F(below[k]))))
        n = (F(0), y, z)
        walls.append(Wall(n, tuple(p + more * q for p, q in zip((F(0), F(below[k]), low), n)), False))
    return walls


# The model

class Model:
    def __init__(self, frame, pack, worst):
        self.gaps = {k: F(v) for k, v in {**GAPS, **pack.get("gaps", {})}.items()}
        self.spare, self.rules, self.reaches = z3.Real("spare"), [], {}
        self.boxes = []
        for kind in pack["boxes"]:
            poses = poses_of(kind, worst)
            for number in range(1, kind.get("count", 1) + 1):
                self.add_box(kind["name"], number, poses)
        walls, solids = surroundings(frame, self.gaps, worst)
        for i, a in enumerate(self.boxes):
            for body in range(len(a["poses"][0].bodies)):
                for wall in walls:
                    self.clear_of_wall(i, body, wall)
                for solid in solids:
                    self.clear_of_solid(i, body, solid)
            for j in range(i + 1, len(self.boxes)):
                self.apart(i, j)

    def add_box(self, name, number, poses):
        i = len(self.boxes)
        at = [z3.Real("%s%d" % (axis, i)) for axis in "xyz"]
        chosen = [z3.Bool("p%d_%d" % (i, k)) for k in range(len(poses))]
        self.rules.append(z3.PbEq([(c, 1) for c in chosen], 1))
        if number > 1:  # boxes that are alike change places freely
            self.rules.append(self.boxes[-1]["at"][0] <= at[0])
        self.boxes.append({"name": name, "number": number, "poses": poses, "at": at, "chosen": chosen})

    def along(self, i, u):
        return z3.Sum([exact(q) * p for p, q in zip(self.boxes[i]["at"], u) if q])

    def reach(self, i, body, u):
        """How far a body reaches along u, which depends on the rotation that is chosen."""
        key = (i, body, u)
        if key not in self.reaches:
            box = self.boxes[i]
            each = [p.bodies[body].reach(u) for p in box["poses"]]
            if min(each) == max(each):
                self.reaches[key] = exact(each[0])
            else:
                self.reaches[key] = z3.Real("r%d" % len(self.reaches))
                for c, value in zip(box["chosen"], each):
                    self.rules.append(z3.Implies(c, self.reaches[key] == exact(value)))
        return self.reaches[key]

    def having(self, i, body, u):
        """Whether a face of the body is across u, as a condition; True where it always is."""
        box = self.boxes[i]
        which = [c for c, p in zip(box["chosen"], box["poses"]) if u in p.bodies[body].normals()]
        return True if len(which) == len(box["poses"]) else z3.Or(which)

    def directions(self, i, body):
        found = {}
        for p in self.boxes[i]["poses"]:
            found.update(dict.fromkeys(p.bodies[body].normals()))
        return list(found)

    def clear_of_wall(self, i, body, wall):
        post = self.boxes[i]["poses"][0].bodies[body].post
        gap = self.gaps["post"] if post and wall.metal else self.gaps["wall"]
        self.rules.append(self.along(i, wall.n) - self.reach(i, body, neg(wall.n)) - exact(wall.offset + gap) >= self.spare)

    def clear_of_solid(self, i, body, solid):
        post = self.boxes[i]["poses"][0].bodies[body].post
        gap = solid.gap
        if post and solid.metal:
            gap = max(self.gaps["post"], F(getattr(solid, "own", None) or 0))
        sheets = []
        facing = [neg(n) for n in solid.normals]
        for u in dict.fromkeys(facing + self.directions(i, body)):
            near = solid.nearest(u)
            if near is None:
                continue
            rule = exact(near - gap) - self.along(i, u) - self.reach(i, body, u) >= self.spare
            allowed = True if u in facing else self.having(i, body, u)
            sheets.append(rule if allowed is True else z3.And(allowed, rule))
        self.rules.append(z3.Or(sheets))

    def apart(self, i, j):
        a, b = self.boxes[i]["poses"][0].bodies, self.boxes[j]["poses"][0].bodies
        for m, n in itertools.product(range(len(a)), range(len(b))):
            sheets = []
            for u in dict.fromkeys(self.directions(i, m) + self.directions(j, n)):
                gap = self.between(a[m], b[n], u)
                rule = self.along(j, u) - self.along(i, u) - self.reach(i, m, u) - self.reach(j, n, neg(u)) - exact(gap) >= self.spare
                first, second = self.having(i, m, u), self.having(j, n, u)
                sheets.append(rule if True in (first, second) else z3.And(z3.Or(first, second), rule))
            self.rules.append(z3.Or(sheets))

    def between(self, a, b, u):
        if a.post and b.post:
            return self.gaps["post"]
        if a.post or b.post:
            return self.gaps["boot"]
        return self.gaps["above"] if u[2] * u[2] > F(1, 2) else self.gaps["beside"]

    def placements(self, model):
        return [self.placement(box, model) for box in self.boxes]

    def placement(self, box, model):
        k = next(k for k, c in enumerate(box["chosen"]) if z3.is_true(model.eval(c, model_completion=True)))
        pose = box["poses"][k]
        return {"box": box["name"], "number": box["number"], "up": pose.up, "front": pose.front, "tilt_deg": pose.tilt,
                "centre_mm": [float(fraction(model.eval(v, model_completion=True))) for v in box["at"]]}


def exact(value):
    return z3.RealVal("%d/%d" % (F(value).numerator, F(value).denominator))


def fraction(value):
    return F(value.numerator_as_long(), value.denominator_as_long())


def better(model, spare, seconds):
    """z3's answer to "is there a layout with so much to spare", and its model or None."""
    return asked(z3.Solver(), model, spare, seconds)


def best_from(model, lowest, seconds):
    """As better, with the spare made greatest. Without a lower limit Optimize 4.8.12 may
    stop at a wrong value; with one it is still not believed."""
    optimize = z3.Optimize()
    optimize.maximize(model.spare)
    return asked(optimize, model, lowest, seconds)


def asked(solver, model, spare, seconds):
    solver.set("timeout", int(1000 * seconds))
    solver.add(model.rules)
    solver.add(model.spare >= exact(spare))
    answer = solver.check()
    return answer, solver.model() if answer == z3.sat else None


def optimized(model, lowest, seconds):
    """The greatest spare by Optimize, with the proof that there is no greater one."""
    again = 0
    while True:
        start = time.time()
        answer, found = best_from(model, lowest, seconds)
        first = time.time() - start
        if answer != z3.sat:
            return {"status": str(answer), "optimize_seconds": first}
        best = fraction(found.eval(model.spare))
        answer, more = better(model, best + MARGIN, seconds)
        if answer != z3.sat:
            return {"status": proven(answer), "optimize_seconds": first, "proof_seconds": time.time() - start - first,
                    "again": again, **told(model, found)}
        again, lowest = again + 1, fraction(more.eval(model.spare))


def climbed(model, lowest, seconds):
    """The same by plain questions "so much more?", which end sooner from five boxes up."""
    answer, found = better(model, lowest, seconds)
    if answer != z3.sat:
        return {"status": str(answer)}
    step = MARGIN
    while True:
        best = fraction(found.eval(model.spare))
        answer, more = better(model, best + step, seconds)
        if answer == z3.sat:
            found, step = more, 4 * step
        elif step == MARGIN or answer == z3.unknown:
            return {"status": proven(answer), **told(model, found)}
        else:
            step = max(MARGIN, step / 4)


def reached(model, lowest, seconds):
    """Any layout with at least the lowest."""
    answer, found = better(model, lowest, seconds)
    return {"status": "done", **told(model, found)} if answer == z3.sat else {"status": str(answer)}


def proven(answer):
    return "done" if answer == z3.unsat else "unknown"


def told(model, found):
    return {"spare": float(fraction(found.eval(model.spare))), "margin": float(MARGIN), "placements": model.placements(found)}


def main():
    z3.set_param("smt.arith.solver", 2)  # the quicker one here, by half
    for line in sys.stdin:
        question = json.loads(line)
        start, processor = time.time(), time.process_time()
        model = Model(question["frame"], question["pack"], question["worst"])
        how = {"optimize": optimized, "climb": climbed, "reach": reached}[question["ask"]]
        answer = how(model, F(question["lowest"]), question["seconds"])
        answer["seconds"] = time.time() - start
        answer["processor_seconds"] = time.process_time() - processor
        print(json.dumps(answer), flush=True)


if __name__ == "__main__":
    main()
