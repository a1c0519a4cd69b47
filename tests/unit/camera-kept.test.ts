/** Cameras of a shot: acts judged, checks folded in whatever order, kept by the store, shown by every form of the shot table, marked where only a camera saw it. */
import { DuckDBInstance } from '@duckdb/node-api';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { NOTHING_CHECKED, thenCheck } from '../../host/cli/camera/checking.ts';
import { eventWords } from '../../host/cli/history/event-words.ts';
import { ClosedShots } from '../../host/cli/shots/closed-shots.ts';
import { oneShotLines } from '../../host/cli/shots/one-shot-lines.ts';
import { shotJson } from '../../host/cli/shots/shot-json.ts';
import { shotCsv, shotTable } from '../../host/cli/shots/shot-lines.ts';
import { INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import { summarise } from '../../host/rig/index.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import { Store } from '../../host/store/index.ts';
import type { CameraTrack, OperatorAct, PipelineEvent, Shot } from '../../protocol/index.ts';
import { drawnShot } from '../support/drawn-camera.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { HERON_RIG, HERON_TEXT } from '../support/heron.ts';
import { known } from '../support/known.ts';
import { temporaryFolder } from './store-fixtures.ts';

const CAMERA = known(HERON_RIG.cameras[0]);
const { shot: SEEN, track: TRACK } = drawnShot(HERON_RIG, CAMERA, 5);
const SHOT: Shot = { ...fakeShot({ number: 1, sessionId: 's1' }), ...SEEN };
const { muzzleVelocityMps: _missed, ...REST } = SHOT;
const MISSED: Shot = { ...REST, pairs: [], passages: [] };
const session: PipelineEvent = {
  type: 'session',
  atNs: 0,
  sessionId: 's1',
  openedAt: '2026-03-14T09:30:00.000000Z',
  softwareVersion: '0.1.0',
  rig: summarise(HERON_RIG),
};
const closed = (shot: Shot): PipelineEvent => ({ type: 'shot', phase: 'closed', atNs: 1e9, shot });
const said = (track: CameraTrack | undefined, clip = ''): PipelineEvent => ({
  type: 'camera-act',
  atNs: 2e9,
  shotId: SHOT.id,
  camera: 'side',
  clip,
  who: 'Ane',
  ...(track ? { track } : {}),
});
const lastOf = (events: readonly PipelineEvent[]) => {
  const told = thenCheck(NOTHING_CHECKED, events)[1].findLast((event) => event.type === 'shot-camera');
  return told?.type === 'shot-camera' ? told.of : undefined;
};

describe('checks', () => {
  test('come to the same whether the track is told before the shot is closed, after it, or the shot is told anew', () => {
    const wanted = lastOf([session, closed(SHOT), said(TRACK)]);
    expect(wanted?.check?.verdict).toBe('agree');
    for (const order of [
      [session, said(TRACK), closed(SHOT)],
      [session, closed(MISSED), said(TRACK), closed(SHOT)],
      [session, closed(SHOT), said(TRACK), closed(SHOT)],
    ])
      expect(lastOf(order)).toEqual(wanted);
    expect(lastOf([session, closed(MISSED), said(TRACK)])?.check?.verdict).toBe('camera-only');
  });

  test('keep a clip named before, and take the track that was told last', () => {
    const fewer = { ...TRACK, frames: TRACK.frames.slice(0, 12) };
    const of = lastOf([session, closed(SHOT), said(undefined, 'a.avi'), said(TRACK), said(fewer)]);
    expect(of).toMatchObject({ clip: 'a.avi', who: 'Ane' });
    expect(of?.track?.frames).toHaveLength(12);
    expect(of?.check?.residualsPx).toHaveLength(12);
  });
});

const withdrawn = (isOut: boolean, reason: string): PipelineEvent => ({
  type: 'track-withdrawn',
  atNs: 3e9,
  shotId: SHOT.id,
  camera: 'side',
  withdrawn: isOut,
  reason,
  who: 'Bo',
});

describe('a withdrawn track', () => {
  test('stays told and is checked no more, through the shot told anew and the clip named, until it is taken in again or told anew', () => {
    const before = lastOf([session, closed(SHOT), said(TRACK)]);
    const out = [session, closed(SHOT), said(TRACK), withdrawn(true, 'other ball')];
    expect(lastOf(out)).toEqual({
      camera: 'side',
      clip: '',
      atNs: 2e9,
      who: 'Ane',
      track: TRACK,
      withdrawal: { atNs: 3e9, reason: 'other ball', who: 'Bo' },
    });
    expect(lastOf([...out, closed(SHOT)])).toEqual(lastOf(out));
    expect(lastOf([...out, said(undefined, 'a.avi')])).toEqual({ ...lastOf(out), clip: 'a.avi' });
    expect(lastOf([...out, withdrawn(false, 'it was ours')])).toEqual(before);
    expect(lastOf([...out, said(TRACK)])).toEqual(before);
  });

  test('says so wherever cameras are told, and no camera speed is left of a shot that the gates missed', () => {
    const of = known(lastOf([session, closed(MISSED), said(TRACK), withdrawn(true, 'other ball')]));
    const shot: Shot = { ...MISSED, cameras: [of] };
    expect(oneShotLines(shot, undefined).join('\n')).toContain('Its track is withdrawn by Bo and does not count: other ball.');
    expect(shotTable([shot]).join('\n')).not.toContain('camera');
    expect(shotJson(shot).cameras).toMatchObject([{ verdict: null, withdrawn: { because: 'other ball', by: 'Bo' } }]);
  });
});

/** Of a shot of which a band is asked too, that it meets or not; the rig allows the camera so much. */
const asked = (shot: Shot, withinMps: number, rule: 'plain' | 'guarded' = 'plain', isMet = true) => {
  const { value } = known(SHOT.muzzleVelocityMps);
  const limit = { camera: 'side', withinMps, rule, guardFactor: rule === 'plain' ? 0 : 1 };
  const criterion = { name: 'panel', of: 'muzzle-velocity', unit: 'm/s', rule: 'plain', guardFactor: 0, guardSi: 0, why: '' } as const;
  const notYet = { ...limit, verdict: 'undecided', why: 'no track of the camera was told yet' } as const;
  const criteria = [{ ...criterion, value, verdict: isMet ? ('accepted' as const) : ('rejected' as const) }];
  const own: Shot = { ...shot, acceptance: { verdict: 'undecided', criteria, cameraAgreement: [notYet] } };
  const rig = { ...summarise(HERON_RIG), cameraAgreement: [limit] };
  return { own, first: { ...session, rig } as PipelineEvent };
};
const settled = (events: readonly PipelineEvent[]): Shot => {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of thenCheck(NOTHING_CHECKED, events)[1]) feed.accept(event);
  const closedShots = new ClosedShots();
  for (const event of thenCheck(NOTHING_CHECKED, events)[1]) closedShots.take(event);
  const [shot] = feed.shots;
  expect(closedShots.all.map(({ acceptance, cameras }) => ({ acceptance, cameras }))).toEqual([
    { acceptance: shot?.acceptance, cameras: shot?.cameras },
  ]);
  return known(shot);
};

