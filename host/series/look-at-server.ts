/** What a server is set to, as far as it says: whatever would double or drop points is told before it does. */
import { AskError, ask } from './ask.ts';
import type { SeriesServer } from './server.ts';

export interface ServerLook {
  /** Why it cannot be asked, one sentence's middle; empty where it can. */
  readonly problem: string;
  /** Whole sentences. */
  readonly warnings: readonly string[];
}

const SETTING_BYTES_MAX = 4 * 1024 * 1024;

export async function lookAtServer(server: SeriesServer): Promise<ServerLook> {
  try {
    return { problem: '', warnings: await LOOKS[server.kind](server) };
  } catch (error) {
    if (!(error instanceof AskError)) throw error;
    return { problem: error.message, warnings: [] };
  }
}

const LOOKS: Readonly<Record<SeriesServer['kind'], (server: SeriesServer) => Promise<readonly string[]>>> = {
  'influxdb-1': async (server) => {
    const { url, database = '' } = server;
    const query = `SHOW RETENTION POLICIES ON "${database.replaceAll('\\', '\\\\').replaceAll('"', '\\"')}"`;
    const text = await ask(server, `${url}/query?${new URLSearchParams({ q: query })}`, SETTING_BYTES_MAX);
    return influxWarnings(text, database);
  },
  'influxdb-2': async (server) => {
    await ask(server, `${server.url}/health`, SETTING_BYTES_MAX);
    return [];
  },
  'victoria-metrics': async (server) => {
    // Both halves of a cluster have the setting; the one that is read can be asked for it.
    const text = await ask(server, `${server.readUrl ?? server.url}/flags`, SETTING_BYTES_MAX);
    return victoriaWarnings(text);
  },
};

interface Policies {
  readonly results?: readonly [
    { readonly error?: unknown; readonly series?: readonly [{ readonly columns: readonly string[]; readonly values?: unknown[][] }] },
  ];
}

function influxWarnings(text: string, database: string): readonly string[] {
  const [result] = (json(text) as Policies | undefined)?.results ?? [];
  if (result?.error !== undefined) throw new AskError(String(result.error));
  const [series] = result?.series ?? [];
  if (!series) return [];
  const column = (name: string): number => series.columns.indexOf(name);
  const policy = series.values?.find((row) => row[column('default')] === true);
  const duration = String(policy?.[column('duration')] ?? '0s');
  return /^0/.test(duration) ? [] : [`The database ${database} keeps points for ${duration} only; older ones of a journal are refused.`];
}

/** The merge setting, and how long points are kept: a month where nobody has said. */
export function victoriaWarnings(flags: string): readonly string[] {
  const of = (name: string): string | undefined => new RegExp(`^-${name}="?([^"\\n]*)"?$`, 'm').exec(flags)?.[1];
  const merge = of('dedup\\.minScrapeInterval');
  const retention = of('retentionPeriod');
  return [
    ...(merge === '1ms'
      ? []
      : [
          merge === undefined || /^0/.test(merge)
            ? 'VictoriaMetrics was started without -dedup.minScrapeInterval=1ms: what is sent again after a break is held twice.'
            : `VictoriaMetrics was started with -dedup.minScrapeInterval=${merge}: of faster samples it keeps one in ${merge}; 1ms keeps them all.`,
        ]),
    ...(retention === undefined || /^\d{1,2}$/.test(retention)
      ? [
          `VictoriaMetrics keeps points for ${retention === undefined ? 'a month' : `${retention} months`} and passes over older ones; set -retentionPeriod to keep them longer.`,
        ]
      : []),
  ];
}

/** Rows that VictoriaMetrics has passed over since it was started, whoever sent them, by its word for why. */
export async function passedOver(server: SeriesServer): Promise<ReadonlyMap<string, number>> {
  if (server.kind !== 'victoria-metrics') return new Map();
  // Of a cluster, the half that is written to has this count only for lines that it could not read.
  const text = await ask(server, `${server.url}/metrics`, SETTING_BYTES_MAX);
  const counts = text.matchAll(/^vm_rows_(?:ignored_total\{reason="([a-z_]+)"\}|invalid_total\{type="(influx)"\}) (\d+)$/gm);
  return new Map([...counts].map(([, reason, type, count]) => [reason ?? `unreadable ${type}`, Number(count)]));
}

function json(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new AskError('it does not answer as such a server does');
  }
}
