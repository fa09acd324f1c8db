// The whole car in plan view with both front wheels' spin axes up to the line of the rear axle. Made once, then only moved.

import { TYRE, WIDTH, alongAxis, placeCircle, placeLine, make, round, setAttributes, projection, two, placeTyre } from "./axle.js";
import { s, setText } from "../../widgets/dom.js";
import { words } from "../../words.js";

/** @import { AxleDrawing } from "../../../types/core" */

/** As far as a line is drawn, mm: beyond any picture. */
const FAR = 80000;

/** The drawing: `fit` it to the positions at the ends, then `move` it. */
export function wholeDrawing() {
  const p = {
    rear: make("line", "axis"),
    rays: two(() => make("line", "ray")),
    front: two(() => make("rect", "tyre")),
    back: two(() => make("rect", "tyre soft")),
    beam: make("line", "stub"),
    spine: make("line", "beam"),
    between: make("line", "between"),
    here: make("circle", "here", { r: 5 }),
    word: s("text", { "text-anchor": "middle" }, words.turning.centre),
  };
  const root = s("svg", { role: "img", class: "plan" }, p.rear, p.spine, p.rays, p.front, p.back, p.beam, p.between, p.here, p.word);
  let scale = 0;
  let edge = 0;
  let top = 0;

  /**
   * Chooses the scale so that both ends' turning centres are on the picture; false where there is none.
   * @type {(ends: (AxleDrawing | null)[], wheelbase: number | null | undefined) => boolean}
   */
  function fit(ends, wheelbase) {
    const centres = ends
      .flatMap((seen) => seen?.band ?? [])
      .map(Math.abs)
      .filter(Number.isFinite);
    if (!centres.length || !wheelbase) return false;
    const far = Math.min(Math.max(...centres), 30000);
    const wide = Math.max(...ends.flatMap((seen) => seen?.wheels ?? []).map((w) => Math.abs(w.contact[1])));
    edge = wide + 420;
    scale = (WIDTH - 8) / (far * 1.8 + edge);
    top = 440 * scale + 4;
    const size = `0 0 ${WIDTH} ${round((880 + wheelbase) * scale + 34)}`;
    if (root.getAttribute("viewBox") !== size) root.setAttribute("viewBox", size);
    return true;
  }

  /**
   * Moves everything to a position of the axle. Near straight ahead the car moves from one side of the drawing to the other.
   * @type {(seen: AxleDrawing) => void}
   */
  function move(seen) {
    const aside = Math.max(-1, Math.min(1, seen.share / 0.3)) * (seen.inner && (seen.inner === "left") !== seen.share > 0 ? -1 : 1);
    const d = projection(scale, [WIDTH / 2 + aside * (WIDTH / 2 - edge * scale), top]);
    const { band, centre, inner, wheelbase, wheels } = seen;
    const rear = -(wheelbase ?? 0);
    const wide = Math.max(...wheels.map((w) => Math.abs(w.contact[1])));
    placeLine(p.rear, d, [rear, FAR], [rear, -FAR]);
    placeLine(p.spine, d, [0, 0], [rear, 0]);
    placeLine(p.beam, d, wheels[0].axis, wheels[1].axis);
    for (const [n, w] of wheels.entries()) {
      // `band` is [outer, inner].
      const meets = band?.[(inner === "left") === (n === 0) ? 1 : 0];
      const near = meets !== undefined && Math.abs(meets) < FAR;
      placeLine(p.rays[n], d, inner ? w.contact : alongAxis(w, FAR), near ? [rear, meets] : alongAxis(w, inner === "left" ? FAR : -FAR));
      placeTyre(p.front[n], d, w.contact, seen.tyre ?? TYRE.width, w.steer);
      placeTyre(p.back[n], d, [rear, n ? -wide : wide], seen.tyre ?? TYRE.width, 0);
    }
    for (const node of [p.between, p.here, p.word]) node.classList.toggle("gone", !band);
    if (!band || centre === null) return;
    /** @type {(y: number) => number} */
    const inside = (y) => Math.max(-FAR, Math.min(FAR, y));
    placeLine(p.between, d, [rear, inside(band[0])], [rear, inside(band[1])]);
    placeCircle(p.here, d, [rear, inside(centre)]);
    const [x, y] = d.point([rear, centre]);
    p.word.classList.toggle("gone", x < 6 || x > WIDTH - 6);
    setAttributes(p.word, { x: round(Math.min(WIDTH - 52, Math.max(52, x))), y: round(y + 22) });
    setText(p.word, words.turning.centre);
  }

  return { root, fit, move };
}
