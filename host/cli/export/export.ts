/** `postern export`: samples, shots or events out of the store, as files that other programs read. */
import type { Shot } from '../../../protocol/index.ts';
import { type ExportQuery, Store, type StoredChannel, StoreLockedError } from '../../store/index.ts';
import { exists, openDataFolder } from '../data/data-folder.ts';
import { CommandError, warn } from '../output.ts';
import { shotCsv } from '../shots/shot-lines.ts';
import { EVENT_HEADER, eventLine } from './event-csv.ts';
import { exportedLines } from './lines.ts';
import { refuseToOverwrite, wholeFile, writeLines } from './output-file.ts';
import { sampleCsv } from './sample-csv.ts';

export type ExportForm = 'csv' | 'parquet' | 'lines';

export interface ExportOptions {
  readonly data: string;
  readonly as: ExportForm;
  readonly session?: readonly string[];
  readonly channel?: readonly string[];
  /** Session time, ns. */
  readonly from?: number;
  readonly to?: number;
  readonly out?: string;
  readonly overwrite: boolean;
}

/** All shots of one session, and more than anyone fires. */
const SHOTS_MAX = 10_000;
/** RFC 4180, 2.1. */
const CSV_LINE_END = '\r\n';

export async function exportData(what: ExportQuery['what'], options: ExportOptions): Promise<void> {
  const { data, as, out, overwrite } = options;
  if (as === 'parquet' && out === undefined) throw new CommandError('Parquet is no text: name a file with --out FILE.', 2);
  if (options.from !== undefined && options.to !== undefined && options.from >= options.to) {
    throw new CommandError('--from must be before --to.', 2);
  }
  if (out !== undefined) refuseToOverwrite(out, overwrite);
  const folder = openDataFolder(data);
  if (!exists(folder.store)) throw new CommandError(`There is no store in ${data}; "postern rebuild" makes it from journals.`);
  const store = await Store.open(folder.store, { onProblem: ({ message }) => warn(message) }).catch((error: unknown) => {
    if (!(error instanceof StoreLockedError)) throw error;
    throw new CommandError(`${error.message} An export needs the store for itself; the host's /api/history has spans of it meanwhile.`);
  });
  try {
    const query = { what, ...(await chosen(store, what, options)) };
    const rows = await write(store, query, options);
    const unit = as === 'lines' ? 'lines' : what;
    if (rows === 0) warn(`Nothing in ${data} matches: ${what} with that session, channel and span there are none.`);
    else if (out !== undefined) warn(`${out}: ${rows} ${unit}.`);
  } finally {
    await store.close();
  }
}

type Chosen = Omit<ExportQuery, 'what'>;

/** @throws CommandError for a session or a channel that is not there */
async function chosen(store: Store, what: ExportQuery['what'], { session, channel, from, to }: ExportOptions): Promise<Chosen> {
  const known = (await store.sessions()).map(({ id }) => id);
  for (const each of session ?? []) {
    if (known.includes(each)) continue;
    throw new CommandError(
      `There is no session ${each} in the store; postern shots names them, newest first: ${known.slice(0, 5).join(', ')}.`,
      2,
    );
  }
  if (channel && what === 'shots') throw new CommandError('A shot is of all channels: leave out --channel.', 2);
  if ((from !== undefined || to !== undefined) && what === 'shots')
    throw new CommandError('Shots are chosen by --session: leave out --from and --to.', 2);
  if (channel && what === 'samples') {
    const names = [...new Set((await store.channels()).map((each) => each.channel))];
    const wrong = channel.find((each) => !names.includes(each));
    if (wrong !== undefined)
      throw new CommandError(`There are no samples of a channel ${wrong}; there are ${names.join(', ') || 'none'}.`, 2);
  }
  return {
    ...(session ? { sessions: session } : {}),
    ...(channel ? { channels: channel } : {}),
    ...(from === undefined ? {} : { fromNs: from }),
    ...(to === undefined ? {} : { toNs: to }),
  };
}

async function write(store: Store, query: ExportQuery, { as, out }: ExportOptions): Promise<number> {
  if (as === 'parquet' && out !== undefined) return wholeFile(out, (part) => store.exportParquet(query, part));
  const lineEnd = as === 'csv' ? CSV_LINE_END : '\n';
  const headers = as === 'csv' ? 1 : 0;
  const lines = (): AsyncIterable<string> => (as === 'csv' ? csvLines(store, query) : exportedLines(store, query));
  const written = await (out === undefined
    ? writeLines(undefined, lines(), lineEnd)
    : wholeFile(out, (part) => writeLines(part, lines(), lineEnd)));
  return Math.max(0, written - headers);
}

async function* csvLines(store: Store, query: ExportQuery): AsyncGenerator<string> {
  if (query.what === 'shots') {
    const shots: Shot[] = [];
    for (const { id } of await store.sessions()) {
      if (query.sessions?.includes(id) ?? true) shots.push(...(await store.shots({ sessionId: id, limit: SHOTS_MAX, traces: false })));
    }
    yield* shotCsv(shots);
  } else if (query.what === 'events') {
    yield EVENT_HEADER;
    for await (const events of store.exportEvents(query)) for (const event of events) yield eventLine(event);
  } else {
    const csv = sampleCsv((await store.channels()).filter(isOf(query)));
    yield csv.header;
    for await (const samples of store.exportSamples(query)) for (const sample of samples) yield csv.line(sample);
  }
}

const isOf =
  ({ sessions, channels }: ExportQuery) =>
  ({ session, channel }: StoredChannel): boolean =>
    (sessions?.includes(session) ?? true) && (channels?.includes(channel) ?? true);
