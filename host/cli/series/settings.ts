/**
 * Which server: the environment's where it names one, else the rig file's. The secret comes from the environment or from
 * a private file, and from nowhere else.
 */
import { closeSync, fstatSync, openSync, readFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { type Rig, resolveTimeSeries, type TimeSeriesSetup } from '../../rig/index.ts';
import type { SeriesServer } from '../../series/index.ts';
import { CommandError, messageOf } from '../output.ts';

type Environment = Readonly<Record<string, string | undefined>>;

const KINDS = ['influxdb-1', 'influxdb-2', 'victoria-metrics'] as const;
const SECRET_BYTES_MAX = 4_096;

/**
 * @param rigFile  whose folder the path of its secret is from
 * @returns undefined where neither names a server
 * @throws CommandError with exit code 2 where something of it cannot be; no secret is ever repeated
 */
export function seriesServer(
  rig: Pick<Rig, 'timeSeries'> | undefined,
  rigFile: string | undefined,
  env: Environment = process.env,
): SeriesServer | undefined {
  const setup = setupOf(env) ?? rig?.timeSeries;
  if (setup === undefined) return undefined;
  const secret = secretOf(setup, env, rigFile);
  if (secret === undefined && setup.kind === 'influxdb-2') {
    throw new CommandError(
      'InfluxDB 2 takes nothing without a token: set POSTERN_SERIES_TOKEN, or name a private file with secretFile.',
      2,
    );
  }
  if (setup.user !== undefined && secret === undefined) {
    throw new CommandError(
      `The server asks ${setup.user} for a password: set POSTERN_SERIES_PASSWORD, or name a private file with secretFile.`,
      2,
    );
  }
  return secret === undefined ? setup : { ...setup, secret };
}

function setupOf(env: Environment): TimeSeriesSetup | undefined {
  const of = (name: string): string | undefined => env[`POSTERN_SERIES_${name}`]?.trim() || undefined;
  const url = of('URL');
  if (url === undefined) return undefined;
  const kind = KINDS.find((known) => known === of('KIND'));
  if (kind === undefined) throw new CommandError(`POSTERN_SERIES_KIND must be ${KINDS.join(', ')}, beside POSTERN_SERIES_URL.`, 2);
  const account = of('ACCOUNT');
  if (account !== undefined && !/^\d{1,9}$/.test(account)) throw new CommandError('POSTERN_SERIES_ACCOUNT must be a whole number.', 2);
  const given = {
    readUrl: of('READ_URL'),
    database: of('DATABASE'),
    org: of('ORG'),
    bucket: of('BUCKET'),
    user: of('USER'),
    secretFile: of('SECRET_FILE'),
  };
  const problems: string[] = [];
  const setup = resolveTimeSeries(
    { kind, url, ...given, account: account === undefined ? undefined : Number(account), tags: {} },
    (path, message) => problems.push(`POSTERN_SERIES_*${path.length > 0 ? ` (${path.join('.')})` : ''}: ${message}`),
  );
  if (problems.length > 0) throw new CommandError(problems.join('\n'), 2);
  return setup;
}

function secretOf({ kind, secretFile }: TimeSeriesSetup, env: Environment, rigFile: string | undefined): string | undefined {
  const name = kind === 'influxdb-2' ? 'POSTERN_SERIES_TOKEN' : 'POSTERN_SERIES_PASSWORD';
  const given = env[name];
  if (given !== undefined && given !== '') return checked(given, name);
  if (secretFile === undefined) return undefined;
  const path = resolve(rigFile === undefined ? '.' : dirname(rigFile), secretFile);
  return checked(privateText(path).trim(), path);
}

/** It stands in a header. */
function checked(secret: string, where: string): string {
  if (!/^[\x21-\x7e]{1,1024}$/.test(secret)) {
    throw new CommandError(`${where} holds no secret that can be sent: 1 to 1024 letters, digits and signs, without spaces.`, 2);
  }
  return secret;
}

function privateText(path: string): string {
  try {
    const fd = openSync(path, 'r');
    try {
      // Of the file that was opened, whatever lies under its name by now.
      const { mode, uid, size } = fstatSync(fd);
      if ((mode & 0o077) !== 0 || (process.getuid !== undefined && uid !== process.getuid())) {
        throw new CommandError(`${path} must be yours, and for nobody else to read or write: chmod 600 ${path}`, 2);
      }
      return size > SECRET_BYTES_MAX ? '' : readFileSync(fd, 'utf8');
    } finally {
      closeSync(fd);
    }
  } catch (error) {
    if (error instanceof CommandError) throw error;
    throw new CommandError(`The file of the secret ${path} cannot be read: ${messageOf(error)}`, 2, { cause: error });
  }
}
