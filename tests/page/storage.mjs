// A browser's storage, as far as the page uses it: so many characters and no more.

/** A storage that holds at most `room` characters, keys included. */
export class Storage {
  #held = new Map();

  constructor(room = Infinity) {
    this.room = room;
  }

  get length() {
    return this.#held.size;
  }

  get used() {
    return [...this.#held].reduce((sum, [key, text]) => sum + key.length + text.length, 0);
  }

  key(i) {
    return [...this.#held.keys()][i] ?? null;
  }

  getItem(key) {
    return this.#held.get(key) ?? null;
  }

  setItem(key, text) {
    const before = this.#held.has(key) ? key.length + this.#held.get(key).length : 0;
    if (this.used - before + key.length + text.length > this.room) throw new DOMException("no room", "QuotaExceededError");
    this.#held.set(key, text);
  }

  removeItem(key) {
    this.#held.delete(key);
  }
}

/** Numbers from 0 up to 1 that a seed decides (mulberry32). */
export function random(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}
