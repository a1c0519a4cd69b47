/** Which samples of one channel have come, known by the count that each of them shows. Holds runs, not samples. */
export class Received {
  readonly #modulus: number;
  /** From, and to the one after the last; ascending, not touching. */
  #runs: (readonly [from: number, to: number])[] = [];
  #newest = 0;
  #twice = 0;

  /** @param modulus  at which the count goes round; a gap is less than half of it */
  constructor(modulus: number) {
    this.#modulus = modulus;
  }

  /** @returns its number, counted from 0 without going round */
  add(shown: number): number {
    const steps = (((shown - this.#newest) % this.#modulus) + this.#modulus) % this.#modulus;
    const index = this.#newest + (steps < this.#modulus / 2 ? steps : steps - this.#modulus);
    this.#newest = Math.max(this.#newest, index);
    this.#insert(index);
    return index;
  }

  get first(): number {
    return this.#runs[0]?.[0] ?? 0;
  }

  /** Different ones. */
  get count(): number {
    return this.#runs.reduce((sum, [from, to]) => sum + to - from, 0);
  }

  get twice(): number {
    return this.#twice;
  }

  /** Of the samples numbered `from` up to, not including, `to`. */
  missing(from: number, to: number): number {
    return this.#runs.reduce((left, run) => left - Math.max(0, Math.min(run[1], to) - Math.max(run[0], from)), Math.max(0, to - from));
  }

  /** Gaps between the first and the newest, as runs of numbers. */
  get gaps(): readonly (readonly [from: number, to: number])[] {
    return this.#runs.slice(1).map(([from], i) => [this.#runs[i]?.[1] ?? 0, from]);
  }

  #insert(index: number): void {
    let place = this.#runs.length;
    while (place > 0 && (this.#runs[place - 1] as readonly [number, number])[0] > index) place -= 1;
    const before = this.#runs[place - 1];
    const after = this.#runs[place];
    if (before && index < before[1]) {
      this.#twice += 1;
      return;
    }
    const from = before?.[1] === index ? before[0] : index;
    const to = after?.[0] === index + 1 ? after[1] : index + 1;
    this.#runs.splice(before?.[1] === index ? place - 1 : place, Number(from !== index) + Number(to !== index + 1), [from, to]);
  }
}
