/** What must hold of the file's limits: an id of its own, and values that the channel can pass and come back from. */
import type { LimitSummary } from '../../protocol/index.ts';
import type { Channel } from './channel.ts';
import { conversionRange } from './conversion.ts';
import type { Report } from './fields.ts';
import { limitsOf } from './limits.ts';
import { kilopascals, megapascals } from './number-text.ts';
import type { Rig } from './rig.ts';

export function checkLimits(rig: Rig, report: Report): void {
  checkIds(rig, report);
  checkFillIsSeen(rig, report);
  for (const [i, limit] of rig.limits.entries()) {
    const channel = rig.channels.find(({ name }) => name === limit.channel);
    if (channel === undefined) continue;
    if (limit.kind === 'above' || limit.kind === 'below') checkLevel(rig, limit, channel, i, report);
    else checkRate(limit, i, report);
  }
}

/** The crew acknowledge by it: those of the vessel, of channels held against each other and by place count too. */
function checkIds(rig: Rig, report: Report): void {
  const others = limitsOf({ ...rig, limits: [] }).map(({ id }) => id);
  for (const [i, { id }] of rig.limits.entries()) {
    const before = rig.limits.slice(0, i).findIndex((limit) => limit.id === id);
    if (before >= 0) report(['limits', i, 'id'], `the id ${id} is that of limit ${before + 1} in this list too; give one of them another`);
    else if (others.includes(id)) report(['limits', i, 'id'], `the id ${id} is that of a limit that is there by itself; write another`);
  }
}

/** Or nobody would be told of a fill beyond it. */
function checkFillIsSeen(rig: Rig, report: Report): void {
  const channel = rig.channels.find(({ name }) => name === 'reservoirPressure');
  const fill = channel && limitsOf(rig).find(({ id }) => id === 'maximum-fill');
  if (!channel || !fill) return;
  const [, highSi] = reachOf(rig, channel);
  const { thresholdSi, doubtSi } = asChannelReads(rig, fill, channel);
  const most = megapascals(rig.reservoir.maximumFillPaGauge);
  if (thresholdSi - doubtSi >= highSi)
    report(
      ['reservoir', 'maximumFill'],
      `reservoirPressure reads up to ${siText(highSi, channel)} only and would never pass the maximum fill of ${most} gauge; correct one of the two`,
    );
}

/** A limit that the channel cannot pass never says anything; one that it is always beyond says nothing new. */
function checkLevel(rig: Rig, limit: LimitSummary, channel: Channel, index: number, report: Report): void {
  const { kind, clearSi } = limit;
  if (kind !== 'above' && kind !== 'below') return;
  const [lowSi, highSi] = reachOf(rig, channel);
  const { thresholdSi, doubtSi } = asChannelReads(rig, limit, channel);
  // Mirrored, so that beyond is always upwards.
  const sign = kind === 'above' ? 1 : -1;
  const [nearSi, farSi] = sign === 1 ? [lowSi, highSi] : [-highSi, -lowSi];
  const limitSi = sign * thresholdSi;
  const at = ['limits', index, kind];
  const ends = { far: siText(sign * farSi, channel), near: siText(sign * nearSi, channel) };
  const [farEnd, nearEnd] = kind === 'above' ? ['up', 'down'] : ['down', 'up'];
  if (limitSi - doubtSi >= farSi)
    report(at, `${channel.name} reads ${farEnd} to ${ends.far} only and would never pass this limit; correct one of the two`);
  else if (limitSi + doubtSi < nearSi)
    report(at, `${channel.name} reads ${nearEnd} to ${ends.near} only and would always be beyond this limit; correct one of the two`);
  else if (limitSi - clearSi + doubtSi < nearSi)
    report(
      ['limits', index, 'clear'],
      `it would be over when back by ${differenceText(clearSi, channel)}, and ${channel.name} reads ${nearEnd} to ${ends.near} only; write a smaller clear`,
    );
}

function checkRate({ thresholdSi, clearSi, kind }: LimitSummary, index: number, report: Report): void {
  // At rest a rate is nothing, which must be far enough back.
  if (kind !== 'differs-from' && clearSi >= thresholdSi)
    report(['limits', index, 'clear'], 'the limit would not be over while nothing changes; write a clear that is smaller than the limit');
}

/** Where nothing states a range: no absolute pressure, temperature or ratio is below zero. */
function reachOf({ assumedAir }: Rig, { conversion, measures, reference }: Channel): readonly [number, number] {
  const stated = conversionRange(conversion);
  if (stated !== undefined) return stated;
  if (measures === 'speed' || measures === 'voltage') return [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  return [reference === 'gauge' ? -assumedAir.pressurePa.value : 0, Number.POSITIVE_INFINITY];
}

/** Between gauge and absolute lies the pressure of the air, which is known as well as the file says (k = 2). */
function asChannelReads(
  { assumedAir }: Rig,
  { thresholdSi, reference }: LimitSummary,
  channel: Channel,
): { readonly thresholdSi: number; readonly doubtSi: number } {
  if (channel.measures !== 'pressure' || reference === channel.reference) return { thresholdSi, doubtSi: 0 };
  const { value, standardUncertainty } = assumedAir.pressurePa;
  return { thresholdSi: thresholdSi + (reference === 'gauge' ? value : -value), doubtSi: 2 * standardUncertainty };
}

function siText(si: number, { unit, reference }: Channel): string {
  if (unit === 'Pa') return `${pascals(si)} ${reference}`;
  return `${Number(si.toPrecision(6))}${unit === '1' ? '' : ` ${unit}`}`;
}

const pascals = (si: number): string => (Math.abs(si) >= 1e6 ? megapascals(si) : kilopascals(si));
const differenceText = (si: number, { unit }: Channel): string =>
  unit === 'Pa' ? pascals(si) : `${Number(si.toPrecision(6))}${unit === '1' ? '' : ` ${unit}`}`;
