"""Writes axles.json: three hundred seeded cars measured with a tape, each figure as `Car` of cars.py follows it.

    python axles.py            (Python 3.11, requirements.txt; about three minutes)

Arms ahead and behind, unlike and turned against each other, racks off centre and higher or lower, steering axes upright and inclined, rods of
a given length, stops, limits of joints, bars that go the wrong way. Millimetres, degrees, turns, per cent.
"""

import json
import pathlib
import random

import mpmath as mp

from cars import Car, deg, numbers

SEED = 20261
COUNT = 300
INCLINED = 80  # the first so many have inclined axes
OPPOSED = 12  # the last so many have arms that steer against each other


def plan_of(rng, inclined, opposed):
    """A car, or None where the figures drawn contradict each other."""
    pick = lambda lo, hi, step=0.01: round(round(rng.uniform(lo, hi) / step) * step, 6)
    chance = lambda share: rng.random() < share
    small = chance(0.12)  # a kart or a cyclecar
    size = 0.45 if small else 1.0
    ahead = 1 if chance(0.5) else -1
    e = ahead * pick(95 * (0.8 if small else 1), 175 * (0.8 if small else 1))
    f = pick(-35, 40)
    wr = pick(1150 * size, 1480 * size)
    car, rack, limits = {}, {}, {}
    car["wheelbase"] = pick(2000 * size, 3300 * size, 1)
    lean, height = (pick(6, 14), pick(180, 260)) if inclined else (None, None)
    drop = float(2 * height * mp.tan(mp.radians(lean))) if inclined else 0.0
    wg = round(wr + drop, 2)
    scrub = pick(-25, 75)
    car["front_track"] = round(wg + 2 * scrub, 2)
    if inclined:
        car["kingpin_inclination"], car["rod_end_height"] = lean, height
        if chance(0.85):
            car["caster"] = pick(2, 7)
    elif chance(0.1):
        car["caster"] = pick(2, 7)  # without the inclination it is not used
    # The arms: by both distances, or by length and angle.
    right = (e, f)
    if opposed:
        right = (-ahead * pick(95, 175), pick(-35, 40))
    elif chance(0.25):
        right = (ahead * pick(95, 175) if chance(0.3) else round(e + pick(-14, 14), 2), round(f + pick(-10, 10), 2))
    alike = right == (e, f)
    if alike and chance(0.12):
        car["arm_length"], car["arm_angle"] = round(ahead * float(mp.hypot(e, f)), 2), round(float(deg(mp.atan2(f, abs(e)))), 2)
    else:
        car["arm_fore_aft"], car["arm_inboard"] = e, f
    if not alike:
        car["right_arm_fore_aft"], car["right_arm_inboard"] = right
    # Where the axes are known from.
    how = rng.choice(["ground", "rod end", "rod ends", "scrub", "both"])
    if how in ("ground", "both"):
        car["axis_spacing_at_ground"] = wg
    if how in ("rod end", "both"):
        car["axis_spacing_at_rod_end"] = wr
    if how == "rod ends":
        car["rod_end_spacing"] = round(wr - f - right[1], 2)
    if how == "scrub":
        car["scrub_radius"] = scrub
    if chance(0.6):
        car["tyre_width"] = pick(105, 225, 5)
        if chance(0.7):
            car["rear_track"] = round(car["front_track"] + pick(-80, 80), 2)
            if chance(0.4):
                car["rear_tyre_width"] = pick(105, 255, 5)
    if chance(0.5):
        car["corner_ahead"], car["corner_width"] = pick(0 if chance(0.3) else 300, 900, 1), pick(900 * size, 1800 * size, 1)
        if chance(0.4):
            car["second_corner_ahead"], car["second_corner_width"] = pick(0, 600, 1), pick(1000 * size, 1900 * size, 1)
    # The rack.
    travel = pick(70, 190)
    rack["travel"] = travel
    per_turn = pick(32, 62)
    if chance(0.2):
        rack["turns"] = round(travel / per_turn, 2)
    else:
        rack["travel_per_turn"] = per_turn
    rods = pick(180, 430) if not small else pick(120, 260)
    rack["inner_joint_spacing"] = max(60.0, round(wr - f - right[1] - 2 * rods, 2))
    rack["rack_line"] = pick(-90, 90)
    wanted = 1 if ahead > 0 else -1
    if chance(0.08):
        wanted = -wanted
    rack["bar_moves"] = "left" if wanted > 0 else "right"
    if chance(0.35):
        rack["offset"] = pick(-45, 45)
    if chance(0.45):
        rack["height"] = pick(-60, 70)
    if chance(0.2):
        rack["stop_left"] = pick(0.28 * travel, 0.55 * travel)
    if chance(0.2):
        rack["stop_right"] = pick(0.28 * travel, 0.55 * travel)
    if chance(0.3):
        limits["reserve"] = pick(2, 25, 0.5)
    plan = dict(car=car, racks=[rack], limits=limits)
    if chance(0.25):  # rods of a given length, some millimetres off what stands the wheels straight
        built = [w.built for w in Car(*numbers(plan)).wheels]
        rack["rod_length"] = round(float(sum(built) / 2) + pick(-14, 14), 2)
    if chance(0.3):
        middle = float(sum(w.rod for w in Car(*numbers(plan)).wheels) / 2)
        rack["rod_length_min"], rack["rod_length_max"] = round(middle - pick(-20, 60), 1), round(middle + pick(21, 70), 1)
    if chance(0.25):
        rack["inner_joint_limit"] = pick(8, 40, 0.5)
    if "height" in rack and chance(0.4):
        # Near what it stands at in the middle: only an inclined axis, or a long travel, changes it.
        made = Car(*numbers(plan))
        tilts = [deg(made.wheels[w].tilt(t, 0)) for w in (0, 1) if (t := made.wheels[w].angle(0)) is not None]
        rack["outer_joint_limit"] = round(float(max(tilts, default=8)) + (pick(0.7, 3) if chance(0.6) else pick(4, 12)), 1)
    return {k: x for k, x in plan.items() if x}


