/** The Camera page: stills with known truth, marked by mouse, touch and keyboard; what is sent; what comes of it; reached by everybody, at every width. */
import axe from 'axe-core';
import { expect, it } from 'vitest';
import { fly } from '../../firmware-sim/world/flight.ts';
import { NOTHING_CHECKED, thenCheck } from '../../host/cli/camera/checking.ts';
import { summarise } from '../../host/rig/index.ts';
import type { CameraTrack, OperatorAct, PipelineEvent, RigSummary, Shot } from '../../protocol/index.ts';
import { trackOf } from '../support/camera-scene.ts';
import { crewDesk, NARROW, NOW_NS, OPENED_AT, TOKEN, WIDE } from '../support/crew-desk.ts';
import { drawnStills } from '../support/drawn-stills.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { HERON_RIG } from '../support/heron.ts';
import { known } from '../support/known.ts';

const desk = crewDesk();
const CAMERA = known(HERON_RIG.cameras[0]);
const SHOT = fakeShot({ number: 1 });
const SIZE = [1280, 800] as const;

/** Of a ball as fast at pair A as the gates of the shot have it. */
function truth(factor = 1): CameraTrack {
  const { massKg, diameterM } = HERON_RIG.projectile;
  const air = { densityKgM3: SHOT.air.densityKgM3.value, speedOfSoundMps: SHOT.air.speedOfSoundMps.value };
  const at = (muzzleVelocityMps: number) =>
    fly({ ...air, muzzleVelocityMps, elevationRad: 0, dragFactor: 1, massKg: massKg.value, diameterM: diameterM.value, distanceM: 11.2 });
  const pair = known(SHOT.pairs[0]);
  const wanted = factor * pair.velocityMps.value;
  const flight = at((wanted * wanted) / at(wanted).at(pair.positionM).speedMps);
  const { placeM, distanceM, standoffM } = CAMERA;
  return trackOf({
    camera: {
      xM: placeM.value,
      heightM: 0.1,
      distanceM: distanceM.value,
      yawRad: 0.02,
      pitchRad: 0,
      rollRad: 0.02,
      focalPx: 2300,
      widthPx: 1280,
      heightPx: 800,
    },
    frameRateHz: CAMERA.frameRateHz.value,
    exposureS: CAMERA.exposureS,
    triggerFrame: 0,
    delayS: known(CAMERA.trigger).delayS.value,
    marks: CAMERA.marks.map(({ name, positionM }) => ({ name, at: [positionM.value, -0.15, standoffM.value] as const })),
    flight,
    muzzleAtS: 0.0182,
    sidewaysM: 0,
    every: 14,
    framesMax: 6,
    slipPx: () => 0,
  });
}

let sent: OperatorAct[] = [];

function followsFrom(act: OperatorAct): PipelineEvent {
  if (act.act === 'withdraw-track') return { ...act, type: 'track-withdrawn', atNs: NOW_NS };
  if (act.act !== 'camera-track' && act.act !== 'clip') throw new Error(`an act ${act.act}`);
  return { ...act, type: 'camera-act', atNs: NOW_NS };
}

/** The host as it answers: an act is checked with the shot that it is of, and what follows is told. */
async function open(viewport: { readonly width: number; readonly height: number }, shot: Shot = SHOT): Promise<void> {
  const rig: RigSummary = summarise(HERON_RIG);
  const session: PipelineEvent = {
    type: 'session',
    atNs: 0,
    sessionId: SHOT.sessionId,
    openedAt: OPENED_AT,
    softwareVersion: '0.1.0',
    rig,
  };
  const closed: PipelineEvent = { type: 'shot', phase: 'closed', atNs: NOW_NS, shot };
  let [checking] = thenCheck(NOTHING_CHECKED, [session, closed]);
  sent = [];
  desk.newFeed();
  desk.tell(session, closed);
  await desk.server.close();
  await desk.serve(0);
  await desk.newPage();
  desk.page.setDefaultTimeout(8_000);
  await desk.page.setViewportSize(viewport);
  desk.page.on('pageerror', (error) => desk.complaints.push(error.message));
  desk.page.on('console', (message) => message.type() === 'error' && desk.complaints.push(message.text()));
  await desk.page.route('**/api/acts', async (route) => {
    const act = route.request().postDataJSON() as OperatorAct;
    sent.push(act);
    const [next, events] = thenCheck(checking, [followsFrom(act)]);
    checking = next;
    desk.tell(...events);
    return route.fulfill({ json: { accepted: true } });
  });
  await desk.page.goto(`${desk.server.url}camera#token=${TOKEN}`);
  await desk.page.getByLabel('Your name').fill('Wren');
  await desk.page.getByRole('button', { name: 'Use it' }).click();
  await desk.page.getByText('Acting as Wren').waitFor();
}

const still = () => desk.page.locator('.still-keys canvas');
const choose = (name: string) =>
  desk.page
    .locator('.targets')
    .getByRole('radio', { name: new RegExp(`^${name}`) })
    .check();
