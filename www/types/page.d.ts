// What the page's scripts share: the plan that is open, what the browser keeps of it, what is shown of it, and what a person can do.

import type { View } from "./core";
import type { Newer, Plan } from "./donorack";

/** The units that results are read in. */
export type Units = "mm" | "inch";

export type { Newer, Plan, PlanRack, PlanSection } from "./donorack";

// ---- the plan that is open ----

/** What one field holds, letter by letter. */
export interface Entry {
  text: string;
  unit: string;
  side: string;
}
export type Entries = Record<string, Entry>;

export interface DraftRack {
  name: string;
  note: string;
  mark: string | null;
  entries: Entries;
  /** Which of the two ways of measuring the travel is asked for. */
  travelBy: string | null;
  newer: Newer | null;
}

/** A plan as it is being typed. */
export interface Draft {
  id: string | null;
  name: string;
  invented: boolean;
  car: Entries;
  limits: Entries;
  racks: DraftRack[];
  /** Index of the rack that is shown. */
  chosen: number;
  /** Which of the two spacings is asked for. */
  spacing: string | null;
  linkFormat?: number | null;
  newer: Newer | null;
  carNewer?: Newer | null;
  limitsNewer?: Newer | null;
}

/** Where a field stands; `rack` only in section "rack". */
export type Place = { section: "car" | "limits"; rack: null; name: string } | { section: "rack"; rack: number; name: string };

/** What another tab did to the plan that is open here. */
export type Clash = "" | "changed" | "removed";

/** The plan that is open; only one of one's own has an id and a record. */
export type OpenPlan = (
  | { mode: "own"; id: string; raw: string | null }
  | { mode: "example" | "friend"; id: null; raw: null }
) & { draft: Draft; kept: boolean; clash: Clash; earlier?: string };

// ---- what the browser keeps ----

/** Which of two ways of measuring was asked for, where there are two. */
export interface Asked {
  spacing: string | null;
  travelBy: (string | null)[];
}

/** A plan's record: the plan as the core reads it, and `rest`, its fields letter by letter. */
export interface Kept {
  format: number;
  id: string;
  plan: Plan;
  rest: { car: Entries; limits: Entries; racks: Entries[] };
  asked: Asked;
  /** Of the last writing, by which tabs know each other's. */
  stamp?: string;
  /** When it was written last. */
  when?: number;
  /** When it was removed. */
  gone?: number;
}

/** By what one value of JSON differs from another. */
export interface Change {
  /** A value in place of the whole. */
  v?: Json;
  /** Members that differ. */
  o?: Record<string, Change>;
  /** Members that go. */
  x?: string[];
  /** Items that differ. */
  l?: Record<string, Change>;
  /** How many items stay at the start. */
  p?: number;
  /** How many items stay at the end. */
  s?: number;
  /** Items between those. */
  m?: Json[];
}

/** A value of JSON, not looked at yet. */
export type Json = ReturnType<typeof JSON.parse>;

/** A step back: the record before it, or by what that differs from the record of step `next`. */
export interface Step {
  /** What was changed, in words. */
  what: string;
  was?: Kept;
  delta?: Change;
  next?: number;
  /** The plan came into being with this step; `back` leads to the one that was open before. */
  born?: true;
  back?: string;
  /** The plan was split from another tab's at this step. */
  both?: { id: string; name: string };
}
/** A step with its number, which grows. */
export type NumberedStep = Step & { n: number };

/** What became of a store that takes nothing: no storage at all, or no room. */
export type Trouble = "" | "refused" | "full";

/** Why a plan lies beside one's own: it was kept, or held by the address; `null` where it came by a link. */
export type BesideKind = "kept" | "address";

/** What differs between one's own plan and one that lies beside it. */
export interface Difference {
  key: string;
  label: string;
  mine: string;
  theirs: string;
  /** Takes theirs over into a draft. */
  take(draft: Draft): void;
}

/** Where on the page a person was. */
export interface PagePlace {
  id: string;
  field: string | null;
  unfolded: string[];
  mark: { at: number; top: number } | null;
  parts: PartsInFront;
  pane: number;
}

// ---- what is shown ----

/** What you type, or what it says. */
export type Column = "typed" | "told";
/** The part chosen last, and the one in front in each column. */
export type PartsInFront = { chosen: string } & Record<Column, string>;

/** Everything that follows from a plan; `pending` while other racks than the one shown are still to follow. */
export type Answer = View & { pending?: boolean };