describe('a camera that shall agree with the gates', () => {
  test.each([
    ['within what is asked', SHOT, 50, 'plain', true, 'agree', 'accepted'],
    ['further apart', SHOT, 1e-6, 'plain', true, 'disagree', 'undecided'],
    ['open by the guarded rule', SHOT, 1, 'guarded', true, 'undecided', 'undecided'],
    ['within, of a shot outside its band', SHOT, 50, 'plain', false, 'agree', 'rejected'],
    ['of a shot that the gates missed', MISSED, 50, 'plain', true, 'undecided', 'undecided'],
  ] as const)('%s', (_, shot, withinMps, rule, isMet, agreement, verdict) => {
    const { own, first } = asked(shot, withinMps, rule, isMet);
    for (const order of [
      [first, closed(own), said(TRACK)],
      [first, said(TRACK), closed(own)],
      [first, closed(own), said(TRACK), closed(own)],
    ]) {
      const { acceptance, cameras } = settled(order);
      expect([acceptance?.cameraAgreement?.[0]?.verdict, acceptance?.verdict]).toEqual([agreement, verdict]);
      if (agreement !== 'undecided')
        expect(acceptance?.cameraAgreement?.[0]?.differenceMps).toBe(cameras?.[0]?.check?.differenceMps?.value);
    }
  });

  test('is undecided before its track and once that is withdrawn, and says why; decided again with it', () => {
    const { own, first } = asked(SHOT, 50);
    const why = (events: readonly PipelineEvent[]) => {
      const { acceptance } = settled(events);
      return [acceptance?.verdict, acceptance?.cameraAgreement?.[0]?.why];
    };
    expect(why([first, closed(own)])).toEqual(['undecided', 'no track of the camera was told yet']);
    const out = [first, closed(own), said(TRACK), withdrawn(true, 'other ball')];
    expect(why(out)).toEqual(['undecided', 'the camera’s track is withdrawn']);
    expect(why([...out, withdrawn(false, 'ours')])).toEqual(['accepted', 'as asked']);
    const lines = oneShotLines(settled([first, closed(own), said(TRACK)]), undefined).join('\n');
    expect(lines).toMatch(
      /ACCEPTED[\s\S]*camera side and gates: .* apart at 2\.000 m, asked within 50\.00 m\/s, plain rule: they agree, as asked/,
    );
  });

  test('alone that is asked, it decides alone', () => {
    const { own, first } = asked(SHOT, 50);
    const bare: Shot = { ...own, acceptance: { ...known(own.acceptance), criteria: [] } };
    expect(settled([first, closed(bare), said(TRACK)]).acceptance?.verdict).toBe('accepted');
    const strict = asked(SHOT, 1e-6);
    const far: Shot = { ...strict.own, acceptance: { ...known(strict.own.acceptance), criteria: [] } };
    expect(settled([strict.first, closed(far), said(TRACK)]).acceptance?.verdict).toBe('rejected');
  });
});

