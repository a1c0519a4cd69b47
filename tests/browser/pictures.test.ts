/** Every picture as a file: SVG that stands for itself and PNG that an eye can open, each with its title and units. */
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { campaignSources, deskOf } from '../support/campaigns/map-sources.ts';
import { crewDesk, NOW_NS } from '../support/crew-desk.ts';
import { fakeShot } from '../support/fake-shot.ts';

const desk = crewDesk();

async function save(button: string | RegExp): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const pressed = desk.page.getByRole('button', { name: button, exact: true }).click();
  const [download] = await Promise.all([desk.page.waitForEvent('download'), pressed]);
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
}

/** Read by the browser's own parser and drawn, in a page that has none of our style sheets: what does not stand for itself is empty there. Ink is whatever is not the colour of its corner. */
async function drawn(bytes: Buffer): Promise<{ readonly texts: readonly string[]; readonly inkPixels: number }> {
  const page = await desk.page.context().newPage();
  try {
    return await page.evaluate(`(async (text) => {
      const parsed = new DOMParser().parseFromString(text, 'image/svg+xml');
      if (parsed.querySelector('parsererror')) throw new Error('not well-formed');
      const image = new Image();
      image.src = 'data:image/svg+xml,' + encodeURIComponent(text);
      await image.decode();
      const canvas = Object.assign(document.createElement('canvas'), { width: image.width, height: image.height });
      const context = canvas.getContext('2d');
      context.drawImage(image, 0, 0);
      const { data } = context.getImageData(0, 0, image.width, image.height);
      let inkPixels = 0;
      for (let i = 0; i < data.length; i += 4) if (Math.abs(data[i] - data[0]) > 60) inkPixels += 1;
      return { texts: [...parsed.querySelectorAll('text')].map((each) => each.textContent), inkPixels };
    })(${JSON.stringify(bytes.toString('utf8'))})`);
  } finally {
    await page.close();
  }
}

it('saves the pictures of a shot, each with its title and its units, and has their numbers in tables', async () => {
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1, fragment: true }) });
  await desk.openPage('shot');
  for (const [title, units] of [
    ['Shot 1: range and gates, lengths to scale', ['target 11.000 m', 'Since the firing, ms', 'A1', 'B2']],
    ['Shot 1: reservoir pressure', ['Reservoir, absolute, MPa', 'Since the firing, ms', 'fired', 'valve', 'muzzle', 'B2']],
    ['Shot 1: barrel pressure', ['Barrel, absolute, kPa', 'fired']],
    ['Shot 1: velocity along the range', ['Velocity, m/s', 'From the muzzle datum, m', 'gate pair, ± 95 %', 'target']],
    ['Shot 1: velocity over time', ['Velocity, m/s', 'Since the firing, ms']],
  ] as const) {
    const { name, bytes } = await save(`SVG of ${title}`);
    expect(name).toMatch(/^shot-1-[a-z-]+\.svg$/);
    const { texts, inkPixels } = await drawn(bytes);
    for (const words of [title, ...units]) expect(texts).toContain(words);
    expect(inkPixels).toBeGreaterThan(1_000);
  }
  const { name, bytes } = await save('PNG of Shot 1: velocity along the range');
  expect(name).toBe('shot-1-velocity-along-the-range.png');
  expect(bytes.subarray(1, 4).toString('latin1')).toBe('PNG');
  // Twice the drawing's 960 px.
  expect(bytes.readUInt32BE(16)).toBe(1920);
  expect(bytes.length).toBeGreaterThan(20_000);
  await desk.page.locator('.chart-numbers > summary').nth(2).click();
  const numbers = desk.page.getByRole('region', { name: 'In numbers: Shot 1: velocity along the range' });
  expect(await numbers.locator('caption').allTextContents()).toEqual([
    '95 %',
    'flight by all gates',
    'gate pair, ± 95 %',
    'muzzle and target, ± 95 %',
    'Marked',
  ]);
  expect(await numbers.getByRole('row', { name: /^0 312\.46 0\.142$/ }).count()).toBe(1);
  expect(desk.complaints).toEqual([]);
});

it('saves what scrolls, what was struck and the map, in the dark as in the light', async () => {
  desk.maps = deskOf(campaignSources(11));
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1, firedAtNs: 5e9 }) });
  await desk.openPage();
  await desk.page.emulateMedia({ colorScheme: 'dark' });
  await desk.page.getByText('Save', { exact: true }).first().click();
  const trace = await save('SVG of Reservoir pressure');
  const { texts, inkPixels } = await drawn(trace.bytes);
  expect(texts.join('\n')).toMatch(/Reservoir pressure until 09:30:15 UTC on 2026-03-14[\s\S]*Reservoir pressure, absolute, MPa/);
  expect(texts).toContain('shot 1');
  expect(inkPixels).toBeGreaterThan(500);
  await desk.page.locator('.trace-menu .chart-numbers > summary').first().click();
  await desk.page.getByRole('region', { name: /^In numbers: Reservoir pressure until/ }).waitFor();
  await desk.page.locator('.trace-menu > summary').click();
  const target = await drawn((await save('SVG of Target plane, 0 impacts, mm')).bytes);
  expect(target.texts[0]).toBe('Target plane, rings in mm');
  expect(target.inkPixels).toBeGreaterThan(500);
  await desk.page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Map' }).click();
  await desk.page.locator('.chart-place svg').waitFor();
  const map = await drawn((await save(/^SVG of Heron/)).bytes);
  expect(map.texts).toEqual(expect.arrayContaining(['Muzzle velocity, m/s', 'Fill, absolute, MPa']));
  expect(desk.complaints).toEqual([]);
});

it('says so where the browser cannot draw it', async () => {
  desk.tell({ type: 'shot', phase: 'closed', atNs: NOW_NS, shot: fakeShot({ number: 1 }) });
  await desk.openPage('shot', 'HTMLCanvasElement.prototype.toBlob = (done) => done(null);');
  await desk.page.getByRole('button', { name: 'PNG of Shot 1: reservoir pressure' }).click();
  await desk.page.getByText('Not saved: The browser could not make the file.').waitFor();
});
