/** docs/operator.md against the commands: it names each, with what each must be given. */
import { readFileSync } from 'node:fs';
import { Command, Option } from 'commander';
import { expect, test } from 'vitest';
import { addOperatorCommands } from '../../host/cli/operator/commands.ts';
import { ACT_BYTES_MAX } from '../../host/serve/operator/act-routes.ts';

const DOC = readFileSync(new URL('../../docs/operator.md', import.meta.url), 'utf8');
const program = new Command();
addOperatorCommands(program, () => new Option('--data <dir>'));

test('every command is named, and no other', () => {
  const named = new Set([...DOC.matchAll(/`(?:postern )?([a-z]+)\b[^`]*` (?:\||takes the tick back)/g)].map(([, name]) => name));
  const known = program.commands.map((command) => command.name());
  expect(known.filter((name) => !named.has(name))).toEqual([]);
  const called = [...DOC.matchAll(/postern ([a-z]+)/g)].map(([, name = '']) => name);
  expect(called.filter((name) => !known.includes(name) && !['run', 'replay', 'shots'].includes(name))).toEqual([]);
});

test('every option that must be given stands beside its command', () => {
  for (const command of program.commands) {
    if (command.name() === 'untick') continue;
    const row = DOC.match(new RegExp(`^\\| \`postern ${command.name()}\\b.*$`, 'm'))?.[0] ?? '';
    for (const { long, mandatory } of command.options) if (mandatory) expect(row).toContain(`${long} `);
    expect([...row.matchAll(/ ([A-Z]+(?:-[A-Z]+)?)\b/g)].length).toBeGreaterThanOrEqual(command.registeredArguments.length);
  }
});

test('every option that the text shows exists', () => {
  const options = new Set(program.commands.flatMap((command) => command.options.map(({ long }) => long)));
  expect([...DOC.matchAll(/(?<=[ `])--[a-z]+/g)].map(([option]) => option).filter((option) => !options.has(option))).toEqual([]);
});

test('the size of an act is as stated', () => {
  expect(DOC).toContain(`at most ${ACT_BYTES_MAX / 1024} KiB`);
});
