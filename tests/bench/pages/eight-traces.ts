/** Eight channels of the pages' invented rig at 1 kHz, with ten minutes behind them, served as they come. */
import type { BrowserContext } from 'playwright-core';
import { LiveFeed, type RunningServer, startServer } from '../../../host/serve/index.ts';
import type { ChannelSummary, RigSummary, SamplesEvent } from '../../../protocol/index.ts';
import { openingEvents } from '../../support/fake-feed.ts';
import { FAKE_RIG } from '../../support/fake-rig.ts';
import { instrumentEvents, watchEventsAt } from '../../support/fake-watches.ts';
import { CAN_BE_HIDDEN, countTraffic } from './out-of-sight.ts';
import { PageMeter } from './page-meter.ts';

const PAST_S = 600;
const STEP_MS = 50;
const PERIOD_NS = 1e6;

const strain = (name: string): ChannelSummary => ({
  name,
  measures: 'voltage',
  unit: 'V',
  board: 'gate-board',
  reference: 'absolute',
  rangeSi: [-5, 5],
  expandedUncertaintySi: 0.002,
});
const RIG: RigSummary = { ...FAKE_RIG, channels: [...FAKE_RIG.channels, strain('breechStrain'), strain('mountStrain')] };

/** Beside the two pressures that always stand there. */
const CHOSEN: readonly string[] = RIG.channels.map(({ name }) => name).filter((name) => !/^(reservoir|barrel)Pressure$/.test(name));

/** Never the same picture twice: slow waves of its own for each, a ripple and a hair of noise. */
function waveOf({ rangeSi = [0, 1] }: ChannelSummary, index: number, timeS: number): number {
  const [low, high] = rangeSi;
  const wave = 0.5 + 0.3 * Math.sin(timeS / (7 + 3 * index)) + 0.08 * Math.sin(timeS * (1.1 + 0.2 * index));
  return low + (high - low) * (wave + 0.01 * Math.sin(timeS * 911) * Math.cos(timeS * 373));
}

function samplesBetween(fromMs: number, toMs: number): readonly SamplesEvent[] {
  return RIG.channels.map((channel, index) => ({
    type: 'samples',
    atNs: toMs * 1e6,
    channel: channel.name,
    stream: 'slow',
    fromNs: fromMs * 1e6,
    periodNs: PERIOD_NS,
    valuesSi: Array.from({ length: toMs - fromMs }, (_, i) => waveOf(channel, index, (fromMs + i) / 1000)),
  }));
}

export interface Stream {
  readonly server: RunningServer;
  /** A page's messages so far are counted by the page; this is what the host sent to all. */
  close(): Promise<void>;
}

export async function serveEightTraces(pagesDir: string): Promise<Stream> {
  const feed = new LiveFeed({ mode: 'live' });
  const beganMs = performance.now() - 1000 * PAST_S;
  const nowMs = (): number => Math.floor(performance.now() - beganMs);
  const openedAt = new Date(Date.now() - 1000 * PAST_S).toISOString();
  for (const event of [...openingEvents(openedAt), ...instrumentEvents()]) {
    feed.accept(event.type === 'session' ? { ...event, rig: RIG } : event);
  }
  let doneMs = 0;
  const advance = (toMs: number): void => {
    for (const event of samplesBetween(doneMs, toMs)) feed.accept(event);
    if (Math.floor(toMs / 1000) > Math.floor(doneMs / 1000)) for (const event of watchEventsAt(toMs * 1e6)) feed.accept(event);
    doneMs = toMs;
  };
  while (doneMs < 1000 * PAST_S) advance(doneMs + 1000);
  const timer = setInterval(() => advance(nowMs()), STEP_MS);
  const server = await startServer({ feed, port: 0, pagesDir, nowNs: () => nowMs() * 1e6 });
  return {
    server,
    async close() {
      clearInterval(timer);
      await server.close();
    },
  };
}

/** The Rig page with all eight, ten minutes long. */
export async function openTraces(context: BrowserContext, url: string) {
  const page = await context.newPage();
  await page.addInitScript(`localStorage.setItem('postern.traces', ${JSON.stringify(JSON.stringify(CHOSEN))})`);
  await page.addInitScript(CAN_BE_HIDDEN);
  const traffic = countTraffic(page);
  await page.goto(url);
  await page.getByRole('radio', { name: '10 min', exact: true }).check();
  await page.locator('.traces .plot canvas').nth(7).waitFor();
  return { page, traffic, meter: await PageMeter.on(page) };
}
