/** Sensors: a true value becomes 16-bit counts by way of offset, gain error, slow drift, noise and saturation. */
import { CHANNELS, type ChannelClaim } from './heron.ts';
import { type Random, randomStream } from './random.ts';

export interface Sensor {
  readonly claim: ChannelClaim;
  /** What the sensor shows for a true value, without noise and rounding, SI. */
  shownSi(trueSi: number, timeS: number): number;
  /** One converted sample. @param noiseFactor  1 for a sample of the slow stream */
  counts(trueSi: number, timeS: number, noise: Random, noiseFactor: number): number;
}

/** Standard deviation of one slow sample, as a share of the calibrated span: about 1½ counts of 52 428. */
const NOISE_OF_SPAN = 3e-5;

/**
 * The claimed standard uncertainty is shared out: 0.7 offset, 0.6 gain error at full span, 0.3 drift (peak), so that
 * together they stay a little below the claim.
 */
export function drawSensor(seed: number, claim: ChannelClaim): Sensor {
  const random = randomStream(seed, `sensor/${claim.role}`);
  const spanSi = claim.siHigh - claim.siLow;
  const offsetSi = 0.7 * claim.standardUncertaintySi * random.normal();
  const gainError = (0.6 * claim.standardUncertaintySi * random.normal()) / spanSi;
  const driftSi = 0.3 * claim.standardUncertaintySi;
  const driftPeriodS = random.between(600, 1800);
  const driftPhase = random.between(0, 2 * Math.PI);
  const noiseSi = NOISE_OF_SPAN * spanSi;
  const countsPerSi = (claim.countsHigh - claim.countsLow) / spanSi;
  const shownSi = (trueSi: number, timeS: number): number =>
    trueSi +
    offsetSi +
    gainError * (trueSi - claim.siLow) +
    driftSi * (Math.sin((2 * Math.PI * timeS) / driftPeriodS + driftPhase) - Math.sin(driftPhase));
  return {
    claim,
    shownSi,
    counts: (trueSi, timeS, noise, noiseFactor) => {
      const si = shownSi(trueSi, timeS) + noiseFactor * noiseSi * noise.normal();
      return Math.min(Math.max(Math.round(claim.countsLow + (si - claim.siLow) * countsPerSi), 0), 0xffff);
    },
  };
}

/** By channel number. */
export function drawSensors(seed: number): readonly Sensor[] {
  return CHANNELS.map((claim) => drawSensor(seed, claim));
}
