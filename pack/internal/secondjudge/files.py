"""The second judge: judges a layout from the frame file, the pack file and the layout,
sharing no code with the project.

    python3 pack/internal/secondjudge/files.py FRAME PACK LAYOUT [--worst]

prints the spare and the tightest relations, and ends with status 0 where the layout
holds, 1 where it does not. It needs python3-yaml, and python3-scipy for round keep-outs.

Without arguments it reads one JSON object a line, {"frame", "pack", "layout", "worst",
"pieces", "pins"}, the first three as in the files, and answers each with a line {"faults",
"left", "spare", "standing"}; "left" is what core.py makes, "standing" what standing.py does. "pieces" are the convex pieces, lists of
corners, that somebody else has cut an opening or a keep-out into. Where there is more
than one way to cut, they are used, after a check in exact fractions that they are
convex, share no area and fill exactly what they should.

What stands in the files is read here anew: lengths with units, widths by height, the
pockets of outlines that are not convex, mirrored rails, the worst of all measurements. It checks no more of a file than it needs.
"""

import json
import re
import sys
from decimal import Decimal as D
from fractions import Fraction as F
import pathlib

sys.path.insert(0, str(pathlib.Path(__file__).parent))
from core import Case, Solid, cross, dot, sin_cos  # noqa: E402
from moving import Moves  # noqa: E402
from standing import Standing, beyond  # noqa: E402

GAPS = {"beside": 3, "above": 6, "wall": 0, "rail": 5, "keepout": 5, "post": 25, "boot": 3}
TRAY = D(6)
UNITS = {"mm": D(1), "cm": D(10), "m": D(1000), "in": D("25.4"), '"': D("25.4"), "\u2033": D("25.4")}
STANDS = {"top": "upright", "bottom": "inverted", "left": "on-side", "right": "on-side", "front": "on-end", "back": "on-end"}
PI = D("3.14159265358979323846264338327950288419716939937510582")


class Reader:
    """Numbers and words of one file."""

    def __init__(self, doc):
        self.doc, self.unit = doc, UNITS[doc.get("units", "mm")]

    def length(self, v):
        m = re.fullmatch(r'\s*([+-]?)\s*(?:(?:(\d+)\s+)?(\d+)/(\d+)|([0-9.]+(?:[eE][+-]?\d+)?))\s*([a-zA-Z"\u2033]*)\s*', str(v))
        if not m:
            raise ValueError("no length: %r" % (v,))
        sign, whole, over, under, number, unit = m.groups()
        value = D(number) if number else D(whole or 0) + D(over) / D(under)
        return (-value if sign == "-" else value) * (UNITS[unit] if unit else self.unit)

    def point(self, v):
        return tuple(self.length(x) for x in v)

    def across(self, v):
        if isinstance(v, list):
            return self.point(v)
        return (-self.length(v) / 2, self.length(v) / 2)

    def gap(self, d):
        return self.length(d["gap"]) if d.get("gap") is not None else None


def true(d, key, default):
    return str(d.get(key, default)).lower() == "true"


# Polygons: lists of corners in the plane, counter-clockwise, exact.

def turn(a, b, c):
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def edges(p):
    return list(zip(p, p[1:] + p[:1]))


def twice_area(p):
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in edges(p))


def counterclockwise(p):
    p = [tuple(c) for c in p]
    return p if twice_area(p) > 0 else p[::-1]


def convex(p):
    return all(turn(p[k - 2], p[k - 1], p[k]) >= 0 for k in range(len(p)))


def hull(points):
    points = sorted(set(points))

    def half(points):
        out = []
        for p in points:
            while len(out) > 1 and turn(out[-2], out[-1], p) <= 0:
                out.pop()
            out.append(p)
        return out[:-1]
    return half(points) + half(points[::-1])


def on_segment(c, a, b):
    return turn(a, b, c) == 0 and min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def pockets(p):
    """What the hull has and the polygon has not, as polygons."""
    rim = [k for k, c in enumerate(p) if any(on_segment(c, a, b) for a, b in edges(hull(p)))]
    found = []
    for i, start in enumerate(rim):
        end = rim[(i + 1) % len(rim)]
        way = [p[(start + k) % len(p)] for k in range((end - start) % len(p) + 1)]
        if len(way) > 2:
            found.append(way[::-1])
    return found


