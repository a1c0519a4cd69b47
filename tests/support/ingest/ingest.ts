/**
 * Lines a second from a real pseudo-terminal, through the whole host and through the bare serial library with its line
 * parser, the same bytes, in turns. Boards and readers are processes of their own.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FloodAsked, FloodBegun } from './flooding-board.ts';
import { floodRig } from './lines.ts';
import type { Expected, ReaderSays } from './reader.ts';

const PATIENCE_MS = 120_000;

export interface IngestOptions {
  readonly rounds: number;
  /** In each round, to each. */
  readonly blocks: number;
  readonly channels?: number;
  /** Where the host's processor time goes: a folder for Node's profile of it. */
  readonly profileTo?: string | undefined;
}

export interface Burst {
  readonly linesPerS: number;
  readonly bytesPerS: number;
  /** Of the reader's process, user and system. */
  readonly cpuUsPerLine: number;
}

export interface Ingest {
  readonly bare: readonly Burst[];
  readonly host: readonly Burst[];
}

export async function measureIngest({ rounds, blocks, channels = 8, profileTo }: IngestOptions): Promise<Ingest> {
  const folder = mkdtempSync(join(tmpdir(), 'postern-ingest-'));
  const path = (name: string): string => join(folder, 'wires', name);
  mkdirSync(join(folder, 'wires'));
  writeFileSync(join(folder, 'rig.yaml'), floodRig(path('host'), channels));
  const children: ChildProcess[] = [];
  const start = async (script: string, args: readonly string[], node: readonly string[] = []): Promise<ChildProcess> => {
    const execArgv = ['--import', 'tsx', ...node];
    const child = fork(fileURLToPath(new URL(script, import.meta.url)), args, { execArgv });
    children.push(child);
    await answer(child);
    return child;
  };
  try {
    const [bareBoard, hostBoard] = await Promise.all(
      ['bare', 'host'].map((name) => start('./flooding-board.ts', [path(name), String(channels)])),
    );
    const profile = profileTo === undefined ? [] : ['--cpu-prof', `--cpu-prof-dir=${profileTo}`];
    const bareReader = await start('./bare-reader.ts', [path('bare')]);
    const hostReader = await start('./host-reader.ts', [join(folder, 'rig.yaml'), join(folder, 'data')], profile);
    const bare: Burst[] = [];
    const host: Burst[] = [];
    // The first of each warms everything up.
    for (let round = 0; round <= rounds; round += 1) {
      const one = await burst(bareBoard as ChildProcess, bareReader, { blocks, channels });
      const other = await burst(hostBoard as ChildProcess, hostReader, { blocks, channels });
      if (round === 0) continue;
      bare.push(one);
      host.push(other);
    }
    for (const reader of [bareReader, hostReader]) {
      const ended = once(reader, 'exit');
      reader.send('close');
      await ended;
    }
    return { bare, host };
  } finally {
    for (const child of children) if (child.connected) child.disconnect();
    await Promise.all(children.map((child) => (child.exitCode === null && child.signalCode === null ? once(child, 'exit') : undefined)));
    rmSync(folder, { recursive: true, force: true });
  }
}

async function burst(
  board: ChildProcess,
  reader: ChildProcess,
  { blocks, channels }: { blocks: number; channels: number },
): Promise<Burst> {
  // A heartbeat follows each second's blocks.
  const lines = blocks + Math.floor(blocks / (20 * channels));
  reader.send({ lines, blocks } satisfies Expected);
  await answer(reader);
  const said = answer(reader);
  board.send({ blocks } satisfies FloodAsked);
  const began = (await answer(board)) as FloodBegun;
  if (began.lines !== lines) throw new Error(`${began.lines} lines were written, ${lines} expected`);
  const { doneNs, cpu, before } = (await said) as ReaderSays;
  const seconds = (doneNs - began.beganNs) / 1e9;
  const cpuUs = cpu.user + cpu.system - before.user - before.system;
  return { linesPerS: lines / seconds, bytesPerS: began.bytes / seconds, cpuUsPerLine: cpuUs / lines };
}

async function answer(child: ChildProcess): Promise<unknown> {
  const [told] = (await once(child, 'message', { signal: AbortSignal.timeout(PATIENCE_MS) })) as [unknown];
  return told;
}
