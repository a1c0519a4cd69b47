/** How often something may be done: so many at once, and one more every so often after that. */
export interface Allowance {
  readonly atOnce: number;
  readonly perS: number;
}

export class Budget {
  readonly #allowance: Allowance;
  readonly #nowMs: () => number;
  #left: number;
  #atMs: number;

  /** @param nowMs  of a clock that only goes forward */
  constructor(allowance: Allowance, nowMs: () => number) {
    this.#allowance = allowance;
    this.#nowMs = nowMs;
    this.#left = allowance.atOnce;
    this.#atMs = nowMs();
  }

  /** @returns whether there was one to spend */
  spend(): boolean {
    const { atOnce, perS } = this.#allowance;
    const nowMs = this.#nowMs();
    this.#left = Math.min(atOnce, this.#left + (perS * (nowMs - this.#atMs)) / 1e3);
    this.#atMs = nowMs;
    if (this.#left < 1) return false;
    this.#left -= 1;
    return true;
  }
}
