import type { FillPhase, VacuumPhase } from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import { isUnfit } from './health.ts';
import type { Judgement } from './judgement.ts';
import { type Facts, own } from './state.ts';

const no = (detail: string): Judgement => ({ holds: false, detail });

/** Once within its band a pressure is out of it by this share more. */
const LEAVES_SHARE = 0.1;
const widened = (bandPa: number, wasDone: boolean): number => (wasDone ? (1 + LEAVES_SHARE) * bandPa : bandPa);

const FILL_WORDS: Readonly<Record<Exclude<FillPhase, 'steady'>, string>> = {
  unknown: 'too early to say',
  empty: 'the reservoir is empty, as it reads',
  filling: 'still filling',
  settling: 'the gas is still settling',
  falling: 'the pressure is falling',
};

/** Settled is settled: a forecast that it will come to rest within the band is not enough. */
export function fillSettled({ fill: wanted }: Rig, { fill, healths }: Facts, wasDone: boolean): Judgement {
  if (!wanted) return no('the rig file names no fill target');
  if (!fill) return no('no reservoir pressure yet');
  if (isUnfit(own(healths, fill.channel))) return no(`the transducer is ${own(healths, fill.channel)}`);
  if (fill.targetPa === undefined) return no('no target is set');
  if (fill.phase !== 'steady') return no(FILL_WORDS[fill.phase]);
  const offPa = fill.pressurePa.value - fill.targetPa;
  if (Math.abs(offPa) <= widened(fill.bandPa, wasDone)) return { holds: true, detail: 'settled within the band of the target' };
  return no(offPa > 0 ? 'settled above the band of the target' : 'settled below the band of the target');
}

const VACUUM_WORDS: Readonly<Record<VacuumPhase, string>> = {
  unknown: 'too early to say',
  open: 'the barrel is open to the air',
  pumping: 'still being pumped down',
  base: 'the pump does no more, and the target is below that',
  rising: 'above the target and rising',
  venting: 'air is being let in',
};

export function vacuumAtTarget({ vacuum: wanted }: Rig, { vacuum, healths }: Facts, wasDone: boolean): Judgement {
  if (!wanted) return no('the rig file names no vacuum target');
  if (!vacuum) return no('no barrel pressure yet');
  if (isUnfit(own(healths, vacuum.channel))) return no(`the transducer is ${own(healths, vacuum.channel)}`);
  // NaN is not at the target.
  if (vacuum.pressurePa.value <= wanted.targetPa + widened(wanted.bandPa, wasDone))
    return { holds: true, detail: 'within the band of the target, or below' };
  return no(VACUUM_WORDS[vacuum.phase]);
}
