/**
 * How many acts a session takes: far more than hands can do, and few enough that a page gone wild fills neither the
 * journal nor the list of events. Each act costs one, and one comes back every so often.
 */
const ACTS_AT_ONCE = 30;
const ACTS_PER_S = 5;

export class ActBudget {
  readonly #nowMs: () => number;
  #left = ACTS_AT_ONCE;
  #atMs: number;

  /** @param nowMs  of a clock that only goes forward */
  constructor(nowMs: () => number) {
    this.#nowMs = nowMs;
    this.#atMs = nowMs();
  }

  /** @returns whether there was one to spend */
  spend(): boolean {
    const nowMs = this.#nowMs();
    this.#left = Math.min(ACTS_AT_ONCE, this.#left + (ACTS_PER_S * (nowMs - this.#atMs)) / 1e3);
    this.#atMs = nowMs;
    if (this.#left < 1) return false;
    this.#left -= 1;
    return true;
  }
}
