// What was typed and is not answered yet, kept by the browser in the order in
// which it was typed. Each fact has its number, so that sending it again changes nothing.

const key = "flutewright.told";

/**
 * @typedef {object} Told
 * @property {string} fact its number
 * @property {string} to address of its form
 * @property {string} body as the form is sent
 * @property {string} words for whoever typed it
 * @property {string} [why] the desk's reason, where it was refused
 */

export class Outbox {
  /** @param {Storage} store */
  constructor(store) {
    this.store = store;
    /** @type {Told[] | undefined} what the browser would not keep: then the page alone does */
    this.here = undefined;
  }

  /** @returns {boolean} whether what waits outlasts the page */
  lasts() { return this.here === undefined; }

  /** @returns {Told[]} */
  all() {
    if (this.here) return this.here;
    try {
      return JSON.parse(this.store.getItem(key) ?? "[]");
    } catch {
      return []; // not ours
    }
  }

  /** @param {Told[]} list */
  keep(list) {
    try {
      if (list.length) this.store.setItem(key, JSON.stringify(list));
      else this.store.removeItem(key);
      this.here = undefined;
    } catch {
      this.here = list; // its room is full
    }
  }

  waiting() { return this.all().filter((f) => f.why === undefined); }

  refused() { return this.all().filter((f) => f.why !== undefined); }

  /** @param {string} fact */
  has(fact) { return this.all().some((f) => f.fact === fact); }

  /** @param {Told} told */
  put(told) { this.keep([...this.all(), told]); }

  /** @param {string} fact */
  drop(fact) { this.keep(this.all().filter((f) => f.fact !== fact)); }

  /** @param {string} fact @param {string} why */
  refuse(fact, why) { this.keep(this.all().map((f) => (f.fact === fact ? { ...f, why } : f))); }
}
