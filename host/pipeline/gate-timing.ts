/** What makes the time of a passage uncertain. Effects are on observed minus predicted time, s per unit of the input. */
import { type Estimate, type Influence, input } from '../metrology/index.ts';
import { type Gate, type Rig, stampOf } from '../rig/index.ts';

/** One gate's passage, as the fit takes it. */
export interface TimedPassage {
  readonly gate: Gate;
  /** Projectile's centre in the beam, since the firing, s. */
  readonly timeS: number;
  /** undefined where one edge only was usable. */
  readonly occlusionS: number | undefined;
  /** Half the span of the places where other edges at this gate would put the passage, s; 0 where nothing disturbs it. */
  readonly ambiguityS: number;
  /** One of its edges at least was stamped by the board's program: then all are taken to be as uncertain as that. */
  readonly softwareTimed?: true;
}

export interface TimeBase {
  /** Relative, k = 1, of the tick rate against host time. */
  readonly rateStandardUncertainty: number;
  /** Of that; absent where it is claimed and not measured. */
  readonly rateDegreesOfFreedom?: number;
  readonly tickS: number;
  /** Offset between the firing board's clock and each other board's, s, k = 1. */
  readonly offsetStandardUncertaintyS: Readonly<Record<string, number>>;
  readonly firingBoard: string;
}

export interface TimingInput {
  readonly of: Estimate;
  readonly effect: number;
}

/** The host's own oscillator, against which every board's rate is measured: ±20 ppm (common practice), rectangular. */
const HOST_CLOCK_RELATIVE = 20e-6 / Math.sqrt(3);
/** What a board's oscillator has drifted since its rate was measured, some seconds to a minute before (common practice). */
const CLOCK_DRIFT_RELATIVE = 1e-6;
/** A lone edge leaves the half-chord unknown by about this much, m, k = 1: ball and beams are aligned to millimetres. */
const LONE_EDGE_M = 1e-3;

/**
 * The independent inputs of one passage, and the standard uncertainty that they give its time together.
 *
 * A ball that passes a beam y to the side of where its place was measured, at an angle θ from square, meets it y·θ away.
 * Both are known to be about 0: of their product the standard uncertainty is that of the second order, u(y)·u(θ)
 * (JCGM 100:2008, 5.1.2, note).
 */
export function timingInputs(
  passage: TimedPassage,
  velocityMps: number,
  time: TimeBase,
  rig: Rig,
): { readonly inputs: readonly TimingInput[]; readonly standardUncertaintyS: number } {
  const { gate } = passage;
  const edges = passage.occlusionS === undefined ? 1 : 2;
  const stamp = stampOf(rig, gate.board, !passage.softwareTimed);
  const of = (what: string, unit: string, standardUncertainty: number, effect: number): TimingInput => ({
    of: input(`gate ${gate.name} ${what}`, unit, { value: 0, standardUncertainty }),
    effect,
  });
  const inputs = [
    { of: input(`gate ${gate.name} position`, 'm', gate.positionM), effect: -1 / velocityMps },
    of('beam angle', 'm', rig.sidewaysStandardUncertaintyM * gate.squarenessStandardUncertaintyRad, -1 / velocityMps),
    { of: input(`gate ${gate.name} delay`, 's', gate.delayS), effect: -1 },
    { of: input(`gate ${gate.name} stamp delay`, 's', stamp.delayS), effect: -1 },
    ...(stamp.jitterS > 0 ? [of('stamp jitter', 's', stamp.jitterS / Math.sqrt(edges), 1)] : []),
    of('edge jitter', 's', gate.jitterS / Math.sqrt(edges), 1),
    of('tick quantisation', 's', time.tickS / Math.sqrt(12 * edges), 1),
    ...(passage.ambiguityS > 0 ? [of('disturbed edges', 's', passage.ambiguityS, 1)] : []),
    ...(edges === 1 ? [of('chord (one edge only)', 'm', LONE_EDGE_M, 1 / velocityMps)] : []),
  ];
  const standardUncertaintyS = Math.hypot(...inputs.map((part) => part.effect * (part.of.terms[0]?.standardUncertainty ?? 0)));
  // A rig file may claim perfection; a weight cannot be infinite.
  return { inputs, standardUncertaintyS: Math.max(standardUncertaintyS, 1e-9) };
}

/** Standard deviation of one edge's time, by detector and board together, s. */
export const edgeJitterS = ({ gate, softwareTimed }: Pick<TimedPassage, 'gate' | 'softwareTimed'>, rig: Rig): number =>
  Math.hypot(gate.jitterS, stampOf(rig, gate.board, !softwareTimed).jitterS);

/** Gates on another board than the firing's share that board's clock offset. */
export function boardOffsets(passages: readonly TimedPassage[], time: TimeBase): readonly Influence[] {
  const others = [...new Set(passages.map((p) => p.gate.board))].filter((board) => board !== time.firingBoard);
  return others.map((board) => ({
    of: input(`clock offset of ${board}`, 's', { value: 0, standardUncertainty: time.offsetStandardUncertaintyS[board] ?? 0 }),
    effect: passages.map((p) => (p.gate.board === board ? 1 : 0)),
  }));
}

/** A tape that is too long by a part makes every place too short by that part of it. */
export function tape(passages: readonly TimedPassage[], velocitiesMps: readonly number[], rig: Rig): Influence {
  return {
    of: input('scale of the tape', '1', { value: 1, standardUncertainty: rig.tapeRelativeStandardUncertainty }),
    effect: passages.map((passage, i) => -passage.gate.positionM.value / (velocitiesMps[i] as number)),
  };
}

export function clockRate(passages: readonly TimedPassage[], time: TimeBase): readonly Influence[] {
  const effect = passages.map((p) => p.timeS);
  const degrees = time.rateDegreesOfFreedom === undefined ? {} : { degreesOfFreedom: time.rateDegreesOfFreedom };
  return [
    { of: input('board clock rate', '1', { value: 1, standardUncertainty: time.rateStandardUncertainty, ...degrees }), effect },
    { of: input('board clock drift', '1', { value: 0, standardUncertainty: CLOCK_DRIFT_RELATIVE }), effect },
    { of: input('host clock rate', '1', { value: 1, standardUncertainty: HOST_CLOCK_RELATIVE }), effect },
  ];
}
