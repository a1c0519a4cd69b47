import { expect, test } from 'vitest';
import { launch } from '../../firmware-sim/world/launcher.ts';
import { input } from '../../host/metrology/index.ts';
import { blowDownOf, blowDownWords } from '../../host/pipeline/watches/index.ts';
import type { PressureTrace } from '../../protocol/index.ts';
import { COURSES, coverageProblem, drawSensor, drawValve, RESERVOIR, sense, streamOf, valvePa } from '../support/watch-courses.ts';

const RATE_HZ = 50e3;
const FROM_S = -0.02;
const VOLUME = { value: 0.045, standardUncertainty: 0.045 * 0.005 };
const GAMMA = { value: 1.4, standardUncertainty: 0.02 };

const burst = (pressureAt: (s: number) => number): PressureTrace => ({
  channel: 'reservoirPressure',
  stream: 'burst',
  fromS: FROM_S,
  periodS: 1 / RATE_HZ,
  valuesPa: Array.from({ length: 3500 }, (_, i) => pressureAt(FROM_S + i / RATE_HZ)),
});
const facts = { standardUncertaintyPa: 7500, volumeM3: VOLUME, gamma: GAMMA };

test('opening, pressure drop and energy drawn lie within their stated intervals as often as these promise', () => {
  const scores: Record<string, number[]> = { opening: [], drop: [], energy: [] };
  for (let seed = 1; seed <= 3 * COURSES; seed++) {
    const random = streamOf('valve', seed);
    const valve = drawValve(random);
    const sensor = { ...drawSensor(random, RESERVOIR, valve.beforePa, valve.beforePa, 540), stepSi: 114 };
    const event = blowDownOf({ ...facts, trace: burst((s) => sense(sensor, valvePa(valve, s), s)), exitAtS: 0.03 });
    expect(event).toBeDefined();
    if (!event) continue;
    const drop = valve.beforePa - valvePa(valve, 0.03);
    const volume = VOLUME.value + VOLUME.standardUncertainty * random.normal();
    const gamma = GAMMA.value + GAMMA.standardUncertainty * random.normal();
    scores.opening?.push((event.openedAtS.value - valve.openedAtS) / event.openedAtS.standardUncertainty);
    scores.drop?.push((event.pressureDropPa.value - drop) / event.pressureDropPa.standardUncertainty);
    scores.energy?.push((event.energyDrawnJ.value - (drop * volume) / (gamma - 1)) / event.energyDrawnJ.standardUncertainty);
  }
  expect(
    Object.entries(scores)
      .map(([name, all]) => coverageProblem(name, all))
      .filter(Boolean),
  ).toEqual([]);
}, 600_000);

// The simulated world's own gas dynamics, which share no code with the watch: its valve begins to open 2 ms after the
// firing signal and opens softly (smooth step over 5 ms).
test.each([0.6e6, 1.5e6, 3.5e6])('the launcher’s valve and the energy that its gas gives, from %d Pa', (reservoirPressurePa) => {
  const shot = launch({
    reservoirVolumeM3: 0.045,
    boreM: 0.06,
    barrelLengthM: 5.5,
    ballMassKg: 0.126,
    reservoirPressurePa,
    reservoirTemperatureK: 288,
    barrelPressurePa: 5e3,
    ambientPressurePa: 98e3,
    ambientTemperatureK: 285,
    valveFactor: 1,
  });
  const random = streamOf('launcher', reservoirPressurePa);
  const muzzleEnergyJ = (0.126 * shot.muzzleVelocityMps ** 2) / 2;
  const event = blowDownOf({
    ...facts,
    trace: burst((s) => sense({ random, noiseSi: 540, stepSi: 114 }, shot.reservoirPa(s), s)),
    exitAtS: shot.exitTimeS,
    muzzleEnergyJ: input('muzzle energy', 'J', { value: muzzleEnergyJ, standardUncertainty: muzzleEnergyJ / 500 }),
  });
  // Not of the watch's model: the breech fills up and the valve stops choking while it still opens.
  expect(Math.abs((event?.openedAtS.value ?? 0) - 0.002)).toBeLessThan(4 * (event?.openedAtS.standardUncertainty ?? 0));
  expect(event?.openedAtS.standardUncertainty).toBeLessThan(0.7e-3);
  const drawn = ((reservoirPressurePa - shot.reservoirPa(shot.exitTimeS)) * 0.045) / 0.4;
  expect(event?.energyDrawnJ.value).toBeCloseTo(drawn, -3);
  // A projectile cannot have more than the gas gave.
  expect(event?.efficiency?.value).toBeGreaterThan(0.02);
  expect(event?.efficiency?.value).toBeLessThan(1);
  expect(event && blowDownWords(event, 'trigger')).toContain('of which the projectile has');
});

test('slow samples tell the opening too, only worse; a trace without a fall, or one too short, tells nothing', () => {
  const valve = { openedAtS: 0.0123, shape: 2, beforePa: 2e6, openingS: 0.006, fullRatePerS: 14, gamma: 1.4 };
  const random = streamOf('slow', 1);
  const slow: PressureTrace = {
    channel: 'reservoirPressure',
    stream: 'slow',
    fromS: -0.5,
    periodS: 1e-3,
    valuesPa: Array.from({ length: 1500 }, (_, i) => sense({ random, noiseSi: 180 }, valvePa(valve, -0.5 + i * 1e-3), 0)),
  };
  const event = blowDownOf({ ...facts, trace: slow, exitAtS: undefined });
  expect(Math.abs((event?.openedAtS.value ?? 0) - 0.0123)).toBeLessThan(3 * (event?.openedAtS.standardUncertainty ?? 0));
  expect(event?.openedAtS.standardUncertainty).toBeLessThan(2e-3);
  expect(blowDownOf({ ...facts, trace: burst((s) => sense({ random, noiseSi: 540 }, 2e6, s)), exitAtS: undefined })).toBeUndefined();
  expect(blowDownOf({ ...facts, trace: { ...slow, valuesPa: slow.valuesPa.slice(0, 10) }, exitAtS: undefined })).toBeUndefined();
  expect(blowDownOf({ ...facts, trace: slow, exitAtS: 5 })).toBeUndefined();
});