describe('a projectile that was weighed', () => {
  test('flies as heavy in the camera’s check as at the gates', () => {
    const checkOf = (shot: Shot) => known(lastOf([session, closed(shot), said(TRACK)])?.check);
    const kg = HERON_RIG.projectile.massKg;
    const mass = (valueKg: number, standardUncertaintyKg: number) => ({
      ...SHOT,
      weighed: { valueKg, standardUncertaintyKg, atNs: 0, reason: 'r', who: 'w', insteadOf: { valueKg, standardUncertaintyKg } },
    });
    const bare = checkOf(SHOT);
    expect(checkOf(mass(kg.value, kg.standardUncertainty))).toEqual(bare);
    // A heavier ball is slowed less: from what was seen beyond the datum, its speed there was lower.
    const heavy = checkOf(mass(1.3 * kg.value, 0.01 * kg.value));
    expect(known(heavy.datumVelocityMps).value).toBeLessThan(known(bare.datumVelocityMps).value);
    const term = heavy.datumVelocityMps?.budget.find(({ input }) => input === 'projectile mass');
    expect(term).toMatchObject({ value: 1.3 * kg.value, standardUncertainty: 0.01 * kg.value });
  });
});

describe('acts', () => {
  const value = { sessionId: 's1', softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'heron.yaml', text: HERON_TEXT };
  const [begun] = step(INITIAL_STATE, { kind: 'rig', source: 'host', atNs: 0, value });
  const withShot = { ...begun, crew: { ...begun.crew, shots: [{ id: 's1-001', firedAtNs: 0, dropM: undefined, excluded: false }] } };
  const answer = (act: OperatorAct) =>
    step(withShot as typeof begun, { kind: 'operator', source: 'operator', atNs: 1e9, value: act })[1][0];
  const act: Extract<OperatorAct, { act: 'camera-track' }> = {
    act: 'camera-track',
    shotId: 's1-001',
    camera: 'side',
    clip: '',
    track: TRACK,
    who: 'Ane',
  };

  test('an honest one is told on', () => {
    expect(answer(act)).toMatchObject({ type: 'camera-act', camera: 'side', track: TRACK });
    expect(answer({ act: 'clip', shotId: 's1-001', camera: 'side', clip: 'a.avi', who: 'Ane' })).toMatchObject({
      type: 'camera-act',
      clip: 'a.avi',
    });
  });

  test('a track is withdrawn and taken in again, each once, with a reason, and never one that was not told', () => {
    const acts = (all: readonly OperatorAct[]) => {
      let state = withShot as typeof begun;
      return all.map((value) => {
        const [next, [event]] = step(state, { kind: 'operator', source: 'operator', atNs: 1e9, value });
        state = next;
        return event?.type === 'act-refused' ? event.why : event;
      });
    };
    const out = { act: 'withdraw-track', shotId: 's1-001', camera: 'side', withdrawn: true, reason: 'other ball', who: 'Bo' } as const;
    const back = { ...out, withdrawn: false };
    const clip: OperatorAct = { act: 'clip', shotId: 's1-001', camera: 'side', clip: 'a.avi', who: 'Ane' };
    expect(acts([clip, out, act, back, { ...out, reason: ' ' }, out, out, back, out, act, out]).slice(1)).toMatchObject([
      'camera side has no track of shot s1-001; there is nothing to withdraw',
      { type: 'camera-act' },
      'the track of camera side, shot s1-001, is not withdrawn',
      'say why the track is withdrawn',
      { type: 'track-withdrawn', camera: 'side', withdrawn: true, reason: 'other ball', who: 'Bo' },
      'the track of camera side, shot s1-001, is withdrawn already',
      { type: 'track-withdrawn', withdrawn: false },
      { type: 'track-withdrawn', withdrawn: true },
      { type: 'camera-act' },
      { type: 'track-withdrawn', withdrawn: true },
    ]);
    expect(acts([{ ...out, camera: 'above' }])).toEqual([expect.stringMatching(/there is no camera above/)]);
  });

  test.each<[string, Partial<typeof act>, RegExp]>([
    ['no such shot', { shotId: 's1-009' }, /there is no shot s1-009/],
    ['no such camera', { camera: 'above' }, /there is no camera above; those of this rig are side/],
    ['a stranger among the marks', { track: { ...TRACK, marks: [...TRACK.marks, { name: 'M9', xPx: 1, yPx: 1 }] } }, /M9/],
    ['one mark', { track: { ...TRACK, marks: TRACK.marks.slice(0, 1) } }, /a scale needs two/],
    ['one mark twice', { track: { ...TRACK, marks: [...TRACK.marks, ...TRACK.marks] } }, /twice/],
    ['two frames', { track: { ...TRACK, frames: TRACK.frames.slice(0, 2) } }, /2 frames, and 3 to 500/],
    ['frames out of order', { track: { ...TRACK, frames: TRACK.frames.toReversed() } }, /ascending/],
    ['no number', { track: { ...TRACK, frames: TRACK.frames.map((frame) => ({ ...frame, xPx: Number.NaN })) } }, /outside every picture/],
  ])('%s is refused with one sentence', (_what, change, why) => {
    expect(answer({ ...act, ...change })).toMatchObject({ type: 'act-refused', why: expect.stringMatching(why) });
  });
});

