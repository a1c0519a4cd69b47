/** docs/unattended.md and the unit beside it say what the program does. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { LOOP_DELAY_S_MAX, SINCE_SYNC_S_MAX } from '../../host/cli/vitals/health.ts';
import { SessionVitals } from '../../host/cli/vitals/host-vitals.ts';
import { SessionTally } from '../../host/cli/vitals/session-tally.ts';
import { viewerMetrics } from '../../host/serve/vitals/viewer-metrics.ts';
import { SERIES } from '../support/fake-fleet.ts';

const docOf = (name: string): string => readFileSync(new URL(`../../docs/${name}`, import.meta.url), 'utf8');
const page = docOf('unattended.md');

function families(): readonly string[] {
  const vitals = new SessionVitals();
  vitals.open({
    sessionId: 'S',
    journal: { bytesWritten: 0, unsyncedBytes: 0, sinceSyncS: 0, problem: { message: '', unwrittenBytes: 0, recordsLost: 0 } },
    store: { rowsWaiting: 0, dropped: { samples: 0, events: 0, sessions: 0 } },
    tally: new SessionTally(['gates']),
    loop: { delayS: { mean: 0, p99: 0, max: 0 } },
    log: undefined,
    series: { state: () => SERIES },
  });
  const all = [...vitals.metrics(), ...viewerMetrics({ count: 0, tally: { thinned: 0, dropped: 0, refused: 0 } })];
  return all.map(({ name, type }) => (type === 'counter' ? `${name}_total` : name));
}

describe('docs/unattended.md', () => {
  test('names every metric, and no other', () => {
    const table = page.slice(page.indexOf('## Numbers over time'), page.indexOf('## Under systemd'));
    const named = new Set<string>();
    for (const line of table.split('\n')) {
      let before = '';
      for (const [, name = ''] of line.matchAll(/`((?:postern_|…_)[a-z_]+)/g)) {
        const whole = name.startsWith('postern') ? name : familyOf(before, name);
        if (name.startsWith('postern')) before = name;
        named.add(whole);
      }
    }
    expect([...named].sort()).toEqual([...families()].sort());
  });

  test('gives the limits at which the host is failing', () => {
    expect(page).toContain(`more than ${SINCE_SYNC_S_MAX} s ago`);
    expect(page).toContain(`more than ${LOOP_DELAY_S_MAX} s late`);
  });

  test('links to files that are there, and the unit runs a command that is', () => {
    for (const [, file = ''] of page.matchAll(/\]\((systemd\/[^)]+)\)/g)) expect(docOf(file).length).toBeGreaterThan(0);
    expect(docOf('systemd/postern.service')).toMatch(/host\/cli\/main\.ts run \S+ --data \S+ --log \S+\n/);
  });
});

/** `…_x` stands for the one before it up to its second word, and `_x`. */
const familyOf = (before: string, name: string): string => `${before.split('_').slice(0, 2).join('_')}${name.slice(1)}`;
