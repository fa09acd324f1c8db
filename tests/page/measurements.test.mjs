// The form asks for every measurement that there is, each once, and for nothing else.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { CAR, LIMITS, POINTS, RACK, WAY, partOf } from "../../www/page/parts/form/measurements.js";

const { car, limits, racks } = JSON.parse(readFileSync(new URL("../data/every-field.json", import.meta.url), "utf8"));

/** All names in a section's lists. */
const names = (lists) => (Array.isArray(lists) ? lists : Object.values(lists).flatMap(names));

for (const [section, asked, held] of [
  ["car", { ...CAR, points: POINTS, way: WAY.boxes.flat(), rail: WAY.rail, tyre: WAY.tyre }, [car]],
  ["limits", LIMITS, [limits]],
  ["rack", { ...RACK, way: WAY.rack, rod: WAY.rod }, racks],
])
  test(`the form asks for each measurement of section "${section}" once, and for no other`, () => {
    const measured = held.flatMap(Object.keys).filter((name) => !["name", "note", "mark"].includes(name));
    assert.deepEqual(names(asked).sort(), [...new Set(measured)].sort());
  });

test("every measurement has its part, and a part is its own", () => {
  const parts = {
    "car.wheelbase": "car",
    "car.lower_ball_x": "points",
    "car.right_damper_z": "points",
    "car.level": "points",
    "car.toe": "points",
  };
  Object.assign(parts, {
    "car.rod_end_height": "car",
    "limits.bump_travel": "car",
    "car.sump_low": "place",
    "racks.2.housing_diameter": "place",
    "racks.0.height": "racks",
    points: "points",
    racks: "racks",
  });
  for (const [path, part] of Object.entries(parts)) assert.equal(partOf(path), part, path);
  assert.equal(partOf(""), null);
});
