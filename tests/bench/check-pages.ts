/**
 * `npm run check:pages`: how heavy the pages are, how soon a shot is on one, what eight scrolling traces and a page out of
 * sight cost, in a real browser; then all of `tests/browser`. Prints a table, ends with 1 where something is not reached.
 * `--small` takes a few shots and seconds; `--json FILE` writes the rows and the single values; `--no-tests` leaves the
 * tests out; `--only view|shot|traces|hidden` takes one part.
 */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { openBrowser } from '../support/browser.ts';
import { buildPages } from '../support/built-pages.ts';
import { openTraces, serveEightTraces } from './pages/eight-traces.ts';
import { firstViews, firstWord, PACKINGS } from './pages/first-view.ts';
import { outOfSight } from './pages/out-of-sight.ts';
import { shotLatency } from './pages/shot-latency.ts';
import { printTable, type Row } from './table.ts';

const FIRST_VIEW_BYTES_MAX = 200e3;
const SHOT_MS_MAX = 100;
const FRAMES_PER_S = 60;
/** A frame now and then is another program's: the machine has two cores. */
const FRAMES_PER_S_MIN = 0.97 * FRAMES_PER_S;
const BUSY_SHARE_MAX = 0.5;
const HIDDEN_SHARE_MAX = 0.005;

const isSmall = process.argv.includes('--small');
const optionOf = (option: string): string | undefined =>
  process.argv.includes(option) ? process.argv[process.argv.indexOf(option) + 1] : undefined;
const only = optionOf('--only');
const SHOTS = isSmall ? 4 : 40;
const SECONDS = isSmall ? 4 : 20;

const kilobytes = (bytes: number): string => `${(bytes / 1e3).toFixed(1)} kB`;
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
const quantile = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
const load = (): string => `load ${loadavg()[0]?.toFixed(1)} on ${cpus().length} cores`;
/** Single values behind the rows. */
const raw: Record<string, unknown> = {};

const pages = await buildPages();
const browser = await openBrowser();

async function* viewRows(): AsyncGenerator<Row> {
  const stream = await serveEightTraces(pages.folder);
  const page = await browser.context.newPage();
  const views = await firstViews(page, stream.server.url);
  raw.firstViews = views;
  for (const { name, path, bytes, files } of views) {
    yield {
      what: `page ${name} (${path}): first view, ${files} files, ${PACKINGS.join(' / ')}`,
      wanted: `under ${kilobytes(FIRST_VIEW_BYTES_MAX)} packed`,
      found: PACKINGS.map((packing) => kilobytes(bytes[packing])).join(' / '),
      reached: Math.max(bytes.br, bytes.gzip) < FIRST_VIEW_BYTES_MAX,
    };
  }
  const word = await firstWord(stream.server.url);
  raw.firstWord = word;
  const heaviest = Math.max(...views.map(({ bytes }) => bytes.br));
  yield {
    what: '… with the live feed’s first message, ten minutes of eight channels at 1 kHz: packed, and as it was before packing',
    wanted: `heaviest page with it under ${kilobytes(2 * FIRST_VIEW_BYTES_MAX)}`,
    found: `${kilobytes(word.packedBytes)}, ${kilobytes(word.plainBytes)}; together ${kilobytes(heaviest + word.packedBytes)}`,
    reached: heaviest + word.packedBytes < 2 * FIRST_VIEW_BYTES_MAX,
  };
  await page.close();
  await stream.close();
}

async function* shotRows(): AsyncGenerator<Row> {
  const page = await browser.context.newPage();
  const { ms, heardMs, cost, fired, clockMs } = await shotLatency(page, SHOTS);
  raw.shot = { ms, heardMs, cost };
  const [half, nearlyAll, all] = [0.5, 0.99, 1].map((share) => quantile(ms, share).toFixed(0));
  yield {
    what: `${fired} shots beside 32 channels at 1 kHz: from the last edge written to the board's port to the frame with the velocity (clocks within ${clockMs.toFixed(1)} ms; ${load()})`,
    wanted: `every one seen, p99 at most ${SHOT_MS_MAX} ms`,
    found: `${ms.length} seen, p50 ${half} ms, p99 ${nearlyAll} ms, longest ${all} ms; in the browser after p50 ${quantile(heardMs, 0.5).toFixed(0)} ms, p99 ${quantile(heardMs, 0.99).toFixed(0)} ms; its main thread at work ${percent(cost.busyShare)}`,
    reached: ms.length === fired && fired >= SHOTS - 1 && quantile(ms, 0.99) <= SHOT_MS_MAX,
  };
  await page.close();
}

