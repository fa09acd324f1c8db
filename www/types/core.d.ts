// What the core hands over, written from its types: `DONORACK_TYPES=1 cargo test -p donorack types` writes it anew.

/**
 * One question: for each rack the others whose figure lies within the ± of the difference, by index.
 */
export type Alike = { 
/**
 * The question.
 */
key: string, 
/**
 * The result that answers it.
 */
result: string, 
/**
 * The findings that judge it.
 */
findings: Array<string>, 
/**
 * By rack: the racks that cannot be told apart from it; empty too where there is no figure.
 */
racks: Array<Array<number>>, 
/**
 * The racks, the best first; of alike ones, and of those without a figure, which come last, the first of the plan first.
 */
order: Array<number>, };

/**
 * The axle in plan at one rack displacement.
 */
export type AxleDrawing = { 
/**
 * Left and right wheel.
 */
wheels: Array<WheelDrawing>, 
/**
 * Share of the usable travel: 1 with the steering wheel hard left, −1 hard right.
 */
share: number, 
/**
 * Rack displacement in mm, left positive.
 */
rack: number, 
/**
 * Turn of the steering wheel in degrees, left positive; needs the travel per turn.
 */
hand: number | null, 
/**
 * The same as shown, without its direction: in degrees and in turns.
 */
hand_text: [string, string] | null, 
/**
 * Which way the steering wheel is turned: "left", "right", or empty straight ahead.
 */
turned: string, 
/**
 * Which way the bar has gone, likewise.
 */
bar: string, 
/**
 * Which wheel is the inner one: "left", "right", or empty straight ahead.
 */
inner: string, 
/**
 * Wheelbase in mm, where known.
 */
wheelbase: number | null, 
/**
 * Where the turning centre lies on the rear axle's line, left positive, mm.
 */
centre: number | null, 
/**
 * Where the outer and the inner wheel's own axes meet that line.
 */
band: [number, number] | null, 
/**
 * Where they meet it, in a sentence.
 */
meeting: Text, 
/**
 * The wheel with the smaller transmission angle, 0 left.
 */
tight: number, 
/**
 * That angle, as shown.
 */
tight_text: string, 
/**
 * Front tyre width in mm, where known.
 */
tyre: number | null, 
/**
 * Front track in mm, where known.
 */
track: number | null, 
/**
 * Toe-out against the inner wheel's angle, degrees: where this stands on that curve.
 */
toe_out: [number, number] | null, 
/**
 * That place as a figure.
 */
toe_out_text: Text, 
/**
 * Ratio against turns of the steering wheel: where this stands on that curve.
 */
ratio: [number, number] | null, 
/**
 * That place as a figure.
 */
ratio_text: Text, 
/**
 * The drawing in a sentence.
 */
caption: Text, };

/**
 * Both wheels over bumps, with the rack at one place.
 */
export type BumpView = { 
/**
 * Why there are no curves; empty where there are.
 */
why: string, 
/**
 * Rack displacement, mm, left positive.
 */
rack: number, 
/**
 * Where the rack stands.
 */
rack_text: Text, 
/**
 * Wheel travel looked at, mm each way.
 */
band: number, 
/**
 * The largest toe change allowed, degrees; `None` where it is not judged.
 */
limit: number | null, 
/**
 * Left and right wheel; heights that cannot be reached are left out.
 */
wheels: Array<WheelCurves>, 
/**
 * Change of the mean steer angle, degrees, against roll, degrees, right side down positive.
 */
roll: Array<[number, number]>, };

/**
 * What to look for.
 */
