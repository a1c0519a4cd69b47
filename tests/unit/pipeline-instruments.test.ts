/** Every kind of instrument through the whole pipeline: records in, samples, counters, watches and what is latched out. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import { latch } from '../../host/pipeline/latch.ts';
import { convert } from '../../host/rig/index.ts';
import type { PipelineEvent, PosternRecord, SamplesEvent } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { HERON_YAML, runVirtualRange } from '../support/virtual-range.ts';

const INSTRUMENTS = readFileSync(new URL('../support/instruments.yaml', import.meta.url), 'utf8');
const AIR = { temperature: 285.2, pressure: 98_200, humidity: 0.61 };

const rigRecord = (text: string): PosternRecord => ({
  kind: 'rig',
  source: 'host',
  atNs: 0,
  value: { sessionId: 'cs-1', softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'rig.yaml', text },
});

function run(records: readonly PosternRecord[]) {
  let state = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  for (const record of [rigRecord(INSTRUMENTS), ...records]) {
    const [next, out] = step(state, record);
    state = next;
    events.push(...out);
  }
  return { state, events };
}

const reading = (atS: number, value: Readonly<Record<string, number>>): PosternRecord => ({
  kind: 'reading',
  source: 'weather',
  atNs: Math.round(atS * 1e9),
  value,
});
const line = (source: string, atS: number, text: string): PosternRecord => ({
  kind: 'line',
  source,
  atNs: Math.round(atS * 1e9),
  bytes: Buffer.from(text, 'latin1'),
});
const clock = (atS: number): PosternRecord => ({
  kind: 'clock',
  source: 'host',
  atNs: Math.round(atS * 1e9),
  value: { utcUs: 1e15 + atS * 1e6 },
});
const samplesOf = (events: readonly PipelineEvent[], channel: string): readonly SamplesEvent[] =>
  events.filter((event): event is SamplesEvent => event.type === 'samples' && event.channel === channel);

describe('samples', () => {
  test('of a driver’s readings and of a text instrument’s lines are in SI, absolute, at their arrival', () => {
    const { events } = run([reading(1, AIR), line('gauge', 2, 'P=31.25 bar'), line('wind', 3, '12.5;18.0;x;270')]);
    expect(samplesOf(events, 'airTemperature')).toMatchObject([{ fromNs: 1e9, valuesSi: [285.2] }]);
    expect(samplesOf(events, 'airHumidity')).toMatchObject([{ valuesSi: [0.61] }]);
    // The gauge reads above the air, which is measured.
    expect(known(samplesOf(events, 'gaugePressure')[0]?.valuesSi[0])).toBeCloseTo(31.25e5 + 98_200, 3);
    expect(known(samplesOf(events, 'tailwind')[0]?.valuesSi[0])).toBeCloseTo(5, 9);
  });

  test('that cannot be are none: what no channel reads, what is no number, what comes from nowhere', () => {
    const { events } = run([
      reading(1, { A9: 12, temperature: Number.NaN }),
      line('gauge', 2, 'P=--.-- bar'),
      line('wind', 3, '12.5;OL;x;270'),
      line('nobody', 4, 'P=3.0 bar'),
      { ...reading(5, AIR), source: 'gauge' },
    ]);
    expect(events.filter((event) => event.type === 'samples')).toEqual([]);
  });

  test('of a broken loop or a railed converter are told as a fault, and not latched', () => {
    const { state, events } = run([0, 0.1, 0.2, 0.3].map((s) => reading(1 + s, { A0: 4095 })));
    expect(events).toContainEqual(expect.objectContaining({ type: 'health', channel: 'barrelPressure', health: 'fault' }));
    expect(latch(state, known(state.rig), 2e9).barrelPressurePa).toBeUndefined();
  });
});

test('a text instrument’s lines are counted, and told about once a second with the last that could not be read', () => {
  const lines = Array.from({ length: 50 }, (_, i) => line('gauge', 1 + i / 10, i % 10 === 4 ? '\x1bnoise' : 'P=1.00 bar'));
  const { events } = run(lines);
  const told = events.filter((event) => event.type === 'text-lines');
  expect(told.length).toBeGreaterThanOrEqual(4);
  expect(told.length).toBeLessThanOrEqual(6);
  expect(told.at(-1)).toMatchObject({ source: 'gauge', unread: { 'no-match': expect.any(Number) }, lastUnread: '\\x1Bnoise' });
  expect(samplesOf(events, 'gaugePressure')).toHaveLength(45);
});

test('the wind that is measured is latched with the scatter of a gust, and falls back on the rig file when it is old', () => {
  const gusts = [1, 3, 2, 5, 4].map((mps, i) => line('wind', 10 + i, `0;${mps * 3.6};x;0`));
  const { state } = run(gusts);
  const { tailwindMps } = latch(state, known(state.rig), 14.5e9);
  expect(tailwindMps).toMatchObject({ origin: 'measured', unit: 'm/s' });
  expect(tailwindMps.value).toBeCloseTo(3, 9);
  // Sample deviation of 1 to 5 is 1.58 m/s; the instrument's own 1 km/h, k = 2, is 0.14.
  expect(tailwindMps.standardUncertainty).toBeCloseTo(Math.hypot(Math.sqrt(2.5), 0.5 / 3.6), 6);
  expect(latch(state, known(state.rig), 60e9).tailwindMps.origin).toBe('assumed');
});

test('gas that still cools is latched as it is at the firing, within its uncertainty', () => {
  // Twenty samples a second; the divider climbs by some 2 K/s.
  const counts = (s: number) => Math.round(1500 + 80 * s);
  const cooling = Array.from({ length: 200 }, (_, i) => reading(i / 20, { A1: counts(i / 20) }));
  const { state } = run(cooling);
  const rig = known(state.rig);
  const gas = known(latch(state, rig, 9.96e9).reservoirTemperatureK);
  const channel = known(rig.channels.find(({ name }) => name === 'reservoirTemperature'));
  const last = convert(channel, counts(9.95)).si;
  expect(Math.abs(convert(channel, counts(4.95)).si - last)).toBeGreaterThan(5);
  expect(Math.abs(gas.value - last)).toBeLessThan(2 * gas.standardUncertainty);
  expect(gas.standardUncertainty).toBeLessThan(1.5);
});

test('a weather sensor that falls silent is called disconnected as time passes', () => {
  const { events } = run([reading(1, AIR), reading(2, AIR), clock(3), clock(6), clock(9)]);
  expect(events).toContainEqual(expect.objectContaining({ type: 'health', channel: 'airTemperature', health: 'disconnected' }));
});

describe('a whole procedure on the simulated range, at its real pace', () => {
  const limits = `limits:\n  - { channel: reservoirPressure, above: 0.7 MPa gauge, clear: 20 kPa, message: Over the mark }`;
  const virtual = runVirtualRange({
    seed: 9,
    shots: 1,
    pace: 'real',
    setPoints: 'target',
    rigText: HERON_YAML.replace('limits:', limits),
  });
  const { events } = virtual;

  test('is told phase by phase', () => {
    const phases = events.flatMap((event) => (event.type === 'fill' ? [event.phase] : []));
    const changes = phases.filter((phase, i) => phase !== phases[i - 1]);
    // The blow-down is over before the watch can tell it from a leak.
    expect(changes.filter((phase) => phase !== 'falling')).toEqual(['unknown', 'empty', 'filling', 'settling', 'steady', 'empty']);
    const vacuum = events.flatMap((event) => (event.type === 'vacuum' ? [event.phase] : []));
    const order = ['open', 'pumping', 'rising'].map((phase) => vacuum.indexOf(phase as never));
    expect(order.every((place) => place >= 0)).toBe(true);
    expect(order).toEqual(order.toSorted((a, b) => a - b));
    expect(events.some((event) => event.type === 'weather' && event.speedOfSoundMps !== undefined)).toBe(true);
  });

  test('tells the vessel’s leak and the barrel’s as they are', () => {
    // 2.3e-5 of the gas a second, and 15 Pa/s (firmware-sim/world).
    const held = known(events.findLast((event) => event.type === 'fill' && event.hold !== undefined));
    const leak = known(held.type === 'fill' ? held.hold : undefined).leakPaPerS;
    expect(Math.abs(leak.value - 2.3e-5 * known(virtual.truth[0]).reservoirPressurePa)).toBeLessThan(3 * leak.standardUncertainty);
    const rising = known(events.findLast((event) => event.type === 'vacuum' && event.leakUp !== undefined));
    const rise = known(rising.type === 'vacuum' ? rising.leakUp : undefined).ratePaPerS;
    expect(Math.abs(rise.value - 15)).toBeLessThan(3 * rise.standardUncertainty);
  });

  test('ticks every condition of the hold points before the firing, and leaves the crew’s to the crew', () => {
    const lists = events.flatMap((event) => (event.type === 'hold-points' ? [event.points] : []));
    expect(lists.some((points) => points.every(({ by, done }) => done === (by === 'condition')))).toBe(true);
  });

  test('raises its alarm in the very step of the first sample over the limit, once', () => {
    const limitEvents = events.flatMap((event) => (event.type === 'limit' && event.words.includes('Over the mark') ? [event] : []));
    const [first] = limitEvents;
    expect(first).toMatchObject({ state: 'active', audible: true, severity: 'alarm' });
    expect(limitEvents.filter(({ audible }) => audible)).toHaveLength(1);
    const over = samplesOf(events, 'reservoirPressure').find(
      ({ stream, valuesSi }) => stream === 'slow' && Math.max(...valuesSi) > known(first?.limitSi),
    );
    expect(over?.atNs).toBe(first?.atNs);
  });

  test('ends in a blow-down whose valve opened after the firing, with an energy above the projectile’s', () => {
    const blowDown = known(events.find((event) => event.type === 'blow-down'));
    const shot = known(virtual.shots[0]);
    expect(blowDown.shotId).toBe(shot.id);
    expect(blowDown.openedAtS.value).toBeGreaterThan(0);
    expect(blowDown.openedAtS.value).toBeLessThan(0.01);
    expect(blowDown.energyDrawnJ.value).toBeGreaterThan(known(shot.muzzleEnergyJ).value);
    expect(known(blowDown.efficiency).value).toBeCloseTo(known(shot.muzzleEnergyJ).value / blowDown.energyDrawnJ.value, 9);
  });
});
