/** The map's promises, on campaigns of the simulated launcher. */
import { beforeAll, describe, expect, it } from 'vitest';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { type FittedMap, fillFor, fitMap, type MapShot, predictVelocity, supportOf } from '../../host/analysis/map/index.ts';
import { designOver, placeRows, planMapShot } from '../../host/analysis/next-shot/index.ts';
import { hits } from '../support/campaigns/hits.ts';
import { AMBIENT_PA, LIMITS, problemOf, SimulatedWorld } from '../support/campaigns/simulated-shots.ts';

const SEED = 41;

const made = (shots: readonly MapShot[]): FittedMap => fitMap(problemOf(shots)) ?? expect.fail(`no map, seed ${SEED}`);

/** Six fills, each pumped and at a third of the air's pressure. */
function campaign(seed = SEED): readonly MapShot[] {
  const world = new SimulatedWorld({ seed });
  return [0.4e6, 0.7e6, 1.1e6, 1.7e6, 2.4e6, 3.2e6].flatMap((fillPa) => [4e3, 33e3].map((barrelPa) => world.shoot(fillPa, barrelPa).shot));
}

describe('a map of twelve shots', () => {
  let shots: readonly MapShot[];
  let map: FittedMap;
  beforeAll(() => {
    shots = campaign();
    map = made(shots);
  });

  it('gives no velocity without driving pressure, and none above the adiabatic bound', () => {
    const random = randomStream(SEED, 'questions');
    for (let i = 0; i < 60; i++) {
      const barrelPressurePa = random.between(1e3, AMBIENT_PA);
      const reservoirPressurePa = random.between(0, 2 * LIMITS.reservoirPressurePaMax);
      const { mean, nextShot, boundMps } = predictVelocity(map, { reservoirPressurePa, barrelPressurePa });
      expect(nextShot.highMps).toBeLessThanOrEqual(boundMps);
      expect(nextShot.lowMps).toBeLessThanOrEqual(mean.velocityMps);
      if (reservoirPressurePa <= barrelPressurePa) expect(nextShot.highMps).toBe(0);
    }
  });

  it('answers with a fill whose mean velocity is the one wanted, inside its own interval, and the bands hold each other', () => {
    for (const velocityMps of [260, 340, 420, 500]) {
      const answer = fillFor(map, { velocityMps, barrelPressurePa: 5e3 });
      if (answer.kind !== 'fill') throw new Error(`${velocityMps} m/s: ${answer.message}`);
      const { mean, nextShot } = answer.expected;
      expect(mean.velocityMps).toBeCloseTo(velocityMps, 2);
      expect(answer.lowPa).toBeLessThan(answer.reservoirPressurePa);
      expect(answer.highPa).toBeGreaterThan(answer.reservoirPressurePa);
      expect(nextShot.lowMps).toBeLessThan(mean.lowMps);
      expect(nextShot.highMps).toBeGreaterThan(mean.highMps);
    }
  });

  it('refuses beyond its shots, says what shot would help, and never one above the limit or a leap', () => {
    const hardestPa = Math.max(...shots.map(({ firing }) => firing.reservoirPressurePa));
    for (const [velocityMps, barrelPressurePa] of [
      [545, 4e3],
      [150, 4e3],
      [350, AMBIENT_PA],
      [900, 4e3],
    ] as const) {
      const answer = fillFor(map, { velocityMps, barrelPressurePa });
      expect(answer.kind, `${velocityMps} m/s`).toBe('refused');
      if (answer.kind !== 'refused') continue;
      expect(answer.message).toMatch(/^[A-Z].*\.$/);
      const shot = answer.shotThatHelps;
      if (velocityMps === 900) expect(shot).toBeUndefined();
      else expect(shot?.reservoirPressurePa).toBeLessThanOrEqual(Math.min(LIMITS.reservoirPressurePaMax, 1.4 * hardestPa));
    }
  });

  it('scores a shot as a map without it does', () => {
    for (const place of [3, 8]) {
      const left = shots[place] as MapShot;
      const without = made(shots.filter((shot) => shot !== left));
      const { firing } = left;
      const { nextShot } = predictVelocity(without, firing);
      const score = map.scores.find(({ id }) => id === left.id) ?? expect.fail();
      const departure = left.muzzleVelocityMps.value / nextShot.velocityMps - 1;
      // To a part of the band: the leaving out is done in the linear part, about the map of all.
      expect(Math.abs(departure - score.departure)).toBeLessThan(0.35 * (nextShot.standardUncertaintyMps / nextShot.velocityMps));
    }
  });

  it('names the one shot that a leak slowed, and is not bent by it', () => {
    const leaked = shots.map((shot, i) =>
      i === 6 ? { ...shot, muzzleVelocityMps: { ...shot.muzzleVelocityMps, value: 0.95 * shot.muzzleVelocityMps.value } } : shot,
    );
    const bent = made(leaked);
    expect(bent.setAside.map(({ id }) => id)).toEqual([leaked[6]?.id]);
    expect(bent.setAside[0]?.departure).toBeCloseTo(-0.05, 2);
    expect(bent.setAside[0]?.tailProbability).toBeLessThan(1e-3);
    const question = { reservoirPressurePa: 1.7e6, barrelPressurePa: 4e3 };
    const [with_, without] = [predictVelocity(bent, question), predictVelocity(map, question)];
    expect(Math.abs(with_.mean.velocityMps / without.mean.velocityMps - 1)).toBeLessThan(0.004);
    const plan = planMapShot(bent, { region: { reservoirPa: [0.4e6, 3.2e6], barrelPa: [4e3, 33e3] } });
    expect(plan.some(({ kind, of }) => kind === 'reshoot' && of === leaked[6]?.id)).toBe(true);
  });

  it('plans nothing above the permitted fill, nor a leap, and shrinks what it says it shrinks', () => {
    const region = { reservoirPa: [0.4e6, LIMITS.reservoirPressurePaMax], barrelPa: [3e3, AMBIENT_PA] } as const;
    const early = made(shots.slice(0, 4));
    const [best] = planMapShot(early, { region });
    expect(best?.reservoirPressurePa).toBeLessThanOrEqual(2 * 0.7e6);
    for (const { reservoirPressurePa, uncertaintyNow, uncertaintyAfter } of planMapShot(map, { region })) {
      expect(reservoirPressurePa).toBeLessThanOrEqual(LIMITS.reservoirPressurePaMax);
      expect(uncertaintyAfter).toBeLessThanOrEqual(uncertaintyNow);
    }
  });

  it('foretells the variances that the same regression has with one row more', () => {
    const { rowsAt, noiseAt } = placeRows(map);
    const places = [
      rowsAt({ reservoirPressurePa: 1e6, barrelPressurePa: 9e4 }),
      rowsAt({ reservoirPressurePa: 3e6, barrelPressurePa: 5e3 }),
    ];
    const at = rowsAt({ reservoirPressurePa: 0.5e6, barrelPressurePa: 9e4 });
    const noiseVariances = noiseAt(at);
    const after = designOver(map.components, places).after({ at, noiseVariances });
    const updated = map.components.map(({ weight, posterior }, i) => {
      const row = at[i] as readonly number[];
      const along = posterior.covariance.map((line) => line.reduce((sum, c, k) => sum + c * (row[k] as number), 0));
      const spread = along.reduce((sum, c, k) => sum + c * (row[k] as number), 0) + (noiseVariances[i] as number);
      const covariance = posterior.covariance.map((line, j) =>
        line.map((c, k) => c - ((along[j] as number) * (along[k] as number)) / spread),
      );
      return { weight, posterior: { covariance } };
    });
    for (const [p, variance] of designOver(updated, places).now.entries()) expect(variance / (after[p] as number)).toBeCloseTo(1, 6);
  });

  it('is less sure of a gauge that came new from calibration than of the one that it was shot with', () => {
    const problem = problemOf(shots);
    const renewed = { ...problem, reservoirGauges: [...problem.reservoirGauges, { name: 'new', standardUncertaintyPa: 15_000 }] };
    const fitted = fitMap(renewed) ?? expect.fail();
    const width = (reservoirGauge: string): number => {
      const { mean } = predictVelocity(
        { ...fitted, gauges: { ...fitted.gauges, reservoirGauge } },
        { reservoirPressurePa: 0.7e6, barrelPressurePa: 4e3 },
      );
      return mean.highMps - mean.lowMps;
    };
    // Its own error is in no shot yet: 15 kPa at 0.7 MPa are some 0.9 % of the velocity, and no number of shots with the other averages that away.
    expect(width('new')).toBeGreaterThan(2 * width('reservoir'));
  });
});

it('three shots are no support, and say so', () => {
  const few = campaign().slice(0, 3);
  const support = supportOf(few, LIMITS);
  expect(support((few[0] as MapShot).firing)).toMatchObject({ isSupported: false, reason: 'by 3 of at least 4 shots only' });
});

it('the fill that it gives hits, on a few campaigns (check:campaigns has two hundred)', () => {
  const { asked, hit, largestHalfWidth, withoutMap } = hits({ firstSeed: 100, campaigns: 3 });
  expect(withoutMap).toBe(0);
  expect(asked).toBeGreaterThan(3);
  expect(hit / asked).toBeGreaterThan(0.75);
  expect(largestHalfWidth).toBeLessThan(0.02);
});
