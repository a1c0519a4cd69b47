/**
 * `kill -9` of a real host, again and again, on a range that goes on firing: real pseudo-terminals, real files, a page
 * that listens. A witness at the board's end of the wire and the page's messages say what each host had promised.
 */
import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { WebSocket } from 'ws';
import { rigFileText } from '../../../firmware-sim/rig-file.ts';
import type { LiveMessage, Shot } from '../../../protocol/index.ts';
import { RunningCommand } from '../command.ts';
import { type ReadSession, readSession } from './read-session.ts';
import type { Witness } from './tapped-wire.ts';
import { startWitnessedRange } from './witnessed-range.ts';

export interface KillOptions {
  readonly folder: string;
  readonly seed: number;
  readonly kills: number;
  /** Uniform in [0, 1). */
  readonly random: () => number;
}

export interface KillResult {
  /** Sessions that had begun a journal. */
  readonly sessions: number;
  readonly records: number;
  /** Killed within a second and a half of a firing. */
  readonly killsAtShots: number;
  readonly edgesAcknowledged: number;
  /** Of those, in no journal of the host that acknowledged them or of one before. */
  readonly acknowledgedLost: readonly string[];
  /** Events that a page had been sent. */
  readonly eventsSeen: number;
  /** Of those, not told by the journal: a record was lost that had been handed to it. */
  readonly unexplained: readonly string[];
  /** Journals without a rig file, or damaged elsewhere than at the end. */
  readonly unopened: readonly string[];
  readonly firings: number;
  /** Firings of which no session has all the edges in one shot. */
  readonly split: readonly number[];
  /** Firings that more than one session tells without saying that another may tell them too. */
  readonly toldTwice: readonly number[];
  /** Shots that say that they are incomplete, or that an earlier session may tell them. */
  readonly flagged: number;
}

const GATE_BOARD = 'gate-board';
/** From the start of the process: while it loads, opens its journal, its ports, and on into the first shot. */
const KILL_WITHIN_MS = 6000;
const KILL_AFTER_SHOT_MS = 1500;
const CATCH_UP_MS_MAX = 15_000;
/** Half a second: a board whose memory is full may have lost the firing signal of the edges after that. */
const FLIGHT_TICKS_MAX = 8e6;
const RUNNING = /Ctrl-C ends the session/;
/** A machine that is busy with other things takes its time. */
const START_MS_MAX = 120_000;

export async function killHosts({ folder, seed, kills, random }: KillOptions): Promise<KillResult> {
  const rigFile = join(folder, 'heron.yaml');
  const data = join(folder, 'data');
  writeFileSync(rigFile, rigFileText({ pace: 'fast', faults: [], todayMs: Date.now() }));
  const range = await startWitnessedRange(join(folder, 'wires'), seed);
  const { witness } = range;
  const seen: { readonly sessionId: string; readonly event: string }[] = [];
  let killsAtShots = 0;
  try {
    for (witness.at = 0; witness.at < kills; witness.at += 1) {
      const host = new RunningCommand(['run', rigFile, '--data', data, '--port', '0']);
      const page = watch(host, seen);
      try {
        if (witness.at % 2 === 0) await delay(random() * KILL_WITHIN_MS);
        else {
          await host.says(RUNNING, START_MS_MAX);
          // It has fetched what the hosts before it left on the board, so that there is something to lose.
          await Promise.race([witness.nextAcknowledged(), delay(CATCH_UP_MS_MAX)]);
          await new Promise<void>((resolve) => range.onFired(resolve));
          await delay(random() * KILL_AFTER_SHOT_MS);
          killsAtShots += 1;
        }
      } finally {
        await host.kill();
        await page.close();
      }
    }
    await runToTheEnd(new RunningCommand(['run', rigFile, '--data', data, '--port', '0']), witness);
  } finally {
    await range.close();
  }
  return judge(join(data, 'journals'), { witness, seen, killsAtShots });
}

/** A host that is left alone until everything that the board holds has come and was acknowledged. */
async function runToTheEnd(host: RunningCommand, witness: Witness): Promise<void> {
  try {
    await host.says(RUNNING, START_MS_MAX);
    const wanted = Math.max(...witness.edges.keys());
    for (
      let tries = 0;
      tries < 300 && !witness.acknowledged.some(({ upToSeq, at }) => upToSeq >= wanted && at === witness.at);
      tries += 1
    ) {
      await delay(100);
    }
    host.interrupt();
    const { exitCode, stderr } = await host.finished();
    if (exitCode !== 0) throw new Error(`the last host ended with ${exitCode}: ${stderr}`);
  } finally {
    await host.kill();
  }
}

