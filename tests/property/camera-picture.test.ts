/** Tracks of drawn pictures, without error, of any camera: what is evaluated is what was so. And tracks of anything at all: never more than a sentence. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fly } from '../../firmware-sim/world/flight.ts';
import { crossCheck } from '../../host/analysis/camera/index.ts';
import { summarise } from '../../host/rig/index.ts';
import type { CameraSummary, CrossCheck } from '../../protocol/index.ts';
import { trackOf } from '../support/camera-scene.ts';
import { claimedShot } from '../support/claimed-shots.ts';
import { drawnShot, shotOf } from '../support/drawn-camera.ts';
import { HERON_RIG } from '../support/heron.ts';
import { known } from '../support/known.ts';

const CAMERA = known(HERON_RIG.cameras[0]);
const RIG = summarise(HERON_RIG);
const CLAIMED = claimedShot(HERON_RIG, { seed: 11 });
const SHOT = shotOf(CLAIMED, HERON_RIG);
/** That the gates missed. */
const { muzzleVelocityMps: _, ...MISSED } = { ...SHOT, pairs: [], passages: [] };

test('a perfect picture gives the true speed, wherever the camera stands, however it is turned and rolled, whichever way the ball flies in it', () => {
  const scene = fc.record({
    placeM: fc.double({ min: 1, max: 9, noNaN: true }),
    distanceM: fc.double({ min: 1.5, max: 6, noNaN: true }),
    standoffs: fc.array(fc.double({ min: -0.5, max: 0.8, noNaN: true }), { minLength: 4, maxLength: 4 }),
    yawRad: fc.double({ min: -0.35, max: 0.35, noNaN: true }),
    rollRad: fc.double({ min: -3, max: 3, noNaN: true }),
    heightM: fc.double({ min: -0.3, max: 0.3, noNaN: true }),
    frameRateHz: fc.double({ min: 5e3, max: 40e3, noNaN: true }),
    muzzleMps: fc.double({ min: 150, max: 600, noNaN: true }),
  });
  fc.assert(
    fc.property(scene, ({ placeM, distanceM, standoffs, yawRad, rollRad, heightM, frameRateHz, muzzleMps }) => {
      const exact = (value: number) => ({ value, standardUncertainty: 0 });
      const marks = standoffs.map((standoffM, i) => ({
        name: `M${i}`,
        positionM: exact(placeM - 0.45 + 0.3 * i),
        standoffM: exact(standoffM),
      }));
      const { trigger: _running, ...free } = CAMERA;
      const camera: CameraSummary = {
        ...free,
        frameRateHz: exact(frameRateHz),
        placeM: exact(placeM),
        distanceM: exact(distanceM),
        squarenessStandardUncertaintyRad: 0.5,
        markingStandardUncertaintyPx: 0.1,
        marks,
      };
      const flight = fly({
        muzzleVelocityMps: muzzleMps,
        elevationRad: 0,
        diameterM: RIG.projectile.diameterM,
        massKg: RIG.projectile.massKg,
        dragFactor: 1,
        densityKgM3: SHOT.air.densityKgM3.value,
        speedOfSoundMps: SHOT.air.speedOfSoundMps.value,
        distanceM: 11.2,
      });
      const track = trackOf({
        camera: {
          xM: placeM,
          heightM: 0,
          distanceM,
          yawRad,
          pitchRad: 0,
          rollRad,
          focalPx: 700 * distanceM,
          widthPx: 4000,
          heightPx: 4000,
        },
        frameRateHz,
        exposureS: camera.exposureS,
        triggerFrame: 0,
        delayS: 0,
        marks: marks.map(({ name, positionM, standoffM }) => ({ name, at: [positionM.value, heightM, standoffM.value] as const })),
        flight,
        muzzleAtS: 0.02,
        sidewaysM: 0,
        every: 1,
        framesMax: 80,
        slipPx: () => 0,
      });
      fc.pre(track.frames.length >= 8);
      const check = crossCheck(camera.name, track, MISSED, { ...RIG, cameras: [camera] });
      if (check.verdict === 'no-speed') throw new Error(check.words);
      const truth = flight.at(check.positionM ?? Number.NaN).speedMps;
      // The drag of the published curve is not the world's own: a part in a thousand over some metres; gravity and roll the rest.
      expect(Math.abs((check.datumVelocityMps?.value ?? Number.NaN) / muzzleMps - 1)).toBeLessThan(0.004);
      if (placeM < 2) expect(Math.abs((check.velocityMps?.value ?? Number.NaN) / truth - 1)).toBeLessThan(0.001);
    }),
    { seed: 7, numRuns: 40, endOnFailure: true },
  );
});

const px = fc.oneof(fc.double({ min: -65_536, max: 65_536, noNaN: true }), fc.constantFrom(0, 100, 1e-12, -65_536));

test('any track that passes the door gives a sentence and finite numbers, or none', () => {
  const track = fc.record({
    marks: fc.uniqueArray(fc.record({ name: fc.constantFrom('M1', 'M2', 'M3', 'M4'), xPx: px, yPx: px }), { selector: ({ name }) => name }),
    frames: fc
      .uniqueArray(fc.oneof(fc.nat(60), fc.nat(1e9)), { minLength: 3, maxLength: 30 })
      .chain((frames) =>
        fc.tuple(...frames.sort((a, b) => a - b).map((frame) => fc.record({ frame: fc.constant(frame), xPx: px, yPx: px }))),
      ),
  });
  fc.assert(
    fc.property(track, (drawn) => expectSound(crossCheck(CAMERA.name, drawn, SHOT, RIG))),
    { seed: 8, numRuns: 150 },
  );
});

test('an honest track with one place anywhere gives a sentence and finite numbers too', () => {
  const { track } = drawnShot(HERON_RIG, CAMERA, 12);
  fc.assert(
    fc.property(fc.nat(track.frames.length + track.marks.length - 1), px, px, (which, xPx, yPx) => {
      const at = <T extends object>(list: readonly T[], i: number): readonly T[] =>
        list.map((each, k) => (k === i ? { ...each, xPx, yPx } : each));
      const spoilt = { marks: at(track.marks, which), frames: at(track.frames, which - track.marks.length) };
      expectSound(crossCheck(CAMERA.name, spoilt, SHOT, RIG));
    }),
    { seed: 9, numRuns: 25 },
  );
});

function expectSound(check: CrossCheck): void {
  expect(check.words.length).toBeGreaterThan(10);
  expect(check.words).not.toMatch(/NaN|Infinity|undefined/);
  // JSON has no other way to say that a number is none.
  expect(JSON.stringify(check)).not.toContain('null');
}
