/** A gauge pressure is shown absolute, so the barometer is in it: nothing may be found of the gauge that the barometer did. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Random, randomStream } from '../../firmware-sim/world/random.ts';
import { INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import type { PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import { known } from '../support/known.ts';

/** All on the text instrument and the weather board; the reservoir's pressure comes from a gauge of 0.01 bar. */
const RIG = readFileSync(new URL('../support/instruments.yaml', import.meta.url), 'utf8')
  .replace(/ {2}reservoirPressure:\n(?: {4}.*\n)+/, '')
  .replace('gaugePressure:\n    measures: pressure', 'reservoirPressure:')
  .concat('assumedAir: { temperature: 12 °C ± 15 K, pressure: 98 kPa absolute ± 5 kPa, humidity: 60 % ± 40 %, staleAfter: 120 s }\n');

interface Course {
  /** What the gauge shows, bar. */
  readonly gaugeBar: (s: number, random: Random) => number;
  /** Pa; undefined where it says nothing. */
  readonly airPa: (s: number, random: Random) => number | undefined;
}

function run({ gaugeBar, airPa }: Course, lengthS: number, rig = RIG): readonly PipelineEvent[] {
  const random = randomStream(11, 'gauge-and-barometer');
  const value = { sessionId: 'cs-1', softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'rig.yaml', text: rig };
  let state = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  const take = (record: PosternRecord): void => {
    const [next, out] = step(state, record);
    state = next;
    events.push(...out);
  };
  take({ kind: 'rig', source: 'host', atNs: 0, value });
  for (let tick = 1; tick <= 10 * lengthS; tick++) {
    const s = tick / 10;
    const atNs = tick * 1e8;
    const bytes = Buffer.from(`P=${gaugeBar(s, random).toFixed(2)} bar`, 'latin1');
    take({ kind: 'line', source: 'gauge', atNs, bytes });
    const pressure = airPa(s, random);
    if (tick % 10 === 0 && pressure !== undefined) {
      take({ kind: 'reading', source: 'weather', atNs: atNs + 1e6, value: { temperature: 285, pressure, humidity: 0.6 } });
    }
    if (tick % 5 === 0) take({ kind: 'clock', source: 'host', atNs: atNs + 2e6, value: { utcUs: 1e15 + s * 1e6 } });
  }
  return events;
}

const wandering = (s: number, random: Random): number => 98_200 + 300 * Math.sin(s / 97) + 3 * random.normal();
const healthOf = (events: readonly PipelineEvent[]) =>
  events.flatMap((event) => (event.type === 'health' && event.channel === 'reservoirPressure' ? [event] : []));
const phasesOf = (events: readonly PipelineEvent[]) => {
  const phases = events.flatMap((event) => (event.type === 'fill' ? [event.phase] : []));
  return phases.filter((phase, i) => phase !== phases[i - 1]);
};

describe('a gauge that freezes while the barometer wanders', () => {
  const noisy = (_: number, random: Random) => 12 + 0.012 * random.normal();
  const events = run({ gaugeBar: (s, random) => (s < 120 ? noisy(s, random) : 12.01), airPa: wandering }, 300);

  test('is found stuck within 40 s, at ten samples a second and noise of a step', () => {
    expect(healthOf(events).map(({ health }) => health)).toEqual(['healthy', 'stuck']);
    const stuck = healthOf(events)[1];
    expect(stuck?.atNs).toBeGreaterThan(120e9);
    expect(stuck?.atNs).toBeLessThan(160e9);
    expect(stuck?.lastValueSi).toBeCloseTo(1.201e6 + 98_200, -3);
  });

  test('and is not while it lives', () => {
    expect(healthOf(run({ gaugeBar: noisy, airPa: wandering }, 300)).map(({ health }) => health)).toEqual(['healthy']);
  });
});

describe('the first reading of the air, 7 kPa from what the rig file assumed, and its loss and its return', () => {
  // The weather sensor is older than staleAfter between 200 s and 360 s.
  const airPa = (s: number): number | undefined => (s < 20 || (s > 80 && s < 360) ? undefined : 105_000);
  const held = { gaugeBar: (_: number, random: Random) => 12 + 0.012 * random.normal(), airPa };

  test('fills nothing, empties nothing, and moves the reservoir’s absolute pressure', () => {
    const events = run(held, 400);
    expect(phasesOf(events)).toEqual(['unknown', 'steady']);
    const fills = events.flatMap((event) => (event.type === 'fill' ? [event] : []));
    const shown = (s: number) => known(fills.findLast((event) => event.atNs < s * 1e9));
    for (const [s, ambientPa] of [
      [20, 98_000],
      [30, 105_000],
      [300, 98_000],
      [390, 105_000],
    ] as const) {
      const event = shown(s);
      expect(event.pressurePa.value).toBeGreaterThan(1.2e6 + ambientPa - 3000);
      expect(event.pressurePa.value).toBeLessThan(1.2e6 + ambientPa + 3000);
      expect(event.words).toMatch(/1\.(19|20)\d MPa gauge/);
    }
  });

  test('raises no limit of a rate, nor of a gauge pressure that is 3 kPa away', () => {
    const limits = `limits:
  - { channel: reservoirPressure, risingFasterThan: 300 kPa/min }
  - { channel: reservoirPressure, fallingFasterThan: 300 kPa/min }
  - { channel: reservoirPressure, above: 12.08 bar gauge }
`;
    const events = run(held, 60, RIG.replace('limits:\n', limits));
    expect(events.flatMap((event) => (event.type === 'rig-rejected' ? event.problems : []))).toEqual([]);
    expect(events.filter((event) => event.type === 'limit')).toEqual([]);
  });
});