/** What the page shows, in one object. */
export interface State {
  /** Whether the page has started. */
  ready: boolean;
  /** Whether the plan that opens was open before: then it is shown where it was left, not from its top. */
  resumed: boolean;
  /** The plan of the example. */
  example: Plan | null;
  /** What follows from the plan as it stands. */
  view: Answer | null;
  /** What the figures show: the same, or the answer from before somebody typed, while a field is half typed. */
  shown: Answer | null;
  /** The plan that `shown` was worked out from. */
  shownPlan: Plan | null;
  /** Whether `shown` is the last good one. */
  stale: boolean;
  /** Why nothing could be worked out. */
  trouble: string;
  /** That a stopped core was replaced, until something else is done. */
  recovered: string;
  /** How many plans kept here cannot be read. */
  broken: number;
  /** Why the link in the address cannot be read; the address stays as it is as long as this says something. */
  linkProblem: string;
  /** That a plan stands as it was a step back, for its record could not be read. */
  earlier: string;
  /** The question by which the racks stand side by side, the best first. */
  sortedBy: string | null;
  /** The verdict that was announced last. */
  announced: string;
}

/** A field's elements, and what was shown in them last. */
export interface FieldParts {
  path: string;
  root: HTMLElement;
  /** None where it is a choice between two words. */
  input?: HTMLInputElement;
  unit?: HTMLElement;
  sides?: HTMLElement;
  under: HTMLElement;
  problem: HTMLElement;
  /** Whether its text was left as it cannot be read. */
  wrong: boolean;
  /** What it showed last. */
  key?: string;
  /** Of a limit: its origin and the button that turns it off. */
  limit?: { label: string; origin: HTMLElement; off: HTMLButtonElement };
}

// ---- what a person can do ----

/** A button in a note: one of the page's own actions, or something else to run. */
export interface NoteButton {
  what?: keyof ButtonActions;
  run?: () => void;
  label: string;
}

/** What a button does that names it in `data-do`; one of a rack is given the rack's index. */
export interface ButtonActions {
  start(): void;
  mine(): void;
  back(): void;
  drop(): void;
  example(): void;
  keep(): void;
  paste(): void;
  undo(): void;
  share(): void;
  reason(): void;
  choose(rack: number): void;
  "tab-theirs"(): void;
  "tab-mine"(): void;
  "tab-both"(): void;
  "add-rack"(): void;
  "first-rack"(): void;
  "copy-rack"(rack: number): void;
  "remove-rack"(rack: number): void;
  "up-rack"(rack: number): void;
  "down-rack"(rack: number): void;
}

/** Everything that a person can do. */
export interface Actions extends ButtonActions {
  typeText(path: string, text: string): void;
  chooseSide(path: string, side: string): void;
  changeUnit(path: string): void;
  toggleLimit(path: string): void;
  chooseSpacing(name: string): void;
  chooseTravelBy(rack: number, name: string): void;
  rackText(rack: number, what: "name" | "note", text: string): void;
  markRack(rack: number, word: string): void;
  sortBy(question: string): void;
  takeOver(differences: Difference[]): void;
  rename(name: string): void;
  /** Goes to a part. */
  goToPart(part: string): void;
  /** Goes on to the next number of the suspension's points. */
  nextPoint(): void;
  /** Sets readings of the rack shown, as a plan's file has them; `place` says where the rack is then. */
  setRack(readings: Record<string, string>, place: string): void;
  /** Takes that back. */
  putBack(): void;
  /** Where the rack shown was set by that, as long as it is; else empty. */
  wasSet(): string;
  /** Goes to a measurement by its path, or to a part. */
  goToField(path: string): void;
  /** Follows a pasted link; says why that cannot be done, or nothing. */
  followLink(link: string): string;
  open(id: string): void;
  /** Opens a plan a step back; tells whether that could be done. */
  earlier(id: string): boolean;
  removed(id: string): void;
  lookAtTheirs(): void;
  putAway(): void;
}

// ---- texts ----

/** The page's texts by name: one, a list, a group, or a sentence made of other words. A sentence made of anything but strings declares it. */
export type Texts = { [name: string]: string | readonly string[] | Texts | ((...words: string[]) => string) | Function };

// ---- the drawings of the tape ----

/** What a drawing is made of; `flip` stands mirrored left for right. */
export type Piece = SVGElement | Mirrored | null | Piece[];
export interface Mirrored {
  flip: SVGElement[];
}
export type Point = [x: number, y: number];

/** What the answers given so far make of the drawings, each 1 or -1; `bar` 0 as long as nobody has said which way it moves. */
export interface Answers {
  /** Arm ahead of the axis 1, behind -1. */
  fore: number;
  /** Rod end or contact patch inboard of the axis 1, outboard -1. */
  inboard: number;
  /** Rack line ahead of the tie-rod ends 1, behind -1. */
  rack: number;
  /** Which way the bar moves on the drawing, right 1. */
  bar: number;
  /** Rack's middle left of the car's 1, right -1. */
  off: number;
  /** Inner joints above the tie-rod ends 1, below -1. */
  high: number;
}
export type TapeDrawing = (answers: Answers) => Piece[];
