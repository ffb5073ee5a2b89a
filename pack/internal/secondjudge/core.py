"""The second judge's arithmetic: what is left of every relation of a layout. It shares
no code with the project; files.py makes its cases from the files themselves.

Reads {"cases": [...]} as JSON on standard input and writes, for each case, what is
left of the required gap for every relation. All arithmetic is decimal with 45
digits: exact for axis-parallel solids, and good to far below a nanometre for slanted ones. Only round bars with flat ends are
left to floating point, by scipy's bounded minimiser.

The outline's hull, the boxes, the posts, the tubes and the box-shaped keep-outs are
worked out here from the numbers of the files. Solids that need cutting into convex
pieces are handed over as prisms. Nothing is rounded.

A case: gaps {beside, above, wall, rail, keepout, post, boot}, worst, accuracy,
outline [[x, z]...], metal, across [right, left] or null, planes [{normal, offset}]
(limits of a width that changes with height), boxes {name: {size, more, off, posts}},
placements [{box, number, up, front, tilt, centre}], rails [{name, path, diameter,
gap}], keepouts [{name, metal, gap, box: [low, high] or round: [from, to,
diameter]}], prisms [{kind: side|width|keepout, name, metal, gap, profile, axis: x|y,
depth: [low, high] or null}], bodies [{name, metal, gap, solid}].
"""

import json
import sys
from decimal import Decimal as D, getcontext

getcontext().prec = 45
HALF = D("0.5")
FACES = {
    "front": (1, 0, 0), "back": (-1, 0, 0), "left": (0, 1, 0),
    "right": (0, -1, 0), "top": (0, 0, 1), "bottom": (0, 0, -1),
}


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a, b):
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def sub(a, b):
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def neg(a):
    return (-a[0], -a[1], -a[2])


def sine(x):
    term, total, n = x, x, 1
    while abs(term) > D("1e-50"):
        term *= -x * x / ((n + 1) * (n + 2))
        total += term
        n += 2
    return total


def sin_cos(x):
    if x == 0:
        return D(0), D(1)
    term, total, n = D(1), D(1), 0
    while abs(term) > D("1e-50"):
        term *= -x * x / ((n + 1) * (n + 2))
        total += term
        n += 2
    return sine(x), total


class Solid:
    """A convex solid with corners; normals are (outward, its length)."""

    def __init__(self, corners, normals, frame=None):
        self.corners, self.normals, self.frame = corners, normals, frame
        self.endless = None  # index of the axis along which it has no end


def box_solid(turn, centre, lo, hi):
    """The box from lo to hi in own coordinates, turned and then moved to centre."""
    corners = []
    for i in range(8):
        own = tuple(hi[k] if i >> k & 1 else lo[k] for k in range(3))
        corners.append(tuple(c + w for c, w in zip(centre, turn(own))))
    normals = []
    for k in range(3):
        e = turn(tuple(D(int(k == i)) for i in range(3)))
        normals += [(e, D(1)), (neg(e), D(1))]
    s = Solid(corners, normals)
    s.axes = [n for n, _ in normals[::2]]
    middle = turn(tuple((a + b) * HALF for a, b in zip(lo, hi)))
    s.middle = tuple(c + m for c, m in zip(centre, middle))
    s.half = tuple((b - a) * HALF for a, b in zip(lo, hi))
    return s


def turner(up, front, tilt):
    f, u = FACES[front], FACES[up]
    l = cross(u, f)
    s, c = sin_cos(tilt)

    def turn(v):
        x, y, z = dot(f, v), dot(l, v), dot(u, v)
        return (x * c + z * s, y, z * c - x * s)
    return turn


def prism_solid(p):
    along = 0 if p["axis"] == "x" else 1
    ends = p["depth"] or [D(0), D(0)]

    def point(q, d):
        return (d, q[0], q[1]) if along == 0 else (q[0], d, q[1])
    profile = p["profile"]
    corners = [point(q, d) for q in profile for d in ends]
    turn_sign = 0
    n = len(profile)
    for i in range(n):
        a, b = profile[i], profile[(i + 1) % n]
        turn_sign += a[0] * b[1] - a[1] * b[0]
    normals = []
    for i in range(n):
        a, b = profile[i], profile[(i + 1) % n]
        e = (b[1] - a[1], a[0] - b[0])
        if turn_sign < 0:
            e = (-e[0], -e[1])
        normals.append((point(e, D(0)), (e[0] ** 2 + e[1] ** 2).sqrt()))
    if p["depth"]:
        e = point((D(0), D(0)), D(1))
        normals += [(e, D(1)), (neg(e), D(1))]
    s = Solid(corners, normals)
    s.endless = None if p["depth"] else along
    return s


def sheets(a, b):
    """Yields the thickness and normal of every sheet between two solids."""
    listed = [n for n in a.normals] + [(neg(n), l) for n, l in b.normals]
    for n, length in listed:
        if any(s.endless is not None and n[s.endless] != 0 for s in (a, b)):
            continue
        gap = min(dot(n, c) for c in b.corners) - max(dot(n, c) for c in a.corners)
        yield (gap / length if length != 1 else gap), n, length


