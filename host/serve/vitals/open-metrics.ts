/**
 * Numbers as OpenMetrics text, for a server that collects them.
 * Source: OpenMetrics 1.0 (IETF draft-richih-opsawg-openmetrics-00), the text format's ABNF and "Metric Types".
 */
export const OPEN_METRICS_TYPE = 'application/openmetrics-text; version=1.0.0; charset=utf-8';

export interface MetricSample {
  /** Names must be [a-zA-Z_][a-zA-Z0-9_]*; values may be any text. */
  readonly labels?: Readonly<Record<string, string>>;
  readonly value: number;
}

export interface MetricFamily {
  /** Ends in `_` and the unit, where there is one; a counter's without `_total`. */
  readonly name: string;
  readonly type: 'counter' | 'gauge';
  /** A base unit, such as `seconds`, `bytes`; empty where it is a plain number. */
  readonly unit: string;
  /** One sentence. */
  readonly help: string;
  readonly samples: readonly MetricSample[];
}

/**
 * @throws RangeError for a name, unit or label name that the format has no room for, a family that comes twice, or a
 * counter below 0 (caller's bug)
 */
export function openMetricsText(families: readonly MetricFamily[]): string {
  const names = new Set<string>();
  for (const { name } of families) {
    if (names.has(name)) throw new RangeError(`${name} comes twice`);
    names.add(name);
  }
  return `${families.map(familyText).join('')}# EOF\n`;
}

const NAME = /^[a-zA-Z_][a-zA-Z0-9_]*$/;

function familyText({ name, type, unit, help, samples }: MetricFamily): string {
  if (!NAME.test(name) || name.endsWith('_total')) throw new RangeError(`${name} is no name of a metric family`);
  if (unit !== '' && !name.endsWith(`_${unit}`)) throw new RangeError(`${name} does not end in its unit, ${unit}`);
  const unitLine = unit === '' ? '' : `# UNIT ${name} ${unit}\n`;
  const lines = samples.map(({ labels = {}, value }) => {
    if (type === 'counter' && !(value >= 0)) throw new RangeError(`counter ${name} is ${value}`);
    return `${name}${type === 'counter' ? '_total' : ''}${labelsText(labels)} ${numberText(value)}\n`;
  });
  return `# TYPE ${name} ${type}\n${unitLine}# HELP ${name} ${escaped(help)}\n${lines.join('')}`;
}

function labelsText(labels: Readonly<Record<string, string>>): string {
  const texts = Object.entries(labels).map(([name, value]) => {
    if (!NAME.test(name)) throw new RangeError(`${name} is no name of a label`);
    return `${name}="${escaped(value)}"`;
  });
  return texts.length === 0 ? '' : `{${texts.join(',')}}`;
}

function numberText(value: number): string {
  if (Number.isNaN(value)) return 'NaN';
  if (!Number.isFinite(value)) return value > 0 ? '+Inf' : '-Inf';
  return String(value);
}

const escaped = (text: string): string => text.replaceAll('\\', '\\\\').replaceAll('\n', '\\n').replaceAll('"', '\\"');
