/** The gates' clockwork held against gravity: no gas, no shot, and an expected speed that owes nothing to the gates but their spacing. */
import { agreementScore, combine, type Estimate, expandedUncertainty, input } from '../../metrology/index.ts';
import { type BeamBlock, beamBlocks, type GateEdge } from './beam-blocks.ts';
import { type DropSetup, type ExpectedFall, expectedFall } from './expected-fall.ts';
import { type BoardClock, type Drop, dropsAmong } from './measured-fall.ts';

export interface DropCheck {
  readonly expected: ExpectedFall;
  readonly drops: readonly Drop[];
  /** Blocks at the two gates that no drop can have made. */
  readonly otherBlocks: readonly BeamBlock[];
  /** Of all drops together; absent where there is none. */
  readonly found?: {
    /** Mean speed between the beams as the gates have it, less the expected one, over that. */
    readonly relativeDifference: Estimate;
    /** E_n: |E_n| ≤ 1 where both agree within their expanded uncertainties. */
    readonly score: number;
    /** By how much each alone would have to be more than stated (the clock: count too fast) to explain the difference. */
    readonly explainedBy: { readonly spacingM: number; readonly heightM: number; readonly clockRelative: number };
  };
}

export function dropCheck(edges: readonly GateEdge[], setup: DropSetup, clock: BoardClock): DropCheck {
  const expected = expectedFall(setup);
  const names = setup.gates.map(({ name }) => name);
  const blocks = beamBlocks(edges).filter(({ gate }) => names.includes(gate));
  const drops = dropsAmong(blocks, { ...setup, expected, clock });
  const used = new Set(drops.flatMap((drop) => drop.blocks));
  const otherBlocks = blocks.filter((block) => !used.has(block));
  if (drops.length === 0) return { expected, drops, otherBlocks };
  const relativeDifference = meanDifference(drops, expected);
  // Held against nothing at all: the difference itself has the uncertainty of both.
  const score = agreementScore(
    { value: relativeDifference.value, expandedUncertainty: expandedUncertainty(relativeDifference) },
    { value: 0, expandedUncertainty: 0 },
  );
  return { expected, drops, otherBlocks, found: { relativeDifference, score, explainedBy: explained(relativeDifference.value, expected) } };
}

/** Speeds go as one over the times, so expected time over measured time less one. */
function meanDifference(drops: readonly Drop[], expected: ExpectedFall): Estimate {
  const values = drops.map(({ timeS }) => expected.timeS.value / timeS.value - 1);
  const mean = values.reduce((sum, value) => sum + value, 0) / drops.length;
  const scatter = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, drops.length - 1));
  return combine(mean, [
    { of: expected.timeS, partial: 1 / expected.timeS.value },
    ...drops.map(({ timeS }) => ({ of: timeS, partial: -1 / timeS.value / drops.length })),
    ...(drops.length < 3
      ? []
      : [
          {
            of: input('scatter of the drops', '1', {
              value: 0,
              standardUncertainty: scatter / Math.sqrt(drops.length),
              degreesOfFreedom: drops.length - 1,
            }),
            partial: 1,
          },
        ]),
  ]);
}

function explained(relative: number, { timeS, speedsMps: [upperMps, lowerMps] }: ExpectedFall) {
  const missingS = timeS.value / (1 + relative) - timeS.value;
  // A longer way adds time at the lower beam; a higher release makes the ball faster at both.
  return {
    spacingM: missingS * lowerMps,
    heightM: missingS / (1 / lowerMps - 1 / upperMps),
    clockRelative: missingS / timeS.value,
  };
}
