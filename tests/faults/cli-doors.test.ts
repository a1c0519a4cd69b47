/** The doors as a user has them: the commands as they are, beyond loopback. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { newToken } from '../../host/serve/index.ts';
import { postern, RunningCommand, scratchFolder } from '../support/command.ts';
import { ask } from '../support/raw-http.ts';

const RIG = fileURLToPath(new URL('../support/one-board.yaml', import.meta.url));

let scratch: ReturnType<typeof scratchFolder>;
let host: RunningCommand | undefined;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(async () => {
  await host?.kill();
  host = undefined;
  scratch.remove();
});

test('on loopback it asks nobody who looks; told to listen beyond, it prints a key to look and another for the crew', async () => {
  host = new RunningCommand(['run', RIG, '--listen', '0.0.0.0:0', '--name', 'range-host.local', '--data', scratch.path]);
  const [, port = '', look = ''] = await host.says(/http:\/\/127\.0\.0\.1:(\d+)\/#look=([\w-]{43})\n/);
  await host.says(/plain HTTP/);
  const [, crew = ''] = await host.says(/#token=([\w-]{43}) /);
  expect(crew).not.toBe(look);
  const status = async (token?: string) =>
    (await ask(Number(port), '/api/state', token ? { headers: { authorization: `Bearer ${token}` } } : {})).status;
  expect(await status()).toBe(401);
  expect(await status(look)).toBe(200);
  expect(await status(crew)).toBe(200);
  // The commands on this computer have their key in the data folder.
  expect(await postern('note', 'film changed', '--by', 'Wren', '--data', scratch.path)).toMatchObject({ exitCode: 0, stdout: 'Noted.\n' });
  host.interrupt();
  const { stdout, stderr } = await host.finished();
  expect(`${stdout}${stderr}`.split(crew)).toHaveLength(2);
});

test('tokens of a file are taken and never printed', async () => {
  const tokens = { look: newToken(), crew: newToken() };
  const file = join(scratch.path, 'tokens.json');
  writeFileSync(file, JSON.stringify(tokens), { mode: 0o600 });
  host = new RunningCommand(['run', RIG, '--listen', '127.0.0.1:0', '--tokens', file, '--data', scratch.path]);
  const [, url = ''] = await host.says(/\n {2}(http:\/\/127\.0\.0\.1:\d+\/)\n/);
  await host.says(/Ctrl-C/);
  expect((await fetch(`${url}api/state`)).status).toBe(401);
  expect((await fetch(`${url}api/state`, { headers: { authorization: `Bearer ${tokens.look}` } })).status).toBe(200);
  host.interrupt();
  const { stdout, stderr } = await host.finished();
  for (const token of Object.values(tokens)) expect(`${stdout}${stderr}`).not.toContain(token);
  expect(readFileSync(file, 'utf8')).toBe(JSON.stringify(tokens));
});
