"""Writes cars.json: whole cars measured with a tape, evaluated with the followed linkage of solver.py.

    python cars.py            (Python 3.11, requirements.txt)

Every figure is taken from positions of the followed branch; derivatives are central differences at 50 digits. Definitions as in
ISO 8855 and SAE J695 where they have them; each stands beside its line. Millimetres, degrees, turns, per cent.
"""

import json
import math
import pathlib

import mpmath as mp
import uncertainties

from solver import Linkage

DEFAULT_RESERVE = 10  # mm kept before a toggle or fold-back
DEFAULT_CASTER = 4.5  # degrees, where kingpin inclination and rod-end height are known and caster is not

# What a reading is worth where no tolerance is typed: 95 % half-widths. Tape 1.5 mm, chalk line 3 mm, angle finder 0.5 degrees; travel per
# turn is taped over two turns.
HALF_WIDTH = {"axis_spacing_at_ground": 3.0, "travel_per_turn": 0.75, "kingpin_inclination": 0.5, "arm_angle": 0.5}


def deg(x):
    return x * 180 / mp.pi


def rad(x):
    return mp.mpf(x) * mp.pi / 180


class Car:
    """One rack on the car: the readings as numbers, the two linkages, what follows."""

    def __init__(self, v, bar):
        self.v, self.bar = v, bar  # bar: +1 where the bar goes left for a left turn
        get = v.get
        e, f = get("arm_fore_aft"), get("arm_inboard")
        if "arm_length" in v:  # signed length (+ ahead) and angle from fore and aft (+ inboard)
            e = v["arm_length"] * mp.cos(rad(v["arm_angle"]))
            f = abs(v["arm_length"]) * mp.sin(rad(v["arm_angle"]))
        self.arm = [(e, f), (get("right_arm_fore_aft", e), get("right_arm_inboard", f))]
        # Spacing of the axes at the ground and at rod-end height.
        self.wg, self.wr = get("axis_spacing_at_ground"), get("axis_spacing_at_rod_end")
        if self.wg is None and "scrub_radius" in v:
            self.wg = v["front_track"] - 2 * v["scrub_radius"]
        if self.wr is None and "rod_end_spacing" in v:
            self.wr = v["rod_end_spacing"] + self.arm[0][1] + self.arm[1][1]
        # Both known: the steering axis is inclined. Otherwise it is taken as upright.
        self.inclined = "kingpin_inclination" in v and "rod_end_height" in v
        lean = mp.tan(rad(v["kingpin_inclination"])) if self.inclined else mp.mpf(0)
        rake = mp.tan(rad(get("caster", mp.mpf(DEFAULT_CASTER)))) if self.inclined else mp.mpf(0)
        drop = 2 * v["rod_end_height"] * lean if self.inclined else mp.mpf(0)
        if self.wr is None:
            self.wr = self.wg - drop
        if self.wg is None:
            self.wg = self.wr + drop
        self.scrub = get("scrub_radius", (v["front_track"] - self.wg) / 2)
        # The rack line counts from the middle of the line through the rod ends.
        x = (self.arm[0][0] + self.arm[1][0]) / 2 + v["rack_line"]
        self.wheels = []
        for side, (e, f) in zip((1, -1), self.arm):
            pivot, outer = (0, side * self.wr / 2, 0), (e, side * (self.wr / 2 - f), 0)
            inner = (x, get("offset", 0) + side * v["inner_joint_spacing"] / 2, get("height", 0))
            # Top inboard and rearward positive: X forward, Y left.
            self.wheels.append(Linkage(pivot, (-rake, -side * lean, 1), outer, inner, v.get("rod_length")))
        self.c = v["travel_per_turn"] if "travel_per_turn" in v else v["travel"] / v["turns"]
        self.travel = v["travel"] if "travel" in v else self.c * v["turns"]

    def steer(self, wheel, s):
        return self.wheels[wheel].steer(self.wheels[wheel].angle(s))

    def slope(self, wheel):
        """First and second derivative of the steer angle by s on centre."""
        h = mp.mpf(10) ** -7
        a, b, c = (self.steer(wheel, x) for x in (-h, mp.mpf(0), h))
        return (c - a) / (2 * h), (a - 2 * b + c) / h**2

    def events(self, wheel, way):
        """(toggle, first fold-back or None) of one wheel, one way."""
        link = self.wheels[wheel]
        folds = link.fold_backs(way)
        return link.toggle(way)[0], folds[0] if folds else None

    def first_event(self, way):
        """The nearest toggle or fold-back of either wheel, as a distance."""
        return min(abs(x) for wheel in (0, 1) for x in self.events(wheel, way) if x is not None)

    def joint_end(self, wheel, way, limit, angle):
        """Where the joint's `angle` first goes past `limit` (degrees), followed from mid-travel; None where never before the toggle."""
        link = self.wheels[wheel]
        over = lambda s: angle(link)(link.angle(s), s) - rad(limit)
        path = link.follow(way)
        if over(mp.mpf(0)) > 0:
            return mp.mpf(0)
        past = lambda s, theta: self.quick(link, angle, theta, s) > math.radians(limit)
        for (s0, t0, _), (s1, t1, _) in zip(path, path[1:]):
            if past(s1, t1):
                return abs(mp.findroot(over, (mp.mpf(s0), mp.mpf(s1)), solver="anderson", tol=1e-40))
        return None

    INNER = staticmethod(lambda link: link.rod_angle)  # between rod and rack
    OUTER = staticmethod(lambda link: link.tilt)  # of the rod out of the plane square to the steering axis

    def quick(self, link, angle, theta, s):
        """The same angle in double precision, radians."""
        n, u = link.fast(theta, s, 0.0)[3], link.d[1]
        length = math.sqrt(n[0] ** 2 + n[1] ** 2 + n[2] ** 2)
        if angle is Car.INNER:
            return math.acos(min(1.0, abs(n[1]) / length))
        return math.asin(abs(n[0] * u[0] + n[1] * u[1] + n[2] * u[2]) / length)

    def joint_limits(self):
        """(name, limit, angle) of the joints that have one; the outer one's tilt is known only with the height of the inner joints."""
        if "inner_joint_limit" in self.v:
            yield "inner_joint", self.v["inner_joint_limit"], Car.INNER
        if "outer_joint_limit" in self.v and "height" in self.v:
            yield "outer_joint", self.v["outer_joint_limit"], Car.OUTER

    def joint_first(self, way, limit, angle):
        """The same for the first of both wheels."""
        ends = [x for x in (self.joint_end(w, way, limit, angle) for w in (0, 1)) if x is not None]
        return min(ends) if ends else None

    def hardware(self, way):
        stop = self.v.get("stop_left" if way > 0 else "stop_right")
        return min(x for x in (self.travel / 2, stop) if x is not None)

    def end(self, way):
        """Usable travel that way: rack end, stop, the reserve before a toggle or fold-back, the joints' limits."""
        ends = [self.hardware(way), max(self.first_event(way) - self.v.get("reserve", DEFAULT_RESERVE), 0)]
        ends += [self.joint_first(way, limit, angle) for _, limit, angle in self.joint_limits()]
        return min(x for x in ends if x is not None)

    def largest(self, wheel, lo, hi, angle):
        """The largest `angle` of a joint between two displacements, radians; where it is, is searched in double precision."""
        link = self.wheels[wheel]
        quick = lambda s: self.quick(link, angle, link.near(s), s)
        n = 60
        grid = [float(lo + (hi - lo) * k / n) for k in range(n + 1)]
        k = max(range(n + 1), key=lambda k: quick(grid[k]))
        a, b = grid[max(k - 1, 0)], grid[min(k + 1, n)]
        for _ in range(80):
            p, q = a + (b - a) / 3, b - (b - a) / 3
            a, b = (p, b) if quick(p) < quick(q) else (a, q)
        return max(angle(link)(link.angle(s), s) for s in (lo, hi, (a + b) / 2))

    def circle(self, turn, steer):
        """Everything about the turning circle; `turn` +1 for a left turn, `steer` [left, right] in radians."""
        base, out = self.v["wheelbase"], {}
        yc = base * (mp.cot(steer[0]) + mp.cot(steer[1])) / 2
        outer = -turn

        def wheel(side):
            d = steer[0] if side > 0 else steer[1]
            away = (-side * mp.sin(d), side * mp.cos(d))  # outboard lateral
            return (self.scrub * away[0], side * self.wg / 2 + self.scrub * away[1]), away

        def ruled(side):
            contact, away = wheel(side)
            return contact[1] - (base + contact[0]) * away[1] / away[0]

        contact, away = wheel(outer)
        across = lambda p, y: 2 * mp.hypot(p[0] + base, p[1] - y)
        out["circle_centre"] = across(contact, yc)
        out["circle_outer_rules"], out["circle_inner_rules"] = across(contact, ruled(outer)), across(contact, ruled(turn))
        if "tyre_width" in self.v:
            half = self.v["tyre_width"] / 2
            out["circle_edge"] = across((contact[0] + half * away[0], contact[1] + half * away[1]), yc)
        corners = [(self.v[p + "corner_ahead"], self.v[p + "corner_width"]) for p in ("", "second_") if p + "corner_ahead" in self.v]
        if corners:
            out["wall_to_wall"] = max([2 * mp.hypot(base + a, abs(yc) + b / 2) for a, b in corners] + [out.get("circle_edge", out["circle_centre"])])
        if "rear_track" in self.v and "tyre_width" in self.v:
            out["rear_inner_edge"] = 2 * (abs(yc) - (self.v["rear_track"] + self.v.get("rear_tyre_width", self.v["tyre_width"])) / 2)
        return out

    def probe(self, s):
        """[s, steer angle left, right, ratio there, transmission angle left, right], degrees; at a rack displacement, not at lock."""
        h = mp.mpf(10) ** -12
        theta = [w.angle(s) for w in self.wheels]
        steer = [w.steer(t) for w, t in zip(self.wheels, theta)]
        slope = sum(self.steer(w, s + h) - self.steer(w, s - h) for w in (0, 1)) / (4 * h)
        mu = [w.transmission(t, s) for w, t in zip(self.wheels, theta)]
        return [s] + [float(x) for x in (deg(steer[0]), deg(steer[1]), 2 * mp.pi / self.c / abs(slope), deg(mu[0]), deg(mu[1]))]

    def results(self):
        v, out = self.v, {}
        one = lambda name, value: out.__setitem__((name, ""), value)
        both = lambda name, left, right: out.update({(name, "left"): left, (name, "right"): right})
        one("travel_per_turn", self.c)
        one("travel", self.travel)
        one("turns_bare", self.travel / self.c)
        one("axis_spacing_at_ground", self.wg)
        one("axis_spacing_at_rod_end", self.wr)
        one("scrub_radius", self.scrub)
        both("arm_length", *(mp.hypot(e, f) for e, f in self.arm))
        both("arm_angle", *(deg(mp.atan2(f, abs(e))) for e, f in self.arm))
        alike = self.arm[0] == self.arm[1]
        if alike and self.arm[0][1] != 0:
            one("chalk_line", -100 * self.arm[0][0] * self.wr / (2 * self.arm[0][1] * v["wheelbase"]))
        if alike:
            one("ratio_first", 2 * mp.pi * abs(self.arm[0][0]) / self.c)
        both("rod_length", *(w.rod for w in self.wheels))
        straight = [self.steer(w, 0) for w in (0, 1)]  # where the wheels stand at mid-travel: 0 unless the rods' length is given
        if "rod_length" in v:
            both("rod_length_straight", *(w.built for w in self.wheels))
            both("toe_centre", -deg(straight[0]), deg(straight[1]))
        if "rod_length_min" in v:
            both("rod_over_shortest", *(w.rod - v["rod_length_min"] for w in self.wheels))
        if "rod_length_max" in v:
            both("rod_under_longest", *(v["rod_length_max"] - w.rod for w in self.wheels))
        both("rod_angle", *(deg(w.rod_angle(w.angle(0), 0)) for w in self.wheels))
        # ISO 8855: rate of the steering-wheel angle with the mean steer angle.
        rates = [self.slope(0), self.slope(1)]
        mean = (rates[0][0] + rates[1][0]) / 2
        self.forward = forward = 1 if mean > 0 else -1  # arms ahead: a rack to the left steers left
        one("ratio_centre", 2 * mp.pi / self.c / abs(mean))
        one("rack_per_degree", rad(1) / mean)
        if alike and "offset" not in v and "rod_length" not in v:
            one("ackermann_limit", 100 * v["wheelbase"] / self.wg * rates[0][1] / rates[0][0] ** 2)
        for wheel, name in enumerate(("left_wheel", "right_wheel")):
            for way, side in ((1, "left"), (-1, "right")):
                toggle, fold = self.events(wheel, way)
                out["toggle_" + name, side] = toggle
                out["fold_back_" + name, side] = fold
        ends = {way: self.end(way) for way in (1, -1)}
        both("usable_travel", ends[1], ends[-1])
        one("turns", (ends[1] + ends[-1]) / self.c)
        both("reserve", *(self.first_event(way) - ends[way] for way in (1, -1)))
        both("reserve_hardware", *(self.first_event(way) - self.hardware(way) for way in (1, -1)))
        both("inner_joint", *(deg(self.largest(w, -ends[-1], ends[1], Car.INNER)) for w in (0, 1)))
        if "height" in v:
            both("outer_joint", *(deg(self.largest(w, -ends[-1], ends[1], Car.OUTER)) for w in (0, 1)))
        for name, limit, angle in self.joint_limits():
            first = {way: self.joint_first(way, limit, angle) for way in (1, -1)}
            both(name + "_reserve", *(None if first[way] is None else first[way] - self.hardware(way) for way in (1, -1)))
        if rates[0][0] * rates[1][0] < 0:
            return out  # the wheels steer against each other: no lock, no circle
        for turn, side in ((1, "left"), (-1, "right")):
            way = turn * forward
            s = way * ends[way]
            steer = [self.steer(w, s) for w in (0, 1)]
            moved = [abs(d - straight[w]) for w, d in enumerate(steer)]
            inner, outer = (0, 1) if turn > 0 else (1, 0)
            di, do = moved[inner], moved[outer]
            ideal = mp.acot(mp.cot(di) + self.wg / v["wheelbase"])
            put = lambda name, value: out.__setitem__((name, side), value)
            # Ratio, Ackermann and toe-out count from mid-travel; a lock is where the wheel points.
            put("ratio_lock", 2 * mp.pi * ends[way] / self.c / abs((steer[0] - straight[0] + steer[1] - straight[1]) / 2))
            put("lock_inner", deg(turn * steer[inner]))
            put("lock_outer", deg(turn * steer[outer]))
            put("ideal_outer", deg(ideal))
            put("toe_out_lock", deg(di - do))
            put("ackermann_angle", 100 * (di - do) / (di - ideal))
            put("ackermann_cotangent", 100 * (mp.cot(do) - mp.cot(di)) * v["wheelbase"] / self.wg)
            mu = [deg(w.transmission(w.angle(s), s)) for w in self.wheels]
            put("transmission_inner", mu[inner])
            put("transmission_outer", mu[outer])
            for name, value in self.circle(turn, steer).items():
                put(name, value)
        return out


