import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { convert, loadRig, type Rig, summarise } from '../../host/rig/index.ts';

function heron(): Rig {
  const load = loadRig(readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8'), 'heron.yaml');
  if (!load.ok) throw new Error(JSON.stringify(load.problems));
  return load.rig;
}

describe('the rig file of Heron', () => {
  const rig = heron();

  it('gives these values', () => {
    const delayS = { value: 0, standardUncertainty: expect.closeTo(1e-7, 15) };
    const gate = (name: string, input: number, position: number) => ({
      name,
      pair: name.slice(0, 1),
      board: 'gate-board',
      input,
      positionM: { value: position, standardUncertainty: 1e-4 },
      delayS,
      jitterS: 0.15e-6,
      squarenessStandardUncertaintyRad: expect.closeTo(Math.PI / 360, 15),
    });
    const bounds = { railLow: 0, railHigh: 65_535 };
    const line = (points: readonly (readonly [number, number])[], within: object = bounds) => ({
      kind: 'line',
      points: points.map(([raw, si]) => ({ raw, si: expect.closeTo(si, 6) })),
      bounds: within,
    });
    const byNumber = (channel: number) => ({ board: 'gate-board', source: { kind: 'number', channel } });
    const byName = (board: string, reads: string) => ({ board, source: { kind: 'name', reads } });
    const pressure = { measures: 'pressure', unit: 'Pa' };
    const dated = (calibratedOn: string, calibrationDue: string) => ({ calibratedOn, calibrationDue });
    const limit = (
      id: string,
      channel: string,
      thresholdSi: number,
      reference: string,
      holdS: number,
      clearSi: number,
      message: string,
    ) => ({
      id,
      channel,
      kind: 'above',
      thresholdSi,
      reference,
      holdS,
      clearSi,
      severity: 'warning',
      message,
    });
    expect(rig).toEqual({
      name: 'Heron',
      site: 'Cold Sike',
      projectile: {
        name: 'polyamide ball 60 mm',
        diameterM: { value: 0.0598, standardUncertainty: 0.025e-3 },
        massKg: { value: 0.126, standardUncertainty: 0.1e-3 },
      },
      reservoir: {
        gas: 'nitrogen',
        volumeM3: 0.045,
        ratedPressurePaGauge: 4.0e6,
        maximumFillPaGauge: 3.8e6,
        reliefSettingPaGauge: 3.95e6,
      },
      barrel: { boreM: 0.06, lengthM: 5.5 },
      targetPositionM: { value: 11, standardUncertainty: 2.5e-3 },
      tapeRelativeStandardUncertainty: expect.closeTo(100e-6 / Math.sqrt(3), 15),
      sidewaysStandardUncertaintyM: 2.5e-3,
      tailwindMps: { value: 0, standardUncertainty: 0.5 },
      boards: [
        {
          name: 'gate-board',
          kind: 'gate-board',
          path: './wires/gate-board',
          baudRate: 500_000,
          boardId: 'CS-GB-01',
          // 50 ppm of 16 MHz is 800 Hz.
          tickRateHz: { value: 16e6, standardUncertainty: expect.closeTo(800 / Math.sqrt(3), 9) },
          capture: { delayS: { value: 0, standardUncertainty: expect.closeTo(62.5e-9 / Math.sqrt(3), 14) }, jitterS: 0 },
          software: {
            delayS: { value: expect.closeTo(5e-6, 14), standardUncertainty: expect.closeTo(5e-6 / Math.sqrt(3), 14) },
            jitterS: expect.closeTo(2e-6, 14),
          },
          analogBits: 16,
        },
        {
          name: 'weather-board',
          kind: 'firmata',
          path: './wires/weather-board',
          baudRate: 57_600,
          bme280Address: 0x76,
          samplingIntervalS: 0.05,
          analogBits: 12,
        },
        {
          name: 'fill-gauge',
          kind: 'text',
          path: './wires/fill-gauge',
          baudRate: 9600,
          layout: { by: 'pattern', pattern: '^P=(?<pressure>[-+]?\\d+\\.\\d{3}) bar$' },
        },
        {
          name: 'wind-meter',
          kind: 'text',
          path: './wires/wind-meter',
          baudRate: 4800,
          layout: { by: 'pattern', pattern: '^W (?<along>[-+]\\d+\\.\\d\\d) m/s$' },
        },
      ],
      trigger: { board: 'gate-board', input: 0 },
      gates: [gate('A1', 1, 1.5), gate('A2', 2, 2.5), gate('B1', 3, 9), gate('B2', 4, 10)],
      channels: [
        {
          ...pressure,
          ...byNumber(0),
          name: 'reservoirPressure',
          conversion: line([
            [6553, 0],
            [58_981, 6e6],
          ]),
          reference: 'gauge',
          // 0.25 % of 6 MPa is 15 kPa, expanded.
          standardUncertaintySi: 7500,
          ...dated('2026-02-10', '2028-02-10'),
        },
        {
          ...pressure,
          ...byNumber(1),
          name: 'barrelPressure',
          conversion: line([
            [6553, 0],
            [58_981, 1.2e6],
          ]),
          reference: 'absolute',
          standardUncertaintySi: 600,
          ...dated('2026-02-10', '2028-02-10'),
        },
        {
          ...pressure,
          ...byName('weather-board', 'A0'),
          name: 'barrelVacuum',
          // 0.5 V and 4.5 V of 5 V, which is 4095 counts.
          conversion: line(
            [
              [409.5, 0],
              [3685.5, 120e3],
            ],
            { railLow: 0, railHigh: 4095 },
          ),
          reference: 'absolute',
          standardUncertaintySi: 150,
          ...dated('2026-02-11', '2028-02-11'),
        },
        {
          ...byName('weather-board', 'A1'),
          name: 'reservoirTemperature',
          measures: 'temperature',
          unit: 'K',
          // 1/T = a + b ln R: b = 1/β, a = 1/298.15 K − ln(10 kΩ)/β.
          conversion: {
            kind: 'thermistor',
            a: expect.closeTo(1 / 298.15 - Math.log(10e3) / 3950, 12),
            b: expect.closeTo(1 / 3950, 12),
            c: 0,
            fixedOhm: 10e3,
            fixedTo: 'supply',
            fullScale: 4095,
          },
          reference: 'absolute',
          standardUncertaintySi: 0.5,
        },
        ...(
          [
            ['airTemperature', 'temperature', 'K', 'temperature', [233.15, 358.15], 0.5],
            ['airPressure', 'pressure', 'Pa', 'pressure', [30e3, 110e3], 60],
            ['airHumidity', 'ratio', '1', 'humidity', [0, 1], 0.02],
          ] as const
        ).map(([name, measures, unit, reads, rangeSi, standardUncertaintySi]) => ({
          ...byName('weather-board', reads),
          name,
          measures,
          unit,
          conversion: { kind: 'direct', multiply: 1, add: 0, divide: 1, rangeSi },
          reference: 'absolute',
          standardUncertaintySi,
        })),
        {
          ...pressure,
          ...byName('fill-gauge', 'pressure'),
          name: 'fillGauge',
          conversion: { kind: 'direct', multiply: 1e5, add: 0, divide: 1, rangeSi: [-1e5, 6e6] },
          reference: 'gauge',
          standardUncertaintySi: 10e3,
          ...dated('2026-01-20', '2028-01-20'),
          against: 'reservoirPressure',
        },
        {
          ...byName('wind-meter', 'along'),
          name: 'tailwind',
          measures: 'speed',
          unit: 'm/s',
          conversion: { kind: 'direct', multiply: 1, add: 0, divide: 1 },
          reference: 'absolute',
          standardUncertaintySi: 0.15,
        },
      ],
      fill: { targetPaGauge: 1.2e6, bandPa: 20e3, rateMaximumPaPerS: 100e3 },
      vacuum: { targetPa: 5e3, bandPa: 1e3 },
      limits: [
        limit('fill-gauge-high', 'fillGauge', 3.7e6, 'gauge', 2, 50e3, 'The fill gauge is close to the maximum fill'),
        limit('hot-gas', 'reservoirTemperature', 358.15, 'absolute', 0, 5, 'The gas is hot; fill more slowly'),
        limit('windy', 'tailwind', 3, 'absolute', 2, 0.5, "More wind than the site's lull"),
      ],
      holdPoints: expect.arrayContaining([
        { id: 'tool-out', name: 'Sighting tool out of the bore', by: 'crew' },
        { id: 'fill', name: 'Fill settled at its target', by: 'condition', when: 'fill-settled' },
      ]),
      cameras: [
        {
          name: 'side',
          frameRateHz: { value: 20e3, standardUncertainty: 0.5 },
          exposureS: 5e-6,
          placeM: { value: 2, standardUncertainty: 0.01 },
          distanceM: { value: 3, standardUncertainty: 0.01 },
          standoffM: { value: 0.3, standardUncertainty: 0.005 },
          scaleRelativeStandardUncertainty: 0.0005,
          squarenessStandardUncertaintyRad: expect.closeTo((1.5 * Math.PI) / 180, 12),
          markingStandardUncertaintyPx: 0.5,
          trigger: { frame: 0, delayS: { value: expect.closeTo(10e-6, 15), standardUncertainty: 10e-6 } },
          marks: [1.4, 1.8, 2.2, 2.6].map((value, i) => ({ name: `M${i + 1}`, positionM: { value, standardUncertainty: 0.0005 } })),
        },
      ],
      acceptance: [],
      cameraAgreement: [],
      assumedAir: {
        temperatureK: { value: 285.15, standardUncertainty: 7.5 },
        pressurePa: { value: 98e3, standardUncertainty: 2500 },
        relativeHumidity: { value: 0.6, standardUncertainty: 0.2 },
      },
      airStaleAfterS: 120,
    });
  });

  it('is summed up for the pages with absolute pressures', () => {
    const summary = summarise(rig);
    expect(summary).toMatchObject({
      name: 'Heron',
      site: 'Cold Sike',
      projectile: { name: 'polyamide ball 60 mm', diameterM: 0.0598, massKg: 0.126 },
      barrelLengthM: 5.5,
      reservoirRatedPaGauge: 4e6,
      targetPositionM: 11,
      boards: [
        { name: 'gate-board', kind: 'gate-board' },
        { name: 'weather-board', kind: 'firmata' },
        { name: 'fill-gauge', kind: 'text' },
        { name: 'wind-meter', kind: 'text' },
      ],
    });
    expect(summary.gates[3]).toEqual({ name: 'B2', pair: 'B', board: 'gate-board', input: 4, positionM: 10 });
    expect(summary.channels.map(({ name, rangeSi }) => [name, ...(rangeSi ?? [])])).toEqual([
      ['reservoirPressure', 98e3, 6.098e6],
      ['barrelPressure', 0, 1.2e6],
      ['barrelVacuum', 0, 120e3],
      ['reservoirTemperature', 218.15, 423.15],
      ['airTemperature', 233.15, 358.15],
      ['airPressure', 30e3, 110e3],
      ['airHumidity', 0, 1],
      ['fillGauge', -2e3, 6.098e6],
      ['tailwind'],
    ]);
    expect(summary.holdPoints.map(({ by }) => by)).toEqual([...Array(4).fill('crew'), ...Array(5).fill('condition'), 'crew']);
    const conditions = summary.holdPoints.flatMap((point) => (point.by === 'condition' ? [point.when] : []));
    expect(conditions.toSorted()).toEqual(['fill-settled', 'gates-clear', 'links-running', 'vacuum-at-target', 'weather-fresh']);
  });

  it('calibrates along the line through the two points, and beyond', () => {
    const [reservoir] = rig.channels;
    if (reservoir === undefined) throw new Error('no channel');
    expect(convert(reservoir, 6553)).toEqual({ si: 0 });
    expect(convert(reservoir, 58_981)).toEqual({ si: 6e6 });
    expect(convert(reservoir, 32_767)).toEqual({ si: 3e6 });
    expect(convert(reservoir, 0)).toEqual({ si: expect.closeTo((-6553 / 52_428) * 6e6, 6), fault: 'railed-low' });
    expect(convert(reservoir, 65_535)).toMatchObject({ fault: 'railed-high' });
  });
});
