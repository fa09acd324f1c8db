"""Writes corners.json: double wishbones and struts, solved by their constraints.

    python corners.py         (Python 3.11, requirements.txt)

No closed form. The upright is a rigid body with six pose numbers: the displacement of the wheel centre (three) and a rotation vector
(three). Six equations hold it:

    double wishbone   two distances of the lower ball joint, two of the upper one, each from an arm's pivots
    strut             two distances of the lower ball joint; the top mount lies on the damper's line of the upright (two)
    both              the rod's length, with the inner joint moved by the rack; the height of the wheel centre

They are followed from the reference by scipy's `least_squares` in small steps, first of travel, then of the rack (where that way ends, the
other way round), and polished by Newton's method at 30 digits (mpmath). Where the following stops, there is no position on this branch. Millimetres, degrees; axes as ISO 8855.
"""

import json
import math
import pathlib
import random

import mpmath as mp
import numpy as np
from scipy.optimize import least_squares

mp.mp.dps = 30
SEED = 20261126
STEP = 5.0  # mm of travel or rack, the largest step of the following
TURN = 0.08  # rad, the largest turn in one step
LEAST = 0.02  # mm, where the following gives up
WISHBONES, STRUTS, PLACES = 200, 100, 6


def rotated(v, r, m):
    """v turned by the rotation vector r, in the numbers of the module m (mpmath or numpy's floats)."""
    angle = m.sqrt(r[0] * r[0] + r[1] * r[1] + r[2] * r[2])
    if angle == 0:
        return list(v)
    u = [x / angle for x in r]
    c, s = m.cos(angle), m.sin(angle)
    along = (u[0] * v[0] + u[1] * v[1] + u[2] * v[2]) * (1 - c)
    w = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
    return [v[k] * c + w[k] * s + u[k] * along for k in range(3)]


def sub(a, b):
    return [a[k] - b[k] for k in range(3)]


def add(a, b):
    return [a[k] + b[k] for k in range(3)]


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def unit(a, m):
    n = m.sqrt(dot(a, a))
    return [x / n for x in a]