const set = () => desk.page.locator('.set-place').click();

async function point(xPx: number, yPx: number, by: 'mouse' | 'touch'): Promise<void> {
  await still().scrollIntoViewIfNeeded();
  const box = known((await still().boundingBox()) ?? undefined);
  const position = { x: (xPx * box.width) / SIZE[0], y: (yPx * box.height) / SIZE[1] };
  if (by === 'mouse') return await still().click({ position });
  const finger = await desk.page.context().newCDPSession(desk.page);
  await finger.send('Emulation.setTouchEmulationEnabled', { enabled: true });
  const at = { x: box.x + position.x, y: box.y + position.y };
  await finger.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: [at] });
  await finger.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await finger.detach();
}

async function markAll(track: CameraTrack, by: 'mouse' | 'touch'): Promise<void> {
  await desk.page.getByLabel('Stills', { exact: true }).setInputFiles([...(await drawnStills(desk.page, track, SIZE))]);
  await desk.page.getByText(`1 of ${track.frames.length}: heron_`).waitFor();
  await desk.page.locator('.set-place:not([disabled])').waitFor();
  for (const { name, xPx, yPx } of track.marks) {
    await choose(name);
    await point(xPx, yPx, by);
    await set();
  }
  await choose('Ball');
  for (const [i, { xPx, yPx }] of track.frames.entries()) {
    if (i > 0) await desk.page.getByRole('button', { name: 'Next still' }).click();
    await desk.page.locator('.set-place:not([disabled])').waitFor();
    await point(xPx, yPx, by);
    await set();
  }
  await desk.page.getByText(`Marked: 4 marks, ${track.frames.length} frames`).waitFor();
}

it('marks stills by mouse, sends the numbers and no picture, and shows that camera and gates agree', async () => {
  await open(WIDE);
  const track = truth();
  await markAll(track, 'mouse');
  await desk.page.getByLabel('Name of the clip').fill('heron-1.avi');
  await desk.page.getByRole('button', { name: 'Keep with shot 1' }).click();
  await desk.page.getByText('AGREE', { exact: true }).waitFor();
  const [act] = sent;
  if (act?.act !== 'camera-track') throw new Error('a track was to be sent');
  expect(act).toMatchObject({ shotId: SHOT.id, camera: 'side', clip: 'heron-1.avi', who: 'Wren' });
  expect(act.track.frames.map(({ frame }) => frame)).toEqual(track.frames.map(({ frame }) => frame));
  // A click is as fine as a screen's own picture elements.
  for (const [i, { xPx }] of act.track.frames.entries()) expect(Math.abs(xPx - (track.frames[i]?.xPx ?? 0))).toBeLessThan(1.5);
  expect(Buffer.byteLength(JSON.stringify(act))).toBeLessThan(2_000);
  await desk.page.getByText('Uncertainty budget of the camera’s velocity').click();
  await desk.page.getByRole('rowheader', { name: 'standoff of the marks' }).waitFor();
  expect(desk.complaints).toEqual([]);
});

it('by touch on a phone, of a shot that the gates missed: camera only, in the table too, with targets for a thumb', async () => {
  const { muzzleVelocityMps: _m, targetVelocityMps: _t, mach: _h, ...rest } = SHOT;
  await open(NARROW, { ...rest, pairs: [], passages: [], flags: ['no-velocity'] });
  await markAll(truth(), 'touch');
  await desk.page.getByRole('button', { name: 'Keep with shot 1' }).click();
  await desk.page.getByText('CAMERA ONLY', { exact: true }).waitFor();
  const small = await desk.page
    .locator('main button, main select, main label.chosen, .open-stills input')
    .evaluateAll((all) => all.map((each) => each.getBoundingClientRect()).filter(({ width, height }) => width < 44 || height < 44).length);
  expect(small).toBe(0);
  const wide = await desk.page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');
  expect(wide).toBeLessThanOrEqual(0);
  await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Shot', exact: true }).click();
  await desk.page.locator('.shot-list').getByText('camera only').waitFor();
  await desk.page.getByText(/camera side only: 31\d/).waitFor();
  expect(desk.complaints).toEqual([]);
});

