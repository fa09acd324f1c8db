"""Writes linkages.json: 200 linkages and where they stand, from the independent solver in solver.py.

    python linkages.py        (Python 3.11, requirements.txt; about a minute; the output is the same every time)
"""

import json
import pathlib
import random

import mpmath as mp

from solver import Linkage

SEED = 20261125
DIGITS = 12  # decimals of a degree; of a millimetre for the toggles
random.seed(SEED)


def uniform(lo, hi, digits=1):
    return round(random.uniform(lo, hi), digits)


def arm(front):
    """Tie-rod end ahead of and inboard of the axis, mm."""
    e = uniform(85, 190) * (1 if front else -1)
    return e, uniform(-35, 10) if front else uniform(-10, 40)


def wheel(side, width, e, f, rack, spacing, offset, spatial, height, kingpin, caster, lift):
    """One wheel: side +1 left, -1 right. Kingpin inclination and caster in degrees."""
    z = 300.0 if spatial else 0.0
    pivot = [0.0, side * width / 2, z]
    if spatial:  # top inboard, top rearward; any length
        axis = [-round(float(mp.tan(mp.radians(caster))), 4), -side * round(float(mp.tan(mp.radians(kingpin))), 4), 1.0]
    else:
        axis = [0.0, 0.0, 1.0]
    outer = [e, side * (width / 2 - f), z + lift]
    inner = [e + rack, offset + side * spacing / 2, z + lift + height]
    tidy = lambda v: [round(x, 3) for x in v]
    return tidy(pivot), axis, tidy(outer), tidy(inner)


def size(front, spatial):
    """A car's worth of numbers, from a kart to a lorry."""
    k = random.choice([0.55, 0.8, 1.0, 1.0, 1.0, 1.25])
    width = round(k * uniform(1240, 1520), 1)
    e, f = arm(front)
    return dict(
        width=width, e=round(k * e, 1), f=round(k * f, 1), rack=round(k * uniform(-70, 70), 1), spacing=round(k * uniform(480, 760), 1),
        spatial=spatial, height=round(k * uniform(-60, 60), 1) if spatial else 0.0, kingpin=uniform(0, 14), caster=uniform(-3, 12),
        lift=round(k * uniform(-40, 40), 1) if spatial else 0.0,
    )


def number(x):
    return round(float(mp.mpf(x)), DIGITS)


def place(link, s):
    """[s, theta, steer angle, transmission angle, rod angle], degrees; checked against the constraint once more."""
    theta = link.angle(s)
    rod = link.between(theta, s)
    assert abs(mp.sqrt(sum(x * x for x in rod)) - link.rod) < 1e-25
    return [s] + [number(mp.degrees(x)) for x in (theta, link.steer(theta), link.transmission(theta, s), link.rod_angle(theta, s))]


def describe(link, kind, side, front, spatial, near, beyond):
    """The record of a linkage that stands at mid-travel."""
    ends = [link.toggle(-1), link.toggle(1)]
    folds = [link.fold_backs(-1), link.fold_backs(1)]
    record = dict(kind=kind, side=side, arms="front" if front else "rear", axis_is="spatial" if spatial else "upright", **link.given)
    if record["rod"] is None:
        del record["rod"]
    record["length"] = number(link.rod)
    record["toggle"] = [number(e[0]) for e in ends]
    record["fold_back"] = [[number(f[0]), number(mp.degrees(link.angle(f[0])))] if f else None for f in folds]
    at, out, over = [], [], []
    reach = [min(float(abs(e[0])), 130.0) for e in ends]
    for share in (-0.93, -0.55, -0.2, 0.2, 0.55, 0.93):
        s = round(share * reach[share > 0] + random.uniform(-0.03, 0.03) * reach[share > 0], 3)
        at.append(place(link, s))
    if link.given["rod"] is not None:
        at.append(place(link, 0.0))
    for way, (end, _) in zip((-1, 1), ends):
        if near:  # between 2 mm and a few thousandths before the branch ends
            short = [random.uniform(0.5, 1.95), 10 ** random.uniform(-2.6, -0.4)]
            for d in short:
                s = round(float(end) - way * d, 4)
                assert 0 < way * (float(end) - s) < 2 and s * way > 0
                at.append(place(link, s))
        if beyond:
            for d in (10 ** random.uniform(-2.0, 0.5), random.uniform(3.0, 12.0)):
                s = round(float(end) + way * d, 4)
                answer = link.beyond(s)
                if answer:
                    out.append([s, answer])
            # Where the rod would reach again on the other side of a dead stretch, the branch is over all the same.
            for d in (150.0, 320.0):
                s = round(float(end) + way * d, 4)
                if link.beyond(s) is None and link.angle(s) is None:
                    over.append(s)
    record["at"] = sorted(at)
    if out:
        record["beyond"] = sorted(out)
    if over:
        record["over"] = sorted(over)
    return record


def usable(link):
    """Whether the linkage has some travel both ways, so that it is worth a place in the list."""
    if link.follow(1) is None or link.follow(-1) is None:
        return False
    a, b = abs(link.toggle(-1)[0]), abs(link.toggle(1)[0])
    return a > 8 and b > 8


