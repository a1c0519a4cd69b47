/** The live page as the crew have it: a feed, a server, a browser page, and acts answered in the host's place. */
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import type { HistorySource } from '../../host/serve/history/history-source.ts';
import {
  LiveFeed,
  type MapDesk,
  type RunningServer,
  type SeriesDesk,
  type ServerOptions,
  type ShotSource,
  startServer,
} from '../../host/serve/index.ts';
import type { OperatorAct, PipelineEvent } from '../../protocol/index.ts';
import { openBrowser, type TestBrowser } from './browser.ts';
import { type BuiltPages, buildPages } from './built-pages.ts';
import { FakeCrew } from './fake-crew.ts';
import { eventsBetween, openingEvents } from './fake-feed.ts';
import { instrumentEvents, watchEventsAt } from './fake-watches.ts';

export const WIDE = { width: 1280, height: 900 };
export const NARROW = { width: 390, height: 844 };
export const NARROWEST = { width: 360, height: 740 };
export const TOKEN = 'key-of-this-test';
/** Session time throughout a test. */
export const NOW_NS = 15e9;
export const OPENED_AT = '2026-03-14T09:30:00.000000Z';

export class CrewDesk {
  readonly complaints: string[] = [];
  crew = new FakeCrew();
  feed = new LiveFeed({ mode: 'live' });
  /** What the host says to an act before it takes it; undefined takes it. */
  turnedAway: { readonly status: number; readonly body: object } | undefined;
  /** Of the server; to be set before it serves. */
  series: SeriesDesk | undefined;
  /** What there is of the past, and its shots whole; to be set before it serves. */
  history: HistorySource | undefined;
  store: ShotSource | undefined;
  /** Undefined: a host that makes no maps. */
  maps: MapDesk | undefined;
  #pages: BuiltPages | undefined;
  #browser: TestBrowser | undefined;
  #server: RunningServer | undefined;
  #page: Page | undefined;

  get pagesDir(): string {
    return this.#pages?.folder ?? '';
  }

  get page(): Page {
    if (!this.#page) throw new Error('no page is open');
    return this.#page;
  }

  get server(): RunningServer {
    if (!this.#server) throw new Error('nothing is served');
    return this.#server;
  }

  async start(): Promise<void> {
    this.#pages = await buildPages();
    this.#browser = await openBrowser(WIDE);
  }

  async stop(): Promise<void> {
    await this.#browser?.close();
    await this.#pages?.remove();
  }

  async begin(): Promise<void> {
    this.complaints.length = 0;
    this.turnedAway = undefined;
    this.maps = undefined;
    this.crew = new FakeCrew();
    this.newFeed();
    this.tell(...openingEvents(OPENED_AT), ...instrumentEvents(), ...eventsBetween(0, NOW_NS));
    this.tell(...watchEventsAt(NOW_NS), this.crew.holdPoints(0));
    await this.serve(0);
  }

  async end(): Promise<void> {
    // Names and keys are the browser's to remember: the next test begins without.
    await this.#page?.evaluate('localStorage.clear()');
    await this.#page?.close();
    await this.#server?.close();
  }

  newFeed(): LiveFeed {
    this.feed = new LiveFeed({ mode: 'live' });
    return this.feed;
  }

  /** @param port  0: any that is free */
  async serve(port: number, more: Partial<ServerOptions> = {}): Promise<void> {
    this.#server = await startServer({
      feed: this.feed,
      port,
      pagesDir: this.#pages?.folder ?? '',
      nowNs: () => NOW_NS,
      ...(this.series ? { series: this.series } : {}),
      ...(this.history ? { history: this.history } : {}),
      ...(this.store ? { store: this.store } : {}),
      // As it is by the time that it is asked.
      maps: {
        sources: async () => (await this.maps?.sources()) as Awaited<ReturnType<MapDesk['sources']>>,
        report: async () => (await this.maps?.report()) as Awaited<ReturnType<MapDesk['report']>>,
        expected: async (asked) => (await this.maps?.expected(asked)) as Awaited<ReturnType<MapDesk['expected']>>,
        fillFor: async (asked) => (await this.maps?.fillFor(asked)) as Awaited<ReturnType<MapDesk['fillFor']>>,
      },
      ...more,
    });
  }

  tell(...events: readonly PipelineEvent[]): void {
    for (const event of events) this.feed.accept(event);
  }

  async newPage(): Promise<void> {
    if (!this.#browser) throw new Error('no browser is open');
    this.#page = await this.#browser.context.newPage();
  }

  /** @param until  words that say that it is there */
  async openPage(hash = '', first = '', until = 'Connected'): Promise<void> {
    await this.newPage();
    await this.page.addInitScript(first);
    this.page.on('pageerror', (error) => this.complaints.push(error.message));
    await this.#answerActs();
    await this.page.goto(`${this.server.url}${hash}`);
    await this.page.getByText(until, { exact: true }).first().waitFor();
  }

  async openAs(name: string): Promise<void> {
    await this.openPage(`#token=${TOKEN}`);
    await this.page.getByLabel('Your name').fill(name);
    await this.page.getByRole('button', { name: 'Use it' }).click();
    await this.page.getByText(`Acting as ${name}`).waitFor();
  }

  sign() {
    return this.page.locator('.verdict strong');
  }

  strip() {
    return this.page.getByRole('region', { name: 'Alarms' });
  }

  /** The way of acts. */
  async #answerActs(): Promise<void> {
    await this.page.route('**/api/acts', async (route) => {
      const request = route.request();
      if (request.headers().authorization !== `Bearer ${TOKEN}`) return route.fulfill({ status: 401, json: { code: 'no-token' } });
      if (this.turnedAway) return route.fulfill({ status: this.turnedAway.status, json: this.turnedAway.body });
      this.tell(...this.crew.take(request.postDataJSON() as OperatorAct, NOW_NS));
      return route.fulfill({ json: { accepted: true } });
    });
  }
}

/** For the tests of one file: begun anew before each. */
export function crewDesk(): CrewDesk {
  const desk = new CrewDesk();
  beforeAll(() => desk.start());
  afterAll(() => desk.stop());
  beforeEach(() => desk.begin());
  afterEach(() => desk.end());
  return desk;
}
