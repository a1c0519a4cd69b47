import { GATES } from './heron.ts';
import type { Random } from './random.ts';

/** Faults of the range itself, by name. Faults of the line between board and host are in wires/faults.ts. */
export const RANGE_FAULTS = ['missed-gate', 'double-edge', 'fragments', 'blast', 'noise-burst', 'light-flicker'] as const;
export type RangeFault = (typeof RANGE_FAULTS)[number];

/** One input active (a beam blocked) from one moment to another, range time. */
export interface Occlusion {
  readonly input: number;
  readonly fromS: number;
  readonly toS: number;
}

/** Where and when the ball left the barrel: what film fragments start from. */
export interface MuzzleExit {
  readonly timeS: number;
  readonly speedMps: number;
}

/** One gate does not see the ball at all. */
export function missGate(occlusions: readonly Occlusion[], random: Random): readonly Occlusion[] {
  const gate = GATES[random.integer(GATES.length)];
  return occlusions.filter(({ input }) => input !== gate?.input);
}

/** The comparator of one gate chatters: its occlusion is broken by a gap of 1–4 µs soon after its start or before its end. */
export function chatter(occlusions: readonly Occlusion[], random: Random): readonly Occlusion[] {
  const chosen = random.integer(occlusions.length);
  const gapS = random.between(1e-6, 4e-6);
  const insetS = random.between(1e-6, 6e-6);
  const atStart = random.uniform() < 0.5;
  return occlusions.flatMap((o, i) => {
    if (i !== chosen || o.input === 0 || o.toS - o.fromS < 40e-6) return [o];
    const gapFromS = atStart ? o.fromS + insetS : o.toS - insetS - gapS;
    return [
      { ...o, toS: gapFromS },
      { ...o, fromS: gapFromS + gapS },
    ];
  });
}

/** Two to four pieces of the film fly ahead of the ball, blown out by the compressed air, and are soon slowed down. */
export function filmFragments(exit: MuzzleExit, random: Random): readonly Occlusion[] {
  const found: Occlusion[] = [];
  const count = 2 + random.integer(3);
  for (let i = 0; i < count; i++) {
    const speedMps = exit.speedMps * random.between(1.05, 1.5);
    const sizeM = random.between(0.003, 0.012);
    const startS = exit.timeS - random.between(0.2e-3, 0.8e-3);
    // Stopping distance of a scrap of film is a few metres.
    const rangeM = random.between(2, 6);
    for (const gate of GATES) {
      if (gate.positionM > rangeM * 1.5 || random.uniform() < 0.3) continue;
      const slowed = Math.exp(-gate.positionM / rangeM);
      const centreS = startS + ((1 / slowed - 1) * rangeM) / speedMps;
      const halfS = sizeM / (2 * speedMps * slowed);
      found.push({ input: gate.input, fromS: centreS - halfS, toS: centreS + halfS });
    }
  }
  return found;
}

/**
 * The muzzle blast runs down the range at a little over the speed of sound, bends the beams and shakes their mounts: at
 * each gate it reaches strongly enough, one to four flickers of 5–60 µs within a millisecond. A slow ball is overtaken.
 */
export function blast(exit: MuzzleExit, speedOfSoundMps: number, random: Random): readonly Occlusion[] {
  const speedMps = speedOfSoundMps * random.between(1.02, 1.25);
  return GATES.flatMap((gate) => {
    if (random.uniform() < 0.4) return [];
    const arrivalS = exit.timeS + gate.positionM / speedMps;
    return Array.from({ length: 1 + random.integer(4) }, () => {
      const fromS = arrivalS + random.between(0, 1e-3);
      return { input: gate.input, fromS, toS: fromS + random.between(5e-6, 60e-6) };
    });
  });
}

/** The valve's current couples into the gate lines: pulses of 0.5–3 µs on several inputs within 15 ms of the firing. */
export function noiseBurst(firedAtS: number, random: Random): readonly Occlusion[] {
  return Array.from({ length: 6 + random.integer(6) }, () => {
    const fromS = firedAtS + random.between(0.1e-3, 15e-3);
    return { input: GATES[random.integer(GATES.length)]?.input ?? 1, fromS, toS: fromS + random.between(0.5e-6, 3e-6) };
  });
}

/**
 * Lamps on the mains, or the sun through something that turns, dim all beams together a hundred times a second, for
 * 0.1–0.8 ms each time; each detector trips a little earlier or later than the next.
 */
export function lightFlicker(fromS: number, untilS: number, random: Random): readonly Occlusion[] {
  const dimS = random.between(0.1e-3, 0.8e-3);
  const found: Occlusion[] = [];
  for (let timeS = fromS + random.between(0, 0.01); timeS < untilS; timeS += 0.01) {
    for (const { input } of GATES) {
      const startS = timeS + random.between(-20e-6, 20e-6);
      found.push({ input, fromS: startS, toS: startS + dimS + random.between(-20e-6, 20e-6) });
    }
  }
  return found;
}

/** Occlusions of the same input that touch become one. @returns by start time */
export function mergeOcclusions(occlusions: readonly Occlusion[]): readonly Occlusion[] {
  const merged: Occlusion[] = [];
  for (const next of [...occlusions].sort((a, b) => a.input - b.input || a.fromS - b.fromS)) {
    const last = merged.at(-1);
    if (last && last.input === next.input && next.fromS <= last.toS)
      merged[merged.length - 1] = { ...last, toS: Math.max(last.toS, next.toS) };
    else merged.push(next);
  }
  return merged.sort((a, b) => a.fromS - b.fromS);
}
