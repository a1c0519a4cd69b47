/** The shells themselves, with the scripts that the command gives them. */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { postern, scratchFolder } from '../support/command.ts';

let scratch: ReturnType<typeof scratchFolder>;
beforeAll(async () => {
  scratch = scratchFolder();
  for (const shell of ['bash', 'zsh', 'fish']) {
    const { exitCode, stdout } = await postern('completion', shell);
    expect(exitCode).toBe(0);
    writeFileSync(join(scratch.path, `completion.${shell}`), stdout);
  }
  mkdirSync(join(scratch.path, 'range', 'journals'), { recursive: true });
  for (const id of ['20260314T093000Z', '20260315T101500Z']) writeFileSync(join(scratch.path, 'range', 'journals', `${id}.mcap`), '');
  writeFileSync(join(scratch.path, 'my rig.yaml'), '');
});
afterAll(() => scratch.remove());

/** What bash's own completion of that line would offer; the last word is the one under way. */
function bash(...words: readonly string[]): readonly string[] {
  const code = `source completion.bash
    spec=$(complete -p postern) && [[ $spec =~ -F\\ ([^ ]+) ]] || exit 9
    COMP_WORDS=(postern "$@") COMP_CWORD=$#
    "\${BASH_REMATCH[1]}" postern "\${COMP_WORDS[COMP_CWORD]}" "\${COMP_WORDS[COMP_CWORD-1]}"
    printf '%s\\n' "\${COMPREPLY[@]}"`;
  const said = execFileSync('bash', ['--norc', '-c', code, 'bash', ...words], { cwd: scratch.path, encoding: 'utf8' });
  return said.split('\n').filter((line) => line !== '');
}

describe('bash', () => {
  test('every command of the help, and every option of a command’s help', async () => {
    const { stdout: help } = await postern('--help');
    const commands = [...(help.split('Commands:')[1] ?? '').matchAll(/^ {2}([a-z]+) /gm)]
      .map(([, name]) => name)
      .filter((name) => name !== 'help');
    expect(commands.length).toBeGreaterThan(25);
    expect(bash('').toSorted()).toEqual([...commands, '--help', '--version'].toSorted());
    expect(bash('re')).toEqual(['replay', 'rebuild', 'report']);
    const { stdout: replay } = await postern('replay', '--help');
    const options = [...replay.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map(([, flag]) => flag);
    expect(bash('replay', '--').toSorted()).toEqual(options.toSorted());
  });

  test('values: words, files with spaces in their names, folders, sessions of the data folder; and none where none is known', () => {
    expect(bash('demo', '--pace', '')).toEqual(['real', 'fast']);
    expect(bash('demo', '--pace', 'fast', '--board', 'a')).toEqual(['avr']);
    expect(bash('export', '')).toEqual(['samples', 'shots', 'events']);
    expect(bash('run', 'my')).toEqual(['my rig.yaml']);
    expect(bash('shots', '--data', '')).toEqual(['range']);
    expect(bash('shots', '--data', 'range', '--session', '202603')).toEqual(['20260314T093000Z', '20260315T101500Z']);
    expect(bash('report', '--data', 'range', '20260315')).toEqual(['20260315T101500Z']);
    expect(bash('demo', '--seed', '')).toEqual([]);
    // Its file may be left out, and another option stand there.
    expect(bash('shots', '--json', '--cs')).toEqual(['--csv']);
    expect(bash('unheard-of', '')).toEqual([]);
  });
});

const isThere = (shell: string): boolean => spawnSync(shell, ['-c', ':']).status === 0;

describe('fish and zsh', () => {
  // Not among the packages that the tests install.
  test.skipIf(!isThere('fish'))('fish offers the same (where it is installed)', () => {
    const fish = (line: string): readonly string[] => {
      const said = execFileSync('fish', ['--no-config', '-c', `source completion.fish; complete -C ${JSON.stringify(line)}`], {
        cwd: scratch.path,
        encoding: 'utf8',
        env: { ...process.env, HOME: scratch.path },
      });
      return said.split('\n').flatMap((each) => (each === '' ? [] : [each.split('\t')[0] ?? '']));
    };
    expect(fish('postern re').toSorted()).toEqual(['rebuild', 'replay', 'report']);
    expect(fish('postern demo --pa')).toEqual(['--pace']);
    expect(fish('postern demo --pace ').toSorted()).toEqual(['fast', 'real']);
    expect(fish('postern report --data range 202603').toSorted()).toEqual(['20260314T093000Z', '20260315T101500Z']);
  });

  test.skipIf(!isThere('zsh'))('zsh reads it (where it is installed)', () => {
    expect(spawnSync('zsh', ['-n', 'completion.zsh'], { cwd: scratch.path, encoding: 'utf8' })).toMatchObject({ status: 0, stderr: '' });
  });
});
