// Every measurement that the form asks for, in the order in which it does.

/** Of the car. Of `spacings` either will do. */
export const CAR = {
  first: ["wheelbase", "front_track"],
  spacings: ["rod_end_spacing", "axis_spacing_at_ground"],
  arm: ["arm_fore_aft", "arm_inboard"],
  room: ["rack_line_from", "rack_line_to"],
  /** Groups under further measurements, by the key of their heading. */
  more: {
    axis: ["scrub_radius", "axis_spacing_at_rod_end", "kingpin_inclination", "rod_end_height", "caster"],
    body: ["rear_track", "tyre_width", "rear_tyre_width", "corner_ahead", "corner_width", "second_corner_ahead", "second_corner_width"],
    arm: ["arm_length", "arm_angle"],
    right: ["right_arm_fore_aft", "right_arm_inboard"],
  },
};

const JOINTS = "lower_ball lower_front lower_rear upper_ball upper_front upper_rear strut_top damper tie_rod_end wheel_centre".split(" ");
/** @type {(of: string) => string[]} */
const axes = (of) => ["x", "y", "z"].map((axis) => `${of}_${axis}`);

/** Of the suspension: its joints along, across and up, left and right, and the lines that they are measured from. */
export const POINTS = {
  kind: ["suspension"],
  joints: JOINTS.flatMap((name) => [...axes(name), ...axes(`right_${name}`)]),
  lines: ["line_across", "line_along", "level"],
  stand: ["toe", "camber"],
};
const points = new Set(Object.values(POINTS).flat());

/** What is in the way of a rack's housing: on the car box by box, and how thick the housing of a rack is. */
export const WAY = {
  boxes: ["sump", "crossmember", "frame"].map((of) => ["from", "to", "low", "high"].map((end) => `${of}_${end}`)),
  rack: ["housing_diameter"],
  /** The frame rail that the rods pass through, and what passes. */
  rail: ["rail_inner", "rail_outer"],
  rod: ["rod_thickness", "hole_room"],
  /** What a turned tyre keeps clear of besides the rail. */
  tyre: ["tyre_diameter", "crossmember_out"],
};
const way = new Set(Object.values(WAY).flat(2));

/**
 * The part of the job in which a measurement is asked for, by its path, or the part that is named itself; nothing where the path leads to none.
 * @type {(path: string) => string | null}
 */
export function partOf(path) {
  const [section, name, ofRack] = path.split(".");
  if (way.has(section === "racks" ? ofRack : name)) return "place";
  if (section === "car" && points.has(name)) return "points";
  return { car: "car", limits: "car", racks: "racks", points: "points" }[section] ?? null;
}

/** Of a rack. Of `turned`, and of `travel`, either will do; of `turned` the first is asked for unless only the second is filled in. */
export const RACK = {
  first: ["inner_joint_spacing"],
  turned: ["travel_two_turns", "travel_per_turn"],
  travel: ["travel", "turns"],
  direction: ["bar_moves"],
  fitted: ["rack_line", "offset", "height"],
  more: ["stop_left", "stop_right", "rod_length", "rod_length_min", "rod_length_max", "inner_joint_limit", "outer_joint_limit"],
};

/** The limits that a builder may set: those wanted, and those beyond which a measurement counts as unusual. */
export const LIMITS = {
  wanted: [
    "lock_inner",
    "circle_max",
    "circle_edge_max",
    "wall_to_wall_max",
    "ratio_min",
    "ratio_max",
    "turns_min",
    "turns_max",
    "ackermann_min",
    "ackermann_max",
    "reserve",
    "transmission_angle",
    "toe_max",
    "bump_steer_max",
    "bump_travel",
    "tyre_room_min",
  ],
  unusual: [
    ...["ratio", "turns", "circle", "ackermann", "scrub", "rod", "wheelbase"].flatMap((of) => [`usual_${of}_min`, `usual_${of}_max`]),
    "usual_tilt_max",
    "usual_tolerance",
  ],
};
