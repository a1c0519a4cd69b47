/** What a screen does in the field: it is heard and felt, it is read from afar, and others join by scanning a code. */
import axe from 'axe-core';
import jsQR from 'jsqr';
import { describe, expect, it } from 'vitest';
import { startServer } from '../../host/serve/index.ts';
import { crewDesk, NARROWEST, NOW_NS, WIDE } from '../support/crew-desk.ts';
import { AIR_PA } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';
import { limitEvent, measured } from '../support/fake-watches.ts';

const desk = crewDesk();

/** A voice and a shaking that only write down what they are asked for. */
const EARS = `
  window.said = []; window.shaken = [];
  window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
  Object.defineProperty(window, 'speechSynthesis', { value: {
    speak: (utterance) => { window.said.push(utterance.text); setTimeout(() => utterance.onend?.()); },
    cancel: () => undefined,
  } });
  Object.defineProperty(navigator, 'vibrate', { value: (pattern) => { window.shaken.push([].concat(pattern).length); return true; } });
`;
const said = () => desk.page.evaluate<string[]>('window.said');
const fillTo = (gaugePa: number, atNs: number) =>
  desk.tell({
    type: 'fill',
    atNs,
    channel: 'reservoirPressure',
    phase: 'filling',
    phaseSinceNs: atNs,
    pressurePa: measured(AIR_PA + gaugePa, 7_600),
    bandPa: 20_000,
    words: 'Filling.',
  });
const shot = (number: number) => desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number }) });
const openSetUp = async () => {
  await desk.openPage('', EARS);
  await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Set-up' }).click();
};

it('says nothing and shakes nothing until asked', async () => {
  await openSetUp();
  fillTo(2.6e6, NOW_NS + 1e9);
  shot(1);
  await desk.page.goto(`${desk.server.url}shot`);
  await desk.page.getByRole('heading', { name: 'Shot 1', exact: true }).waitFor();
  expect(await said()).toEqual([]);
  expect(await desk.page.evaluate('window.shaken')).toEqual([]);
});

it('says each pressure that it passes at the steps that were chosen, alarms before all that waits, and the shot', async () => {
  await openSetUp();
  fillTo(1.93e6, NOW_NS + 0.1e9);
  await desk.page.getByRole('button', { name: 'Voice off' }).click();
  await desk.page.getByRole('button', { name: 'Voice on' }).waitFor();
  await desk.page.getByLabel(/The voice says/).selectOption({ label: '0.2 MPa' });
  fillTo(2.03e6, NOW_NS + 0.2e9);
  await desk.page.getByText('“Reservoir 2 megapascal gauge”').waitFor();
  fillTo(2.41e6, NOW_NS + 0.3e9);
  await desk.page.getByText('“Reservoir 2.4 megapascal gauge”').waitFor();
  desk.tell(limitEvent(NOW_NS + 0.4e9, 'active'));
  await desk.page.getByText(/“Alarm\. /).waitFor();
  shot(1);
  await desk.page.getByText(/“Shot 1: [\d.]+ metres per second, Mach [\d.]+\.”/).waitFor();
  expect((await said()).filter((words) => words.startsWith('Reservoir'))).toEqual([
    'Reservoir 2 megapascal gauge',
    'Reservoir 2.4 megapascal gauge',
  ]);
});

/** Asked from outside: the page's own rules keep it from evaluating text. */
const shaken = (times: number): Promise<void> =>
  expect.poll(() => desk.page.evaluate<number>('window.shaken.length'), { timeout: 30_000 }).toBe(times);

it('shakes for an alarm and, otherwise, for a shot', async () => {
  await openSetUp();
  await desk.page.getByRole('button', { name: 'Shaking off' }).click();
  await shaken(1);
  desk.tell(limitEvent(NOW_NS + 0.4e9, 'active'));
  await shaken(2);
  shot(1);
  await shaken(3);
  expect(await desk.page.evaluate('window.shaken')).toEqual([1, 5, 1]);
});

it('shows the addresses as codes that a scanner reads, with the key to look and no other', async () => {
  const doors = { lookToken: 'to-look-1', crewToken: 'to-act-1', names: ['range-host.local'] };
  const addresses = (port: number) => [`http://192.168.4.2:${port}/`, `http://range-host.local:${port}/`];
  const server = await startServer({ feed: desk.feed, port: 0, pagesDir: desk.pagesDir, nowNs: () => NOW_NS, doors, addresses });
  try {
    await desk.openPage();
    await desk.page.goto(`${server.url}set-up#look=to-look-1`);
    const codes = desk.page.getByRole('img', { name: /^QR code of / });
    await codes.first().waitFor();
    const texts: (string | undefined)[] = [];
    for (const code of await codes.all()) {
      const d = (await code.locator('path').getAttribute('d')) ?? '';
      texts.push(read(d, Number((await code.getAttribute('viewBox'))?.split(' ')[2])));
    }
    expect(texts).toEqual(addresses(server.port).map((address) => `${address}#look=to-look-1`));
    const stranger = await fetch(`${server.url}api/addresses`);
    expect(stranger.status).toBe(401);
  } finally {
    await server.close();
  }
});

it('says how to let others in where the host listens to its own computer only', async () => {
  await openSetUp();
  await desk.page.getByText('--listen 0.0.0.0').waitFor();
  expect(await desk.page.getByRole('img', { name: /QR code/ }).count()).toBe(0);
});

describe.each(['Wall', 'Set-up'])('%s', (name) => {
  // The widths between, in every state: every-page.test.ts.
  it.each([NARROWEST, { width: 2560, height: 1440 }])('fits $width px, and everybody can use it', async (size) => {
    shot(1);
    fillTo(2.03e6, NOW_NS);
    await desk.openPage();
    await desk.page.setViewportSize(size);
    await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name }).click();
    await desk.page.getByRole('main').getByRole('heading').first().waitFor();
    expect(await desk.page.evaluate<number>('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0);
    await desk.page.evaluate(axe.source);
    const { violations } = await desk.page.evaluate<axe.AxeResults>('axe.run()');
    expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
  });
});

it('has HOLD, the shot and both pressures on one wall screen', async () => {
  shot(1);
  await desk.openPage();
  desk.tell({ type: 'link', source: 'gauge', change: 'running', path: './wires/gauge', detail: '', atNs: NOW_NS });
  await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Wall' }).click();
  for (const part of ['.verdict', '.newest', '.reading.reservoir', '.reading.barrel']) {
    const box = await desk.page.locator('.wall').locator(part).boundingBox();
    expect((box?.y ?? Number.NaN) + (box?.height ?? Number.NaN), part).toBeLessThanOrEqual(WIDE.height);
  }
});

/** @param d  of a path of unit squares */
function read(d: string, size: number): string | undefined {
  const scale = 4;
  const side = size * scale;
  const pixels = new Uint8ClampedArray(side * side * 4).fill(255);
  for (const [, x, y] of d.matchAll(/M(\d+) (\d+)h1v1h-1z/g)) {
    for (let i = 0; i < scale * scale; i++) {
      const at = ((Number(y) * scale + Math.floor(i / scale)) * side + Number(x) * scale + (i % scale)) * 4;
      pixels.fill(0, at, at + 3);
    }
  }
  return jsQR.default(pixels, side, side)?.data;
}
