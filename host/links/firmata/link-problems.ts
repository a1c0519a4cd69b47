/** What is wrong behind a link that runs, one sentence a part, told together so that each record says the whole state. */
export type LinkPart = 'missing-pins' | 'silent-pins' | 'weather' | 'line';

export class LinkProblems {
  readonly #details = new Map<LinkPart, string>();

  /** @param detail  empty: nothing (any more) */
  set(part: LinkPart, detail: string): void {
    if (detail === '') this.#details.delete(part);
    else this.#details.set(part, detail);
  }

  has(part: LinkPart): boolean {
    return this.#details.has(part);
  }

  after(identity: string): string {
    return [identity, ...this.#details.values()].map(asSentence).join(' ');
  }
}

export const asSentence = (detail: string): string => `${detail.charAt(0).toUpperCase()}${detail.slice(1)}.`;
