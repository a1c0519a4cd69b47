/** How much the server takes of anybody. Beyond each bound somebody is told so, or cut off; the session goes on. */
import type { Allowance } from './budget.ts';

export interface ServeLimits {
  /** Pages that watch, in all. */
  readonly clientsMax: number;
  /** Connections of any kind: from this computer, and again as many from all others. */
  readonly connectionsMax: number;
  /** Of one other address; a whole crew may stand behind one. */
  readonly connectionsPerAddressMax: number;
  /** Requests, those for a WebSocket among them. */
  readonly requests: Allowance;
  readonly requestsPerAddress: Allowance;
  /** What writes. Far more than hands can do, and few enough that a page gone wild fills neither the journal nor the list of events. */
  readonly acts: Allowance;
  /** From the first byte, or the connecting, to the end of the head; and of the whole request. */
  readonly headMs: number;
  readonly requestMs: number;
  /** A connection on which nothing moves. */
  readonly idleMs: number;
  /** Of a request's head, its address included. */
  readonly headBytesMax: number;
}

/**
 * A page asks for some ten things when it opens, and then holds one connection: two hundred may open at once. Nobody by
 * hand comes near what one address may ask.
 */
export const SERVE_LIMITS: ServeLimits = {
  clientsMax: 256,
  connectionsMax: 512,
  connectionsPerAddressMax: 64,
  requests: { atOnce: 4_000, perS: 500 },
  requestsPerAddress: { atOnce: 400, perS: 20 },
  acts: { atOnce: 30, perS: 5 },
  headMs: 5_000,
  requestMs: 10_000,
  idleMs: 20_000,
  headBytesMax: 8 * 1024,
};

/** @param viewersMax  pages at a time; left out, as many as SERVE_LIMITS says. Connections follow it. */
export const limitsFor = (viewersMax = SERVE_LIMITS.clientsMax): Partial<ServeLimits> => ({
  clientsMax: viewersMax,
  connectionsMax: Math.max(SERVE_LIMITS.connectionsMax, 2 * viewersMax),
});
