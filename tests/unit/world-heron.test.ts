/** The world's typed-in Heron against the rig file's text, read here by nothing but a YAML parser. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { GAUGE } from '../../firmware-sim/boards/text-formats.ts';
import { CHANNELS, GATES, HERON, READINGS } from '../../firmware-sim/world/heron.ts';

const file = parse(readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8'));

const SI: Readonly<Record<string, (x: number) => number>> = {
  m: (x) => x,
  mm: (x) => x / 1e3,
  g: (x) => x / 1e3,
  L: (x) => x / 1e3,
  us: (x) => x / 1e6,
  MHz: (x) => x * 1e6,
  MPa: (x) => x * 1e6,
  kPa: (x) => x * 1e3,
  bar: (x) => x * 1e5,
  Pa: (x) => x,
  K: (x) => x,
  '°C': (x) => x + 273.15,
  '%': (x) => x / 100,
  'm/s': (x) => x,
};

/** `1.5000 m ± 0.2 mm` to [1.5, 0.0002]; words after the unit are dropped. */
function quantity(text: string): [value: number, plusMinus: number | undefined] {
  const [value, plusMinus] = text.split('±').map((part) => {
    const match = /^\s*(-?[\d.]+)\s*(\S+)/.exec(part);
    return match ? SI[match[2] as string]?.(Number(match[1])) : undefined;
  });
  return [value ?? Number.NaN, plusMinus];
}
const value = (text: string): number => quantity(text)[0];
/** Expanded uncertainty, k = 2, as standard uncertainty. */
const standard = (text: string): number => (quantity(text)[1] ?? Number.NaN) / 2;

test('ball, reservoir, barrel and target are those of the rig file', () => {
  expect(HERON.ballDiameterM).toBeCloseTo(value(file.projectile.diameter), 12);
  expect(HERON.ballDiameterUncertaintyM).toBeCloseTo(standard(file.projectile.diameter), 12);
  expect(HERON.ballMassKg).toBeCloseTo(value(file.projectile.mass), 12);
  expect(HERON.ballMassUncertaintyKg).toBeCloseTo(standard(file.projectile.mass), 12);
  expect(HERON.reservoirVolumeM3).toBeCloseTo(value(file.reservoir.volume), 12);
  expect(HERON.reservoirRatedPaGauge).toBeCloseTo(value(file.reservoir.ratedPressure), 3);
  expect(HERON.reservoirFillPaGaugeMax).toBeCloseTo(value(file.reservoir.maximumFill), 3);
  expect(HERON.boreM).toBeCloseTo(value(file.barrel.bore), 12);
  expect(HERON.barrelLengthM).toBeCloseTo(value(file.barrel.length), 12);
  expect(HERON.targetPositionM).toBeCloseTo(value(file.target), 12);
  expect(HERON.targetPositionUncertaintyM).toBeCloseTo(standard(file.target), 12);
  expect(HERON.tailwindMps).toBeCloseTo(value(file.tailwind), 12);
  expect(HERON.tailwindUncertaintyMps).toBeCloseTo(standard(file.tailwind), 12);
});

test('board and gates are those of the rig file', () => {
  const board = file.boards['gate-board'];
  expect([HERON.boardId, HERON.baudRate]).toEqual([board.boardId, board.baudRate]);
  expect(HERON.tickRateHz).toBe(value(board.tickRate));
  expect(board.tickRate).toMatch(new RegExp(`± ${HERON.tickRateErrorPpmMax} ppm rect$`));
  expect(file.trigger).toEqual({ board: 'gate-board', input: 0 });
  expect(GATES).toEqual(
    file.gates.map((gate: Record<string, string>) => ({ name: gate.name, input: gate.input, positionM: value(gate.position as string) })),
  );
  for (const gate of file.gates) {
    expect(HERON.gatePositionUncertaintyM).toBeCloseTo(standard(gate.position), 12);
    expect(HERON.gateDelayUncertaintyS).toBeCloseTo(standard(gate.delay), 15);
    expect(HERON.edgeJitterS).toBeCloseTo(value(gate.jitter), 15);
  }
});

test('the weather board and the fill gauge are those of the rig file', () => {
  const [weather, gauge] = [file.boards['weather-board'], file.boards['fill-gauge']];
  expect([HERON.weatherBaudRate, HERON.bme280Address]).toEqual([weather.baudRate, weather.bme280]);
  expect(HERON.gaugeBaudRate).toBe(gauge.baudRate);
  expect(GAUGE.pattern.source).toBe(gauge.pattern);
  expect(gauge.example).toMatch(GAUGE.pattern);
  const { siLow, siHigh } = READINGS.find(({ role }) => role === 'fillGauge') as (typeof READINGS)[number];
  expect(file.channels.fillGauge.range.map(value)).toEqual([siLow, siHigh]);
});

test('channels, calibration lines and uncertainties are those of the rig file', () => {
  for (const claim of CHANNELS) {
    const channel = file.channels[claim.role];
    const [[countsLow, low], [countsHigh, high]] = channel.calibration;
    expect([channel.channel, countsLow, countsHigh]).toEqual([claim.channel, claim.countsLow, claim.countsHigh]);
    expect(claim.siLow).toBeCloseTo(value(low), 6);
    expect(claim.siHigh).toBeCloseTo(value(high), 6);
    const ofSpan = /± ([\d.]+) % of span/.exec(channel.uncertainty);
    const expected = ofSpan ? ((Number(ofSpan[1]) / 100) * (value(high) - value(low))) / 2 : standard(channel.uncertainty);
    expect(claim.standardUncertaintySi).toBeCloseTo(expected, 6);
  }
  for (const claim of READINGS) {
    const channel = file.channels[claim.role];
    expect([channel.board, channel.reads]).toEqual([claim.board, claim.reads]);
    expect(claim.standardUncertaintySi).toBeCloseTo(standard(channel.uncertainty.replace('±', '0 K ±')), 6);
  }
  expect(Object.keys(file.channels)).toEqual([...CHANNELS, ...READINGS].map(({ role }) => role));
});
