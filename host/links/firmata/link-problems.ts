/** What is wrong with a link that runs, one sentence a part, told together so that each record says the whole state. */
export type LinkPart = 'missing-pins' | 'silent-pins' | 'weather' | 'line';

export class LinkProblems {
  readonly #details = new Map<LinkPart, string>();

  /** @param detail  empty: nothing (any more) */
  set(part: LinkPart, detail: string): void {
    if (detail === '') this.#details.delete(part);
    else this.#details.set(part, detail);
  }

  clear(): void {
    this.#details.clear();
  }

  after(identity: string): string {
    return [identity, ...this.#details.values()].join('; ');
  }
}