def flat_gap(a, b):
    return max(g for g, _, _ in sheets(a, b))


def segment_gap(b, p, q):
    """The signed distance of the segment p-q from box b."""
    own = [tuple(dot(a, sub(e, b.middle)) for a in b.axes) for e in (p, q)]
    start, way = own[0], sub(own[1], own[0])
    # Along the segment the squared distance is a parabola between these places.
    places = {D(0), D(1)}
    for k in range(3):
        if way[k] != 0:
            for h in (b.half[k], -b.half[k]):
                t = (h - start[k]) / way[k]
                if 0 < t < 1:
                    places.add(t)
    places = sorted(places)

    def beyond(t):
        v = []
        for k in range(3):
            x = start[k] + t * way[k]
            v.append(x - b.half[k] if x > b.half[k] else x + b.half[k] if x < -b.half[k] else D(0))
        return v
    best = min(sum(x * x for x in beyond(t)) for t in places)
    for lo, hi in zip(places, places[1:]):
        mid = beyond((lo + hi) * HALF)
        active = [k for k in range(3) if mid[k] != 0]
        slope2 = sum(way[k] ** 2 for k in active)
        if not active or slope2 == 0:
            if not active:
                best = D(0)
            continue
        m = (lo + hi) * HALF
        t = m - sum(mid[k] * way[k] for k in active) / slope2
        t = min(max(t, lo), hi)
        best = min(best, sum(x * x for x in beyond(t)))
    if best > D("1e-40"):
        return best.sqrt()
    # Inside: the least push along a face or across an edge and the segment.
    depth = None
    units = [tuple(D(int(i == k)) for i in range(3)) for k in range(3)]
    for n in units + [cross(way, u) for u in units]:
        length = dot(n, n).sqrt()
        if length < D("1e-30"):
            continue
        reach = sum(abs(n[k]) * b.half[k] for k in range(3))
        ends = (dot(n, own[0]), dot(n, own[1]))
        push = min(max(ends) + reach, reach - min(ends)) / length
        depth = push if depth is None else min(depth, push)
    return -depth


def cylinder_gap(b, p, q, radius):
    """The distance of a round bar with flat ends from box b, None where they meet."""
    import numpy
    from scipy.optimize import minimize
    own = [numpy.array([float(dot(a, sub(e, b.middle))) for a in b.axes]) for e in (p, q)]
    half = [float(h) for h in b.half]
    middle, way = (own[0] + own[1]) / 2, own[1] - own[0]
    length = float(numpy.linalg.norm(way))
    axis, r = way / length, float(radius)

    def squared(x):
        d = x - middle
        along = d @ axis
        across = d - along * axis
        rim = float(numpy.linalg.norm(across))
        over, out = abs(along) - length / 2, rim - r
        value, grad = 0.0, numpy.zeros(3)
        if over > 0:
            value += over * over
            grad = grad + 2 * over * numpy.sign(along) * axis
        if out > 0:
            value += out * out
            grad = grad + 2 * out * across / rim
        return value, grad
    found = minimize(squared, numpy.zeros(3), jac=True, method="L-BFGS-B", bounds=[(-h, h) for h in half],
                     options={"ftol": 1e-18, "gtol": 1e-12, "maxiter": 2000, "maxls": 60})
    gap = max(found.fun, 0.0) ** 0.5
    return D(gap) if gap > 1e-3 else None


def hull(points):
    points = sorted(set(map(tuple, points)))

    def half(points):
        out = []
        for p in points:
            while len(out) > 1 and (out[-1][0] - out[-2][0]) * (p[1] - out[-2][1]) - (out[-1][1] - out[-2][1]) * (p[0] - out[-2][0]) <= 0:
                out.pop()
            out.append(p)
        return out[:-1]
    return half(points) + half(points[::-1])


