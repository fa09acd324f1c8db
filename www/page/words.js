// The page's English, all of it. Names of measurements and every result's words come from the core.

import { most } from "./tables.js";
import { points } from "./parts/points/words.js";
import { tape } from "./widgets/tape/words.js";

// A name is marked with U+2068 and U+2069, its own direction marks removed; `dom.js` and `html.js` make a `<bdi>` element of it.
/** @type {(name: string) => string} */
const markedName = (name) => `\u2068${withoutMarks(name)}\u2069`;
/** @type {(name: string) => string} */
const withoutMarks = (name) => name.replace(/[\u202a-\u202e\u2066-\u2069]/g, "");

// Within a sentence of the core's, names are marked that contain right-to-left letters or direction marks, or are longer than a line.
const ODD = /[\u0590-\u08ff\u200e\u200f\u202a-\u202e\u2066-\u2069\ufb1d-\ufefc]|.{40}/;
/** @type {(sentence: string, names: string[]) => string} */
const apart = (sentence, names) =>
  names.filter((name) => ODD.test(name)).reduce((all, name) => all.split(name).join(markedName(name)), sentence);

// A name with an addition, cut so that it is no longer than a name may be.
/** @type {(name: string, tail: string) => string} */
const shortened = (name, tail) => [...withoutMarks(name)].slice(0, most.name - [...tail].length).join("") + tail;

// A copy's name, different from every name in `taken`.
/** @type {(name: string, taken: string[]) => string} */
function copyName(name, taken) {
  let copy = shortened(name, " (copy)");
  for (let n = 2; taken.includes(copy); n++) copy = shortened(name, ` (copy ${n})`);
  return copy;
}

// A list of names; of more than four only three, and the number of the others.
/** @type {(names: string[]) => string} */
const several = (names) =>
  (names.length > 4 ? [...names.slice(0, 3), `${names.length - 3} others`] : names).reduce(
    (all, name, i, { length }) => (i === 0 ? name : `${all}${i < length - 1 ? "," : " and"} ${name}`),
    "",
  );

/** @type {(text: string) => string} */
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @type {(n: number) => string} */
const racks = (n) => (n === 1 ? "1 rack" : `${n} racks`);

/** @type {Record<string, string>} */
const UNITS = { mm: "millimetres", in: "inches", m: "metres", ft: "feet" };

/** @type {Record<string, string>} */
const MARKS = { buy: "buy", leave: "leave", gone: "gone" };