export type BuyingGuide = { 
/**
 * "ok", "nothing" (no rack can pass) or "needs".
 */
status: string, 
/**
 * The whole in one sentence; where something is missing, what.
 */
summary: Text, 
/**
 * One question a line, in the order in which one looks at a rack.
 */
lines: Array<GuideLine>, 
/**
 * What it rests on, and what could not be checked.
 */
notes: Array<Text>, 
/**
 * Range of inner-joint spacing, mm.
 */
spacing: GuideRange | null, 
/**
 * Other ranges of spacing that pass, mm: rare.
 */
also: Array<[number, number]>, 
/**
 * Range of travel at `at`, mm.
 */
travel: GuideRange | null, 
/**
 * Range of travel per turn at `at`, mm.
 */
per_turn: GuideRange | null, 
/**
 * The spacing at which travel is told, and the travel at which travel per turn is, mm.
 */
at: [number, number] | null, 
/**
 * Where nothing passes: changes with which something does, each solved.
 */
changes: Array<GuideChange>, 
/**
 * The picture.
 */
picture: Picture | null, };

/**
 * One reading or limit, changed.
 */
export type Change = { 
/**
 * "car", "racks" or "limits".
 */
section: string, 
/**
 * Its name in the plan.
 */
field: string, 
/**
 * What it becomes, as a number of the plan's file: mm, degrees, signed by the side; `None`: it is taken out.
 */
value: number | null, };

/**
 * One corner as it stands: points [forward, left, up] in mm, lines seen from the front as pairs of [left, up].
 */
export type CornerDrawing = { 
/**
 * The lower arm's front and rear pivots and its ball joint.
 */
lower: [[number, number, number], [number, number, number], [number, number, number]], 
/**
 * The same of the upper arm; of a strut its top mount three times over.
 */
upper: [[number, number, number], [number, number, number], [number, number, number]], 
/**
 * Outer and inner joint of the tie rod.
 */
rod: [[number, number, number], [number, number, number]], 
/**
 * Wheel centre.
 */
wheel: [number, number, number], 
/**
 * Contact point.
 */
contact: [number, number, number], 
/**
 * Direction of the spin axis, outboard.
 */
spin: [number, number, number], 
/**
 * Loaded radius of the tyre, mm.
 */
radius: number, 
/**
 * Whether the upper arm is a strut.
 */
strut: boolean, 
/**
 * Instant lines of lower arm, upper arm (square to a strut) and rod, each from its outer end to where the arms' lines meet, or to its own inner end
 * where they meet nowhere near.
 */
lines: [[[number, number], [number, number]], [[number, number], [number, number]], [[number, number], [number, number]]], 
/**
 * Where the lines of the two arms meet; `None` where they are parallel, or meet farther off than 20 m.
 */
centre: [number, number] | null, 
/**
 * Wheel travel, and toe change, camber and half-track change there, as shown.
 */
texts: [Text, Text, Text, Text], 
/**
 * How far the wheel has gone, without its unit: in mm, in inches.
 */
far: [string, string], 
/**
 * Toe change, degrees, toe-in positive.
 */
toe: number, 
/**
 * How it stands, in a sentence or two.
 */
text: Text, };

/**
 * A change that was solved with the change applied.
 */
export type Cure = { 
/**
 * What is changed.
 */
change: Array<Change>, 
/**
 * The findings that still fail, or are too close to call, with it; empty where everything passes.
 */
still: Array<string>, 
/**
 * What to do, and what comes of it.
 */
text: Text, 
/**
 * Where one reading is changed to another place of the rack; else nothing.
 */
set: Setting | null, };

/**
 * Curves over the turn.
 */
export type CurvesView = { 
/**
 * Toe-out against the inner wheel's angle, degrees, left turn.
 */
toe_out_left: Array<[number, number]>, 
/**
 * The same for a right turn.
 */
toe_out_right: Array<[number, number]>, 
/**
 * The same for ideal Ackermann.
 */
ideal: Array<[number, number]>, 
/**
 * Overall ratio against turns of the steering wheel, left positive.
 */
ratio: Array<[number, number]>, 
/**
 * Whether the two turns differ.
 */
differ: boolean, 
/**
 * The toe-out curves in a sentence.
 */
summary: Text, };

/**
 * One end of the steering wheel's turn.
 */
export type EndDrawing = { 
/**
 * Which way the steering wheel is turned there: "left" or "right".
 */
turned: string, 
/**
 * Where it ends and why, or why there is no end, in a sentence.
 */
text: Text, 
/**
 * What ends it, in a few words; empty where nothing does.
 */
reason: string, 
/**
 * Turns of the steering wheel, where known.
 */
turns: number | null, };

