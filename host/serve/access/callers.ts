/**
 * Who comes how often. Each address has a share of its own, so that one that goes wild leaves the others theirs.
 * Loopback has none: a proxy on this computer brings everybody, and whoever is on this computer can harm it otherwise.
 */
import { Budget } from './budget.ts';
import { isLoopback } from './host-name.ts';
import type { ServeLimits } from './limits.ts';

/** Addresses remembered; beyond it the one that was longest silent is forgotten. */
const ADDRESSES_KEPT = 1_024;

export class Callers {
  readonly #limits: ServeLimits;
  readonly #nowMs: () => number;
  readonly #all: Budget;
  readonly #requests = new Map<string, Budget>();
  readonly #connections = new Map<string, number>();
  #near = 0;
  #far = 0;

  /** @param nowMs  of a clock that only goes forward */
  constructor(limits: ServeLimits, nowMs: () => number) {
    this.#limits = limits;
    this.#nowMs = nowMs;
    this.#all = new Budget(limits.requests, nowMs);
  }

  get addressesKept(): number {
    return this.#requests.size;
  }

  /** @returns whether one more request may come from there */
  mayAsk(address: string): boolean {
    return (isLoopback(address) || this.#budgetOf(neighbourhood(address)).spend()) && this.#all.spend();
  }

  /**
   * A new connection from there.
   * @returns what to call when it is over; undefined where it is one too many
   */
  connect(address: string): (() => void) | undefined {
    const { connectionsMax, connectionsPerAddressMax } = this.#limits;
    if (isLoopback(address)) {
      if (this.#near >= connectionsMax) return undefined;
      this.#near += 1;
      return () => {
        this.#near -= 1;
      };
    }
    const key = neighbourhood(address);
    const open = this.#connections.get(key) ?? 0;
    if (this.#far >= connectionsMax || open >= connectionsPerAddressMax) return undefined;
    this.#far += 1;
    this.#connections.set(key, open + 1);
    return () => this.#disconnect(key);
  }

  #disconnect(key: string): void {
    this.#far -= 1;
    const left = (this.#connections.get(key) ?? 1) - 1;
    if (left === 0) this.#connections.delete(key);
    else this.#connections.set(key, left);
  }

  #budgetOf(key: string): Budget {
    const budget = this.#requests.get(key) ?? new Budget(this.#limits.requestsPerAddress, this.#nowMs);
    this.#requests.delete(key);
    this.#requests.set(key, budget);
    if (this.#requests.size > ADDRESSES_KEPT) {
      const [oldest] = this.#requests.keys();
      if (oldest !== undefined) this.#requests.delete(oldest);
    }
    return budget;
  }
}

/** Whoever has one IPv6 address has all of its network, the first four groups. */
function neighbourhood(address: string): string {
  const plain = address.replace(/%.*$/, '').replace(/^::ffff:(?=\d+\.)/i, '');
  if (!plain.includes(':')) return plain;
  const [head = '', tail] = plain.split('::');
  const before = head === '' ? [] : head.split(':');
  const after = tail === undefined || tail === '' ? [] : tail.split(':');
  const filled =
    tail === undefined ? before : [...before, ...Array<string>(Math.max(0, 8 - before.length - after.length)).fill('0'), ...after];
  return filled.slice(0, 4).join(':').toLowerCase();
}