class Case:
    def __init__(self, c):
        self.c = c = {k: [] if v is None else v for k, v in c.items()}
        self.gaps, self.worst = c["gaps"], c["worst"]
        self.near = c["accuracy"] if c["worst"] else D(0)
        self.left = {}

    def off(self, thing):
        """How much nearer a thing may be: by its own accuracy, else by the frame's."""
        own = thing.get("accuracy")
        return (own if own is not None else self.near) if self.worst else D(0)

    def bodies(self):
        order = list(self.c["boxes"])
        for p in sorted(self.c["placements"], key=lambda p: (order.index(p["box"]), p["number"])):
            kind = self.c["boxes"][p["box"]]
            turn = turner(p["up"], p["front"], p["tilt"])
            size = kind["size"]
            half = [(s + (kind["more"] if self.worst else 0)) * HALF for s in size]
            name = "%s %d" % (p["box"], p["number"])
            yield name, [(name, False, box_solid(turn, p["centre"], [-h for h in half], half))] + [
                (name + " " + t["name"], True, self.post(turn, p["centre"], size, half, t, *((kind["off"], kind["more"]) if self.worst else (D(0), D(0)))))
                for t in kind["posts"]]

    def post(self, turn, centre, size, half, t, off, more):
        """The bar that holds the post, where its numbers may be off either way by off, and
        those of the case by off less and more."""
        lo, hi, at = [], [], list(t["at"])
        for k, out in enumerate(FACES[t["face"]]):
            if out:
                # From the face of the smallest case to the end of the highest post on the largest.
                ends = [size[k] * HALF - off * HALF, half[k] + t["height"] + off]
                lo.append(ends[0] if out > 0 else -ends[1])
                hi.append(ends[1] if out > 0 else -ends[0])
            else:
                middle = at.pop(0) - size[k] * HALF
                # The radius, the place, and the corner that the place is measured from.
                aside = (t["diameter"] + off) * HALF + off + more * HALF
                lo.append(middle - aside)
                hi.append(middle + aside)
        return box_solid(turn, centre, lo, hi)

    def note(self, a, b, left):
        key = a + "|" + b
        if left is None:
            self.left[key] = None
        elif key not in self.left or (self.left[key] is not None and left < self.left[key]):
            self.left[key] = left

    def required(self, post, metal, own, usual):
        if post and metal:
            return max(self.gaps["post"], own if own is not None else 0)
        return own if own is not None else usual

    def judge(self):
        boxes = list(self.bodies())
        for i, (_, bodies) in enumerate(boxes):
            for a in bodies:
                for _, others in boxes[i + 1:]:
                    for b in others:
                        self.note(a[0], b[0], self.between(a, b))
                self.to_frame(*a)
        return self.left

    def between(self, a, b):
        if a[1] and b[1]:
            return flat_gap(a[2], b[2]) - self.gaps["post"]
        if a[1] or b[1]:
            return flat_gap(a[2], b[2]) - self.gaps["boot"]
        return max(
            g - (self.gaps["above"] if 2 * n[2] ** 2 > length ** 2 * (1 + D("1e-8")) else self.gaps["beside"])
            for g, n, length in sheets(a[2], b[2]))

    def to_frame(self, name, post, solid):
        c = self.c
        wall = self.required(post, c["metal"], None, self.gaps["wall"])
        corners, ring = hull(c["outline"]), [tuple(p) for p in c["outline"]]
        for p, q in zip(corners, corners[1:] + corners[:1]):
            near = self.near
            if self.worst and c.get("sides"):  # the most of all sides from p on to q
                first, last = ring.index(tuple(p)), ring.index(tuple(q))
                near = max((c["sides"] + c["sides"])[first:last if last > first else last + len(ring)])
            inward = (p[1] - q[1], q[0] - p[0])
            length = (inward[0] ** 2 + inward[1] ** 2).sqrt()
            gap = min(inward[0] * (v[0] - p[0]) + inward[1] * (v[2] - p[1]) for v in solid.corners) / length
            self.note(name, "outline", gap - near - wall)
        if c["across"]:
            right, left = c["across"]
            for v in solid.corners:
                self.note(name, "width", min(v[1] - right, left - v[1]) - self.near - self.gaps["wall"])
        for p in c["planes"]:
            for v in solid.corners:
                self.note(name, "width", dot(p["normal"], v) - p["offset"] - self.gaps["wall"])
        for p in c["prisms"]:
            usual = self.gaps["keepout" if p["kind"] == "keepout" else "wall"]
            other = {"side": "outline", "width": "width"}.get(p["kind"], p["name"])
            metal = p["metal"] and p["kind"] != "width"
            self.note(name, other, flat_gap(solid, prism_solid(p)) - self.required(post, metal, p["gap"], usual))
        for b in c.get("bodies") or []:
            required = self.required(post, b["metal"], b["gap"], self.gaps["keepout"])
            self.note(name, b["name"], flat_gap(solid, b["solid"]) - required)
        for r in c["rails"]:
            required = self.required(post, True, r["gap"], self.gaps["rail"])
            for p, q in zip(r["path"], r["path"][1:]):
                self.note(name, r["name"], segment_gap(solid, p, q) - r["diameter"] * HALF - self.off(r) - required)
        for k in c["keepouts"]:
            required, near = self.required(post, k["metal"], k["gap"], self.gaps["keepout"]), self.off(k)
            if k.get("box"):
                low, high = k["box"]
                zero = (D(0), D(0), D(0))
                other = box_solid(lambda v: v, zero, [x - near for x in low], [x + near for x in high])
                self.note(name, k["name"], flat_gap(solid, other) - required)
            else:
                start, end, diameter = k["round"]
                length = dot(sub(end, start), sub(end, start)).sqrt()
                more = tuple(x * near / length for x in sub(end, start))
                start, end = sub(start, more), sub(end, neg(more))
                gap = cylinder_gap(solid, start, end, diameter * HALF + near)
                self.note(name, k["name"], None if gap is None else gap - required)


def main():
    cases = json.load(sys.stdin, parse_float=D, parse_int=lambda s: D(s))["cases"]
    answer = []
    for c in cases:
        left = Case(c).judge()
        answer.append({k: None if v is None else float(v) for k, v in left.items()})
    json.dump({"cases": answer}, sys.stdout)


if __name__ == "__main__":
    main()