/**
 * What one figure rests on.
 */
export type Explained = { 
/**
 * The readings, in the order of the table.
 */
inputs: Array<ExplainedInput>, 
/**
 * Where the formula comes from.
 */
source: string, };

/**
 * One reading that a figure rests on.
 */
export type ExplainedInput = { 
/**
 * The name of the measurement.
 */
name: string, 
/**
 * What it is called.
 */
label: string, 
/**
 * As typed: number, unit, side.
 */
typed: string, 
/**
 * Its ± and where that comes from.
 */
pm: Text, 
/**
 * Where it comes from, if it was not typed for this rack or car; else empty.
 */
mark: string, 
/**
 * Its share of the square of the figure's ±, in per cent as shown; empty where it has none.
 */
share: string, };

/**
 * One row of the table of measurements, for whoever shows it.
 */
export type FieldRow = { 
/**
 * "car", "rack" or "limits".
 */
section: string, 
/**
 * Its name.
 */
name: string, 
/**
 * What it is called.
 */
label: string, 
/**
 * Where the tape goes.
 */
hint: string, 
/**
 * The units its field can show, the metric one first; empty for a choice.
 */
units: Array<string>, 
/**
 * Its two directions, or words; empty for none.
 */
sides: Array<string>, 
/**
 * Whether it is a choice between its two words.
 */
choice: boolean, 
/**
 * Whether a rack without it takes the next rack's.
 */
carried: boolean, 
/**
 * How it is usually measured, with the ± that brings.
 */
pm: Text, };

/**
 * One measurement as its field shows it.
 */
export type FieldView = { 
/**
 * The text as typed.
 */
text: string, 
/**
 * The unit it was typed in.
 */
unit: string, 
/**
 * The direction chosen; empty for none.
 */
side: string, 
/**
 * "ok", "carried", "default", "found" for a rack line that nobody typed, "unclear", or "off" for a limit that is not judged.
 */
status: string, 
/**
 * What is wrong with it and how to mend it; empty when nothing is.
 */
problem: string, 
/**
 * The value in the other unit; empty where there is none.
 */
other: string, 
/**
 * Its ± and where that comes from.
 */
pm: Text, 
/**
 * The rack it is carried over from.
 */
from: string, 
/**
 * What is to be said of the reading itself: that nothing uses it yet, or that a slip is likely; empty where nothing is.
 */
note: string, };

/**
 * One demand on the rack, judged.
 */
export type Finding = { 
/**
 * Its name outside the program.
 */
name: string, 
/**
 * Which side it speaks of: "" for none or for both alike.
 */
side: string, 
/**
 * How it came out.
 */
kind: Kind, 
/**
 * Whether the verdict counts it.
 */
judged: boolean, 
/**
 * The value, in the unit of `unit`.
 */
value: number | null, 
/**
 * The limit.
 */
limit: number | null, 
/**
 * By how much the value keeps the limit; negative when it does not.
 */
margin: number | null, 
/**
 * The ± of the margin, 95 %.
 */
pm: number | null, 
/**
 * Unit of the four.
 */
unit: string, 
/**
 * A few words for the head of a column.
 */
head: Text, 
/**
 * The finding, a short sentence.
 */
title: Text, 
/**
 * What it rests on.
 */
reason: Text, 
/**
 * What to change; empty where nothing needs changing.
 */
remedy: Text, 
/**
 * The changes that the remedy names, each solved with the change applied.
 */
cures: Array<Cure>, 
/**
 * Where the limit comes from.
 */
origin: string, };

/**
 * What a key changes at once: the car and the rack that is shown, however many others there are.
 */
export type First = { 
/**
 * As in [`View`].
 */
chosen: number, 
/**
 * As in [`View`].
 */
car: { [key in string]: FieldView }, 
/**
 * As in [`View`].
 */
limits: { [key in string]: FieldView }, 
/**
 * The rack that is shown.
 */
rack: RackView | null, 
/**
 * How the parts stand that do not compare racks.
 */
parts: Array<PartState>, };

