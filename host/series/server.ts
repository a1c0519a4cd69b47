/** A server as it is spoken to: addresses and headers of each kind. */
import type { TimeSeriesSetup } from '../rig/index.ts';
import { type LineDialect, MILLISECOND_LINES, NANOSECOND_LINES } from './lines/index.ts';

export interface SeriesServer extends TimeSeriesSetup {
  /** Token of InfluxDB 2, password of the others; never shown, logged or written. */
  readonly secret?: string;
}

export const dialectOf = ({ kind }: Pick<SeriesServer, 'kind'>): LineDialect =>
  kind === 'victoria-metrics' ? MILLISECOND_LINES : NANOSECOND_LINES;

/** Kind, address and what is in it: the same text is the same place, and nothing in it is secret. */
export function placeText({ kind, url, database, org, bucket, account }: SeriesServer): string {
  const inside = [database, org && `org ${org}`, bucket && `bucket ${bucket}`, account === undefined ? undefined : `account ${account}`];
  return [`${kind} at ${url}`, ...inside].filter(Boolean).join(', ');
}

/** Path and query of a write, behind the address. */
export function writePath(server: SeriesServer): string {
  const query = (values: Readonly<Record<string, string>>): string => new URLSearchParams(values).toString();
  switch (server.kind) {
    case 'influxdb-1':
      return `/write?${query({ db: server.database ?? '', precision: 'ns' })}`;
    case 'influxdb-2':
      return `/api/v2/write?${query({ org: server.org ?? '', bucket: server.bucket ?? '', precision: 'ns' })}`;
    case 'victoria-metrics':
      return `${server.account === undefined ? '' : `/insert/${server.account}/influx`}/write?precision=ms`;
  }
}

/** Where VictoriaMetrics is asked. */
export function readBase({ url, readUrl = url, account }: SeriesServer): string {
  return account === undefined ? readUrl : `${readUrl}/select/${account}/prometheus`;
}

/** Who we are, for every request. */
export function authorization({ kind, user, secret }: SeriesServer): Readonly<Record<string, string>> {
  if (secret === undefined) return {};
  if (kind === 'influxdb-2') return { authorization: `Token ${secret}` };
  return { authorization: `Basic ${Buffer.from(`${user ?? ''}:${secret}`).toString('base64')}` };
}

export const isOnLoopback = ({ url }: SeriesServer): boolean => /^(localhost|127(\.\d+){3}|\[::1\])$/.test(new URL(url).hostname);
