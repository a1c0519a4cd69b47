/** Sensors: a true value is shown with offset, gain error, slow drift and noise; a converter makes 16-bit counts of it. */
import type { ChannelClaim, SensorClaim } from './heron.ts';
import { type Random, randomStream } from './random.ts';

export interface Sensor {
  /** What the sensor shows for a true value, without noise and rounding, SI. */
  shownSi(trueSi: number, timeS: number): number;
  /** One reading, with noise, SI. @param noiseFactor  1 for a reading of a slow stream */
  readSi(trueSi: number, timeS: number, noise: Random, noiseFactor: number): number;
}

export interface ConvertedSensor extends Sensor {
  /** One converted sample; saturates at both ends of the converter. */
  counts(trueSi: number, timeS: number, noise: Random, noiseFactor: number): number;
}

/** Standard deviation of one slow sample, as a share of the span: about 1½ counts of 52 428. */
const NOISE_OF_SPAN = 3e-5;

/**
 * The claimed standard uncertainty is shared out: 0.7 offset, 0.6 gain error at full span, 0.3 drift (peak), so that
 * together they stay a little below the claim.
 */
export function drawSensor(seed: number, claim: SensorClaim): Sensor {
  const random = randomStream(seed, `sensor/${claim.role}`);
  const spanSi = claim.siHigh - claim.siLow;
  const offsetSi = 0.7 * claim.standardUncertaintySi * random.normal();
  const gainError = (0.6 * claim.standardUncertaintySi * random.normal()) / spanSi;
  const driftSi = 0.3 * claim.standardUncertaintySi;
  const driftPeriodS = random.between(600, 1800);
  const driftPhase = random.between(0, 2 * Math.PI);
  const noiseSi = NOISE_OF_SPAN * spanSi;
  const shownSi = (trueSi: number, timeS: number): number =>
    trueSi +
    offsetSi +
    gainError * (trueSi - claim.siLow) +
    driftSi * (Math.sin((2 * Math.PI * timeS) / driftPeriodS + driftPhase) - Math.sin(driftPhase));
  return {
    shownSi,
    readSi: (trueSi, timeS, noise, noiseFactor) => shownSi(trueSi, timeS) + noiseFactor * noiseSi * noise.normal(),
  };
}

export function drawConvertedSensor(seed: number, claim: ChannelClaim): ConvertedSensor {
  const sensor = drawSensor(seed, claim);
  const countsPerSi = (claim.countsHigh - claim.countsLow) / (claim.siHigh - claim.siLow);
  return {
    ...sensor,
    counts: (...reading) => {
      const si = sensor.readSi(...reading);
      return Math.min(Math.max(Math.round(claim.countsLow + (si - claim.siLow) * countsPerSi), 0), 0xffff);
    },
  };
}
