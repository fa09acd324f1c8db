"""One wheel's linkage, solved by following the rod-length constraint.

No closed form. The outer joint goes round the steering axis by Rodrigues' rotation, O(theta); the inner joint goes
along Y, I + (0, s, 0). The constraint is

    F(theta, s) = |O(theta) - I(s)|^2 - rod^2 = 0

and the only branch ever used is the one that passes through the reference configuration (s = 0, theta = 0, rod as
built), followed in small steps in double precision and then polished by Newton's method at 50 digits. A branch ends
where dF/dtheta = 0 (toggle): found by solving F = 0 and dF/dtheta = 0 together from where the following stopped.

Millimetres, radians. X forward, Y left, Z up (ISO 8855). Steer angle: atan2(-a_x, a_y) of the spin axis a, which
points left on both wheels.
"""

import bisect
import math

import mpmath as mp

mp.mp.dps = 50

STEP = 0.25  # mm of rack, the largest step of the following
TURN = 0.01  # rad, the largest turn in one step
ENOUGH = 1e-9  # mm of rack, where the following gives up and calls it an end


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a, b):
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def sub(a, b):
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def add(a, b):
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def scale(a, k):
    return (a[0] * k, a[1] * k, a[2] * k)


def rotate(v, u, cos, sin):
    """Rodrigues: v turned about the unit vector u."""
    along = scale(u, dot(u, v) * (1 - cos))
    return add(add(scale(v, cos), scale(cross(u, v), sin)), along)


