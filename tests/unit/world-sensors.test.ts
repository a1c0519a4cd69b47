/** Sensors keep what the rig file claims of them: over many draws, not in one. */
import { expect, test } from 'vitest';
import { CHANNELS, INSTRUMENTS } from '../../firmware-sim/world/heron.ts';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { drawCountingSensor, drawSensor } from '../../firmware-sim/world/sensors.ts';

const SEEDS = 400;

test('errors over many seeds fill the claimed standard uncertainty and do not exceed it', () => {
  for (const claim of [...CHANNELS, ...Object.values(INSTRUMENTS)]) {
    const errors: number[] = [];
    for (let seed = 0; seed < SEEDS; seed++) {
      const sensor = drawSensor(seed, claim);
      for (const share of [0.1, 0.5, 0.9]) {
        const trueSi = claim.siLow + share * (claim.siHigh - claim.siLow);
        errors.push((sensor.shownSi(trueSi, 977 * share) - trueSi) / claim.standardUncertaintySi);
      }
    }
    const rms = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    expect(rms).toBeGreaterThan(0.7);
    expect(rms).toBeLessThan(1);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(4.5);
    expect(Math.abs(errors.reduce((sum, e) => sum + e, 0) / errors.length)).toBeLessThan(0.15);
  }
});

test('counts follow the calibration line, with noise of a few counts', () => {
  for (const claim of CHANNELS) {
    const sensor = drawCountingSensor(11, claim);
    const noise = randomStream(1, 'noise');
    const trueSi = (claim.siLow + claim.siHigh) / 2;
    const counts = Array.from({ length: 500 }, () => sensor.counts(trueSi, 3, noise, 1));
    const mean = counts.reduce((sum, c) => sum + c, 0) / counts.length;
    const shown = claim.siLow + ((mean - claim.countsLow) / (claim.countsHigh - claim.countsLow)) * (claim.siHigh - claim.siLow);
    expect(Math.abs(shown - sensor.shownSi(trueSi, 3))).toBeLessThan((0.3 * (claim.siHigh - claim.siLow)) / 50_000);
    expect(Math.max(...counts) - Math.min(...counts)).toBeGreaterThan(2);
    expect(Math.max(...counts) - Math.min(...counts)).toBeLessThan(20);
    expect(counts.every(Number.isInteger)).toBe(true);
  }
});

test('a converter saturates at both ends', () => {
  for (const claim of CHANNELS) {
    const sensor = drawCountingSensor(5, claim);
    const noise = randomStream(1, 'noise');
    const span = claim.siHigh - claim.siLow;
    expect(sensor.counts(claim.siHigh + span, 0, noise, 1)).toBe(0xffff);
    expect(sensor.counts(claim.siLow - span, 0, noise, 1)).toBe(0);
  }
});