def numbers(plan):
    v = {}
    for part in (plan["car"], plan["racks"][0], plan.get("limits", {})):
        for name, value in part.items():
            if name not in ("name", "note", "bar_moves"):
                v[name] = mp.mpf(value if not isinstance(value, str) else value.split()[0])
    return v, 1 if plan["racks"][0]["bar_moves"] == "left" else -1


def car(name, car, rack, limits=None):
    plan = {"donorack": 1, "name": name, "invented": True, "car": car, "racks": [dict(name="rack", **rack)]}
    if limits:
        plan["limits"] = limits
    return plan


A = dict(wheelbase=2650, front_track=1480, axis_spacing_at_ground=1400, arm_fore_aft=130, arm_inboard=-18)
RACK_A = dict(travel_per_turn=46, travel=136, inner_joint_spacing=620, rack_line=25, bar_moves="left")
B = dict(wheelbase=2750, front_track=1490, axis_spacing_at_ground=1410, arm_fore_aft=-140, arm_inboard=22)
RACK_B = dict(travel_per_turn=50, travel=144, inner_joint_spacing=640, rack_line=-25, bar_moves="right")
BODY = dict(rear_track=1440, tyre_width=185, rear_tyre_width=205, corner_ahead=640, corner_width=1500, second_corner_ahead=420, second_corner_width=1710)

