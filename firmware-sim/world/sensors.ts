/** Sensors: a true value becomes what is shown by way of offset, gain error and slow drift; and counts by noise and saturation. */
import { CHANNELS, type ChannelClaim, type Claim } from './heron.ts';
import { type Random, randomStream } from './random.ts';

export interface Sensor<Of extends Claim = Claim> {
  readonly claim: Of;
  /** What the sensor shows for a true value, without noise and rounding, SI. */
  shownSi(trueSi: number, timeS: number): number;
}

export interface CountingSensor extends Sensor<ChannelClaim> {
  /** One converted sample. @param noiseFactor  1 for a sample of the slow stream */
  counts(trueSi: number, timeS: number, noise: Random, noiseFactor: number): number;
}

/** Standard deviation of one slow sample, as a share of the calibrated span: about 1½ counts of 52 428. */
const NOISE_OF_SPAN = 3e-5;

/**
 * The claimed standard uncertainty is shared out: 0.7 offset, 0.6 gain error at full span, 0.3 drift (peak), so that
 * together they stay a little below the claim. The drift is slow: in an hour it goes no further than the claim.
 */
export function drawSensor<Of extends Claim>(seed: number, claim: Of): Sensor<Of> {
  const random = randomStream(seed, `sensor/${claim.name}`);
  const spanSi = claim.siHigh - claim.siLow;
  const offsetSi = 0.7 * claim.standardUncertaintySi * random.normal();
  const gainError = (0.6 * claim.standardUncertaintySi * random.normal()) / spanSi;
  const driftSi = 0.3 * claim.standardUncertaintySi;
  const driftPeriodS = random.between(7200, 21_600);
  const driftPhase = random.between(0, 2 * Math.PI);
  return {
    claim,
    shownSi: (trueSi, timeS) =>
      trueSi +
      offsetSi +
      gainError * (trueSi - claim.siLow) +
      driftSi * (Math.sin((2 * Math.PI * timeS) / driftPeriodS + driftPhase) - Math.sin(driftPhase)),
  };
}

export function drawCountingSensor(seed: number, claim: ChannelClaim): CountingSensor {
  const sensor = drawSensor(seed, claim);
  const spanSi = claim.siHigh - claim.siLow;
  const noiseSi = NOISE_OF_SPAN * spanSi;
  const countsPerSi = (claim.countsHigh - claim.countsLow) / spanSi;
  return {
    ...sensor,
    counts: (trueSi, timeS, noise, noiseFactor) => {
      const si = sensor.shownSi(trueSi, timeS) + noiseFactor * noiseSi * noise.normal();
      return Math.min(Math.max(Math.round(claim.countsLow + (si - claim.siLow) * countsPerSi), 0), 0xffff);
    },
  };
}

/** Of the gate board, by channel number. */
export const drawGateBoardSensors = (seed: number): readonly CountingSensor[] => CHANNELS.map((claim) => drawCountingSensor(seed, claim));