async function* traceRows(): AsyncGenerator<Row> {
  const stream = await serveEightTraces(pages.folder);
  const { page, meter } = await openTraces(browser.context, stream.server.url);
  const alone = await meter.costOver(SECONDS);
  let counted = alone;
  const frames = await meter.framesIn(async () => {
    counted = await meter.costOver(SECONDS);
  });
  raw.traces = { alone, counted, frames };
  yield {
    what: `8 traces of 1 kHz over 10 min, ${SECONDS} s: frames a second (${load()})`,
    wanted: `${FRAMES_PER_S} (at least ${FRAMES_PER_S_MIN.toFixed(0)})`,
    found: `${frames.perS.toFixed(1)}; 99 % within ${frames.p99Ms.toFixed(0)} ms, longest ${frames.longestMs.toFixed(0)} ms`,
    reached: frames.perS >= FRAMES_PER_S_MIN,
  };
  yield {
    what: '… main thread at work, while frames are counted and without',
    wanted: `under ${percent(BUSY_SHARE_MAX)}`,
    found: `${percent(counted.busyShare)}, ${percent(alone.busyShare)} (script ${percent(alone.scriptShare)}, layout ${percent(alone.layoutShare)})`,
    reached: Math.max(counted.busyShare, alone.busyShare) < BUSY_SHARE_MAX,
  };
  await page.close();
  await stream.close();
}

async function* hiddenRows(): AsyncGenerator<Row> {
  const stream = await serveEightTraces(pages.folder);
  const { page, meter, traffic } = await openTraces(browser.context, stream.server.url);
  const { cost, messages, linesOpen, backAfterMs } = await outOfSight(page, { meter, traffic, seconds: SECONDS });
  raw.hidden = { cost, messages, linesOpen, backAfterMs };
  yield {
    what: `a page out of sight, ${SECONDS} s of it: main thread at work, messages, lines to the host`,
    wanted: `under ${percent(HIDDEN_SHARE_MAX)}, 0, 0`,
    found: `${percent(cost.busyShare)}, ${messages}, ${linesOpen}; seen again it was connected after ${backAfterMs.toFixed(0)} ms`,
    reached: cost.busyShare < HIDDEN_SHARE_MAX && messages === 0 && linesOpen === 0,
  };
  await page.evaluate("localStorage.setItem('postern.sound', 'on')");
  await page.reload();
  await page.locator('.traces .plot canvas').nth(7).waitFor();
  const heard = await outOfSight(page, { meter, traffic, seconds: SECONDS });
  raw.hiddenWithSound = heard;
  yield {
    what: '… one that is to sound alarms keeps its line: main thread at work, messages',
    wanted: 'under a tenth; some',
    found: `${percent(heard.cost.busyShare)}, ${heard.messages}`,
    reached: heard.cost.busyShare < 0.1 && heard.messages > 0,
  };
  await page.evaluate('localStorage.clear()');
  await page.close();
  await stream.close();
}

async function* testRows(): AsyncGenerator<Row> {
  const vitest = fileURLToPath(new URL('../../node_modules/vitest/vitest.mjs', import.meta.url));
  const fromMs = performance.now();
  const run = spawn(process.execPath, [vitest, 'run', 'tests/browser'], {
    stdio: ['ignore', 2, 2],
    env: { ...process.env, POSTERN_EVERY_LOOK: '1' },
  });
  const [code] = await once(run, 'exit');
  yield {
    what: 'all of tests/browser',
    wanted: 'pass',
    found: `${code === 0 ? 'passed' : 'FAILED'} in ${((performance.now() - fromMs) / 1000).toFixed(0)} s`,
    reached: code === 0,
  };
}

const PARTS = { view: viewRows, shot: shotRows, traces: traceRows, hidden: hiddenRows } as const;

async function* rows(): AsyncGenerator<Row> {
  for (const [name, part] of Object.entries(PARTS)) if (only === undefined || only === name) yield* part();
  if (only === undefined && !process.argv.includes('--no-tests')) yield* testRows();
}

const kept: Row[] = [];
async function* keeping(): AsyncGenerator<Row> {
  for await (const row of rows()) {
    kept.push(row);
    yield row;
  }
}

try {
  const machine = `Node ${process.version}, Chromium ${browser.context.browser()?.version() ?? ''}, ${cpus().length} × ${cpus()[0]?.model.trim()}`;
  console.log(`${machine}.\n`);
  await printTable(keeping());
  const file = optionOf('--json');
  if (file !== undefined) writeFileSync(file, `${JSON.stringify({ machine, rows: kept, raw }, null, 1)}\n`);
} finally {
  await browser.close();
  await pages.remove();
}