CARS = [
    car("Linkage A", A, RACK_A),
    car("Linkage B with a body", {**B, **BODY}, RACK_B),
    car("Kingpin inclination and height", {**{k: x for k, x in B.items() if k != "axis_spacing_at_ground"}, **BODY,
        "axis_spacing_at_ground": 1515.75, "kingpin_inclination": 10, "rod_end_height": 300}, {**RACK_B, "height": 42}),
    car("Off centre, stops", B, {**RACK_B, "offset": 35, "stop_left": 61.5, "stop_right": 66.25, "height": -18}),
    car("Unlike arms, off centre", {**A, "right_arm_fore_aft": 121, "right_arm_inboard": -9.5}, {**RACK_A, "offset": -22.5}),
    car("Ends before the toggle", B, {**RACK_B, "travel": 200}, {"reserve": 14}),
    car("Ends before a fold-back", dict(wheelbase=2100, front_track=1250, axis_spacing_at_ground=1160, arm_fore_aft=-130, arm_inboard=30),
        dict(travel_per_turn=44, travel=80, inner_joint_spacing=1060, rack_line=70, bar_moves="right")),
    car("Ends before a fold-back, off centre", dict(wheelbase=2100, front_track=1250, axis_spacing_at_ground=1160, arm_fore_aft=100, arm_inboard=30),
        dict(travel_per_turn=44, travel=70, inner_joint_spacing=1060, rack_line=-100, offset=3, bar_moves="left", stop_right=15)),
    car("Ends at the inner joint's limit", A, {**RACK_A, "inner_joint_limit": 9, "rack_line": 45}),
    car("Ends at one inner joint's limit, off centre", B, {**RACK_B, "inner_joint_limit": 8, "offset": -15, "height": 12}),
    car("Rods of a measured length", B, {**RACK_B, "rod_length": 361.5}),
    car("Backwards", A, {**RACK_A, "bar_moves": "right", "travel": 120}),
    car("Kart, other readings", dict(wheelbase=1090, scrub_radius=58, front_track=960, rod_end_spacing=760, arm_length=-92, arm_angle=7.5),
        dict(travel_per_turn=38, turns=2.4, inner_joint_spacing=206, rack_line=31, offset=-4.5, bar_moves="right")),
]

