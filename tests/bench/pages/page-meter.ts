/** What a page costs and when it shows something, by the browser's own books (Chrome DevTools Protocol) and its own clock. */
import type { CDPSession, Page } from 'playwright-core';

export interface Cost {
  /** Share of the time in which the page's main thread was at work, 0 to 1. */
  readonly busyShare: number;
  readonly scriptShare: number;
  readonly layoutShare: number;
  readonly seconds: number;
}

export interface FrameCount {
  readonly perS: number;
  /** ms between two of them. */
  readonly p99Ms: number;
  readonly longestMs: number;
}

/** Each frame's time, for as long as the page counts. */
const COUNT_FRAMES = `(() => {
  const times = []; let isOn = true;
  const next = (ms) => { times.push(ms); if (isOn) requestAnimationFrame(next); };
  requestAnimationFrame(next);
  window.__endFrames = () => { isOn = false; return times; };
})()`;

export class PageMeter {
  readonly #page: Page;
  readonly #line: CDPSession;

  private constructor(page: Page, line: CDPSession) {
    this.#page = page;
    this.#line = line;
  }

  static async on(page: Page): Promise<PageMeter> {
    const line = await page.context().newCDPSession(page);
    await line.send('Performance.enable', { timeDomain: 'timeTicks' });
    return new PageMeter(page, line);
  }

  async costOver(seconds: number): Promise<Cost> {
    const before = await this.#metrics();
    await new Promise((done) => setTimeout(done, 1000 * seconds));
    const after = await this.#metrics();
    const delta = (name: string): number => (after.get(name) ?? Number.NaN) - (before.get(name) ?? Number.NaN);
    const lastedS = delta('Timestamp');
    return {
      busyShare: delta('TaskDuration') / lastedS,
      scriptShare: delta('ScriptDuration') / lastedS,
      layoutShare: (delta('LayoutDuration') + delta('RecalcStyleDuration')) / lastedS,
      seconds: lastedS,
    };
  }

  /** While `during` lasts. */
  async framesIn(during: () => Promise<unknown>): Promise<FrameCount> {
    await this.#page.evaluate(COUNT_FRAMES);
    await during();
    const times = await this.#page.evaluate<number[]>('window.__endFrames()');
    const gaps = times.slice(1).map((ms, i) => ms - (times[i] ?? ms));
    const sorted = [...gaps].sort((a, b) => a - b);
    const lastedS = ((times.at(-1) ?? Number.NaN) - (times[0] ?? Number.NaN)) / 1000;
    return {
      perS: gaps.length / lastedS,
      p99Ms: sorted[Math.floor(0.99 * sorted.length)] ?? Number.NaN,
      longestMs: sorted.at(-1) ?? Number.NaN,
    };
  }

  async #metrics(): Promise<ReadonlyMap<string, number>> {
    const { metrics } = await this.#line.send('Performance.getMetrics');
    return new Map(metrics.map(({ name, value }) => [name, value]));
  }
}
