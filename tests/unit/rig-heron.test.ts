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
    const channel = (
      name: string,
      measures: string,
      unit: string,
      number: number,
      points: readonly (readonly [number, number])[],
      reference: string,
      u: number,
      bounds = { railLow: 0, railHigh: 65_535 } as object,
    ) => ({
      name,
      measures,
      unit,
      board: 'gate-board',
      source: { kind: 'number', channel: number },
      conversion: { kind: 'line', points: points.map(([raw, si]) => ({ raw, si })), bounds },
      reference,
      standardUncertaintySi: u,
    });
    expect(rig).toEqual({
      name: 'Heron',
      site: 'Cold Sike',
      projectile: {
        name: 'polyamide ball 60 mm',
        diameterM: { value: 0.0598, standardUncertainty: 0.025e-3 },
        massKg: { value: 0.126, standardUncertainty: 0.1e-3 },
      },
      reservoir: { gas: 'nitrogen', volumeM3: 0.045, ratedPressurePaGauge: 4.0e6, maximumFillPaGauge: 3.8e6 },
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
        },
      ],
      trigger: { board: 'gate-board', input: 0 },
      gates: [gate('A1', 1, 1.5), gate('A2', 2, 2.5), gate('B1', 3, 9), gate('B2', 4, 10)],
      channels: [
        // 0.25 % of 6 MPa is 15 kPa, expanded.
        channel(
          'reservoirPressure',
          'pressure',
          'Pa',
          0,
          [
            [6553, 0],
            [58_981, 6e6],
          ],
          'gauge',
          7500,
        ),
        channel(
          'barrelPressure',
          'pressure',
          'Pa',
          1,
          [
            [6553, 0],
            [58_981, 4e5],
          ],
          'absolute',
          500,
        ),
        channel(
          'airTemperature',
          'temperature',
          'K',
          2,
          [
            [0, 233.15],
            [65_535, 333.15],
          ],
          'absolute',
          0.2,
          // Points at both ends of the converter say that these are values.
          {},
        ),
        channel(
          'airPressure',
          'pressure',
          'Pa',
          3,
          [
            [0, 60e3],
            [65_535, 120e3],
          ],
          'absolute',
          60,
          {},
        ),
        channel(
          'airHumidity',
          'ratio',
          '1',
          4,
          [
            [0, 0],
            [65_535, 1],
          ],
          'absolute',
          0.02,
          {},
        ),
      ],
      limits: [],
      holdPoints: [],
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
      boards: [{ name: 'gate-board', kind: 'gate-board' }],
      holdPoints: [],
    });
    expect(summary.gates[3]).toEqual({ name: 'B2', pair: 'B', board: 'gate-board', input: 4, positionM: 10 });
    expect(summary.channels.map(({ name, rangeSi }) => [name, ...(rangeSi ?? [])])).toEqual([
      ['reservoirPressure', 98e3, 6.098e6],
      ['barrelPressure', 0, 4e5],
      ['airTemperature', 233.15, 333.15],
      ['airPressure', 60e3, 120e3],
      ['airHumidity', 0, 1],
    ]);
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
