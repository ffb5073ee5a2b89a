"""What the boxes of a layout stand on, for the second judge: levels, trays, carrying, and
whether boxes are in their ranges and where they are pinned. Like the rest of it, it shares
no code with the project: the rules are those of the documentation of layouts that stand.

A box lies on the face that looks most downward. It is carried by boxes with a top parallel
to that face, at most 30 mm below it and within half a millimetre of the highest such top,
that carry something and have no post there (with the gap of boots around it), when its
middle, give or take a tenth of its length and width, is within the convex hull of what it
shares with them, and each of them bears the whole of it and of what is on it. Boxes are
looked at from the highest middle down. All others stand on levels, half a millimetre thick
at most; under each has to be a slab of the gap tray, free of everything but posts.
"""

from decimal import Decimal as D

from core import FACES, HALF, Case, box_solid, dot, flat_gap, hull, sub, turner

REACH, SPAN, TENTH = D(30), D("0.5"), D("0.1")
HAIR = D("1e-9")
MICRON = D("1e-6")


def extent(solid, u):
    along = [dot(u, c) for c in solid.corners]
    return min(along), max(along)


class Box:
    """A placed box with the face that it lies on."""

    def __init__(self, name, kind, placement, bodies):
        self.name, self.kind = name, kind
        self.case, self.posts = bodies[0][2], [b[2] for b in bodies[1:]]
        turn = turner(placement["up"], placement["front"], placement["tilt"])
        into = {f: turn(tuple(D(-x) for x in n)) for f, n in FACES.items()}
        opposite = {"top": "bottom", "bottom": "top", "left": "right", "right": "left", "front": "back", "back": "front"}
        self.down = opposite[placement["up"]]
        for f in FACES:
            if into[f][2] > into[self.down][2] + HAIR:
                self.down = f
        self.up = into[self.down]
        self.out = {f: turn(tuple(D(x) for x in n)) for f, n in FACES.items()}
        self.low, self.middle = extent(self.case, self.up)[0], self.case.middle
        self.load, self.on = D(0), []

    def top(self, u):
        return extent(self.case, u)[1]

    def slab(self, thick, less=D(0)):
        """The room for a tray: the part of a longer box that is under this one, smaller on
        all sides by less."""
        axis = [k for k in range(3) if FACES[self.down][k]][0]
        lo, hi = [less - h for h in self.case.half], [h - less for h in self.case.half]
        if FACES[self.down][axis] > 0:
            lo[axis], hi[axis] = hi[axis] + 2 * less, hi[axis] + thick
        else:
            lo[axis], hi[axis] = lo[axis] - thick, lo[axis] - 2 * less
        axes = self.case.axes
        return box_solid(lambda v: tuple(sum(axes[k][i] * v[k] for k in range(3)) for i in range(3)), self.case.middle, lo, hi)


def plan(solid, up):
    """Its extents along and across the plane with that normal."""
    length = (up[0] ** 2 + up[2] ** 2).sqrt()
    return extent(solid, (up[2] / length, D(0), -up[0] / length)), extent(solid, (D(0), D(1), D(0)))


def shared(a, b):
    both = [(max(p[0], q[0]), min(p[1], q[1])) for p, q in zip(a, b)]
    return both if all(q - p > HAIR for p, q in both) else None


def parallel(solid, u):
    return any(abs(dot(a, u)) > 1 - HAIR for a in solid.axes)


def within(q, polygon):
    for a, b in zip(polygon, polygon[1:] + polygon[:1]):
        if (b[0] - a[0]) * (q[1] - a[1]) - (b[1] - a[1]) * (q[0] - a[0]) < -HAIR * 1000:
            return False
    return True


