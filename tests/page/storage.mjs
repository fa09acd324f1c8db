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