class Linkage:
    """A knuckle on the axis through `pivot` along `axis` (any length), its outer and inner joint, its rod."""

    def __init__(self, pivot, axis, outer, inner, rod=None):
        self.given = dict(pivot=pivot, axis=axis, outer=outer, inner=inner, rod=rod)
        exact = lambda v: tuple(mp.mpf(x) for x in v)
        self.pivot, axis, self.outer, self.inner = exact(pivot), exact(axis), exact(outer), exact(inner)
        self.axis = scale(axis, 1 / mp.sqrt(dot(axis, axis)))
        between = sub(self.outer, self.inner)
        self.built = mp.sqrt(dot(between, between))
        self.rod = self.built if rod is None else mp.mpf(rod)
        # The same in double precision, for the following.
        double = lambda v: tuple(float(x) for x in v)
        self.d = (double(sub(self.outer, self.pivot)), double(self.axis), double(sub(self.inner, self.pivot)))
        self.trail, self.ends = {}, {}

    # -- the constraint, in whatever numbers it is given -------------------------------------------------------------

    def joint(self, theta):
        """O(theta), 50 digits."""
        arm = rotate(sub(self.outer, self.pivot), self.axis, mp.cos(theta), mp.sin(theta))
        return add(self.pivot, arm)

    def between(self, theta, s):
        """From the inner joint to the outer one."""
        return sub(self.joint(theta), add(self.inner, (mp.mpf(0), mp.mpf(s), mp.mpf(0))))

    def constraint(self, theta, s):
        rod = self.between(theta, s)
        return dot(rod, rod) - self.rod**2

    def slope(self, theta, s):
        """dF/dtheta: O turns with the velocity u x (O - L)."""
        return 2 * dot(self.between(theta, s), cross(self.axis, sub(self.joint(theta), self.pivot)))

    def fast(self, theta, s, rod):
        """F, dF/dtheta, dF/ds in double precision."""
        o, u, i = self.d
        arm = rotate(o, u, math.cos(theta), math.sin(theta))
        n = (arm[0] - i[0], arm[1] - i[1] - s, arm[2] - i[2])
        return dot(n, n) - rod * rod, 2 * dot(n, cross(u, arm)), -2 * n[1], n

    # -- following ------------------------------------------------------------------------------------------------------

    def newton(self, theta, s, rod):
        for _ in range(12):
            f, slope, _, _ = self.fast(theta, s, rod)
            if slope == 0:
                return None
            move = -f / slope
            if abs(move) > 0.2:
                return None
            theta += move
            if abs(move) < 1e-13:
                return theta
        return theta if abs(f) < 1e-6 else None

    def start(self):
        """theta at s = 0, by changing the rod from its built length to the given one in small steps."""
        theta, rod, goal = 0.0, float(self.built), float(self.rod)
        sign = math.copysign(1, self.fast(0.0, 0.0, rod)[1])
        step = STEP
        while rod != goal:
            to = goal if abs(goal - rod) <= step else rod + math.copysign(step, goal - rod)
            found = self.newton(theta, 0.0, to)
            if found is None or abs(found - theta) > TURN or self.fast(found, 0.0, to)[1] * sign <= 0:
                step /= 2
                if step < ENOUGH:
                    return None
                continue
            theta, rod, step = found, to, min(STEP, 2 * step)
        return theta

    def follow(self, way):
        """The branch from s = 0 one way (+1 or -1) to its end: list of (s, theta, n_y) in double precision."""
        if way in self.trail:
            return self.trail[way]
        rod = float(self.rod)
        s, theta, step = 0.0, self.start(), STEP
        if theta is None:
            return None
        sign = math.copysign(1, self.fast(theta, s, rod)[1])
        path = [(s, theta, self.fast(theta, s, rod)[3][1])]
        while step >= ENOUGH:
            _, slope, along, _ = self.fast(theta, s, rod)
            to = s + way * step
            guess = theta - along / slope * way * step
            found = self.newton(guess, to, rod)
            if found is None or abs(found - theta) > TURN or abs(found - guess) > TURN / 4 or self.fast(found, to, rod)[1] * sign <= 0:
                step /= 2
                continue
            s, theta = to, found
            path.append((s, theta, self.fast(theta, s, rod)[3][1]))
            step = min(STEP, 2 * step)
        self.trail[way] = path
        return path

    def toggle(self, way):
        """(s, theta) where the branch ends, 50 digits."""
        if way in self.ends:
            return self.ends[way]
        s, theta, _ = self.follow(way)[-1]
        both = lambda t, x: (self.constraint(t, x), self.slope(t, x))
        root = mp.findroot(both, (mp.mpf(theta), mp.mpf(s)), tol=1e-50, maxsteps=60)
        if abs(root[1] - s) > 1e-4:
            raise ArithmeticError("the end of the branch was not a toggle")
        self.ends[way] = root[1], root[0]
        return self.ends[way]

    def fold_backs(self, way):
        """Every s on the branch, that way, where the rod stands square to Y: from the near one to the far one."""
        path, found = self.follow(way), []
        for (s0, t0, y0), (s1, t1, y1) in zip(path, path[1:]):
            if y0 * y1 < 0 or y1 == 0:
                both = lambda t, x: (self.constraint(t, x), self.between(t, x)[1])
                root = mp.findroot(both, (mp.mpf(t0), mp.mpf(s0)), tol=1e-50, maxsteps=60)
                if not min(s0, s1) - 1e-6 <= root[1] <= max(s0, s1) + 1e-6:
                    raise ArithmeticError("the fold-back is not where the rod's direction changed")
                found.append(root[1])
        end = self.toggle(way)
        rest = self.between(end[1], end[0])[1]
        if path[-1][2] * rest < 0 and abs(rest) > mp.mpf(10) ** -12:
            raise ArithmeticError("a fold-back hides in the last step")
        return found

    def near(self, s):
        """theta at the rack displacement s on the branch of the reference, double precision; None beyond its end."""
        way = 1 if s > 0 else -1
        path = self.follow(way)
        if path is None:
            return None
        if abs(s) > abs(self.toggle(way)[0]):
            return None
        at, theta, _ = path[bisect.bisect_right(path, abs(float(s)), key=lambda p: abs(p[0])) - 1]
        sign, rod = math.copysign(1, self.fast(path[0][1], 0.0, float(self.rod))[1]), float(self.rod)
        # From the last point of the trail to s itself, again in steps small enough for the turn they make.
        step = float(abs(s) - abs(mp.mpf(at)))
        while at != float(s):
            to = float(s) if abs(float(s) - at) <= step else at + way * step
            _, slope, along, _ = self.fast(theta, at, rod)
            guess = theta - along / slope * (to - at)
            found = self.newton(guess, to, rod)
            if found is None or abs(found - guess) > TURN / 4 or self.fast(found, to, rod)[1] * sign <= 0:
                step /= 2
                if step < 1e-13:
                    raise ArithmeticError("lost the branch at s = %s" % s)
                continue
            at, theta = to, found
        return theta

    def angle(self, s):
        """theta at the rack displacement s on the branch of the reference, 50 digits; None beyond its end."""
        s = mp.mpf(s)
        theta = self.near(s)
        if theta is None:
            return None
        sign = math.copysign(1, self.fast(self.follow(1)[0][1], 0.0, float(self.rod))[1])
        root = mp.mpf(theta)
        for _ in range(60):
            move = self.constraint(root, s) / self.slope(root, s)
            root -= move
            if abs(move) < mp.mpf(10) ** -34:
                break
        else:
            raise ArithmeticError("Newton did not settle at s = %s" % s)
        if abs(root - theta) > 1e-5 or self.slope(root, s) * sign <= 0:
            raise ArithmeticError("Newton left the branch at s = %s" % s)
        return root

    # -- what is read off a position --------------------------------------------------------------------------------------

    def steer(self, theta):
        """Steer angle, radians, of the spin axis (0, 1, 0) turned about the steering axis."""
        a = rotate((mp.mpf(0), mp.mpf(1), mp.mpf(0)), self.axis, mp.cos(theta), mp.sin(theta))
        return mp.atan2(-a[0], a[1])

    def transmission(self, theta, s):
        """Angle between the rod and the plane through the steering axis and O, folded to 0..90 degrees; radians."""
        rod = self.between(theta, s)
        across = cross(self.axis, sub(self.joint(theta), self.pivot))
        return mp.asin(abs(dot(rod, across)) / mp.sqrt(dot(rod, rod) * dot(across, across)))

    def tilt(self, theta, s):
        """How far the rod stands out of the plane square to the steering axis; radians, never negative."""
        rod = self.between(theta, s)
        return mp.asin(abs(dot(rod, self.axis)) / mp.sqrt(dot(rod, rod)))

    def rod_angle(self, theta, s):
        """Angle between the rod and the rack's axis (Y); radians."""
        rod = self.between(theta, s)
        return mp.acos(abs(rod[1]) / mp.sqrt(dot(rod, rod)))

    def reach(self, s):
        """Smallest and largest distance from the inner joint at s to the circle of O, by search over theta."""
        distance = lambda t: mp.sqrt(dot(self.between(t, s), self.between(t, s)))
        found = []
        for best in (min, max):
            n = 144
            coarse = best((self.fast(2 * math.pi * k / n, float(s), 0.0)[0], 2 * math.pi * k / n) for k in range(n))[1]
            lo, hi = mp.mpf(coarse) - 2 * mp.pi / n, mp.mpf(coarse) + 2 * mp.pi / n
            for _ in range(120):  # halving on the slope of the squared distance, which has one zero in there
                mid = (lo + hi) / 2
                if (self.slope(mid, s) > 0) == (best is min):
                    hi = mid
                else:
                    lo = mid
            found.append(distance((lo + hi) / 2))
        return found

    def beyond(self, s):
        """"too_short", "too_long", or None when some position on the circle lets the rod reach."""
        least, most = self.reach(s)
        return "too_short" if self.rod < least else "too_long" if self.rod > most else None
