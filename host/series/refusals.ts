/**
 * A server refuses a batch because of some of its points. Which, it does not say; halving finds them, so that each is
 * told with its reason and all others are sent. To send a point twice is no harm.
 */
import type { LineSender, SendOutcome } from './sender.ts';

export interface Refusal {
  readonly line: string;
  readonly reason: string;
}

export interface PickedOutcome {
  /** Never `refused`: what was, is in the refusals. */
  readonly outcome: Exclude<SendOutcome, { readonly what: 'refused' }>;
  /** How many were refused, and the first few of them. */
  readonly refused: number;
  readonly refusals: readonly Refusal[];
}

const REFUSALS_SHOWN = 8;
/** A batch of nothing but refused points would cost twice as many requests as it has points. */
const REQUESTS_MAX = 150;
/** A series that was refused goes in a batch of its own, so as not to have every batch halved for its sake. */
const SUSPECTS_MAX = 1_000;

export class PickySender {
  readonly #sender: LineSender;
  readonly #suspects = new Set<string>();

  constructor(sender: LineSender) {
    this.#sender = sender;
  }

  async send(lines: readonly string[]): Promise<PickedOutcome> {
    const good = this.#suspects.size === 0 ? lines : lines.filter((line) => !this.#suspects.has(seriesOf(line)));
    const bad = good.length === lines.length ? [] : lines.filter((line) => this.#suspects.has(seriesOf(line)));
    const first = await this.#pick(good);
    if (first.outcome.what !== 'taken' || bad.length === 0) return first;
    const second = await this.#sendSuspects(bad);
    return {
      outcome: second.outcome,
      refused: first.refused + second.refused,
      refusals: [...first.refusals, ...second.refusals].slice(0, REFUSALS_SHOWN),
    };
  }

  /** Each series that is refused again is refused as a whole, with the server's reason; one that is taken is trusted again. */
  async #sendSuspects(lines: readonly string[]): Promise<PickedOutcome> {
    let refused = 0;
    const refusals: Refusal[] = [];
    for (const [series, own] of bySeries(lines)) {
      const outcome = await this.#sender.send(own);
      if (outcome.what === 'later') return { outcome, refused, refusals };
      if (outcome.what === 'taken') this.#suspects.delete(series);
      else {
        if (this.#suspects.size < SUSPECTS_MAX) this.#suspects.add(series);
        refused += own.length;
        if (refusals.length < REFUSALS_SHOWN) refusals.push({ line: own[0] as string, reason: outcome.reason });
      }
    }
    return { outcome: { what: 'taken' }, refused, refusals };
  }

  async #pick(lines: readonly string[]): Promise<PickedOutcome> {
    let requests = 0;
    let refused = 0;
    const refusals: Refusal[] = [];
    const waiting: (readonly string[])[] = lines.length === 0 ? [] : [lines];
    for (let part = waiting.pop(); part !== undefined; part = waiting.pop()) {
      const outcome = await this.#sender.send(part);
      requests += 1;
      if (outcome.what === 'later') return { outcome, refused, refusals };
      if (outcome.what === 'taken') continue;
      if (part.length > 1 && requests >= REQUESTS_MAX) {
        // So many refusals are those of whole series.
        const rest = await this.#sendSuspects([...part, ...waiting.reverse().flat()]);
        return {
          outcome: rest.outcome,
          refused: refused + rest.refused,
          refusals: [...refusals, ...rest.refusals].slice(0, REFUSALS_SHOWN),
        };
      }
      if (part.length > 1) {
        const middle = part.length >> 1;
        waiting.push(part.slice(middle), part.slice(0, middle));
        continue;
      }
      const line = part[0] as string;
      refused += 1;
      if (this.#suspects.size < SUSPECTS_MAX) this.#suspects.add(seriesOf(line));
      if (refusals.length < REFUSALS_SHOWN) refusals.push({ line, reason: outcome.reason });
    }
    return { outcome: { what: 'taken' }, refused, refusals };
  }
}

/** Measurement and tags: up to the first blank that no backslash stands before. */
export const seriesOf = (line: string): string => /^(?:\\.|[^ \\])*/.exec(line)?.[0] ?? line;

function bySeries(lines: readonly string[]): ReadonlyMap<string, readonly string[]> {
  const all = new Map<string, string[]>();
  for (const line of lines) {
    const series = seriesOf(line);
    const own = all.get(series);
    if (own) own.push(line);
    else all.set(series, [line]);
  }
  return all;
}

const LINE_SHOWN_MAX = 200;
export const shortLine = (line: string): string => (line.length > LINE_SHOWN_MAX ? `${line.slice(0, LINE_SHOWN_MAX)}…` : line);
