/**
 * Pinhole geometry against examples worked by hand with similar triangles, where nothing but pencil and paper is needed:
 * a lens of 1000 px, 2 m from the flight line.
 */
import { expect, test } from 'vitest';
import { crossCheck } from '../../host/analysis/camera/index.ts';
import { type Pinhole, placeOnLineM, seenAtPx } from '../../host/analysis/camera/pinhole.ts';
import type { CameraSummary, CameraTrack } from '../../protocol/index.ts';
import { handCamera, handRig, handShot } from '../support/hand-camera.ts';

const square: Pinhole = { scalePxPerM: 500, footPx: 0, turnRad: 0, placeM: 3, distanceM: 2 };

test('similar triangles: 1 m on the flight line is 500 px, 0.5 m behind it 400 px, 0.4 m before it 625 px', () => {
  expect(seenAtPx(square, 4, 0)).toBeCloseTo(500, 12);
  expect(seenAtPx(square, 4, 0.5)).toBeCloseTo(400, 12);
  expect(seenAtPx(square, 4, -0.4)).toBeCloseTo(625, 12);
  // 1 m to the other side.
  expect(seenAtPx(square, 2, 0.5)).toBeCloseTo(-400, 12);
});

test('a camera turned by 45°: the axis meets the line 2 m down the range, and infinity down the range is 1000 px from it', () => {
  // In the picture, from the axis: 1000 · tan(angle − 45°). The foot of the perpendicular is at −1000 px; 2 m on, at 0.
  const turned: Pinhole = { scalePxPerM: 0, footPx: -1000, turnRad: Math.PI / 4, placeM: 3, distanceM: 2 };
  // (−1000 + s·x)/(1 + x/2) = 0 at x = 2 gives s = 500 px/m.
  const camera = { ...turned, scalePxPerM: 500 };
  expect(seenAtPx(camera, 5, 0)).toBeCloseTo(0, 9);
  expect(seenAtPx(camera, 3, 0)).toBeCloseTo(-1000, 9);
  // At an angle of atan(3): tan(atan 3 − 45°) = (3 − 1)/(1 + 3) = 0.5.
  expect(seenAtPx(camera, 3 + 6, 0)).toBeCloseTo(500, 9);
  // 6 m on at 1 m behind the line is the ray through 4 m on it: atan 2, tan(atan 2 − 45°) = 1/3.
  expect(seenAtPx(camera, 3 + 6, 1)).toBeCloseTo(1000 / 3, 9);
  expect(placeOnLineM(camera, 500)).toBeCloseTo(9, 9);
});

/** A ball of 100 m/s that nothing slows, in front of a camera of 1000 frames a second: 0.1 m, so 50 px a frame. */
const track = (marksPx: readonly (readonly [string, number])[]): CameraTrack => ({
  marks: marksPx.map(([name, xPx]) => ({ name, xPx, yPx: 400 })),
  frames: Array.from({ length: 9 }, (_, i) => ({ frame: 40 + i, xPx: 300 + 50 * i, yPx: 420 })),
});

test('marks 0.5 m behind the line, 0.8 m apart in the picture of 320 px: the speed is 100 m/s and not 125', () => {
  const camera: CameraSummary = handCamera({ standoffM: 0.5 });
  // Marks at 2.6 and 3.4 m, so 0.4 m either side of the camera's place: 400 px a metre, at 500 ∓ 160 px.
  const seen = track([
    ['M1', 340],
    ['M2', 660],
  ]);
  const check = crossCheck('hand', seen, handShot(), handRig(camera));
  expect(check.verdict).toBe('camera-only');
  expect(check.velocityMps?.value).toBeCloseTo(100, 6);
  expect(check.scalePxPerM?.value).toBeCloseTo(500, 6);
  // Frame 40 is at 300 px: 0.4 m before the camera's place.
  expect(check.positionsM?.[0]).toBeCloseTo(2.6, 6);
  const inPlane = crossCheck('hand', seen, handShot(), handRig(handCamera({ standoffM: 0 })));
  expect(inPlane.velocityMps?.value).toBeCloseTo(125, 6);
});

test('the budget of that speed, term by term, by hand', () => {
  // v = Δpx/Δt · Δx/Δu · D/(D+s), with D = 2, s = 0.5, Δx = 0.8 m, Δu = 320 px, v = 100 m/s.
  const check = crossCheck(
    'hand',
    track([
      ['M1', 340],
      ['M2', 660],
    ]),
    handShot(),
    handRig(handCamera({ standoffM: 0.5, standoffU: 0.01, distanceU: 0.01, markU: 0.001, rateU: 1, markingU: 0.5 })),
  );
  const of = (name: string): number => check.velocityMps?.budget.find(({ input }) => input === name)?.contribution ?? Number.NaN;
  // ∂v/∂s = −v/(D+s) = −40 per s; times 0.01 m.
  expect(of('standoff of the marks')).toBeCloseTo(0.4, 6);
  // ∂v/∂D = v·s/(D(D+s)) = 10 per s.
  expect(of('distance of the camera')).toBeCloseTo(0.1, 6);
  // v/Δx · 1 mm, for each of the two.
  expect(of('mark M1 position')).toBeCloseTo(0.125, 6);
  // v/Δu · 0.5 px.
  expect(of('marking of mark M2')).toBeCloseTo(0.15625, 6);
  // v · 1/1000.
  expect(of('frame rate of the camera')).toBeCloseTo(0.1, 6);
  // Slope through 9 frames: σ/√Σ(i−4)² = 0.5/√60 px a frame, over 50 px a frame.
  expect(of('marking of the ball')).toBeCloseTo((100 * 0.5) / Math.sqrt(60) / 50, 4);
});