class Standing:
    """case is one of core.Case as measured, kinds the pack's own by name, gaps with tray; more gives
    what a slab is from what is no part of the case."""

    def __init__(self, case, kinds, tray, more):
        self.case, self.tray, self.more = case, tray, more
        order = list(case.c["boxes"])
        placed = sorted(case.c["placements"], key=lambda p: (order.index(p["box"]), p["number"]))
        self.boxes = [Box(name, kinds[p["box"]], p, bodies) for p, (name, bodies) in zip(placed, case.bodies())]

    def answer(self):
        for b in sorted(self.boxes, key=lambda b: -b.middle[2]):
            self.carry(b)
        return {
            "levels": sorted(sorted(b.name for b in level) for level in self.levels()),
            "on": {b.name: sorted(c.name for c in b.on) for b in self.boxes if b.on},
            "down": {b.name: b.down for b in self.boxes},
            "post_below": sorted(b.name for b in self.boxes if any(t["face"] == b.down for t in b.kind["posts"])),
            "room": {b.name: self.room(b) for b in self.boxes if not b.on},
        }

    def carry(self, b):
        tops = []
        for c in self.boxes:
            gap = b.low - c.top(b.up)
            if c is not b and parallel(c.case, b.up) and -HAIR <= gap <= REACH and shared(plan(b.case, b.up), plan(c.case, b.up)):
                tops.append((gap, c))
        if not tops:
            return
        least = min(gap for gap, _ in tops)
        on = [c for gap, c in tops if gap <= least + SPAN and c.kind["carries"] > 0 and not self.presses(b, c)]
        weight = b.kind["mass"] + b.load
        if not on or b.kind["mass"] == 0 or not self.balanced(b, on) or any(c.load + weight > c.kind["carries"] + HAIR for c in on):
            return
        b.on = on
        for c in on:
            c.load += weight

    def presses(self, b, c):
        boot, under = self.case.gaps["boot"], plan(b.case, b.up)
        for t, bar in zip(c.kind["posts"], c.posts):
            if dot(c.out[t["face"]], b.up) < HALF:
                continue
            at = [(p - boot, q + boot) for p, q in plan(bar, b.up)]
            if all(max(p[0], q[0]) < min(p[1], q[1]) for p, q in zip(at, under)):
                return True
        return False

    def balanced(self, b, on):
        own, corners = plan(b.case, b.up), []
        for c in on:
            (x0, x1), (y0, y1) = shared(own, plan(c.case, b.up))
            corners += [(x, y) for x in (x0, x1) for y in (y0, y1)]
        around = hull(corners)
        middle = [(p + q) / 2 for p, q in own]
        reach = [(q - p) * TENTH for p, q in own]
        return all(within((middle[0] + s * reach[0], middle[1] + t * reach[1]), around) for s in (-1, 1) for t in (-1, 1))

    def levels(self):
        """Boxes of one upward normal, cut where the next is too far above the lowest."""
        found = []
        for b in sorted((b for b in self.boxes if not b.on), key=lambda b: b.low):
            for level in found:
                apart = sub(level[0].up, b.up)
                if dot(apart, apart) < D("1e-17") and b.low - level[0].low <= SPAN + HAIR and level[-1].open:
                    level.append(b)
                    b.open = True
                    break
            else:
                b.open = True
                found.append([b])
        return found

    def room(self, b):
        """How far the slab is from the nearest thing; less than 0 where it has no room. None
        where it is a hair from a round bar with flat ends, whose depth is not known."""
        gaps = self.gaps(b, b.slab(self.tray))
        known = [g for g in gaps if g is not None]
        if len(known) == len(gaps) or min(known) < 0:
            return float(min(known))
        return -1.0 if None in self.gaps(b, b.slab(self.tray, D("0.005"))) else None

    def gaps(self, b, slab):
        bare = dict(self.case.c)
        bare["gaps"] = {g: D(0) for g in self.case.gaps}
        for things in ("rails", "keepouts", "prisms"):
            bare[things] = [dict(t, gap=D(0)) for t in bare[things]]
        frame = Case(bare)
        frame.to_frame(b.name, False, slab)
        return list(frame.left.values()) + self.more(slab) + [flat_gap(slab, c.case) for c in self.boxes if c is not b]


def beyond(ranges, name, kind, bodies):
    """Whether a box reaches beyond its range, in words."""
    for k, axis in enumerate("xyz"):
        if ranges.get(axis) is None:
            continue
        u = tuple(D(int(i == k)) for i in range(3))
        ends = [extent(s, u) for _, _, s in bodies]
        if min(e[0] for e in ends) < ranges[axis][0] - MICRON or max(e[1] for e in ends) > ranges[axis][1] + MICRON:
            return ["%s: beyond its range along %s" % (name, axis)]
    return []
