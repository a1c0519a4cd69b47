/** Faults of the line from board to host, by name: each takes the bytes of one frame and gives what arrives instead. */
import type { Random } from '../world/random.ts';

export const LINE_FAULTS = ['corrupt', 'drop', 'truncate', 'duplicate', 'garbage'] as const;
export type LineFault = (typeof LINE_FAULTS)[number];

export type ByteFault = (bytes: Uint8Array, random: Random) => Uint8Array;

const corrupt: ByteFault = (bytes, random) => {
  const damaged = Uint8Array.from(bytes);
  const at = random.integer(damaged.length);
  damaged[at] = (damaged[at] as number) ^ (1 << random.integer(8));
  return damaged;
};

const drop: ByteFault = () => new Uint8Array(0);

const truncate: ByteFault = (bytes, random) => bytes.slice(0, random.integer(bytes.length));

const duplicate: ByteFault = (bytes) => Uint8Array.from([...bytes, ...bytes]);

const garbage: ByteFault = (bytes, random) =>
  Uint8Array.from([...Array.from({ length: 1 + random.integer(200) }, () => random.integer(256)), ...bytes]);

export const BYTE_FAULTS: Readonly<Record<LineFault, ByteFault>> = { corrupt, drop, truncate, duplicate, garbage };

/** @param probability  of each fault for one frame */
export function lineFaults(names: readonly LineFault[], probability: number): ByteFault {
  return (bytes, random) =>
    names.reduce((now, name) => (now.length > 0 && random.uniform() < probability ? BYTE_FAULTS[name](now, random) : now), bytes);
}
