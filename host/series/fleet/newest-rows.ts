/** Asks a server for the newest row of each series of a measurement, in its own language. */
import { AskError, ask } from '../ask.ts';
import { readBase, type SeriesServer } from '../server.ts';
import { FLEET_FIELDS, type FleetMeasurement, influxRows, type NewestRow, victoriaRows } from './rows.ts';

const DAY_MS = 86_400_000;
/** VictoriaMetrics answers as of a while ago where it is asked for the present; asked ahead, it has all. */
const AHEAD_S = 60;

export interface Span {
  readonly nowUtcMs: number;
  readonly days: number;
}

/** @throws (rejects) AskError */
export async function newestRows(server: SeriesServer, measurement: FleetMeasurement, span: Span): Promise<readonly NewestRow[]> {
  try {
    return server.kind === 'victoria-metrics' ? await askVictoria(server, measurement, span) : await askInflux(server, measurement, span);
  } catch (error) {
    if (error instanceof AskError) throw error;
    throw new AskError('it does not answer as such a server does', { cause: error });
  }
}

/** InfluxDB 2 answers InfluxQL too, by the name of the bucket. */
async function askInflux(server: SeriesServer, measurement: FleetMeasurement, { nowUtcMs, days }: Span): Promise<readonly NewestRow[]> {
  const [first, ...others] = FLEET_FIELDS[measurement];
  const fields = [`last("${first}") AS "${first}"`, ...others.map((field) => `"${field}"`)].join(', ');
  const q = `SELECT ${fields} FROM "${measurement}" WHERE time > ${Math.round(nowUtcMs - days * DAY_MS)}ms GROUP BY *`;
  const query = new URLSearchParams({ db: server.database ?? server.bucket ?? '', epoch: 'ms', q });
  const answer: unknown = JSON.parse(await ask(server, `${server.url}/query?${query}`));
  return influxRows(answer);
}

async function askVictoria(server: SeriesServer, measurement: FleetMeasurement, { nowUtcMs, days }: Span): Promise<readonly NewestRow[]> {
  const instant = async (query: string): Promise<unknown> => {
    const asked = new URLSearchParams({ query, time: String(Math.round(nowUtcMs / 1000) + AHEAD_S), nocache: '1' });
    return JSON.parse(await ask(server, `${readBase(server)}/api/v1/query?${asked}`));
  };
  const [first] = FLEET_FIELDS[measurement];
  const window = `${Math.ceil((days * DAY_MS) / 1000) + AHEAD_S}s`;
  const names = FLEET_FIELDS[measurement].map((field) => `${measurement}_${field}`).join('|');
  return victoriaRows(
    measurement,
    await instant(`last_over_time({__name__=~"${names}"}[${window}])`),
    await instant(`tlast_over_time(${measurement}_${first}[${window}])`),
  );
}