/**
 * A change with which some rack passes.
 */
export type GuideChange = { 
/**
 * What is changed.
 */
change: Array<Change>, 
/**
 * A rack that then passes: spacing and travel, mm.
 */
rack: [number, number], 
/**
 * In words.
 */
text: Text, };

/**
 * One thing to look for.
 */
export type GuideLine = { 
/**
 * "bar", "spacing", "travel", "per_turn" or "rods"; "obstacle" and "change" where nothing passes.
 */
name: string, 
/**
 * What it is about.
 */
label: string, 
/**
 * What to look for.
 */
text: Text, 
/**
 * Why, and what makes the edges.
 */
more: Array<Text>, };

/**
 * A range with the limits that make its ends.
 */
export type GuideRange = { 
/**
 * The ends.
 */
ends: [number, number], 
/**
 * The value to look for first: of spacings the centre of gravity of what passes, each spacing weighed by how many travels pass with
 * it; of travels the one with the largest smallest margin, each in units of its own ±; of travels per turn the geometric middle,
 * because ratio and turns go with it as a proportion. Rounded to what one would say, where that is still inside.
 */
best: number, 
/**
 * ± of each end, where readings make it.
 */
pm: [number | null, number | null], 
/**
 * At each end of a range of spacings, the one travel that passes there, mm; 0 otherwise.
 */
travel: [number, number], 
/**
 * The names of the limits that make each end; those that begin with "usual", and "inner_joint_limit", are bounds of common practice.
 */
limits: [Array<string>, Array<string>], };

/**
 * How a demand came out.
 */
export type Kind = "pass" | "close" | "fail" | "missing" | "notice";

/**
 * Where a rack sits, fore and aft, and within what it suits.
 */
export type LineView = { 
/**
 * "typed", "found" (the best one, within a stretch that passes), "none" (no line passes: the one that misses least), "level" (too little
 * is known for one to be better than another) or "unread".
 */
status: string, 
/**
 * The rack line, mm, ahead of the tie-rod ends positive.
 */
at: number | null, 
/**
 * Rearmost line of the stretch that passes, mm.
 */
from: number | null, 
/**
 * Foremost line of it, mm.
 */
to: number | null, 
/**
 * The finding that fails further to the rear; "room" where the car's room ends there.
 */
from_limit: string, 
/**
 * The same further to the front.
 */
to_limit: string, 
/**
 * Where it sits, in a few words.
 */
short: Text, 
/**
 * Where it sits and what bounds that, in a sentence.
 */
text: Text, };

/**
 * A rack set to another place.
 */
export type Moved = { 
/**
 * How far, and which way.
 */
place: Text, 
/**
 * The rack line as it is typed for that, in either unit.
 */
line: Text, 
/**
 * The same of the height.
 */
height: Text, };

/**
 * Points that make no suspension, or do not go with the tape.
 */
export type OddPoint = { 
/**
 * What is odd.
 */
title: Text, 
/**
 * By how much, and what to do.
 */
text: Text, 
/**
 * The measurement to look at first, by its path in a plan's file.
 */
path: string, };

/**
 * One part of the job, and how it stands.
 */
export type PartState = { 
/**
 * Its word in an address.
 */
part: string, 
/**
 * All right, too close to call, failed, or something is missing; `None` where there is nothing to judge.
 */
kind: Kind | null, 
/**
 * The state in a word; empty where the mark says it all.
 */
word: Text, 
/**
 * The same in a sentence.
 */
says: Text, 
/**
 * Whether it stands in the row of parts unasked: Points does once anything was said of the suspension.
 */
there: boolean, 
/**
 * What it waits for: the measurement that is asked for next, by its path in a plan's file, or the word of another part. Empty where it waits for nothing.
 */
lacks: string, };

/**
 * Spacing of the inner joints across (mm), angle of the inner wheel at lock up (degrees); every rack at its best line.
 */