/** @satisfies {import("../types/page").Texts} */
export const words = {
  tape,
  apart,
  plan: {
    unnamed: "Unnamed plan",
    byCar: (/** @type {string[]} */ parts) => capital(parts.join(", ")),
    wheelbase: (typed) => `wheelbase ${typed}`,
    track: (typed) => `track ${typed}`,
    racks,
    name: "Name of this plan",
    rack: (/** @type {number} */ n) => `Rack ${n}`,
    copy: (name, /** @type {string[]} */ taken) => copyName(name.replace(/ \(copy( \d+)?\)$/, ""), taken),
  },
  unit: {
    names: UNITS,
    not: (typed, unit, other) => `${typed} ${unit} is no exact number of ${UNITS[other] ?? other}, so it was left as it is.`,
    write: (typed, other) => `Write ${typed} ${other}`,
    same: (typed, unit, text, other) => `${typed} ${unit} is ${text} ${other}: the same, written in the other unit. Undo takes it back.`,
  },
  units: { label: "Units of the results", mm: "mm", inch: "inch", switched: { mm: "Results in millimetres.", inch: "Results in inches." } },
  look: { label: "Look; follows the phone unless one is set", light: "light", dark: "dark", sun: "sun" },
  offline: { ready: "Works offline", newer: "A new version is ready.", take: "Load it" },
  do: {
    start: "Start with my car",
    mine: "Back to my car",
    example: "Example",
    keep: "Keep a copy",
    back: "Back to mine",
    undo: "Undo",
    share: "Share",
    add: "Add a rack",
    copy: "Copy",
    remove: "Remove",
    up: "Move up",
    down: "Move down",
    close: "Close",
    fresh: "New",
    drop: "Leave it",
  },
  bar: {
    label: "This plan",
    what: "Which rack suits your car, and why.",
    example: "Invented example. Change anything and it becomes a plan of yours.",
    friend: (name) => `A friend’s plan: ${markedName(name)}. Look round, nothing here touches yours.`,
    damaged: (why) => `${why} The address still holds it, and your own plan is untouched.`,
    revived: "The calculation stopped and was started again. What you typed is kept.",
    stopped: "The calculation stopped and is being started again. What you typed is kept.",
    cannot: (why) => `The plan cannot be worked out: ${why}`,
    refused: "This browser keeps nothing for this page. The plan works, but only its link survives.",
    full: "This browser has no room left: the last changes are not kept. The plan works, and its link holds all of it. Removing a plan makes room.",
    earlier: (what) =>
      `What this browser kept of this plan cannot be read. It stands here as it was a step back, before: ${what}. What cannot be read is left under Plans.`,
    broken: (/** @type {number} */ n) =>
      `${n === 1 ? "A plan kept here" : `${n} plans kept here`} can no longer be read, and ${n === 1 ? "is" : "are"} left alone: see under Plans.`,
    apart: "This installed copy keeps plans of its own, apart from the browser’s, and has none yet. A link pasted here brings one over.",
    paste: "Paste a link",
    failed: "The calculation could not be loaded. Load the page again when there is signal.",
    lost: "The calculation stopped and could not be started again. What you typed is kept: load the page again.",
  },
  said: {
    undone: (what) => `Undone: ${what}.`,
    removed: (name) => `${markedName(name)} removed. Undo brings it back.`,
    added: (name) => `${markedName(name)} added.`,
    copied: (name) => `${markedName(name)} copied.`,
    own: "This is now a plan of yours.",
    marked: (name, /** @type {string | null} */ word) => `${markedName(name)}: ${word ? `marked “${MARKS[word]}”` : "no mark"}.`,
    chosen: (name) => `${markedName(name)} is shown.`,
    moved: (name) => `${markedName(name)} moved.`,
    kept: "Kept as your plan.",
    fresh: "A new, empty plan.",
    verdict: (name, sentence) => `${markedName(name)}: ${sentence}`,
    locked: "This is a friend’s plan, to look at. Keep a copy, and you can change it.",
    cut: (/** @type {number} */ most) => `At most ${most} characters: the rest was left out.`,
    link: "Link copied.",
    sorted: (row, first) => `Sorted by ${row}: ${markedName(first)} first.`,
    old: "figures from before you typed",
  },
  steps: {
    start: "new plan",
    keep: "friend’s plan kept",
    spacing: "which spacing",
    name: "name of the plan",
    rackName: "name of a rack",
    note: "note",
    add: "rack added",
    copy: "rack copied",
    copyPlan: "plan copied",
    take: (label) => `taken over: ${label}`,
    tabs: "the choice between two tabs",
    remove: "rack removed",
    move: "rack moved",
    choose: "which rack is shown",
    mark: "mark of a rack",
    address: "what only the address held",
  },
  car: {
    sub: "The one that gets the rack. Walk round it once with the tape.",
    whichever: "Whichever you measured",
    more: "More that makes it sharper",
    moreSub: "None of these is needed for a first verdict. Each one answers more, or answers it closer.",
    spacing: { rod_end_spacing: "tie-rod ends", axis_spacing_at_ground: "axes at the ground" },
    room: "Where could a rack sit, fore and aft?",
    roomSub:
      "From the line through both tie-rod ends. Left empty it is 150 mm (6 in) either way; each rack is then put where it suits best.",
    unusual: "What is unusual",
    unusualSub: "Outside of these a figure is not judged, only pointed at: common practice from memory.",
    groups: /** @type {Record<string, string>} */ ({
      axis: "Steering axis",
      arm: "Arm, measured another way",
      right: "Right arm, where it differs",
      body: "Tyres and body",
    }),
    limits: "What you ask of it",
    limitsSub: "Left empty, common practice is used where there is one; the rest is shown, not judged.",
  },
  rack: {
    sub: "As they lie in the yard: four answers each.",
    name: "Name",
    note: "Note",
    noteHint: "row in the yard, price, whose it is",
    travel: { travel: "end to end", turns: "turns counted" },
    more: "More about this rack",
    fitted: "How it is fitted",
    fittedSub: "Only once it is: until then it stands at its best rack line, level and centred or as another rack is.",
    whichever: "How you know the travel",
    chosen: "shown",
    choose: "Show this one",
    full: `A plan holds at most ${most.racks} racks. Remove one to add another.`,
    mark: "What you mean to do with it",
    marks: MARKS,
    centreTitle: "How to find the centre of a loose rack",
    centre: [
      "Turn the shaft to one end. Do not force it.",
      "Put a chalk mark on the shaft and count the turns to the other end.",
      "Come back by half of them. That is mid-travel: measure the inner joints’ spacing there, and put a mark on bar and housing.",
      "For its speed, measure how far the rack goes over two whole turns.",
    ],
  },
  limit: {
    origins: {
      default: "common practice, no source",
      ok: "set by you",
      off: "not judged: turned off by you",
      none: "left empty: shown, not judged",
    },
    turnOff: "Do not judge",
    judge: "Judge it again",
    changed: { off: (label) => `${label}: no longer judged.`, on: (label) => `${label}: judged again.` },
  },
  rests: { title: "Rests on", source: "Source", of: (share) => `${share} of the square of its ±`, nothing: "nothing that was typed" },
  keys: {
    label: "Fractions, marks and tolerance",
    names: {
      "±": "plus or minus, a tolerance",
      "′": "feet, or minutes of a degree",
      "″": "inches",
      "°": "degrees",
      abc: "letters or digits on the keyboard",
    },
  },
  field: {
    unit: (unit, other) => `${unit}; change this field to ${other}`,
    carried: (from) => (from ? `carried over from ${markedName(from)}` : "carried over"),
    side: "which way",
    which: (plus, minus) => `${capital(plus)} or ${minus}?`,
    equals: (other) => `= ${other}`,
    usual: "usual figure, unless you set yours",
    found: "its best place, unless you type where it sits",
  },
  plans: {
    title: "Plans",
    none: "No plan of yours yet: change the example, begin a new one, or paste a link.",
    kept: "Kept in this browser, on this device. Their links keep them anywhere else.",
    promised: "Kept in this browser, on this device; it has promised not to clear them by itself. Their links keep them anywhere else.",
    forGood: "Remove for good",
    fresh: "New, empty plan",
    paste: "Paste a link here",
    go: "Open",
    open: "open",
    rename: "Rename",
    done: "Done",
    newName: (name) => `New name for ${name}`,
    back: "Bring back",
    gone: "Removed",
    about: (/** @type {number} */ n, when) => [racks(n), when && `changed ${when}`].filter(Boolean).join(" · "),
    broken: "This plan can no longer be read. Its text, as it is kept:",
    itsText: "Text of the plan that cannot be read",
    dropBroken: "Remove for good",
    earlier: "Open it a step back",
    said: {
      removed: (name) => `${markedName(name)} removed. It can be brought back.`,
      back: (name) => `${markedName(name)} is back.`,
      copied: (name) => `${markedName(name)} copied.`,
      opened: (name) => `${markedName(name)} opened.`,
      forGood: (name) => `${markedName(name)} is gone for good.`,
      noRoom: "There is no room for that in this browser. Removing a plan makes room.",
      noEarlier: "No step back can be read either.",
    },
  },
  diff: {
    title: "Your plan came back changed",
    count: (/** @type {number} */ n) =>
      `${n === 1 ? "One thing differs" : `${n} things differ`}. Yours stays as it is until you take one over.`,
    titles: {
      kept: "What this browser kept is older: the address held more, and stands here.",
      address: "The address held what this browser had no room for; another tab has written since.",
    },
    full: "No room for another rack in a plan.",
    none: "Nothing differs any more.",
    mine: "yours",
    theirs: "theirs",
    nothing: "nothing",
    there: "there",
    missing: "not there",
    newer: "What a newer Donorack wrote",
    one: "one",
    another: "another",
    take: "Take over",
    takeWhat: (label, value) => `Take over ${label}: ${value}`,
    all: "Take all over",
    look: "Look at theirs",
    away: "Put away",
    several: "all differences",
    of: (rack, label) => `${markedName(rack)}: ${label}`,
    rack: markedName,
    said: (label) => `${label} taken over. Undo brings yours back.`,
    came: (/** @type {number} */ n) => `Your plan came back with ${n === 1 ? "one difference" : `${n} differences`}.`,
  },
  tabs: {
    changed: {
      say: "Another tab has changed this plan. What you type here is kept aside until you choose.",
      theirs: "Show the other tab’s",
      mine: "Keep this one",
      both: "Keep both",
    },
    removed: {
      say: "Another tab has removed this plan. What you type here is kept aside until you choose.",
      theirs: "Let it go",
      mine: "Keep it",
    },
    said: {
      theirs: "The other tab’s version is shown. Undo brings yours back.",
      mine: "This tab’s version is kept. Undo shows the other’s.",
      both: "Kept as a plan of its own, beside the other tab’s.",
    },
    copy: (name) => `${name}, from another tab`,
  },
  parts: {
    label: "Parts of the job",
    all: "All",
    allMore: " parts, with what each one says",
    news: ". A new version is ready",
    whole: "The whole job",
    columns: { typed: "What you type", told: "What it says" },
    names: /** @type {Record<string, string>} */ ({
      car: "Car",
      racks: "Racks",
      points: "Points",
      side: "Side by side",
      turning: "Turning",
      bump: "Bump steer",
    }),
    ear: /** @type {Record<string, string>} */ ({ pass: "all right", close: "too close to call", fail: "fails", missing: "needs more" }),
    onTo: (name) => `On to: ${name}`,
    to: (name) => `Go to ${name}`,
  },
  points,
  bump: {
    on: (name) => `${markedName(name)}, on your car.`,
    origin: "Limit",
    put: "Put it back",
    set: (then) => `Set ${then}.`,
    setSub: "Undo takes it back too.",
    step: "rack set elsewhere",
    back: "rack put back",
    wheel: "Wheel",
    which: "Which wheel",
    wheels: ["left wheel", "right wheel"],
    way: "Up or down",
    ways: ["up", "down"],
    slider: "Wheel travel",
    steps: ["Wheel a step down", "Wheel a step up"],
    steer: "Steering",
    places: ["Lock left", "Straight", "Lock right"],
    drawing: (name, text) => `${markedName(name)}, the corner from ahead. ${text}`,
    meet: "the arms meet here",
    middle: "car’s middle",
    lens: "inner joint, close by",
    none: "No curve yet.",
    table: "Over bumps, as a table",
    title: "Toe over bumps",
    columns: ["Wheel", "Toe change", "Camber", "Caster", "Scrub radius", "Trail", "Half-track"],
    key: { left: "as fitted", mended: (then) => then, right: "the other wheel", box: "your limit" },
    chart: {
      mm: { toe: "← toe-out    toe-in →", up: "mm up", down: "mm down" },
      inch: { toe: "← toe-out    toe-in →", up: "in up", down: "in down" },
    },
  },
  yard: {
    title: "What to look for",
    show: "Before the trip, from this car alone",
    passes: "passes",
    most: "most that the limits allow",
    wanted: "wanted",
    unit: { mm: "mm", inch: "in" },
  },
  compare: {
    sub: "One column a rack. What is worst about each stands under its name; tap a question to sort by it.",
    question: "Question",
    table: "Racks by question",
    none: "Nothing to compare yet.",
    rows: {
      direction: "Steers the right way",
      line: "Rack line",
      lock: "Inner wheel at lock",
      circle: "Turning circle, tyre’s centre",
      bump: "Bump steer, largest",
      reserve: "Travel kept before toggle",
      transmission: "Between rod and arm at lock",
      ratio: "Ratio on centre",
      turns: "Turns lock to lock",
      ackermann: "Ackermann at lock, by angle",
    },
    line: /** @type {Record<string, string>} */ ({
      typed: "as typed",
      found: "its best",
      none: "misses least",
      level: "until it is known",
    }),
    yes: "yes",
    no: "no",
    open: "not known",
    alike: (names) => `within ± of ${names}`,
    list: (/** @type {string[]} */ names) => several(names.map(markedName)),
    sortedAlike: (names) => `The ± cannot tell ${names} from it.`,
  },
  turning: {
    atLock: "At lock, from above",
    left: "Lock left",
    straight: "Straight",
    right: "Lock right",
    position: "Where the steering stands",
    drive: {
      wheel: "Steering wheel",
      which: "Which way the steering wheel is turned",
      side: { left: "left", right: "right" },
      arrow: { left: "↺", right: "↻" },
      step: { left: "Steering wheel a step to the left", right: "Steering wheel a step to the right" },
      unit: { deg: "°", turns: "turns" },
      change: { deg: "degrees; change to turns", turns: "turns; change to degrees" },
      noAngle: (why) => `The steering wheel’s own angle ${why}.`,
    },
    hand: (/** @type {string | undefined} */ turns, side) =>
      side ? (turns ? `${turns} turns ${side}` : `turned ${side}`) : "straight ahead",
    goes: (side) => `rack goes ${side}`,
    should: (side) => `rack should go ${side}`,
    inner: "inner",
    outer: "outer",
    wheel: { left: "left wheel", right: "right wheel" },
    front: "front",
    noPlan: (why) => `No drawing here: ${why}${why.endsWith(".") ? "" : "."}`,
    whole: "The whole car",
    centre: "turning centre",
    drawn:
      "Each front wheel’s axis runs to the line of the rear axle. They seldom meet in one point: the yellow stretch is where they disagree, the circle is taken round its middle. To scale, but for the size of tyres and body.",
    drawing: (name, caption) => `${markedName(name)}, from above. ${caption}`,
    toe: "Toe-out on turns",
    toeNone: "No curve as long as there is no drawing above.",
    chart: {
      inner: "angle of the inner wheel",
      toe_out: "toe-out",
      turns: "left ← turns of the steering wheel → right",
      fewTurns: "left ← turns → right",
      ratio: "ratio, to 1",
      rack: "this rack",
      left: "left turn",
      right: "right turn",
      ideal: "ideal",
      parallel: "parallel wheels",
    },
    ratio: "Ratio over the turn",
    ratioNone: (why) => `No curve yet: it ${why}.`,
    ratioColumns: ["Steering wheel", "Ratio"],
    tint: "The tint is the ±: by how much the curve may lie higher or lower at that place.",
    table: "The same as a table",
    columns: ["Turn", "Inner wheel", "Outer wheel", "Toe-out", "Ideal toe-out"],
    groups: /** @type {Record<string, string>} */ ({
      rack: "Rack and arms",
      ratio: "Ratio and travel",
      lock: "At lock",
      circle: "Turning circle",
      points: "Suspension and bumps",
      reserve: "Kept in reserve",
    }),
    bothSides: "left and right",
    findings: "What to mind",
    unchecked: "Not checked",
    assumed: "Taken for granted",
    unread: "Left out because it cannot be read",
    figures: "Every figure",
    figuresSub: "Tap one for what it means and what it rests on.",
    most: (what, share, side) => `Most of the ±${side ? ` (${side})` : ""}: ${what}, ${share} of its square.`,
    origin: "Limit",
    note: (what) => `Taken for granted: ${what}.`,
    noFindings: "Nothing to judge yet.",
    trio: { ratio_centre: "ratio on centre", turns: "turns lock to lock", circle_centre: "circle at the tyre’s centre" },
    rackOf: (name) => `${markedName(name)}, on your car.`,
    pick: "Rack shown",
  },
  strip: {
    label: "The rack shown, in short",
    ratio: "ratio on centre",
    turns: "turns lock to lock",
    circle: "circle, tyre’s centre",
    short: { ratio: "", turns: "turns", circle: "circle" },
    none: "No rack yet",
    toReason: "Go to the reason",
    dash: "–",
  },
  share: {
    label: "Address to share",
    title: (name) => `Donorack: ${name}`,
    select: "Copy this address:",
    local: "It can only be opened in this network: the page is served from a computer here.",
    plain: "Select it and copy it.",
    tooLong: (/** @type {number} */ now) =>
      `This plan is too long for a link: ${now} characters, and ${most.link} are read. Shorter notes and names, or fewer racks, make room. Nothing was sent.`,
  },
  caution:
    "A drawing board, not an approval. It knows the geometry in plan and nothing of strength, welds, wear or law. Steering can kill: what you build must satisfy the law where the car runs and a person licensed to judge it.",
  licences: "Licences of the parts this page is made of",
  privacy: "What you type stays on this phone, and in the link you share.",
};
