/** `postern replay` as a user runs it: to its end, from a moment or a shot, under a corrected rig file, and what it refuses. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { postern, RunningCommand, scratchFolder } from '../support/command.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const scratch = scratchFolder();
const path = join(scratch.path, 'session.mcap');
const rig = join(scratch.path, 'corrected.yaml');
beforeAll(async () => {
  await writeVirtualJournal(path, { seed: 8, shots: 2 });
  writeFileSync(rig, HERON_YAML.replace('position: 2.5000 m', 'position: 2.5010 m'));
});
afterAll(() => scratch.remove());

test('with the page, to the journal’s end and out; and from a shot on without it', { timeout: 90_000 }, async () => {
  const [played, fromSecond] = await Promise.all([
    postern('replay', path, '--pace', '50', '--exit', '--port', '0'),
    postern('replay', path, '--shot', '2'),
  ]);
  expect(played).toMatchObject({ exitCode: 0, stderr: expect.not.stringContaining('Error') });
  expect(played.stdout).toMatch(
    /To pause it .* http:\/\/127\.0\.0\.1:\d+\/#token=[\w-]{43}\. .*\n[\s\S]*Shot 1 [\s\S]*Shot 2 [\s\S]*\nSession virtual, shots: 2\.\n$/,
  );
  expect(fromSecond.stdout).not.toMatch(/^Shot 1 /m);
  expect(fromSecond.stdout).toMatch(/^Shot 2 [\s\S]*Session virtual, shots: 2\.\n$/m);
});

test('without --exit the page stays at the end, until Ctrl-C', { timeout: 90_000 }, async () => {
  const staying = new RunningCommand(['replay', path, '--pace', 'max', '--page', '--port', '0']);
  try {
    await staying.says(/The end of the journal\. The page stays until Ctrl-C/);
    staying.interrupt();
    expect(await staying.finished()).toMatchObject({ exitCode: 0, stdout: expect.stringMatching(/Session virtual, shots: 2\.\n$/) });
  } finally {
    await staying.kill();
  }
});

test('under a corrected rig file both results are there, as a table and as JSON', { timeout: 90_000 }, async () => {
  const [table, json] = await Promise.all([postern('replay', path, '--rig', rig), postern('replay', path, '--rig', rig, '--json')]);
  expect(table.exitCode).toBe(0);
  expect(table.stdout).toMatch(/Result, ± 95 % +Recorded: heron\.yaml +Corrected: corrected\.yaml +Corrected less recorded\n/);
  const both = JSON.parse(json.stdout);
  expect(both).toMatchObject({ session: 'virtual', rigFile: 'corrected.yaml', recorded: { rigFile: 'heron.yaml' } });
  for (const shot of [0, 1]) {
    const [recorded, corrected] = [both.recorded.shots[shot].pairs[0].velocityMps, both.shots[shot].pairs[0].velocityMps];
    expect(corrected / recorded).toBeCloseTo(1.001, 4);
    const told = both.comparison[shot].results.find(({ name }: { readonly name: string }) => name === 'pair-A');
    expect(told.difference.value).toBeCloseTo(corrected - recorded, 12);
    // Both of the gate's positions are known to 0.2 mm, and nothing else enters the difference.
    expect(told.difference.expandedUncertainty).toBeGreaterThan(0);
  }
});

test('what cannot be is refused in one sentence', { timeout: 120_000 }, async () => {
  const refusals: readonly (readonly [args: readonly string[], sentence: RegExp])[] = [
    [[path, '--shot', '7'], /^There is no shot 7 in session virtual; its shots are virtual-001 to virtual-002\.\n$/m],
    [[path, '--from', '4:00:00', '--page'], /^--from 04:00:00\.0 is past the session's end, which is at 00:00:\d\d\.\d\.\n$/m],
    [[path, '--from', '0:01', '--shot', '1'], /^Give --from or --shot, not both: [^\n]+\.\n$/],
    [[path, '--from', 'noon'], /Give a time of the session as hours:minutes:seconds, such as 00:12:30\./],
    [[scratch.path], / is a folder; name one of the journals \(\.mcap\) in it\.\n$/],
  ];
  const answers = await Promise.all(refusals.map(([args]) => postern('replay', '--port', '0', ...args)));
  for (const [index, { exitCode, stderr }] of answers.entries()) {
    expect(exitCode).toBeGreaterThan(0);
    expect(stderr).toMatch(refusals[index]?.[1] ?? /^$/);
  }
});
