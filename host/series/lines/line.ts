/**
 * One line of line protocol: `measurement,tag=value field=1,field=2i,field="text" stamp`.
 * Grammar: InfluxData, "Line protocol reference" (from memory); that both servers read it so is tested on both.
 */

/** A float, a whole number or a text; which of the three a field always is, measurements.ts says. */
export interface LineField {
  readonly name: string;
  readonly kind: 'float' | 'int' | 'text';
  readonly value: number | string;
}

export type LineTags = Readonly<Record<string, string>>;

/** A text in a field, characters. */
export const TEXT_CHARACTERS_MAX = 1_000;

/**
 * Measurement and tags, escaped, the tags in the order of their keys as servers like them best.
 * A tag without a value is left out: the grammar has no empty one.
 */
export function seriesKey(measurement: string, tags: LineTags): string {
  const written = Object.entries(tags)
    .map(([key, value]) => [tagText(key), tagText(value)] as const)
    .filter(([, value]) => value !== '')
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, value]) => `,${key}=${value}`);
  return `${measurement}${written.join('')}`;
}

/**
 * The fields of a line; empty where there is none, and then there is no line.
 * A number that is none, or a whole number that is not whole, is no value and is left out: the grammar cannot say it.
 */
export function fieldsText(fields: readonly LineField[]): string {
  return fields
    .flatMap(({ name, kind, value }) => {
      if (kind === 'text') return [`${name}="${fieldText(String(value))}"`];
      if (typeof value !== 'number' || !Number.isFinite(value)) return [];
      if (kind === 'int') return Number.isSafeInteger(value) ? [`${name}=${numberText(value)}i`] : [];
      return [`${name}=${numberText(value)}`];
    })
    .join(',');
}

/** The shortest text that reads back as the same double, minus zero too. */
export const numberText = (value: number): string => (Object.is(value, -0) ? '-0' : String(value));

/**
 * Backslash: the servers differ on it where it stands last, so it is written as a slash. Control characters end a line
 * or are shown as nothing; they become spaces.
 */
const tagText = (text: string): string =>
  plain(text)
    .replaceAll('\\', '/')
    .replace(/[,= ]/g, (character) => `\\${character}`);

const fieldText = (text: string): string => plain(text.slice(0, TEXT_CHARACTERS_MAX)).replace(/["\\]/g, (character) => `\\${character}`);

/** Half of a pair of surrogates is no character. */
const plain = (text: string): string =>
  text
    .replace(/\p{Cc}/gu, ' ')
    .replace(/\p{Cs}/gu, '\ufffd')
    .trim();