def grown(p, d):
    """A convex polygon with every side moved out by d."""
    p = hull(p)
    if d == 0:
        return p
    out = []
    for k, c in enumerate(p):
        normals = []
        for a, b in ((p[k - 1], c), (c, p[(k + 1) % len(p)])):
            x, y = b[1] - a[1], a[0] - b[0]
            length = (x * x + y * y).sqrt()
            normals.append((x / length, y / length))
        (a, b), (e, f) = normals
        det = a * f - b * e
        out.append((c[0] + d * (f - b) / det, c[1] + d * (a - e) / det))
    return out


# Bodies between planes

def common(section, side, near):
    """What a convex section, swept along, and a convex side view, swept across, have in common, with every face
    moved out by near, but not out of the level box that is that much larger: none, or one solid."""
    planes = [((D(0), b[1] - a[1], a[0] - b[0]), a) for a, b in edges(hull(section))]
    planes = [(n, n[1] * a[0] + n[2] * a[1]) for n, a in planes]
    for a, b in edges(hull(side)):
        n = (b[1] - a[1], D(0), a[0] - b[0])
        planes.append((n, n[0] * a[0] + n[2] * a[1]))
    planes = [(n, at, dot(n, n).sqrt()) for n, at in planes]
    faces, corners = between(planes)
    if len(corners) < 4 or any(max(dot(n, c) for c in corners) - min(dot(n, c) for c in corners) < D("1e-6") * l for n, _, l in faces):
        return []
    if near:
        limits = []
        for k in range(3):
            for sign in (1, -1):
                n = tuple(D(sign * int(i == k)) for i in range(3))
                limits.append((n, max(dot(n, c) for c in corners) + near, D(1)))
        faces, corners = between([(n, at + near * l, l) for n, at, l in faces] + limits)
    return [Solid(corners, [(n, l) for n, _, l in faces])]


def between(planes):
    """The planes that are faces of what lies behind all of them, and its corners."""
    small, corners = D("1e-25"), []
    for i, (a, p, _) in enumerate(planes):
        for j, (b, q, _) in enumerate(planes[:i]):
            line = cross(a, b)
            for c, r, _ in planes[:j]:
                det = dot(line, c)
                if det == 0:
                    continue
                bc, ca = cross(b, c), cross(c, a)
                v = tuple((p * bc[k] + q * ca[k] + r * line[k]) / det for k in range(3))
                if all(dot(n, v) - at <= small * l for n, at, l in planes) and not any(max(abs(v[k] - w[k]) for k in range(3)) < D("1e-20") for w in corners):
                    corners.append(v)
    faces, seen = [], []
    for n, at, l in planes:
        on = [c for c in corners if abs(dot(n, c) - at) < D("1e-18") * l]
        if len(on) > 2 and not any(o == on for o in seen):
            faces.append((n, at, l))
            seen.append(on)
    return faces, corners


# Pieces that somebody else has cut

def exact(p):
    return [(F(x), F(y)) for x, y in p]


def inside(q, p):
    """Whether q is in the interior of polygon p, by the crossings of a ray."""
    odd = False
    for a, b in edges(p):
        if (a[1] > q[1]) != (b[1] > q[1]) and (turn(a, b, q) > 0) == (b[1] > a[1]):
            odd = not odd
    return odd


def enters(a, b, piece):
    """Whether the segment a-b comes into the interior of a convex piece."""
    lo, hi = F(0), F(1)
    for p, q in edges(piece):
        at_a, at_b = turn(p, q, a), turn(p, q, b)
        if at_a <= 0 and at_b <= 0:
            return False
        if at_a < 0 or at_b < 0:
            t = at_a / (at_a - at_b)
            lo, hi = (max(lo, t), hi) if at_a < 0 else (lo, min(hi, t))
    return lo < hi


def apart(p, q):
    """Whether two convex pieces share no area."""
    return any(all(turn(a, b, c) <= 0 for c in other) for one, other in ((p, q), (q, p)) for a, b in edges(one))


def corner(c, polygon):
    """The corner of a polygon that c is but for binary rounding; c itself if there is none."""
    return next((w for w in polygon if max(abs(w[0] - c[0]), abs(w[1] - c[1])) < F(1, 10**10)), c)


