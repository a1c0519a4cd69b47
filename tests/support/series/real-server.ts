/**
 * Debian's own servers on loopback, each with a data folder and a port of its own, ended by their process and no other.
 * They can be stopped in order, killed hard, and started again on the same data.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { freePort } from './free-port.ts';

export type ServerKind = 'influxdb-1' | 'victoria-metrics';
export const DATABASE = 'range';

export interface RealServer {
  readonly kind: ServerKind;
  readonly url: string;
  start(): Promise<void>;
  end(signal: 'SIGTERM' | 'SIGKILL'): Promise<void>;
  /** It stands still, with its connections open. */
  freeze(): void;
  thaw(): void;
}

export interface ServerOptions {
  readonly folder: string;
  /** VictoriaMetrics: left out, one sample a millisecond is kept of those that are the same. */
  readonly flags?: readonly string[];
  /** InfluxDB: asks for them on every request. */
  readonly account?: { readonly user: string; readonly password: string };
}

export async function realServer(kind: ServerKind, options: ServerOptions): Promise<RealServer> {
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  mkdirSync(options.folder, { recursive: true });
  const command = kind === 'influxdb-1' ? influxd(port, await freePort(), options) : victoria(port, options);
  let child: ChildProcess | undefined;
  return {
    kind,
    url,
    start: async () => {
      const [program, args] = command;
      const started = spawn(program, [...args], { stdio: 'ignore' });
      child = started;
      let failure: Error | undefined;
      started.once('error', (error) => {
        failure = error;
      });
      const path = kind === 'influxdb-1' ? '/ping' : '/health';
      while (!(await answers(`${url}${path}`))) {
        if (failure || started.exitCode !== null) throw failure ?? new Error(`${program} ended with ${started.exitCode}`);
        await sleep(50);
      }
      if (kind === 'influxdb-1') await makeDatabase(url, options.account);
    },
    freeze: () => {
      child?.kill('SIGSTOP');
    },
    thaw: () => {
      child?.kill('SIGCONT');
    },
    end: async (signal) => {
      const running = child;
      child = undefined;
      if (!running || running.exitCode !== null) return;
      const ended = new Promise((resolve) => running.once('exit', resolve));
      running.kill(signal);
      await ended;
    },
  };
}

async function answers(url: string): Promise<boolean> {
  try {
    return (await fetch(url, { signal: AbortSignal.timeout(1_000) })).ok;
  } catch {
    return false;
  }
}

async function makeDatabase(url: string, account: ServerOptions['account']): Promise<void> {
  if (account) {
    const { user, password } = account;
    await fetch(`${url}/query`, {
      method: 'POST',
      body: new URLSearchParams({ q: `CREATE USER ${user} WITH PASSWORD '${password}' WITH ALL PRIVILEGES` }),
    });
  }
  const headers: Record<string, string> = account
    ? { authorization: `Basic ${Buffer.from(`${account.user}:${account.password}`).toString('base64')}` }
    : {};
  const made = await fetch(`${url}/query`, { method: 'POST', headers, body: new URLSearchParams({ q: `CREATE DATABASE ${DATABASE}` }) });
  if (!made.ok) throw new Error(await made.text());
}

type Command = readonly [string, readonly string[]];

function victoria(port: number, { folder, flags }: ServerOptions): Command {
  const own = ['-dedup.minScrapeInterval=1ms', '-retentionPeriod=100y'];
  return [
    'victoria-metrics',
    [`-storageDataPath=${folder}`, `-httpListenAddr=127.0.0.1:${port}`, '-memory.allowedPercent=10', ...(flags ?? own)],
  ];
}

function influxd(port: number, rpcPort: number, { folder, account }: ServerOptions): Command {
  const config = `
reporting-disabled = true
bind-address = "127.0.0.1:${rpcPort}"
[meta]
  dir = "${folder}/meta"
[data]
  dir = "${folder}/data"
  wal-dir = "${folder}/wal"
  query-log-enabled = false
[http]
  bind-address = "127.0.0.1:${port}"
  log-enabled = false
  auth-enabled = ${account !== undefined}
[monitor]
  store-enabled = false
`;
  const path = join(folder, 'influxd.conf');
  writeFileSync(path, config);
  return ['influxd', ['-config', path]];
}
