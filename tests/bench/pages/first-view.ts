/** What each page needs before it is there, as it comes over the line: files in either packing, and the live feed's first message. */
import { once } from 'node:events';
import { request } from 'node:http';
import type { Socket } from 'node:net';
import type { Page } from 'playwright-core';
import { WebSocket } from 'ws';

export const PACKINGS = ['br', 'gzip', 'identity'] as const;
export type Packing = (typeof PACKINGS)[number];

export interface FirstView {
  readonly name: string;
  readonly path: string;
  /** Heads of the answers included. */
  readonly bytes: Readonly<Record<Packing, number>>;
  readonly files: number;
}

/** The pages that the navigation leads to, each opened as a browser does that has seen none of them. */
export async function firstViews(page: Page, url: string): Promise<readonly FirstView[]> {
  const line = await page.context().newCDPSession(page);
  await line.send('Network.setCacheDisabled', { cacheDisabled: true });
  const views: FirstView[] = [];
  for (const { name, path } of await pagesOf(page, url)) {
    const asked = new Set<string>();
    const take = (one: { url(): string; resourceType(): string }): void => {
      if (!/websocket|fetch|xhr/.test(one.resourceType())) asked.add(one.url());
    };
    page.on('request', take);
    await page.goto(new URL(path, url).href);
    await page.getByRole('main').getByRole('heading').first().waitFor();
    await page.waitForLoadState('networkidle').catch(() => undefined);
    page.off('request', take);
    const bytes = { br: 0, gzip: 0, identity: 0 };
    for (const packing of PACKINGS) for (const file of asked) bytes[packing] += await bytesOnTheLine(file, packing);
    views.push({ name, path, bytes, files: asked.size });
  }
  await line.detach();
  return views;
}

async function pagesOf(page: Page, url: string): Promise<readonly { readonly name: string; readonly path: string }[]> {
  await page.goto(url);
  const links = page.getByRole('navigation', { name: 'Pages' }).getByRole('link');
  await links.first().waitFor();
  return Promise.all(
    (await links.all()).map(async (link) => ({ name: (await link.textContent()) ?? '', path: (await link.getAttribute('href')) ?? '/' })),
  );
}

async function bytesOnTheLine(address: string, packing: Packing): Promise<number> {
  const asked = request(address, { headers: { 'accept-encoding': packing }, agent: false }).end();
  const [answer] = await once(asked, 'response');
  answer.resume();
  await once(answer, 'end');
  return (answer.socket as Socket).bytesRead;
}

export interface FirstWord {
  readonly packedBytes: number;
  readonly plainBytes: number;
}

/** The message that fills the page with the present and the last ten minutes. */
export async function firstWord(url: string): Promise<FirstWord> {
  const [packed, plain] = await Promise.all([bytesOfFirstMessage(url, true), bytesOfFirstMessage(url, false)]);
  return { packedBytes: packed, plainBytes: plain };
}

async function bytesOfFirstMessage(url: string, isPacked: boolean): Promise<number> {
  const socket = new WebSocket(`${url.replace(/^http/, 'ws')}live`, { perMessageDeflate: isPacked });
  let raw: Socket | undefined;
  socket.once('upgrade', (answer) => {
    raw = answer.socket;
  });
  await once(socket, 'message');
  const bytes = raw?.bytesRead ?? Number.NaN;
  socket.terminate();
  return bytes;
}