export type Picture = { 
/**
 * From where to where, across.
 */
x: [number, number], 
/**
 * From where to where, up.
 */
y: [number, number], 
/**
 * Marks across, for the reader of mm and of inches: where, and what stands there.
 */
ticks: [Array<[number, string]>, Array<[number, string]>], 
/**
 * Marks up.
 */
rises: Array<[number, string]>, 
/**
 * The most lock that the limits allow, by spacing; nought where they allow none.
 */
most: Array<[number, number]>, 
/**
 * What passes: spacing, least and most lock.
 */
band: Array<[number, number, number]>, 
/**
 * The wanted lock, where one is asked for.
 */
wanted: number | null, 
/**
 * The plan's racks, each where it was evaluated: place in the plan, spacing, lock to its worse side.
 */
racks: Array<[number, number, number]>, 
/**
 * What stands across and up.
 */
axes: [string, string], };

/**
 * What is asked of the rack's place, and how it is there.
 */
export type PlaceLimit = { 
/**
 * Its name; of the layer of the map as well.
 */
name: Text, 
/**
 * Met or not where the rack is; `None` where nothing is asked.
 */
kind: Kind | null, 
/**
 * How it is there.
 */
value: Text, 
/**
 * What is asked.
 */
bound: Text, };

/**
 * Where the rack may go.
 */
export type PlaceView = { 
/**
 * Why there is no map; empty where there is one.
 */
why: string, 
/**
 * Middle of the map, mm ahead of and above the tie-rod ends.
 */
middle: [number, number], 
/**
 * Where the rack is, the same way.
 */
at: [number, number], 
/**
 * Whether it reaches half as far as it could.
 */
near: boolean, 
/**
 * How far it reaches: from near, from far.
 */
reach: [Text, Text], 
/**
 * How the place is, by everything that depends on it.
 */
kind: Kind, 
/**
 * That in a sentence.
 */
says: Text, 
/**
 * Which place would be better, or how much room there is.
 */
better: Text, 
/**
 * The best place of the map, or the one that misses least; `None` where the rack is there.
 */
best: Moved | null, 
/**
 * What becomes of it there: the verdict.
 */
then: Text, 
/**
 * Whether it keeps every limit of the map, and the verdict there is no worse than where it is.
 */
helps: boolean, 
/**
 * What is asked of a place: the layers of the map.
 */
limits: Array<PlaceLimit>, 
/**
 * What makes the rods' holes in the rail so large, left and right, then the pipe that goes round them.
 */
hole: Array<Text>, 
/**
 * Through the place of the rack, forward and up: where, each layer, whether it passes.
 */
tables: [Array<Array<Text>>, Array<Array<Text>>], };

/**
 * One point on one side.
 */
export type PointView = { 
/**
 * Its name; that of a measurement is this, an underline, and x, y or z, with "right_" before it where the right side is measured by itself.
 */
name: string, 
/**
 * What it is called.
 */
label: string, 
/**
 * "left" or "right".
 */
side: string, 
/**
 * Where each coordinate comes from: "typed", "mirrored" from the left, "tape" where other readings fix it, or "" while it is not known.
 */
from: [string, string, string], 
/**
 * Where it is, mm, forward, left, up; `None` while a coordinate is not known.
 */
at: [number, number, number] | null, 
/**
 * Each coordinate as it is read off the tape, a distance along with its word; empty while it is not known.
 */
texts: [Text, Text, Text], };

/**
 * Every point that the suspension needs, in the order in which they are measured.
 */
export type PointsView = { 
/**
 * "double wishbone", "strut", or empty while neither was said.
 */
suspension: string, 
/**
 * The points, each left and right.
 */
points: Array<PointView>, 
/**
 * How many points are known of how many.
 */
known: [number, number], 
/**
 * How many numbers of the left side were measured of how many that no other reading gives: heights, then distances on the floor.
 */
rounds: [[number, number], [number, number]], 
/**
 * What is odd about them.
 */
odd: Array<OddPoint>, 
/**
 * What cannot be answered yet, each with what it needs, in a sentence.
 */
waits: Array<string>, 
/**
 * The measurement that is asked for next, by its path in a plan's file; empty where nothing is.
 */
next: string, 
/**
 * How far one is, what can be answered already, and what is asked for next, in a sentence or two.
 */
text: string, };