it('by keyboard alone, to a tenth of a picture element; and says what is missing and what is wrong', async () => {
  await open(WIDE);
  const track = truth();
  const files = await drawnStills(desk.page, track, SIZE);
  await desk.page
    .getByLabel('Stills', { exact: true })
    .setInputFiles([...files, { name: 'notes.txt', mimeType: 'text/plain', buffer: Buffer.from('x') }]);
  await desk.page.getByText('1 of 7 files are not opened').waitFor();
  await desk.page.locator('.set-place:not([disabled])').waitFor();
  await desk.page.getByText('Still to be marked: 2 more marks, 3 more frames with the ball.').waitFor();
  expect(await desk.page.getByRole('button', { name: 'Keep with shot 1' }).isDisabled()).toBe(true);
  await choose('M2');
  await desk.page.locator('.still-keys').focus();
  await desk.page.keyboard.press('ArrowRight');
  await desk.page.getByRole('radio', { name: '0.1' }).check();
  await desk.page.locator('.still-keys').focus();
  await desk.page.keyboard.press('ArrowUp');
  await desk.page.keyboard.press('ArrowUp');
  await desk.page.keyboard.press('Enter');
  await desk.page.getByRole('row', { name: /mark M2 641\.0 399\.8/ }).waitFor();
  await desk.page.getByRole('button', { name: 'Take away mark M2' }).click();
  await desk.page.getByRole('row', { name: /mark M2/ }).waitFor({ state: 'detached' });
  await desk.page.getByLabel('Frame number').fill(String(track.frames[1]?.frame));
  await desk.page.keyboard.press('Tab');
  await desk.page.getByText('Another still is frame').waitFor();
  expect(desk.complaints).toEqual([]);
});

it.each([
  ['wide', WIDE],
  ['narrow', NARROW],
] as const)('has nothing that keeps anybody out: %s, with a disagreement and its suspects', async (_name, viewport) => {
  await open(viewport);
  const track = truth(1.012);
  await markAll(track, 'mouse');
  await desk.page.getByRole('button', { name: 'Keep with shot 1' }).click();
  await desk.page.getByText('DISAGREE', { exact: true }).waitFor();
  await desk.page.getByText('What alone would explain it').first().waitFor();
  const shots = process.env.POSTERN_SCREENSHOTS;
  for (const theme of ['light', 'dark']) {
    await desk.page.evaluate(`document.documentElement.dataset.theme = '${theme}'`);
    if (shots) await desk.page.screenshot({ path: `${shots}/camera-${viewport.width}-${theme}.png`, fullPage: true });
    await desk.page.evaluate(axe.source);
    const { violations } = (await desk.page.evaluate('axe.run()')) as axe.AxeResults;
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(' ')}`)).toEqual([]);
  }
});

it('takes a track that a program has made; says by line what is wrong with one, and takes nothing of that', async () => {
  await open(WIDE);
  const { marks, frames } = truth();
  const lines = [
    ...marks.map(({ name, xPx, yPx }) => `${name},${xPx},${yPx}`),
    ...frames.map(({ frame, xPx, yPx }) => `${frame},${xPx},${yPx}`),
  ];
  const file = (text: string) => ({ name: 'track.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  await desk.page.getByLabel('Track', { exact: true }).setInputFiles(file(['frame,x,y', ...lines, '9,1O,2'].join('\n')));
  await desk.page.getByText(`track.csv, line ${lines.length + 2}, column 3: "1O" is no number`).waitFor();
  expect(await desk.page.getByText(/^Marked: /).count()).toBe(0);
  await desk.page.getByLabel('Track', { exact: true }).setInputFiles(file(['frame,x,y', ...lines].join('\n')));
  await desk.page.getByText(`Marked: 4 marks, ${frames.length} frames`).waitFor();
  await desk.page.getByRole('button', { name: 'Keep with shot 1' }).click();
  await desk.page.getByText('AGREE', { exact: true }).waitFor();
  expect(sent).toMatchObject([{ act: 'camera-track', track: { marks, frames } }]);
  expect(desk.complaints).toEqual([]);
});

it('withdraws a track with its reason, says so where it stood, and takes it in again', async () => {
  await open(NARROW);
  const { marks, frames } = truth();
  const lines = [...marks.map(({ name, xPx, yPx }) => [name, xPx, yPx]), ...frames.map(({ frame, xPx, yPx }) => [frame, xPx, yPx])];
  const buffer = Buffer.from(lines.map((line) => line.join(',')).join('\n'));
  await desk.page.getByLabel('Track', { exact: true }).setInputFiles({ name: 'track.csv', mimeType: 'text/csv', buffer });
  await desk.page.getByRole('button', { name: 'Keep with shot 1' }).click();
  await desk.page.getByText('AGREE', { exact: true }).waitFor();
  const withdraw = desk.page.getByRole('button', { name: 'Withdraw track' });
  expect(await withdraw.isDisabled()).toBe(true);
  await desk.page.getByLabel('Why the track of camera side does not count').fill('the ball of another shot');
  await withdraw.click();
  await desk.page.getByText('It does not count, Wren says: the ball of another shot.').waitFor();
  expect(await desk.page.getByText('AGREE', { exact: true }).count()).toBe(0);
  await desk.page.getByLabel('Why the track of camera side counts again').fill('it was ours');
  await desk.page.getByRole('button', { name: 'Take track in again' }).click();
  await desk.page.getByText('AGREE', { exact: true }).waitFor();
  expect(sent.slice(1)).toMatchObject([
    { act: 'withdraw-track', shotId: SHOT.id, camera: 'side', withdrawn: true, reason: 'the ball of another shot', who: 'Wren' },
    { act: 'withdraw-track', withdrawn: false, reason: 'it was ours' },
  ]);
  expect(desk.complaints).toEqual([]);
});
