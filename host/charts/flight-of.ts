/**
 * The flight of a shot between the muzzle datum and the target, as its results tell it: speed by place and by time.
 *
 * Slowness (1/speed) is a polynomial of the place: it meets the speeds at both ends, and its integrals between gates are
 * the times that the fit gives there. One drag coefficient alone would be out by metres a second where a sphere's drag
 * changes fourfold in a tenth of a Mach number. For drawing, not for measuring; docs/pages/shots.md says how near it is.
 */
import type { GatePassage, Shot } from '../../protocol/index.ts';
import { polynomialBy } from './polynomial-by.ts';

export interface Flight {
  /** Of the muzzle datum's passage, s since the firing. */
  readonly muzzleS: number;
  /** How far it is told, m from the muzzle datum. */
  readonly toM: number;
  /** @param placeM  m from the muzzle datum */
  readonly speedMps: (placeM: number) => number;
  /** Since the firing, s. */
  readonly timeS: (placeM: number) => number;
  /**
   * Half-width of the 95 % interval, m/s. Between muzzle and target it is the straight line between theirs, which is never
   * too narrow: a standard uncertainty is the length of a vector, and that of a vector in between is no longer than the
   * ends' in their shares (the triangle's inequality).
   */
  readonly halfMps: (placeM: number) => number;
}

/** More would let the polynomial swing. */
const GATES_MAX = 4;
/** A curve further than this from a straight change of slowness is none that a ball can fly. */
const STRAY_MAX = 0.2;

/**
 * @param targetPositionM  0 where it is not known: then the flight is told up to the last gate
 * @returns undefined where the shot has no muzzle velocity or no passage to time it by
 */
export function flightOf(
  { muzzleVelocityMps: muzzle, targetVelocityMps: target, passages }: Shot,
  targetPositionM: number,
): Flight | undefined {
  const [first] = passages;
  const last = passages.at(-1);
  if (!muzzle || !first || !last || !(muzzle.value > 0)) return undefined;
  const end = target && target.value > 0 && targetPositionM > 0 ? target : undefined;
  const toM = end ? targetPositionM : last.positionM;
  if (!(toM > 0)) return undefined;
  const ends = [1 / muzzle.value, ...(end ? [1 / end.value] : [])];
  const straight = polynomialBy(
    ends.map((value, i) => ({ at: i, value })),
    [],
  );
  const told = curveOf(ends, passages, toM);
  const curve = told && isNear(told, straight) ? told : straight;
  if (!curve) return undefined;
  const sinceMuzzleS = (placeM: number): number => toM * curve.integral(placeM / toM);
  const muzzleS = fittedS(first) - sinceMuzzleS(first.positionM);
  const halves = [muzzle.expandedUncertainty, (end ?? muzzle).expandedUncertainty] as const;
  return {
    muzzleS,
    toM,
    speedMps: (placeM) => 1 / curve.value(placeM / toM),
    timeS: (placeM) => muzzleS + sinceMuzzleS(placeM),
    halfMps: (placeM) => halves[0] + ((halves[1] - halves[0]) * placeM) / toM,
  };
}

/** Evenly over the flight. */
export const placesOf = ({ toM }: Flight, count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => (i * toM) / (count - 1));

/** By the fit, not as measured: what one beam's place is out by is no bend of the flight. */
const fittedS = ({ timeS, residualS = 0 }: GatePassage): number => timeS - residualS;

type Curve = ReturnType<typeof polynomialBy>;

/** Over places in parts of `toM`. */
function curveOf(ends: readonly number[], passages: readonly GatePassage[], toM: number): Curve {
  const count = Math.min(GATES_MAX, passages.length);
  const gates = Array.from(
    { length: count },
    (_, i) => passages[Math.round((i * (passages.length - 1)) / Math.max(1, count - 1))] as GatePassage,
  );
  return polynomialBy(
    ends.map((value, at) => ({ at, value })),
    gates.slice(1).map((gate, i) => {
      const before = gates[i] as GatePassage;
      return { from: before.positionM / toM, to: gate.positionM / toM, integral: (fittedS(gate) - fittedS(before)) / toM };
    }),
  );
}

function isNear(curve: NonNullable<Curve>, straight: Curve): boolean {
  const places = Array.from({ length: 21 }, (_, i) => i / 20);
  return places.every((at) => Math.abs(curve.value(at) / (straight?.value(at) ?? Number.NaN) - 1) < STRAY_MAX);
}
