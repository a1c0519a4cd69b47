/** The section of a rig file that names a server: what it may hold, and that no secret gets into a journal by it. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadRig } from '../../host/rig/index.ts';

const HERON = readFileSync(new URL('../../firmware-sim/heron.yaml', import.meta.url), 'utf8');
const lines = HERON.trimEnd().split('\n').length;

function problemsOf(section: string) {
  const load = loadRig(`${HERON.trimEnd()}\ntimeSeries:\n${section.replace(/^/gm, '  ')}\n`, 'heron.yaml');
  return load.ok ? [] : load.problems.map(({ line, column, path, message }) => `${line - lines}:${column} ${path}: ${message}`);
}

const VM = 'kind: victoria-metrics\nurl: http://127.0.0.1:8428';

describe('timeSeries in a rig file', () => {
  it('is read', () => {
    const load = loadRig(`${HERON}\ntimeSeries:\n  kind: influxdb-1\n  url: http://[::1]:8086/\n  database: range\n  user: heron\n`, 'f');
    if (!load.ok) throw new Error(JSON.stringify(load.problems));
    expect(load.rig.timeSeries).toEqual({ kind: 'influxdb-1', url: 'http://[::1]:8086', database: 'range', user: 'heron', tags: {} });
  });

  it.each([
    ['token: Zq9-hidden', '4:3 timeSeries.token: the key "token" would put a secret into every journal'],
    ['password: Zq9-hidden', '4:3 timeSeries.password: the key "password" would put a secret into every journal'],
    ['readUrl: http://heron:Zq9-hidden@h:1', '4:12 timeSeries.readUrl: an address with a user or a password in it would put a secret'],
    ['readUrl: http://h:1/?p=Zq9-hidden', '4:12 timeSeries.readUrl: an address here ends with its path'],
    ['readUrl: Zq9-hidden', '4:12 timeSeries.readUrl: this is no address of a server'],
    ['readUrl: file:///Zq9-hidden', '4:12 timeSeries.readUrl: this is no address of a server'],
    ['account: 0', '4:3 timeSeries.account: an account is that of a cluster, which is read at another address'],
    ['database: range', '4:3 timeSeries.database: the key "database" does not belong to victoria-metrics'],
    ['tags: { rig: other }', '4:11 timeSeries.tags.rig: the tag "rig" is one that points have by themselves'],
    ['tags: { "two words": other }', '4:11 timeSeries.tags.two words: a tag is named by a letter'],
  ])('%s is a mistake, told with its place and never repeated', (line, wanted) => {
    const problems = problemsOf(`${VM}\n${line}`);
    expect(problems).toHaveLength(1);
    expect(problems[0]?.startsWith(wanted)).toBe(true);
    expect(problems.join()).not.toContain('Zq9');
  });

  it('wants what its kind needs', () => {
    expect(problemsOf('kind: influxdb-2\nurl: http://127.0.0.1:8086\norg: cold-sike')).toEqual([
      expect.stringContaining('timeSeries: the key "bucket" is missing; influxdb-2 needs it'),
    ]);
    expect(problemsOf('kind: other\nurl: http://127.0.0.1:8086')).toEqual([
      '2:9 timeSeries.kind: "other" is not known here; write influxdb-1, influxdb-2 or victoria-metrics',
    ]);
  });
});
