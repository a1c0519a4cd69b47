/** What the crew enter: channels set right, aim and impact, notes; and channels that show no number. */
import { describe, expect, it } from 'vitest';
import { crewDesk, NOW_NS } from '../support/crew-desk.ts';
import { AIR_PA, eventsBetween } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { fillAt, healthEvent, measured, watchEventsAt } from '../support/fake-watches.ts';

const desk = crewDesk();

describe('a channel that is not healthy', () => {
  it.each(['stuck', 'noisy', 'railed', 'fault', 'disconnected'] as const)('that is %s shows no number anywhere', async (health) => {
    await desk.openPage();
    const [gauge] = await desk.page.locator('.reading.reservoir .number').allInnerTexts();
    expect(Number(gauge)).toBeGreaterThan(1.5);
    desk.tell(healthEvent(NOW_NS, 'reservoirPressure', health));
    await desk.page.locator('.fill-panel').getByText(`its transducer is ${health}`).waitFor();
    // Its watch and its samples go on.
    desk.tell(fillAt(NOW_NS), ...eventsBetween(NOW_NS, NOW_NS + 0.1e9));
    await desk.page.locator('.fill-panel .unfit').first().waitFor();
    expect(await desk.page.locator('.fill-panel .unfit').allInnerTexts()).toEqual([health.toUpperCase(), health.toUpperCase()]);
    expect(await desk.page.locator('.reading.reservoir .number').count()).toBe(0);
    expect(await desk.page.locator('.fill-panel .facts').count()).toBe(0);
    const row = desk.page.getByRole('row', { name: /^Reservoir pressure/ });
    expect(await row.locator('.reads').textContent()).toBe('no reading');
    expect(await desk.page.locator('body').textContent()).not.toContain('2.222');
    expect(desk.complaints).toEqual([]);
  });

  it('takes the gauge reading of others with it when it is the barometer', async () => {
    await desk.openPage();
    desk.tell(healthEvent(NOW_NS, 'airPressure', 'stuck'));
    await desk.page.getByText('needs an air pressure reading').waitFor();
    expect(await desk.page.locator('.reading.reservoir .number').allInnerTexts()).toHaveLength(2);
    expect((await desk.page.locator('.reading.reservoir .number').allInnerTexts())[0]).toBe('–');
  });
});

describe('what the crew enters', () => {
  it('sets a channel right at one known state, with the numbers before and after', async () => {
    await desk.openAs('Wren');
    await desk.page.getByRole('button', { name: 'Set right: Barrel pressure' }).click();
    const steps = desk.page.getByRole('dialog');
    await steps.getByRole('button', { name: 'Zero' }).click();
    // Open to the air it should read what the barometer does.
    expect(Number(await steps.getByLabel(/It should read/).inputValue())).toBeCloseTo(AIR_PA / 1e3, 1);
    await steps.getByLabel(/It should read/).fill('5,00');
    const [, vacuum] = watchEventsAt(NOW_NS);
    // Later than the window of the reading before; the last one makes the mean 4.81.
    [4_780, 4_800, 4_820, 4_840].forEach((pa, sample) => {
      desk.tell({ ...vacuum, atNs: NOW_NS + 4e9 + sample * 1e8, pressurePa: measured(pa, 100) });
    });
    await steps.getByText('4.81', { exact: true }).waitFor();
    await steps.getByRole('button', { name: 'Take this reading' }).click();
    await steps.getByText('gain 1.00000, offset +0.000 kPa').waitFor();
    await steps.getByRole('button', { name: 'Record', exact: true }).click();
    await steps.waitFor({ state: 'detached' });
    const [act] = desk.crew.acts;
    if (act?.act !== 'zero') throw new Error('a zero was to be sent');
    expect(act).toMatchObject({ channel: 'barrelPressure', who: 'Wren', before: { gain: 1, offsetSi: 0 } });
    expect(act.shouldReadSi).toBeCloseTo(5_000, 6);
    expect(act.after.offsetSi).toBeCloseTo(190, 6);
    expect(act.after.gain).toBe(1);
    await desk.page.getByText('set to zero by Wren, 09:30:15').filter({ visible: true }).waitFor();
  });

  it('tells where a shot struck and what to hold next, in its own unit', async () => {
    desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
    await desk.openAs('Wren');
    const form = desk.page.locator('form.place').last();
    await form.getByLabel(/Right/).fill('abc');
    await form.getByRole('button', { name: 'Enter impact' }).click();
    await form.getByText('Enter both distances in mm').waitFor();
    await form.getByLabel(/Right/).fill('12');
    await form.getByLabel(/Up/).fill('−5');
    await form.getByRole('button', { name: 'Enter impact' }).click();
    await desk.page.getByText('12 mm left, 5 mm high').first().waitFor();
    expect(desk.crew.acts).toEqual([{ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: -0.005 }, who: 'Wren' }]);
    await desk.page.getByRole('img', { name: /Target plane, 1 impact/ }).waitFor();
  });

  it('shows a shot that was left out of the series as such, in the drawing, the words and the table', async () => {
    for (const number of [1, 2]) desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number }) });
    await desk.openPage();
    const shotId = 'cs-2026-03-14-a-002';
    desk.tell(...desk.crew.take({ act: 'impact', shotId: 'cs-2026-03-14-a-001', at: { rightM: 0.012, upM: 0.004 }, who: 'Wren' }, NOW_NS));
    desk.tell(...desk.crew.take({ act: 'impact', shotId, at: { rightM: -0.3, upM: 0.2 }, who: 'Wren' }, NOW_NS));
    desk.tell(...desk.crew.take({ act: 'exclude', shotId, excluded: true, reason: 'struck the frame', who: 'Wren' }, NOW_NS));
    await desk.page.getByRole('img', { name: 'Target plane, 2 impacts; 1 excluded shot' }).waitFor();
    expect(await desk.page.locator('.impact.excluded text').allTextContents()).toEqual(['2']);
    await desk.page.locator('.aim-panel .facts').getByText('1 excluded shot, not in mean, spread or hold').waitFor();
    await desk.page.getByText('All impacts: 2, 1 of them excluded').click();
    const rows = desk.page.getByRole('region', { name: 'Impacts' }).getByRole('row');
    expect(await rows.getByText('excluded').count()).toBe(1);
    await rows.filter({ hasText: '300 mm left' }).getByText('excluded').waitFor();
    desk.tell(...desk.crew.take({ act: 'exclude', shotId, excluded: false, reason: '', who: 'Wren' }, NOW_NS));
    await desk.page.getByText('All impacts: 2', { exact: true }).waitFor();
    expect(await desk.page.locator('.impact.excluded, .is-excluded').count()).toBe(0);
  });

  it('writes a note, shown with the name', async () => {
    await desk.openAs('Wren');
    await desk.page.getByLabel('Note', { exact: true }).fill('Gust from the west');
    await desk.page.getByRole('button', { name: 'Write down' }).click();
    await desk.page.locator('.note-list').getByText('Gust from the west').waitFor();
    await desk.page.locator('.note-list').getByText('Wren').waitFor();
  });
});
