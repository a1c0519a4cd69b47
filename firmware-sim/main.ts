/**
 * The simulated range as a process of its own: boards and instruments on pseudo-terminals, and nothing else in common
 * with the host that measures it. Runs by hand, or as a child that is told over Node's message channel to pull a wire
 * and so on.
 */
import { appendFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { annotate } from './annotate.ts';
import { readArguments, USAGE } from './arguments.ts';
import type { FlashableBoard } from './avr/range-board.ts';
import { faultLines } from './faults.ts';
import { type FiredShot, startLiveRange } from './live-range.ts';
import { BOARDS, type BoardName } from './range.ts';
import { rateFor, startRangeTime, type TimeScale } from './range-time.ts';
import { closeWires, openWires } from './range-wires.ts';
import { rigFileText } from './rig-file.ts';

export type ToRange =
  | { readonly type: 'restart-board' }
  | { readonly type: 'stop' }
  /** The gate board's wire where none is named. */
  | { readonly type: 'unplug' | 'replug'; readonly board?: BoardName }
  | { readonly type: 'annotate'; readonly file: string };

export type FromRange =
  /** The range's clock, for whoever shall go by it. */
  | { readonly type: 'ready'; readonly paths: readonly string[]; readonly time: TimeScale }
  | { readonly type: 'behind'; readonly seconds: number }
  | { readonly type: 'fired'; readonly number: number }
  | { readonly type: 'unplugged' | 'replugged' }
  | { readonly type: 'annotated'; readonly file: string; readonly shots: number }
  | { readonly type: 'problem'; readonly message: string };

/** Firings kept to be matched with results; the truth file has them all. */
const FIRED_KEPT_MAX = 10_000;

/** A parent that is gone cannot be told; that it is gone is heard by `disconnect`. */
const tell = (message: FromRange): void => {
  if (process.connected) process.send?.(message, () => undefined);
};

async function main(): Promise<void> {
  if (process.argv[2] === '--list-faults') {
    process.stdout.write(`${faultLines().join('\n')}\n`);
    return;
  }
  const { wires: wiresDir, truth: truthFile, rig: rigFile, ...options } = readArguments(process.argv.slice(2));
  const paths = BOARDS.map((board) => path.resolve(wiresDir, board));
  const fired: FiredShot[] = [];
  if (truthFile !== undefined) writeFileSync(truthFile, '');
  if (rigFile !== undefined) writeFileSync(rigFile, rigFileText({ ...options, todayMs: Date.now() }));
  const flashable = options.board === 'avr' ? await flashableBoard(options.seed) : undefined;
  const wires = await openWires(wiresDir);
  const time = startRangeTime(options.rate ?? (flashable ? rateFor(flashable.speed()) : 1));
  const range = startLiveRange({
    ...options,
    wires,
    time,
    ...(flashable ? { makeGateBoard: flashable.makeGateBoard } : {}),
    onBehind: (seconds) => {
      if (process.send === undefined) process.stderr.write(`The range is ${seconds.toFixed(1)} s behind its clock.\n`);
      tell({ type: 'behind', seconds });
    },
    onFired: (shot) => {
      fired.push(shot);
      if (fired.length > FIRED_KEPT_MAX) fired.shift();
      if (truthFile !== undefined) appendFileSync(truthFile, `${JSON.stringify(shot)}\n`);
      if (process.send === undefined) process.stdout.write(`shot ${shot.number} fired ${shot.firedAt}\n`);
      tell({ type: 'fired', number: shot.number });
    },
  });

  let stopping = false;
  const stop = async (): Promise<void> => {
    if (stopping) return;
    stopping = true;
    range.stop();
    await closeWires(wires);
    if (process.connected) process.disconnect();
  };

  const act = async (message: ToRange): Promise<void> => {
    if (message.type === 'stop') return stop();
    if (message.type === 'restart-board') return range.restartGateBoard();
    if (message.type === 'annotate') return tell({ type: 'annotated', file: message.file, shots: annotate(message.file, fired) });
    const { type, board = 'gate-board' } = message;
    await range.setPlugged(board, type === 'replug');
    tell({ type: type === 'replug' ? 'replugged' : 'unplugged' });
  };

  process.on('message', (message: ToRange) => {
    act(message).catch((error: unknown) => tell({ type: 'problem', message: String(error) }));
  });
  process.on('disconnect', () => void stop());
  process.on('SIGTERM', () => void stop());
  // As a child the parent decides: Ctrl-C reaches both, and the host still reads while it closes its journal.
  process.on('SIGINT', () => {
    if (process.send === undefined) void stop();
  });
  // A parent that died while this was starting: its `disconnect` came before anyone listened.
  if (process.send !== undefined && !process.connected) return stop();
  if (process.send === undefined) process.stdout.write(`the ports are ${paths.join(' ')}\n`);
  if (process.send === undefined && time.rate < 1) process.stdout.write(`range time goes at ${time.rate} of real time\n`);
  tell({ type: 'ready', paths, time: { rate: time.rate, beganUtcMs: time.beganUtcMs } });
}

/** Fetched only when it is asked for: the simulator of its processor is large. */
async function flashableBoard(seed: number): Promise<FlashableBoard> {
  return (await import('./avr/range-board.ts')).flashableBoard(seed);
}

main().catch((error: unknown) => {
  const message = error instanceof Error ? error.message : String(error);
  process.exitCode = 2;
  if (process.connected) {
    // The parent says it in its own words.
    process.send?.({ type: 'problem', message } satisfies FromRange, () => process.disconnect());
  } else {
    process.stderr.write(`${message}\n${USAGE}\n`);
  }
});
