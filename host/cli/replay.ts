/** `postern replay JOURNAL`: the same pipeline over a recorded session. */
import { basename } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import type { PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import { finish, INITIAL_STATE, type PipelineState, type Step, step } from '../pipeline/index.ts';
import { LiveFeed } from '../serve/index.ts';
import { watchLines } from './address-lines.ts';
import { closingAll } from './close-stack.ts';
import { ClosedShots } from './closed-shots.ts';
import { exists } from './data-folder.ts';
import { eventSayer } from './event-lines.ts';
import { journalRecords } from './journal-records.ts';
import { type ListenOptions, listeningOf } from './listening.ts';
import { CommandError, say, writeJson } from './output.ts';
import { PAGES_DIR, servePages } from './pages.ts';
import { openRigFile } from './rig-file.ts';
import { sessionJson } from './shot-json.ts';
import { StopSignal } from './stop-signal.ts';

export interface ReplayOptions extends ListenOptions {
  /** Times real time; `max` as fast as it goes, with no page. */
  readonly pace: number | 'max';
  /** Another rig file to reduce under. */
  readonly rig?: string;
  readonly json?: string | true;
}

export async function replay(journal: string, options: ReplayOptions): Promise<void> {
  if (!exists(journal)) throw new CommandError(`There is no journal ${journal}; they lie in the data folder under journals/.`, 2);
  const rigText = options.rig === undefined ? undefined : (await openRigFile(options.rig)).text;
  const fold = new Replay(rigText);
  const quiet = options.json === true;
  const sayEvent = eventSayer();
  const onEvent = (event: PipelineEvent): void => {
    if (!quiet) sayEvent(event);
  };
  if (options.pace === 'max') {
    for (const record of journalRecords(journal)) fold.take(record, onEvent);
    fold.finish(onEvent);
  } else {
    await paced(journal, options.pace, options, fold, onEvent);
  }
  if (fold.sessionId === '') throw new CommandError(`${journal} holds no session: no rig file was found in it.`);
  if (options.json !== undefined) writeJson(options.json, sessionJson(fold.sessionId, fold.shots.all));
  if (!quiet) say(`Session ${fold.sessionId}, shots: ${fold.shots.all.length}.`);
}

class Replay {
  readonly shots = new ClosedShots();
  readonly #rigText: string | undefined;
  #state: PipelineState = INITIAL_STATE;
  #newestNs = 0;

  constructor(rigText: string | undefined) {
    this.#rigText = rigText;
  }

  get sessionId(): string {
    return this.#state.sessionId;
  }

  take(record: PosternRecord, onEvent: (event: PipelineEvent) => void): void {
    this.#newestNs = Math.max(this.#newestNs, record.atNs);
    this.#tell(step(this.#state, this.#underCorrectedRig(record)), onEvent);
  }

  /** The journal's end, whole or torn: as a live session ends. */
  finish(onEvent: (event: PipelineEvent) => void): void {
    this.#tell(finish(this.#state, this.#newestNs), onEvent);
  }

  #tell([state, events]: Step, onEvent: (event: PipelineEvent) => void): void {
    this.#state = state;
    for (const event of events) {
      this.shots.take(event);
      onEvent(event);
    }
  }

  #underCorrectedRig(record: PosternRecord): PosternRecord {
    if (record.kind !== 'rig' || this.#rigText === undefined) return record;
    return { ...record, value: { ...record.value, text: this.#rigText } };
  }
}

/** Stopped before the journal's end, it leaves a shot open whose numbers were still to come. */
function paced(
  journal: string,
  pace: number,
  options: ListenOptions,
  fold: Replay,
  onEvent: (event: PipelineEvent) => void,
): Promise<void> {
  return closingAll(async (parts) => {
    const stop = new StopSignal();
    parts.add(() => stop.close());
    const feed = new LiveFeed({ mode: 'replay' });
    const listening = listeningOf(options);
    const server = await servePages({ feed, ...listening, pagesDir: PAGES_DIR });
    parts.add(() => server.close());
    for (const line of watchLines(server, listening, `Replaying ${basename(journal)} at ${pace} times real time`)) say(line);
    say('Ctrl-C ends it.');
    const stopping = new AbortController();
    void stop.asked.then(() => stopping.abort());
    const startedMs = performance.now();
    const shown = (event: PipelineEvent): void => {
      feed.accept(event);
      onEvent(event);
    };
    for (const record of journalRecords(journal)) {
      const waitMs = record.atNs / 1e6 / pace - (performance.now() - startedMs);
      // Timers are no finer than a millisecond; what is due within one goes out with it.
      if (waitMs > 1) await delay(waitMs, undefined, { signal: stopping.signal }).catch(() => undefined);
      if (stopping.signal.aborted) return;
      fold.take(record, shown);
    }
    fold.finish(shown);
  });
}
