/** Collects, and wakes whoever waits, at each arrival. */
export class Arrivals<T> {
  readonly items: T[] = [];
  #waiting: (() => void)[] = [];

  add(item: T): void {
    this.items.push(item);
    for (const wake of this.#waiting.splice(0)) wake();
  }

  async until(done: (items: readonly T[]) => boolean): Promise<void> {
    while (!done(this.items)) await new Promise<void>((resolve) => this.#waiting.push(resolve));
  }

  /** Such an item, from the place `from` on. */
  async untilNext(from: number, isWanted: (item: T) => boolean): Promise<void> {
    await this.until((items) => items.slice(from).some(isWanted));
  }
}
