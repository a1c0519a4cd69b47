/** The world's typed-in Heron against the rig file's text, read here by nothing but a YAML parser. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { BOARDS } from '../../firmware-sim/range.ts';
import { CHANNELS, type Claim, FILL_GAUGE, GATES, HERON, INSTRUMENTS, WEATHER_BOARD, WIND_METER } from '../../firmware-sim/world/heron.ts';

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
  Pa: (x) => x,
  K: (x) => x,
  V: (x) => x,
  ohm: (x) => x,
  kohm: (x) => x * 1e3,
  bar: (x) => x * 1e5,
  ms: (x) => x,
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
  expect(HERON.reservoirReliefPaGauge).toBeCloseTo(value(file.reservoir.reliefSetting), 3);
  expect(HERON.fillTargetPaGauge).toBeCloseTo(value(file.fill.target), 3);
  expect(HERON.vacuumTargetPa).toBeCloseTo(value(file.vacuum.target), 3);
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

function expectUncertainty(claim: Claim): void {
  const { uncertainty } = file.channels[claim.name];
  const ofSpan = /± ([\d.]+) % of span/.exec(uncertainty);
  const expected = ofSpan ? ((Number(ofSpan[1]) / 100) * (claim.siHigh - claim.siLow)) / 2 : standard(uncertainty);
  expect(claim.standardUncertaintySi, claim.name).toBeCloseTo(expected, 6);
}

test('the gate board’s calibration lines and uncertainties are those of the rig file', () => {
  for (const claim of CHANNELS) {
    const channel = file.channels[claim.name];
    const [[countsLow, low], [countsHigh, high]] = channel.calibration;
    expect([channel.board, channel.channel, countsLow, countsHigh]).toEqual([
      'gate-board',
      claim.channel,
      claim.countsLow,
      claim.countsHigh,
    ]);
    expect(claim.siLow).toBeCloseTo(value(low), 6);
    expect(claim.siHigh).toBeCloseTo(value(high), 6);
    expectUncertainty(claim);
  }
});

test('the other instruments, their boards and their wiring are those of the rig file', () => {
  for (const claim of Object.values(INSTRUMENTS)) expectUncertainty(claim);
  expect(Object.keys(file.channels).toSorted()).toEqual([...CHANNELS.map(({ name }) => name), ...Object.keys(INSTRUMENTS)].toSorted());
  const { vacuum, thermistor } = WEATHER_BOARD;
  const board = file.boards['weather-board'];
  expect(board).toMatchObject({ kind: 'firmata', bme280: WEATHER_BOARD.bme280Address, analogBits: WEATHER_BOARD.analogBits });
  expect(value(board.samplingInterval)).toBe(WEATHER_BOARD.samplingMs);
  const { barrelVacuum, reservoirTemperature } = file.channels;
  expect([barrelVacuum.reads, value(barrelVacuum.reference)]).toEqual([`A${vacuum.pin}`, WEATHER_BOARD.referenceVolts]);
  expect(barrelVacuum.calibration.map(([volts, at]: [string, string]) => [value(volts), value(at)])).toEqual([
    [vacuum.voltsLow, INSTRUMENTS.barrelVacuum.siLow],
    [vacuum.voltsHigh, INSTRUMENTS.barrelVacuum.siHigh],
  ]);
  const { r25, beta, pullUp } = reservoirTemperature.thermistor;
  expect(reservoirTemperature.reads).toBe(`A${thermistor.pin}`);
  expect([r25, beta, pullUp].map(value)).toEqual([thermistor.r25Ohm, thermistor.betaK, thermistor.pullUpOhm]);
  expect([file.boards['fill-gauge'].baudRate, file.boards['wind-meter'].baudRate]).toEqual([FILL_GAUGE.baudRate, WIND_METER.baudRate]);
  expect(file.channels.fillGauge.unit).toBe('bar gauge');
  expect(Object.keys(file.boards)).toEqual(BOARDS);
});
