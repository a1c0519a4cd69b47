/** What the gates say of one drop: the time from the middle of the one beam to the middle of the other. */
import { combine, type Estimate, input } from '../../metrology/index.ts';
import { type Gate, type Rig, stampOf } from '../../rig/index.ts';
import type { BeamBlock } from './beam-blocks.ts';
import type { ExpectedFall } from './expected-fall.ts';

export interface BoardClock {
  readonly tickS: number;
  /** Relative, k = 1, of its rate. */
  readonly rateStandardUncertainty: number;
}

export interface Drop {
  /** At the upper beam and at the lower. */
  readonly blocks: readonly [BeamBlock, BeamBlock];
  readonly timeS: Estimate;
}

/** Where in the beam a detector trips, both ends together (common practice for a beam of 1 mm), m, k = 1. */
const BEAM_EDGES_M = 0.1e-3;
/** The host's own oscillator: ±20 ppm (common practice), rectangular. */
const HOST_CLOCK_RELATIVE = 20e-6 / Math.sqrt(3);
/** Times are told by a difference of two that may be expected half as long or half as long again. */
const TIME_SHARE = { min: 0.5, max: 1.5 } as const;
/** A ball beside the beam's middle blocks it for less than its diameter. */
const BLOCK_SHARE = { min: 0.4, max: 1.2 } as const;

/** Pairs of blocks, one at each gate, that a ball falling through both may have made; each block in one at most. */
export function dropsAmong(
  blocks: readonly BeamBlock[],
  {
    rig,
    gates,
    expected,
    clock,
  }: { readonly rig: Rig; readonly gates: readonly [Gate, Gate]; readonly expected: ExpectedFall; readonly clock: BoardClock },
): readonly Drop[] {
  const names = gates.map(({ name }) => name);
  const mine = blocks.filter(({ gate }) => names.includes(gate));
  const drops: Drop[] = [];
  for (let i = 0; i + 1 < mine.length; i++) {
    const pair = [mine[i], mine[i + 1]] as [BeamBlock, BeamBlock];
    if (!isDrop(pair, expected)) continue;
    drops.push({ blocks: pair, timeS: fallTime(pair, drops.length + 1, { rig, gates, expected, clock }) });
    i += 1;
  }
  return drops;
}

function isDrop([upper, lower]: readonly [BeamBlock, BeamBlock], { timeS, speedsMps, ball }: ExpectedFall): boolean {
  if (upper.gate === lower.gate) return false;
  const share = (middleOf(lower) - middleOf(upper)) / timeS.value;
  const lengths = [upper, lower].map((block, i) => ((block.toS - block.fromS) * (speedsMps[i] as number)) / ball.diameterM);
  return [share].every((s) => s > TIME_SHARE.min && s < TIME_SHARE.max) && lengths.every((s) => s > BLOCK_SHARE.min && s < BLOCK_SHARE.max);
}

const middleOf = ({ fromS, toS }: BeamBlock): number => (fromS + toS) / 2;

/**
 * The ball gets faster while it crosses a beam: its centre is in it later than half-way between the edges, by g·c²/2v³
 * for half a chord of c at speed v (a fall of constant acceleration, to the third order in c).
 */
function fallTime(
  pair: readonly [BeamBlock, BeamBlock],
  number: number,
  {
    rig,
    gates,
    expected,
    clock,
  }: { readonly rig: Rig; readonly gates: readonly [Gate, Gate]; readonly expected: ExpectedFall; readonly clock: BoardClock },
): Estimate {
  const ends = pair.map((block, i) => {
    const gate = gates.find(({ name }) => name === block.gate) as Gate;
    const speedMps = expected.speedsMps[i] as number;
    const halfChordM = ((block.toS - block.fromS) * speedMps) / 2;
    const lateS = (expected.ball.gravityMps2 * halfChordM ** 2) / (2 * speedMps ** 3);
    const stamp = stampOf(rig, gate.board, block.hardwareTimed);
    const sign = i === 0 ? -1 : 1;
    const drop = (what: string, unit: string, standardUncertainty: number, effect = 1) => ({
      of: input(`drop ${number}, gate ${gate.name} ${what}`, unit, { value: 0, standardUncertainty }),
      partial: sign * effect,
    });
    return {
      atS: middleOf(block) + lateS - gate.delayS.value - stamp.delayS.value,
      parts: [
        { of: input(`gate ${gate.name} delay`, 's', gate.delayS), partial: sign },
        { of: input(`gate ${gate.name} stamp delay`, 's', stamp.delayS), partial: sign },
        {
          of: input(`gate ${gate.name} where the detector trips`, 'm', { value: 0, standardUncertainty: BEAM_EDGES_M }),
          partial: sign / speedMps,
        },
        drop('edge jitter', 's', Math.hypot(gate.jitterS, stamp.jitterS) / Math.SQRT2),
        drop('tick quantisation', 's', clock.tickS / Math.sqrt(24)),
      ],
    };
  });
  const timeS = (ends[1]?.atS ?? Number.NaN) - (ends[0]?.atS ?? Number.NaN);
  const rate = { value: 1, standardUncertainty: Math.hypot(clock.rateStandardUncertainty, HOST_CLOCK_RELATIVE) };
  return combine(timeS, [...ends.flatMap(({ parts }) => parts), { of: input('clocks', '1', rate), partial: timeS }]);
}