describe('kept', () => {
  let folder: ReturnType<typeof temporaryFolder>;
  beforeEach(() => {
    folder = temporaryFolder();
  });
  afterEach(() => folder.remove());

  test('by the store, as last told, beside a shot that is stored anew; a camera-only speed is a column', async () => {
    const path = `${folder.path}/store.duckdb`;
    const store = await Store.open(path);
    const events = thenCheck(NOTHING_CHECKED, [session, closed(MISSED), said(TRACK, 'a.avi')])[1];
    store.apply('s1', events);
    await store.flush();
    store.apply('s1', [closed(MISSED)]);
    const [kept] = await store.shots();
    expect(kept?.cameras).toEqual([lastOf([session, closed(MISSED), said(TRACK, 'a.avi')])]);
    expect((await store.shot(SHOT.id))?.cameras).toEqual(kept?.cameras);
    await store.close();
    const instance = await DuckDBInstance.create(path);
    const connection = await instance.connect();
    const rows = await connection.runAndReadAll('SELECT verdict, clip, datum_velocity_mps FROM shot_cameras');
    expect(rows.getRowsJS()).toEqual([['camera-only', 'a.avi', kept?.cameras?.[0]?.check?.datumVelocityMps?.value]]);
    connection.closeSync();
    instance.closeSync();
  });

  test('by the store with what was done to it, a track without its places; a withdrawn one as such', async () => {
    const store = await Store.open(`${folder.path}/store.duckdb`);
    const acts = [session, closed(SHOT), said(TRACK, 'a.avi'), said(undefined, 'b.avi'), withdrawn(true, 'other ball')];
    store.apply('s1', thenCheck(NOTHING_CHECKED, acts)[1]);
    await store.flush();
    expect((await store.shot(SHOT.id))?.cameras).toEqual([lastOf(acts)]);
    const told = await store.shotActs(SHOT.id);
    expect(told.map(({ event }) => eventWords(event))).toEqual([
      `track of camera side: 4 marks, ${TRACK.frames.length} frames, clip a.avi`,
      'clip of camera side: b.avi',
      'track of camera side withdrawn: other ball',
    ]);
    expect(JSON.stringify(told)).not.toContain('xPx');
    await store.close();
  });

  test('by the store with what was asked of a camera, though the shot was stored before the track', async () => {
    const store = await Store.open(`${folder.path}/store.duckdb`);
    const { own, first } = asked(SHOT, 50);
    const events = [first, closed(own), said(TRACK)];
    for (const event of thenCheck(NOTHING_CHECKED, events)[1]) store.apply('s1', [event]);
    await store.flush();
    expect((await store.shot(SHOT.id))?.acceptance).toEqual(settled(events).acceptance);
    expect((await store.shots())[0]?.acceptance?.verdict).toBe('accepted');
    await store.close();
  });

  test('by the live feed through a shot that is told anew, and shown by table, CSV, JSON and the whole of a shot', () => {
    const feed = new LiveFeed({ mode: 'live' });
    for (const event of thenCheck(NOTHING_CHECKED, [session, closed(MISSED), said(TRACK, 'a.avi'), closed(MISSED)])[1]) feed.accept(event);
    const shot = known(feed.shots[0]);
    const speed = known(shot.cameras?.[0]?.check?.datumVelocityMps);
    expect(shotTable([shot]).join('\n')).toMatch(/m\/s ± [\d.]+ \(camera side only\)/);
    const [titles = '', cells = ''] = shotCsv([shot]);
    expect(cells.split(',')[titles.split(',').indexOf('cameraMuzzleVelocityMps')]).toBe(String(speed.value));
    expect(shotJson(shot).cameras).toMatchObject([
      { camera: 'side', clip: 'a.avi', verdict: 'camera-only', muzzle: { velocityMps: speed.value } },
    ]);
    expect(oneShotLines(shot, undefined).join('\n')).toContain('The gates gave no speed; camera side alone has');
    expect(shotTable([SHOT]).join('\n')).not.toContain('camera');
  });
});
