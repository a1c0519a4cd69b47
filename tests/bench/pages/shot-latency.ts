/**
 * How soon a shot is seen: from its last edge written to the board's port until the frame with its velocity has been
 * made. Instruments, host and browser are processes of their own; 32 channels at 1 kHz come beside it.
 */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { FLEET, fleetRig } from '../../support/instruments/fleet.ts';
import { FleetProcess } from '../../support/instruments/fleet-process.ts';
import { SHOT_EVERY_S } from '../../support/instruments/shot-course.ts';
import { HostProcess } from '../../support/load/host-process.ts';
import { Viewer } from '../../support/load/viewer.ts';
import { type Cost, PageMeter } from './page-meter.ts';

const SEED = 3;
/** For the last shot's way through everything. */
const AFTERWARDS_S = 2;
const CLOCK_LOOKS = 40;

/** Each shot's times, by its number: when the message with its velocity came, and the end of the first frame that showed it. */
const WATCH_FOR_SHOTS = `window.__seen = {}; window.__heard = {};
  window.WebSocket = class extends WebSocket {
    constructor(...all) {
      super(...all);
      this.addEventListener('message', ({ data }) => {
        if (data.length > 1e6 || !data.includes('"muzzleVelocityMps"') || !data.startsWith('{"type":"event"')) return;
        window.__heard[/"number":(\\d+)/.exec(data)?.[1]] ??= performance.now();
      });
    }
  };
  const look = () => {
    const newest = document.querySelector('.newest');
    const number = /Newest shot: (\\d+)/.exec(newest?.querySelector('h2')?.textContent ?? '')?.[1];
    if (!number || number in window.__seen || !newest.querySelector('.number')) return;
    window.__seen[number] = null;
    requestAnimationFrame(() => {
      // The next task after the frame's own work.
      const channel = new MessageChannel();
      channel.port1.onmessage = () => { window.__seen[number] = performance.now(); };
      channel.port2.postMessage(0);
    });
  };
  new MutationObserver(look).observe(document, { subtree: true, childList: true, characterData: true, attributes: true });`;

export interface ShotLatency {
  /** Ascending. */
  readonly ms: readonly number[];
  /** Of that until the browser had the message; ascending. */
  readonly heardMs: readonly number[];
  /** Until a WebSocket client of this process had it; ascending. */
  readonly socketMs: readonly number[];
  readonly cost: Cost;
  readonly fired: number;
  /** How well the two clocks are known to each other, ms. */
  readonly clockMs: number;
}

export async function shotLatency(page: Page, shots: number): Promise<ShotLatency> {
  const folder = mkdtempSync(join(tmpdir(), 'postern-latency-'));
  const wires = join(folder, 'wires');
  mkdirSync(wires);
  const rigFile = join(folder, 'rig.yaml');
  writeFileSync(
    rigFile,
    fleetRig('count', (name) => join(wires, name)),
  );
  const fleet = await FleetProcess.start(wires, { seed: SEED, mode: 'count' });
  const host = await HostProcess.start(rigFile, join(folder, 'data'), 5).catch(async (error: unknown) => {
    await fleet.stop();
    throw error;
  });
  const client = new Viewer(host.url, 'healthy', () => 0);
  try {
    return await watchShots(page, shots, { fleet, host, client });
  } finally {
    // Whatever failed: processes that nobody ends would keep this one waiting for ever.
    client.close();
    await host.end();
    await fleet.stop();
    rmSync(folder, { recursive: true, force: true });
  }
}

interface Running {
  readonly fleet: FleetProcess;
  readonly host: HostProcess;
  readonly client: Viewer;
}

async function watchShots(page: Page, shots: number, { fleet, host, client }: Running): Promise<ShotLatency> {
  await fleet.tell('begin');
  await host.isReady(FLEET.filter(({ kind }) => kind === 'gate-board').length);
  await page.addInitScript(WATCH_FOR_SHOTS);
  await page.goto(host.url);
  await page.getByText('Connected', { exact: true }).waitFor();
  const before = await clockOffset(page);
  const meter = await PageMeter.on(page);
  await client.connect();
  await fleet.tell('fire');
  const cost = await meter.costOver(SHOT_EVERY_S * shots);
  const { shots: written } = await fleet.tell('cease');
  await sleepS(AFTERWARDS_S);
  const after = await clockOffset(page);
  const seen = await page.evaluate<Times>('window.__seen');
  const heard = await page.evaluate<Times>('window.__heard');
  const { measuredNs } = client.count;
  await page.goto('about:blank');
  const offsetMs = (before.ms + after.ms) / 2;
  const latencies = (times: Times): readonly number[] =>
    written
      .flatMap(({ lastEdgeNs }, i) => {
        const atMs = times[String(i + 1)];
        return typeof atMs === 'number' ? [atMs + offsetMs - lastEdgeNs / 1e6] : [];
      })
      .sort((a, b) => a - b);
  return {
    ms: latencies(seen),
    heardMs: latencies(heard),
    socketMs: written
      .flatMap(({ lastEdgeNs }, i) => ((measuredNs[i + 1] ?? 0) > 0 ? [((measuredNs[i + 1] as number) - lastEdgeNs) / 1e6] : []))
      .sort((a, b) => a - b),
    cost,
    fired: written.length,
    clockMs: Math.max(before.withinMs, after.withinMs) + Math.abs(after.ms - before.ms) / 2,
  };
}

type Times = Readonly<Record<string, number | null>>;

/** The machine's monotonic clock less the page's, from the quickest of many questions. */
async function clockOffset(page: Page): Promise<{ readonly ms: number; readonly withinMs: number }> {
  let best = { ms: Number.NaN, withinMs: Number.POSITIVE_INFINITY };
  for (let i = 0; i < CLOCK_LOOKS; i += 1) {
    const fromMs = Number(process.hrtime.bigint()) / 1e6;
    const pageMs = await page.evaluate<number>('performance.now()');
    const toMs = Number(process.hrtime.bigint()) / 1e6;
    const withinMs = (toMs - fromMs) / 2;
    if (withinMs < best.withinMs) best = { ms: (fromMs + toMs) / 2 - pageMs, withinMs };
  }
  return best;
}

const sleepS = (seconds: number): Promise<void> => new Promise((done) => setTimeout(done, 1000 * seconds));
