/** A channel's pressure around a firing, with what happened when. */
import type { Shot } from '../../protocol/index.ts';
import { DISPLAY, type DisplaySystem } from '../units/index.ts';
import type { Chart, Layer } from './chart.ts';
import { flightOf } from './flight-of.ts';
import { envelope, highestPa, type PressureChannel, tracesOf } from './pressure-trace.ts';

export type { PressureChannel } from './pressure-trace.ts';

/** Below this a pressure is shown in the unit of a vacuum. */
const SMALL_PA = 4e5;
const WHOLE = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const;

export interface PressureChartOptions {
  readonly system?: DisplaySystem;
  /** What part of the time is drawn, ms since the firing; left out, all that was kept. */
  readonly windowMs?: readonly [number, number];
}

/** @returns undefined where the shot has no trace of that channel */
export function pressureChart(shot: Shot, channel: PressureChannel, options: PressureChartOptions = {}): Chart | undefined {
  const { system = 'SI', windowMs } = options;
  const traces = tracesOf(shot, channel);
  const highest = highestPa(traces, windowMs ?? WHOLE);
  if (!Number.isFinite(highest)) return undefined;
  const { symbol, fromSi } = pressureDisplay(highest, system);
  const name = CHANNEL_WORD[channel];
  return {
    title: `Shot ${shot.number}: ${name.toLowerCase()} pressure`,
    description: `${name} pressure, absolute, around the firing: ${eventsOf(shot)
      .map(({ label, atS }) => `${label} at ${(1e3 * atS).toFixed(2)} ms`)
      .join(', ')}.`,
    x: { label: 'Since the firing', unit: 'ms', ...(windowMs ? { span: windowMs } : {}) },
    y: { label: `${name}, absolute`, unit: symbol, least: 0 },
    layers: [
      ...traces.flatMap((trace): readonly Layer[] => {
        const columns = envelope(trace, windowMs ?? WHOLE).map(({ timeS, low, high }) => ({
          x: 1e3 * timeS,
          low: fromSi(low),
          high: fromSi(high),
        }));
        return [
          { kind: 'band', look: 0, points: columns, name: `${trace.stream} samples, lowest to highest` },
          { kind: 'line', look: 0, points: columns.map(({ x, low, high }) => ({ x, y: (low + high) / 2 })) },
        ];
      }),
      ...eventsOf(shot).map(({ label, atS, look }): Layer => ({ kind: 'rule', look, axis: 'x', at: 1e3 * atS, label })),
    ],
  };
}

export const CHANNEL_WORD: Readonly<Record<PressureChannel, string>> = { reservoirPressure: 'Reservoir', barrelPressure: 'Barrel' };

/** One unit for all of a chart. */
export const pressureDisplay = (highest: number, system: DisplaySystem) => DISPLAY[highest < SMALL_PA ? 'vacuum' : 'pressure'][system];

interface FiringEvent {
  readonly label: string;
  /** Since the firing, s. */
  readonly atS: number;
  readonly look: number;
}

/** Firing, valve, muzzle and each gate, as far as the shot knows them. */
function eventsOf(shot: Shot): readonly FiringEvent[] {
  const flight = flightOf(shot, 0);
  return [
    { label: 'fired', atS: 0, look: 4 },
    ...(shot.blowDown ? [{ label: 'valve', atS: shot.blowDown.openedAtS.value, look: 2 }] : []),
    ...(flight ? [{ label: 'muzzle', atS: flight.muzzleS, look: 3 }] : []),
    ...shot.passages.map(({ gate, timeS }) => ({ label: gate, atS: timeS, look: 5 })),
  ];
}
