/** Reads OpenMetrics text by the rules of its specification (OpenMetrics 1.0, "ABNF" and "Overall structure"), and is as strict. */
export interface ReadFamily {
  readonly name: string;
  readonly type: string;
  readonly unit: string;
  readonly help: string;
  readonly samples: readonly { readonly name: string; readonly labels: Readonly<Record<string, string>>; readonly value: number }[];
}

const NAME = '[a-zA-Z_:][a-zA-Z0-9_:]*';
const LABEL = '[a-zA-Z_][a-zA-Z0-9_]*';
const ESCAPED = '(?:[^"\\\\\\n]|\\\\n|\\\\"|\\\\\\\\)*';
const META = new RegExp(`^# (TYPE|UNIT|HELP) (${NAME}) ([^\n]*)$`, 'u');
const SAMPLE = new RegExp(`^(${NAME})(?:\\{((?:${LABEL}="${ESCAPED}")(?:,${LABEL}="${ESCAPED}")*)?\\})? (\\S+)$`, 'u');
const PAIR = new RegExp(`(${LABEL})="(${ESCAPED})"`, 'gu');
const NUMBER = /^(?:[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:e[+-]?\d+)?|[+-]?inf(?:inity)?|nan)$/i;

/** @throws Error naming the first line that breaks a rule */
export function readOpenMetrics(text: string): readonly ReadFamily[] {
  if (!text.endsWith('\n')) throw new Error('no line feed at the end');
  const lines = text.slice(0, -1).split('\n');
  if (lines.pop() !== '# EOF') throw new Error('does not end with # EOF');
  const families: (ReadFamily & { samples: ReadFamily['samples'][number][] })[] = [];
  let told = new Set<string>();
  const seen = new Set<string>();
  for (const line of lines) {
    const [, what = '', name = '', rest = ''] = META.exec(line) ?? [];
    if (what !== '') {
      if (families.at(-1)?.name !== name) {
        if (families.some((family) => family.name === name)) throw new Error(`family apart: ${line}`);
        families.push({ name, type: 'unknown', unit: '', help: '', samples: [] });
        told = new Set();
      }
      const family = families.at(-1);
      if (!family || family.samples.length > 0 || told.has(what)) throw new Error(`out of place: ${line}`);
      told.add(what);
      if (what === 'UNIT' && !name.endsWith(`_${rest}`)) throw new Error(`unit not in the name: ${line}`);
      if (what === 'HELP' && !new RegExp(`^${ESCAPED}$`, 'u').test(rest)) throw new Error(`help not escaped: ${line}`);
      Object.assign(family, { [what.toLowerCase()]: what === 'HELP' ? unescaped(rest) : rest });
      continue;
    }
    const [, sample = '', pairs = '', number = ''] = SAMPLE.exec(line) ?? [];
    const family = families.at(-1);
    if (!family || sample !== `${family.name}${family.type === 'counter' ? '_total' : ''}`)
      throw new Error(`no sample of its family: ${line}`);
    if (!NUMBER.test(number)) throw new Error(`no number: ${line}`);
    const labels = Object.fromEntries([...pairs.matchAll(PAIR)].map(([, label = '', value = '']) => [label, unescaped(value)]));
    const key = JSON.stringify([sample, Object.entries(labels).sort()]);
    if (seen.has(key)) throw new Error(`twice: ${line}`);
    seen.add(key);
    family.samples.push({ name: sample, labels, value: numberOf(number) });
  }
  return families;
}

const unescaped = (text: string): string => text.replace(/\\(n|"|\\)/g, (_all, one: string) => (one === 'n' ? '\n' : one));

function numberOf(number: string): number {
  if (/inf/i.test(number)) return number.startsWith('-') ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  return Number(number);
}
