/** The built pages and a browser for the tests of one file: opened before the first of them, closed after the last. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach } from 'vitest';
import { openBrowser, type TestBrowser } from './browser.ts';
import { type BuiltPages, buildPages } from './built-pages.ts';

export interface PagesInBrowser {
  /** Of the built pages. */
  readonly folder: string;
  /** What the page's scripts have done since the test began that they should not: thrown, or opened a dialog. */
  readonly exceptions: readonly string[];
  /** These, and what the browser has logged as an error: an answer of 404 too. */
  readonly complaints: readonly string[];
  /** A new page, whose complaints are heard. */
  newPage(): Promise<Page>;
}

export function pagesInBrowser(viewport?: { readonly width: number; readonly height: number }): PagesInBrowser {
  const exceptions: string[] = [];
  const complaints: string[] = [];
  const threw = (what: string): void => {
    for (const list of [exceptions, complaints]) list.push(what);
  };
  let pages: BuiltPages | undefined;
  let browser: TestBrowser | undefined;
  beforeAll(async () => {
    pages = await buildPages();
    browser = await openBrowser(viewport);
  });
  beforeEach(() => {
    for (const list of [exceptions, complaints]) list.length = 0;
  });
  afterAll(async () => {
    await browser?.close();
    await pages?.remove();
  });
  return {
    exceptions,
    complaints,
    get folder() {
      if (!pages) throw new Error('the pages are not built yet');
      return pages.folder;
    },
    async newPage() {
      if (!browser) throw new Error('no browser is open');
      const page = await browser.context.newPage();
      page.on('pageerror', (error) => threw(error.message));
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(`${message.text()} ${message.location().url}`);
      });
      page.on('dialog', (dialog) => {
        threw(`dialog ${dialog.message()}`);
        void dialog.dismiss();
      });
      return page;
    },
  };
}
