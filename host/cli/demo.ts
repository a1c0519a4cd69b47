/** `postern demo`: the simulated Cold Sike range on real pseudo-terminals, the host reading it as it reads hardware. */
import { copyFileSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openDataFolder } from './data-folder.ts';
import { sayEvent } from './event-lines.ts';
import { type LiveSession, openLiveSession } from './live-session.ts';
import { CommandError, say, warn, writeJson } from './output.ts';
import { sessionJson } from './shot-json.ts';
import { SimulatedRange } from './simulated-range.ts';
import { forever, untilStopped } from './until-stopped.ts';

export interface DemoOptions {
  readonly data: string;
  readonly port: number;
  readonly seed: number;
  readonly pace: 'real' | 'fast';
  readonly faults: readonly string[];
  readonly shots?: number;
  readonly exit: boolean;
  readonly json?: string | true;
}

const RIG_FILE = fileURLToPath(new URL('../../firmware-sim/heron.yaml', import.meta.url));
/** A cycle at a watchable pace takes half a minute. */
const SHOT_MS_MAX = 120_000;

export async function demo(options: DemoOptions): Promise<void> {
  const { seed, pace, faults, shots, exit, json } = options;
  if (exit && shots === undefined) throw new CommandError('--exit needs --shots N: say after how many shots to end.', 2);
  const folder = openDataFolder(options.data);
  const wiresDir = join(folder.simulated, 'wires');
  mkdirSync(wiresDir, { recursive: true });
  const rigFile = join(folder.simulated, 'heron.yaml');
  copyFileSync(RIG_FILE, rigFile);

  const enough = new ShotCount(exit ? shots : undefined);
  const truthFile = join(folder.simulated, 'truth.jsonl');
  const quiet = json === true;
  const range = await SimulatedRange.start({ wiresDir, truthFile, seed, pace, shots, faults }, () =>
    warn('The simulated range has ended by itself; the page goes on with what was measured. Ctrl-C ends the demo.'),
  );
  let session: LiveSession | undefined;
  try {
    session = await openLiveSession({
      rigFile,
      folder,
      port: options.port,
      onEvent: (event) => {
        if (!quiet) sayEvent(event);
        if (event.type === 'shot' && event.phase === 'closed') enough.countOne();
      },
    });
    if (!quiet) greet(session, options);
    session.start();
    const opened = session;
    await untilStopped(exit ? enough.reached : forever(), () => opened.close());
    if (json !== undefined) await writeResult(json, session, range, join(folder.simulated, 'result.json'));
    if (!quiet) say(`Session ${session.sessionId} closed, shots: ${session.shots.length}; journal ${session.journal}.`);
  } finally {
    enough.giveUp();
    await session?.close();
    await range.stop();
  }
  if (exit && enough.missing > 0) throw new CommandError(`The demo ended with ${enough.missing} of ${shots ?? 0} shots missing.`);
}

function greet(session: LiveSession, options: DemoOptions): void {
  say('The simulated Cold Sike range: launcher Heron, four light gates, a target at 11 m. No gas, no danger.');
  say(`Watch it at ${session.url}`);
  say(
    `Session ${session.sessionId}, journal ${session.journal}. Ctrl-C ends it. List its shots: npm run postern -- shots --data ${options.data}`,
  );
}

/** The range itself adds the truth to the file; nothing here ever reads it. */
async function writeResult(target: string | true, session: LiveSession, range: SimulatedRange, spare: string): Promise<void> {
  const file = target === true ? spare : target;
  writeJson(file, sessionJson(session.sessionId, session.shots));
  await range.annotate(file);
  if (target === true) process.stdout.write(readFileSync(file, 'utf8'));
}

/** Resolves when so many shots are closed; rejects when none comes for a long time. */
class ShotCount {
  readonly reached: Promise<void>;
  #missing: number;
  #resolve: () => void = () => undefined;
  #reject: (error: Error) => void = () => undefined;
  #timer: NodeJS.Timeout | undefined;

  constructor(wanted: number | undefined) {
    this.#missing = wanted ?? 0;
    this.reached = new Promise((resolve, reject) => {
      this.#resolve = resolve;
      this.#reject = reject;
    });
    if (wanted !== undefined) this.#arm();
  }

  get missing(): number {
    return Math.max(0, this.#missing);
  }

  countOne(): void {
    this.#missing -= 1;
    clearTimeout(this.#timer);
    if (this.#missing === 0) this.#resolve();
    else if (this.#missing > 0) this.#arm();
  }

  giveUp(): void {
    clearTimeout(this.#timer);
  }

  #arm(): void {
    const error = new CommandError(`No shot came for ${SHOT_MS_MAX / 1000} s; the demo gives up.`);
    this.#timer = setTimeout(() => this.#reject(error), SHOT_MS_MAX);
  }
}
