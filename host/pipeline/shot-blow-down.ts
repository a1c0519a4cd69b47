/** What the reservoir's trace says of a closed shot: when the valve opened, how far the pressure fell, what the gas gave. */
import type { BlowDown, BlowDownEvent, PressureTrace, SessionNs, Shot } from '../../protocol/index.ts';
import { input } from '../metrology/index.ts';
import { drivingGas } from '../physics/index.ts';
import type { Rig } from '../rig/index.ts';
import { blowDownOf, blowDownWords } from './watches/index.ts';

/** The rig file states the volume without ±; vessels are known to about so much, relative (common practice). */
const VOLUME_RELATIVE = 0.01;
/** Nitrogen at some MPa stands off its ideal ratio of specific heats by some hundredths (from memory). */
const GAMMA_U = 0.03;

/**
 * @returns undefined where no trace surely shows this firing's valve opening. A shot that is timed by an edge at a gate has
 *   no moment of firing that the opening could be held against.
 */
function shotBlowDown(shot: Shot, rig: Rig): BlowDown | undefined {
  if (shot.firedBy === 'first edge') return undefined;
  const gas = drivingGas(rig.reservoir.gas);
  const gauge = rig.channels.find((channel) => channel.name === 'reservoirPressure');
  if (!gas || !gauge) return undefined;
  const { volumeM3 } = rig.reservoir;
  const energy = shot.muzzleEnergyJ;
  for (const trace of byWorth(shot.traces)) {
    const found = blowDownOf({
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

/** A closed shot with its blow-down, and the event that tells it. */
export function withBlowDown(shot: Shot, rig: Rig, atNs: SessionNs): readonly [Shot, readonly BlowDownEvent[]] {
  const blowDown = shotBlowDown(shot, rig);
  if (!blowDown) return [shot, []];
  return [{ ...shot, blowDown }, [{ type: 'blow-down', atNs, shotId: shot.id, ...blowDown, words: blowDownWords(blowDown, shot.firedBy) }]];
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
