"""The greatest spare of boxes that stand on so many levels, by exhaustive search: a mixed
integer program for the solver HiGHS of scipy. It shares no code with the project.

Reads one JSON object a line: {"outline": [[x, z]...] convex and counterclockwise, "across":
width, "beside", "above", "tray", "levels", "boxes": [{"sizes": [[x, y, z]...]}]}, one of
sizes for each way in which the box may lie. Answers {"spare": mm} or {"spare": null} where
nothing stands with 0 or more to spare.

Each box has the sizes of one of its ways, stands on one level, and each two of them lie apart
along one of three axes, one way or the other. Boxes keep the spare to the sides of the outline
and to half of the width, beside or above, and the spare, to each other; under each is a slab
of the tray free of the sides and of the others.
"""

import json
import sys

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp

FAR = 1000.0  # beyond every opening that is asked about; much more, and HiGHS errs


class Program:
    def __init__(self):
        self.integer, self.low, self.high, self.rows = [], [], [], []

    def variable(self, low=-FAR, high=FAR, integer=False):
        self.integer.append(int(integer))
        self.low.append(low)
        self.high.append(high)
        return len(self.integer) - 1

    def binary(self):
        return self.variable(0, 1, True)

    def at_least(self, terms, bound):
        """The sum of coefficients times variables is at least bound."""
        self.rows.append((dict_of(terms), bound, numpy.inf))

    def equal(self, terms, value):
        self.rows.append((dict_of(terms), value, value))

    def most(self, variable):
        n = len(self.integer)
        matrix = numpy.zeros((len(self.rows), n))
        for k, (terms, _, _) in enumerate(self.rows):
            for v, c in terms.items():
                matrix[k, v] += c
        cost = numpy.zeros(n)
        cost[variable] = -1
        rows = LinearConstraint(matrix, [r[1] for r in self.rows], [r[2] for r in self.rows])
        best = None
        for presolve in (True, False):
            found = milp(cost, integrality=numpy.array(self.integer), bounds=Bounds(self.low, self.high), constraints=rows,
                         options={"mip_rel_gap": 1e-9, "presolve": presolve})
            if found.status == 0 and (best is None or -found.fun > best):
                best = -found.fun
        return best


def dict_of(terms):
    out = {}
    for v, c in terms:
        out[v] = out.get(v, 0) + c
    return out


def solve(q):
    p = Program()
    spare = p.variable(0, FAR)
    heights = [p.variable() for _ in range(q["levels"])]
    boxes = []
    for b in q["boxes"]:
        ways = [p.binary() for _ in b["sizes"]]
        p.equal([(w, 1) for w in ways], 1)
        place = [p.variable() for _ in range(3)]
        half = [[(w, s[axis] / 2) for w, s in zip(ways, b["sizes"])] for axis in range(3)]
        on = [p.binary() for _ in heights]
        p.equal([(o, 1) for o in on], 1)
        for h, o in zip(heights, on):  # its underside is at the height of its level
            for sign in (1, -1):
                p.at_least([(place[2], sign), (h, -sign), (o, -FAR)] + [(w, -sign * c) for w, c in half[2]], -FAR)
        boxes.append((place, half))
        walls(p, q, place, half, spare)
    for k, a in enumerate(boxes):
        for b in boxes[:k]:
            apart(p, q, a, b, spare)
    return p.most(spare)


def walls(p, q, place, half, spare):
    outline = q["outline"]
    for (x0, z0), (x1, z1) in zip(outline, outline[1:] + outline[:1]):
        length = ((x1 - x0) ** 2 + (z1 - z0) ** 2) ** 0.5
        nx, nz = (z0 - z1) / length, (x1 - x0) / length  # inward
        d = nx * x0 + nz * z0
        reach = [(w, -abs(nx) * c) for w, c in half[0]] + [(w, -abs(nz) * c) for w, c in half[2]]
        p.at_least([(place[0], nx), (place[2], nz), (spare, -1)] + reach, d)
        if nz > 0:
            p.at_least([(place[0], nx), (place[2], nz)] + reach, d + nz * q["tray"])
    for sign in (1, -1):
        p.at_least([(place[1], sign), (spare, -1)] + [(w, -c) for w, c in half[1]], -q["across"] / 2)


def apart(p, q, a, b, spare):
    ways = []
    for axis in range(3):
        gap = q["above"] if axis == 2 else q["beside"]
        for first, second in ((a, b), (b, a)):
            chosen = p.binary()
            ways.append((chosen, 1))
            terms = [(first[0][axis], 1), (second[0][axis], -1), (chosen, -FAR)]
            terms += [(w, -c) for w, c in first[1][axis]] + [(w, -c) for w, c in second[1][axis]]
            p.at_least(terms + [(spare, -1)], gap - FAR)
            if axis == 2:  # first is above second
                p.at_least(terms, q["tray"] - FAR)
    p.at_least(ways, 1)


def main():
    for line in sys.stdin:
        print(json.dumps({"spare": solve(json.loads(line))}), flush=True)


if __name__ == "__main__":
    main()
