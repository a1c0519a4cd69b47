/**
 * Does a camera agree with honest gates as often as it says it does, and is a mistake of its set-up caught and named?
 * Every error is drawn from what the rig file claims, anew for each shot; flight and pictures are the simulated world's.
 */
import { crossCheck } from '../../../host/analysis/camera/index.ts';
import { summarise } from '../../../host/rig/index.ts';
import type { CrossCheck, Suspect } from '../../../protocol/index.ts';
import { drawnShot, type Mistake } from '../../support/drawn-camera.ts';
import { HERON_RIG } from '../../support/heron.ts';
import type { Row } from '../table.ts';

const SEEDS = 200;
const SHOTS_PER_CAMPAIGN = 12;
/** With fewer, chance alone would miss what is wanted. */
const LEAST = 0.1;
const [CAMERA] = HERON_RIG.cameras;
const RIG = summarise(HERON_RIG);

/** @param scale  1: 200 campaigns of 12 honest shots; and for each mistake as many shots, every other one the other way */
export function* cameraRows(scale: number): Generator<Row> {
  const seeds = Math.round(SEEDS * Math.max(LEAST, scale));
  yield honest(seeds);
  yield caught('a scale wrong by 1 %', seeds, 'scale', (sign) => ({ scale: 0.01 * sign }));
  yield caught('a standoff wrong by 10 %', seeds, 'standoff', (sign) => ({ standoff: 0.1 * sign }));
  yield caught('a frame rate wrong by 1 %', seeds, 'frame rate', (sign) => ({ frameRate: 0.01 * sign }));
}

function honest(seeds: number): Row {
  const shots = seeds * SHOTS_PER_CAMPAIGN;
  const checks = Array.from({ length: shots }, (_, i) => check(1 + i, {}));
  const agreeing = checks.filter(({ score }) => score !== undefined && Math.abs(score) <= 1).length / shots;
  return {
    what: `camera and gates agree (|E_n| at most 1), both honest, ${seeds} campaigns of ${SHOTS_PER_CAMPAIGN} shots`,
    wanted: '94 % to 96 %',
    found: `${percent(agreeing)}, halves ${halves(checks)}`,
    // A small run strays by chance alone.
    reached: Math.abs(agreeing - 0.95) <= Math.max(0.01, 2.5 * Math.sqrt((0.95 * 0.05) / shots)),
  };
}

function caught(what: string, shots: number, suspect: Suspect, mistake: (sign: number) => Mistake): Row {
  const checks = Array.from({ length: shots }, (_, i) => check(100_001 + i, mistake(i % 2 === 0 ? 1 : -1)));
  const disagreeing = checks.filter(({ verdict }) => verdict === 'disagree');
  const named = disagreeing.filter(({ blame }) => blame === suspect).length / shots;
  const wrongly = disagreeing.filter(({ blame }) => blame !== undefined && blame !== suspect).length / shots;
  return {
    what: `${what} is caught and named, ${shots} shots`,
    wanted: 'at least 90 %',
    found: `${percent(named)} (caught ${percent(disagreeing.length / shots)}, another named ${percent(wrongly)})`,
    reached: named >= 0.9,
  };
}

function check(seed: number, mistake: Mistake): CrossCheck {
  if (!CAMERA) throw new Error('the rig file of Heron has no camera');
  const { shot, track } = drawnShot(HERON_RIG, CAMERA, seed, mistake);
  return crossCheck(CAMERA.name, track, shot, RIG);
}

/** That it is no matter of luck: the same of both halves of the campaigns. */
function halves(checks: readonly CrossCheck[]): string {
  const half = Math.ceil(checks.length / 2);
  const share = (some: readonly CrossCheck[]): string =>
    percent(some.filter(({ score }) => score !== undefined && Math.abs(score) <= 1).length / some.length);
  return `${share(checks.slice(0, half))} and ${share(checks.slice(half))}`;
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