class Corner:
    def __init__(self, p):
        self.p = p

    def numbers(self, m):
        return {k: [m.mpf(x) for x in v] if m is mp else [float(x) for x in v] for k, v in self.p["points"].items()}

    def body(self, p, pose, m):
        """Where a point of the upright goes."""
        return lambda v: add(add(p["centre"], list(pose[:3])), rotated(sub(v, p["centre"]), pose[3:], m))

    def equations(self, pose, travel, rack, m, p):
        at = self.body(p, pose, m)
        square = lambda a, b: dot(sub(a, b), sub(a, b))
        # A distance's change, to first order: (d^2 - d0^2) / 2 d0.
        kept = lambda a, b, moved, still: (square(moved, still) - square(a, b)) / (2 * m.sqrt(square(a, b)))
        ball = at(p["ball"])
        out = [kept(p["ball"], p[k], ball, p[k]) for k in ("lower_front", "lower_rear")]
        if "top" in p:
            line, turned = sub(p["top"], p["damper"]), at(p["damper"])
            across = unit(cross(line, [1.0, 0.0, 0.0]), m)
            other = unit(cross(line, across), m)
            for v in (across, other):
                out.append(dot(sub(p["top"], turned), rotated(v, pose[3:], m)))
        else:
            upper = at(p["upper_ball"])
            out += [kept(p["upper_ball"], p[k], upper, p[k]) for k in ("upper_front", "upper_rear")]
        inner = add(p["inner"], [0, rack, 0])
        out.append(kept(p["outer"], p["inner"], at(p["outer"]), inner))
        out.append(pose[2] - travel)
        return out

    def solve(self, guess, travel, rack):
        """The pose next to a guess, double precision; None where there is none."""
        p = self.numbers(math)
        scale = np.array([1, 1, 1, 0.005, 0.005, 0.005])
        f = lambda x: np.array(self.equations(list(x * scale), travel, rack, math, p))
        found = least_squares(f, np.array(guess) / scale, xtol=1e-14, ftol=1e-14, gtol=1e-14, method="lm")
        if np.max(np.abs(found.fun)) > 1e-6:
            return None
        # Close to a branch's end the equations depend on each other.
        if np.linalg.svd(found.jac, compute_uv=False)[-1] < 1e-3:
            return None
        return found.x * scale

    def follow(self, travel, rack):
        """The pose, from the reference by travel first; None where the branch ends before."""
        return self.along([travel, 0.0], [travel, rack])

    def along(self, *goals):
        """The pose at the last of these places [travel, rack], followed from one to the next; None where the branch ends before."""
        pose, here = np.zeros(6), np.zeros(2)
        for goal in goals:
            goal, step, before = np.array(goal), STEP, None
            while np.any(here != goal):
                way = goal - here
                length = np.linalg.norm(way)
                to = goal if length <= step else here + way / length * step
                guess = pose if before is None else pose + (pose - before[0]) * (np.linalg.norm(to - here) / before[1])
                found = self.solve(guess, *to)
                if found is None or np.linalg.norm((found - pose)[3:]) > TURN or (
                    before is not None and np.linalg.norm((found - guess)[3:]) > TURN / 8
                ):
                    step /= 2
                    if step < LEAST:
                        return None
                    continue
                before = (pose, np.linalg.norm(to - here))
                pose, here, step = found, to, min(STEP, 1.5 * step)
        return pose

    def polish(self, pose, travel, rack):
        p = self.numbers(mp)
        exact = [mp.mpf(x) for x in pose]
        travel, rack = mp.mpf(travel), mp.mpf(rack)
        f = lambda x: self.equations(x, travel, rack, mp, p)
        for _ in range(8):
            here = f(exact)
            h = mp.mpf(10) ** -14
            jac = mp.matrix(6, 6)
            for k in range(6):
                there = list(exact)
                there[k] += h
                for i, (a, b) in enumerate(zip(f(there), here)):
                    jac[i, k] = (a - b) / h
            move = mp.lu_solve(jac, -mp.matrix(here))
            exact = [x + move[k] for k, x in enumerate(exact)]
            if max(abs(x) for x in move) < mp.mpf(10) ** -22:
                break
        else:
            raise ArithmeticError("Newton did not settle")
        if max(abs(a - b) for a, b in zip(exact, pose)) > 1e-4:
            raise ArithmeticError("Newton left the branch")
        return exact

    def figures(self, pose):
        """toe-in, camber, caster, kingpin inclination (degrees), scrub, trail, half-track change (mm)."""
        p = self.numbers(mp)
        at = self.body(p, pose, mp)
        toe, camber = (mp.mpf(self.p[k]) * mp.pi / 180 for k in ("toe", "camber"))
        spin = [mp.sin(toe) * mp.cos(camber), mp.cos(toe) * mp.cos(camber), -mp.sin(camber)]
        still, spin = spin, rotated(spin, pose[3:], mp)
        top = p["top"] if "top" in p else at(p["upper_ball"])
        ball = at(p["ball"])
        u = unit(sub(top, ball), mp)

        def contact(centre, a):
            down = unit(sub([0, 0, -1], [x * -a[2] for x in a]), mp)
            return [c + self.p["radius"] * d for c, d in zip(centre, down)]

        c = contact(at(p["centre"]), spin)
        ground = [b + k * (c[2] - ball[2]) / u[2] for b, k in zip(ball, u)]
        lateral = unit([spin[0], spin[1], mp.mpf(0)], mp)
        ahead = cross(lateral, [0, 0, 1])
        degrees = lambda x: x * 180 / mp.pi
        return [
            degrees(mp.atan2(spin[0], spin[1])),
            degrees(-mp.asin(spin[2])),
            degrees(mp.atan(-u[0] / u[2])),
            degrees(mp.atan(-u[1] / u[2])),
            dot(sub(c, ground), lateral),
            dot(sub(ground, c), ahead),
            c[1] - contact(p["centre"], still)[1],
        ]

    def row(self, pose, travel, rack):
        figures = self.figures(self.polish(pose, travel, rack))
        return [travel, rack] + [round(float(x), 10) for x in figures]


