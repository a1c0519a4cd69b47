/** Debian's Chromium for tests of the pages: found, started without a window and with a profile of its own. */
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { type BrowserContext, chromium } from 'playwright-core';

const NAMES = ['chromium', 'chromium-browser'];

/** Debian's place too, should the path lack it. */
const pathFolders = () => [...(process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== ''), '/usr/bin'];

/**
 * @param folders  looked through in their order
 * @returns the path of Chromium's program
 * @throws Error that names the package to install where there is none
 */
export function findChromium(folders: readonly string[] = pathFolders()): string {
  const found = folders.flatMap((folder) => NAMES.map((name) => join(folder, name))).find((file) => existsSync(file));
  if (found === undefined) {
    throw new Error('Chromium is missing: the tests of the pages need the Debian package `chromium` (apt-get install chromium).');
  }
  return found;
}

export interface TestBrowser {
  readonly context: BrowserContext;
  close(): Promise<void>;
}

/** A browser that talks to nobody but the address it is given. */
export async function openBrowser(viewport = { width: 1280, height: 900 }): Promise<TestBrowser> {
  const profile = await mkdtemp(join(tmpdir(), 'postern-browser-'));
  const context = await chromium.launchPersistentContext(profile, {
    executablePath: findChromium(),
    headless: true,
    viewport,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  return {
    context,
    async close() {
      await context.close();
      await rm(profile, { recursive: true, force: true });
    },
  };
}