def solved(plan):
    """(results, what is said of the directions), or None where the car has no travel worth the name or stands on an edge."""
    v, bar = numbers(plan)
    car = Car(v, bar)
    if any(w.start() is None for w in car.wheels):
        return None
    if any(car.wheels[w].transmission(car.wheels[w].angle(0), 0) < mp.radians(12) for w in (0, 1)):
        return None
    for name, limit, angle in car.joint_limits():  # a joint past its limit at mid-travel leaves no travel
        if any(car.quick(w, angle, w.near(0.0), 0.0) > float(mp.radians(limit)) - 0.005 for w in car.wheels):
            return None
    ends = {way: car.end(way) for way in (1, -1)}
    if min(ends.values()) < 12:
        return None
    # At a toggle a figure is worth less than its digits.
    if min(car.first_event(way) - ends[way] for way in (1, -1)) < 1.5:
        return None
    results = car.results()
    rates = [car.slope(w)[0] for w in (0, 1)]
    said = "opposed" if rates[0] * rates[1] < 0 else "backwards" if car.forward != car.bar else None
    if said != "opposed":
        for side in ("left", "right"):
            get = lambda name: float(results[name, side])
            if not (6 < get("lock_inner") < 70 and 3 < get("lock_outer") < 70):
                return None
            if min(abs(get("transmission_inner")), abs(get("transmission_outer"))) < 6:
                return None
            if get("circle_centre") > 60000 or abs(get("ackermann_angle")) > 500 or abs(get("lock_inner") - get("ideal_outer")) < 0.3:
                return None
    return car, results, said


def short(x):
    return None if x is None else float("%.12g" % float(x))


def record(plan, name):
    """None where the car is not taken."""
    done = solved(plan)
    if done is None:
        return None
    car, results, said = done
    expect = {}
    for (key, side), value in results.items():
        if side == "":
            expect[key] = short(value)
        else:
            expect.setdefault(key, [None, None])[side == "right"] = short(value)
    for wheel, key in enumerate(("fold_back_left_wheel", "fold_back_right_wheel")):
        # A fold-back of a wheel turned right round is nobody's business.
        for side, value in enumerate(expect[key]):
            if value is not None and abs(deg(car.wheels[wheel].angle(results[key, ("left", "right")[side]]))) > 160:
                del expect[key]
                break
    for way, side in ((1, 0), (-1, 1)):
        toggles = [abs(car.wheels[w].toggle(way)[1]) for w in (0, 1)]
        if min(toggles) > mp.radians(170):
            return None
    ends = [float(results["usable_travel", side]) for side in ("left", "right")]
    probe = [[short(x) for x in car.probe(round(s, 2))] for s in (0.8 * ends[0], -0.55 * ends[1])] if said != "opposed" else []
    plan = dict(donorack=1, name=name, invented=True, car=plan["car"], racks=[dict(name="rack", **plan["racks"][0])], **({"limits": plan["limits"]} if "limits" in plan else {}))
    out = dict(plan=plan, expect=expect, probe=probe)
    if said:
        out["said"] = said
    return out


def main():
    rng = random.Random(SEED)
    records, tried = [], 0
    while len(records) < COUNT:
        n = len(records)
        tried += 1
        made = record(plan_of(rng, n < INCLINED, n >= COUNT - OPPOSED), "Axle %d" % n)
        if made is not None and (n < COUNT - OPPOSED) == (made.get("said") != "opposed"):
            records.append(made)
            if len(records) % 25 == 0:
                print(len(records), "of", tried, flush=True)
    count = lambda f: sum(1 for r in records if f(r))
    rack, car = (lambda r: r["plan"]["racks"][0]), (lambda r: r["plan"]["car"])
    has = lambda place, key: count(lambda r: key in place(r))
    print("backwards", count(lambda r: r.get("said") == "backwards"), "unlike", has(car, "right_arm_fore_aft"), "caster", has(car, "caster"),
          "inclined", has(car, "kingpin_inclination"), "offset", has(rack, "offset"), "height", has(rack, "height"), "rods", has(rack, "rod_length"),
          "inner", has(rack, "inner_joint_limit"), "outer", has(rack, "outer_joint_limit"), "small", count(lambda r: car(r)["wheelbase"] < 1600),
          "figures", sum(len(x) if isinstance(x, list) else 1 for r in records for x in r["expect"].values()))
    body = ",\n".join(json.dumps(r, separators=(",", ":"), ensure_ascii=False) for r in records)
    path = pathlib.Path(__file__).with_name("axles.json")
    path.write_text('{"about":"See README.md beside this file.","cars":[\n%s\n]}\n' % body, encoding="utf-8")
    print(path.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
