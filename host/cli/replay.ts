/** `postern replay JOURNAL`: the same pipeline over a recorded session. */
import { basename } from 'node:path';
import type { PipelineEvent, PosternRecord, Shot } from '../../protocol/index.ts';
import { type JournalDamage, readJournal } from '../journal/index.ts';
import { INITIAL_STATE, type PipelineState, step } from '../pipeline/index.ts';
import { LiveFeed, startServer } from '../serve/index.ts';
import { exists } from './data-folder.ts';
import { sayEvent } from './event-lines.ts';
import { onPortTaken, PAGES_DIR } from './live-session.ts';
import { CommandError, say, warn, writeJson } from './output.ts';
import { openRigFile } from './rig-file.ts';
import { sessionJson } from './shot-json.ts';
import { untilStopped } from './until-stopped.ts';

export interface ReplayOptions {
  /** Times real time; `max` as fast as it goes, with no page. */
  readonly pace: number | 'max';
  /** Another rig file to reduce under. */
  readonly rig?: string;
  readonly json?: string | true;
  readonly port: number;
}

export async function replay(journal: string, options: ReplayOptions): Promise<void> {
  if (!exists(journal)) throw new CommandError(`There is no journal ${journal}; they lie in the data folder under journals/.`, 2);
  const rigText = options.rig === undefined ? undefined : (await openRigFile(options.rig)).text;
  const fold = new Replay(rigText);
  const quiet = options.json === true;
  const onEvent = (event: PipelineEvent): void => {
    if (!quiet) sayEvent(event);
  };
  if (options.pace === 'max') {
    for (const record of recordsOf(journal)) fold.take(record, onEvent);
  } else {
    await paced(journal, options.pace, options.port, fold, onEvent);
  }
  if (fold.sessionId === '') throw new CommandError(`${journal} holds no session: no rig file was found in it.`);
  if (options.json !== undefined) writeJson(options.json, sessionJson(fold.sessionId, fold.shots));
  if (!quiet) say(`Session ${fold.sessionId}, shots: ${fold.shots.length}.`);
}

class Replay {
  readonly shots: Shot[] = [];
  readonly #rigText: string | undefined;
  #state: PipelineState = INITIAL_STATE;

  constructor(rigText: string | undefined) {
    this.#rigText = rigText;
  }

  get sessionId(): string {
    return this.#state.sessionId;
  }

  take(record: PosternRecord, onEvent: (event: PipelineEvent) => void): void {
    const [state, events] = step(this.#state, this.#underCorrectedRig(record));
    this.#state = state;
    for (const event of events) {
      if (event.type === 'shot' && event.phase === 'closed') this.shots.push(event.shot);
      onEvent(event);
    }
  }

  #underCorrectedRig(record: PosternRecord): PosternRecord {
    if (record.kind !== 'rig' || this.#rigText === undefined) return record;
    return { ...record, value: { ...record.value, text: this.#rigText } };
  }
}

async function paced(journal: string, pace: number, port: number, fold: Replay, onEvent: (event: PipelineEvent) => void): Promise<void> {
  const feed = new LiveFeed({ mode: 'replay' });
  const server = await startServer({ feed, port, pagesDir: PAGES_DIR, onPortTaken });
  say(`Replaying ${basename(journal)} at ${pace} times real time: watch it at ${server.url}. Ctrl-C ends it.`);
  const startedMs = performance.now();
  let stopped = false;
  const play = async (): Promise<void> => {
    for (const record of recordsOf(journal)) {
      const waitMs = record.atNs / 1e6 / pace - (performance.now() - startedMs);
      // Timers are no finer than a millisecond; what is due within one goes out with it.
      if (waitMs > 1) await new Promise((resolve) => setTimeout(resolve, waitMs));
      if (stopped) return;
      fold.take(record, (event) => {
        feed.accept(event);
        onEvent(event);
      });
    }
  };
  await untilStopped(play(), async () => {
    stopped = true;
    await server.close();
  });
}

function* recordsOf(journal: string): Generator<PosternRecord> {
  for (const item of readJournal(journal)) {
    if ('record' in item) yield item.record;
    else warn(`${journal}: ${damageSentence(item.damage)}`);
  }
}

function damageSentence(damage: JournalDamage): string {
  const where = `bytes ${damage.fromByte} to ${damage.toByte}`;
  if (damage.atEnd && damage.seqTo === undefined)
    return `it ends in a torn record (${where}), as after a crash; everything before it is whole.`;
  const lost = damage.seqTo === undefined ? 'an unknown number of' : String(damage.seqTo - damage.seqFrom);
  return `${where} are damaged: ${lost} records are missing from number ${damage.seqFrom} on; the rest is used.`;
}
