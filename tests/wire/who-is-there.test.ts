/** What is plugged in, asked of the simulated range's real pseudo-terminals with the real serial binding. */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import type { FromRange } from '../../firmware-sim/main.ts';
import { whoIsThere } from '../../host/links/index.ts';
import { scratchFolder } from '../support/command.ts';

const PROGRAM = fileURLToPath(new URL('../../firmware-sim/main.ts', import.meta.url));

test('a gate board, a Firmata board and instruments that print lines are told apart; a port that is not there is told', async () => {
  const scratch = scratchFolder();
  const child = fork(PROGRAM, ['--wires', scratch.path, '--seed', '7', '--pace', 'real'], { execArgv: ['--import', 'tsx'] });
  try {
    const [ready] = (await once(child, 'message')) as [FromRange];
    expect(ready.type).toBe('ready');
    const ask = (name: string) => whoIsThere(join(scratch.path, name));
    const [gate, weather, fill, wind, none] = await Promise.all(
      ['gate-board', 'weather-board', 'fill-gauge', 'wind-meter', 'no-port'].map(ask),
    );
    expect(gate).toEqual({ kind: 'gate-board', baudRate: 500_000, boardId: 'CS-GB-01' });
    // A pseudo-terminal has no baud rate: what prints by itself is heard at the first.
    expect(weather).toMatchObject({ kind: 'firmata', firmware: expect.stringMatching(/^ColdSikeWeather\.ino \d+\.\d+$/) });
    expect(fill).toMatchObject({ kind: 'text', line: expect.stringMatching(/^P=[-+]?\d+\.\d{3} bar$/) });
    expect(wind).toMatchObject({ kind: 'text', line: expect.stringMatching(/^W [-+]\d+\.\d\d m\/s$/) });
    expect(none).toEqual({ kind: 'nothing', why: 'nothing is there' });
  } finally {
    const ended = once(child, 'exit');
    if (child.connected) child.disconnect();
    await ended;
    scratch.remove();
  }
});