def main():
    records = []

    def fresh(build):
        while True:
            links = build()
            if all(usable(l) for l in links):
                return links

    # 1. Single wheels on a rack in the middle of the car: front and rear arms, upright and inclined axes, left and right.
    for n in range(80):
        front, spatial, side = n % 2 == 0, n % 4 >= 2, random.choice((1, -1))
        (link,) = fresh(lambda: [Linkage(*wheel(side, offset=0.0, **size(front, spatial)))])
        records.append(describe(link, "single", "left" if side > 0 else "right", front, spatial, near=n < 50, beyond=True))

    # 2. Both wheels of a car whose rack is off centre, whose arms differ, or both: each wheel for itself.
    for n in range(36):
        front, spatial, why = n % 2 == 0, n % 4 >= 2, ("off centre", "unlike arms", "both")[n % 3]

        def pair():
            left = size(front, spatial)
            right = dict(left)
            if why != "off centre":
                right.update(e=round(left["e"] + uniform(-14, 14), 1), f=round(left["f"] + uniform(-14, 14), 1))
                right["rack"] = round(left["e"] + left["rack"] - right["e"], 1)  # one rack line for both
            offset = 0.0 if why == "unlike arms" else uniform(8, 90) * random.choice((1, -1))
            return [Linkage(*wheel(side, offset=offset, **numbers)) for side, numbers in ((1, left), (-1, right))]

        for link, side in zip(fresh(pair), ("left", "right")):
            records.append(describe(link, why, side, front, spatial, near=n % 3 == 0, beyond=True))

    # 3. Rods of a measured length, which stand somewhere else than straight ahead at mid-travel.
    for n in range(16):
        front, spatial, side = n % 2 == 0, n % 4 >= 2, random.choice((1, -1))

        def measured():
            args = wheel(side, offset=0.0, **size(front, spatial))
            return [Linkage(*args, rod=round(float(Linkage(*args).built) + uniform(-30, 30), 1))]

        (link,) = fresh(measured)
        records.append(describe(link, "measured rod", "left" if side > 0 else "right", front, spatial, near=True, beyond=True))

    # 4. Rods of a measured length that reach nowhere near mid-travel, sixteen too short and sixteen too long.
    for n in range(32):
        front, spatial, side, want = n % 2 == 0, n % 4 >= 2, random.choice((1, -1)), ("too_short", "too_long")[n // 16]
        args = wheel(side, offset=0.0, **size(front, spatial))
        least, most = Linkage(*args).reach(0.0)
        miss = 10 ** random.uniform(-2, 2)
        link = Linkage(*args, rod=round(float(most) + miss if want == "too_long" else float(least) - miss, 3))
        record = dict(kind="unreachable", side="left" if side > 0 else "right", arms="front" if front else "rear", axis_is="spatial" if spatial else "upright", **link.given)
        record["length"] = number(link.rod)
        record["at"] = []
        record["beyond"] = [[s, link.beyond(s)] for s in (0.0, round(random.uniform(-0.1, 0.1) * float(miss), 4)) if link.beyond(s)]
        assert record["beyond"][0] == [0.0, want]
        records.append(record)

    assert len(records) == 200
    counts = {
        "linkages": len(records),
        "positions": sum(len(r["at"]) for r in records),
        "with a position within 2 mm of a toggle": sum(any(min(abs(p[0] - t) for t in r["toggle"]) < 2 for p in r["at"]) for r in records if r["at"]),
        "with a position within 0.02 mm of a toggle": sum(any(min(abs(p[0] - t) for t in r["toggle"]) < 0.02 for p in r["at"]) for r in records if r["at"]),
        "with a rod too short somewhere": sum(any(b[1] == "too_short" for b in r.get("beyond", [])) for r in records),
        "with a rod too long somewhere": sum(any(b[1] == "too_long" for b in r.get("beyond", [])) for r in records),
        "with a rod too short at mid-travel": sum(["too_short"] == [b[1] for b in r.get("beyond", []) if b[0] == 0] for r in records),
        "with a rod too long at mid-travel": sum(["too_long"] == [b[1] for b in r.get("beyond", []) if b[0] == 0] for r in records),
        "with a place past a toggle where the rod would reach again": sum("over" in r for r in records),
        "of a car with its rack off centre or unlike arms": sum(r["kind"] in ("off centre", "unlike arms", "both") for r in records),
        "with arms ahead": sum(r["arms"] == "front" for r in records),
        "with arms behind": sum(r["arms"] == "rear" for r in records),
        "with an inclined axis": sum(r["axis_is"] == "spatial" for r in records),
        "with a fold-back before a toggle": sum(any(f is not None for f in r.get("fold_back", [])) for r in records),
        "with a rod of a given length": sum("rod" in r for r in records),
    }
    body = ",\n".join(json.dumps(r, separators=(",", ":")) for r in records)
    path = pathlib.Path(__file__).with_name("linkages.json")
    path.write_text('{"about":"See README.md beside this file.","seed":%d,"counts":%s,"linkages":[\n%s\n]}\n' % (SEED, json.dumps(counts), body))
    for name, count in counts.items():
        print("%6d %s" % (count, name))
    print("%6d bytes" % path.stat().st_size)


if __name__ == "__main__":
    main()
