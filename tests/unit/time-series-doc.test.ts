/** docs/time-series.md names every measurement, tag and field that is sent, and no other; and its numbers are the code's. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { RETURN_EVERY_MS, SETTLED_AFTER_MS } from '../../host/series/index.ts';
import { MEASUREMENTS } from '../../host/series/lines/index.ts';

const DOC = readFileSync(new URL('../../docs/time-series.md', import.meta.url), 'utf8');
const SETTINGS = readFileSync(new URL('../../host/cli/series/settings.ts', import.meta.url), 'utf8');

describe('docs/time-series.md', () => {
  it('has the measurements that the code has', () => {
    const sections = [...DOC.matchAll(/^### `(\w+)`\n\n(.*)\n\n\|.*\n\|[-|]+\n((?:\|.*\n)+)/gm)].map(
      ([, name = '', about = '', rows = '']) => {
        const [words = '', tags = ''] = about.split(' Tags: ');
        const fields = [...rows.matchAll(/^\| `(\w+)` \| (\w+) \| (.*) \|$/gm)].map(([, field = '', kind, meaning]) => [
          field,
          { kind, meaning },
        ]);
        return [
          name,
          {
            about: `${words[0]?.toLowerCase()}${words.slice(1, -1)}`,
            tags: [...tags.matchAll(/`(\w+)`/g)].map(([, tag]) => tag),
            fields: Object.fromEntries(fields),
          },
        ];
      },
    );
    expect(Object.fromEntries(sections)).toEqual(MEASUREMENTS);
  });

  it('names in its queries only what is sent', () => {
    const queries = DOC.slice(DOC.indexOf('## Queries to paste'), DOC.indexOf('## A test centre'));
    for (const [, measurement = ''] of queries.matchAll(/FROM (\w+)/g)) expect(Object.keys(MEASUREMENTS)).toContain(measurement);
    const known = new Set(
      Object.entries(MEASUREMENTS).flatMap(([name, { fields }]) => Object.keys(fields).map((field) => `${name}_${field}`)),
    );
    for (const [metric] of queries.matchAll(/\b(?:fill|shot|sample|limit_state)_[a-z_]+(?=[{[])/g)) expect([...known]).toContain(metric);
  });

  it('names every variable of the environment, and no other', () => {
    const named = new Set([...DOC.matchAll(/POSTERN_SERIES_([A-Z_]+)/g)].map(([, name]) => name));
    const used = [...SETTINGS.matchAll(/of\('([A-Z_]+)'\)|POSTERN_SERIES_(TOKEN|PASSWORD)'/g)].map(([, one, other]) => one ?? other);
    expect([...named].toSorted()).toEqual([...new Set(used)].toSorted());
  });

  it('has the times of sending again', () => {
    expect(SETTLED_AFTER_MS).toBe(10_000);
    expect(DOC).toContain('in the ten seconds before is sent again, at most every 15 s');
    expect(RETURN_EVERY_MS).toBe(15_000);
  });
});
