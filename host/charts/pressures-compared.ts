import type { DisplaySystem } from '../units/index.ts';
import type { Chart } from './chart.ts';
import { CHANNEL_WORD, pressureDisplay } from './pressure-chart.ts';
import { envelope, highestPa, type PressureChannel, tracesOf } from './pressure-trace.ts';
import { shotWindowMs } from './shot-window.ts';
import type { ShotToDraw } from './velocity-chart.ts';

/** A channel's pressure around the firings of several shots, one over the other. @returns undefined where none has a trace of it */
export function pressuresCompared(
  shots: readonly Pick<ShotToDraw, 'shot' | 'name'>[],
  channel: PressureChannel,
  system: DisplaySystem = 'SI',
): Chart | undefined {
  const windows = shots.map(({ shot }) => shotWindowMs(shot));
  const windowMs = [Math.min(...windows.map(([from]) => from)), Math.max(...windows.map(([, to]) => to))] as const;
  const drawn = shots.map((one, look) => ({ ...one, look, traces: tracesOf(one.shot, channel) })).filter(({ traces }) => traces.length > 0);
  const highest = Math.max(...drawn.map(({ traces }) => highestPa(traces, windowMs)));
  if (!Number.isFinite(highest)) return undefined;
  const { symbol, fromSi } = pressureDisplay(highest, system);
  const word = CHANNEL_WORD[channel];
  return {
    title: `${word} pressure of ${drawn.length} ${drawn.length === 1 ? 'shot' : 'shots'}`,
    description: `${word} pressure, absolute, around the firings of ${drawn.map(({ name }) => name).join(', ')}.`,
    x: { label: 'Since the firing', unit: 'ms', span: windowMs },
    y: { label: `${word}, absolute`, unit: symbol, least: 0 },
    layers: [
      ...drawn.flatMap(({ name, look, traces }) =>
        traces.map((trace, i) => ({
          kind: 'line' as const,
          look,
          ...(i === 0 ? { name } : {}),
          points: envelope(trace, windowMs).map(({ timeS, low, high }) => ({ x: 1e3 * timeS, y: fromSi((low + high) / 2) })),
        })),
      ),
      { kind: 'rule', look: 4, axis: 'x', at: 0, label: 'fired' },
    ],
  };
}