def checked_pieces(pocket, pieces):
    """The pieces of a pocket, once it is sure that they are that."""
    whole = exact(pocket)
    found = []
    for piece in pieces:
        e = [corner(c, whole) for c in exact(piece)]
        middle = (sum(x for x, _ in e) / len(e), sum(y for _, y in e) / len(e))
        if inside(middle, whole) and set(e) <= set(whole):  # pieces of other views may lie here too
            found.append(e)
    for k, e in enumerate(found):
        if not convex(e) or any(enters(a, b, e) for a, b in edges(whole)):
            raise ValueError("a piece is not convex, or leaves the polygon %r" % pocket)
        if not all(apart(e, other) for other in found[:k]):
            raise ValueError("two pieces of the polygon %r share area" % pocket)
    if sum(map(twice_area, found)) != twice_area(whole):
        raise ValueError("the pieces do not fill the polygon %r" % pocket)
    return [[(D(x.numerator) / D(x.denominator), D(y.numerator) / D(y.denominator)) for x, y in e] for e in found]


class Job:
    """One layout to judge."""

    swept = {}  # what moves, by frame: checking it takes a while

    def __init__(self, job):
        self.job = job
        if job["frame"].get("marks"):
            from marks import resolved
            job = dict(job, frame=resolved(Reader(job["frame"]), job["frame"]))
        self.job = job
        self.frame, self.pack = Reader(job["frame"]), Reader(job["pack"])
        self.placements, self.worst = job["layout"]["placements"] or [], job.get("worst", False)
        self.pieces = [[tuple(map(D, c)) for c in p] for p in job.get("pieces") or []]
        self.near = self.frame.length(job["frame"].get("accuracy", 0)) if self.worst else D(0)

    def answer(self):
        faults = self.faults() or self.misplaced()
        if faults:
            return {"faults": faults, "left": {}, "spare": None, "standing": None}
        case = Case(self.case())
        left = case.judge()
        self.moves(case, left)
        known = [v for v in left.values() if v is not None]
        return {"faults": [], "left": {k: None if v is None else float(v) for k, v in left.items()},
                "spare": None if len(known) < len(left) or not known else float(min(known)), "standing": self.standing()}

    def moves(self, case, left):
        """What is left to parts that move, and to the road."""
        usual = case.gaps["keepout"]
        swept = self.swept_by("swept", self.near)
        for _, bodies in case.bodies():
            for name, post, solid in bodies:
                for part, metal, gap, least in swept.gaps(solid) if swept else []:
                    left[name + "|" + part] = D(least) - case.required(post, metal, gap, usual)
                for road, normal, offset in self.roads():
                    left[name + "|" + road] = min(sum(n * x for n, x in zip(normal, c)) for c in solid.corners) - offset - usual

    def swept_by(self, which, near):
        """What moves, by the pieces that are sent; None where nothing does."""
        key = self.job.get(which + "_key")
        if not self.frame.doc.get("moving"):
            return None
        if key not in self.swept:
            self.swept[key] = Moves(self.frame, float(near), self.worst and which == "swept", self.job.get(which) or [])
        return self.swept[key]

    def below(self, slab):
        """The gaps from a slab to what moves and to the road, as measured."""
        swept = self.swept_by("swept" if not self.worst else "swept_measured", D(0))
        near, self.near = self.near, D(0)
        roads = [min(sum(n * x for n, x in zip(normal, c)) for c in slab.corners) - offset for _, normal, offset in self.roads()]
        self.near = near
        return roads + [D(least) for _, _, _, least in (swept.gaps(slab) if swept else [])]

    def roads(self):
        ground = self.frame.doc.get("ground")
        if not ground:
            return
        clear, lean = self.frame.length(ground["clear"]), D(ground.get("lean", 0)) * PI / 180
        for name, angle in (("road", D(0)), ("road, leant to the left", lean), ("road, leant to the right", -lean)):
            if name == "road" or lean:
                sin, cos = sin_cos(angle)
                yield name, (D(0), -sin, cos), -clear * cos + self.near

    def as_measured(self):
        """The case with nothing at its worst."""
        measured = Job(dict(self.job, worst=False))
        return Case(measured.case())

    def standing(self):
        given = self.pack.doc.get("gaps") or {}
        tray = self.pack.length(given["tray"]) if given.get("tray") is not None else TRAY
        kinds = {k["name"]: {"carries": mass(k.get("carries", 0)), "mass": mass(k.get("mass", 0)), "posts": k.get("posts") or []}
                 for k in self.pack.doc["boxes"]}
        return Standing(self.as_measured(), kinds, tray, self.below).answer()

    def misplaced(self):
        """Boxes that are not in their ranges or not where they are pinned."""
        found, case = [], self.as_measured()
        ranges = {k["name"]: {a: self.pack.point(r) for a, r in (k.get("within") or {}).items() if r is not None} for k in self.pack.doc["boxes"]}
        kinds = self.kinds()
        for name, bodies in case.bodies():
            box = name.rsplit(" ", 1)[0]
            found += beyond(ranges[box], name, kinds[box], bodies)
        for pin in self.job.get("pins") or []:
            for p in self.placements:
                if (p["box"], int(p["number"])) != (pin["box"], int(pin["number"])):
                    continue
                far = max(abs(D(a) - D(b)) for a, b in zip(p["centre_mm"], pin["centre_mm"]))
                if (p["up"], p["front"]) != (pin["up"], pin["front"]) or far > D("1e-6") or abs(D(p.get("tilt_deg", 0)) - D(pin.get("tilt_deg", 0))) > D("1e-7"):
                    found.append("%s %s: not where it is pinned" % (p["box"], p["number"]))
        return found

    def kinds(self):
        return {k["name"]: k for k in self.pack.doc["boxes"]}

    def faults(self):
        """What is wrong with a layout other than distances."""
        kinds, found = self.kinds(), []
        want = sorted((name, n + 1) for name, k in kinds.items() for n in range(int(k.get("count", 1))))
        have = sorted((p["box"], int(p["number"])) for p in self.placements)
        if want != have:
            found.append("the boxes placed are not those of the pack")
        for p in self.placements:
            k = kinds.get(p["box"], {})
            if STANDS[p["up"]] not in listed(k.get("stand", "upright")):
                found.append("%s %s: stand" % (p["box"], p["number"]))
            if not any(abs(D(t) - D(p.get("tilt_deg", 0))) < D("1e-7") for t in listed(k.get("tilt", "0"))):
                found.append("%s %s: tilt" % (p["box"], p["number"]))
            if {p["up"], p["front"]} in ({"top", "bottom"}, {"left", "right"}, {"front", "back"}) or p["up"] == p["front"]:
                found.append("%s %s: up and front" % (p["box"], p["number"]))
        return found

    def case(self):
        f, opening = self.frame, self.frame.doc["opening"]
        outline = counterclockwise([f.point(c) for c in opening["outline"]])
        sides = self.sides(opening)
        metal = true(opening, "metal", True)
        given = self.pack.doc.get("gaps") or {}
        case = {
            "gaps": {g: self.pack.length(given[g]) if given.get(g) is not None else D(v) for g, v in GAPS.items()},
            "worst": self.worst, "accuracy": self.near, "outline": outline, "sides": sides, "metal": metal, "across": None,
            "boxes": {k["name"]: self.box(k) for k in self.pack.doc["boxes"]},
            "placements": [self.placement(p) for p in self.placements],
            "rails": self.rails(), "keepouts": [], "planes": [], "prisms": [], "bodies": [],
        }
        for pocket in pockets(outline):
            case["prisms"] += self.prisms(pocket, "side", "outline", metal, None, "y", None, self.behind(pocket, outline, sides))
        self.widths(case)
        for k in f.doc.get("keepouts") or []:
            for one in self.both(f, k):
                self.keep_out(case, one)
        return case

    def both(self, f, k):
        """A keep-out, or with its mirror image two, named by their sides."""
        if not true(k, "mirror", False):
            return [k]
        flip = lambda q: [q[0], "%s mm" % -f.length(q[1]), q[2]]
        other = dict(k)
        if k.get("section"):
            corners = [f.point(c) for c in k["section"]]
            other["section"] = [["%s mm" % -y, "%s mm" % z] for y, z in corners[::-1]]
            middle = min(y for y, _ in corners) + max(y for y, _ in corners)
            if {(-y, z) for y, z in corners} == set(corners):
                return [k]
        elif k.get("outline"):
            low, high = f.across(k["across"])
            middle, other["across"] = low + high, ["%s mm" % -high, "%s mm" % -low]
        elif k.get("box"):
            low, high = k["box"]["low"], k["box"]["high"]
            middle = f.length(low[1]) + f.length(high[1])
            other["box"] = {"low": [low[0], flip(high)[1], low[2]], "high": [high[0], flip(low)[1], high[2]]}
        else:
            start, end = k["round"]["from"], k["round"]["to"]
            middle = f.length(start[1]) + f.length(end[1]) or f.length(start[1])
            other["round"] = dict(k["round"], **{"from": flip(start), "to": flip(end)})
            a, b = f.point(start), f.point(end)
            if {(a[0], -a[1], a[2]), (b[0], -b[1], b[2])} == {tuple(a), tuple(b)}:
                return [k]
        if middle == 0 and not k.get("round") and not k.get("section"):
            return [k]
        names = [" left", " right"] if middle > 0 else [" right", " left"]
        return [dict(one, name=k["name"] + name) for one, name in zip([k, other], names)]

    def box(self, k):
        r = self.pack
        return {
            "size": r.point(k["size"]), "more": r.length(k.get("accuracy", 0)) + r.length(k.get("swell", 0)),
            "off": r.length(k.get("accuracy", 0)),
            "posts": [{"name": t["name"], "face": t["face"], "at": r.point(t["at"]), "diameter": r.length(t["diameter"]),
                       "height": r.length(t.get("height", 0))} for t in k.get("posts") or []],
        }

    def placement(self, p):
        return {"box": p["box"], "number": int(p["number"]), "up": p["up"], "front": p["front"],
                "tilt": D(p.get("tilt_deg", 0)) * PI / 180, "centre": tuple(D(x) for x in p["centre_mm"])}

    def off(self, d):
        """How much nearer a thing may be."""
        if not self.worst:
            return D(0)
        return self.frame.length(d["accuracy"]) if d.get("accuracy") is not None else self.near

    def sides(self, opening):
        """The same of each side of the outline, in the order of counter-clockwise corners."""
        given = [s if isinstance(s, dict) else {} for s in opening.get("sides") or []]
        given = [self.off(s) for s in given] or [self.near] * len(opening["outline"])
        if twice_area([self.frame.point(c) for c in opening["outline"]]) < 0:
            given = given[:-1][::-1] + given[-1:]
        return given

    def behind(self, pocket, outline, sides):
        """The most of the sides that close a pocket in."""
        ends = [{a, b} for a, b in edges(pocket)]
        return max(s for (a, b), s in zip(edges(outline), sides) if {a, b} in ends)

    def prisms(self, polygon, kind, name, metal, gap, axis, depth, near):
        pieces = [polygon] if convex(polygon) else checked_pieces(polygon, self.pieces)
        return [{"kind": kind, "name": name, "metal": metal, "gap": gap, "profile": grown(p, near), "axis": axis, "depth": depth}
                for p in pieces]

    def widths(self, case):
        """The limits of the width, in a view from the front: y and z."""
        f, opening = self.frame, self.frame.doc["opening"]
        if opening.get("stations"):
            stations = [(f.length(s["z"]), f.across(s["across"])) for s in opening["stations"]]
        else:
            stations = [(D(0), f.across(opening["across"]))]
        heights = [f.point(c)[1] for c in opening["outline"]]
        low, high = min(heights), max(heights)
        at = [low] + [z for z, _ in stations if low < z < high] + [high]
        limits = [across_at(stations, z) for z in at]
        ring = [(a[1], z) for a, z in zip(limits, at)] + [(a[0], z) for a, z in zip(limits[::-1], at[::-1])]
        ring = [c for k, c in enumerate(ring) if turn(ring[k - 1], c, ring[(k + 1) % len(ring)]) != 0]
        for a, b in edges(hull(ring)):
            if a[1] != b[1]:
                n = (a[1] - b[1], b[0] - a[0])
                length = (n[0] ** 2 + n[1] ** 2).sqrt()
                n = (n[0] / length, n[1] / length)
                case["planes"].append({"normal": (D(0), n[0], n[1]), "offset": n[0] * a[0] + n[1] * a[1] + self.near})
        for pocket in pockets(ring):
            case["prisms"] += self.prisms(pocket, "width", "width", False, None, "x", None, self.near)

    def rails(self):
        found = []
        for r in self.frame.doc.get("rails") or []:
            path = [self.frame.point(p) for p in r["path"]]
            image = [(x, -y, z) for x, y, z in path]
            both = true(r, "mirror", False) and image not in (path, path[::-1])
            for way in ([path, image] if both else [path]):
                name = r["name"]
                if both:
                    lean = sum(y for _, y, _ in way) or next(y for _, y, _ in way if y)
                    name += " left" if lean > 0 else " right"
                found.append({"name": name, "path": way, "diameter": self.frame.length(r["diameter"]), "gap": self.frame.gap(r), "accuracy": self.off(r)})
        return found

    def keep_out(self, case, k):
        f, metal, gap = self.frame, true(k, "metal", True), self.frame.gap(k)
        if k.get("section"):
            section = counterclockwise([f.point(c) for c in k["section"]])
            if k.get("along"):
                rear, front = f.point(k["along"])
                case["prisms"] += self.prisms(section, "keepout", k["name"], metal, gap, "x", (rear - self.off(k), front + self.off(k)), self.off(k))
                return
            side = counterclockwise([f.point(c) for c in k["outline"]])
            for p in [section] if convex(section) else checked_pieces(section, self.pieces):
                for q in [side] if convex(side) else checked_pieces(side, self.pieces):
                    case["bodies"] += [{"name": k["name"], "metal": metal, "gap": gap, "solid": s} for s in common(p, q, self.off(k))]
            return
        if k.get("outline"):
            outline = counterclockwise([f.point(c) for c in k["outline"]])
            right, left = f.across(k["across"])
            depth = (right - self.off(k), left + self.off(k))
            case["prisms"] += self.prisms(outline, "keepout", k["name"], metal, gap, "y", depth, self.off(k))
            return
        one = {"name": k["name"], "metal": metal, "gap": gap, "accuracy": self.off(k)}
        if k.get("box"):
            one["box"] = [f.point(k["box"]["low"]), f.point(k["box"]["high"])]
        else:
            one["round"] = [f.point(k["round"]["from"]), f.point(k["round"]["to"]), f.length(k["round"]["diameter"])]
        case["keepouts"].append(one)