# Cars with the half-widths of some results: every tolerance typed, and none.
TYPED = dict(wheelbase=4.0, front_track=2.5, axis_spacing_at_ground=3.5, arm_fore_aft=1.25, arm_inboard=0.75, travel_per_turn=0.5, travel=1.0, inner_joint_spacing=1.75, rack_line=2.0)
SURE = [("ratio_centre", ""), ("lock_inner", "left"), ("ackermann_angle", "left"), ("circle_centre", "left"), ("rod_length", "left"),
        ("lock_outer", "right"), ("toe_out_lock", "left"), ("turns", ""), ("ackermann_cotangent", "left"), ("circle_outer_rules", "right"),
        ("transmission_inner", "left"), ("rod_angle", "left"), ("chalk_line", ""), ("reserve", "left"), ("ackermann_limit", "")]


def with_tolerances(plan):
    side = {"arm_fore_aft": ("ahead", "behind"), "arm_inboard": ("inboard", "outboard"), "rack_line": ("ahead", "behind")}

    def written(name, value):
        if name not in TYPED:
            return value
        word = "" if name not in side else " " + side[name][value < 0]
        return "%s ± %s mm%s" % (abs(value), TYPED[name], word)

    for part in ("car", "racks"):
        plan = {**plan, part: {n: written(n, x) for n, x in plan["car"].items()} if part == "car" else [{n: written(n, x) for n, x in plan["racks"][0].items()}]}
    return plan


