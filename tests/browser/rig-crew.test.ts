/** The crew's side of the page: hold points and alarms; and what a new line restores. */
import { describe, expect, it } from 'vitest';
import { crewDesk, NARROW, NARROWEST, NOW_NS, TOKEN } from '../support/crew-desk.ts';
import { openingEvents } from '../support/fake-feed.ts';
import { healthEvent, limitEvent, watchEventsAt } from '../support/fake-watches.ts';

const desk = crewDesk();

describe('hold points', () => {
  it('go from HOLD to READY by ticks, are recorded with the name, and back when a condition is no longer true', async () => {
    await desk.openAs('Wren');
    expect(desk.page.url()).not.toContain(TOKEN);
    expect(await desk.sign().textContent()).toBe('HOLD');
    await desk.page.getByText('Missing: Sighting tool out of the bore; Range clear; Fill settled.').waitFor();
    await desk.page.getByRole('button', { name: 'Tick: Sighting tool out of the bore' }).click();
    await desk.page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await desk.page.getByText('Missing: Fill settled.').waitFor();
    desk.tell(desk.crew.condition('settled', true, NOW_NS));
    await desk.page.locator('.verdict.is-ready').waitFor();
    expect(await desk.sign().textContent()).toBe('READY');
    await desk.page.getByText('Wren, 09:30:15').first().waitFor();
    expect(desk.crew.acts).toEqual([
      { act: 'hold-point', holdPointId: 'bore', done: true, who: 'Wren' },
      { act: 'hold-point', holdPointId: 'clear', done: true, who: 'Wren' },
    ]);
    desk.tell(desk.crew.condition('settled', false, NOW_NS));
    await desk.page.locator('.verdict.is-hold').waitFor();
    await desk.page.getByRole('button', { name: 'Take back: Range clear' }).click();
    await desk.page.getByText('Missing: Range clear; Fill settled.').waitFor();
    expect(desk.complaints).toEqual([]);
  });

  it('say which is next, what was ticked ahead of its turn, and no time where nothing happened', async () => {
    await desk.openAs('Wren');
    const row = (name: string) => desk.page.locator('.hold-list li').filter({ hasText: name });
    expect(await row('Sighting tool').textContent()).toBe('Sighting tool out of the bore nextTick');
    expect(await desk.page.locator('.hold-state').allTextContents()).toEqual(['next', 'missing', 'missing']);
    await desk.page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await row('Range clear').getByText('ticked ahead of: Sighting tool out of the bore').waitFor();
    await desk.page.getByRole('button', { name: 'Tick: Sighting tool' }).click();
    await row('Fill settled').getByText('next', { exact: true }).waitFor();
  });

  it('are for looking only without a key, and say that they are no interlock', async () => {
    await desk.openPage();
    await desk.page.getByText('This page may only look.').first().waitFor();
    expect(await desk.page.getByRole('button', { name: /Tick|Acknowledge|Set right|Write down|Enter/ }).count()).toBe(0);
    await desk.page.getByText('This list is no interlock.').waitFor();
  });

  it('are never READY on the word of a host that is no longer heard', async () => {
    await desk.openAs('Wren');
    for (const { id } of desk.crew.holdPoints(0).points) desk.tell(desk.crew.condition(id, true, NOW_NS));
    await desk.page.locator('.verdict.is-ready').waitFor();
    await desk.server.close();
    await desk.page.locator('.verdict.is-hold').waitFor();
    expect(await desk.sign().textContent()).toBe('HOLD');
    await desk.page.getByText('The host is not heard').waitFor();
  });

  it('tell a refusal in words and tick nothing, and ask for the name first', async () => {
    await desk.openPage(`#token=${TOKEN}`);
    await desk.page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await desk.page.getByText('Say who you are first').waitFor();
    expect(await desk.page.evaluate('document.activeElement?.id')).toBe('who');
    await desk.page.keyboard.type('Wren');
    await desk.page.keyboard.press('Enter');
    desk.turnedAway = { status: 200, body: { accepted: false, why: 'the rig file names no such hold point' } };
    await desk.page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await desk.page.getByText('The rig file names no such hold point.').waitFor();
    expect(desk.crew.acts).toEqual([]);
    // A key of an earlier session of the host is put away.
    desk.turnedAway = { status: 401, body: { code: 'no-token' } };
    await desk.page.getByRole('button', { name: 'Tick: Range clear' }).click();
    await desk.page.getByText('This page may only look.').first().waitFor();
    expect(await desk.page.evaluate("sessionStorage.getItem('postern.token')")).toBeNull();
  });
});