def mass(v):
    """Kilograms."""
    m = re.fullmatch(r"\s*([0-9.]+)\s*(kg|lb|g)?\s*", str(v))
    if not m:
        raise ValueError("no mass: %r" % (v,))
    return D(m.group(1)) * {"kg": D(1), None: D(1), "g": D("0.001"), "lb": D("0.45359237")}[m.group(2)]


def listed(v):
    return v if isinstance(v, list) else [v]


def across_at(stations, z):
    if z <= stations[0][0]:
        return stations[0][1]
    for (z0, a), (z1, b) in zip(stations, stations[1:]):
        if z <= z1:
            t = (z - z0) / (z1 - z0)
            return tuple(p + t * (q - p) for p, q in zip(a, b))
    return stations[-1][1]


def of_files(paths, worst):
    import yaml
    docs = [yaml.load(open(p, encoding="utf-8"), yaml.BaseLoader) for p in paths]
    a = Job({"frame": docs[0], "pack": docs[1], "layout": docs[2], "worst": worst}).answer()
    for fault in a["faults"]:
        print("fault:", fault)
    if a["faults"]:
        return 1
    print("spare", a["spare"])
    for level in a["standing"]["levels"]:
        print("level:", ", ".join(level))
    for name, on in a["standing"]["on"].items():
        print(name, "on", ", ".join(on))
    for name, left in sorted(a["left"].items(), key=lambda kv: (kv[1] is not None, kv[1]))[:12]:
        print("%14s  %s" % ("overlaps" if left is None else "%.6f" % left, name.replace("|", " - ")))
    return 0 if a["spare"] is not None and a["spare"] >= 0 else 1


def main():
    args = [a for a in sys.argv[1:] if a != "--worst"]
    if args:
        return of_files(args, "--worst" in sys.argv)
    for line in sys.stdin:
        job = json.loads(line, parse_float=D, parse_int=D)
        json.dump(Job(job).answer(), sys.stdout)
        print(flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