/** A page, from the moment that the host has told its address. */
function watch(host: RunningCommand, seen: { sessionId: string; event: string }[]): { close(): Promise<void> } {
  let socket: WebSocket | undefined;
  let isOver = false;
  let sessionId = '';
  const opening = host.says(/atch it at http:\/\/(\S+?)\/?\s/, START_MS_MAX).then(
    ([, address]) => {
      if (isOver) return;
      socket = new WebSocket(`ws://${address}/live`);
      socket.on('error', () => undefined);
      socket.on('message', (data) => {
        const message = JSON.parse(String(data)) as LiveMessage;
        if (message.type === 'snapshot') sessionId = message.sessionId;
        if (message.type === 'event') seen.push({ sessionId, event: JSON.stringify(message.event) });
      });
    },
    () => undefined,
  );
  return {
    close: async () => {
      isOver = true;
      await opening;
      socket?.terminate();
    },
  };
}

interface Evidence {
  readonly witness: Witness;
  readonly seen: readonly { readonly sessionId: string; readonly event: string }[];
  readonly killsAtShots: number;
}

function judge(journals: string, { witness, seen, killsAtShots }: Evidence): KillResult {
  const names = readdirSync(journals).sort();
  const sessions = new Map<string, ReadSession>();
  for (const name of names) sessions.set(name.replace(/\.mcap$/, ''), readSession(join(journals, name), GATE_BOARD));
  const all = [...sessions.values()];
  const isEmpty = (session: ReadSession): boolean => session.records === 0;

  const recorded = new Set(all.flatMap(({ lines }) => [...lines]));
  const upTo = Math.max(-1, ...witness.acknowledged.map(({ upToSeq }) => upToSeq));
  const acknowledged = [...witness.edges].filter(([seq]) => seq <= upTo).map(([, edge]) => edge);

  const shots = all.flatMap((session) => session.shots);
  const firings = firingsOf(witness);
  const tellersOf = (ticks: number): readonly Shot[] =>
    shots.filter((shot) => shot.edges.some((edge) => edge.ticks === ticks && edge.gate === 'trigger'));
  const isMarked = ({ flags }: Shot): boolean => flags.includes('cut-short') || flags.includes('before-session');
  return {
    sessions: all.length,
    records: all.reduce((sum, { records }) => sum + records, 0),
    killsAtShots,
    edgesAcknowledged: acknowledged.length,
    acknowledgedLost: acknowledged.filter(({ line }) => !recorded.has(line)).map(({ line }) => line),
    eventsSeen: seen.length,
    unexplained: seen.filter(({ sessionId, event }) => !sessions.get(sessionId)?.events.has(event)).map(({ event }) => event),
    unopened: [...sessions].filter(([, one]) => one.damages > 0 || !(one.hasRig || isEmpty(one))).map(([name]) => name),
    firings: firings.length,
    split: firings.filter((firing) => !tellersOf(firing.ticks).some((shot) => hasAll(shot, firing.gateTicks))).map(({ ticks }) => ticks),
    toldTwice: firings.filter(({ ticks }) => tellersOf(ticks).filter((shot) => !isMarked(shot)).length > 1).map(({ ticks }) => ticks),
    flagged: shots.filter(isMarked).length,
  };
}

interface Firing {
  readonly ticks: number;
  readonly gateTicks: readonly number[];
}

/** Each firing signal, and the gates' edges up to the next one; only those that the last host was still told of in whole. */
function firingsOf({ edges, acknowledged }: Witness): readonly Firing[] {
  const upTo = Math.max(-1, ...acknowledged.map(({ upToSeq }) => upToSeq));
  const inOrder = [...edges]
    .filter(([seq]) => seq <= upTo)
    .map(([, edge]) => edge)
    .sort((a, b) => a.ticks - b.ticks);
  const fired = inOrder.filter(({ input, active }) => input === 0 && active).map(({ ticks }) => ticks);
  return fired.map((ticks, index) => {
    const until = fired[index + 1] ?? Number.POSITIVE_INFINITY;
    return {
      ticks,
      gateTicks: inOrder
        .filter((edge) => edge.input !== 0 && edge.ticks > ticks && edge.ticks < Math.min(until, ticks + FLIGHT_TICKS_MAX))
        .map((edge) => edge.ticks),
    };
  });
}

const hasAll = (shot: Shot, gateTicks: readonly number[]): boolean =>
  gateTicks.every((ticks) => shot.edges.some((edge) => edge.ticks === ticks));