describe('alarms', () => {
  it('stand in the strip by word, are spoken, and are acknowledged', async () => {
    await desk.openAs('Wren');
    expect(await desk.strip().getByText('ALARM').count()).toBe(0);
    desk.tell(limitEvent(NOW_NS, 'active'));
    await desk.strip().getByText('ALARM · NOW').waitFor();
    await desk.page.getByRole('alert').getByText('Alarm: The relief valve is about to open.').waitFor({ state: 'attached' });
    await desk.page.getByRole('button', { name: 'Acknowledge: The relief valve' }).click();
    await desk.strip().getByText('NOW, seen').waitFor();
    await desk.strip().getByText('Seen by Wren').waitFor();
    expect(desk.crew.acts).toEqual([{ act: 'acknowledge', limitId: 'relief', who: 'Wren' }]);
    desk.tell(limitEvent(NOW_NS, 'latched'));
    await desk.strip().getByText('OVER, NOT YET SEEN').waitFor();
    desk.tell(limitEvent(NOW_NS, 'clear'));
    await desk.strip().getByText('ALARM').waitFor({ state: 'detached' });
  });

  it('stand for as long as since they were raised, however late they are seen', async () => {
    await desk.openAs('Wren');
    const raisedAtNs = NOW_NS - 7e9;
    desk.tell(limitEvent(raisedAtNs, 'active'));
    await desk.strip().getByText('Raised 7.0 s ago.').waitFor();
    desk.tell(limitEvent(NOW_NS, 'active-acknowledged', { raisedAtNs, acknowledgedBy: 'Wren' }));
    await desk.strip().getByText('Seen by Wren').waitFor();
    expect(
      await desk
        .strip()
        .getByText(/Raised [789]\.\d s ago/)
        .count(),
    ).toBe(1);
  });

  it.each([NARROW, NARROWEST])('are one line each at $width px, until somebody asks for more', async (viewport) => {
    await desk.openAs('Wren');
    await desk.page.setViewportSize(viewport);
    desk.tell(
      limitEvent(NOW_NS, 'active'),
      limitEvent(NOW_NS, 'latched', { id: 'near-maximum', severity: 'warning', words: 'Close to it.' }),
    );
    // And the line of a link that is looked for.
    await desk.page.locator('.alarm').nth(2).waitFor();
    expect((await desk.strip().boundingBox())?.height).toBeLessThan(160);
    expect(await desk.page.getByRole('button', { name: /^Acknowledge/ }).count()).toBe(0);
    await desk.page.getByRole('button', { name: 'More of: The relief valve' }).click();
    await desk.page.getByRole('button', { name: 'Acknowledge: The relief valve' }).click();
    await desk.strip().getByText('Seen by Wren').waitFor();
  });

  it('sound only where the crew wants it, once for each, and not for what was heard before', async () => {
    await desk.newPage();
    await desk.page.addInitScript(`
      globalThis.tones = 0;
      const start = OscillatorNode.prototype.start;
      OscillatorNode.prototype.start = function (...at) { globalThis.tones += 1; return start.apply(this, at); };`);
    await desk.page.goto(desk.server.url);
    await desk.page.getByText('Connected', { exact: true }).waitFor();
    const tones = () => desk.page.evaluate<number>('globalThis.tones');
    desk.tell(limitEvent(NOW_NS - 3e9, 'active'));
    await desk.strip().getByText('ALARM · NOW').waitFor();
    expect(await tones()).toBe(0);
    await desk.page.getByRole('button', { name: 'Sound off' }).click();
    await expect.poll(tones).toBe(2);
    desk.tell(limitEvent(NOW_NS - 2e9, 'latched', { audible: false }));
    await desk.strip().getByText('OVER').waitFor();
    expect(await tones()).toBe(2);
    desk.tell(limitEvent(NOW_NS - 1e9, 'active', { severity: 'warning' }));
    await expect.poll(tones).toBe(4);
    await desk.page.getByRole('button', { name: 'Sound on' }).click();
    expect(await desk.page.evaluate("localStorage.getItem('postern.sound')")).toBe('off');
  });
});

it('is told all of it again by a new snapshot: hold points, alarms, health, adjustments, notes, a refused rig file', async () => {
  desk.tell(desk.crew.condition('settled', true, NOW_NS), limitEvent(NOW_NS, 'latched'), healthEvent(NOW_NS, 'barrelPressure', 'railed'));
  desk.tell({ type: 'note', atNs: NOW_NS, text: 'Gust from the west', who: 'Wren' });
  const unadjusted = { gain: 1, offsetSi: 0 };
  desk.tell({ type: 'adjusted', atNs: NOW_NS, channel: 'airPressure', act: 'zero', before: unadjusted, after: unadjusted, who: 'Wren' });
  desk.tell({ type: 'rig-rejected', atNs: NOW_NS, problems: ['fill.target: 3 m is a length, a pressure is needed'] });
  await desk.openPage();
  const all = async () => {
    await desk.page.getByText('Missing: Sighting tool out of the bore; Range clear.').waitFor();
    await desk.strip().getByText('OVER, NOT YET SEEN').waitFor();
    await desk.page.locator('.vacuum-panel .unfit').getByText('RAILED').waitFor();
    await desk.page.getByText('Gust from the west').waitFor();
    await desk.page.getByText('set to zero by Wren').filter({ visible: true }).waitFor();
    await desk.page.getByText('fill.target: 3 m is a length').waitFor();
    await desk.page.locator('.fill-panel').getByText('Fill: Settling').waitFor();
    await desk.page.getByText('no-match').or(desk.page.getByText('pattern does not match: 3')).first().waitFor();
  };
  await all();
  // The line breaks, and the new one is told so much that it needs a snapshot: a latched alarm has gone meanwhile.
  const { port } = desk.server;
  await desk.server.close();
  await desk.page.getByText('Connection to the host lost.').waitFor();
  const later = desk.newFeed();
  desk.tell(...openingEvents('2026-03-14T09:30:00.000000Z'), ...watchEventsAt(NOW_NS), desk.crew.holdPoints(NOW_NS));
  for (let note = 0; note < 5_000; note += 1) later.accept({ type: 'note', atNs: NOW_NS, text: `note ${note}` });
  later.flush(NOW_NS);
  await desk.serve(port);
  await desk.page.getByText('note 4999').waitFor();
  expect(await desk.page.getByText('OVER, NOT YET SEEN').count()).toBe(0);
  expect(await desk.page.locator('.unfit').count()).toBe(0);
  expect(await desk.page.locator('.note-list li').count()).toBe(20);
  expect(await desk.page.getByText('Gust from the west').count()).toBe(0);
});