def half_widths(plan, pms):
    """First order: one `ufloat` a reading, standard deviation half of the half-width; derivatives by central differences."""
    v, bar = numbers(plan)
    names = sorted(v)
    inputs = [uncertainties.ufloat(float(v[n]), pms(n) / 2) for n in names]
    h = mp.mpf(10) ** -9
    shifted = {}
    for n in names:
        up, down = (Car({**v, n: v[n] + k * h}, bar).results() for k in (1, -1))
        shifted[n] = {key: (up[key] - down[key]) / (2 * h) for key in SURE}
    base = Car(v, bar).results()
    out = []
    for key in SURE:
        value = uncertainties.wrap(lambda *_: float(base[key]), [lambda *_, d=float(shifted[n][key]): d for n in names])(*inputs)
        weight = {n: abs(shifted[n][key]) * pms(n) for n in names}
        most = [n for n in names if weight[n] > (1 - mp.mpf(10) ** -6) * max(weight.values())]  # two or more weigh the same now and then
        out.append([0, key[0], key[1], 2 * value.std_dev, most])
    return out


def record(plan, written=lambda p: p):
    v, bar = numbers(plan)
    one = Car(v, bar)
    expect = [[0, name, side, None if x is None else float(x)] for (name, side), x in one.results().items()]
    probes = [one.probe(s) for s in (-57.25, -31.0, -4.5, 0.0, 12.75, 44.0, 60.5) if abs(s) < one.first_event(1 if s > 0 else -1)]
    print("%-32s %d results, %d probes" % (plan["name"], len(expect), len(probes)), flush=True)
    return dict(plan=written(plan), expect=expect, probe=probes)


def main():
    records = [record(plan) for plan in CARS]
    for plan, pms, written in (
        (car("Linkage B, tolerances typed", B, RACK_B), lambda n: TYPED[n], with_tolerances),
        (car("Linkage A, tolerances by method", A, RACK_A), lambda n: HALF_WIDTH.get(n, 1.5), lambda p: p),
    ):
        records.append(record(plan, written) | dict(pm=half_widths(plan, pms)))
        for row in records[-1]["pm"]:
            print("   ", *row)
    body = ",\n".join(json.dumps(r, separators=(",", ":"), ensure_ascii=False) for r in records)
    path = pathlib.Path(__file__).with_name("cars.json")
    path.write_text('{"about":"See README.md beside this file.","cars":[\n%s\n]}\n' % body, encoding="utf-8")
    print(path.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
