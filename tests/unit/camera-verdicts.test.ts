/** Verdicts and blame: a few of the campaigns' shots, and set-ups that can tell little. */
import { expect, test } from 'vitest';
import { crossCheck } from '../../host/analysis/camera/index.ts';
import { summarise } from '../../host/rig/index.ts';
import type { CameraSummary } from '../../protocol/index.ts';
import { drawnShot } from '../support/drawn-camera.ts';
import { HERON_RIG } from '../support/heron.ts';
import { known } from '../support/known.ts';

const CAMERA = known(HERON_RIG.cameras[0]);
const RIG = summarise(HERON_RIG);

test('of 40 honest shots most agree, and of 12 of each mistake most are caught and named', () => {
  const of = (seed: number, mistake = {}) => {
    const { shot, track } = drawnShot(HERON_RIG, CAMERA, seed, mistake);
    return crossCheck('side', track, shot, RIG);
  };
  const seeds = (count: number) => Array.from({ length: count }, (_, i) => 500 + i);
  // By chance alone fewer than 34 of 40 happen once in 200; fewer than 9 of 12 of a mistake named in nine of ten, once in 40.
  expect(seeds(40).filter((seed) => of(seed).verdict === 'agree').length).toBeGreaterThanOrEqual(34);
  expect(seeds(12).filter((seed) => of(seed, { scale: 0.01 }).blame === 'scale').length).toBeGreaterThanOrEqual(9);
  expect(seeds(12).filter((seed) => of(seed, { standoff: 0.1 }).blame === 'standoff').length).toBeGreaterThanOrEqual(9);
});

test('a camera that no trigger starts is told that its track cannot tell scale, standoff and frame rate apart', () => {
  const { trigger: _, ...free } = CAMERA;
  const rig = { ...RIG, cameras: [free] };
  const { shot, track } = drawnShot(HERON_RIG, CAMERA, 900, { scale: 0.01 });
  const check = crossCheck('side', track, shot, rig);
  expect(check.verdict).toBe('disagree');
  expect(check.blame).toBeUndefined();
  expect(check.passage).toBeUndefined();
  expect(check.words).toContain('this track cannot tell which');
});

test('a camera that knows little cannot tell', () => {
  const vague: CameraSummary = { ...CAMERA, standoffM: { value: 0.3, standardUncertainty: 0.1 } };
  const { shot, track } = drawnShot(HERON_RIG, CAMERA, 901);
  const check = crossCheck('side', track, shot, { ...RIG, cameras: [vague] });
  expect(check.verdict).toBe('cannot-tell');
  expect(check.words).toContain('The camera cannot tell');
});

test('marks that are mixed up and frames that are of another clip give a sentence', () => {
  const { shot, track } = drawnShot(HERON_RIG, CAMERA, 902);
  const mixed = { ...track, marks: track.marks.map((mark, i, all) => ({ ...mark, name: known(all.at(-1 - i)).name })) };
  expect(crossCheck('side', mixed, shot, RIG)).toMatchObject({ verdict: 'no-speed', words: expect.stringContaining('mixed up') });
  expect(crossCheck('other', track, shot, RIG).words).toBe('No speed from this camera: the rig file has no camera other.');
});
