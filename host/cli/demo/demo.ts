/** `postern demo`: the simulated Cold Sike range on real pseudo-terminals, the host reading it as it reads hardware. */
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { closingAll } from '../close-stack.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { FolderHold } from '../data/folder-hold.ts';
import { type LiveSession, openLiveSession } from '../live/live-session.ts';
import { slowedTime } from '../live/session-clock.ts';
import { CommandError, say, warn, writeJson } from '../output.ts';
import { CALLED_AS } from '../program-beside.ts';
import { crewLine, watchLines } from '../serving/address-lines.ts';
import type { ListenOptions } from '../serving/listening.ts';
import { sessionJson } from '../shots/shot-json.ts';
import { StopSignal } from '../stop-signal.ts';
import { eventSayer } from '../text/event-lines.ts';
import { ShotCount } from './shot-count.ts';
import { SimulatedRange } from './simulated-range.ts';

export interface DemoOptions extends ListenOptions {
  readonly data: string;
  readonly seed: number;
  readonly pace: 'real' | 'fast';
  readonly fills: 'target' | 'spread';
  readonly drop: boolean;
  readonly board: 'simulated' | 'avr';
  readonly rate?: number;
  readonly faults: readonly string[];
  readonly shots?: number;
  readonly exit: boolean;
  readonly json?: string | true;
}

export async function demo(options: DemoOptions): Promise<void> {
  const { seed, pace, faults, shots, exit, json, fills, drop, board, rate } = options;
  if (exit && shots === undefined) throw new CommandError('--exit needs --shots N: say after how many shots to end.', 2);
  const enough = exit && shots !== undefined ? new ShotCount(shots, pace) : undefined;
  const quiet = json === true;
  const session = await closingAll(async (parts) => {
    const stop = new StopSignal();
    parts.add(() => stop.close());
    const folder = openDataFolder(options.data);
    // Before the range, whose wires another demo's would replace.
    const hold = await FolderHold.take(folder);
    parts.add(() => hold.release());
    const wiresDir = join(folder.simulated, 'wires');
    mkdirSync(wiresDir, { recursive: true });
    const rigFile = join(folder.simulated, 'heron.yaml');

    const truthFile = join(folder.simulated, 'truth.jsonl');
    const slow = (seconds: number): void =>
      warn(
        `The simulated range is ${seconds.toFixed(1)} s behind its clock: this machine has too much else to do. What comes from it comes late.`,
      );
    const rangeOptions = { wiresDir, truthFile, rigFile, seed, pace, shots, faults, fills, drop, board, onBehind: slow };
    const range = await SimulatedRange.start({ ...rangeOptions, ...(rate === undefined ? {} : { rate }) }, () => {
      if (enough) enough.fail(new CommandError('The simulated range has ended by itself: no further shot can come.'));
      else warn('The simulated range has ended by itself; the page goes on with what was measured. Ctrl-C ends the demo.');
    });
    parts.add(() => range.stop());

    const sayEvent = eventSayer();
    let dropped = 0;
    const opened = await openLiveSession({
      ...options,
      rigFile,
      folder,
      ...(range.time.rate === 1 ? {} : { time: slowedTime(range.time) }),
      // A board of the simulated range is at no port of this machine.
      listPorts: async () => [],
      onEvent: (event) => {
        if (!quiet) sayEvent(event);
        if (event.type === 'shot' && event.phase === 'closed') enough?.count(event.shot.number);
        // A dropped ball makes edges that are no shot: the pipeline lets them go, and says so.
        if (drop && event.type === 'note') enough?.count(++dropped);
      },
    });
    // After the session's end, which may close a shot, and before the range's, which knows the truth.
    if (json !== undefined) parts.add(() => writeResult(json, opened, range, join(folder.simulated, 'result.json')));
    parts.add(() => opened.close());
    parts.add(() => enough?.close());
    hold.session = opened;
    stop.lastWords = () => opened.lastWords();
    if (!quiet) greet(opened, options, range.time.rate);
    opened.rehearse();
    opened.start();
    enough?.start(1 / range.time.rate);
    await Promise.race(enough ? [stop.asked, enough.reached] : [stop.asked]);
    return opened;
  });
  if (!quiet) say(`Session ${session.sessionId} closed, shots: ${session.shots.length}; journal ${session.journal}.`);
  if (enough && enough.missing > 0) throw new CommandError(`The demo ended with ${enough.missing} of ${shots ?? 0} shots missing.`);
}

function greet(session: LiveSession, options: DemoOptions, rate: number): void {
  say('The simulated Cold Sike range: launcher Heron, four light gates, a target at 11 m. No gas, no danger.');
  if (options.drop)
    say('Pair A stands upright; a ball is let go again and again, its underside 400 mm ± 1 mm above the upper beam (docs/first-hour.md).');
  if (options.board === 'avr')
    say('Its gate board is the program of the board to flash (docs/gate-board.md), run cycle by cycle: no burst, pressures in ten bits.');
  if (rate !== 1) {
    const why = options.rate === undefined ? 'This machine cannot run that program in real time' : 'As asked';
    say(
      `${why}: range and host go at ${rate} of it. Times are the range’s own; a shot takes ${(1 / rate).toFixed(1)} times as long to watch.`,
    );
  }
  for (const line of watchLines(session, session.listening)) say(line);
  say(crewLine(session, session.listening));
  say(
    `Session ${session.sessionId}, journal ${session.journal}. Ctrl-C ends it. List its shots: ${CALLED_AS} shots --data ${options.data}`,
  );
}

/** The range itself adds the truth to the file; nothing here ever reads it. */
async function writeResult(target: string | true, session: LiveSession, range: SimulatedRange, spare: string): Promise<void> {
  const file = target === true ? spare : target;
  writeJson(file, sessionJson(session.sessionId, session.shots));
  try {
    await range.annotate(file);
  } finally {
    if (target === true) process.stdout.write(readFileSync(file, 'utf8'));
  }
}
