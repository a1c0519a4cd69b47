/** What must hold between targets, limits, hold points and what they watch. NaN never makes a problem here (fields.ts). */
import type { HoldCondition } from '../../protocol/index.ts';
import type { Channel } from './channel.ts';
import { checkLimits } from './check-limits.ts';
import type { Report } from './fields.ts';
import { kilopascals, megapascals } from './number-text.ts';
import { CONDITION_NEEDS } from './resolve/watches.ts';
import type { Rig } from './rig.ts';

export function checkWatches(rig: Rig, report: Report): void {
  checkFill(rig, report);
  checkVacuum(rig, report);
  checkLimits(rig, report);
  for (const channel of rig.channels) checkAgainst(rig, channel, report);
  checkHoldPoints(rig, report);
}

const channelOf = (rig: Rig, name: string): Channel | undefined => rig.channels.find((channel) => channel.name === name);

function checkAgainst(rig: Rig, { name, measures, against }: Channel, report: Report): void {
  if (against === undefined) return;
  const other = channelOf(rig, against);
  const path = ['channels', name, 'against'];
  if (other === undefined) report(path, `no channel "${against}" is described under channels; name one that should show the same`);
  else if (against === name) report(path, 'a channel cannot be held against itself; name another that should show the same');
  else if (other.measures !== measures)
    report(path, `${against} measures ${other.measures} and ${name} ${measures}; name one that measures the same`);
}

function checkFill(rig: Rig, report: Report): void {
  const { fill, reservoir } = rig;
  if (fill === undefined) return;
  if (channelOf(rig, 'reservoirPressure') === undefined)
    report(['fill'], 'a fill is watched by the channel reservoirPressure, and none is described; describe it, or remove fill', 'key');
  if (fill.targetPaGauge > reservoir.maximumFillPaGauge) {
    const [target, most] = [fill.targetPaGauge, reservoir.maximumFillPaGauge].map(megapascals);
    report(['fill', 'target'], `the target of ${target} gauge is above the maximum fill of ${most} gauge; lower it`);
  }
}

function checkVacuum(rig: Rig, report: Report): void {
  const { vacuum, assumedAir } = rig;
  if (vacuum === undefined) return;
  if (channelOf(rig, 'barrelVacuum') === undefined && channelOf(rig, 'barrelPressure') === undefined) {
    const what = 'a vacuum is watched by the channel barrelVacuum or else barrelPressure, and neither is described';
    report(['vacuum'], `${what}; describe one, or remove vacuum`, 'key');
  }
  if (vacuum.targetPa >= assumedAir.pressurePa.value) {
    const [target, air] = [vacuum.targetPa, assumedAir.pressurePa.value].map(kilopascals);
    report(['vacuum', 'target'], `the target of ${target} absolute is no vacuum where the air has ${air}; lower it`);
  }
}

function checkHoldPoints(rig: Rig, report: Report): void {
  for (const [i, point] of rig.holdPoints.entries()) {
    const before = rig.holdPoints.slice(0, i);
    if (before.some(({ id }) => id === point.id))
      report(['holdPoints', i, 'id'], `two hold points have the id ${point.id}; give one of them another`);
    else if (before.some(({ name }) => name === point.name))
      report(['holdPoints', i, 'name'], `two hold points have the name "${point.name}"; give one of them another`);
    if (point.by === 'condition' && !canBeTrue(rig, point.when))
      report(
        ['holdPoints', i, 'when'],
        `${point.when} can never be true, for the rig file has no ${CONDITION_NEEDS[point.when]}; describe that, or let the crew tick it`,
      );
  }
}

function canBeTrue(rig: Rig, condition: HoldCondition): boolean {
  if (condition === 'fill-settled') return rig.fill !== undefined;
  if (condition === 'vacuum-at-target') return rig.vacuum !== undefined;
  if (condition !== 'weather-fresh') return true;
  return channelOf(rig, 'airTemperature') !== undefined || channelOf(rig, 'airPressure') !== undefined;
}