/**
 * One rack, evaluated.
 */
export type RackView = { 
/**
 * Its name.
 */
name: string, 
/**
 * Its note.
 */
note: string, 
/**
 * The verdict.
 */
verdict: Verdict, 
/**
 * Where it sits.
 */
line: LineView, 
/**
 * Its fields, by name, carried ones included; absent ones are left out.
 */
fields: { [key in string]: FieldView }, 
/**
 * Every result of the table, in its order.
 */
results: Array<ResultView>, 
/**
 * Every finding, in the order in which they weigh.
 */
findings: Array<Finding>, 
/**
 * Curves over the turn.
 */
curves: CurvesView, };

/**
 * A refusal, and why.
 */
export type Refusal = { 
/**
 * What was refused.
 */
refused: Refused, 
/**
 * Why, in a sentence for a person.
 */
says: string, };

/**
 * What was refused.
 */
export type Refused = "plan" | "link" | "place";

/**
 * One row of the table of results, for whoever shows it.
 */
export type ResultRow = { 
/**
 * Its name.
 */
name: string, 
/**
 * What it is called.
 */
label: string, 
/**
 * Its formula in words.
 */
explain: string, 
/**
 * Unit of its value and ±.
 */
unit: string, 
/**
 * What its two sides are called; empty for one value.
 */
sides: Array<string>, 
/**
 * Which way it is better: "more", "less", or empty where neither is.
 */
better: string, };

/**
 * One result.
 */
export type ResultView = { 
/**
 * Its name.
 */
name: string, 
/**
 * Which of its two values; empty for the only one.
 */
side: string, 
/**
 * The value, where there is one.
 */
value: number | null, 
/**
 * Its ±, 95 %.
 */
pm: number | null, 
/**
 * Unit of both.
 */
unit: string, 
/**
 * "ok", "missing" or "unreachable".
 */
status: string, 
/**
 * What is missing, or why there is no such value; empty when there is one.
 */
why: string, 
/**
 * As shown.
 */
text: Text, 
/**
 * The reading that contributes most to the ±.
 */
most: string, 
/**
 * Its share of the square of the ±, per cent.
 */
most_share: number, 
/**
 * What the figure leans on that was not measured; what ends a travel.
 */
notes: Array<string>, };

/**
 * A rack set elsewhere by one reading.
 */
export type Setting = { 
/**
 * The reading, as it is typed for that, in either unit.
 */
typed: Text, 
/**
 * What a button says that does it.
 */
button: Text, 
/**
 * How far off the rack is now.
 */
off: Text, 
/**
 * How far from where it was it then is.
 */
place: Text, };

/**
 * One wording in millimetres and metres, and the same in inches and feet.
 */
export type Text = { 
/**
 * For the reader who thinks in mm.
 */
mm: string, 
/**
 * For the reader who thinks in inches.
 */
inch: string, };

/**
 * One rack over the whole turn.
 */
export type TurnView = { 
/**
 * Whether a left turn of the steering wheel steers to the right.
 */
backwards: boolean, 
/**
 * Which way the bar should go for a left turn of the steering wheel.
 */
bar_wanted: string, 
/**
 * Which way it goes; empty where that is not known.
 */
bar_goes: string, 
/**
 * Both ends of the steering wheel's turn, left first.
 */
ends: [EndDrawing, EndDrawing], 
/**
 * Why the steering wheel's angle is not known; empty where it is.
 */
hand_why: string, 
/**
 * Toe-out against the inner wheel's angle, left turn: degrees.
 */
band_left: Array<[number, number, number]>, 
/**
 * The same, right turn.
 */
band_right: Array<[number, number, number]>, 
/**
 * Ratio against turns of the steering wheel, left positive.
 */
band_ratio: Array<[number, number, number]>, 
/**
 * Toe-out as a table: turn, inner angle, outer angle, toe-out with its ±, ideal toe-out.
 */
toe_table: Array<[string, string, string, string, string]>, 
/**
 * The ratio in a sentence; or what it needs.
 */
ratio_summary: Text, 
/**
 * The ratio as a table: turn of the steering wheel, ratio with its ±.
 */
ratio_table: Array<[string, string]>, };