def draw(rng, strut):
    """A left corner such as a builder may have: ground at Z = 0, mm."""
    tenth = lambda lo, hi: round(rng.uniform(lo, hi), 1)
    near = lambda v, *spread: [round(x + rng.uniform(-s, s), 1) for x, s in zip(v, spread)]
    half, radius = rng.uniform(620, 780), tenth(260, 350)
    ball = [tenth(-15, 25), round(half - rng.uniform(30, 90), 1), tenth(150, 240)]
    arm = rng.uniform(280, 420)
    p = {
        "lower_front": near([ball[0] + rng.uniform(60, 220), ball[1] - arm, ball[2]], 10, 25, 30),
        "lower_rear": near([ball[0] - rng.uniform(60, 260), ball[1] - arm, ball[2]], 10, 25, 30),
        "ball": ball,
    }
    lean, rake = math.tan(math.radians(rng.uniform(4, 15))), math.tan(math.radians(rng.uniform(0, 9)))
    if strut:
        rise = rng.uniform(520, 700)
        top = [ball[0] - rake * rise, ball[1] - lean * rise, ball[2] + rise]
        p["top"] = [round(x, 1) for x in top]
        # A second point on the damper's line, low down: the line passes the ball joint inboard or outboard, ahead or behind.
        low = rng.uniform(0.2, 0.5)
        on = [b + low * (t - b) for b, t in zip(ball, top)]
        p["damper"] = near([on[0], on[1] + rng.choice((-1, 1)) * rng.uniform(8, 45), on[2]], 20, 5, 5)
    else:
        rise, upper = rng.uniform(200, 330), rng.uniform(180, 300)
        p["upper_ball"] = [round(ball[0] - rake * rise, 1), round(ball[1] - lean * rise, 1), round(ball[2] + rise, 1)]
        x, y, z = p["upper_ball"]
        p["upper_front"] = near([x + rng.uniform(50, 180), y - upper, z], 10, 25, 40)
        p["upper_rear"] = near([x - rng.uniform(50, 180), y - upper, z], 10, 25, 40)
    behind = rng.choice((-1, 1))
    p["outer"] = near([behind * rng.uniform(110, 160), ball[1] - 10, ball[2] + rng.uniform(0, 90)], 0, 30, 0)
    rod = rng.uniform(240, 380)
    p["inner"] = near([p["outer"][0], p["outer"][1] - rod, p["outer"][2]], 40, 20, 35)
    p["centre"] = [0.0, round(half, 1), round(radius - rng.uniform(2, 8), 1)]
    return {
        "kind": "strut" if strut else "wishbone",
        "points": p,
        "toe": round(rng.uniform(-0.3, 0.4), 2),
        "camber": round(rng.uniform(-2, 1), 2),
        "radius": radius,
    }


def main():
    rng = random.Random(SEED)
    records = []
    for strut, count in ((False, WISHBONES), (True, STRUTS)):
        made = 0
        while made < count:
            p = draw(rng, strut)
            corner = Corner(p)
            places = [(round(rng.uniform(-100, 100), 1), round(rng.uniform(-80, 80), 1)) for _ in range(PLACES - 2)]
            places += [(rng.choice((-100.0, 100.0)), 0.0), (rng.choice((-100.0, 100.0)), rng.choice((-80.0, 80.0)))]
            at, ended = [], []
            for travel, rack in places:
                pose = corner.follow(travel, rack)
                if pose is None:
                    ended.append([travel, rack])
                    continue
                at.append(corner.row(pose, travel, rack))
            # A corner that reaches nearly nothing says nothing.
            if len(at) < PLACES - 2:
                continue
            # Where the way by travel ends, perhaps the rack goes first.
            for place in list(ended):
                pose = corner.along([0.0, place[1]], place)
                if pose is not None:
                    ended.remove(place)
                    at.append(corner.row(pose, *place))
            records.append(dict(p, at=at, **({"ended": ended} if ended else {})))
            made += 1
            if made % 20 == 0:
                print(p["kind"], made, flush=True)
    write(records)


def write(records):
    counts = {
        "corners": len(records),
        "wishbones": sum(r["kind"] == "wishbone" for r in records),
        "struts": sum(r["kind"] == "strut" for r in records),
        "positions": sum(len(r["at"]) for r in records),
        "places where the branch had ended": sum(len(r.get("ended", [])) for r in records),
        "with arms behind": sum(r["points"]["outer"][0] < 0 for r in records),
    }
    body = ",\n".join(json.dumps(r, separators=(",", ":")) for r in records)
    path = pathlib.Path(__file__).with_name("corners.json")
    path.write_text('{"about":"See README.md beside this file.","seed":%d,"counts":%s,"corners":[\n%s\n]}\n' % (SEED, json.dumps(counts), body))
    for name, count in counts.items():
        print("%6d %s" % (count, name))
    print("%6d bytes" % path.stat().st_size)


if __name__ == "__main__":
    main()
