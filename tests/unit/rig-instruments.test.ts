/** A rig file with an instrument of every kind: what comes out of it, in SI. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Channel, convert, limitsOf, loadRig, type Rig, summarise } from '../../host/rig/index.ts';

const TEXT = readFileSync(new URL('../support/instruments.yaml', import.meta.url), 'utf8');

function load(text: string): Rig {
  const read = loadRig(text, 'instruments.yaml');
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.rig;
}

const rig = load(TEXT);

function channel(name: string): Channel {
  const found = rig.channels.find((candidate) => candidate.name === name);
  if (found === undefined) throw new Error(`no channel ${name}`);
  return found;
}

describe('boards', () => {
  it('are of three kinds, with their defaults', () => {
    expect(rig.boards).toEqual([
      {
        kind: 'gate-board',
        name: 'gate-board',
        path: './wires/gate-board',
        baudRate: 500_000,
        tickRateHz: { value: 16e6, standardUncertainty: expect.closeTo(800 / Math.sqrt(3), 9) },
        capture: { delayS: { value: 0, standardUncertainty: expect.closeTo(62.5e-9 / Math.sqrt(3), 14) }, jitterS: 0 },
        software: {
          delayS: { value: expect.closeTo(5e-6, 14), standardUncertainty: expect.closeTo(5e-6 / Math.sqrt(3), 14) },
          jitterS: expect.closeTo(2e-6, 14),
        },
        analogBits: 16,
      },
      {
        kind: 'firmata',
        name: 'weather',
        path: './wires/weather',
        baudRate: 57_600,
        bme280Address: 0x76,
        samplingIntervalS: 0.02,
        analogBits: 12,
      },
      {
        kind: 'text',
        name: 'gauge',
        serialNumber: 'A50285BI',
        baudRate: 9600,
        layout: { by: 'pattern', pattern: 'P=(?<pressure>[-+]?\\d+\\.\\d+) bar' },
        poll: { text: 'READ?', everyS: 0.5 },
      },
      {
        kind: 'text',
        name: 'wind',
        path: './wires/wind',
        baudRate: 4800,
        layout: { by: 'columns', columns: ['time', 'speed', undefined, 'heading'], separator: ';' },
      },
    ]);
  });
});

describe('channels', () => {
  it.each<[name: string, measures: string, unit: string, source: number | string, reference: string, u: number]>([
    ['reservoirPressure', 'pressure', 'Pa', 0, 'gauge', 7500],
    ['barrelPressure', 'pressure', 'Pa', 'A0', 'absolute', 250],
    ['reservoirTemperature', 'temperature', 'K', 'A1', 'absolute', 0.5],
    ['barrelTemperature', 'temperature', 'K', 'A2', 'absolute', 0.5],
    // −10 + 0.04 x + 2e-6 x² kPa is 2.18 at 300 and 170.88 at 3800.
    ['pumpPressure', 'pressure', 'Pa', 'A3', 'absolute', 843.5],
    ['airTemperature', 'temperature', 'K', 'temperature', 'absolute', 0.5],
    ['airPressure', 'pressure', 'Pa', 'pressure', 'absolute', 50],
    ['airHumidity', 'ratio', '1', 'humidity', 'absolute', 0.015],
    ['gaugePressure', 'pressure', 'Pa', 'pressure', 'gauge', 15_250],
    ['tailwind', 'speed', 'm/s', 'speed', 'absolute', 0.5 / 3.6],
  ])('%s', (name, measures, unit, source, reference, u) => {
    const found = channel(name);
    expect(found).toMatchObject({ measures, unit, reference });
    expect(found.source).toEqual(typeof source === 'number' ? { kind: 'number', channel: source } : { kind: 'name', reads: source });
    expect(found.standardUncertaintySi).toBeCloseTo(u, 9);
  });

  it.each<[name: string, raw: number, si: number]>([
    // 12 mA through 150 ohm are 1.8 V of 3.3 V.
    ['reservoirPressure', (1.8 / 3.3) * 65_535, 3e6],
    // 2.5 V of 5 V, and halfway from there to 4.5 V, at 12 bits.
    ['barrelPressure', 0.5 * 4095, 62e3],
    ['barrelPressure', 0.7 * 4095, 91e3],
    // The thermistor has its 10 kohm at 25 °C: 10/14.7 of the supply.
    ['reservoirTemperature', (10 / 14.7) * 4095, 298.15],
    ['pumpPressure', 1000, 32e3],
    ['airPressure', 100_656, 100_656],
    ['gaugePressure', 31.25, 3.125e6],
    ['tailwind', -7.2, -2],
  ])('%s makes of %d', (name, raw, si) => {
    const converted = convert(channel(name), raw);
    expect(converted).not.toHaveProperty('fault');
    expect(converted.si / si).toBeCloseTo(1, 9);
  });

  it('keep the dates of their calibration', () => {
    expect(channel('reservoirPressure')).toMatchObject({ calibratedOn: '2026-03-01', calibrationDue: '2027-03-01' });
    expect(channel('barrelPressure')).not.toHaveProperty('calibratedOn');
  });
});

describe('limits', () => {
  it('of the vessel and the fill come before those of the file, with a hysteresis in any case', () => {
    const vessel = { channel: 'reservoirPressure', kind: 'above', reference: 'gauge', holdS: 0, clearSi: 60e3 };
    const rate = expect.closeTo(1e6 / 60, 6);
    expect(limitsOf(rig)).toEqual([
      { ...vessel, id: 'rated-pressure', thresholdSi: 4e6, severity: 'alarm', message: expect.stringContaining('rated pressure') },
      { ...vessel, id: 'relief-setting', thresholdSi: 3.95e6, severity: 'alarm', message: expect.stringContaining('relief valve') },
      { ...vessel, id: 'maximum-fill', thresholdSi: 3.8e6, severity: 'warning', message: expect.stringContaining('maximum fill') },
      {
        ...vessel,
        id: 'fill-rate',
        kind: 'rising-faster-than',
        reference: 'absolute',
        thresholdSi: rate,
        clearSi: expect.closeTo(1e5 / 60, 6),
        severity: 'warning',
        message: expect.stringContaining('faster'),
      },
      {
        ...vessel,
        id: 'near-maximum-fill',
        thresholdSi: 3.6e6,
        holdS: 2,
        clearSi: 50e3,
        severity: 'warning',
        message: 'Close to the maximum fill',
      },
      {
        id: 'limit-2',
        channel: 'reservoirTemperature',
        kind: 'falling-faster-than',
        thresholdSi: 0.1,
        reference: 'absolute',
        holdS: 0,
        clearSi: expect.closeTo(0.01, 12),
        severity: 'alarm',
        message: 'reservoirTemperature is falling faster than 6 K/min',
      },
      {
        id: 'limit-3',
        channel: 'barrelPressure',
        kind: 'below',
        thresholdSi: 200,
        reference: 'absolute',
        holdS: 0,
        clearSi: 1200,
        severity: 'alarm',
        message: 'barrelPressure is below 200 Pa absolute',
      },
    ]);
  });

  it('of the vessel fall away where nothing reads its pressure', () => {
    expect(limitsOf({ ...rig, channels: [] }).map(({ id }) => id)).toEqual(['near-maximum-fill', 'limit-2', 'limit-3']);
  });
});

describe('the summary for the pages', () => {
  const summary = summarise(rig);

  it('has boards with their kind, targets, limits and hold points', () => {
    expect(summary.boards).toEqual([
      { name: 'gate-board', kind: 'gate-board' },
      { name: 'weather', kind: 'firmata' },
      { name: 'gauge', kind: 'text' },
      { name: 'wind', kind: 'text' },
    ]);
    expect(summary.reservoirRatedPaGauge).toBe(4e6);
    expect(summary.fill).toEqual({ targetPaGauge: 3.2e6, bandPa: 20e3, rateMaximumPaPerS: expect.closeTo(1e6 / 60, 6) });
    expect(summary.vacuum).toEqual({ targetPa: 5000, bandPa: 1000 });
    expect(summary.limits).toEqual(limitsOf(rig));
    expect(summary.holdPoints).toEqual([
      { id: 'hold-1', name: 'Sighting tool out of the bore', by: 'crew' },
      { id: 'settled', name: 'Fill settled', by: 'condition', when: 'fill-settled' },
      { id: 'hold-3', name: 'Barrel evacuated', by: 'condition', when: 'vacuum-at-target' },
      { id: 'hold-4', name: 'Weather fresh', by: 'condition', when: 'weather-fresh' },
    ]);
  });

  it('has ranges that are absolute, and none where the file states none', () => {
    const ranges = Object.fromEntries(summary.channels.map(({ name, rangeSi }) => [name, rangeSi?.map((si) => Number(si.toPrecision(9)))]));
    expect(ranges).toMatchObject({
      reservoirPressure: [101_325, 6_101_325],
      barrelPressure: [0, 120e3],
      pumpPressure: [2180, 170_880],
      airHumidity: [0, 1],
      gaugePressure: [1325, 6_101_325],
      tailwind: undefined,
    });
  });

  it('survives the way through JSON, as the store and the pages take it', () => {
    expect(JSON.parse(JSON.stringify(summary))).toEqual(summary);
  });
});