/**
 * A plan as it was typed, without anything that follows from it.
 */
export type Typed = { 
/**
 * As in [`View`], without notes.
 */
car: { [key in string]: FieldView }, 
/**
 * As in [`View`].
 */
limits: { [key in string]: FieldView }, 
/**
 * The racks.
 */
racks: Array<TypedRack>, };

/**
 * A rack as it was typed.
 */
export type TypedRack = { 
/**
 * Its name.
 */
name: string, 
/**
 * Its note.
 */
note: string, 
/**
 * Its fields, by name, carried ones included; without notes.
 */
fields: { [key in string]: FieldView }, };

/**
 * The verdict of a rack.
 */
export type Verdict = { 
/**
 * Which of the six.
 */
kind: VerdictKind, 
/**
 * A few words.
 */
head: Text, 
/**
 * The sentence, with its reason and what to do.
 */
sentence: Text, 
/**
 * Name of the finding that decides it; empty where none does.
 */
because: string, 
/**
 * What could not be checked for want of an optional reading.
 */
unchecked: Array<string>, 
/**
 * What was taken for granted for want of an optional reading.
 */
assumed: Array<string>, 
/**
 * What was typed, cannot be read, and is therefore left out.
 */
unread: Array<string>, 
/**
 * What is unusual, a sentence each.
 */
notices: Array<Text>, };

/**
 * What is said of a rack as a whole.
 */
export type VerdictKind = "opposed" | "backwards" | "needs" | "fails" | "close" | "suits";

/**
 * A plan, evaluated.
 */
export type View = { 
/**
 * The plan's name.
 */
name: string, 
/**
 * Whether its figures are invented.
 */
invented: boolean, 
/**
 * How many entries from a newer program are not shown, as a sentence; empty for none.
 */
unshown: string, 
/**
 * The chosen rack.
 */
chosen: number, 
/**
 * The car's fields, by name; absent ones are left out.
 */
car: { [key in string]: FieldView }, 
/**
 * The limits, by name.
 */
limits: { [key in string]: FieldView }, 
/**
 * The racks.
 */
racks: Array<RackView>, 
/**
 * Which racks the ± cannot tell apart, question by question.
 */
alike: Array<Alike>, 
/**
 * How every part of the job stands.
 */
parts: Array<PartState>, };

/**
 * One wheel over the travel looked at.
 */
export type WheelCurves = { 
/**
 * Change of toe from ride height, degrees, toe-in positive.
 */
toe: Array<[number, number, number]>, 
/**
 * Camber, degrees.
 */
camber: Array<[number, number, number]>, 
/**
 * Caster, degrees.
 */
caster: Array<[number, number, number]>, 
/**
 * Scrub radius, mm.
 */
scrub: Array<[number, number, number]>, 
/**
 * Trail, mm.
 */
trail: Array<[number, number, number]>, 
/**
 * How far the contact point has gone outboard, mm.
 */
half_track: Array<[number, number, number]>, 
/**
 * The same as a table: travel, then each of them with its ±.
 */
table: Array<[Text, Text, Text, Text, Text, Text, Text]>, 
/**
 * What the toe curve says, in a sentence.
 */
summary: Text, };

/**
 * One wheel in the drawing in plan: points [forward, left] in mm from the middle of the front axle.
 */
export type WheelDrawing = { 
/**
 * Steering axis at rod-end height.
 */
axis: [number, number], 
/**
 * Middle of the wheel.
 */
contact: [number, number], 
/**
 * Outer rod end.
 */
rod_end: [number, number], 
/**
 * Inner joint.
 */
inner: [number, number], 
/**
 * Steer angle in degrees, left positive.
 */
steer: number, 
/**
 * The angle, as shown.
 */
text: string, 
/**
 * Transmission angle in degrees.
 */
transmission: number, };
