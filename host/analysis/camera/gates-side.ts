/** What the gates say of the flight nearest to what a camera saw. */
import type { Result, Shot } from '../../../protocol/index.ts';
import { type Estimate, input } from '../../metrology/index.ts';

/** Of a shot, what a camera is held against. */
export type CheckableShot = Pick<Shot, 'firedBy' | 'pairs' | 'passages' | 'muzzleVelocityMps' | 'air' | 'weighed'>;

export interface GatesSide {
  /** `datum`, or `pair A`. */
  readonly place: string;
  readonly positionM: number;
  readonly velocityMps: Result;
  readonly passage?: GatesPassage;
}

export interface GatesPassage {
  readonly gate: string;
  readonly positionM: number;
  /** Since the firing. */
  readonly timeS: Estimate;
}

/** k = 1, where a gate's own is not told. */
const PASSAGE_S = 1e-6;

/**
 * @param middleM  of what the camera saw
 * @returns undefined where the gates gave no speed; the passage only where the firing itself was timed
 */
export function gatesSide({ muzzleVelocityMps, pairs, passages, firedBy }: CheckableShot, middleM: number): GatesSide | undefined {
  const places = [
    ...pairs.map(({ name, positionM, velocityMps }) => ({ place: `pair ${name}`, positionM, velocityMps })),
    ...(muzzleVelocityMps ? [{ place: 'datum', positionM: 0, velocityMps: muzzleVelocityMps }] : []),
  ];
  const away = (positionM: number): number => Math.abs(positionM - middleM);
  const [nearest] = places.toSorted((a, b) => away(a.positionM) - away(b.positionM));
  if (!nearest) return undefined;
  const [gate] = passages.toSorted((a, b) => away(a.positionM) - away(b.positionM));
  if (!gate || firedBy !== 'trigger') return nearest;
  const known = { value: gate.timeS, standardUncertainty: gate.timeStandardUncertaintyS ?? PASSAGE_S };
  const timeS = input(`passage of gate ${gate.gate}`, 's', known);
  return { ...nearest, passage: { gate: gate.gate, positionM: gate.positionM, timeS } };
}
