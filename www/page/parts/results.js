// What is looked up in the answers about the racks. Knows no screen.

const BADNESS = ["fail", "close", "missing", "pass"];

const sorted = new WeakMap();

/** The results of a rack by name, one or two of each. */
export function byName(rack) {
  let by = sorted.get(rack);
  if (by) return by;
  by = new Map();
  for (const r of rack.results) {
    if (by.has(r.name)) by.get(r.name).push(r);
    else by.set(r.name, [r]);
  }
  sorted.set(rack, by);
  return by;
}

/** The results of one name. */
export const results = (rack, name) => byName(rack).get(name) ?? [];

/** The result of a name that a short place shows: the one without a side, else the worse of the two; `better` "more" or "less". */
export function worse(rack, { name, better }) {
  const all = results(rack, name);
  const ok = all.filter((r) => r.status === "ok" && r.value !== null);
  return ok.sort((a, b) => (better === "more" ? a.value - b.value : b.value - a.value))[0] ?? all[0] ?? null;
}

/** The worst finding of the given names. */
export function worst(rack, names) {
  const found = rack.findings.filter((f) => f.judged !== false && names.includes(f.name));
  return found.sort((a, b) => BADNESS.indexOf(a.kind) - BADNESS.indexOf(b.kind))[0] ?? null;
}

/** The name by which a shown figure can be found: rack, result, side. */
export const hook = (i, result) =>
  [i, result.name, result.side].filter((part) => part !== "" && part !== null && part !== undefined).join(".");

// ---- side by side ----

// The questions that no figure answers, each with what is worth more.
const OTHERS = {
  direction: {
    findings: ["direction", "opposed"],
    worth: (rack) => BADNESS.indexOf(worst(rack, OTHERS.direction.findings)?.kind ?? "missing"),
  },
  line: { findings: [], worth: ({ line }) => (line.status === "found" ? line.to - line.from : -1) },
};

/** The questions in the order of their rows. */
export const QUESTIONS = ["direction", "line", "lock", "circle", "reserve", "transmission", "ratio", "turns", "ackermann"];

/** One question: the `result` that answers it, if any; the `findings` that judge it; the `racks` that the ± cannot tell from each. */
export const question = (view, key) => view.alike.find((a) => a.key === key) ?? { findings: OTHERS[key].findings, racks: [] };

/** The racks, the best first by one question; in the order of the plan for `null`. */
export function bestFirst(view, key) {
  const all = view.racks.map((_, i) => i);
  if (!key) return all;
  const { worth } = OTHERS[key] ?? {};
  return worth ? all.sort((a, b) => worth(view.racks[b]) - worth(view.racks[a])) : question(view, key).order;
}
