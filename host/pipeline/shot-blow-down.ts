/** What the reservoir's trace says of a closed shot: when the valve opened, how far the pressure fell, what the gas gave. */
import type { BlowDownEvent, PressureTrace, Shot } from '../../protocol/index.ts';
import { input } from '../metrology/index.ts';
import { drivingGas } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import { blowDownOf } from './watches/index.ts';

/** The rig file states the volume without ±; vessels are known to about so much, relative (common practice). */
const VOLUME_RELATIVE = 0.01;
/** Nitrogen at some MPa stands off its ideal ratio of specific heats by some hundredths (from memory). */
const GAMMA_U = 0.03;

/** @returns undefined where no trace shows the valve opening */
export function shotBlowDown(shot: Shot, rig: Rig, atNs: number): BlowDownEvent | undefined {
  const gas = drivingGas(rig.reservoir.gas);
  const gauge = rig.channels.find((channel) => channel.name === 'reservoirPressure');
  if (!gas || !gauge) return undefined;
  const { volumeM3 } = rig.reservoir;
  const energy = shot.muzzleEnergyJ;
  for (const trace of byWorth(shot.traces)) {
    const found = blowDownOf({
      shotId: shot.id,
      atNs,
      trace,
      standardUncertaintyPa: gauge.standardUncertaintySi,
      volumeM3: { value: volumeM3, standardUncertainty: VOLUME_RELATIVE * volumeM3 },
      gamma: { value: gas.gamma, standardUncertainty: GAMMA_U },
      exitAtS: muzzleTimeS(shot),
      ...(energy ? { muzzleEnergyJ: input('energy at the muzzle', 'J', energy) } : {}),
    });
    if (found) return found;
  }
  return undefined;
}

/** Bursts first: they tell the opening to a fraction of a millisecond. */
function byWorth(traces: readonly PressureTrace[]): readonly PressureTrace[] {
  const reservoir = traces.filter(({ channel }) => channel === 'reservoirPressure');
  return [...reservoir.filter(({ stream }) => stream === 'burst'), ...reservoir.filter(({ stream }) => stream === 'slow')];
}

/** By the first gate and the muzzle velocity; the ball loses some parts in a thousand on the way there. */
function muzzleTimeS({ passages, muzzleVelocityMps }: Shot): number | undefined {
  const [first] = passages;
  return first && muzzleVelocityMps ? first.timeS - first.positionM / muzzleVelocityMps.value : undefined;
}
